package scene

import (
	"math/rand/v2"
	"testing"
	"unsafe"

	"hardnoon/engine/geom"
)

// heap returns a scene of triangles and balls, strewn about.
func heap(t *testing.T, rng *rand.Rand, n int) *Scene {
	t.Helper()
	at := func(spread float64) geom.Vec {
		return geom.Vec{X: rng.NormFloat64() * spread, Y: rng.NormFloat64() * spread, Z: rng.NormFloat64() * spread}
	}
	p := Parts{Materials: []Material{{}}, Meshes: make([]Mesh, 1)}
	m := &p.Meshes[0]
	m.Materials = []int{0}
	for i := range int32(n) {
		a := at(5)
		m.Vertices = append(m.Vertices, a, a.Add(at(0.4)), a.Add(at(0.4)), a.Add(at(0.4)))
		m.Triangles = append(m.Triangles, [3]int32{4 * i, 4*i + 1, 4*i + 2}, [3]int32{4 * i, 4*i + 2, 4*i + 3})
	}
	for range n / 4 {
		p.Solids = append(p.Solids, Solid{Form: Sphere, At: at(5), Size: geom.Vec{X: 0.2}})
	}
	s, err := New(p)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// Four boxes at once find what two find one after the other.
func TestWideAgainstPairs(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	for _, deepest := range []int{deepest, 0} {
		for _, n := range []int{1, 2, 7, 60, 3000} {
			s := heap(t, rng, n)
			s.grow(s.parcels(), deepest)
			nodes := s.nodes
			if !s.widen() {
				t.Fatalf("%d quadrangles: no room to descend", n)
			}
			s.nodes = nodes
			for range 3000 {
				dir := func() Vec32 {
					return Vec32{float32(rng.NormFloat64()), float32(rng.NormFloat64()), float32(rng.NormFloat64())}
				}
				o, d := dir().Scale(4), dir().Unit()
				if rng.IntN(8) == 0 { // along an axis
					d = Vec32{Y: 1}
				}
				most := never
				if rng.IntN(2) == 0 {
					most = 6 * rng.Float32()
				}
				for _, any := range []bool{false, true} {
					a, b := Hit{T: most, at: onNothing}, Hit{T: most, at: onNothing}
					s.walk(new(descent), o, d, 0, &a, any)
					s.walkPairs(o, d, 0, &b, any)
					if any && (a.at == onNothing) != (b.at == onNothing) || !any && a.T != b.T {
						t.Fatalf("from %v along %v: %v, in pairs %v", o, d, a, b)
					}
				}
			}
		}
	}
}

// A tree that would let too many nodes wait is refused: along the way down every
// node leaves three large ones.
func TestWidenRefusesDeepTrees(t *testing.T) {
	var s Scene
	var grow func(depth int) node
	leaf := node{half: Vec32{1, 1, 1}, count: 1}
	pair := func(half float32, a, b node) node {
		s.nodes = append(s.nodes, a, b)
		return node{half: Vec32{half, half, half}, first: int32(len(s.nodes) - 2)}
	}
	grow = func(depth int) node {
		if depth == 0 {
			return leaf
		}
		return pair(1, pair(2, grow(depth-1), leaf), pair(2, leaf, leaf))
	}
	for _, c := range []struct {
		depth int
		fits  bool
	}{{5, true}, {deepestDescent/4 - 1, true}, {deepestDescent/3 + 1, false}} {
		s = Scene{nodes: make([]node, 2), entries: make([]entry, 1)}
		root := grow(c.depth)
		s.nodes[0] = root
		if fits := s.widen(); fits != c.fits {
			t.Errorf("depth %d: %v", c.depth, fits)
		}
	}
}

// The assembly finds a node by a shift.
func TestNodeIsTwoLinesOfCache(t *testing.T) {
	if n := unsafe.Sizeof(wideNode{}); n != 128 {
		t.Errorf("%d bytes", n)
	}
}
