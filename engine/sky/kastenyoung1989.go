package sky

import (
	"math"

	"hardnoon/engine/unit"
)

// AirMassKastenYoung1989 returns the relative air mass for the apparent
// altitude h.
//
//	m = 1/(sin h + 0.50572 (h + 6.07995)^−1.6364)    h in degrees
//
// Range: h ≥ 0; below, the value at 0 (37.9). Error: 0.5 % at the horizon.
// Source: [KastenYoung1989].
func AirMassKastenYoung1989(h unit.Angle) float64 {
	h = max(h, 0)
	return 1 / (h.Sin() + 0.50572*math.Pow(h.Degrees()+6.07995, -1.6364))
}

// StandardPressure returns the air pressure at a height above sea level.
//
//	P = 100 ((44331.514 − z)/11880.516)^(1/0.1902632) Pa
//
// Source: U.S. Standard Atmosphere 1976, in the form of a public solar library.
func StandardPressure(z unit.Length) unit.Pressure {
	return unit.Pressure(math.Pow((44331.514-z.Metres())/11880.516, 1/0.1902632)) * unit.Hectopascal
}

// seaLevelPressure is what relative air mass refers to.
const seaLevelPressure = 101325 * unit.Pascal
