package session

import (
	"fmt"
	"strings"
	"time"
)

// Years a session may lie in: what the models of sun and earth are made for.
const (
	firstYear = 1900
	lastYear  = 2100
)

// Instant returns when the wall clock of a zone shows local ("2027-01-16T13:20").
// When the clock shows it twice, fold says "first" or "second"; without fold
// that is an error, and so is an hour that the clock skips.
func Instant(local string, zone *time.Location, fold string) (time.Time, error) {
	fail := func(text, hint string) (time.Time, error) { return time.Time{}, &Error{Text: text, Hint: hint} }
	if !isLocal(local) {
		return fail(fmt.Sprintf("%.40q is not a wall-clock time", local), forms["local"].like)
	}
	layout := "2006-01-02T15:04:05"
	wall, err := time.Parse(layout[:len(local)], local)
	if err != nil {
		return fail(fmt.Sprintf("%q is no date or time that exists", local), "check day, month and hour")
	}
	if y := wall.Year(); y < firstYear || y > lastYear {
		return fail(fmt.Sprintf("the year is %d; it lies between %d and %d", y, firstYear, lastYear), "check the date")
	}
	switch fold {
	case "", "first", "second":
	default:
		return fail(fmt.Sprintf("fold is %.20q", fold), `say "first" or "second"`)
	}
	// Every offset in force within a day of it is a candidate.
	var hits []time.Time
	for _, h := range []time.Duration{-26, 26} {
		_, offset := wall.Add(h * time.Hour).In(zone).Zone()
		t := wall.Add(-time.Duration(offset) * time.Second).In(zone)
		if t.Format(layout) == wall.Format(layout) && (len(hits) == 0 || !hits[0].Equal(t)) {
			hits = append(hits, t)
		}
	}
	switch len(hits) {
	case 0:
		next := wall.Add(-offsetAt(wall.Add(-26*time.Hour), zone)).In(zone)
		return fail(fmt.Sprintf("the clock in %s never shows %s: it is put forward then", zone, local),
			fmt.Sprintf("an hour that exists is %s (%s)", next.Format("15:04"), utc(next)))
	case 1:
		return hits[0], nil
	}
	if hits[1].Before(hits[0]) {
		hits[0], hits[1] = hits[1], hits[0]
	}
	switch fold {
	case "first":
		return hits[0], nil
	case "second":
		return hits[1], nil
	}
	return fail(fmt.Sprintf("the clock in %s shows %s twice: first at %s, then at %s", zone, local, utc(hits[0]), utc(hits[1])),
		`say which with "fold": "first" or "second"`)
}

// utc writes the offset of t with a true minus: "UTC−03:00".
func utc(t time.Time) string { return "UTC" + strings.Replace(t.Format("-07:00"), "-", "−", 1) }

func offsetAt(t time.Time, zone *time.Location) time.Duration {
	_, offset := t.In(zone).Zone()
	return time.Duration(offset) * time.Second
}
