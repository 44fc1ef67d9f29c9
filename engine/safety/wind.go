package safety

import (
	"math"

	"hardnoon/engine/unit"
)

// WindReport is wind at 10 m in the open, as weather stations and forecasts
// give it. A nil figure was not said; a report without a gust is not a report
// of no gusts.
type WindReport struct {
	Mean *unit.Speed // over ten minutes; over two in American reports
	Gust *unit.Speed // 3-second peak
}

// GustSource says where a gust comes from.
type GustSource int

const (
	NoWind   GustSource = iota // nothing was said
	Reported                   // the report's gust
	FromMean                   // made of the mean
)

// Gust is a peak at stand height.
type Gust struct {
	Speed unit.Speed
	From  GustSource
}

// GustOverMean is the gust two metres up over the mean wind at ten. Open grass
// gives 1.193 [EN1991]. Error: 1.13 in a suburb, 1.46 at the sea.
const GustOverMean = 1.2

// GustAtStand returns the gust to expect at a stand.
//
//	max(gust, 1.2·mean)
//
// The reported gust is taken as it is, although it is of ten metres: what lies
// between roofs and trees blows as hard. Own rule after [EN1991].
func (w WindReport) GustAtStand() (Gust, error) {
	var out Gust
	for _, x := range []struct {
		what   string
		v      *unit.Speed
		factor unit.Speed
		from   GustSource
	}{{"mean wind", w.Mean, GustOverMean, FromMean}, {"gust", w.Gust, 1, Reported}} {
		if x.v == nil {
			continue
		}
		if err := unit.Within(x.what, x.v.MetresPerSecond(), 0, 120, "m/s"); err != nil {
			return Gust{}, err
		}
		if v := *x.v * x.factor; v >= out.Speed {
			out = Gust{v, x.from}
		}
	}
	return out, nil
}

// Terrain is how rough the ground upwind is.
type Terrain struct {
	Name    string
	Z0, Min unit.Length // roughness length; below Min nothing changes any more
}

// Terrains returns the categories of EN 1991-1-4 table 4.1, sea to town.
// Source: [EN1991], from memory.
func Terrains() []Terrain {
	return []Terrain{
		{"sea", 0.003 * unit.Metre, 1 * unit.Metre},
		{"lake or flat land", 0.01 * unit.Metre, 1 * unit.Metre},
		{"grass, open field", 0.05 * unit.Metre, 2 * unit.Metre},
		{"suburb or trees", 0.3 * unit.Metre, 5 * unit.Metre},
		{"town", 1 * unit.Metre, 10 * unit.Metre},
	}
}

// Roughness returns the mean wind at height z over the basic wind: the
// ten-minute mean at 10 m over open grass.
//
//	c_r = 0.19·(z0/0.05)^0.07·ln(z/z0)
//
// Source: [EN1991] eq. 4.4, 4.5, from memory.
func (t Terrain) Roughness(z unit.Length) float64 {
	return 0.19 * math.Pow(float64(t.Z0)/0.05, 0.07) * math.Log(float64(max(z, t.Min)/t.Z0))
}

// Turbulence returns the intensity of turbulence at height z.
//
//	I_v = 1/ln(z/z0)
//
// Source: [EN1991] eq. 4.7 with k_I and c_o of 1, from memory.
func (t Terrain) Turbulence(z unit.Length) float64 {
	return 1 / math.Log(float64(max(z, t.Min)/t.Z0))
}

// PeakOverMean returns the gust over the mean at the same height z.
//
//	√(1 + 7·I_v)
//
// Source: [EN1991] eq. 4.8, from memory.
func (t Terrain) PeakOverMean(z unit.Length) float64 { return math.Sqrt(1 + 7*t.Turbulence(z)) }

// PeakOverBasic returns the gust at height z over the basic wind.
func (t Terrain) PeakOverBasic(z unit.Length) float64 { return t.Roughness(z) * t.PeakOverMean(z) }

// GustFactor returns the peak of a mean over t seconds over the mean of an hour.
//
//	1.277 + 0.296·tanh(0.9·log10(45/t))
//
// Range: 1 ≤ t ≤ 3600, else NaN. Source: [Durst1960] as fitted in the Coastal Engineering
// Manual, from memory. Stations inland see more: 1.66 for 3 s in 10 min
// (WMO/TD-1555, from memory) against 1.44.
func GustFactor(t float64) float64 {
	if !(t >= 1 && t <= 3600) {
		return math.NaN()
	}
	return 1.277 + 0.296*math.Tanh(0.9*math.Log10(45/t))
}

// beaufort holds the least speed of each force in tenths of a metre a second.
// Source: [FMH1] table 5-1 and its metric equivalents.
var beaufort = [...]float64{0, 3, 16, 34, 55, 80, 108, 139, 172, 208, 245, 285, 327}

var beaufortNames = [...]string{"calm", "light air", "light breeze", "gentle breeze", "moderate breeze", "fresh breeze", "strong breeze",
	"near gale", "gale", "strong gale", "storm", "violent storm", "hurricane"}

// Beaufort returns the force of a wind, 0 to 12, and its name. The scale is
// made for means over ten minutes, to a tenth of a metre a second.
func Beaufort(v unit.Speed) (force int, name string) {
	tenths := math.Round(10 * v.MetresPerSecond())
	for force < 12 && tenths >= beaufort[force+1] {
		force++
	}
	return force, beaufortNames[force]
}

// BeaufortSpeed returns the wind in the middle of a force.
//
//	v = 0.836·B^1.5
//
// Source: from memory.
func BeaufortSpeed(force float64) unit.Speed {
	return unit.Speed(0.836 * math.Pow(force, 1.5))
}
