package plan

import (
	"fmt"
	"math"
	"slices"

	"hardnoon/engine/geom"
	"hardnoon/engine/unit"
)

// Upright is a light on its stand that is to be placed around the mark.
type Upright struct {
	Role     Role
	Distance unit.Length // front of the modifier to the face
	Radius   unit.Length // half of the modifier's width
	Highest  unit.Length // what the stand reaches; 0: 3 m
	Legs     unit.Length // from the column to the tip of a leg

	Angle   *unit.Angle  // asked for, from the line to the camera, clockwise; nil leaves it to the rule
	Height  *unit.Length // asked for
	Nearest unit.Length  // least distance allowed
}

// Play is a line of play through the mark: nothing stands in its way.
type Play struct {
	Bearing unit.Angle // the way it goes
	Sector  unit.Angle // half angle of where things land; 0: 15°
	RunUp   bool       // they come along the line behind the mark as well
}

// Clearances. Own judgement but for the trade's rule of angles.
const (
	frameAir  = 3 * unit.Degree // between the frame's edge and the modifier
	wishedAir = unit.Degree / 2 // the same where somebody asked for the place
	playClear = 2.0             // m from the line of play to the foot of a stand
	standAir  = 0.10            // m between a modifier's edge and another light's path
	keyFrom   = 30 * unit.Degree
	keyTo     = 60 * unit.Degree // beyond, half of the face is dark
	keyRise   = 30 * unit.Degree // over the eyes; less under a brim
	steepest  = 70 * unit.Degree // over the eyes: steeper, and the face has no light in its eyes
	edgeBack  = 140 * unit.Degree
	underBrim = 0.7 // of the elevation at which the brim's shadow reaches the eyes
)

// Trouble is what keeps a light from a place.
type Trouble int

const (
	NoTrouble    Trouble = iota
	InFrame              // it stands in the picture
	InPlay               // it stands in the line of play
	InOtherLight         // it throws another light's shadow on the subject
	InSun                // it throws the sun's shadow on the subject
	TooHigh              // the stand does not reach
	AtCamera             // it stands where the camera does
)

func (t Trouble) String() string {
	return [...]string{"clear", "stands in the frame", "stands in the line of play", "throws a shadow of another light on the subject", "throws its shadow of the sun on the subject",
		"is higher than its stand goes or its distance allows", "stands where the camera does"}[t]
}

// Placed is a light where it stands.
type Placed struct {
	Role     Role
	Angle    unit.Angle // from the line to the camera, clockwise
	Bearing  unit.Angle // from the mark
	Distance unit.Length
	Foot     geom.Vec    // of the stand, from the mark
	Height   unit.Length // of the middle of the modifier
	Rise     unit.Angle  // over the eyes
	BySun    bool        // the sun does this light's work
	Trouble  Trouble     // what is wrong with the asked-for place, if it was kept
	Moved    unit.Angle  // by how much the angle left the wish, signed
	Lowered  unit.Length // by how much the height left it
	Further  unit.Length // the least distance at which the asked-for angle would be clear; 0: none within 20 m
}

// Arrangement is all lights of a stance where they stand.
type Arrangement struct {
	Lights []Placed
	OK     bool // every light stands as asked, or where the rule wants it, in the clear
}

// NoPlaceError reports a light that has no clear place at its distance, and the
// least distance at which there is one; 0 where there is none within 20 m.
type NoPlaceError struct {
	Role    Role
	Trouble Trouble
	Further unit.Length
}

func (e *NoPlaceError) Error() string {
	return fmt.Sprintf("no place for the %s at its distance: it %s", e.Role, e.Trouble)
}

// Arrange places lights around the mark for a camera that looks along a bearing,
// with the sun in a direction; share is how much of it reaches the subject.
//
// A key stands 30° to 60° from the line to the camera, on the side away from the
// sun where that comes from the side or behind, 30° over the eyes or lower under
// a brim. An edge stands opposite the key, 140° round; where the sun already
// stands behind on that side, the sun does it. Fill stands by the camera on the
// other side. An asked-for angle or height is kept where it is clear, and moved
// by the least that clears it where it is not; Moved says so.
//
// Source: rules of practice, no source; positions are plane geometry.
// Errors: *unit.RangeError, *NoPlaceError.
func (s *Stance) Arrange(bearing unit.Angle, lights []Upright, sun geom.Vec, share float64) (Arrangement, error) {
	if err := s.check(); err != nil {
		return Arrangement{}, err
	}
	for _, l := range lights {
		for _, err := range []error{
			unit.Within(l.Role.String()+" distance", l.Distance.Metres(), 0.2, 100, "m"),
			unit.Within(l.Role.String()+" radius", l.Radius.Metres(), 0, 3, "m"),
			unit.Within(l.Role.String()+" stand", l.highest().Metres(), 0.2, 12, "m"),
		} {
			if err != nil {
				return Arrangement{}, err
			}
		}
	}
	p := placing{s: s, bearing: bearing, toCamera: bearing + unit.Turn/2, sun: sun, share: share}
	sunFrom := (sun.Azimuth() - p.toCamera).Signed()
	side := 1 * unit.Radian // of the key: its sign
	if share > 0.3 && sunFrom > 0 {
		side = -1
	}
	for _, l := range lights { // an edge or a key with a wish decides for both
		if l.Role == Key && l.Angle != nil {
			side = sign(l.Angle.Signed())
		}
	}
	out := Arrangement{OK: true, Lights: make([]Placed, len(lights))}
	order := make([]int, len(lights))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return int(lights[a].Role) - int(lights[b].Role) })
	for _, i := range order {
		l := lights[i]
		wish := map[Role]unit.Angle{Key: side * 40 * unit.Degree, Edge: -side * edgeBack, Fill: -side * 15 * unit.Degree}[l.Role]
		x := Placed{Role: l.Role, Distance: l.Distance}
		if l.Angle != nil {
			wish = l.Angle.Signed()
		} else if l.Role == Edge && share > 0.5 && sunFrom.Abs() > 110*unit.Degree && sun.Altitude() < edgeHighest {
			x.BySun = true
		}
		if err := p.put(&x, l, wish); err != nil {
			return out, err
		}
		out.OK = out.OK && x.Trouble == NoTrouble
		out.Lights[i] = x
		p.stands = append(p.stands, x)
		p.radii = append(p.radii, l.Radius.Metres())
	}
	return out, nil
}

func (l Upright) highest() unit.Length {
	if l.Highest == 0 {
		return 3 * unit.Metre
	}
	return l.Highest
}

func sign(a unit.Angle) unit.Angle {
	if a < 0 {
		return -1
	}
	return 1
}

// placing is what stands already.
type placing struct {
	s                 *Stance
	bearing, toCamera unit.Angle
	sun               geom.Vec
	share             float64
	stands            []Placed
	radii             []float64
}

// put finds the place nearest to the wish.
func (p *placing) put(x *Placed, l Upright, wish unit.Angle) error {
	p.raise(x, l)
	height := x.Trouble
	first := NoTrouble
	const step = 1 * unit.Degree
	for off := 0 * unit.Degree; off <= unit.Turn/2; off += step {
		// To both sides of the wish, away from the lens axis first.
		for _, way := range []unit.Angle{sign(wish.Signed()), -sign(wish.Signed())} {
			a := (wish + way*off).Signed()
			if !p.withinRule(l, a) {
				continue
			}
			t := p.trouble(l, a, x.Height)
			if off == 0 {
				first = t
			}
			if t == NoTrouble {
				x.Angle, x.Moved, x.Trouble = a, (a - wish).Signed(), height
				if first != NoTrouble {
					if l.Angle != nil {
						x.Trouble = first
					}
					x.Further = farther(l, func(l Upright) bool { return p.trouble(l, wish, x.Height) == NoTrouble })
				}
				p.settle(x, l)
				return nil
			}
		}
	}
	return &NoPlaceError{l.Role, first, farther(l, func(l Upright) bool {
		for a := 0 * unit.Degree; a < unit.Turn; a += 2 * step {
			if p.withinRule(l, a.Signed()) && p.trouble(l, a, x.Height) == NoTrouble {
				return true
			}
		}
		return false
	})}
}

// withinRule keeps a light on its own side of the subject: a key before it, an
// edge behind.
func (p *placing) withinRule(l Upright, a unit.Angle) bool {
	switch {
	case l.Angle != nil:
		return true
	case l.Role == Key:
		return a.Abs() >= keyFrom-1e-9 && a.Abs() <= 85*unit.Degree
	case l.Role == Edge:
		return a.Abs() >= 95*unit.Degree
	}
	return a.Abs() < 80*unit.Degree
}

// raise sets the height: the asked one, or the rule's, within the stand.
func (p *placing) raise(x *Placed, l Upright) {
	eyes := p.s.eyes().Metres()
	rise := keyRise
	if p.s.Brim > 0 && l.Role != Edge {
		// Under the brim: tan h = eyeDrop/L is where its shadow meets the eyes.
		rise = min(rise, unit.Angle(underBrim*math.Atan(eyeDrop/p.s.Brim.Metres())))
	}
	h := eyes + l.Distance.Metres()*rise.Sin()
	switch l.Role {
	case Edge:
		h = p.s.stature().Metres() + 0.35 // over the shoulder, not at it
	case Fill:
		h = eyes
	}
	if l.Height != nil {
		h = l.Height.Metres()
	}
	if top := min(l.highest().Metres(), eyes+steepest.Sin()*l.Distance.Metres()); h > top+1e-9 {
		x.Lowered, h = unit.Length(h-top), top
		if l.Height != nil {
			x.Trouble = TooHigh
		}
	}
	x.Height = unit.Length(h)
}

// run returns how far from the mark a light stands, level.
func (p *placing) run(l Upright, height unit.Length) float64 {
	up := height.Metres() - p.s.eyes().Metres()
	d := l.Distance.Metres()
	return math.Sqrt(max(0.04, d*d-up*up))
}

func (p *placing) settle(x *Placed, l Upright) {
	x.Bearing = (p.toCamera + x.Angle).Positive()
	run := p.run(l, x.Height)
	x.Foot = geom.Direction(x.Bearing, 0).Scale(run)
	x.Rise = unit.Angle(math.Atan2((x.Height - p.s.eyes()).Metres(), run))
}

// trouble tells what is wrong with a light at an angle.
func (p *placing) trouble(l Upright, a unit.Angle, height unit.Length) Trouble {
	run := p.run(l, height)
	foot := geom.Direction(p.toCamera+a, 0).Scale(run)
	r := l.Radius.Metres()
	// Seen from above the frame is a wedge; the modifier, a disc however it is
	// turned, keeps its radius from the wedge's edge.
	depth, across := p.s.Away.Metres()-run*a.Cos(), math.Abs(run*a.Sin())
	edge := p.s.Wide/2 + frameAir
	if l.Angle != nil {
		edge = p.s.Wide/2 + wishedAir
	}
	if across*edge.Cos()-depth*edge.Sin() < r {
		if depth < 0.3 {
			return AtCamera
		}
		return InFrame
	}
	if p.s.Play.meets(foot, max(r, l.Legs.Metres())) {
		return InPlay
	}
	if t := p.shades(foot, run, r, height); t != NoTrouble {
		return t
	}
	return NoTrouble
}

// What a trunk hides behind it: half its breadth, metres, and up to which share of
// stature. Own judgement; a turned or bent body hides other things.
const (
	trunkHalf = 0.17
	trunkHigh = 0.8
)

// Shows reports whether a light that stands at an angle from the line to the
// camera, a way along the ground from the mark, is in the picture: its column
// or its modifier, taken as a ball. What the trunk of somebody upright hides is
// not. Arrange keeps more air than that.
//
//	edge of the frame at depth d: half its width and its heights, times d/Away
//
// Source: central projection.
func (s *Stance) Shows(a unit.Angle, run, height, radius unit.Length) bool {
	depth, across := s.Away.Metres()-run.Metres()*a.Cos(), math.Abs(run.Metres()*a.Sin())
	if depth <= 0 {
		return false
	}
	low, high, half := s.frame()
	k, lens := depth/s.Away.Metres(), s.Lens.Metres()
	bottom, top, side := lens+(low-lens)*k, lens+(high-lens)*k, half*k
	h, r := height.Metres(), radius.Metres()
	// Straight behind the body it is seen only where it looks past the trunk.
	if crown := lens + (h+r-lens)/k; k > 1 && (across+r)/k < trunkHalf && crown < trunkHigh*s.stature().Metres() {
		return false
	}
	column := across < side && bottom < h && top > 0
	ball := across-r < side && h-r < top && h+r > bottom
	return column || ball
}

// meets reports whether something that reaches so far around a foot stands in
// the way. No play meets nothing.
func (l *Play) meets(foot geom.Vec, reach float64) bool {
	if l == nil {
		return false
	}
	along := geom.Direction(l.Bearing, 0)
	ahead := foot.Dot(along)
	aside := math.Abs(foot.Dot(along.Cross(geom.Up)))
	sector := l.Sector
	if sector == 0 {
		sector = 15 * unit.Degree
	}
	switch {
	case ahead > 0:
		return aside-reach < playClear+ahead*sector.Tan()
	case l.RunUp:
		return aside-reach < playClear
	}
	return false
}

// shades reports whether a light at a foot stands between the subject and
// another light, another light between it and the subject, or it keeps the sun
// off the face.
func (p *placing) shades(foot geom.Vec, run, r float64, height unit.Length) Trouble {
	at := foot
	at.Z = height.Metres()
	eyes := geom.Vec{Z: p.s.eyes().Metres()}
	here := at.Sub(eyes)
	for i, o := range p.stands {
		if o.BySun {
			continue
		}
		there := o.Foot
		there.Z = o.Height.Metres()
		d := there.Sub(eyes)
		near, far, size := here, d, r
		if d.Norm() < here.Norm() {
			near, far, size = d, here, p.radii[i]
		}
		if near.AngleTo(far) < unit.Angle(math.Atan((size+standAir)/near.Norm())) {
			return InOtherLight
		}
		// A stand's column reaches the ground: level bearings count as well where
		// the other light is lower.
		if far.Z < near.Z && (near.Azimuth()-far.Azimuth()).Signed().Abs() < unit.Angle(math.Atan(standAir/run)) {
			return InOtherLight
		}
	}
	if p.share > 0.3 && p.sun.Z > 0 && here.AngleTo(p.sun) < unit.Angle(math.Atan((r+0.15)/here.Norm())) {
		return InSun
	}
	return NoTrouble
}

// farther returns the least distance from that of l on, in steps of 10 cm, at
// which clear holds; 0 where it does not within 20 m.
func farther(l Upright, clear func(Upright) bool) unit.Length {
	const step, most = 10 * unit.Centimetre, 20 * unit.Metre
	for ; l.Distance <= most; l.Distance += step {
		if clear(l) {
			return l.Distance
		}
	}
	return 0
}
