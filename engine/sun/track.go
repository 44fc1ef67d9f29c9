package sun

import (
	"math"
	"time"

	"hardnoon/engine/unit"
)

// Track returns positions for one observer much faster than At when the times
// asked for are near each other, in any order.
//
// Where the sun stands among the stars changes slowly: it is computed as At
// does once a day of terrestrial time and interpolated by a cubic through the
// four days around. The turning of the Earth, parallax and refraction are
// computed in full for each instant.
//
// Error against At: below 1e-6° (largest seen 2e-7°).
// A Track remembers the last four days, so one goroutine uses it at a time.
type Track struct {
	sinF, cosF  float64 // of the latitude
	lon         float64 // rad
	x, y        float64 // arms of the parallax
	air         Air
	day         float64 // the second of the four nodes; NaN before the first use
	nodes       [4]node
	monthFrom   int64 // Unix time; ΔT is constant within a month
	monthTo     int64
	deltaT      float64 // days
	first, last int64   // Unix time: the years the algorithm is made for
}

// node is the sun for one day at noon, terrestrial time.
type node struct {
	x, y, z  float64 // unit vector: equinox, 90° of right ascension, north pole
	equinox  float64 // equation of the equinoxes, rad
	parallax float64 // sine of the horizontal parallax
}

// NewTrack returns the track for an observer, or a *unit.RangeError.
func NewTrack(o Observer) (*Track, error) {
	if err := o.Check(); err != nil {
		return nil, err
	}
	k := &Track{
		lon: o.Lon.Radians(), air: o.air(), day: math.NaN(),
		first: time.Date(FirstYear, 1, 1, 0, 0, 0, 0, time.UTC).Unix(),
		last:  time.Date(LastYear, 1, 1, 0, 0, 0, 0, time.UTC).Unix() - 1,
	}
	k.sinF, k.cosF = math.Sincos(o.Lat.Radians())
	k.x, k.y = parallaxArms(o)
	if o.DeltaT != nil {
		k.deltaT = o.DeltaT.Seconds() / 86400
		k.monthFrom, k.monthTo = math.MinInt64, math.MaxInt64
	}
	return k, nil
}

// At returns where the sun stands at the instant t; see the function At.
func (k *Track) At(t time.Time) (Position, error) {
	if s := t.Unix(); s < k.first || s > k.last {
		return Position{}, checkTime(t)
	}
	return k.at(t), nil
}

func (k *Track) at(t time.Time) Position {
	m, west, z, sinXi := k.equatorial(t)
	m -= k.x * sinXi
	z -= k.y * sinXi
	south, up := m*k.sinF-z*k.cosF, m*k.cosF+z*k.sinF
	e0 := math.Atan2(up, math.Sqrt(south*south+west*west)) * (180 / math.Pi)
	az := math.Atan2(-west, -south)
	if az < 0 {
		az += 2 * math.Pi
	}
	return Position{
		AltitudeTrue:     degrees(e0),
		AltitudeApparent: degrees(e0 + refraction(e0, k.air)),
		Azimuth:          unit.Angle(az),
	}
}

// altitude returns the sine of the sun's altitude as almanacs define rise and
// set: without atmosphere, seen from the centre of the Earth.
func (k *Track) altitude(t time.Time) float64 {
	m, _, z, _ := k.equatorial(t)
	return m*k.cosF + z*k.sinF
}

// afterNoon is negative in the half of the sky before the meridian, positive
// behind it.
func (k *Track) afterNoon(t time.Time) float64 {
	_, west, _, _ := k.equatorial(t)
	return west
}

// equatorial returns the geocentric unit vector to the sun in the frame of the
// observer's meridian (towards the meridian on the equator, west, north pole)
// and the sine of the horizontal parallax.
func (k *Track) equatorial(t time.Time) (m, west, z, sinXi float64) {
	if s := t.Unix(); s < k.monthFrom || s >= k.monthTo {
		year, month, _ := t.UTC().Date()
		k.monthFrom = time.Date(year, month, 1, 0, 0, 0, 0, time.UTC).Unix()
		k.monthTo = time.Date(year, month+1, 1, 0, 0, 0, 0, time.UTC).Unix()
		k.deltaT = DeltaT(t).Seconds() / 86400
	}
	d := days(t)
	n := k.interpolate(d + k.deltaT)
	sin, cos := math.Sincos(radians(siderealTime(d)) + n.equinox + k.lon)
	return n.x*cos + n.y*sin, n.x*sin - n.y*cos, n.z, n.parallax
}

// interpolate returns the cubic through the four nodes around jde.
func (k *Track) interpolate(jde float64) node {
	day := math.Floor(jde)
	switch day {
	case k.day:
	case k.day + 1: // forward or back by one, three of the four stay
		copy(k.nodes[:], k.nodes[1:])
		k.nodes[3] = nodeAt(day + 2)
	case k.day - 1:
		copy(k.nodes[1:], k.nodes[:])
		k.nodes[0] = nodeAt(day - 1)
	default:
		for i := range k.nodes {
			k.nodes[i] = nodeAt(day + float64(i-1))
		}
	}
	k.day = day
	p := jde - day
	w0 := -p * (p - 1) * (p - 2) / 6
	w1 := (p + 1) * (p - 1) * (p - 2) / 2
	w2 := -(p + 1) * p * (p - 2) / 2
	w3 := (p + 1) * p * (p - 1) / 6
	a, b, c, d := &k.nodes[0], &k.nodes[1], &k.nodes[2], &k.nodes[3]
	return node{
		x:        w0*a.x + w1*b.x + w2*c.x + w3*d.x,
		y:        w0*a.y + w1*b.y + w2*c.y + w3*d.y,
		z:        w0*a.z + w1*b.z + w2*c.z + w3*d.z,
		equinox:  w0*a.equinox + w1*b.equinox + w2*c.equinox + w3*d.equinox,
		parallax: w0*a.parallax + w1*b.parallax + w2*c.parallax + w3*d.parallax,
	}
}

func nodeAt(jde float64) node {
	e := geocentric(jde)
	sinA, cosA := math.Sincos(radians(e.Alpha))
	sinD, cosD := math.Sincos(radians(e.Delta))
	return node{
		x: cosD * cosA, y: cosD * sinA, z: sinD,
		equinox:  radians(e.DeltaPsi * math.Cos(radians(e.Epsilon))),
		parallax: math.Sin(radians(8.794 / (3600 * e.R))),
	}
}
