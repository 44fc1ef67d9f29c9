package optics

import (
	"math"

	"hardnoon/engine/unit"
)

// Depth is what is sharp. An infinite Far is +Inf.
type Depth struct {
	Near, Far  unit.Length
	Hyperfocal unit.Length // focused here, everything from half of it is sharp
}

// Extent returns how deep the sharp part is, +Inf for one without end.
func (d Depth) Extent() unit.Length { return d.Far - d.Near }

// Hyperfocal returns the nearest focus whose far limit is infinity.
//
//	H = f²/(N·c) + f
//
// It does not depend on the pupils. Source: [ThinLens].
func (l Lens) Hyperfocal(coc unit.Length) unit.Length {
	return l.Focal*l.Focal/(unit.Length(l.FNumber)*coc) + l.Focal
}

// DepthOfField returns what looks sharp around the distance in focus when a
// point may be a disc of diameter coc on the sensor.
//
//	k = N·c/(m·f)    near = a/(1+k) − (a−s)    far = a/(1−k) − (a−s)
//
// with a the distance s counted from the entrance pupil. With p = 1 this is
// near = s(H−f)/(H+s−2f), far = s(H−f)/(H−s). Diffraction is left out.
//
// Range: see Lens.Check; coc > 0. Source: [ThinLens].
func DepthOfField(l Lens, distance, coc unit.Length) Depth {
	if l.Check(distance) != nil || !(coc > 0) {
		nan := unit.Length(math.NaN())
		return Depth{nan, nan, nan}
	}
	k := unit.Length(l.FNumber * float64(coc/l.Focal) / Magnification(l.Focal, distance))
	a := l.FromPupil(distance)
	d := Depth{Near: a/(1+k) - (a - distance), Far: unit.Length(math.Inf(1)), Hyperfocal: l.Hyperfocal(coc)}
	if k < 1 {
		d.Far = a/(1-k) - (a - distance)
	}
	return d
}

// FNumberFor returns the least f-number at which the sharp part is depth deep.
// Inverse of DepthOfField; a depth of +Inf asks for the hyperfocal distance. It
// may be one that no lens has.
//
//	k = (√(a²+t²) − a)/t    N = k·m·f/c
//
// Range: distance > focal > 0, depth > 0, coc > 0; a pupil of 0 is 1; anything
// else is NaN. Source: own solution of [ThinLens].
func FNumberFor(focal, distance, depth, coc unit.Length, pupil float64) float64 {
	if !(depth > 0 && coc > 0 && pupil >= 0) {
		return math.NaN()
	}
	a, t := float64(Lens{Focal: focal, Pupil: pupil}.FromPupil(distance)), float64(depth)
	k := t / (a + math.Hypot(a, t)) // the same root, without the difference of two near numbers
	if math.IsInf(t, 1) {
		k = 1
	}
	return k * Magnification(focal, distance) * float64(focal/coc)
}
