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
}

type form uint8

const (
	cone  form = iota // a round cone: two balls and what is stretched over them
	egg               // an ellipsoid
	block             // a box with rounded edges, ra their radius
	ring              // a torus about axes.z: r.X its radius, ra its thickness
	half              // everything behind the plane through a with normal axes.z
)

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
		if s.flat == 0 {
			return roundCone(p, s.a, s.b, s.ra, s.rb)
		}
		squeeze := func(v geom.Vec) geom.Vec {
			return v.Add(s.axes.y.Scale(v.Sub(s.a).Dot(s.axes.y) * (1/s.flat - 1)))
		}
		return roundCone(squeeze(p), s.a, squeeze(s.b), s.ra, s.rb) * min(1, s.flat)
	case egg:
		d := p.Sub(s.a)
		x, y, z := d.Dot(s.axes.x)/s.r.X, d.Dot(s.axes.y)/s.r.Y, d.Dot(s.axes.z)/s.r.Z
		k0 := math.Sqrt(x*x + y*y + z*z)
		k1 := math.Sqrt(x*x/(s.r.X*s.r.X) + y*y/(s.r.Y*s.r.Y) + z*z/(s.r.Z*s.r.Z))
		if k1 < 1e-9 {
			return -min(s.r.X, s.r.Y, s.r.Z)
		}
		return k0 * (k0 - 1) / k1
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

// roundCone returns the signed distance from the hull of two balls.
//
// Source: own derivation: in the half plane of p and the axis the hull is a
// straight side between two circles, met where the axis is left at a right
// angle to that side.
func roundCone(p, a, b geom.Vec, ra, rb float64) float64 {
	ab, ap := b.Sub(a), p.Sub(a)
	l2 := ab.Norm2()
	if l2 <= (ra-rb)*(ra-rb) { // one ball holds the other
		if ra >= rb {
			return ap.Norm() - ra
		}
		return p.Sub(b).Norm() - rb
	}
	l := math.Sqrt(l2)
	x := ap.Dot(ab) / l
	y := math.Sqrt(max(0, ap.Norm2()-x*x))
	s := (ra - rb) / l // sine of the side's slope
	c := math.Sqrt(1 - s*s)
	switch u := x - y*s/c; { // where the side's normal through p meets the axis
	case u <= 0:
		return ap.Norm() - ra
	case u >= l:
		return p.Sub(b).Norm() - rb
	}
	return x*s + y*c - ra
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
	h := max(k-math.Abs(a-b), 0)
	if h == 0 {
		return min(a, b)
	}
	return min(a, b) - h*h/(4*k)
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

func (b *solid) add(s shape) { b.shapes = append(b.shapes, s) }

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
		switch x := s.distance(p); s.op {
		case join:
			d = smoothMin(d, x, s.blend)
		case cut:
			d = -smoothMin(-d, x, s.blend)
		case keep:
			d = -smoothMin(-d, -x, s.blend)
		}
	}
	if b.ripple > 0 && math.Abs(d) < 8*b.ripple { // elsewhere only the sign counts
		d += b.ripple * b.folds(p)
	}
	return d
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
