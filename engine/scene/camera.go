package scene

import (
	"math"

	"hardnoon/engine/geom"
	"hardnoon/engine/unit"
)

// Camera is a thin lens in front of a sensor, held level.
type Camera struct {
	At, Aim                   geom.Vec
	Focal                     unit.Length
	SensorWidth, SensorHeight unit.Length // as held: taller than wide for an upright frame
	FNumber                   float64     // for depth of field only; 0: everything sharp
	Focus                     unit.Length // distance in focus, along the axis; 0: the aim
}

// unset reports a camera nobody has set, in a scene that is only asked
// who sees whom.
func (c *Camera) unset() bool { return *c == Camera{} }

func (c *Camera) check() error {
	if c.unset() {
		c.At, c.Aim = geom.Vec{Y: -5, Z: 1.5}, geom.Vec{Z: 1.5}
	}
	if c.Focal == 0 {
		c.Focal = 50 * unit.Millimetre
	}
	if c.SensorWidth == 0 && c.SensorHeight == 0 {
		c.SensorWidth, c.SensorHeight = 36*unit.Millimetre, 24*unit.Millimetre
	}
	for _, err := range []error{
		checkPoint("camera", c.At), checkPoint("camera aim", c.Aim),
		unit.Within("focal length", c.Focal.Millimetres(), 1, 5000, "mm"),
		unit.Within("sensor width", c.SensorWidth.Millimetres(), 1, 500, "mm"),
		unit.Within("sensor height", c.SensorHeight.Millimetres(), 1, 500, "mm"),
		unit.Within("distance from camera to its aim", c.Aim.Sub(c.At).Norm(), 1e-3, 2*farthest, "m"),
	} {
		if err != nil {
			return err
		}
	}
	if c.FNumber != 0 {
		if err := unit.Within("f-number", c.FNumber, 0.5, 1024, ""); err != nil {
			return err
		}
	}
	if c.Focus == 0 {
		c.Focus = unit.Length(c.Aim.Sub(c.At).Norm())
	}
	return unit.Within("focus distance", c.Focus.Metres(), 2*c.Focal.Metres(), 1e6, "m")
}

// Axes returns the unit vectors to the right of the frame, to its top, and
// along the line of sight.
func (c *Camera) Axes() (right, top, forward geom.Vec) {
	forward = c.Aim.Sub(c.At).Unit()
	right = forward.Cross(geom.Up)
	if right.Norm() < 1e-9 {
		right = geom.East
	}
	right = right.Unit()
	return right, right.Cross(forward), forward
}

// ImageDistance returns the distance from lens to sensor.
//
//	b = f s/(s − f)
//
// Source: thin lens equation.
func (c *Camera) ImageDistance() unit.Length {
	return c.Focal * c.Focus / (c.Focus - c.Focal)
}

// A Place is where something stands in the frame: 0,0 is the left top corner,
// 1,1 the right bottom one.
type Place struct {
	X, Y  float64
	Depth unit.Length // along the axis
}

// InFrame reports whether the place lies within the frame.
func (p Place) InFrame() bool { return p.X >= 0 && p.X <= 1 && p.Y >= 0 && p.Y <= 1 }

// Project returns where point p falls, and false if it is behind the camera.
func (c *Camera) Project(p geom.Vec) (Place, bool) {
	right, top, forward := c.Axes()
	d := p.Sub(c.At)
	z := d.Dot(forward)
	if z <= 1e-9 {
		return Place{Depth: unit.Length(z)}, false
	}
	b := c.ImageDistance().Metres() / z
	return Place{
		X:     0.5 + d.Dot(right)*b/c.SensorWidth.Metres(),
		Y:     0.5 - d.Dot(top)*b/c.SensorHeight.Metres(),
		Depth: unit.Length(z),
	}, true
}

// FieldOfView returns the angles across and up the frame at the focus set.
//
//	2 atan(w/2b)
func (c *Camera) FieldOfView() (across, up unit.Angle) {
	b := c.ImageDistance()
	return unit.Angle(2 * math.Atan(float64(c.SensorWidth/b)/2)), unit.Angle(2 * math.Atan(float64(c.SensorHeight/b)/2))
}
