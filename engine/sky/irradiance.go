package sky

import (
	"fmt"
	"math"

	"hardnoon/engine/unit"
)

// SunDownError says that a question needs a sun above the horizon.
type SunDownError struct{ Altitude unit.Angle }

func (e *SunDownError) Error() string {
	return fmt.Sprintf("the sun stands %.1f° below the horizon", -e.Altitude.Degrees())
}

// FromIrradiance returns the sky of a measured or forecast irradiance: dni on a
// plane that faces the sun, dhi from the sky on the level ground, both W/m².
//
// Illuminance by [Perez1990], luminance by direction by [Perez1993].
// Error: 5 % horizontally, 10 to 20 % on a vertical under a real sky.
func FromIrradiance(c Conditions, dni, dhi unit.Irradiance) (*Sky, error) {
	if err := c.Check(); err != nil {
		return nil, err
	}
	most := c.extraterrestrial()
	for _, err := range []error{
		unit.Within("direct normal irradiance", float64(dni), 0, math.Floor(most), "W/m²"),
		unit.Within("diffuse horizontal irradiance", float64(dhi), 0, math.Floor(most), "W/m²"),
	} {
		if err != nil {
			return nil, err
		}
	}
	if c.SunAltitude < 0 && dni > 0 {
		return nil, &SunDownError{c.SunAltitude}
	}
	s := c.perez(dni, dhi)
	s.Model = "irradiance given; luminous efficacy Perez 1990, luminance by direction Perez 1993"
	s.Doubts = append(s.Doubts, Doubt{0.15, "efficacy and distribution of a mean sky"})
	return s, nil
}

// perez makes the sky of an irradiance. The caller says where it came from.
func (c Conditions) perez(dni, dhi unit.Irradiance) *Sky {
	// A measured sky is never wholly dark: a hundredth of a watt keeps ε finite.
	const least = 0.01 * unit.WattPerSquareMetre
	p := c.ClearnessOf(dni, max(dhi, least))
	e := c.Efficacy(p)
	s := Sky{DNI: dni, DHI: dhi,
		DirectNormal: unit.Lux(float64(dni) * e.Direct),
		Diffuse:      unit.Lux(float64(dhi) * e.Diffuse),
	}
	// A veil of cloud takes light but has no colour: the clear air's is taken.
	aod := c.aod()
	if c.Turbidity == 0 && p.Epsilon >= perezBins[5] {
		aod = c.aerosolFor(dni)
	}
	s.BeamTemperature, s.SkyTemperature = c.colours(aod, 1-math.Log(p.Epsilon)/math.Log(perezBins[7]))
	return assemble(c, s, c.Perez1993(p))
}

// ClearSky returns the cloudless sky in the air of the conditions, by [Bird1981]
// with the aerosol of the turbidity. Under the horizon it is twilight.
//
// Error: 0.25 stop, for the turbidity of a day is mostly not known; more below
// 5°, where the model is held up by the light of a sunset.
func ClearSky(c Conditions) (*Sky, error) {
	if err := c.Check(); err != nil {
		return nil, err
	}
	if c.SunAltitude < 0 {
		return c.twilight(1), nil
	}
	b := c.Bird1981(c.air(c.aod()))
	s := c.perez(b.DirectNormal, b.Diffuse)
	s.DirectNormal *= unit.Lux(c.lowBeam())
	s.Diffuse = max(s.Diffuse, c.lowSky())
	s = s.finish()
	s.Model = fmt.Sprintf("clear, turbidity %.3g: irradiance Bird 1981, efficacy Perez 1990, luminance by direction Perez 1993", c.turbidity())
	s.Doubts = append(s.Doubts, Doubt{0.25, "turbidity of the day"})
	return s, nil
}

// lowBeam returns what is left of the beam's light below 5°, where it turns red
// faster than its irradiance falls and the models for irradiance end.
//
//	(h/5°)^1.35
//
// Source: own fit to spectral clear skies (Bird and Riordan 1986) of aerosol
// depth 0.1 from 1° to 5°. Error: half a stop.
func (c Conditions) lowBeam() float64 {
	return math.Pow(min(max(c.SunAltitude.Degrees(), 0)/5, 1), 1.35)
}

// lowSky returns the least light of a clear sky on the level ground: from that
// of a sun on the horizon evenly up to what turbid air gives at 10°. Flat layers
// of air, as the models have them, turn dark too early.
func (c Conditions) lowSky() unit.Lux {
	d := c.SunAltitude.Degrees()
	if d >= 10 {
		return 0
	}
	at0 := float64(TwilightIlluminance(0))
	return unit.Lux(at0 * math.Pow(turbidAt10/at0, d/10))
}

const turbidAt10 = 5000.0 // lx
