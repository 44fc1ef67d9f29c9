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
	"math"
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
	Samples       int // most paths a pixel; 0: 64
	// Noise ends the work on a part of the picture once its pixels are known to
	// that many stops before filtering; 0: 0.01 stop, which leaves out little
	// more than the empty sky.
	Noise    unit.Stops
	Settings exposure.Settings
	Seed     uint64
	Workers  int  // goroutines; 0: one a processor
	Raw      bool // leave the noise in

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
	pixelBytes = 28 + 4 + 28 // features, count, guides
	sureAfter  = 8           // paths; fewer cannot tell how little they know
	layerBytes = 3 * 16      // sums, two copies for the filter
)

func (o *Options) fill() {
	if o.Width == 0 && o.Height == 0 {
		o.Width, o.Height = 480, 320
	}
	if o.Samples == 0 {
		o.Samples = 64
	}
	if o.Noise == 0 {
		o.Noise = defaultNoise
	}
	if o.Settings == (exposure.Settings{}) {
		o.Settings = exposure.Settings{FNumber: 8, Shutter: 1.0 / 256, ISO: 100}
	}
	if o.Workers <= 0 {
		o.Workers = runtime.GOMAXPROCS(0)
	}
}

// check refuses what cannot be; a pixel takes so many bytes.
func (o *Options) check(bytes int) error {
	for _, err := range []error{
		unit.Within("picture width", float64(o.Width), 1, maxSide, "pixels"),
		unit.Within("picture height", float64(o.Height), 1, maxSide, "pixels"),
		unit.Within("noise", float64(o.Noise), 0, 10, "stops"),
		unit.Within("samples", float64(o.Samples), 1, maxSamples, ""),
		o.Settings.Check(),
	} {
		if err != nil {
			return err
		}
	}
	size := float64(o.Width) * float64(o.Height) * float64(bytes)
	return unit.Within("memory of the film", size/1e6, 0, maxFilm/1e6, "MB")
}

const defaultNoise = unit.Stop / 100

// Preview renders the scene. When ctx ends first, it returns the film as far as
// it got beside the error of ctx; Film.Complete says whether every pixel has
// something to show.
func Preview(ctx context.Context, s *scene.Scene, o Options) (*Film, error) {
	o.fill()
	if err := o.check((firstLight+len(s.Lights))*layerBytes + pixelBytes); err != nil {
		return nil, err
	}
	t := newTracer(s, &o)
	f := newFilm(s, &o)
	f.readProbes(ctx, t)
	done := 0
	for done < o.Samples {
		next := min(o.Samples, max(4, 2*done))
		if done >= sureAfter && f.markSettled(o.Noise) {
			break
		}
		if err := f.pass(ctx, t, done, next, o.Workers); err != nil {
			f.clean = nil
			return f, err
		}
		done = next
		if o.Each != nil {
			if !o.Raw {
				f.Denoise(o.Workers)
			}
			if !o.Each(f, Pass{done, o.Samples}) {
				return f, nil
			}
		}
	}
	if !o.Raw && o.Each == nil {
		f.Denoise(o.Workers)
	}
	return f, nil
}

// tiles returns how many tiles lie side by side, and how many there are.
func (f *Film) tiles() (across, all int) {
	across = (f.Width + tileSide - 1) / tileSide
	return across, across * ((f.Height + tileSide - 1) / tileSide)
}

// pass adds the samples from ≤ n < to to every pixel that is not settled.
func (f *Film) pass(ctx context.Context, t *tracer, from, to, workers int) error {
	across, tiles := f.tiles()
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
				if !f.settled[i] {
					f.tile(w, i%across*tileSide, i/across*tileSide, from, to)
				}
			}
		})
	}
	all.Wait()
	return ctx.Err()
}

// markSettled notes which tiles are known well enough, by the mean square of
// the noise of their pixels, and reports whether all are.
func (f *Film) markSettled(noise unit.Stops) bool {
	k, err := f.factors(Gains{})
	if err != nil {
		return false
	}
	across, tiles := f.tiles()
	done := true
	for i := range tiles {
		if f.settled[i] {
			continue
		}
		x0, y0 := i%across*tileSide, i/across*tileSide
		sum, n := 0.0, 0
		for y := y0; y < min(y0+tileSide, f.Height); y++ {
			for x := x0; x < min(x0+tileSide, f.Width); x++ {
				c, v := f.rawPixel(y*f.Width+x, k)
				n++
				if l := float64(c.Y()); l > 0 {
					sum += float64(v) / (l * l)
				}
			}
		}
		limit := float64(noise) * math.Ln2
		f.settled[i] = sum/float64(n) <= limit*limit
		done = done && f.settled[i]
	}
	return done
}

func (f *Film) tile(w *walker, x0, y0, from, to int) {
	for y := y0; y < min(y0+tileSide, f.Height); y++ {
		for x := x0; x < min(x0+tileSide, f.Width); x++ {
			pixel := y*f.Width + x
			whole := uint32((y+f.top)*f.Width + x)
			for n := from; n < to; n++ {
				smp := newSampler(w.seed, whole, uint32(n))
				a, b := smp.pair(usePixel)
				var c, d float32
				if w.eye.lens {
					c, d = smp.pair(useLens)
				}
				o, dir := w.eye.ray(float32(x)+a, float32(y+f.top)+b, c, d)
				w.see(o, dir, smp)
				f.add(pixel, w)
			}
		}
	}
}
