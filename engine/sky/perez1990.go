package sky

import (
	"math"

	"hardnoon/engine/unit"
)

// Clearness is the parametrisation of a sky by [Perez1990]: ε is 1 when the sun
// is hidden and above 6 in clear air, Δ is how bright the diffuse part is.
type Clearness struct {
	Epsilon, Delta float64
}

// kPerez makes ε independent of the sun's zenith angle, which is in radian.
const kPerez = 1.041

// ClearnessOf returns ε and Δ of the direct normal and the diffuse horizontal
// irradiance.
//
//	ε = ((Ed + Ebn)/Ed + k z³)/(1 + k z³)    k = 1.041, z in radian
//	Δ = Ed m/Eo                              m of [Kasten1966]
//
// Range: ε is infinite for a sky without diffuse light and 1 for no light at all.
// Source: [Perez1990] eqs. 1 and 2.
func (c Conditions) ClearnessOf(dni, dhi unit.Irradiance) Clearness {
	kz := kPerez * math.Pow(c.zenith(), 3)
	ratio := 0.0
	if dni > 0 {
		ratio = float64(dni / dhi)
	}
	return Clearness{
		Epsilon: (1 + ratio + kz) / (1 + kz),
		Delta:   float64(dhi) * AirMassKasten1966(c.SunAltitude) / c.extraterrestrial(),
	}
}

// perezBins are the lower ends of the eight bins of ε.
var perezBins = [8]float64{1, 1.065, 1.230, 1.500, 1.950, 2.800, 4.500, 6.200}

func (p Clearness) bin() int {
	n := 0
	for n < 7 && p.Epsilon >= perezBins[n+1] {
		n++
	}
	return n
}

// Efficacy is what makes irradiance visible, lm/W.
type Efficacy struct {
	Direct  float64 // of the direct normal irradiance
	Diffuse float64 // of the diffuse horizontal irradiance
	Global  float64 // of the global horizontal irradiance, by its own fit
}

// Efficacy returns the luminous efficacy of beam, sky and both together.
//
//	direct   max(0, a + b W + c exp(5.73 z − 5) + d Δ)
//	others   a + b W + c cos z + d ln Δ
//
// W is the precipitable water in cm. Range: Δ > 0; below 0.01 that value is taken.
// Error: about 3 % for the beam, 5 % for the sky, root mean square, from memory.
// Source: [Perez1990] table 4.
func (c Conditions) Efficacy(p Clearness) Efficacy {
	i, w, z, delta := p.bin(), c.water(), c.zenith(), max(p.Delta, 0.01)
	at := func(k [4]float64, h, g float64) float64 { return max(0, k[0]+k[1]*w+k[2]*h+k[3]*g) }
	return Efficacy{
		Direct:  at(perezDirect[i], math.Exp(5.73*z-5), delta),
		Diffuse: at(perezDiffuse[i], math.Cos(z), math.Log(delta)),
		Global:  at(perezGlobal[i], math.Cos(z), math.Log(delta)),
	}
}

// PrecipitableWater returns the water in the air column above a place with the
// dew point Td, in cm.
//
//	W = exp(0.07 Td − 0.075)    Td in °C
//
// Source: [Perez1990], from memory.
func PrecipitableWater(td unit.Celsius) float64 { return math.Exp(0.07*float64(td) - 0.075) }

// Rows are bins of ε, columns a, b, c, d. Source: [Perez1990] table 4.
var perezDirect = [8][4]float64{
	{57.20, -4.55, -2.98, 117.12},
	{98.99, -3.46, -1.21, 12.38},
	{109.83, -4.90, -1.71, -8.81},
	{110.34, -5.84, -1.99, -4.56},
	{106.36, -3.97, -1.75, -6.16},
	{107.19, -1.25, -1.51, -26.73},
	{105.75, 0.77, -1.26, -34.44},
	{101.18, 1.58, -1.10, -8.29},
}

var perezDiffuse = [8][4]float64{
	{97.24, -0.46, 12.00, -8.91},
	{107.22, 1.15, 0.59, -3.95},
	{104.97, 2.96, -5.53, -8.77},
	{102.39, 5.59, -13.95, -13.90},
	{100.71, 5.94, -22.75, -23.74},
	{106.42, 3.83, -36.15, -28.83},
	{141.88, 1.90, -53.24, -14.03},
	{152.23, 0.35, -45.27, -7.98},
}

var perezGlobal = [8][4]float64{
	{96.63, -0.47, 11.50, -9.16},
	{107.54, 0.79, 1.79, -1.19},
	{98.73, 0.70, 4.40, -6.95},
	{92.72, 0.56, 8.36, -8.31},
	{86.73, 0.98, 7.10, -10.94},
	{88.34, 1.39, 6.06, -7.60},
	{78.63, 1.47, 4.93, -11.37},
	{99.65, 1.86, -4.46, -3.15},
}
