package scene

import (
	"math"

	"hardnoon/engine/geom"
)

// Vec32 is geom.Vec in single precision: half the memory traffic where rays are
// traced by the million.
type Vec32 struct{ X, Y, Z float32 }

// To32 rounds a to single precision.
func To32(a geom.Vec) Vec32 { return Vec32{float32(a.X), float32(a.Y), float32(a.Z)} }

// To64 is the inverse of To32.
func (a Vec32) To64() geom.Vec { return geom.Vec{X: float64(a.X), Y: float64(a.Y), Z: float64(a.Z)} }

func (a Vec32) Add(b Vec32) Vec32     { return Vec32{a.X + b.X, a.Y + b.Y, a.Z + b.Z} }
func (a Vec32) Sub(b Vec32) Vec32     { return Vec32{a.X - b.X, a.Y - b.Y, a.Z - b.Z} }
func (a Vec32) Scale(s float32) Vec32 { return Vec32{a.X * s, a.Y * s, a.Z * s} }
func (a Vec32) Neg() Vec32            { return Vec32{-a.X, -a.Y, -a.Z} }
func (a Vec32) Dot(b Vec32) float32   { return a.X*b.X + a.Y*b.Y + a.Z*b.Z }

// Cross returns the vector product a × b.
func (a Vec32) Cross(b Vec32) Vec32 {
	return Vec32{a.Y*b.Z - a.Z*b.Y, a.Z*b.X - a.X*b.Z, a.X*b.Y - a.Y*b.X}
}

// Norm returns the length of a.
func (a Vec32) Norm() float32 { return Sqrt32(a.Dot(a)) }

// Unit returns a scaled to length 1; the zero vector stays zero.
func (a Vec32) Unit() Vec32 {
	n := a.Dot(a)
	if n == 0 {
		return a
	}
	return a.Scale(1 / Sqrt32(n))
}

// Basis32 is geom.Basis in single precision. Source: [Duff2017].
func Basis32(n Vec32) (t, b Vec32) {
	s := float32(1)
	if n.Z < 0 {
		s = -1
	}
	a := -1 / (s + n.Z)
	c := n.X * n.Y * a
	return Vec32{1 + s*n.X*n.X*a, s * c, -s * n.X}, Vec32{c, s + n.Y*n.Y*a, -n.Y}
}

// Sqrt32 returns the square root in single precision.
func Sqrt32(x float32) float32 { return float32(math.Sqrt(float64(x))) }

func abs32(x float32) float32 { return math.Float32frombits(math.Float32bits(x) &^ (1 << 31)) }

// RGB is a linear sRGB colour, or a ratio in each of its channels.
type RGB struct{ R, G, B float32 }

// Grey returns the neutral colour of value y.
func Grey(y float64) RGB { return RGB{float32(y), float32(y), float32(y)} }

func (a RGB) Add(b RGB) RGB       { return RGB{a.R + b.R, a.G + b.G, a.B + b.B} }
func (a RGB) Mul(b RGB) RGB       { return RGB{a.R * b.R, a.G * b.G, a.B * b.B} }
func (a RGB) Scale(s float32) RGB { return RGB{a.R * s, a.G * s, a.B * s} }
func (a RGB) Max() float32        { return max(a.R, a.G, a.B) }

// Y returns the luminance of a.
//
//	Y = 0.2126 R + 0.7152 G + 0.0722 B
//
// Source: [IEC61966-2-1].
func (a RGB) Y() float32 { return 0.2126*a.R + 0.7152*a.G + 0.0722*a.B }

// white returns a scaled to luminance 1; the zero colour becomes white.
func (a RGB) white() RGB {
	y := a.Y()
	if y <= 0 {
		return RGB{1, 1, 1}
	}
	return a.Scale(1 / y)
}
