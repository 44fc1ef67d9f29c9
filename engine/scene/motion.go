package scene

import "hardnoon/engine/geom"

// A mover is what a triangle gains from the opening of the shutter to its
// closing: the way of its corner and the change of its sides.
type mover struct {
	a, b, c Vec32
	facet   int32
}

// Moves reports whether anything in the scene moves while the shutter is open.
func (s *Scene) Moves() bool { return len(s.movers) > 0 }

// addMover makes the triangle of the given facet a moving one and returns its
// reference. One that stays where it is remains a plain triangle.
func (s *Scene) addMover(facet int32, from, to [3]geom.Vec) int32 {
	if from == to {
		return facet
	}
	var way [3]geom.Vec
	for i := range way {
		way[i] = to[i].Sub(from[i])
	}
	s.shapes = append(s.shapes, shape{kind: moving, facet: int32(len(s.movers))})
	s.movers = append(s.movers, mover{To32(way[0]), To32(way[1].Sub(way[0])), To32(way[2].Sub(way[0])), facet})
	return ^int32(len(s.shapes) - 1)
}

// at returns the triangle e as it is at a time between 0, the shutter opens,
// and 1, it closes.
func (m *mover) at(e *entry, time float32) entry {
	return entry{e.a.Add(m.a.Scale(time)), e.b.Add(m.b.Scale(time)), e.c.Add(m.c.Scale(time)), m.facet}
}

// meet returns where the ray meets triangle e, and the coordinates in it.
// Source: [Moller1997].
func (e *entry) meet(o, d Vec32) (t, u, v float32) {
	p := d.Cross(e.c)
	det := e.b.Dot(p)
	if det == 0 {
		return never, 0, 0
	}
	f := 1 / det
	q := o.Sub(e.a)
	u = q.Dot(p) * f
	if u < 0 || u > 1 {
		return never, 0, 0
	}
	r := q.Cross(e.b)
	v = d.Dot(r) * f
	if v < 0 || u+v > 1 {
		return never, 0, 0
	}
	if t = e.c.Dot(r) * f; t <= 0 {
		return never, 0, 0
	}
	return t, u, v
}
