package scene

import (
	"math"

	"hardnoon/engine/geom"
	"hardnoon/engine/unit"
)

// A Hit is where a ray ends.
type Hit struct {
	T    float32 // metres along the ray
	u, v float32
	at   int32 // entry, or one of the below
}

const (
	onNothing = -1
	onGround  = -2
)

// A Surface is what a ray has met.
type Surface struct {
	At       Vec32
	Normal   Vec32 // of the flat geometry, towards where the ray came from
	Shading  Vec32 // of the smooth surface, on the same side
	Lifted   Vec32 // At, moved onto the smooth surface; where shadow rays start
	Material int32 // −1 for the front of a light
	Light    int32 // −1 for anything else
	Front    bool  // the ray came from outside
	owner    int32
}

const never = float32(math.MaxFloat32)

// inverse of a direction; a zero component becomes a tiny one
func inverse(d Vec32) Vec32 {
	const tiny = 1e-18
	f := func(x float32) float32 {
		if abs32(x) < tiny {
			return 1 / tiny
		}
		return 1 / x
	}
	return Vec32{f(d.X), f(d.Y), f(d.Z)}
}

// Trace returns what the ray from o along the unit vector d meets first, not
// farther than most, at a time between 0, the shutter opens, and 1, it closes.
// It allocates nothing.
func (s *Scene) Trace(o, d Vec32, most, time float32) (h Hit, ok bool) {
	return (&Tracer{s: s}).Trace(o, d, most, time)
}

// Occluded reports whether anything stands on the ray from o along d before
// most metres, at a time as for Trace. It allocates nothing.
func (s *Scene) Occluded(o, d Vec32, most, time float32) bool {
	return (&Tracer{s: s}).Occluded(o, d, most, time)
}

// A Tracer follows rays by the million for one goroutine: it keeps the room that
// a ray needs.
type Tracer struct {
	s   *Scene
	way descent
}

// Tracer returns a tracer of the scene.
func (s *Scene) Tracer() *Tracer { return &Tracer{s: s} }

// Trace is Scene.Trace.
func (t *Tracer) Trace(o, d Vec32, most, time float32) (h Hit, ok bool) {
	h = Hit{T: most, at: onNothing}
	if g := t.s.toGround(o, d); g < h.T {
		h.T, h.at = g, onGround
	}
	t.s.walk(&t.way, o, d, time, &h, false)
	return h, h.at != onNothing
}

// Occluded is Scene.Occluded.
func (t *Tracer) Occluded(o, d Vec32, most, time float32) bool {
	if t.s.toGround(o, d) < most {
		return true
	}
	h := Hit{T: most, at: onNothing}
	t.s.walk(&t.way, o, d, time, &h, true)
	return h.at != onNothing
}

// toGround returns where the ray meets the ground, or never.
func (s *Scene) toGround(o, d Vec32) float32 {
	if s.ground != nil && d.Z != 0 {
		if t := (s.groundZ - o.Z) / d.Z; t > 0 {
			return t
		}
	}
	return never
}

// meetShape returns where the ray meets a shape, or never.
func (s *Scene) meetShape(e *entry, o, d Vec32, most, time float32) float32 {
	q := o.Sub(e.a)
	shape := &s.shapes[^e.ref]
	if shape.passes > 0 && luckOf(o, d, e.ref) < shape.passes {
		return never
	}
	switch shape.kind {
	case moving:
		now := s.movers[shape.facet].at(e, time)
		t, _, _ := now.meet(o, d)
		return t
	case ball:
		// Source: [Haines2019]; the discriminant from the nearest point keeps its digits far away.
		b := -q.Dot(d)
		f := q.Add(d.Scale(b))
		disc := e.b.X*e.b.X - f.Dot(f)
		if disc < 0 {
			return never
		}
		r := Sqrt32(disc)
		if t := b - r; t > 0 {
			return t
		}
		if t := b + r; t > 0 {
			return t
		}
	case plate:
		c := d.Dot(e.b)
		if c == 0 {
			return never
		}
		t := -q.Dot(e.b) / c
		if t <= 0 || t >= most {
			return never
		}
		if p := q.Add(d.Scale(t)); p.Dot(p) <= e.c.X*e.c.X {
			return t
		}
	case parallel:
		p := d.Cross(e.c)
		det := e.b.Dot(p)
		if det == 0 {
			return never
		}
		f := 1 / det
		u := q.Dot(p) * f
		if u < 0 || u > 1 {
			return never
		}
		r := q.Cross(e.b)
		v := d.Dot(r) * f
		if v < 0 || v > 1 {
			return never
		}
		if t := e.c.Dot(r) * f; t > 0 {
			return t
		}
	case tube:
		a := d.X*d.X + d.Y*d.Y
		if a == 0 {
			return never
		}
		b := -(q.X*d.X + q.Y*d.Y) / a
		fx, fy := q.X+b*d.X, q.Y+b*d.Y
		disc := (e.b.X*e.b.X - fx*fx - fy*fy) / a
		if disc < 0 {
			return never
		}
		r := Sqrt32(disc)
		if t := b - r; t > 0 {
			if z := q.Z + t*d.Z; z >= 0 && z <= e.b.Y {
				return t
			}
		}
		if t := b + r; t > 0 {
			if z := q.Z + t*d.Z; z >= 0 && z <= e.b.Y {
				return t
			}
		}
	}
	return never
}

// luckOf is a number that belongs to a ray and a thing, so that whoever asks
// again hears the same.
func luckOf(o, d Vec32, thing int32) uint32 {
	x := math.Float32bits(d.X)*0x9e3779b9 ^ math.Float32bits(d.Y)*0x85ebca6b ^ math.Float32bits(o.X+d.Z)*0xc2b2ae35 ^ uint32(thing)*0x27d4eb2f
	x ^= x >> 16
	x *= 0x7feb352d
	x ^= x >> 15
	x *= 0x846ca68b
	return x ^ x>>16
}

// Surface returns what hit h of the ray from o along d has met at that time.
func (s *Scene) Surface(o, d Vec32, h Hit, time float32) Surface {
	at := o.Add(d.Scale(h.T))
	var f Surface
	switch {
	case h.at == onGround:
		at.Z = s.groundZ
		f = Surface{At: at, Normal: Vec32{Z: 1}, Shading: Vec32{Z: 1}, Material: int32(s.ground.Material), Light: -1, owner: -1}
		if s.ground.MaterialAt != nil {
			if m := s.ground.MaterialAt(float64(at.X), float64(at.Y)); m >= 0 && m < len(s.materials) {
				f.Material = int32(m)
			}
		}
	case s.entries[h.at].ref >= 0:
		f = s.onTriangle(&s.entries[h.at], d, h.u, h.v)
	case s.shapes[^s.entries[h.at].ref].kind == moving:
		e := &s.entries[h.at]
		now := s.movers[s.shapes[^e.ref].facet].at(e, time)
		_, u, v := now.meet(o, d)
		f = s.onTriangle(&now, d, u, v)
	default:
		e := &s.entries[h.at]
		b := &s.shapes[^e.ref]
		f = Surface{At: at, Normal: b.normal, Material: b.material, Light: b.light, owner: b.owner}
		switch b.kind {
		case ball:
			f.Normal = at.Sub(e.a).Unit()
			f.At = e.a.Add(f.Normal.Scale(e.b.X))
		case tube:
			f.Normal = Vec32{at.X - e.a.X, at.Y - e.a.Y, 0}.Unit()
		}
		f.Shading = f.Normal
	}
	f.Front = d.Dot(f.Normal) < 0
	if !f.Front {
		f.Normal, f.Shading = f.Normal.Neg(), f.Shading.Neg()
	}
	if f.Shading.Dot(d) >= 0 { // the smooth surface turns away where the flat one does not
		f.Shading = f.Normal
	}
	if f.Lifted == (Vec32{}) {
		f.Lifted = f.At
	}
	f.Lifted = f.Lifted.Add(f.Normal.Scale(s.Skin(f.At)))
	return f
}

// onTriangle returns the surface at u, v of triangle e.
func (s *Scene) onTriangle(e *entry, d Vec32, u, v float32) Surface {
	t := &s.facets[e.ref]
	at := e.a.Add(e.b.Scale(u)).Add(e.c.Scale(v))
	f := Surface{At: at, Normal: t.normal, Shading: t.normal, Material: t.material, Light: -1, owner: t.owner}
	if t.smooth {
		w := 1 - u - v
		f.Shading = t.corner[0].Scale(w).Add(t.corner[1].Scale(u)).Add(t.corner[2].Scale(v)).Unit()
		if d.Dot(t.normal) < 0 {
			f.Lifted = lift(at, e, t, u, v, w)
		}
	}
	return f
}

// Skin returns how far above the surface at p a ray must start so as not to
// meet that surface again: the rounding of single precision, with some to spare.
func (s *Scene) Skin(p Vec32) float32 {
	return 2e-5 + 2e-6*(abs32(p.X)+abs32(p.Y)+abs32(p.Z))
}

// lift moves a point of a flat triangle onto the curved surface its normals
// stand for, so that shadows do not show the triangles.
//
// Source: [Hanika2021].
func lift(p Vec32, e *entry, t *facet, u, v, w float32) Vec32 {
	push := func(corner, n Vec32) Vec32 {
		return n.Scale(min(0, p.Sub(corner).Dot(n)))
	}
	a := push(e.a, t.corner[0])
	b := push(e.a.Add(e.b), t.corner[1])
	c := push(e.a.Add(e.c), t.corner[2])
	return p.Sub(a.Scale(w)).Sub(b.Scale(u)).Sub(c.Scale(v))
}

// Closest returns the distance along ray r to what it meets first.
func (s *Scene) Closest(r geom.Ray) (unit.Length, Surface, bool) {
	o, d := To32(r.Origin), To32(r.Dir.Unit())
	h, ok := s.Trace(o, d, never, 0)
	if !ok {
		return 0, Surface{}, false
	}
	return unit.Length(h.T), s.Surface(o, d, h, 0), true
}

// Sees reports whether nothing stands between a and b.
func (s *Scene) Sees(a, b geom.Vec) bool {
	d := b.Sub(a)
	n := d.Norm()
	if n < 1e-9 {
		return true
	}
	skin := float64(s.Skin(To32(b)))
	return !s.Occluded(To32(a), To32(d.Scale(1/n)), float32(n-2*skin), 0)
}
