// Package exposure answers where a surface lands on the picture's tone scale
// when daylight and flash fall on it together.
//
// Levels are stops relative to mid-tone: 0 is what an incident meter would have
// placed there for an 18 % surface. All times are exact seconds, all f-numbers
// exact; what is engraved on a dial is in dial.go. Flare and lens transmission
// are left to the caller as a factor.
//
// Sources: [ISO2720] for the meter equations, DESIGN §3 for the mix.
package exposure

import (
	"math"

	"hardnoon/engine/unit"
)

// MidTone is the reflectance that a correct incident reading renders as
// mid-tone. Common practice: the 18 % card. The ratio of the meter constants
// alone would make it πK/C = 15.7 %.
const MidTone = 0.18

// Settings are what the camera is set to, in exact values.
type Settings struct {
	FNumber FNumber
	Shutter Shutter
	ISO     ISO
	ND      unit.Stops // strength of the neutral density filter, 0 for none
}

// EV100 returns the level of light that s renders as mid-tone.
//
//	EV = log2(N²/t) − log2(S/100) + ND
//
// Source: [ISO2720].
func (s Settings) EV100() unit.EV {
	n := float64(s.FNumber)
	return unit.EV(math.Log2(n*n/float64(s.Shutter)) - math.Log2(float64(s.ISO)/100) + float64(s.ND))
}

// Check returns a *unit.RangeError for settings that no camera has.
func (s Settings) Check() error {
	for _, err := range []error{
		unit.Within("f-number", float64(s.FNumber), 0.5, 128, ""),
		unit.Within("shutter time", float64(s.Shutter), 1e-6, 3600, "s"),
		unit.Within("ISO", float64(s.ISO), 1, 10e6, ""),
		unit.Within("ND strength", float64(s.ND), 0, 20, "stops"),
	} {
		if err != nil {
			return err
		}
	}
	return nil
}

// AmbientStops returns where an 18 % surface under the level ev lands.
//
//	a = EV − EV(settings)
func (s Settings) AmbientStops(ev unit.EV) unit.Stops { return ev.Sub(s.EV100()) }

// FlashStops returns where an 18 % surface lands when only the luminous
// exposure h of one pop falls on it.
//
//	f = log2(H·S/(C·N²)) − ND    C = 250
//
// Source: [ISO2720], incident equation with E·t = H.
func (s Settings) FlashStops(h unit.LuxSecond) unit.Stops {
	n := float64(s.FNumber)
	return unit.StopsOf(float64(h)*float64(s.ISO)/(unit.MeterC*n*n)) - s.ND
}

// FlashFor returns the luminous exposure that lands an 18 % surface at level f.
// Inverse of FlashStops.
func (s Settings) FlashFor(f unit.Stops) unit.LuxSecond {
	n := float64(s.FNumber)
	return unit.LuxSecond((f + s.ND).Ratio() * unit.MeterC * n * n / float64(s.ISO))
}

// Sum returns the level of two lights that fall on the same surface.
//
//	log2(2^a + 2^b)
func Sum(levels ...unit.Stops) unit.Stops {
	r := 0.0
	for _, l := range levels {
		r += l.Ratio()
	}
	return unit.StopsOf(r)
}

// Landing returns the level of a surface of reflectance rho under the
// illuminance e for the shutter time and the luminous exposure h of the flash.
//
//	stops = log2((E·T + H)·S/(C·N²)) − ND + log2(ρ/0.18)
//
// Source: DESIGN §3, from [ISO2720].
func (s Settings) Landing(e unit.Lux, h unit.LuxSecond, rho float64) unit.Stops {
	return s.FlashStops(unit.LuxSecond(float64(e)*float64(s.Shutter))+h) + unit.StopsOf(rho/MidTone)
}
