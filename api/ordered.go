package api

import (
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

// open is the problem of what is not done yet, and which setup each of its
// numbers stands for.
func (d *scheduler) open() (order.Problem, []int, error) {
	var left []int
	for i, su := range d.s.Setups {
		if !slices.Contains(d.req.Done, su.ID) {
			left = append(left, i)
		}
	}
	for _, id := range d.req.Done {
		if !slices.ContainsFunc(d.s.Setups, func(su session.Setup) bool { return su.ID == id }) {
			return order.Problem{}, nil, wrong("done", fmt.Errorf("no setup is called %q", id), "there are "+ids(d.s.Setups, func(s session.Setup) string { return s.ID }))
		}
	}
	q := d.prob
	if len(left) == len(d.s.Setups) {
		return q, left, nil
	}
	// What is done was done in the order planned; the last of it is where the
	// lights stand, its end is now, and we are behind that.
	onTime := d.prob
	onTime.Start = 0
	whole, err := d.put(onTime)
	if err != nil {
		return q, nil, err
	}
	for _, r := range whole.Rows {
		if !slices.Contains(left, r.Setup) {
			d.last = r.Setup
			q.Start = r.End + d.prob.Start
		}
	}
	q.Setups = nil
	for _, i := range left {
		x := d.prob.Setups[i]
		if x.Dry { // the sweat of what is done
			for k, s := range d.prob.Setups {
				if !slices.Contains(left, k) && s.Person == x.Person && s.Effort > 0 {
					d.sweaty = append(d.sweaty, i)
					break
				}
			}
		}
		q.Setups = append(q.Setups, x)
	}
	q.Between = func(i, j int) order.Change { return d.prob.Between(left[i], left[j]) }
	q.Before = func(i int) order.Change { return d.prob.Between(d.last, left[i]) }
	return q, left, nil
}

func (d *scheduler) put(p order.Problem) (order.Plan, error) {
	if !d.req.AsListed {
		x, err := order.Best(p)
		if err != nil {
			return x, wrong("session.setups", err, "plan in parts")
		}
		return x, nil
	}
	if err := p.Check(); err != nil {
		return order.Plan{}, wrong("session.setups", err, "plan in parts")
	}
	return p.InOrder(upTo(len(p.Setups))), nil
}

func upTo(n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = i
	}
	return out
}

func (d *scheduler) answer() (OrderAnswer, error) {
	a := OrderAnswer{Title: d.s.Title, Start: d.start.In(d.zone), Rows: []OrderRow{}, Heads: []HeadDay{}, Turns: []Turn{}, Actions: []ActionAnswer{}, WaysOut: []OrderWayOut{}, Notes: []Note{}}
	q, left, err := d.open()
	if err != nil {
		return a, err
	}
	if len(left) == 0 {
		return a, &Error{Kind: NoAnswer, Code: "all_done", Field: "done", Text: "every setup is done", Hint: "pack"}
	}
	x, err := d.put(q)
	if err != nil {
		return a, err
	}
	// What a hot head does not bear is not asked of it. Only a line of people has to
	// be gone through: there the head rests, the setup is longer, and the order is
	// made again.
	if d.spare(x, left) {
		d.spare(x, left) // cooler now at the next setup; once more is enough
	}
	heads, resting, _ := d.headDays(x, left)
	if slices.ContainsFunc(resting, func(t time.Duration) bool { return t > 0 }) {
		for k := range q.Setups {
			q.Setups[k].Takes += resting[k]
		}
		if x, err = d.put(q); err != nil {
			return a, err
		}
	}
	a.Heads = heads
	a.Exact, a.Method = x.Exact, "every order counts: none changes less"
	switch {
	case d.req.AsListed:
		a.Method = "in the order of the file"
	case !x.Exact:
		a.Method = "put in one by one and improved; a better order may exist"
	}
	a.BoundMin = inMinutes(x.Bound)
	a.LightsMoved, a.LensChanges, a.ChangeMin = x.Change.Lights, x.Change.Lenses, inMinutes(x.Change.Takes)
	if listed := q.InOrder(upTo(len(q.Setups))); !d.req.AsListed {
		m := inMinutes(listed.Change.Takes)
		a.ListedMin = &m
	}
	a.End = d.start.Add(x.End).In(d.zone)
	number := 0 // counts on from what is done
	for i := range d.shots {
		if !slices.Contains(left, i) {
			number += len(d.shots[i])
		}
	}
	for k, r := range x.Rows {
		i := left[r.Setup]
		su := d.s.Setups[i]
		row := OrderRow{Setup: su.ID, Title: su.Title, Begin: d.start.Add(r.Begin).In(d.zone), End: d.start.Add(r.End).In(d.zone), Fixed: su.At != "", LateMin: inMinutes(r.Late),
			WaitMin: inMinutes(r.Wait), ChangeMin: inMinutes(r.Change.Takes), Changes: []string{}, RestMin: math.Round(d.rest[i]*100) / 100, HeadMin: inMinutes(resting[r.Setup]), Shots: []OrderShot{}}
		row.WorkMin = math.Round((r.End-r.Begin).Minutes()*100-100*row.RestMin-100*row.HeadMin) / 100
		before := d.last
		if k > 0 {
			before = left[x.Rows[k-1].Setup]
		}
		if before >= 0 {
			_, row.Changes = d.change(before, i)
		}
		if r.Sweat > 0 || slices.Contains(d.sweaty, i) {
			row.After = "hard work"
			a.Notes = append(a.Notes, Note{"sweat", "caution", fmt.Sprintf("%s wants dry skin and comes after hard work", su.ID), "shade, towel and water first, ten minutes if you have them; a fixed minute left no better order"})
		}
		for _, s := range d.shots[i] {
			number++
			s.Number = number
			row.Shots = append(row.Shots, s)
		}
		a.Rows = append(a.Rows, row)
	}
	turns, notes := d.turns(x, left)
	a.Turns, a.Notes = turns, append(a.Notes, notes...)
	for _, r := range a.Rows {
		if act, ok, err := d.action(r); err != nil {
			return a, err
		} else if ok {
			a.Actions = append(a.Actions, act)
		}
	}
	a.Notes = append(append(a.Notes, d.care(a)...), d.otherLight(x, left)...)
	a.Fits = x.Late == 0 && x.Over == 0
	if d.prob.Finish != nil {
		end := d.start.Add(*d.prob.Finish).In(d.zone)
		a.Finish = &end
		slack := math.Round(((*d.prob.Finish-x.End)-x.Late).Minutes()*100) / 100
		a.SlackMin = &slack
	}
	if !a.Fits && !d.brief {
		a.WaysOut = d.waysOut(q, left, x, a)
	}
	a.Now = verdictOf(a)
	var stops []string
	if h := d.hottest(); h.Level == safety.Stop.String() && h.WBGT != nil {
		stops = append(stops, fmt.Sprintf("too hot by the table, wet-bulb globe %.1f °C: %s", *h.WBGT, h.Action))
	}
	for _, n := range d.stops() {
		stops = append(stops, n.Text)
	}
	if len(stops) > 0 {
		a.Now = strings.Join(stops, ". ") + ". by the clock: " + a.Now
	}
	a.Assumptions = append(append([]string{}, d.assumed...),
		"everything stands and is tested when it begins", "one mark for all setups; you work alone",
		fmt.Sprintf("carrying a stand %.1f min, another modifier %.1f, a lens %.2g, test frames %.0f (common practice, no source)", carryMin, dressMin, d.lensT, float64(testMin)),
		"efforts read from poses and speeds: dry portraits stand before them")
	if len(a.Actions) > 0 {
		a.Assumptions = append(a.Assumptions, "45 s for a hard try with the walk back, 20 s for an easy one, 12 and 25 tries before it gets worse (own estimate; the coach decides)")
	}
	return a, nil
}

// headDays says how each head gets through the day, and how long each setup of q
// has to wait for one that is hot.
func (d *scheduler) headDays(x order.Plan, left []int) (days []HeadDay, rests []time.Duration, bears []int) {
	bears = make([]int, len(left))
	for i := range bears {
		bears[i] = math.MaxInt
	}
	resting := make([]time.Duration, len(left))
	var out []HeadDay
	for _, h := range d.s.Kit.Heads {
		var works []order.Work
		var at []int
		mod := ""
		for _, r := range x.Rows {
			i := left[r.Setup]
			a := d.plans[i].Answer
			if a == nil {
				continue
			}
			for _, l := range a.Lights {
				if l.Head != h.ID {
					continue
				}
				w := order.Work{Pops: order.TestPops, Power: unit.Stops(l.PowerStop), Begin: r.Begin, Takes: r.End - r.Begin}
				for _, s := range d.shots[i] {
					w.Pops += s.Frames
					w.Spacing = max(w.Spacing, time.Duration(s.Every*float64(time.Second)))
				}
				w.Spacing = max(w.Spacing, w.Takes/time.Duration(w.Pops)) // spread over the time there is
				works, at, mod = append(works, w), append(at, r.Setup), l.Modifier
			}
		}
		if len(works) == 0 {
			continue
		}
		src, _ := d.source(h.ID, mod)
		st := order.StaminaOf(src, works, d.inTheSun())
		day := HeadDay{Head: h.ID, Pops: st.Pops, Charges: math.Round(st.Charges*100) / 100, Spares: st.Spares}
		for k, t := range st.Pauses {
			resting[at[k]] = max(resting[at[k]], t.Round(time.Second))
			day.RestMin += inMinutes(t)
			bears[at[k]] = min(bears[at[k]], st.Bears[k])
		}
		out = append(out, day)
	}
	return out, resting, bears
}

// spare takes frames away where a head would have to rest, and says whether it
// did.
func (d *scheduler) spare(x order.Plan, left []int) bool {
	_, resting, bears := d.headDays(x, left)
	did := false
	for k, i := range left {
		if resting[k] == 0 || d.s.Setups[i].Each != nil {
			continue
		}
		sum := 0
		for _, s := range d.shots[i] {
			sum += s.Frames
		}
		for n := range d.shots[i] {
			s := &d.shots[i][n]
			if can := s.Frames * max(0, bears[k]-order.TestPops) / max(1, sum); can < s.Frames {
				s.Frames, s.LimitedBy, did = can, "hot head", true
				if can > 0 {
					s.Every = math.Round(s.Minutes*600/float64(can)) / 10
				}
			}
		}
	}
	return did
}

// inTheSun is the share of its heat limit that a head keeps. Own estimate, after
// a count that fell from 38 to 3 in an hour of sun [SpeedlightHeat]: half from
// 30 °C, a quarter from 35 °C.
func (p *planner) inTheSun() float64 {
	switch air := p.weather.air; {
	case air == nil, *air < 30:
		return 1
	case *air < 35:
		return 0.5
	}
	return 0.25
}

// care are the cautions of the day.
func (d *scheduler) care(a OrderAnswer) []Note {
	var out []Note
	if flies, known := d.dust(); a.LensChanges > 0 {
		switch {
		case flies:
			out = append(out, Note{"dust", "caution", fmt.Sprintf("%d lens change%s on %s in wind that raises dust (Beaufort 4 or more)", a.LensChanges, plural(a.LensChanges), d.s.Place.Ground),
				"in the car with the doors shut, camera mouth down; or a second body; three minutes are planned"})
		case !known:
			out = append(out, Note{"dust_unknown", "info", "the wind is not known: it may carry dust when the lens is changed", "look before you open the camera"})
		}
	}
	out = append(append(out, d.stops()...), d.heatNotes()...)
	for _, r := range a.Rows {
		for _, s := range r.Shots {
			if s.Frames < s.Asked && s.LimitedBy != "fatigue" {
				hint := ""
				if s.LimitedBy == "hot head" {
					hint = "a head bears no more; less power, or take turns with another"
				}
				out = append(out, Note{"frames", "info", fmt.Sprintf("%s: %d of %d frames in %s, one every %.3g s", s.name(), s.Frames, s.Asked, MinutesText(s.Minutes), s.Every), hint})
			} else if s.Frames < s.Asked {
				out = append(out, Note{"fatigue", "caution", fmt.Sprintf("%s: %d good tries are to be had, %d are asked for", s.name(), s.Frames, s.Asked), "an honest guess; ask the coach"})
			}
		}
	}
	for _, h := range a.Heads {
		if h.Spares > 0 {
			out = append(out, Note{"charge", "caution", fmt.Sprintf("head %s takes %.1f charges for %d pops", h.Head, h.Charges, h.Pops), fmt.Sprintf("%d charged spare%s", h.Spares, plural(h.Spares))})
		}
		if h.RestMin > 0 {
			out = append(out, Note{"head_heat", "caution", fmt.Sprintf("head %s has to rest %s in all", h.Head, MinutesText(h.RestMin)), "in the shade; take turns with another head, or less power"})
		}
	}
	for i, p := range d.plans {
		if p.Answer == nil {
			out = append(out, Note{"no_setting", "caution", fmt.Sprintf("%s has no setting: its pops are not counted", d.s.Setups[i].ID), "see hardnoon plan"})
		}
	}
	return out
}

// hottest is the heat of the setup that asks for most care; what is not known
// counts before what is quiet.
func (d *scheduler) hottest() HeatSafety {
	rank := []string{safety.Quiet.String(), safety.Unknown.String(), safety.Care.String(), safety.Stop.String()}
	worst := d.plans[0].Safety.Heat
	for _, p := range d.plans {
		if h := p.Safety.Heat; slices.Index(rank, h.Level) > slices.Index(rank, worst.Level) {
			worst = h
		}
	}
	return worst
}

// stops are the things beside heat that forbid a setup, each once.
func (d *scheduler) stops() (out []Note) {
	for _, p := range d.plans {
		for _, n := range p.Notes {
			if n.Severity == "stop" && n.Code != "heat" {
				out = appendNote(out, []Note{n})
			}
		}
	}
	return out
}

func (d *scheduler) heatNotes() []Note {
	switch h := d.hottest(); h.Level {
	case safety.Stop.String():
		return []Note{{"heat_stop", "stop", h.Text, "another hour or another day; " + safety.Deferral}}
	case safety.Care.String():
		return []Note{{"heat", "caution", h.Text, "rests are in the plan; " + safety.Deferral}}
	case safety.Unknown.String():
		return []Note{{"heat_unknown", "caution", h.Text, "no rest is planned; " + safety.Deferral}}
	}
	return nil
}

func plural(n int) string {
	if n == 1 {
		return ""
	}
	return "s"
}

// MinutesText writes minutes as people say them: "45 s", "9 min", "9 min
// 15 s", "2 h 26 min".
func MinutesText(m float64) string {
	s := int(math.Round(m * 60))
	switch {
	case s < 60:
		return fmt.Sprintf("%d s", s)
	case s >= 7200:
		return fmt.Sprintf("%d h %02d min", s/3600, (s+30)/60%60)
	case s%60 == 0:
		return fmt.Sprintf("%d min", s/60)
	}
	return fmt.Sprintf("%d min %d s", s/60, s%60)
}

// waysOut are changes that make the day fit, what is enough first.
func (d *scheduler) waysOut(q order.Problem, left []int, x order.Plan, a OrderAnswer) []OrderWayOut {
	var out []OrderWayOut
	short := x.Late + x.Over
	fits := func(p order.Problem) bool { y, err := d.put(p); return err == nil && y.Late == 0 && y.Over == 0 }

	// What the light has fixed goes last of all.
	for _, fixed := range []bool{false, true} {
		parts, names := d.parts(q, left, a, fixed)
		y, ok := order.Least(q, parts)
		if !ok {
			continue
		}
		var what []string
		for _, k := range y.Parts {
			what = append(what, names[k])
		}
		saves := y.Saves
		if saves <= 0 { // the end stays, what was late is not
			saves = short
		}
		out = append(out, OrderWayOut{"drop " + strings.Join(what, " and "), inMinutes(saves), true})
		break
	}
	out = append(out, d.fewerPeople(q, left)...)

	helped := q
	half := func(c order.Change) order.Change { c.Takes /= 2; return c }
	helped.Between = func(i, j int) order.Change { return half(q.Between(i, j)) }
	if q.Before != nil {
		helped.Before = func(i int) order.Change { return half(q.Before(i)) }
	}
	if y, err := d.put(helped); err == nil && x.Change.Takes > 0 {
		if saves := short - y.Late - y.Over; saves > 0 {
			out = append(out, OrderWayOut{"somebody who carries lights with you (half the time of each change)", inMinutes(saves), fits(helped)})
		}
	}
	if x.Late > 0 {
		out = append(out, d.later(x, left)...)
	}
	if x.Over > 0 {
		longer := *q.Finish + x.Over
		p := q
		p.Finish = &longer
		out = append(out, OrderWayOut{"go on until " + d.start.Add(longer).In(d.zone).Format("15:04"), inMinutes(x.Over), fits(p)})
	}
	slices.SortStableFunc(out, func(a, b OrderWayOut) int {
		switch {
		case a.Enough && !b.Enough:
			return -1
		case b.Enough && !a.Enough:
			return 1
		}
		return 0
	})
	return out
}

// parts are the shots that may go, with the number they have in the answer;
// those at a fixed minute only if fixed.
func (d *scheduler) parts(q order.Problem, left []int, a OrderAnswer, fixed bool) (parts []order.Part, names []string) {
	for _, r := range a.Rows {
		k := slices.IndexFunc(left, func(i int) bool { return d.s.Setups[i].ID == r.Setup })
		worked := 0.0
		for _, s := range r.Shots {
			worked += s.Minutes
		}
		for _, s := range r.Shots {
			if s.Must || r.Fixed && !fixed || strings.HasSuffix(s.ID, "-turns") || worked == 0 {
				continue
			}
			// A shot takes its share of the rests along.
			parts = append(parts, order.Part{Setup: k, Takes: time.Duration(float64(q.Setups[k].Takes) * s.Minutes / worked)})
			names = append(names, s.name())
		}
	}
	return parts, names
}

// later asks what the light does when fixed setups begin as late as they would.
func (d *scheduler) later(x order.Plan, left []int) []OrderWayOut {
	var names []string
	var level, round, up float64
	enough := x.Over == 0
	var latest time.Duration
	for _, r := range x.Rows {
		i := left[r.Setup]
		s := d.prob.Setups[i]
		if r.Late == 0 {
			continue
		}
		if !s.Fixed || s.Until > 0 {
			enough = false // somebody leaves
			continue
		}
		now, err := d.setupAt(i, r.Begin)
		if err != nil {
			return nil
		}
		then := d.plans[i]
		names, latest = append(names, d.s.Setups[i].ID), max(latest, r.Late)
		level = math.Max(level, math.Abs(now.Daylight.BackgroundEV-then.Daylight.BackgroundEV))
		round = math.Max(round, math.Abs((unit.Angle(now.Sun.AzimuthDeg-then.Sun.AzimuthDeg) * unit.Degree).Signed().Degrees()))
		up = math.Max(up, math.Abs(now.Sun.AltitudeDeg-then.Sun.AltitudeDeg))
		if then.Reaches && !now.Reaches {
			enough = false
		}
	}
	if len(names) == 0 {
		return nil
	}
	return []OrderWayOut{{fmt.Sprintf("let %s begin up to %s late: background %.1f stops off, sun %.0f° round and %.0f° up or down at most", strings.Join(names, ", "), MinutesText(inMinutes(latest)), level, round, up),
		inMinutes(x.Late), enough}}
}

// setupAt solves a setup for another moment than its own.
func (d *scheduler) setupAt(i int, begin time.Duration) (SetupAnswer, error) {
	was := d.s.Setups[i].At
	defer func() { d.s.Setups[i].At = was }()
	d.s.Setups[i].At = d.start.Add(begin).In(d.zone).Format("2006-01-02T15:04:05")
	return d.setup(i)
}

// otherLight names the setups without a time of their own whose daylight is
// another when they are shot than when they were planned, at the start.
func (d *scheduler) otherLight(x order.Plan, left []int) []Note {
	var out []Note
	for _, r := range x.Rows {
		i := left[r.Setup]
		if d.s.Setups[i].At != "" {
			continue
		}
		now, err := d.setupAt(i, r.Begin)
		if err != nil {
			continue
		}
		change := now.Daylight.BackgroundEV - d.plans[i].Daylight.BackgroundEV
		if math.Abs(change) >= noticed {
			at := d.start.Add(r.Begin).In(d.zone)
			out = append(out, Note{"other_light", "info", strings.Replace(fmt.Sprintf("%s begins at %s, with %+.1f stops of daylight against its plan", d.s.Setups[i].ID, at.Format("15:04"), change), "-", "−", 1),
				fmt.Sprintf(`give it "at": "%s" and plan again`, at.Format("2006-01-02T15:04"))})
		}
	}
	return out
}

// noticed is a change of daylight that is worth a turn of a dial. Own choice: one
// click.
const noticed = 0.3

// verdictOf is the answer in one sentence.
func verdictOf(a OrderAnswer) string {
	end := a.End.Format("15:04")
	if a.Fits {
		switch {
		case a.SlackMin == nil:
			return "done at " + end
		case *a.SlackMin < 0.5:
			return "yes, to the minute: done at " + end
		}
		return fmt.Sprintf("yes: done at %s, %s to spare", end, MinutesText(*a.SlackMin))
	}
	var why []string
	if a.Finish != nil && a.End.After(*a.Finish) {
		why = append(why, fmt.Sprintf("done at %s, %s after %s", end, MinutesText(a.End.Sub(*a.Finish).Minutes()), a.Finish.Format("15:04")))
	}
	for _, r := range a.Rows {
		if r.LateMin > 0 {
			why = append(why, fmt.Sprintf("%s is %s late", r.Setup, MinutesText(r.LateMin)))
		}
	}
	text := "no: " + strings.Join(why, "; ")
	for _, w := range a.WaysOut {
		if w.Enough {
			return text + ". " + w.Change + fmt.Sprintf(", saves %s", MinutesText(w.SavesMin))
		}
	}
	return text
}
