package place_test

import (
	"bufio"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"
	_ "time/tzdata"

	"hardnoon/engine/unit"
	"hardnoon/place"
)

func at(lat, lon float64) place.Point {
	return place.Point{Lat: unit.Angle(lat) * unit.Degree, Lon: unit.Angle(lon) * unit.Degree}
}

// Another program over the same borders must find the same zone; it names the
// first where there are two.
func TestZonesAgainstTable(t *testing.T) {
	f, err := os.Open("testdata/zones_tzf.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows := 0
	for s := bufio.NewScanner(f); s.Scan(); {
		c := strings.Split(s.Text(), ",")
		if len(c) != 3 || c[2] == "" {
			continue
		}
		rows++
		lat, _ := strconv.ParseFloat(c[0], 64)
		lon, _ := strconv.ParseFloat(c[1], 64)
		zones, err := place.Zones(at(lat, lon))
		if err != nil || !slices.Contains(zones, c[2]) {
			t.Errorf("%s: %v %v", s.Text(), zones, err)
		}
	}
	if rows < 200 {
		t.Errorf("only %d rows", rows)
	}
}

// Common knowledge: what the official time is called in these towns.
func TestZonesOfTowns(t *testing.T) {
	for text, want := range map[string]string{
		"Valparaíso, CL": "America/Santiago", "Punta Arenas": "America/Punta_Arenas", "Phoenix, Arizona": "America/Phoenix",
		"Tromsø": "Europe/Oslo", "Kathmandu": "Asia/Kathmandu", "Adelaide, AU": "Australia/Adelaide", "Apia": "Pacific/Apia",
		"Nuuk": "America/Nuuk", "Reykjavik": "Atlantic/Reykjavik", "Ceuta": "Africa/Ceuta",
	} {
		p, _, err := place.Find(text)
		if err != nil {
			t.Error(err)
			continue
		}
		zones, err := place.Zones(p.Point)
		if err != nil || zones[0] != want {
			t.Errorf("%s: %v %v, want %s", text, zones, err, want)
		}
	}
}

func TestZonesEverywhere(t *testing.T) {
	for lat := -90.0; lat <= 90; lat += 45 {
		for lon := -180.0; lon <= 180; lon += 60 {
			zones, err := place.Zones(at(lat, lon))
			if err != nil {
				t.Errorf("%v, %v: %v", lat, lon, err)
				continue
			}
			if _, err := time.LoadLocation(zones[0]); err != nil {
				t.Error(err)
			}
		}
	}
	if _, err := place.Zones(at(91, 0)); err == nil {
		t.Error("latitude 91 has a zone")
	}
}

func BenchmarkZones(b *testing.B) {
	for b.Loop() {
		if _, err := place.Zones(at(-33.036, -71.63)); err != nil {
			b.Fatal(err)
		}
	}
}
