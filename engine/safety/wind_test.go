package safety_test

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"hardnoon/engine/safety"
	"hardnoon/engine/unit"
)

// EN 1991-1-4: five terrains at three heights.
func TestTerrainTable(t *testing.T) {
	rows := table(t, "en1991_profile.csv")
	for i, r := range rows {
		terrain := safety.Terrains()[i*5/len(rows)]
		if z0 := figure(t, r, "z0_m"); terrain.Z0.Metres() != z0 {
			t.Fatalf("%s has %v, want %v", terrain.Name, terrain.Z0, z0)
		}
		z := unit.Length(figure(t, r, "z_m"))
		printed(t, r, "cr=vm/vb", terrain.Roughness(z), 4)
		printed(t, r, "Iv", terrain.Turbulence(z), 4)
		printed(t, r, "peak/mean=sqrt(1+7Iv)", terrain.PeakOverMean(z), 4)
		printed(t, r, "peak_at_z/basic_10min_at_10m", terrain.PeakOverBasic(z), 4)
	}
	grass := safety.Terrains()[2]
	if got := grass.PeakOverBasic(2 * unit.Metre); math.Abs(got-safety.GustOverMean) > 0.01 {
		t.Errorf("open grass at 2 m: %v, the rule says %v", got, safety.GustOverMean)
	}
}

// The fit to Durst's curve to the printed digits, its ratios, and the figures
// other texts print for the same curve: 1.53 and 1.28.
func TestGustFactors(t *testing.T) {
	fits := 0
	for _, r := range table(t, "gust_factors.csv") {
		short, long := figure(t, r, "t_short_s"), figure(t, r, "t_long_s")
		switch got := safety.GustFactor(short); {
		case strings.HasPrefix(r["source"], "USACE"):
			printed(t, r, "factor", got, 4)
			fits++
		case r["source"] == "ratio of the above":
			printed(t, r, "factor", got/safety.GustFactor(long), 4)
			fits++
		case strings.HasPrefix(r["source"], "ASCE"):
			if want := figure(t, r, "factor"); math.Abs(got-want) > 0.021 {
				t.Errorf("%v s: %v, printed %v", short, got, want)
			}
		}
	}
	if fits != 11 {
		t.Errorf("%d computed rows, want 11", fits)
	}
	if !math.IsNaN(safety.GustFactor(0.5)) || !math.IsNaN(safety.GustFactor(math.NaN())) {
		t.Error("outside its range the fit answers")
	}
}

func TestBeaufortTable(t *testing.T) {
	for _, r := range table(t, "beaufort.csv") {
		want := int(figure(t, r, "force"))
		ends := []float64{figure(t, r, "ms_min")}
		if r["ms_max"] != "" {
			ends = append(ends, figure(t, r, "ms_max"))
		}
		for _, v := range ends {
			if got, name := safety.Beaufort(unit.Speed(v)); got != want || !strings.EqualFold(name, r["name"]) {
				t.Errorf("%v m/s is force %d, %s, want %d, %s", v, got, name, want, r["name"])
			}
		}
		if kn, _, ok := strings.Cut(r["knots"], "-"); ok { // knots agree with the metres
			k, _ := strconv.ParseFloat(kn, 64)
			if got, _ := safety.Beaufort(unit.Speed(k) * unit.Knot); got != want {
				t.Errorf("%v kt is force %d, want %d", k, got, want)
			}
		}
		printed(t, r, "v_ms_formula_0.836B^1.5", safety.BeaufortSpeed(float64(want)).MetresPerSecond(), 2)
	}
}
