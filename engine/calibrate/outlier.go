package calibrate

import (
	"math"
	"slices"

	"hardnoon/engine/unit"
)

// When a reading is called wrong. Own choice, weighed on simulated kits: a good
// reading is called wrong in fewer than one kit in a hundred.
const (
	wrongPrior  = 0.02 // one reading in fifty is misread, mistyped or taken at another power
	wrongSpread = 2.0  // stops, how far a wrong one typically lies off
	wrongOdds   = 3.0  // a wrong one must be this much likelier than none
	wrongLead   = 3.0  // and this much likelier than the next suspect is wrong
	wrongShare  = 3    // at most one reading in so many is left out
)

// expel marks readings that the others and the catalogue cannot explain, worst
// first, and returns how far each reading lies from what the others say.
//
// Leaving reading i out costs nothing extra: with K⁻¹ at hand,
//
//	off = (K⁻¹y)ᵢ/K⁻¹ᵢᵢ    var = 1/K⁻¹ᵢᵢ
//
// Source: [Rasmussen2006] eq. 5.12.
func (m *model) expel() []Residual {
	doubt := make([]bool, len(m.readings))
	for limit := len(m.readings) / wrongShare; limit > 0; limit-- {
		rows, inv := m.precision()
		if len(rows) < 3 {
			break // two that disagree accuse each other
		}
		odds := make([]float64, len(rows)) // natural log
		for i := range rows {
			off, variance := leftOut(m, rows, inv, i)
			wide := variance + wrongSpread*wrongSpread
			odds[i] = math.Log(wrongPrior) + off*off/2*(1/variance-1/wide) + math.Log(variance/wide)/2
		}
		order := make([]int, len(rows))
		for i := range order {
			order[i] = i
		}
		slices.SortFunc(order, func(i, j int) int {
			switch {
			case odds[i] > odds[j]:
				return -1
			case odds[i] < odds[j]:
				return 1
			}
			return i - j
		})
		worst, next := order[0], order[1]
		if odds[worst] < math.Log(wrongOdds) {
			break
		}
		if lead := math.Log(wrongLead); odds[worst] < odds[next]+lead {
			for _, i := range order {
				doubt[rows[i]] = odds[i]+lead > odds[worst]
			}
			break
		}
		m.out[rows[worst]] = true
	}

	var out []Residual
	for i := range m.readings {
		was := m.out[i]
		m.out[i] = false
		rows, inv := m.precision()
		off, variance := leftOut(m, rows, inv, slices.Index(rows, i))
		m.out[i] = was
		out = append(out, Residual{i, unit.Stops(off), unit.Stops(math.Sqrt(variance)), was, doubt[i]})
	}
	return out
}

// leftOut returns how far the i-th kept reading lies from what the other kept
// ones and the catalogue expect, and the variance of that.
func leftOut(m *model, rows []int, inv [][]float64, i int) (off, variance float64) {
	for j, q := range rows {
		off += inv[i][j] * m.y[q]
	}
	return off / inv[i][i], 1 / inv[i][i]
}
