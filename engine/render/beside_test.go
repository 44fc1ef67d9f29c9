package render_test

import (
	"fmt"
	"math"
	"testing"

	"hardnoon/engine/exposure"
	"hardnoon/engine/geom"
	"hardnoon/engine/render"
	"hardnoon/engine/scene"
	"hardnoon/engine/unit"
)

// BenchmarkBeside is the scene of docs/benchmarks/beside.py, a thousand times as
// bright: a matt sphere of 4,000 triangles on a plane under sun, even sky and a
// disc, no filter, every pixel the same number of paths. Its noise is measured
// as there: two seeds, the lower 140 rows.
func BenchmarkBeside(b *testing.B) {
	ball := lathe(geom.Vec{}, geom.Vec{Z: 2}, 0, 32, 64, func(t float64) (float64, float64) {
		s := math.Sqrt(max(0, 4*t*(1-t)))
		return s, s
	})
	lamp := geom.Vec{X: 2.5, Y: -2.5, Z: 2.5}
	s := build(b, scene.Parts{
		Materials: []scene.Material{{Diffuse: scene.Grey(0.2)}, {Diffuse: scene.Grey(0.5)}},
		Ground:    &scene.Ground{},
		Meshes:    []scene.Mesh{{Mesh: ball, Materials: []int{1}}},
		Camera:    scene.Camera{At: geom.Vec{Y: -6, Z: 1.2}, Aim: geom.Vec{Z: 1}, Focal: 35 * unit.Millimetre},
		Daylight:  scene.Daylight{Sky: scene.UniformSky(300), Sun: geom.Vec{X: 0.5 * math.Sqrt2 / 2, Y: -math.Sqrt(3) / 2 * math.Sqrt2 / 2, Z: math.Sqrt2 / 2}, SunIlluminance: 3000},
		Lights:    []scene.Light{{At: lamp, Aim: geom.Vec{Z: 1}, Width: 0.6, Intensity: 50_000}},
	})
	for _, n := range []int{16, 64, 256} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			o := render.Options{Samples: n, Noise: 1e-6, Raw: true, Settings: exposure.Settings{FNumber: 8, Shutter: 1, ISO: 100}}
			var one *render.Film
			for b.Loop() {
				one = shoot(b, s, o)
			}
			o.Seed = 1
			p, _ := one.Mix(render.Gains{})
			q, _ := shoot(b, s, o).Mix(render.Gains{})
			b.ReportMetric(noiseAgainst(b, p, q, 0, 180, 480, 320)/math.Sqrt2, "stop")
			sum := 0.0
			for y := 180; y < 320; y++ {
				for x := range 480 {
					l, _ := p.Stops(x, y)
					sum += l.Ratio()
				}
			}
			// From mid-tone back to luminance, in thousands.
			mid := exposure.MidTone / float64((o.Settings.FlashStops(1)).Ratio()) / math.Pi / 1000
			b.ReportMetric(sum/(140*480)*mid, "mean")
		})
	}
}
