package sun

import (
	"time"

	"hardnoon/engine/unit"
)

// Skyline is how high what stands in the way reaches, by azimuth: that of
// package site, or any other; nil is level.
type Skyline func(azimuth unit.Angle) unit.Angle

// Crossings returns when the apparent centre of the sun comes out from behind
// the skyline (Rising) or goes behind it, between two instants. The last one
// that is not Rising is the obstructed sunset.
//
// A gap or a post that the sun passes in less than a minute may be missed: a
// quarter of a degree, half the sun's own width.
func (s Skyline) Crossings(o Observer, from, to time.Time) ([]Crossing, error) {
	if s == nil {
		s = func(unit.Angle) unit.Angle { return 0 }
	}
	k, err := trackBetween(o, from, to)
	if err != nil {
		return nil, err
	}
	return signChanges(from, to, time.Minute, func(t time.Time) float64 {
		p := k.at(t)
		return float64(p.AltitudeApparent - s(p.Azimuth))
	}), nil
}
