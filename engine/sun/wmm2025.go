package sun

import (
	"math"
	"time"

	"hardnoon/engine/unit"
)

// Nanotesla is a magnetic flux density.
type Nanotesla float64

// Field is the Earth's magnetic field at one place and time.
type Field struct {
	X, Y, Z     Nanotesla  // towards true north, east and down
	H, F        Nanotesla  // horizontal part, total
	Declination unit.Angle // where the needle points, clockwise from true north
	Inclination unit.Angle // how far it dips, positive down
}

// A needle is drawn by the horizontal part of the field alone. Below these the
// model's authors call a compass unreliable, and useless.
// Source: [WMM2025], caution and blackout zones.
const (
	CompassCaution  Nanotesla = 6000
	CompassBlackout Nanotesla = 2000
)

// The span the model is valid for, decimal years.
const (
	wmmFirst = 2025.0
	wmmLast  = 2030.0
)

// MagneticField returns the Earth's main field at a height above the ellipsoid.
//
// Range: 2025.0 to 2030.0, −1 to 850 km.
// Error: for the declination √(0.26² + (5417/H)²) degrees with H in nT (stated
// by the model's authors; figures from memory), from the crust and from currents
// overhead. Steel nearby adds to it without limit.
// Source: [WMM2025].
func MagneticField(t time.Time, lat, lon unit.Angle, height unit.Length) (Field, error) {
	year := decimalYear(t)
	for _, err := range []error{
		unit.Within("latitude", lat.Degrees(), -90, 90, "°"),
		unit.Within("longitude", lon.Degrees(), -180, 360, "°"),
		unit.Within("height", height.Metres(), -1000, 850e3, "m"),
		unit.Within("year for the magnetic model", year, wmmFirst, wmmLast, ""),
	} {
		if err != nil {
			return Field{}, err
		}
	}
	return field(year, lat.Radians(), lon.Radians(), height.Metres()/1000), nil
}

// decimalYear returns 2025.5 for the middle of 2025.
func decimalYear(t time.Time) float64 {
	t = t.UTC()
	first := time.Date(t.Year(), 1, 1, 0, 0, 0, 0, time.UTC)
	next := time.Date(t.Year()+1, 1, 1, 0, 0, 0, 0, time.UTC)
	return float64(t.Year()) + float64(t.Unix()-first.Unix())/float64(next.Unix()-first.Unix())
}

// field sums the spherical harmonics, height in km, angles in radians.
func field(year, lat, lon, height float64) Field {
	const (
		a      = 6371.2            // km, reference radius of the model
		big    = 6378.137          // km, WGS 84
		flat   = 1 / 298.257223563 // WGS 84
		ecc2   = flat * (2 - flat)
		degree = 12
	)
	// From geodetic to spherical latitude.
	sinF, cosF := math.Sincos(lat)
	rc := big / math.Sqrt(1-ecc2*sinF*sinF)
	p, z := (rc+height)*cosF, (rc*(1-ecc2)+height)*sinF
	r := math.Hypot(p, z)
	s, c := z/r, p/r // sine and cosine of the spherical latitude

	// Legendre functions, Schmidt semi-normalised. For m > 0 they hold a factor
	// c, which is left out so that nothing is divided by 0 at a pole.
	var q [degree + 1][degree + 1]float64
	q[0][0], q[1][0], q[1][1] = 1, s, 1
	for n := 2; n <= degree; n++ {
		q[n][n] = c * math.Sqrt(float64(2*n-1)/float64(2*n)) * q[n-1][n-1]
		for m := range n {
			below := 0.0
			if m <= n-2 {
				below = math.Sqrt(float64((n-1)*(n-1)-m*m)) * q[n-2][m]
			}
			q[n][m] = (float64(2*n-1)*s*q[n-1][m] - below) / math.Sqrt(float64(n*n-m*m))
		}
	}

	// The sum, in spherical north, east and down.
	var x, y, down float64
	dt := year - wmmFirst
	for _, k := range wmm2025 {
		n, m := float64(k.n), float64(k.m)
		g, h := k.g+dt*k.gDot, k.h+dt*k.hDot
		sinM, cosM := math.Sincos(m * lon)
		along, across := g*cosM+h*sinM, g*sinM-h*cosM
		value := q[k.n][k.m]
		slope := math.Sqrt(n*(n+1)/2) * c * q[k.n][1] // d/dlatitude
		if k.m > 0 {
			slope = -n * s * value
			if k.m < k.n {
				slope += math.Sqrt(n*n-m*m) * q[k.n-1][k.m]
			}
			y += math.Pow(a/r, n+2) * m * across * value
			value *= c
		}
		x -= math.Pow(a/r, n+2) * along * slope
		down -= math.Pow(a/r, n+2) * (n + 1) * along * value
	}

	// Back to geodetic axes.
	sinP, cosP := s*cosF-c*sinF, c*cosF+s*sinF // spherical less geodetic latitude
	x, down = x*cosP-down*sinP, x*sinP+down*cosP
	horizontal := math.Hypot(x, y)
	return Field{
		X: Nanotesla(x), Y: Nanotesla(y), Z: Nanotesla(down),
		H: Nanotesla(horizontal), F: Nanotesla(math.Hypot(horizontal, down)),
		Declination: unit.Angle(math.Atan2(y, x)),
		Inclination: unit.Angle(math.Atan2(down, horizontal)),
	}
}
