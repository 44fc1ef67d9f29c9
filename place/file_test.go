package place_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"hardnoon/place"
)

const (
	gpxHead = `<?xml version="1.0" encoding="UTF-8"?><gpx version="1.1" creator="hand" xmlns="http://www.topografix.com/GPX/1/1">`
	waypt   = `<wpt lat="-33.05" lon="-71.62"><ele>41.5</ele><name>Runway  end</name></wpt>`
)

func TestGPX(t *testing.T) {
	for _, text := range []string{
		gpxHead + waypt + `</gpx>`,
		gpxHead + waypt + `<trk><trkseg><trkpt lat="1" lon="2"/><trkpt lat="1" lon="2"/></trkseg></trk></gpx>`,
		"\ufeff" + gpxHead + waypt + `</gpx>`,
	} {
		p, err := place.GPX(strings.NewReader(text))
		if err != nil || math.Abs(p.Lat.Degrees()+33.05) > 1e-9 || math.Abs(p.Lon.Degrees()+71.62) > 1e-9 || p.Elevation == nil || p.Elevation.Metres() != 41.5 || p.Name != "Runway end" {
			t.Errorf("%v, %v", p, err)
		}
	}
	if p, err := place.GPX(strings.NewReader(gpxHead + `<rte><rtept lat="1" lon="2"><ele>99999</ele></rtept></rte></gpx>`)); err != nil || p.Elevation != nil {
		t.Errorf("%v, %v", p, err)
	}
	var many *place.AmbiguousError
	if _, err := place.GPX(strings.NewReader(gpxHead + waypt + waypt + `</gpx>`)); !errors.As(err, &many) || len(many.Places) != 2 {
		t.Error(err)
	}
}

func TestGPXRefused(t *testing.T) {
	for _, text := range []string{
		"", "hello", "<kml></kml>", gpxHead, gpxHead + `</gpx>`, gpxHead + waypt, gpxHead + `<wpt lat="91" lon="1"/></gpx>`, gpxHead + `<wpt lat="NaN" lon="1"/></gpx>`,
		gpxHead + `<wpt lon="1"/></gpx>`, gpxHead + `<trk><trkseg><trkpt lat="1" lon="2"/><trkpt lat="1" lon="2"/></trkseg></trk></gpx>`,
		`<?xml version="1.0" encoding="ISO-8859-1"?><gpx></gpx>`, `<!DOCTYPE a [<!ENTITY x "y">]><gpx><wpt lat="&x;" lon="1"/></gpx>`,
		strings.Repeat("<gpx>", 100000), strings.Repeat(" ", 9<<20),
	} {
		p, err := place.GPX(strings.NewReader(text))
		var e *place.Error
		if !errors.As(err, &e) || e.Hint == "" {
			t.Errorf("%.60q: %v, %v", text, p, err)
		}
	}
}

// RFC 7946 section 1.5 prints the Feature with the point 102.0, 0.5.
func TestGeoJSON(t *testing.T) {
	for _, c := range []struct {
		text     string
		lat, lon float64
		name     string
	}{
		{`{"type":"Point","coordinates":[-71.62,-33.05]}`, -33.05, -71.62, ""},
		{`{"type":"Point","coordinates":[100.0, 0.0, 12]}`, 0, 100, ""},
		{`{"type":"FeatureCollection","features":[{"type":"Feature","geometry":{"type":"Point","coordinates":[102.0,0.5]},"properties":{"prop0":"value0"}}]}`, 0.5, 102, ""},
		{`{"type":"Feature","geometry":{"type":"Point","coordinates":[102.0,0.5]},"properties":{"name":"Sector"}}`, 0.5, 102, "Sector"},
		{`{"type":"Feature","geometry":{"type":"MultiPoint","coordinates":[[102.0,0.5]]},"properties":null}`, 0.5, 102, ""},
	} {
		p, err := place.GeoJSON(strings.NewReader(c.text))
		if err != nil || math.Abs(p.Lat.Degrees()-c.lat) > 1e-9 || math.Abs(p.Lon.Degrees()-c.lon) > 1e-9 || p.Name != c.name {
			t.Errorf("%s: %v, %v", c.text, p, err)
		}
	}
	var many *place.AmbiguousError
	if _, err := place.GeoJSON(strings.NewReader(`{"type":"MultiPoint","coordinates":[[1,2],[3,4]]}`)); !errors.As(err, &many) {
		t.Error(err)
	}
}

func TestGeoJSONRefused(t *testing.T) {
	for _, text := range []string{
		"", "{}", "[]", "null", `{"type":"Point"}`, `{"type":"Point","coordinates":[1]}`, `{"type":"Point","coordinates":["1","2"]}`,
		`{"type":"Point","coordinates":[-33.05,-171.62]}`, `{"type":"Polygon","coordinates":[[[1,2],[3,4],[5,6],[1,2]]]}`,
		`{"type":"Feature","geometry":null,"properties":{}}`, `{"type":"Point","coordinates":[1,2]`, strings.Repeat("[", 100000),
		strings.Repeat(`{"type":"Feature","geometry":`, 5000), strings.Repeat(" ", 9<<20),
	} {
		p, err := place.GeoJSON(strings.NewReader(text))
		var e *place.Error
		if !errors.As(err, &e) || e.Hint == "" {
			t.Errorf("%.60q: %v, %v", text, p, err)
		}
	}
}

func FuzzGPX(f *testing.F) {
	f.Add(gpxHead + waypt + `</gpx>`)
	f.Add(gpxHead + `<trk><trkseg><trkpt lat="1" lon="2"/></trkseg></trk></gpx>`)
	f.Fuzz(func(t *testing.T, s string) {
		if p, err := place.GPX(strings.NewReader(s)); err == nil && p.Check() != nil {
			t.Errorf("%q: %v", s, p)
		}
	})
}

func FuzzGeoJSON(f *testing.F) {
	f.Add(`{"type":"Point","coordinates":[-71.62,-33.05,3]}`)
	f.Add(`{"type":"FeatureCollection","features":[{"type":"Feature","geometry":{"type":"Point","coordinates":[102.0,0.5]},"properties":{"name":"a"}}]}`)
	f.Fuzz(func(t *testing.T, s string) {
		if p, err := place.GeoJSON(strings.NewReader(s)); err == nil && p.Check() != nil {
			t.Errorf("%q: %v", s, p)
		}
	})
}
