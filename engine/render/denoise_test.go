package render

import (
	"math"
	"math/rand/v2"
	"testing"

	"hardnoon/engine/geom"
	"hardnoon/engine/optics"
	"hardnoon/engine/scene"
	"hardnoon/engine/unit"
)

// What an odd pixel has too much goes to its neighbours and what it lacks comes
// from them: light is neither made nor lost, and no pixel is left beyond all its
// neighbours but two.
func TestSharedSpecksKeepTheLight(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	f := &Film{Width: 40, Height: 30, layers: 2}
	n := f.Width * f.Height
	f.counts, f.guides, f.sharp = make([]uint32, n), make([]feature, n), make([]bool, n)
	at, tmp := make([]value, n*f.layers), make([]value, n*f.layers)
	total := func() (sum scene.RGB) {
		for i := range at {
			sum = sum.Add(at[i].c)
		}
		return sum
	}
	for i := range n {
		f.counts[i], f.sharp[i] = 1, true
		f.guides[i] = feature{scene.RGB{R: 1, G: 1, B: 1}, scene.Vec32{Z: 1}, 0.3}
		if i%f.Width > 20 { // another surface, twice as far away
			f.guides[i].nearness = 0.15
		}
		at[2*i].c = scene.RGB{R: 1, G: 2, B: 3}
		if rng.IntN(12) == 0 {
			at[2*i].c = scene.RGB{} // this path missed the light
		}
		if rng.IntN(12) == 0 { // and this one met another
			at[2*i+1].c = scene.RGB{R: 40, G: 10}
		}
	}
	before := total()
	f.shareSpecks(at, tmp, 2)
	after := total()
	for _, x := range [][2]float32{{before.R, after.R}, {before.G, after.G}, {before.B, after.B}} {
		if d := float64(x[1]/x[0] - 1); math.Abs(d) > 1e-4 {
			t.Errorf("light %v became %v", before, after)
		}
	}
	dark := 0
	for i := range n {
		if at[2*i].c.Y() < 0.5 {
			dark++
		}
	}
	if dark > n/100 {
		t.Errorf("%d of %d pixels are still dark", dark, n)
	}
}

// The blur the filter reckons with is that of a thin lens.
func TestBlurOfTheThinLens(t *testing.T) {
	c := scene.Camera{Aim: geom.Vec{Y: 3}, Focal: 135 * unit.Millimetre, FNumber: 2.8, Focus: 3, SensorWidth: 36 * unit.Millimetre, SensorHeight: 24 * unit.Millimetre}
	l := lensOf(&c, 480, 320)
	thin := optics.Lens{Focal: c.Focal, FNumber: 2.8}
	for _, d := range []unit.Length{1.2, 2.5, 3, 3.4, 12, 4000} {
		want := float64(thin.BackgroundBlur(c.Focus, d) / (c.SensorWidth / 480))
		if got := float64(l.blur(float32(1 / d))); math.Abs(got-want) > 1e-4*(1+want) {
			t.Errorf("%.1f m: %.4f pixels, by package optics %.4f", d.Metres(), got, want)
		}
	}
}
