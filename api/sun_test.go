package api_test

import (
	"encoding/json"
	"errors"
	"math"
	"testing"
	"time"

	"hardnoon/api"
	"hardnoon/engine/sun"
	"hardnoon/engine/unit"
)

func here(lat, lon float64) api.SunPlace { return api.SunPlace{LatDeg: &lat, LonDeg: &lon} }

// The names that others read; null where a date has no such instant.
func TestSunNames(t *testing.T) {
	a, err := api.Sun(api.SunRequest{SunPlace: here(78.2, 15.6), At: "2031-06-21T12:00:00+01:00"})
	if err != nil {
		t.Fatal(err)
	}
	text, err := json.Marshal(a)
	if err != nil {
		t.Fatal(err)
	}
	var got map[string]any
	if err := json.Unmarshal(text, &got); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"altitude_true_deg", "altitude_apparent_deg", "azimuth_deg", "delta_t_s", "solar_noon_at"} {
		if got[name] == nil {
			t.Errorf("%s is missing: %s", name, text)
		}
	}
	for _, name := range []string{"declination_magnetic_deg", "azimuth_magnetic_deg", "sunrise_at", "sunset_at", "civil_dusk_at"} {
		if v, ok := got[name]; !ok || v != nil {
			t.Errorf("%s is %v, want null", name, v)
		}
	}
}

// Rows of the WMM2025 report lie at sea level, lat 0, lon 120: D −0.16° at
// 2025.0 and −0.24° at 2027.5.
func TestSunDeclination(t *testing.T) {
	for at, want := range map[string]float64{"2025-01-01T00:00:00Z": -0.16, "2027-07-02T12:00:00Z": -0.24} {
		a, err := api.Sun(api.SunRequest{SunPlace: here(0, 120), At: at})
		if err != nil || a.Declination == nil || math.Abs(*a.Declination-want) > 0.01 {
			t.Errorf("%s: %v, %v, want %v°", at, a.Declination, err, want)
		} else if d := a.Azimuth - *a.Declination - *a.AzimuthMagnetic; math.Abs(math.Remainder(d, 360)) > 1e-5 {
			t.Errorf("%s: the needle shows %v°", at, *a.AzimuthMagnetic)
		}
	}
}

// The track is the single answer, many times.
func TestSunTrackAgrees(t *testing.T) {
	every := 3600.0
	seq, err := api.SunTrack(api.SunTrackRequest{SunPlace: here(-33, -71.6), From: "2027-01-16T00:00-03:00", To: "2027-01-17T00:00-03:00", EveryS: &every})
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for r := range seq {
		n++
		p, err := sun.At(r.At, sun.Observer{Lat: -33 * unit.Degree, Lon: -71.6 * unit.Degree})
		// 2e-6°: interpolation and rounding to a millionth.
		if err != nil || math.Abs(p.AltitudeTrue.Degrees()-r.AltitudeTrue) > 2e-6 || (p.Azimuth.Degrees()-r.Azimuth)*p.AltitudeTrue.Cos() > 2e-6 {
			t.Errorf("%+v, want %+v, %v", r, p, err)
		}
	}
	if n != 25 {
		t.Errorf("%d rows, want 25", n)
	}
	for range seq { // a reader may stop
		break
	}
}

func TestSunWrongInput(t *testing.T) {
	for field, req := range map[string]api.SunRequest{
		"lat_deg": {SunPlace: here(math.NaN(), 0), At: "2027-01-16T13:20:00Z"},
		"lon_deg": {SunPlace: here(0, -180.5), At: "2027-01-16T13:20:00Z"},
		"at":      {SunPlace: here(0, 0), At: "9999-12-31T23:59:59Z"},
	} {
		_, err := api.Sun(req)
		var e *api.Error
		if !errors.As(err, &e) || e.Kind != api.WrongInput || e.Field != field || e.Hint == "" {
			t.Errorf("%s: %#v", field, err)
		}
	}
}

// Whatever a stranger sends, there is an answer or an *api.Error.
func FuzzSun(f *testing.F) {
	f.Add([]byte(`{"lat_deg":-33,"lon_deg":-71.6,"at":"2027-01-16T13:20:00-03:00"}`))
	f.Add([]byte(`{"lat_deg":90,"lon_deg":180,"at":"5999-12-31T23:59:59.9Z","delta_t_s":1e300}`))
	f.Add([]byte(`{"lat_deg":-90,"lon_deg":-180,"elevation_m":5000,"pressure_hpa":0,"at":"0000-01-01T00:00+23:59"}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		req, err := api.Decode[api.SunRequest](data)
		var a api.SunAnswer
		if err == nil {
			a, err = api.Sun(req)
		}
		var e *api.Error
		if err != nil {
			if !errors.As(err, &e) || e.Text == "" {
				t.Fatalf("%#v", err)
			}
			return
		}
		if _, err := json.Marshal(a); err != nil || !(a.Azimuth >= 0 && a.Azimuth < 360) || a.Highest.Equal(time.Time{}) {
			t.Fatalf("%+v, %v", a, err)
		}
	})
}
