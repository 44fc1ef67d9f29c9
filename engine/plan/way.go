package plan

import (
	"math"
	"slices"

	"hardnoon/engine/body"
	"hardnoon/engine/exposure"
	"hardnoon/engine/flash"
	"hardnoon/engine/geom"
	"hardnoon/engine/sky"
	"hardnoon/engine/unit"
)

// Bearings is how many ways to look are weighed, one every 5°.
const Bearings = 72

// Stance is one setup that can turn around its mark: all that stays the same
// while it turns.
type Stance struct {
	Camera Camera
	Away   unit.Length // from lens to subject
	Lens   unit.Length // height of the lens
	Wide   unit.Angle  // field of view across
	High   unit.Angle  // field of view upright

	Stature unit.Length // 0 means 1.70 m
	Turned  unit.Angle  // the way the face looks, clockwise from the line to the camera
	Faces   *unit.Angle // a bearing the subject keeps whatever the camera does: play does not turn
	Brim    unit.Length // 0: none
	Cage    bool        // before the face

	Play   *Play // nil where nobody plays
	Look   Look
	NDs    []unit.Stops
	Lights []ReachOf
}

// ReachOf is a light of a stance at the nearest it may stand.
type ReachOf struct {
	Role    Role
	Source  flash.Source
	Nearest unit.Length
	Angle   unit.Angle // from the line to the camera, clockwise; for the side it lights
}

func (s *Stance) stature() unit.Length {
	if s.Stature == 0 {
		return 1.70 * unit.Metre
	}
	return s.Stature
}

// eyes returns the height of the eyes. Source: [Winter], 0.936 of stature.
func (s *Stance) eyes() unit.Length { return 0.936 * s.stature() }

// frame returns the heights of the lower and upper edge of the frame and half
// its width, in the subject's plane. A frame that holds the whole figure is
// aimed at its middle, a tighter one has the eyes in its upper third.
func (s *Stance) frame() (low, high, half float64) {
	up := 2 * s.Away.Metres() * (s.High / 2).Tan()
	half = s.Away.Metres() * (s.Wide / 2).Tan()
	tall := s.stature().Metres()
	aim := tall * 0.53
	if up < 1.1*tall {
		aim = s.eyes().Metres() - up/6
	}
	return aim - up/2, aim + up/2, half
}

func (s *Stance) faceTo(bearing unit.Angle) unit.Angle {
	if s.Faces != nil {
		return *s.Faces
	}
	return bearing + unit.Turn/2 + s.Turned
}

func (s *Stance) check() error {
	for _, err := range []error{
		unit.Within("camera distance", s.Away.Metres(), 0.3, 500, "m"),
		unit.Within("lens height", s.Lens.Metres(), 0, 50, "m"),
		unit.Within("field of view", s.Wide.Degrees(), 0.1, 175, "°"),
		unit.Within("field of view upright", s.High.Degrees(), 0.1, 175, "°"),
		unit.Within("stature", s.stature().Metres(), 0.4, 2.6, "m"),
		unit.Within("brim", s.Brim.Metres(), 0, 0.5, "m"),
		unit.Within("stops under", float64(s.Look.Under), -6, 10, "stops"),
		unit.Within("key level", float64(s.Look.Key), -6, 6, "stops"),
		unit.Within("number of lights", float64(len(s.Lights)), 0, 40, ""),
	} {
		if err != nil {
			return err
		}
	}
	return nil
}

// Moment is the light of one instant.
type Moment struct {
	Sun    geom.Vec // towards its apparent place
	Now    *sky.Sky
	Hidden *sky.Sky // a cloud before the sun; nil where there is none to come
}

// Why is a reason for or against a way to look.
type Why int

const (
	Short        Why = iota // the kit falls short
	Blocked                 // something stands in the way
	InLineOfPlay            // the camera stands where play goes
	SunInFrame              // the sun itself is in the picture
	Flare                   // it stands just outside
	Squint                  // the sun stands where the eyes look
	BrimLine                // the brim's shadow cuts the face
	Sockets                 // a high sun leaves the eyes dark
	CageBars                // bars throw shadows over the face
	SunOnFace               // daylight on the face is as bright as the key
	OwnShadow               // the photographer's own
	HideBehind              // what is to be hidden stands behind the head or body
	HideInside              // it stands elsewhere in the frame
	GrowsOut                // a pole grows out of the head
	BackTurned              // the face is turned away from the lens
	SkyBright               // the sky behind the head is far brighter than the background
	Smears                  // the shutter that the flash allows does not freeze the movement
	LampInFrame             // a field light that is on shines into the lens
	KeepInside              // what is to be kept is in the frame
	SunEdge                 // the sun does the edge
	whys
)

var whyWords = [whys]string{"the kit falls short", "the view is blocked", "the camera stands in the line of play", "sun in the frame", "flare", "squint", "brim shadow across the face",
	"dark eye sockets", "shadows of the cage", "sun on the face as bright as the key", "your own shadow on the subject",
	"behind the head", "in the frame", "grows out of the head", "face turned away", "sky behind the head burns out", "the movement smears by daylight", "a field light shines into the lens", "in the frame, as wished", "the sun does the edge"}

func (w Why) String() string { return whyWords[min(max(w, 0), whys-1)] }

// whyCodes are stable names, for machines.
var whyCodes = [whys]string{"short", "blocked", "in_line_of_play", "sun_in_frame", "flare", "squint", "brim_line", "sockets", "cage", "sun_on_face", "own_shadow",
	"hide_behind", "hide_inside", "grows_out", "back_turned", "sky_bright", "smears", "lamp_in_frame", "keep_inside", "sun_edge"}

// Code returns the stable name of a reason.
func (w Why) Code() string { return whyCodes[min(max(w, 0), whys-1)] }

// What a photographer gives up for each reason, in stops of regret, at its
// worst. Own judgement, no source: they order the ways and never hide one.
var regretOf = [whys]float64{
	Short: regretShort, Blocked: 20, InLineOfPlay: 10, SunInFrame: 4, Flare: 2, Squint: 3, BrimLine: 2, Sockets: 0.8, CageBars: 1.5, SunOnFace: 1.5,
	OwnShadow: 1.5, HideBehind: 3, HideInside: 1, GrowsOut: 1, BackTurned: 4, SkyBright: 0.4, Smears: 1.5, LampInFrame: 0.8, KeepInside: -0.6, SunEdge: -0.8,
}

// Angles and heights the reasons turn on. Own judgement but for the brim, whose
// shadow is geometry, and the face's sizes, which are those of package body.
const (
	squintFrom    = 75 * unit.Degree // between gaze and sun: beyond, the brow shades the eyes
	squintFull    = 30 * unit.Degree
	flareWithin   = 20 * unit.Degree // beyond the edge of the frame
	socketFrom    = 50 * unit.Degree // altitude of the sun
	socketFull    = 75 * unit.Degree
	foreheadSlope = 20 * unit.Degree // of brow and cheekbones, from upright
	edgeBehind    = 95 * unit.Degree // from the line to the camera
	edgeHighest   = 65 * unit.Degree
	hardlyShort   = unit.Stop / 20 // less than anyone can see or set
	eyeDrop       = 0.040          // eyes below the root of a brim, m
	mouthDrop     = 0.110          // mouth below it, m
	photographer  = 0.4            // from the lens to elbow and bag, m
	strongBeam    = 5000           // lx square on: below, nobody squints and nothing throws a hard shadow
)

// Way is one bearing of one stance from one mark over the moments.
type Way struct {
	Bearing  unit.Angle
	Mark     int
	Regret   float64       // mean over the moments; less is better
	By       [whys]float64 // what each reason adds to it
	Margin   unit.Stops    // least over the moments, as the sky is
	Cloud    unit.Stops    // least with a cloud before the sun; NaN without one
	Route    Route         // by which Margin is reached
	Light    int           // the light Margin belongs to
	Sun      unit.Angle    // from the line to the camera, clockwise, at the middle moment
	Sunlit   float64       // mean share of the sun that reaches the face
	Behind   unit.Stops    // the sky behind the head over the background, at the middle moment
	Level    unit.EV       // of the background, at the middle moment
	Face     unit.EV       // on the face, at the middle moment
	Side     unit.EV       // on the side the first edge light rims, at the middle moment
	Backdrop Backdrop
}

// Ways weighs every bearing of a stance from every mark and returns all of them,
// best first; the order of equals is that of the bearings.
//
// Marks are points of the subject; one at the origin is the mark as planned. The
// score is the mean over the moments, in stops of regret.
//
// Errors: *unit.RangeError.
func Ways(s Stance, g *Ground, marks []geom.Vec, moments []Moment) ([]Way, error) {
	s.Camera = s.Camera.orUsual()
	if err := s.check(); err != nil {
		return nil, err
	}
	if err := unit.Within("number of moments", float64(len(moments)), 1, 5000, ""); err != nil {
		return nil, err
	}
	if err := unit.Within("number of marks", float64(len(marks)), 1, 100, ""); err != nil {
		return nil, err
	}
	out := make([]Way, 0, len(marks)*Bearings)
	for m, mark := range marks {
		for i := range Bearings {
			b := unit.Angle(i) * unit.Turn / Bearings
			w := Way{Bearing: b, Mark: m, Margin: unit.Stops(math.Inf(1)), Cloud: unit.Stops(math.NaN()), Backdrop: g.See(&s, mark, b)}
			w.scenery(&s)
			out = append(out, w)
		}
	}
	power := s.power()
	spots := make([]*Spot, len(marks))
	for m, mark := range marks {
		mark.Z += s.eyes().Metres()
		spots[m] = g.Spot(mark)
	}
	far := g.Far()
	for k, t := range moments {
		day := newDayRing(t, far)
		hills := g.BehindSkyline(t.Sun)
		for m, mark := range marks {
			p := mark
			p.Z += s.eyes().Metres()
			share := 0.0
			if !hills && t.Now.DirectNormal > 0 {
				share = g.sunAt(p, t.Sun)
			}
			day.subject = day.open.among(spots[m].under(t.Now))
			if t.Hidden != nil {
				day.subjectHidden = day.openHidden.among(spots[m].under(t.Hidden))
			}
			for i := range Bearings {
				w := &out[m*Bearings+i]
				w.weigh(&s, g, mark, t, day, power, share, hills, 1/float64(len(moments)), k == len(moments)/2)
			}
		}
	}
	for i := range out {
		for _, x := range out[i].By {
			out[i].Regret += x
		}
	}
	slices.SortStableFunc(out, func(a, b Way) int {
		switch d := a.Regret - b.Regret; {
		case d < -1e-9:
			return -1
		case d > 1e-9:
			return 1
		}
		return 0
	})
	return out, nil
}

func (w *Way) add(why Why, how, weight float64) { w.By[why] += regretOf[why] * how * weight }

// scenery adds what does not change with the hour.
func (w *Way) scenery(s *Stance) {
	b := w.Backdrop
	if s.Play.meets(geom.Direction(w.Bearing, 0).Scale(-s.Away.Metres()), photographer) {
		w.add(InLineOfPlay, 1, 1)
	}
	if b.Blocked {
		w.add(Blocked, 1, 1)
	}
	w.add(HideBehind, min(1, b.HideHead*1.5+b.HideBody*0.5), 1)
	if b.HideHead+b.HideBody == 0 {
		w.add(HideInside, min(1, b.HideFrame/0.15), 1)
	}
	w.add(KeepInside, min(1, b.KeepFrame/0.10), 1)
	if b.Grown >= 0 {
		w.add(GrowsOut, 1, 1)
	}
}

// weigh adds what one moment says.
func (w *Way) weigh(s *Stance, g *Ground, mark geom.Vec, t Moment, day *dayRing, power []lightPower, share float64, hills bool, weight float64, middle bool) {
	toCamera := w.Bearing + unit.Turn/2
	faces := s.faceTo(w.Bearing)
	sunAz, sunAlt := day.azimuth, day.altitude
	front := (sunAz - faces).Signed().Abs()
	fromLine := (sunAz - toCamera).Signed()
	level := day.now.background(toCamera, hills)
	w.Sunlit += share * weight

	if off := (faces - toCamera).Signed().Abs(); off > 80*unit.Degree {
		w.add(BackTurned, clamp((off.Degrees()-80)/60), weight)
	}
	if float64(t.Now.DirectNormal)*share > strongBeam {
		w.sunOnHead(s, front, sunAlt, share*weight)
		if d := s.Away.Metres(); sunAlt.Tan()*d < 1.55 && fromLine.Abs() < unit.Angle(math.Atan(0.4/d)) {
			w.add(OwnShadow, share, weight)
		}
	}
	if !hills && t.Now.DirectNormal > 0 {
		w.sunInLens(s, g, mark, t, weight)
	}
	w.lampsInLens(s, g, mark, t, weight)
	if share > 0.5 && float64(t.Now.DirectNormal) > strongBeam && fromLine.Abs() > edgeBehind && sunAlt < edgeHighest && w.By[SunInFrame] == 0 {
		w.add(SunEdge, clamp((edgeHighest-sunAlt).Degrees()/20)*clamp((fromLine.Abs()-edgeBehind).Degrees()/15), weight)
	}
	face := day.subject.upright(faces, share)
	over := math.Log2(face/level) - float64(s.Look.Under) - float64(s.Look.Key)
	if s.Look.Under > 0.5 && share > 0 {
		w.add(SunOnFace, min(2, max(0, over+1)), weight)
	}
	margin, short, route, light, smears := s.margin(power, day.subject, toCamera, faces, level, share)
	w.add(Short, float64(short), weight)
	w.add(Smears, min(1, smears/4), weight)
	if margin < w.Margin {
		w.Margin, w.Route, w.Light = margin, route, light
	}
	if day.hidden != nil {
		cloud, _, _, _, _ := s.margin(power, day.subjectHidden, toCamera, faces, day.hidden.background(toCamera, hills), share)
		if !(w.Cloud <= cloud) {
			w.Cloud = cloud
		}
	}
	behind := unit.StopsOf(day.sky[w.index()] / (level / math.Pi * 0.18))
	if w.Backdrop.SkyHead > 0.3 && s.Look.Under < 1.5 {
		w.add(SkyBright, clamp(float64(behind-2)/2), weight)
	}
	if middle {
		w.Sun, w.Behind = fromLine, behind
		side := toCamera
		for _, p := range power {
			if p.role == Edge {
				side = toCamera + p.angle
				break
			}
		}
		w.Level, w.Face = unit.EVFromLux(unit.Lux(level)), unit.EVFromLux(unit.Lux(face))
		w.Side = unit.EVFromLux(unit.Lux(day.subject.upright(side, share)))
	}
}

func (w *Way) index() int { return int(math.Round(float64(w.Bearing/(unit.Turn/Bearings)))) % Bearings }

// sunOnHead weighs eyes, brim and cage under a sun that reaches them.
func (w *Way) sunOnHead(s *Stance, front, altitude unit.Angle, weight float64) {
	drop := 0.0
	if s.Brim > 0 && altitude < 89*unit.Degree {
		z, err := body.BrimShadow(s.Brim, max(0, altitude), front)
		if err == nil {
			drop = z.Metres()
		}
		if s.Brim > 0 && front < unit.Turn/4 && drop > eyeDrop {
			line := 1.0
			if drop > mouthDrop { // all in shade: even, but a low key is called for
				line = 0.4
			}
			w.add(BrimLine, line, weight)
		}
	} else if s.Brim > 0 {
		drop = 1
		w.add(BrimLine, 0.4, weight)
	}
	lit := front < unit.Turn/4
	gaze := unit.Angle(math.Acos(min(1, max(-1, altitude.Cos()*front.Cos()))))
	if lit && drop <= eyeDrop {
		w.add(Squint, clamp(float64((squintFrom-gaze)/(squintFrom-squintFull))), weight)
	}
	if s.Brim == 0 { // brow and cheekbones slope back and catch the sun while the eyes do not
		slope := foreheadSlope.Cos()*altitude.Cos()*front.Cos() + foreheadSlope.Sin()*altitude.Sin()
		w.add(Sockets, clamp(float64((altitude-socketFrom)/(socketFull-socketFrom)))*clamp(slope/0.15), weight)
	}
	if lit && s.Cage && drop <= mouthDrop {
		w.add(CageBars, 1, weight)
	}
}

// inLens returns how near the frame a light stands in a direction from the lens: 1
// in the frame, falling to 0 where it no longer flares.
func (w *Way) inLens(s *Stance, dir geom.Vec) float64 {
	ahead := geom.Direction(w.Bearing, 0)
	forward, up := dir.Dot(ahead), dir.Z
	if forward <= 0 {
		return 0
	}
	low, high, half := s.frame()
	d := s.Away.Metres()
	// Where the ray to it meets the subject's plane.
	x, z := dir.Dot(ahead.Cross(geom.Up))/forward*d, s.Lens.Metres()+up/forward*d
	angle := func(a float64) float64 { return math.Atan(a / d) }
	outX := max(0, angle(math.Abs(x))-angle(half))
	lens := s.Lens.Metres()
	outZ := max(0, angle(z-lens)-angle(high-lens), angle(low-lens)-angle(z-lens))
	return max(0, 1-math.Hypot(outX, outZ)/flareWithin.Radians())
}

// lens returns where the lens stands.
func (w *Way) lens(s *Stance, mark geom.Vec) geom.Vec {
	eye := mark.Sub(geom.Direction(w.Bearing, 0).Scale(s.Away.Metres()))
	eye.Z += s.Lens.Metres()
	return eye
}

// sunInLens weighs a sun that stands in or near the frame, seen from the lens.
func (w *Way) sunInLens(s *Stance, g *Ground, mark geom.Vec, t Moment, weight float64) {
	near := w.inLens(s, t.Sun)
	if near == 0 {
		return
	}
	open := g.sunAt(w.lens(s, mark), t.Sun)
	if near == 1 {
		w.add(SunInFrame, open, weight)
		return
	}
	w.add(Flare, open*near, weight)
}

// lampsInLens weighs the worst of the field lights that stand in or near the
// frame and are turned to the lens; by day none is.
func (w *Way) lampsInLens(s *Stance, g *Ground, mark geom.Vec, t Moment, weight float64) {
	worst, eye := 0.0, w.lens(s, mark)
	for _, b := range t.Now.Lamps() {
		if near := w.inLens(s, b.At.Sub(eye)); near > worst && b.Beam(eye).Facing > 0 {
			worst = max(worst, near*g.Between(eye, b.At))
		}
	}
	w.add(LampInFrame, worst*t.Now.LampShare(), weight)
}

func clamp(x float64) float64 { return min(1, max(0, x)) }

// ring is the light of one sky on upright planes all around.
type ring struct {
	beam     float64           // square on, lx
	rest     [Bearings]float64 // sky and ground on an upright plane that faces that way, lx
	lamps    [Bearings]float64 // field lights on the same
	behind   [Bearings]float64 // field lights on what lies behind a subject seen from there, lx
	flatBeam float64
	flatRest float64
	azimuth  unit.Angle
	level    float64 // cosine of the sun's altitude
}

type dayRing struct {
	open, openHidden *ring
	// The same among the hills, for what is far, and among the solids, for a
	// subject on a mark.
	now, hidden            *ring
	subject, subjectHidden *ring
	sky                    [Bearings]float64 // luminance just over the horizon, cd/m²
	azimuth, altitude      unit.Angle
}

func newDayRing(t Moment, far *Spot) *dayRing {
	d := &dayRing{azimuth: t.Sun.Azimuth(), altitude: t.Sun.Altitude(), open: newRing(t.Now, t.Sun)}
	d.now = d.open.among(far.under(t.Now))
	if t.Hidden != nil {
		d.openHidden = newRing(t.Hidden, t.Sun)
		d.hidden = d.openHidden.among(far.under(t.Hidden))
	}
	for i := range d.sky {
		d.sky[i] = float64(t.Now.Luminance(geom.Direction(unit.Angle(i)*unit.Turn/Bearings, 10*unit.Degree)))
	}
	return d
}

func newRing(s *sky.Sky, sun geom.Vec) *ring {
	r := &ring{beam: float64(s.DirectNormal), azimuth: sun.Azimuth(), level: sun.Altitude().Cos()}
	for i := range r.rest {
		_, k, g := s.Illuminance(geom.Direction(unit.Angle(i)*unit.Turn/Bearings, 0))
		r.rest[i] = float64(k + g)
		if len(s.Lamps()) > 0 {
			a := unit.Angle(i) * unit.Turn / Bearings
			r.lamps[i], r.behind[i] = float64(s.LampLight(geom.Direction(a, 0))), float64(s.LampLightBehind(a))
		}
	}
	b, k, g := s.Illuminance(geom.Up)
	r.flatBeam, r.flatRest = float64(b), float64(k+g)
	return r
}

// between returns the value of a table by bearing.
func between(t *[Bearings]float64, at unit.Angle) float64 {
	x := float64(at.Positive() / (unit.Turn / Bearings))
	i := int(x)
	f := x - float64(i)
	return t[i%Bearings]*(1-f) + t[(i+1)%Bearings]*f
}

// upright returns the light on an upright plane at the mark that faces a bearing,
// with a share of the beam.
func (r *ring) upright(faces unit.Angle, share float64) float64 {
	return r.daylight(faces, share) + between(&r.lamps, faces)
}

// daylight is upright without the field lights.
func (r *ring) daylight(faces unit.Angle, share float64) float64 {
	return between(&r.rest, faces) + r.beam*share*r.level*max(0, (r.azimuth-faces).Cos())
}

// background returns the light on a background half lying, half upright.
func (r *ring) background(toCamera unit.Angle, hills bool) float64 {
	share := 1.0
	if hills {
		share = 0
	}
	return (r.flatBeam*share+r.flatRest+r.daylight(toCamera, share))/2 + between(&r.behind, toCamera)
}

// lightPower is what a light can do, whatever the daylight: the luminous
// exposure of a full pop over the shutter time, in log2 of lx.
type lightPower struct {
	normal, high float64
	role         Role
	angle        unit.Angle
	level        unit.Stops
}

func (s *Stance) power() []lightPower {
	var out []lightPower
	c := s.Camera
	for _, l := range s.Lights {
		h := math.Log2(float64(l.Source.Exposure(l.Nearest, 0)))
		p := lightPower{normal: h - math.Log2(float64(c.Sync)), role: l.Role, angle: l.Angle, level: s.Look.level(l.Role)}
		p.high = p.normal - float64(l.Source.Head.Entry)
		if c.Kind == LeafOrGlobal { // the shorter the better, until the pop is cut
			for t := c.Sync; t >= c.Fastest*0.99; t /= 1.26 {
				loss, _ := Loss(c, l.Source, t)
				p.normal = max(p.normal, h-float64(loss)-math.Log2(float64(t)))
			}
			p.high = p.normal
		}
		out = append(out, p)
	}
	return out
}

// route returns how a background of a level can be placed: at sync speed where
// aperture, ISO and filters take it down, else in high-speed sync; beyond is by
// how much even that leaves it too bright, else far below 0.
func (s *Stance) route(level unit.EV) (r Route, beyond unit.Stops) {
	narrow := s.Look.Narrowest
	if narrow == 0 {
		narrow = 16
	}
	most := unit.Stops(0)
	for _, nd := range s.NDs {
		most = max(most, nd)
	}
	wish := float64(level.Add(s.Look.Under)) - float64(s.Camera.Dial.Stops())/2
	dark := func(t exposure.Shutter) float64 {
		return float64(exposure.Settings{FNumber: narrow, Shutter: t, ISO: s.Camera.ISOMin}.EV100())
	}
	beyond = unit.Stops(math.Inf(-1))
	if over := wish - dark(s.Camera.Fastest) - float64(most); over > 0 {
		beyond = unit.Stops(over)
	}
	switch {
	case s.Camera.Kind == LeafOrGlobal:
		return Leaf, beyond
	case dark(s.Camera.Sync) >= wish:
		return StopDown, beyond
	case dark(s.Camera.Sync)+float64(most) >= wish:
		return ND, beyond
	}
	return HighSpeed, beyond
}

// margin returns what the least of the lights has to spare at its nearest, as
// Solve counts it but on stepless dials; short is how much of it is want of
// power, and not daylight that lies over the key already. An edge or a fill that
// daylight makes is no shortage.
//
//	need = 2^level − (E side/E background) 2^−under    of mid-tone
//	margin = log2(H/(T E background)) − under − log2(need)
//
// Where a movement asks for a shutter faster than sync, high-speed sync is taken
// if it reaches, else what falls less short; smears says by how many stops the
// shutter is then too slow.
func (s *Stance) margin(power []lightPower, r *ring, toCamera, faces unit.Angle, level, share float64) (least, short unit.Stops, route Route, light int, smears float64) {
	route, beyond := s.route(unit.EVFromLux(unit.Lux(level)))
	least, short, light = s.marginBy(route, beyond, power, r, toCamera, faces, level, share)
	if t := s.Look.Slowest; t > 0 && t*1.01 < s.Camera.Sync && (route == StopDown || route == ND) {
		slow := s.tooDark(unit.EVFromLux(unit.Lux(level)))
		atSync := math.Log2(float64(s.Camera.Sync / t))
		if slow > 0 {
			return least, short, StopDown, light, atSync + float64(slow)
		}
		l, sh, li := s.marginBy(HighSpeed, beyond, power, r, toCamera, faces, level, share)
		if sh <= max(short, hardlyShort) {
			return l, sh, HighSpeed, li, math.Max(0, atSync+float64(slow)) // as fast as the light allows
		}
		smears = atSync
	}
	return
}

// tooDark returns by how many stops the shutter has to be slower than sync to
// place a background of a level at all, wide open and at the highest ISO; 0 or
// less where high-speed sync is possible.
func (s *Stance) tooDark(level unit.EV) unit.Stops {
	c := s.Camera.orUsual()
	open := exposure.Settings{FNumber: max(s.Look.Widest, 1), Shutter: c.Sync, ISO: c.ISOMax}
	return open.EV100().Sub(level.Add(s.Look.Under))
}

// marginBy is margin by one route.
func (s *Stance) marginBy(route Route, beyond unit.Stops, power []lightPower, r *ring, toCamera, faces unit.Angle, level, share float64) (least, short unit.Stops, light int) {
	least = unit.Stops(math.Inf(1))
	for i, p := range power {
		side := faces
		if p.role == Edge {
			side = toCamera + p.angle
		}
		there := r.upright(side, share) / level * math.Exp2(-float64(s.Look.Under))
		need := p.level.Ratio() - there
		m := p.level - unit.StopsOf(there) // daylight alone is at or over the level
		if need >= 1.0/64 {
			full := p.normal
			if route == HighSpeed {
				full = p.high
			}
			m = min(unit.Stops(full-math.Log2(level)-math.Log2(need))-s.Look.Under, -beyond)
			short = max(short, -m)
		} else if p.role != Key {
			continue
		}
		if m < least {
			least, light = m, i
		}
	}
	if math.IsInf(float64(least), 1) { // nothing is asked of any light
		least = 0
	}
	return
}

// LightOn returns the daylight of a moment for a camera that looks along a
// bearing: the background's level, that on the face and on the side the first
// edge light rims, and the share of the sun that reaches the face.
func (s *Stance) LightOn(g *Ground, mark geom.Vec, bearing unit.Angle, t Moment) (d Daylight, share float64) {
	r, toCamera := newRing(t.Now, t.Sun), bearing+unit.Turn/2
	eyes := mark
	eyes.Z += s.eyes().Metres()
	if t.Now.DirectNormal > 0 {
		share = g.SunAt(eyes, t.Sun)
	}
	side := toCamera
	for _, l := range s.Lights {
		if l.Role == Edge {
			side = toCamera + l.Angle
			break
		}
	}
	subject, far := r.among(g.Spot(eyes).under(t.Now)), r.among(g.Far().under(t.Now))
	ev := func(lux float64) unit.EV { return unit.EVFromLux(unit.Lux(lux)) }
	return Daylight{
		Background: ev(far.background(toCamera, g.BehindSkyline(t.Sun))),
		Face:       ev(subject.upright(s.faceTo(bearing), share)),
		Side:       ev(subject.upright(side, share)),
		Error:      t.Now.Uncertainty(),
	}, share
}
