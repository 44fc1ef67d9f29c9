package advise_test

import (
	"errors"
	"math"
	"testing"

	"hardnoon/engine/advise"
	"hardnoon/engine/exposure"
	"hardnoon/engine/plan"
	"hardnoon/engine/unit"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: got %.3f, want %.3f ±%.3f", what, got, want, tol)
	}
}

func state(shutter exposure.Shutter, nd, power unit.Stops, kind plan.ShutterKind) advise.State {
	return advise.State{
		Camera:     plan.Camera{Sync: 1.0 / 256, Fastest: 1.0 / 8192, Slowest: 1.0 / 32, Kind: kind, ISOMin: 100, ISOMax: 1600},
		Settings:   exposure.Settings{FNumber: 5.6, Shutter: shutter, ISO: 100, ND: nd},
		Lights:     []plan.LightSetting{{Role: plan.Key, Power: power}},
		Entry:      []unit.Stops{1.2},
		Range:      []unit.Stops{8},
		PowerStep:  []unit.Stops{0.1},
		Background: -2,
	}
}

// Needs of the trade: when a cloud takes two stops, at sync the shutter opens
// and the flash is untouched; in high-speed sync the shutter opens and the power
// comes down by as much. Common practice, no source; it follows from the
// exposure equations.
func TestCloudByRoute(t *testing.T) {
	a, err := advise.Adjust(state(1.0/256, 4, -1, plan.FocalPlane), -2)
	if err != nil {
		t.Fatal(err)
	}
	if len(a.Steps) != 1 || a.Steps[0].Knob != advise.Shutter {
		t.Errorf("at sync: %+v, want the shutter alone", a.Steps)
	}
	near(t, "at sync, shutter", math.Log2(float64(a.Settings.Shutter)*256), 2, 1e-9)
	near(t, "at sync, longer", float64(a.Longer), 2, 1e-9)
	near(t, "at sync, power", float64(a.Powers[0]), -1, 1e-9)

	a, _ = advise.Adjust(state(1.0/4096, 0, -0.5, plan.FocalPlane), -2)
	if len(a.Steps) != 2 || a.Steps[0].Knob != advise.Shutter || a.Steps[1].Knob != advise.Power {
		t.Errorf("in high-speed sync: %+v, want shutter and power", a.Steps)
	}
	near(t, "high-speed sync, power", float64(a.Powers[0]), -2.5, 0.05)

	a, _ = advise.Adjust(state(1.0/1024, 0, -1, plan.LeafOrGlobal), 2)
	if len(a.Steps) != 1 || a.Steps[0].Knob != advise.Shutter {
		t.Errorf("leaf: %+v, want the shutter alone", a.Steps)
	}
}

// The sun comes out at sync speed: there is no faster normal pop, so aperture
// and power move together, and a light at full is said to be short.
func TestSunAtSyncNeedsPower(t *testing.T) {
	a, _ := advise.Adjust(state(1.0/256, 0, -3, plan.FocalPlane), 2)
	if len(a.Steps) != 2 || a.Steps[0].Knob != advise.Aperture || a.Steps[1].Knob != advise.Power {
		t.Fatalf("%+v", a.Steps)
	}
	near(t, "power", float64(a.Powers[0]), -1, 0.05)
	near(t, "short", float64(a.Short), 0, 1e-9)
	a, _ = advise.Adjust(state(1.0/256, 0, 0, plan.FocalPlane), 2)
	near(t, "short at full power", float64(a.Short), 2, 0.05)
}

// Whatever is turned, the background comes back unless it is said, and the
// flash lands where it was unless it is said.
func TestLookComesBack(t *testing.T) {
	for _, kind := range []plan.ShutterKind{plan.FocalPlane, plan.LeafOrGlobal} {
		for _, s := range []exposure.Shutter{1.0 / 64, 1.0 / 256, 1.0 / 1024, 1.0 / 8192} {
			for change := -4.0; change <= 4; change += 1.0 / 3 {
				st := state(s, 3, -2, kind)
				a, err := advise.Adjust(st, unit.Stops(change))
				if err != nil {
					t.Fatal(err)
				}
				near(t, "off", float64(a.Off), float64(a.Background-st.Background), 1e-12)
				if math.Abs(float64(a.Off)) > 0.18 && change > -3 && change < 3 {
					t.Errorf("%v, %v, %+.2f: background stays %.2f off with %v", kind, s, change, a.Off, a.Settings)
				}
			}
		}
	}
	if a, _ := advise.Adjust(state(1.0/256, 0, 0, plan.FocalPlane), 0); len(a.Steps) != 0 {
		t.Errorf("nothing changed, and it says %+v", a.Steps)
	}
	var r *unit.RangeError
	if _, err := advise.Adjust(state(1.0/256, 0, 0, plan.FocalPlane), unit.Stops(math.NaN())); !errors.As(err, &r) {
		t.Error("NaN passed")
	}
}

// A head at its lowest power cannot follow a higher ISO: it is then too strong by
// as many stops as the ISO went up (the camera equation).
func TestLowestPowerIsTooStrong(t *testing.T) {
	s := state(1.0/32, 0, -9, plan.FocalPlane)
	s.Range[0] = 9
	a, err := advise.Adjust(s, -2)
	if err != nil {
		t.Fatal(err)
	}
	up := math.Log2(float64(a.Settings.ISO / s.Settings.ISO))
	if up < 1 {
		t.Fatalf("%+v", a)
	}
	near(t, "too strong", float64(a.Over), up, 1e-9)
	near(t, "short", float64(a.Short), 0, 1e-9)
}
