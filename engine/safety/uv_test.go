package safety_test

import (
	"math"
	"testing"

	"hardnoon/engine/safety"
	"hardnoon/engine/unit"
)

// [Madronich2007] at 18 altitudes and three ozone columns, worked out by another
// hand; bands of [WHO2002].
func TestUVTable(t *testing.T) {
	for _, r := range table(t, "madronich2007.csv") {
		alt := unit.Angle(figure(t, r, "solar_elevation_deg")) * unit.Degree
		printed(t, r, "mu0", alt.Sin(), 4)
		for column, ozone := range map[string]float64{"UVI_ozone300": 300, "UVI_ozone250": 250, "UVI_ozone350": 350} {
			got, err := safety.UVIndex(alt, ozone)
			if err != nil {
				t.Fatal(err)
			}
			printed(t, r, column, got, 2)
		}
		x, err := safety.UV(&alt, safety.UsualOzone)
		if err != nil || x.Band.String() != r["WHO_band"] || math.RoundToEven(x.Index) != figure(t, r, "UVI_ozone300_rounded") {
			t.Errorf("%v: %v, %v, %v", r, x.Index, x.Band, err)
		}
		if want := map[bool]safety.Level{true: safety.Care, false: safety.Quiet}[x.Band > safety.UVLow]; x.Level != want || x.Decides != safety.Deferral {
			t.Errorf("%v: %v, want %v", r, x.Level, want)
		}
	}
	if x, err := safety.UV(nil, safety.UsualOzone); err != nil || x.Level != safety.Unknown {
		t.Errorf("no sun said: %v, %v", x.Level, err)
	}
	if got, err := safety.UVIndex(-5*unit.Degree, 300); got != 0 || err != nil {
		t.Errorf("at night: %v, %v", got, err)
	}
	for _, ozone := range []float64{0, math.NaN(), -300, 1e9} {
		if _, err := safety.UVIndex(45*unit.Degree, ozone); err == nil {
			t.Errorf("%v DU is accepted", ozone)
		}
	}
}
