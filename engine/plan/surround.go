package plan

import (
	"math"
	"sync"

	"hardnoon/engine/geom"
	"hardnoon/engine/sky"
	"hardnoon/engine/unit"
)

// A surround is what stands around a point, as the light of sky and ground meets
// it: the directions that solids close, and the ground that is seen in the others.
//
// Left out: light that goes from solid to solid, and that a wall has less sky
// beside another.
type surround struct {
	at     geom.Vec
	closed []closed
	lying  []lying
}

// closed is a direction in which something stands.
type closed struct {
	dir    geom.Vec
	passes float64  // share of the light that gets past
	back   float64  // reflectance of what stands there
	front  geom.Vec // just before it
	below  bool     // ground would be seen there, not sky
}

// lying is a direction in which ground is seen.
type lying struct{ dir, at geom.Vec }

const (
	looks     = 512  // directions over the sphere
	nearField = 30.0 // m; ground farther off is taken to lie in the sun

	skylineAway = 5000.0 // m
	hazyHills   = 0.17   // reflectance of woods and fields with the light of the air before them; by eye
)

// around looks about from a point.
func (g *Ground) around(p geom.Vec) *surround {
	a := &surround{at: p}
	if len(g.parts)+len(g.Skyline) == 0 || g.Metered {
		return a
	}
	var towards [bins][]*part
	for _, x := range g.parts {
		d := x.foot.Sub(p)
		d.Z = 0
		half := unit.Turn / 2
		if n := d.Norm(); n > x.far {
			half = unit.Angle(math.Asin(x.far / n))
		}
		from := d.Azimuth() - half
		first, n := binOf(from), min(bins, 2+int(float64(2*half/unit.Turn)*bins))
		for k := range n {
			b := (first + k) % bins
			towards[b] = append(towards[b], x)
		}
	}
	for _, look := range directions() {
		dir, z := look.dir, look.dir.Z
		r, far := geom.Ray{Origin: p, Dir: dir}, math.Inf(1)
		if z < 0 {
			far = max(p.Z, 0) / -z
		}
		c := closed{dir: dir, passes: 1, below: z < 0}
		nearest := far
		for _, x := range towards[look.bin] {
			t, ok := x.Enters(r)
			if !ok || t.Metres() >= far || t == 0 && x.Passes == 0 { // nobody stands within a wall; under leaves one may
				continue
			}
			c.passes *= x.Passes
			if t.Metres() < nearest {
				nearest, c.back = t.Metres(), x.back
			}
		}
		if z > 0 && dir.Altitude() < g.Skyline.Altitude(dir.Azimuth()) {
			if c.passes == 1 {
				nearest, c.back = skylineAway, hazyHills
			}
			c.passes = 0
		}
		switch {
		case c.passes < 1:
			c.front = p.Add(dir.Scale(nearest - 0.05))
			a.closed = append(a.closed, c)
		case z < 0 && far < nearField:
			a.lying = append(a.lying, lying{dir, p.Add(dir.Scale(far))})
		}
	}
	return a
}

// goldenAngle spreads points evenly over a sphere.
const goldenAngle = 137.507764 * unit.Degree

// Solids are looked up by the bearing they stand in.
const bins = 72

func binOf(azimuth unit.Angle) int {
	return int(float64(azimuth.Positive()/unit.Turn)*bins) % bins
}

// directions returns where is looked.
var directions = sync.OnceValue(func() (out [looks]struct {
	dir geom.Vec
	bin int
}) {
	for i := range out {
		z := 1 - (2*float64(i)+1)/looks
		azimuth := unit.Angle(i) * goldenAngle
		out[i].dir, out[i].bin = geom.Direction(azimuth, unit.Angle(math.Asin(z))), binOf(azimuth)
	}
	return
})

// A shade is by how much the light of directions differs from that in the open.
type shade []changed

type changed struct {
	dir geom.Vec
	by  float64 // lx on a plane that faces there
}

// under returns the shade of the surround under a sky. Closed directions have the
// light of what stands there, taken as upright and facing the point, in the sun or
// not, over ground in the sun or not. The ground that is seen has the sun where it
// reaches it, and as much of the sky as the point.
func (a *surround) under(g *Ground, s *sky.Sky) (h shade) {
	if len(a.closed) == 0 && len(a.lying) == 0 {
		return nil
	}
	const weight = 4 * math.Pi / looks
	ground := float64(s.Luminance(geom.Up.Neg()))
	beam, dome, _ := s.Illuminance(geom.Up)
	sun, flatSun, flatSky := s.Sun, float64(beam), float64(dome)
	if !(flatSky > 0) {
		return nil // no light to take
	}
	casts := func(geom.Vec) float64 { return 1 }
	if g.BehindSkyline(sun) {
		casts = func(geom.Vec) float64 { return 0 }
	} else if some := g.casting(sun, a.at); flatSun > 0 && some != nil {
		casts = some
	}
	const facings = 24
	var upright [facings]float64
	low := 0.0
	for i := range upright {
		_, k, l := s.Illuminance(geom.Direction(unit.Angle(i)*unit.Turn/facings, 0))
		upright[i], low = float64(k), float64(l)
	}
	h = make(shade, 0, len(a.closed)+len(a.lying))
	lost := 0.0 // of the sky on the level
	for _, c := range a.closed {
		back := c.dir.Neg()
		back.Z = 0
		back = back.Unit()
		e := upright[int(float64(back.Azimuth().Positive()/unit.Turn)*facings+0.5)%facings]
		sunny := 0.0
		for _, out := range before {
			p := c.front.Add(back.Scale(out * c.front.Z))
			p.Z = 0
			sunny += casts(p) / float64(len(before))
		}
		e += low * (sunny*flatSun + flatSky) / (flatSun + flatSky)
		if lit := back.Dot(sun); lit > 0 && s.DirectNormal > 0 {
			e += float64(s.DirectNormal) * lit * casts(c.front)
		}
		was := ground
		if !c.below {
			was = float64(s.Luminance(c.dir))
		}
		change := (1 - c.passes) * (c.back*e/math.Pi - was) * weight
		h = append(h, changed{c.dir, change})
		lost -= change * max(0, c.dir.Z)
	}
	left := max(least, 1-lost/flatSky)
	for _, l := range a.lying {
		if now := (casts(l.at)*flatSun + left*flatSky) / (flatSun + flatSky); now != 1 {
			h = append(h, changed{l.dir, (now - 1) * ground * weight})
		}
	}
	return h
}

// before is how far out, in heights, the ground lies that throws light on an
// upright plane: the middles of three parts that throw as much each.
//
//	F(r)/F(∞) = 1 − h/√(h² + r²) = 1/6, 1/2, 5/6
var before = [...]float64{0.663, 1.732, 5.916}

// casting returns what tells the share of the sun at points around another, or nil
// where no shadow comes near.
func (g *Ground) casting(sun, at geom.Vec) func(p geom.Vec) float64 {
	var near []*part
	level := geom.Vec{X: -sun.X, Y: -sun.Y}.Unit() // where shadows lie
	for _, x := range g.parts {
		d := at.Sub(x.foot)
		d.Z = 0
		long := (x.At.Z + x.Size.Z) * math.Hypot(sun.X, sun.Y) / max(sun.Z, 0.02)
		if d.Sub(level.Scale(min(max(d.Dot(level), 0), long))).Norm() < x.far+nearField {
			near = append(near, x)
		}
	}
	if len(near) == 0 {
		return nil
	}
	return func(p geom.Vec) float64 { return passing(near, geom.Ray{Origin: p, Dir: sun}) }
}

// on returns by how much the light on a plane with a normal differs.
func (h shade) on(n geom.Vec) (lux float64) {
	for i := range h {
		if c := n.Dot(h[i].dir); c > 0 {
			lux += c * h[i].by
		}
	}
	return lux
}

// least is how much of the light of sky and ground is left in any case: what the
// surround leaves out is not nothing.
const least = 0.02

// among returns the ring where h is in the way; r where nothing is.
func (r *ring) among(h shade) *ring {
	if len(h) == 0 {
		return r
	}
	out := *r
	for i := range out.rest {
		out.rest[i] = h.left(r.rest[i], geom.Direction(unit.Angle(i)*unit.Turn/Bearings, 0))
	}
	out.flatRest = h.left(r.flatRest, geom.Up)
	return &out
}

// left returns what is left of the light of sky and ground on a plane with a normal.
func (h shade) left(open float64, n geom.Vec) float64 { return max(open*least, open+h.on(n)) }

// A Spot is a point among the solids, looked about from once.
type Spot struct {
	g      *Ground
	around *surround
	sky    *sky.Sky // asked for last
	shade  shade
}

// Spot looks about from a point. It is for one goroutine.
func (g *Ground) Spot(p geom.Vec) *Spot { return &Spot{g: g, around: g.around(p)} }

// Far looks about from what is far: only the skyline stands around it.
func (g *Ground) Far() *Spot {
	return (&Ground{Skyline: g.Skyline, Metered: g.Metered}).Spot(geom.Vec{})
}

// under returns the shade of the spot under a sky.
func (x *Spot) under(s *sky.Sky) shade {
	if x.sky != s {
		x.sky, x.shade = s, x.around.under(x.g, s)
	}
	return x.shade
}

// Light returns the light of sky and ground at the spot, the sun left out, on
// planes by their normal.
func (x *Spot) Light(s *sky.Sky) func(n geom.Vec) unit.Lux {
	h := x.under(s)
	return func(n geom.Vec) unit.Lux {
		_, k, low := s.Illuminance(n)
		return unit.Lux(h.left(float64(k+low), n))
	}
}
