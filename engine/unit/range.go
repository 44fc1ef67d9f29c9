package unit

import (
	"fmt"
	"math"
	"strconv"
	"strings"
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
	n := func(x float64) string { return plain(x, e.Unit) }
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

// plain writes x as people do: digits without an exponent, a true minus, a long
// time in minutes or hours.
func plain(x float64, u string) string {
	if u == "s" {
		switch a := math.Abs(x); {
		case a >= 2*3600:
			x, u = x/3600, "h"
		case a >= 600:
			x, u = x/60, "min"
		}
	}
	text := "infinite"
	if !math.IsInf(x, 0) {
		// Six figures are more than anybody sets.
		short, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 6, 64), 64)
		text = strconv.FormatFloat(short, 'f', -1, 64) + spaced(u)
	}
	if t, ok := strings.CutPrefix(text, "-"); ok {
		return "−" + t
	}
	return text
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
