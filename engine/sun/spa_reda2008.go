package sun

import (
	"math"
	"time"
)

// sunSemidiameter and horizonRefraction are the conventions behind −0.8333°,
// the altitude of the sun's centre at sunrise and sunset.
// Source: [SPA2008] appendix A.2.
const (
	sunSemidiameter   = 0.26667 // °
	horizonRefraction = 0.5667  // °
)

// earth holds what depends on the instant alone, in the letters of the source;
// angles in degrees, distances in astronomical units.
type earth struct {
	JCE, JME     float64    // Julian ephemeris century and millennium
	L, B, R      float64    // heliocentric longitude, latitude, distance
	Theta, Beta  float64    // geocentric longitude and latitude of the sun
	X            [5]float64 // arguments of nutation
	DeltaPsi     float64    // nutation in longitude
	DeltaEpsilon float64    // nutation in obliquity
	Epsilon0     float64    // mean obliquity, in arcseconds
	Epsilon      float64    // true obliquity
	DeltaTau     float64    // aberration
	Lambda       float64    // apparent longitude
	Alpha, Delta float64    // geocentric right ascension and declination
}

// geocentric follows [SPA2008] sections 3.2 to 3.7, 3.9 and 3.10 for jde, the
// days of terrestrial time since 2000-01-01 12:00.
func geocentric(jde float64) earth {
	var e earth
	e.JCE = jde / 36525
	e.JME = e.JCE / 10

	// 3.2: where the Earth stands, seen from the sun.
	e.L = turn(series(earthL, e.JME) * (180 / math.Pi))
	e.B = series(earthB, e.JME) * (180 / math.Pi)
	e.R = series(earthR, e.JME)

	// 3.3: the sun seen from the Earth is the opposite direction.
	e.Theta = turn(e.L + 180)
	e.Beta = -e.B

	// 3.4: nutation.
	t := e.JCE
	e.X = [5]float64{
		297.85036 + t*(445267.111480+t*(-0.0019142+t/189474)), // elongation of the moon
		357.52772 + t*(35999.050340+t*(-0.0001603-t/300000)),  // anomaly of the sun
		134.96298 + t*(477198.867398+t*(0.0086972+t/56250)),   // anomaly of the moon
		93.27191 + t*(483202.017538+t*(-0.0036825+t/327270)),  // latitude argument of the moon
		125.04452 + t*(-1934.136261+t*(0.0020708+t/450000)),   // node of the moon
	}
	var x [5]float64
	for j := range x {
		x[j] = radians(e.X[j])
	}
	for i := range nutation {
		n := &nutation[i]
		sin, cos := math.Sincos(n.y[0]*x[0] + n.y[1]*x[1] + n.y[2]*x[2] + n.y[3]*x[3] + n.y[4]*x[4])
		e.DeltaPsi += (n.a + n.b*t) * sin
		e.DeltaEpsilon += (n.c + n.d*t) * cos
	}
	e.DeltaPsi /= 36e6
	e.DeltaEpsilon /= 36e6

	// 3.5: obliquity of the ecliptic.
	u := e.JME / 10
	e.Epsilon0 = 84381.448 + u*(-4680.93+u*(-1.55+u*(1999.25+u*(-51.38+u*(-249.67+
		u*(-39.05+u*(7.12+u*(27.87+u*(5.79+u*2.45)))))))))
	e.Epsilon = e.Epsilon0/3600 + e.DeltaEpsilon

	// 3.6 and 3.7: aberration, and with it the apparent longitude.
	e.DeltaTau = -20.4898 / (3600 * e.R)
	e.Lambda = e.Theta + e.DeltaPsi + e.DeltaTau

	// 3.9 and 3.10: equatorial coordinates.
	sinL, cosL := math.Sincos(radians(e.Lambda))
	sinE, cosE := math.Sincos(radians(e.Epsilon))
	sinB, cosB := math.Sincos(radians(e.Beta))
	e.Alpha = turn(math.Atan2(sinL*cosE-sinB/cosB*sinE, cosL) * (180 / math.Pi))
	e.Delta = math.Asin(sinB*cosE+cosB*sinE*sinL) * (180 / math.Pi)
	return e
}

// series sums Σᵢ τⁱ Σ A cos(B + C τ) and scales it.
func series(tables [][]term, tau float64) float64 {
	total := 0.0
	for i := len(tables) - 1; i >= 0; i-- {
		sum := 0.0
		for _, t := range tables[i] {
			sum += t.A * math.Cos(t.B+t.C*tau)
		}
		total = total*tau + sum
	}
	return total * 1e-8
}

// siderealTime returns the mean sidereal time at Greenwich in degrees for d
// days of universal time since 2000-01-01 12:00.
//
// Source: [SPA2008] eq. 28; whole turns are taken out first so that no digits
// are lost.
func siderealTime(d float64) float64 {
	jc := d / 36525
	_, part := math.Modf(d)
	return turn(280.46061837 + 360*part + 0.98564736629*d + jc*jc*(0.000387933-jc/38710000))
}

// steps holds the intermediate and final values for one observer, in the
// letters of the source; degrees.
type steps struct {
	earth
	JD, JDE                           float64 // Julian day and ephemeris day
	JC                                float64 // Julian century
	Nu0, Nu                           float64 // mean and apparent sidereal time
	H                                 float64 // local hour angle
	Xi                                float64 // horizontal parallax
	DeltaAlpha                        float64 // parallax in right ascension
	AlphaPrime, DeltaPrime, HPrime    float64 // topocentric place
	E0, DeltaE, E, Zenith, Gamma, Phi float64 // true altitude, refraction, apparent altitude, zenith angle, azimuth from south, azimuth
}

// spa follows [SPA2008] section 3 for d days of universal time since
// 2000-01-01 12:00 and ΔT in seconds.
//
// Differs: the true altitude comes from an arc tangent instead of an arc sine,
// which would lose digits near the zenith.
func spa(d, deltaT float64, o Observer) steps {
	jde := d + deltaT/86400
	s := steps{earth: geocentric(jde), JD: 2451545 + d, JDE: 2451545 + jde, JC: d / 36525}

	// 3.8 and 3.11: sidereal time and the hour angle at the observer.
	s.Nu0 = siderealTime(d)
	s.Nu = s.Nu0 + s.DeltaPsi*math.Cos(radians(s.Epsilon))
	s.H = turn(s.Nu + o.Lon.Degrees() - s.Alpha)

	// 3.12: parallax moves the sun from where the Earth's centre sees it.
	s.Xi = 8.794 / (3600 * s.R)
	x, y := parallaxArms(o)
	sinXi := math.Sin(radians(s.Xi))
	sinH, cosH := math.Sincos(radians(s.H))
	sinD, cosD := math.Sincos(radians(s.Delta))
	dAlpha := math.Atan2(-x*sinXi*sinH, cosD-x*sinXi*cosH)
	s.DeltaAlpha = dAlpha * (180 / math.Pi)
	s.AlphaPrime = s.Alpha + s.DeltaAlpha
	s.DeltaPrime = math.Atan2((sinD-y*sinXi)*math.Cos(dAlpha), cosD-x*sinXi*cosH) * (180 / math.Pi)

	// 3.13: topocentric hour angle.
	s.HPrime = s.H - s.DeltaAlpha

	// 3.14 and 3.15: horizontal coordinates.
	sinF, cosF := math.Sincos(o.Lat.Radians())
	sinD, cosD = math.Sincos(radians(s.DeltaPrime))
	sinH, cosH = math.Sincos(radians(s.HPrime))
	south := cosH*cosD*sinF - sinD*cosF
	west := sinH * cosD
	s.E0 = math.Atan2(sinF*sinD+cosF*cosD*cosH, math.Hypot(south, west)) * (180 / math.Pi)
	s.DeltaE = refraction(s.E0, o.air())
	s.E = s.E0 + s.DeltaE
	s.Zenith = 90 - s.E
	s.Gamma = turn(math.Atan2(west, south) * (180 / math.Pi))
	s.Phi = turn(s.Gamma + 180)
	return s
}

// EquationOfTime returns by how much a sundial is ahead of an even clock.
//
//	E = M − 0.0057183° − α + Δψ cos ε    M the sun's mean longitude; 4 min a degree
//
// Source: [SPA2008] appendix A.1.
func EquationOfTime(t time.Time) (time.Duration, error) {
	if err := checkTime(t); err != nil {
		return 0, err
	}
	return geocentric(days(t) + DeltaT(t).Seconds()/86400).equationOfTime(), nil
}

func (e earth) equationOfTime() time.Duration {
	j := e.JME
	m := 280.4664567 + j*(360007.6982779+j*(0.03032028+j*(1.0/49931+j*(-1.0/15300-j/2000000))))
	d := math.Remainder(m-0.0057183-e.Alpha+e.DeltaPsi*math.Cos(radians(e.Epsilon)), 360)
	return time.Duration(d * 4 * float64(time.Minute))
}

// parallaxArms returns the observer's distances from the Earth's axis and from
// the plane of the equator, in equatorial radii.
//
// Source: [SPA2008] eqs. 34 to 36.
func parallaxArms(o Observer) (x, y float64) {
	const flat = 0.99664719 // polar over equatorial radius
	h := o.Elevation.Metres() / 6378140
	sinF, cosF := math.Sincos(o.Lat.Radians())
	sinU, cosU := math.Sincos(math.Atan2(flat*sinF, cosF))
	return cosU + h*cosF, flat*sinU + h*sinF
}

// refraction returns how far the atmosphere lifts the sun, in degrees, for the
// true altitude e in degrees. Below the altitude of sunset it is 0: the source
// lets it end there.
//
//	Δe = P/1010 · 283/(273 + T) · 1.02/(60 tan(e + 10.3/(e + 5.11)))
//
// Error: 0.07′ at standard air above 15°, says the formula's author; unbounded
// near the horizon in real weather.
// Source: [SPA2008] eq. 42.
func refraction(e float64, air Air) float64 {
	if e < -(sunSemidiameter + horizonRefraction) {
		return 0
	}
	return air.Pressure.Hectopascals() / 1010 * 283 / (273 + float64(air.Temperature)) *
		1.02 / (60 * math.Tan(radians(e+10.3/(e+5.11))))
}
