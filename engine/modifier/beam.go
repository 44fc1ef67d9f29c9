package modifier

import (
	"math"

	"hardnoon/engine/unit"
)

// BeamPower returns the n of a beam I(θ) = I₀·cosⁿθ that falls to half at the
// edge of c.Beam. A matt front has n = 1, and nothing here is given less.
//
//	n = ln ½ / ln cos(beam/2)
//
// Error: a shape with one figure; real beams have a hot middle or a sharp edge.
// Source: own derivation.
func (c Class) BeamPower() float64 {
	half := (c.Beam / 2).Cos()
	if half <= 0.5 {
		return 1
	}
	return max(1, math.Log(0.5)/math.Log(half))
}

// OffAxis returns how many stops the light falls at the angle a off the axis,
// at the same distance: 0 on the axis, −1 at the edge of the beam, less behind.
func (c Class) OffAxis(a unit.Angle) unit.Stops {
	if a.Abs() >= 90*unit.Degree {
		return unit.Stops(math.Inf(-1))
	}
	return unit.Stops(c.BeamPower()) * unit.StopsOf(a.Cos())
}
