// Package modifier answers what a softbox, dish, umbrella, reflector or grid
// makes of the light of a flash head: how much of it arrives on the axis, how
// that falls off close by, and how big, heavy and draughty the thing is.
//
// A class is generic: a shape and a size, no make. Its strength is a guide
// number per square root of energy, so that one figure serves every head.
// Distances run from the front of the modifier along its axis, in metres.
//
// Sources: [GNEnergy] for strengths, [Lambert] for form factors, [Hoerner1965]
// and [AeroData] for drag. Left out: the pattern off the axis (Beam is one
// figure; an IES file holds the rest), and light bounced by walls.
package modifier

import (
	"math"

	"hardnoon/engine/unit"
)

// Shape is what the luminous front looks like from the subject.
type Shape int

const (
	Bare Shape = iota // small: a point at any working distance
	Disc
	Rectangle
)

// Reference is the distance at which K is stated: where light meters are held
// to compare heads. Common practice, no source.
const Reference = 2 * unit.Metre

// Class is one kind of modifier.
type Class struct {
	ID, Name      string
	Shape         Shape
	Width, Height unit.Length // of the luminous front; for a Disc, Width is the diameter

	// K is the guide number over the square root of the energy, m/√Ws, at ISO
	// 100 and full power, read at Reference. KError is the half spread found
	// between sources or units, to be used like one standard deviation.
	K      float64
	KError unit.Stops

	Beam    unit.Angle  // full angle to half intensity, approximate
	Setback unit.Length // how far the virtual source lies behind the front; focusing reflectors only

	Mass     unit.Mass
	WindArea float64 // m², face on
	Drag     float64 // coefficient that belongs to WindArea
	Shift    unit.Mired

	Source string // where K comes from
	Basis  string // "opened", "memory" or "own estimate"
}

// NearField returns the luminous exposure on the axis at d, relative to the
// inverse-square law carried in from far away.
//
//	disc       d²/(d² + r²)
//	rectangle  F·π·d²/(a·b)
//	focused    (d/(d + v))²
//
// Range: d > 0. A focusing reflector is not described closer than 1 m.
// Error: the front is taken as evenly bright and Lambertian; a hot centre, as
// of a single-layer box, behaves like a smaller front.
// Source: [Lambert]; the virtual source by [VirtualSource].
func (c Class) NearField(d unit.Length) float64 {
	x := d.Metres()
	if c.Setback > 0 {
		f := x / (x + c.Setback.Metres())
		return f * f
	}
	switch c.Shape {
	case Disc:
		r := c.Width.Metres() / 2
		return x * x / (x*x + r*r)
	case Rectangle:
		return c.FormFactor(d) * math.Pi * x * x / (c.Width.Metres() * c.Height.Metres())
	}
	return 1
}

// DistanceFor returns the distance at which a source whose beam is ratio times
// the wanted luminous exposure (cd·s over lx·s, m²) puts it on the axis:
// d²/NearField(d) = ratio. It is 0 where no distance is near enough.
//
//	bare √ratio    disc √(ratio − r²)    focused √ratio − v
//
// A rectangle has no closed form; Newton's steps on the log scale settle in a
// few rounds. Error: below 1e-9 of the distance.
func (c Class) DistanceFor(ratio float64) unit.Length {
	if !(ratio > 0) {
		return 0
	}
	x := math.Sqrt(ratio)
	switch {
	case c.Setback > 0:
		return unit.Length(max(0, x-c.Setback.Metres()))
	case c.Shape == Disc:
		r := c.Width.Metres() / 2
		return unit.Length(math.Sqrt(max(0, ratio-r*r)))
	case c.Shape == Rectangle:
		if area := c.Width.Metres() * c.Height.Metres() / math.Pi; ratio <= area {
			return 0
		}
		// Light falls steadily with distance and never faster than the square,
		// so d ← d·√(ratio/f(d)) with f = d²/near approaches from one side.
		for range 60 {
			f := x * x / c.NearField(unit.Length(x))
			step := math.Sqrt(ratio / f)
			x *= step
			if math.Abs(step-1) < 1e-10 {
				break
			}
		}
	}
	return unit.Length(x)
}

// FormFactor returns the share of its light that a small patch at d, facing the
// front squarely, would send back into the front: E = π·L·F.
//
//	disc       F = r²/(r² + d²)
//	rectangle  F = 2/π·[A/√(A²+d²)·atan(B/√(A²+d²)) + B/√(B²+d²)·atan(A/√(B²+d²))]
//
// with A, B half the sides. It is 0 for a bare source.
// Source: [Lambert].
func (c Class) FormFactor(d unit.Length) float64 {
	x := d.Metres()
	switch c.Shape {
	case Disc:
		r := c.Width.Metres() / 2
		return r * r / (r*r + x*x)
	case Rectangle:
		a, b := c.Width.Metres()/2, c.Height.Metres()/2
		p, q := math.Hypot(a, x), math.Hypot(b, x)
		return 2 / math.Pi * (a/p*math.Atan(b/p) + b/q*math.Atan(a/q))
	}
	return 0
}

// OnAxis returns the luminous exposure at d relative to the one at from: the
// inverse-square law with the near field on both ends.
func (c Class) OnAxis(d, from unit.Length) float64 {
	x := float64(from / d)
	return x * x * c.NearField(d) / c.NearField(from)
}

// Overprediction returns by how many stops the pure inverse-square law, carried in from
// far away, promises too much light at d.
func (c Class) Overprediction(d unit.Length) unit.Stops { return -unit.StopsOf(c.NearField(d)) }

// Check returns a *unit.RangeError for a class that nobody can build.
func (c Class) Check() error {
	for _, err := range []error{
		unit.Within("guide number per root watt-second", c.K, 0.05, 20, "m/√Ws"),
		unit.Within("its error", float64(c.KError), 0, 5, "stops"),
		unit.Within("width", c.Width.Metres(), 0, 10, "m"),
		unit.Within("height", c.Height.Metres(), 0, 10, "m"),
		unit.Within("setback", c.Setback.Metres(), 0, 5, "m"),
	} {
		if err != nil {
			return err
		}
	}
	if c.Shape == Rectangle && c.Height <= 0 || c.Shape != Bare && c.Width <= 0 {
		return &unit.RangeError{What: "size of the front", Got: 0, Min: 0.01, Max: 10, Unit: "m"}
	}
	return nil
}
