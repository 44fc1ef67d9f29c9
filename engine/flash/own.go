package flash

import (
	"math"

	"hardnoon/engine/exposure"
	"hardnoon/engine/modifier"
	"hardnoon/engine/unit"
)

// How much too good guide numbers from boxes and manuals are, and what is not
// known about that. A meter found two old units 1.35 to 1.85 stops below print;
// others state 0.25 to 1. Source: [GNSpeedlight].
const (
	PrintedOptimism = 1.05 * unit.Stop
	PrintedError    = 0.8 * unit.Stop
)

// GuideNumberAt100 returns a guide number printed for another ISO, in metres at
// ISO 100. Printed in feet, multiply it by unit.Foot first.
//
//	GN₁₀₀ = GN·√(100/S)
//
// Source: [ISO1230], from memory; manuals print the same factors.
func GuideNumberAt100(gn unit.Length, iso exposure.ISO) float64 {
	return gn.Metres() * math.Sqrt(100/float64(iso))
}

// FromGuideNumber returns h as a printed guide number (m, ISO 100, full power,
// taken with that modifier) describes it. With the same modifier the figure
// stands as printed; behind any other the head is as much better than typical
// as the print says less PrintedOptimism. A head of unknown energy (0) gets the
// one that makes it typical.
func FromGuideNumber(h Head, gn float64, with modifier.Class) Head {
	class := Source{Head: h, Modifier: with}.Class()
	light := unit.StopsOf(gn*gn/(class.K*class.K)) - PrintedOptimism // over a head of 1 Ws
	if h.Energy <= 0 {
		h.Energy = unit.Energy(light.Ratio()) * unit.WattSecond
	}
	h.Efficacy = light - unit.StopsOf(h.Energy.WattSeconds())
	h.Error = PrintedError
	h.Printed, h.PrintedWith = gn, with.ID
	h.Source, h.Basis = "guide number as printed", "printed"
	return h
}
