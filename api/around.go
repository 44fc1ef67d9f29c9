package api

import (
	"errors"
	"fmt"
	"slices"

	"hardnoon/engine/geom"
	"hardnoon/engine/plan"
	"hardnoon/engine/site"
	"hardnoon/engine/sky"
	"hardnoon/engine/unit"
	"hardnoon/session"
)

// solids returns what stands around the mark.
func (p *planner) solids() ([]site.Solid, error) {
	var out []site.Solid
	var target geom.Vec
	if slices.ContainsFunc(p.s.Place.Solids, func(s session.Solid) bool { return s.Lit }) {
		target, _ = p.lightened()
	}
	for i, s := range p.s.Place.Solids {
		field := fmt.Sprintf("place.solids[%d]", i)
		kind, ok := site.KindNamed(s.Kind)
		if !ok {
			return nil, wrong(field+".kind", fmt.Errorf("no solid is called %q", s.Kind), "say wall, fence, pole, seating, building, vehicle, tree or field light")
		}
		x := site.Solid{Name: s.Name, Kind: kind, Lit: s.Lit, Label: map[string]site.Label{"keep": site.Keep, "hide": site.Hide}[s.Label],
			Width: unit.Length(or(s.WidthM, 0)), Depth: unit.Length(or(s.DepthM, 0)), Height: unit.Length(or(s.HeightM, 0))}
		switch {
		case s.BearingDeg != nil && s.DistanceM != nil:
			x.At = geom.Direction(unit.Angle(*s.BearingDeg)*unit.Degree, 0).Scale(*s.DistanceM)
		case s.EastM != nil && s.NorthM != nil:
			x.At = geom.Vec{X: *s.EastM, Y: *s.NorthM}
		default:
			return nil, wrong(field, errors.New("where it stands is not said"), "give bearing and distance, or east and north")
		}
		x.Bearing = x.At.Azimuth()
		if x.Lit {
			x.Bearing = target.Sub(x.At).Azimuth()
		}
		if s.TurnDeg != nil {
			x.Bearing = unit.Angle(*s.TurnDeg) * unit.Degree
		}
		out = append(out, x)
	}
	return out, nil
}

// ground returns what stands around in the form the plan reads, made once.
func (p *planner) ground() (*plan.Ground, error) {
	if p.around != nil {
		return p.around, nil
	}
	solids, err := p.solids()
	if err != nil {
		return nil, err
	}
	far, err := skyline(p.s.Place.Horizon)
	if err != nil {
		return nil, err
	}
	g, err := plan.NewGround(solids, far)
	if err != nil {
		return nil, wrong("place.solids", err, "check its place and sizes")
	}
	g.Metered = p.s.Sky.Kind == "meter"
	p.around, p.far = g, g.Far()
	return g, nil
}

// spot returns the mark at a height, looked about from once.
func (p *planner) spot(g *plan.Ground, height unit.Length) *plan.Spot {
	if p.spots[height] == nil {
		if p.spots == nil {
			p.spots = map[unit.Length]*plan.Spot{}
		}
		p.spots[height] = g.Spot(geom.Vec{Z: height.Metres()})
	}
	return p.spots[height]
}

// skyline returns the far skyline through corners.
func skyline(horizon []session.Corner) (site.Skyline, error) {
	var corners []site.Corner
	for _, c := range horizon {
		corners = append(corners, site.Corner{Azimuth: unit.Angle(c.AzimuthDeg) * unit.Degree, Altitude: unit.Angle(c.AltitudeDeg) * unit.Degree})
	}
	s, err := site.NewSkyline(corners)
	if err != nil {
		return nil, wrong("place.horizon", err, "give azimuth and altitude of each corner")
	}
	return s, nil
}

// whereSun says where the sun is, as seen from a point.
func (p *planner) whereSun(s *sky.Sky, sun, from geom.Vec) (string, error) {
	g, err := p.ground()
	switch {
	case err != nil:
		return "", err
	case sun.Z < 0:
		return "down", nil
	case g.BehindSkyline(sun):
		return "behind the skyline", nil
	case s.DirectNormal <= 0:
		return "hidden by cloud", nil
	case g.SunAt(from, sun) < 0.5:
		if i := g.Shader(from, sun); i >= 0 {
			return "behind " + solidName(g, i), nil
		}
	}
	return "on the mark", nil
}
