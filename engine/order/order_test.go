package order_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"hardnoon/engine/flash"
	"hardnoon/engine/modifier"
	"hardnoon/engine/order"
	"hardnoon/engine/unit"
)

const min = time.Minute

// random is a problem of n setups with fixed minutes, arrivals, sweat and an end.
func random(r *rand.Rand, n int) order.Problem {
	p := order.Problem{Start: time.Duration(r.IntN(3)) * min, Grace: time.Duration(r.IntN(2)) * min}
	change := make([]order.Change, n*n)
	for i := range change {
		change[i] = order.Change{Takes: time.Duration(r.IntN(8)) * min / 2, Lights: r.IntN(3), Lenses: r.IntN(2)}
	}
	p.Between = func(i, j int) order.Change { return change[i*n+j] }
	p.Before = func(i int) order.Change { return change[i*n+i] }
	for range n {
		s := order.Setup{Takes: time.Duration(1+r.IntN(12)) * min, Effort: r.IntN(4), Dry: r.IntN(3) == 0, Person: r.IntN(2)}
		if s.Dry {
			s.Effort = 0
		}
		if r.IntN(4) == 0 {
			s.Fixed, s.At = true, time.Duration(r.IntN(8*n))*min
		}
		if r.IntN(4) == 0 {
			s.From = time.Duration(r.IntN(4*n)) * min
			s.Until = s.From + time.Duration(r.IntN(40))*min
		}
		p.Setups = append(p.Setups, s)
	}
	if r.IntN(2) == 0 {
		end := time.Duration(r.IntN(14*n)) * min
		p.Finish = &end
	}
	return p
}

// cost is an order's worth, worst first, as the package comment says it.
func cost(x order.Plan) []time.Duration {
	return []time.Duration{x.Late, time.Duration(x.Sweat), x.Over, x.Change.Takes, x.End}
}

func bruteForce(p order.Problem) []time.Duration {
	var best []time.Duration
	seq := make([]int, len(p.Setups))
	for i := range seq {
		seq[i] = i
	}
	var walk func(k int)
	walk = func(k int) {
		if k == len(seq) {
			if c := cost(p.InOrder(seq)); best == nil || slices.Compare(c, best) < 0 {
				best = c
			}
			return
		}
		for i := k; i < len(seq); i++ {
			seq[k], seq[i] = seq[i], seq[k]
			walk(k + 1)
			seq[k], seq[i] = seq[i], seq[k]
		}
	}
	walk(0)
	return best
}

// Every order of up to seven setups, and of nine a few times: none is better.
func TestExactAgainstEveryOrder(t *testing.T) {
	check := func(seed uint64, n int) {
		p := random(rand.New(rand.NewPCG(seed, uint64(n))), n)
		got, err := order.Best(p)
		if err != nil {
			t.Fatal(err)
		}
		if want := bruteForce(p); !slices.Equal(cost(got), want) || !got.Exact {
			t.Errorf("seed %d, %d setups: %v, the best is %v", seed, n, cost(got), want)
		}
		if got.Bound > got.Change.Takes {
			t.Errorf("seed %d: bound %v above %v", seed, got.Bound, got.Change.Takes)
		}
	}
	for seed := range uint64(150) {
		check(seed, 1+int(seed%7))
	}
	check(1, 8)
	if !testing.Short() {
		check(2, 9)
	}
}

// The heuristic, asked where the answer is known, is rarely worse and never
// calls itself exact.
func TestHeuristicIsHonest(t *testing.T) {
	worse := 0
	for seed := range uint64(40) {
		p := random(rand.New(rand.NewPCG(seed, 8)), 8)
		h := p.InOrder(order.Heuristic(p))
		best, _ := order.Best(p)
		if c := slices.Compare(cost(h), cost(best)); c < 0 {
			t.Fatalf("seed %d: better than the best", seed)
		} else if c > 0 {
			worse++
		}
	}
	if worse > 20 { // 2-opt from an insertion: a local optimum; half is a loose limit
		t.Errorf("%d of 40 orders are not the best", worse)
	}
	// The fast walk of the heuristic and the plain one of InOrder agree.
	for seed := range uint64(30) {
		p := random(rand.New(rand.NewPCG(seed, 12)), 12)
		seq := rand.New(rand.NewPCG(seed, 1)).Perm(12)
		if x := p.InOrder(seq); !slices.Equal(order.Walk(p, seq), []time.Duration{x.Late, time.Duration(x.Sweat), x.Change.Takes, x.End}) {
			t.Errorf("seed %d: %+v, walked %v", seed, x, order.Walk(p, seq))
		}
	}
	t.Logf("%d of 40 orders of the heuristic are not the best", worse)
	p := random(rand.New(rand.NewPCG(5, 5)), 30)
	got, err := order.Best(p)
	if err != nil || got.Exact || len(got.Rows) != 30 || got.Bound > got.Change.Takes {
		t.Errorf("30 setups: %v, exact %v, bound %v of %v", err, got.Exact, got.Bound, got.Change.Takes)
	}
}

// What counts, one at a time.
func TestWhatCounts(t *testing.T) {
	even := func(d time.Duration) func(i, j int) order.Change {
		return func(i, j int) order.Change { return order.Change{Takes: d} }
	}
	// The portrait comes before the run, though the run stands first.
	p := order.Problem{Between: even(2 * min), Setups: []order.Setup{{Takes: 10 * min, Effort: 3}, {Takes: 10 * min, Dry: true}}}
	if got, _ := order.Best(p); got.Rows[0].Setup != 1 || got.Sweat != 0 {
		t.Errorf("run before portrait: %+v", got)
	}
	// Another person's sweat is not the portrait's.
	p.Setups[0].Person = 1
	p.Setups[0].Fixed, p.Setups[0].At = true, 0
	if got, _ := order.Best(p); got.Sweat != 0 || got.Rows[0].Setup != 0 {
		t.Errorf("two people: %+v", got)
	}
	// A fixed minute beats the sweat, and says so.
	p.Setups[0].Person = 0
	if got, _ := order.Best(p); got.Late != 0 || got.Sweat != 3 {
		t.Errorf("fixed run: %+v", got)
	}
	// A setup is not begun before somebody is there, and the wait is shown.
	p = order.Problem{Between: even(0), Setups: []order.Setup{{Takes: 5 * min, From: 20 * min}}}
	if got, _ := order.Best(p); got.Rows[0].Begin != 20*min || got.Rows[0].Wait != 20*min || got.End != 25*min {
		t.Errorf("arrival: %+v", got)
	}
	for _, bad := range []order.Problem{{}, {Setups: make([]order.Setup, 61)}, {Setups: []order.Setup{{Takes: -1}}}, {Setups: []order.Setup{{Effort: 9}}}} {
		if _, err := order.Best(bad); err == nil {
			t.Errorf("%d setups: no error", len(bad.Setups))
		}
	}
}

func BenchmarkBest(b *testing.B) {
	for _, n := range []int{4, 9, 11, 30, 60} {
		p := random(rand.New(rand.NewPCG(7, uint64(n))), n)
		b.Run(string(rune('0'+n/10))+string(rune('0'+n%10)), func(b *testing.B) {
			for b.Loop() {
				order.Best(p)
			}
		})
	}
}

// When an hour is short by nine minutes, the one shot of nine minutes goes, not
// the two of five; a setup whose only shot goes takes its change along.
func TestLeastDrop(t *testing.T) {
	end := 60 * min
	p := order.Problem{Finish: &end, Between: func(i, j int) order.Change { return order.Change{Takes: 3 * min} },
		Setups: []order.Setup{{Takes: 25 * min}, {Takes: 20 * min}, {Takes: 18 * min}}}
	parts := []order.Part{{0, 5 * min}, {0, 20 * min}, {1, 11 * min}, {1, 9 * min}, {2, 18 * min}}
	got, ok := order.Least(p, parts)
	if !ok || !slices.Equal(got.Parts, []int{3}) || got.Saves != 9*min || len(got.Gone) != 0 || got.Plan.Over != 0 {
		t.Errorf("nine short: %+v", got)
	}
	end = 48 * min
	if got, ok = order.Least(p, parts); !ok || !slices.Equal(got.Parts, []int{4}) || got.Saves != 21*min || !slices.Equal(got.Gone, []int{2}) {
		t.Errorf("a setup gone: %+v", got)
	}
	end = 2 * min
	if _, ok = order.Least(p, parts); ok {
		t.Error("everything fits into two minutes")
	}
}

func head() flash.Source {
	h, _ := flash.ByID("battery-400")
	m, _ := modifier.ByID("bare")
	return flash.Source{Head: h, Modifier: m}
}

// Charges add up, heat too: sixty full pops in a row are what the head is printed
// to take, the sixty-first has to wait; at a low power nothing waits.
func TestStamina(t *testing.T) {
	s := head()
	burst := func(n int, p unit.Stops) order.Stamina {
		return order.StaminaOf(s, []order.Work{{Pops: n, Power: p, Takes: 10 * min}}, 1)
	}
	if got := burst(60, 0); got.Pauses[0] > 0 {
		t.Errorf("60 full pops: rests %v", got.Pauses[0])
	}
	if got := burst(120, 0); got.Pauses[0] < 4*min || got.Pauses[0] > 12*min {
		t.Errorf("120 full pops: rests %v", got.Pauses[0])
	}
	// In ten minutes, in which it cools once, it bears its limit twice.
	spread := func(n int) order.Stamina {
		return order.StaminaOf(s, []order.Work{{Pops: n, Takes: 10 * min, Spacing: 10 * min / time.Duration(n)}}, 1)
	}
	if n := burst(200, 0).Bears[0]; n != 120 || spread(n).Pauses[0] > time.Second || spread(130).Pauses[0] == 0 {
		t.Errorf("bears %d full pops", n)
	}
	if got := burst(300, -5); got.Pauses[0] > 0 {
		t.Errorf("300 pops of 1/32: rests %v", got.Pauses[0])
	}
	if got := burst(s.PopsPerCharge(0), 0); math.Abs(got.Charges-1) > 0.01 || got.Spares != 1 {
		t.Errorf("one charge: %+v", got)
	}
	cool := order.StaminaOf(s, []order.Work{{Pops: 60, Takes: min}, {Pops: 60, Begin: 30 * min, Takes: min}}, 1)
	hot := order.StaminaOf(s, []order.Work{{Pops: 60, Takes: min}, {Pops: 60, Begin: 30 * min, Takes: min}}, 0.5)
	if cool.Pauses[1] > 0 || hot.Pauses[0] == 0 {
		t.Errorf("half an hour apart: %v; in the sun: %v", cool.Pauses, hot.Pauses)
	}
}
