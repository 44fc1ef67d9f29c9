package api

import (
	"errors"
	"fmt"
	"math"
	"time"

	"hardnoon/engine/exposure"
	"hardnoon/engine/unit"
	"hardnoon/session"
)

// AgainRequest asks what a session looks like at another time: the same place,
// the same pictures.
type AgainRequest struct {
	Session session.Session `json:"session"`
	At      string          `json:"at"`            // the new start, wall clock of the place
	Sky     string          `json:"sky,omitempty"` // named, when another is expected
}

// AgainAnswer is the session then and now. Session is the new one, ready to be
// kept and planned on.
type AgainAnswer struct {
	Title       string          `json:"title"`
	From        time.Time       `json:"from_at"`
	To          time.Time       `json:"to_at"`
	Setups      []AgainSetup    `json:"setups"`
	Remembered  []string        `json:"notes_of_the_place"`
	Session     session.Session `json:"session"`
	Assumptions []string        `json:"assumptions"`
	Notes       []Note          `json:"notes"`
}

// AgainSetup is one setup at both times.
type AgainSetup struct {
	ID      string      `json:"id"`
	Title   string      `json:"title"`
	Then    AgainState  `json:"then"`
	Now     AgainState  `json:"now"`
	Turned  float64     `json:"sun_turned_deg"` // clockwise
	Raised  float64     `json:"sun_raised_deg"`
	Lighter float64     `json:"background_stops"` // of daylight, + is brighter now
	Changes []string    `json:"changes"`          // of the settings
	Past    []AgainPast `json:"past"`
	Notes   []Note      `json:"notes"`
}

// AgainState is a setup at one time.
type AgainState struct {
	At           time.Time `json:"at"`
	AltitudeDeg  float64   `json:"altitude_deg"`
	AzimuthDeg   float64   `json:"azimuth_deg"`
	FromCamera   float64   `json:"from_camera_axis_deg"`
	BackgroundEV float64   `json:"background_ev100"`
	Margin       *float64  `json:"margin_stops"`
	Answer       *Planned  `json:"answer"`
}

// AgainPast is a setting that was used here, brought to the new time.
type AgainPast struct {
	At      time.Time `json:"at"`
	Was     string    `json:"was"`
	Verdict string    `json:"verdict"`
	Lighter float64   `json:"background_stops"` // of daylight, + is brighter at the new time
	Shutter string    `json:"shutter"`          // that gives the same background, everything else as it was
	Text    string    `json:"text"`
}

// usualSky is planned with where the session's own was measured at its hour.
const usualSky = "clear"

// Again plans a session at another time and says what changed. Minutes fixed by
// the clock keep their distance from the start.
func Again(req AgainRequest) (AgainAnswer, error) {
	if req.At == "" {
		return AgainAnswer{}, wrong("at", errors.New("no new time is given"), `write it like "2027-10-03T17:00"`)
	}
	p, err := newPlanner(req.Session)
	if err != nil {
		return AgainAnswer{}, err
	}
	to, err := session.Instant(req.At, p.zone, "")
	if err != nil {
		return AgainAnswer{}, wrongTime("at", err)
	}
	a := AgainAnswer{Title: p.s.Title, From: p.start.In(p.zone), To: to.In(p.zone), Setups: []AgainSetup{}, Remembered: []string{}, Assumptions: []string{}, Notes: []Note{}}
	if m := p.s.Place.Memory; m != nil {
		a.Remembered = append(a.Remembered, m.Notes...)
	}
	if a.Session, err = p.moved(req, to, &a); err != nil {
		return a, err
	}
	then, err := Plan(req.Session)
	if err != nil {
		return a, err
	}
	now, err := Plan(a.Session)
	if err != nil {
		return a, err
	}
	q, err := newPlanner(a.Session)
	if err != nil {
		return a, err
	}
	for i := range then.Setups {
		x, y := then.Setups[i], now.Setups[i]
		r := AgainSetup{ID: x.ID, Title: x.Title, Then: stateOf(x), Now: stateOf(y), Changes: changesOf(x.Answer, y.Answer), Past: []AgainPast{}, Notes: y.Notes,
			Turned: math.Round((unit.Angle(y.Sun.AzimuthDeg-x.Sun.AzimuthDeg) * unit.Degree).Signed().Degrees()), Raised: math.Round(y.Sun.AltitudeDeg-x.Sun.AltitudeDeg) + 0,
			Lighter: tidy(unit.Stops(y.Daylight.BackgroundEV - x.Daylight.BackgroundEV))}
		if r.Past, err = q.past(i, y); err != nil {
			return a, err
		}
		a.Setups = append(a.Setups, r)
		for _, w := range y.Assumptions {
			a.Assumptions = appendNew(a.Assumptions, w)
		}
	}
	return a, nil
}

// moved is the session at the new time: the clock of everything is shifted, what
// was measured or forecast for the old hour is left behind.
func (p *planner) moved(req AgainRequest, to time.Time, a *AgainAnswer) (session.Session, error) {
	s := p.s
	shift := func(local string) (string, error) {
		if local == "" {
			return "", nil
		}
		at, err := session.Instant(local, p.zone, p.s.Fold)
		if err != nil {
			return "", err
		}
		return to.Add(at.Sub(p.start)).In(p.zone).Format("2006-01-02T15:04:05"), nil
	}
	s.Start, s.Fold = req.At, ""
	s.Setups = append([]session.Setup{}, s.Setups...)
	s.People = append([]session.Person{}, s.People...)
	s.Roster = append([]session.Player{}, s.Roster...)
	var err error
	for i := range s.Setups {
		if s.Setups[i].At, err = shift(s.Setups[i].At); err != nil {
			return s, wrongTime(fmt.Sprintf("setups[%d].at", i), err)
		}
	}
	for i := range s.People {
		x := &s.People[i]
		if x.Arrives, err = shift(x.Arrives); err != nil {
			return s, wrongTime(fmt.Sprintf("people[%d].arrives", i), err)
		}
		if x.Leaves, err = shift(x.Leaves); err != nil {
			return s, wrongTime(fmt.Sprintf("people[%d].leaves", i), err)
		}
	}
	for i := range s.Roster {
		if s.Roster[i].Arrives, err = shift(s.Roster[i].Arrives); err != nil {
			return s, wrongTime(fmt.Sprintf("roster[%d].arrives", i), err)
		}
	}
	s.Slots = nil
	if s.Weather != nil {
		s.Weather = nil
		a.Notes = append(a.Notes, Note{"weather", "caution", "the weather of the old date is not taken along: wind and heat are unknown", "add the forecast before anything goes up"})
	}
	switch s.Sky.Kind {
	case "metar", "irradiance", "meter":
		a.Notes = append(a.Notes, Note{"sky", "caution", fmt.Sprintf("the sky was measured at its hour; a %s one is planned with", usualSky), "say another with --sky, or meter there"})
		s.Sky = session.Sky{Kind: "named", Name: usualSky, Turbidity: s.Sky.Turbidity}
	default:
		if req.Sky == "" {
			a.Assumptions = append(a.Assumptions, "the sky of the old date")
		}
	}
	if req.Sky != "" {
		s.Sky = session.Sky{Kind: "named", Name: req.Sky}
	}
	return s, nil
}

func stateOf(x SetupAnswer) AgainState {
	at, _ := time.Parse(time.RFC3339, x.At)
	return AgainState{at, x.Sun.AltitudeDeg, x.Sun.AzimuthDeg, x.Sun.FromCameraDeg, x.Daylight.BackgroundEV, x.Margin, x.Answer}
}

// changesOf says what is set otherwise.
func changesOf(x, y *Planned) []string {
	out := []string{}
	switch {
	case x == nil && y == nil:
		return out
	case y == nil:
		return append(out, "no setting does it any more")
	case x == nil:
		return append(out, "now there is a setting")
	}
	turn := func(what, a, b string) {
		if a != b {
			out = append(out, fmt.Sprintf("%s %s → %s", what, a, b))
		}
	}
	nd := func(s float64) string {
		if s == 0 {
			return "no filter"
		}
		return fmt.Sprintf("ND %.3g", s)
	}
	turn("shutter", x.Shutter, y.Shutter)
	turn("aperture", x.Aperture, y.Aperture)
	turn("ISO", fmt.Sprintf("%.0f", x.ISO), fmt.Sprintf("%.0f", y.ISO))
	turn("filter", nd(x.NDStops), nd(y.NDStops))
	for i := range min(len(x.Lights), len(y.Lights)) {
		turn(x.Lights[i].Role+" power", x.Lights[i].Power, y.Lights[i].Power)
		if math.Abs(x.Lights[i].DistanceM-y.Lights[i].DistanceM) >= 0.1 {
			turn(x.Lights[i].Role+" distance", fmt.Sprintf("%.1f m", x.Lights[i].DistanceM), fmt.Sprintf("%.1f m", y.Lights[i].DistanceM))
		}
	}
	return out
}

// past brings the settings that were used here to the new time of a setup: the
// daylight of both is computed under the same kind of sky.
func (p *planner) past(i int, now SetupAnswer) ([]AgainPast, error) {
	out := []AgainPast{}
	m, su := p.s.Place.Memory, p.s.Setups[i]
	if m == nil {
		return out, nil
	}
	for k, x := range m.Past {
		if x.Setup != su.ID {
			continue
		}
		at, err := session.Instant(x.At, p.zone, "first")
		if err != nil {
			return out, wrongTime(fmt.Sprintf("place.memory.past[%d].at", k), err)
		}
		set, err := exposure.ParseShutter(x.Shutter, p.camera.Dial)
		if err != nil {
			return out, wrong(fmt.Sprintf("place.memory.past[%d].shutter", k), err, "write it like 1/250")
		}
		q := *p
		q.s.Setups = append([]session.Setup{}, p.s.Setups...)
		q.s.Setups[i].At, q.s.Fold = x.At, "first"
		then, err := q.setup(i)
		if err != nil {
			return out, err
		}
		lighter := unit.Stops(now.Daylight.BackgroundEV - then.Daylight.BackgroundEV)
		new := exposure.Shutter(float64(set) / lighter.Ratio())
		r := AgainPast{At: at.In(p.zone), Verdict: x.Verdict, Lighter: tidy(lighter), Shutter: new.Label(p.camera.Dial),
			Was: fmt.Sprintf("%s, f/%.3g, ISO %.0f%s", x.Shutter, x.FNumber, x.ISO, spoken(or(x.NDStops, 0)))}
		r.Text = fmt.Sprintf("%s then is %s now, everything else as it was", x.Shutter, r.Shutter)
		switch sync := p.camera.Sync; {
		case float64(new) < float64(sync)*0.99 && float64(set) >= float64(sync)*0.99:
			r.Text += fmt.Sprintf("; that is shorter than sync: close the aperture by %.1f stops in its place, or more ND, and the flash with it", float64(unit.StopsOf(float64(sync/new))))
		case math.Abs(float64(lighter)) < 0.17:
			r.Text = "as it was"
		}
		out = append(out, r)
	}
	return out, nil
}
