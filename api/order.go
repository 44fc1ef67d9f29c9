package api

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"hardnoon/engine/order"
	"hardnoon/engine/safety"
	"hardnoon/engine/unit"
	"hardnoon/session"
)

// OrderRequest asks in which order a session's setups are shot, and whether
// that fits.
type OrderRequest struct {
	Session   session.Session `json:"session"`
	Finish    string          `json:"finish,omitempty"`     // wall clock, "22:00" or with a date; none is the end of the slot that holds the start
	BehindMin *float64        `json:"behind_min,omitempty"` // how late we are
	Done      []string        `json:"done,omitempty"`       // setups that are shot
	People    *float64        `json:"people,omitempty"`     // how many of a team, in place of the roster
	EachMin   *float64        `json:"minutes_each,omitempty"`
	AsListed  bool            `json:"as_listed,omitempty"` // keep the order of the file
}

// OrderAnswer is the work in order.
type OrderAnswer struct {
	Title       string         `json:"title"`
	Start       time.Time      `json:"start_at"`
	Finish      *time.Time     `json:"finish_at"` // asked for; null is an open end
	End         time.Time      `json:"end_at"`
	Fits        bool           `json:"fits"`
	SlackMin    *float64       `json:"slack_min"` // to the finish, less what fixed minutes are late
	Now         string         `json:"now"`       // the one sentence
	Rows        []OrderRow     `json:"rows"`
	LightsMoved int            `json:"lights_moved"`
	LensChanges int            `json:"lens_changes"`
	ChangeMin   float64        `json:"change_min"`
	ListedMin   *float64       `json:"change_min_as_listed"` // in the order of the file
	Exact       bool           `json:"exact"`
	Method      string         `json:"method"`
	BoundMin    float64        `json:"change_min_bound"` // no order changes in less
	Heads       []HeadDay      `json:"heads"`
	Turns       []Turn         `json:"turns"`
	Actions     []ActionAnswer `json:"actions"`
	WaysOut     []OrderWayOut  `json:"ways_out"`
	Assumptions []string       `json:"assumptions"`
	Notes       []Note         `json:"notes"`
}

// OrderRow is one setup in its place.
type OrderRow struct {
	Setup     string      `json:"setup"`
	Title     string      `json:"title"`
	Begin     time.Time   `json:"begin_at"`
	End       time.Time   `json:"end_at"`
	Fixed     bool        `json:"fixed"`
	LateMin   float64     `json:"late_min"`
	WaitMin   float64     `json:"wait_min"` // free time before it
	ChangeMin float64     `json:"change_min"`
	Changes   []string    `json:"changes"` // what is done in it
	WorkMin   float64     `json:"work_min"`
	RestMin   float64     `json:"rest_min"` // of the body, in heat
	HeadMin   float64     `json:"head_rest_min"`
	After     string      `json:"sweat_after,omitempty"`
	Shots     []OrderShot `json:"shots"`
}

// OrderShot is one picture with its time. Number counts through the day.
type OrderShot struct {
	Number    int     `json:"number"`
	ID        string  `json:"id"`
	Title     string  `json:"title"`
	Minutes   float64 `json:"minutes"`
	Frames    int     `json:"frames"` // that the time allows, of those asked for
	Asked     int     `json:"frames_asked"`
	Every     float64 `json:"every_s"`    // one frame
	LimitedBy string  `json:"limited_by"` // recycle, pace, tries, fatigue, hot head, wish
	Must      bool    `json:"must"`
}

// name is what a note calls the shot.
func (s OrderShot) name() string { return fmt.Sprintf("shot %d (%s)", s.Number, or2(s.Title, s.ID)) }

// HeadDay is what the day asks of one head.
type HeadDay struct {
	Head    string  `json:"head"`
	Pops    int     `json:"pops"` // test pops with them
	Charges float64 `json:"charges"`
	Spares  int     `json:"spare_batteries"`
	RestMin float64 `json:"rest_min"`
}

// OrderWayOut is a change and what it saves.
type OrderWayOut struct {
	Change   string  `json:"change"`
	SavesMin float64 `json:"saves_min"`
	Enough   bool    `json:"enough"`
}

// Minutes of a change-over by one person. Common practice, no source; the
// published figures are for more: 8 to 20 minutes a setup, 20 to 25 a place.
const (
	carryMin  = 1.5  // a stand with its ballast to another spot
	dressMin  = 1.5  // another modifier on a head
	trimMin   = 0.5  // turn it, raise it, half a step
	lensMin   = 0.75 // in the open
	dustMin   = 3    // in the car, when dust flies
	filterMin = 0.5
	walkMin   = 0.5 // the camera to another place
	testMin   = 1   // frames after any light was touched
)

// Distances within which a light or a camera counts as still there. Own choice.
const (
	sameSpot  = 0.5  // m
	sameLevel = 0.25 // m
)

// What a frame takes beside the recycling, in seconds. Common practice, no
// source: a pose that settles, a run-up and the walk back.
var paceOf = [...]float64{3, 5, 20, 45} // by effort

// triesOf is how many times one person does it well. Own estimate; the coach
// decides.
var triesOf = [...]int{math.MaxInt, math.MaxInt, 25, 12}

// grace is how late a fixed minute still counts as kept: the sun moves a quarter
// of a degree. Own choice.
const grace = time.Minute

const (
	usualMinutes = 10.0
	usualFrames  = 10.0
)

// effortOf is what a pose asks of a body, 0 to 3. Common practice, no source.
func effortOf(su session.Setup) int {
	p := strings.ToLower(su.Subject.Pose)
	has := func(words ...string) bool {
		return slices.ContainsFunc(words, func(w string) bool { return strings.Contains(p, w) })
	}
	v := or(su.Look.SpeedMPS, 0)
	switch {
	case has("throw", "release", "leap", "jump", "sprint", "start", "javelin draw", "follow"), v >= 10:
		return 3
	case has("run", "kick", "swing", "wind-up", "draw"), v > 1:
		return 2
	case has("toss", "ready", "dribble"), v > 0:
		return 1
	}
	return 0
}

func dry(su session.Setup) bool {
	return su.Skin == "dry" || su.Skin == "" && effortOf(su) == 0
}

// dusty are the grounds that fly. Own choice.
var dusty = []string{"sand", "clay", "track"}

// dust says whether the wind carries dust: from Beaufort 4, whose land sign is
// "raises dust", by the mean or, cautiously, by the gust.
func (p *planner) dust() (flies, known bool) {
	var most unit.Speed
	for _, v := range []*unit.Speed{p.weather.wind.Mean, p.weather.wind.Gust} {
		if v != nil {
			most, known = max(most, *v), true
		}
	}
	force, _ := safety.Beaufort(most)
	return force >= 4 && slices.Contains(dusty, p.s.Place.Ground), known
}

// scheduler is a session on its way into an order.
type scheduler struct {
	*planner
	req    OrderRequest
	plans  []SetupAnswer
	prob   order.Problem
	rest   []float64 // minutes of the body's rest in a setup
	shots  [][]OrderShot
	people int // in the roster's turns
	lensT  float64
	names  []string // of persons, by number
	last   int      // done last; −1 for none
	sweaty []int    // dry setups that come after what is done already
	brief  bool     // nobody asks what would make the day fit
}

// Order puts a session's setups in order.
func Order(req OrderRequest) (OrderAnswer, error) {
	_, a, err := ordered(req, false)
	return a, err
}

// ordered returns the answer with what it was made from, brief without ways out.
func ordered(req OrderRequest, brief bool) (*scheduler, OrderAnswer, error) {
	p, err := newPlanner(req.Session)
	if err != nil {
		return nil, OrderAnswer{}, err
	}
	if p.weather, err = p.outdoors(SafetyRequest{}); err != nil {
		return nil, OrderAnswer{}, err
	}
	d := &scheduler{planner: p, req: req, last: -1, brief: brief}
	if err := d.prepare(); err != nil {
		return nil, OrderAnswer{}, err
	}
	a, err := d.answer()
	return d, a, err
}

func minutes(m float64) time.Duration {
	return time.Duration(m * float64(time.Minute)).Round(time.Second)
}

func inMinutes(d time.Duration) float64 { return math.Round(d.Minutes()*100) / 100 }

// clock reads "22:00" on the session's day, or the next one when that is past,
// or a whole wall-clock time.
func (p *planner) clock(text string) (time.Time, error) {
	if strings.Contains(text, "T") {
		return session.Instant(text, p.zone, p.s.Fold)
	}
	if len(text) == 4 {
		text = "0" + text
	}
	day := p.start.In(p.zone)
	for range 2 {
		at, err := session.Instant(day.Format("2006-01-02")+"T"+text, p.zone, p.s.Fold)
		if err != nil || at.After(p.start) {
			return at, err
		}
		day = day.AddDate(0, 0, 1)
	}
	return day, fmt.Errorf("%q is not after the start", text)
}

func (d *scheduler) prepare() error {
	for _, x := range []struct {
		field, what string
		v           *float64
		least, most float64
		unit, hint  string
	}{{"behind_min", "how late you are", d.req.BehindMin, 0, 1440, "min", "0 is on time; write it like 9m"},
		{"people", "number of people", d.req.People, 1, 2000, "", "leave it out where nobody queues"},
		{"minutes_each", "time for each", d.req.EachMin, 0.05, 240, "min", "write it like 90s or 1m"}} {
		if x.v != nil {
			if err := unit.Within(x.what, *x.v, x.least, x.most, x.unit); err != nil {
				return wrong(x.field, err, x.hint)
			}
		}
	}
	for i := range d.s.Setups {
		a, err := d.setup(i)
		if err != nil {
			return err
		}
		d.plans = append(d.plans, a)
	}
	if err := d.team(); err != nil {
		return err
	}
	flies, _ := d.dust()
	d.lensT = lensMin
	if flies {
		d.lensT = dustMin
	}
	for i, su := range d.s.Setups {
		x, rest, err := d.one(i, su)
		if err != nil {
			return err
		}
		d.prob.Setups = append(d.prob.Setups, x)
		d.rest = append(d.rest, rest)
	}
	n := len(d.s.Setups)
	known := make([]*order.Change, n*n) // asked for often while an order is sought
	d.prob.Between = func(i, j int) order.Change {
		if known[i*n+j] == nil {
			c, _ := d.change(i, j)
			known[i*n+j] = &c
		}
		return *known[i*n+j]
	}
	d.prob.Start, d.prob.Grace = minutes(or(d.req.BehindMin, 0)), grace
	return d.finish()
}

// team makes every setup that is for each of the roster as long as it takes.
// People given without a roster stand for one; without a setup for each, all of
// them pass through the calmest.
func (d *scheduler) team() error {
	d.people = len(d.s.Roster)
	if d.req.People != nil {
		d.people = int(*d.req.People)
	}
	d.s.Setups = slices.Clone(d.s.Setups)
	found := false
	for i := range d.s.Setups {
		if d.s.Setups[i].Each != nil {
			found = true
			if d.req.EachMin != nil {
				d.s.Setups[i].Each = d.req.EachMin
			}
		}
	}
	if !found && (d.req.People != nil || d.req.EachMin != nil) {
		k := 0 // the calmest setup, and of these the tightest
		for i, su := range d.s.Setups {
			was := d.s.Setups[k]
			if a, b := effortOf(su), effortOf(was); a < b || a == b && su.FocalMM > was.FocalMM {
				k = i
			}
		}
		su := &d.s.Setups[k]
		each := or(d.req.EachMin, 1)
		su.Each, su.Minutes, su.Shots = &each, nil, nil
		d.assumed = append(d.assumed, fmt.Sprintf("the team passes through %s, %s each", su.ID, MinutesText(each)))
		found = true
	}
	if found && d.people == 0 {
		return wrong("session.roster", errors.New("a setup takes minutes for each of the roster, and the roster is empty"), `list the people in "roster", or say how many`)
	}
	return nil
}

// one says what a setup asks of the day.
func (d *scheduler) one(i int, su session.Setup) (order.Setup, float64, error) {
	x := order.Setup{Effort: effortOf(su), Dry: dry(su), Person: d.person(su)}
	work := or(su.Minutes, 0)
	shots := su.Shots
	if len(shots) == 0 {
		shots = []session.Shot{{ID: su.ID, Title: su.Title}}
	}
	frames, said := 0.0, 0.0
	for _, s := range shots {
		if s.Minutes != nil {
			said += *s.Minutes
		} else {
			frames += or(s.Frames, usualFrames)
		}
	}
	if su.Minutes == nil {
		work = said
		if frames > 0 && su.Each == nil {
			work += usualMinutes
			d.assumed = appendNew(d.assumed, fmt.Sprintf("%.0f minutes for a setup that says none", usualMinutes))
		}
	}
	work = math.Max(work, said)
	var list []OrderShot
	for _, s := range shots {
		n := or(s.Frames, usualFrames)
		m := or(s.Minutes, 0)
		if s.Minutes == nil && frames > 0 {
			m = (work - said) * n / frames
		}
		o := OrderShot{ID: s.ID, Title: s.Title, Minutes: math.Round(m*100) / 100, Asked: int(n), Must: s.Must}
		d.pace(&o, i, x.Effort, m)
		list = append(list, o)
	}
	if su.Each != nil {
		turns := *su.Each * float64(d.people)
		o := OrderShot{ID: su.ID + "-turns", Title: fmt.Sprintf("%d people, one after the other", d.people), Minutes: turns, Asked: d.people * framesEach}
		d.pace(&o, i, 0, turns) // one turn each: nobody tires
		if su.Minutes == nil && len(su.Shots) == 0 {
			list, work = nil, 0
		}
		list, work = append(list, o), work+turns
	}
	d.shots = append(d.shots, list)
	rest := resting(d.plans[i].Safety.Heat, work, x.Effort)
	x.Takes = minutes(work + rest)
	if su.At != "" {
		at, err := session.Instant(su.At, d.zone, d.s.Fold)
		if err != nil {
			return x, 0, wrongTime(fmt.Sprintf("setups[%d].at", i), err)
		}
		x.Fixed, x.At = true, at.Sub(d.start)
	}
	for k, q := range d.s.People {
		if q.ID != su.Subject.Person || q.ID == "" {
			continue
		}
		for _, t := range []struct {
			text string
			to   *time.Duration
			name string
		}{{q.Arrives, &x.From, "arrives"}, {q.Leaves, &x.Until, "leaves"}} {
			if t.text == "" {
				continue
			}
			at, err := session.Instant(t.text, d.zone, d.s.Fold)
			if err != nil {
				return x, 0, wrongTime(fmt.Sprintf("people[%d].%s", k, t.name), err)
			}
			*t.to = max(at.Sub(d.start), time.Nanosecond) // 0 is "whenever"
		}
	}
	return x, rest, nil
}

// framesEach is how many frames one of a team gets. Common practice, no source:
// with the blink of one in three, three leave a good one.
const framesEach = 3

// pace says how many of the frames asked for the time allows. A head that is not
// charged again is waited for.
func (d *scheduler) pace(o *OrderShot, setup, effort int, mins float64) {
	o.Every, o.LimitedBy = paceOf[effort], "pace"
	if effort >= 2 {
		o.LimitedBy = "tries"
	}
	if a := d.plans[setup].Answer; a != nil {
		for _, l := range a.Lights {
			if l.RecycleS > o.Every {
				o.Every, o.LimitedBy = l.RecycleS, "recycle"
			}
		}
	}
	o.Frames = o.Asked
	if can := int(mins*60/o.Every + 1e-9); can < o.Frames {
		o.Frames = can
	} else {
		o.LimitedBy = "wish"
	}
	if m := triesOf[effort]; o.Frames > m {
		o.Frames, o.LimitedBy = m, "fatigue"
	}
}

// person numbers who stands in a setup: one number, one skin.
func (d *scheduler) person(su session.Setup) int {
	name := su.Subject.Person
	if su.Each != nil {
		name = "the roster"
	} else if name == "" && len(d.s.People) > 0 {
		name = d.s.People[0].ID
	}
	if i := slices.Index(d.names, name); i >= 0 {
		return i
	}
	d.names = append(d.names, name)
	return len(d.names) - 1
}

// Rests of the body, as parts of the work. As much rest as work from a wet-bulb
// globe of 82 °F is [NATA2015] for people not used to the heat; three breaks of
// three minutes an hour when it is warm, [GHSA2012]; four minutes in twenty where
// heat asks for care but nobody runs is our own.
const (
	hotWork  = 1.0
	careWork = 1. / 5
	warmWork = 9. / 51
	hotFrom  = (82 - 32) / 1.8 // °C, wet-bulb globe
	warmFrom = (80 - 32) / 1.8 // °C, heat index
)

// resting returns the minutes of rest that go with so much work in that heat.
// Where it is not known none is planned, and a note says so.
func resting(h HeatSafety, work float64, effort int) float64 {
	switch h.Level {
	case safety.Care.String(), safety.Stop.String():
		if h.WBGT != nil && *h.WBGT > hotFrom && effort >= 2 {
			return work * hotWork
		}
		return work * careWork
	case safety.Quiet.String():
		if h.HeatIndexC != nil && *h.HeatIndexC >= warmFrom {
			return work * warmWork
		}
	}
	return 0
}

// spot is where a light stands, seen from the mark.
type spot struct {
	head, modifier string
	x, y, h        float64
}

func (d *scheduler) spots(i int) []spot {
	su := d.s.Setups[i]
	var out []spot
	for k, l := range su.Lights {
		at := or(l.DistanceM, or(l.DistanceMinM, 2))
		h := or(l.HeightM, usualEyes.Metres()+usualHeight)
		angle := or(l.AngleDeg, UsualAngle(l.Role))
		if a := d.plans[i].Answer; a != nil && k < len(a.Lights) {
			at, h, angle = a.Lights[k].DistanceM, or(a.Lights[k].HeightM, h), or(a.Lights[k].AngleDeg, angle)
		}
		way := (unit.Angle(su.Camera.BearingDeg+180+angle) * unit.Degree)
		out = append(out, spot{l.Head, or2(l.Modifier, "bare"), at * way.Sin(), at * way.Cos(), h})
	}
	return out
}

func or2(a, b string) string {
	if a == "" {
		return b
	}
	return a
}

// change says what is done between two setups, and how long it takes alone. One
// mark is taken for all of them.
func (d *scheduler) change(i, j int) (order.Change, []string) {
	a, b := d.s.Setups[i], d.s.Setups[j]
	var c order.Change
	var what []string
	t := 0.0
	do := func(m float64, text string) { t += m; what = append(what, text) }
	before := d.spots(i)
	touched := false
	for _, n := range d.spots(j) {
		k := slices.IndexFunc(before, func(o spot) bool { return o.head == n.head })
		if k < 0 {
			do(carryMin+dressMin, "put up "+n.head+" with "+n.modifier)
			c.Lights, touched = c.Lights+1, true
			continue
		}
		o := before[k]
		moved := math.Hypot(n.x-o.x, n.y-o.y)
		if o.modifier != n.modifier {
			do(dressMin, n.modifier+" on "+n.head)
			touched = true
		}
		switch {
		case moved > sameSpot:
			do(carryMin, fmt.Sprintf("carry %s %.1f m", n.head, moved))
			c.Lights, touched = c.Lights+1, true
		case moved > 0.1 || math.Abs(n.h-o.h) > sameLevel:
			do(trimMin, "trim "+n.head)
			touched = true
		}
	}
	for _, o := range before {
		if !slices.ContainsFunc(b.Lights, func(l session.Light) bool { return l.Head == o.head }) {
			do(carryMin/2, "take "+o.head+" away")
		}
	}
	if a.Lens != b.Lens {
		c.Lenses++
		do(d.lensT, "lens "+b.Lens)
	}
	if x, y := d.plans[i].Answer, d.plans[j].Answer; x != nil && y != nil && (x.NDStops != y.NDStops || y.NDStops > 0 && a.Lens != b.Lens) {
		text := "no filter"
		if y.NDStops > 0 {
			text = fmt.Sprintf("ND %.0f", y.NDStops)
		}
		do(filterMin, text)
	}
	turn := (unit.Angle(a.Camera.BearingDeg-b.Camera.BearingDeg) * unit.Degree).Signed().Abs()
	if turn > 15*unit.Degree || math.Abs(a.Camera.DistanceM-b.Camera.DistanceM) > 1 {
		do(walkMin, "walk round")
	}
	if touched {
		do(testMin, "test frames")
	}
	c.Takes = minutes(t)
	return c, what
}

// finish fixes the end, and takes away what is done.
func (d *scheduler) finish() error {
	var end *time.Time
	if d.req.Finish != "" {
		at, err := d.clock(d.req.Finish)
		if err != nil {
			return wrong("finish", err, `write it like 22:00`)
		}
		end = &at
	}
	for i, s := range d.s.Slots {
		from, err := session.Instant(s.Start, d.zone, s.Fold)
		if err != nil {
			return wrongTime(fmt.Sprintf("slots[%d].start", i), err)
		}
		if to := from.Add(minutes(s.Minutes)); end == nil && !d.start.Before(from) && d.start.Before(to) {
			end = &to
		}
	}
	if end != nil {
		x := end.Sub(d.start)
		d.prob.Finish = &x
	}
	return nil
}
