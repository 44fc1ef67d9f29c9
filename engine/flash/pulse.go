package flash

import (
	"math"
	"time"

	"hardnoon/engine/exposure"
	"hardnoon/engine/unit"
)

// T01At returns the time a pop of that power stays above a tenth of its peak:
// what stops motion.
//
//	t(p) = t(full)·(t(least)/t(full))^(−p/range)
//
// A cut-off (IGBT) pop gets shorter at low power, a voltage-controlled one
// longer. Range: −Range ≤ power ≤ 0. Error: about a fifth between the ends.
// Source: own interpolation; ends from [BatteryHead] and [HandleFlash].
func (h Head) T01At(power unit.Stops) time.Duration {
	full := h.T01.Seconds()
	if h.Range <= 0 || h.T01Least <= 0 || full <= 0 {
		return h.T01
	}
	share := min(max(float64(-power/h.Range), 0), 1)
	return time.Duration(full * math.Pow(h.T01Least.Seconds()/full, share) * float64(time.Second))
}

// OpenShare returns the share of a pop that falls into the open time.
//
//	1 − e^(−w/τ)    τ = t0.1/ln 10
//
// The pop is taken as an exponential decay that starts when the shutter is
// fully open. A leaf or global shutter (travel 0) then stays open for w = t. A
// focal-plane shutter, of curtain travel time travel, covers the middle of the
// frame after w = t − travel/2, its edges half a travel earlier and later.
//
// Range: t > 0. Error: 0.3 stop against one metered series of a full-power
// speedlight near sync. Source: [Exponential], [Clipping].
func (h Head) OpenShare(power unit.Stops, t, travel exposure.Shutter) float64 {
	w := float64(t) - float64(travel)/2
	tau := h.T01At(power).Seconds() / math.Ln10
	switch {
	case w <= 0:
		return 0
	case tau <= 0:
		return 1
	}
	return -math.Expm1(-w / tau)
}

// ClippedFraction returns the share of a pop that is lost because the shutter
// closes too early: 1 − OpenShare.
func (h Head) ClippedFraction(power unit.Stops, t, travel exposure.Shutter) float64 {
	return 1 - h.OpenShare(power, t, travel)
}

// ClippingLoss returns the same in stops: 0 for nothing lost.
func (h Head) ClippingLoss(power unit.Stops, t, travel exposure.Shutter) unit.Stops {
	return max(0, -unit.StopsOf(h.OpenShare(power, t, travel)))
}
