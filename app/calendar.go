package app

import (
	"crypto/sha256"
	"fmt"
	"strings"

	"hardnoon/session"
	"hardnoon/sheet"
)

// Calendar makes the calendar entry of a session (iCalendar).
func (p Paper) Calendar(s session.Session) ([]byte, error) {
	d, err := dayOf(s, p)
	if err != nil {
		return nil, err
	}
	sum := sha256.Sum256([]byte(or2(s.ID, s.Title) + "\x00" + s.Place.Zone))
	e := sheet.Event{UID: fmt.Sprintf("%x@hardnoon", sum[:10]), Title: s.Title, Place: d.place(), Lat: s.Place.LatDeg, Lon: s.Place.LonDeg, Start: d.start, End: d.end, Made: p.Made}
	var lines []string
	for _, su := range s.Setups {
		line := or2(su.Title, su.ID)
		if len(su.At) >= 16 {
			line = su.At[11:16] + " " + line
		}
		lines = append(lines, line)
	}
	if d.guess {
		lines = append(lines, "how long it takes was not said")
	}
	e.Description = strings.Join(append(lines, "Bring water, hat and the signed release."), "\n")
	return sheet.ICalendar(e), nil
}
