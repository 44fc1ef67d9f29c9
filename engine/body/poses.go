package body

import (
	"slices"
	"sync"

	"hardnoon/engine/geom"
	"hardnoon/engine/unit"
)

// A sketch is a pose being drawn on a skeleton of stature 1: where hands and
// feet are to be, in statures, and the joints follow.
type sketch struct {
	Pose
	k skeleton
}

func v(x, y, z float64) geom.Vec { return geom.Vec{X: x, Y: y, Z: z} }

// turn is a Turn in degrees.
func turn(yaw, pitch, roll float64) Turn {
	return Turn{unit.Angle(yaw) * unit.Degree, unit.Angle(pitch) * unit.Degree, unit.Angle(roll) * unit.Degree}
}

func draw(name string, pelvis, chest, head Turn) *sketch {
	s := &sketch{Pose: Pose{Name: name, Pelvis: pelvis, Chest: chest, Head: head}}
	s.k.sizes = sizes{body: 1, girth: 1 / 1.75, head: adultHead / 0.228, shoulder: 1, pelvis: 1, sole: 0.02 / 1.75}
	s.k.trunk(s.Pose)
	return s
}

// leg puts a foot down: its ankle at x right and y forward of the hips' middle
// and z above where they stand, hips at a share of their standing height; knees
// bend towards knee, toes point along toe.
func (s *sketch) leg(i int, hips float64, x, y, z float64, knee, toe geom.Vec) {
	hip := s.k.hipOf(i)
	to := v(x, y, ankleHeight+z-hipHeight*hips)
	up, low := bend(hip, to, hipHeight-kneeHeight, kneeHeight-ankleHeight, knee)
	s.Legs[i] = Limb{Upper: up, Lower: low, End: toe, Hint: knee}
}

// free swings a leg by directions.
func (s *sketch) free(i int, thigh, shin, toe geom.Vec) {
	s.Legs[i] = Limb{Upper: thigh.Unit(), Lower: shin.Unit(), End: toe.Unit(), Hint: geom.North}
}

// reach leads the wrist to a point of the chest's frame (from the waist), elbow
// towards out; fingers and palm in the figure's frame.
func (s *sketch) reach(i int, to, out, fingers, palm geom.Vec, curl float64) {
	target := s.k.chest.at(to.X, to.Y, to.Z)
	elbow := s.k.chest.dir(out.X, out.Y, out.Z)
	upper := target.Sub(s.k.chest.o)
	var lower geom.Vec
	for range 4 { // the shoulder moves with the arm
		upper, lower = bend(s.k.shoulderOf(i, upper), target, upperArm, forearm, elbow)
	}
	s.Arms[i] = Limb{upper, lower, fingers.Unit(), palm.Unit(), curl}
}

// hang moves an arm by directions; the hand goes on along the forearm.
func (s *sketch) hang(i int, upper, lower, palm geom.Vec, curl float64) {
	l := lower.Unit()
	s.Arms[i] = Limb{upper.Unit(), l, l.Add(palm.Unit().Scale(0.15)).Unit(), palm.Unit(), curl}
}

// Poses returns the poses this package knows, as a right-handed figure strikes
// them. All are drawn by eye.
func Poses() []Pose { return slices.Clone(poses()) }

var poses = sync.OnceValue(func() []Pose {
	var out []Pose
	done := func(s *sketch) { out = append(out, s.Pose) }

	// Weight on the right leg, hips and shoulders tilted against each other.
	s := draw("stand", turn(3, 0, -3), turn(-2, -1, 3), turn(-4, 0, -1))
	s.leg(Right, 0.992, 0.052, -0.008, 0, v(0.1, 1, 0), v(0.18, 1, 0))
	s.leg(Left, 0.985, -0.085, 0.035, 0, v(-0.25, 1, 0), v(-0.42, 1, 0))
	s.hang(Right, v(0.20, -0.06, -1), v(0.12, 0.20, -1), v(-1, 0.1, 0), 0.45)
	s.hang(Left, v(-0.22, -0.04, -1), v(-0.10, 0.24, -1), v(1, 0.1, 0), 0.45)
	done(s)

	s = draw("arms crossed", turn(6, 0, -3), turn(2, -3, 2), turn(-3, 2, -2))
	s.leg(Right, 0.985, 0.075, 0, 0, v(0.2, 1, 0), v(0.3, 1, 0))
	s.leg(Left, 0.985, -0.095, 0.02, 0, v(-0.2, 1, 0), v(-0.38, 1, 0))
	s.reach(Right, v(-0.072, 0.126, 0.136), v(1, 0.1, -0.40), v(-1, -0.10, 0.30), v(0.1, -1, 0), 0.25)
	s.reach(Left, v(0.030, 0.100, 0.056), v(-1, 0.0, -0.70), v(1, -0.28, 0.15), v(0, -1, 0.1), 0.55)
	done(s)

	s = draw("hands on hips", turn(-4, 0, 3), turn(2, -3, -2), turn(4, -2, 2))
	s.leg(Right, 0.985, 0.10, 0.02, 0, v(0.25, 1, 0), v(0.35, 1, 0))
	s.leg(Left, 0.99, -0.072, -0.01, 0, v(-0.1, 1, 0), v(-0.25, 1, 0))
	s.reach(Right, v(0.110, 0.022, -0.022), v(1, -0.35, 0), v(-0.45, 0.75, -0.45), v(-0.8, -0.5, 0), 0.3)
	s.reach(Left, v(-0.110, 0.022, -0.022), v(-1, -0.35, 0), v(0.45, 0.75, -0.45), v(0.8, -0.5, 0), 0.3)
	done(s)

	s = draw("reach to camera", turn(-10, 6, 0), turn(-22, 14, 2), turn(0, 2, -2))
	s.leg(Right, 0.93, 0.075, -0.16, 0, v(0.3, 1, 0), v(0.5, 1, 0))
	s.leg(Left, 0.93, -0.06, 0.17, 0, v(-0.1, 1, 0), v(-0.1, 1, 0))
	s.hang(Right, v(0.12, 1, 0.10), v(-0.02, 1, 0.12), v(-0.2, 0.25, -1), 0.15)
	s.Arms[Right].End, s.Arms[Right].Hint = v(-0.05, 0.75, 0.65).Unit(), v(0, 0.65, -0.75).Unit()
	s.hang(Left, v(-0.42, -0.35, -0.85), v(-0.1, 0.75, -0.60), v(1, 0, 0.2), 0.8)
	done(s)

	s = draw("toss", turn(4, 0, 0), turn(0, -4, 0), turn(2, -14, 0))
	s.leg(Right, 0.985, 0.075, -0.02, 0, v(0.2, 1, 0), v(0.3, 1, 0))
	s.leg(Left, 0.985, -0.085, 0.03, 0, v(-0.2, 1, 0), v(-0.3, 1, 0))
	s.hang(Right, v(0.20, 0.38, -0.9), v(-0.02, 0.80, 0.55), v(0, -0.4, 1), 0.22)
	s.hang(Left, v(-0.30, -0.05, -1), v(-0.02, 0.45, -0.9), v(1, 0, 0), 0.5)
	done(s)

	// Athletic stance.
	s = draw("ready", turn(0, 16, 0), turn(0, 30, 0), turn(0, -6, 0))
	s.leg(Right, 0.80, 0.15, 0.0, 0, v(0.35, 1, 0), v(0.3, 1, 0))
	s.leg(Left, 0.80, -0.15, 0.0, 0, v(-0.35, 1, 0), v(-0.3, 1, 0))
	s.hang(Right, v(0.35, 0.45, -0.85), v(-0.18, 0.85, 0.05), v(-0.7, 0.2, 0.7), 0.35)
	s.hang(Left, v(-0.35, 0.45, -0.85), v(0.18, 0.85, 0.05), v(0.7, 0.2, 0.7), 0.35)
	done(s)

	// Side on, weight on the back leg, the throwing arm cocked.
	s = draw("draw-back", turn(62, 0, 6), turn(78, -4, 10), turn(8, -2, 0))
	s.leg(Right, 0.93, -0.02, -0.20, 0, v(0.8, 0.5, 0), v(0.85, 0.5, 0))
	s.leg(Left, 0.93, 0.0, 0.30, 0, v(0.5, 1, 0), v(0.35, 1, 0))
	s.hang(Right, v(0.35, -0.90, 0.15), v(0.15, -0.45, 0.95), v(0.5, -0.6, -0.1), 0.75)
	s.hang(Left, v(-0.10, 0.95, 0.15), v(0.05, 0.95, 0.25), v(0.3, 0, -1), 0.3)
	done(s)

	s = draw("release", turn(-12, 10, -4), turn(-8, 14, -14), turn(-2, 0, -4))
	s.leg(Right, 0.84, 0.06, -0.36, 0.055, v(0.2, 1, -0.3), v(0.12, 0.75, -0.65))
	s.leg(Left, 0.84, -0.04, 0.30, 0, v(-0.1, 1, 0), v(-0.05, 1, 0))
	s.hang(Right, v(0.62, -0.22, 0.76), v(0.02, 0.42, 0.90), v(-0.1, 0.6, -0.75), 0.55)
	s.hang(Left, v(-0.65, -0.15, -0.7), v(0.25, 0.55, -0.35), v(0.8, -0.2, 0.3), 0.75)
	done(s)

	s = draw("follow-through", turn(-30, 22, 0), turn(-52, 46, 0), turn(-8, 12, 0))
	s.leg(Right, 0.80, 0.08, -0.42, 0.12, v(0.2, 1, -0.5), v(0.1, 0.45, -0.9))
	s.leg(Left, 0.80, -0.04, 0.24, 0, v(-0.1, 1, 0), v(-0.1, 1, 0))
	s.hang(Right, v(-0.15, 0.75, -0.60), v(-0.50, 0.50, -0.70), v(-0.3, -0.8, -0.3), 0.4)
	s.hang(Left, v(-0.80, -0.50, -0.2), v(-0.30, -0.55, -0.65), v(0.9, 0, 0), 0.5)
	done(s)

	s = draw("javelin carry", turn(8, 4, 0), turn(16, 6, 0), turn(0, 0, 0))
	s.leg(Right, 0.955, 0.05, -0.14, 0.02, v(0.1, 1, 0), v(0.1, 1, -0.2))
	s.leg(Left, 0.955, -0.05, 0.15, 0, v(-0.1, 1, 0), v(-0.1, 1, 0))
	s.hang(Right, v(0.70, 0.20, 0.25), v(-0.12, 0.12, 1), v(-0.25, 0.6, 0.9), 0.9)
	s.Arms[Right].End = v(-0.5, -0.3, 0.8).Unit()
	s.hang(Left, v(-0.36, 0.08, -0.90), v(-0.16, 0.55, -0.80), v(0.95, 0.2, -0.1), 0.6)
	done(s)

	s = draw("javelin draw", turn(55, -6, 4), turn(78, -8, 12), turn(6, -6, 0))
	s.leg(Right, 0.92, 0.0, -0.18, 0, v(0.7, 0.6, 0), v(0.8, 0.6, 0))
	s.leg(Left, 0.92, -0.02, 0.32, 0.0, v(0.2, 1, 0), v(0.2, 1, 0))
	s.hang(Right, v(0.25, -0.95, 0.12), v(0.12, -0.98, 0.18), v(0.1, 0.2, 1), 0.85)
	s.hang(Left, v(-0.25, 0.85, 0.25), v(0.5, 0.7, 0.3), v(0, -0.3, -1), 0.4)
	done(s)

	s = draw("kick back-swing", turn(14, 8, 6), turn(-22, 4, 12), turn(-2, 16, 4))
	s.free(Right, v(0.10, -0.50, -0.85), v(0.12, -0.90, 0.20), v(0.05, -0.6, -0.75))
	s.leg(Left, 0.95, -0.10, 0.10, 0, v(-0.1, 1, 0), v(-0.1, 1, 0))
	s.hang(Right, v(0.65, -0.40, -0.6), v(0.35, -0.20, -0.85), v(-0.9, 0.2, 0), 0.45)
	s.hang(Left, v(-0.85, 0.35, 0.15), v(-0.75, 0.55, 0.30), v(0.2, 0, -1), 0.3)
	done(s)

	s = draw("kick", turn(-16, -10, 6), turn(14, 6, 10), turn(2, 12, 2))
	s.free(Right, v(0.0, 0.75, -0.62), v(-0.06, 0.93, -0.20), v(0, 0.85, 0.18))
	s.leg(Left, 0.94, -0.10, -0.06, 0, v(-0.1, 1, 0), v(-0.15, 1, 0))
	s.hang(Right, v(0.75, -0.60, -0.20), v(0.50, -0.75, -0.10), v(0, 0.2, -1), 0.4)
	s.hang(Left, v(-0.55, 0.70, 0.10), v(0.25, 0.85, 0.30), v(0.2, -0.2, -1), 0.3)
	done(s)

	s = draw("leap", turn(4, 4, 0), turn(-6, 2, 0), turn(0, -10, 0))
	s.Rise = 0.22
	s.free(Right, v(0.05, 0.86, -0.32), v(0.02, 0.35, -0.90), v(0, 0.9, -0.3))
	s.free(Left, v(-0.06, -0.62, -0.75), v(-0.06, -0.95, 0.02), v(0, -0.75, -0.55))
	s.hang(Right, v(0.30, -0.10, 0.95), v(0.10, 0.12, 1), v(-0.2, 0.9, 0), 0.15)
	s.hang(Left, v(-0.65, 0.55, 0.15), v(-0.30, 0.80, 0.55), v(0.1, 0.5, -0.7), 0.3)
	done(s)

	s = draw("crouch", turn(0, 22, 0), turn(0, 34, 0), turn(0, 2, 0))
	s.leg(Right, 0.44, 0.14, 0.03, 0, v(0.6, 1, 0.2), v(0.5, 1, 0))
	s.leg(Left, 0.44, -0.14, 0.03, 0, v(-0.6, 1, 0.2), v(-0.5, 1, 0))
	s.hang(Right, v(0.25, 0.55, -0.60), v(-0.35, 0.80, 0.10), v(-0.6, -0.4, 0.5), 0.4)
	s.hang(Left, v(-0.25, 0.55, -0.60), v(0.35, 0.80, 0.10), v(0.6, -0.4, 0.5), 0.4)
	done(s)

	s = draw("kneel", turn(0, 4, 0), turn(4, 4, 0), turn(-2, 0, 0))
	s.free(Right, v(0.08, -0.05, -1), v(0.05, -1, -0.08), v(0.0, -0.25, -1))
	s.leg(Left, 0.605, -0.07, 0.22, 0, v(-0.15, 1, 0.5), v(-0.1, 1, 0))
	s.hang(Right, v(0.22, 0.0, -1), v(-0.02, 0.35, -0.9), v(-1, 0, 0), 0.5)
	s.reach(Left, v(-0.085, 0.19, -0.035), v(-1, -0.2, 0.1), v(0.3, 0.8, -0.35), v(0.1, -0.3, -0.9), 0.35)
	done(s)

	s = draw("seated", turn(0, -4, 0), turn(0, 12, 0), turn(0, 2, 0))
	s.Chair = Bench
	s.leg(Right, 0.56, 0.10, 0.22, 0, v(0.25, 1, 0.5), v(0.15, 1, 0))
	s.leg(Left, 0.56, -0.10, 0.25, 0, v(-0.25, 1, 0.5), v(-0.15, 1, 0))
	s.reach(Right, v(0.095, 0.175, 0.014), v(1, -0.2, 0.1), v(-0.35, 0.85, -0.3), v(-0.2, -0.2, -0.9), 0.35)
	s.reach(Left, v(-0.095, 0.175, 0.014), v(-1, -0.2, 0.1), v(0.35, 0.85, -0.3), v(0.2, -0.2, -0.9), 0.35)
	done(s)

	s = draw("wheelchair", turn(0, -2, 0), turn(0, 8, 0), turn(0, 0, 0))
	s.Chair = Wheelchair
	s.leg(Right, 0.60, 0.055, 0.24, 0.045, v(0.1, 1, 0.5), v(0.08, 1, -0.05))
	s.leg(Left, 0.60, -0.055, 0.24, 0.045, v(-0.1, 1, 0.5), v(-0.08, 1, -0.05))
	s.reach(Right, v(0.168, 0.055, 0.005), v(0.7, -1, 0.1), v(0.0, 0.55, -0.85), v(-1, 0, 0), 0.75)
	s.reach(Left, v(-0.168, 0.055, 0.005), v(-0.7, -1, 0.1), v(0.0, 0.55, -0.85), v(1, 0, 0), 0.75)
	done(s)

	// Set position: hips above shoulders, hands at the line.
	s = draw("sprint start", turn(0, 78, 0), turn(0, 92, 0), turn(0, 52, 0))
	s.leg(Right, 0.78, 0.05, -0.24, 0.06, v(0.1, 1, -0.5), v(0.0, 0.55, -0.85))
	s.leg(Left, 0.78, -0.05, -0.01, 0.04, v(-0.1, 1, 0), v(0.0, 0.72, -0.68))
	s.hang(Right, v(0.10, 0.10, -1), v(0.04, 0.04, -1), v(-0.4, -0.9, 0), 0.25)
	s.hang(Left, v(-0.10, 0.10, -1), v(-0.04, 0.04, -1), v(0.4, -0.9, 0), 0.25)
	done(s)

	s = draw("sprint drive", turn(-6, 46, 0), turn(8, 52, 0), turn(0, 26, 0))
	s.free(Right, v(0.05, 0.75, -0.65), v(0.02, -0.45, -0.88), v(0, 0.9, -0.45))
	s.leg(Left, 0.80, -0.04, -0.44, 0.07, v(-0.05, 1, -0.4), v(0.0, 0.55, -0.85))
	s.hang(Right, v(0.30, -0.85, 0.10), v(0.10, 0.0, -1), v(-1, 0, 0), 0.6)
	s.hang(Left, v(-0.25, 0.75, -0.25), v(0.25, 0.70, 0.65), v(1, 0, 0.1), 0.6)
	done(s)

	s = draw("run", turn(-8, 10, 0), turn(10, 12, 0), turn(0, 2, 0))
	s.free(Right, v(0.04, 0.86, -0.42), v(0.02, -0.38, -0.92), v(0, 0.95, -0.2))
	s.leg(Left, 0.93, -0.04, -0.30, 0.06, v(-0.05, 1, -0.2), v(0.0, 0.62, -0.78))
	s.hang(Right, v(0.30, -0.90, -0.35), v(0.08, 0.62, -0.70), v(-1, 0, 0), 0.6)
	s.hang(Left, v(-0.22, 0.55, -0.80), v(0.28, 0.72, 0.60), v(1, 0, 0.1), 0.6)
	done(s)

	s = draw("arms raised", turn(0, 0, 0), turn(0, -6, 0), turn(0, -10, 0))
	s.leg(Right, 0.985, 0.09, 0, 0, v(0.2, 1, 0), v(0.25, 1, 0))
	s.leg(Left, 0.985, -0.09, 0, 0, v(-0.2, 1, 0), v(-0.25, 1, 0))
	s.hang(Right, v(0.55, 0.05, 0.85), v(0.25, 0.05, 1), v(-0.3, 1, 0), 0.9)
	s.hang(Left, v(-0.55, 0.05, 0.85), v(-0.25, 0.05, 1), v(0.3, 1, 0), 0.9)
	done(s)

	return out
})
