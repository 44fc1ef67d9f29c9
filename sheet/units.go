package sheet

import (
	"fmt"
	"math"
	"strings"

	"hardnoon/engine/unit"
)

// Units says in which units lengths, weights, wind and warmth are written.
type Units int

// The two systems. Dials, filters and stops are the same in both.
const (
	Metric Units = iota
	Imperial
)

// Length writes a length: "2.16 m", "12.5 m", or feet and inches.
func (u Units) Length(m float64) string {
	if u == Imperial {
		inches := math.Round(m / float64(unit.Inch))
		feet := math.Floor(inches / 12)
		if in := inches - 12*feet; feet == 0 {
			return fmt.Sprintf("%.0f″", in)
		} else if in > 0 {
			return fmt.Sprintf("%.0f′ %.0f″", feet, in)
		}
		return fmt.Sprintf("%.0f′", feet)
	}
	if m < 9.995 {
		return fmt.Sprintf("%.2f m", m)
	}
	return fmt.Sprintf("%.1f m", m)
}

// Mass writes a weight, rounded up: it is what must at least be there.
func (u Units) Mass(kg float64) string {
	if u == Imperial {
		return fmt.Sprintf("%.0f lb", max(math.Ceil(kg/0.45359237-1e-9), 0))
	}
	return fmt.Sprintf("%.0f kg", max(math.Ceil(kg-1e-9), 0))
}

// Speed writes a wind.
func (u Units) Speed(mps float64) string {
	if u == Imperial {
		return fmt.Sprintf("%.0f mph", mps/0.44704)
	}
	return fmt.Sprintf("%.0f m/s (%.0f km/h)", mps, mps*3.6)
}

// Temperature writes a temperature.
func (u Units) Temperature(c float64) string {
	if u == Imperial {
		return minus(fmt.Sprintf("%.0f °F", math.Round(c*9/5+32)+0))
	}
	return minus(fmt.Sprintf("%.0f °C", math.Round(c)+0))
}

// Steps writes a number of steps: "2.5".
func Steps(n float64) string { return strings.TrimSuffix(fmt.Sprintf("%.1f", n), ".0") }

// Paces writes a number of steps with its unit.
func Paces(n float64) string {
	s := Steps(n)
	if s == "1" {
		return "1 pace"
	}
	return s + " paces"
}

// Stops writes a difference: "+0.7", "−1.3", "0.0".
func Stops(x float64) string {
	s := minus(fmt.Sprintf("%+.1f", x))
	if s == "+0.0" || s == "−0.0" {
		return "0.0"
	}
	return s
}

func minus(s string) string { return strings.Replace(s, "-", "−", 1) }

// Degrees writes an angle to the degree.
func Degrees(x float64) string { return minus(fmt.Sprintf("%.0f°", math.Round(x)+0)) }

// Bearing writes a bearing to the degree, 0° to 359°.
func Bearing(x float64) string {
	return Degrees(math.Mod(math.Mod(math.Round(x), 360)+360, 360))
}
