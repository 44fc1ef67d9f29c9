package render

import (
	"math"
	"testing"

	"hardnoon/engine/geom"
	"hardnoon/engine/scene"
)

// A coated surface never sends back more than it gets, says the same both ways
// round, and chooses directions with the density it claims.
func TestReflectorLaws(t *testing.T) {
	m := scene.Material{Coat: 0.04, Roughness: 0.3}
	n := scene.Vec32{Z: 1}
	for _, tilt := range []float64{0, 0.7, 1.3, 1.5} {
		out := scene.To32(geom.Vec{X: math.Sin(tilt), Z: math.Cos(tilt)})
		var r, back reflector
		r.set(&m, scene.Grey(0.96), n, out)
		albedo, total := 0.0, 0.0
		const side = 200
		for i := range side {
			for j := range side {
				// Over the hemisphere, evenly in solid angle.
				z := (float32(i) + 0.5) / side
				s, c := scene.SinCosTurn((float32(j) + 0.5) / side)
				q := scene.Sqrt32(1 - z*z)
				in := scene.Vec32{X: q * c, Y: q * s, Z: z}
				f, p := r.to(in)
				albedo += float64(f.Y()*z) * 2 * math.Pi / side / side
				total += float64(p) * 2 * math.Pi / side / side
				back.set(&m, scene.Grey(0.96), n, in)
				if g, _ := back.to(out); math.Abs(float64(g.Y()-f.Y())) > 1e-3*float64(f.Y())+1e-5 {
					t.Fatalf("from %v to %v sends %v, back %v", in, out, f, g)
				}
			}
		}
		if albedo > 1.002 {
			t.Errorf("tilt %v: sends back %.4f of the light", tilt, albedo)
		}
		// Some facets mirror into the ground: the density may miss a little.
		if total > 1.01 || total < 0.85 {
			t.Errorf("tilt %v: the densities add to %.3f", tilt, total)
		}
		// What is chosen, weighed by the density claimed, gives the same albedo.
		sum, count := 0.0, 0
		for k := range 20_000 {
			smp := newSampler(1, 0, uint32(k))
			u, v := smp.pair(0)
			lobe, _ := smp.pair(1)
			in := r.choose(u, v, lobe)
			if f, p := r.to(in); p > 0 {
				sum += float64(f.Y() * in.Z / p)
			}
			count++
		}
		if d := math.Abs(sum/float64(count) - albedo); d > 0.01*albedo {
			t.Errorf("tilt %v: sampled %.4f, integrated %.4f", tilt, sum/float64(count), albedo)
		}
	}
}

// The fast approximations against the library.
func TestFastFunctions(t *testing.T) {
	for x := -1.9; x < 3; x += 0.0137 {
		s, c := scene.SinCosTurn(float32(x))
		ws, wc := math.Sincos(2 * math.Pi * float64(float32(x)))
		if math.Abs(float64(s)-ws) > 2e-6 || math.Abs(float64(c)-wc) > 2e-6 {
			t.Fatalf("turn %v: %v, %v; want %v, %v", x, s, c, ws, wc)
		}
		if got := turnOf(float32(ws), float32(wc)); math.Abs(math.Remainder(float64(got)-x, 1)) > 1.2e-5 {
			t.Fatalf("turn %v read as %v", x, got)
		}
	}
}

// The first 2ⁿ points of each use fill each of the 2ⁿ boxes of equal shape once:
// what makes a (0, 2)-sequence.
func TestSamplerIsStratified(t *testing.T) {
	for _, use := range []uint32{0, 5, 21} {
		for shape := range 7 {
			seen := map[[2]int]bool{}
			for n := range uint32(64) {
				u, v := newSampler(9, 77, n).pair(use)
				seen[[2]int{int(u * float32(int(1)<<shape)), int(v * float32(int(64)>>shape))}] = true
			}
			if len(seen) != 64 {
				t.Errorf("use %d, boxes of shape %d: %d of 64 filled", use, shape, len(seen))
			}
		}
	}
}
