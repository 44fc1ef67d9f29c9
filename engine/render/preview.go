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
	"image"
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
	Samples       int // most paths a pixel, four times as many in the focus; 0: 64
	// Noise ends the work on a part of the picture once its pixels are known to
	// that many stops before filtering; 0: 0.01 stop, which leaves out little
	// more than the empty sky.
	Noise unit.Stops
	// Focus is what people look at, a face say, in pixels; FocusNoise is Noise
	// there, in whole tiles. A face is small: to know it well costs little.
	Focus      image.Rectangle
	FocusNoise unit.Stops // 0: Noise
	Settings   exposure.Settings
	Seed       uint64
	Workers    int  // goroutines; 0: one a processor
	Raw        bool // leave the noise in
	// Window, if not empty, is the only part that gets any paths, in whole tiles.
	Window image.Rectangle

	// Each is called after every pass, from the calling goroutine, with the
	// film so far; it must not keep it. Returning false ends the picture there.
	Each func(f *Film, pass Pass) bool
}

// Pass says how far a picture has come: how many paths its busiest pixels have
// got, at most how many they may get, and the share of the work that is done of
// what is foreseen.
type Pass struct {
	Samples, Of int
	Share       float64
}

const (
	maxSide    = 16_384
	maxSamples = 1 << 20
	maxFilm    = 1 << 30 // bytes
	tileSide   = 8
	pixelBytes = 28 + 4 + 28 + 1 // features, count, guides, sharpness
	dark       = 1.0 / 16        // of mid-tone; noise in what is darker is not seen
	focusMore  = 4               // times as many paths a pixel may get in the focus
	roughNoise = 0.5             // stops; who allows that outside the focus gets one path there at first
	firstPaths = 2               // tell where more are wanted, over the pixels of a tile
	layerBytes = 3 * 16          // sums, two copies for the filter
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
	if o.FocusNoise == 0 {
		o.FocusNoise = o.Noise
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
		unit.Within("noise in the focus", float64(o.FocusNoise), 0, 10, "stops"),
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
	if err := o.check(layersOf(s)*layerBytes + pixelBytes); err != nil {
		return nil, err
	}
	t := newTracer(s, &o)
	f := newFilm(s, &o)
	f.readProbes(ctx, t)
	f.open(o.Window)
	most := o.Samples
	if !o.Focus.Empty() {
		most *= focusMore
	}
	for done := 0; ; {
		next := min(most, max(firstPaths, 2*done))
		share, more := f.plan(&o, next)
		if o.Each != nil && done > 0 {
			if !o.Raw {
				f.Denoise(o.Workers)
			}
			if !o.Each(f, Pass{done, most, share}) {
				return f, nil
			}
		}
		if !more {
			break
		}
		if err := f.pass(ctx, t, o.Workers); err != nil {
			f.clean = nil
			return f, err
		}
		done = next
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

// A tile is a part of the picture whose pixels all get the same number of paths.
type tile struct {
	box        image.Rectangle // of the film
	taken, due int             // paths a pixel: followed, and wanted by the end of a pass
	settled    bool
	scouted    bool // in this pass an eighth of the pixels get one path more, to tell the noise
}

// open lays the tiles out and closes those outside the window.
func (f *Film) open(window image.Rectangle) {
	across, n := f.tiles()
	f.parts = cleared(f.parts, n)
	for i := range f.parts {
		at := image.Pt(i%across, i/across).Mul(tileSide)
		b := image.Rectangle{at, at.Add(image.Pt(tileSide, tileSide))}.Intersect(image.Rect(0, 0, f.Width, f.Height))
		f.parts[i] = tile{box: b, settled: !window.Empty() && !window.Overlaps(f.whole(b))}
	}
}

// whole returns where a part of the film lies in the picture.
func (f *Film) whole(b image.Rectangle) image.Rectangle { return b.Add(image.Pt(0, f.top)) }

// pass follows the paths that are due.
func (f *Film) pass(ctx context.Context, t *tracer, workers int) error {
	var next atomic.Int64
	var all sync.WaitGroup
	for range min(workers, len(f.parts)) {
		all.Go(func() {
			w := newWalker(t)
			for {
				i := int(next.Add(1)) - 1
				if i >= len(f.parts) || ctx.Err() != nil {
					return
				}
				f.follow(w, &f.parts[i])
			}
		})
	}
	all.Wait()
	return ctx.Err()
}

// plan says how many paths every tile is due, up to so many a pixel, by the mean
// square of the noise of its pixels. It returns the share of the work that is
// done and whether there is more.
func (f *Film) plan(o *Options, most int) (share float64, more bool) {
	k, err := f.factors(Gains{})
	if err != nil {
		return 1, false
	}
	sparse := o.Noise >= roughNoise && !o.Focus.Empty() && o.Samples > 1
	done, all := 0.0, 0.0
	for i := range f.parts {
		p := &f.parts[i]
		if p.settled {
			done += float64(p.taken)
			all += float64(p.taken)
			continue
		}
		want, limit := float64(o.Samples), float64(o.Noise)*math.Ln2
		if o.Focus.Overlaps(f.whole(p.box)) {
			want, limit = want*focusMore, float64(o.FocusNoise)*math.Ln2
		}
		if p.taken > 0 {
			want = min(want, math.Ceil(float64(p.taken)*f.noise2(p, k)/(limit*limit)))
		}
		p.settled = want <= float64(p.taken)
		p.due = max(p.taken, min(most, int(want)))
		if p.scouted = p.taken == 0 && sparse && !o.Focus.Overlaps(f.whole(p.box)); p.scouted {
			p.due = 1
		}
		done += float64(p.taken)
		all += max(want, float64(p.taken))
		more = more || !p.settled
	}
	return done / max(all, 1), more
}

// noise2 returns the mean square of the noise of the pixels in a tile, before
// filtering, as a fraction of their luminance, or of what is dark if that is more.
// Pixels with one path do not know theirs.
func (f *Film) noise2(p *tile, k []float32) float64 {
	b := p.box
	sum, known := 0.0, 0.0
	for y := b.Min.Y; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			n := f.counts[y*f.Width+x]
			if n < 2 {
				continue
			}
			c, v := f.rawPixel(y*f.Width+x, k)
			l := max(float64(c.Y()), dark)
			sum += float64(v) / (l * l) * float64(n)
			known++
		}
	}
	return sum / max(known, 1) / float64(p.taken)
}

// follow follows the paths a tile is due.
func (f *Film) follow(w *walker, p *tile) {
	for y := p.box.Min.Y; y < p.box.Max.Y; y++ {
		for x := p.box.Min.X; x < p.box.Max.X; x++ {
			pixel := y*f.Width + x
			whole := uint32((y+f.top)*f.Width + x)
			due := p.due
			if p.scouted && (x+2*(y>>1))&3 == 0 && y&1 == 0 {
				due++
			}
			for n := int(f.counts[pixel]); n < due; n++ {
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
	p.taken = p.due
}
