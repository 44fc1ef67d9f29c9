package sky

import "math"

// CIE2003 is one of the fifteen standard general skies, or the traditional
// overcast sky as number 16: a pattern of relative luminance.
//
//	l(ζ, γ) = φ(ζ) f(γ)
//	φ(ζ) = 1 + a exp(b/cos ζ)
//	f(γ) = 1 + c (exp(d γ) − exp(d π/2)) + e cos² γ
//
// Source: [CIES011] eqs. 1 to 4; type 16 is (1 + 2 cos ζ)/3.
type CIE2003 int

// The types that have a name in common use.
const (
	CIEOvercast     CIE2003 = 1
	CIEUniform      CIE2003 = 5
	CIEClear        CIE2003 = 12
	CIEClearHazy    CIE2003 = 13
	CIEMoonSpencer  CIE2003 = 16 // traditional overcast
	cieTypesHighest         = CIEMoonSpencer
)

func (t CIE2003) at(cosZeta, gamma float64) float64 {
	if t == CIEMoonSpencer {
		return (1 + 2*cosZeta) / 3
	}
	k := &cieTypes[t]
	cosGamma := math.Cos(gamma)
	gradation := 1 + k[0]*math.Exp(k[1]/max(cosZeta, lowestCos))
	return gradation * (1 + k[2]*(math.Exp(k[3]*gamma)-math.Exp(k[3]*math.Pi/2)) + k[4]*cosGamma*cosGamma)
}

// a, b, c, d, e by type. Source: [CIES011] table 1.
var cieTypes = [16][5]float64{
	1:  {4, -0.70, 0, -1.0, 0},      // CIE overcast, steep gradation
	2:  {4, -0.70, 2, -1.5, 0.15},   // overcast, steep, brighter to sun
	3:  {1.1, -0.80, 0, -1.0, 0},    // overcast, moderate
	4:  {1.1, -0.80, 2, -1.5, 0.15}, // overcast, moderate, brighter to sun
	5:  {0, -1.00, 0, -1.0, 0},      // uniform
	6:  {0, -1.00, 2, -1.5, 0.15},   // partly cloudy, no gradation, brighter to sun
	7:  {0, -1.00, 5, -2.5, 0.30},   // partly cloudy, brighter circumsolar
	8:  {0, -1.00, 10, -3.0, 0.45},  // partly cloudy, clear corona
	9:  {-1, -0.55, 2, -1.5, 0.15},  // partly cloudy, obscured sun
	10: {-1, -0.55, 5, -2.5, 0.30},  // partly cloudy, brighter circumsolar
	11: {-1, -0.55, 10, -3.0, 0.45}, // white-blue, clear corona
	12: {-1, -0.32, 10, -3.0, 0.45}, // CIE clear, low turbidity
	13: {-1, -0.32, 16, -3.0, 0.30}, // CIE clear, polluted
	14: {-1, -0.15, 16, -3.0, 0.30}, // cloudless turbid, broad corona
	15: {-1, -0.15, 24, -2.8, 0.15}, // white-blue turbid, broad corona
}

// cieLevels holds, by type, the share of the light above the air that becomes
// horizontal sky light, and the luminous turbidity of the beam; above 12 the
// sun is hidden. Source: [DarulaKittler2002] table 2.
var cieLevels = [16]struct{ diffuse, turbidity float64 }{
	1:  {0.10, 45},
	2:  {0.18, 20},
	3:  {0.15, 45},
	4:  {0.22, 20},
	5:  {0.20, 45},
	6:  {0.38, 20},
	7:  {0.42, 12},
	8:  {0.41, 10},
	9:  {0.40, 12},
	10: {0.36, 10},
	11: {0.23, 4},
	12: {0.10, 2.5},
	13: {0.28, 4.5},
	14: {0.28, 5},
	15: {0.30, 4},
}
