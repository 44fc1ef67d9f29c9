package scene

// wide is the tree with up to four children a node, whose boxes this machine
// meets at once. It is the tree of pairs with levels left out.
//
// Source: [Wald2008], from memory: the idea; layout and order our own.
type wide struct{ nodes []wideNode }

// A wideNode holds the boxes of its children, coordinate by coordinate.
type wideNode struct {
	mid, half [3][4]float32
	// child is a node, or ^(entry<<3 | entries) of a leaf. A place left over has a
	// box turned inside out, which no ray is in.
	child [4]int32
	_     [4]int32 // two lines of cache
}

// A descent is a ray on its way through the tree.
type descent struct {
	inv, o Vec32 // 1/direction, and the origin times it
	most   float32
	top    int32
	near   [4]float32 // of the node being looked at
	stack  [deepestDescent]struct {
		near float32
		node int32
	}
}

// deepestDescent is how many nodes may wait. Each but the last level leaves three.
const deepestDescent = 96

// nextLeaf goes down to the next leaf that may hold something nearer than most,
// and returns what wideNode.child says of it, or 0 when there is none.
//
//go:noescape
func nextLeaf(t *descent, root *wideNode) int32

// widen makes the wide tree of the tree of pairs. It reports whether a descent
// will have room; the tree of pairs is given up then.
func (s *Scene) widen() (fits bool) {
	s.wide.nodes = nil
	if len(s.nodes) == 0 {
		return true
	}
	s.wide.nodes = make([]wideNode, 0, len(s.entries)/3+1)
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
			made.child[i] = ^(x.first<<3 | x.count)
			continue
		}
		made.child[i] = int32(len(s.wide.nodes))
		waiting = max(waiting, s.widenAt(kids[i]))
	}
	s.wide.nodes[me] = made
	return waiting + n
}

// walk shortens h to what the ray meets first before it, or to anything it meets.
func (s *Scene) walk(o, d Vec32, time float32, h *Hit, any bool) {
	if len(s.wide.nodes) == 0 {
		return
	}
	var t descent
	t.inv = inverse(d)
	t.o = Vec32{o.X * t.inv.X, o.Y * t.inv.Y, o.Z * t.inv.Z}
	t.most, t.top = h.T, 1
	for {
		leaf := nextLeaf(&t, &s.wide.nodes[0])
		if leaf == 0 {
			return
		}
		if s.meetLeaf(^leaf>>3, ^leaf&7, o, d, time, h) {
			if any {
				return
			}
			t.most = h.T
		}
	}
}

// meetLeaf shortens h to the nearest of n entries and reports whether it did.
func (s *Scene) meetLeaf(first, n int32, o, d Vec32, time float32, h *Hit) (nearer bool) {
	for i := first; i < first+n; i++ {
		e := &s.entries[i]
		var t, u, v float32
		if e.ref >= 0 {
			t, u, v = e.meet(o, d)
		} else {
			t = s.meetShape(e, o, d, h.T, time)
		}
		if t < h.T {
			*h = Hit{t, u, v, i}
			nearer = true
		}
	}
	return nearer
}
