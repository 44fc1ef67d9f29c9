package api

import (
	"fmt"
	"math"
	"strings"

	"hardnoon/engine/body"
	"hardnoon/engine/exposure"
	"hardnoon/engine/geom"
	"hardnoon/engine/motion"
	"hardnoon/engine/unit"
)

// ActionAnswer is how a movement is caught: the time that freezes, what ghosts,
// when to press, and how many tries there are.
type ActionAnswer struct {
	Setup     string   `json:"setup"`
	Movement  string   `json:"movement"`
	SpeedMPS  float64  `json:"speed_mps"`
	Shutter   string   `json:"shutter"`   // as planned
	Freezes   string   `json:"freezes"`   // the slowest time that freezes the daylight part
	BlurPx    float64  `json:"blur_px"`   // of the daylight part
	FlashPx   float64  `json:"flash_px"`  // of the flash part
	GhostPct  float64  `json:"ghost_pct"` // share of the light on the body that is not frozen by the flash
	GhostSeen bool     `json:"ghost_seen"`
	Lit       int      `json:"pops_in_window"` // full pops near the moment
	LastsS    float64  `json:"lasts_s"`        // from the cue's pose to the peak
	WindowMS  float64  `json:"window_ms"`
	LagMS     float64  `json:"lag_ms"`           // finger to picture
	CueMS     float64  `json:"cue_ms"`           // cue to picture, for whoever waits for it
	SpreadMS  float64  `json:"spread_ms"`        // one standard deviation of when the picture is taken
	Press     string   `json:"press"`            // what to do
	HitPct    float64  `json:"hit_pct"`          // of one try
	Tries     int      `json:"tries"`            // there are
	ForNine   *float64 `json:"tries_for_90_pct"` // that make one hit nine times of ten; null is more than there can be
	Within    string   `json:"tries_limited_by"`
	EveryS    float64  `json:"try_every_s"`
	Sources   []string `json:"sources"`
}

// How near to the wanted moment is near enough. Own choice.
const (
	handSlack = 0.15 * unit.Metre // of a hand or a stick
	markSlack = 0.3 * unit.Metre  // of a body that crosses the mark
	topSlack  = 0.05 * unit.Metre // below the top of a jump
)

// cues are what is seen or heard before the moment. Common practice, no source.
var cues = map[string]string{
	"throw":   "the front foot comes down",
	"javelin": "the front foot comes down",
	"kick":    "the standing foot is planted",
	"toss":    "the arm swings up",
	"start":   "the signal comes",
	"leap":    "the foot leaves the ground",
}

// action answers for a row whose setup moves.
func (d *scheduler) action(r OrderRow) (ActionAnswer, bool, error) {
	i := 0
	for k, su := range d.s.Setups {
		if su.ID == r.Setup {
			i = k
		}
	}
	su, p := d.s.Setups[i], d.plans[i]
	v := or(su.Look.SpeedMPS, 0)
	if effortOf(su) < 2 || v <= 0 || p.Answer == nil || p.Lens == nil {
		return ActionAnswer{}, false, nil
	}
	a := ActionAnswer{Setup: su.ID, Movement: strings.ToLower(su.Subject.Pose), SpeedMPS: v, Shutter: p.Answer.Shutter, BlurPx: or(p.Lens.BlurPx, 0), FlashPx: or(p.Lens.FlashPx, 0),
		Sources: []string{"Kosinski", "spread of a foreseen press, shutter lag: from memory"}}
	if p.SlowestS > 0 {
		a.Freezes = freezing(p.SlowestS, d.camera.Dial)
	}
	if len(p.Answer.Lights) == 0 { // daylight alone: nothing to recycle, and no ghost
		return ActionAnswer{}, false, nil
	}
	key := p.Answer.Lights[0]
	for _, l := range p.Answer.Lights {
		if l.Role == "key" {
			key = l
		}
	}
	// Daylight on the body is what the total has more than the flash.
	day := math.Exp2(key.Total) - math.Exp2(key.Level)
	g := motion.GhostOf(unit.StopsOf(math.Max(day, 1e-6)), unit.Stops(key.Level), a.BlurPx, a.FlashPx)
	a.GhostPct, a.GhostSeen = math.Round(g.Share*100), g.Visible
	if p.Answer.Route == "high-speed sync" { // flash and daylight smear alike: no sharp core, no ghost around it
		a.GhostPct, a.GhostSeen = 0, false
	}

	press := motion.UsualPress
	lag, cue := press.Lag()
	a.LagMS, a.CueMS = ms(lag), ms(cue)
	window, lasts, err := d.moment(i, v)
	if err != nil {
		return a, false, err
	}
	a.LastsS = math.Round(lasts*1000) / 1000
	onCue := lasts >= cue && lasts < 3*cue
	spread := press.Spread(onCue)
	a.WindowMS, a.SpreadMS = ms(window), ms(spread)
	chance := motion.Chance(window, spread)
	a.HitPct = math.Round(chance * 100)
	if n := motion.Tries(chance, 0.9); n < 1000 {
		a.ForNine = &n
	}
	a.Press = how(a.Movement, v, lag, cue, lasts, onCue)

	a.Lit = 1 + int(window/math.Max(key.RecycleS, 0.01))
	for _, s := range r.Shots {
		a.Tries += s.Frames
		a.EveryS, a.Within = s.Every, s.LimitedBy
	}
	return a, true, nil
}

func ms(s float64) float64 { return math.Round(s * 1000) }

// freezing is the slowest time on the dial that is no longer than t.
func freezing(t float64, step exposure.Step) string {
	best := exposure.Shutter(0)
	for _, s := range exposure.Shutters(1, 1.0/32768, step) {
		if float64(s) <= t*1.001 && s > best {
			best = s
		}
	}
	if best == 0 {
		return fmt.Sprintf("1/%.0f", math.Ceil(1/t))
	}
	return best.Label(step)
}

// moment returns how long a movement is near its peak, and how long it takes to
// get there from its cue. A hand that starts at rest and speeds up evenly needs
// twice its path over its last speed.
func (d *scheduler) moment(i int, v float64) (window, lasts float64, err error) {
	su := d.s.Setups[i]
	name := strings.ToLower(su.Subject.Pose)
	f := body.Figure{}
	f.Stature, _ = d.stature(su)
	for _, q := range d.s.People {
		if q.ID == su.Subject.Person {
			f.Age = math.Max(5, or(q.Age, 20))
		}
	}
	switch m, peak, joint := movementOf(name); {
	case strings.Contains(name, "leap"), strings.Contains(name, "jump"):
		pose, _ := body.PoseNamed("leap")
		stature := f.Stature
		if stature == 0 {
			stature = 1.7 * unit.Metre
		}
		j := motion.Jump{Height: unit.Length(pose.Rise) * stature}
		return math.Min(j.ApexWindow(topSlack), motion.Window(markSlack, unit.Speed(v))), j.Apex(), nil
	case peak > 0:
		path, err := pathOf(f, m, m.Keys[peak-1].At, m.Keys[peak].At, joint)
		if err != nil {
			return 0, 0, wrong(fmt.Sprintf("setups[%d].subject", i), err, "check the person's age and height")
		}
		return motion.Window(handSlack, unit.Speed(v)), 2 * path / v, nil
	}
	_, cue := motion.UsualPress.Lag()
	return motion.Window(markSlack, unit.Speed(v)), cue, nil // the line is laid so
}

// movementOf finds the path of a name, the key that is its peak (0 for none) and
// what moves fastest in it.
func movementOf(name string) (body.Movement, int, body.Joint) {
	for _, m := range body.Movements {
		if !strings.Contains(name, m.Name) && !(m.Name == "throw" && strings.Contains(name, "release")) {
			continue
		}
		switch m.Name {
		case "kick":
			return m, 1, body.RightAnkle
		case "javelin":
			return m, 2, body.RightWrist
		}
		return m, 1, body.RightWrist
	}
	return body.Movement{}, 0, 0
}

// pathOf returns how far a joint goes between two moments, in metres.
func pathOf(f body.Figure, m body.Movement, from, to float64, joint body.Joint) (float64, error) {
	const steps = 12
	var last geom.Vec
	sum := 0.0
	for k := 0; k <= steps; k++ {
		var err error
		if f.Pose, err = m.PoseAt(from + (to-from)*float64(k)/steps); err != nil {
			return 0, err
		}
		b, err := f.Build()
		if err != nil {
			return 0, err
		}
		at := b.Joint(joint)
		if k > 0 {
			sum += at.Sub(last).Norm()
		}
		last = at
	}
	return sum, nil
}

// how says when to press.
func how(name string, v, lag, cue, lasts float64, onCue bool) string {
	sign := ""
	for k, c := range cues {
		if strings.Contains(name, k) {
			sign = c
		}
	}
	first := "foot"
	if name == "wheelchair" {
		first = "front wheel"
	}
	switch {
	case sign == "":
		return fmt.Sprintf("lay a line %.1f m before the mark; press when the %s reaches it", v*cue, first)
	case onCue && lasts-cue < 0.05: // less than the spread
		return fmt.Sprintf("press at once when %s: %.0f ms to the peak, your lag is %.0f", sign, ms(lasts), ms(cue))
	case onCue:
		return fmt.Sprintf("press %.0f ms after %s: %.0f to the peak, less your lag of %.0f", ms(lasts-cue), gerund(sign), ms(lasts), ms(cue))
	case lasts < cue:
		return fmt.Sprintf("the peak comes %.0f ms after the movement starts, your lag is %.0f: do not wait for it; when %s your finger must already go, %.0f ms before the peak", ms(lasts), ms(cue), sign, ms(lag))
	}
	return fmt.Sprintf("swing along and press %.0f ms before the peak", ms(lag))
}

func gerund(sign string) string { return "the moment that " + sign }
