package render_test

import (
	"image"
	"math"
	"testing"

	"hardnoon/engine/render"
)

// The focus is made as clean as was asked, the rest as clean as was asked of it
// and at less cost; nothing outside the window is drawn at all.
func TestFocusAndWindow(t *testing.T) {
	s := build(t, field())
	s.Probes = nil
	face := image.Rect(64, 24, 76, 36)
	o := render.Options{Width: 160, Height: 107, Samples: 64, Noise: 0.45, Focus: face, FocusNoise: 0.15, Raw: true, Workers: 1}
	noise := func(p *render.Picture, b image.Rectangle) float64 {
		sum, n := 0.0, 0.0
		for y := b.Min.Y; y < b.Max.Y; y++ {
			for x := b.Min.X; x < b.Max.X; x++ {
				if _, e := p.Stops(x, y); !math.IsInf(float64(e), 0) {
					sum += float64(e * e)
					n++
				}
			}
		}
		return math.Sqrt(sum / n)
	}
	one, err := shoot(t, s, o).Mix(render.Gains{})
	if err != nil {
		t.Fatal(err)
	}
	in, chest := noise(one, image.Rect(64, 24, 80, 40)), noise(one, image.Rect(64, 64, 80, 80))
	t.Logf("noise %.3f stop in the focus, %.3f on the chest", in, chest)
	if in > 0.15*1.05 || chest > 0.45*1.05 || in > 0.6*chest { // a pixel darker than is looked at may have more
		t.Errorf("noise %.3f stop in the focus, %.3f on the chest", in, chest)
	}
	// Who allows more gets one path a pixel there at first. Those do not know their
	// noise, so another seed tells it, over matt pixels that are lit alike.
	o.Noise, o.Samples = 0.6, 8
	one, _ = shoot(t, s, o).Mix(render.Gains{})
	o.Seed = 5
	again, _ := shoot(t, s, o).Mix(render.Gains{})
	o.Seed = 0
	sum := 0.0
	for y := 64; y < 80; y++ {
		for x := 64; x < 80; x++ {
			a, _ := one.Stops(x, y)
			b, _ := again.Stops(x, y)
			sum += float64((a-b)*(a-b)) / (2 * 256)
		}
	}
	t.Logf("allowed 0.6 stop, the chest has %.3f", math.Sqrt(sum))
	if got := math.Sqrt(sum); got > 0.6*1.05 || got < 0.1 {
		t.Errorf("allowed 0.6 stop, the chest has %.3f", got)
	}
	o.Workers = 3
	two, _ := shoot(t, s, o).Mix(render.Gains{})
	o.Window = face
	part, _ := shoot(t, s, o).Mix(render.Gains{})
	for y := range o.Height {
		for x := range o.Width {
			a, _ := one.Stops(x, y)
			if b, _ := two.Stops(x, y); a != b {
				t.Fatalf("pixel %d, %d is %v by one goroutine, %v by three", x, y, a, b)
			}
			c, _ := part.Stops(x, y)
			if inside := image.Pt(x, y).In(image.Rect(64, 24, 80, 40)); inside && c != a || !inside && !math.IsInf(float64(c), -1) {
				t.Fatalf("pixel %d, %d is %v, alone %v", x, y, a, c)
			}
		}
	}
}
