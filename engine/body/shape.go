package body

import (
	"math"

	"hardnoon/engine/geom"
)

// frame is a right-handed place in space: x to the figure's right, y forward,
// z up along the part it belongs to.
type frame struct{ o, x, y, z geom.Vec }

// at returns the point x, y, z of the frame.
func (f frame) at(x, y, z float64) geom.Vec { return f.o.Add(f.dir(x, y, z)) }

func (f frame) dir(x, y, z float64) geom.Vec {
	return f.x.Scale(x).Add(f.y.Scale(y)).Add(f.z.Scale(z))
}

// turned returns the frame rotated within itself: about z to the right by yaw,
// then bent forward by pitch, then leaned to the right by roll, radians.
func (f frame) turned(t Turn) frame {
	sy, cy := math.Sincos(t.Yaw.Radians())
	f.x, f.y = f.x.Scale(cy).Sub(f.y.Scale(sy)), f.x.Scale(sy).Add(f.y.Scale(cy))
	sp, cp := math.Sincos(t.Pitch.Radians())
	f.y, f.z = f.y.Scale(cp).Sub(f.z.Scale(sp)), f.y.Scale(sp).Add(f.z.Scale(cp))
	sr, cr := math.Sincos(t.Roll.Radians())
	f.z, f.x = f.z.Scale(cr).Add(f.x.Scale(sr)), f.x.Scale(cr).Sub(f.z.Scale(sr))
	return f
}

// looking returns the frame whose z points along dir and whose y is as near as
// may be to the hint.
func looking(o, dir, hint geom.Vec) frame {
	z := dir.Unit()
	y := hint.Sub(z.Scale(hint.Dot(z)))
	if y.Norm() < 1e-6 {
		_, y = geom.Basis(z)
	}
	y = y.Unit()
	return frame{o, y.Cross(z), y, z}
}

// A shape is one building block of a smooth body: its signed distance, negative
// inside, and how it joins what was built before it.
type shape struct {
	form   form
	op     op
	a, b   geom.Vec // ends of a cone; centre of the others
	ra, rb float64  // radii at the ends
	axes   frame    // of an egg, a block or a ring
	r      geom.Vec // radii or half sizes along the axes
	flat   float64  // a cone's thickness along axes.y over its width
	blend  float64  // metres over which it flows into the rest

	way way
	per geom.Vec // of an egg: 1/r²
}

// A way is what the distance from a cone takes that is the same for every point.
// Space is stretched along axes.y until a flat cone is round.
type way struct {
	stretch       float64  // 1/flat − 1
	dir           geom.Vec // from a to b
	length        float64  // 0: one ball holds the other
	sin, cos, tan float64  // slope of the side
	o             geom.Vec // where that ball is
	r             float64
	scale         float64 // back to metres, no more than the distance
}

type form uint8

const (
	cone  form = iota // a round cone: two balls and what is stretched over them
	egg               // an ellipsoid
	block             // a box with rounded edges, ra their radius
	ring              // a torus about axes.z: r.X its radius, ra its thickness
	half              // everything behind the plane through a with normal axes.z
)

// steepest returns by how much the distance may change over a metre. That of an
// egg is only about right.
func (f form) steepest() float64 {
	if f == egg {
		return 1.6
	}
	return 1
}

type op uint8

const (
	join op = iota
	cut     // take the shape away
	keep    // take away what is outside the shape
)

// distance returns the signed distance of p from the shape, or a little less.
func (s *shape) distance(p geom.Vec) float64 {
	switch s.form {
	case cone:
		return s.coneDistance(p)
	case egg:
		d := p.Sub(s.a)
		x, y, z := d.Dot(s.axes.x), d.Dot(s.axes.y), d.Dot(s.axes.z)
		x, y, z = x*x*s.per.X, y*y*s.per.Y, z*z*s.per.Z
		k1 := math.Sqrt(x*s.per.X + y*s.per.Y + z*s.per.Z)
		least := min(s.r.X, s.r.Y, s.r.Z)
		if k1*least < 1e-9 {
			return -least
		}
		k0 := x + y + z
		return max((k0-math.Sqrt(k0))/k1, -least) // nothing lies deeper
	case block:
		d := p.Sub(s.a)
		x := math.Abs(d.Dot(s.axes.x)) - s.r.X + s.ra
		y := math.Abs(d.Dot(s.axes.y)) - s.r.Y + s.ra
		z := math.Abs(d.Dot(s.axes.z)) - s.r.Z + s.ra
		out := geom.Vec{X: max(x, 0), Y: max(y, 0), Z: max(z, 0)}.Norm()
		return out + min(max(x, y, z), 0) - s.ra
	case ring:
		d := p.Sub(s.a)
		z := d.Dot(s.axes.z)
		return math.Hypot(math.Sqrt(max(0, d.Norm2()-z*z))-s.r.X, z) - s.ra
	}
	return p.Sub(s.a).Dot(s.axes.z)
}

// ready computes what does not depend on the point.
func (s *shape) ready() {
	s.per = geom.Vec{X: 1 / (s.r.X * s.r.X), Y: 1 / (s.r.Y * s.r.Y), Z: 1 / (s.r.Z * s.r.Z)}
	w := way{scale: 1}
	if s.flat != 0 {
		w.stretch, w.scale = 1/s.flat-1, min(1, s.flat)
	}
	ab := s.b.Sub(s.a)
	ab = ab.Add(s.axes.y.Scale(ab.Dot(s.axes.y) * w.stretch))
	d := s.ra - s.rb
	switch l2 := ab.Norm2(); {
	case l2 > d*d:
		w.length = math.Sqrt(l2)
		w.dir = ab.Scale(1 / w.length)
		w.sin = d / w.length
		w.cos = math.Sqrt(1 - w.sin*w.sin)
		w.tan = w.sin / w.cos
	case d >= 0:
		w.r = s.ra
	default:
		w.o, w.r = ab, s.rb
	}
	s.way = w
}

// coneDistance returns the signed distance of p from the hull of two balls.
//
// Source: own derivation: in the half plane of p and the axis the hull is a
// straight side between two circles, met where the axis is left at a right
// angle to that side.
func (s *shape) coneDistance(p geom.Vec) float64 {
	w := &s.way
	p = p.Sub(s.a)
	if w.stretch != 0 {
		p = p.Add(s.axes.y.Scale(p.Dot(s.axes.y) * w.stretch))
	}
	if w.length == 0 {
		return (p.Sub(w.o).Norm() - w.r) * w.scale
	}
	n2, x := p.Norm2(), p.Dot(w.dir)
	y := math.Sqrt(max(0, n2-x*x))
	switch u := x - y*w.tan; { // where the side's normal through p meets the axis
	case u <= 0:
		return (math.Sqrt(n2) - s.ra) * w.scale
	case u >= w.length:
		return (math.Sqrt((x-w.length)*(x-w.length)+y*y) - s.rb) * w.scale
	}
	return (x*w.sin + y*w.cos - s.ra) * w.scale
}

// reach returns a distance that p surely has from the shape, at least.
func (s *shape) reach(p geom.Vec) float64 {
	switch s.form {
	case cone:
		ab := s.b.Sub(s.a)
		t := 0.0
		if n := ab.Norm2(); n > 0 {
			t = min(1, max(0, p.Sub(s.a).Dot(ab)/n))
		}
		return p.Sub(s.a.Add(ab.Scale(t))).Norm() - max(s.ra, s.rb)*max(1, s.flat)
	case ring:
		return p.Sub(s.a).Norm() - s.r.X - s.ra
	case block:
		return p.Sub(s.a).Norm() - s.r.Norm()
	}
	return p.Sub(s.a).Norm() - max(s.r.X, s.r.Y, s.r.Z)
}

// smoothMin joins two distances so that the surfaces flow into each other over
// about k; it equals the lesser where they differ by more than k.
func smoothMin(a, b, k float64) float64 {
	switch d := a - b; {
	case d >= k:
		return b
	case d <= -k:
		return a
	case d > 0:
		return b - (k-d)*(k-d)/(4*k)
	default:
		return a - (k+d)*(k+d)/(4*k)
	}
}

// A solid is a list of shapes built one after the other: one closed surface of
// one material.
type solid struct {
	part   Part
	cell   float64 // edge of a mesh cell, metres
	ripple float64 // depth of folds in cloth or strands in hair, metres
	grain  frame   // z runs along the folds, or is the pole the strands run round
	shapes []shape
	widest float64 // blend of them all, metres

	strands float64 // how many around the pole; 0: cloth
	calm    float64 // height along the grain where cloth lies on the body; 0: nowhere
}

func (b *solid) add(s shape) {
	s.ready()
	b.shapes = append(b.shapes, s)
}

func (b *solid) cone(p, q geom.Vec, rp, rq, blend float64) {
	b.add(shape{form: cone, a: p, b: q, ra: rp, rb: rq, blend: blend})
}

// oval is a cone pressed to flat times its width along the direction y.
func (b *solid) oval(p, q geom.Vec, rp, rq, flat float64, y geom.Vec, blend float64) {
	b.add(shape{form: cone, a: p, b: q, ra: rp, rb: rq, flat: flat, axes: frame{y: y}, blend: blend})
}

func (b *solid) ball(p geom.Vec, r, blend float64) { b.cone(p, p, r, r, blend) }

func (b *solid) egg(f frame, at geom.Vec, rx, ry, rz, blend float64) {
	b.add(shape{form: egg, a: at, axes: f, r: geom.Vec{X: rx, Y: ry, Z: rz}, blend: blend})
}

// carve takes the last shape away instead of adding it.
func (b *solid) carve() { b.shapes[len(b.shapes)-1].op = cut }

// trim cuts off what lies before the plane through p with normal n. The edge is
// no sharper than the mesh can show.
func (b *solid) trim(p, n geom.Vec, blend float64) {
	b.add(shape{form: half, op: keep, a: p, axes: frame{z: n.Unit()}, blend: max(blend, 0.6*b.cell)})
}

// distance evaluates the given shapes of the solid, all if nil.
func (b *solid) distance(p geom.Vec, which []int32) float64 {
	d := math.Inf(1)
	n := len(which)
	if which == nil {
		n = len(b.shapes)
	}
	for j := range n {
		i := j
		if which != nil {
			i = int(which[j])
		}
		s := &b.shapes[i]
		d = s.onto(d, s.distance(p))
	}
	if b.ripple > 0 && math.Abs(d) < 8*b.ripple { // elsewhere only the sign counts
		d += b.ripple * b.folds(p)
	}
	return d
}

// onto returns the distance d from what was built before and x from the shape
// as one.
func (s *shape) onto(d, x float64) float64 {
	switch s.op {
	case cut:
		return -smoothMin(-d, x, s.blend)
	case keep:
		return -smoothMin(-d, -x, s.blend)
	}
	return smoothMin(d, x, s.blend)
}

// folds varies between about −1 and 1, slowly along the grain, faster across.
func (b *solid) folds(p geom.Vec) float64 {
	d := p.Sub(b.grain.o)
	x, y, z := d.Dot(b.grain.x), d.Dot(b.grain.y), d.Dot(b.grain.z)
	if b.strands > 0 {
		a := math.Atan2(x, y)
		wave := 1.2*math.Sin(70*z+5*a) + 0.8*math.Sin(31*z-3*a)
		return 0.6*math.Sin(b.strands*a+wave) + 0.4*math.Sin(math.Round(1.7*b.strands)*a-wave)
	}
	u := x*24 + 1.9*math.Sin(y*17+z*9)
	v := y*28 + 1.7*math.Sin(x*21-z*11)
	w := z*10 + 1.3*math.Sin(x*11+y*13)
	crease := func(a float64) float64 { s := math.Sin(a); return 1 - 2*math.Sqrt(s*s+0.02) }
	loose := 1.0
	if b.calm > 0 {
		loose = min(1, max(0.15, (b.calm-z)/0.15))
	}
	return loose * (0.55*crease(u+w+0.6*v) + 0.45*crease(v-1.4*w))
}
