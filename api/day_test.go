package api_test

import (
	"errors"
	"math"
	"testing"

	"hardnoon/api"
)

// The day of the demo: light rises and falls once, the sun passes through the
// north, and every pair's margin falls as the light rises.
func TestDayOfTheDemo(t *testing.T) {
	a, err := api.Day(api.DayRequest{Session: demo(t)})
	if err != nil {
		t.Fatal(err)
	}
	if len(a.Steps) < 25 || a.Sunrise == nil || a.Sunset == nil {
		t.Fatalf("%d steps, sunrise %v", len(a.Steps), a.Sunrise)
	}
	noon := a.Steps[0]
	for _, s := range a.Steps {
		if s.AltitudeDeg > noon.AltitudeDeg {
			noon = s
		}
		if len(s.AtSync) != len(a.Pairs) || len(s.HighSpeed) != len(a.Pairs) {
			t.Fatalf("%d margins for %d pairs", len(s.AtSync), len(a.Pairs))
		}
		for i := range s.AtSync {
			if d := s.AtSync[i] - s.HighSpeed[i]; math.Abs(d-1.2) > 0.002 {
				t.Errorf("high-speed sync costs %v stops", d)
			}
		}
	}
	if d := math.Mod(noon.AzimuthDeg+180, 360) - 180; math.Abs(d) > 40 {
		t.Errorf("at its highest the sun stands at %v°, not in the north", noon.AzimuthDeg)
	}
	if first := a.Steps[0]; first.AtSync[0] <= noon.AtSync[0] {
		t.Errorf("%v to spare at sunrise, %v at noon", first.AtSync[0], noon.AtSync[0])
	}
}

func TestDayWithoutSun(t *testing.T) {
	s := demo(t)
	s.Place.LatDeg, s.Place.LonDeg, s.Place.Zone, s.Start = 78.2, 15.6, "Arctic/Longyearbyen", "2027-12-21T12:00"
	_, err := api.Day(api.DayRequest{Session: s})
	var e *api.Error
	if !errors.As(err, &e) || e.Kind != api.NoAnswer {
		t.Errorf("polar night: %v", err)
	}
	for _, every := range []float64{0, -1, math.NaN(), 1} {
		if _, err := api.Day(api.DayRequest{Session: demo(t), EveryS: &every}); err == nil {
			t.Errorf("a step of %v s passed", every)
		}
	}
}

// A whole day at one-minute steps for the whole catalogue.
func BenchmarkDayByTheMinute(b *testing.B) {
	s := demo(b)
	minute := 60.0
	for b.Loop() {
		if _, err := api.Day(api.DayRequest{Session: s, EveryS: &minute}); err != nil {
			b.Fatal(err)
		}
	}
}
