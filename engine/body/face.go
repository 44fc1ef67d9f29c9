package body

import (
	"math"

	"hardnoon/engine/geom"
	"hardnoon/engine/unit"
)

// FaceFrame is where a face is and where it looks.
type FaceFrame struct {
	Eyes      [2]geom.Vec // the figure's right, then left
	Centre    geom.Vec    // between the eyes
	Gaze      geom.Vec    // straight ahead of the head
	Up, Right geom.Vec    // Right is the figure's
	Cheeks    [2]geom.Vec
	Forehead  geom.Vec
	Chin      geom.Vec
}

// Face returns the frame of the face.
func (b *Body) Face() FaceFrame {
	d := b.headPen()
	w := func(x, y, z float64) geom.Vec { return b.world(d.p(x, y, z)) }
	i, j := 1.0, -1.0
	right := b.worldDir(d.f.x)
	if b.LeftHanded { // the mirror swaps the sides
		i, j = j, i
		right = right.Neg()
	}
	front := eyeDepth + eyeRadius
	return FaceFrame{
		Eyes:     [2]geom.Vec{w(i*eyeApart, front, eyeHeight), w(j*eyeApart, front, eyeHeight)},
		Centre:   w(0, front, eyeHeight),
		Gaze:     b.worldDir(d.f.y),
		Up:       b.worldDir(d.f.z),
		Right:    right,
		Cheeks:   [2]geom.Vec{w(i*43, 76, -12), w(j*43, 76, -12)},
		Forehead: w(0, 92, 48),
		Chin:     w(0, 90, -84),
	}
}

// BrimShadow returns how far below its edge's root a flat brim of a length
// shades an upright face, with the sun at an altitude and turned from the
// face by an azimuth.
//
//	z = L tan h / cos A
//
// A sun at 90° or more from the front passes the brim by: the answer is 0, the
// shadow falls beside the face.
// Range: 0 ≤ h < 90°. Source: own derivation.
func BrimShadow(brim unit.Length, altitude, fromFront unit.Angle) (unit.Length, error) {
	if err := unit.Within("brim", brim.Metres(), 0, 1, "m"); err != nil {
		return 0, err
	}
	if err := unit.Within("altitude of the sun", altitude.Degrees(), 0, 89.999, "°"); err != nil {
		return 0, err
	}
	if err := unit.Within("azimuth of the sun from the front", fromFront.Degrees(), -360, 360, "°"); err != nil {
		return 0, err
	}
	c := fromFront.Cos()
	if c < 1e-9 {
		return 0, nil
	}
	return brim * unit.Length(altitude.Tan()/c), nil
}

// Shade says what keeps the sun off a place.
type Shade int

const (
	Sunlit Shade = iota
	InBrim       // in the shadow of brim, helmet or cage
	InSelf       // in that of nose, brow, hair or body
	Turned       // it faces away
)

func (s Shade) String() string {
	return [...]string{"sunlit", "in the brim's shadow", "in its own shadow", "turned away"}[min(max(s, 0), Turned)]
}

// FaceLight is how the sun meets a face: shares of its area from hairline to
// chin and ear to ear, which add up to 1, and single places.
type FaceLight struct {
	Sun, Brim, Self, Away float64
	Eyes, Cheeks          [2]Shade   // the figure's right, then left
	Gaze                  unit.Angle // between the gaze and the sun; the smaller, the more they squint
}

// FaceLight returns how the sun from a direction meets the face.
//
// The face is sampled at some 400 points of its own surface; each share is good
// to about 0.02.
func (b *Body) FaceLight(sun geom.Vec) (FaceLight, error) {
	if err := unit.Within("length of the direction to the sun", sun.Norm(), 1e-9, 1e12, ""); err != nil {
		return FaceLight{}, err
	}
	dir := b.ownDir(sun).Unit()
	out := FaceLight{Gaze: b.k.skull.y.AngleTo(dir)}
	face := &b.solids[0]
	var area [4]float64
	total := 0.0
	for _, p := range b.facePoints(face) {
		area[b.shadeAt(p.at, p.normal, dir)] += p.area
		total += p.area
	}
	out.Sun, out.Brim, out.Self, out.Away = area[Sunlit]/total, area[InBrim]/total, area[InSelf]/total, area[Turned]/total
	d := b.headPen()
	for i := range 2 {
		x := side(i)
		if b.LeftHanded {
			x = -x
		}
		eye := d.p(x*eyeApart, eyeDepth+eyeRadius+1.5, eyeHeight)
		out.Eyes[i] = b.shadeAt(eye, d.f.y, dir)
		out.Cheeks[i] = Turned
		from, in := d.p(x*90, 130, -14), d.f.dir(-x*0.55, -0.83, 0)
		if t, ok := march(face, from, in.Unit(), 0.3*b.k.head); ok {
			p := from.Add(in.Unit().Scale(t))
			_, g := face.gradient(p, 0.001, nil)
			out.Cheeks[i] = b.shadeAt(p, g.Unit(), dir)
		}
	}
	return out, nil
}

// shadeAt tells what keeps the sun off a point of the skin.
func (b *Body) shadeAt(p, normal, sun geom.Vec) Shade {
	out := p.Add(normal.Scale(0.002))
	switch {
	case normal.Dot(sun) <= 0:
		return Turned
	case b.hits(out, sun, true):
		return InBrim
	case b.hits(out, sun, false):
		return InSelf
	}
	return Sunlit
}

// headPen points at places of the grown head.
func (b *Body) headPen() pen { return pen{f: b.k.skull, mm: b.k.head / 1000, lower: 1} }

type facePoint struct {
	at, normal geom.Vec
	area       float64
}

// facePoints lays a grid of directions over the front of the head and finds the
// skin along each from outside.
func (b *Body) facePoints(face *solid) []facePoint {
	const steps = 24
	d := b.headPen()
	axis := d.p(0, 20, 0)
	var out []facePoint
	for i := range steps {
		for j := range steps {
			// Cylinder about the head's upright axis: from chin to hairline, ear to
			// ear.
			az := (float64(i)+0.5)/steps*140 - 70
			z := (float64(j)+0.5)/steps*148 - 92
			s, c := math.Sincos(az * math.Pi / 180)
			from, in := axis.Add(d.f.dir(160*s*d.mm, 160*c*d.mm, z*d.mm)), d.f.dir(-s, -c, 0)
			t, ok := march(face, from, in, 0.16*b.k.head)
			if !ok {
				continue
			}
			p := from.Add(in.Scale(t))
			_, g := face.gradient(p, 0.001, nil)
			n := g.Unit()
			facing := -n.Dot(in)
			if facing < 0.15 {
				continue // an edge seen along its own plane, as under the chin
			}
			out = append(out, facePoint{p, n, (160*d.mm - t) / facing})
		}
	}
	return out
}

// hits reports whether a ray meets brim, crown or cage (gear) or else the rest
// of the figure.
func (b *Body) hits(from, dir geom.Vec, gear bool) bool {
	for i := range b.solids {
		s := &b.solids[i]
		isGear := s.part == BrimPart || s.part == HeadgearPart || s.part == Cage
		if isGear != gear || s.part == EyeWhite || s.part == Iris {
			continue
		}
		lo, hi := s.bounds()
		if missesBox(from, dir, lo, hi) {
			continue
		}
		if _, ok := march(s, from, dir, 2.5); ok {
			return true
		}
	}
	return false
}

func missesBox(o, d, lo, hi geom.Vec) bool {
	near, far := 0.0, math.Inf(1)
	for _, a := range [3][4]float64{{o.X, d.X, lo.X, hi.X}, {o.Y, d.Y, lo.Y, hi.Y}, {o.Z, d.Z, lo.Z, hi.Z}} {
		if a[1] == 0 {
			if a[0] < a[2] || a[0] > a[3] {
				return true
			}
			continue
		}
		t0, t1 := (a[2]-a[0])/a[1], (a[3]-a[0])/a[1]
		near, far = max(near, min(t0, t1)), min(far, max(t0, t1))
	}
	return near > far
}

// march walks along a ray by the distance to the surface and returns where it
// meets it.
func march(s *solid, from, dir geom.Vec, far float64) (float64, bool) {
	const close = 2e-4 // m
	t := 0.0
	for range 200 {
		d := s.distance(from.Add(dir.Scale(t)), nil)
		if d < close {
			return t, true
		}
		t += d * 0.8 // flat shapes and folds overstate a little
		if t > far {
			return 0, false
		}
	}
	return t, true
}
