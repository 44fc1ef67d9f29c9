// Package render answers what the picture will look like, and how bright each
// place in it will be, before anybody has driven to the field.
//
// It follows light paths through a scene (engine/scene): sun, sky, flash heads
// as lit areas with a beam, light thrown back by the ground, matt surfaces under
// a glossy coat, a thin lens. The result is a Film: for each pixel and each
// source of light π times the luminance seen. For a matt surface of reflectance
// ρ that is ρ·E in lux for sun and sky and ρ·H in lux-seconds for a flash, so
// engine/exposure turns it into stops and a change of power, shutter, ISO or
// filter needs no new rays.
//
// The same scene, size, samples and seed give the same film whatever the number
// of goroutines.
//
// Left out: cos⁴ and mechanical vignetting, lens flare, dispersion, subsurface
// light in skin, things that let light through.
//
// Sources: [Kajiya1986], [Veach1995], [Burley2020], and the keys beside each
// formula.
package render

import (
	"context"
	"runtime"
	"sync"
	"sync/atomic"

	"hardnoon/engine/exposure"
	"hardnoon/engine/scene"
	"hardnoon/engine/unit"
)

// Options say how large and how clean a picture shall be. The zero value makes
// a 480×320 preview at f/8, 1/250 s, ISO 100.
type Options struct {
	Width, Height int
	Samples       int // paths a pixel; 0: 64
	Settings      exposure.Settings
	Seed          uint64
	Workers       int  // goroutines; 0: one a processor
	Raw           bool // leave the noise in

	// Each is called after every pass, from the calling goroutine, with the
	// film so far; it must not keep it. Returning false ends the picture there.
	Each func(f *Film, pass Pass) bool
}

// Pass says how far a picture has come.
type Pass struct{ Samples, Of int }

const (
	maxSide    = 16_384
	maxSamples = 1 << 20
	maxFilm    = 1 << 30 // bytes
	tileSide   = 16
	pixelBytes = 28 + 4
	layerBytes = 16
)

func (o *Options) fill() {
	if o.Width == 0 && o.Height == 0 {
		o.Width, o.Height = 480, 320
	}
	if o.Samples == 0 {
		o.Samples = 64
	}
	if o.Settings == (exposure.Settings{}) {
		o.Settings = exposure.Settings{FNumber: 8, Shutter: 1.0 / 256, ISO: 100}
	}
	if o.Workers <= 0 {
		o.Workers = runtime.GOMAXPROCS(0)
	}
}

func (o *Options) check(layers int) error {
	for _, err := range []error{
		unit.Within("picture width", float64(o.Width), 1, maxSide, "pixels"),
		unit.Within("picture height", float64(o.Height), 1, maxSide, "pixels"),
		unit.Within("samples", float64(o.Samples), 1, maxSamples, ""),
		o.Settings.Check(),
	} {
		if err != nil {
			return err
		}
	}
	size := float64(o.Width) * float64(o.Height) * float64(layers*layerBytes+pixelBytes)
	return unit.Within("memory of the film", size/1e6, 0, maxFilm/1e6, "MB")
}

// Preview renders the scene. When ctx ends first, it returns the film as far as
// it got beside the error of ctx; Film.Complete says whether every pixel has
// something to show.
func Preview(ctx context.Context, s *scene.Scene, o Options) (*Film, error) {
	o.fill()
	if err := o.check(firstLight + len(s.Lights)); err != nil {
		return nil, err
	}
	t := newTracer(s, &o)
	f := newFilm(s, &o)
	f.readProbes(ctx, t)
	for done := 0; done < o.Samples; {
		next := min(o.Samples, max(4, 2*done))
		if err := f.pass(ctx, t, done, next, o.Workers); err != nil {
			f.clean = nil
			return f, err
		}
		done = next
		if last := done == o.Samples; !o.Raw && (last || o.Each != nil) {
			f.Denoise(o.Workers)
		}
		if o.Each != nil && !o.Each(f, Pass{done, o.Samples}) {
			break
		}
	}
	return f, nil
}

// pass adds the samples from ≤ n < to to every pixel.
func (f *Film) pass(ctx context.Context, t *tracer, from, to, workers int) error {
	across := (f.Width + tileSide - 1) / tileSide
	tiles := across * ((f.Height + tileSide - 1) / tileSide)
	var next atomic.Int64
	var all sync.WaitGroup
	for range min(workers, tiles) {
		all.Go(func() {
			w := newWalker(t)
			for {
				i := int(next.Add(1)) - 1
				if i >= tiles || ctx.Err() != nil {
					return
				}
				f.tile(w, i%across*tileSide, i/across*tileSide, from, to)
			}
		})
	}
	all.Wait()
	return ctx.Err()
}

func (f *Film) tile(w *walker, x0, y0, from, to int) {
	for y := y0; y < min(y0+tileSide, f.Height); y++ {
		for x := x0; x < min(x0+tileSide, f.Width); x++ {
			pixel := y*f.Width + x
			for n := from; n < to; n++ {
				smp := newSampler(w.seed, uint32(pixel), uint32(n))
				a, b := smp.pair(usePixel)
				var c, d float32
				if w.eye.lens {
					c, d = smp.pair(useLens)
				}
				o, dir := w.eye.ray(float32(x)+a, float32(y)+b, c, d)
				w.follow(o, dir, smp)
				f.add(pixel, w)
			}
		}
	}
}
