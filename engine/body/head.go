package body

import (
	"math"

	"hardnoon/engine/geom"
	"hardnoon/engine/unit"
)

// A head is drawn in millimetres on one 228 mm tall, chin to crown, with the
// origin between the ears: crown at z 131, chin at −97, eyes at 17, root of the
// nose at 26, brow at y 92, back at −104, 150 mm wide.
//
// Source: [ANSUR2012], medians of men: head length 200, breadth 154, tragion to
// top 131, chin to root of the nose 123, between the pupils 64.
const (
	eyeApart  = 32.0
	eyeHeight = 17.0
	eyeDepth  = 71.0
	eyeRadius = 12.3
	brimAt    = 52.0 // height of a brim's root over the ears
	brimFront = 92.0 // how far forward the root is in the middle
)

// pen draws on the head in those millimetres.
type pen struct {
	*solid
	f     frame
	mm    float64 // metres
	lower float64 // heights below the eyes are shrunk to this: a child's small face
}

func (b *Body) pen(p Part, fine float64) pen {
	grown := min(1, max(0, (b.Age-5)/12))
	return pen{b.start(p, fine), b.k.skull, b.k.head / 1000, 0.94 + 0.06*grown}
}

func (d pen) p(x, y, z float64) geom.Vec {
	if z < eyeHeight && z > -70 {
		z = eyeHeight + (z-eyeHeight)*d.lower
	}
	return d.f.at(x*d.mm, y*d.mm, z*d.mm)
}

func (d pen) bulb(x, y, z, r, blend float64) { d.solid.ball(d.p(x, y, z), r*d.mm, blend*d.mm) }
func (d pen) bar(x0, y0, z0, r0, x1, y1, z1, r1, blend float64) {
	d.solid.cone(d.p(x0, y0, z0), d.p(x1, y1, z1), r0*d.mm, r1*d.mm, blend*d.mm)
}
func (d pen) oval(f frame, x, y, z, rx, ry, rz, blend float64) {
	d.solid.egg(f, d.p(x, y, z), rx*d.mm, ry*d.mm, rz*d.mm, blend*d.mm)
}

// both draws on either side.
func both(draw func(x float64)) {
	draw(1)
	draw(-1)
}

func (b *Body) headShapes() {
	d := b.pen(Face, 0.3)
	f := d.f
	female := b.Sex == Female || b.Age < 13
	jaw, brow, nose, lip, open := 1.0, 1.0, 1.0, 1.0, 5.5
	if female {
		jaw, brow, nose, lip, open = 0.85, 0.3, 0.86, 1.05, 6.1
	}
	grown := min(1, max(0, (b.Age-6)/11))
	nose *= 0.84 + 0.16*grown

	// Skull and face in planes.
	d.oval(f, 0, -12, 51, 75, 92, 80, 0)
	d.oval(f, 0, 26, 44, 64, 64, 56, 24)
	d.oval(f, 0, 34, -12, 60, 50, 66, 28)
	d.oval(f, 0, 56, -50, 35, 35, 36, 22)
	both(func(x float64) {
		d.bar(x*44*jaw, 8, -46, 13, x*15*jaw, 70, -78, 13, 20)                              // jaw
		d.bar(x*54*jaw, 4, -10, 13, x*44*jaw, 8, -46, 13, 20)                               // its upright branch
		d.bulb(x*42, 62, -8, 18, 20)                                                        // cheek bone
		d.bar(x*50, 54, -4, 11, x*66, 10, 6, 8, 18)                                         // its arch
		d.bar(x*34, 66, -30, 15, x*28, 66, -50, 11, 18)                                     // cheek beside the mouth
		d.oval(f, x*40, 38, -34, 20, 34, 30, 20)                                            // and behind it
		d.oval(f, x*(38-4*grown), 50-12*grown, -26, 21-6*grown, 26-8*grown, 24-8*grown, 18) // a child's round one
		d.bar(x*13, 85, 34, 6+2*brow, x*42, 70, 33, 6+2*brow, 16)                           // brow
		d.oval(f, x*60, 34, 34, 10, 22, 22, 16)                                             // temple
	})
	d.bulb(0, 73, -82, 14, 16) // chin
	d.bulb(0, 79, -79, 8, 10)

	// Sockets, then eyelids around the balls.
	both(func(x float64) {
		d.oval(f, x*31, 92, 15, 17, 12+3*brow, 11, 0)
		d.carve()
		d.shapes[len(d.shapes)-1].blend = 14 * d.mm
	})
	both(func(x float64) {
		d.bulb(x*eyeApart, eyeDepth, eyeHeight, eyeRadius+1.2, 4)
		tilt := f.turned(Turn{Yaw: unit.Angle(x*12) * unit.Degree, Roll: unit.Angle(-x*4) * unit.Degree})
		d.oval(tilt, x*(eyeApart+0.3), eyeDepth+eyeRadius, eyeHeight-0.4, 14, 9, open, 0)
		d.carve()
		d.shapes[len(d.shapes)-1].blend = 1.6 * d.mm
		d.bar(x*21, 81.5, 21+open, 3.0, x*42, 75.5, 20+open, 2.6, 5) // fold over the lid
	})

	// Nose.
	d.bar(0, 84, 27, 5, 0, 97, 6, 6.0*nose, 9)
	d.bar(0, 97, 6, 6*nose, 0, 104+5*nose, -17, 9.0*nose, 7)
	both(func(x float64) {
		d.bar(x*3.5, 100+4*nose, -19, 6*nose, x*11*nose, 93, -21, 6.8*nose, 6)
		d.bar(x*5, 88, 8, 6, x*13, 81, -12, 8, 16)
		d.bar(x*5.5*nose, 101, -27, 1.8, x*9*nose, 96, -27, 2.2, 0)
		d.carve()
		d.shapes[len(d.shapes)-1].blend = 3 * d.mm
	})
	d.bar(0, 103, -25, 3.2*nose, 0, 92, -30, 3.5, 5)

	// Around the mouth.
	d.bar(0, 88, -36, 6, 0, 86, -41, 7, 10)
	b.lips(d, lip, 0)
	d.bar(-11, 97, -60, 4, 11, 97, -60, 4, 0)
	d.carve()
	d.shapes[len(d.shapes)-1].blend = 9 * d.mm

	// Ears.
	both(func(x float64) {
		e := f.turned(Turn{Yaw: unit.Angle(-x*24) * unit.Degree, Pitch: -12 * unit.Degree})
		d.oval(e, x*76, -12, 6, 6.5, 17, 30, 5)
		d.oval(e, x*81, -8, 10, 5, 10, 18, 0)
		d.carve()
		d.shapes[len(d.shapes)-1].blend = 5 * d.mm
		d.bar(x*73, -1, -18, 5, x*74, -4, -24, 5, 5)
	})
	// Where the neck leaves the skull.
	d.bar(0, -20, -20, 50, 0, -16, -60, 50, 20)
	d.solid.trim(d.p(0, 0, -60), f.dir(0, -0.53, -1), 0.012)

	lips := b.pen(Lips, 0.14)
	b.lips(lips, lip, 0.7)

	both(func(x float64) {
		e := b.pen(EyeWhite, 0.14)
		e.bulb(x*eyeApart, eyeDepth, eyeHeight, eyeRadius, 0)
		e = b.pen(Iris, 0.08)
		e.oval(e.f, x*(eyeApart-0.3), eyeDepth+eyeRadius-1.4, eyeHeight+0.1, 6.0, 2.7, 6.0, 0) // domed as the cornea over it
		w := b.pen(HairPart, 0.14)                                                             // eyebrow, high over the outer corner
		w.bar(x*14, 92+brow, 38, 1.8, x*25, 90+brow, 40, 2.3, 2)
		w.bar(x*25, 90+brow, 40, 2.3, x*37, 84.3+brow, 41, 2.0, 2)
		w.bar(x*37, 84.3+brow, 41, 2.0, x*50, 73.5+brow, 36.5, 1.3, 2)
		l := b.pen(HairPart, 0.13) // lashes: the dark edge of the upper lid
		top := eyeHeight - 0.9 + open
		l.bar(x*19.5, 80.2, top-4.0, 0.8, x*26, 84.4, top-0.6, 1.1, 1)
		l.bar(x*26, 84.4, top-0.6, 1.1, x*36, 84.5, top, 1.2, 1)
		l.bar(x*36, 84.5, top, 1.2, x*46, 78.4, top-3.0, 1.0, 1)
	})
	b.hairShapes()
	b.gearShapes()
}

// lips draws the two lips, more millimetres proud of the face, the corners a
// little up.
func (b *Body) lips(d pen, full, more float64) {
	both(func(x float64) { // two strokes each, around the teeth
		d.bar(x*3, 93.3+more, -44.2, 3.0*full, x*13, 90.6+more, -45.0, 2.6*full, 2.5)
		d.bar(x*13, 90.6+more, -45.0, 2.6*full, x*26, 83.2+1.3*more, -45.2, 1.3, 2.5)
		d.bar(x*2, 92+more, -52.3, 4.4*full, x*12, 89.6+more, -51.6, 3.7*full, 2.5)
		d.bar(x*12, 89.6+more, -51.6, 3.7*full, x*26, 83.2+1.3*more, -45.6, 1.2, 2.5)
	})
	both(func(x float64) {
		d.bar(0, 96.8+more, -48.2, 0.8, x*13, 94.0+more, -47.8, 0.7, 0)
		d.carve()
		d.shapes[len(d.shapes)-1].blend = 1.8 * d.mm
		d.bar(x*13, 94.0+more, -47.8, 0.7, x*25, 86.0+more, -45.4, 0.4, 0)
		d.carve()
		d.shapes[len(d.shapes)-1].blend = 1.8 * d.mm
	})
}

// onSkull returns the direction of a place on the skull, degrees around from the
// face to the right and up from the level of its middle.
func onSkull(around, up float64) geom.Vec {
	return geom.Direction(unit.Angle(around)*unit.Degree, unit.Angle(up)*unit.Degree)
}

// lock draws a lock of hair over the skull from one direction to another, thinner
// at its ends by shares tip and end; lift is how far it stands off.
func (d pen) lock(from, to geom.Vec, thick, lift, tip, end float64) {
	const n = 5
	at := func(i int) (x, y, z, r float64) {
		t := float64(i) / n
		o := slerp(from, to, t)
		bow := lift*math.Sin(math.Pi*(0.25+0.75*t)) + 4*max(0, o.Y)
		r = thick * min(1, tip+(1-tip)*3*t, end+(1-end)*3*(1-t))
		k := bow - 0.25*thick
		return o.X * (75 + k), -12 + o.Y*(93+k), 51 + o.Z*(80+k), r
	}
	for i := range n {
		x0, y0, z0, r0 := at(i)
		x1, y1, z1, r1 := at(i + 1)
		d.bar(x0, y0, z0, r0, x1, y1, z1, r1, 8)
	}
}

// hairline is where hair begins, from the middle of the forehead to the ear:
// degrees around and up.
var hairline = [][2]float64{{6, 38}, {19, 37.5}, {32, 34}, {45, 27}, {57, 14}, {67, -2}, {75, -20}}

func (b *Body) hairShapes() {
	if b.Hair == NoHair || b.Headgear == Helmet {
		return
	}
	h := b.pen(HairPart, 0.42)
	bare := b.Headgear == Bareheaded
	h.oval(h.f, 0, -17, 54, 80, 96, 85, 0)  // thinner than the skull in front
	h.oval(h.f, 0, -40, 16, 69, 58, 62, 24) // down to the nape
	// Forehead and face stay free.
	h.oval(h.f, 0, 104, 12, 76, 62, 80, 0)
	h.carve()
	h.shapes[len(h.shapes)-1].blend = 8 * h.mm
	thick, lift := 11.0, 4.0
	if b.Hair == Tail { // pulled tight
		thick, lift = 9, 2
	}
	if !bare { // pressed under a band
		thick, lift = min(thick, 9), 0
	}
	// Strands run round a pole: where the hair is tied, or the whorl.
	h.ripple, h.strands = 0.0007, 38
	if b.Hair == Tail {
		tie := onSkull(180, 8)
		h.grain = looking(h.p(0, -12, 58), h.f.dir(0, -1, 0.1), h.f.z)
		both(func(x float64) {
			for i, l := range hairline {
				full := max(0, 1-float64(i)/6) // the brow's stand up, the temples' lie close
				h.lock(onSkull(x*l[0], l[1]+2.5*math.Sin(2.4*float64(i))), tie, thick+3*full+1.2*math.Sin(3.7*float64(i)), lift*(1+2*full), 0.45, 0.8)
			}
			for _, l := range [][2]float64{{118, -30}, {138, -42}, {160, -48}} { // up from the nape
				h.lock(onSkull(x*l[0], l[1]), tie, 9, 0, 0.4, 1)
			}
			if bare { // a strand that came loose before the ear
				h.bar(x*66, 34, 30, 3, x*73, 27, 2, 2.4, 4)
				h.bar(x*73, 27, 2, 2.4, x*70, 30, -26, 1.2, 2)
			}
		})
	} else {
		whorl := onSkull(168, 66)
		h.grain = looking(h.p(0, -12, 51), h.f.dir(whorl.X, whorl.Y, whorl.Z), h.f.y)
		both(func(x float64) {
			for i, l := range hairline {
				front := max(0, 1-float64(i)/5)
				h.lock(onSkull(x*l[0]+3*front, l[1]-3+4*math.Sin(2.4*float64(i)+x)), whorl, thick+2*front, lift*(1+front), 0.5, 0.8)
			}
			for i, l := range [][2]float64{{100, 2}, {118, -20}, {140, -38}, {165, -44}} {
				h.lock(onSkull(x*l[0], l[1]+3*math.Sin(2.1*float64(i)+x)), whorl, 10, lift/2, 0.4, 0.8)
			}
		})
	}
	both(func(x float64) { // the ears
		h.oval(h.f, x*80, -4, -10, 22, 24, 28, 0)
		h.carve()
		h.shapes[len(h.shapes)-1].blend = 8 * h.mm
	})
	h.solid.trim(h.p(0, -60, -42), h.f.dir(0, 0.25, -1), 0.022)
	if b.Headgear == Cap { // nothing stands out above the cap's edge
		h.solid.trim(h.p(0, 40, brimAt+6), h.f.dir(0, 0.12, 1), 0.004)
	}
	if b.Hair == Tail {
		b.tail()
	}
}

// tail hangs the tied hair from its band in locks that part towards their ends.
func (b *Body) tail() {
	t := b.pen(HairPart, 0.42)
	t.ripple, t.strands = 0.0006, 12
	t.grain = looking(t.p(0, -134, 0), t.f.z.Neg(), t.f.y)
	t.bar(0, -96, 56, 15, 0, -122, 50, 15, 8)
	t.add(shape{form: ring, a: t.p(0, -112, 53), axes: looking(geom.Vec{}, t.f.dir(0, -1, -0.25), t.f.z), r: geom.Vec{X: 15 * t.mm}, ra: 4 * t.mm, blend: 3 * t.mm})
	for _, l := range [][4]float64{{-18, -136, -124, -44}, {8, -140, -150, -18}, {-4, -150, -168, -34}, {-10, -128, -144, -58}, {6, -126, -110, -6}} {
		x, y, end, away := l[0], l[1], l[2], l[3]
		t.bar(0.4*x, -118, 50, 11, x, y, 22, 13, 6)
		t.bar(x, y, 22, 13, 0.9*x, y-2, -40, 13, 6)
		t.bar(0.9*x, y-2, -40, 13, 0.6*x+0.4*away, y+8, -86, 9, 5)
		t.bar(0.6*x+0.4*away, y+8, -86, 9, away, y+12, end-16, 2.5, 4)
	}
}

func (b *Body) gearShapes() {
	switch b.Headgear {
	case Cap, Visor:
		d := b.pen(HeadgearPart, 0.42)
		wide := 0.0
		if b.Headgear == Visor { // over the hair all round
			wide = 4
		}
		d.oval(d.f, 0, -9-wide, 53, 82+wide, 105+wide, 84+wide, 0)
		if b.Headgear == Cap {
			d.oval(d.f, 0, 18, 88, 62, 62, 52, 30) // the front stands up
			d.bulb(0, -10, 139, 6, 3)              // button
		} else {
			d.solid.trim(d.p(0, 0, brimAt+34), d.f.dir(0, 0.10, 1), 0.004)
		}
		d.solid.trim(d.p(0, 60, brimAt-5), d.f.dir(0, -0.10, -1), 0.004)
		b.brimShape()
	case Helmet:
		d := b.pen(HeadgearPart, 0.50)
		d.oval(d.f, 0, -12, 50, 98, 116, 100, 0)
		both(func(x float64) { d.oval(d.f, x*62, -16, -14, 36, 62, 56, 24) })
		// The opening of the face, then an ear hole.
		d.oval(d.f, 0, 108, -24, 64, 92, 76, 0)
		d.carve()
		d.shapes[len(d.shapes)-1].blend = 8 * d.mm
		d.oval(d.f, 0, 14, -40, 78, 84, 96, 0)
		d.carve()
		d.shapes[len(d.shapes)-1].blend = 10 * d.mm
		d.solid.trim(d.p(0, 0, -58), d.f.z.Neg(), 0.008)
		b.brimShape()
		c := b.pen(Cage, 0.24)
		const r = 2.6
		arch := func(z, depth, half float64) { // a bar from cheek to cheek
			const n = 8
			for i := range n {
				p := func(i int) (x, y float64) {
					s, co := math.Sincos((float64(i)/n - 0.5) * math.Pi)
					return half * s, 22 + depth*co
				}
				x0, y0 := p(i)
				x1, y1 := p(i + 1)
				c.bar(x0, y0, z, r, x1, y1, z, r, 2)
			}
		}
		arch(2, 100, 84)
		arch(-24, 108, 86)
		arch(-52, 108, 84)
		arch(-82, 98, 76)
		for _, x := range []float64{-52, -18, 18, 52} {
			y := func(depth, half float64) float64 { return 22 + depth*math.Sqrt(1-(x/half)*(x/half)) }
			c.bar(x, y(100, 84), 2, r, x, y(108, 86), -24, r, 2)
			c.bar(x, y(108, 86), -24, r, x, y(108, 84), -52, r, 2)
			c.bar(x, y(108, 84), -52, r, x, y(98, 76), -82, r, 2)
		}
	}
}

// brimReach is how far the brim stands out from its root, millimetres of the
// drawn head.
func (b *Body) brimReach() float64 { return b.Brim.Metres() / (b.k.head / 1000) }

// brimShape builds the peak: a flattened tongue, rounded in front, a little
// lower at its sides.
func (b *Body) brimShape() {
	d := b.pen(BrimPart, 0.26)
	l, y := b.brimReach(), brimFront
	if b.Headgear == Helmet {
		y += 18
	}
	f := d.f
	// A tongue, cut out of a pipe that lies along the gaze.
	const pipe, thick = 200.0, 6.0
	d.oval(f, 0, y-38, brimAt, 76, 38+l, 80, 0)
	along := func(r float64, o op) {
		d.solid.add(shape{form: cone, a: d.p(0, -100, brimAt-pipe), b: d.p(0, 400, brimAt-pipe), ra: r * d.mm, rb: r * d.mm, op: o, blend: 0.002})
	}
	along(pipe, keep)
	along(pipe-thick, cut)
	d.solid.trim(d.p(0, y-48, 0), f.y.Neg(), 0.003)
}
