package site

import (
	"math"

	"hardnoon/engine/geom"
	"hardnoon/engine/unit"
)

// Kind of a thing that stands on the place.
type Kind int

const (
	Wall Kind = iota
	Fence
	Pole
	Seating // rows of seats that rise away from the field
	Building
	Vehicle
	Tree
	FieldLight // a pole with a bank of lamps on top
	kinds
)

var kindNames = [kinds]string{"wall", "fence", "pole", "seating", "building", "vehicle", "tree", "field light"}

func (k Kind) String() string {
	if k < 0 || k >= kinds {
		return "unknown"
	}
	return kindNames[k]
}

// KindNamed is the inverse of Kind.String.
func KindNamed(name string) (Kind, bool) {
	for k, n := range kindNames {
		if n == name {
			return Kind(k), true
		}
	}
	return 0, false
}

// Label says what a photographer wants of a thing in the frame.
type Label int

const (
	Unlabelled Label = iota
	Keep
	Hide
)

func (l Label) String() string {
	return [...]string{"", "keep", "hide"}[min(max(l, 0), Hide)]
}

// Solid is a thing that stands on the place. Zero sizes take the usual ones of
// its kind.
type Solid struct {
	Name     string
	Kind     Kind
	At       geom.Vec   // middle of its foot; its Z lifts it off the ground
	Bearing  unit.Angle // where its y side points: seats rise, cars drive that way
	Width    unit.Length
	Depth    unit.Length // along Bearing
	Height   unit.Length
	Label    Label
	Lit      bool   // a field light that is switched on
	Material string // "" takes the usual one
}

// usual sizes of each kind, metres, and how much light passes through it.
// Common practice, no source, but for the poles (trade pages, 18 to 21 m) and
// the chain-link fence: wire of 3.2 mm in squares of 50 mm passes
// (1 − 3.2/50)² = 0.88 of the light that falls square on it.
var usual = [kinds]struct {
	width, depth, height, passes float64
	material                     string
}{
	Wall:       {10, 0.2, 2.5, 0, "concrete"},
	Fence:      {20, 0.05, 1.8, 0.88, "galvanised steel"},
	Pole:       {0.15, 0, 4, 0, "galvanised steel"},
	Seating:    {20, 5, 3, 0, "galvanised steel"},
	Building:   {20, 10, 6, 0, "buff brick"},
	Vehicle:    {1.8, 4.5, 1.5, 0, "dark paint"},
	Tree:       {6, 6, 9, 0.15, "leaves"},
	FieldLight: {0.4, 0, 18, 0, "galvanised steel"},
}

// Sized returns the solid with every size and its material said, or a
// *unit.RangeError.
func (s Solid) Sized() (Solid, error) {
	name := s.Name
	if name == "" {
		name = s.Kind.String()
	}
	if err := unit.Within(name+" kind", float64(s.Kind), 0, float64(kinds-1), ""); err != nil {
		return s, err
	}
	if err := (Place{s.At, s.Bearing}).check(name); err != nil {
		return s, err
	}
	u := usual[s.Kind]
	fill := func(l *unit.Length, of float64) {
		if *l == 0 {
			*l = unit.Length(of)
		}
	}
	fill(&s.Width, u.width)
	fill(&s.Height, u.height)
	if u.depth == 0 { // round
		fill(&s.Depth, s.Width.Metres())
	}
	fill(&s.Depth, u.depth)
	if s.Material == "" {
		s.Material = u.material
	}
	for _, x := range []struct {
		what string
		of   unit.Length
	}{{"width", s.Width}, {"depth", s.Depth}, {"height", s.Height}} {
		if err := unit.Within(name+" "+x.what, x.of.Metres(), 0.001, 2000, "m"); err != nil {
			return s, err
		}
	}
	return s, nil
}

// Form of a simple part.
type Form int

const (
	Box      Form = iota // stands on At, Size across, along and up, turned by Bearing
	Cylinder             // stands upright on At, Size.X its radius, Size.Z its height
	Ball                 // an ellipsoid about At with upright axis: Size.X its radius, Size.Z its half height
)

// Part is one simple shape of a solid.
type Part struct {
	Form     Form
	At       geom.Vec
	Size     geom.Vec
	Bearing  unit.Angle
	Material string
	Passes   float64 // share of light that passes: leaves, wire

	along, right geom.Vec // of a box, once it was turned
}

// Turned returns the part ready to meet many rays.
func (p Part) Turned() Part {
	if p.Form == Box {
		p.along, p.right = Place{Bearing: p.Bearing}.axes()
	}
	return p
}

// Parts returns the simple shapes a solid is made of.
func (s Solid) Parts() ([]Part, error) {
	s, err := s.Sized()
	if err != nil {
		return nil, err
	}
	w, d, h := s.Width.Metres(), s.Depth.Metres(), s.Height.Metres()
	place := Place{s.At, s.Bearing}
	part := func(f Form, x, y, z float64, size geom.Vec, material string) Part {
		return Part{Form: f, At: place.World(geom.Vec{X: x, Y: y, Z: z}), Size: size, Bearing: s.Bearing, Material: material}
	}
	box := func(x, y, z, w, d, h float64, material string) Part {
		return part(Box, x, y, z, geom.Vec{X: w, Y: d, Z: h}, material)
	}
	switch s.Kind {
	case Pole:
		return []Part{part(Cylinder, 0, 0, 0, geom.Vec{X: w / 2, Z: h}, s.Material)}, nil
	case Seating:
		// Five steps that rise along the bearing.
		var out []Part
		const rows = 5
		for i := range rows {
			out = append(out, box(0, d*(float64(i)+0.5)/rows-d/2, 0, w, d/rows, h*float64(i+1)/rows, s.Material))
		}
		return out, nil
	case Vehicle:
		return []Part{
			box(0, 0, 0.15*h, w, d, 0.45*h, s.Material),
			box(0, -0.05*d, 0.6*h, 0.85*w, 0.5*d, 0.4*h, s.Material),
		}, nil
	case Tree:
		crown := part(Ball, 0, 0, 0.62*h, geom.Vec{X: (w + d) / 4, Z: 0.38 * h}, s.Material)
		crown.Passes = usual[Tree].passes
		return []Part{part(Cylinder, 0, 0, 0, geom.Vec{X: 0.025 * h, Z: 0.35 * h}, "earth"), crown}, nil
	case FieldLight:
		_, across, up := s.Bank()
		return []Part{
			part(Cylinder, 0, 0, 0, geom.Vec{X: w / 2, Z: h}, s.Material),
			box(0, 0, h-up.Metres(), across.Metres(), bankDepth, up.Metres(), s.Material),
		}, nil
	case Fence:
		sheet := box(0, 0, 0, w, d, h, s.Material)
		sheet.Passes = usual[Fence].passes
		return []Part{sheet}, nil
	}
	return []Part{box(0, 0, 0, w, d, h, s.Material)}, nil
}

// bankDepth of the lamps of a field light, m. Own choice, by eye.
const bankDepth = 0.5

// Bank returns the middle of the lamps on top of a field light of known height,
// and how far they reach across and up. By eye, from pictures of such poles.
func (s Solid) Bank() (middle geom.Vec, across, up unit.Length) {
	across, up = 0.17*s.Height, 0.1*s.Height
	return s.At.Add(geom.Up.Scale((s.Height - up/2).Metres())), across, up
}

// Front returns the middle of the front of the lamps when they are turned to a
// point: so far before the middle of the bank that no tilt sinks it in there.
func (s Solid) Front(aim geom.Vec) geom.Vec {
	middle, _, up := s.Bank()
	d := aim.Sub(middle).Unit()
	level := geom.Vec{X: d.X, Y: d.Y}
	return middle.Add(level.Unit().Scale(bankDepth/2 + up.Metres()/2*max(0, -d.Z) + 0.02))
}

// Sunlit returns the share of sunlight that reaches a point past the solids,
// 0 to 1, with the sun as a point in a direction. A point inside a solid is in
// the dark.
func Sunlit(point, sun geom.Vec, solids []Solid) (float64, error) {
	if err := checkPoint("point", point); err != nil {
		return 0, err
	}
	if err := unit.Within("length of the direction to the sun", sun.Norm(), 1e-9, 1e12, ""); err != nil {
		return 0, err
	}
	if sun.Z <= 0 {
		return 0, nil
	}
	ray := geom.Ray{Origin: point, Dir: sun.Unit()}
	share := 1.0
	for _, s := range solids {
		parts, err := s.Parts()
		if err != nil {
			return 0, err
		}
		for _, p := range parts {
			if p.Meets(ray) {
				share *= p.Passes
			}
		}
	}
	return share, nil
}

// Meets reports whether a ray meets the part ahead of its origin.
func (p Part) Meets(r geom.Ray) bool { return p.MeetsWithin(r, math.Inf(1)) }

// MeetsWithin reports whether a ray of a length meets the part.
func (p Part) MeetsWithin(r geom.Ray, length float64) bool {
	near, far := p.span(r, false)
	return near <= min(far, length)
}

// span returns the stretch of a ray, from its origin on, inside the part; near
// is beyond far where there is none. Of an endless part only the footprint
// counts.
func (p Part) span(r geom.Ray, endless bool) (near, far float64) {
	o, d := r.Origin.Sub(p.At), r.Dir
	if p.Form == Box { // what is round is so however it is turned
		along, right := p.along, p.right
		if along == (geom.Vec{}) {
			along, right = Place{Bearing: p.Bearing}.axes()
		}
		o = geom.Vec{X: o.Dot(right), Y: o.Dot(along), Z: o.Z}
		d = geom.Vec{X: d.Dot(right), Y: d.Dot(along), Z: d.Z}
	}
	near, far = 0.0, math.Inf(1)
	// slab narrows the stretch of the ray to lo ≤ coordinate ≤ hi.
	slab := func(o, d, lo, hi float64) {
		if d == 0 {
			if o < lo || o > hi {
				far = -1
			}
			return
		}
		a, b := (lo-o)/d, (hi-o)/d
		near, far = max(near, min(a, b)), min(far, max(a, b))
	}
	// round narrows it to the inside of a quadric a t² + 2 b t + c ≤ 0.
	round := func(a, b, c float64) {
		disc := b*b - a*c
		switch {
		case a == 0 && c > 0, disc < 0:
			far = -1
		case a != 0:
			q := math.Sqrt(disc)
			near, far = max(near, (-b-q)/a), min(far, (-b+q)/a)
		}
	}
	switch {
	case p.Form == Box:
		slab(o.X, d.X, -p.Size.X/2, p.Size.X/2)
		slab(o.Y, d.Y, -p.Size.Y/2, p.Size.Y/2)
	case p.Form == Cylinder || endless:
		round(d.X*d.X+d.Y*d.Y, o.X*d.X+o.Y*d.Y, o.X*o.X+o.Y*o.Y-p.Size.X*p.Size.X)
	default:
		k := p.Size.X / p.Size.Z // stretched upright, it is a sphere
		o.Z, d.Z = o.Z*k, d.Z*k
		round(d.Dot(d), o.Dot(d), o.Dot(o)-p.Size.X*p.Size.X)
	}
	if p.Form != Ball && !endless {
		slab(o.Z, d.Z, 0, p.Size.Z)
	}
	return near, far
}

// Top returns how high the part stands seen from a point along an azimuth, and
// whether it stands there at all.
func (p Part) Top(from geom.Vec, azimuth unit.Angle) (unit.Angle, bool) {
	dir := geom.Direction(azimuth, 0)
	near, far := p.span(geom.Ray{Origin: from, Dir: dir}, true)
	if near > far {
		return 0, false
	}
	if p.Form != Ball {
		rise := p.At.Z + p.Size.Z - from.Z
		if rise < 0 {
			near = far // looking down on it, the far edge is the higher
		}
		return unit.Angle(math.Atan2(rise, near)), true
	}
	// The upright plane cuts an ellipse, c ahead and h above the eye; its upper
	// tangent from the eye.
	d := p.At.Sub(from)
	c, h := d.Dot(dir), d.Z
	a := (far - near) / 2
	if near == 0 {
		a = far - c
	}
	b := p.Size.Z * a / p.Size.X
	if c <= a {
		return unit.Turn / 4, true
	}
	slope := (c*h + math.Sqrt(max(0, c*c*b*b+h*h*a*a-a*a*b*b))) / (c*c - a*a)
	return unit.Angle(math.Atan(slope)), true
}
