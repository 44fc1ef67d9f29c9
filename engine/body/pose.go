package body

import (
	"math"

	"hardnoon/engine/geom"
	"hardnoon/engine/unit"
)

// Turn is how a part of the trunk is turned: first to the figure's right by
// Yaw, then bent forward by Pitch, then leaned to its right by Roll.
type Turn struct{ Yaw, Pitch, Roll unit.Angle }

// Limb is an arm or a leg as directions in the figure's own frame: x to its
// right, y where it faces, z up.
type Limb struct {
	Upper, Lower geom.Vec // along upper arm and forearm, or thigh and shin
	End          geom.Vec // where fingers or toes point
	Hint         geom.Vec // where the palm, or the knee, faces
	Curl         float64  // of the fingers: 0 flat, 1 a fist
}

const (
	Right = iota
	Left
)

// Pose is an attitude of a right-handed figure, free of its size.
type Pose struct {
	Name                string
	Pelvis, Chest, Head Turn // against the figure's frame, each by itself
	Arms, Legs          [2]Limb
	Rise                float64 // of the lowest point over the ground, in statures
	Chair               Chair
}

// Chair is what carries a seated figure.
type Chair int

const (
	NoChair Chair = iota
	Bench
	Wheelchair
)

// Mirrored returns the pose of the other hand.
func (p Pose) Mirrored() Pose {
	side := func(t Turn) Turn { return Turn{-t.Yaw, t.Pitch, -t.Roll} }
	flip := func(v geom.Vec) geom.Vec { v.X = -v.X; return v }
	limb := func(l Limb) Limb { return Limb{flip(l.Upper), flip(l.Lower), flip(l.End), flip(l.Hint), l.Curl} }
	q := p
	q.Pelvis, q.Chest, q.Head = side(p.Pelvis), side(p.Chest), side(p.Head)
	q.Arms = [2]Limb{limb(p.Arms[Left]), limb(p.Arms[Right])}
	q.Legs = [2]Limb{limb(p.Legs[Left]), limb(p.Legs[Right])}
	return q
}

// Between returns the pose a share t of the way from a to b: directions move on
// great circles. 0 is a, 1 is b.
func Between(a, b Pose, t float64) (Pose, error) {
	if err := unit.Within("share of the way", t, 0, 1, ""); err != nil {
		return Pose{}, err
	}
	mix := func(x, y float64) float64 { return x + (y-x)*t }
	turn := func(a, b Turn) Turn {
		return Turn{a.Yaw + (b.Yaw-a.Yaw)*unit.Angle(t), a.Pitch + (b.Pitch-a.Pitch)*unit.Angle(t), a.Roll + (b.Roll-a.Roll)*unit.Angle(t)}
	}
	limb := func(a, b Limb) Limb {
		return Limb{slerp(a.Upper, b.Upper, t), slerp(a.Lower, b.Lower, t), slerp(a.End, b.End, t), slerp(a.Hint, b.Hint, t), mix(a.Curl, b.Curl)}
	}
	p := a
	if t >= 0.5 {
		p.Name, p.Chair = b.Name, b.Chair
	}
	p.Pelvis, p.Chest, p.Head = turn(a.Pelvis, b.Pelvis), turn(a.Chest, b.Chest), turn(a.Head, b.Head)
	for i := range p.Arms {
		p.Arms[i], p.Legs[i] = limb(a.Arms[i], b.Arms[i]), limb(a.Legs[i], b.Legs[i])
	}
	p.Rise = mix(a.Rise, b.Rise)
	return p, nil
}

// slerp turns unit vector a towards b by a share of the angle between them; of
// two opposite ones it takes the way over the front.
func slerp(a, b geom.Vec, t float64) geom.Vec {
	a, b = a.Unit(), b.Unit()
	angle := float64(a.AngleTo(b))
	if angle > math.Pi-1e-3 {
		over := geom.North
		if math.Abs(a.Y) > 0.9 {
			over = geom.Up
		}
		if t < 0.5 {
			return slerp(a, over, 2*t)
		}
		return slerp(over, b, 2*t-1)
	}
	if angle < 1e-9 {
		return a
	}
	s := math.Sin(angle)
	return a.Scale(math.Sin((1-t)*angle) / s).Add(b.Scale(math.Sin(t*angle) / s)).Unit()
}

// Movement is a path of poses through time.
type Movement struct {
	Name string
	Keys []Key
}

// Key is a pose at a moment of a movement, 0 to 1.
type Key struct {
	At   float64
	Pose string
}

// Movements are the paths this package knows.
//
// Timing is common practice, no source: the share of the whole that each phase
// takes.
var Movements = []Movement{
	{"throw", []Key{{0, "draw-back"}, {0.6, "release"}, {1, "follow-through"}}},
	{"kick", []Key{{0, "kick back-swing"}, {0.55, "kick"}, {1, "stand"}}},
	{"toss", []Key{{0, "ready"}, {0.5, "toss"}, {1, "stand"}}},
	{"start", []Key{{0, "sprint start"}, {0.5, "sprint drive"}, {1, "run"}}},
	{"javelin", []Key{{0, "javelin carry"}, {0.6, "javelin draw"}, {1, "release"}}},
}

// PoseAt returns the pose at a share of the movement, 0 to 1.
func (m Movement) PoseAt(t float64) (Pose, error) {
	if err := unit.Within("share of the movement", t, 0, 1, ""); err != nil {
		return Pose{}, err
	}
	for i := 1; i < len(m.Keys); i++ {
		a, b := m.Keys[i-1], m.Keys[i]
		if t <= b.At {
			p, _ := PoseNamed(a.Pose)
			q, _ := PoseNamed(b.Pose)
			return Between(p, q, (t-a.At)/(b.At-a.At))
		}
	}
	return Pose{}, unit.Within("keys of the movement", float64(len(m.Keys)), 2, 100, "")
}

// PoseNamed returns the pose of that name.
func PoseNamed(name string) (Pose, bool) {
	for _, p := range poses() {
		if p.Name == name {
			return p, true
		}
	}
	return Pose{}, false
}
