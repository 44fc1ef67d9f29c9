package flash

import (
	"math"
	"time"

	"hardnoon/engine/unit"
)

// What a pop costs beside its energy. Own estimates.
const (
	leastRecycle = 0.05 // s; a 500 Ws head is printed with up to 20 pops a second [BatteryHead]
	standing     = 0.01 // of a full pop: lamp, radio and losses while waiting for the next one
)

// RecycleAt returns the time from a pop of that power to a full charge. A head
// charges at nearly constant power, so it goes with the energy.
//
//	t = max(full·2^p, 0.05 s)
//
// Error: a printed 0.1 to 1.9 s over nine stops [BatteryHead] is met at the
// full end only. Source: own derivation.
func (s Source) RecycleAt(power unit.Stops) time.Duration {
	full := s.Head.Recycle.Seconds()
	return time.Duration(max(full*min(power.Ratio(), 1), min(full, leastRecycle)) * float64(time.Second))
}

// PopsPerCharge returns how many pops of that power one charge gives.
func (s Source) PopsPerCharge(power unit.Stops) int {
	return int(float64(s.Head.Pops) * (1 + standing) / (min(power.Ratio(), 1) + standing))
}

// PopsBeforeRest returns how many pops of that power in a row the head takes
// before heat slows or locks it. Heat goes with the energy. In the sun it may
// be a tenth of that: three instead of 38 after an hour [SpeedlightHeat].
func (s Source) PopsBeforeRest(power unit.Stops) int {
	return int(float64(s.Head.HeatPops) / min(power.Ratio(), 1))
}

// SustainableRate returns how many full-light pops of that power a second the
// recycling allows.
func (s Source) SustainableRate(power unit.Stops) float64 {
	return 1 / s.RecycleAt(power).Seconds()
}

// LitFrames returns how many of a burst of frames, rate a second, get their
// full light: the head fires whenever it is charged again.
func (s Source) LitFrames(power unit.Stops, rate float64, frames int) int {
	if frames <= 0 || rate <= 0 {
		return 0
	}
	every := max(1, math.Ceil(s.RecycleAt(power).Seconds()*rate-1e-9))
	return 1 + int(float64(frames-1)/every)
}
