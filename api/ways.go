package api

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"hardnoon/engine/exposure"
	"hardnoon/engine/geom"
	"hardnoon/engine/motion"
	"hardnoon/engine/optics"
	"hardnoon/engine/plan"
	"hardnoon/engine/sun"
	"hardnoon/engine/unit"
	"hardnoon/session"
)

// WaysRequest asks which of the offered slots to take and which way to look.
type WaysRequest struct {
	Session  session.Session `json:"session"`
	Slot     *int            `json:"slot,omitempty"`     // from 1; none is all of them
	Setup    string          `json:"setup,omitempty"`    // its id; none is all of them
	Headgear string          `json:"headgear,omitempty"` // in place of what the session says: none, cap, visor or helmet
	BrimM    *float64        `json:"brim_m,omitempty"`   // 0.07
	Free     bool            `json:"mark_free,omitempty"`
	PlayDeg  *float64        `json:"play_bearing_deg,omitempty"` // the line of play through the mark; none is that of the field
	All      bool            `json:"all,omitempty"`              // every bearing in the answer
}

// WaysAnswer is the slots weighed against each other.
type WaysAnswer struct {
	Title       string     `json:"title"`
	Place       string     `json:"place"`
	Zone        string     `json:"zone"`
	Declination *float64   `json:"declination_magnetic_deg"`
	Best        int        `json:"best_slot"` // from 1
	Slots       []SlotWays `json:"slots"`     // in the order offered
	Assumptions []string   `json:"assumptions"`
	Notes       []Note     `json:"notes"`
}

// SlotWays is one slot. Regret is in stops a photographer gives up, our own
// judgement; it orders and hides nothing.
type SlotWays struct {
	Number     int         `json:"number"`
	Start      time.Time   `json:"start_at"`
	End        time.Time   `json:"end_at"`
	SunDeg     [2]float64  `json:"sun_altitude_deg"` // at start and end
	SunFromDeg [2]float64  `json:"sun_azimuth_deg"`
	SunLeaves  *time.Time  `json:"sun_leaves_mark_at"` // behind a solid or the skyline
	SunComes   *time.Time  `json:"sun_reaches_mark_at"`
	Regret     float64     `json:"regret_stops"` // of its setups, together
	Setups     []SetupWays `json:"setups"`
}

// SetupWays is one setup in one slot.
type SetupWays struct {
	ID       string        `json:"id"`
	Title    string        `json:"title"`
	Yes      bool          `json:"yes"`
	Say      string        `json:"say"`
	Best     WayJSON       `json:"best"`
	RunnerUp *WayJSON      `json:"runner_up"`
	Planned  WayJSON       `json:"as_planned"` // the bearing the session says
	Avoid    []AvoidJSON   `json:"avoid"`
	Variants []VariantJSON `json:"variants"`
	Settings *Planned      `json:"settings"` // at the middle of the slot, for the best
	Lights   []StandJSON   `json:"lights"`
	Changes  []string      `json:"changes"` // each alone turns a no into a yes, or is one part of it
	WaysOut  []WayOutJSON  `json:"ways_out"`
	All      []WayJSON     `json:"all,omitempty"` // by bearing
}

// WayJSON is one way to look from one mark.
type WayJSON struct {
	BearingDeg   float64      `json:"bearing_deg"`          // the way the camera looks, from true north
	CompassDeg   *float64     `json:"bearing_magnetic_deg"` // what a compass shows
	MarkM        [2]float64   `json:"mark_east_north_m"`
	CameraM      [2]float64   `json:"camera_east_north_m"`
	Regret       float64      `json:"regret_stops"`
	Reasons      []ReasonJSON `json:"reasons"`
	Margin       float64      `json:"margin_stops"`         // least in the slot, as the sky is
	Cloud        *float64     `json:"margin_cloud_stops"`   // with a cloud before the sun
	Route        string       `json:"route"`                // empty at night: no background to place
	Light        string       `json:"light"`                // the one with the least to spare; empty for daylight alone
	SunDeg       float64      `json:"sun_from_subject_deg"` // from the line subject to camera, clockwise, at the middle
	Sun          string       `json:"sun"`
	Sunlit       float64      `json:"sunlit_share"`
	BackgroundEV float64      `json:"background_ev100"`
	FaceEV       float64      `json:"face_ev100"`
	SkyBehind    *float64     `json:"sky_behind_stops"` // over the background, where the head stands against it
}

// ReasonJSON is what one thing costs, or is worth where it is negative.
type ReasonJSON struct {
	Why    string  `json:"why"`
	What   string  `json:"what,omitempty"`
	Regret float64 `json:"regret_stops"`
	Text   string  `json:"text"`
}

// AvoidJSON is a stretch of bearings not to look along.
type AvoidJSON struct {
	FromDeg float64 `json:"from_deg"`
	ToDeg   float64 `json:"to_deg"` // clockwise from FromDeg
	Text    string  `json:"text"`
	Regret  float64 `json:"regret_stops"` // the worst of the stretch
}

// VariantJSON is one way to let sun and lights share the work.
type VariantJSON struct {
	Variant    string   `json:"variant"`
	Exists     bool     `json:"exists"`
	BearingDeg *float64 `json:"bearing_deg"`
	Regret     *float64 `json:"regret_stops"`
	Margin     *float64 `json:"margin_stops"`
	Text       string   `json:"text"`
}

// headgear a person can name, with how far its brim reaches where that is not
// said and whether there is a cage before the face. Own judgement.
var headgear = map[string]struct {
	brim unit.Length
	cage bool
}{"": {}, "none": {}, "cap": {brim: 7 * unit.Centimetre}, "visor": {brim: 7 * unit.Centimetre}, "helmet": {brim: 5 * unit.Centimetre, cage: true}}

// Ways answers which slot and which way.
func Ways(req WaysRequest) (WaysAnswer, error) {
	p, err := newPlanner(req.Session)
	if err != nil {
		return WaysAnswer{}, err
	}
	a := WaysAnswer{Title: p.s.Title, Place: p.s.Place.Name, Zone: p.s.Place.Zone, Slots: []SlotWays{}, Assumptions: append([]string{}, p.assumed...), Notes: []Note{}}
	g, err := p.ground()
	if err != nil {
		return a, err
	}
	if f, err := sun.MagneticField(p.start, p.observer().Lat, p.observer().Lon, p.observer().Elevation); err == nil {
		a.Declination = new(deg(f.Declination))
		if f.H < sun.CompassCaution {
			a.Notes = append(a.Notes, Note{"weak_needle", "caution", "a compass is unreliable here", "take bearings from the map or the sun"})
		}
	} else {
		a.Notes = append(a.Notes, Note{"no_declination", "info", "no compass bearing: the magnetic model covers 2025 to 2029", ""})
	}
	stances, err := p.stances(req, &a)
	if err != nil {
		return a, err
	}
	spans, err := p.slots(req)
	if err != nil {
		return a, err
	}
	marks := []geom.Vec{{}}
	if req.Free {
		marks = freeMarks()
	}
	track, err := sun.NewTrack(p.observer())
	if err != nil {
		return a, wrong("session.place", err, "check the place")
	}
	best := math.Inf(1)
	for _, sp := range spans {
		slot, moments, err := p.slot(sp, track, g, &a)
		if err != nil {
			return a, err
		}
		cost := 0.0
		for _, st := range stances {
			moments, err := p.within(st, moments)
			if err != nil {
				return a, err
			}
			ws, err := plan.Ways(st.Stance, g, marks, lightOf(moments))
			if err != nil {
				return a, wrong("session.setups", err, "check the setup")
			}
			x, err := p.setupWays(st, ws, g, marks, moments[len(moments)/2].Sun, a.Declination, req.All)
			if err != nil {
				return a, err
			}
			slot.Setups = append(slot.Setups, x)
			slot.Regret += x.Best.Regret
			if !x.Yes { // a slot that can do more of the work comes first
				cost += 100
			}
		}
		if cost += slot.Regret; cost < best {
			best, a.Best = cost, slot.Number
		}
		a.Slots = append(a.Slots, slot)
	}
	return a, nil
}

// freeMarks are the marks tried where the mark may move: where it is, and 4 and
// 8 m off in eight directions. Own choice.
func freeMarks() []geom.Vec {
	out := []geom.Vec{{}}
	for _, r := range []float64{4, 8} {
		for i := range 8 {
			out = append(out, geom.Direction(unit.Angle(i)*unit.Turn/8, 0).Scale(r))
		}
	}
	return out
}

// stance is a setup that can turn, with what its answer needs.
type stance struct {
	plan.Stance
	setup  session.Setup
	lights []roleOf
	prob   plan.Problem
}

// atPlay is how far a subject faces from the lens before it counts as at play,
// and play does not turn with the camera. Own judgement.
const atPlay = 60 * unit.Degree

// stances makes the asked setups turnable.
func (p *planner) stances(req WaysRequest, a *WaysAnswer) ([]stance, error) {
	var out []stance
	for i, su := range p.s.Setups {
		if req.Setup != "" && su.ID != req.Setup {
			continue
		}
		field := func(rest string) string { return fmt.Sprintf("setups[%d].%s", i, rest) }
		st := stance{setup: su, Stance: p.looking(su)}
		f, d := unit.Length(su.FocalMM)*unit.Millimetre, st.Away
		camera, err := p.cameraFor(su)
		if err != nil {
			return nil, wrong(field("look.iso_max"), err, "write it like 400")
		}
		st.Camera = camera
		if err := p.wearer(&st, req, a); err != nil {
			return nil, err
		}
		if su.Subject.FacesDeg != nil {
			faces := unit.Angle(*su.Subject.FacesDeg) * unit.Degree
			off := (faces - unit.Angle(su.Camera.BearingDeg)*unit.Degree - unit.Turn/2).Signed()
			if off.Abs() > atPlay {
				st.Faces = &faces
				a.Assumptions = appendNew(a.Assumptions, fmt.Sprintf("%s: the subject is at play and keeps facing %.0f°", su.ID, faces.Degrees()))
			} else {
				st.Turned = off
			}
		}
		play, what, err := p.play(st, req)
		if err != nil {
			return nil, err
		}
		st.Play = play
		if what != "" {
			a.Assumptions = appendNew(a.Assumptions, what)
		}
		for _, nd := range p.s.Kit.NDStops {
			st.NDs = append(st.NDs, unit.Stops(nd))
		}
		st.prob = plan.Problem{Camera: camera, NDs: st.NDs, Look: st.Look}
		levels := [...]*float64{su.Look.KeyStops, su.Look.EdgeStops, su.Look.FillStops}
		for r, to := range []*unit.Stops{&st.prob.Look.Key, &st.prob.Look.Edge, &st.prob.Look.Fill} {
			*to = unit.Stops(or(levels[r], float64(usualLevel[plan.Role(r)])))
		}
		if err := p.aperture(&st.prob, &SetupAnswer{}, su, p.lens(su.Lens), field); err != nil {
			return nil, err
		}
		if v := su.Look.SpeedMPS; v != nil && *v > 0 {
			st.prob.Look.Slowest = exposure.Shutter(motion.SlowestFor(or(su.Look.BlurPx, 3), unit.Speed(*v), f, d, p.sensor.Pitch(p.pixels)))
		}
		st.Look = st.prob.Look
		face := p.faceHeight(su)
		for j, l := range su.Lights {
			x, what, err := p.light(l)
			if err != nil {
				return nil, wrong(field(fmt.Sprintf("lights[%d]", j)), err, "")
			}
			near := x.Min
			if x.Wanted > 0 {
				near = x.Wanted
			}
			st.Lights = append(st.Lights, plan.ReachOf{Role: x.Role, Source: x.Source, Nearest: near, Angle: unit.Angle(or(l.AngleDeg, UsualAngle(l.Role))) * unit.Degree})
			st.prob.Lights = append(st.prob.Lights, x)
			st.lights = append(st.lights, roleOf{l.Head, l.Modifier, x.Source, l.AngleDeg, lightHeight(l, face), face})
			a.Assumptions = appendNew(a.Assumptions, what)
		}
		st.prob.Spares = p.spares(su)
		out = append(out, st)
	}
	if len(out) == 0 {
		return nil, wrong("setup", fmt.Errorf("no setup is called %q", req.Setup), "there are "+ids(p.s.Setups, func(s session.Setup) string { return s.ID }))
	}
	a.Assumptions = appendNew(a.Assumptions, "background of mid-tone, half lying, half upright")
	return out, nil
}

// looking is what the lens of a setup takes in, and of what look; everything else
// of the stance is for the caller to add.
func (p *planner) looking(su session.Setup) plan.Stance {
	f := optics.Lens{Focal: unit.Length(su.FocalMM) * unit.Millimetre, FNumber: 8}
	d := unit.Length(su.Camera.DistanceM)
	across, upright := p.sensor.Width, p.sensor.Height
	if su.Camera.Upright {
		across, upright = upright, across
	}
	st := plan.Stance{Camera: p.camera, Away: d, Lens: unit.Length(su.Camera.HeightM),
		Wide: f.FieldAt(across, d), High: f.FieldAt(upright, d), Look: plan.Look{Under: unit.Stops(su.Look.UnderStops), Route: routeOf(su.Look.Route)}}
	st.Stature, _ = p.stature(su)
	return st
}

// wearer adds who stands there and what is on the head.
func (p *planner) wearer(st *stance, req WaysRequest, a *WaysAnswer) error {
	wears := session.Wears{}
	for _, who := range p.s.People {
		if who.ID == st.setup.Subject.Person {
			if who.Wears != nil {
				wears = *who.Wears
			}
		}
	}
	if _, assumed := p.stature(st.setup); assumed != "" {
		a.Assumptions = appendNew(a.Assumptions, assumed)
	}
	if req.Headgear != "" {
		wears = session.Wears{Headgear: req.Headgear}
	}
	gear, ok := headgear[wears.Headgear]
	if !ok {
		return wrong("headgear", fmt.Errorf("no headgear is called %q", wears.Headgear), "say none, cap, visor or helmet")
	}
	st.Brim, st.Cage = gear.brim, gear.cage
	switch {
	case gear.brim == 0:
	case req.BrimM != nil:
		if err := unit.Within("brim", *req.BrimM, 0, 0.3, "m"); err != nil {
			return wrong("brim_m", err, "give how far it reaches")
		}
		st.Brim = unit.Length(*req.BrimM)
	case wears.BrimMM != nil:
		st.Brim = unit.Length(*wears.BrimMM) * unit.Millimetre
	default:
		a.Assumptions = appendNew(a.Assumptions, fmt.Sprintf("a brim of %.0f cm", gear.brim.Centimetres()))
	}
	return nil
}

// UsualAngle is where a light of a role stands where nobody says, degrees from the
// line to the camera. Common practice, no source.
func UsualAngle(role string) float64 {
	return map[string]float64{plan.Key.String(): 40, plan.Edge.String(): 150}[role]
}

// span is a stretch of time.
type span struct {
	number   int
	from, to time.Time
}

// slots returns the asked stretches; a session without slots offers its own
// time.
func (p *planner) slots(req WaysRequest) ([]span, error) {
	var out []span
	for i, sl := range p.s.Slots {
		start, err := session.Instant(sl.Start, p.zone, sl.Fold)
		if err != nil {
			return nil, wrongTime(fmt.Sprintf("session.slots[%d].start", i), err)
		}
		out = append(out, span{i + 1, start, start.Add(time.Duration(sl.Minutes * float64(time.Minute)))})
	}
	if len(out) == 0 {
		minutes := 0.0
		for _, su := range p.s.Setups {
			minutes += or(su.Minutes, 15)
		}
		out = []span{{1, p.start, p.start.Add(time.Duration(minutes * float64(time.Minute)))}}
	}
	if n := req.Slot; n != nil {
		if *n < 1 || *n > len(out) {
			return nil, wrong("slot", &unit.RangeError{What: "slot", Got: float64(*n), Min: 1, Max: float64(len(out))}, "count the slots from 1")
		}
		out = out[*n-1 : *n]
	}
	return out, nil
}

// slot weighs the light of one slot at moments five minutes apart.
func (p *planner) slot(sp span, track *sun.Track, g *plan.Ground, a *WaysAnswer) (SlotWays, []moment, error) {
	s := SlotWays{Number: sp.number, Start: sp.from.In(p.zone), End: sp.to.In(p.zone), Setups: []SetupWays{}}
	n := max(2, min(288, int(math.Ceil(sp.to.Sub(sp.from).Minutes()/5))))
	var moments []moment
	lit := false
	for i := range n + 1 {
		t := sp.from.Add(sp.to.Sub(sp.from) * time.Duration(i) / time.Duration(n))
		pos, err := track.At(t)
		if err != nil {
			return s, nil, wrong("session.slots", err, "check the date")
		}
		d, err := p.daylightOf(t, p.observer(), pos)
		if err != nil {
			return s, nil, err
		}
		for _, x := range d.assumed {
			a.Assumptions = appendNew(a.Assumptions, x)
		}
		if i == 0 {
			a.Notes = appendNote(a.Notes, d.notes)
		}
		m := moment{at: t, Moment: plan.Moment{Sun: pos.Direction(), Now: d.now}}
		if d.hidden != nil && d.now.DirectNormal > 0 {
			m.Hidden = d.hidden
		}
		moments = append(moments, m)
		now := g.SunAt(geom.Vec{Z: 1.5}, m.Sun) > 0.5
		at := t.In(p.zone)
		switch {
		case i == 0:
			s.SunDeg[0], s.SunFromDeg[0] = deg(pos.AltitudeApparent), bearing(pos.Azimuth)
		case i == n:
			s.SunDeg[1], s.SunFromDeg[1] = deg(pos.AltitudeApparent), bearing(pos.Azimuth)
		}
		if i > 0 && now != lit {
			before := sp.from.Add(sp.to.Sub(sp.from) * time.Duration(i-1) / time.Duration(n))
			at = sunTurns(track, g, geom.Vec{Z: 1.5}, before, t, lit).In(p.zone)
			if now {
				s.SunComes = &at
			} else {
				s.SunLeaves = &at
			}
		}
		lit = now
	}
	return s, moments, nil
}

// moment is the light of one instant of a slot.
type moment struct {
	at time.Time
	plan.Moment
}

func lightOf(ms []moment) []plan.Moment {
	out := make([]plan.Moment, len(ms))
	for i, m := range ms {
		out[i] = m.Moment
	}
	return out
}

// within returns the moments of a slot that a setup with a time of its own is
// shot in, the nearest one at least; all of them where its time is not said or
// lies outside the slot.
func (p *planner) within(st stance, slot []moment) ([]moment, error) {
	if st.setup.At == "" {
		return slot, nil
	}
	from, err := session.Instant(st.setup.At, p.zone, p.s.Fold)
	if err != nil {
		return nil, wrongTime("session.setups.at", err)
	}
	if from.Before(slot[0].at) || from.After(slot[len(slot)-1].at) {
		return slot, nil
	}
	to := from.Add(time.Duration(or(st.setup.Minutes, 15) * float64(time.Minute)))
	lo := 0
	for lo+1 < len(slot) && !slot[lo+1].at.After(from) {
		lo++
	}
	hi := lo + 1
	for hi < len(slot) && !slot[hi].at.After(to) {
		hi++
	}
	return slot[lo:hi], nil
}

// sunTurns returns when the sun leaves a point that has it at lo and not at hi,
// or reaches one that has it at hi and not at lo, to ten seconds.
func sunTurns(track *sun.Track, g *plan.Ground, p geom.Vec, lo, hi time.Time, lit bool) time.Time {
	for hi.Sub(lo) > 10*time.Second {
		mid := lo.Add(hi.Sub(lo) / 2)
		pos, err := track.At(mid)
		if err == nil && (g.SunAt(p, pos.Direction()) > 0.5) == lit {
			lo = mid
		} else {
			hi = mid
		}
	}
	return hi.Truncate(time.Second)
}

func appendNote(to []Note, more []Note) []Note {
	for _, n := range more {
		if !slices.ContainsFunc(to, func(x Note) bool { return x.Code == n.Code }) {
			to = append(to, n)
		}
	}
	return to
}

// setupWays turns the weighed bearings of one setup into an answer.
func (p *planner) setupWays(st stance, ws []plan.Way, g *plan.Ground, marks []geom.Vec, sun geom.Vec, needle *float64, all bool) (SetupWays, error) {
	x := SetupWays{ID: st.setup.ID, Title: st.setup.Title, Avoid: []AvoidJSON{}, Variants: []VariantJSON{}, WaysOut: []WayOutJSON{}, Lights: []StandJSON{}, Changes: []string{}}
	show := func(w plan.Way) WayJSON { return wayJSON(st, w, sun, g, marks, needle) }
	best, set, err := p.choose(st, ws, sun, needle)
	if err != nil {
		return x, err
	}
	x.Settings, x.Lights, x.Changes, x.WaysOut = set.settings, set.lights, set.changes, set.ways
	x.Yes = set.ok && best.Margin >= -reachable && !best.Backdrop.Blocked
	x.Best = show(best)
	for _, w := range ws { // best first
		if (w.Bearing-best.Bearing).Signed().Abs() > 20*unit.Degree || w.Mark != best.Mark {
			y := show(w)
			x.RunnerUp = &y
			break
		}
	}
	asPlanned := unit.Angle(st.setup.Camera.BearingDeg) * unit.Degree
	x.Planned = show(slices.MinFunc(ws, func(a, b plan.Way) int {
		off := func(w plan.Way) float64 {
			return float64((w.Bearing - asPlanned).Signed().Abs()) + 10*float64(w.Mark)
		}
		return cmp.Compare(off(a), off(b))
	}))
	x.Avoid = avoid(st, ws, g, best.Mark, best.Regret)
	if best.Level >= night {
		x.Variants = variants(ws, sun.Altitude())
	}
	if best.Backdrop.Blocked {
		x.Changes = append(x.Changes, reasonText(plan.Blocked, whatStands(plan.Blocked, best.Backdrop, g))+" whichever way: move the mark")
	}
	x.Say = say(x)
	if best.Regret > ws[0].Regret+0.05 {
		x.Say += fmt.Sprintf("; there all lights stand clear, along %03.0f° they do not", ws[0].Bearing.Degrees())
	}
	if all {
		for i := range plan.Bearings {
			for _, w := range ws {
				if w.Mark == best.Mark && (w.Bearing-unit.Angle(i)*unit.Turn/plan.Bearings).Signed().Abs() < 1*unit.Degree {
					x.All = append(x.All, show(w))
				}
			}
		}
	}
	return x, nil
}

func wayJSON(st stance, w plan.Way, sun geom.Vec, g *plan.Ground, marks []geom.Vec, needle *float64) WayJSON {
	m := marks[w.Mark]
	c := m.Sub(geom.Direction(w.Bearing, 0).Scale(st.Away.Metres()))
	round := func(x float64) float64 { return math.Round(x*100)/100 + 0 }
	x := WayJSON{BearingDeg: bearing(w.Bearing), MarkM: [2]float64{round(m.X), round(m.Y)}, CameraM: [2]float64{round(c.X), round(c.Y)},
		Regret: round(w.Regret), Reasons: []ReasonJSON{}, Margin: tidy(w.Margin), Route: w.Route.String(),
		SunDeg: deg(w.Sun), Sun: sunSide(w.Sun), Sunlit: round(w.Sunlit), BackgroundEV: digits(float64(w.Level), 4), FaceEV: digits(float64(w.Face), 4)}
	if len(st.Lights) > 0 {
		x.Light = st.Lights[w.Light].Role.String()
	}
	switch {
	case w.Sunlit == 0:
		x.Sun = "not on the subject"
	case w.Sunlit < 0.5:
		x.Sun = "not on the subject for most of it"
	case sun.Altitude() >= overhead:
		x.Sun = "overhead"
	}
	if needle != nil {
		x.CompassDeg = new(bearing(w.Bearing - unit.Angle(*needle)*unit.Degree))
	}
	if !math.IsNaN(float64(w.Cloud)) {
		x.Cloud = new(tidy(w.Cloud))
	}
	if w.Level < night { // nothing to be over or under
		x.Margin, x.Cloud, x.Route = 0, nil, ""
	}
	if w.Backdrop.SkyHead > 0.3 {
		x.SkyBehind = new(tidy(w.Behind))
	}
	for i, r := range w.By {
		if math.Abs(r) >= 0.05 {
			why := plan.Why(i)
			what := whatStands(why, w.Backdrop, g)
			x.Reasons = append(x.Reasons, ReasonJSON{why.Code(), what, round(r), reasonText(why, what)})
		}
	}
	slices.SortStableFunc(x.Reasons, func(a, b ReasonJSON) int { return cmp.Compare(math.Abs(b.Regret), math.Abs(a.Regret)) })
	return x
}

func whatStands(why plan.Why, b plan.Backdrop, g *plan.Ground) string {
	i := -1
	switch why {
	case plan.HideBehind, plan.HideInside:
		i = b.Hidden
	case plan.KeepInside:
		i = b.Kept
	case plan.GrowsOut:
		i = b.Grown
	case plan.Blocked:
		i = b.Before
	}
	if i < 0 {
		return ""
	}
	return solidName(g, i)
}

func solidName(g *plan.Ground, i int) string {
	if s := g.Solid(i); s.Name != "" {
		return s.Name
	}
	return g.Solid(i).Kind.String()
}

func reasonText(why plan.Why, what string) string {
	if what == "" {
		return why.String()
	}
	if why == plan.Blocked {
		return what + " in the way"
	}
	return what + " " + why.String()
}

// sunSide says where the sun stands, by its angle from the line subject to
// camera, clockwise seen from above; sides are the photographer's.
func sunSide(a unit.Angle) string {
	side := "right" // clockwise from the line to the camera lies left in the picture
	if a > 0 {
		side = "left"
	}
	switch x := a.Signed().Abs(); {
	case x < 20*unit.Degree:
		return "behind the photographer"
	case x < 70*unit.Degree:
		return "in front, " + side
	case x < 110*unit.Degree:
		return "from the " + side
	case x < 160*unit.Degree:
		return "behind the subject, " + side
	}
	return "behind the subject"
}

// avoidFrom is how much worse than the best a bearing must be to be warned of,
// in stops of regret. Own judgement.
const avoidFrom = 1.0

// avoid returns the stretches of bearings with one main reason against them.
func avoid(st stance, ws []plan.Way, g *plan.Ground, mark int, best float64) []AvoidJSON {
	var ring [plan.Bearings]*plan.Way
	for i := range ws {
		if ws[i].Mark == mark {
			ring[int(math.Round(ws[i].Bearing.Degrees()/360*plan.Bearings))%plan.Bearings] = &ws[i]
		}
	}
	main := func(w *plan.Way) (text string, regret float64) {
		if w.Regret < best+avoidFrom {
			return "", 0
		}
		worst := 0
		for i, r := range w.By {
			if r > w.By[worst] {
				worst = i
			}
		}
		why := plan.Why(worst)
		if w.By[worst] < avoidFrom/2 {
			return "", 0
		}
		return reasonText(why, whatStands(why, w.Backdrop, g)), w.Regret
	}
	out := []AvoidJSON{}
	step := 360.0 / plan.Bearings
	first := 0 // begin where a stretch begins
	for i := range ring {
		a, _ := main(ring[i])
		b, _ := main(ring[(i+plan.Bearings-1)%plan.Bearings])
		if a != b {
			first = i
			break
		}
	}
	for k := range plan.Bearings {
		i := (first + k) % plan.Bearings
		text, regret := main(ring[i])
		if text == "" {
			continue
		}
		at := float64(i) * step
		if n := len(out); n > 0 && k > 0 && out[n-1].Text == text && math.Abs(math.Mod(at-out[n-1].ToDeg+720, 360)-step) < 0.01 {
			out[n-1].ToDeg, out[n-1].Regret = at, math.Max(out[n-1].Regret, math.Round(regret*100)/100)
			continue
		}
		out = append(out, AvoidJSON{at, at, text, math.Round(regret*100) / 100})
	}
	return out
}

// overhead is how high a sun must stand to come from no side. Own judgement.
const overhead = 75 * unit.Degree

// variants compares how sun and lights can share the work.
func variants(ws []plan.Way, altitude unit.Angle) []VariantJSON {
	out := []VariantJSON{}
	sided := func(w plan.Way) bool { return w.Sunlit > 0.5 && altitude < overhead }
	for _, v := range []struct {
		name, text string
		is         func(plan.Way) bool
	}{
		{"cross light", "sun from one side behind, key from the other side in front", func(w plan.Way) bool {
			return sided(w) && w.Sun.Abs() > 95*unit.Degree && w.Sun.Abs() < 145*unit.Degree
		}},
		{"sun as edge", "sun behind the subject, key near the lens axis", func(w plan.Way) bool { return sided(w) && w.Sun.Abs() >= 145*unit.Degree }},
		{"sun as key", "sun from in front to the side, the lights fill and edge", func(w plan.Way) bool {
			return sided(w) && w.Sun.Abs() > 25*unit.Degree && w.Sun.Abs() < 75*unit.Degree
		}},
		{"overhead sun", "the sun comes from no side: it darkens the eyes whichever way, and the key has to fill them", func(w plan.Way) bool { return w.Sunlit > 0.5 && altitude >= overhead }},
		{"shade", "no sun on the subject, key and edge both from the lights", func(w plan.Way) bool { return w.Sunlit <= 0.5 }},
	} {
		x := VariantJSON{Variant: v.name, Text: v.text}
		for _, w := range ws { // best first
			if v.is(w) {
				x.Exists, x.BearingDeg, x.Regret, x.Margin = true, new(bearing(w.Bearing)), new(math.Round(w.Regret*100)/100+0), new(tidy(w.Margin))
				break
			}
		}
		out = append(out, x)
	}
	return out
}

// say is the one sentence.
func say(x SetupWays) string {
	w := x.Best
	text := fmt.Sprintf("look along %03.0f°", w.BearingDeg)
	if w.CompassDeg != nil {
		text += fmt.Sprintf(" (compass %03.0f°)", *w.CompassDeg)
	}
	text += fmt.Sprintf(", camera %s of the mark, sun %s", fromHere(w.MarkM, w.CameraM), w.Sun)
	if w.MarkM != [2]float64{} {
		text = fmt.Sprintf("move the mark %s, ", fromHere([2]float64{}, w.MarkM)) + text
	}
	return text
}

// fromHere says how far and which way one point lies from another.
func fromHere(a, b [2]float64) string {
	d := geom.Vec{X: b[0] - a[0], Y: b[1] - a[1]}
	return fmt.Sprintf("%.1f m (%.0f paces) to the %s", d.Norm(), d.Norm()/pace.Metres(), wind(d.Azimuth()))
}

// wind names one of the sixteen points a bearing lies nearest to.
func wind(a unit.Angle) string {
	points := []string{"north", "north-north-east", "north-east", "east-north-east", "east", "east-south-east", "south-east", "south-south-east",
		"south", "south-south-west", "south-west", "west-south-west", "west", "west-north-west", "north-west", "north-north-west"}
	return points[int(math.Round(a.Positive().Degrees()/22.5))%16]
}
