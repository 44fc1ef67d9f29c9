// Package optics answers what a lens and a sensor make of distances: how wide
// they see, what is sharp, how soft the rest is.
//
// Lenses are thin except for their pupils: the pupil magnification p is the
// diameter of the exit pupil over that of the entrance pupil, below 1 for
// telephoto and above 1 for wide retrofocus lenses. Distances run along the
// optical axis from the front principal plane, which is near enough the lens;
// the scale engraved on a lens counts from the sensor. F-numbers are what the
// caller says, a dial's label or its exact value.
//
// Sources: textbook geometrical optics [ThinLens], checked against rows worked
// out by another hand.
//
// Left out: breathing (the focal length of many lenses shrinks close by),
// aberrations, field curvature and the tilt of a view camera.
package optics

import (
	"math"

	"hardnoon/engine/unit"
)

// Lens is a focal length with an aperture. The zero Pupil is 1.
type Lens struct {
	Focal   unit.Length
	FNumber float64
	Pupil   float64 // exit over entrance pupil diameter
}

func (l Lens) pupil() float64 {
	if l.Pupil == 0 {
		return 1
	}
	return l.Pupil
}

// Closest is the least distance a lens focuses at here, in focal lengths: ten
// times life size.
const Closest = 1.1

// Check returns a *unit.RangeError for a lens that cannot be, or one that cannot
// focus at the distance. What Check refuses, the functions of this package
// answer with NaN.
func (l Lens) Check(distance unit.Length) error {
	for _, err := range []error{
		unit.Within("focal length", l.Focal.Millimetres(), 1, 5000, "mm"),
		unit.Within("f-number", l.FNumber, 0.5, 128, ""),
		unit.Within("pupil magnification", l.pupil(), 0.1, 10, ""),
		unit.Within("distance", distance.Metres(), math.Round(Closest*l.Focal.Metres()*1e6)/1e6, 1e5, "m"), // to the micrometre, to be said
	} {
		if err != nil {
			return err
		}
	}
	return nil
}

// Magnification returns the size of the picture on the sensor over the size of
// the thing.
//
//	m = f/(s − f)
//
// Range: s > f. Source: [ThinLens].
func Magnification(focal, distance unit.Length) float64 {
	if !(focal > 0 && distance > focal) {
		return math.NaN()
	}
	return float64(focal / (distance - focal))
}

// Aperture returns the diameter of the entrance pupil, f/N. It is also the blur
// of the far background, measured at the subject.
func (l Lens) Aperture() unit.Length { return l.Focal / unit.Length(l.FNumber) }

// FromPupil returns how far the entrance pupil is from a plane at the distance s.
//
//	s + f·(1/p − 1)
//
// Source: [ThinLens].
func (l Lens) FromPupil(distance unit.Length) unit.Length {
	return distance + l.Focal*unit.Length(1/l.pupil()-1)
}

// EffectiveN returns the f-number that the light on the sensor follows when the
// lens is drawn out.
//
//	N·(1 + m/p)
//
// Source: [ThinLens]; with p = 1 as printed in a flash manual.
func (l Lens) EffectiveN(distance unit.Length) float64 {
	return l.FNumber * (1 + Magnification(l.Focal, distance)/l.pupil())
}

// FieldOfView returns the angle that a sensor side of that length sees, focused
// at infinity.
//
//	2·atan(w/2f)
//
// Source: [ThinLens].
func FieldOfView(side, focal unit.Length) unit.Angle {
	return unit.Angle(2 * math.Atan(float64(side/(2*focal))))
}

// FieldAt returns the angle that a sensor side sees with the lens focused at the
// distance, from its entrance pupil.
//
//	2·atan(w/(2f·(1 + m/p)))
//
// Error: breathing, up to a fifth close by. Source: [ThinLens].
func (l Lens) FieldAt(side, distance unit.Length) unit.Angle {
	drawn := 1 + Magnification(l.Focal, distance)/l.pupil()
	return FieldOfView(side, l.Focal*unit.Length(drawn))
}

// BackgroundBlur returns the diameter, on the sensor, of a point at the distance
// from the lens while it is focused at focus. An infinite distance is allowed.
//
//	(f/N)·m·|D − s|/D    D counted from the entrance pupil in the divisor
//
// Source: [ThinLens].
func (l Lens) BackgroundBlur(focus, distance unit.Length) unit.Length {
	disc := l.Aperture() * unit.Length(Magnification(l.Focal, focus))
	if math.IsInf(float64(distance), 1) {
		return disc
	}
	d := l.FromPupil(distance)
	if !(d > 0) {
		return unit.Length(math.NaN())
	}
	return disc * unit.Length(math.Abs(float64((distance-focus)/d)))
}

// SizeRatio returns how much larger a thing at near appears than the same thing
// at far: what makes a low wide camera heroic.
//
//	far/near
func SizeRatio(near, far unit.Length) float64 { return float64(far / near) }

// Airy returns the diameter of the diffraction disc on the sensor.
//
//	2.44·λ·N
//
// Source: [ThinLens].
func Airy(n float64, wavelength unit.Length) unit.Length {
	return wavelength * unit.Length(2.44*n)
}

// Green is the wavelength that diffraction is usually told for.
const Green = 0.550 * unit.Micrometre

// TStop returns the f-number of a loss-free lens as dark as one of transmission
// tau.
//
//	T = N/√τ
//
// Range: 0 < τ ≤ 1. Source: [ThinLens].
func TStop(n, tau float64) float64 { return n / math.Sqrt(tau) }
