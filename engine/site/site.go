// Package site holds the place: what the ground is made of, the sports ground
// painted on it, the solids that stand around, and the skyline they make.
//
// It answers: where do the lines run for a ground of this kind laid at this
// bearing; how high does each thing stand as seen from the mark; does it shade
// the mark when the sun stands there; at what height of the subject does its
// top end in the frame. The frame is that of engine/geom. A ground is drawn in
// its own plan first: x to the right of its long axis, y along it.
//
// Dimensions are those of the rule books, reflectances those of lighting
// handbooks; each row names where it comes from. Left out: slopes, crowns and
// banked tracks, painted logos, leaves that move.
package site

import (
	"math"

	"hardnoon/engine/geom"
	"hardnoon/engine/unit"
)

// farthest is how far away anything of a site may stand, metres.
const farthest = 20_000

// Place is where a thing drawn in its own plan is laid: its origin, and the
// bearing of its y axis.
type Place struct {
	Origin  geom.Vec
	Bearing unit.Angle
}

// World returns the local point of the plan point p.
func (l Place) World(p geom.Vec) geom.Vec {
	return l.Origin.Add(l.direction(p))
}

// Plan is the inverse of World.
func (l Place) Plan(w geom.Vec) geom.Vec {
	d := w.Sub(l.Origin)
	along, right := l.axes()
	return geom.Vec{X: d.Dot(right), Y: d.Dot(along), Z: d.Z}
}

func (l Place) axes() (along, right geom.Vec) {
	along = geom.Direction(l.Bearing, 0)
	return along, along.Cross(geom.Up)
}

func (l Place) direction(p geom.Vec) geom.Vec {
	along, right := l.axes()
	return right.Scale(p.X).Add(along.Scale(p.Y)).Add(geom.Up.Scale(p.Z))
}

func (l Place) check(name string) error {
	if err := checkPoint(name, l.Origin); err != nil {
		return err
	}
	return unit.Within(name+" bearing", l.Bearing.Degrees(), -720, 720, "°")
}

func checkPoint(name string, p geom.Vec) error {
	for _, c := range []struct {
		axis string
		v    float64
	}{{"east", p.X}, {"north", p.Y}, {"up", p.Z}} {
		if err := unit.Within(name+" "+c.axis, c.v, -farthest, farthest, "m"); err != nil {
			return err
		}
	}
	return nil
}

// Crossing returns the height at the subject's plane where the top of an object
// behind appears: camera at height h, subject at distance d, object of height H
// at distance D.
//
//	z = h + (H − h) d/D
//
// Range: 0 < d, 0 < D. An object in front of the subject (D < d) answers as well:
// it then hides what stands below z.
// Source: similar triangles.
func Crossing(camera, object, toSubject, toObject unit.Length) (unit.Length, error) {
	if err := checkDistances(toSubject, toObject); err != nil {
		return 0, err
	}
	if err := checkHeights(camera, object); err != nil {
		return 0, err
	}
	return camera + (object-camera)*toSubject/toObject, nil
}

// CameraHeight returns the camera height from which the top of an object of
// height H at distance D appears at height z of a subject at distance d. It is
// the inverse of Crossing. For an object behind (D > d) every lower camera puts
// the top lower still.
//
//	h = (z − H d/D) / (1 − d/D)
//
// The answer may lie below ground: then no camera height does it. A subject and
// an object at one distance are a *unit.RangeError.
func CameraHeight(crossing, object, toSubject, toObject unit.Length) (unit.Length, error) {
	if err := checkDistances(toSubject, toObject); err != nil {
		return 0, err
	}
	if err := checkHeights(crossing, object); err != nil {
		return 0, err
	}
	r := float64(toSubject / toObject)
	if err := unit.Within("distance between subject and object", math.Abs(float64(toObject-toSubject)), 1e-3, farthest, "m"); err != nil {
		return 0, err
	}
	return (crossing - object*unit.Length(r)) / unit.Length(1-r), nil
}

func checkDistances(toSubject, toObject unit.Length) error {
	if err := unit.Within("distance to the subject", toSubject.Metres(), 0.01, farthest, "m"); err != nil {
		return err
	}
	return unit.Within("distance to the object", toObject.Metres(), 0.01, farthest, "m")
}

func checkHeights(a, b unit.Length) error {
	for _, h := range []unit.Length{a, b} {
		if err := unit.Within("height", h.Metres(), -farthest, farthest, "m"); err != nil {
			return err
		}
	}
	return nil
}
