package safety

import (
	"math"

	"hardnoon/engine/flash"
	"hardnoon/engine/modifier"
	"hardnoon/engine/unit"
)

// headSide is the area and drag a bare head shows the wind: a box of 0.2 m.
// Own estimate.
const headSide = 0.04 * unit.SquareMetre

// Loaded returns a three-legged stand of that mass with a head and a modifier on
// it, the modifier square to the wind: the worst it can stand.
func Loaded(h flash.Head, m modifier.Class, height, radius unit.Length, stand unit.Mass) Stand {
	s := Stand{
		Area: unit.Area(m.WindArea), Drag: m.Drag, Height: height, Radius: radius, Mass: stand + h.Mass + m.Mass,
		Reach: unit.Length(math.Hypot(float64(m.Width), float64(m.Height))) / 2,
	}
	if m.Shape == modifier.Disc {
		s.Reach = m.Width / 2
	}
	if s.drag()*float64(s.Area) < DragPlate*float64(headSide) {
		s.Area, s.Drag = headSide, DragPlate
	}
	s.Reach = max(s.Reach, 0.1*unit.Metre)
	return s
}
