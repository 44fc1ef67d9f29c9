package unit

import "math"

// EV is an exposure value referred to ISO 100: a level of light, or a pair of
// f-number and shutter that would render it as mid-tone.
//
//	EV = log2(N²/t)    at ISO 100
type EV float64

// Stops is a ratio of light on a log2 scale; +1 is twice as much.
type Stops float64

const Stop Stops = 1

// Add returns the level s stops brighter than e.
func (e EV) Add(s Stops) EV { return e + EV(s) }

// Sub returns how many stops e is brighter than f.
func (e EV) Sub(f EV) Stops { return Stops(e - f) }

// StopsOf returns a ratio of light in stops.
//
//	s = log2(ratio)
//
// A ratio of 0 gives −Inf, a negative one NaN.
func StopsOf(ratio float64) Stops { return Stops(math.Log2(ratio)) }

// Ratio returns the ratio of light that s stands for: 2^s.
func (s Stops) Ratio() float64 { return math.Exp2(float64(s)) }

// Meter constants of incident and reflected exposure meters.
//
// ISO 2720:1974 allows K 10.6 to 13.4 and C 240 to 400 for a flat receptor;
// 12.5 and 250 are the values in common use and the ones of DESIGN.
// Uncertainty: the allowed ranges span 0.34 and 0.74 stop.
// Source: [ISO2720], by way of secondary texts.
const (
	MeterK = 12.5  // cd·s·ISO/m², reflected light
	MeterC = 250.0 // lx·s·ISO, incident light on a flat receptor
)

// EVFromLux returns the level an incident meter with a flat receptor shows.
//
//	EV = log2(E·100/C)    E in lx, C = 250
//
// Source: [ISO2720].
func EVFromLux(e Lux) EV { return EV(math.Log2(float64(e) * 100 / MeterC)) }

// Lux returns the illuminance an incident meter shows as e. Inverse of
// EVFromLux.
func (e EV) Lux() Lux { return Lux(math.Exp2(float64(e)) * MeterC / 100) }

// EVFromNit returns the level a reflected-light meter shows.
//
//	EV = log2(L·100/K)    L in cd/m², K = 12.5
//
// Source: [ISO2720].
func EVFromNit(l Nit) EV { return EV(math.Log2(float64(l) * 100 / MeterK)) }

// Nit returns the luminance a reflected-light meter shows as e. Inverse of
// EVFromNit.
func (e EV) Nit() Nit { return Nit(math.Exp2(float64(e)) * MeterK / 100) }

// Kelvin is a correlated colour temperature.
type Kelvin float64

// Mired is a reciprocal colour temperature, or a difference of two: MK⁻¹.
// A positive shift makes light warmer.
type Mired float64

// Mired returns the reciprocal colour temperature.
//
//	M = 10⁶/T
//
// Source: [CIE15], definition.
func (k Kelvin) Mired() Mired { return Mired(1e6 / float64(k)) }

// Kelvin returns the colour temperature of m. Inverse of Kelvin.Mired.
func (m Mired) Kelvin() Kelvin { return Kelvin(1e6 / float64(m)) }
