package body

import (
	"math"

	"hardnoon/engine/geom"
)

// footplate is how far a wheelchair's footplates stand over the ground, in
// statures.
const footplate = 0.045

// dress builds the surface: skin where it shows, cloth around it.
func (b *Body) dress() {
	b.headShapes()
	b.trunkShapes()
	for i := range 2 {
		b.armShapes(i)
		b.legShapes(i)
		b.footShapes(i)
	}
	b.chairShapes()
}

// start begins a new solid of a part, with cells a share of the figure's.
func (b *Body) start(p Part, fine float64) *solid {
	b.solids = append(b.solids, solid{part: p, cell: b.Cell.Metres() * fine})
	return &b.solids[len(b.solids)-1]
}

func (b *Body) trunkShapes() {
	k := &b.k
	g, h := k.girth, k.body
	pw, c, p := k.sizes.pelvis, k.chest, k.pelvis

	s := b.start(Shirt, 0.8) // its hems are seen
	s.ripple, s.grain, s.calm = 0.0045, c, 0.165*h
	young := min(1, max(0, (14-b.Age)/7)) // no waist yet, and no broad hips
	b.ribs(s, 0)
	// Waist and the hem that hangs over the hips.
	s.oval(c.at(0, 0.002*g, 0.045*h), p.at(0, 0.004*g, 0.030*h), (0.128+0.016*young)*g, (0.138+0.010*young)*g*pw, 0.74+0.05*young, p.y, 0.07*g)
	s.oval(p.at(0, 0.004*g, 0.030*h), p.at(0, 0.002*g, -0.050*h), 0.146*g*pw, (0.192-0.012*young)*g*pw, 0.76, p.y, 0.05*g)
	for i := range 2 { // the seat holds the hem out
		s.egg(p, p.at(side(i)*0.072*g*pw, -0.058*g, -0.032*h), 0.092*g*pw, 0.086*g, 0.090*g, 0.06*g)
	}
	for i := range 2 { // and so does a thigh that comes forward
		thigh := looking(k.hip[i], k.knee[i].Sub(k.hip[i]), p.y)
		s.cone(thigh.at(side(i)*0.008*g, 0.002*g, 0), thigh.at(side(i)*0.008*g, 0.002*g, 0.05*h), 0.100*g, 0.104*g, 0.05*g)
	}
	s.trim(p.at(0, 0, -0.042*h), p.dir(0, -0.06, -1), 0.006)
	// The neckline: round, deeper in front, deeper still in a singlet.
	pit := k.neck.at(0, 0.052*g, 0)
	low, wide := 0.045*g, 0.070*g
	if b.Bare {
		low, wide = 0.075*g, 0.080*g
	}
	s.cone(k.neck.at(0, 0.02*g, 0.040*h), k.neck.at(0, 0.16*g, 0.035*h-low), wide, wide-0.004*g, 0.006)
	s.carve()
	s.cone(k.neck.at(0, 0, 0.034*h), k.neck.at(0, 0, 0.12*h), wide+0.004*g, 0.100*g, 0.006)
	s.carve()
	if b.Bare { // arm holes
		for i := range 2 {
			x := side(i)
			u := k.elbow[i].Sub(k.shoulder[i]).Unit()
			s.cone(k.shoulder[i].Add(c.dir(x*0.030*g, 0, 0.004*g)), k.shoulder[i].Add(c.dir(x*0.030*g, 0, 0)).Add(u.Scale(0.06*g)), 0.068*g, 0.068*g, 0.016)
			s.carve()
		}
	} else {
		for i := range 2 {
			b.sleeve(i)
		}
	}

	// The neck, and as much of the chest as a collar leaves free.
	n := b.start(Skin, 0.70)
	b.ribs(n, -0.011*g)
	n.ball(pit, 0.125*g, 0.004)
	n.shapes[len(n.shapes)-1].op = keep
	top := k.skull.at(0, -0.020*k.head, -0.030*k.head)
	slim := 1.0
	if b.Sex == Female {
		slim = 0.84
	}
	n.oval(k.neck.at(0, 0.008*g, -0.030*h), top, 0.056*g*slim, 0.047*g*slim, 1.02, k.neck.y, 0.02*g)
	for i := range 2 {
		x := side(i)
		// Sterno-mastoid from behind the ear to the pit of the neck; trapezius.
		n.cone(k.neck.at(x*0.016*g, 0.050*g, 0.008*h), k.skull.at(x*0.052*k.head, -0.024*k.head, -0.022*k.head), 0.010*g, 0.012*g, 0.022*g)
		n.cone(k.neck.at(x*0.040*g, -0.018*g, -0.004*h), k.skull.at(x*0.024*k.head, -0.055*k.head, -0.010*k.head), 0.028*g, 0.020*g, 0.030*g)
		n.cone(k.neck.at(x*0.014*g, 0.054*g, -0.004*h), k.neck.at(x*0.080*g, 0.030*g, 0.000*h), 0.010*g, 0.006*g, 0.014*g) // collar bone
	}

	for i := range 2 {
		if b.Long {
			b.trouser(i)
		} else {
			b.shorts(i)
		}
	}
}

// ribs adds the rib cage, breast, shoulder blades and the yoke of the shoulders,
// more metres thicker.
func (b *Body) ribs(s *solid, more float64) {
	k := &b.k
	g, h, sw, c := k.girth, k.body, k.sizes.shoulder, k.chest
	egg := func(f frame, at geom.Vec, rx, ry, rz, blend float64) {
		s.egg(f, at, rx*g+more, ry*g+more, rz*g+more, blend)
	}
	egg(c, c.at(0, 0.004*g, 0.100*h), 0.152*sw, 0.112, 0.205, 0)
	for i := range 2 {
		x := side(i)
		egg(c, c.at(x*0.074*g*sw, 0.064*g, 0.128*h), 0.088, 0.058, 0.078, 0.05*g)
		egg(c, c.at(x*0.078*g*sw, -0.062*g, 0.130*h), 0.080, 0.050, 0.115, 0.05*g)
		if b.Sex == Female {
			grown := min(1, max(0, (b.Age-11)/6))
			soft := 0.01 + 0.064*g*grown
			s.egg(c, c.at(x*0.070*g, 0.085*g, 0.105*h), soft+more, 0.82*soft+more, 0.97*soft+more, 0.05*g)
		}
		// From the neck down to breast and shoulder, over the trapezius.
		s.oval(k.neck.at(x*0.020*g, 0.016*g, -0.016*h), c.at(x*0.04*g, 0.055*g, 0.150*h), 0.048*g+more, 0.048*g+more, 0.9, c.y, 0.05*g)
		s.oval(k.neck.at(x*0.028*g, -0.030*g, -0.016*h), c.at(x*0.055*g, -0.052*g, 0.140*h), 0.050*g+more, 0.056*g+more, 0.85, c.y, 0.05*g)
		s.oval(k.neck.at(x*0.020*g, -0.006*g, -0.002*h), k.shoulder[i].Add(c.dir(-x*0.016*g, -0.004*g, 0.004*g)), 0.054*g+more, 0.052*g+more, 0.95, c.y, 0.06*g)
		s.oval(c.at(x*0.06*g, -0.005*g, 0.135*h), k.shoulder[i].Add(c.dir(-x*0.01*g, 0, -0.012*g)), 0.095*g+more, 0.056*g+more, 0.85, c.y, 0.05*g)
	}
}

// seat adds the waist and seat of shorts or trousers.
func (b *Body) seat(s *solid) {
	k := &b.k
	g, pw, p := k.girth, k.sizes.pelvis, k.pelvis
	s.oval(p.at(0, 0.002*g, 0.040*k.body), p.at(0, 0, -0.030*k.body), 0.120*g*pw, 0.150*g*pw, 0.74, p.y, 0)
	for i := range 2 {
		s.egg(p, p.at(side(i)*0.070*g*pw, -0.048*g, -0.036*k.body), 0.084*g*pw, 0.080*g, 0.088*g, 0.06*g)
	}
}

// shorts builds one leg of the shorts with the seat: they hang from the hip, a
// little wider than the thigh.
func (b *Body) shorts(i int) {
	k := &b.k
	g, p, x := k.girth, k.pelvis, side(i)
	thigh := looking(k.hip[i], k.knee[i].Sub(k.hip[i]), p.y)
	length := (hipHeight - kneeHeight) * k.body
	s := b.start(Shorts, 1)
	s.ripple, s.grain = 0.0040, p
	b.seat(s)
	end := thigh.at(x*0.008*g, 0, 0.66*length)
	s.cone(thigh.at(x*0.008*g, 0.002*g, 0.16*length), end, 0.090*g, 0.095*g, 0.06*g)
	s.trim(thigh.at(0, 0, 0.60*length), thigh.z, 0.005)
}

// sleeve builds a short sleeve, a solid of its own so that its open end cuts
// nothing else.
func (b *Body) sleeve(i int) {
	k := &b.k
	g := k.girth
	arm := looking(k.shoulder[i], k.elbow[i].Sub(k.shoulder[i]), k.chest.y)
	length := upperArm * k.body
	s := b.start(Shirt, 0.8) // its hems are seen
	s.ripple, s.grain = 0.0040, arm
	inner := k.chest.at(side(i)*0.085*g*k.sizes.shoulder, -0.004*g, (shoulderJoint-waistJoint-0.010)*k.body)
	top := k.shoulder[i].Sub(k.chest.dir(0, 0, 0.007*g))
	s.oval(inner, top, 0.060*g, 0.056*g, 0.94, k.chest.y, 0)
	s.cone(top, arm.at(0, 0, 0.62*length), 0.056*g, 0.061*g, 0.03*g)
	s.trim(arm.at(0, 0, 0.56*length), arm.z, 0.005)
}

// armShapes builds an arm from the shoulder to the finger tips.
func (b *Body) armShapes(i int) {
	k := &b.k
	g := k.girth
	u := looking(k.shoulder[i], k.elbow[i].Sub(k.shoulder[i]), k.wrist[i].Sub(k.elbow[i]).Add(k.chest.y.Scale(0.01)))
	l := upperArm * k.body
	s := b.start(Skin, 0.70)
	from := 0.45 // the rest is in the sleeve
	if b.Bare {
		from = 0.25
		c := k.chest
		s.cone(u.at(0, 0, 0), u.at(0, 0, 0.30*l), 0.052*g, 0.045*g, 0)
		// Top of the shoulder, inwards under the strap.
		s.oval(u.at(0, 0, 0), k.shoulder[i].Add(c.dir(-side(i)*0.070*g, -0.004*g, 0.005*g)), 0.051*g, 0.041*g, 0.95, c.y, 0.04*g)
	}
	s.cone(u.at(0, 0, from*l), u.at(0, 0, l), 0.044*g, 0.033*g, 0.03*g)
	s.cone(u.at(0, 0.011*g, from*l), u.at(0, 0.009*g, 0.72*l), 0.036*g, 0.030*g, 0.03*g)   // biceps
	s.cone(u.at(0, -0.011*g, from*l), u.at(0, -0.008*g, 0.70*l), 0.036*g, 0.029*g, 0.03*g) // triceps
	// The forearm swells below the elbow and flattens to the wrist.
	f := looking(k.elbow[i], k.wrist[i].Sub(k.elbow[i]), k.hand[i].y)
	l = forearm * k.body
	s.cone(f.at(0, 0, 0), f.at(0, 0, 0.30*l), 0.034*g, 0.040*g, 0.03*g)
	s.oval(f.at(0, 0, 0.25*l), f.at(0, 0, l), 0.041*g, 0.0275*g, 0.84, k.hand[i].y, 0.03*g)
	s.cone(f.at(-side(i)*0.006*g, -0.004*g, 0.10*l), f.at(-side(i)*0.004*g, 0, 0.45*l), 0.033*g, 0.032*g, 0.025*g)
	b.handShapes(i)
}

// handShapes builds palm, four fingers of three bones and a thumb.
func (b *Body) handShapes(i int) {
	k := &b.k
	f := k.hand[i]
	u := hand * k.body // wrist to tip of the middle finger
	curl := k.pose.Arms[i].Curl
	// In the frame of the hand the thumb lies to one side: palm forward and
	// fingers down, away from the body.
	thumb := -side(i)
	s := b.start(Skin, 0.32)
	s.oval(f.at(0, 0, -0.16*u), f.at(0, 0, 0.06*u), 0.0235*k.girth, 0.0275*k.girth, 0.84, f.y, 0)
	s.oval(f.at(thumb*0.06*u, 0, 0.12*u), f.at(thumb*0.09*u, 0, 0.40*u), 0.135*u, 0.125*u, 0.58, f.y, 0.03*k.girth)
	s.oval(f.at(-thumb*0.06*u, 0, 0.12*u), f.at(-thumb*0.12*u, 0, 0.38*u), 0.125*u, 0.110*u, 0.58, f.y, 0.02*k.girth)
	s.egg(f, f.at(thumb*0.13*u, 0.05*u, 0.18*u), 0.10*u, 0.085*u, 0.15*u, 0.015*k.girth)
	bones := [4][3]float64{{0.23, 0.13, 0.11}, {0.255, 0.15, 0.115}, {0.235, 0.14, 0.115}, {0.19, 0.105, 0.10}}
	across := [4]float64{0.165, 0.055, -0.055, -0.160}
	start := [4]float64{0.455, 0.48, 0.465, 0.43}
	for n := range bones {
		p := f.at(thumb*across[n]*u, -0.005*u, start[n]*u)
		spread := thumb * (across[n] * 0.55) * (1 - curl)
		bendBy := 0.10 + curl*1.25 + 0.05*float64(n)*curl
		angle := 0.05 + 0.55*bendBy
		r := 0.052 * u
		if n == 3 {
			r = 0.045 * u
		}
		for m, l := range bones[n] {
			sin, cos := math.Sincos(angle)
			q := p.Add(f.dir(spread*l*u*cos, l*u*sin, l*u*cos))
			s.cone(p, q, r, r*0.90, 0.010*k.girth)
			p, r = q, r*0.90
			angle += bendBy * [3]float64{1.05, 0.8, 0}[m]
		}
	}
	// Thumb: from the ball of the palm, across the fingers as they close.
	p := f.at(thumb*0.14*u, 0.05*u, 0.16*u)
	open := f.dir(thumb*0.62, 0.30, 0.72)
	shut := f.dir(thumb*0.10, 0.72, 0.66)
	d := slerp(open, shut, curl)
	q := p.Add(d.Scale(0.24 * u))
	s.cone(p, q, 0.075*u, 0.058*u, 0.014*k.girth)
	d = slerp(d, f.dir(-thumb*0.25, 0.25, 0.95), 0.25+0.35*curl)
	r := q.Add(d.Scale(0.19 * u))
	s.cone(q, r, 0.057*u, 0.050*u, 0.010*k.girth)
}

// legFrame returns thigh and shin, y towards the knee cap.
func (b *Body) legFrame(i int) (thigh, shin frame) {
	k := &b.k
	up, low := k.knee[i].Sub(k.hip[i]).Unit(), k.ankle[i].Sub(k.knee[i]).Unit()
	front := up.Sub(low) // out of the bend
	front = front.Scale(3).Add(k.foot[i].y.Scale(0.3)).Add(k.pelvis.y.Scale(0.15))
	return looking(k.hip[i], up, front), looking(k.knee[i], low, front)
}

// legShapes builds thigh, knee and calf, and the sock over them.
func (b *Body) legShapes(i int) {
	k := &b.k
	g, x := k.girth, side(i)
	t, c := b.legFrame(i)
	lt, lc := (hipHeight-kneeHeight)*k.body, (kneeHeight-ankleHeight)*k.body
	if !b.Long {
		s := b.start(Skin, 0.95)
		// From within the shorts down.
		s.cone(t.at(x*0.004*g, -0.002*g, 0.50*lt), t.at(x*0.003*g, 0, 0.66*lt), 0.068*g, 0.063*g, 0)
		s.cone(t.at(0, 0, 0.5*lt), t.at(0, 0, lt), 0.067*g, 0.050*g, 0.03*g)
		s.cone(t.at(x*0.016*g, 0.016*g, 0.52*lt), t.at(x*0.012*g, 0.014*g, 0.80*lt), 0.050*g, 0.042*g, 0.03*g)    // outer quadriceps
		s.cone(t.at(-x*0.016*g, 0.014*g, 0.55*lt), t.at(-x*0.016*g, 0.012*g, 0.86*lt), 0.046*g, 0.036*g, 0.025*g) // inner, lower
		s.cone(t.at(0, -0.016*g, 0.50*lt), t.at(0, -0.012*g, 0.85*lt), 0.054*g, 0.038*g, 0.03*g)                  // hamstrings
		s.egg(c, c.at(0, 0.022*g, 0.0), 0.036*g, 0.030*g, 0.042*g, 0.02*g)                                        // knee cap
		b.calf(s, c, lc, x, 0)
	}
	s := b.start(Sock, 1)
	b.calf(s, c, lc, x, 0.0045)
	reach := 0.72
	if b.Long {
		reach = 0.80
	}
	s.trim(c.at(0, 0, reach*lc), c.z.Neg(), 0.004)
	if !b.Long {
		s.add(shape{form: ring, a: c.at(0, -0.004*g, (reach+0.016)*lc), axes: c, r: geom.Vec{X: 0.036 * g}, ra: 0.010 * g, blend: 0.008 * g})
	}
}

func (b *Body) calf(s *solid, c frame, l, x, more float64) {
	g := b.k.girth
	s.cone(c.at(0, -0.004*g, 0), c.at(0, -0.010*g, 0.35*l), 0.049*g+more, 0.050*g+more, 0.03*g)
	s.cone(c.at(0, -0.008*g, 0.30*l), c.at(0, 0.002*g, l), 0.048*g+more, 0.0315*g+more, 0.03*g)
	s.cone(c.at(-x*0.014*g, -0.024*g, 0.18*l), c.at(-x*0.008*g, -0.020*g, 0.46*l), 0.036*g+more, 0.028*g+more, 0.03*g) // inner head
	s.cone(c.at(x*0.016*g, -0.020*g, 0.16*l), c.at(x*0.010*g, -0.016*g, 0.40*l), 0.036*g+more, 0.027*g+more, 0.03*g)   // outer head
	s.cone(c.at(0, 0.018*g, 0.10*l), c.at(0, 0.012*g, 0.80*l), 0.022*g+more, 0.018*g+more, 0.025*g)                    // shin bone
	s.cone(c.at(0, -0.012*g, 0.70*l), c.at(0, -0.018*g, l), 0.022*g+more, 0.017*g+more, 0.02*g)                        // tendon
}

// trouser builds one leg of long trousers with the seat.
func (b *Body) trouser(i int) {
	k := &b.k
	g, x := k.girth, side(i)
	t, c := b.legFrame(i)
	lt, lc := (hipHeight-kneeHeight)*k.body, (kneeHeight-ankleHeight)*k.body
	leg := b.start(Shorts, 1)
	leg.ripple, leg.grain = 0.003, t
	b.seat(leg)
	leg.cone(t.at(x*0.010*g, 0, 0.16*lt), t.at(0, 0, 0.60*lt), 0.092*g, 0.078*g, 0.06*g)
	leg.cone(t.at(0, 0, 0.60*lt), t.at(0, 0, lt), 0.078*g, 0.066*g, 0.006)
	leg.cone(c.at(0, 0, 0), c.at(0, -0.012*g, 0.35*lc), 0.066*g, 0.064*g, 0.010)
	leg.cone(c.at(0, -0.012*g, 0.35*lc), c.at(0, -0.004*g, 0.95*lc), 0.064*g, 0.056*g, 0.006)
	leg.trim(c.at(0, 0, 0.90*lc), c.z, 0.005)
}

// footShapes builds a sports shoe: upper, sole, and a collar around the ankle.
func (b *Body) footShapes(i int) {
	k := &b.k
	g, x, f := k.girth, side(i), k.foot[i]
	u, h := foot*k.body, k.soleDrop()
	last := func(s *solid, more float64) { // the outline of the foot
		s.cone(f.at(0, -0.10*u, -h+0.036*g), f.at(0, 0.06*u, -h+0.042*g), 0.034*g+more, 0.034*g+more, 0)
		s.cone(f.at(0, 0.02*u, -h+0.042*g), f.at(x*0.004*g, 0.50*u, -h+0.026*g), 0.037*g+more, 0.034*g+more, 0.03*g)
		s.oval(f.at(-x*0.006*g, 0.46*u, -h+0.026*g), f.at(-x*0.010*g, 0.64*u, -h+0.022*g), 0.043*g+more, 0.030*g+more, 0.68, f.z, 0.03*g)
		s.cone(f.at(x*0.016*g, 0.36*u, -h+0.020*g), f.at(x*0.014*g, 0.54*u, -h+0.020*g), 0.028*g+more, 0.024*g+more, 0.02*g)
	}
	s := b.start(Shoe, 0.5)
	last(s, 0)
	s.oval(f.at(0, 0.02*u, -h+0.050*g), f.at(0, -0.07*u, 0.008*g), 0.037*g, 0.038*g, 1, f.y, 0.04*g)
	s.cone(f.at(0, 0.10*u, -h+0.060*g), f.at(0, 0.38*u, -h+0.040*g), 0.026*g, 0.022*g, 0.025*g) // tongue and laces
	s.trim(f.at(0, 0, -h+0.006), f.z.Neg(), 0.002)
	s.trim(f.at(0, -0.05*u, 0.006*g), f.dir(0, 0.30, 1), 0.006)
	collar := looking(f.at(0, -0.045*u, 0.000*g), f.dir(0, 0.30, 1), f.y)
	s.add(shape{form: ring, a: collar.o, axes: collar, r: geom.Vec{X: 0.037 * g}, ra: 0.0085 * g, blend: 0.006 * g})
	s = b.start(Sole, 0.5)
	last(s, 0.004)
	s.cone(f.at(0, -0.10*u, -h+0.012*g), f.at(0, 0.50*u, -h+0.012*g), 0.034*g, 0.040*g, 0.02*g)
	s.trim(f.at(0, 0, -h), f.z.Neg(), 0.004)
	s.trim(f.at(0, 0, -h+0.026*g), f.dir(0, 0.06, 1), 0.003)
	for n := range 4 {
		t := 0.15 + 0.22*float64(n)
		s = b.start(Lace, 0.25)
		y, z, r := (0.10+0.28*t)*u, -h+(0.060-0.020*t)*g, (0.026-0.004*t)*g
		top, low := f.at(0, y+0.10*r, z+1.02*r), 0.86*r
		for i := range 2 {
			s.cone(top, f.at(side(i)*low, y, z+0.50*r), 0.0042*g, 0.0036*g, 0.003)
		}
	}
}

// chairShapes builds a bench, or a sports wheelchair with raked wheels.
func (b *Body) chairShapes() {
	k := &b.k
	g, p := k.girth, still
	seat := k.pelvis.at(0, 0, 0).Sub(geom.Vec{Z: 0.105 * g})
	switch b.Pose.Chair {
	case Bench:
		s := b.start(ChairPart, 1)
		tall := seat.Z - b.ground
		s.add(shape{form: block, a: seat.Add(v(0, 0.03, -tall/2)), axes: p, r: geom.Vec{X: 0.24, Y: 0.20, Z: tall / 2}, ra: 0.012})
	case Wheelchair:
		s := b.start(ChairPart, 0.5)
		s.add(shape{form: block, a: seat.Add(v(0, 0.02, -0.015)), axes: p, r: geom.Vec{X: 0.20 * g, Y: 0.21 * g, Z: 0.02}, ra: 0.015})
		s.add(shape{form: block, a: seat.Add(v(0, -0.155*g-0.02, 0.13)), axes: p.turned(turn(0, -8, 0)), r: geom.Vec{X: 0.18 * g, Y: 0.014, Z: 0.13}, ra: 0.012, blend: 0.01})
		for i := range 2 {
			x := side(i)
			hub := v(x*0.245*g+0.01, -0.02, 0)
			const rim, tyre = 0.295, 0.014
			rake := 12 * math.Pi / 180
			axle := v(x*math.Cos(rake), 0, math.Sin(rake))
			hub.Z = b.ground + (rim*math.Cos(rake) + tyre)
			wheel := looking(hub, axle, geom.North)
			s.add(shape{form: ring, a: hub, axes: wheel, r: geom.Vec{X: rim}, ra: tyre})
			s.add(shape{form: ring, a: hub.Add(axle.Scale(0.03)), axes: wheel, r: geom.Vec{X: rim * 0.88}, ra: 0.008})
			s.cone(hub, hub.Add(axle.Scale(0.02)), 0.028, 0.028, 0.01)
			for n := range 8 {
				sin, cos := math.Sincos(float64(n) * math.Pi / 4)
				s.cone(hub, wheel.at(rim*cos, rim*sin, 0), 0.006, 0.006, 0.004)
			}
			s.cone(hub, v(x*0.12*g, -0.02, seat.Z-0.03), 0.016, 0.016, 0.01)
			plate := k.foot[i].at(0, 0.25*foot*k.body, -k.soleDrop()-0.012)
			s.cone(v(x*0.16*g, seat.Y+0.19*g, seat.Z-0.02), v(x*0.13*g, plate.Y-0.03, plate.Z), 0.013, 0.013, 0.01)
			s.cone(v(-x*0.02, plate.Y, plate.Z-0.004), v(x*0.13*g, plate.Y, plate.Z-0.004), 0.013, 0.013, 0.01)
			caster := v(x*0.12*g, plate.Y-0.02, b.ground+0.045)
			s.add(shape{form: ring, a: caster, axes: looking(caster, geom.East, geom.North), r: geom.Vec{X: 0.032}, ra: 0.013})
			s.cone(caster, v(x*0.13*g, plate.Y-0.03, plate.Z), 0.011, 0.011, 0.01)
		}
	}
}
