// Package unit holds the quantities hardnoon computes with, so that two
// numbers which must not be confused have two types.
//
// Each quantity has one fixed inner unit, SI wherever there is one; the name
// of the constant says how to make a value (45 * unit.Degree, 2.4 * unit.Metre)
// and the method says how to read it (a.Degrees()). Inside a formula, plain
// float64 in the letters of its source is right.
//
// EV and Stops are to each other as time.Time is to time.Duration: a place on
// the logarithmic scale of light, and a distance along it.
package unit

import "math"

// Angle is a plane angle. Inner unit: radian.
type Angle float64

const (
	Radian    Angle = 1
	Degree    Angle = math.Pi / 180
	Arcminute Angle = Degree / 60
	Arcsecond Angle = Degree / 3600
	Turn      Angle = 2 * math.Pi
)

func (a Angle) Radians() float64    { return float64(a) }
func (a Angle) Degrees() float64    { return float64(a / Degree) }
func (a Angle) Arcminutes() float64 { return float64(a / Arcminute) }
func (a Angle) Arcseconds() float64 { return float64(a / Arcsecond) }
func (a Angle) Sin() float64        { return math.Sin(float64(a)) }
func (a Angle) Cos() float64        { return math.Cos(float64(a)) }
func (a Angle) Tan() float64        { return math.Tan(float64(a)) }

// Abs returns the magnitude of a.
func (a Angle) Abs() Angle { return Angle(math.Abs(float64(a))) }

// Positive returns the angle equivalent to a in 0 ≤ a < 360°: an azimuth or a
// bearing.
func (a Angle) Positive() Angle {
	r := math.Mod(float64(a), float64(Turn))
	if r < 0 {
		r += float64(Turn)
	}
	if r >= float64(Turn) { // a tiny negative angle rounds up to a full turn
		r = 0
	}
	return Angle(r)
}

// Signed returns the angle equivalent to a in −180° < a ≤ 180°: a turn from one
// bearing to another, positive clockwise when a is one.
func (a Angle) Signed() Angle {
	r := a.Positive()
	if r > Turn/2 {
		r -= Turn
	}
	return r
}

// Length is a distance. Inner unit: metre.
type Length float64

const (
	Metre      Length = 1
	Kilometre  Length = 1000
	Centimetre Length = 1e-2
	Millimetre Length = 1e-3
	Micrometre Length = 1e-6
	Foot       Length = 0.3048 // exact, international foot
	Inch       Length = 0.0254 // exact
)

func (l Length) Metres() float64      { return float64(l) }
func (l Length) Centimetres() float64 { return float64(l / Centimetre) }
func (l Length) Millimetres() float64 { return float64(l / Millimetre) }
func (l Length) Feet() float64        { return float64(l / Foot) }

// Speed is a velocity's magnitude. Inner unit: metre per second.
type Speed float64

const (
	MetrePerSecond   Speed = 1
	KilometrePerHour Speed = 1 / 3.6
	Knot             Speed = 1852.0 / 3600 // exact, international nautical mile an hour
	MilePerHour      Speed = 0.44704       // exact, international mile
)

func (v Speed) MetresPerSecond() float64 { return float64(v) }
func (v Speed) Knots() float64           { return float64(v / Knot) }

// Mass of a thing. Inner unit: kilogram.
type Mass float64

const Kilogram Mass = 1

func (m Mass) Kilograms() float64 { return float64(m) }

// Energy stored for one full pop. Inner unit: watt-second (joule).
type Energy float64

const WattSecond Energy = 1

func (e Energy) WattSeconds() float64 { return float64(e) }

// Pressure of the air. Inner unit: pascal.
type Pressure float64

const (
	Pascal      Pressure = 1
	Hectopascal Pressure = 100
)

func (p Pressure) Hectopascals() float64 { return float64(p / Hectopascal) }
func (p Pressure) Pascals() float64      { return float64(p) }

// Celsius is a temperature on the Celsius scale. It is a place, not a
// difference.
type Celsius float64

// Kelvins returns the thermodynamic temperature in kelvin.
func (t Celsius) Kelvins() float64 { return float64(t) + 273.15 }

// Irradiance is radiant power on a surface. Inner unit: W/m².
type Irradiance float64

const WattPerSquareMetre Irradiance = 1

// Photometric quantities. One inner unit each, named by the type.
type (
	Lux           float64 // illuminance, lx
	LuxSecond     float64 // luminous exposure, lx·s
	Nit           float64 // luminance, cd/m²
	Candela       float64 // luminous intensity, cd
	CandelaSecond float64 // luminous intensity of a flash, integrated over the pulse, cd·s
	LumenSecond   float64 // quantity of light, lm·s
)

const (
	OneLux         Lux           = 1
	OneLuxSecond   LuxSecond     = 1
	OneNit         Nit           = 1
	OneCandela     Candela       = 1
	OneCandelaSec  CandelaSecond = 1
	OneLumenSecond LumenSecond   = 1
)
