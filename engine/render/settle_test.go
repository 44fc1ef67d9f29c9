package render_test

import (
	"testing"

	"hardnoon/engine/render"
)

// BenchmarkSettle reports how far a 480×320 preview is from a long exposure
// after 4, 16 and 64 paths a pixel, in stops (root mean square).
func BenchmarkSettle(b *testing.B) {
	s := build(b, field())
	ref, _ := shoot(b, s, render.Options{Samples: 1024, Raw: true, Seed: 1}).Mix(render.Gains{})
	for _, c := range []struct {
		name string
		n    int
	}{{"4", 4}, {"8", 8}, {"16", 16}, {"64", 64}} {
		b.Run(c.name, func(b *testing.B) {
			var p *render.Picture
			for b.Loop() {
				p, _ = shoot(b, s, render.Options{Samples: c.n}).Mix(render.Gains{})
			}
			b.ReportMetric(noiseAgainst(b, ref, p, 189, 75, 223, 104), "face-stop")
			b.ReportMetric(noiseAgainst(b, ref, p, 172, 150, 244, 248), "chest-stop")
			b.ReportMetric(noiseAgainst(b, ref, p, 0, 0, 480, 320), "frame-stop")
		})
	}
}
