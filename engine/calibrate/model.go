package calibrate

import (
	"math"
	"slices"

	"hardnoon/engine/flash"
	"hardnoon/engine/unit"
)

// A term is one unknown with its prior. A head is known by its id, and so is a
// modifier.
type term struct {
	kind           byte // 'u' head, 'v' modifier, 'w' pair, 's' slope, 'e' entry
	head, modifier string
	mean, sd       float64
}

// A model is the linear equation y = A·θ + noise with a prior on θ. Rows are
// readings, columns terms.
type model struct {
	readings []Reading
	noise    float64
	terms    []term
	a        [][]float64 // rows × terms
	y        []float64   // reading − what the prior's means make of it, stops
	out      []bool      // left out
}

func newModel(readings []Reading, noise float64) *model {
	m := &model{readings: readings, noise: noise, out: make([]bool, len(readings))}
	for _, r := range readings {
		h, c := r.Head, r.Modifier
		slope := h.PowerSlope
		if slope <= 0 {
			slope = 1
		}
		row := map[int]float64{
			m.column(term{'u', h.ID, "", float64(h.Efficacy), float64(h.Error)}): 1,
			m.column(term{'v', "", c.ID, 0, float64(c.KError)}):                  1,
			m.column(term{'w', h.ID, c.ID, 0, pairError}):                        1,
		}
		if r.Power != 0 {
			row[m.column(term{'s', h.ID, "", slope, slopeError})] = float64(r.Power)
		}
		var loss unit.Stops
		if r.highSpeed() {
			row[m.column(term{'e', h.ID, "", float64(h.Entry), float64(h.EntryError)})] = -1
			loss = flash.HighSpeedLoss(h.Entry, r.Sync, r.Shutter)
		}
		expected := flash.Source{Head: h, Modifier: c}.Exposure(r.Distance, r.Power)
		m.y = append(m.y, float64(unit.StopsOf(float64(r.Exposure()/expected))+loss))
		full := make([]float64, len(m.terms))
		for j, x := range row {
			full[j] = x
		}
		m.a = append(m.a, full)
	}
	for i := range m.a { // rows written before the last column was known
		m.a[i] = append(m.a[i], make([]float64, len(m.terms)-len(m.a[i]))...)
	}
	return m
}

// column returns the place of a term, added if it is new.
func (m *model) column(t term) int {
	for j, o := range m.terms {
		if o.kind == t.kind && o.head == t.head && o.modifier == t.modifier {
			return j
		}
	}
	m.terms = append(m.terms, t)
	return len(m.terms) - 1
}

// kept returns the rows that count.
func (m *model) kept() []int {
	var k []int
	for i, o := range m.out {
		if !o {
			k = append(k, i)
		}
	}
	return k
}

// covariance returns what the prior says about θᵢ·θⱼ seen through two rows.
func (m *model) covariance(a, b []float64) float64 {
	s := 0.0
	for j, t := range m.terms {
		s += a[j] * b[j] * t.sd * t.sd
	}
	return s
}

// precision returns the kept rows and the inverse of their covariance
// K = A·S·Aᵀ + σ²·1.
func (m *model) precision() ([]int, [][]float64) {
	rows := m.kept()
	k := make([][]float64, len(rows))
	for i, p := range rows {
		k[i] = make([]float64, len(rows))
		for j, q := range rows {
			k[i][j] = m.covariance(m.a[p], m.a[q])
		}
		k[i][i] += m.noise * m.noise
	}
	return rows, inverse(k)
}

// inverse returns the inverse of a symmetric positive definite matrix, by
// Gauss-Jordan elimination: K is at least σ² on its diagonal, so no pivoting.
func inverse(k [][]float64) [][]float64 {
	n := len(k)
	inv := make([][]float64, n)
	for i := range inv {
		inv[i] = make([]float64, n)
		inv[i][i] = 1
	}
	for c := range n {
		p := 1 / k[c][c]
		for j := range n {
			k[c][j] *= p
			inv[c][j] *= p
		}
		for i := range n {
			if f := k[i][c]; i != c && f != 0 {
				for j := range n {
					k[i][j] -= f * k[c][j]
					inv[i][j] -= f * inv[c][j]
				}
			}
		}
	}
	return inv
}

// posterior returns the estimate of g·θ beyond its prior mean, its standard
// deviation, and the prior's.
//
//	mean = gᵀSAᵀK⁻¹y    var = gᵀSg − gᵀSAᵀK⁻¹ASg
func (m *model) posterior(g []float64, rows []int, inv [][]float64) (mean, sd, prior float64) {
	c := make([]float64, len(rows))
	for i, p := range rows {
		c[i] = m.covariance(m.a[p], g)
	}
	v := m.covariance(g, g)
	prior = math.Sqrt(v)
	for i := range rows {
		for j, q := range rows {
			mean += c[i] * inv[i][j] * m.y[q]
			v -= c[i] * inv[i][j] * c[j]
		}
	}
	return mean, math.Sqrt(max(v, 0)), prior
}

// narrowed is how far an error must have shrunk before a figure counts as
// measured.
const narrowed = 2.0 / 3

func (m *model) estimate(rows []int, inv [][]float64, pick ...term) Estimate {
	g := make([]float64, len(m.terms))
	base := 0.0
	for _, p := range pick {
		for j, t := range m.terms {
			if t.kind == p.kind && t.head == p.head && t.modifier == p.modifier {
				g[j], base = 1, base+t.mean
			}
		}
	}
	mean, sd, prior := m.posterior(g, rows, inv)
	return Estimate{base + mean, sd, sd < narrowed*prior}
}

// answer reads the estimates off the model.
func (m *model) answer(residuals []Residual) Calibration {
	rows, inv := m.precision()
	c := Calibration{Residuals: residuals}
	for _, r := range m.readings {
		h := r.Head
		if !slices.ContainsFunc(c.Heads, func(o Head) bool { return o.ID == h.ID }) {
			slope := h.PowerSlope
			if slope <= 0 {
				slope = 1
			}
			entry := orPrior(m.estimate(rows, inv, term{kind: 'e', head: h.ID}), float64(h.Entry), float64(h.EntryError))
			entry.Value = max(0, entry.Value) // no pop gives more for being stretched
			c.Heads = append(c.Heads, Head{
				ID:       h.ID,
				Efficacy: m.estimate(rows, inv, term{kind: 'u', head: h.ID}),
				Slope:    orPrior(m.estimate(rows, inv, term{kind: 's', head: h.ID}), slope, slopeError),
				Entry:    entry,
			})
		}
		same := func(o Pair) bool { return o.Head == h.ID && o.Modifier == r.Modifier.ID }
		if slices.ContainsFunc(c.Pairs, same) {
			continue
		}
		u, v, w := term{kind: 'u', head: h.ID}, term{kind: 'v', modifier: r.Modifier.ID}, term{kind: 'w', head: h.ID, modifier: r.Modifier.ID}
		p := Pair{Head: h.ID, Modifier: r.Modifier.ID, Gain: m.estimate(rows, inv, u, v, w)}
		p.Gain.Value -= float64(h.Efficacy) // above the catalogue, which holds the head's own efficacy
		p.GuideNumber = flash.Source{Head: h, Modifier: r.Modifier}.GuideNumber() * math.Exp2(p.Gain.Value/2)
		for _, i := range rows {
			if o := m.readings[i]; o.Head.ID == h.ID && o.Modifier.ID == r.Modifier.ID {
				p.Readings++
			}
		}
		c.Pairs = append(c.Pairs, p)
	}
	return c
}

// orPrior fills in an unknown that no reading touched.
func orPrior(e Estimate, mean, sd float64) Estimate {
	if e.Error == 0 && e.Value == 0 {
		return Estimate{Value: mean, Error: sd}
	}
	return e
}
