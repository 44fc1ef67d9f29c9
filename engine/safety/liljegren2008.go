package safety

import (
	"fmt"
	"math"

	"hardnoon/engine/unit"
)

// WBGT is a wet-bulb globe temperature with its parts.
type WBGT struct {
	Value         unit.Celsius
	Globe         unit.Celsius
	NaturalWet    unit.Celsius // wick in sun and wind
	Psychrometric unit.Celsius // wick in the shade, ventilated
}

// Outdoors is the air at the place, as [Liljegren2008] needs it.
type Outdoors struct {
	Air      unit.Celsius
	Humidity float64         // relative, %
	Pressure unit.Pressure   // at the place; 0 is 1013.25 hPa
	Wind     unit.Speed      // at 2 m
	Sun      unit.Irradiance // global horizontal
	Altitude unit.Angle      // of the sun, true
	Distance float64         // of the sun in au; 0 is 1
}

// Constants of [Liljegren2008], as in version 1.1 of its authors' program. The
// globe is 50.8 mm wide; ISO 7243 describes one of 150 mm, which reads higher.
const (
	liljeSolar    = 1367.     // W/m² at 1 au
	liljeMinCos   = 0.00873   // sun half a degree up; below it all light is diffuse
	liljeMaxShare = 0.85      // of the light above the air
	liljeMinWind  = 0.13      // m/s
	liljeSigma    = 5.6696e-8 // W/(m²·K⁴)
	liljeCp       = 1003.5    // J/(kg·K), dry air
	liljeAir      = 28.97     // g/mol
	liljeWater    = 18.015    // g/mol
	liljeGas      = 8314.34 / liljeAir
	liljePrandtl  = liljeCp / (liljeCp + 1.25*liljeGas)

	liljeWickEmits, liljeWickAlbedo   = 0.95, 0.4
	liljeWickWide, liljeWickLong      = 0.007, 0.0254 // m
	liljeGlobeEmits, liljeGlobeAlbedo = 0.95, 0.05
	liljeGlobeWide                    = 0.0508 // m
	liljeGroundEmits, liljeGroundAlb  = 0.999, 0.45

	liljeSettled = 1e-4 // K a body may still warm or cool; theirs is 0.02
	liljeRounds  = 100
)

// Check returns a *unit.RangeError for air that is not on a sports ground.
func (o Outdoors) Check() error {
	for _, err := range []error{
		unit.Within("air temperature", float64(o.Air), -20, 60, "°C"),
		unit.Within("relative humidity", o.Humidity, 1, 100, "%"),
		unit.Within("air pressure", o.pressure(), 500, 1100, "hPa"),
		unit.Within("wind", o.Wind.MetresPerSecond(), 0, 60, "m/s"),
		unit.Within("solar irradiance", float64(o.Sun), 0, 1500, "W/m²"),
		unit.Within("sun altitude", o.Altitude.Degrees(), -90, 90, "°"),
		unit.Within("sun distance", o.distance(), 0.9, 1.1, "au"),
	} {
		if err != nil {
			return err
		}
	}
	return nil
}

func (o Outdoors) pressure() float64 {
	if o.Pressure == 0 {
		return 1013.25
	}
	return o.Pressure.Hectopascals()
}

func (o Outdoors) distance() float64 {
	if o.Distance == 0 {
		return 1
	}
	return o.Distance
}

// Liljegren2008 returns the wet-bulb globe temperature outdoors, from the heat
// balances of a globe and of a wet wick.
//
//	WBGT = 0.7·T_nwb + 0.2·T_g + 0.1·T_a
//
// Range: see Outdoors.Check. Error: within 1 °C of measured, says the source.
// Differs: the authors' program repeats each balance with a tenth of a step,
// which swings ever wider in strong wind (seen at 20 m/s and −20 °C); here the
// same root is bracketed.
// Source: [Liljegren2008], constants as read in its authors' program.
func Liljegren2008(o Outdoors) (WBGT, error) {
	if err := o.Check(); err != nil {
		return WBGT{}, err
	}
	b := newBalance(o)
	globe, err := settle("globe", b.ta-50, b.ta+150, b.globe)
	if err != nil {
		return WBGT{}, err
	}
	low := dewPoint(b.e) - 30
	wet, err := settle("wet wick", low, b.ta+100, func(t float64) float64 { return b.wick(t, 1) })
	if err != nil {
		return WBGT{}, err
	}
	psychro, err := settle("shaded wick", low, b.ta+100, func(t float64) float64 { return b.wick(t, 0) })
	if err != nil {
		return WBGT{}, err
	}
	return WBGT{
		Value: 0.7*celsius(wet) + 0.2*celsius(globe) + 0.1*o.Air,
		Globe: celsius(globe), NaturalWet: celsius(wet), Psychrometric: celsius(psychro),
	}, nil
}

func celsius(kelvin float64) unit.Celsius { return unit.Celsius(kelvin - 273.15) }

// balance holds one weather in the letters of the source, kelvin and hPa.
type balance struct {
	ta, e, p, wind       float64
	sun, direct          float64 // W/m², share
	cosZenith, tanZenith float64
	airEmits             float64
}

func newBalance(o Outdoors) balance {
	b := balance{ta: o.Air.Kelvins(), p: o.pressure(), wind: max(float64(o.Wind), liljeMinWind), sun: float64(o.Sun),
		cosZenith: o.Altitude.Sin()}
	b.tanZenith = math.Tan(math.Acos(b.cosZenith))
	b.e = o.Humidity / 100 * saturation(b.ta)
	b.airEmits = 0.575 * math.Pow(b.e, 0.143)

	// How much of the light is the sun's own is guessed from how much of what
	// arrives above the air comes down.
	above := 0.
	if b.cosZenith >= liljeMinCos {
		above = liljeSolar * b.cosZenith / (o.distance() * o.distance())
	}
	if above > 0 && b.sun > 0 {
		share := min(b.sun/above, liljeMaxShare)
		b.sun = share * above
		b.direct = min(max(math.Exp(3-1.34*share-1.65/share), 0), 0.9)
	}
	return b
}

// settle returns the temperature between low and high that next leaves as it is.
// The warmer a body, the less it takes in, so next falls and there is one: by
// false position, with a halving in every third step against slow ends.
func settle(what string, low, high float64, next func(float64) float64) (float64, error) {
	over, under := next(low)-low, next(high)-high
	if !(over >= 0 && under <= 0) {
		return 0, &UnsettledError{What: what, Low: celsius(low), High: celsius(high)}
	}
	t := low
	for k := range liljeRounds {
		if t = (low*under - high*over) / (under - over); k%3 == 2 {
			t = (low + high) / 2
		}
		gap := next(t) - t
		if math.Abs(gap) < liljeSettled {
			break
		}
		if gap > 0 {
			low, over = t, gap
		} else {
			high, under = t, gap
		}
	}
	return t, nil
}

// UnsettledError reports a heat balance without a temperature between two ends.
type UnsettledError struct {
	What      string
	Low, High unit.Celsius
}

func (e *UnsettledError) Error() string {
	return fmt.Sprintf("the heat of the %s balances nowhere between %.0f and %.0f °C", e.What, float64(e.Low), float64(e.High))
}

// surroundings is the heat radiated by air and ground, which is as warm as the
// air, over σ.
func (b balance) surroundings() float64 {
	return 0.5 * (b.airEmits + liljeGroundEmits) * math.Pow(b.ta, 4)
}

// globe returns the temperature of the globe that balances what a globe of t
// takes in.
func (b balance) globe(t float64) float64 {
	film := (t + b.ta) / 2
	re := b.wind * b.density(film) * liljeGlobeWide / viscosity(film)
	h := (2 + 0.6*math.Sqrt(re)*math.Pow(liljePrandtl, 0.3333)) * conductivity(film) / liljeGlobeWide
	beam := 1 + liljeGroundAlb
	if b.direct > 0 {
		beam += b.direct * (1/(2*b.cosZenith) - 1)
	}
	fourth := b.surroundings() - h/(liljeSigma*liljeGlobeEmits)*(t-b.ta) +
		b.sun/(2*liljeSigma*liljeGlobeEmits)*(1-liljeGlobeAlbedo)*beam
	return math.Pow(max(fourth, 0), 0.25)
}

// wick returns the temperature of the wick that balances what a wick of t takes
// in and evaporates, 0 for one that boils; radiation is 1, or 0 in the shade.
func (b balance) wick(t, radiation float64) float64 {
	film := (t + b.ta) / 2
	rho := b.density(film)
	re := b.wind * rho * liljeWickWide / viscosity(film)
	h := 0.281 * math.Pow(re, 0.6) * math.Pow(liljePrandtl, 0.44) * conductivity(film) / liljeWickWide

	const ends = 0.25 * liljeWickWide / liljeWickLong
	light := (1-b.direct)*(1+ends) + liljeGroundAlb
	if b.direct > 0 {
		light += b.direct * (b.tanZenith/math.Pi + ends)
	}
	taken := liljeSigma*liljeWickEmits*(b.surroundings()-math.Pow(t, 4)) + (1-liljeWickAlbedo)*b.sun*light

	const ratio = liljeCp * liljeAir / liljeWater
	schmidt := viscosity(film) / (rho * diffusivity(film, b.p))
	wet := saturation(t)
	if wet >= b.p { // beyond boiling the formula has a second root
		return 0
	}
	return b.ta - evaporation(film)/ratio*(wet-b.e)/(b.p-wet)*math.Pow(liljePrandtl/schmidt, 0.56) + taken/h*radiation
}

func (b balance) density(t float64) float64 { return b.p * 100 / (liljeGas * t) }

// saturation returns the vapour pressure over water, hPa, t in K.
func saturation(t float64) float64 {
	return 1.004 * 6.1121 * math.Exp(17.502*(t-273.15)/(t-32.18))
}

// dewPoint is the inverse of saturation.
func dewPoint(e float64) float64 {
	z := math.Log(e / (1.004 * 6.1121))
	return 273.15 + 240.97*z/(17.502-z)
}

// viscosity of air, kg/(m·s), by kinetic theory.
func viscosity(t float64) float64 {
	const sigma = 3.617 // Å
	omega := (t/97-2.9)/0.4*-0.034 + 1.048
	return 2.6693e-6 * math.Sqrt(liljeAir*t) / (sigma * sigma * omega)
}

// conductivity of air for heat, W/(m·K).
func conductivity(t float64) float64 { return (liljeCp + 1.25*liljeGas) * viscosity(t) }

// diffusivity of water vapour in air, m²/s.
func diffusivity(t, p float64) float64 {
	const (
		pcAir, pcWater = 36.4, 218.  // critical pressures, atm
		tcAir, tcWater = 132., 647.3 // critical temperatures, K
	)
	return 3.640e-4 * math.Pow(t/math.Sqrt(tcAir*tcWater), 2.334) * math.Cbrt(pcAir*pcWater) * math.Pow(tcAir*tcWater, 5./12) *
		math.Sqrt(1/liljeAir+1/liljeWater) / (p / 1013.25) * 1e-4
}

// evaporation returns the heat of evaporation, J/kg.
func evaporation(t float64) float64 { return (313.15-t)/30*-71100 + 2.4073e6 }

// Stability is Pasquill's class of the air, A (churning) to F (still).
type Stability int

// StabilityOf returns the class from sunlight and wind, for a clear night when
// the sun is down.
//
// Source: solar radiation and delta-T method of the U.S. Environmental
// Protection Agency, as in [Liljegren2008].
func StabilityOf(sunUp bool, wind unit.Speed, sun unit.Irradiance) Stability {
	const a, b, c, d, e, f = 0, 1, 2, 3, 4, 5
	v := wind.MetresPerSecond()
	if !sunUp {
		switch {
		case v < 2:
			return f
		case v < 2.5:
			return e
		}
		return d
	}
	row := [...][4]Stability{{a, a, b, d}, {a, b, c, d}, {b, b, c, d}, {c, c, d, d}, {c, d, d, d}}
	i := 0
	for _, least := range []float64{2, 3, 5, 6} {
		if v >= least {
			i++
		}
	}
	j := 3
	for k, least := range []float64{925, 675, 175} {
		if float64(sun) >= least {
			j = k
			break
		}
	}
	return row[i][j]
}

// WindAtTwo returns the wind at 2 m from that at height z.
//
//	v·(2/z)^p    p by stability, rural or urban
//
// Source: power law of the U.S. Environmental Protection Agency, as in
// [Liljegren2008].
func WindAtTwo(v unit.Speed, z unit.Length, s Stability, urban bool) unit.Speed {
	p := [...]float64{.07, .07, .10, .15, .35, .55}
	if urban {
		p = [...]float64{.15, .15, .20, .25, .30, .30}
	}
	s = min(max(s, 0), 5)
	return max(v*unit.Speed(math.Pow(float64(2*unit.Metre/z), p[s])), liljeMinWind*unit.MetrePerSecond)
}
