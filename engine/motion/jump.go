package motion

import (
	"math"

	"hardnoon/engine/unit"
)

// g is the standard acceleration of free fall, m/s². Exact by definition
// (ISO 80000-3); the Earth's own varies by half a percent.
const g = 9.80665

// Jump is a free flight that rises by Height: what the centre of the body does
// between leaving the ground and coming back to the same height. A jumper who
// lands crouched is in the air for longer.
type Jump struct{ Height unit.Length }

// TakeOff returns the upward speed at the start.
//
//	v = √(2gh)
func (j Jump) TakeOff() unit.Speed { return unit.Speed(math.Sqrt(2 * g * float64(j.Height))) }

// Flight returns the seconds in the air.
//
//	t = 2v/g
func (j Jump) Flight() float64 { return 2 * float64(j.TakeOff()) / g }

// Apex returns the seconds from take-off to the highest point: when to fire.
func (j Jump) Apex() float64 { return j.Flight() / 2 }

// Drop returns how far below its highest point a body is, t seconds before or
// after it.
//
//	gt²/2
func Drop(t float64) unit.Length { return unit.Length(g * t * t / 2) }

// ApexWindow returns the seconds, all around the highest point, in which a body
// is no more than drop below it. Twice the inverse of Drop, and no longer than
// the flight.
func (j Jump) ApexWindow(drop unit.Length) float64 {
	return 2 * math.Sqrt(2*float64(min(drop, j.Height))/g)
}
