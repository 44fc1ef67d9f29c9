package api

import (
	"encoding/json"
	"errors"
	"math"
	"testing"
)

// Exit codes and fields follow from kinds: what cannot be is wrong input, what
// has no answer says so.
func TestLightErrors(t *testing.T) {
	high, low, az := 40.0, -5.0, 180.0
	x := func(v float64) *float64 { return &v }
	for _, r := range []struct {
		req   LightRequest
		kind  Kind
		field string
	}{
		{LightRequest{SunAltitude: &high, SunAzimuth: &az, DNI: x(-1), DHI: x(5)}, WrongInput, "dni_wm2"},
		{LightRequest{SunAltitude: &high, SunAzimuth: &az, DNI: x(5), DHI: x(math.NaN())}, WrongInput, "dhi_wm2"},
		{LightRequest{SunAltitude: &high, SunAzimuth: &az, Oktas: x(9)}, WrongInput, "oktas"},
		{LightRequest{SunAltitude: &high, SunAzimuth: x(math.Inf(1))}, WrongInput, "sun_azimuth_deg"},
		{LightRequest{SunAltitude: &low, SunAzimuth: &az, DNI: x(5), DHI: x(5)}, NoAnswer, "dni_wm2"},
		{LightRequest{SunAltitude: &high, SunAzimuth: &az, METAR: "XXXX 121200Z 24005KT 9999 //////CB 20/10 Q1013"}, NoAnswer, "metar"},
		{LightRequest{SunAltitude: &high, SunAzimuth: &az, Meter: &MeterRequest{EV100: math.NaN()}}, WrongInput, "meter.ev100"},
	} {
		_, err := Light(r.req)
		var e *Error
		if !errors.As(err, &e) || e.Kind != r.kind || e.Field != r.field || e.Hint == "" {
			t.Errorf("%+v: %+v, want kind %v at %s with a hint", r.req, err, r.kind, r.field)
		}
	}
}

// Whatever sun and sky, the answer is finite and can be written as JSON.
func TestLightEverywhere(t *testing.T) {
	for altitude := -90.0; altitude <= 90; altitude += 7.5 {
		az := 200.0
		for _, name := range append(SkyNames(), "cie-5", "cie-12", "cie-15", "cie-16") {
			a, err := Light(LightRequest{SunAltitude: &altitude, SunAzimuth: &az, Sky: name})
			if err != nil {
				t.Errorf("%s, sun at %v°: %v", name, altitude, err)
				continue
			}
			if _, err := json.Marshal(a); err != nil {
				t.Errorf("%s, sun at %v°: %v", name, altitude, err)
			}
			if !(a.CCT > 1500 && a.CCT < 50000) || a.Uncertainty <= 0 {
				t.Errorf("%s, sun at %v°: %v K ± %v", name, altitude, a.CCT, a.Uncertainty)
			}
		}
	}
}
