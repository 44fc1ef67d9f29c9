package safety

import (
	"math"

	"hardnoon/engine/unit"
)

// ColdStress is what the air and the wind mean for bare skin.
type ColdStress struct {
	Advice
	WindChill unit.Celsius
}

// Where cold asks for something. From −10 °C the Canadian service asks for layers,
// a hat and breaks in the warm; at −28 °C (−18 °F) the American one expects
// frostbite within 30 minutes. That nobody poses then is ours.
const (
	ChillCare unit.Celsius = -10
	ChillStop unit.Celsius = -28
)

// warmest is the highest air temperature the index is made for: 50 °F.
const warmest unit.Celsius = 10

// WindChill2001 returns the temperature at which calm air would cool a bare face as
// fast. Below 4.8 km/h it is the air's.
//
//	13.12 + 0.6215 T − 11.37 V^0.16 + 0.3965 T V^0.16    T in °C, V in km/h, 10 m up
//
// Range: −60 to 10 °C, 0 to 80 m/s.
// Error: half a degree of rounding against the printed chart.
// Source: [WindChill2001].
func WindChill2001(air unit.Celsius, wind unit.Speed) (unit.Celsius, error) {
	for _, err := range []error{
		unit.Within("air temperature", float64(air), -60, float64(warmest), "°C"),
		unit.Within("wind", wind.MetresPerSecond(), 0, 80, "m/s"),
	} {
		if err != nil {
			return 0, err
		}
	}
	t, v := float64(air), wind.MetresPerSecond()*3.6
	if v < 4.8 {
		return air, nil
	}
	k := math.Pow(v, 0.16)
	return unit.Celsius(13.12 + 0.6215*t - 11.37*k + 0.3965*t*k), nil
}

// Cold judges air of 10 °C and less; in warmer air it is Quiet. Without the air's
// temperature it is Unknown. A wind that is not known is taken as calm, and then
// nothing is Quiet below 0 °C.
func Cold(w Weather) (ColdStress, error) {
	sources, own := []string{"WindChill2001"}, []string{"nobody poses from a wind chill of −28 °C"}
	if w.Air == nil {
		return ColdStress{Advice: advice(Unknown, []string{"air temperature"}, sources, nil)}, nil
	}
	if *w.Air > warmest {
		return ColdStress{advice(Quiet, nil, nil, nil), *w.Air}, nil
	}
	var wind unit.Speed
	var missing []string
	switch {
	case w.Wind.Mean != nil:
		wind = *w.Wind.Mean
	case *w.Air < 0:
		missing = []string{"wind"}
	}
	chill, err := WindChill2001(*w.Air, wind)
	if err != nil {
		return ColdStress{}, err
	}
	level := Quiet
	switch {
	case chill <= ChillStop:
		level = Stop
	case chill <= ChillCare:
		level = Care
	}
	return ColdStress{advice(level, missing, sources, own), chill}, nil
}
