package sky

import (
	"math"

	"hardnoon/engine/unit"
)

// Ineichen2002 returns the irradiance of a clear sky from Linke's turbidity and
// the height of the place.
//
//	G = cg1 I0 sin h exp(−cg2 m (fh1 + fh2 (T − 1)))
//	B = min(b I0 exp(−0.09 m (T − 1)), G (1 − (0.1 − 0.2 exp(−T))/(0.1 + 0.882/fh1))/sin h)
//
// m is the air mass of [KastenYoung1989] at the pressure of the place. Range:
// T ≥ 1. Error: 5 % of G where T is known; T of the day is mostly not.
// Source: [Ineichen2002].
func (c Conditions) Ineichen2002() Clear {
	z, tl := c.Elevation.Metres(), c.turbidity()
	m := AirMassKastenYoung1989(c.SunAltitude) * float64(StandardPressure(c.Elevation)/seaLevelPressure)
	sun, sinh := c.extraterrestrial(), max(0, c.SunAltitude.Sin())

	fh1, fh2 := math.Exp(-z/8000), math.Exp(-z/1250)
	cg1, cg2 := 5.09e-5*z+0.868, 3.92e-5*z+0.0387
	global := cg1 * sun * sinh * math.Exp(-cg2*m*(fh1+fh2*(tl-1)))

	b := 0.664 + 0.163/fh1
	beam := b * sun * math.Exp(-0.09*m*(tl-1))
	if sinh > 0 { // the second formula takes over where the first would exceed it
		beam = min(beam, global*(1-(0.1-0.2*math.Exp(-tl))/(0.1+0.882/fh1))/sinh)
	}
	beam = max(beam, 0)
	return Clear{unit.Irradiance(beam), unit.Irradiance(max(0, global-beam*sinh)), unit.Irradiance(global)}
}
