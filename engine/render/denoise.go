package render

import (
	"slices"
	"sync"
	"sync/atomic"

	"hardnoon/engine/scene"
)

// A value is one layer of one pixel after division by the reflectance seen:
// the light on the surface, and the variance of its luminance.
type value struct {
	c scene.RGB
	v float32
}

const (
	filterPasses = 4    // steps of 1, 2, 4, 8 pixels
	printPasses  = 3    // of a picture whose pixels are small anyway
	alike        = 3.0  // standard errors by which two values may differ and still be the same light
	facing       = 0.12 // squared difference of normals at which two surfaces are strangers
	inDepth      = 0.04 // relative difference of nearness, for neighbours a step apart
	leastAlbedo  = 0.02 // darker reflectances are not divided out
	soft         = 4    // steps a point is drawn wide, from where on its surroundings are one with it
)

// Denoise replaces what Mix shows by a filtered copy; the sums stay as they are.
// Each layer is filtered by itself and by its own variance, so that a hard
// shadow that is known well stays hard beside a sky that is not known yet.
// Probes are never touched: they have their own paths.
//
// Source: [Dammertz2010] à-trous filter with edge stopping, [Schied2017] for the
// guidance by variance; the compact weights are our own.
func (f *Film) Denoise(workers int) {
	passes := filterPasses
	if f.fold != nil {
		passes = printPasses
	}
	n := len(f.counts)
	f.guides = cleared(f.guides, n)
	for i := range f.scratch {
		f.scratch[i] = cleared(f.scratch[i], n*f.layers)
	}
	guides, from, to := f.guides, f.scratch[0], f.scratch[1]
	f.eachRow(workers, func(y int) {
		for i := y * f.Width; i < (y+1)*f.Width; i++ {
			if f.counts[i] == 0 {
				continue
			}
			inv := 1 / float32(f.counts[i])
			g := f.features[i]
			guides[i] = feature{floorOf(g.albedo.Scale(inv)), g.normal.Scale(inv), g.nearness * inv}
			if !f.sharp[i] {
				guides[i].albedo = scene.RGB{R: 1, G: 1, B: 1} // of many things, it would be that of none
			}
			a := guides[i].albedo
			for l := range f.layers {
				q := f.sums[(i*f.layers+l)*4:][:4]
				m := scene.RGB{R: q[0] * inv, G: q[1] * inv, B: q[2] * inv}
				yy := m.Y()
				v := max(0, q[3]*inv-yy*yy) / max(1, float32(f.counts[i])-1)
				ay := a.Y()
				from[i*f.layers+l] = value{scene.RGB{R: m.R / a.R, G: m.G / a.G, B: m.B / a.B}, v / (ay * ay)}
			}
		}
	})
	f.spreadVariance(from, to, workers)
	f.shareSpecks(from, to, workers)
	for k := range passes {
		f.filter(from, to, 1<<k, workers)
		from, to = to, from
	}
	f.eachRow(workers, func(y int) {
		for i := y * f.Width; i < (y+1)*f.Width; i++ {
			a := guides[i].albedo
			for l := range f.layers {
				q := &from[i*f.layers+l]
				q.c, q.v = q.c.Mul(a), q.v*a.Y()*a.Y()
			}
		}
	})
	f.clean = from
}

func floorOf(a scene.RGB) scene.RGB {
	return scene.RGB{R: max(a.R, leastAlbedo), G: max(a.G, leastAlbedo), B: max(a.B, leastAlbedo)}
}

// spreadVariance averages the variance of a path over five by five pixels: from a
// few paths alone a pixel does not know how little it knows, from one nothing.
// tmp is scratch.
func (f *Film) spreadVariance(at, tmp []value, workers int) {
	f.eachRow(workers, func(y int) {
		for x := range f.Width {
			for l := range f.layers {
				sum, n := float32(0), float32(0)
				for k := max(0, x-2); k <= min(f.Width-1, x+2); k++ {
					if c := f.counts[y*f.Width+k]; c > 1 {
						sum += at[(y*f.Width+k)*f.layers+l].v * float32(c)
						n++
					}
				}
				tmp[(y*f.Width+x)*f.layers+l] = value{c: scene.RGB{R: n}, v: sum}
			}
		}
	})
	f.eachRow(workers, func(y int) {
		for x := range f.Width {
			for l := range f.layers {
				sum, n := float32(0), float32(0)
				for k := max(0, y-2); k <= min(f.Height-1, y+2); k++ {
					t := &tmp[(k*f.Width+x)*f.layers+l]
					sum += t.v
					n += t.c.R
				}
				v := &at[(y*f.Width+x)*f.layers+l].v
				*v = max(*v, sum/(max(n, 1)*float32(max(f.counts[y*f.Width+x], 1))))
			}
		}
	})
}

// A neighbour shows about the same surface, or both are so far out of focus that
// each path through them meets another one.
type neighbour struct {
	at     int
	weight float32
	one    bool // out of focus: whatever its light is, it is also this pixel's
}

// neighbours puts those of pixel x, y at a distance of step pixels into list and
// returns how many there are.
func (f *Film) neighbours(x, y, step int, list *[8]neighbour) (n int) {
	i := y*f.Width + x
	g := &f.guides[i]
	tolerance := inDepth * float32(step)
	blur := f.lens.blur(g.nearness)
	for dy := -step; dy <= step; dy += step {
		if y+dy < 0 || y+dy >= f.Height {
			continue
		}
		for dx := -step; dx <= step; dx += step {
			if x+dx < 0 || x+dx >= f.Width || dx == 0 && dy == 0 {
				continue
			}
			j := i + dy*f.Width + dx
			if f.counts[j] == 0 {
				continue
			}
			h := &f.guides[j]
			if f.sharp[i] != f.sharp[j] {
				continue // one was divided by its reflectance, one was not
			}
			w, one := float32(1), !f.sharp[i] && min(blur, f.lens.blur(h.nearness)) >= soft*float32(step)
			if !one {
				d := g.normal.Sub(h.normal)
				z := (g.nearness - h.nearness) / (max(g.nearness, h.nearness) * tolerance)
				if w -= d.Dot(d)*(1/facing) + z*z; w <= 0 {
					continue
				}
			}
			if dx == 0 || dy == 0 {
				w *= 2
			}
			list[n&7] = neighbour{j, w, one}
			n++
		}
	}
	return n
}

// shareSpecks evens out pixels that lie beyond all but two of their neighbours:
// their few paths may all have met, or missed, a light alike. What is too much
// goes to the neighbours, what is lacking comes from them, so that no light is
// lost. tmp is scratch.
func (f *Film) shareSpecks(at, tmp []value, workers int) {
	const few = 2      // paths
	const slight = 0.2 // of the mean around: nothing odd about it
	layers := f.layers
	odd := make([]bool, len(f.counts))
	// In tmp: what a pixel has too much, and −1 over how many share it; or what it
	// lacks, and the part of the light of its neighbours that makes it up.
	f.eachRow(workers, func(y int) {
		var near [8]neighbour
		for x := range f.Width {
			i := y*f.Width + x
			if c := f.counts[i]; c == 0 || c > few || !f.sharp[i] {
				continue
			}
			n := f.neighbours(x, y, 1, &near)
			if n < 4 {
				continue
			}
			for l := range layers {
				var sum scene.RGB
				for k := range near[:n] {
					sum = sum.Add(at[near[k].at*layers+l].c)
				}
				own, mean := at[i*layers+l].c.Y(), sum.Y()/float32(n)
				if own >= mean*(1-slight) && own <= mean*(1+slight) {
					continue
				}
				// The third of those that go farthest from the mean on its side.
				sign := float32(1)
				if own < mean {
					sign = -1
				}
				beyond := 0
				for k := range near[:n] {
					if sign*at[near[k].at*layers+l].c.Y() >= sign*own {
						beyond++
					}
				}
				if beyond > 2 {
					continue
				}
				first, second, third := -far, -far, -far
				for k := range near[:n] {
					switch q := sign * at[near[k].at*layers+l].c.Y(); {
					case q > first:
						first, second, third = q, first, second
					case q > second:
						second, third = q, second
					case q > third:
						third = q
					}
				}
				third *= sign
				if !odd[i] {
					odd[i] = true
					clear(tmp[i*layers:][:layers])
				}
				if own > third {
					tmp[i*layers+l] = value{at[i*layers+l].c.Scale(1 - third/own), -1 / float32(n)}
				} else {
					part := (third - own) / sum.Y()
					tmp[i*layers+l] = value{sum.Scale(-part), part}
				}
			}
		}
	})
	any := func(x, y int) bool {
		for yy := max(0, y-1); yy <= min(f.Height-1, y+1); yy++ {
			if slices.Contains(odd[yy*f.Width+max(0, x-1):yy*f.Width+min(f.Width, x+2)], true) {
				return true
			}
		}
		return false
	}
	f.eachRow(workers, func(y int) {
		var near [8]neighbour
		for x := range f.Width {
			i := y*f.Width + x
			if !any(x, y) {
				continue
			}
			n := f.neighbours(x, y, 1, &near)
			for l := range layers {
				p := &at[i*layers+l]
				var add scene.RGB
				if odd[i] {
					add = tmp[i*layers+l].c.Scale(-1)
				}
				part := float32(0)
				for k := range near[:n] {
					if !odd[near[k].at] {
						continue
					}
					if q := &tmp[near[k].at*layers+l]; q.v < 0 {
						add = add.Add(q.c.Scale(-q.v))
					} else {
						part += q.v
					}
				}
				p.c = p.c.Scale(max(0, 1-part)).Add(add)
			}
		}
	})
}

// filter makes one pass over neighbours at a distance of step pixels.
func (f *Film) filter(from, to []value, step, workers int) {
	layers := f.layers
	f.eachRow(workers, func(y int) {
		var near [8]neighbour
		for x := range f.Width {
			i := y*f.Width + x
			n := f.neighbours(x, y, step, &near)
			for l := range layers {
				p := &from[i*layers+l]
				sum, weight := value{p.c.Scale(4), p.v * 16}, float32(4)
				bright := p.c.Y()
				for k := range near[:n] {
					q := &from[near[k].at*layers+l]
					s := near[k].weight
					if !near[k].one {
						v := p.v + q.v
						if v == 0 {
							continue // both are certain
						}
						d := bright - q.c.Y()
						a := 1 - d*d/(v*alike*alike)
						if a <= 0 {
							continue
						}
						s *= a * a
					}
					sum.c = sum.c.Add(q.c.Scale(s))
					sum.v += q.v * s * s
					weight += s
				}
				k := 1 / weight
				to[i*layers+l] = value{sum.c.Scale(k), sum.v * k * k}
			}
		}
	})
}

// eachRow shares the rows of a film out to goroutines.
func (f *Film) eachRow(workers int, do func(y int)) { eachRow(workers, f.Height, do) }

// eachRow shares rows out to goroutines.
func eachRow(workers, rows int, do func(y int)) {
	var next atomic.Int64
	var all sync.WaitGroup
	for range min(max(workers, 1), rows) {
		all.Go(func() {
			for {
				y := int(next.Add(1)) - 1
				if y >= rows {
					return
				}
				do(y)
			}
		})
	}
	all.Wait()
}
