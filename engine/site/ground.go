package site

import (
	"math"

	"hardnoon/engine/geom"
	"hardnoon/engine/unit"
)

// Line is a painted line, or an edge, as a chain of points.
type Line struct {
	Name   string
	Points []geom.Vec
	Width  unit.Length
}

// Area is a patch of ground with one surface. Later areas lie on earlier ones.
type Area struct {
	Name     string
	Material string
	Outline  []geom.Vec // closed by itself
}

// Ground is a sports ground, drawn in its plan or laid in the world.
type Ground struct {
	Name    string // "soccer, adult"
	Surface string // material around and under everything
	Areas   []Area
	Lines   []Line
	Posts   []Solid // goals, nets, baskets
	// LongAxisWest and LongAxisEast are how far from north the long axis may be
	// laid so that low sun is not in the players' eyes; zero both: not said.
	LongAxisWest, LongAxisEast unit.Angle
	Source                     string
}

// Laid returns the ground laid at a place.
func (g Ground) Laid(at Place) (Ground, error) {
	if err := at.check(g.Name); err != nil {
		return Ground{}, err
	}
	move := func(ps []geom.Vec) []geom.Vec {
		out := make([]geom.Vec, len(ps))
		for i, p := range ps {
			out[i] = at.World(p)
		}
		return out
	}
	out := g
	out.Areas = make([]Area, len(g.Areas))
	for i, a := range g.Areas {
		a.Outline = move(a.Outline)
		out.Areas[i] = a
	}
	out.Lines = make([]Line, len(g.Lines))
	for i, l := range g.Lines {
		l.Points = move(l.Points)
		out.Lines[i] = l
	}
	out.Posts = make([]Solid, len(g.Posts))
	for i, p := range g.Posts {
		p.At = at.World(p.At)
		p.Bearing += at.Bearing
		out.Posts[i] = p
	}
	return out, nil
}

// Grid returns n × n points spread evenly over the box around the lines, in the
// axes of the plan the ground is drawn in.
func (g Ground) Grid(n int) []geom.Vec {
	lo, hi := geom.Vec{X: math.Inf(1), Y: math.Inf(1)}, geom.Vec{X: math.Inf(-1), Y: math.Inf(-1)}
	for _, l := range g.Lines {
		for _, p := range l.Points {
			lo, hi = geom.Vec{X: min(lo.X, p.X), Y: min(lo.Y, p.Y)}, geom.Vec{X: max(hi.X, p.X), Y: max(hi.Y, p.Y)}
		}
	}
	var out []geom.Vec
	for i := range n * n {
		u, v := (float64(i%n)+0.5)/float64(n), (float64(i/n)+0.5)/float64(n)
		out = append(out, geom.Vec{X: lo.X + u*(hi.X-lo.X), Y: lo.Y + v*(hi.Y-lo.Y)})
	}
	return out
}

// SurfaceAt returns the name of the material at a point: white paint on a line,
// else that of the topmost area, else the surface around.
func (g Ground) SurfaceAt(p geom.Vec) string {
	p.Z = 0
	for _, l := range g.Lines {
		half := l.Width.Metres() / 2
		for i := 1; i < len(l.Points); i++ {
			if distanceToSegment(p, l.Points[i-1], l.Points[i]) <= half {
				return "white paint"
			}
		}
	}
	for i := len(g.Areas) - 1; i >= 0; i-- {
		if inside(p, g.Areas[i].Outline) {
			return g.Areas[i].Material
		}
	}
	return g.Surface
}

func distanceToSegment(p, a, b geom.Vec) float64 {
	a.Z, b.Z = 0, 0
	ab := b.Sub(a)
	t := 0.0
	if n := ab.Norm2(); n > 0 {
		t = min(1, max(0, p.Sub(a).Dot(ab)/n))
	}
	return p.Sub(a.Add(ab.Scale(t))).Norm()
}

// inside counts how often a ray to the east leaves the outline.
func inside(p geom.Vec, outline []geom.Vec) bool {
	in := false
	for i, a := range outline {
		b := outline[(i+1)%len(outline)]
		if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(p.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
			in = !in
		}
	}
	return in
}

// Length returns the length of the chain.
func (l Line) Length() unit.Length {
	sum := 0.0
	for i := 1; i < len(l.Points); i++ {
		sum += l.Points[i].Sub(l.Points[i-1]).Norm()
	}
	return unit.Length(sum)
}

// A plan is a ground while it is being drawn; lengths in metres.
type plan struct {
	Ground
	width float64 // of its lines
}

func at(x, y float64) geom.Vec { return geom.Vec{X: x, Y: y} }

func (p *plan) line(name string, points ...geom.Vec) {
	p.Lines = append(p.Lines, Line{name, points, unit.Length(p.width)})
}

func (p *plan) rect(name string, x0, y0, x1, y1 float64) {
	p.line(name, at(x0, y0), at(x1, y0), at(x1, y1), at(x0, y1), at(x0, y0))
}

// arc draws from angle a to b, degrees counter-clockwise from x.
func (p *plan) arc(name string, cx, cy, r, a, b float64) {
	p.line(name, arc(cx, cy, r, a, b)...)
}

func (p *plan) circle(name string, cx, cy, r float64) { p.arc(name, cx, cy, r, 0, 360) }

func (p *plan) area(name, material string, outline ...geom.Vec) {
	p.Areas = append(p.Areas, Area{name, material, outline})
}

func (p *plan) patch(name, material string, x0, y0, x1, y1 float64) {
	p.area(name, material, at(x0, y0), at(x1, y0), at(x1, y1), at(x0, y1))
}

func (p *plan) post(name string, x, y, height, thick float64) {
	p.Posts = append(p.Posts, Solid{Name: name, Kind: Pole, At: at(x, y),
		Width: unit.Length(thick), Height: unit.Length(height), Material: "white paint"})
}

func (p *plan) bar(name string, x, y, z, long, thick float64) {
	p.Posts = append(p.Posts, Solid{Name: name, Kind: Wall, At: geom.Vec{X: x, Y: y, Z: z},
		Width: unit.Length(long), Depth: unit.Length(thick), Height: unit.Length(thick), Material: "white paint"})
}

// net is a see-through sheet across the plan.
func (p *plan) net(x, y, z, wide, tall float64) {
	p.Posts = append(p.Posts, Solid{Name: "net", Kind: Fence, At: geom.Vec{X: x, Y: y, Z: z},
		Width: unit.Length(wide), Height: unit.Length(tall), Material: "dark paint"})
}

// arc returns a chain that leaves the true arc by at most 1 mm.
func arc(cx, cy, r, a, b float64) []geom.Vec {
	step := 2 * math.Acos(max(0.5, 1-0.001/r)) * 180 / math.Pi
	n := max(2, int(math.Ceil(math.Abs(b-a)/step)))
	out := make([]geom.Vec, n+1)
	for i := range out {
		t := (a + (b-a)*float64(i)/float64(n)) * math.Pi / 180
		out[i] = at(cx+r*math.Cos(t), cy+r*math.Sin(t))
	}
	return out
}
