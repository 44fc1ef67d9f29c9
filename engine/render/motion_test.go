package render_test

import (
	"math"
	"testing"

	"hardnoon/engine/geom"
	"hardnoon/engine/render"
	"hardnoon/engine/scene"
	"hardnoon/engine/unit"
)

// A panel 0.2 m wide that crosses 1 m while the shutter is open covers a place
// on its way for a fifth of the time, so daylight on it is a fifth there; the
// flash at the opening shows it whole where it started and nowhere else.
func TestMotionSplitsDaylightAndFlash(t *testing.T) {
	m := geom.Mesh{Triangles: [][3]int32{{0, 1, 2}, {0, 2, 3}}}
	var end []geom.Vec
	for _, c := range [][2]float64{{-0.6, -1}, {-0.4, -1}, {-0.4, 1}, {-0.6, 1}} {
		m.Vertices = append(m.Vertices, geom.Vec{X: c[0], Y: c[1], Z: 1})
		end = append(end, geom.Vec{X: c[0] + 1, Y: c[1], Z: 1})
	}
	p := scene.Parts{
		Materials: []scene.Material{{Diffuse: scene.Grey(0.5)}},
		Meshes:    []scene.Mesh{{Mesh: m, End: end, Materials: []int{0}}},
		Camera:    scene.Camera{At: geom.Vec{Y: -0.01, Z: 6}, Aim: geom.Vec{Z: 1}},
		Daylight:  scene.Daylight{Sun: geom.Up, SunIlluminance: 1000},
		Lights:    []scene.Light{{At: geom.Vec{Z: 101}, Aim: geom.Vec{}, Width: 0.1, Intensity: 1e7, Hidden: true}},
		Probes:    []scene.Probe{{Name: "middle", At: geom.Vec{Z: 1}}, {Name: "start", At: geom.Vec{X: -0.5, Z: 1}}},
	}
	f := shoot(t, build(t, p), render.Options{Width: 8, Height: 8, Samples: 4, Settings: atOne})
	lux := func(s unit.Stops) float64 { return (s - atOne.FlashStops(1)).Ratio() * 0.18 }
	for i, want := range []struct{ sun, flash float64 }{{0.2 * 500, 0}, {0.1 * 500, 500}} {
		l, err := f.Read(f.Readings[i], render.Gains{})
		if err != nil {
			t.Fatal(err)
		}
		compare(t, f.Readings[i].Name+" by the sun", lux(l.Sun), want.sun)
		if want.flash == 0 {
			if !math.IsInf(float64(l.Lights[0]), -1) {
				t.Errorf("%s: the flash shows it at %v", f.Readings[i].Name, l.Lights[0])
			}
			continue
		}
		compare(t, f.Readings[i].Name+" by the flash", lux(l.Lights[0]), want.flash)
	}
}
