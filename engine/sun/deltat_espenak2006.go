package sun

import "time"

// DeltaT returns TT − UT, by how much an even clock is ahead of the turning
// Earth.
//
// Range: years −2000 to 6000; outside −500 to 2150 it is a parabola with an
// uncertainty of hours at the ends.
// Error: from about 2010 on the polynomial runs ahead of what was measured, by
// 5 s in 2025. That moves the sun by 0.2″.
// Source: [EspenakMeeus2006], with y = year + (month − 0.5)/12.
func DeltaT(t time.Time) time.Duration {
	year, month, _ := t.UTC().Date()
	s := deltaTSeconds(year, int(month))
	return time.Duration(s * float64(time.Second))
}

func deltaTSeconds(year, month int) float64 {
	y := float64(year) + (float64(month)-0.5)/12
	longTerm := func() float64 { u := (y - 1820) / 100; return -20 + 32*u*u }
	switch {
	case year < -500:
		return longTerm()
	case year < 500:
		return horner(y/100, 10583.6, -1014.41, 33.78311, -5.952053, -0.1798452, 0.022174192, 0.0090316521)
	case year < 1600:
		return horner((y-1000)/100, 1574.2, -556.01, 71.23472, 0.319781, -0.8503463, -0.005050998, 0.0083572073)
	case year < 1700:
		return horner(y-1600, 120, -0.9808, -0.01532, 1.0/7129)
	case year < 1800:
		return horner(y-1700, 8.83, 0.1603, -0.0059285, 0.00013336, -1.0/1174000)
	case year < 1860:
		return horner(y-1800, 13.72, -0.332447, 0.0068612, 0.0041116, -0.00037436, 0.0000121272, -0.0000001699, 0.000000000875)
	case year < 1900:
		return horner(y-1860, 7.62, 0.5737, -0.251754, 0.01680668, -0.0004473624, 1.0/233174)
	case year < 1920:
		return horner(y-1900, -2.79, 1.494119, -0.0598939, 0.0061966, -0.000197)
	case year < 1941:
		return horner(y-1920, 21.20, 0.84493, -0.076100, 0.0020936)
	case year < 1961:
		return horner(y-1950, 29.07, 0.407, -1.0/233, 1.0/2547)
	case year < 1986:
		return horner(y-1975, 45.45, 1.067, -1.0/260, -1.0/718)
	case year < 2005:
		return horner(y-2000, 63.86, 0.3345, -0.060374, 0.0017275, 0.000651814, 0.00002373599)
	case year < 2050:
		return horner(y-2000, 62.92, 0.32217, 0.005589)
	case year < 2150:
		return longTerm() - 0.5628*(2150-y)
	}
	return longTerm()
}

// horner returns c₀ + c₁x + c₂x² + …
func horner(x float64, c ...float64) float64 {
	sum := 0.0
	for i := len(c) - 1; i >= 0; i-- {
		sum = sum*x + c[i]
	}
	return sum
}
