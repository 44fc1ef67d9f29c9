package scene

import (
	"math"

	"hardnoon/engine/geom"
	"hardnoon/engine/unit"
)

// Form is the kind of a solid.
type Form int

const (
	Sphere   Form = iota // At is its centre, Size.X its radius
	Disc                 // At is its centre, Facing its normal, Size.X its radius
	Panel                // a rectangle: At is its centre, Facing its normal, Size.X wide, Size.Y tall
	Cylinder             // stands upright on At: Size.X its radius, Size.Z its height, closed
	Box                  // stands on At: Size across, along and up, turned by Bearing
)

// Solid is a simple closed shape, or a flat thing seen from both sides.
type Solid struct {
	Name     string
	Form     Form
	At       geom.Vec
	Size     geom.Vec   // metres, see Form
	Facing   geom.Vec   // for Disc and Panel
	Bearing  unit.Angle // for Box: where its y side points
	Material int
	// Passes is the share of light that goes straight through, as through a
	// wire fence or leaves: 0 to 1. Each ray either passes or does not.
	Passes float64
}

// A shape is a primitive that is no triangle, as the tracer sees it.
type shape struct {
	kind            shapeKind
	normal          Vec32 // of a disc or parallelogram
	material, light int32
	owner           int32
	passes          uint32 // of 2³² rays
	facet           int32  // of a moving triangle: its mover
}

type shapeKind int32

const (
	ball     shapeKind = iota // a: centre; b.X: radius
	plate                     // a: centre; b: normal; c.X: radius
	parallel                  // a: corner; b, c: sides
	tube                      // a: middle of the foot; b.X: radius; b.Y: height
	moving                    // a triangle as the shutter opens
)

func (s *Scene) addShape(kind shapeKind, a, b, c geom.Vec, normal geom.Vec, material int, light int) {
	s.entries = append(s.entries, entry{To32(a), To32(b), To32(c), ^int32(len(s.shapes))})
	s.shapes = append(s.shapes, shape{kind, To32(normal), int32(material), int32(light), s.owner(), 0, -1})
}

func (s *Scene) addSolid(b *Solid) error {
	if err := checkPoint(b.Name, b.At); err != nil {
		return err
	}
	if err := s.checkMaterial(b.Material); err != nil {
		return err
	}
	size := func(name string, x float64) error { return unit.Within(b.Name+" "+name, x, 1e-4, farthest, "m") }
	if err := unit.Within(b.Name+" light passed", b.Passes, 0, 1, ""); err != nil {
		return err
	}
	first := len(s.shapes)
	defer func() {
		share := b.Passes
		if b.Form == Box || b.Form == Cylinder { // in by one side, out by another
			share = math.Sqrt(share)
		}
		for i := first; i < len(s.shapes); i++ {
			s.shapes[i].passes = uint32(share * math.MaxUint32)
		}
	}()
	facing := b.Facing.Unit()
	if facing == (geom.Vec{}) {
		facing = geom.Up
	}
	switch b.Form {
	case Sphere:
		if err := size("radius", b.Size.X); err != nil {
			return err
		}
		s.addShape(ball, b.At, geom.Vec{X: b.Size.X}, geom.Vec{}, geom.Vec{}, b.Material, -1)
	case Disc:
		if err := size("radius", b.Size.X); err != nil {
			return err
		}
		s.addShape(plate, b.At, facing, geom.Vec{X: b.Size.X}, facing, b.Material, -1)
	case Panel:
		if err := size("width", b.Size.X); err != nil {
			return err
		}
		if err := size("height", b.Size.Y); err != nil {
			return err
		}
		across := geom.Up.Cross(facing)
		if across.Norm() < 1e-6 {
			across = geom.East
		}
		across = across.Unit()
		upright := facing.Cross(across)
		s.addPanel(b.At, across.Scale(b.Size.X/2), upright.Scale(b.Size.Y/2), facing, b.Material, -1)
	case Cylinder:
		if err := size("radius", b.Size.X); err != nil {
			return err
		}
		if err := size("height", b.Size.Z); err != nil {
			return err
		}
		s.addShape(tube, b.At, geom.Vec{X: b.Size.X, Y: b.Size.Z}, geom.Vec{}, geom.Vec{}, b.Material, -1)
		for _, z := range []float64{0, b.Size.Z} {
			n := geom.Up
			if z == 0 {
				n = n.Neg()
			}
			s.addShape(plate, b.At.Add(geom.Vec{Z: z}), n, geom.Vec{X: b.Size.X}, n, b.Material, -1)
		}
	case Box:
		for _, x := range []struct {
			name string
			of   float64
		}{{"width", b.Size.X}, {"length", b.Size.Y}, {"height", b.Size.Z}} {
			if err := size(x.name, x.of); err != nil {
				return err
			}
		}
		along := geom.Direction(b.Bearing, 0)
		across := along.Cross(geom.Up)
		x, y, z := across.Scale(b.Size.X/2), along.Scale(b.Size.Y/2), geom.Up.Scale(b.Size.Z/2)
		centre := b.At.Add(z)
		for _, f := range [][3]geom.Vec{{x, y, z}, {y, z, x}, {z, x, y}} {
			for _, side := range []float64{1, -1} {
				n := f[2].Scale(side)
				s.addPanel(centre.Add(n), f[0], f[1], n.Unit(), b.Material, -1)
			}
		}
	default:
		return unit.Within(b.Name+" form", float64(b.Form), float64(Sphere), float64(Box), "")
	}
	return nil
}

// addPanel adds the parallelogram around centre spanned by half sides x and y.
func (s *Scene) addPanel(centre, x, y, normal geom.Vec, material, light int) {
	s.addShape(parallel, centre.Sub(x).Sub(y), x.Scale(2), y.Scale(2), normal, material, light)
}

// addEmitter puts the front of light i into the world.
func (s *Scene) addEmitter(i int) {
	l := &s.Lights[i]
	switch l.Outline {
	case Ball:
		s.addShape(ball, l.At, geom.Vec{X: float64(l.radius)}, geom.Vec{}, geom.Vec{}, -1, i)
	case Rect:
		s.addPanel(l.At, l.across.To64(), l.upright.To64(), l.axis.To64(), -1, i)
	default:
		s.addShape(plate, l.At, l.axis.To64(), geom.Vec{X: float64(l.radius)}, l.axis.To64(), -1, i)
	}
}
