package order

import (
	"slices"
	"time"
)

// Part is a piece of a setup that may be left out: a shot, or a person's turn.
type Part struct {
	Setup int
	Takes time.Duration
}

// Drop is a set of parts whose loss keeps the fixed minutes and the end.
type Drop struct {
	Parts []int         // indices
	Saves time.Duration // of the end, against the plan with everything in it
	Plan  Plan          // what then happens; its rows have the setups that are left
	Gone  []int         // setups that vanish whole, with the change before them
}

// droppings bounds the work of a search: as many plans are made at most.
const droppings = 600

// without returns the problem with those parts left out, and which setups are
// gone. A setup all of whose time is dropped vanishes, and with it its change.
func (p Problem) without(parts []Part, out []int) (Problem, []int, []int) {
	left := make([]time.Duration, len(p.Setups))
	for i, s := range p.Setups {
		left[i] = s.Takes
	}
	touched := make([]bool, len(p.Setups))
	for _, k := range out {
		left[parts[k].Setup] -= parts[k].Takes
		touched[parts[k].Setup] = true
	}
	q := p
	q.Setups = nil
	var keep, gone []int
	for i, s := range p.Setups {
		if touched[i] && left[i] <= time.Second {
			gone = append(gone, i)
			continue
		}
		s.Takes = left[i]
		q.Setups = append(q.Setups, s)
		keep = append(keep, i)
	}
	q.Between = func(i, j int) Change { return p.Between(keep[i], keep[j]) }
	q.Before = func(i int) Change { return p.before(keep[i]) }
	return q, keep, gone
}

// Least returns the fewest parts whose loss makes everything else fit, and of
// as many the one that loses least time: at most three parts. ok is false when
// no three do, or when too many would have to be tried.
func Least(p Problem, parts []Part) (least Drop, ok bool) {
	whole, err := Best(p)
	if err != nil {
		return Drop{}, false
	}
	tried := 0
	var lost time.Duration
	try := func(out ...int) {
		tried++
		q, keep, gone := p.without(parts, out)
		if len(q.Setups) == 0 {
			return
		}
		x, err := Best(q)
		if err != nil || x.Late > 0 || x.Over > 0 {
			return
		}
		var sum time.Duration
		for _, k := range out {
			sum += parts[k].Takes
		}
		if ok && sum >= lost {
			return
		}
		for i := range x.Rows {
			x.Rows[i].Setup = keep[x.Rows[i].Setup]
		}
		ok, lost = true, sum
		least = Drop{slices.Clone(out), whole.End - x.End, x, gone}
	}
	n := len(parts)
	for i := range n {
		try(i)
	}
	for i := 0; !ok && i < n && n*n/2 <= droppings; i++ {
		for j := range i {
			try(j, i)
		}
	}
	for i := 0; !ok && i < n && n*n*n/6 <= droppings; i++ {
		for j := range i {
			for k := range j {
				try(k, j, i)
			}
		}
	}
	return least, ok
}
