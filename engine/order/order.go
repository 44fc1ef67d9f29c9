// Package order answers in which order setups are worked through, when each
// begins, what has to go when time is short, and whether heads, charge and people
// last that long.
//
// Times are durations from the beginning of the session. A setup takes what it
// takes; between two of them stands the change, which depends on both. What
// counts, in this order: a fixed minute is kept, nobody who sweats is asked for
// a dry picture, the end is kept, lights and lenses change least, the end is
// early. The order of at most MostExact setups is the best there is; that of
// more is a good one, and says so.
//
// Sources: [HeldKarp1962] for the recursion over subsets, common practice for
// what counts; every minute is the caller's. Left out: two people who work at
// the same time, and weather.
package order

import (
	"math"
	"time"

	"hardnoon/engine/unit"
)

// Setup is one arrangement to be worked through.
type Setup struct {
	Takes  time.Duration // with the subject, rests included
	Fixed  bool          // the light or somebody's clock says when
	At     time.Duration // then, if Fixed
	From   time.Duration // not before: somebody arrives
	Until  time.Duration // not after: somebody leaves; 0 is whenever
	Person int           // who sweats; setups of the same number share a skin
	Effort int           // what it asks of the body: 0 rest, 1 easy, 2 hard, 3 all out
	Dry    bool          // the picture wants dry skin
}

// Change is what lies between two setups.
type Change struct {
	Takes  time.Duration
	Lights int // stands carried or dressed anew
	Lenses int // lens changes
}

// Problem is a list of setups to put in order. Before is the change from
// nothing to a setup, the first of the day; nil is none.
type Problem struct {
	Setups  []Setup
	Between func(from, to int) Change // never called with from = to
	Before  func(first int) Change
	Start   time.Duration  // when work begins; later than 0 when behind
	Finish  *time.Duration // nil: open end
	Grace   time.Duration  // up to it a fixed minute counts as kept
}

// Row is one setup in its place.
type Row struct {
	Setup  int
	Change Change
	Begin  time.Duration // of the work itself, after change and wait
	End    time.Duration
	Wait   time.Duration // between the change and Begin
	Late   time.Duration // behind its fixed minute, and beyond Until
	Sweat  int           // the hardest effort its dry skin comes after; 0 is well
}

// Plan is setups in order.
type Plan struct {
	Rows   []Row
	Late   time.Duration // sum over fixed setups
	Over   time.Duration // of the end, beyond Finish
	Sweat  int           // sum over rows
	Change Change        // sum over rows
	End    time.Duration
	Exact  bool
	// Bound is a time no order can spend less than on changes; with Exact it
	// is Change.Takes unless something more important spoke.
	Bound time.Duration
}

// MostExact is the greatest number of setups whose order is the best there is.
const MostExact = 11

// most is the greatest number that is put in order at all.
const most = 60

// Check returns a *unit.RangeError for what cannot be put in order.
func (p Problem) Check() error {
	if err := unit.Within("number of setups", float64(len(p.Setups)), 1, most, ""); err != nil {
		return err
	}
	for _, s := range p.Setups {
		if err := unit.Within("time of a setup", s.Takes.Minutes(), 0, 1440, "min"); err != nil {
			return err
		}
		if err := unit.Within("effort", float64(s.Effort), 0, 3, ""); err != nil {
			return err
		}
	}
	return nil
}

func (p Problem) before(first int) Change {
	if p.Before == nil {
		return Change{}
	}
	return p.Before(first)
}

// partial is the beginning of an order, as far as it matters for the rest.
type partial struct {
	late, end, change time.Duration
	sweat             int
}

// row adds setup j to x: change is what lies before it, sweat what it comes after.
func (p Problem) row(x partial, j int, c Change, sweat int) (partial, Row) {
	s := p.Setups[j]
	ready := x.end + c.Takes
	r := Row{Setup: j, Change: c, Begin: max(ready, s.From), Sweat: sweat}
	if s.Fixed {
		if late := r.Begin - s.At; late > p.Grace {
			r.Late = late
		}
		r.Begin = max(r.Begin, s.At)
	}
	r.Wait, r.End = r.Begin-ready, r.Begin+s.Takes
	if s.Until > 0 {
		if late := r.End - s.Until; late > p.Grace {
			r.Late += late
		}
	}
	return partial{x.late + r.Late, r.End, x.change + c.Takes, x.sweat + sweat}, r
}

// sweat returns the hardest effort of the setup's person that done says is behind.
func (p Problem) sweat(j int, done func(int) bool) int {
	worst := 0
	if p.Setups[j].Dry {
		for i, s := range p.Setups {
			if i != j && s.Person == p.Setups[j].Person && done(i) {
				worst = max(worst, s.Effort)
			}
		}
	}
	return worst
}

func (p Problem) over(end time.Duration) time.Duration {
	if p.Finish == nil {
		return 0
	}
	return max(0, end-*p.Finish)
}

// less says whether a whole order that ends as x is better than one that ends as y.
func (p Problem) less(x, y partial) bool {
	switch {
	case x.late != y.late:
		return x.late < y.late
	case x.sweat != y.sweat:
		return x.sweat < y.sweat
	case p.over(x.end) != p.over(y.end):
		return p.over(x.end) < p.over(y.end)
	case x.change != y.change:
		return x.change < y.change
	}
	return x.end < y.end
}

// atLeastAs says whether whatever follows y can follow x as well and no worse:
// x ends no later and is no worse in what is already spent.
func atLeastAs(x, y partial) bool {
	if x.end > y.end {
		return false
	}
	if x.late != y.late {
		return x.late < y.late
	}
	if x.sweat != y.sweat {
		return x.sweat < y.sweat
	}
	return x.change <= y.change
}

// Best returns the setups in order.
//
// Range: 1 to 60 setups. Up to MostExact the order is the best; beyond, each
// setup is put where it costs least and then pairs are reversed and single ones
// moved while that helps.
func Best(p Problem) (Plan, error) {
	if err := p.Check(); err != nil {
		return Plan{}, err
	}
	exact := len(p.Setups) <= MostExact
	var seq []int
	if exact {
		seq = p.heldKarp()
	} else {
		seq = p.improved(p.inserted())
	}
	out := p.InOrder(seq)
	out.Exact, out.Bound = exact, p.leastChange()
	return out, nil
}

// InOrder returns the plan for an order somebody chose: indices of setups.
func (p Problem) InOrder(seq []int) Plan {
	x := partial{end: p.Start}
	done := make([]bool, len(p.Setups))
	var out Plan
	for k, j := range seq {
		c := p.before(j)
		if k > 0 {
			c = p.Between(seq[k-1], j)
		}
		var r Row
		x, r = p.row(x, j, c, p.sweat(j, func(i int) bool { return done[i] }))
		done[j] = true
		out.Rows = append(out.Rows, r)
		out.Change.Takes += c.Takes
		out.Change.Lights += c.Lights
		out.Change.Lenses += c.Lenses
	}
	out.Late, out.Sweat, out.End, out.Over = x.late, x.sweat, x.end, p.over(x.end)
	return out
}

// heldKarp returns the best order: for each set of setups done and each last
// one, the beginnings none of which is as good as another in every respect.
// Source: [HeldKarp1962], with a front of several values for a single one.
func (p Problem) heldKarp() []int {
	n := len(p.Setups)
	type label struct {
		partial
		last int // setup before
		from int // its label
	}
	front := make([][]label, (1<<n)*n)
	put := func(at int, l label) {
		for _, x := range front[at] {
			if atLeastAs(x.partial, l.partial) {
				return
			}
		}
		kept := front[at][:0:0] // labels that point here come later: nothing refers to a dropped one
		for _, x := range front[at] {
			if !atLeastAs(l.partial, x.partial) {
				kept = append(kept, x)
			}
		}
		front[at] = append(kept, l)
	}
	between := make([]Change, n*n)
	for i := range n {
		x, _ := p.row(partial{end: p.Start}, i, p.before(i), 0)
		put((1<<i)*n+i, label{x, -1, -1})
		for j := range n {
			if i != j {
				between[i*n+j] = p.Between(i, j)
			}
		}
	}
	for set := 1; set < 1<<n; set++ {
		for j := range n {
			if set&(1<<j) != 0 {
				continue
			}
			sweat := p.sweat(j, func(i int) bool { return set&(1<<i) != 0 })
			to := (set|1<<j)*n + j
			for i := range n {
				for k, l := range front[set*n+i] {
					x, _ := p.row(l.partial, j, between[i*n+j], sweat)
					put(to, label{x, i, k})
				}
			}
		}
	}
	set, last, at := 1<<n-1, -1, -1
	var best partial
	for i := range n {
		for k, l := range front[set*n+i] {
			if last < 0 || p.less(l.partial, best) {
				best, last, at = l.partial, i, k
			}
		}
	}
	seq := make([]int, n)
	for k := n - 1; k >= 0; k-- {
		seq[k] = last
		l := front[set*n+last][at]
		set &^= 1 << last
		last, at = l.last, l.from
	}
	return seq
}

// end walks an order to its end. tired is scratch, a number for each skin.
func (p Problem) end(seq []int, skin, tired []int) partial {
	x := partial{end: p.Start}
	clear(tired)
	for k, j := range seq {
		c := p.before(j)
		if k > 0 {
			c = p.Between(seq[k-1], j)
		}
		sweat := 0
		if p.Setups[j].Dry {
			sweat = tired[skin[j]]
		}
		x, _ = p.row(x, j, c, sweat)
		tired[skin[j]] = max(tired[skin[j]], p.Setups[j].Effort)
	}
	return x
}

// skins numbers the persons from 0.
func (p Problem) skins() []int {
	number := map[int]int{}
	out := make([]int, len(p.Setups))
	for i, s := range p.Setups {
		if _, ok := number[s.Person]; !ok {
			number[s.Person] = len(number)
		}
		out[i] = number[s.Person]
	}
	return out
}

// inserted puts one setup after the other where it costs least.
func (p Problem) inserted() []int {
	skin, tired := p.skins(), make([]int, len(p.Setups))
	var seq []int
	for j := range p.Setups {
		var best []int
		var least partial
		for at := 0; at <= len(seq); at++ {
			try := append(append(append([]int{}, seq[:at]...), j), seq[at:]...)
			if x := p.end(try, skin, tired); best == nil || p.less(x, least) {
				best, least = try, x
			}
		}
		seq = best
	}
	return seq
}

// improved reverses stretches and moves single setups while that helps.
func (p Problem) improved(seq []int) []int {
	skin, tired := p.skins(), make([]int, len(p.Setups))
	now := p.end(seq, skin, tired)
	for round := 0; round < 50; round++ {
		better := false
		take := func(try []int) {
			if x := p.end(try, skin, tired); p.less(x, now) {
				seq, now, better = try, x, true
			}
		}
		for i := range seq {
			for j := range seq {
				if i < j {
					try := append([]int{}, seq...)
					for a, b := i, j; a < b; a, b = a+1, b-1 {
						try[a], try[b] = try[b], try[a]
					}
					take(try)
				}
				if i != j {
					x := seq[i]
					try := append(append([]int{}, seq[:i]...), seq[i+1:]...)
					take(append(try[:j], append([]int{x}, try[j:]...)...))
				}
			}
		}
		if !better {
			break
		}
	}
	return seq
}

// leastChange returns a time that no order spends less than on changes: each
// setup but one is come to from its nearest neighbour, the dearest is the first.
func (p Problem) leastChange() time.Duration {
	var sum time.Duration
	spared, first := time.Duration(0), time.Duration(math.MaxInt64)
	for j := range p.Setups {
		first = min(first, p.before(j).Takes)
		least := time.Duration(math.MaxInt64)
		for i := range p.Setups {
			if i != j {
				least = min(least, p.Between(i, j).Takes)
			}
		}
		if len(p.Setups) > 1 {
			sum += least
			spared = max(spared, least)
		}
	}
	return sum - spared + first
}
