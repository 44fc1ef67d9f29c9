package exposure_test

import (
	"math"
	"strconv"
	"testing"

	"hardnoon/engine/exposure"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: got %v, want %v ±%v", what, got, want, tol)
	}
}

// APEX row of the reference: f/8, 1/250, ISO 100 is Ev 13.9658 when the dial
// figures are taken literally; by the exact clicks it is 6 + 8 = 14.
func TestEVOfDialFigures(t *testing.T) {
	f8, _ := exposure.ParseFNumber("8", exposure.Thirds)
	t250, _ := exposure.ParseShutter("1/250", exposure.Thirds)
	near(t, "exact", float64(exposure.Settings{FNumber: f8, Shutter: t250, ISO: 100}.EV100()), 14, 1e-12)
	near(t, "literal", float64(exposure.Settings{FNumber: 8, Shutter: 1.0 / 250, ISO: 100}.EV100()), 13.9658, 5e-5)
	// f/16 at 1/100 s, ISO 100: 14.6439 [ISO2720 by arithmetic, sheet row].
	near(t, "sunny 16", float64(exposure.Settings{FNumber: 16, Shutter: 1.0 / 100, ISO: 100}.EV100()), 14.6439, 5e-5)
}

// Exact against nominal: f/5.6 is 2^2.5 and 1/60 s is 1/64 s.
func TestNominalIsNotExact(t *testing.T) {
	f, _ := exposure.ParseFNumber("f/5.6", exposure.Thirds)
	s, _ := exposure.ParseShutter("1/60", exposure.Thirds)
	near(t, "f/5.6", float64(f), math.Exp2(2.5), 1e-12)
	near(t, "1/60", float64(s), 1.0/64, 1e-15)
	if f.String() != "f/5.6" || s.String() != "1/60" {
		t.Errorf("labels came back as %s and %s", f, s)
	}
}

func TestEveryLabelComesBack(t *testing.T) {
	for _, step := range []exposure.Step{exposure.Thirds, exposure.Halves} {
		for _, n := range exposure.FNumbers(1, 64, step) {
			got, err := exposure.ParseFNumber(n.Label(step), step)
			if err != nil || math.Abs(float64(got/n)-1) > 1e-9 {
				t.Errorf("%s came back as %v, %v", n.Label(step), got, err)
			}
		}
		for _, s := range exposure.Shutters(32, 1.0/65000, step) {
			got, err := exposure.ParseShutter(s.Label(step), step)
			if err != nil || math.Abs(float64(got/s)-1) > 1e-9 {
				t.Errorf("%s came back as %v, %v", s.Label(step), got, err)
			}
		}
	}
	if n := len(exposure.FNumbers(2.8, 22.7, exposure.Thirds)); n != 19 {
		t.Errorf("f/2.8 to f/22 has %d clicks, want 19", n)
	}
}

// Every engraved figure stands close to its exact value: no list has slipped.
func TestLabelsStandNearTheirValue(t *testing.T) {
	for _, step := range []exposure.Step{exposure.Thirds, exposure.Halves} {
		for _, n := range exposure.FNumbers(1, 64, step) {
			x, _ := strconv.ParseFloat(n.Label(step)[2:], 64)
			near(t, n.Label(step), 2*math.Log2(x/float64(n)), 0, 0.18)
		}
		for _, s := range exposure.ISOs(6.25, 102400, step) {
			x, _ := strconv.ParseFloat(s.Label(step), 64)
			near(t, "ISO "+s.Label(step), math.Log2(x/float64(s)), 0, 0.07)
		}
	}
}

func TestLaws(t *testing.T) {
	s := exposure.Settings{FNumber: 5.6, Shutter: 1.0 / 250, ISO: 100, ND: 2}
	near(t, "flash there and back", float64(s.FlashStops(s.FlashFor(-1.3))), -1.3, 1e-12)
	near(t, "equal lights add one stop", float64(exposure.Sum(-1, -1)), 0, 1e-12)
	// The ratio of flash to sun hangs on neither aperture, ISO nor ND.
	ratio := func(s exposure.Settings) float64 { return float64(s.FlashStops(1000) - s.AmbientStops(15)) }
	for _, o := range []exposure.Settings{{2.8, 1.0 / 250, 100, 2}, {5.6, 1.0 / 250, 400, 2}, {5.6, 1.0 / 250, 100, 6}} {
		near(t, "ratio", ratio(o), ratio(s), 1e-12)
	}
	// A full-sun surface of 18 % at f/16, 1/125: mid-tone at EV 15 (81,920 lx).
	at := exposure.Settings{FNumber: 16, Shutter: 1.0 / 128, ISO: 100}
	near(t, "landing", float64(at.Landing(81920, 0, 0.18)), 0, 1e-9)
	near(t, "landing of white", float64(at.Landing(81920, 0, 0.72)), 2, 1e-9)
}

func TestBadSettings(t *testing.T) {
	for _, s := range []exposure.Settings{{0, 1, 100, 0}, {8, 0, 100, 0}, {8, 1, -1, 0}, {8, 1, 100, -1}, {unitNaN(), 1, 100, 0}} {
		if s.Check() == nil {
			t.Errorf("%v passed", s)
		}
	}
	for _, bad := range []string{"", "f/0", "NaN", "-8", "f/", "1e999"} {
		if _, err := exposure.ParseFNumber(bad, exposure.Thirds); err == nil {
			t.Errorf("f-number %q passed", bad)
		}
	}
	for _, bad := range []string{"", "0", "1/0", "-1/250", "NaN", "1/2/3"} {
		if _, err := exposure.ParseShutter(bad, exposure.Thirds); err == nil {
			t.Errorf("shutter %q passed", bad)
		}
	}
}

func unitNaN() exposure.FNumber { return exposure.FNumber(math.NaN()) }

// A dial shows 1/250 as 250: whoever types that is asked, not taken for four
// minutes. With its unit it means what it says.
func TestBareShutterIsAsked(t *testing.T) {
	for _, x := range []string{"250", "60", " 8000 "} {
		if s, err := exposure.ParseShutter(x, exposure.Thirds); err == nil {
			t.Errorf("%q is read as %v s", x, float64(s))
		}
	}
	for text, want := range map[string]float64{"60s": 60, "60 s": 60, "30": 32, "2": 2, "0.5": 0.5} {
		if s, err := exposure.ParseShutter(text, exposure.Thirds); err != nil || math.Abs(float64(s)-want) > 1e-9 {
			t.Errorf("%q: %v s, %v; want %v", text, float64(s), err, want)
		}
	}
}
