package place_test

import (
	"errors"
	"math"
	"testing"

	"hardnoon/place"
)

// Ways to write the same spot. From memory: RFC 5870 section 6 prints
// geo:48.198634,16.371648, ISO 6709 annex D prints 50°03′46.461″S 125°48′26.533″E;
// the decimal form of the latter is worked out by hand.
func TestCoordinates(t *testing.T) {
	for _, c := range []struct {
		text     string
		lat, lon float64
	}{
		{"-33.05,-71.62", -33.05, -71.62},
		{"−33.05 −71.62", -33.05, -71.62},
		{"-33,05; -71,62", -33.05, -71.62},
		{"-33,05, -71,62", -33.05, -71.62},
		{"-33,05 -71,62", -33.05, -71.62},
		{"33,05 S 71,62 W", -33.05, -71.62},
		{"33° 3,0′ S, 71° 37,2′ W", -33.05, -71.62},
		{"W71.62 S33.05", -33.05, -71.62},
		{"33.05S 71.62W", -33.05, -71.62},
		{"S33.05 W71.62", -33.05, -71.62},
		{"71.62 W, 33.05 S", -33.05, -71.62},
		{"33.05 south, 71.62 west", -33.05, -71.62},
		{"lat -33.05 lon -71.62", -33.05, -71.62},
		{"33°03′S 71°37.2′W", -33.05, -71.62},
		{"33°03'00\"S, 71°37'12\"W", -33.05, -71.62},
		{"33 3 S 71 37.2 W", -33.05, -71.62},
		{"-33 3 0 -71 37 12", -33.05, -71.62},
		{"-33° -71°", -33, -71},
		{"geo:48.198634,16.371648", 48.198634, 16.371648},
		{"geo:48.2010,16.3695,183;crs=wgs84;u=40", 48.201, 16.3695},
		{"50°03′46.461″S 125°48′26.533″E", -50.0629058333, 125.8073702778},
		{"0,0", 0, 0},
		{"90 N 180 W", 90, -180},
	} {
		p, err := place.Coordinates(c.text)
		if err != nil {
			t.Errorf("%s: %v", c.text, err)
			continue
		}
		const printed = 1e-9 // degrees, the digits above
		if math.Abs(p.Lat.Degrees()-c.lat) > printed || math.Abs(p.Lon.Degrees()-c.lon) > printed {
			t.Errorf("%s: %.10f, %.10f; want %v, %v", c.text, p.Lat.Degrees(), p.Lon.Degrees(), c.lat, c.lon)
		}
	}
}

func TestCoordinatesRefused(t *testing.T) {
	for _, text := range []string{
		"", "1", "91,0", "0,181", "-133.05,-71.62", "NaN,NaN", "1e400,2", "33.05 S 71.62", "33 S 71 S", "33 E 71 W", "33 O 71 N",
		"-33 S, 71 W", "33°60′S 71°W", "33.5°10′S 71°W", "1,2,3,4,5", "1,2,3,4", "geo:1", "geo:1,2,99999", "geo:a,b", "12 13 14", "--3, 4", "0x10, 3",
	} {
		p, err := place.Coordinates(text)
		var e *place.Error
		if !errors.As(err, &e) || e.Hint == "" {
			t.Errorf("%q: %v, error %v", text, p, err)
		}
	}
}

func FuzzCoordinates(f *testing.F) {
	for _, s := range []string{"-33.05,-71.62", "33°02′46″S 71°37′11″W", "geo:1,2,3;u=4", "S33.05 W71.62", "°°", "NS", "-33,05; -71,62"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if p, err := place.Coordinates(s); err == nil && p.Check() != nil {
			t.Errorf("%q: %v", s, p)
		}
	})
}
