package site

import (
	"math"
	"slices"

	"hardnoon/engine/geom"
	"hardnoon/engine/unit"
)

// Corner is one corner of a skyline.
type Corner struct{ Azimuth, Altitude unit.Angle }

// Skyline is the altitude of what stands in the way, by azimuth: straight
// between corners, closed around north, in ascending azimuth. Two corners at
// one azimuth make an upright edge. An empty Skyline is level.
type Skyline []Corner

// NewSkyline returns the skyline through corners in any order, or a
// *unit.RangeError.
func NewSkyline(corners []Corner) (Skyline, error) {
	s := Skyline(slices.Clone(corners))
	for i, c := range s {
		if err := unit.Within("azimuth of the skyline", c.Azimuth.Degrees(), -360, 360, "°"); err != nil {
			return nil, err
		}
		if err := unit.Within("altitude of the skyline", c.Altitude.Degrees(), -90, 90, "°"); err != nil {
			return nil, err
		}
		s[i].Azimuth = c.Azimuth.Positive()
	}
	s.sort()
	return s, nil
}

func (s Skyline) sort() {
	slices.SortStableFunc(s, func(a, b Corner) int {
		switch {
		case a.Azimuth < b.Azimuth:
			return -1
		case a.Azimuth > b.Azimuth:
			return 1
		}
		return 0
	})
}

// Altitude returns how high the skyline stands at an azimuth; at an upright
// edge, the higher side.
func (s Skyline) Altitude(azimuth unit.Angle) unit.Angle {
	before, after := s.sides(azimuth)
	return max(before, after)
}

// sides returns the altitudes just before and just after an azimuth.
func (s Skyline) sides(azimuth unit.Angle) (before, after unit.Angle) {
	n := len(s)
	if n == 0 {
		return 0, 0
	}
	az := azimuth.Positive()
	// Corners lo to hi−1 stand exactly there.
	lo, hi := 0, 0
	for _, c := range s {
		if c.Azimuth < az {
			lo++
		}
		if c.Azimuth <= az {
			hi++
		}
	}
	if hi > lo {
		return s[lo].Altitude, s[hi-1].Altitude
	}
	l, r := s[(lo+n-1)%n], s[hi%n]
	width := (r.Azimuth - l.Azimuth).Positive()
	if width == 0 {
		return l.Altitude, l.Altitude
	}
	a := l.Altitude + (r.Altitude-l.Altitude)*(az-l.Azimuth).Positive()/width
	return a, a
}

// Combined returns the skyline that is the higher of the two everywhere.
func (s Skyline) Combined(t Skyline) Skyline {
	var azimuths []unit.Angle
	for _, c := range append(slices.Clone(s), t...) {
		azimuths = append(azimuths, c.Azimuth)
	}
	if len(azimuths) == 0 {
		return nil
	}
	slices.Sort(azimuths)
	azimuths = slices.Compact(azimuths)
	var out Skyline
	for i, a := range azimuths {
		sb, sa := s.sides(a)
		tb, ta := t.sides(a)
		out = append(out, Corner{a, max(sb, tb)})
		if after := max(sa, ta); after != out[len(out)-1].Altitude {
			out = append(out, Corner{a, after})
		}
		// Where one passes behind the other before the next corner.
		next := azimuths[(i+1)%len(azimuths)]
		sn, _ := s.sides(next)
		tn, _ := t.sides(next)
		if d0, d1 := sa-ta, sn-tn; d0*d1 < 0 {
			f := d0 / (d0 - d1)
			width := (next - a).Positive()
			if width == 0 {
				width = unit.Turn
			}
			out = append(out, Corner{(a + f*width).Positive(), sa + (sn-sa)*f})
		}
	}
	out.sort()
	return out
}

// skylineStep is the widest stretch between two corners on a curved or slanted
// top.
const skylineStep = 0.5 * unit.Degree

// Seen returns the skyline that solids make as seen from a point. What stands
// below the eye leaves the horizon level, and light that passes leaves and wire
// does not lower it.
//
// Error: edges 0.001°, tops between corners below 0.02° beyond 10 m.
func Seen(from geom.Vec, solids []Solid) (Skyline, error) {
	if err := checkPoint("eye", from); err != nil {
		return nil, err
	}
	var all Skyline
	for _, s := range solids {
		parts, err := s.Parts()
		if err != nil {
			return nil, err
		}
		for _, p := range parts {
			if one := p.skyline(from); one != nil {
				all = all.Combined(one)
			}
		}
	}
	return all, nil
}

func (p Part) skyline(from geom.Vec) Skyline {
	top := func(az unit.Angle) unit.Angle {
		alt, _ := p.Top(from, az)
		return max(0, alt)
	}
	d := p.At.Sub(from)
	d.Z = 0
	reach := p.Size.X
	if p.Form == Box {
		reach = math.Hypot(p.Size.X, p.Size.Y) / 2
	}
	half := unit.Turn / 2
	if dist := d.Norm(); dist > reach {
		half = unit.Angle(math.Asin(reach / dist))
	}
	middle := d.Azimuth()
	hit := func(a unit.Angle) bool { _, ok := p.Top(from, middle+a); return ok }
	if !hit(0) {
		return nil // the eye stands inside its surrounding circle, beside it
	}
	// edge bisects for where the part ends on one side.
	edge := func(side unit.Angle) unit.Angle {
		in, out := 0*unit.Degree, side*half
		if hit(out) {
			return out
		}
		for range 40 {
			if mid := (in + out) / 2; hit(mid) {
				in = mid
			} else {
				out = mid
			}
		}
		return in
	}
	left, right := edge(-1), edge(1)
	n := 2 * max(8, int(math.Ceil(float64((right-left)/skylineStep))))
	var out Skyline
	whole := right-left >= unit.Turn-1e-9
	if !whole {
		out = append(out, Corner{(middle + left).Positive(), 0})
	}
	for i := range n + 1 {
		// Closer together towards the edges, where a round outline is steep.
		az := middle + (left+right)/2 - (right-left)/2*unit.Angle(math.Cos(math.Pi*float64(i)/float64(n)))
		switch i { // to the last bit where the upright edges stand
		case 0:
			az = middle + left
		case n:
			az = middle + right
		}
		out = append(out, Corner{az.Positive(), top(az)})
	}
	if !whole {
		out = append(out, Corner{(middle + right).Positive(), 0})
	}
	// Ascending from north, and the order of upright edges kept.
	for i := 1; i < len(out); i++ {
		if out[i].Azimuth < out[i-1].Azimuth {
			return append(slices.Clone(out[i:]), out[:i]...)
		}
	}
	return out
}
