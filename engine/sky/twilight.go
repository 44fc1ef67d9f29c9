package sky

import (
	"math"

	"hardnoon/engine/unit"
)

// twilightAnchors are the horizontal illuminance under a clear sky by the true
// altitude of the sun. Source: [AMSGlossary], "twilight": 410 to 585 lx at
// sunset, 2 to 3.5 at −6°, 0.008 at −12°, 0.0006 at −18°. The value at 0° is
// the clear sky of [IES1984].
var twilightAnchors = [5]struct{ altitude, lux float64 }{
	{0, 800}, {-0.8333, 450}, {-6, 3}, {-12, 0.008}, {-18, 0.0006},
}

// TwilightIlluminance returns the light of a clear sky on the level ground while
// the sun is below the horizon.
//
// Straight lines in the logarithm between the anchors; below −18° the last.
// Range: h ≤ 0. Error: 1 stop, half of it weather. Source: [AMSGlossary].
func TwilightIlluminance(h unit.Angle) unit.Lux {
	d := min(h.Degrees(), 0)
	a := twilightAnchors[:]
	for len(a) > 2 && d < a[1].altitude {
		a = a[1:]
	}
	t := min((d-a[0].altitude)/(a[1].altitude-a[0].altitude), 1)
	return unit.Lux(a[0].lux * math.Pow(a[1].lux/a[0].lux, t))
}

// twilight returns the sky of a sun below the horizon, of which clouds leave the
// share transmitted. Its shape and colour are no more than a guess: the bright
// part lies over the sun.
func (c Conditions) twilight(transmitted float64) *Sky {
	s := Sky{
		Model:           "twilight: level from published anchors, shape and colour a guess",
		Diffuse:         TwilightIlluminance(c.SunAltitude) * unit.Lux(transmitted),
		BeamTemperature: 2000, SkyTemperature: 9000,
		Doubts: []Doubt{{1, "twilight has no model here, only anchors"}},
	}
	return assemble(c, s, CIE2003(7))
}
