package body

import (
	"math"

	"hardnoon/engine/geom"
)

// A patch of the lattice is what is sampled or left out together.
const patchCells = 2

// A net is the lattice over a solid on its way to a surface.
//
// Source: [Gibson1998], surface nets; projection and culling our own.
type net struct {
	*solid
	lo         geom.Vec
	nx, ny, nz int       // corners
	value      []float32 // distance at each corner, or a side
	patches    []patch
	mesh       geom.Mesh
	vertex     []int32 // of the cell above each corner, from 1
}

// A patch was sampled with the shapes that reach it.
type patch struct {
	i, j, k int // its first corner
	which   []int32
}

// The side of a corner whose distance was not worth asking for.
const (
	outside = math.MaxFloat32
	inside  = -math.MaxFloat32
)

// polygonise returns the surface of a solid as triangles: one vertex in each
// cell the surface passes through, moved onto the surface, with the normal of
// the distance field.
func polygonise(b *solid, part int32) geom.Mesh {
	n := b.sampled()
	n.vertex = make([]int32, len(n.value))
	n.mesh.Vertices, n.mesh.Normals = make([]geom.Vec, 0, 3*len(n.patches)), make([]geom.Vec, 0, 3*len(n.patches))
	for i := range n.patches {
		n.vertices(&n.patches[i])
	}
	n.mesh.Triangles = make([][3]int32, 0, 2*len(n.mesh.Vertices))
	for i := range n.patches {
		n.quads(&n.patches[i])
	}
	n.mesh.Parts = make([]int32, len(n.mesh.Triangles))
	for i := range n.mesh.Parts {
		n.mesh.Parts[i] = part
	}
	return n.mesh
}

// sampled lays the lattice and says of each corner on which side it is, and how
// far where the surface is near.
func (b *solid) sampled() *net {
	lo, hi := b.bounds()
	margin := geom.Vec{X: 2 * b.cell, Y: 2 * b.cell, Z: 2 * b.cell}
	lo, hi = lo.Sub(margin), hi.Add(margin)
	corners := func(d float64) int { return max(1, int(math.Ceil(d/(b.cell*patchCells))))*patchCells + 1 }
	n := net{solid: b, lo: lo, nx: corners(hi.X - lo.X), ny: corners(hi.Y - lo.Y), nz: corners(hi.Z - lo.Z)}
	n.value = make([]float32, n.nx*n.ny*n.nz)
	for i := range n.value {
		n.value[i] = outside
	}
	all := make([]int32, len(b.shapes))
	for i := range all {
		all[i] = int32(i)
	}
	const most = 16 * patchCells
	for k := 0; k < n.nz-1; k += most {
		for j := 0; j < n.ny-1; j += most {
			for i := 0; i < n.nx-1; i += most {
				n.sample(i, j, k, most, all)
			}
		}
	}
	return &n
}

func (n *net) corner(i, j, k int) int { return (k*n.ny+j)*n.nx + i }

func (n *net) at(i, j, k int) geom.Vec {
	return n.lo.Add(geom.Vec{X: float64(i), Y: float64(j), Z: float64(k)}.Scale(n.cell))
}

// sample asks for the distance at the corners of a cube, size cells wide, where
// the surface may be near. Parts of it are asked with the shapes that reach them.
func (n *net) sample(i, j, k, size int, which []int32) {
	if i >= n.nx-1 || j >= n.ny-1 || k >= n.nz-1 {
		return
	}
	half := float64(size) * n.cell / 2
	which, d, give := n.reaching(n.at(i, j, k).Add(geom.Vec{X: half, Y: half, Z: half}), half*math.Sqrt(3), which)
	if give += n.ripple; d > give {
		return
	}
	if size > patchCells {
		for c := range 8 {
			n.sample(i+c&1*size/2, j+c>>1&1*size/2, k+c>>2*size/2, size/2, which)
		}
		return
	}
	if d < -give {
		for z := k; z <= k+size; z++ {
			for y := j; y <= j+size; y++ {
				row := n.value[n.corner(i, y, z):][:size+1]
				for x, v := range row {
					if v == outside {
						row[x] = inside
					}
				}
			}
		}
		return
	}
	n.patches = append(n.patches, patch{i, j, k, which})
	for z := k; z <= k+size; z++ {
		for y := j; y <= j+size; y++ {
			for x := i; x <= i+size; x++ {
				if v := &n.value[n.corner(x, y, z)]; *v == outside || *v == inside {
					*v = float32(n.distance(n.at(x, y, z), which))
				}
			}
		}
	}
}

// vertices puts one into each cell of a patch that has a change of sign.
func (n *net) vertices(b *patch) {
	m := &n.mesh
	for k := b.k; k < b.k+patchCells; k++ {
		for j := b.j; j < b.j+patchCells; j++ {
			for i := b.i; i < b.i+patchCells; i++ {
				var v [8]float64
				in := 0
				for c := range v {
					v[c] = float64(n.value[n.corner(i+c&1, j+c>>1&1, k+c>>2)])
					if v[c] < 0 {
						in++
					}
				}
				if in == 0 || in == 8 {
					continue
				}
				var sum geom.Vec
				edges := 0.0
				for c := range v {
					for axis := range 3 {
						e := c | 1<<axis
						if e == c || (v[c] < 0) == (v[e] < 0) {
							continue
						}
						p, q := n.at(i+c&1, j+c>>1&1, k+c>>2), n.at(i+e&1, j+e>>1&1, k+e>>2)
						sum = sum.Add(p.Lerp(q, v[c]/(v[c]-v[e])))
						edges++
					}
				}
				p := sum.Scale(1 / edges)
				d, g := n.gradient(p, n.cell/4, b.which)
				if step := g.Scale(d / max(g.Norm2(), 1e-6)); step.Norm() <= n.cell {
					p = p.Sub(step)
				}
				m.Vertices = append(m.Vertices, p)
				m.Normals = append(m.Normals, g.Unit())
				n.vertex[n.corner(i, j, k)] = int32(len(m.Vertices))
			}
		}
	}
}

// quads puts one around each edge of a patch that has a change of sign.
func (n *net) quads(b *patch) {
	for k := max(b.k, 1); k < b.k+patchCells; k++ {
		for j := max(b.j, 1); j < b.j+patchCells; j++ {
			for i := max(b.i, 1); i < b.i+patchCells; i++ {
				here := n.value[n.corner(i, j, k)] < 0
				if in := n.value[n.corner(i+1, j, k)] < 0; in != here {
					n.quad(n.corner(i, j-1, k-1), n.corner(i, j, k-1), n.corner(i, j, k), n.corner(i, j-1, k), !here)
				}
				if in := n.value[n.corner(i, j+1, k)] < 0; in != here {
					n.quad(n.corner(i-1, j, k-1), n.corner(i-1, j, k), n.corner(i, j, k), n.corner(i, j, k-1), !here)
				}
				if in := n.value[n.corner(i, j, k+1)] < 0; in != here {
					n.quad(n.corner(i-1, j-1, k), n.corner(i, j-1, k), n.corner(i, j, k), n.corner(i-1, j, k), !here)
				}
			}
		}
	}
}

// quad joins the vertices of four cells, the shorter diagonal first to last.
func (n *net) quad(a, b, c, d int, flip bool) {
	va, vb, vc, vd := n.vertex[a]-1, n.vertex[b]-1, n.vertex[c]-1, n.vertex[d]-1
	if va < 0 || vb < 0 || vc < 0 || vd < 0 {
		return
	}
	if flip {
		vb, vd = vd, vb
	}
	p := n.mesh.Vertices
	if p[va].Sub(p[vc]).Norm2() > p[vb].Sub(p[vd]).Norm2() {
		va, vb, vc, vd = vd, va, vb, vc
	}
	n.mesh.Triangles = append(n.mesh.Triangles, [3]int32{va, vb, vc}, [3]int32{va, vc, vd})
}

// reaching returns those of some shapes that decide the distance of points within
// r of p, the distance of p, and by how much that of those points may differ.
func (b *solid) reaching(p geom.Vec, r float64, of []int32) (which []int32, d, give float64) {
	which = make([]int32, 0, len(of))
	d = math.Inf(1)
	for _, i := range of {
		s := &b.shapes[i]
		x, own := s.distance(p), r*s.form.steepest()
		gap := s.blend + give + own
		switch {
		case s.op == join && x-d >= gap, s.op == cut && x+d >= gap, s.op == keep && d-x >= gap:
			continue // it does not come near what there is
		case s.op == join && d-x >= gap:
			which, give = which[:0], 0 // it swallows what there is
		}
		which = append(which, i)
		d, give = s.onto(d, x), max(give, own)
	}
	return which, d, give
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
