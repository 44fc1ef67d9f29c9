package render

import (
	"math"
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
	filterPasses = 5    // steps of 1, 2, 4, 8, 16 pixels
	printPasses  = 3    // of a picture whose pixels are small anyway
	alike        = 3.0  // standard errors by which two values may differ and still be the same light
	facing       = 0.12 // squared difference of normals at which two surfaces are strangers
	inDepth      = 0.04 // relative difference of nearness, for neighbours a step apart
	leastAlbedo  = 0.02 // darker reflectances are not divided out
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
	f.doubtSpecks(from, workers)
	for k := range passes {
		f.filter(from, to, guides, 1<<k, workers)
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

// doubtSpecks adds to the variance of pixels that lie beyond all but one of their
// neighbours on the same surface: their few paths may all have met, or missed,
// a light alike, and then agree too well. A line of one pixel has two neighbours
// of its kind and stays.
func (f *Film) doubtSpecks(at []value, workers int) {
	const few = 4 // paths
	f.eachRow(workers, func(y int) {
		if y == 0 || y == f.Height-1 {
			return
		}
		var around [8]int
		for x := 1; x < f.Width-1; x++ {
			i := y*f.Width + x
			if f.counts[i] > few {
				continue
			}
			g, near := &f.guides[i], around[:0]
			for _, j := range [8]int{i - f.Width - 1, i - f.Width, i - f.Width + 1, i - 1, i + 1, i + f.Width - 1, i + f.Width, i + f.Width + 1} {
				h := &f.guides[j]
				n := g.normal.Sub(h.normal)
				if f.counts[j] > 0 && n.Dot(n) < facing && g.nearness-h.nearness < inDepth*g.nearness && h.nearness-g.nearness < inDepth*g.nearness {
					near = append(near, j)
				}
			}
			if len(near) < 4 {
				continue
			}
			for l := range f.layers {
				p := &at[i*f.layers+l]
				own := p.c.Y()
				least, most := [2]float32{math.MaxFloat32, math.MaxFloat32}, [2]float32{}
				for _, j := range near {
					q := at[j*f.layers+l].c.Y()
					if q < least[0] {
						least = [2]float32{q, least[0]}
					} else {
						least[1] = min(least[1], q)
					}
					if q > most[0] {
						most = [2]float32{q, most[0]}
					} else {
						most[1] = max(most[1], q)
					}
				}
				if d := max(least[1]-own, own-most[1]); d > 0 {
					p.v += d * d
				}
			}
		}
	})
}

// filter makes one pass over neighbours at a distance of step pixels.
func (f *Film) filter(from, to []value, guides []feature, step, workers int) {
	tolerance := inDepth * float32(step)
	layers := f.layers
	f.eachRow(workers, func(y int) {
		// A neighbour that shows about the same surface.
		var near [8]struct {
			at     int
			weight float32
		}
		for x := range f.Width {
			i := y*f.Width + x
			g := &guides[i]
			n := 0
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
					h := &guides[j]
					d := g.normal.Sub(h.normal)
					z := (g.nearness - h.nearness) / (max(g.nearness, h.nearness) * tolerance)
					w := 1 - d.Dot(d)*(1/facing) - z*z
					if w <= 0 {
						continue
					}
					if dx == 0 || dy == 0 {
						w *= 2
					}
					near[n].at, near[n].weight = j*layers, w
					n++
				}
			}
			for l := range layers {
				p := &from[i*layers+l]
				sum, weight := value{p.c.Scale(4), p.v * 16}, float32(4)
				bright := p.c.Y()
				for k := range near[:n] {
					q := &from[near[k].at+l]
					v := p.v + q.v
					if v == 0 {
						continue // both are certain
					}
					d := bright - q.c.Y()
					s := 1 - d*d/(v*alike*alike)
					if s <= 0 {
						continue
					}
					s *= s * near[k].weight
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
