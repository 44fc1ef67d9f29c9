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

// within returns a number between two.
func (d *dice) within(lo, hi float64) float64 { return lo + (hi-lo)*d.next() }

// direction returns one of all directions alike.
func (d *dice) direction() geom.Vec {
	return geom.Direction(unit.Angle(2*math.Pi*d.next()), unit.Angle(math.Asin(2*d.next()-1)))
}

// uneven is smooth noise over a plane, −1 to 1 with a mean of nothing, that
// changes over about one unit and, weaker, over less.
func uneven(x, y float64) float64 {
	sum, part := 0.0, 0.5
	for octave := range 4 {
		fx, fy := math.Floor(x), math.Floor(y)
		u, v := x-fx, y-fy
		u, v = u*u*(3-2*u), v*v*(3-2*v)
		at := func(i, j float64) float64 {
			d := dice(uint64(int64(i))*0x9e3779b97f4a7c15 ^ uint64(int64(j))*0xc2b2ae3d27d4eb4f)
			return 2*d.next() - 1
		}
		sum += part * ((at(fx, fy)*(1-u)+at(fx+1, fy)*u)*(1-v) + (at(fx, fy+1)*(1-u)+at(fx+1, fy+1)*u)*v)
		part /= 2
		x, y = 2.1*x+float64(13+octave), 2.1*y-float64(7+octave)
	}
	return sum
}

// crown returns the leaves of a tree's crown: tufts on and a little below the
// surface of rounded masses that fill the part, so many that the light which
// passes is about the part's. They are shaded as the mass they lie on is.
func crown(p site.Part, number, leaves int) geom.Mesh {
	d := dice(number + 1)
	world := func(v geom.Vec) geom.Vec {
		return geom.Vec{X: v.X * p.Size.X, Y: v.Y * p.Size.X, Z: v.Z * p.Size.Z}
	}
	// Masses in a ball of radius one, wound around it from the top down.
	type mass struct {
		at   geom.Vec
		size float64
	}
	masses := []mass{{geom.Vec{Z: 0.1}, 0.6}}
	n := 9 + int(5*d.next())
	for i := range n {
		z := 1 - 2*(float64(i)+0.5)/float64(n)
		out := geom.Direction(unit.Angle(2.4*float64(i)+0.9*d.next()), unit.Angle(math.Asin(z)))
		size := d.within(0.30, 0.50)
		at := out.Scale((1 - size) * d.within(0.82, 1))
		at.Z += 0.10 * (1 - z) * d.next() // an uneven foot
		masses = append(masses, mass{at, size})
	}
	total := 0.0
	for _, m := range masses {
		total += m.size * m.size
	}
	// A ray meets each side's leaves: the share that passes both is the part's.
	// The masses have about half as much surface again as the part, and leaves
	// lie aslant to a ray.
	cover := -math.Log(math.Max(p.Passes, 1e-3))
	area := cover * math.Pi * p.Size.X * p.Size.Z / float64(leaves) * 2 * 1.3
	side := math.Sqrt(area) * 1.5
	m := geom.Mesh{Vertices: make([]geom.Vec, 0, 3*leaves), Normals: make([]geom.Vec, 0, 3*leaves), Triangles: make([][3]int32, 0, leaves), Parts: make([]int32, leaves)}
	for len(m.Triangles) < leaves {
		at := total * d.next()
		k := 0
		for ; k < len(masses)-1 && at >= masses[k].size*masses[k].size; k++ {
			at -= masses[k].size * masses[k].size
		}
		out := d.direction()
		q := masses[k].at.Add(out.Scale(masses[k].size * (1 - 0.3*d.next()*d.next())))
		hidden := false
		for _, x := range masses {
			hidden = hidden || q.Sub(x.at).Norm() < 0.72*x.size
		}
		if hidden {
			continue
		}
		up := world(out).Unit()
		lie := up.Add(d.direction().Scale(0.8)).Unit()
		x, y := geom.Basis(lie)
		turn := 2 * math.Pi * d.next()
		u := x.Scale(math.Cos(turn)).Add(y.Scale(math.Sin(turn)))
		v := lie.Cross(u)
		c, i, w := p.At.Add(world(q)), int32(len(m.Vertices)), side*d.within(0.6, 1.4)
		m.Vertices = append(m.Vertices, c.Add(u.Scale(w*0.6)), c.Add(v.Scale(w*0.45)).Sub(u.Scale(w*0.3)), c.Sub(v.Scale(w*0.45)).Sub(u.Scale(w*0.3)))
		n := lie.Add(up.Scale(2)).Unit()
		m.Normals = append(m.Normals, n, n, n)
		m.Triangles = append(m.Triangles, [3]int32{i, i + 1, i + 2})
	}
	return m
}

// trunk returns stem and boughs of a tree, from the stem's part up into a crown.
func trunk(stem, crown site.Part, number int) geom.Mesh {
	d := dice(number + 77)
	r, top := stem.Size.X, crown.At.Sub(geom.Vec{Z: 0.25 * crown.Size.Z})
	fork := stem.At.Lerp(top, 0.75)
	m := rod(stem.At, stem.At.Lerp(fork, 0.12), 1.5*r, r, 0)
	m.Append(rod(stem.At.Lerp(fork, 0.12), fork, r, 0.75*r, 0))
	for i := range 5 {
		out := geom.Direction(unit.Angle(1.3*float64(i)+d.next()), 0).Scale(d.within(0.3, 0.65) * crown.Size.X)
		m.Append(rod(fork, top.Add(out).Add(geom.Up.Scale(d.within(-0.1, 0.3)*crown.Size.Z)), 0.55*r, 0.15*r, 0))
	}
	return m
}

// paints of parked cars, in turn; reflectances are common practice, no source.
var paints = []scene.RGB{{R: 0.06, G: 0.07, B: 0.09}, {R: 0.07, G: 0.14, B: 0.32}, {R: 0.55, G: 0.56, B: 0.57}, {R: 0.78, G: 0.78, B: 0.76}, {R: 0.30, G: 0.03, B: 0.03}}

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
	body.Append(hull(place, w, -0.5*d, 0.5*d, -0.485*d, 0.48*d, 0.16*h, waist, 0.96))
	slope := 0.5 * (h - waist)
	back := slope
	if van {
		back = 0.05
	}
	// The house: at gives its outline a share of the way up.
	at := func(t float64) (half, y0, y1, z float64) {
		return (0.47 - 0.07*t) * w, from + back*t, to - 1.4*slope*t, waist + (h-waist)*t
	}
	house := func(m *geom.Mesh, t0, t1, wider, longer float64) {
		a, y0, y1, low := at(t0)
		b, y2, y3, high := at(t1)
		m.Append(hull(place, 2*a+wider, y0-longer, y1+longer, y2-longer, y3+longer, low, high, (2*b+wider)/(2*a+wider)))
	}
	house(&body, 0, 1, 0, 0)
	if !van {
		house(&windows, 0.12, 0.86, -0.12*w, 0.02) // front and rear
	} else {
		a, _, y1, low := at(0.12)
		b, _, y3, high := at(0.86)
		windows.Append(hull(place, 2*a-0.12*w, y1-0.1, y1+0.02, y3-0.1, y3+0.02, low, high, (2*b-0.12*w)/(2*a-0.12*w)))
	}
	pane := func(y0, y1, y2, y3 float64) { // of both sides
		a, _, _, low := at(0.12)
		b, _, _, high := at(0.86)
		windows.Append(hull(place, 2*a+0.02, y0, y1, y2, y3, low, high, (2*b+0.02)/(2*a+0.02)))
	}
	_, y0, y1, _ := at(0.12)
	_, y2, y3, _ := at(0.86)
	post := (y2 + y3) / 2
	if van { // closed behind the front seats
		pane(y1-0.16*d, y1-0.05, y1-0.16*d, y3-0.05)
	} else {
		pane(y0+0.08, post-0.04, y2+0.08, post-0.04)
		pane(post+0.04, y1-0.08, post+0.04, y3-0.08)
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
