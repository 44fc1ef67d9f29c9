package scene

import (
	"math"
	"sync"
)

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
	b.join(&bounds{p, p})
}

// join compares: min and max cost three times as much where little changes.
func (b *bounds) join(c *bounds) {
	if c.lo.X < b.lo.X {
		b.lo.X = c.lo.X
	}
	if c.lo.Y < b.lo.Y {
		b.lo.Y = c.lo.Y
	}
	if c.lo.Z < b.lo.Z {
		b.lo.Z = c.lo.Z
	}
	if c.hi.X > b.hi.X {
		b.hi.X = c.hi.X
	}
	if c.hi.Y > b.hi.Y {
		b.hi.Y = c.hi.Y
	}
	if c.hi.Z > b.hi.Z {
		b.hi.Z = c.hi.Z
	}
}

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

// A parcel is what the builder moves about: an entry, or two triangles side by
// side that make a quadrangle, as those of a figure do.
type parcel struct {
	bounds
	at int32 // its first in the entries as they were added
	n  int32
}

// twice returns twice the middle of the box.
func (b *bounds) twice(axis int) float32 { return b.lo.at(axis) + b.hi.at(axis) }

// A builder sorts parcels into the tree.
type builder struct {
	nodes   []node
	order   []parcel
	deepest int
	all     sync.WaitGroup
}

// apart is from how many parcels on a branch gets a goroutine of its own.
const apart = 2048

// build makes the hierarchy: binned surface-area heuristic, depth first. Where a
// node lies depends on the entries alone, so branches may grow side by side.
//
// Source: [Wald2007].
func (s *Scene) build() {
	order := s.parcels()
	if len(order) == 0 {
		return
	}
	s.grow(order, deepest)
	if !s.widen() {
		s.grow(s.parcels(), 0) // halved all through, it is as low as can be
		s.widen()
	}
}

// grow makes the tree of pairs and puts the entries in the order of its leaves.
func (s *Scene) grow(order []parcel, deepest int) {
	n := len(order)
	// The root and a blank, so that pairs of children share a line of cache.
	b := builder{nodes: make([]node, 2*n), order: order, deepest: deepest}
	b.branch(0, 2, 0, n, 0)
	b.all.Wait()
	// From parcels to entries.
	sorted := make([]entry, 0, len(s.entries))
	from := make([]int32, n)
	for i := range order {
		from[i] = int32(len(sorted))
		sorted = append(sorted, s.entries[order[i].at:order[i].at+order[i].n]...)
	}
	for i := range b.nodes {
		if k := &b.nodes[i]; k.count > 0 {
			last := k.first + k.count - 1
			k.first, k.count = from[k.first], from[last]+order[last].n-from[k.first]
		}
	}
	s.entries, s.nodes = sorted, b.nodes
}

// parcels returns the entries with their boxes, quadrangles in one.
func (s *Scene) parcels() []parcel {
	order := make([]parcel, 0, len(s.entries))
	for i := 0; i < len(s.entries); {
		e := &s.entries[i]
		p := parcel{s.boundsOf(e), int32(i), 1}
		if i++; i < len(s.entries) && s.quadrangle(e, &s.entries[i]) {
			next := s.boundsOf(&s.entries[i])
			p.join(&next)
			p.n = 2
			i++
		}
		order = append(order, p)
	}
	return order
}

// quadrangle reports whether two entries are triangles on both sides of a
// diagonal that starts where they do.
func (s *Scene) quadrangle(e, f *entry) bool {
	triangle := func(e *entry) bool { return e.ref >= 0 || s.shapes[^e.ref].kind == moving }
	return e.a == f.a && (e.c == f.b || e.b == f.c) && triangle(e) && triangle(f)
}

// branch makes the node number at of some parcels. What is below it has room for
// two nodes less than twice as many, from node number room on.
func (b *builder) branch(at, room, from, to, depth int) {
	box, mids, count := nothing, nothing, 0
	for i := from; i < to; i++ {
		p := &b.order[i]
		box.join(&p.bounds)
		mids.add(p.lo.Add(p.hi))
		count += int(p.n)
	}
	b.nodes[at] = enclose(&box)
	cut := from
	if to-from > 1 {
		cut = b.cut(from, to, count, &box, &mids, depth)
	}
	if cut == from {
		b.nodes[at].first, b.nodes[at].count = int32(from), int32(to-from)
		return
	}
	b.nodes[at].first = int32(room)
	if cut-from >= apart && to-cut >= apart {
		b.all.Go(func() { b.branch(room, room+2, from, cut, depth+1) })
	} else {
		b.branch(room, room+2, from, cut, depth+1)
	}
	b.branch(room+1, room+2*(cut-from), cut, to, depth+1)
}

// enclose rounds outwards: a ray must never slip past a box it touches.
func enclose(b *bounds) node {
	mid := b.lo.Add(b.hi).Scale(0.5)
	half := b.hi.Sub(b.lo).Scale(0.5)
	slack := func(h, m float32) float32 { return h*(1+1e-6) + abs32(m)*1e-6 + 1e-7 }
	return node{mid: mid, half: Vec32{slack(half.X, mid.X), slack(half.Y, mid.Y), slack(half.Z, mid.Z)}}
}

// A bin is what falls between two places along an axis.
type bin struct {
	bounds
	n int // entries
}

// cut returns where to divide some parcels with so many entries, or from to make
// a leaf.
func (b *builder) cut(from, to, count int, box, mids *bounds, depth int) int {
	leaf := func(divided float64) bool {
		a := box.area()
		return count <= leafMost && costBox*a+costEntry*divided >= costEntry*float64(count)*a
	}
	if wholeLeaves && count <= leafMost {
		return from
	}
	if to-from == 2 { // every second node: nothing to choose
		p, q := &b.order[from], &b.order[from+1]
		if leaf(p.area()*float64(p.n) + q.area()*float64(q.n)) {
			return from
		}
		return from + 1
	}
	n := min(bins, 2+(to-from)/2)
	best, bestAxis, bestBin := math.Inf(1), -1, 0
	for axis := 0; axis < 3 && depth < b.deepest; axis++ {
		lo, hi := mids.lo.at(axis), mids.hi.at(axis)
		if hi <= lo {
			continue
		}
		var all [bins]bin
		for i := range n {
			all[i].bounds = nothing
		}
		k := float32(n) / (hi - lo)
		for i := from; i < to; i++ {
			p := &b.order[i]
			q := &all[min(int((p.twice(axis)-lo)*k), n-1)]
			q.join(&p.bounds)
			q.n += int(p.n)
		}
		var right [bins]float64
		acc, sum := nothing, 0
		for i := n - 1; i > 0; i-- {
			if all[i].n > 0 {
				acc.join(&all[i].bounds)
				sum += all[i].n
			}
			right[i] = acc.area() * float64(sum)
		}
		acc, sum = nothing, 0
		for i := range n - 1 {
			if all[i].n > 0 {
				acc.join(&all[i].bounds)
				sum += all[i].n
			}
			if sum == 0 || sum == count {
				continue
			}
			if cost := acc.area()*float64(sum) + right[i+1]; cost < best {
				best, bestAxis, bestBin = cost, axis, i
			}
		}
	}
	if bestAxis < 0 { // all in one place, or too deep
		if count <= leafMost {
			return from
		}
		return from + (to-from)/2
	}
	if leaf(best) {
		return from
	}
	lo := mids.lo.at(bestAxis)
	k := float32(n) / (mids.hi.at(bestAxis) - lo)
	i, j := from, to
	for i < j {
		if min(int((b.order[i].twice(bestAxis)-lo)*k), n-1) <= bestBin {
			i++
		} else {
			j--
			b.order[i], b.order[j] = b.order[j], b.order[i]
		}
	}
	return i
}
