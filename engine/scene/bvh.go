package scene

import "math"

// A node is a box given by its middle and half its size, so that a ray needs no
// sorting of near and far planes. Children stand side by side.
type node struct {
	mid   Vec32
	first int32 // child or entry
	half  Vec32
	count int32 // entries of a leaf; 0: an inner node with two children
}

// An entry is a primitive as rays meet it: 40 bytes, in the order of the leaves.
// For a triangle a is a corner and b, c its two sides.
type entry struct {
	a, b, c Vec32
	ref     int32 // triangle, or ^shape
}

// A facet is the rest of a triangle, wanted only where a ray ends.
type facet struct {
	corner   [3]Vec32 // normals at a, a+b, a+c
	normal   Vec32
	material int32
	owner    int32
	smooth   bool
}

const (
	bins      = 16
	leafMost  = 4
	deepest   = 40 // beyond it, halve; the stack of a ray holds 64
	costBox   = 1.0
	costEntry = 1.3 // measured: a triangle against a pair of boxes
)

type bounds struct{ lo, hi Vec32 }

var nothing = bounds{Vec32{math.MaxFloat32, math.MaxFloat32, math.MaxFloat32}, Vec32{-math.MaxFloat32, -math.MaxFloat32, -math.MaxFloat32}}

func (b *bounds) add(p Vec32) {
	b.lo = Vec32{min(b.lo.X, p.X), min(b.lo.Y, p.Y), min(b.lo.Z, p.Z)}
	b.hi = Vec32{max(b.hi.X, p.X), max(b.hi.Y, p.Y), max(b.hi.Z, p.Z)}
}

func (b *bounds) join(c *bounds) { b.add(c.lo); b.add(c.hi) }

func (b *bounds) area() float64 {
	d := b.hi.Sub(b.lo)
	if d.X < 0 {
		return 0
	}
	return float64(d.X)*float64(d.Y) + float64(d.Y)*float64(d.Z) + float64(d.Z)*float64(d.X)
}

func (v Vec32) at(axis int) float32 {
	switch axis {
	case 0:
		return v.X
	case 1:
		return v.Y
	}
	return v.Z
}

// boundsOf returns the box of entry e.
func (s *Scene) boundsOf(e *entry) bounds {
	b := nothing
	around := func(c, r Vec32) { b.add(c.Sub(r)); b.add(c.Add(r)) }
	if e.ref >= 0 {
		b.add(e.a)
		b.add(e.a.Add(e.b))
		b.add(e.a.Add(e.c))
		return b
	}
	switch shape := &s.shapes[^e.ref]; shape.kind {
	case moving:
		for _, time := range []float32{0, 1} {
			now := s.movers[shape.facet].at(e, time)
			b.add(now.a)
			b.add(now.a.Add(now.b))
			b.add(now.a.Add(now.c))
		}
	case ball:
		around(e.a, Vec32{e.b.X, e.b.X, e.b.X})
	case plate:
		r, n := e.c.X, e.b
		around(e.a, Vec32{r * Sqrt32(max(0, 1-n.X*n.X)), r * Sqrt32(max(0, 1-n.Y*n.Y)), r * Sqrt32(max(0, 1-n.Z*n.Z))})
	case parallel:
		b.add(e.a)
		b.add(e.a.Add(e.b))
		b.add(e.a.Add(e.c))
		b.add(e.a.Add(e.b).Add(e.c))
	case tube:
		around(e.a, Vec32{e.b.X, e.b.X, 0})
		around(e.a.Add(Vec32{Z: e.b.Y}), Vec32{e.b.X, e.b.X, 0})
	}
	return b
}

// A builder sorts entries into the tree.
type builder struct {
	s     *Scene
	boxes []bounds
	mids  []Vec32
	order []int32
}

// build makes the hierarchy: binned surface-area heuristic, depth first.
//
// Source: [Wald2007].
func (s *Scene) build() {
	n := len(s.entries)
	if n == 0 {
		return
	}
	b := builder{s, make([]bounds, n), make([]Vec32, n), make([]int32, n)}
	for i := range s.entries {
		b.boxes[i] = s.boundsOf(&s.entries[i])
		b.mids[i] = b.boxes[i].lo.Add(b.boxes[i].hi).Scale(0.5)
		b.order[i] = int32(i)
	}
	s.nodes = make([]node, 2, 2*n+2) // the root and a blank: pairs of children share a line of cache
	b.split(0, 0, n, 0)
	sorted := make([]entry, n)
	for i, k := range b.order {
		sorted[i] = s.entries[k]
	}
	s.entries = sorted
}

func (b *builder) split(at, from, to, depth int) {
	box, mids := nothing, nothing
	for _, k := range b.order[from:to] {
		box.join(&b.boxes[k])
		mids.add(b.mids[k])
	}
	b.s.nodes[at] = enclose(&box)
	cut := from
	if to-from > 1 {
		cut = b.cut(from, to, &box, &mids, depth)
	}
	if cut == from {
		b.s.nodes[at].first, b.s.nodes[at].count = int32(from), int32(to-from)
		return
	}
	left := len(b.s.nodes)
	b.s.nodes[at].first = int32(left)
	b.s.nodes = append(b.s.nodes, node{}, node{})
	b.split(left, from, cut, depth+1)
	b.split(left+1, cut, to, depth+1)
}

// enclose rounds outwards: a ray must never slip past a box it touches.
func enclose(b *bounds) node {
	mid := b.lo.Add(b.hi).Scale(0.5)
	half := b.hi.Sub(b.lo).Scale(0.5)
	slack := func(h, m float32) float32 { return h*(1+1e-6) + abs32(m)*1e-6 + 1e-7 }
	return node{mid: mid, half: Vec32{slack(half.X, mid.X), slack(half.Y, mid.Y), slack(half.Z, mid.Z)}}
}

// cut returns where to divide, or from to make a leaf.
func (b *builder) cut(from, to int, box, mids *bounds, depth int) int {
	count := to - from
	best, bestAxis, bestBin := math.Inf(1), -1, 0
	for axis := 0; axis < 3 && depth < deepest; axis++ {
		lo, hi := mids.lo.at(axis), mids.hi.at(axis)
		if hi <= lo {
			continue
		}
		var boxes [bins]bounds
		var counts [bins]int
		for i := range boxes {
			boxes[i] = nothing
		}
		k := bins / (hi - lo)
		for _, e := range b.order[from:to] {
			i := min(int((b.mids[e].at(axis)-lo)*k), bins-1)
			boxes[i].join(&b.boxes[e])
			counts[i]++
		}
		var right [bins]float64
		acc, n := nothing, 0
		for i := bins - 1; i > 0; i-- {
			if counts[i] > 0 {
				acc.join(&boxes[i])
				n += counts[i]
			}
			right[i] = acc.area() * float64(n)
		}
		acc, n = nothing, 0
		for i := range bins - 1 {
			if counts[i] > 0 {
				acc.join(&boxes[i])
				n += counts[i]
			}
			if n == 0 || n == count {
				continue
			}
			if cost := acc.area()*float64(n) + right[i+1]; cost < best {
				best, bestAxis, bestBin = cost, axis, i
			}
		}
	}
	if bestAxis < 0 { // all in one place, or too deep
		if count <= leafMost {
			return from
		}
		return from + count/2
	}
	if a := box.area(); count <= leafMost && costBox*a+costEntry*best >= costEntry*float64(count)*a {
		return from
	}
	lo := mids.lo.at(bestAxis)
	k := bins / (mids.hi.at(bestAxis) - lo)
	i, j := from, to
	for i < j {
		if min(int((b.mids[b.order[i]].at(bestAxis)-lo)*k), bins-1) <= bestBin {
			i++
		} else {
			j--
			b.order[i], b.order[j] = b.order[j], b.order[i]
		}
	}
	return i
}
