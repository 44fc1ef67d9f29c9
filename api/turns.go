package api

import (
	"fmt"
	"math"
	"time"

	"hardnoon/engine/order"
	"hardnoon/session"
)

// Turn is one of a team in front of the camera.
type Turn struct {
	Setup  string     `json:"setup"`
	Number int        `json:"number"` // in the queue, from 1
	ID     string     `json:"id"`
	Name   string     `json:"name"`
	Shirt  string     `json:"shirt"`
	At     *time.Time `json:"at"`    // null: not in time
	Moved  bool       `json:"moved"` // later than the list says
}

// leastEach is the time below which nobody has one of a team in front of the
// camera, name card included. Common practice, no source: one to two minutes
// each is what leagues book, a practised line goes three a minute.
const leastEach = 1. / 3 // min

// turns calls the roster one by one: the first in the list who is there.
func (d *scheduler) turns(x order.Plan, left []int) ([]Turn, []Note) {
	out, notes := []Turn{}, []Note{}
	for _, r := range x.Rows {
		su := d.s.Setups[left[r.Setup]]
		if su.Each == nil {
			continue
		}
		if *su.Each < leastEach && *su.Each > 0 {
			notes = append(notes, Note{"too_fast", "caution", fmt.Sprintf("%s for each is less than anybody needs with a name card", MinutesText(*su.Each)), "20 s each at the very least, a minute in practice"})
		}
		type waiting struct {
			session.Player
			here time.Duration
		}
		var queue []waiting
		for i := range d.people {
			q := waiting{session.Player{ID: fmt.Sprintf("%d", i+1)}, math.MinInt64}
			if i < len(d.s.Roster) {
				q.Player = d.s.Roster[i]
			}
			if at, err := session.Instant(q.Arrives, d.zone, d.s.Fold); err == nil {
				q.here = at.Sub(d.start)
			}
			queue = append(queue, q)
		}
		// Turns come after what the setup takes for itself; rests are spread over them.
		alone := 0.0
		for _, s := range d.shots[left[r.Setup]] {
			alone += s.Minutes
		}
		t := r.Begin + minutes(alone-*su.Each*float64(d.people))
		each := (r.End - t) / time.Duration(max(1, len(queue)))
		missing := 0
		for n := 1; len(queue) > 0; n++ {
			k := 0
			for k < len(queue) && queue[k].here > t {
				k++
			}
			turn := Turn{Setup: su.ID, Number: n}
			if k == len(queue) { // nobody is there yet: wait for the next to come, if that is in time
				k = 0
				for j := range queue {
					if queue[j].here < queue[k].here {
						k = j
					}
				}
				t = queue[k].here
			}
			p := queue[k]
			if t+each <= r.End {
				at := d.start.Add(t).In(d.zone)
				turn.At = &at
				t += each
			} else {
				missing++
			}
			turn.ID, turn.Name, turn.Shirt = p.ID, p.Name, p.Number
			listed := n - 1
			if listed < len(d.s.Roster) {
				turn.Moved = d.s.Roster[listed].ID != p.ID && p.here > r.Begin
			}
			queue = append(queue[:k], queue[k+1:]...)
			out = append(out, turn)
		}
		if missing > 0 {
			notes = append(notes, Note{"missing", "caution", fmt.Sprintf("%d of %d come too late for %s", missing, d.people, su.ID), "ask them to come earlier, or photograph them alone afterwards; leave a gap in the team picture"})
		}
		for _, p := range d.s.Roster {
			if p.Name == "" && p.Number == "" {
				notes = append(notes, Note{"nameless", "caution", fmt.Sprintf("%s has neither name nor number: the picture cannot be found again", p.ID), "name card in the first frame"})
				break
			}
		}
		if len(d.s.Roster) < d.people {
			notes = append(notes, Note{"no_roster", "info", fmt.Sprintf("%d people have no line in the roster", d.people-len(d.s.Roster)), "name card in the first frame of each"})
		}
	}
	return out, notes
}

// fewerPeople are the ways out of a team in too little time.
func (d *scheduler) fewerPeople(q order.Problem, left []int) []OrderWayOut {
	var out []OrderWayOut
	for k, i := range left {
		su := d.s.Setups[i]
		if su.Each == nil || *su.Each <= 0 || d.people < 2 {
			continue
		}
		turns := *su.Each * float64(d.people)
		factor := 1.0 // rests grow with the work
		if work := q.Setups[k].Takes.Minutes(); work > 0 {
			factor = work / math.Max(work-d.rest[i], 1e-9)
		}
		with := func(mins float64) bool {
			p := q
			p.Setups = append([]order.Setup{}, q.Setups...)
			p.Setups[k].Takes -= minutes((turns - mins) * factor)
			y, err := d.put(p)
			return err == nil && y.Late == 0 && y.Over == 0
		}
		most := 0
		for lo, hi := 0, d.people-1; lo <= hi; {
			n := (lo + hi) / 2
			if with(*su.Each * float64(n)) {
				most, lo = n, n+1
			} else {
				hi = n - 1
			}
		}
		if most > 0 {
			out = append(out, OrderWayOut{fmt.Sprintf("photograph %d of the %d one by one in %s, the others in one team picture", most, d.people, su.ID), math.Round((turns-*su.Each*float64(most))*factor*100) / 100, true})
			if each := math.Floor(*su.Each*float64(most)/float64(d.people)*60) / 60; each >= leastEach && with(each*float64(d.people)) {
				out = append(out, OrderWayOut{fmt.Sprintf("%s for each in %s, in place of %s", MinutesText(each), su.ID, MinutesText(*su.Each)), math.Round((turns-each*float64(d.people))*factor*100) / 100, true})
			}
			// As many places as needed, each with its photographer and lights.
			if n := int(math.Ceil(float64(d.people) / float64(most))); n <= 4 {
				out = append(out, OrderWayOut{fmt.Sprintf("%d photographers, each with lights, share the line of %s", n, su.ID), math.Round((turns-turns/float64(n))*factor*100) / 100, with(turns / float64(n))})
			}
		} else if with(0) {
			out = append(out, OrderWayOut{fmt.Sprintf("one team picture in place of %d turns in %s", d.people, su.ID), math.Round(turns*factor*100) / 100, true})
		}
	}
	return out
}
