//go:build !amd64

package scene

// wide is the tree for machines that meet four boxes at once; this one does not.
type wide struct{}

// wholeLeaves: every entry costs.
const wholeLeaves = false

func (s *Scene) widen() (fits bool) { return true }

// A descent needs nothing kept.
type descent struct{}

func (s *Scene) walk(_ *descent, o, d Vec32, time float32, h *Hit, any bool) {
	s.walkPairs(o, d, time, h, any)
}
