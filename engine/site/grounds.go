package site

import (
	"math"
	"slices"
	"sync"

	"hardnoon/engine/unit"
)

const (
	ft = 0.3048
	yd = 0.9144
)

// Grounds returns every ground this package can draw, each in its plan.
func Grounds() []Ground { return slices.Clone(grounds()) }

var grounds = sync.OnceValue(func() []Ground {
	var out []Ground
	for _, draw := range []func() plan{
		track, javelin, shot, discus, hammer, longJump, highJump, poleVault,
		func() plan {
			return soccer("soccer, adult", 105, 68, true, "[IFAB] Law 1; 105 × 68 m is common practice")
		},
		func() plan { return soccer("soccer, 13 to 14 years", 82.30, 50.29, true, youth) },
		func() plan { return soccer("soccer, 11 to 12 years, nine a side", 73.15, 45.72, false, youth) },
		func() plan { return soccer("soccer, 9 to 10 years, seven a side", 54.86, 36.58, false, youth) },
		rugby, americanFootball, tennis,
		func() plan {
			return basketball("basketball, international", 28, 15, 6.75, 4.9, 5.8, 1.8, "[FIBA], lines from memory")
		},
		func() plan {
			return basketball("basketball, school", 84*ft, 50*ft, 6.02, 12*ft, 19*ft, 6*ft, "school rule book, lines from memory")
		},
		func() plan { return diamond("softball", 60*ft, 43*ft, 200*ft) },
		func() plan { return diamond("softball, 11 to 12 years", 60*ft, 40*ft, 200*ft) },
		func() plan { return diamond("softball, 9 to 10 years", 60*ft, 35*ft, 200*ft) },
		func() plan { return diamond("diamond, 60 ft bases", 60*ft, 46*ft, 200*ft) },
		func() plan { return diamond("diamond, 70 ft bases", 70*ft, 50*ft, 200*ft) },
		func() plan { return diamond("diamond, 90 ft bases", 90*ft, 60.5*ft, 300*ft) },
		lacrosse, fieldHockey, volleyball, netball,
		func() plan { return pool("pool, 50 m", 50, 10) },
		func() plan { return pool("pool, 25 m", 25, 8) },
	} {
		p := draw()
		out = append(out, p.Ground)
	}
	return out
})

const youth = "youth pitch guide, from memory"

// GroundNamed returns the ground of that name, in its plan.
func GroundNamed(name string) (Ground, bool) {
	for _, g := range grounds() {
		if g.Name == name {
			return g, true
		}
	}
	return Ground{}, false
}

func begin(name, surface, source string, lineWidth, west, east float64) plan {
	return plan{Ground{Name: name, Surface: surface, Source: source,
		LongAxisWest: unit.Angle(west) * unit.Degree, LongAxisEast: unit.Angle(east) * unit.Degree}, lineWidth}
}

const athleticsRules = "[WAManual], from memory"

// The 400 m standard oval. A lap is measured 0.30 m outside the raised kerb:
//
//	2·84.39 + 2π·36.80 = 400.00
const (
	straight   = 84.39
	kerbRadius = 36.50
	laneWidth  = 1.22
	lanes      = 8
)

// ring returns the closed oval at a radius, counter-clockwise as it is run.
func ring(r float64) Line {
	pts := arc(0, straight/2, r, 0, 180)
	pts = append(pts, arc(0, -straight/2, r, 180, 360)...)
	return Line{Points: append(pts, pts[0])}
}

// LapLength returns the length of a lap on the measured line of a lane,
// counted from 1: 0.30 m outside the kerb in lane 1, 0.20 m outside the
// painted line elsewhere.
//
// Source: [WAManual], from memory.
func LapLength(lane int) (unit.Length, error) {
	if err := unit.Within("lane", float64(lane), 1, 10, ""); err != nil {
		return 0, err
	}
	r := kerbRadius + 0.30
	if lane > 1 {
		r = kerbRadius + float64(lane-1)*laneWidth + 0.20
	}
	return unit.Length(2*straight + 2*math.Pi*r), nil
}

func track() plan {
	p := begin("athletics track", "turf", athleticsRules, 0.05, 20, 35)
	outer := kerbRadius + lanes*laneWidth
	p.area("track", "running track", ring(outer).Points...)
	p.area("infield", "turf", ring(kerbRadius).Points...)
	for i := 0; i <= lanes; i++ {
		p.line("lane", ring(kerbRadius+float64(i)*laneWidth).Points...)
	}
	// One finish for all races, where the straight meets the bend that follows.
	p.line("finish", at(kerbRadius, straight/2), at(outer, straight/2))
	p.line("100 m start", at(kerbRadius, straight/2-100), at(outer, straight/2-100))
	return p
}

// The javelin is thrown along y from an arc of 8 m radius; the sector lines run
// from its centre through where the arc meets the edges of the 4 m runway:
//
//	2 arcsin(2/8) = 28.96°
func javelin() plan {
	p := begin("javelin", "turf", athleticsRules, 0.05, 20, 35)
	const half, r, runway, reach = 2.0, 8.0, 33.5, 90.0
	back := -r // centre of the arc; the arc's crown is the origin
	a := math.Asin(half / r)
	start := back + r*math.Cos(a)
	p.patch("runway", "running track", -half, -runway, half, start)
	p.line("runway", at(-half, start), at(-half, -runway))
	p.line("runway", at(half, start), at(half, -runway))
	p.width = 0.07
	p.arc("arc", 0, back, r, 90-a*180/math.Pi, 90+a*180/math.Pi)
	p.width = 0.05
	p.sector(0, back, a, r, reach)
	return p
}

// sector draws two lines from radius r0 to r1 at half angle a about y.
func (p *plan) sector(x, y, a, r0, r1 float64) {
	for _, s := range []float64{-1, 1} {
		p.line("sector", at(x+s*r0*math.Sin(a), y+r0*math.Cos(a)), at(x+s*r1*math.Sin(a), y+r1*math.Cos(a)))
	}
}

// throwHalf is half of the 34.92° sector: 12 m across at 20 m.
var throwHalf = math.Asin(6.0 / 20)

func shot() plan {
	p := begin("shot put", "turf", athleticsRules, 0.05, 0, 0)
	p.area("circle", "concrete", arc(0, 0, 2.135/2, 0, 360)...)
	p.circle("circle", 0, 0, 2.135/2)
	p.sector(0, 0, throwHalf, 2.135/2, 25)
	p.Posts = append(p.Posts, Solid{Name: "stop board", Kind: Wall, At: at(0, 2.135/2+0.056),
		Width: 1.21, Depth: 0.112, Height: 0.10, Material: "white paint"})
	return p
}

func discus() plan {
	p := begin("discus", "turf", athleticsRules, 0.05, 0, 0)
	p.area("circle", "concrete", arc(0, 0, 1.25, 0, 360)...)
	p.circle("circle", 0, 0, 1.25)
	p.sector(0, 0, throwHalf, 1.25, 80)
	return p
}

// The circle is that of the shot. The cage, where there is one, stands among the
// solids: clubs build it differently, as for the discus.
func hammer() plan {
	p := begin("hammer", "turf", athleticsRules, 0.05, 0, 0)
	p.area("circle", "concrete", arc(0, 0, 2.135/2, 0, 360)...)
	p.circle("circle", 0, 0, 2.135/2)
	p.sector(0, 0, throwHalf, 2.135/2, 80)
	return p
}

// The runway ends at the back of the box, the origin; the bar hangs over it, at a
// height for the young, and the mat begins there.
func poleVault() plan {
	const bar = 3.0
	p := begin("pole vault", "turf", athleticsRules, 0.05, 20, 35)
	p.patch("runway", "running track", -0.61, -40, 0.61, 0)
	p.line("runway", at(-0.635, -40), at(-0.635, 0))
	p.line("runway", at(0.635, -40), at(0.635, 0))
	p.width = 0.01
	p.line("zero line", at(-2.2, 0), at(2.2, 0))
	for _, s := range []float64{-1, 1} {
		p.post("upright", s*2.2, 0.4, 5.0, 0.10)
	}
	p.bar("bar", 0, 0.4, bar, 4.5, 0.03)
	p.Posts = append(p.Posts, Solid{Name: "landing mat", Kind: Wall, At: at(0, 3.5), Width: 6, Depth: 6, Height: 0.8, Material: "hard court"})
	return p
}

// The runway ends at the take-off board, the origin.
func longJump() plan {
	p := begin("long jump", "turf", athleticsRules, 0.05, 20, 35)
	p.patch("runway", "running track", -0.61, -40, 0.61, 2)
	p.patch("pit", "sand", -1.375, 2, 1.375, 10)
	p.line("runway", at(-0.635, -40), at(-0.635, 2))
	p.line("runway", at(0.635, -40), at(0.635, 2))
	p.width = 0.20
	p.line("board", at(-0.61, -0.10), at(0.61, -0.10))
	return p
}

// The bar hangs over the origin; the fan lies before it.
func highJump() plan {
	p := begin("high jump", "turf", athleticsRules, 0.05, 0, 0)
	p.area("fan", "running track", append(arc(0, 0, 20, 180, 360), at(0, 0))...)
	p.line("plane of the bar", at(-2.0, 0), at(2.0, 0))
	p.post("upright", -2.01, 0, 2.0, 0.05)
	p.post("upright", 2.01, 0, 2.0, 0.05)
	p.bar("bar", 0, 0, 1.5, 4.0, 0.03)
	p.Posts = append(p.Posts, Solid{Name: "landing mat", Kind: Wall, At: at(0, 2.1), Width: 6, Depth: 4, Height: 0.7, Material: "hard court"})
	return p
}

func soccer(name string, length, width float64, areas bool, source string) plan {
	p := begin(name, "turf", source, 0.10, 20, 45)
	x, y := width/2, length/2
	p.rect("boundary", -x, -y, x, y)
	p.line("halfway", at(-x, 0), at(x, 0))
	goal, tall, circle := 7.32, 2.44, 9.15
	if !areas {
		goal, tall, circle = 4.88, 2.13, 7.0
	}
	p.circle("centre circle", 0, 0, circle)
	for _, s := range []float64{-1, 1} {
		p.post("goal post", -goal/2-0.05, s*y, tall, 0.10)
		p.post("goal post", goal/2+0.05, s*y, tall, 0.10)
		p.bar("crossbar", 0, s*y, tall, goal+0.2, 0.10)
		if areas {
			p.rect("penalty area", -goal/2-16.5, s*y, goal/2+16.5, s*(y-16.5))
			p.rect("goal area", -goal/2-5.5, s*y, goal/2+5.5, s*(y-5.5))
			half := math.Acos(5.5/9.15) * 180 / math.Pi
			p.arc("penalty arc", 0, s*(y-11), 9.15, -90*s-half, -90*s+half)
			p.circle("penalty mark", 0, s*(y-11), 0.06)
		}
		p.arc("corner", -x, s*y, 1, 0, -90*s)
		p.arc("corner", x, s*y, 1, 180, 180+90*s)
	}
	return p
}

func rugby() plan {
	p := begin("rugby union", "turf", "[WorldRugby] Law 1; inner lines from memory", 0.10, 20, 45)
	const x, y, inGoal = 35.0, 50.0, 10.0
	p.rect("boundary", -x, -y-inGoal, x, y+inGoal)
	p.line("halfway", at(-x, 0), at(x, 0))
	for _, s := range []float64{-1, 1} {
		p.line("goal line", at(-x, s*y), at(x, s*y))
		p.line("22 m", at(-x, s*(y-22)), at(x, s*(y-22)))
		for i := range 7 { // the 10 m line is broken
			from := -x + float64(i)*10
			p.line("10 m", at(from, s*10), at(from+5, s*10))
		}
		p.post("goal post", -2.8, s*y, 7, 0.15)
		p.post("goal post", 2.8, s*y, 7, 0.15)
		p.bar("crossbar", 0, s*y, 2.93, 5.6, 0.15)
	}
	return p
}

func americanFootball() plan {
	p := begin("american football", "turf", "school rule book, rule 1; inner lines from memory", 0.10, 20, 45)
	const x, y = 160 * ft / 2, 60 * yd
	p.rect("boundary", -x, -y, x, y)
	for i := -10; i <= 10; i++ {
		p.line("yard line", at(-x, float64(i)*5*yd), at(x, float64(i)*5*yd))
	}
	for _, s := range []float64{-1, 1} {
		p.post("goal post", -23.0/6*yd, s*y, 20*ft, 0.10)
		p.post("goal post", 23.0/6*yd, s*y, 20*ft, 0.10)
		p.bar("crossbar", 0, s*y, 10*ft, 23.0/3*yd, 0.10)
	}
	return p
}

func tennis() plan {
	p := begin("tennis", "hard court", "[ITF]; service line from memory", 0.05, 20, 35)
	const x, y, single, service = 10.97 / 2, 23.77 / 2, 8.23 / 2, 6.40
	p.rect("doubles", -x, -y, x, y)
	p.line("singles", at(-single, -y), at(-single, y))
	p.line("singles", at(single, -y), at(single, y))
	for _, s := range []float64{-1, 1} {
		p.line("service", at(-single, s*service), at(single, s*service))
		p.line("centre mark", at(0, s*y), at(0, s*(y-0.10)))
		p.post("net post", s*(x+0.914), 0, 1.07, 0.10)
	}
	p.line("centre service", at(0, -service), at(0, service))
	p.net(0, 0, 0, 2*(x+0.914), 0.95)
	return p
}

// basketball: three-point radius, key width, free-throw line from the end line,
// circle radius.
func basketball(name string, length, width, three, key, free, circle float64, source string) plan {
	p := begin(name, "wooden floor", source, 0.05, 20, 35)
	x, y := width/2, length/2
	p.rect("boundary", -x, -y, x, y)
	p.line("centre", at(-x, 0), at(x, 0))
	p.circle("centre circle", 0, 0, circle)
	const basket = 1.575
	side := min(x-0.90, three)
	half := math.Asin(side/three) * 180 / math.Pi
	for _, s := range []float64{-1, 1} {
		p.rect("key", -key/2, s*y, key/2, s*(y-free))
		p.arc("free-throw circle", 0, s*(y-free), circle, 0, -180*s)
		cy := s * (y - basket)
		end := cy - s*three*math.Cos(half*math.Pi/180)
		p.line("three-point", at(-side, s*y), at(-side, end))
		p.line("three-point", at(side, s*y), at(side, end))
		p.arc("three-point", 0, cy, three, -90*s-half, -90*s+half)
		p.bar("backboard", 0, s*(y-1.2), 2.90, 1.80, 0.05)
		p.Posts[len(p.Posts)-1].Height = 1.05
		p.bar("rim", 0, s*(y-basket), 3.03, 0.45, 0.02)
		p.Posts[len(p.Posts)-1].Depth = 0.45
		p.post("basket post", 0, s*(y+1), 2.9, 0.25)
	}
	return p
}

// diamond: home plate is the origin, y runs over second base.
func diamond(name string, base, pitch, fence float64) plan {
	p := begin(name, "turf", "published youth field specification; infield arc from memory", 0.05, 45, 35)
	h := base / math.Sqrt2
	skin := pitch + base*0.05
	radius := base
	p.area("infield", "clay", append(arc(0, skin, radius, -45, 225), at(0, -1.5))...)
	p.line("foul line", at(0, 0), at(fence/math.Sqrt2, fence/math.Sqrt2))
	p.line("foul line", at(0, 0), at(-fence/math.Sqrt2, fence/math.Sqrt2))
	p.line("bases", at(h, h), at(0, 2*h), at(-h, h))
	p.circle("pitching circle", 0, pitch, 8*ft)
	p.width = 0.15
	p.line("pitching plate", at(-0.305, pitch), at(0.305, pitch))
	// Home to third and first is a foul line; the fence is where it stands in
	// the specification, and each ground's own should be measured.
	p.width = 0.05
	p.arc("fence", 0, 0, fence, 45, 135)
	return p
}

func lacrosse() plan {
	p := begin("lacrosse", "turf", "field 110 × 60 yd; inner lines from memory", 0.10, 20, 35)
	const x, y = 30 * yd, 55 * yd
	p.rect("boundary", -x, -y, x, y)
	p.line("midline", at(-x, 0), at(x, 0))
	for _, s := range []float64{-1, 1} {
		goal := s * (y - 15*yd)
		p.circle("crease", 0, goal, 9*ft)
		p.line("restraining line", at(-x, s*(y-35*yd)), at(x, s*(y-35*yd)))
		p.post("goal post", -3*ft, goal, 6*ft, 0.05)
		p.post("goal post", 3*ft, goal, 6*ft, 0.05)
		p.bar("crossbar", 0, goal, 6*ft, 6*ft, 0.05)
	}
	return p
}

func fieldHockey() plan {
	p := begin("field hockey", "synthetic turf", "[FIH] 91.4 × 55 m; inner lines from memory", 0.075, 45, 45)
	const x, y, goal, circle = 27.5, 45.7, 3.66, 14.63
	p.rect("boundary", -x, -y, x, y)
	p.line("centre", at(-x, 0), at(x, 0))
	for _, s := range []float64{-1, 1} {
		p.line("23 m", at(-x, s*(y-22.90)), at(x, s*(y-22.90)))
		p.arc("circle", goal/2, s*y, circle, 0, -90*s)
		p.arc("circle", -goal/2, s*y, circle, 180, 180+90*s)
		p.line("circle", at(-goal/2, s*(y-circle)), at(goal/2, s*(y-circle)))
		p.post("goal post", -goal/2, s*y, 2.14, 0.05)
		p.post("goal post", goal/2, s*y, 2.14, 0.05)
		p.bar("crossbar", 0, s*y, 2.14, goal, 0.05)
	}
	return p
}

func volleyball() plan {
	p := begin("volleyball", "wooden floor", "[FIVB] 18 × 9 m; inner lines from memory", 0.05, 20, 35)
	p.rect("boundary", -4.5, -9, 4.5, 9)
	p.line("centre", at(-4.5, 0), at(4.5, 0))
	p.line("attack", at(-4.5, 3), at(4.5, 3))
	p.line("attack", at(-4.5, -3), at(4.5, -3))
	p.post("net post", -5.5, 0, 2.55, 0.10)
	p.post("net post", 5.5, 0, 2.55, 0.10)
	p.net(0, 0, 1.43, 9.5, 1.0)
	return p
}

func netball() plan {
	p := begin("netball", "hard court", "court 30.5 × 15.25 m; inner lines from memory", 0.05, 20, 35)
	const x, y = 15.25 / 2, 30.5 / 2
	p.rect("boundary", -x, -y, x, y)
	p.circle("centre circle", 0, 0, 0.45)
	for _, s := range []float64{-1, 1} {
		p.line("third", at(-x, s*y/3), at(x, s*y/3))
		p.arc("goal circle", 0, s*y, 4.9, 0, -180*s)
		p.post("goal post", 0, s*y, 3.05, 0.08)
	}
	return p
}

func pool(name string, length float64, lanes int) plan {
	p := begin(name, "concrete", "swimming facilities rules, from memory", 0.25, 0, 0)
	x, y := float64(lanes)*2.5/2, length/2
	p.patch("deck", "concrete", -x-4, -y-4, x+4, y+4)
	p.patch("water", "water", -x, -y, x, y)
	p.width = 0.10
	for i := 0; i <= lanes; i++ {
		lane := -x + float64(i)*2.5
		p.line("lane rope", at(lane, -y), at(lane, y))
	}
	return p
}
