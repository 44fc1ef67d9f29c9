package render_test

import (
	"fmt"
	"math"
	"testing"

	"hardnoon/engine/exposure"
	"hardnoon/engine/floodlight"
	"hardnoon/engine/geom"
	"hardnoon/engine/render"
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

// The same under field lights: four banks of 3.06 × 1.8 m on poles of 18 m, as
// package floodlight adds them up as points and as the tracer sees their fronts,
// on a level plane and upright ones, by the shutter's time.
func TestAgreesWithPackageFloodlight(t *testing.T) {
	const agree = 0.03 // stop
	var lights floodlight.Lights
	for _, foot := range []geom.Vec{{X: -30, Y: 25}, {X: 35, Y: 20}, {X: -28, Y: -31}, {X: 40, Y: -26}} {
		aim := floodlight.Aimed(foot, geom.Vec{X: 4, Y: -2}, 18)
		lights = append(lights, floodlight.Bank{At: foot.Add(geom.Up.Scale(17.1)), Aim: aim, Intensity: 120_000})
	}
	for _, n := range []geom.Vec{geom.Up, geom.North, geom.North.Neg(), geom.East} {
		p := tableTop(1, n)
		p.Camera.At = n.Scale(2).Add(geom.Vec{X: 0.1, Y: 0.1, Z: 0.1})
		for _, b := range lights {
			p.Lights = append(p.Lights, scene.Light{At: b.At, Aim: b.Aim, Outline: scene.Rect, Width: 3.06, Height: 1.8, Beam: floodlight.UsualPower, Intensity: unit.CandelaSecond(b.Intensity), Steady: true})
		}
		got, noise := exposureOf(t, p)
		d := math.Log2(got / (0.5 * float64(floodlight.On(lights.Beams(geom.Vec{}), n))))
		if math.Abs(d) > agree || noise > agree {
			t.Errorf("plane facing %v: %+.3f ± %.3f stop", n, d, noise)
		} else {
			t.Logf("plane facing %v: %+.3f ± %.3f stop", n, d, noise)
		}
	}
}

// A lamp is a flash that lasts as long as the shutter is open: I·T in its place
// gives the same picture, whatever moves, whatever is asked how, and its layer
// goes by the shutter while that of a flash does not.
func TestSteadyIsAFlashOfTheShutter(t *testing.T) {
	for _, moves := range []bool{false, true} {
		for _, flashes := range []int{1, 2, 5} { // all are asked, or some by chance
			build := func(steady bool) scene.Parts {
				p := tableTop(1, geom.Up)
				const lamp = 4000
				if steady { // first in the list: it comes after the flashes all the same
					p.Lights = []scene.Light{{Name: "lamp", At: geom.Vec{X: 1, Z: 3}, Outline: scene.Rect, Width: 0.5, Height: 0.3, Intensity: lamp, Steady: true}}
				}
				for i := range flashes {
					p.Lights = append(p.Lights, scene.Light{Name: fmt.Sprint("flash ", i), At: geom.Vec{X: -1, Y: float64(i), Z: 2}, Width: 0.4, Intensity: 10})
				}
				if !steady {
					p.Lights = append(p.Lights, scene.Light{Name: "lamp", At: geom.Vec{X: 1, Z: 3}, Outline: scene.Rect, Width: 0.5, Height: 0.3, Intensity: lamp / 250})
				}
				if moves { // something far off
					p.Meshes = append(p.Meshes, scene.Mesh{Mesh: geom.Mesh{Vertices: []geom.Vec{{X: 9}, {X: 9, Y: 1}, {X: 9, Z: 1}}, Triangles: [][3]int32{{0, 1, 2}}},
						End: []geom.Vec{{X: 10}, {X: 10, Y: 1}, {X: 10, Z: 1}}, Materials: []int{1}})
				}
				return p
			}
			read := func(steady bool, g render.Gains) render.Level {
				s, err := scene.New(build(steady))
				if err != nil {
					t.Fatal(err)
				}
				at := exposure.Settings{FNumber: 1, Shutter: 1.0 / 250, ISO: 100}
				f, err := render.Preview(t.Context(), s, render.Options{Width: 1, Height: 1, Samples: 1, Settings: at})
				if err != nil {
					t.Fatal(err)
				}
				l, err := f.Read(f.Readings[0], g)
				if err != nil {
					t.Fatal(err)
				}
				if steady && (len(f.Lights) != flashes || f.Lights[0] != "flash 0") {
					t.Fatalf("the flashes are %v", f.Lights)
				}
				return l
			}
			lamp, flash := read(true, render.Gains{}), read(false, render.Gains{})
			if d := lamp.Total - flash.Total; math.Abs(float64(d)) > 0.03 {
				t.Errorf("%d flashes, moving %v: %+.3f stop in all", flashes, moves, d)
			}
			if d := lamp.Lamps - flash.Lights[flashes]; math.Abs(float64(d)) > 0.03 {
				t.Errorf("%d flashes, moving %v: the lamp %+.3f stop", flashes, moves, d)
			}
			longer := read(true, render.Gains{Settings: exposure.Settings{FNumber: 1, Shutter: 1.0 / 125, ISO: 100}, Lamps: -1})
			if d := longer.Lamps - lamp.Lamps; math.Abs(float64(d)) > 1e-4 || longer.Lights[0] != lamp.Lights[0] {
				t.Errorf("twice the time and half the lamps: %+.4f stop, flash %+.4f", d, longer.Lights[0]-lamp.Lights[0])
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
