package plan

import (
	"math"

	"hardnoon/engine/geom"
	"hardnoon/engine/site"
	"hardnoon/engine/unit"
)

// Ground is what stands around a mark.
type Ground struct {
	Skyline site.Skyline // far: what stands there takes the sun from all that is seen
	Metered bool         // the light was measured at the mark: what solids take of sky and ground is in it
	solids  []site.Solid
	parts   []*part
}

// part is a simple shape of solid number of, with a circle around its foot.
type part struct {
	site.Part
	of   int
	foot geom.Vec
	far  float64
	back float64 // reflectance
}

// NewGround returns the ground with solids on it, or a *unit.RangeError.
func NewGround(solids []site.Solid, skyline site.Skyline) (*Ground, error) {
	g := &Ground{Skyline: skyline, solids: solids}
	back := map[string]float64{}
	for _, m := range site.Materials() {
		back[m.Name] = m.Reflectance
	}
	for i, s := range solids {
		ps, err := s.Parts()
		if err != nil {
			return nil, err
		}
		for _, p := range ps {
			foot := p.At
			foot.Z = 0
			g.parts = append(g.parts, &part{p.Turned(), i, foot, p.Reach().Metres(), back[p.Material]})
		}
	}
	return g, nil
}

// Solid returns solid number i.
func (g *Ground) Solid(i int) site.Solid { return g.solids[i] }

// sunAt returns the share of the sun's light that passes the solids to a point.
func (g *Ground) sunAt(p, sun geom.Vec) float64 {
	if sun.Z <= 0 {
		return 0
	}
	return passing(g.parts, geom.Ray{Origin: p, Dir: sun})
}

// passing returns the share of light along a ray that passes some parts.
func passing(parts []*part, r geom.Ray) float64 {
	share := 1.0
	for _, x := range parts {
		if x.Meets(r) {
			share *= x.Passes
		}
	}
	return share
}

// SunAt returns the share of the sun's light that passes skyline and solids to a
// point.
func (g *Ground) SunAt(p, sun geom.Vec) float64 {
	if g.BehindSkyline(sun) {
		return 0
	}
	return g.sunAt(p, sun)
}

// Between returns the share of light that passes the solids from one point to
// another.
func (g *Ground) Between(from, to geom.Vec) float64 {
	d := to.Sub(from)
	share, r := 1.0, geom.Ray{Origin: from, Dir: d.Unit()}
	for _, x := range g.parts {
		if x.MeetsWithin(r, d.Norm()) {
			share *= x.Passes
		}
	}
	return share
}

// Shader returns the solid that keeps most of the sun from a point, or −1.
func (g *Ground) Shader(p, sun geom.Vec) int {
	best, passes := -1, 1.0
	r := geom.Ray{Origin: p, Dir: sun}
	for _, x := range g.parts {
		if x.Passes < passes && x.Meets(r) {
			best, passes = x.of, x.Passes
		}
	}
	return best
}

// BehindSkyline reports whether the sun stands behind the far skyline: it is
// gone for all that is seen, not for the mark alone.
func (g *Ground) BehindSkyline(sun geom.Vec) bool {
	return sun.Altitude() < g.Skyline.Altitude(sun.Azimuth())
}

// Backdrop is what the lens sees around and behind the subject. Shares are of
// rays through that part of the frame, 0 to 1.
type Backdrop struct {
	HideHead, HideBody, HideFrame float64
	KeepFrame                     float64
	SkyHead                       float64 // open sky behind the head
	Blocked                       bool    // something stands before the subject, or where the camera would
	Hidden, Kept, Before          int     // which solid, −1 for none
	Grown                         int     // the pole that grows out of the head, −1 for none
}

// Sizes of a head for what stands behind it: half the breadth with a little air
// around, and how far down from the crown, metres. Own judgement.
const (
	headHalf = 0.22
	headDeep = 0.45
)

// See looks along a bearing at the mark and says what is there.
func (g *Ground) See(s *Stance, mark geom.Vec, bearing unit.Angle) Backdrop {
	b := Backdrop{Hidden: -1, Kept: -1, Grown: -1, Before: -1}
	ahead := geom.Direction(bearing, 0)
	right := ahead.Cross(geom.Up)
	eye := mark.Sub(ahead.Scale(s.Away.Metres()))
	eye.Z = mark.Z + s.Lens.Metres()
	near := g.inView(s, eye, bearing)
	if len(near) == 0 {
		b.SkyHead = skyShare(s)
		return b
	}
	for _, p := range near {
		if d := p.foot.Sub(geom.Vec{X: eye.X, Y: eye.Y}); d.Norm() < p.far {
			if _, in := p.Enters(geom.Ray{Origin: eye, Dir: geom.Up}); in && p.Passes == 0 {
				b.Blocked, b.Before = true, p.of
			}
		}
	}
	met := make([]float64, len(near)) // by the ray of look
	// look sends a ray to a point in the subject's plane and tells what it meets.
	look := func(x, z float64, each func(solid int)) (open bool) {
		to := mark.Add(right.Scale(x))
		to.Z = mark.Z + z
		d := to.Sub(eye)
		subject := d.Norm()
		r := geom.Ray{Origin: eye, Dir: d.Scale(1 / subject)}
		wall := math.Inf(1)
		for i, p := range near {
			at, ok := p.Enters(r)
			met[i] = math.Inf(1)
			if !ok {
				continue
			}
			met[i] = at.Metres()
			if p.Passes == 0 && met[i] < wall {
				wall = met[i]
				if wall < subject-0.5 {
					b.Blocked, b.Before = true, p.of
				}
			}
		}
		for i, p := range near {
			if met[i] <= wall && met[i] >= subject-0.5 && !math.IsInf(met[i], 1) {
				each(p.of)
			}
		}
		return math.IsInf(wall, 1) && r.Dir.Z > 0
	}
	tall := s.stature().Metres()
	share := func(n int, x0, x1, z0, z1 float64, each func(int)) (open float64) {
		rows := n
		for i := range n {
			for j := range rows {
				f, k := (float64(i)+0.5)/float64(n), (float64(j)+0.5)/float64(rows)
				seen := -1
				if look(x0+(x1-x0)*f, z0+(z1-z0)*k, func(of int) {
					if of != seen { // parts of one solid count once
						each(of)
						seen = of
					}
				}) {
					open++
				}
			}
		}
		return open / float64(n*rows)
	}
	label := func(of int, hide, keep *float64, weight float64) {
		switch g.solids[of].Label {
		case site.Hide:
			*hide += weight
			if b.Hidden < 0 {
				b.Hidden = of
			}
		case site.Keep:
			if keep != nil {
				*keep += weight
				if b.Kept < 0 {
					b.Kept = of
				}
			}
		}
	}
	const fine, coarse = 6, 4
	b.SkyHead = share(fine, -headHalf, headHalf, tall-headDeep, tall+0.15, func(of int) {
		label(of, &b.HideHead, nil, 1.0/(fine*fine))
	})
	share(coarse, -0.30, 0.30, 0.1, tall-headDeep, func(of int) { label(of, &b.HideBody, nil, 1.0/(coarse*coarse)) })
	low, high, wide := s.frame()
	const grid = 9
	share(grid, -wide, wide, max(low, 0.02), high, func(of int) { label(of, &b.HideFrame, &b.KeepFrame, 1.0/(grid*grid)) })
	b.Grown = g.grownFrom(s, eye, ahead, right, near)
	return b
}

// grownFrom returns the narrow thing that stands right behind the head and above
// it, or −1. Rays would miss it, so its axis is projected.
func (g *Ground) grownFrom(s *Stance, eye, ahead, right geom.Vec, near []*part) int {
	tall := s.stature().Metres()
	for _, p := range near {
		k := g.solids[p.of].Kind
		if g.solids[p.of].Label != site.Unlabelled || k != site.Pole && k != site.FieldLight && k != site.Tree {
			continue
		}
		d := p.At.Sub(eye)
		scale := s.Away.Metres() / d.Dot(ahead) // to the subject's plane
		if scale <= 0 || scale >= 1 || p.far*scale > headHalf {
			continue
		}
		x, top := d.Dot(right)*scale, s.Lens.Metres()+(p.At.Z+p.Size.Z-eye.Z)*scale
		if math.Abs(x)-p.far*scale > 0.10 || top < tall {
			continue
		}
		r := geom.Ray{Origin: eye, Dir: ahead.Scale(s.Away.Metres()).Add(right.Scale(x)).Add(geom.Up.Scale(tall - 0.05 - s.Lens.Metres())).Unit()}
		open := true
		for _, q := range near {
			if t, ok := q.Enters(r); ok && q.of != p.of && q.Passes == 0 && t.Metres() < d.Norm()-p.far {
				open = false
			}
		}
		if open {
			return p.of
		}
	}
	return -1
}

// skyShare is how much of the head stands against the sky on open ground: all
// that the lens looks up at.
func skyShare(s *Stance) float64 {
	tall := s.stature().Metres()
	low, high := tall-headDeep, tall+0.15
	return min(1, max(0, (high-max(low, s.Lens.Metres()))/(high-low)))
}

// inView returns the parts that may stand in the frame.
func (g *Ground) inView(s *Stance, eye geom.Vec, bearing unit.Angle) []*part {
	var out []*part
	half := s.Wide/2 + 3*unit.Degree
	for _, p := range g.parts {
		d := p.foot.Sub(eye)
		d.Z = 0
		n := d.Norm()
		if n <= p.far || (d.Azimuth()-bearing).Signed().Abs() < half+unit.Angle(math.Asin(p.far/n)) {
			out = append(out, p)
		}
	}
	return out
}
