package sheet

import (
	"fmt"
	"math"
	"slices"
)

// Stage is where everything stands, for the drawings. Lengths in metres,
// angles in degrees. Angles from the camera line run clockwise seen from above,
// so that a positive one is on the left of whoever looks through the camera.
type Stage struct {
	ID           string // names the marks that can be measured
	Camera       float64
	CameraPaces  float64
	CameraHeight float64
	Looks        float64 // bearing of the camera
	FieldOfView  float64 // across the frame, 0 for not known
	Faces        float64 // bearing the subject faces
	Figure       float64 // height of the subject
	Lights       []Spot
	SunUp        bool
	SunAltitude  float64
	SunAxis      float64 // 0 ahead of the lens, + to the right
}

// Spot is one light of a stage.
type Spot struct {
	Role     string
	Angle    float64 // from the line subject to camera
	Distance float64 // along the ground, from below the front of the modifier to the mark
	Paces    float64
	Height   float64 // of the head; 0 for not said
	Width    float64 // of the front of the modifier
}

// vec is a place on the ground or on the wall, in metres: X to the right, Y
// forward or up.
type vec struct{ x, y float64 }

func turned(deg float64) vec {
	s, c := math.Sincos(deg * math.Pi / 180)
	return vec{s, c}
}

func (a vec) plus(b vec) vec          { return vec{a.x + b.x, a.y + b.y} }
func (a vec) times(k float64) vec     { return vec{a.x * k, a.y * k} }
func (a vec) left() vec               { return vec{-a.y, a.x} }
func (a vec) unit() vec               { return a.times(1 / max(math.Hypot(a.x, a.y), 1e-9)) }
func (a vec) towards(b vec) vec       { return b.plus(a.times(-1)).unit() }
func (s Spot) at() vec                { return turned(180 + s.Angle).times(s.Distance) }
func (s Stage) lens() vec             { return vec{0, -s.Camera} }
func (s Stage) face() float64         { return 0.93 * s.Figure } // eyes stand at about 0.93 of the height
func (s Stage) bearing(b float64) vec { return turned(b - s.Looks) }

// head is where a light stands in the side drawing; one whose height nobody said
// as high as the face, which is what the plan paces by.
func (s Stage) head(l Spot) vec {
	if l.Height == 0 {
		return vec{l.at().y, s.face()}
	}
	return vec{l.at().y, l.Height}
}

// scales are what a ruler or a quick head can work with.
var scales = []float64{10, 15, 20, 25, 30, 40, 50, 60, 75, 100, 125, 150, 175, 200, 225, 250, 300, 350, 400, 450, 500, 600, 700, 800, 1000, 1500, 2000, 3000, 5000, 7500, 10000, 20000, 50000}

// view maps metres to the page.
type view struct {
	x, y, w, h float64 // mm, of the frame
	scale      float64 // 1:scale
	origin     Point   // where {0, 0} stands
}

// viewOf chooses the largest scale at which low..high fits into the frame with
// room for words around it, and centres it.
func viewOf(x, y, w, h float64, low, high vec, roomX, roomY float64) view {
	v := view{x: x, y: y, w: w, h: h, scale: scales[len(scales)-1]}
	for _, s := range scales {
		if (high.x-low.x)*1000/s <= w-2*roomX && (high.y-low.y)*1000/s <= h-2*roomY {
			v.scale = s
			break
		}
	}
	k := 1000 / v.scale
	v.origin = Point{x + w/2 - (low.x+high.x)/2*k, y + h/2 + (low.y+high.y)/2*k}
	return v
}

func (v view) at(a vec) Point {
	k := 1000 / v.scale
	return Point{v.origin.X + a.x*k, v.origin.Y - a.y*k}
}

// edge returns where the ray from a in direction d leaves the frame, inset mm
// inside of it.
func (v view) edge(a Point, d vec, inset float64) Point {
	t := math.Inf(1)
	if d.x > 1e-9 {
		t = min(t, (v.x+v.w-inset-a.X)/d.x)
	} else if d.x < -1e-9 {
		t = min(t, (v.x+inset-a.X)/d.x)
	}
	if d.y > 1e-9 { // up the page
		t = min(t, (a.Y-v.y-inset)/d.y)
	} else if d.y < -1e-9 {
		t = min(t, (a.Y-(v.y+v.h-inset))/d.y)
	}
	t = max(t, 0)
	return Point{a.X + d.x*t, a.Y - d.y*t}
}

// area is a part of the page, for keeping words apart.
type area struct{ x, y, w, h float64 }

func around(p Point, r float64) area { return area{p.X - r, p.Y - r, 2 * r, 2 * r} }

// off is how far a point is from the area.
func (a area) off(p Point) float64 {
	return math.Hypot(max(a.x-p.X, 0, p.X-a.x-a.w), max(a.y-p.Y, 0, p.Y-a.y-a.h))
}

func (a area) overlap(b area) float64 {
	w := min(a.x+a.w, b.x+b.w) - max(a.x, b.x)
	h := min(a.y+a.h, b.y+b.h) - max(a.y, b.y)
	if w <= 0 || h <= 0 {
		return 0
	}
	return w * h
}

// drawing is a view with what already stands in it.
type drawing struct {
	*pen
	view
	taken []area
	lines [][2]Point // thin lines words may cross, but rather not
	named []Point    // what has words: each stands nearest to its own
	words []label
}

type label struct {
	at    area
	lines []string
}

const labelSize, labelLead = MinType, 3.35

// label writes lines near a point, reach away, where they cover least, and
// rather on the side of out than on the other.
func (d *drawing) label(near Point, out vec, reach float64, lines ...string) {
	const step, far = 1.0, 16.0
	w := 0.0
	for i, l := range lines {
		w = max(w, Width(l, labelSize, i == 0))
	}
	h := labelLead*float64(len(lines)) + 0.2
	best, cost := area{near.X, near.Y - h, w, h}, math.Inf(1)
	for y := max(d.y, near.Y-far-h); y <= min(d.y+d.h-h, near.Y+far); y += step {
		for x := max(d.x, near.X-far-w); x <= min(d.x+d.w-w, near.X+far); x += step {
			a := area{x, y, w, h}
			away := a.off(near)
			c := vec{x + w/2 - near.X, near.Y - y - h/2}.unit()
			sum := 2*math.Abs(away-reach) + 2*(1-c.x*out.x-c.y*out.y)
			if sum >= cost {
				continue
			}
			for _, o := range d.named {
				if o != near {
					sum += 4 * max(away+1.5-a.off(o), 0)
				}
			}
			if sum += d.covered(area{x - 0.7, y - 0.2, w + 1.4, h + 0.4}); sum < cost-1e-9 {
				best, cost = a, sum
			}
		}
	}
	d.taken = append(d.taken, best)
	d.words = append(d.words, label{best, lines})
}

// crossed is how much of a line runs through an area, mm.
func crossed(a area, l [2]Point) float64 {
	from, to := 0.0, 1.0 // the part of the line inside, as shares of it
	dx, dy := l[1].X-l[0].X, l[1].Y-l[0].Y
	for _, side := range [4][2]float64{{-dx, l[0].X - a.x}, {dx, a.x + a.w - l[0].X}, {-dy, l[0].Y - a.y}, {dy, a.y + a.h - l[0].Y}} {
		switch run, room := side[0], side[1]; {
		case run == 0 && room < 0:
			return 0
		case run < 0:
			from = max(from, room/run)
		case run > 0:
			to = min(to, room/run)
		}
	}
	return max(to-from, 0) * math.Hypot(dx, dy)
}

// write puts the words down last, on white, so that lines stop before them.
func (d *drawing) write() {
	for _, l := range d.words {
		d.fill(l.at.x-0.4, l.at.y, l.at.w+0.8, l.at.h, White)
		for i, s := range l.lines {
			d.put(Text{At: Point{l.at.x, l.at.y + labelLead*float64(i+1) - 0.75}, Size: labelSize, Bold: i == 0, Words: s})
		}
	}
}

func (d *drawing) line(name string, a, b Point, width float64, dashed bool) {
	d.put(Path{Name: name, Points: []Point{a, b}, Stroke: width, Dashed: dashed})
	d.lines = append(d.lines, [2]Point{a, b})
}

// shape draws a closed outline of metres.
func (d *drawing) shape(fill Ink, stroke float64, pts ...vec) {
	p := Path{Closed: true, Fill: fill, Stroke: stroke}
	for _, q := range pts {
		p.Points = append(p.Points, d.at(q))
	}
	d.put(p)
	xs, ys := []float64{}, []float64{}
	for _, q := range p.Points {
		xs, ys = append(xs, q.X), append(ys, q.Y)
	}
	d.taken = append(d.taken, area{slices.Min(xs), slices.Min(ys), slices.Max(xs) - slices.Min(xs), slices.Max(ys) - slices.Min(ys)})
}

// arrow draws a line with a head at b.
func (d *drawing) arrow(a, b Point, width, head float64) {
	u := vec{b.X - a.X, b.Y - a.Y}.unit()
	n := u.left()
	back := Point{b.X - u.x*head, b.Y - u.y*head}
	d.rule(a.X, a.Y, back.X, back.Y, width)
	d.put(Path{Points: []Point{b, {back.X + n.x*head*0.36, back.Y + n.y*head*0.36}, {back.X - n.x*head*0.36, back.Y - n.y*head*0.36}}, Closed: true, Fill: Black})
}

// leastLamp is how wide a light is drawn at least, mm on paper.
const leastLamp = 1.8

// lamp draws a light of its true width, or as wide as can be seen, whose front stands at a and looks to b.
// The key is solid, the edge open, the fill open with a bar across: roles are
// told without colour.
func (d *drawing) lamp(s Spot, a, b vec) {
	look := a.towards(b)
	n := look.left()
	half := max(s.Width/2, leastLamp/2*d.scale/1000)
	deep := min(max(0.6*s.Width, 0.18), 0.4)
	back := a.plus(look.times(-deep))
	rear := min(half, 0.09)
	fill := White
	if s.Role == "key" {
		fill = Black
	}
	d.shape(fill, firm, a.plus(n.times(half)), back.plus(n.times(rear)), back.plus(n.times(-rear)), a.plus(n.times(-half)))
	if s.Role == "fill" {
		p, q := d.at(a.plus(look.times(-deep/2)).plus(n.times(half*0.8))), d.at(a.plus(look.times(-deep/2)).plus(n.times(-half*0.8)))
		d.rule(p.X, p.Y, q.X, q.Y, firm)
	}
}

// sun draws a disc with rays, and an arrow the way its light goes.
func (d *drawing) sun(at Point, goes vec, reach float64) {
	const r = 1.5
	d.put(Circle{Centre: at, Radius: r, Fill: White, Stroke: firm})
	for k := range 8 {
		u := turned(float64(k) * 45)
		d.rule(at.X+u.x*(r+0.5), at.Y-u.y*(r+0.5), at.X+u.x*(r+1.3), at.Y-u.y*(r+1.3), thin)
	}
	d.arrow(Point{at.X + goes.x*(r+1.6), at.Y - goes.y*(r+1.6)}, Point{at.X + goes.x*(r+reach), at.Y - goes.y*(r+reach)}, thin, 1.5)
	d.taken = append(d.taken, around(at, r+1.4), around(Point{at.X + goes.x*(r+reach/2), at.Y - goes.y*(r+reach/2)}, reach/2.5))
}

// ruler draws the scale under a drawing, in figures and as a bar.
func (d *drawing) ruler(name string, units Units) {
	step, words := 0.0, ""
	per, lengths := 1.0, []float64{0.5, 1, 2, 5, 10, 20, 50, 100}
	if units == Imperial {
		per, lengths = 0.3048, lengths[1:]
	}
	for _, n := range lengths {
		if mm := n * per * 1000 / d.scale; mm <= min(16, d.w-33) || step == 0 {
			step = mm
			words = fmt.Sprintf("%g m", n)
			if units == Imperial {
				words = fmt.Sprintf("%g′", n)
			}
		}
	}
	y := d.y + d.h + 3.3
	d.text(d.x, y, MinType, fmt.Sprintf("%s 1:%g", name, d.scale))
	x := d.x + d.w - step - Width(words, MinType, false) - 1.2
	d.rule(x, y-0.9, x+step, y-0.9, firm)
	d.rule(x, y-1.7, x, y-0.1, firm)
	d.rule(x+step, y-1.7, x+step, y-0.1, firm)
	d.text(x+step+1.2, y, MinType, words)
}

// rulerHeight is what the line under a drawing needs.
const rulerHeight = 4.2

// roomy is the height from which a plan has room for paces, mm.
const roomy = 38.0

// plan draws the stage from above, as it lies before whoever stands behind the
// camera: forward is up the page.
func (p *pen) plan(s Stage, x, y, w, h float64, units Units) {
	low, high := vec{-0.3, -s.Camera - 0.2}, vec{0.3, 0.4}
	grow := func(v vec, r float64) {
		low = vec{min(low.x, v.x-r), min(low.y, v.y-r)}
		high = vec{max(high.x, v.x+r), max(high.y, v.y+r)}
	}
	for _, l := range s.Lights {
		grow(l.at().times((l.Distance+0.3)/max(l.Distance, 0.01)), l.Width/2)
	}
	d := &drawing{pen: p, view: viewOf(x, y, w, h-rulerHeight, low, high, 4, 2)}
	mark, lens := d.at(vec{}), d.at(s.lens())
	d.put(Path{Points: []Point{{x, y + d.h}, {x + w, y + d.h}}, Stroke: hair})

	// What the frame takes in.
	if s.FieldOfView > 0 && s.FieldOfView < 170 {
		for _, side := range []float64{-1, 1} {
			e := d.edge(lens, turned(side*s.FieldOfView/2), 0)
			d.line("", lens, e, hair, false)
		}
	}
	d.line(s.ID+"/plan/camera", lens, mark, hair, true)
	for _, l := range s.Lights {
		d.line(s.ID+"/plan/"+l.Role, d.at(l.at()), mark, thin, false)
	}

	// The subject at its size, facing where it faces.
	r := max(0.24*1000/d.scale, 1.1)
	f := s.bearing(s.Faces)
	nose := Point{mark.X + f.x*r*1.6, mark.Y - f.y*r*1.6}
	n := f.left()
	d.put(Path{Points: []Point{nose, {mark.X + (n.x*0.7+f.x*0.7)*r, mark.Y - (n.y*0.7+f.y*0.7)*r}, {mark.X - (n.x*0.7-f.x*0.7)*r, mark.Y + (n.y*0.7-f.y*0.7)*r}}, Closed: true, Fill: Black})
	d.put(Circle{Name: s.ID + "/plan/mark", Centre: mark, Radius: r, Fill: White, Stroke: firm})
	d.rule(mark.X-r*0.6, mark.Y, mark.X+r*0.6, mark.Y, thin)
	d.rule(mark.X, mark.Y-r*0.6, mark.X, mark.Y+r*0.6, thin)
	d.taken = append(d.taken, around(mark, r*1.3))

	// The camera: body behind the lens.
	d.fill(lens.X-1.5, lens.Y+0.7, 3, 1.7, Black)
	d.put(Path{Points: []Point{{lens.X - 0.7, lens.Y}, {lens.X + 0.7, lens.Y}, {lens.X + 0.7, lens.Y + 0.8}, {lens.X - 0.7, lens.Y + 0.8}}, Closed: true, Fill: Black})
	d.taken = append(d.taken, area{lens.X - 1.7, lens.Y - 0.3, 3.4, 2.9})
	for _, l := range s.Lights {
		d.lamp(l, l.at(), vec{})
	}

	d.named = append(d.named, Point{lens.X, lens.Y + 1})
	for _, l := range s.Lights {
		d.named = append(d.named, d.at(l.at()))
	}
	// In a small drawing the paces would cover it; the table has them.
	label := func(at Point, out vec, reach float64, words string, paces float64) {
		if d.h < roomy {
			d.label(at, out, reach, words)
		} else {
			d.label(at, out, reach, words, Paces(paces))
		}
	}
	for _, l := range s.Lights {
		label(d.at(l.at()), l.at().unit(), 2.4, l.Role+" "+units.Length(l.Distance), l.Paces)
	}
	label(Point{lens.X, lens.Y + 1}, vec{}, 2.2, "camera "+units.Length(s.Camera), s.CameraPaces)
	if s.SunUp {
		d.sunBeside(mark, turned(s.SunAxis), fmt.Sprintf("sun %.0f°", s.SunAltitude))
	}
	d.write()
	d.north(s)
	d.ruler("plan", units)
}

// sunBeside draws the sun and its words where they cover least, rather at the
// rim of the frame on the side it shines from. It is far away: only the way of
// its light counts.
func (d *drawing) sunBeside(centre Point, from vec, words string) {
	const reach, half, step = 5, 2.9, 2.0
	rim := d.edge(centre, from, 3.2)
	w := Width(words, labelSize, true)
	var at Point
	var name area
	cost := math.Inf(1)
	for y := d.y + half; y <= d.y+d.h-half; y += step {
		for x := d.x + half; x <= d.x+d.w-half; x += step {
			c := Point{x, y}
			tip := Point{x - from.x*(1.5+reach), y + from.y*(1.5+reach)}
			areas := []area{around(c, half), around(Point{(x + 2*tip.X) / 3, (y + 2*tip.Y) / 3}, 2), around(tip, 0.7)}
			ahead := (x-centre.X)*from.x - (y-centre.Y)*from.y // towards the sun
			sum := 0.5*math.Hypot(x-rim.X, y-rim.Y) + 2*max(4-ahead, 0) + d.covered(areas...)
			if words == "" {
				if sum < cost-1e-9 {
					at, cost = c, sum
				}
				continue
			}
			if sum >= cost {
				continue
			}
			for i, p := range []Point{{x - w/2, y + half}, {x - w/2, y - half - labelLead}, {x + half + 0.8, y - labelLead/2}, {x - half - 0.8 - w, y - labelLead/2}} {
				a := area{p.X, p.Y, w, labelLead + 0.2}
				more := sum + 0.3*float64(i) + d.covered(a) + 3*a.overlap(areas[1])
				if more < cost-1e-9 {
					at, name, cost = c, a, more
				}
			}
		}
	}
	d.sun(at, from.times(-1), reach)
	if words != "" {
		d.taken = append(d.taken, name)
		d.words = append(d.words, label{name, []string{words}})
	}
}

// covered is how much areas would hide, and how far they stand out of the frame.
func (d *drawing) covered(areas ...area) float64 {
	sum := 0.0
	for _, a := range areas {
		sum += 50 * (a.w*a.h - a.overlap(area{d.x, d.y, d.w, d.h}))
		for _, t := range d.taken {
			sum += 10 * a.overlap(t)
		}
		for _, l := range d.lines {
			sum += 1.5 * crossed(a, l)
		}
	}
	return sum
}

// northSteps are the places tried for the needle on each side.
const northSteps = 9

// north draws the needle at the side where it covers least.
func (d *drawing) north(s Stage) {
	const r, in = 3.0, 5.6
	n := s.bearing(0)
	var best, tip Point
	cost := math.Inf(1)
	// Rather at the top, and rather on the right.
	for k := range 2 * northSteps {
		down := float64(k/2) / (northSteps - 1)
		c, sum := Point{d.x + d.w - in, d.y + in + down*(d.h-2*in)}, 6*down
		if k%2 == 1 {
			c.X, sum = d.x+in, sum+1
		}
		t := Point{c.X + n.x*(r+1.7), c.Y - n.y*(r+1.7)}
		if sum += d.covered(around(c, r-0.4), around(t, 2)); sum < cost-1e-9 {
			best, tip, cost = c, t, sum
		}
	}
	d.arrow(Point{best.X - n.x*r, best.Y + n.y*r}, Point{best.X + n.x*r, best.Y - n.y*r}, firm, 2.4)
	d.put(Text{At: Point{tip.X - Width("N", MinType, true)/2, tip.Y + 1.15}, Size: MinType, Bold: true, Words: "N"})
}

// side draws the stage from its right, straight across the camera line: the
// camera stands left, heights are true, lights stand where they are along that
// line.
func (p *pen) side(s Stage, x, y, w, h float64, units Units) {
	low, high := vec{-s.Camera - 0.25, 0}, vec{0.4, max(s.Figure, s.CameraHeight) + 0.15}
	for _, l := range s.Lights {
		a := l.at()
		low.x, high.x = min(low.x, a.y-0.3), max(high.x, a.y+0.3)
		high.y = max(high.y, l.Height+l.Width/2)
	}
	d := &drawing{pen: p, view: viewOf(x, y, w, h-rulerHeight, low, high, 3.5, 4.5)} // the sky holds names and the sun
	// The ground is the line the drawing stands on.
	d.origin.Y = y + d.h
	d.put(Path{Points: []Point{{x, y + d.h}, {x + w, y + d.h}}, Stroke: firm})

	lens, face := d.at(vec{-s.Camera, s.CameraHeight}), d.at(vec{0, s.face()})
	foot := d.at(vec{-s.Camera, 0})
	d.line("", lens, face, hair, true)
	d.line(s.ID+"/side/camera", foot, lens, hair, false)
	for _, l := range s.Lights {
		a, name := s.head(l), s.ID+"/side/"+l.Role
		if l.Height == 0 {
			name = "" // not to be measured
		}
		d.line("", d.at(a), face, thin, false)
		d.line(name, d.at(vec{a.x, 0}), d.at(a), firm, l.Height == 0)
	}
	d.figure(s.Figure)
	d.fill(lens.X-2.4, lens.Y-0.85, 1.7, 1.7, Black)
	d.fill(lens.X-0.8, lens.Y-0.5, 0.8, 1, Black)
	d.taken = append(d.taken, area{lens.X - 2.6, lens.Y - 1, 2.8, 2})
	for _, l := range s.Lights {
		d.lamp(l, s.head(l), vec{0, s.face()})
	}
	d.named = append(d.named, lens)
	for _, l := range s.Lights {
		d.named = append(d.named, d.at(s.head(l)))
	}
	for i, l := range s.Lights {
		words := l.Role + " " + units.Length(l.Height)
		if l.Height == 0 {
			words = l.Role + " height ?"
		}
		d.label(d.named[i+1], vec{0, 1}, 2.2, words)
	}
	d.label(lens, vec{0, 1}, 2.4, units.Length(s.CameraHeight))
	if s.SunUp {
		up := s.SunAltitude * math.Pi / 180
		from := vec{math.Cos(up) * math.Cos(s.SunAxis*math.Pi/180), math.Sin(up)}.unit()
		d.sunBeside(face, from, "")
	}
	d.write()
	d.ruler("side", units)
}

// figure draws a standing person of a height, from proportions: a head of an
// eighth, shoulders, hips, feet.
func (d *drawing) figure(h float64) {
	head := h / 15
	k := 1000 / d.scale
	c := d.at(vec{0, h - head})
	pts := []vec{{-0.05 * h, 0}, {-0.055 * h, 0.48 * h}, {-0.08 * h, 0.79 * h}, {-0.055 * h, 0.83 * h}, {0.055 * h, 0.83 * h}, {0.08 * h, 0.79 * h}, {0.055 * h, 0.48 * h}, {0.05 * h, 0}}
	d.shape(Black, 0, pts...)
	d.put(Circle{Centre: c, Radius: head * k, Fill: Black})
	d.taken = append(d.taken, around(c, head*k))
}
