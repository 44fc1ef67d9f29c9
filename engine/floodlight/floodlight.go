// Package floodlight answers how much light the lamps of a field give at a point
// of it, on a plane of any direction.
//
// Frame: that of the place (x east, y north, z up), metres; intensity in cd,
// illuminance in lx. A bank is the lamps on top of one pole, taken as one small
// source with a round beam that falls off with a power of the cosine. How strong
// its lamps are nobody on the field knows. What can be known is the level of the
// field, by its class or by a meter, and the banks share it.
//
// Sources: inverse square and cosine law; [EN12193] for the levels;
// [NAVEDTRA14027] for beams and for how far out lamps are aimed.
//
// Left out: the lamps of a bank one by one, louvres, flicker, air, and what stands
// in the way: the caller says what share of a bank passes.
package floodlight

import (
	"math"

	"hardnoon/engine/geom"
	"hardnoon/engine/unit"
)

// Temperature is the colour of lamps nobody has described: between metal halide
// and light-emitting ones, 4000 to 5700 K. From memory.
const Temperature unit.Kelvin = 5000

// UsualPower is the power of the cosine of a bank nobody has described: half the
// axis at 45° off it, a tenth at 72°. One floodlight is narrower (NEMA type 5: a
// tenth at 38°, power 9), several are fanned out over the field. Own choice: with
// 2 the poles of a pitch need the flux that such pitches have installed; its
// uniformity, 0.34 to 0.43 with poles of 18 m, is less than the 0.5 of class III,
// for real lamps send more into the distance. Between 1 and 4 the level of a mark on
// a field of known class moves by up to 0.8 stop.
const UsualPower = 2

// farthestAim is how far from the foot of a pole its lamps are aimed, in heights.
// Source: [NAVEDTRA14027] fig. 6-26 and floodlighting guides.
const farthestAim = 2.0

// Aimed returns the point of the ground that lamps at a height over a foot are
// turned to, to light what is at target: not under the pole, and not so far that
// they blind.
func Aimed(foot, target geom.Vec, height unit.Length) geom.Vec {
	d := target.Sub(foot)
	d.Z = 0
	h := height.Metres()
	return foot.Add(d.Unit().Scale(min(max(d.Norm(), h), farthestAim*h)))
}

// A Bank is the lamps on top of one pole.
type Bank struct {
	At        geom.Vec     // middle of their front
	Aim       geom.Vec     // the point they are turned to
	Power     float64      // n of I(θ) = I₀ cosⁿθ; 0: UsualPower
	Intensity unit.Candela // I₀, on the axis
}

// PowerFor returns the power of the cosine of a beam that has fallen to a tenth
// at half an angle off its axis: the way floodlights are classed.
//
//	n = ln 0.1 / ln cos(α/2)
//
// Range: 0° < α < 180°.
func PowerFor(tenth unit.Angle) float64 { return math.Log(0.1) / math.Log((tenth / 2).Cos()) }

// A Beam is the light of one bank at a point.
type Beam struct {
	Towards geom.Vec // where it comes from, of length 1
	Facing  unit.Lux // on a plane that faces it
}

// Beam returns the light of the bank at a point.
//
//	E = I₀ cosⁿθ / d²
//
// Error: 1 % too bright at five times the width of the bank, less beyond.
// Source: inverse square law.
func (b Bank) Beam(p geom.Vec) Beam {
	d := p.Sub(b.At)
	r2 := max(d.Norm2(), 1e-6)
	u := d.Scale(1 / math.Sqrt(r2))
	n := b.Power
	if n == 0 {
		n = UsualPower
	}
	c := max(0, u.Dot(b.Aim.Sub(b.At).Unit()))
	return Beam{u.Neg(), unit.Lux(float64(b.Intensity) * math.Pow(c, n) / r2)}
}

// Lights are the banks of a field that are switched on.
type Lights []Bank

// Beams returns the light of every bank at a point.
func (l Lights) Beams(p geom.Vec) []Beam {
	out := make([]Beam, len(l))
	for i, b := range l {
		out[i] = b.Beam(p)
	}
	return out
}

// On returns the light of beams on a plane with the given normal.
//
//	E = Σ E_i max(0, n·ω_i)
//
// Source: cosine law.
func On(beams []Beam, n geom.Vec) unit.Lux {
	n = n.Unit()
	e := unit.Lux(0)
	for _, b := range beams {
		e += b.Facing * unit.Lux(max(0, n.Dot(b.Towards)))
	}
	return e
}

// Scaled returns the same banks k times as strong.
func (l Lights) Scaled(k float64) Lights {
	out := append(Lights{}, l...)
	for i := range out {
		out[i].Intensity *= unit.Candela(k)
	}
	return out
}

// Level returns the mean light on the level ground at some points.
func (l Lights) Level(points []geom.Vec) unit.Lux {
	e := unit.Lux(0)
	for _, p := range points {
		e += On(l.Beams(p), geom.Up)
	}
	return e / unit.Lux(max(len(points), 1))
}
