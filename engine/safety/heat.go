package safety

import (
	"math"

	"hardnoon/engine/unit"
)

// ISO7243 returns the wet-bulb globe temperature of three thermometers.
//
//	0.7·T_nwb + 0.2·T_g + 0.1·T_a    in the sun
//	0.7·T_nwb + 0.3·T_g              out of it
//
// Source: [ISO7243], by way of secondary texts.
func ISO7243(naturalWet, globe, air unit.Celsius, sun bool) unit.Celsius {
	if sun {
		return 0.7*naturalWet + 0.2*globe + 0.1*air
	}
	return 0.7*naturalWet + 0.3*globe
}

// warm checks what every formula of this file takes.
func warm(air unit.Celsius, humidity, least, most float64) error {
	if err := unit.Within("air temperature", float64(air), least, most, "°C"); err != nil {
		return err
	}
	return unit.Within("relative humidity", humidity, 0, 100, "%")
}

// bomVapour is the vapour pressure in hPa that the Bureau's formulas take.
//
//	e = RH/100·6.105·exp(17.27·T/(237.7 + T))
func bomVapour(t, rh float64) float64 { return rh / 100 * 6.105 * math.Exp(17.27*t/(237.7+t)) }

// Humidity returns the relative humidity in percent of air with that dew point.
//
//	100·e(T_d)/e(T)    e at saturation, as in ApparentTemperature
//
// Range: −60 to 60 °C, dew point not above the air. Error: 1 %, of a dew point
// reported in whole degrees 5 %. Source: [BoM].
func Humidity(air, dewPoint unit.Celsius) (float64, error) {
	if err := unit.Within("air temperature", float64(air), -60, 60, "°C"); err != nil {
		return 0, err
	}
	if err := unit.Within("dew point", float64(dewPoint), -100, float64(air), "°C"); err != nil {
		return 0, err
	}
	return 100 * bomVapour(float64(dewPoint), 100) / bomVapour(float64(air), 100), nil
}

// WBGTEstimate returns a wet-bulb globe temperature that knows no sun and no
// wind: it takes fairly strong sun and light wind for granted.
//
//	0.567·T + 0.393·e + 3.94
//
// Range: −20 to 60 °C. Error: too high in wind or cloud, too low in still air
// (29.3 against 32.4 at 30 °C, 50 %, 0.5 m/s, 900 W/m²).
// Source: [BoM], Australian Bureau of Meteorology, by way of secondary texts.
func WBGTEstimate(air unit.Celsius, humidity float64) (unit.Celsius, error) {
	if err := warm(air, humidity, -20, 60); err != nil {
		return 0, err
	}
	t := float64(air)
	return unit.Celsius(0.567*t + 0.393*bomVapour(t, humidity) + 3.94), nil
}

// ApparentTemperature returns what the air feels like in the shade.
//
//	T + 0.33·e − 0.70·v − 4.00    v at 10 m
//
// Range: −20 to 60 °C. Source: [BoM], by way of secondary texts.
func ApparentTemperature(air unit.Celsius, humidity float64, wind unit.Speed) (unit.Celsius, error) {
	if err := warm(air, humidity, -20, 60); err != nil {
		return 0, err
	}
	if err := unit.Within("wind", wind.MetresPerSecond(), 0, 60, "m/s"); err != nil {
		return 0, err
	}
	t := float64(air)
	return unit.Celsius(t + 0.33*bomVapour(t, humidity) - 0.70*float64(wind) - 4), nil
}

// Stull2011 returns the wet-bulb temperature at sea level.
//
//	T·atan(0.151977·√(RH + 8.313659)) + atan(T + RH) − atan(RH − 1.676331)
//	  + 0.00391838·RH^1.5·atan(0.023101·RH) − 4.686035
//
// Range: −20 to 50 °C, 5 to 99 %. Error: −1 to +0.65 °C, mean below 0.3.
// Source: [Stull2011] eq. 1.
func Stull2011(air unit.Celsius, humidity float64) (unit.Celsius, error) {
	if err := unit.Within("air temperature", float64(air), -20, 50, "°C"); err != nil {
		return 0, err
	}
	if err := unit.Within("relative humidity", humidity, 5, 99, "%"); err != nil {
		return 0, err
	}
	t, rh := float64(air), humidity
	return unit.Celsius(t*math.Atan(0.151977*math.Sqrt(rh+8.313659)) + math.Atan(t+rh) - math.Atan(rh-1.676331) +
		0.00391838*math.Pow(rh, 1.5)*math.Atan(0.023101*rh) - 4.686035), nil
}

// HeatIndex returns the heat index of the U.S. National Weather Service, for the
// shade and light wind; full sun adds up to 8 °C. It is a regression on degrees
// Fahrenheit: below an index of 80 °F a simple form averaged with the
// temperature, above it Rothfusz's, less in dry and more in damp air.
//
// Range: −20 to 60 °C; little is known above 137 °F.
// Source: [NWSHeatIndex], [Rothfusz1990].
func HeatIndex(air unit.Celsius, humidity float64) (unit.Celsius, error) {
	if err := warm(air, humidity, -20, 60); err != nil {
		return 0, err
	}
	t, rh := float64(air.Fahrenheit()), humidity
	simple := 0.5 * (t + 61 + (t-68)*1.2 + rh*0.094)
	if hi := (simple + t) / 2; hi < 80 {
		return unit.Fahrenheit(hi).Celsius(), nil
	}
	hi := -42.379 + 2.04901523*t + 10.14333127*rh - 0.22475541*t*rh - 6.83783e-3*t*t - 5.481717e-2*rh*rh +
		1.22874e-3*t*t*rh + 8.5282e-4*t*rh*rh - 1.99e-6*t*t*rh*rh
	switch {
	case rh < 13 && t >= 80 && t <= 112:
		hi -= (13 - rh) / 4 * math.Sqrt((17-math.Abs(t-95))/17)
	case rh > 85 && t >= 80 && t <= 87:
		hi += (rh - 85) / 10 * (87 - t) / 5
	}
	return unit.Fahrenheit(hi).Celsius(), nil
}

// HeatBand is a class of the heat index.
type HeatBand int

const (
	BelowCaution HeatBand = iota
	Caution
	ExtremeCaution
	Danger
	ExtremeDanger
)

func (b HeatBand) String() string {
	return [...]string{"below caution", "caution", "extreme caution", "danger", "extreme danger"}[b]
}

// HeatBandOf returns the class: from 80, 90, 103 and 125 °F. Source:
// [NWSHeatIndex], by way of secondary texts.
func HeatBandOf(index unit.Celsius) HeatBand {
	band := BelowCaution
	for _, least := range []unit.Fahrenheit{80, 90, 103, 125} {
		if index.Fahrenheit() >= least-1e-9 {
			band++
		}
	}
	return band
}
