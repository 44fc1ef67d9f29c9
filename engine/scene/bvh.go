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

// A boxed entry is what the builder moves about.
type boxed struct {
	bounds
	at int32 // in the entries as they were added
}

// twice returns twice the middle of the box.
func (b *bounds) twice(axis int) float32 { return b.lo.at(axis) + b.hi.at(axis) }

// A builder sorts entries into the tree.
type builder struct {
	nodes []node
	order []boxed
	all   sync.WaitGroup
}

// apart is from how many entries on a branch gets a goroutine of its own.
const apart = 4096

// build makes the hierarchy: binned surface-area heuristic, depth first. Where a
// node lies depends on the entries alone, so branches may grow side by side.
//
// Source: [Wald2007].
func (s *Scene) build() {
	n := len(s.entries)
	if n == 0 {
		return
	}
	// The root and a blank, so that pairs of children share a line of cache.
	b := builder{nodes: make([]node, 2*n), order: make([]boxed, n)}
	whole, mids := nothing, nothing
	for i := range s.entries {
		e := boxed{s.boundsOf(&s.entries[i]), int32(i)}
		b.order[i] = e
		whole.join(&e.bounds)
		mids.add(e.lo.Add(e.hi))
	}
	b.split(0, 2, 0, n, 0, &whole, &mids)
	b.all.Wait()
	sorted := make([]entry, n)
	for i := range b.order {
		sorted[i] = s.entries[b.order[i].at]
	}
	s.entries, s.nodes = sorted, b.nodes
}

// split makes the node number at of some entries. What is below it has room for
// two nodes less than twice as many, from node number room on.
func (b *builder) split(at, room, from, to, depth int, box, mids *bounds) {
	b.nodes[at] = enclose(box)
	cut := from
	if to-from > 1 {
		cut = b.cut(from, to, box, mids, depth)
	}
	if cut == from {
		b.nodes[at].first, b.nodes[at].count = int32(from), int32(to-from)
		return
	}
	b.nodes[at].first = int32(room)
	branch := func(at, room, from, to int) {
		box, mids := nothing, nothing
		for i := from; i < to; i++ {
			e := &b.order[i]
			box.join(&e.bounds)
			mids.add(e.lo.Add(e.hi))
		}
		b.split(at, room, from, to, depth+1, &box, &mids)
	}
	if cut-from >= apart && to-cut >= apart {
		b.all.Go(func() { branch(room, room+2, from, cut) })
	} else {
		branch(room, room+2, from, cut)
	}
	branch(room+1, room+2*(cut-from), cut, to)
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
	n int
}

// cut returns where to divide, or from to make a leaf.
func (b *builder) cut(from, to int, box, mids *bounds, depth int) int {
	count := to - from
	n := min(bins, 2+count/2)
	best, bestAxis, bestBin := math.Inf(1), -1, 0
	for axis := 0; axis < 3 && depth < deepest; axis++ {
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
			e := &b.order[i]
			q := &all[min(int((e.twice(axis)-lo)*k), n-1)]
			q.join(&e.bounds)
			q.n++
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
		return from + count/2
	}
	if a := box.area(); count <= leafMost && costBox*a+costEntry*best >= costEntry*float64(count)*a {
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
