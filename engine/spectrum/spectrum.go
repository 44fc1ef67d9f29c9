// Package spectrum answers what colour a light has and what a gel makes of it.
//
// Colours are CIE 1931 2° chromaticities and correlated colour temperatures;
// differences of temperature are counted in mired, in which a gel's shift is
// the same for every lamp. RGB is linear, with the primaries of sRGB and its
// white D65.
//
// Sources: daylight locus [CIE15], Planckian locus [Kang2002], temperature from
// chromaticity [McCamy1992] and [HernandezAndres1999], sRGB [IEC61966-2-1],
// adaptation by the Bradford matrix.
//
// Left out: spectra; metamerism of gels, skin and cloth; the green-magenta axis
// of fluorescent light.
package spectrum

import (
	"math"

	"hardnoon/engine/unit"
)

// Chromaticity is a colour without its amount, CIE 1931 2° x and y.
type Chromaticity struct{ X, Y float64 }

// D65 and D50 are the white points of pictures and of print.
// Source: [CIE15], five digits.
var (
	D65 = Chromaticity{0.31272, 0.32903}
	D50 = Chromaticity{0.34567, 0.35850}
)

// XYZ returns the tristimulus values of an amount of light (its Y).
func (c Chromaticity) XYZ(amount float64) [3]float64 {
	return [3]float64{c.X / c.Y * amount, amount, (1 - c.X - c.Y) / c.Y * amount}
}

// Part is an amount of light of one colour.
type Part struct {
	Amount float64 // lx, cd/m², or any other photometric amount
	Colour Chromaticity
}

// Mix returns the colour of lights falling together. Mixing is linear in XYZ,
// not in temperature. No light at all gives D65.
func Mix(parts ...Part) Chromaticity {
	var x, y, z float64
	for _, p := range parts {
		t := p.Colour.XYZ(p.Amount)
		x, y, z = x+t[0], y+t[1], z+t[2]
	}
	if s := x + y + z; s > 0 {
		return Chromaticity{x / s, y / s}
	}
	return D65
}

// Daylight returns the chromaticity of a phase of daylight.
//
//	x = −4.6070e9/T³ + 2.9678e6/T² + 0.09911e3/T + 0.244063    4000–7000 K
//	x = −2.0064e9/T³ + 1.9018e6/T² + 0.24748e3/T + 0.237040    7000–25000 K
//	y = −3.000 x² + 2.870 x − 0.275
//
// Source: [CIE15].
func Daylight(t unit.Kelvin) (Chromaticity, error) {
	if err := unit.Within("colour temperature of daylight", float64(t), 4000, 25000, "K"); err != nil {
		return Chromaticity{}, err
	}
	T := float64(t)
	x := ((-4.6070e9/T+2.9678e6)/T+0.09911e3)/T + 0.244063
	if T > 7000 {
		x = ((-2.0064e9/T+1.9018e6)/T+0.24748e3)/T + 0.237040
	}
	return Chromaticity{x, -3*x*x + 2.870*x - 0.275}, nil
}

// Planckian returns the chromaticity of a black body.
//
// Range: 1667 to 25000 K. Error: 6e-4 in x and y against the exact locus.
// Source: [Kang2002].
func Planckian(t unit.Kelvin) (Chromaticity, error) {
	if err := unit.Within("temperature of a black body", float64(t), 1667, 25000, "K"); err != nil {
		return Chromaticity{}, err
	}
	T := float64(t)
	x := ((-0.2661239e9/T-0.2343589e6)/T+0.8776956e3)/T + 0.179910
	if T > 4000 {
		x = ((-3.0258469e9/T+2.1070379e6)/T+0.2226347e3)/T + 0.240390
	}
	var y float64
	switch {
	case T <= 2222:
		y = ((-1.1063814*x-1.34811020)*x+2.18555832)*x - 0.20219683
	case T <= 4000:
		y = ((-0.9549476*x-1.37418593)*x+2.09137015)*x - 0.16748867
	default:
		y = ((3.0817580*x-5.87338670)*x+3.75112997)*x - 0.37001483
	}
	return Chromaticity{x, y}, nil
}

// Natural returns the chromaticity of light of the sky or the sun: the daylight
// locus down to 4000 K, and below it the Planckian one lifted by as much as the
// two differ there. Held to 1667 and 25000 K.
func Natural(t unit.Kelvin) Chromaticity {
	t = min(max(t, 1667), 25000)
	if t >= 4000 {
		c, _ := Daylight(t)
		return c
	}
	p, _ := Planckian(t)
	d4, _ := Daylight(4000)
	p4, _ := Planckian(4000)
	return Chromaticity{p.X + d4.X - p4.X, p.Y + d4.Y - p4.Y}
}

// Temperature returns the correlated colour temperature by [McCamy1992].
//
//	n = (x − 0.3320)/(0.1858 − y)
//	T = 449 n³ + 3525 n² + 6823.3 n + 5520.33
//
// Range: 2000 to 10000 K, near the loci; error below 1.5 %. For the blue sky
// take SkyTemperature.
func (c Chromaticity) Temperature() unit.Kelvin {
	n := (c.X - 0.3320) / (0.1858 - c.Y)
	return unit.Kelvin(((449*n+3525)*n+6823.3)*n + 5520.33)
}

// SkyTemperature returns the correlated colour temperature by
// [HernandezAndres1999].
//
//	n = (x − xe)/(y − ye)
//	T = A0 + A1 exp(−n/t1) + A2 exp(−n/t2) + A3 exp(−n/t3)
//
// Range: 3000 to 800000 K; +Inf for a blue that has none. Error: 2 % up to
// 50000 K, says the source, for natural light.
func (c Chromaticity) SkyTemperature() unit.Kelvin {
	n := (c.X - 0.3366) / (c.Y - 0.1735)
	t := -949.86315 + 6253.80338*math.Exp(-n/0.92159) + 28.70599*math.Exp(-n/0.20039) + 0.00004*math.Exp(-n/0.07125)
	if t > 50000 {
		n = (c.X - 0.3356) / (c.Y - 0.1691)
		t = 36284.48953 + 0.00228*math.Exp(-n/0.07861) + 5.4535e-36*math.Exp(-n/0.01543)
	}
	return unit.Kelvin(t)
}
