package api

import (
	"errors"
	"math"
	"time"

	"hardnoon/engine/flash"
	"hardnoon/engine/plan"
	"hardnoon/engine/sun"
	"hardnoon/engine/unit"
	"hardnoon/session"
)

// DayRequest asks how a session's day goes: the light and what each pair of the
// kit has to spare under it.
type DayRequest struct {
	Session   session.Session `json:"session"`
	EveryS    *float64        `json:"every_s,omitempty"`     // 1800
	DistanceM *float64        `json:"distance_m,omitempty"`  // 2
	Under     *float64        `json:"under_stops,omitempty"` // of the first setup
}

// DayAnswer is the day from sunrise to sunset.
type DayAnswer struct {
	Date        string     `json:"date"`
	Zone        string     `json:"zone"`
	Sunrise     *time.Time `json:"sunrise_at"`
	Sunset      *time.Time `json:"sunset_at"`
	DistanceM   float64    `json:"distance_m"`
	Under       float64    `json:"under_stops"`
	CameraDeg   float64    `json:"camera_bearing_deg"`
	Pairs       []DayPair  `json:"pairs"`
	Steps       []DayStep  `json:"steps"`
	Slots       []DaySlot  `json:"slots"`
	Assumptions []string   `json:"assumptions"`
}

// DayPair names a head with a modifier of the kit.
type DayPair struct {
	Head     string `json:"head"`
	Modifier string `json:"modifier"`
}

// DayStep is one moment. Margins stand in the order of the pairs.
type DayStep struct {
	At            time.Time `json:"at"`
	AltitudeDeg   float64   `json:"altitude_deg"`
	AzimuthDeg    float64   `json:"azimuth_deg"`
	FromCameraDeg float64   `json:"from_camera_axis_deg"`
	BackgroundEV  float64   `json:"background_ev100"`
	FaceEV        float64   `json:"face_ev100"`
	AtSync        []float64 `json:"margins_at_sync_stops"` // stop down, ND or slower: one pop
	HighSpeed     []float64 `json:"margins_high_speed_stops"`
}

// DaySlot is one offered stretch of time, with the least margin of its best
// pair.
type DaySlot struct {
	Start  time.Time `json:"start_at"`
	End    time.Time `json:"end_at"`
	Pair   DayPair   `json:"pair"`
	AtSync float64   `json:"margin_at_sync_stops"`
}

const mostSteps = 5000

// Day answers how the day goes.
func Day(req DayRequest) (DayAnswer, error) {
	p, err := newPlanner(req.Session)
	if err != nil {
		return DayAnswer{}, err
	}
	if len(p.s.Setups) == 0 {
		return DayAnswer{}, wrong("session.setups", errors.New("the session has no setup"), "add one: its camera says which way the background lies")
	}
	every := or(req.EveryS, 1800)
	if err := unit.Within("step", every, 1, 86400, "s"); err != nil {
		return DayAnswer{}, wrong("every_s", err, "give at least a second")
	}
	d := or(req.DistanceM, 2)
	if err := unit.Within("distance", d, 0.3, 100, "m"); err != nil {
		return DayAnswer{}, wrong("distance_m", err, "give the distance from light to subject")
	}
	under := or(req.Under, p.s.Setups[0].Look.UnderStops)
	if err := unit.Within("stops under", under, -6, 10, "stops"); err != nil {
		return DayAnswer{}, wrong("under_stops", err, "give how far the background lies below mid-tone")
	}
	o := p.observer()
	day, err := sun.DayOf(p.start, o)
	if err != nil {
		return DayAnswer{}, wrong("session.place", err, "check the place and the date")
	}
	a := DayAnswer{Date: p.start.Format("2006-01-02"), Zone: p.s.Place.Zone, Sunrise: inZone(day.Sun.Begin, p.zone), Sunset: inZone(day.Sun.End, p.zone),
		DistanceM: d, Under: under, CameraDeg: p.s.Setups[0].Camera.BearingDeg, Pairs: []DayPair{}, Steps: []DayStep{}, Slots: []DaySlot{}, Assumptions: append([]string{}, p.assumed...)}
	from, to := day.From, day.To
	if day.Sun.Begin != nil {
		from = *day.Sun.Begin
	}
	if day.Sun.End != nil {
		to = *day.Sun.End
	}
	if day.PolarNight {
		return a, &Error{Kind: NoAnswer, Code: "sun_down", Field: "session.start", Text: "the sun does not rise that day", Hint: "plan by lamp light, or another date"}
	}
	if n := to.Sub(from).Seconds() / every; n > mostSteps {
		return a, wrong("every_s", &unit.RangeError{What: "number of steps", Got: math.Ceil(n), Min: 1, Max: mostSteps}, "take longer steps")
	}
	var lit []flash.Source
	for _, h := range p.s.Kit.Heads {
		for _, m := range append([]session.Modifier{{ID: "bare"}}, p.s.Kit.Modifiers...) {
			a.Pairs = append(a.Pairs, DayPair{h.ID, m.ID})
			src, what := p.source(h.ID, m.ID)
			lit = append(lit, src)
			a.Assumptions = appendNew(a.Assumptions, what)
		}
	}
	track, err := sun.NewTrack(o)
	if err != nil {
		return a, wrong("session.place", err, "check the place")
	}
	step := time.Duration(every * float64(time.Second))
	first := day.From // steps count from local midnight
	if n := from.Sub(first); n > 0 {
		first = first.Add(n.Truncate(step) + step)
	}
	looks := unit.Angle(a.CameraDeg) * unit.Degree
	moment := func(t time.Time) (DayStep, error) {
		pos, err := track.At(t)
		if err != nil {
			return DayStep{}, wrong("session.start", err, "check the date")
		}
		light, err := p.daylightOf(t, o, pos)
		if err != nil {
			return DayStep{}, err
		}
		f, err := p.aspect(light, looks+unit.Turn/2, looks+unit.Turn/2, looks, usualEyes)
		if err != nil {
			return DayStep{}, err
		}
		l := levels(light.now, f)
		s := DayStep{At: t.In(p.zone), AltitudeDeg: deg(pos.AltitudeApparent), AzimuthDeg: bearing(pos.Azimuth), FromCameraDeg: deg((pos.Azimuth - looks).Signed()),
			BackgroundEV: digits(float64(l.Background), 4), FaceEV: digits(float64(l.Face), 4), AtSync: make([]float64, len(lit)), HighSpeed: make([]float64, len(lit))}
		for i, src := range lit {
			normal, high := plan.SpareAt(p.camera, src, unit.Length(d), l.Background, unit.Stops(under), 0)
			s.AtSync[i], s.HighSpeed[i] = tidy(normal), tidy(high)
		}
		return s, nil
	}
	for t := first; t.Before(to); t = t.Add(step) {
		s, err := moment(t)
		if err != nil {
			return a, err
		}
		a.Steps = append(a.Steps, s)
	}
	for _, sl := range p.s.Slots {
		start, err := session.Instant(sl.Start, p.zone, sl.Fold)
		if err != nil {
			return a, wrongTime("session.slots", err)
		}
		slot := DaySlot{Start: start, End: start.Add(time.Duration(sl.Minutes * float64(time.Minute))), AtSync: math.Inf(-1)}
		least := make([]float64, len(lit))
		for j := range least {
			least[j] = math.Inf(1)
		}
		for k := 0; k <= 4; k++ { // the ends and three between
			s, err := moment(start.Add(slot.End.Sub(start) * time.Duration(k) / 4))
			if err != nil {
				return a, err
			}
			for j, m := range s.AtSync {
				least[j] = math.Min(least[j], m)
			}
		}
		for j, m := range least {
			if m > slot.AtSync {
				slot.AtSync, slot.Pair = m, a.Pairs[j]
			}
		}
		a.Slots = append(a.Slots, slot)
	}
	return a, nil
}

func inZone(t *time.Time, zone *time.Location) *time.Time {
	if t == nil {
		return nil
	}
	x := t.In(zone).Round(time.Second)
	return &x
}
