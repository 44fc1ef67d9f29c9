package sky

import "math"

// The lowest degrees of a pattern are blended with the ground. There the fits
// see air that is never that clean, over a ground that is never that level;
// lighting simulation blends them in the same way.
//
//	L = w l + (1 − w) L_ground    w = x²⁰/(x²⁰ + 1), x = cos ζ + 1.01
//
// The ground has 45 % at the horizon, 11 % at 6°, 2 % at 12°.
// Source: the sky function of a lighting simulation ([Gendaylit]).

// hazed is the first term: a pattern whose lowest degrees are taken back.
type hazed struct{ pattern }

func (h hazed) at(cosZeta, gamma float64) float64 {
	return h.pattern.at(cosZeta, gamma) * clearOfHaze(cosZeta)
}

func clearOfHaze(cosZeta float64) float64 {
	x := cosZeta + 1.01
	x *= x
	x *= x
	x20 := x * x * x * x * x
	return x20 / (x20 + 1)
}

// hazeOnVertical is the light of the second term on a vertical, in units of the
// ground's luminance.
//
//	∫ (1 − w) cos θ dω = 2 ∫ (1 − w) √(1 − z²) dz
const hazeOnVertical = 0.0639

// hazeOn returns the same for a plane whose normal has the vertical part nz: the
// haze is a band along the horizon.
func hazeOn(nz float64) float64 { return hazeOnVertical * math.Sqrt(max(0, 1-nz*nz)) }

// hazeOnDome is the light of the second term on a dome receptor, likewise.
//
//	∫ (1 − w)/2 dω = π ∫ (1 − w) dz
const hazeOnDome = 0.0321 * math.Pi
