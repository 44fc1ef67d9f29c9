package body

import (
	"math"
	"testing"

	"hardnoon/engine/unit"
)

// The lattice is sampled near the surface only, each place with the shapes that
// reach it: every corner must still be on the side the whole solid puts it.
func TestSampledAgainstWholeSolid(t *testing.T) {
	for _, f := range []Figure{
		{Age: 8, Hair: Tail, Cell: 26 * unit.Millimetre},
		{Age: 15, Headgear: Cap, Hair: Short, Bare: true, Cell: 26 * unit.Millimetre},
		{Age: 30, Sex: Male, Headgear: Helmet, Hair: NoHair, Long: true, Cell: 26 * unit.Millimetre},
	} {
		b, err := f.Build()
		if err != nil {
			t.Fatal(err)
		}
		for i := range b.solids {
			s := &b.solids[i]
			n, wrong := s.sampled(), 0
			for z := range n.nz {
				for y := range n.ny {
					for x := range n.nx {
						// A step of rounding either way may decide at the surface.
						if d := s.distance(n.at(x, y, z), nil); math.Abs(d) > 1e-9 && d < 0 != (n.value[n.corner(x, y, z)] < 0) {
							wrong++
						}
					}
				}
			}
			if wrong > 0 {
				t.Errorf("age %g, solid %d (%v): %d of %d corners on the wrong side", f.Age, i, s.part, wrong, len(n.value))
			}
		}
	}
}
