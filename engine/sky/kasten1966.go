package sky

import (
	"math"

	"hardnoon/engine/unit"
)

// AirMassKasten1966 returns how much more air a ray from altitude h crosses
// than one from the zenith, at the pressure of sea level.
//
//	m = 1/(sin h + 0.15 (h + 3.885)^−1.253)    h in degrees
//
// Range: h ≥ 0; below, the value at 0 (36.5). Error: about 0.1 % above 10°.
// Source: [Kasten1966].
func AirMassKasten1966(h unit.Angle) float64 {
	h = max(h, 0)
	return 1 / (h.Sin() + 0.15*math.Pow(h.Degrees()+3.885, -1.253))
}
