package unit

// Area of a surface. Inner unit: square metre.
type Area float64

const SquareMetre Area = 1

func (a Area) SquareMetres() float64 { return float64(a) }

// Force of the wind, of a weight. Inner unit: newton.
type Force float64

const Newton Force = 1

func (f Force) Newtons() float64 { return float64(f) }

// Moment of a force about a line. Inner unit: newton metre.
type Moment float64

const NewtonMetre Moment = 1

func (m Moment) NewtonMetres() float64 { return float64(m) }

// Fahrenheit is a temperature on the scale American tables are printed in.
type Fahrenheit float64

// Celsius returns the same temperature in °C.
func (t Fahrenheit) Celsius() Celsius { return Celsius((float64(t) - 32) / 1.8) }

// Fahrenheit returns the same temperature in °F.
func (t Celsius) Fahrenheit() Fahrenheit { return Fahrenheit(float64(t)*1.8 + 32) }
