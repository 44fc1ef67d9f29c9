package modifier_test

import (
	"math"
	"strings"
	"testing"

	"hardnoon/engine/modifier"
	"hardnoon/engine/unit"
)

// The rows below are printed with three or four digits.
const printed = 0.0006

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: got %.5g, want %.5g ±%g", what, got, want, tol)
	}
}

var distances = []unit.Length{0.5 * unit.Metre, 1 * unit.Metre, 1.5 * unit.Metre, 2 * unit.Metre, 3 * unit.Metre}

func disc(m float64) modifier.Class {
	return modifier.Class{Shape: modifier.Disc, Width: unit.Length(m) * unit.Metre}
}

func rectangle(a, b float64) modifier.Class {
	return modifier.Class{Shape: modifier.Rectangle, Width: unit.Length(a) * unit.Metre, Height: unit.Length(b) * unit.Metre}
}

// [Lambert] form factors of discs and rectangles, rows worked out from the
// textbook formulas by another hand.
func TestFormFactors(t *testing.T) {
	for _, r := range []struct {
		c    modifier.Class
		want [5]float64
	}{
		{disc(0.55), [5]float64{0.2322, 0.0703, 0.0325, 0.0186, 0.0083}},
		{disc(0.9), [5]float64{.4475, .1684, .0826, .0482, .0220}},
		{disc(1.2), [5]float64{.5902, .2647, .1379, .0826, .0385}},
		{disc(1.5), [5]float64{.6923, .3600, .2000, .1233, .0588}},
		{rectangle(0.6, 0.9), [5]float64{0.3939, 0.1442, 0.0703, 0.0410, 0.0187}},
		{rectangle(1.2, 1.2), [5]float64{0.6407, 0.3113, 0.1682, 0.1024, 0.0484}},
		{rectangle(0.3, 1.4), [5]float64{0.2596, 0.1018, 0.0519, 0.0309, 0.0143}},
	} {
		for i, d := range distances {
			near(t, "form factor", r.c.FormFactor(d), r.want[i], printed/10)
		}
	}
}

// By how much the point law promises too much: discs by distance in diameters,
// and the 60 × 90 cm box.
func TestNearFieldOverprediction(t *testing.T) {
	for in, want := range map[float64]float64{0.5: 1.000, 1: 0.322, 1.5: 0.152, 2: 0.087, 3: 0.040, 5: 0.014} {
		near(t, "disc", float64(disc(1).Overprediction(unit.Length(in)*unit.Metre)), want, printed)
	}
	for i, want := range []float64{0.803, 0.253, 0.119, 0.068, 0.031} {
		near(t, "box", float64(rectangle(0.6, 0.9).Overprediction(distances[i])), want, printed)
	}
}

// [FiveTimes]: the point law holds within 1 % from five times the largest
// dimension on; within 5 % from about four times for a disc or a line.
func TestFiveTimesRule(t *testing.T) {
	for _, c := range modifier.All() {
		if c.Setback > 0 {
			continue
		}
		size := max(c.Width, c.Height)
		if got := 1 - c.NearField(5*size); got > 0.0105 || got < 0 {
			t.Errorf("%s: the point law is off by %.2f %% at five times its size", c.ID, 100*got)
		}
	}
}

// The rectangle's closed form against a plain sum over its patches.
func TestRectangleAgainstSum(t *testing.T) {
	const n = 200
	for _, c := range []modifier.Class{rectangle(0.6, 0.9), rectangle(0.3, 1.2)} {
		for _, d := range distances {
			a, b, x := c.Width.Metres(), c.Height.Metres(), d.Metres()
			sum := 0.0
			for i := range n {
				for j := range n {
					u, v := (float64(i)+0.5)/n*a-a/2, (float64(j)+0.5)/n*b-b/2
					r2 := u*u + v*v + x*x
					sum += x * x / (r2 * r2) * a * b / (n * n) / math.Pi
				}
			}
			near(t, "sum", c.FormFactor(d)/sum, 1, 1e-4)
		}
	}
}

func TestLaws(t *testing.T) {
	for _, c := range modifier.All() {
		if err := c.Check(); err != nil {
			t.Errorf("%s: %v", c.ID, err)
		}
		near(t, c.ID+" at its own distance", c.OnAxis(2, 2), 1, 1e-12)
		near(t, c.ID+" there and back", c.OnAxis(1, 3)*c.OnAxis(3, 1), 1, 1e-12)
		near(t, c.ID+" far away is a point", c.OnAxis(400, 200), 0.25, 1e-3)
		last := math.Inf(1)
		for d := 0.05; d < 20; d *= 1.1 {
			h := c.OnAxis(unit.Length(d)*unit.Metre, 2)
			if !(h < last) {
				t.Errorf("%s: light does not fall at %.2f m", c.ID, d)
			}
			last = h
		}
	}
	// A square and a disc of the same area differ little at a working distance.
	side := math.Sqrt(math.Pi) / 2
	near(t, "square against disc", rectangle(side, side).FormFactor(1.5)/disc(1).FormFactor(1.5), 1, 0.01)
}

// No class throws more light than the best tube has: [TubeEfficacy], 50 lm·s a
// Ws. The flux inside the beam is at least I·Ω/2, I falling to half at its edge.
func TestNoClassMakesLight(t *testing.T) {
	for _, c := range modifier.All() {
		intensity := 2.5 * c.K * c.K / c.NearField(modifier.Reference) // cd·s per Ws
		omega := 2 * math.Pi * (1 - (c.Beam / 2).Cos())
		if flux := intensity * omega * 0.75; flux > 50 || flux < 0.2 {
			t.Errorf("%s: %.0f lm·s a Ws in its beam", c.ID, flux)
		}
	}
}

func TestCatalogueIsWhole(t *testing.T) {
	seen := map[string]bool{}
	for _, c := range modifier.All() {
		if seen[c.ID] || c.ID != strings.ToLower(c.ID) || c.Name == "" || c.Source == "" {
			t.Errorf("%q: twice, unnamed or without a source", c.ID)
		}
		seen[c.ID] = true
		if !map[string]bool{"opened": true, "memory": true, "own estimate": true}[c.Basis] {
			t.Errorf("%s: basis %q", c.ID, c.Basis)
		}
		if c.Shape != modifier.Bare && !(c.WindArea > 0.02 && c.Drag > 1 && c.Mass > 0) {
			t.Errorf("%s: no wind area, drag or mass", c.ID)
		}
	}
	for _, id := range strings.Fields("bare reflector-18 focus-30 dish-60 dish-60-sock dish-60-white softbox-60x90 softbox-60x90-double octa-120 octa-120-double umbrella-110-white umbrella-110-silver umbrella-110-shoot strip-30x120 dish-60-grid") {
		if !seen[id] {
			t.Errorf("no %s", id)
		}
	}
}
