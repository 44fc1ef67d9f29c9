package place_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"hardnoon/place"
)

// Coordinates and order of size as the gazetteer prints them, read by hand.
func TestTowns(t *testing.T) {
	for _, c := range []struct {
		text, country string
		lat, lon      float64
		hits          int
	}{
		{"Viña del Mar", "CL", -33.025, -71.552, 1},
		{"vina  DEL mar", "CL", -33.025, -71.552, 1},
		{"Valparaíso, CL", "CL", -33.036, -71.630, 1},
		{"valparaiso", "CL", -33.036, -71.630, 4},
		{"Valparaiso, Indiana", "US", 41.473, -87.061, 1},
		{"valparaiso, indiana, us", "US", 41.473, -87.061, 1},
		{"Springfield, IL", "US", 39.802, -89.644, 1},
		{"Springfield, il, us", "US", 39.802, -89.644, 1},
		{"Tromsø", "NO", 69.649, 18.955, 1},
		{"tromso", "NO", 69.649, 18.955, 1},
		{"Malmo", "SE", 55.606, 13.001, 1},
		{"Łódź", "PL", 51.770, 19.473, 1},
		{"'s-Hertogenbosch", "NL", 51.699, 5.304, 1},
	} {
		got, err := place.Towns(c.text)
		if err != nil {
			t.Errorf("%s: %v", c.text, err)
			continue
		}
		const near = 0.02 // degrees; the gazetteer moves a middle now and then
		p := got[0]
		if p.Country != c.country || math.Abs(p.Lat.Degrees()-c.lat) > near || math.Abs(p.Lon.Degrees()-c.lon) > near || len(got) < c.hits {
			t.Errorf("%s: %d hits, first %s %.3f %.3f", c.text, len(got), p, p.Lat.Degrees(), p.Lon.Degrees())
		}
		for i := 1; i < len(got); i++ {
			if got[i].People > got[i-1].People {
				t.Errorf("%s: not by size", c.text)
			}
		}
	}
}

func TestTownsRefused(t *testing.T) {
	for text, hint := range map[string]string{
		"Valpariso":               "Valpara",
		"Valparaíso, FR":          "CL",
		"Qqqqzz":                  "coordinates",
		"":                        "name",
		"...":                     "name",
		strings.Repeat("x", 5000): "name",
	} {
		_, err := place.Towns(text)
		var e *place.Error
		if !errors.As(err, &e) || !strings.Contains(e.Hint, hint) {
			t.Errorf("%.20q: %v, hint %q", text, err, e.Hint)
		}
	}
}

func TestFind(t *testing.T) {
	var many *place.AmbiguousError
	if _, _, err := place.Find("Springfield"); !errors.As(err, &many) || len(many.Places) < 5 {
		t.Errorf("Springfield: %v", err)
	}
	if p, others, err := place.Find("Valparaíso"); err != nil || p.Country != "CL" || len(others) < 3 {
		t.Errorf("%v, others %v, %v", p, others, err)
	}
	if p, _, err := place.Find("Seen (Kreis 3)"); err != nil || p.Country != "CH" {
		t.Errorf("a town with a figure in its name: %v, %v", p, err)
	}
	if p, _, err := place.Find("-33.05, -71.62"); err != nil || p.Name != "" {
		t.Errorf("%v, %v", p, err)
	}
}

func BenchmarkTowns(b *testing.B) {
	for b.Loop() {
		if _, err := place.Towns("valparaiso"); err != nil {
			b.Fatal(err)
		}
	}
}
