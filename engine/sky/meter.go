package sky

import (
	"math"

	"hardnoon/engine/floodlight"
	"hardnoon/engine/geom"
	"hardnoon/engine/unit"
)

// DomeC is the meter constant of a hemispherical receptor, lx·s·ISO. ISO
// 2720:1974 allows 320 to 540; meters in use lie at 320 to 340. With it the
// light of a high clear sun reads as the EV 15 of the exposure tables.
const DomeC = 330.0

// DomeIlluminance returns what a hemispherical receptor takes in when it points
// along n: a light on its axis counts whole, one from the side half, one from
// behind nothing.
//
//	E = ∫ L (1 + cos θ)/2 dω
//
// Source: [Kerr], the cardioid response of incident meters, from memory.
func (s *Sky) DomeIlluminance(n geom.Vec) unit.Lux {
	n = n.Unit()
	e := float64(s.DirectNormal)*(1+n.Dot(s.Sun))/2 + s.scale*s.dome.mean(s.frame(n))
	// ∫ over the lower half: 2π for the 1, −π n_z for the cosine.
	e += float64(s.ground)*(math.Pi*(2-n.Z)/2+hazeOnDome) + s.lamps.onDome(n, s.albedo)
	return unit.Lux(e)
}

// FrontLit is how an incident meter is held when nothing else is said: level,
// from the subject towards a camera that has the sun behind it.
func (s *Sky) FrontLit() geom.Vec { return s.forward }

// IncidentEV returns what an incident meter with a dome shows when it points
// along n.
//
//	EV = log2(E·100/C)    C = 330
//
// Under any high sun FrontLit gives the level at which common practice exposes a
// front-lit subject; with the sun behind the subject the meter shows less.
func (s *Sky) IncidentEV(n geom.Vec) unit.EV {
	return unit.EV(math.Log2(float64(s.DomeIlluminance(n)) * 100 / DomeC))
}

// Reading is what the photographer's own meter showed, at ISO 100.
type Reading struct {
	EV        unit.EV
	Reflected bool     // of the luminance it is pointed at, else incident
	Flat      bool     // incident with a flat receptor, else with a dome
	Toward    geom.Vec // where it points; zero: FrontLit. A reflected reading must say it
}

// of returns what the meter would show in s.
func (r Reading) of(s *Sky) unit.EV {
	n := r.Toward.Unit()
	if n.Norm2() == 0 {
		n = s.FrontLit()
	}
	switch {
	case r.Reflected:
		return unit.EVFromNit(s.Luminance(n))
	case r.Flat:
		return unit.EVFromLux(s.Total(n))
	}
	return s.IncidentEV(n)
}

// readingDoubt is what a careful reading leaves open: the tolerance of meters
// and the hand. Common practice, no source.
const readingDoubt unit.Stops = 0.2

// Scaled returns the sky with the level a reading says, and by how many stops it
// was moved. Sun, sky and lamps move together: the pattern stays the model's.
func (s *Sky) Scaled(r Reading) (*Sky, unit.Stops, error) {
	if err := unit.Within("meter reading", float64(r.EV), -10, 22, "EV"); err != nil {
		return nil, 0, err
	}
	if r.Reflected && !(r.Toward.Norm2() > 0) {
		return nil, 0, unit.Within("length of the direction a reflected meter points in", r.Toward.Norm(), 1e-9, 1e9, "")
	}
	moved := r.EV.Sub(r.of(s))
	if err := unit.Within("difference between reading and sky", float64(moved), -14, 14, "stops"); err != nil {
		return nil, 0, err
	}
	c, f := *s, moved.Ratio()
	c.DirectNormal *= unit.Lux(f)
	c.Diffuse *= unit.Lux(f)
	c.DNI *= unit.Irradiance(f)
	c.DHI *= unit.Irradiance(f)
	c.lamps = c.lamps.scaled(f)
	c.Model = "meter reading on " + s.Model
	c.Doubts = []Doubt{{readingDoubt, "meter and hand"}}
	switch {
	case c.LampShare() > 0.5:
		c.Doubts = append(c.Doubts, Doubt{0.3, "how each bank of lamps is aimed is not known"})
	case moved.Ratio() > 2 || moved.Ratio() < 0.5:
		c.Doubts = append(c.Doubts, Doubt{0.3, "the reading is more than a stop from this kind of sky"})
	}
	return c.finish(), moved, nil
}

// CivilDusk is the sun's altitude at which lamps have to take over.
// Source: the usual definition of civil twilight.
const CivilDusk = -6 * unit.Degree

// Lamps returns the light under lamps nobody has placed, after dusk, at the level
// a reading says, taken as coming evenly from all around. Only the level is known;
// direction and colour are not. Where the poles are known, see Under.
func Lamps(c Conditions, r Reading) (*Sky, error) {
	c.SunAltitude = unit.Turn / 8 // any: only the shape of type 5 is used
	s, err := GeneralSky(c, 5)
	if err != nil {
		return nil, err
	}
	s.DirectNormal, s.DNI, s.SkyTemperature = 0, 0, floodlight.Temperature
	s, _, err = s.finish().Scaled(r)
	if err != nil {
		return nil, err
	}
	s.Model = "meter reading under lamps, even from all around"
	s.Doubts = []Doubt{{readingDoubt, "meter and hand"}, {0.5, "lamps are never even all around"}}
	return s, nil
}

// Match returns which of the states of a sky lies closest to a reading, scaled
// to it.
func (st States) Match(r Reading) (*Sky, unit.Stops, error) {
	best := st.Mean
	for _, s := range []*Sky{st.Out, st.Hidden} {
		if s != nil && math.Abs(float64(r.EV.Sub(r.of(s)))) < math.Abs(float64(r.EV.Sub(r.of(best)))) {
			best = s
		}
	}
	return best.Scaled(r)
}
