package place_test

import (
	"fmt"
	"math"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"hardnoon/place"
)

var iso6709 = regexp.MustCompile(`^([+-])(\d\d)(\d\d)(\d\d)?([+-])(\d\d\d)(\d\d)(\d\d)?$`)

// The tz database says where the town lies that each zone is named after. The
// borders must put that spot into that zone, and the list of towns must know the
// town there. Neither was made from it.
func TestAgainstZoneTab(t *testing.T) {
	data, err := os.ReadFile("testdata/zone_tab.tsv")
	if err != nil {
		t.Fatal(err)
	}
	number := func(s string) float64 { x, _ := strconv.ParseFloat("0"+s, 64); return x }
	sign := map[string]float64{"+": 1, "-": -1}
	rows, elsewhere, towns := 0, []string{}, 0
	for line := range strings.Lines(string(data)) {
		c := strings.Split(strings.TrimSpace(line), "\t")
		if len(c) != 2 {
			continue // the origin
		}
		m := iso6709.FindStringSubmatch(c[0])
		if m == nil {
			t.Fatal(line)
		}
		rows++
		lat := sign[m[1]] * (number(m[2]) + number(m[3])/60 + number(m[4])/3600)
		lon := sign[m[5]] * (number(m[6]) + number(m[7])/60 + number(m[8])/3600)

		// The same spot, read from text as people write it.
		seconds := func(s string) string {
			if s != "" {
				s += "″"
			}
			return s
		}
		p, err := place.Coordinates(fmt.Sprintf("%s°%s′%s%s %s°%s′%s%s",
			m[2], m[3], seconds(m[4]), map[string]string{"+": "N", "-": "S"}[m[1]], m[6], m[7], seconds(m[8]), map[string]string{"+": "E", "-": "W"}[m[5]]))
		if err != nil || math.Abs(p.Lat.Degrees()-lat) > 1e-9 || math.Abs(p.Lon.Degrees()-lon) > 1e-9 {
			t.Errorf("%s: %v, %v; want %v, %v; %v", c[0], p.Lat.Degrees(), p.Lon.Degrees(), lat, lon, err)
		}
		if zones, err := place.Zones(at(lat, lon)); err != nil || !slices.Contains(zones, c[1]) {
			elsewhere = append(elsewhere, c[1]+" is "+strings.Join(zones, " "))
		}
		name := strings.ReplaceAll(c[1][strings.LastIndexByte(c[1], '/')+1:], "_", " ")
		found, err := place.Towns(name)
		if err != nil {
			continue // smaller than the list goes, an island, or spelled otherwise
		}
		nearest := math.Inf(1)
		for _, f := range found {
			dLon := math.Remainder(f.Lon.Degrees()-lon, 360) * math.Cos(lat*math.Pi/180)
			nearest = min(nearest, math.Hypot(f.Lat.Degrees()-lat, dLon))
		}
		const sameTown = 0.35 // degrees: two opinions of where a large town's middle is
		if nearest < sameTown {
			towns++
		}
	}
	if rows != 418 || !slices.Equal(elsewhere, []string{"Europe/Monaco is Europe/Paris"}) {
		t.Errorf("%d rows; elsewhere: %s", rows, strings.Join(elsewhere, "; "))
	}
	const known = 260 // of 418: the others are islands, bases and small towns
	if towns < known {
		t.Errorf("%d towns found", towns)
	}
}
