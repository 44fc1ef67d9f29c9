package sky

import (
	"hardnoon/engine/floodlight"
	"hardnoon/engine/geom"
	"hardnoon/engine/unit"
)

// lampsAt is the light of field lights at the mark, and what makes it.
type lampsAt struct {
	all    floodlight.Lights
	beams  []floodlight.Beam // at the mark
	ground unit.Lux          // on the level ground there
}

// Under returns the sky with field lights below it. Beams are what reaches the
// mark of each of them; doubt is what may be off about their level.
func (s *Sky) Under(all floodlight.Lights, beams []floodlight.Beam, doubt Doubt) *Sky {
	c := *s
	c.lamps = lampsAt{all, beams, floodlight.On(beams, geom.Up)}
	share := unit.Stops(c.LampShare())
	c.Doubts = []Doubt{{doubt.Stops * share, doubt.Why}}
	for _, d := range s.Doubts {
		c.Doubts = append(c.Doubts, Doubt{d.Stops * (1 - share), d.Why})
	}
	switch {
	case share > 0.99:
		c.Model = "field lights"
	case share > 0.01:
		c.Model += " and field lights"
	}
	return &c
}

// Lamps returns the field lights below the sky.
func (s *Sky) Lamps() floodlight.Lights { return s.lamps.all }

// LampShare returns which part of the light on the level ground at the mark is
// that of field lights.
func (s *Sky) LampShare() float64 {
	e := float64(s.lamps.ground)
	if e == 0 {
		return 0
	}
	return e / (e + float64(s.Diffuse) + float64(s.DirectNormal)*max(0, s.Sun.Z))
}

// LampLight returns the light of field lights on a plane at the mark with the
// given normal, with what the ground sends back of it.
//
//	Σ E_i max(0, n·ω_i) + ρ Eh (1 − n_z)/2
func (s *Sky) LampLight(n geom.Vec) unit.Lux { return s.lampsOn(s.lamps.beams, n.Unit()) }

func (s *Sky) lampsOn(beams []floodlight.Beam, n geom.Vec) unit.Lux {
	return floodlight.On(beams, n) + floodlight.On(beams, geom.Up)*unit.Lux(s.albedo*(1-n.Z)/2)
}

// behind is how far behind the mark, in metres, a background lies. Own choice: the
// stretch of ground that shows beside a figure; beyond it night begins.
var behind = [...]float64{5, 10, 20, 40}

// LampLightBehind returns the light of field lights on what lies behind the mark
// as seen from a bearing, half of it lying and half upright.
func (s *Sky) LampLightBehind(toCamera unit.Angle) unit.Lux {
	e, n := unit.Lux(0), geom.Direction(toCamera, 0)
	if len(s.lamps.all) == 0 {
		return 0
	}
	for _, d := range behind {
		b := s.lamps.all.Beams(n.Scale(-d))
		e += s.lampsOn(b, geom.Up) + s.lampsOn(b, n)
	}
	return e / unit.Lux(2*len(behind))
}

// onDome returns what a dome receptor pointed along n takes in of beams.
func (l *lampsAt) onDome(n geom.Vec, albedo float64) float64 {
	e := float64(l.ground) * albedo * (2 - n.Z) / 2 // L = ρ Eh/π over the lower half
	for _, b := range l.beams {
		e += float64(b.Facing) * (1 + n.Dot(b.Towards)) / 2
	}
	return e
}

func (l lampsAt) scaled(k float64) lampsAt {
	out := lampsAt{l.all.Scaled(k), append([]floodlight.Beam{}, l.beams...), l.ground * unit.Lux(k)}
	for i := range out.beams {
		out.beams[i].Facing *= unit.Lux(k)
	}
	return out
}

// Under returns every state with field lights below it.
func (st States) Under(all floodlight.Lights, beams []floodlight.Beam, doubt Doubt) States {
	for _, s := range []**Sky{&st.Mean, &st.Out, &st.Hidden} {
		if *s != nil {
			*s = (*s).Under(all, beams, doubt)
		}
	}
	return st
}
