package render

import (
	"math"
	"runtime"

	"hardnoon/engine/geom"
	"hardnoon/engine/scene"
)

// A skyMap is the sky as a table of cells of equal solid angle: azimuth across,
// sine of altitude up. It answers how bright the sky is in a direction and
// chooses directions in proportion to luminance.
type skyMap struct {
	cells   []scene.RGB // luminance in the middle of each cell
	density []float32   // per solid angle, by cell
	rows    chooser
	columns []chooser
	mean    float32 // luminance over the whole sphere
	upper   float32 // horizontal illuminance of the upper half, lx
}

const (
	skyWide, skyTall = 128, 128
	cellAngle        = 4 * math.Pi / (skyWide * skyTall) // sr
)

func newSkyMap(d *scene.Daylight) *skyMap {
	if d.Sky == nil {
		return nil
	}
	m := &skyMap{cells: make([]scene.RGB, skyWide*skyTall), density: make([]float32, skyWide*skyTall)}
	m.columns = make([]chooser, skyTall)
	rows := make([]float64, skyTall)
	eachRow(runtime.GOMAXPROCS(0), skyTall, func(j int) {
		weight := make([]float64, skyWide)
		for i := range skyWide {
			// Four points a cell keep the energy of a steep sky.
			var c scene.RGB
			for k := range 4 {
				x, y := (float64(k&1)+0.5)/2, (float64(k>>1)+0.5)/2
				c = c.Add(d.Radiance(skyDirection((float64(i)+x)/skyWide, (float64(j)+y)/skyTall)))
			}
			c = c.Scale(0.25)
			m.cells[j*skyWide+i] = c
			weight[i] = float64(c.Y())
			rows[j] += weight[i]
		}
		m.columns[j] = newChooser(weight)
	})
	total, upper := 0.0, 0.0
	for j, row := range rows {
		total += row
		if z := 2*(float64(j)+0.5)/skyTall - 1; z > 0 {
			upper += row * z * cellAngle
		}
	}
	if total == 0 {
		return nil
	}
	for k := range m.density {
		m.density[k] = float32(float64(m.cells[k].Y()) / total / cellAngle)
	}
	m.rows = newChooser(rows)
	m.mean = float32(total / (skyWide * skyTall))
	m.upper = float32(upper)
	return m
}

// skyDirection maps the unit square to directions.
func skyDirection(u, v float64) geom.Vec {
	z := 2*v - 1
	r := math.Sqrt(max(0, 1-z*z))
	sin, cos := math.Sincos(2 * math.Pi * u)
	return geom.Vec{X: r * cos, Y: r * sin, Z: z}
}

// choose returns a direction, the sky's luminance there, and the density of the
// choice per solid angle.
func (m *skyMap) choose(u, v float32) (dir scene.Vec32, l scene.RGB, density float32) {
	j, fv := m.rows.choose(v)
	i, fu := m.columns[j].choose(u)
	x, y := float32(i)+fu, float32(j)+fv
	z := y*(2.0/skyTall) - 1
	r := scene.Sqrt32(max(0, 1-z*z))
	sin, cos := scene.SinCosTurn(x * (1.0 / skyWide))
	return scene.Vec32{X: r * cos, Y: r * sin, Z: z}, m.at(x, y), m.density[j*skyWide+i]
}

// toward returns luminance and density for a direction.
func (m *skyMap) toward(d scene.Vec32) (l scene.RGB, density float32) {
	x := turnOf(d.Y, d.X) * skyWide
	y := (d.Z + 1) * (skyTall / 2)
	i := min(int(x), skyWide-1)
	j := min(max(int(y), 0), skyTall-1)
	return m.at(x, y), m.density[j*skyWide+i]
}

// at interpolates between cells. It does not reach across the horizon, where a
// sky may end.
func (m *skyMap) at(x, y float32) scene.RGB {
	x, y = x-0.5+skyWide, y-0.5
	i := int(x)
	fx := x - float32(i)
	i0, i1 := i&(skyWide-1), (i+1)&(skyWide-1)
	j := int(max(y, 0))
	fy := min(max(y-float32(j), 0), 1)
	j0, j1 := min(j, skyTall-1), min(j+1, skyTall-1)
	if j == skyTall/2-1 {
		if fy < 0.5 {
			j1 = j0
		} else {
			j0 = j1
		}
	}
	a, b := m.cells[j0*skyWide+i0], m.cells[j0*skyWide+i1]
	c, d := m.cells[j1*skyWide+i0], m.cells[j1*skyWide+i1]
	return a.Scale((1 - fx) * (1 - fy)).Add(b.Scale(fx * (1 - fy))).Add(c.Scale((1 - fx) * fy)).Add(d.Scale(fx * fy))
}

// turnOf returns the polar angle of (x, y) as a fraction of a full turn,
// 0 ≤ t < 1. Error 1e-5 turn, a thousandth of a cell.
//
// Source: [Hastings1955], arctangent by a polynomial of degree 9.
func turnOf(y, x float32) float32 {
	ax, ay := max(x, -x), max(y, -y)
	if ax+ay == 0 {
		return 0
	}
	q := min(ax, ay) / max(ax, ay)
	q2 := q * q
	a := q * (0.9998660 + q2*(-0.3302995+q2*(0.1801410+q2*(-0.0851330+q2*0.0208351)))) * (1 / (2 * math.Pi))
	if ay > ax {
		a = 0.25 - a
	}
	if x < 0 {
		a = 0.5 - a
	}
	if y < 0 {
		a = 1 - a
	}
	if a >= 1 {
		return 0
	}
	return a
}

// A chooser inverts the cumulative sum of weights. A guide table makes the
// search short.
type chooser struct {
	sum   []float32 // n+1 values, 0 to 1
	guide []int16
}

func newChooser(weights []float64) chooser {
	n := len(weights)
	c := chooser{make([]float32, n+1), make([]int16, n)}
	total := 0.0
	for _, w := range weights {
		total += w
	}
	acc := 0.0
	for i, w := range weights {
		if total > 0 {
			acc += w / total
		} else {
			acc += 1 / float64(n)
		}
		c.sum[i+1] = float32(acc)
	}
	c.sum[n] = 1
	k := 0
	for i := range c.guide {
		for k < n-1 && c.sum[k+1] <= float32(i)/float32(n) {
			k++
		}
		c.guide[i] = int16(k)
	}
	return c
}

// choose returns a cell and the place in it.
func (c *chooser) choose(u float32) (i int, rest float32) {
	n := len(c.guide)
	i = int(c.guide[min(int(u*float32(n)), n-1)])
	for i < n-1 && c.sum[i+1] <= u {
		i++
	}
	w := c.sum[i+1] - c.sum[i]
	if w <= 0 {
		return i, 0.5
	}
	return i, min(max((u-c.sum[i])/w, 0), 0.999999)
}
