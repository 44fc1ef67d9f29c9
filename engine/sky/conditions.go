package sky

import (
	"math"

	"hardnoon/engine/geom"
	"hardnoon/engine/unit"
)

// Conditions are what every sky stands in. Of the zero value only the sun has
// to be said.
type Conditions struct {
	SunAltitude unit.Angle // apparent
	SunAzimuth  unit.Angle // clockwise from true north

	Day       int           // of the year, 1 to 366; 0: the Earth at its mean distance
	Elevation unit.Length   // above sea level
	Albedo    *float64      // of the ground; nil: DefaultAlbedo
	DewPoint  *unit.Celsius // nil: 2 cm of water in the air
	Turbidity float64       // Linke's, of the clear air; 0: DefaultTurbidity
}

// DefaultAlbedo is the reflectance of a ground nobody has described: what
// lighting simulation takes. To the eye grass is darker, dry sand lighter; see
// Grounds.
const DefaultAlbedo = 0.2

// DefaultTurbidity is Linke's factor of ordinary clear air. About 2 is cold and
// very clear, 4 to 6 moist or hazy, above that polluted. From memory.
const DefaultTurbidity = 3

// defaultWater is the precipitable water of air nobody has described, in cm.
// Practice of lighting simulation.
const defaultWater = 2.0

// Check returns a *unit.RangeError for conditions that cannot be.
func (c Conditions) Check() error {
	albedo, dew := c.albedo(), 0.0
	if c.DewPoint != nil {
		dew = float64(*c.DewPoint)
	}
	for _, err := range []error{
		unit.Within("sun altitude", c.SunAltitude.Degrees(), -90, 90, "°"),
		unit.Within("sun azimuth", c.SunAzimuth.Degrees(), -360, 360, "°"),
		unit.Within("day of the year", float64(c.Day), 0, 366, ""),
		unit.Within("elevation", c.Elevation.Metres(), -500, 9000, "m"),
		unit.Within("albedo", albedo, 0, 1, ""),
		unit.Within("dew point", dew, -90, 40, "°C"),
		unit.Within("turbidity", c.turbidity(), 1, 20, ""),
	} {
		if err != nil {
			return err
		}
	}
	return nil
}

func (c Conditions) albedo() float64 {
	if c.Albedo == nil {
		return DefaultAlbedo
	}
	return *c.Albedo
}

func (c Conditions) turbidity() float64 {
	if c.Turbidity == 0 {
		return DefaultTurbidity
	}
	return c.Turbidity
}

func (c Conditions) zenith() float64 { return math.Pi/2 - c.SunAltitude.Radians() }

func (c Conditions) sun() geom.Vec { return geom.Direction(c.SunAzimuth, c.SunAltitude) }

// extraterrestrial returns the irradiance above the air on that day, W/m².
func (c Conditions) extraterrestrial() float64 {
	if c.Day == 0 {
		return SolarConstant
	}
	return SolarConstant * SunDistanceFactor(c.Day)
}

// water returns the precipitable water in cm.
func (c Conditions) water() float64 {
	if c.DewPoint == nil {
		return defaultWater
	}
	return PrecipitableWater(*c.DewPoint)
}
