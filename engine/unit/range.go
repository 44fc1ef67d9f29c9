package unit

import (
	"fmt"
	"math"
	"strconv"
)

// RangeError reports a quantity that lies outside what a formula is made for.
// It carries the numbers; whoever speaks to a person may say them better.
type RangeError struct {
	What     string // the quantity, in words: "latitude"
	Got      float64
	Min, Max float64 // an infinite end is no limit
	Unit     string  // "°", "m", "" ...
}

func (e *RangeError) Error() string {
	n := func(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) + spaced(e.Unit) }
	switch {
	case math.IsNaN(e.Got):
		return fmt.Sprintf("%s is not a number", e.What)
	case math.IsInf(e.Max, 1):
		return fmt.Sprintf("%s is %s; the least is %s", e.What, n(e.Got), n(e.Min))
	case math.IsInf(e.Min, -1):
		return fmt.Sprintf("%s is %s; the most is %s", e.What, n(e.Got), n(e.Max))
	}
	return fmt.Sprintf("%s is %s; it lies between %s and %s", e.What, n(e.Got), n(e.Min), n(e.Max))
}

func spaced(u string) string {
	if u == "" || u == "°" {
		return u
	}
	return " " + u
}

// Within returns a *RangeError unless min ≤ got ≤ max. NaN is never within, and
// neither is an infinite value, whatever the limits.
func Within(what string, got, min, max float64, unit string) error {
	if got >= min && got <= max && !math.IsInf(got, 0) {
		return nil
	}
	return &RangeError{what, got, min, max, unit}
}
