package motion

import (
	"math"

	"hardnoon/engine/unit"
)

// Press is the person and the camera between a cue and a picture.
type Press struct {
	Reaction  float64 // s, from an expected cue to the finger
	Reacting  float64 // s, spread of that
	Foreseen  float64 // s, spread of a press timed to a movement that is watched
	Shutter   float64 // s, from the finger to the exposure
	ShutterBy float64 // s, spread of that
}

// UsualPress is a practised adult and a camera of today.
//
// Simple reaction to light is about 190 ms, to sound 160 ms for young adults
// [Kosinski]; its spread of 40 ms, the 45 ms of a foreseen press and the 50 ± 10
// ms of the shutter are from memory. Measure your own: film a stopwatch.
var UsualPress = Press{Reaction: 0.19, Reacting: 0.04, Foreseen: 0.045, Shutter: 0.05, ShutterBy: 0.01}

// Lag returns the seconds from the moment of pressing to the picture, and how
// long before it a cue must come for somebody who waits for the cue.
func (p Press) Lag() (press, cue float64) { return p.Shutter, p.Shutter + p.Reaction }

// Spread returns one standard deviation of when the picture is taken: for a
// press on a cue, or for one timed with the movement.
//
//	σ = √(finger² + shutter²)
func (p Press) Spread(onCue bool) float64 {
	if onCue {
		return math.Hypot(p.Reacting, p.ShutterBy)
	}
	return math.Hypot(p.Foreseen, p.ShutterBy)
}

// Window returns the seconds in which a thing that moves at speed stays within
// slack, before and behind the wanted place together.
//
//	w = 2·slack/v
func Window(slack unit.Length, speed unit.Speed) float64 { return 2 * float64(slack) / float64(speed) }

// Chance returns how probably one try falls into a window, when the aim is right
// on average: the part of a normal distribution within ±w/2.
//
//	p = erf(w/(2√2·σ))
//
// A wrong mean lag makes it less. Source: the normal distribution.
func Chance(window, spread float64) float64 {
	if spread <= 0 {
		return 1
	}
	return math.Erf(window / 2 / (spread * math.Sqrt2))
}

// Tries returns how many tries make at least one hit as sure as asked.
//
//	n = ⌈ln(1 − sure)/ln(1 − p)⌉
//
// Range: 0 ≤ sure < 1; a chance of 0 needs +Inf. Source: independent trials.
func Tries(chance, sure float64) float64 {
	switch {
	case sure <= 0:
		return 0
	case chance <= 0:
		return math.Inf(1)
	case chance >= 1:
		return 1
	}
	return math.Ceil(math.Log1p(-sure)/math.Log1p(-chance) - 1e-9)
}
