package spectrum

import "math"

// Matrix is a linear change of colour coordinates; rows first.
type Matrix [3][3]float64

// Times returns m·v.
func (m Matrix) Times(v [3]float64) [3]float64 {
	var r [3]float64
	for i := range m {
		r[i] = m[i][0]*v[0] + m[i][1]*v[1] + m[i][2]*v[2]
	}
	return r
}

// Linear sRGB and XYZ, both with Y = 1 for white. Source: [IEC61966-2-1].
var (
	XYZFromSRGB = Matrix{{0.4124, 0.3576, 0.1805}, {0.2126, 0.7152, 0.0722}, {0.0193, 0.1192, 0.9505}}
	SRGBFromXYZ = Matrix{{3.2406, -1.5372, -0.4986}, {-0.9689, 1.8758, 0.0415}, {0.0557, -0.2040, 1.0570}}
)

// LinearRGB returns the colour as linear sRGB of luminance 1; a component that
// the primaries cannot make is 0.
//
// White is D65, so that a picture "balanced for daylight" at 6500 K shows it
// neutral; Adapt first for another balance.
func (c Chromaticity) LinearRGB() [3]float64 {
	rgb := SRGBFromXYZ.Times(c.XYZ(1))
	for i := range rgb {
		rgb[i] = max(0, rgb[i])
	}
	y := XYZFromSRGB.Times(rgb)[1]
	for i := range rgb {
		rgb[i] /= y
	}
	return rgb
}

// bradford turns XYZ into sharpened cone responses. Source: the Bradford
// transform of CIECAM97s; read in public colour-science code.
var (
	bradford        = Matrix{{0.8951, 0.2664, -0.1614}, {-0.7502, 1.7135, 0.0367}, {0.0389, -0.0685, 1.0296}}
	bradfordInverse = bradford.inverse()
)

// Adapt returns the matrix that turns XYZ seen under the white from into the XYZ
// that looks alike under the white to.
func Adapt(from, to Chromaticity) Matrix {
	a, b := bradford.Times(from.XYZ(1)), bradford.Times(to.XYZ(1))
	var m Matrix
	for i := range m {
		for j := range m {
			for k := range m {
				m[i][j] += bradfordInverse[i][k] * b[k] / a[k] * bradford[k][j]
			}
		}
	}
	return m
}

func (m Matrix) inverse() Matrix {
	c := func(i, j int) float64 { // cofactor of row i, column j
		a, b, d, e := (i+1)%3, (i+2)%3, (j+1)%3, (j+2)%3
		return m[a][d]*m[b][e] - m[a][e]*m[b][d]
	}
	det := m[0][0]*c(0, 0) + m[0][1]*c(0, 1) + m[0][2]*c(0, 2)
	var r Matrix
	for i := range m {
		for j := range m {
			r[j][i] = c(i, j) / det
		}
	}
	return r
}

// Encode returns the sRGB signal 0 to 1 of a linear component.
//
//	12.92 v up to 0.0031308, 1.055 v^(1/2.4) − 0.055 above
//
// Source: [IEC61966-2-1].
func Encode(v float64) float64 {
	switch {
	case !(v > 0):
		return 0
	case v >= 1:
		return 1
	case v <= 0.0031308:
		return 12.92 * v
	}
	return 1.055*math.Pow(v, 1/2.4) - 0.055
}
