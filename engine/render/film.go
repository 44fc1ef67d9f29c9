package render

import (
	"math"

	"hardnoon/engine/exposure"
	"hardnoon/engine/scene"
	"hardnoon/engine/unit"
)

// Film holds what every pixel received from every source.
type Film struct {
	Width, Height int
	Lights        []string          // names of the flashes, each a layer
	Settings      exposure.Settings // used where a mix names none
	Readings      []Reading         // of the scene's probes

	layers   int
	lens     lens
	top      int       // row of the picture the film begins at
	fold     []float32 // not nil: the layers are added up by these factors as they come
	sums     []float32 // by pixel and layer: R, G, B, and the square of Y
	counts   []uint32
	features []feature // sums
	sharp    []bool    // some path met what is in focus, or near it
	parts    []tile
	clean    []value // what Mix shows, once there is a filtered copy; it lies in scratch
	scratch  [2][]value
	guides   []feature
}

// A feature is what a pixel shows, whatever the light; it leads the denoiser.
type feature struct {
	albedo   scene.RGB
	normal   scene.Vec32
	nearness float32 // 1/m
}

func newFilm(s *scene.Scene, o *Options) *Film {
	f := &Film{Width: o.Width, Height: o.Height, Settings: o.Settings, layers: layersOf(s), lens: lensOf(&s.Camera, o.Width, o.Height)}
	for i := range s.Flashes() {
		f.Lights = append(f.Lights, s.Lights[i].Name)
	}
	f.allocate()
	return f
}

// allocate makes room for the film, or clears what is there.
func (f *Film) allocate() {
	n := f.Width * f.Height
	f.sums = cleared(f.sums, n*f.layers*4)
	f.counts = cleared(f.counts, n)
	f.features = cleared(f.features, n)
	f.sharp = cleared(f.sharp, n)
	f.clean = nil
}

func cleared[T any](a []T, n int) []T {
	if cap(a) < n {
		return make([]T, n)
	}
	a = a[:n]
	clear(a)
	return a
}

// add records the path w has just followed.
func (f *Film) add(pixel int, w *walker) {
	at := f.sums[pixel*f.layers*4:][:f.layers*4]
	light := w.out
	if f.fold != nil {
		var mix scene.RGB
		for i, c := range w.out {
			mix = mix.Add(c.Scale(f.fold[i]))
		}
		w.mix[0], light = mix, w.mix[:]
	}
	for i, c := range light {
		if c == (scene.RGB{}) {
			continue
		}
		c = c.Scale(math.Pi)
		y := c.Y()
		if !(y < 1e18) { // never let one broken path into the sum
			continue
		}
		p := at[i*4:][:4]
		p[0] += c.R
		p[1] += c.G
		p[2] += c.B
		p[3] += y * y
	}
	g := &f.features[pixel]
	g.albedo = g.albedo.Add(w.first.albedo)
	g.normal = g.normal.Add(w.first.normal)
	near := 1 / w.first.distance
	g.nearness += near
	if f.lens.blur(near) < soft {
		f.sharp[pixel] = true
	}
	f.counts[pixel]++
}

// Complete reports whether every pixel has received at least one path.
func (f *Film) Complete() bool {
	for _, n := range f.counts {
		if n == 0 {
			return false
		}
	}
	return true
}

// Gains say how the layers are put together. The zero value is the scene as it
// was rendered.
type Gains struct {
	Settings exposure.Settings // zero: the film's
	Sun, Sky unit.Stops
	Lamps    unit.Stops   // the steady ones
	Lights   []unit.Stops // by flash; missing: 0; −Inf: off
}

// factors turns gains into factors by layer: from film to mid-tone = 1.
func (f *Film) factors(g Gains) ([]float32, error) {
	if f.fold != nil {
		return []float32{1}, nil
	}
	s := g.Settings
	if s == (exposure.Settings{}) {
		s = f.Settings
	}
	if err := s.Check(); err != nil {
		return nil, err
	}
	out := make([]float32, f.layers)
	for i := range out {
		var gain unit.Stops
		t := 1.0
		switch {
		case i == sunLayer:
			gain, t = g.Sun, float64(s.Shutter)
		case i == skyLayer:
			gain, t = g.Sky, float64(s.Shutter)
		case i-firstLight == len(f.Lights):
			gain, t = g.Lamps, float64(s.Shutter)
		case i-firstLight < len(g.Lights):
			gain = g.Lights[i-firstLight]
		}
		if !math.IsInf(float64(gain), -1) {
			if err := unit.Within("gain", float64(gain), -60, 60, "stops"); err != nil {
				return nil, err
			}
		}
		// FlashStops is where an 18 % surface lands under 1 lx·s; the film already
		// has the reflectance in it.
		out[i] = float32((s.FlashStops(1) + gain).Ratio() * t / exposure.MidTone)
	}
	return out, nil
}

// black is the level of no light at all.
var black = unit.Stops(math.Inf(-1))

// Picture is a film mixed down: exposure relative to mid-tone, and the variance
// of its luminance.
type Picture struct {
	Width, Height int
	pixels        []scene.RGB
	variance      []float32
}

// Mix puts the layers together. It costs one pass over the film and no rays.
func (f *Film) Mix(g Gains) (*Picture, error) {
	k, err := f.factors(g)
	if err != nil {
		return nil, err
	}
	p := &Picture{f.Width, f.Height, make([]scene.RGB, len(f.counts)), make([]float32, len(f.counts))}
	for i := range f.counts {
		p.pixels[i], p.variance[i] = f.pixel(i, k)
	}
	return p, nil
}

// pixel mixes pixel i by the factors k, filtered if the film is.
func (f *Film) pixel(i int, k []float32) (c scene.RGB, variance float32) {
	if f.clean == nil {
		return f.rawPixel(i, k)
	}
	for l, q := range f.clean[i*f.layers:][:f.layers] {
		c = c.Add(q.c.Scale(k[l]))
		variance += q.v * k[l] * k[l]
	}
	return c, variance
}

// rawPixel mixes pixel i from its sums, by the factors k.
func (f *Film) rawPixel(i int, k []float32) (c scene.RGB, variance float32) {
	n := float32(f.counts[i])
	if n == 0 {
		return
	}
	at := f.sums[i*f.layers*4:][:f.layers*4]
	for l, k := range k {
		q := at[l*4:][:4]
		m := scene.RGB{R: q[0], G: q[1], B: q[2]}.Scale(k / n)
		c = c.Add(m)
		y := m.Y()
		variance += max(0, q[3]*k*k/n-y*y)
	}
	if n == 1 { // one path does not know: take it to be as far off as it is bright
		return c, c.Y() * c.Y()
	}
	return c, variance / (n - 1)
}

// Stops returns where pixel x, y lands relative to mid-tone, and the standard
// error of that from the number of paths. A pixel that received nothing is −Inf.
func (p *Picture) Stops(x, y int) (level, noise unit.Stops) {
	if x < 0 || y < 0 || x >= p.Width || y >= p.Height {
		return black, 0
	}
	i := y*p.Width + x
	l := float64(p.pixels[i].Y())
	if l <= 0 {
		return black, 0
	}
	return unit.StopsOf(l), unit.Stops(math.Sqrt(float64(p.variance[i])) / l / math.Ln2)
}
