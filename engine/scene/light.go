package scene

import (
	"math"

	"hardnoon/engine/geom"
	"hardnoon/engine/unit"
)

// A Sky has a luminance in every direction. The sun's disc is not part of it.
type Sky interface {
	Luminance(towards geom.Vec) unit.Nit
}

// A ColouredSky also has a colour in every direction; only its ratios count.
type ColouredSky interface {
	Sky
	Colour(towards geom.Vec) RGB
}

// UniformSky has the same luminance everywhere, below the horizon too.
type UniformSky unit.Nit

// Luminance returns the one luminance there is.
func (u UniformSky) Luminance(geom.Vec) unit.Nit { return unit.Nit(u) }

// Daylight is sun and sky. The zero value is night.
type Daylight struct {
	Sky            Sky        // nil: black
	SkyColour      RGB        // tint of a Sky that has no colours of its own; zero: white
	Sun            geom.Vec   // direction towards the sun
	SunIlluminance unit.Lux   // on a plane facing the sun
	SunRadius      unit.Angle // angular radius of the disc; 0: 0.2666°
	SunColour      RGB        // zero: white
}

// sunRadius is the mean angular radius of the sun's disc, 959.63″ at 1 au.
// Source: [IAU], conventional value; it varies by 1.7 % over the year.
const sunRadius = 959.63 * unit.Arcsecond

func (d *Daylight) check() error {
	if err := unit.Within("sun illuminance", float64(d.SunIlluminance), 0, 1e6, "lx"); err != nil {
		return err
	}
	if err := unit.Within("sun radius", d.SunRadius.Degrees(), 0, 30, "°"); err != nil {
		return err
	}
	if d.SunIlluminance > 0 {
		if err := unit.Within("length of the sun direction", d.Sun.Norm(), 1e-9, 1e12, ""); err != nil {
			return err
		}
		d.Sun = d.Sun.Unit()
	}
	if d.SunRadius == 0 {
		d.SunRadius = sunRadius
	}
	d.SkyColour, d.SunColour = d.SkyColour.white(), d.SunColour.white()
	return nil
}

// Radiance returns luminance and colour of the sky together.
func (d *Daylight) Radiance(towards geom.Vec) RGB {
	if d.Sky == nil {
		return RGB{}
	}
	tint := d.SkyColour
	if c, ok := d.Sky.(ColouredSky); ok {
		tint = c.Colour(towards).white()
	}
	l := float32(d.Sky.Luminance(towards))
	if !(l > 0) || l > 1e12 { // NaN and the like are dark
		return RGB{}
	}
	return tint.Scale(l)
}

// Outline is the shape of a light's front.
type Outline int

const (
	Round Outline = iota // a disc
	Rect                 // a rectangle, its Height standing upright
	Ball                 // a sphere shining to all sides
)

// Light is a flash head with whatever is in front of it, or a lamp that is on.
type Light struct {
	Name          string
	At            geom.Vec // centre of the front
	Aim           geom.Vec // the point it is turned to
	Outline       Outline
	Width, Height unit.Length        // a disc and a ball need only Width
	Intensity     unit.CandelaSecond // on the axis, far away

	// Beam is the n in I(θ) = I₀ cosⁿθ; 0 means 1, an evenly lit matt front.
	Beam float64
	// Profile, if not nil, is I(θ)/I₀ instead.
	Profile func(offAxis unit.Angle) float64

	// Setback is how far behind its front a focusing reflector seems to shine
	// from: on the axis it gives I/(d + v)² instead of I/d².
	Setback unit.Length

	Colour RGB  // zero: white
	Hidden bool // lights the scene without being a thing in it
	Steady bool // a lamp that is on all the time: where a flash counts seconds, its intensity is in cd

	axis, across, upright Vec32 // across and upright span half the front
	centre                Vec32
	radius, area, setback float32
	radiance              [beamSteps + 1]float32 // cd·s/m² by cosine off the axis
}

const beamSteps = 256

// least front: a bare tube; a point would make shadows sharper than any lamp
const leastFront = 0.01 * unit.Metre

func (l *Light) prepare() error {
	what := "light " + l.Name
	for _, err := range []error{
		checkPoint(what, l.At), checkPoint(what+" aim", l.Aim),
		unit.Within(what+" width", l.Width.Metres(), 0, 100, "m"),
		unit.Within(what+" height", l.Height.Metres(), 0, 100, "m"),
		unit.Within(what+" intensity", float64(l.Intensity), 0, 1e9, "cd·s"),
		unit.Within(what+" beam power", l.Beam, 0, 10_000, ""),
		unit.Within(what+" setback", l.Setback.Metres(), 0, 10, "m"),
	} {
		if err != nil {
			return err
		}
	}
	if l.Outline < Round || l.Outline > Ball {
		return unit.Within(what+" outline", float64(l.Outline), float64(Round), float64(Ball), "")
	}
	if l.Beam != 0 && l.Beam < 1 {
		return unit.Within(what+" beam power", l.Beam, 1, 10_000, "")
	}
	axis := l.Aim.Sub(l.At)
	if axis.Norm() < 1e-6 {
		axis = geom.Up.Neg()
	}
	axis = axis.Unit()
	across := axis.Cross(geom.Up)
	if across.Norm() < 1e-6 {
		across = geom.East
	}
	across = across.Unit()
	w := max(l.Width, leastFront).Metres()
	h := w
	if l.Outline == Rect {
		h = max(l.Height, leastFront).Metres()
	}
	l.centre, l.axis = To32(l.At), To32(axis)
	l.across, l.upright = To32(across.Scale(w/2)), To32(across.Cross(axis).Scale(h/2))
	l.radius, l.setback = float32(w/2), float32(l.Setback.Metres())
	area := w * h
	if l.Outline != Rect {
		area *= math.Pi / 4
	}
	l.area = float32(area)
	l.Colour = l.Colour.white()
	n := l.Beam
	if n == 0 {
		n = 1
	}
	for i := range l.radiance {
		c := float64(i) / beamSteps
		rel := math.Pow(c, n-1)
		switch {
		case l.Outline == Ball:
			rel = 1
		case l.Profile != nil:
			// The last cell would divide by nothing; it takes its neighbour's value.
			c = max(c, 1.0/beamSteps)
			rel = l.Profile(unit.Angle(math.Acos(c))) / c
			if !(rel >= 0) || rel > 1e6 {
				return unit.Within(what+" profile", rel, 0, 1e6, "")
			}
		}
		l.radiance[i] = float32(rel * float64(l.Intensity) / area)
	}
	return nil
}

// Radiance returns the luminous exposure of one pop per solid angle and area,
// cd·s/m², of the front seen from dist at the cosine c off its axis.
func (l *Light) Radiance(c, dist float32) float32 {
	if c <= 0 {
		return 0
	}
	x := min(c, 1) * beamSteps
	i := min(int(x), beamSteps-1)
	f := x - float32(i)
	r := l.radiance[i]*(1-f) + l.radiance[i+1]*f
	if l.setback > 0 {
		k := dist / (dist + l.setback)
		r *= k * k
	}
	return r
}

// Toward returns a point of the front for two numbers in 0..1: the direction
// and distance to it from p, what it sends to p (cd·s/m²) and the density of the
// choice per solid angle. The density is 0 where nothing is sent.
func (l *Light) Toward(p Vec32, u, v float32) (dir Vec32, dist, radiance, density float32) {
	if l.Outline == Ball {
		return l.towardBall(p, u, v)
	}
	var q Vec32
	if l.Outline == Rect {
		q = l.centre.Add(l.across.Scale(2*u - 1)).Add(l.upright.Scale(2*v - 1))
	} else {
		x, y := DiscPoint(u, v)
		q = l.centre.Add(l.across.Scale(x)).Add(l.upright.Scale(y))
	}
	d := q.Sub(p)
	r2 := d.Dot(d)
	dist = Sqrt32(r2)
	if dist < 1e-6 {
		return
	}
	dir = d.Scale(1 / dist)
	c := -dir.Dot(l.axis)
	if c <= 1e-4 {
		return dir, dist, 0, 0
	}
	return dir, dist, l.Radiance(c, dist), r2 / (l.area * c)
}

// towardBall chooses evenly in the cone under which the ball is seen.
func (l *Light) towardBall(p Vec32, u, v float32) (dir Vec32, dist, radiance, density float32) {
	d := l.centre.Sub(p)
	r2 := d.Dot(d)
	if r2 <= l.radius*l.radius*1.0001 {
		return // inside the lamp
	}
	away := Sqrt32(r2)
	s2 := l.radius * l.radius / r2
	height := s2 / (1 + Sqrt32(1-s2)) // 1 − cos of the half angle
	c := 1 - u*height
	s := Sqrt32(max(0, 1-c*c))
	axis := d.Scale(1 / away)
	t, b := Basis32(axis)
	sin, cos := SinCosTurn(v)
	dir = axis.Scale(c).Add(t.Scale(s * cos)).Add(b.Scale(s * sin))
	// nearer root of the sphere along dir
	k := d.Dot(dir)
	dist = k - Sqrt32(max(0, k*k-r2+l.radius*l.radius))
	return dir, dist, l.radiance[0], 1 / (2 * math.Pi * height)
}

// Density returns the density per solid angle with which Toward, asked from p,
// would have chosen the direction dir that meets the front at distance dist.
func (l *Light) Density(p, dir Vec32, dist float32) float32 {
	if l.Outline == Ball {
		d := l.centre.Sub(p)
		r2 := d.Dot(d)
		if r2 <= l.radius*l.radius*1.0001 {
			return 0
		}
		s2 := l.radius * l.radius / r2
		return (1 + Sqrt32(1-s2)) / (2 * math.Pi * s2)
	}
	c := -dir.Dot(l.axis)
	if c <= 1e-4 {
		return 0
	}
	return dist * dist / (l.area * c)
}

// Estimate returns about what the light gives at p on a surface that faces n,
// with nothing in between, lx·s. It is for choosing, not for answering.
func (l *Light) Estimate(p, n Vec32) float32 {
	d := l.centre.Sub(p)
	r2 := max(d.Dot(d), l.area)
	c := float32(1)
	dir := d.Unit()
	if l.Outline != Ball {
		c = max(-dir.Dot(l.axis), 0.1)
	}
	facing := max(n.Dot(dir), 0)
	// A wide front still reaches what its centre does not.
	facing = min(1, facing+l.radius*l.radius/r2)
	return l.Radiance(c, Sqrt32(r2)) * l.area * c * facing / r2
}

// DiscPoint maps the unit square onto the unit disc, keeping areas.
//
// Source: [Shirley1997], concentric map.
func DiscPoint(u, v float32) (x, y float32) {
	a, b := 2*u-1, 2*v-1
	if a == 0 && b == 0 {
		return 0, 0
	}
	if abs32(a) > abs32(b) {
		s, c := SinCosTurn(b / a / 8)
		return a * c, a * s
	}
	s, c := SinCosTurn(0.25 - a/b/8)
	return b * c, b * s
}

// SinCosTurn returns sine and cosine of x full turns, −2 < x < 1e6; its error
// is 3e-7 within a turn.
// Polynomials on a quarter of a turn, by Taylor's series: the library's doubles
// cost four times as much, and this is asked for each ray.
func SinCosTurn(x float32) (sin, cos float32) {
	k := int32(x*4+8.5) - 8                 // nearest quarter, for x above −2
	r := (x - float32(k)/4) * (2 * math.Pi) // −π/4 … π/4
	r2 := r * r
	sin = r * (1 + r2*(-1.0/6+r2*(1.0/120+r2*(-1.0/5040+r2*(1.0/362880)))))
	cos = 1 + r2*(-0.5+r2*(1.0/24+r2*(-1.0/720+r2*(1.0/40320))))
	switch k & 3 {
	case 1:
		return cos, -sin
	case 2:
		return -sin, -cos
	case 3:
		return -cos, sin
	}
	return sin, cos
}

// Axis returns the direction the front looks in.
func (l *Light) Axis() Vec32 { return l.axis }
