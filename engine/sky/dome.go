package sky

import (
	"math"
	"sync"

	"hardnoon/engine/geom"
)

// A pattern is the relative luminance of a sky at an element whose zenith angle
// has the cosine cosZeta > 0 and which is gamma away from the sun, in radian.
type pattern interface {
	at(cosZeta, gamma float64) float64
}

// The dome is sampled by Gauss-Legendre in the cosine of the zenith angle times
// the midpoint rule in azimuth, counted from the sun: the two halves beside the
// sun's vertical plane are alike, so half of it is evaluated.
const (
	domeRings = 20
	domeHalf  = 30 // samples of a half ring
)

// domeNode is a direction in the frame of the sun (x sideways, y towards the
// sun's azimuth, z up) with its share of the solid angle.
type domeNode struct {
	dir   geom.Vec
	omega float64
}

var domeNodes = sync.OnceValue(func() []domeNode {
	mu, w := gaussLegendre(domeRings)
	nodes := make([]domeNode, 0, domeRings*domeHalf)
	for i := range mu {
		c, dc := (1+mu[i])/2, w[i]/2
		s := math.Sqrt(1 - c*c)
		for j := range domeHalf {
			a := math.Pi * (float64(j) + 0.5) / domeHalf
			nodes = append(nodes, domeNode{geom.Vec{X: s * math.Sin(a), Y: s * math.Cos(a), Z: c}, dc * math.Pi / domeHalf})
		}
	}
	return nodes
})

// gaussLegendre returns the n nodes and weights of the quadrature on −1 to 1.
// Newton's iteration on Legendre's polynomial from Tricomi's first guess.
// Source: [AbramowitzStegun] 25.4.29.
func gaussLegendre(n int) (x, w []float64) {
	x, w = make([]float64, n), make([]float64, n)
	for i := range n {
		t := math.Cos(math.Pi * (float64(i) + 0.75) / (float64(n) + 0.5))
		var d float64
		for range 8 {
			p0, p1 := 1.0, t
			for k := 2; k <= n; k++ {
				p0, p1 = p1, (float64(2*k-1)*t*p1-float64(k-1)*p0)/float64(k)
			}
			d = float64(n) * (t*p1 - p0) / (t*t - 1)
			t -= p1 / d
		}
		x[i], w[i] = t, 2/((1-t*t)*d*d)
	}
	return x, w
}

// dome is a sky as the light of its samples: omega times relative luminance, on
// the half sphere; the other half mirrors it.
type dome struct {
	light      []float64
	horizontal float64 // ∫ l cos ζ dω over the whole dome
}

func newDome(p pattern, sunAltitude float64) dome {
	nodes := domeNodes()
	d := dome{light: make([]float64, len(nodes))}
	sy, sz := math.Cos(sunAltitude), math.Sin(sunAltitude)
	for i, n := range nodes {
		cosGamma := min(max(n.dir.Y*sy+n.dir.Z*sz, -1), 1)
		d.light[i] = p.at(n.dir.Z, math.Acos(cosGamma)) * n.omega
		d.horizontal += 2 * d.light[i] * n.dir.Z
	}
	return d
}

// on returns ∫ l max(0, cos θ) dω on a plane whose normal is n in the frame of
// the sun.
func (d dome) on(n geom.Vec) float64 {
	e := 0.0
	for i, k := range domeNodes() {
		along, side := k.dir.Y*n.Y+k.dir.Z*n.Z, k.dir.X*n.X
		if a := along + side; a > 0 {
			e += d.light[i] * a
		}
		if b := along - side; b > 0 {
			e += d.light[i] * b
		}
	}
	return e
}

// mean returns ∫ l (1 + cos θ)/2 dω: what a dome receptor pointed along n sees.
func (d dome) mean(n geom.Vec) float64 {
	e := 0.0
	for i, k := range domeNodes() {
		e += d.light[i] * (1 + k.dir.Y*n.Y + k.dir.Z*n.Z)
	}
	return e
}
