package api

import (
	"errors"
	"fmt"
	"math"
	"time"

	"hardnoon/engine/advise"
	"hardnoon/engine/exposure"
	"hardnoon/engine/geom"
	"hardnoon/engine/plan"
	"hardnoon/engine/sun"
	"hardnoon/engine/unit"
	"hardnoon/session"
)

// DriftRequest asks what to turn as the day goes on.
type DriftRequest struct {
	Session session.Session `json:"session"`
	Setup   string          `json:"setup,omitempty"`   // its id; none is the first
	EveryS  *float64        `json:"every_s,omitempty"` // 600
	ForS    *float64        `json:"for_s,omitempty"`   // none runs to a little after the last sun, six hours at most
}

// DriftAnswer is a table from the setup's time on.
type DriftAnswer struct {
	Setup       string     `json:"setup"`
	BearingDeg  float64    `json:"bearing_deg"`
	LastSun     *time.Time `json:"last_sun_at"` // on the mark, obstructed, in the stretch of the table
	Sunset      *time.Time `json:"sunset_at"`   // over a level horizon
	Rows        []DriftRow `json:"rows"`
	Assumptions []string   `json:"assumptions"`
	Notes       []Note     `json:"notes"`
}

// DriftRow is one instant: the light, and what is set then.
type DriftRow struct {
	At           time.Time `json:"at"`
	AltitudeDeg  float64   `json:"altitude_deg"`
	FromLineDeg  float64   `json:"sun_from_subject_deg"`
	Sun          string    `json:"sun"` // on the mark, behind something, behind the skyline, hidden by cloud, down
	BackgroundEV float64   `json:"background_ev100"`
	FaceEV       float64   `json:"face_ev100"`
	CCTK         float64   `json:"cct_k"`
	Change       float64   `json:"change_stops"` // of the background since the first row
	State        State     `json:"state"`
	Turn         []string  `json:"turn"` // since the row before
}

// Drift answers what to turn every few minutes.
func Drift(req DriftRequest) (DriftAnswer, error) {
	p, err := newPlanner(req.Session)
	if err != nil {
		return DriftAnswer{}, err
	}
	every, long := or(req.EveryS, 600), or(req.ForS, 6*3600)
	if err := unit.Within("step", every, 10, 86400, "s"); err != nil {
		return DriftAnswer{}, wrong("every_s", err, "give at least ten seconds")
	}
	if err := unit.Within("stretch", long, every, 86400, "s"); err != nil {
		return DriftAnswer{}, wrong("for_s", err, "give at least one step and at most a day")
	}
	if n := long / every; n > mostSteps {
		return DriftAnswer{}, wrong("every_s", &unit.RangeError{What: "number of steps", Got: math.Ceil(n), Min: 1, Max: mostSteps}, "take longer steps")
	}
	var head WaysAnswer
	if len(p.s.Setups) == 0 {
		return DriftAnswer{}, wrong("session.setups", errors.New("the session has no setup"), "add one")
	}
	if req.Setup == "" {
		req.Setup = p.s.Setups[0].ID
	}
	stances, err := p.stances(WaysRequest{Session: req.Session, Setup: req.Setup}, &head)
	if err != nil {
		return DriftAnswer{}, err
	}
	st := stances[0]
	from := p.start
	if st.setup.At != "" {
		if from, err = session.Instant(st.setup.At, p.zone, p.s.Fold); err != nil {
			return DriftAnswer{}, wrongTime("session.setups.at", err)
		}
	}
	g, err := p.ground()
	if err != nil {
		return DriftAnswer{}, err
	}
	track, err := sun.NewTrack(p.observer())
	if err != nil {
		return DriftAnswer{}, wrong("session.place", err, "check the place")
	}
	a := DriftAnswer{Setup: st.setup.ID, BearingDeg: st.setup.Camera.BearingDeg, Rows: []DriftRow{}, Assumptions: head.Assumptions, Notes: []Note{}}
	if day, err := sun.DayOf(from, p.observer()); err == nil {
		a.Sunset = inZone(day.Sun.End, p.zone)
	}
	d := drift{p: p, st: st, g: g, track: track, bearing: unit.Angle(a.BearingDeg) * unit.Degree, every: time.Duration(every * float64(time.Second))}
	if err := d.run(&a, from, from.Add(time.Duration(long*float64(time.Second))), req.ForS == nil); err != nil {
		return a, err
	}
	return a, nil
}

// drift walks through the time of one setup.
type drift struct {
	p       *planner
	st      stance
	g       *plan.Ground
	track   *sun.Track
	bearing unit.Angle
	every   time.Duration
	base    plan.Answer  // the settings of the first row
	shown   []unit.Stops // the powers as they are set now
	need    []float64    // what each light had to give then, as a ratio of mid-tone
	ev      unit.EV
}

// worthTurning is how far a power may be off before it is touched, in
// stops. Own choice: less is not seen.
const worthTurning = 0.2

// after is how long the table goes on when the sun has left. Own choice.
const after = 20 * time.Minute

func (d *drift) run(a *DriftAnswer, from, to time.Time, stop bool) error {
	lit := false
	for t := from; !t.After(to); t = t.Add(d.every) {
		row, now, err := d.row(t, a)
		var far *unit.RangeError
		if errors.As(err, &far) && len(a.Rows) > 0 {
			a.Notes = append(a.Notes, Note{"plan_anew", "info", fmt.Sprintf("at %s the light is more than 12 stops from where it began", t.In(d.p.zone).Format("15:04")), "plan the setup anew for then"})
			break
		}
		if err != nil {
			return err
		}
		if lit && !now {
			last := sunTurns(d.track, d.g, d.eyes(), t.Add(-d.every), t, true).In(d.p.zone)
			a.LastSun = &last
		}
		lit = now
		a.Rows = append(a.Rows, row)
		gone := a.Sunset != nil && t.After(a.Sunset.Add(after))
		if stop && gone && !lit {
			break
		}
	}
	return nil
}

func (d *drift) eyes() geom.Vec {
	tall := d.st.Stature
	if tall == 0 {
		tall = 1.70 * unit.Metre
	}
	return geom.Vec{Z: 0.936 * tall.Metres()}
}

// row is one instant. The first one is solved; the others turn as few knobs as
// the change asks for.
func (d *drift) row(t time.Time, a *DriftAnswer) (DriftRow, bool, error) {
	p := d.p
	pos, err := d.track.At(t)
	if err != nil {
		return DriftRow{}, false, wrong("session.start", err, "check the date")
	}
	light, err := p.daylightOf(t, p.observer(), pos)
	if err != nil {
		return DriftRow{}, false, err
	}
	for _, x := range light.assumed {
		a.Assumptions = appendNew(a.Assumptions, x)
	}
	m := plan.Moment{Sun: pos.Direction(), Now: light.now}
	level, share := d.st.LightOn(d.g, geom.Vec{}, d.bearing, m)
	if !(level.Background >= night) && len(a.Rows) == 0 {
		return DriftRow{}, false, &Error{Kind: NoAnswer, Code: "no_daylight", Field: "session.sky", Text: "there is no daylight to place a background by", Hint: underLamps}
	}
	where, err := p.whereSun(m.Now, m.Sun, d.eyes())
	if err != nil {
		return DriftRow{}, false, err
	}
	row := DriftRow{At: t.In(p.zone), AltitudeDeg: deg(pos.AltitudeApparent), FromLineDeg: deg((pos.Azimuth - d.bearing - unit.Turn/2).Signed()), Sun: where,
		BackgroundEV: digits(float64(level.Background), 4), FaceEV: digits(float64(level.Face), 4), CCTK: math.Round(light.cct()), Turn: []string{}}
	if len(a.Rows) == 0 {
		if err := d.begin(level); err != nil {
			return row, false, err
		}
	}
	now, short, back, route, err := d.turned(level)
	if err != nil {
		return row, false, err
	}
	powers, stood := []string{}, []float64{}
	for _, l := range now.Lights {
		powers, stood = append(powers, PowerText(l.Power)), append(stood, digits(l.Distance.Metres(), 3))
	}
	row.Change = tidy(level.Background.Sub(d.ev))
	row.State = State{route.String(), settingsJSON(now.Settings, p.camera.Dial), powers, stood, tidy(back), tidy(short)}
	if n := len(a.Rows); n > 0 {
		row.Turn = d.turns(a.Rows[n-1].State, row.State)
	}
	return row, share > 0.5, nil
}

// begin solves the first row.
func (d *drift) begin(level plan.Daylight) error {
	prob := d.st.prob
	prob.Daylight = level
	r, err := plan.Solve(prob)
	var none *plan.NoAnswerError
	if errors.As(err, &none) {
		return &Error{Kind: NoAnswer, Code: "no_setting", Field: "setup", Text: none.Error(), Hint: fmt.Sprintf(`see the ways out with "hardnoon plan FILE --setup %s"`, d.st.setup.ID)}
	}
	if err != nil {
		return wrong("session.setups", err, "change the look or the kit")
	}
	d.base, d.ev = r.Best, level.Background
	for _, l := range r.Best.Lights {
		d.shown = append(d.shown, l.Power)
		d.need = append(d.need, d.given(l.Role, level))
	}
	return nil
}

// given returns what a light has to give where daylight gives the rest, as a
// ratio of mid-tone with the background in its place; never less than a 64th.
func (d *drift) given(r plan.Role, level plan.Daylight) float64 {
	there := level.Face
	if r == plan.Edge {
		there = level.Side
	}
	look := d.st.prob.Look
	wanted := [...]unit.Stops{look.Key, look.Edge, look.Fill}[r]
	return math.Max(wanted.Ratio()-(there.Sub(level.Background)-look.Under).Ratio(), 1.0/64)
}

// turned returns the first row's settings after the change of the light since.
func (d *drift) turned(level plan.Daylight) (now plan.Answer, short, background unit.Stops, route plan.Route, err error) {
	s := advise.State{Camera: d.st.prob.Camera, Background: d.base.Background, Settings: d.base.Settings, Slowest: d.st.prob.Look.Slowest}
	for i, l := range d.base.Lights {
		h := d.st.lights[i].source.Head
		l.Power += unit.StopsOf(d.given(l.Role, level) / d.need[i])
		s.Lights = append(s.Lights, l)
		s.Entry, s.Range, s.PowerStep = append(s.Entry, h.Entry), append(s.Range, h.Range), append(s.PowerStep, h.Step)
	}
	adv, err := advise.Adjust(s, level.Background.Sub(d.ev))
	if err != nil {
		return now, 0, 0, 0, wrong("for_s", err, "take a shorter stretch")
	}
	now = d.base
	now.Settings, now.Lights = adv.Settings, append([]plan.LightSetting{}, d.base.Lights...)
	for i := range now.Lights {
		if p := adv.Powers[i]; math.Abs(float64(p-d.shown[i])) > worthTurning {
			d.shown[i] = p
		}
		now.Lights[i].Power = d.shown[i]
	}
	return now, adv.Short, adv.Background, adv.Route, nil
}

// turns says what differs between two states.
func (d *drift) turns(a, b State) []string {
	out := []string{}
	say := func(knob, from, to string) {
		if from != to {
			out = append(out, fmt.Sprintf("%s %s → %s", knob, from, to))
		}
	}
	say("shutter", a.Shutter, b.Shutter)
	say("aperture", a.Aperture, b.Aperture)
	iso := func(x float64) string { return exposure.ISO(x).Label(d.p.camera.Dial) }
	say("ISO", iso(a.ISO), iso(b.ISO))
	nd := func(x float64) string {
		if x == 0 {
			return "none"
		}
		return fmt.Sprintf("%.0f stops", x)
	}
	say("filter", nd(a.NDStops), nd(b.NDStops))
	for i := range b.Powers {
		say(d.base.Lights[i].Role.String(), a.Powers[i], b.Powers[i])
	}
	return out
}
