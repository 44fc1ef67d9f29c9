package body

import (
	"math"

	"hardnoon/engine/geom"
	"hardnoon/engine/unit"
)

// Segment lengths as fractions of an adult's stature, from joint to joint.
//
// Source: [DrillisContini1966]. The joints of shoulder and hip lie inside the
// landmarks the source names; those offsets are judged by eye.
const (
	hipHeight     = 0.53
	chinHeight    = 0.87
	kneeHeight    = 0.285
	ankleHeight   = 0.039
	waistJoint    = 0.60  // judged
	neckBase      = 0.83  // judged
	shoulderJoint = 0.792 // acromion 0.818 less the muscle over it
	shoulderHalf  = 0.113 // half breadth 0.129 less the same
	hipHalf       = 0.048 // judged
	upperArm      = 0.172 // 0.186 from the acromion
	forearm       = 0.146
	hand          = 0.108
	foot          = 0.152
	adultHead     = 0.130
)

// HeadFraction returns the height of the head, chin to crown, over stature.
//
// Six heads at 6 years, seven at 12, then in a straight line to the adult
// fraction at 18. Range: 5 years and up. Error: a head differs by ±5 % between
// people of one age.
// Source: [DrillisContini1966] for adults; children after the artists' canon of
// heads, from memory.
func HeadFraction(years float64) float64 {
	at := func(y0, f0, y1, f1 float64) float64 { return f0 + (f1-f0)*(years-y0)/(y1-y0) }
	switch {
	case years < 12:
		return at(6, 1.0/6, 12, 1.0/7)
	case years < 18:
		return at(12, 1.0/7, 18, adultHead)
	}
	return adultHead
}

// sizes turns fractions into metres for one figure.
type sizes struct {
	body     float64 // stature an adult with this trunk would have
	girth    float64 // radii, over those of a grown athlete of 1.75 m
	head     float64 // over a head 228 mm tall
	shoulder float64 // breadth over the mean
	pelvis   float64
	sole     float64
	raise    float64 // of the shoulders: a child's neck is short, in statures
}

// A skeleton is a posed set of joints and the frames that hang on them, in the
// figure's frame.
type skeleton struct {
	sizes
	pelvis, chest, neck, skull frame
	shoulder, elbow, wrist     [2]geom.Vec
	hand                       [2]frame // z along the fingers, y out of the palm
	hip, knee, ankle           [2]geom.Vec
	foot                       [2]frame // y along the toes, z up through the instep
	pose                       Pose
}

var still = frame{geom.Vec{}, geom.East, geom.North, geom.Up}

// side is +1 for the right, −1 for the left.
func side(i int) float64 { return 1 - 2*float64(i) }

// trunk places everything but the limbs, with the middle of the hips at the
// origin.
func (k *skeleton) trunk(p Pose) {
	k.pose = p
	k.pelvis = still.turned(p.Pelvis)
	k.chest = still.turned(p.Chest)
	k.chest.o = k.pelvis.at(0, 0, (waistJoint-hipHeight)*k.body)
	half := func(a, b unit.Angle) unit.Angle { return a + (b-a)/2 }
	k.neck = still.turned(Turn{half(p.Chest.Yaw, p.Head.Yaw), half(p.Chest.Pitch, p.Head.Pitch), half(p.Chest.Roll, p.Head.Roll)})
	k.neck.o = k.chest.at(0, -0.012*k.body, (neckBase-waistJoint+k.raise)*k.body)
	k.skull = still.turned(p.Head)
	atlas := k.neck.at(0, 0.010*k.body, (chinHeight-neckBase-k.raise)*k.body+0.072*k.head)
	k.skull.o = atlas.Add(k.skull.dir(0, 0.012*k.head, 0.025*k.head))
}

// shoulderOf returns the joint of an arm that points along upper: it rises and
// comes forward with the arm, as a shoulder blade glides.
func (k *skeleton) shoulderOf(i int, upper geom.Vec) geom.Vec {
	u := upper.Unit()
	up, front, across := u.Dot(k.chest.z), u.Dot(k.chest.y), -side(i)*u.Dot(k.chest.x)
	lift := 0.030 * max(0, up+0.2)
	return k.chest.at(
		side(i)*k.body*(shoulderHalf*k.sizes.shoulder-0.35*lift-0.012*max(0, across)),
		k.body*(-0.006+0.016*front+0.012*max(0, across)),
		k.body*(shoulderJoint-waistJoint+lift+k.raise))
}

// limbs hangs arms and legs on the trunk.
func (k *skeleton) limbs() {
	for i := range 2 {
		a, l := k.pose.Arms[i], k.pose.Legs[i]
		k.shoulder[i] = k.shoulderOf(i, a.Upper)
		k.elbow[i] = k.shoulder[i].Add(a.Upper.Unit().Scale(upperArm * k.body))
		k.wrist[i] = k.elbow[i].Add(a.Lower.Unit().Scale(forearm * k.body))
		k.hand[i] = looking(k.wrist[i], a.End, a.Hint)
		k.hip[i] = k.hipOf(i)
		k.knee[i] = k.hip[i].Add(l.Upper.Unit().Scale((hipHeight - kneeHeight) * k.body))
		k.ankle[i] = k.knee[i].Add(l.Lower.Unit().Scale((kneeHeight - ankleHeight) * k.body))
		toe := l.End.Unit()
		up := l.Lower.Unit().Neg()
		up = up.Sub(toe.Scale(up.Dot(toe))).Unit()
		k.foot[i] = frame{k.ankle[i], toe.Cross(up), toe, up}
	}
}

func (k *skeleton) hipOf(i int) geom.Vec {
	return k.pelvis.at(side(i)*hipHalf*k.body*k.sizes.pelvis, 0, 0)
}

// bend returns the directions of two bones of lengths a and b that lead from a
// joint to a target, the middle joint towards the hint. A target too far is
// pointed at, one too near is met as near as the bones allow.
func bend(from, to geom.Vec, a, b float64, hint geom.Vec) (upper, lower geom.Vec) {
	d := to.Sub(from)
	dir := d.Unit()
	l := min(max(d.Norm(), math.Abs(a-b)+1e-6), (a+b)*0.9995)
	out := hint.Sub(dir.Scale(hint.Dot(dir))).Unit()
	c := (a*a + l*l - b*b) / (2 * a * l)
	elbow := dir.Scale(a * c).Add(out.Scale(a * math.Sqrt(max(0, 1-c*c))))
	return elbow.Unit(), dir.Scale(l).Sub(elbow).Unit()
}

// drop returns how far the lowest point of the figure is below the hips.
func (k *skeleton) drop() float64 {
	low := 0.0
	put := func(p geom.Vec, r float64) { low = min(low, p.Z-r) }
	for i := range 2 {
		for _, p := range k.sole(i) {
			put(p, 0)
		}
		put(k.knee[i], 0.050*k.girth)
		put(k.elbow[i], 0.034*k.girth)
		put(k.hand[i].at(0, 0, 0.6*hand*k.body), 0.018*k.girth)
		put(k.hand[i].at(0, 0, (0.93-0.35*k.pose.Arms[i].Curl)*hand*k.body), 0.006*k.girth)
	}
	put(k.pelvis.at(0, 0, 0), 0.10*k.girth)
	return low
}

// soleDrop is the height of the ankle over the ground, shod.
func (k *skeleton) soleDrop() float64 { return ankleHeight*k.body + k.sizes.sole }

// sole returns points of the outline of a shoe's sole.
func (k *skeleton) sole(i int) []geom.Vec {
	h, f := -k.soleDrop(), foot*k.body
	w := 0.030 * k.girth
	return []geom.Vec{k.foot[i].at(0, -0.25*f, h), k.foot[i].at(w, 0.55*f, h), k.foot[i].at(-w, 0.55*f, h), k.foot[i].at(0, 0.76*f, h)}
}

// Capsule is a ball drawn along a line: what the figure takes up, for quick
// questions.
type Capsule struct {
	Name   string
	A, B   geom.Vec
	Radius unit.Length
}

// capsules returns the figure's inside as capsules, a little slimmer than its
// skin.
func (k *skeleton) capsules() []Capsule {
	g, b := k.girth, k.body
	c := func(name string, p, q geom.Vec, r float64) Capsule { return Capsule{name, p, q, unit.Length(r * g)} }
	out := []Capsule{
		{"head", k.skull.at(0, -0.01*k.head, 0.045*k.head), k.skull.at(0, 0.02*k.head, -0.02*k.head), unit.Length(0.072 * k.head)},
		c("neck", k.neck.at(0, 0, 0), k.skull.at(0, -0.015*k.head, -0.03*k.head), 0.052),
		c("upper chest", k.chest.at(-0.055*b, 0, 0.165*b), k.chest.at(0.055*b, 0, 0.165*b), 0.100),
		c("chest", k.chest.at(-0.035*b, 0, 0.10*b), k.chest.at(0.035*b, 0, 0.10*b), 0.102),
		c("waist", k.chest.at(-0.022*b, 0, 0.01*b), k.chest.at(0.022*b, 0, 0.01*b), 0.092),
		c("hips", k.pelvis.at(-0.038*b*k.sizes.pelvis, 0, 0), k.pelvis.at(0.038*b*k.sizes.pelvis, 0, 0), 0.098),
	}
	for i, s := range []string{"right ", "left "} {
		h := k.hand[i]
		reach := 0.75 - 0.25*k.pose.Arms[i].Curl
		out = append(out,
			c(s+"upper arm", k.shoulder[i], k.elbow[i], 0.040),
			c(s+"forearm", k.elbow[i], k.wrist[i], 0.030),
			c(s+"hand", h.at(0, 0, 0.02), h.at(0, 0.010*k.pose.Arms[i].Curl, reach*hand*b), 0.016),
			c(s+"thigh", k.hip[i], k.knee[i], 0.058),
			c(s+"shin", k.knee[i], k.ankle[i], 0.042),
			c(s+"foot", k.foot[i].at(0, -0.12*foot*b, -0.6*k.soleDrop()), k.foot[i].at(0, 0.6*foot*b, -0.6*k.soleDrop()), 0.032),
		)
	}
	return out
}
