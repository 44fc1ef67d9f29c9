package order

import "time"

// Heuristic is what Best does with too many setups.
func Heuristic(p Problem) []int { return p.improved(p.inserted()) }

// Walk is the heuristic's own way along an order.
func Walk(p Problem, seq []int) []time.Duration {
	x := p.end(seq, p.skins(), make([]int, len(seq)))
	return []time.Duration{x.late, time.Duration(x.sweat), x.change, x.end}
}
