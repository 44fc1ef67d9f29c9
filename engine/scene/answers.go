package scene

import (
	"math"

	"hardnoon/engine/geom"
	"hardnoon/engine/unit"
)

// GroundName is the owner of what belongs to the ground.
const GroundName = "ground"

// Owner returns the name of the mesh, solid or light a surface belongs to.
func (s *Scene) Owner(f Surface) string {
	if f.owner < 0 || int(f.owner) >= len(s.owners) {
		return GroundName
	}
	return s.owners[f.owner]
}

// A Spot is a point of a surface, with the way the surface faces there.
type Spot struct{ At, Normal geom.Vec }

// Exposure says how much of a surface the sun reaches, in shares that add to 1.
type Exposure struct {
	Sunlit float64 // the middle of the sun is seen
	Shaded float64 // faces the sun; something stands between, such as a brim
	Away   float64 // turned away from the sun
}

// SunOn returns how the spots stand to the sun in direction sun. Spots count
// alike; their normals need not be of unit length.
func (s *Scene) SunOn(spots []Spot, sun geom.Vec) Exposure {
	var e Exposure
	to := To32(sun.Unit())
	each := 1 / float64(max(len(spots), 1))
	for _, p := range spots {
		n := p.Normal.Unit()
		at := To32(p.At)
		start := at.Add(To32(n).Scale(2 * s.Skin(at)))
		switch {
		case n.Dot(sun) <= 0:
			e.Away += each
		case s.Occluded(start, to, never, 0):
			e.Shaded += each
		default:
			e.Sunlit += each
		}
	}
	return e
}

// FirstShade returns the number of the first sun direction that does not reach
// the point at, or −1. Given the sun's way through a day it answers when shade
// arrives.
func (s *Scene) FirstShade(at geom.Vec, suns []geom.Vec) int {
	o := To32(at)
	for i, sun := range suns {
		if sun.Z <= 0 || s.Occluded(o, To32(sun.Unit()), never, 0) {
			return i
		}
	}
	return -1
}

// Glare is how a light source stands to the frame.
type Glare struct {
	Name    string
	OffAxis unit.Angle // from the line of sight
	InFrame bool
	Blocked bool // something hides it from the lens
}

// Glares returns how sun and lights stand to the frame: the sun first, if it is
// up, then the lights in order. A source that is outside the frame but not
// blocked and less than a frame's width away can still flare; whether it does
// depends on lens and hood.
func (s *Scene) Glares() []Glare {
	_, _, forward := s.Camera.Axes()
	var out []Glare
	add := func(name string, towards geom.Vec, at geom.Vec, blocked bool) {
		p, ahead := s.Camera.Project(at)
		out = append(out, Glare{name, forward.AngleTo(towards), ahead && p.InFrame(), blocked})
	}
	if d := s.Daylight; d.SunIlluminance > 0 {
		add("sun", d.Sun, s.Camera.At.Add(d.Sun.Scale(1e7)), s.Occluded(To32(s.Camera.At), To32(d.Sun), never, 0))
	}
	for i := range s.Lights {
		l := &s.Lights[i]
		d := l.At.Sub(s.Camera.At)
		blocked := s.Occluded(To32(s.Camera.At), To32(d.Unit()), float32(d.Norm()-l.Width.Metres()), 0)
		add(l.Name, d, l.At, blocked)
	}
	return out
}

// Behind returns what the camera sees beyond point at: the name of the first
// thing at least clearance past it on the line of sight and how far away that
// is. It is "" and infinitely far for the sky.
func (s *Scene) Behind(at geom.Vec, clearance unit.Length) (name string, distance unit.Length) {
	d := at.Sub(s.Camera.At)
	n := d.Norm()
	if n == 0 {
		return "", unit.Length(math.Inf(1))
	}
	from := n + clearance.Metres()
	dir := d.Scale(1 / n)
	t, f, ok := s.Closest(geom.Ray{Origin: s.Camera.At.Add(dir.Scale(from)), Dir: dir})
	if !ok {
		return "", unit.Length(math.Inf(1))
	}
	return s.Owner(f), unit.Length(from) + t
}

// SizeRatio returns how many times larger a thing at near is drawn than the same
// thing at far: the ratio of their depths. It is NaN if either is behind the
// camera.
//
//	z_far / z_near
func (c *Camera) SizeRatio(near, far geom.Vec) float64 {
	a, ok := c.Project(near)
	b, fine := c.Project(far)
	if !ok || !fine {
		return math.NaN()
	}
	return float64(b.Depth / a.Depth)
}

// A Stand is a camera place tried by Hiding.
type Stand struct {
	Bearing unit.Angle // from the mark to the camera
	Height  unit.Length
	Seen    float64 // share of the thing's points that show in the frame
}

// Hiding tries camera places around the mark at one distance, all aimed at aim,
// and returns for each how much of a thing would show: the share of its points
// that are in the frame with nothing before them. The thing itself must not
// hide its own points; give points just outside it.
func (s *Scene) Hiding(points []geom.Vec, aim geom.Vec, distance unit.Length, bearings []unit.Angle, heights []unit.Length) []Stand {
	var out []Stand
	for _, b := range bearings {
		for _, h := range heights {
			c := s.Camera
			c.Aim = aim
			c.At = geom.Direction(b, 0).Scale(distance.Metres())
			c.At.X, c.At.Y, c.At.Z = c.At.X+aim.X, c.At.Y+aim.Y, h.Metres()
			seen := 0
			for _, p := range points {
				if at, ahead := c.Project(p); ahead && at.InFrame() && s.Sees(c.At, p) {
					seen++
				}
			}
			out = append(out, Stand{b, h, float64(seen) / float64(max(len(points), 1))})
		}
	}
	return out
}
