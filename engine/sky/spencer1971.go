package sky

import "math"

// SolarConstant is the irradiance of the sun above the air at the mean distance
// of the Earth, W/m². Uncertainty: 0.5 %; recent values lie at 1361. The value
// goes with the coefficients of [Perez1990] and the practice of lighting
// simulation, which took it.
const SolarConstant = 1367.0

// SunDistanceFactor returns by how much the sun is stronger on day J of the
// year than at its mean distance.
//
//	1.00011 + 0.034221 cos Γ + 0.00128 sin Γ + 0.000719 cos 2Γ + 0.000077 sin 2Γ
//	Γ = 2π(J − 1)/365
//
// Error: 0.0001, says the source. Source: [Spencer1971].
func SunDistanceFactor(day int) float64 {
	g := 2 * math.Pi * float64(day-1) / 365
	return 1.00011 + 0.034221*math.Cos(g) + 0.00128*math.Sin(g) + 0.000719*math.Cos(2*g) + 0.000077*math.Sin(2*g)
}
