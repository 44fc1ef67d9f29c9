package sheet

import (
	"fmt"
	"strings"
	"time"
	"unicode/utf8"
)

// Event is one entry of a calendar.
type Event struct {
	UID         string
	Title       string
	Place       string
	Description string
	Lat, Lon    float64
	Start, End  time.Time // in the zone of the place
	Made        time.Time // when the entry was written
}

// ICalendar writes an event as an iCalendar object: lines of at most 75 octets
// ending in CRLF, and the zone with the changes of its clock from a year before
// to a year after, as the time zone database has them.
//
// Source: [RFC5545] sections 3.1 (folding), 3.3.11 (escaping), 3.6.1 (event),
// 3.6.5 (zone).
func ICalendar(e Event) []byte {
	var b strings.Builder
	line := func(s string) { fold(&b, s) }
	line("BEGIN:VCALENDAR")
	line("VERSION:2.0")
	line("PRODID:-//hardnoon//sheet//EN")
	line("CALSCALE:GREGORIAN")
	zone := e.Start.Location()
	utc := zone.String() == "UTC"
	if !utc {
		vtimezone(line, zone, e.Start, e.End)
	}
	when := func(name string, t time.Time) {
		if utc {
			line(name + ":" + t.UTC().Format("20060102T150405Z"))
			return
		}
		line(name + ";TZID=" + zone.String() + ":" + t.Format("20060102T150405"))
	}
	line("BEGIN:VEVENT")
	line("UID:" + escapeText(e.UID))
	line("DTSTAMP:" + e.Made.UTC().Format("20060102T150405Z"))
	when("DTSTART", e.Start)
	when("DTEND", e.End)
	line("SUMMARY:" + escapeText(e.Title))
	if e.Place != "" {
		line("LOCATION:" + escapeText(e.Place))
	}
	if e.Description != "" {
		line("DESCRIPTION:" + escapeText(e.Description))
	}
	line(fmt.Sprintf("GEO:%.6f;%.6f", e.Lat, e.Lon))
	line("END:VEVENT")
	line("END:VCALENDAR")
	return []byte(b.String())
}

// vtimezone writes every change of the clock near the event, and the time that
// held before the first of them.
func vtimezone(line func(string), zone *time.Location, start, end time.Time) {
	line("BEGIN:VTIMEZONE")
	line("TZID:" + zone.String())
	at := start.AddDate(-1, 0, 0)
	_, before := at.Zone()
	observance(line, at, before)
	for {
		_, next := at.ZoneBounds()
		if next.IsZero() || next.After(end.AddDate(1, 0, 0)) {
			break
		}
		observance(line, next, before)
		_, before = next.Zone()
		at = next
	}
	line("END:VTIMEZONE")
}

// observance is the stretch of one offset that begins at t. Its start is told in
// the wall clock that ran until then.
func observance(line func(string), t time.Time, before int) {
	kind := "STANDARD"
	if t.IsDST() {
		kind = "DAYLIGHT"
	}
	name, offset := t.Zone()
	line("BEGIN:" + kind)
	line("DTSTART:" + t.In(time.FixedZone("", before)).Format("20060102T150405"))
	line("TZOFFSETFROM:" + offsetText(before))
	line("TZOFFSETTO:" + offsetText(offset))
	line("TZNAME:" + escapeText(name))
	line("END:" + kind)
}

func offsetText(s int) string {
	sign := '+'
	if s < 0 {
		sign, s = '-', -s
	}
	text := fmt.Sprintf("%c%02d%02d", sign, s/3600, s/60%60)
	if s%60 != 0 {
		text += fmt.Sprintf("%02d", s%60)
	}
	return text
}

// escapeText writes words as an iCalendar TEXT value.
func escapeText(s string) string {
	s = strings.ToValidUTF8(s, "�")
	s = strings.NewReplacer("\\", "\\\\", ";", "\\;", ",", "\\,", "\r\n", "\\n", "\n", "\\n").Replace(s)
	return strings.Map(func(r rune) rune {
		if r < ' ' && r != '\t' || r == 0x7F {
			return -1
		}
		return r
	}, s)
}

// fold writes one content line in pieces of at most 75 octets, letters whole.
func fold(b *strings.Builder, s string) {
	room := 75
	for len(s) > room {
		n := room
		for n > 0 && !utf8.RuneStart(s[n]) {
			n--
		}
		b.WriteString(s[:n] + "\r\n ")
		s, room = s[n:], 74 // the blank that marks a continued line counts
	}
	b.WriteString(s + "\r\n")
}
