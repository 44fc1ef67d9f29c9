package sky

import (
	"math"

	"hardnoon/engine/unit"
)

// The colours are own fits to spectral clear skies (Bird and Riordan 1986, five
// aerosol depths, sun from 5° to the zenith).

// beamMired returns the reciprocal colour temperature of the sun's beam.
//
//	M = 169 + m (12 + 38 τ)    mired
//
// 169 mired is the sun above the air (5,933 K, ASTM G173); molecules redden it
// by 12 for each air mass m, an aerosol of depth τ at 500 nm by 38 τ. Error: 5
// mired above 10°, 12 above 5°; below, an extrapolation.
func beamMired(airMass, aod float64) unit.Mired {
	return unit.Mired(min(169+airMass*(12+38*aod), 600))
}

// blueMired returns that of a cloudless sky as a whole.
//
//	M = 28 + 135 τ/(τ + 0.14) + (7 + 30 τ)(1 − exp(−(m − 1)/1.2))    mired
//
// Aerosol whitens the blue, a long way through the air warms it. Error: 8 mired
// above 10°.
func blueMired(airMass, aod float64) unit.Mired {
	return unit.Mired(28 + 135*aod/(aod+0.14) + (7+30*aod)*(1-math.Exp(-max(0, airMass-1)/1.2)))
}

// cloudMired is the light of clouds, 6,500 K. Common practice, no source.
var cloudMired = unit.Kelvin(6500 * kelvin).Mired()

const kelvin unit.Kelvin = 1

// AerosolDepth returns the aerosol optical depth at 500 nm that goes with a
// Linke turbidity and w cm of water.
//
//	T = 3.91 exp(0.689 p0/p) τ550 + 0.376 ln w + 2 + 0.54 p0/p − 0.5 (p0/p)² + 0.16 (p0/p)³
//	τ500 = τ550 · 1.1^1.3
//
// Held to 0.02 and 1. Source: [Ineichen2008], from memory; the exponent 1.3 is
// Ångström's for continental aerosol.
func AerosolDepth(turbidity, w float64, p unit.Pressure) float64 {
	q := float64(seaLevelPressure / p)
	t := (turbidity - 0.376*math.Log(w) - 2 - 0.54*q + 0.5*q*q - 0.16*q*q*q) / (3.91 * math.Exp(0.689*q))
	return min(max(t*math.Pow(1.1, 1.3), 0.02), 1)
}

// colours returns the temperatures of beam and sky in clear air with an aerosol
// of that depth, when the share cloudy of the sky's light comes from clouds.
func (c Conditions) colours(aod, cloudy float64) (beam, sky unit.Kelvin) {
	m := AirMassKasten1966(c.SunAltitude) * float64(StandardPressure(c.Elevation)/seaLevelPressure)
	k := unit.Mired(min(max(cloudy, 0), 1))
	return beamMired(m, aod).Kelvin(), (blueMired(m, aod)*(1-k) + cloudMired*k).Kelvin()
}

// aod returns the aerosol depth that goes with the turbidity of the conditions.
func (c Conditions) aod() float64 {
	return AerosolDepth(c.turbidity(), c.water(), StandardPressure(c.Elevation))
}
