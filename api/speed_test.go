package api

import (
	"context"
	"image"
	"math"
	"testing"
	"time"

	"hardnoon/engine/render"
	"hardnoon/engine/unit"
)

// BenchmarkDemoPreview takes each setup of the demo from its session to a
// filtered picture of 480 × 320, once to be readable and once settled, and says
// how much noise is in the face then, twice:
//
//	face-noise  what repeating with another seed changes, root mean square, over √2
//	face-off    how far it is from a long exposure, outlines and the filter's own
//	            mistakes and all, and the noise that 256 paths leave in the long one
func BenchmarkDemoPreview(b *testing.B) {
	for _, id := range []string{"hero", "portrait", "run-up", "release"} {
		var long *render.Picture
		for _, c := range []struct {
			name  string
			noise float64
		}{{"readable", 0.15}, {"settled", 0.05}} {
			b.Run(id+"/"+c.name, func(b *testing.B) {
				req := PreviewRequest{Session: demoSession(b), Setup: id, Noise: &c.noise, Width: 480, Height: 320}
				var pic *picture
				var f *render.Film
				var building time.Duration
				for b.Loop() {
					start := time.Now()
					var err error
					if pic, err = req.begin(); err != nil {
						b.Fatal(err)
					}
					building += time.Since(start)
					f = pic.shoot(b, pic.options)
				}
				b.ReportMetric(building.Seconds()/float64(b.N), "s-building")
				if long == nil {
					o := pic.options
					o.Noise, o.FocusNoise, o.Samples, o.Raw, o.Window, o.Seed = 0.001, 0.001, 64, true, o.Focus, 77
					long = mixed(pic.shoot(b, o))
				}
				o := pic.options
				o.Seed = 78
				got, again := mixed(f), mixed(pic.shoot(b, o))
				b.ReportMetric(apart(o.Focus, got, again)/math.Sqrt2, "face-noise")
				b.ReportMetric(apart(o.Focus, got, long), "face-off")
			})
		}
	}
}

// BenchmarkDemoRemix is a change of power in the demo's first picture.
func BenchmarkDemoRemix(b *testing.B) {
	noise := 0.3
	pic, err := PreviewRequest{Session: demoSession(b), Noise: &noise, Width: 480, Height: 320}.begin()
	if err != nil {
		b.Fatal(err)
	}
	f := pic.shoot(b, pic.options)
	for b.Loop() {
		p, _ := f.Mix(render.Gains{Lights: []unit.Stops{-1, 0.5}})
		p.Image(render.View{})
	}
}

func (pic *picture) shoot(t testing.TB, o render.Options) *render.Film {
	t.Helper()
	f, err := render.Preview(context.Background(), &pic.seen, o)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func mixed(f *render.Film) *render.Picture {
	p, _ := f.Mix(render.Gains{})
	return p
}

// apart returns the root mean square difference of two pictures in a box, in
// stops.
func apart(box image.Rectangle, a, b *render.Picture) float64 {
	sum, n := 0.0, 0.0
	for y := box.Min.Y; y < box.Max.Y; y++ {
		for x := box.Min.X; x < box.Max.X; x++ {
			p, _ := a.Stops(x, y)
			q, _ := b.Stops(x, y)
			if d := float64(p - q); !math.IsInf(d, 0) && !math.IsNaN(d) {
				sum += d * d
				n++
			}
		}
	}
	return math.Sqrt(sum / n)
}
