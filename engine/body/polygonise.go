package body

import (
	"math"

	"hardnoon/engine/geom"
)

// polygonise returns the surface of a solid as triangles: one vertex in each
// cell the surface passes through, moved onto the surface, with the normal of
// the distance field.
//
// Source: [Gibson1998], surface nets; projection and culling our own.
func polygonise(b *solid, part int32) geom.Mesh {
	const blockCells = 5
	cell := b.cell
	for i := range b.shapes {
		b.widest = max(b.widest, b.shapes[i].blend)
	}
	lo, hi := b.bounds()
	lo, hi = lo.Sub(geom.Vec{X: 2 * cell, Y: 2 * cell, Z: 2 * cell}), hi.Add(geom.Vec{X: 2 * cell, Y: 2 * cell, Z: 2 * cell})
	blocks := func(d float64) int { return max(1, int(math.Ceil(d/(cell*blockCells)))) }
	bx, by, bz := blocks(hi.X-lo.X), blocks(hi.Y-lo.Y), blocks(hi.Z-lo.Z)
	nx, ny, nz := bx*blockCells+1, by*blockCells+1, bz*blockCells+1
	corner := func(i, j, k int) int { return (k*ny+j)*nx + i }
	at := func(i, j, k int) geom.Vec {
		return lo.Add(geom.Vec{X: float64(i) * cell, Y: float64(j) * cell, Z: float64(k) * cell})
	}
	value := make([]float32, nx*ny*nz)
	for i := range value {
		value[i] = math.MaxFloat32
	}
	// Sample the blocks near the surface, with the shapes that reach them.
	near := make([][]int32, bx*by*bz)
	diagonal := float64(blockCells) * cell * math.Sqrt(3) / 2
	for k := range bz {
		for j := range by {
			for i := range bx {
				middle := at(i*blockCells, j*blockCells, k*blockCells).Add(geom.Vec{X: 1, Y: 1, Z: 1}.Scale(blockCells * cell / 2))
				which, joins := b.near(middle, diagonal+2*cell)
				if joins == 0 {
					continue
				}
				// Far from the surface on either side the field is not sampled;
				// the factor is for shapes whose distance is only about right.
				d := b.distance(middle, which)
				if d > 1.6*diagonal {
					continue
				}
				if d < -1.6*diagonal {
					for z := k * blockCells; z <= (k+1)*blockCells; z++ {
						for y := j * blockCells; y <= (j+1)*blockCells; y++ {
							for x := i * blockCells; x <= (i+1)*blockCells; x++ {
								if c := corner(x, y, z); value[c] == math.MaxFloat32 {
									value[c] = -1
								}
							}
						}
					}
					continue
				}
				near[(k*by+j)*bx+i] = which
				for z := k * blockCells; z <= (k+1)*blockCells; z++ {
					for y := j * blockCells; y <= (j+1)*blockCells; y++ {
						for x := i * blockCells; x <= (i+1)*blockCells; x++ {
							if c := corner(x, y, z); value[c] == math.MaxFloat32 {
								value[c] = float32(b.distance(at(x, y, z), which))
							}
						}
					}
				}
			}
		}
	}
	// One vertex for each cell with a change of sign.
	var m geom.Mesh
	vertex := make([]int32, nx*ny*nz)
	for k := range bz * blockCells {
		for j := range by * blockCells {
			for i := range bx * blockCells {
				which := near[(k/blockCells*by+j/blockCells)*bx+i/blockCells]
				if which == nil {
					continue
				}
				var v [8]float64
				inside := 0
				for c := range v {
					v[c] = float64(value[corner(i+c&1, j+c>>1&1, k+c>>2)])
					if v[c] < 0 {
						inside++
					}
				}
				if inside == 0 || inside == 8 {
					continue
				}
				var sum geom.Vec
				n := 0.0
				for c := range v {
					for axis := range 3 {
						e := c | 1<<axis
						if e == c || (v[c] < 0) == (v[e] < 0) {
							continue
						}
						p, q := at(i+c&1, j+c>>1&1, k+c>>2), at(i+e&1, j+e>>1&1, k+e>>2)
						sum = sum.Add(p.Lerp(q, v[c]/(v[c]-v[e])))
						n++
					}
				}
				p := sum.Scale(1 / n)
				d, g := b.gradient(p, cell/4, which)
				if step := g.Scale(d / max(g.Norm2(), 1e-6)); step.Norm() <= cell {
					p = p.Sub(step)
				}
				vertex[corner(i, j, k)] = int32(len(m.Vertices)) + 1
				m.Vertices = append(m.Vertices, p)
				m.Normals = append(m.Normals, g.Unit())
			}
		}
	}
	// A quad around each edge with a change of sign.
	quad := func(a, b, c, d int, flip bool) {
		va, vb, vc, vd := vertex[a]-1, vertex[b]-1, vertex[c]-1, vertex[d]-1
		if va < 0 || vb < 0 || vc < 0 || vd < 0 {
			return
		}
		if flip {
			vb, vd = vd, vb
		}
		p := m.Vertices
		if p[va].Sub(p[vc]).Norm2() <= p[vb].Sub(p[vd]).Norm2() {
			m.Triangles = append(m.Triangles, [3]int32{va, vb, vc}, [3]int32{va, vc, vd})
		} else {
			m.Triangles = append(m.Triangles, [3]int32{va, vb, vd}, [3]int32{vb, vc, vd})
		}
	}
	for k := 1; k < nz-1; k++ {
		for j := 1; j < ny-1; j++ {
			for i := 1; i < nx-1; i++ {
				here := value[corner(i, j, k)] < 0
				if in := value[corner(i+1, j, k)] < 0; in != here {
					quad(corner(i, j-1, k-1), corner(i, j, k-1), corner(i, j, k), corner(i, j-1, k), !here)
				}
				if in := value[corner(i, j+1, k)] < 0; in != here {
					quad(corner(i-1, j, k-1), corner(i-1, j, k), corner(i, j, k), corner(i, j, k-1), !here)
				}
				if in := value[corner(i, j, k+1)] < 0; in != here {
					quad(corner(i-1, j-1, k), corner(i, j-1, k), corner(i, j, k), corner(i-1, j, k), !here)
				}
			}
		}
	}
	m.Parts = make([]int32, len(m.Triangles))
	for i := range m.Parts {
		m.Parts[i] = part
	}
	return m
}

// near returns the shapes that can matter within r of p, and how many of them
// add something. A shape away from the surface matters where a wide blend that
// comes after it reaches back to it.
func (b *solid) near(p geom.Vec, r float64) (which []int32, joins int) {
	which = make([]int32, 0, 16)
	for i := range b.shapes {
		s := &b.shapes[i]
		if s.op != keep && s.reach(p) > r+max(2*s.blend, s.blend+0.75*b.widest)+b.ripple {
			continue
		}
		which = append(which, int32(i))
		if s.op == join {
			joins++
		}
	}
	return which, joins
}

// gradient returns the distance at p and its slope, by four nearby samples.
func (b *solid) gradient(p geom.Vec, h float64, which []int32) (float64, geom.Vec) {
	a := b.distance(p.Add(geom.Vec{X: h, Y: -h, Z: -h}), which)
	c := b.distance(p.Add(geom.Vec{X: -h, Y: -h, Z: h}), which)
	d := b.distance(p.Add(geom.Vec{X: -h, Y: h, Z: -h}), which)
	e := b.distance(p.Add(geom.Vec{X: h, Y: h, Z: h}), which)
	return (a + c + d + e) / 4, geom.Vec{X: a - c - d + e, Y: -a - c + d + e, Z: -a + c - d + e}.Scale(1 / (4 * h))
}

// bounds returns a box that holds everything the solid adds.
func (b *solid) bounds() (lo, hi geom.Vec) {
	lo = geom.Vec{X: math.Inf(1), Y: math.Inf(1), Z: math.Inf(1)}
	hi = lo.Neg()
	put := func(p geom.Vec, r float64) {
		lo = geom.Vec{X: min(lo.X, p.X-r), Y: min(lo.Y, p.Y-r), Z: min(lo.Z, p.Z-r)}
		hi = geom.Vec{X: max(hi.X, p.X+r), Y: max(hi.Y, p.Y+r), Z: max(hi.Z, p.Z+r)}
	}
	for i := range b.shapes {
		s := &b.shapes[i]
		if s.op != join {
			continue
		}
		more := s.blend/4 + b.ripple
		switch s.form {
		case cone:
			put(s.a, s.ra*max(1, s.flat)+more)
			put(s.b, s.rb*max(1, s.flat)+more)
		case egg:
			put(s.a, max(s.r.X, s.r.Y, s.r.Z)+more)
		case block:
			put(s.a, s.r.Norm()+more)
		case ring:
			put(s.a, s.r.X+s.ra+more)
		}
	}
	return lo, hi
}
