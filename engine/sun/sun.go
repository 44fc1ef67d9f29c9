// Package sun answers where the sun stands, when it rises and sets, and how far
// a compass needle points beside true north.
//
// Angles are topocentric: seen from the observer, not from the centre of the
// Earth. Azimuth runs clockwise from true north, altitude upwards from the
// horizontal plane. True altitude is that of the sun's centre without an
// atmosphere; apparent altitude is where refraction shows it. Latitude is
// geodetic, positive north; longitude is positive east.
//
// Sources: the Solar Position Algorithm [SPA2008] for positions and for the
// definition of sunrise, polynomials [EspenakMeeus2006] for ΔT, the World
// Magnetic Model [WMM2025] for the needle.
//
// Left out: the moon, the dip of the horizon seen from a height, and weather in
// the refraction near the horizon, which can move sunset by a minute or more.
package sun

import (
	"math"
	"time"

	"hardnoon/engine/geom"
	"hardnoon/engine/unit"
)

// Air is what refraction depends on.
type Air struct {
	Pressure    unit.Pressure // at the observer, not reduced to sea level; 0 is no atmosphere
	Temperature unit.Celsius
}

// StandardAir is what At takes when nothing else is said, at every elevation:
// a convention for comparable figures. At 5,000 m, where the pressure is about
// half, it overstates the refraction by as much; that is 0.01° at an altitude
// of 45° and a quarter of a degree at the horizon.
var StandardAir = Air{1013.25 * unit.Hectopascal, 12}

// Observer is where the sun is looked at from. The zero value stands on the
// equator at the prime meridian, at sea level, in StandardAir.
type Observer struct {
	Lat, Lon  unit.Angle
	Elevation unit.Length    // above the ellipsoid
	Air       *Air           // nil is StandardAir
	DeltaT    *time.Duration // TT − UT; nil is DeltaT(t)
}

// The years the algorithm is made for, inclusive of the first and exclusive of
// the last. Source: [SPA2008], abstract.
const (
	FirstYear = -2000
	LastYear  = 6000
)

// Check returns a *unit.RangeError for an observer that cannot be.
func (o Observer) Check() error {
	air := o.air()
	dt := 0.0
	if o.DeltaT != nil {
		dt = o.DeltaT.Seconds()
	}
	for _, err := range []error{
		unit.Within("latitude", o.Lat.Degrees(), -90, 90, "°"),
		unit.Within("longitude", o.Lon.Degrees(), -180, 180, "°"),
		unit.Within("elevation", o.Elevation.Metres(), -500, 20000, "m"),
		unit.Within("air pressure", air.Pressure.Hectopascals(), 0, 1100, "hPa"),
		unit.Within("air temperature", float64(air.Temperature), -90, 60, "°C"),
		unit.Within("ΔT", dt, -100000, 100000, "s"),
	} {
		if err != nil {
			return err
		}
	}
	return nil
}

func (o Observer) air() Air {
	if o.Air == nil {
		return StandardAir
	}
	return *o.Air
}

func (o Observer) deltaT(t time.Time) time.Duration {
	if o.DeltaT == nil {
		return DeltaT(t)
	}
	return *o.DeltaT
}

func checkTime(t time.Time) error {
	return unit.Within("year", float64(t.UTC().Year()), FirstYear, LastYear-1, "")
}

// Position is where the sun stands for an observer.
type Position struct {
	AltitudeTrue     unit.Angle // of the centre, without atmosphere
	AltitudeApparent unit.Angle // of the centre, lifted by refraction
	Azimuth          unit.Angle // clockwise from true north, 0 ≤ A < 360°
}

// Direction returns the unit vector towards the apparent sun.
func (p Position) Direction() geom.Vec { return geom.Direction(p.Azimuth, p.AltitudeApparent) }

// Shadow returns how long a shadow an upright thing of height h throws on level
// ground, and whether there is one: the sun must be up.
//
//	s = h / tan(apparent altitude)
func (p Position) Shadow(h unit.Length) (unit.Length, bool) {
	if p.AltitudeApparent <= 0 {
		return 0, false
	}
	return h / unit.Length(p.AltitudeApparent.Tan()), true
}

// At returns where the sun stands at the instant t.
//
// Range: years −2000 to 6000 (proleptic Gregorian, as package time counts).
// Error: 0.0003°, says the source, plus 0.04″ for each second that ΔT is off.
// Leap seconds and UT1 − UTC (below 0.9 s, at most 0.004°) are not modelled.
// Source: [SPA2008].
func At(t time.Time, o Observer) (Position, error) {
	if err := checkTime(t); err != nil {
		return Position{}, err
	}
	if err := o.Check(); err != nil {
		return Position{}, err
	}
	s := spa(days(t), o.deltaT(t).Seconds(), o)
	return Position{
		AltitudeTrue:     degrees(s.E0),
		AltitudeApparent: degrees(s.E),
		Azimuth:          degrees(s.Phi).Positive(),
	}, nil
}

// days returns the time since 2000-01-01 12:00 UT in days. Counted from there,
// and not from the start of the Julian period, a float64 resolves microseconds.
func days(t time.Time) float64 {
	const j2000 = 946728000 // Unix time
	return (float64(t.Unix()-j2000) + float64(t.Nanosecond())*1e-9) / 86400
}

func degrees(d float64) unit.Angle { return unit.Angle(d) * unit.Degree }
func radians(d float64) float64    { return d * (math.Pi / 180) }

// turn reduces an angle in degrees to 0 ≤ d < 360.
func turn(d float64) float64 {
	d = math.Mod(d, 360)
	if d < 0 {
		d += 360
	}
	return d
}
