package floodlight

import (
	"math"
	"testing"

	"hardnoon/engine/geom"
	"hardnoon/engine/unit"
)

// even shines alike to all sides of its axis half: n is all but 0.
func even(cd unit.Candela, height float64) Bank {
	return Bank{At: geom.Vec{Z: height}, Power: 1e-9, Intensity: cd}
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: %.4f, want %.4f ± %.4f", what, got, want, tolerance)
	}
}

// Printed examples. [Theraja] ch. 49: a lamp of 1200 lm to all sides hangs 8 m
// up, 6 m from its foot it gives 0.76 lm/m² (ex. 49.1); from 10 m up the light has
// fallen to a tenth 19.08 m from the foot (ex. 49.2). A school-book: 628 lm at 1 m
// on a plane turned by 37° give 40 lx, with cos 37° = 4/5 and 628 = 200π.
func TestInverseSquareAndCosine(t *testing.T) {
	on := func(b Bank, p, n geom.Vec) float64 { return float64(On(Lights{b}.Beams(p), n)) }
	near(t, "6 m from the foot", on(even(1200/(4*math.Pi), 8), geom.Vec{X: 6}, geom.Up), 0.76, 0.005)
	ten := even(1000, 10)
	near(t, "a tenth", on(ten, geom.Vec{X: 19.08}, geom.Up)/on(ten, geom.Vec{}, geom.Up), 0.1, 0.00005)
	aside := even(628/(4*math.Pi), 0)
	aside.Aim = geom.Vec{X: 1}
	near(t, "turned by 37°", on(aside, geom.Vec{X: 1}, geom.Vec{X: -4, Y: 3}), 40, 0.05)
	// The wall behind the lamp and the back of a plane get nothing.
	near(t, "behind the lamp", on(aside, geom.Vec{X: -1}, geom.East), 0, 0)
	near(t, "behind the plane", on(aside, geom.Vec{X: 1}, geom.East), 0, 0)
}

// The light of a bank through a whole sphere around it is its flux, 2π I₀/(n+1),
// and the beam of NEMA type 5 is 38.5° at a tenth.
func TestBeam(t *testing.T) {
	for _, n := range []float64{1, 2, 9.4} {
		b := Bank{Aim: geom.Up, Power: n, Intensity: 1000}
		sum, rings := 0.0, 4000
		for i := range rings {
			z := (float64(i) + 0.5) / float64(rings)
			p := geom.Vec{X: 3 * math.Sqrt(1-z*z), Z: 3 * z}
			sum += float64(On(Lights{b}.Beams(p), p.Neg())) * 2 * math.Pi * 9 / float64(rings)
		}
		near(t, "flux", sum, 2*math.Pi*1000/(n+1), 0.5)
	}
	n := PowerFor(77 * unit.Degree)
	near(t, "a tenth at the edge of the beam", math.Pow((38.5*unit.Degree).Cos(), n), 0.1, 1e-9)
	// [NAVEDTRA14027] fig. 6-26: one lamp, from 50 ft up aimed 100 ft out, gives 20
	// footcandles there in a beam of 22° by 21° and 1.5 in one of 77°. The flux
	// they share is not said; its ratio is that of the beams, to what 1.5 means.
	at := func(tenth unit.Angle) float64 {
		n := PowerFor(tenth)
		b := Bank{At: geom.Vec{Z: 50}, Aim: geom.Vec{X: 100}, Power: n, Intensity: unit.Candela((n + 1) / (2 * math.Pi))}
		return float64(On(Lights{b}.Beams(b.Aim), geom.Up))
	}
	near(t, "narrow to wide", at(21.5*unit.Degree)/at(77*unit.Degree), 20/1.5, 1)
}

// pitch returns equal poles along the sides of a pitch of 105 × 68 m, and points
// all over it.
func pitch(height unit.Length, out ...float64) (l Lights, points []geom.Vec) {
	for _, x := range []float64{-38, 38} {
		for _, y := range out {
			foot := geom.Vec{X: x, Y: y}
			l = append(l, Bank{At: foot.Add(geom.Up.Scale(height.Metres())), Aim: Aimed(foot, geom.Vec{}, height), Intensity: 1})
		}
	}
	for i := range 10 {
		for j := range 12 {
			points = append(points, geom.Vec{X: 6.8 * (float64(i) - 4.5), Y: 8.75 * (float64(j) - 5.5)})
		}
	}
	return
}

// Many pitches of class III have six poles and eight lamps of 2 kW (a public
// summary of [EN12193] for clubs). A metal halide lamp of 2 kW gives 200 klm, a
// floodlight lets 70 % out, upkeep leaves 80 % (from memory): 900 klm.
func TestFluxOfATrainingPitch(t *testing.T) {
	iii, _, _ := Levels("soccer, adult")
	for _, out := range [][]float64{{-42, 42}, {-42, 0, 42}} {
		l, points := pitch(18, out...)
		l = l.Scaled(float64(iii / l.Level(points)))
		near(t, "level", float64(l.Level(points)), 75, 1e-9)
		flux := 0.0
		for _, b := range l {
			flux += 2 * math.Pi * float64(b.Intensity) / (UsualPower + 1)
		}
		near(t, "stops from the flux of such pitches", math.Log2(flux/900e3), 0, 0.5)
		least := math.Inf(1)
		for _, p := range points {
			least = min(least, float64(On(l.Beams(p), geom.Up)))
		}
		if u := least / 75; u < 0.3 || u > 0.5 {
			t.Errorf("uniformity %.2f with %d poles; class III asks for 0.5", u, len(l))
		}
	}
}

// [EN12193] tables A.21 and A.16 for soccer and tennis; field hockey has 200 lx in
// classes III and II.
func TestLevels(t *testing.T) {
	for ground, want := range map[string][3]unit.Lux{"soccer, 13 to 14 years": {75, 200, 500}, "tennis": {200, 300, 500}, "field hockey": {200, 200, 500}} {
		if a, b, c := Levels(ground); want != [3]unit.Lux{a, b, c} {
			t.Errorf("%s: %v %v %v", ground, a, b, c)
		}
	}
	for _, x := range levels {
		if !(x.iii > 0 && x.iii <= x.ii && x.ii <= x.i) {
			t.Errorf("%q: the classes are out of order", x.ground)
		}
	}
	if a, _, _ := Levels("javelin"); a != 100 {
		t.Errorf("a field that is not listed goes with track and field, got %v", a)
	}
}

// Lamps are turned to what they light, one height out at least and two at most.
func TestAimed(t *testing.T) {
	foot := geom.Vec{X: 100}
	for _, c := range []struct{ target, want float64 }{{97, 82}, {75, 75}, {0, 64}} {
		if got := Aimed(foot, geom.Vec{X: c.target, Z: 3}, 18); math.Abs(got.X-c.want) > 1e-9 || got.Z != 0 {
			t.Errorf("aimed at %v for %v", got, c.target)
		}
	}
	if got := Aimed(foot, foot, 18); got != foot {
		t.Errorf("the mark under the pole: %v", got)
	}
}
