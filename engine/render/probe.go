package render

import (
	"context"
	"math"
	"sync"

	"hardnoon/engine/scene"
	"hardnoon/engine/unit"
)

// Reading is the light at a probe as the camera sees it, free of any denoiser:
// it has its own paths, all to the very point.
type Reading struct {
	Name   string
	Place  scene.Place
	Behind bool // the camera looks away from it
	Hidden bool // something stands before it; the reading is of that
	layers []float64
	errors []float64 // standard errors of layers
}

const probePaths = 1024 // the sky's noise is then below 0.02 stop on open surfaces

// readProbes reads every probe of the scene, side by side.
func (f *Film) readProbes(ctx context.Context, t *tracer) {
	read := make([]Reading, len(t.s.Probes))
	var all sync.WaitGroup
	for i := range read {
		all.Go(func() { read[i] = f.readProbe(ctx, t, i) })
	}
	all.Wait()
	if ctx.Err() == nil {
		f.Readings = read
	}
}

func (f *Film) readProbe(ctx context.Context, t *tracer, i int) Reading {
	p := &t.s.Probes[i]
	r := Reading{Name: p.Name, layers: make([]float64, f.layers), errors: make([]float64, f.layers)}
	var ahead bool
	if r.Place, ahead = t.s.Camera.Project(p.At); !ahead {
		r.Behind = true
		return r
	}
	d := scene.To32(p.At).Sub(t.eye.at)
	dist := d.Norm()
	d = d.Unit()
	// A probe within 3 cm of a surface means that surface.
	if h, ok := t.s.Trace(t.eye.at, d, far, t.s.FlashAt); ok && h.T < dist-0.03 {
		r.Hidden = true
	}
	w := newWalker(t)
	for n := 0; n < probePaths && (n&63 != 0 || ctx.Err() == nil); n++ {
		w.see(t.eye.at, d, newSampler(t.seed, 1<<31|uint32(i), uint32(n)))
		for l, c := range w.out {
			y := math.Pi * float64(c.Y())
			r.layers[l] += y
			r.errors[l] += y * y
		}
	}
	for l := range r.layers {
		m := r.layers[l] / probePaths
		r.layers[l] = m
		r.errors[l] = math.Sqrt(max(0, r.errors[l]/probePaths-m*m) / (probePaths - 1))
	}
	return r
}

// A Level is what a probe reads in a mix.
type Level struct {
	Total, Sun, Sky unit.Stops // relative to mid-tone; −Inf: nothing
	Lamps           unit.Stops // all steady ones
	Lights          []unit.Stops
	Noise           unit.Stops // standard error of Total, from above
}

// Read returns the level of reading r of this film under a mix.
func (f *Film) Read(r Reading, g Gains) (Level, error) {
	k, err := f.factors(g)
	if err != nil || r.Behind {
		dark := Level{Total: black, Sun: black, Sky: black, Lamps: black, Lights: make([]unit.Stops, len(f.Lights))}
		for i := range dark.Lights {
			dark.Lights[i] = black
		}
		return dark, err
	}
	total, v := 0.0, 0.0
	stops := make([]unit.Stops, f.layers)
	for l, k := range k {
		x := r.layers[l] * float64(k)
		total += x
		v += math.Pow(r.errors[l]*float64(k), 2)
		stops[l] = unit.StopsOf(x)
	}
	noise := 0.0
	if total > 0 {
		noise = math.Sqrt(v) / total / math.Ln2
	}
	x := Level{unit.StopsOf(total), stops[sunLayer], stops[skyLayer], black, stops[firstLight:], unit.Stops(noise)}
	if n := len(f.Lights); n < len(x.Lights) {
		x.Lamps, x.Lights = x.Lights[n], x.Lights[:n]
	}
	return x, nil
}
