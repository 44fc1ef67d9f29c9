// Package sky answers how much light comes from the sun and from every part of
// the sky, and of what colour, for a sun that stands somewhere and a sky that
// was described, reported, measured or metered.
//
// Frame: the local one of package geom (x east, y north, z up); directions
// point towards where the light comes from. Luminance is absolute, in cd/m²;
// illuminance is in lx on a plane given by its normal; a plane sees its share of
// the sky dome and of a level, matt ground. Altitudes are apparent (refracted).
//
// Sources: luminous efficacy [Perez1990], luminance by direction [Perez1993]
// and [CIES011], clear air [Bird1981] and [Ineichen2002], clouds
// [KastenCzeplak1980], reports [WMO306] and [FMH1].
//
// Left out: the moon, the shape and place of single clouds, snow-lit clouds,
// whatever stands around (package scene has it), polarisation.
package sky

import (
	"math"

	"hardnoon/engine/floodlight"
	"hardnoon/engine/geom"
	"hardnoon/engine/spectrum"
	"hardnoon/engine/unit"
)

// Sky is the light of one moment: a sun, a sky, the ground below, and the field
// lights where there are any. It does not change, so many may read it at once.
type Sky struct {
	Model  string          // which models made it, in words
	Doubts []Doubt         // what may be off, and by how much
	Sun    geom.Vec        // towards the sun
	DNI    unit.Irradiance // what it was made of, where that is known
	DHI    unit.Irradiance

	DirectNormal unit.Lux // the sun on a plane that faces it
	Diffuse      unit.Lux // the sky on the level ground

	BeamTemperature unit.Kelvin
	SkyTemperature  unit.Kelvin // of its light as a whole

	albedo  float64
	shape   pattern
	scale   float64 // cd/m² for a relative luminance of 1
	dome    dome
	ground  unit.Nit // luminance of the ground
	side    geom.Vec // x of the frame of the sun
	forward geom.Vec // y: the level direction under the sun
	lamps   lampsAt
}

// Doubt is one reason why the light may be other than said.
type Doubt struct {
	Stops unit.Stops // one standard deviation of its level, plus or minus
	Why   string
}

// assemble makes a sky of its parts and works out what is asked often.
func assemble(c Conditions, s Sky, shape pattern) *Sky {
	s.Sun, s.albedo, s.shape = c.sun(), c.albedo(), hazed{shape}
	s.forward = geom.Direction(c.SunAzimuth, 0)
	s.side = geom.Vec{X: s.forward.Y, Y: -s.forward.X}
	if s.DirectNormal > 0 && s.Sun.Z <= 0 {
		s.DirectNormal = 0
	}
	if c.SunAltitude < 5*unit.Degree && s.DirectNormal > 0 {
		s.Doubts = append(s.Doubts, Doubt{0.5, "a sun below 5°: haze on the way decides"})
	}
	s.dome = newDome(s.shape, c.SunAltitude.Radians())
	if !(s.dome.horizontal > 0) { // a pattern fitted beyond its range can be dark all over
		s.shape = hazed{CIEUniform}
		s.dome = newDome(s.shape, c.SunAltitude.Radians())
	}
	return s.finish()
}

func (s Sky) finish() *Sky {
	s.scale = float64(s.Diffuse) / s.dome.horizontal
	s.ground = unit.Nit(s.albedo / math.Pi * (float64(s.Diffuse) + float64(s.DirectNormal)*max(0, s.Sun.Z)))
	return &s
}

// Luminance returns how bright the sky is in a direction, without the sun's
// disc; below the horizon it is the ground. The direction has length 1.
func (s *Sky) Luminance(towards geom.Vec) unit.Nit {
	if towards.Z <= 0 {
		return s.ground
	}
	gamma := math.Acos(min(max(towards.Dot(s.Sun), -1), 1))
	return unit.Nit(s.scale*s.shape.at(towards.Z, gamma)) + s.ground*unit.Nit(1-clearOfHaze(towards.Z))
}

// Illuminance returns the light on a plane with the given normal, in the open:
// from the sun, from its part of the sky, and from a level ground.
//
//	beam    Edn max(0, n·sun)
//	sky     ∫ L max(0, n·ω) dω over the dome
//	ground  ρ Eh (1 − n_z)/2
//
// A vertical sees half of each. Error of the quadrature: 0.3 %.
func (s *Sky) Illuminance(normal geom.Vec) (beam, sky, ground unit.Lux) {
	n := normal.Unit()
	if !(n.Norm2() > 0) {
		return 0, 0, 0
	}
	beam = s.DirectNormal * unit.Lux(max(0, n.Dot(s.Sun)))
	sky = unit.Lux(s.scale*s.dome.on(s.frame(n)) + float64(s.ground)*hazeOn(n.Z))
	ground = unit.Lux(float64(s.ground) * math.Pi * (1 - n.Z) / 2)
	return
}

// Total returns all light on a plane with the given normal, that of field lights
// too.
func (s *Sky) Total(normal geom.Vec) unit.Lux {
	b, k, g := s.Illuminance(normal)
	return b + k + g + s.LampLight(normal)
}

// frame turns a direction into the frame of the sun.
func (s *Sky) frame(n geom.Vec) geom.Vec {
	return geom.Vec{X: n.Dot(s.side), Y: n.Dot(s.forward), Z: n.Z}
}

// Temperature returns the correlated colour temperature of all light on the
// level ground.
func (s *Sky) Temperature() unit.Kelvin {
	t := spectrum.Mix(
		spectrum.Part{Amount: float64(s.DirectNormal) * max(0, s.Sun.Z), Colour: spectrum.Natural(s.BeamTemperature)},
		spectrum.Part{Amount: float64(s.Diffuse), Colour: spectrum.Natural(s.SkyTemperature)},
		spectrum.Part{Amount: float64(s.lamps.ground), Colour: spectrum.Natural(floodlight.Temperature)},
	).SkyTemperature()
	return t
}

// TemperatureOn returns the correlated colour temperature on a plane; what the
// ground sends back has the colour of the light that fell on it.
func (s *Sky) TemperatureOn(normal geom.Vec) unit.Kelvin {
	b, k, g := s.Illuminance(normal)
	return spectrum.Mix(
		spectrum.Part{Amount: float64(b), Colour: spectrum.Natural(s.BeamTemperature)},
		spectrum.Part{Amount: float64(k), Colour: spectrum.Natural(s.SkyTemperature)},
		spectrum.Part{Amount: float64(g), Colour: spectrum.Natural(s.Temperature())},
		spectrum.Part{Amount: float64(s.LampLight(normal)), Colour: spectrum.Natural(floodlight.Temperature)},
	).SkyTemperature()
}

// Uncertainty returns one standard deviation of the level: the doubts are taken
// as independent.
func (s *Sky) Uncertainty() unit.Stops {
	v := 0.0
	for _, d := range s.Doubts {
		v += float64(d.Stops) * float64(d.Stops)
	}
	return unit.Stops(math.Sqrt(v))
}
