package sun

import (
	"cmp"
	"slices"
	"time"

	"hardnoon/engine/unit"
)

// Horizon is the skyline of a place: the altitude of what stands in the way,
// by azimuth. Between two points it is a straight line, and it closes around
// north. An empty Horizon is level.
type Horizon struct{ points []HorizonPoint }

// HorizonPoint is one corner of a skyline.
type HorizonPoint struct{ Azimuth, Altitude unit.Angle }

// NewHorizon returns the skyline through the given corners, in any order, or a
// *unit.RangeError. Two corners at one azimuth make a vertical edge.
func NewHorizon(points []HorizonPoint) (Horizon, error) {
	h := Horizon{slices.Clone(points)}
	for i, p := range h.points {
		for _, err := range []error{
			unit.Within("azimuth of the skyline", p.Azimuth.Degrees(), -360, 360, "°"),
			unit.Within("altitude of the skyline", p.Altitude.Degrees(), -90, 90, "°"),
		} {
			if err != nil {
				return Horizon{}, err
			}
		}
		h.points[i].Azimuth = p.Azimuth.Positive()
	}
	slices.SortStableFunc(h.points, func(a, b HorizonPoint) int { return cmp.Compare(a.Azimuth, b.Azimuth) })
	return h, nil
}

// Altitude returns how high the skyline stands at an azimuth.
func (h Horizon) Altitude(azimuth unit.Angle) unit.Angle {
	n := len(h.points)
	if n == 0 {
		return 0
	}
	az := azimuth.Positive()
	i, _ := slices.BinarySearchFunc(h.points, az, func(p HorizonPoint, az unit.Angle) int {
		if p.Azimuth <= az {
			return -1
		}
		return 1
	})
	left, right := h.points[(i+n-1)%n], h.points[i%n]
	width, into := (right.Azimuth - left.Azimuth).Positive(), (az - left.Azimuth).Positive()
	if width == 0 { // a single corner, or both at one azimuth
		return left.Altitude
	}
	return left.Altitude + (right.Altitude-left.Altitude)*into/width
}

// Crossings returns when the apparent centre of the sun comes out from behind
// the skyline (Rising) or goes behind it, between two instants. The last one
// that is not Rising is the obstructed sunset.
//
// A gap or a post that the sun passes in less than a minute may be missed: a
// quarter of a degree, half the sun's own width.
func (h Horizon) Crossings(o Observer, from, to time.Time) ([]Crossing, error) {
	k, err := trackBetween(o, from, to)
	if err != nil {
		return nil, err
	}
	return signChanges(from, to, time.Minute, func(t time.Time) float64 {
		p := k.at(t)
		return float64(p.AltitudeApparent - h.Altitude(p.Azimuth))
	}), nil
}
