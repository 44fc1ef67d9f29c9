package safety

import (
	"math"

	"hardnoon/engine/unit"
)

// UsualOzone is the column to take when none is given, in Dobson units. Columns
// run from 250 in the tropics to 400 in northern spring.
const UsualOzone = 300.

// UVIndex returns the ultraviolet index of a clear sky at sea level.
//
//	12.5·μ^2.42·(Ω/300)^−1.23    μ = sin altitude, Ω ozone in DU
//
// Range: ozone 150 to 550 DU; with the sun down it is 0. Error: clean air and
// dark ground; each kilometre up adds 10 to 12 % (from memory), snow or sand
// up to as much again. Cloud takes away less than the eye thinks.
// Source: [Madronich2007] abstract.
func UVIndex(altitude unit.Angle, ozone float64) (float64, error) {
	if err := unit.Within("sun altitude", altitude.Degrees(), -90, 90, "°"); err != nil {
		return 0, err
	}
	if err := unit.Within("ozone", ozone, 150, 550, "DU"); err != nil {
		return 0, err
	}
	return 12.5 * math.Pow(max(altitude.Sin(), 0), 2.42) * math.Pow(ozone/300, -1.23), nil
}

// UVBand is an exposure category of the World Health Organization.
type UVBand int

const (
	UVLow UVBand = iota
	UVModerate
	UVHigh
	UVVeryHigh
	UVExtreme
)

func (b UVBand) String() string {
	return [...]string{"low", "moderate", "high", "very high", "extreme"}[b]
}

// UVBandOf returns the category of an index rounded to a whole number: from 3,
// 6, 8 and 11. Source: [WHO2002], by way of secondary texts.
func UVBandOf(index float64) UVBand {
	band := UVLow
	for _, least := range []float64{3, 6, 8, 11} {
		if math.Round(index) >= least {
			band++
		}
	}
	return band
}

// UVExposure is what the sun's height means for skin.
type UVExposure struct {
	Advice
	Index float64 // clear sky
	Band  UVBand
}

// UV returns the advice for an altitude of the sun, for a clear sky; an altitude
// not said leaves it unknown. From 3 protect skin and eyes, from 8 keep out of
// the midday sun: [WHO2002].
func UV(altitude *unit.Angle, ozone float64) (UVExposure, error) {
	var x UVExposure
	level, missing := Quiet, []string(nil)
	if altitude == nil {
		missing = []string{"sun altitude"}
	} else {
		var err error
		if x.Index, err = UVIndex(*altitude, ozone); err != nil {
			return UVExposure{}, err
		}
		if x.Band = UVBandOf(x.Index); x.Band >= UVModerate {
			level = Care
		}
	}
	x.Advice = advice(level, missing, []string{"Madronich2007", "WHO2002"}, nil)
	return x, nil
}
