// Package body holds a person to be photographed: how tall at an age, in which
// pose, dressed how, reflecting how much, and shading their own face with a brim.
//
// It answers with a smooth closed surface in parts, with joints and capsules for
// quick questions, and with the share of the face that is in the sun. A figure
// is built in its own frame (x to its right, y where it faces, z up, metres) and
// placed in that of engine/geom. Proportions are those of an athlete drawn by an
// artist on measured lengths; no likeness, no disease, no age below five.
//
// Sources: [CDC2000] stature, [DrillisContini1966] segments, [ANSUR2012] head and
// eyes, [SkinRanges] and [CIE15] skin. Left out: cloth that flies, fingers that hold a thing by
// contact, a face that smiles.
package body

import (
	"math"
	"sync"

	"hardnoon/engine/geom"
	"hardnoon/engine/unit"
)

// Headgear a figure wears.
type Headgear int

const (
	Bareheaded Headgear = iota
	Cap
	Visor
	Helmet // with a cage before the face
)

// Hair of a figure.
type Hair int

const (
	Short Hair = iota
	Tail       // long, tied at the back
	NoHair
)

// Figure is a person as somebody describes them. The zero value is a grown
// athlete of mean stature, standing at the mark and facing north.
type Figure struct {
	Sex        Sex
	Age        float64     // years; 0 means 20
	Percentile float64     // of stature at that age; 0 means 50
	Stature    unit.Length // barefoot; 0 takes it from age and percentile
	LeftHanded bool
	Pose       Pose       // the zero Pose stands
	At         geom.Vec   // the ground under the middle of the hips
	Facing     unit.Angle // bearing

	Headgear Headgear
	Brim     unit.Length // how far a brim reaches; 0 means 70 mm
	Hair     Hair
	Long     bool // trousers, not shorts
	Bare     bool // a singlet, not sleeves
	Look     Look

	// Cell is the edge of a mesh cell; 0 means 14 mm. Head and hands have finer
	// ones. Cost grows with its inverse square.
	Cell unit.Length

	// Fine is how far below the crown the mesh is as fine as that; what begins
	// lower, outside a portrait say, casts its shadow in cells of 30 mm. 0: all
	// of the figure is fine.
	Fine unit.Length
}

// hiddenCell is the edge of a mesh cell of a trunk or limb that is not looked
// at. By eye.
const hiddenCell = 30 * unit.Millimetre

// coarsen makes the cells of what begins below the fine part larger.
func (b *Body) coarsen() {
	more := float64(hiddenCell / b.Cell)
	if b.Fine == 0 || more <= 1 {
		return
	}
	low := b.own(b.Joint(Crown)).Z - b.Fine.Metres()
	for i := range b.solids {
		if _, hi := b.solids[i].bounds(); hi.Z < low {
			b.solids[i].cell *= more
		}
	}
}

// Body is a figure that has been built: immutable, cheap to ask.
type Body struct {
	Figure
	stature float64
	along   geom.Vec // where it faces
	k       skeleton
	ground  float64 // of the figure's own frame
	solids  []solid
}

// Build sizes, poses and dresses the figure. Wrong numbers are a
// *unit.RangeError.
func (f Figure) Build() (*Body, error) {
	if f.Age == 0 {
		f.Age = 20
	}
	if f.Brim == 0 {
		f.Brim = 70 * unit.Millimetre
	}
	if f.Cell == 0 {
		f.Cell = 14 * unit.Millimetre
	}
	if f.Pose.Legs[0].Upper == (geom.Vec{}) {
		f.Pose, _ = PoseNamed("stand")
	}
	stature := f.Stature
	if stature == 0 {
		var err error
		if stature, err = Stature(f.Sex, f.Age, f.Percentile); err != nil {
			return nil, err
		}
	}
	for _, err := range []error{
		unit.Within("sex", float64(f.Sex), float64(Unsaid), float64(Male), ""),
		unit.Within("age", f.Age, 5, 100, "years"),
		unit.Within("stature", stature.Metres(), 0.8, 2.4, "m"),
		unit.Within("figure east", f.At.X, -20_000, 20_000, "m"),
		unit.Within("figure north", f.At.Y, -20_000, 20_000, "m"),
		unit.Within("figure up", f.At.Z, -20_000, 20_000, "m"),
		unit.Within("facing", f.Facing.Degrees(), -720, 720, "°"),
		unit.Within("brim", f.Brim.Millimetres(), 10, 200, "mm"),
		unit.Within("mesh cell", f.Cell.Millimetres(), 3, 40, "mm"),
		unit.Within("fine part of the figure", f.Fine.Metres(), 0, 10, "m"),
		unit.Within("headgear", float64(f.Headgear), float64(Bareheaded), float64(Helmet), ""),
		unit.Within("hair", float64(f.Hair), float64(Short), float64(NoHair), ""),
		f.Pose.check(),
		f.Look.check(),
	} {
		if err != nil {
			return nil, err
		}
	}
	b := &Body{Figure: f, stature: stature.Metres(), along: geom.Direction(f.Facing, 0)}
	b.k.sizes = f.sizes(b.stature)
	b.k.trunk(f.Pose)
	b.k.limbs()
	b.ground = b.k.drop() - f.Pose.Rise*b.stature
	if f.Pose.Chair == Wheelchair {
		b.ground -= footplate * b.k.body
	}
	b.dress()
	b.coarsen()
	return b, nil
}

func (p Pose) check() error {
	for _, limbs := range [][2]Limb{p.Arms, p.Legs} {
		for _, l := range limbs {
			for _, d := range []geom.Vec{l.Upper, l.Lower, l.End, l.Hint} {
				if err := unit.Within("length of a direction in the pose", d.Norm(), 1e-6, 1e6, ""); err != nil {
					return err
				}
			}
			if err := unit.Within("curl of the fingers", l.Curl, 0, 1, ""); err != nil {
				return err
			}
		}
	}
	for _, t := range []Turn{p.Pelvis, p.Chest, p.Head} {
		for _, a := range []unit.Angle{t.Yaw, t.Pitch, t.Roll} {
			if err := unit.Within("turn in the pose", a.Degrees(), -360, 360, "°"); err != nil {
				return err
			}
		}
	}
	return unit.Within("rise of the pose", p.Rise, 0, 2, "statures")
}

// sizes returns the figure's measures. Breadths by sex are judged by eye, a few
// per cent either way of the mean; children are slighter.
func (f Figure) sizes(stature float64) sizes {
	head := HeadFraction(f.Age)
	s := sizes{
		body:     stature * (1 - head) / (1 - adultHead),
		head:     stature * head / 0.228,
		shoulder: 1, pelvis: 1,
		sole:  0.020,
		raise: 0.6 * (head - adultHead),
	}
	grown := min(1, max(0, (f.Age-10)/7))
	slight := 0.90 + 0.10*grown
	s.shoulder -= 0.11 * min(1, max(0, (15-f.Age)/8))
	switch f.Sex {
	case Female:
		s.shoulder, s.pelvis = s.shoulder-0.05*grown, 1+0.06*grown
		slight -= 0.03 * grown
	case Male:
		s.shoulder, s.pelvis = s.shoulder+0.04*grown, 1-0.02*grown
	}
	s.girth = s.body / 1.75 * slight
	return s
}

// world returns the point of the world for one of the figure's own frame.
func (b *Body) world(p geom.Vec) geom.Vec {
	p.Z -= b.ground
	return b.At.Add(b.worldDir(p))
}

func (b *Body) worldDir(d geom.Vec) geom.Vec {
	if b.LeftHanded {
		d.X = -d.X
	}
	along := b.along
	return along.Cross(geom.Up).Scale(d.X).Add(along.Scale(d.Y)).Add(geom.Up.Scale(d.Z))
}

// own is the inverse of world, ownDir of worldDir.
func (b *Body) own(p geom.Vec) geom.Vec {
	d := b.ownDir(p.Sub(b.At))
	d.Z += b.ground
	return d
}

func (b *Body) ownDir(d geom.Vec) geom.Vec {
	along := b.along
	d = geom.Vec{X: d.Dot(along.Cross(geom.Up)), Y: d.Dot(along), Z: d.Z}
	if b.LeftHanded {
		d.X = -d.X
	}
	return d
}

// Stature returns the barefoot body height.
func (b *Body) Stature() unit.Length { return unit.Length(b.stature) }

// Mesh returns the surface, with part numbers as in Parts.
func (b *Body) Mesh() geom.Mesh {
	meshes := make([]geom.Mesh, len(b.solids))
	var wait sync.WaitGroup
	for i := range b.solids {
		wait.Go(func() {
			m := polygonise(&b.solids[i], int32(b.solids[i].part))
			for i := range m.Vertices {
				m.Vertices[i], m.Normals[i] = b.world(m.Vertices[i]), b.worldDir(m.Normals[i])
			}
			if b.LeftHanded { // a mirror turns every triangle over
				for i, t := range m.Triangles {
					m.Triangles[i] = [3]int32{t[0], t[2], t[1]}
				}
			}
			meshes[i] = m
		})
	}
	wait.Wait()
	return geom.Joined(meshes)
}

// Mesh builds the figure and returns its surface.
func (f Figure) Mesh() (geom.Mesh, error) {
	b, err := f.Build()
	if err != nil {
		return geom.Mesh{}, err
	}
	return b.Mesh(), nil
}

// Distance returns about how far a point is from the surface, negative inside.
// It is exact at the surface and never more than the true distance by much.
func (b *Body) Distance(p geom.Vec) unit.Length {
	p = b.own(p)
	d := math.Inf(1)
	for i := range b.solids {
		d = min(d, b.solids[i].distance(p, nil))
	}
	return unit.Length(d)
}

// Capsules returns what the figure takes up, coarsely: six for the trunk and
// head, then six a side.
func (b *Body) Capsules() []Capsule {
	out := b.k.capsules()
	for i := range out {
		out[i].A, out[i].B = b.world(out[i].A), b.world(out[i].B)
	}
	return out
}

// Joint names a place of the skeleton.
type Joint int

const (
	Hips Joint = iota
	Waist
	Neck
	Crown
	Chin
	RightShoulder
	RightElbow
	RightWrist
	RightHip
	RightKnee
	RightAnkle
	LeftShoulder
	LeftElbow
	LeftWrist
	LeftHip
	LeftKnee
	LeftAnkle
)

// Joint returns where a joint is. Right and left are those of the figure.
func (b *Body) Joint(j Joint) geom.Vec {
	k := &b.k
	switch j {
	case Hips:
		return b.world(k.pelvis.o)
	case Waist:
		return b.world(k.chest.o)
	case Neck:
		return b.world(k.neck.o)
	case Crown:
		return b.world(k.skull.at(0, -0.008*k.head, 0.131*k.head))
	case Chin:
		return b.world(k.skull.at(0, 0.075*k.head, -0.097*k.head))
	}
	i, j := Right, j-RightShoulder
	if j >= 6 {
		i, j = Left, j-6
	}
	if b.LeftHanded {
		i = 1 - i
	}
	switch j {
	case 0:
		return b.world(k.shoulder[i])
	case 1:
		return b.world(k.elbow[i])
	case 2:
		return b.world(k.wrist[i])
	case 3:
		return b.world(k.hip[i])
	case 4:
		return b.world(k.knee[i])
	}
	return b.world(k.ankle[i])
}
