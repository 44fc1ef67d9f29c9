// Package geom holds vectors, rays and frames in hardnoon's one frame of
// reference: right-handed, x east, y north, z up, in metres, with the origin on
// the ground at the mark.
//
// Azimuths and bearings run clockwise from true north. Directions of light
// point *towards* where the light comes from.
package geom

import (
	"math"

	"hardnoon/engine/unit"
)

// Vec is a point or a direction in the local frame, metres.
type Vec struct{ X, Y, Z float64 }

var (
	East  = Vec{1, 0, 0}
	North = Vec{0, 1, 0}
	Up    = Vec{0, 0, 1}
)

func (a Vec) Add(b Vec) Vec             { return Vec{a.X + b.X, a.Y + b.Y, a.Z + b.Z} }
func (a Vec) Sub(b Vec) Vec             { return Vec{a.X - b.X, a.Y - b.Y, a.Z - b.Z} }
func (a Vec) Scale(s float64) Vec       { return Vec{a.X * s, a.Y * s, a.Z * s} }
func (a Vec) Mul(b Vec) Vec             { return Vec{a.X * b.X, a.Y * b.Y, a.Z * b.Z} }
func (a Vec) Neg() Vec                  { return Vec{-a.X, -a.Y, -a.Z} }
func (a Vec) Dot(b Vec) float64         { return a.X*b.X + a.Y*b.Y + a.Z*b.Z }
func (a Vec) Norm() float64             { return math.Sqrt(a.Dot(a)) }
func (a Vec) Norm2() float64            { return a.Dot(a) }
func (a Vec) Lerp(b Vec, t float64) Vec { return a.Scale(1 - t).Add(b.Scale(t)) }

// Cross returns the vector product a × b.
func (a Vec) Cross(b Vec) Vec {
	return Vec{a.Y*b.Z - a.Z*b.Y, a.Z*b.X - a.X*b.Z, a.X*b.Y - a.Y*b.X}
}

// Unit returns a scaled to length 1; the zero vector stays zero.
func (a Vec) Unit() Vec {
	n := a.Norm()
	if n == 0 {
		return a
	}
	return a.Scale(1 / n)
}

// AngleTo returns the angle between a and b, 0 to 180°. It keeps its accuracy
// for nearly parallel vectors, where an arc cosine would not.
func (a Vec) AngleTo(b Vec) unit.Angle {
	return unit.Angle(math.Atan2(a.Cross(b).Norm(), a.Dot(b)))
}

// Direction returns the unit vector towards azimuth az (clockwise from true
// north) and altitude alt above the horizon.
//
//	(cos h sin A, cos h cos A, sin h)
func Direction(az, alt unit.Angle) Vec {
	return Vec{alt.Cos() * az.Sin(), alt.Cos() * az.Cos(), alt.Sin()}
}

// Azimuth returns the bearing of a seen from the origin, 0 ≤ A < 360°,
// clockwise from true north. Straight up or down it is 0.
func (a Vec) Azimuth() unit.Angle {
	return unit.Angle(math.Atan2(a.X, a.Y)).Positive()
}

// Altitude returns the angle of a above the horizontal plane.
func (a Vec) Altitude() unit.Angle {
	return unit.Angle(math.Atan2(a.Z, math.Hypot(a.X, a.Y)))
}

// Basis returns two unit vectors that make a right-handed frame (t, b, n) with
// the unit vector n.
//
// Source: [Duff2017], branchless construction.
func Basis(n Vec) (t, b Vec) {
	s := math.Copysign(1, n.Z)
	a := -1 / (s + n.Z)
	c := n.X * n.Y * a
	return Vec{1 + s*n.X*n.X*a, s * c, -s * n.X}, Vec{c, s + n.Y*n.Y*a, -n.Y}
}

// Ray is a half-line from Origin along the unit vector Dir.
type Ray struct{ Origin, Dir Vec }

// At returns the point t metres along the ray.
func (r Ray) At(t float64) Vec { return r.Origin.Add(r.Dir.Scale(t)) }
