package render_test

import (
	"fmt"
	"math"
	"testing"

	"hardnoon/engine/geom"
	"hardnoon/engine/scene"
	"hardnoon/engine/sky"
	"hardnoon/engine/unit"
)

// Picture and numbers come from the same light: sun, sky and ground on a level
// and on upright planes, as package sky integrates them and as the tracer does.
func TestAgreesWithPackageSky(t *testing.T) {
	const agree = 0.03 // stop
	for _, altitude := range []unit.Angle{12 * unit.Degree, 35 * unit.Degree, 65 * unit.Degree} {
		s, err := sky.ClearSky(sky.Conditions{SunAltitude: altitude, SunAzimuth: 200 * unit.Degree})
		if err != nil {
			t.Fatal(err)
		}
		for _, n := range []geom.Vec{geom.Up, geom.North, geom.North.Neg(), geom.East} {
			p := tableTop(1, n)
			p.Daylight = scene.Daylight{Sky: s, Sun: s.Sun, SunIlluminance: s.DirectNormal}
			p.Camera.At = n.Scale(2).Add(geom.Vec{X: 0.1, Y: 0.1, Z: 0.1})
			got, noise := exposureOf(t, p)
			d := math.Log2(got / (0.5 * float64(s.Total(n))))
			if math.Abs(d) > agree || noise > agree {
				t.Errorf("sun at %v°, plane facing %v: %+.3f ± %.3f stop", altitude.Degrees(), n, d, noise)
			} else {
				t.Logf("sun at %v°, plane facing %v: %+.3f ± %.3f stop", altitude.Degrees(), n, d, noise)
			}
		}
	}
}

// A fence that lets 60 % through leaves 60 % of the sun, seen from a side where
// it is not in the way; so does a thick one.
func TestFenceThatLetsLightThrough(t *testing.T) {
	for _, form := range []scene.Form{scene.Panel, scene.Box} {
		p := tableTop(1, geom.Up)
		p.Daylight = scene.Daylight{Sun: geom.Direction(0, 30*unit.Degree), SunIlluminance: 1000}
		p.Solids = append(p.Solids, scene.Solid{Name: "fence", Form: form, At: geom.Vec{Y: 1}, Facing: geom.North, Size: geom.Vec{X: 8, Y: 0.05, Z: 8}, Passes: 0.6})
		if form == scene.Panel {
			p.Solids[1].Size = geom.Vec{X: 8, Y: 8}
		}
		got, _ := exposureOf(t, p)
		// By chance: 1,024 rays at 0.6 are known to 2.5 %.
		if d := math.Log2(got / (0.5 * 1000 * 0.5 * 0.6)); math.Abs(d) > 3*0.025/math.Ln2 {
			t.Errorf("form %v: %+.3f stop", form, d)
		}
	}
}

// A focusing reflector: I/(d + v)² on the axis.
func TestSetback(t *testing.T) {
	for _, d := range []float64{1, 3} {
		p := tableTop(1, geom.Up)
		p.Lights = []scene.Light{{At: geom.Vec{Z: d}, Width: 0.05, Intensity: 5000, Setback: 0.4}}
		got, _ := exposureOf(t, p)
		compare(t, fmt.Sprintf("set back, %v m", d), got, 0.5*5000/((d+0.4)*(d+0.4)))
	}
}
