package render_test

import (
	"context"
	"errors"
	"math"
	"runtime"
	"testing"

	"hardnoon/engine/geom"
	"hardnoon/engine/render"
	"hardnoon/engine/scene"
	"hardnoon/engine/unit"
)

// A picture does not depend on who computes which part of it.
func TestSamePictureForAnyNumberOfGoroutines(t *testing.T) {
	s := build(t, field())
	want, _ := shoot(t, s, render.Options{Width: 60, Height: 40, Samples: 8, Seed: 7, Workers: 1}).Mix(render.Gains{})
	for _, workers := range []int{2, 5} {
		got, _ := shoot(t, s, render.Options{Width: 60, Height: 40, Samples: 8, Seed: 7, Workers: workers}).Mix(render.Gains{})
		for y := range want.Height {
			for x := range want.Width {
				a, ea := want.Stops(x, y)
				if b, eb := got.Stops(x, y); a != b || ea != eb {
					t.Fatalf("%d goroutines: pixel %d, %d is %v ± %v, with one %v ± %v", workers, x, y, b, eb, a, ea)
				}
			}
		}
	}
	other, _ := shoot(t, s, render.Options{Width: 60, Height: 40, Samples: 8, Seed: 8}).Mix(render.Gains{})
	a, _ := want.Stops(30, 20)
	if b, _ := other.Stops(30, 20); a == b {
		t.Error("another seed gives the same pixel")
	}
}

func TestCancel(t *testing.T) {
	s := build(t, field())
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	f, err := render.Preview(ctx, s, render.Options{Width: 480, Height: 320, Samples: 1 << 20})
	if !errors.Is(err, context.Canceled) || f.Complete() {
		t.Errorf("cancelled at once: %v", err)
	}
	ctx, cancel = context.WithCancel(context.Background())
	passes := 0
	f, err = render.Preview(ctx, s, render.Options{Width: 48, Height: 32, Samples: 1 << 20, Each: func(*render.Film, render.Pass) bool {
		if passes++; passes == 2 {
			cancel()
		}
		return true
	}})
	if !errors.Is(err, context.Canceled) || !f.Complete() || passes != 2 {
		t.Errorf("cancelled after two passes: %v, complete %v, %d passes", err, f.Complete(), passes)
	}
	if _, err := f.Image(render.View{}); err != nil {
		t.Error(err)
	}
	f, err = render.Preview(context.Background(), s, render.Options{Width: 48, Height: 32, Samples: 1 << 20, Each: func(_ *render.Film, p render.Pass) bool { return p.Samples < 8 }})
	if err != nil || !f.Complete() {
		t.Errorf("told to stop: %v", err)
	}
}

func TestOddScenes(t *testing.T) {
	small := render.Options{Width: 24, Height: 16, Samples: 4}
	if f := shoot(t, build(t, scene.Parts{}), small); !f.Complete() {
		t.Error("an empty world has no picture")
	}
	p := field()
	p.Lights = nil
	shoot(t, build(t, p), small)
	for range 40 {
		p.Lights = append(p.Lights, scene.Light{At: geom.Vec{X: -1, Y: -1, Z: 2}, Width: 0.2, Intensity: 100})
	}
	shoot(t, build(t, p), small)
	p = field()
	p.Lights[0].At, p.Lights[0].Width = geom.Vec{Z: 1.2}, 0.1 // inside the body: it lights nothing outside
	f := shoot(t, build(t, p), small)
	l, err := f.Read(f.Readings[2], render.Gains{})
	if err != nil || !math.IsInf(float64(l.Lights[0]), -1) {
		t.Errorf("a head inside the chest lights it: %+v, %v", l, err)
	}
	p = field()
	p.Lights[1].At = geom.Vec{X: 0.1, Y: -3.2, Z: 1.25} // in the frame, front away from the camera
	shoot(t, build(t, p), small)
	for _, o := range []render.Options{{Width: -1, Height: 10}, {Width: 1 << 20, Height: 1}, {Width: 16000, Height: 16000}, {Samples: -1}} {
		_, err := render.Preview(context.Background(), build(t, field()), o)
		if r := new(unit.RangeError); !errors.As(err, &r) {
			t.Errorf("%+v: %v", o, err)
		}
	}
	if _, err := f.Mix(render.Gains{Sun: unit.Stops(math.NaN())}); err == nil {
		t.Error("a gain that is no number is taken")
	}
	if _, err := f.Image(render.View{Aspect: 77}); err == nil {
		t.Error("an unknown view is drawn")
	}
}

// One stop more power is one stop more in that layer and nothing in the others;
// a re-mix is the same as rendering with the new power.
func TestMixIsLinear(t *testing.T) {
	p := field()
	f := shoot(t, build(t, p), render.Options{Width: 48, Height: 32, Samples: 4})
	r := f.Readings[0]
	before, _ := f.Read(r, render.Gains{})
	after, _ := f.Read(r, render.Gains{Lights: []unit.Stops{1, unit.Stops(math.Inf(-1))}})
	if d := float64(after.Lights[0] - before.Lights[0]); math.Abs(d-1) > 1e-6 || after.Sky != before.Sky || !math.IsInf(float64(after.Lights[1]), -1) {
		t.Errorf("%+v became %+v", before, after)
	}
	// Half the time takes a stop from sun and sky and leaves the flash.
	s := fieldSettings
	s.Shutter /= 2
	fast, _ := f.Read(r, render.Gains{Settings: s})
	if d := float64(before.Sun - fast.Sun); math.Abs(d-1) > 1e-6 || math.Abs(float64(fast.Lights[0]-before.Lights[0])) > 1e-6 {
		t.Errorf("half the time: %+v became %+v", before, fast)
	}
}

// reference is the field at 1,024 paths a pixel, no filter, at a small size.
func noiseAgainst(t testing.TB, ref, p *render.Picture, x0, y0, x1, y1 int) float64 {
	sum, n := 0.0, 0
	for y := y0; y < y1; y++ {
		for x := x0; x < x1; x++ {
			a, _ := ref.Stops(x, y)
			b, _ := p.Stops(x, y)
			if math.IsInf(float64(a), 0) || math.IsInf(float64(b), 0) {
				continue
			}
			sum += math.Pow(float64(a-b), 2)
			n++
		}
	}
	if n == 0 {
		t.Fatal("nothing to compare")
	}
	return math.Sqrt(sum / float64(n))
}

// The filter takes noise away and moves no probe: around each probe the mean of
// the filtered picture is that of the raw one, and of a long exposure.
func TestDenoiserMovesNoProbe(t *testing.T) {
	const allowed = 0.05 // stop
	s := build(t, field())
	o := render.Options{Width: 180, Height: 120, Samples: 16}
	long := 192
	if runtime.GOARCH == "wasm" { // one thread there, and slow
		long = 64
	}
	f := shoot(t, s, o)
	clean, _ := f.Mix(render.Gains{})
	o.Raw = true
	raw, _ := shoot(t, s, o).Mix(render.Gains{})
	o.Samples, o.Seed = long, 99
	ref, _ := shoot(t, s, o).Mix(render.Gains{})
	for _, r := range f.Readings {
		x, y := int(r.Place.X*180), int(r.Place.Y*120)
		mean := func(p *render.Picture) float64 {
			sum := 0.0
			for dy := -1; dy <= 1; dy++ {
				for dx := -1; dx <= 1; dx++ {
					l, _ := p.Stops(x+dx, y+dy)
					sum += l.Ratio()
				}
			}
			return math.Log2(sum / 9)
		}
		if d := mean(clean) - mean(ref); math.Abs(d) > allowed {
			t.Errorf("%s: filtered %+.3f stop off a long exposure, raw %+.3f", r.Name, d, mean(raw)-mean(ref))
		} else {
			t.Logf("%s: filtered %+.3f stop off a long exposure, raw %+.3f", r.Name, d, mean(raw)-mean(ref))
		}
	}
	// The chest: smooth, lit by everything, and no outlines.
	was, is := noiseAgainst(t, ref, raw, 65, 57, 91, 93), noiseAgainst(t, ref, clean, 65, 57, 91, 93)
	t.Logf("chest: raw %.3f stop, filtered %.3f", was, is)
	if is > 0.7*was {
		t.Errorf("noise %.3f stop before, %.3f after", was, is)
	}
}

func BenchmarkPaths(b *testing.B) {
	trivial := scene.Parts{
		Materials: []scene.Material{{Diffuse: scene.Grey(0.5)}},
		Ground:    &scene.Ground{},
		Solids:    []scene.Solid{{Form: scene.Sphere, At: geom.Vec{Z: 1}, Size: geom.Vec{X: 1}}},
		Camera:    scene.Camera{At: geom.Vec{Y: -6, Z: 2}, Aim: geom.Vec{Z: 1}},
		Daylight:  scene.Daylight{Sky: scene.UniformSky(5000)},
	}
	for _, c := range []struct {
		name string
		p    scene.Parts
	}{{"sphere", trivial}, {"field", field()}} {
		b.Run(c.name, func(b *testing.B) {
			s := build(b, c.p)
			const n = 4
			for b.Loop() {
				shoot(b, s, render.Options{Samples: n, Raw: true})
			}
			b.ReportMetric(float64(b.N)*480*320*n/b.Elapsed().Seconds()/1e6, "Mpaths/s")
		})
	}
}

func BenchmarkDenoise(b *testing.B) {
	f := shoot(b, build(b, field()), render.Options{Samples: 4})
	for b.Loop() {
		f.Denoise(2)
	}
}

func BenchmarkRemix(b *testing.B) {
	f := shoot(b, build(b, field()), render.Options{Samples: 4})
	for b.Loop() {
		p, _ := f.Mix(render.Gains{Lights: []unit.Stops{1, -1}})
		p.Image(render.View{})
	}
}
