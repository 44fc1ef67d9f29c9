package sky

import "math"

// Perez1993 is the all-weather sky: a pattern of relative luminance.
//
//	l(ζ, γ) = (1 + a exp(b/cos ζ)) (1 + c exp(d γ) + e cos² γ)
//
// ζ is the zenith angle of the element, γ its angle from the sun, in radian.
// Source: [Perez1993] eq. 1.
type Perez1993 struct{ A, B, C, D, E float64 }

// Perez1993 returns the pattern of a sky with clearness p.
//
// Range: ε is held in 1 to 12.01, Δ in 0.01 to 0.6, and Δ above 0.2 for
// 1.065 < ε < 2.8, where the fit would darken the horizon below nothing; that is
// the practice of lighting simulation.
// Error: the mean of many skies; a real one with clouds in it is rougher.
// Source: [Perez1993] table 1, eqs. 6 to 8.
func (c Conditions) Perez1993(p Clearness) Perez1993 {
	p.Epsilon = min(max(p.Epsilon, 1), 12.01)
	p.Delta = min(max(p.Delta, 0.01), 0.6)
	if p.Epsilon > 1.065 && p.Epsilon < 2.8 {
		p.Delta = max(p.Delta, 0.2)
	}
	z, k := c.zenith(), &perezPattern[p.bin()]
	x := func(i int) float64 { return k[i][0] + k[i][1]*z + p.Delta*(k[i][2]+k[i][3]*z) }
	q := Perez1993{x(0), x(1), x(2), x(3), x(4)}
	if p.bin() == 0 {
		q.C = math.Exp(math.Pow(p.Delta*(k[2][0]+k[2][1]*z), k[2][2])) - k[2][3]
		q.D = -math.Exp(p.Delta*(k[3][0]+k[3][1]*z)) + k[3][2] + p.Delta*k[3][3]
	}
	return q
}

// at returns the relative luminance where the cosine of the zenith angle is
// cosZeta > 0 and the angle from the sun gamma.
func (q Perez1993) at(cosZeta, gamma float64) float64 {
	cosGamma := math.Cos(gamma)
	return max(0, (1+q.A*math.Exp(q.B/max(cosZeta, lowestCos)))*(1+q.C*math.Exp(q.D*gamma)+q.E*cosGamma*cosGamma))
}

// lowestCos keeps 1/cos ζ finite at the horizon: 0.06° above it.
const lowestCos = 1e-3

// Rows are bins of ε; the groups are a to e, each with x1 to x4.
// Source: [Perez1993] table 1.
var perezPattern = [8][5][4]float64{
	{{1.3525, -0.2576, -0.269, -1.4366}, {-0.767, 0.0007, 1.2734, -0.1233}, {2.8, 0.6004, 1.2375, 1}, {1.8734, 0.6297, 0.9738, 0.2809}, {0.0356, -0.1246, -0.5718, 0.9938}},
	{{-1.2219, -0.773, 1.4148, 1.1016}, {-0.2054, 0.0367, -3.9128, 0.9156}, {6.975, 0.1774, 6.4477, -0.1239}, {-1.5798, -0.5081, -1.7812, 0.108}, {0.2624, 0.0672, -0.219, -0.4285}},
	{{-1.1, -0.2515, 0.8952, 0.0156}, {0.2782, -0.1812, -4.5, 1.1766}, {24.7219, -13.0812, -37.7, 34.8438}, {-5, 1.5218, 3.9229, -2.6204}, {-0.0156, 0.1597, 0.4199, -0.5562}},
	{{-0.5484, -0.6654, -0.2672, 0.7117}, {0.7234, -0.6219, -5.6812, 2.6297}, {33.3389, -18.3, -62.25, 52.0781}, {-3.5, 0.0016, 1.1477, 0.1062}, {0.4659, -0.3296, -0.0876, -0.0329}},
	{{-0.6, -0.3566, -2.5, 2.325}, {0.2937, 0.0496, -5.6812, 1.8415}, {21, -4.7656, -21.5906, 7.2492}, {-3.5, -0.1554, 1.4062, 0.3988}, {0.0032, 0.0766, -0.0656, -0.1294}},
	{{-1.0156, -0.367, 1.0078, 1.4051}, {0.2875, -0.5328, -3.85, 3.375}, {14, -0.9999, -7.1406, 7.5469}, {-3.4, -0.1078, -1.075, 1.5702}, {-0.0672, 0.4016, 0.3017, -0.4844}},
	{{-1, 0.0211, 0.5025, -0.5119}, {-0.3, 0.1922, 0.7023, -1.6317}, {19, -5, 1.2438, -1.9094}, {-4, 0.025, 0.3844, 0.2656}, {1.0468, -0.3788, -2.4517, 1.4656}},
	{{-1.05, 0.0289, 0.426, 0.359}, {-0.325, 0.1156, 0.7781, 0.0025}, {31.0625, -14.5, -46.1148, 55.375}, {-7.2312, 0.405, 13.35, 0.6234}, {1.5, -0.6426, 1.8564, 0.5636}},
}
