package spectrum

import (
	"slices"

	"hardnoon/engine/unit"
)

// Gel is a colour filter by its trade-wide name.
type Gel struct {
	Name  string     // "half CTO"
	Shift unit.Mired // positive is warmer

	// Share of the light that comes through, from daylight or flash and from
	// tungsten; 0 where no figure was found.
	Daylight, Tungsten float64
}

// GelSpread is how far makers differ in what they sell under one name: one
// maker's full, half and quarter CTO are +159, +109 and +64, another's +167,
// +81 and +42. Common practice, no source for the bound.
const GelSpread unit.Mired = 15 * oneMired

const oneMired unit.Mired = 1

// Gels are generic conversion filters. Shifts and transmissions are one maker's
// printed figures, by way of public gel data; see GelSpread.
var Gels = []Gel{
	{"double CTO", 312, 0, 0},
	{"full CTO", 159, 0.554, 0.628},
	{"three-quarter CTO", 124, 0, 0},
	{"half CTO", 109, 0.708, 0.745},
	{"quarter CTO", 64, 0.791, 0.826},
	{"eighth CTO", 26, 0.852, 0.850},
	{"eighth CTB", -18, 0.813, 0.802},
	{"quarter CTB", -35, 0.693, 0.705},
	{"half CTB", -78, 0.549, 0.532},
	{"three-quarter CTB", -112, 0, 0},
	{"full CTB", -137, 0.345, 0},
	{"double CTB", -274, 0, 0},
}

// GelNamed returns the gel of that name.
func GelNamed(name string) (Gel, bool) {
	i := slices.IndexFunc(Gels, func(g Gel) bool { return g.Name == name })
	if i < 0 {
		return Gel{}, false
	}
	return Gels[i], true
}

// On returns the colour temperature of a lamp seen through the gel.
//
//	T = 10⁶/(10⁶/T0 + shift)
//
// Range: results between 1000 K and a reciprocal temperature above 0; a filter
// that would leave nothing but blue is out of range.
func (g Gel) On(lamp unit.Kelvin) (unit.Kelvin, error) {
	if err := unit.Within("colour temperature of the lamp", float64(lamp), 1000, 100000, "K"); err != nil {
		return 0, err
	}
	m := lamp.Mired() + g.Shift
	if err := unit.Within("reciprocal colour temperature behind the gel", float64(m), 1, 1000, "mired"); err != nil {
		return 0, err
	}
	return m.Kelvin(), nil
}

// Loss returns the light the gel costs on flash or daylight, and whether there
// is a figure for it.
//
//	s = −log2(transmission)
func (g Gel) Loss() (unit.Stops, bool) {
	if g.Daylight == 0 {
		return 0, false
	}
	return -unit.StopsOf(g.Daylight), true
}

// Nearest returns the gel that brings a lamp closest to the wanted colour
// temperature, and the mired still missing. No gel at all is Gel{}.
func Nearest(lamp, want unit.Kelvin) (Gel, unit.Mired) {
	need := want.Mired() - lamp.Mired()
	best := Gel{Name: "no gel"}
	for _, g := range Gels {
		if abs(need-g.Shift) < abs(need-best.Shift) {
			best = g
		}
	}
	return best, need - best.Shift
}

func abs(m unit.Mired) unit.Mired { return max(m, -m) }
