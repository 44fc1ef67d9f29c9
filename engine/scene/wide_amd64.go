package scene

import "math/bits"

// wide is the tree with up to four children a node and four triangles a leaf,
// for this machine meets four at once. It is the tree of pairs with levels left
// out.
//
// Source: [Wald2008], from memory: the idea; layout and order our own.
type wide struct {
	nodes  []wideNode
	leaves []wideLeaf
}

// wholeLeaves: four entries cost no more than one.
const wholeLeaves = true

// A wideNode holds the boxes of its children, coordinate by coordinate.
type wideNode struct {
	mid, half [3][4]float32
	// child is a node, or ^leaf. A place left over has a box turned inside out,
	// which no ray is in.
	child [4]int32
	_     [4]int32 // two lines of cache
}

// A wideLeaf holds entries as four triangles, coordinate by coordinate. What is
// not a plain triangle, or not there, is one without size.
type wideLeaf struct {
	a, b, c [3][4]float32
	first   int32  // of the entries
	shapes  uint32 // bits: which of them are no plain triangles
	_       [2]int32
}

// A descent is a ray on its way through the tree. The machine knows where its
// parts lie.
type descent struct {
	inv, scaled Vec32 // 1/direction, and the origin times it
	o, d        Vec32
	most        float32
	top         int32
	hits        uint32 // bits: which triangles of the leaf are met
	_           int32
	t, u, v     [4]float32 // where; t is also scratch
	stack       [deepestDescent]struct {
		near float32
		node int32
	}
}

// deepestDescent is how many nodes may wait. Each but the last level leaves three.
const deepestDescent = 96

// nextLeaf goes down to the next leaf with triangles that are met nearer than
// most, or with something that is no triangle, and returns its number, or −1 when
// there is none.
//
//go:noescape
func nextLeaf(t *descent, nodes *wideNode, leaves *wideLeaf) int32

// widen makes the wide tree of the tree of pairs. It reports whether a descent
// will have room; the tree of pairs is given up then.
func (s *Scene) widen() (fits bool) {
	s.wide = wide{}
	if len(s.nodes) == 0 {
		return true
	}
	leaves := 0
	for i := range s.nodes {
		if s.nodes[i].count > 0 {
			leaves++
		}
	}
	s.wide.leaves = make([]wideLeaf, 0, leaves)
	s.wide.nodes = make([]wideNode, 0, leaves/2+1)
	if s.widenAt(0) > deepestDescent {
		return false
	}
	s.nodes = nil
	return true
}

// widenAt adds the node for node number at of the pairs and what is below it, and
// returns how many nodes a descent through it may have waiting.
func (s *Scene) widenAt(at int32) (waiting int) {
	var kids [4]int32
	kids[0] = at
	n := 1
	for n < 4 { // open the child a ray meets most often
		open, most := -1, float32(0)
		for i, k := range kids[:n] {
			if x := &s.nodes[k]; x.count == 0 {
				if a := x.half.X*x.half.Y + x.half.Y*x.half.Z + x.half.Z*x.half.X; open < 0 || a > most {
					open, most = i, a
				}
			}
		}
		if open < 0 {
			break
		}
		first := s.nodes[kids[open]].first
		kids[open], kids[n] = first, first+1
		n++
	}
	me := len(s.wide.nodes)
	s.wide.nodes = append(s.wide.nodes, wideNode{})
	var made wideNode
	for i := range made.child {
		if i >= n {
			for axis := range 3 {
				made.half[axis][i] = -1e30
			}
			continue
		}
		x := &s.nodes[kids[i]]
		for axis := range 3 {
			made.mid[axis][i], made.half[axis][i] = x.mid.at(axis), x.half.at(axis)
		}
		if x.count > 0 {
			made.child[i] = ^s.widenLeaf(x)
			continue
		}
		made.child[i] = int32(len(s.wide.nodes))
		waiting = max(waiting, s.widenAt(kids[i]))
	}
	s.wide.nodes[me] = made
	return waiting + n
}

// widenLeaf adds a leaf and returns its number.
func (s *Scene) widenLeaf(x *node) int32 {
	l := wideLeaf{first: x.first}
	for i, e := range s.entries[x.first : x.first+x.count] {
		if e.ref < 0 {
			l.shapes |= 1 << i
			continue
		}
		for axis := range 3 {
			l.a[axis][i], l.b[axis][i], l.c[axis][i] = e.a.at(axis), e.b.at(axis), e.c.at(axis)
		}
	}
	s.wide.leaves = append(s.wide.leaves, l)
	return int32(len(s.wide.leaves) - 1)
}

// walk shortens h to what the ray meets first before it, or to anything it meets.
// It leaves in t what it likes.
func (s *Scene) walk(t *descent, o, d Vec32, time float32, h *Hit, any bool) {
	if len(s.wide.nodes) == 0 {
		return
	}
	t.inv = inverse(d)
	t.scaled = Vec32{o.X * t.inv.X, o.Y * t.inv.Y, o.Z * t.inv.Z}
	t.o, t.d, t.most = o, d, h.T
	t.stack[0].near, t.stack[0].node, t.top = 0, 0, 1 // the root
	for {
		at := nextLeaf(t, &s.wide.nodes[0], &s.wide.leaves[0])
		if at < 0 {
			return
		}
		l := &s.wide.leaves[at]
		for m := t.hits; m != 0; m &= m - 1 {
			if i := bits.TrailingZeros32(m) & 3; t.t[i] < t.most {
				t.most = t.t[i]
				*h = Hit{t.t[i], t.u[i], t.v[i], l.first + int32(i)}
			}
		}
		for m := l.shapes; m != 0; m &= m - 1 {
			i := l.first + int32(bits.TrailingZeros32(m))
			if x := s.meetShape(&s.entries[i], o, d, t.most, time); x < t.most {
				t.most = x
				*h = Hit{x, 0, 0, i}
			}
		}
		if any && h.at != onNothing {
			return
		}
	}
}
