package api

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"hardnoon/engine/geom"
	"hardnoon/engine/plan"
	"hardnoon/engine/unit"
)

// StandJSON is a light where it stands.
type StandJSON struct {
	Role       string     `json:"role"`
	Head       string     `json:"head"`
	Modifier   string     `json:"modifier"`
	AngleDeg   float64    `json:"angle_deg"` // from the line subject to camera, clockwise seen from above
	BearingDeg float64    `json:"bearing_deg"`
	CompassDeg *float64   `json:"bearing_magnetic_deg"`
	FootM      [2]float64 `json:"foot_east_north_m"`
	LevelM     float64    `json:"from_mark_m"` // along the ground, mark to column
	Paces      float64    `json:"paces"`
	DistanceM  float64    `json:"distance_m"` // front of the modifier to the face
	HeightM    float64    `json:"height_m"`
	RiseDeg    float64    `json:"rise_deg"` // over the eyes
	BySun      bool       `json:"by_sun"`   // the sun does its work
	Trouble    string     `json:"trouble,omitempty"`
	MovedDeg   float64    `json:"moved_deg,omitempty"` // from the asked-for or usual angle
	Text       string     `json:"text"`
}

// fieldPlay is how play goes on the grounds that have one line: half the angle
// of the landing sector, and whether they run up. Sectors after package site.
var fieldPlay = map[string]plan.Play{
	"javelin":   {Sector: 14.5 * unit.Degree, RunUp: true},
	"shot put":  {Sector: 17.5 * unit.Degree},
	"discus":    {Sector: 17.5 * unit.Degree},
	"long jump": {Sector: 1 * unit.Degree, RunUp: true},
}

// play returns the line of play of a setup, or nil where nobody plays: the one
// asked for, that of the field, or the way a subject at play faces.
func (p *planner) play(st stance, req WaysRequest) (play *plan.Play, assumed string, err error) {
	if req.PlayDeg != nil {
		if err := unit.Within("line of play", *req.PlayDeg, -360, 360, "°"); err != nil {
			return nil, "", wrong("play_bearing_deg", err, "give the way it goes, from true north")
		}
		return &plan.Play{Bearing: unit.Angle(*req.PlayDeg) * unit.Degree, RunUp: true}, "", nil
	}
	if st.Faces == nil && st.setup.Look.SpeedMPS == nil { // a portrait
		return nil, "", nil
	}
	if f := p.s.Place.Field; f != nil {
		if play, ok := fieldPlay[f.Name]; ok {
			play.Bearing = unit.Angle(f.BearingDeg) * unit.Degree
			return &play, "", nil
		}
	}
	if st.Faces == nil {
		return nil, "", nil
	}
	return &plan.Play{Bearing: *st.Faces, RunUp: true}, fmt.Sprintf("%s: play goes the way the subject faces, %.0f°, and 15° to either side", st.setup.ID, st.Faces.Degrees()), nil
}

// uprights are the lights of a setup on their stands, at distances the solver
// chose.
func (p *planner) uprights(st stance, at []plan.LightSetting) []plan.Upright {
	var out []plan.Upright
	for i, l := range st.setup.Lights {
		c := st.lights[i].source.Modifier
		u := plan.Upright{Role: at[i].Role, Distance: at[i].Distance, Radius: max(c.Width, c.Height) / 2}
		for _, s := range p.s.Kit.Stands {
			if s.ID == l.Stand {
				u.Highest, u.Legs = unit.Length(s.MaxHeightM), unit.Length(s.LegRadiusM)
			}
		}
		if l.AngleDeg != nil {
			u.Angle = new(unit.Angle(*l.AngleDeg) * unit.Degree)
		}
		if l.HeightM != nil {
			u.Height = new(unit.Length(*l.HeightM))
		}
		out = append(out, u)
	}
	return out
}

// clearWithin is how much worse than the best a way may be to be taken because
// its lights stand clear, and how many are tried, how far apart.
// Own judgement.
const (
	clearWithin = 2.0
	mostTried   = 12
	triedApart  = 8 * unit.Degree
)

// choose returns the first of the ways whose lights all reach and stand clear as
// asked; where none does, the best with what would help.
func (p *planner) choose(st stance, ws []plan.Way, sun geom.Vec, needle *float64) (plan.Way, arranged, error) {
	var first arranged
	var tried []plan.Way
	for i, w := range ws {
		if len(tried) >= mostTried || w.Regret > ws[0].Regret+clearWithin {
			break
		}
		if slices.ContainsFunc(tried, func(t plan.Way) bool { return t.Mark == w.Mark && (t.Bearing-w.Bearing).Signed().Abs() < triedApart }) {
			continue
		}
		tried = append(tried, w)
		x, err := p.arrange(st, w, sun, needle)
		if err != nil {
			return w, x, err
		}
		if x.ok {
			return w, x, nil
		}
		if i == 0 {
			first = x
		}
	}
	return ws[0], first, nil
}

// arranged is what a way's camera and lights are set to.
type arranged struct {
	settings *Planned
	lights   []StandJSON
	changes  []string
	ways     []WayOutJSON
	ok       bool
}

// arrange solves and places the lights of a way. A light that is in the way at
// its distance is tried further off first, within what the session allows; then
// it is turned.
func (p *planner) arrange(st stance, w plan.Way, sun geom.Vec, needle *float64) (arranged, error) {
	prob := st.prob
	prob.Lights = slices.Clone(st.prob.Lights)
	prob.Daylight = plan.Daylight{Background: w.Level, Face: w.Face, Side: w.Side}
	if w.Side.Sub(w.Level)-prob.Look.Under > prob.Look.Edge-unit.Stop/2 {
		prob.Daylight.Side = unit.EV(math.Inf(-1)) // daylight makes the edge; the light is set as if it had to
	}
	var before *arranged // with a light turned that could also stand further off
	for range 2 * len(prob.Lights) {
		x, placed, no, err := p.attempt(st, prob, w, sun, needle)
		if err != nil {
			return x, err
		}
		role, further := plan.Key, unit.Length(0)
		if no != nil {
			role, further = no.Role, no.Further
		}
		for _, l := range placed {
			if l.Trouble != plan.NoTrouble && l.Further > 0 {
				role, further = l.Role, l.Further
				break
			}
		}
		i := roleIndex(prob.Lights, role)
		l := &prob.Lights[i]
		if x.ok || further <= l.Wanted || further > l.Max || st.setup.Lights[i].DistanceM != nil {
			if before != nil && !x.ok {
				return *before, nil
			}
			return x, nil
		}
		if no == nil && before == nil && x.settings.Margin >= -float64(reachable) {
			before = &x
		}
		l.Wanted, l.Min = further, further
	}
	if before != nil {
		return *before, nil
	}
	x, _, _, err := p.attempt(st, prob, w, sun, needle)
	return x, err
}

// night is the level at which nobody places a background by daylight: starlight.
const night unit.EV = -9

// attempt solves once and places what was solved.
func (p *planner) attempt(st stance, prob plan.Problem, w plan.Way, sun geom.Vec, needle *float64) (x arranged, placed []plan.Placed, no *plan.NoPlaceError, err error) {
	x = arranged{lights: []StandJSON{}, changes: []string{}, ways: []WayOutJSON{}}
	if prob.Daylight.Background < night {
		x.changes = append(x.changes, "it is night, and no background to place: "+underLamps)
		return x, nil, nil, nil
	}
	r, err := plan.Solve(prob)
	var none *plan.NoAnswerError
	switch {
	case errors.As(err, &none):
		x.ways = p.noSetting(SetupAnswer{WaysOut: []WayOutJSON{}}, prob, none).WaysOut
		for _, o := range x.ways {
			x.changes = append(x.changes, o.Change)
		}
		return x, nil, nil, nil
	case err != nil:
		return x, nil, nil, wrong("session.setups", err, "change the look or the kit")
	}
	x.settings, x.ways = planned(r.Best, st.lights, p.camera.Dial), waysOutJSON(r.WaysOut, p.camera.Dial)
	x.ok = r.Best.Margin >= -reachable
	if !x.ok {
		x.changes = append(x.changes, lacking(x)...)
	}
	a, err := st.Arrange(w.Bearing, p.uprights(st, r.Best.Lights), sun, w.Sunlit)
	if errors.As(err, &no) {
		x.ok = false
		x.changes = append(x.changes, noPlace(no, prob.Lights[roleIndex(prob.Lights, no.Role)]))
		return x, nil, no, nil
	}
	if err != nil {
		return x, nil, nil, wrong("session.setups", err, "check the lights and stands")
	}
	for i, l := range a.Lights {
		x.lights = append(x.lights, standJSON(st, i, l, needle))
		if l.Trouble != plan.NoTrouble {
			x.ok = false
			x.changes = append(x.changes, clearing(l))
		}
	}
	return x, a.Lights, nil, nil
}

// lacking says what makes up for a light that falls short: what alone is enough,
// else the most that helps.
func lacking(x arranged) []string {
	var out []string
	for _, o := range x.ways {
		if o.Margin >= -float64(reachable) {
			out = append(out, fmt.Sprintf("%s: then %s stops to spare", o.Change, signed(o.Margin)))
		}
	}
	if len(out) == 0 && len(x.ways) > 0 {
		most := slices.MaxFunc(x.ways, func(a, b WayOutJSON) int { return cmp.Compare(a.Margin, b.Margin) })
		out = append(out, fmt.Sprintf("no one change is enough; %s gains most, then %s stops", most.Change, signed(most.Margin)))
	}
	return out
}

func roleIndex(ls []plan.Light, r plan.Role) int {
	for i, l := range ls {
		if l.Role == r {
			return i
		}
	}
	return 0
}

func noPlace(no *plan.NoPlaceError, l plan.Light) string {
	if no.Further == 0 {
		return fmt.Sprintf("the %s %s wherever it is put within 20 m: take a longer lens or come nearer with the camera", no.Role, no.Trouble)
	}
	if no.Further <= l.Max {
		return fmt.Sprintf("the %s %s nearer than %.1f m: take a longer lens", no.Role, no.Trouble, no.Further.Metres())
	}
	return fmt.Sprintf("the %s %s: allow it %.1f m (now %.1f m at most), or take a longer lens", no.Role, no.Trouble, no.Further.Metres(), l.Max.Metres())
}

// clearing says what clears a light that was asked for where it cannot stand.
func clearing(l plan.Placed) string {
	if l.Trouble == plan.TooHigh {
		return fmt.Sprintf("the %s is asked for at %.1f m; %.1f m is the highest for its stand and distance", l.Role, (l.Height + l.Lowered).Metres(), l.Height.Metres())
	}
	text := fmt.Sprintf("the %s %s at %s: turn it to %s", l.Role, l.Trouble, side(l.Angle-l.Moved), side(l.Angle))
	if l.Further > 0 {
		text += fmt.Sprintf(", or move it out to %.1f m", l.Further.Metres())
	}
	return text
}

// side says an angle from the line to the camera in the photographer's words.
func side(a unit.Angle) string {
	a = a.Signed()
	switch d := a.Degrees(); {
	case math.Abs(d) < 0.5:
		return "0°"
	case d > 0: // clockwise from the line to the camera is on the photographer's left
		return fmt.Sprintf("%.0f° left", d)
	default:
		return fmt.Sprintf("%.0f° right", -d)
	}
}

func standJSON(st stance, i int, l plan.Placed, needle *float64) StandJSON {
	cm := func(x unit.Length) float64 { return math.Round(x.Metres()*100)/100 + 0 }
	run := unit.Length(l.Foot.Norm())
	x := StandJSON{Role: l.Role.String(), Head: st.lights[i].head, Modifier: st.lights[i].modifier, AngleDeg: math.Round(l.Angle.Degrees()) + 0, BearingDeg: math.Round(bearing(l.Bearing)),
		FootM: [2]float64{cm(unit.Length(l.Foot.X)), cm(unit.Length(l.Foot.Y))}, LevelM: cm(run), Paces: math.Round(float64(run/pace)*2) / 2,
		DistanceM: cm(l.Distance), HeightM: cm(l.Height), RiseDeg: math.Round(l.Rise.Degrees()) + 0, BySun: l.BySun, MovedDeg: math.Round(l.Moved.Degrees()) + 0}
	if needle != nil {
		x.CompassDeg = new(math.Round(bearing(l.Bearing - unit.Angle(*needle)*unit.Degree)))
	}
	if l.Trouble != plan.NoTrouble {
		x.Trouble = l.Trouble.String()
	}
	x.Text = fmt.Sprintf("%s, %.1f m (%.1f paces) towards %03.0f°, %.1f m high", side(l.Angle), x.LevelM, x.Paces, x.BearingDeg, x.HeightM)
	if l.BySun {
		x.Text = "the sun does it; else " + x.Text
	}
	return x
}
