package api

import (
	"math"

	"hardnoon/engine/geom"
	"hardnoon/engine/scene"
	"hardnoon/engine/site"
	"hardnoon/engine/unit"
)

// A lawn answers what lies at a point of the ground, quickly: cells of a metre
// that hold one material alone are known, the others ask the field's plan.
type lawn struct {
	ground   site.Ground
	number   map[string]int // of materials
	surface  int
	x, y     float64 // of the first cell's corner
	across   int
	up       int
	cells    []int16 // a material, or −1: look closer
	farthest float64
}

const (
	lookCloser = -1
	lawnCells  = 1 << 18
)

func newLawn(g site.Ground, material func(string) int) *lawn {
	l := &lawn{ground: g, number: map[string]int{}}
	add := func(name string) { l.number[name] = material(name) }
	add(g.Surface)
	add("white paint")
	for _, a := range g.Areas {
		add(a.Material)
	}
	l.surface = l.number[g.Surface]
	lo, hi := geom.Vec{X: math.Inf(1), Y: math.Inf(1)}, geom.Vec{X: math.Inf(-1), Y: math.Inf(-1)}
	type edge struct {
		a, b geom.Vec
		wide float64
	}
	var edges []edge
	chain := func(ps []geom.Vec, wide float64, closed bool) {
		for i, b := range ps {
			lo.X, lo.Y, hi.X, hi.Y = min(lo.X, b.X), min(lo.Y, b.Y), max(hi.X, b.X), max(hi.Y, b.Y)
			if i > 0 {
				edges = append(edges, edge{ps[i-1], b, wide})
			} else if closed && len(ps) > 1 {
				edges = append(edges, edge{ps[len(ps)-1], b, wide})
			}
		}
	}
	for _, x := range g.Lines {
		chain(x.Points, x.Width.Metres()/2, false)
	}
	for _, a := range g.Areas {
		chain(a.Outline, 0, true)
	}
	if len(edges) == 0 {
		return l
	}
	l.x, l.y = math.Floor(lo.X)-1, math.Floor(lo.Y)-1
	l.across, l.up = int(hi.X-l.x)+2, int(hi.Y-l.y)+2
	if l.across*l.up > lawnCells {
		l.across, l.up = 0, 0
		return l
	}
	l.cells = make([]int16, l.across*l.up)
	for _, e := range edges {
		d := e.b.Sub(e.a)
		n := int(math.Ceil(math.Hypot(d.X, d.Y)/0.5)) + 1
		for i := range n + 1 {
			p := e.a.Lerp(e.b, float64(i)/float64(n))
			r := 0.3 + e.wide
			for cy := int(p.Y - r - l.y); cy <= int(p.Y+r-l.y); cy++ {
				for cx := int(p.X - r - l.x); cx <= int(p.X+r-l.x); cx++ {
					if cx >= 0 && cy >= 0 && cx < l.across && cy < l.up {
						l.cells[cy*l.across+cx] = lookCloser
					}
				}
			}
		}
	}
	for i, c := range l.cells {
		if c != lookCloser {
			l.cells[i] = int16(l.closer(l.x+float64(i%l.across)+0.5, l.y+float64(i/l.across)+0.5))
		}
	}
	return l
}

func (l *lawn) closer(x, y float64) int { return l.number[l.ground.SurfaceAt(geom.Vec{X: x, Y: y})] }

// at returns the number of the material at a place.
func (l *lawn) at(x, y float64) int {
	cx, cy := math.Floor(x-l.x), math.Floor(y-l.y)
	if cx < 0 || cy < 0 || cx >= float64(l.across) || cy >= float64(l.up) {
		if l.cells == nil {
			return l.closer(x, y)
		}
		return l.surface
	}
	if c := l.cells[int(cy)*l.across+int(cx)]; c != lookCloser {
		return int(c)
	}
	return l.closer(x, y)
}

// A dice gives numbers in 0..1 that look thrown and are always the same.
type dice uint64

func (d *dice) next() float64 {
	*d += 0x9e3779b97f4a7c15
	z := uint64(*d)
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return float64((z^z>>31)>>11) / (1 << 53)
}

// crown returns the leaves of a tree's crown: tufts on and below an uneven
// surface, so many that the light which passes is the part's.
func crown(p site.Part, number, leaves int) geom.Mesh {
	r, h := p.Size.X, p.Size.Z
	d := dice(number + 1)
	// A ray meets each side's leaves: the share that passes both is the part's.
	cover := -math.Log(math.Max(p.Passes, 1e-3))
	area := cover * math.Pi * r * h / float64(leaves) * 2 // leaves lie aslant to a ray
	side := math.Sqrt(area) * 1.5
	var m geom.Mesh
	lumps := make([]geom.Vec, 9)
	for i := range lumps {
		lumps[i] = geom.Direction(unit.Angle(2*math.Pi*d.next()), unit.Angle(math.Asin(2*d.next()-1)))
	}
	for range leaves {
		out := geom.Direction(unit.Angle(2*math.Pi*d.next()), unit.Angle(math.Asin(2*d.next()-1)))
		near := -1.0
		for _, l := range lumps {
			near = math.Max(near, out.Dot(l))
		}
		reach := (0.80 + 0.20*near) * (1 - 0.35*d.next()*d.next())
		at := p.At.Add(geom.Vec{X: out.X * r * reach, Y: out.Y * r * reach, Z: out.Z * h * reach})
		spin := geom.Direction(unit.Angle(2*math.Pi*d.next()), unit.Angle(math.Asin(2*d.next()-1)))
		n := out.Add(spin.Scale(0.8)).Unit()
		x, y := geom.Basis(n)
		turn := 2 * math.Pi * d.next()
		u := x.Scale(math.Cos(turn)).Add(y.Scale(math.Sin(turn)))
		v := n.Cross(u)
		k := int32(len(m.Vertices))
		s := side * (0.6 + 0.8*d.next())
		m.Vertices = append(m.Vertices, at.Add(u.Scale(s*0.6)), at.Add(v.Scale(s*0.45)).Sub(u.Scale(s*0.3)), at.Sub(v.Scale(s*0.45)).Sub(u.Scale(s*0.3)))
		m.Normals = append(m.Normals, n, n, n)
		m.Triangles = append(m.Triangles, [3]int32{k, k + 1, k + 2})
		m.Parts = append(m.Parts, 0)
	}
	return m
}

// paints of parked cars, in turn; reflectances are common practice, no source.
var paints = []scene.RGB{{R: 0.55, G: 0.56, B: 0.57}, {R: 0.06, G: 0.07, B: 0.09}, {R: 0.30, G: 0.03, B: 0.03}, {R: 0.78, G: 0.78, B: 0.76}, {R: 0.06, G: 0.10, B: 0.22}}

// addVehicle draws a car or, where it is as tall as a person, a van: a body, a
// house with windows, wheels.
func (st *stage) addVehicle(s site.Solid) {
	w, d, h := s.Width.Metres(), s.Depth.Metres(), s.Height.Metres()
	place := site.Place{Origin: s.At, Bearing: s.Bearing}
	n := 0
	for i := range st.solids {
		if st.solids[i].Kind == site.Vehicle {
			n++
		}
	}
	paint := paints[n%len(paints)]
	lack := st.material(scene.Material{Name: s.Name + " paint", Diffuse: paint, Coat: 0.05, Roughness: 0.1})
	glass := st.material(scene.Material{Name: "glass", Diffuse: scene.Grey(0.02), Coat: 0.06, Roughness: 0.06})
	tyre := st.material(scene.Material{Name: "tyre", Diffuse: scene.Grey(0.03)})
	van := h > 1.75
	waist, from, to := 0.58*h, -0.46*d, 0.26*d // of the house
	if van {
		waist, from, to = 0.52*h, -0.5*d, 0.40*d
	}
	var body, windows, wheels geom.Mesh
	body.Append(hull(place, w, -0.5*d, 0.5*d, -0.5*d, 0.5*d, 0.16*h, waist, 0.96))
	slope := 0.5 * (h - waist)
	back := slope
	if van {
		back = 0.05
	}
	windows.Append(hull(place, 0.90*w, from+0.02, to, from+back, to-1.3*slope, waist, 0.96*h, 0.86))
	body.Append(hull(place, 0.80*w, from+back-0.02, to-1.25*slope, from+back+0.1, to-1.5*slope, 0.95*h, h, 0.94))
	if van { // closed behind the front seats
		body.Append(hull(place, 0.93*w, from, to-0.45*d, from+back, to-0.45*d, waist, 0.99*h, 0.92))
	}
	for _, x := range []float64{-1, 1} {
		for _, y := range []float64{-0.30, 0.31} {
			r := math.Min(0.34, 0.24*h)
			c := place.World(geom.Vec{X: x * (w/2 - 0.09), Y: y * d, Z: r})
			axle := place.World(geom.Vec{X: x}).Sub(place.World(geom.Vec{}))
			wheels.Append(disc(c.Sub(axle.Scale(0.1)), c.Add(axle.Scale(0.1)), r))
		}
	}
	for _, x := range []struct {
		m        geom.Mesh
		material int
	}{{body, lack}, {windows, glass}, {wheels, tyre}} {
		st.parts.Meshes = append(st.parts.Meshes, scene.Mesh{Name: s.Name, Mesh: x.m, Materials: []int{x.material}})
	}
}

// hull returns a closed block on a place, w wide, from y0 to y1 below and from
// y2 to y3 above, between two heights, drawn in by a share at the top.
func hull(at site.Place, w, y0, y1, y2, y3, low, high, top float64) geom.Mesh {
	a, b := w/2, w/2*top
	p := func(x, y, z float64) geom.Vec { return at.World(geom.Vec{X: x, Y: y, Z: z}) }
	m := geom.Mesh{Vertices: []geom.Vec{
		p(-a, y0, low), p(a, y0, low), p(a, y1, low), p(-a, y1, low),
		p(-b, y2, high), p(b, y2, high), p(b, y3, high), p(-b, y3, high)}}
	for _, f := range [][4]int32{{3, 2, 1, 0}, {4, 5, 6, 7}, {0, 1, 5, 4}, {1, 2, 6, 5}, {2, 3, 7, 6}, {3, 0, 4, 7}} {
		m.Triangles = append(m.Triangles, [3]int32{f[0], f[1], f[2]}, [3]int32{f[0], f[2], f[3]})
		m.Parts = append(m.Parts, 0, 0)
	}
	return m
}

// disc returns a closed drum between two centres.
func disc(a, b geom.Vec, r float64) geom.Mesh {
	m := rod(a, b, r, r, 0)
	n := int32(len(m.Vertices))
	axis := b.Sub(a).Unit()
	m.Vertices = append(m.Vertices, a, b)
	m.Normals = append(m.Normals, axis.Neg(), axis)
	m.Normals = nil // flat: the rim is as sharp as the face
	for i := int32(0); i < n; i += 2 {
		j := (i + 2) % n
		m.Triangles = append(m.Triangles, [3]int32{n, j, i}, [3]int32{n + 1, i + 1, j + 1})
		m.Parts = append(m.Parts, 0, 0)
	}
	return m
}

// addStand draws what holds a light: the head behind its front, a pole, three
// legs.
func (st *stage) addStand(l scene.Light, material int) {
	axis := l.Aim.Sub(l.At).Unit()
	front := l.At.Sub(axis.Scale(0.01))
	neck := front.Sub(axis.Scale(math.Min(0.3, 0.5*l.Width.Metres()+0.05)))
	tail := neck.Sub(axis.Scale(0.26))
	m := rod(front, neck, math.Max(l.Width.Metres()/2, 0.05), 0.06, 0)
	m.Append(disc(neck, tail, 0.06))
	foot := geom.Vec{X: neck.X, Y: neck.Y, Z: math.Min(0.12, neck.Z/2)}
	if neck.Z > 0.3 {
		hub := geom.Vec{X: neck.X, Y: neck.Y, Z: math.Min(0.75, 0.5*neck.Z)}
		m.Append(rod(neck, foot, 0.016, 0.018, 0))
		reach := 0.5
		for i := range 3 {
			out := geom.Direction(axis.Azimuth()+unit.Angle(i)*unit.Turn/3, 0)
			m.Append(rod(hub, geom.Vec{X: neck.X + reach*out.X, Y: neck.Y + reach*out.Y, Z: 0.012}, 0.012, 0.012, 0))
		}
	}
	st.parts.Meshes = append(st.parts.Meshes, scene.Mesh{Name: standOf(l.Name), Mesh: m, Materials: []int{material}})
}

func standOf(light string) string { return "stand of the " + light }
