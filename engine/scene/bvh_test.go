package scene_test

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"hardnoon/engine/geom"
	"hardnoon/engine/scene"
	"hardnoon/engine/unit"
)

// thicket returns triangles and solids strewn about, and the triangles' corners.
func thicket(t testing.TB, triangles, solids int) (*scene.Scene, [][3]geom.Vec, []scene.Solid) {
	rng := rand.New(rand.NewPCG(1, 2))
	at := func(spread float64) geom.Vec {
		return geom.Vec{X: rng.NormFloat64() * spread, Y: rng.NormFloat64() * spread, Z: rng.NormFloat64() * spread}
	}
	var m geom.Mesh
	var corners [][3]geom.Vec
	for range triangles {
		a := at(5)
		c := [3]geom.Vec{a, a.Add(at(0.3)), a.Add(at(0.3))}
		n := int32(len(m.Vertices))
		m.Vertices = append(m.Vertices, c[:]...)
		m.Triangles = append(m.Triangles, [3]int32{n, n + 1, n + 2})
		corners = append(corners, c)
	}
	p := scene.Parts{
		Materials: []scene.Material{{}},
		Meshes:    []scene.Mesh{{Mesh: m, Materials: []int{0}}},
	}
	for i := range solids {
		p.Solids = append(p.Solids, scene.Solid{Form: scene.Form(i % 5), At: at(5), Size: geom.Vec{X: 0.3, Y: 0.4, Z: 0.5}, Facing: at(1), Bearing: unit.Angle(rng.Float64()) * unit.Turn})
	}
	s, err := scene.New(p)
	if err != nil {
		t.Fatal(err)
	}
	return s, corners, p.Solids
}

// slowTriangle is the plain way: plane, then three edges.
func slowTriangle(r geom.Ray, c [3]geom.Vec) float64 {
	n := c[1].Sub(c[0]).Cross(c[2].Sub(c[0]))
	t := c[0].Sub(r.Origin).Dot(n) / r.Dir.Dot(n)
	if !(t > 0) {
		return math.Inf(1)
	}
	p := r.At(t)
	for i := range 3 {
		a, b := c[i], c[(i+1)%3]
		if b.Sub(a).Cross(p.Sub(a)).Dot(n) < 0 {
			return math.Inf(1)
		}
	}
	return t
}

// slowSolid marches no further than the closed form of each: by bisection on
// an inside test it would be slow but blind to flat things, so flat things are
// planes with an outline, and closed things the nearest root of theirs.
func slowSolid(r geom.Ray, b scene.Solid) float64 {
	best := math.Inf(1)
	plane := func(at, n geom.Vec, in func(q geom.Vec) bool) {
		t := at.Sub(r.Origin).Dot(n) / r.Dir.Dot(n)
		if t > 0 && t < best && in(r.At(t).Sub(at)) {
			best = t
		}
	}
	root := func(a, b, c float64, in func(p geom.Vec) bool) {
		d := b*b - 4*a*c
		if d < 0 {
			return
		}
		for _, t := range []float64{(-b - math.Sqrt(d)) / (2 * a), (-b + math.Sqrt(d)) / (2 * a)} {
			if t > 0 && t < best && in(r.At(t)) {
				best = t
			}
		}
	}
	q := r.Origin.Sub(b.At)
	n := b.Facing.Unit()
	switch b.Form {
	case scene.Sphere:
		root(1, 2*q.Dot(r.Dir), q.Norm2()-b.Size.X*b.Size.X, func(geom.Vec) bool { return true })
	case scene.Disc:
		plane(b.At, n, func(q geom.Vec) bool { return q.Norm() <= b.Size.X })
	case scene.Panel:
		x := geom.Up.Cross(n).Unit()
		y := n.Cross(x)
		plane(b.At, n, func(q geom.Vec) bool { return math.Abs(q.Dot(x)) <= b.Size.X/2 && math.Abs(q.Dot(y)) <= b.Size.Y/2 })
	case scene.Cylinder:
		d := r.Dir
		root(d.X*d.X+d.Y*d.Y, 2*(q.X*d.X+q.Y*d.Y), q.X*q.X+q.Y*q.Y-b.Size.X*b.Size.X,
			func(p geom.Vec) bool { z := p.Z - b.At.Z; return z >= 0 && z <= b.Size.Z })
		for _, z := range []float64{0, b.Size.Z} {
			plane(b.At.Add(geom.Vec{Z: z}), geom.Up, func(q geom.Vec) bool { return q.Norm() <= b.Size.X })
		}
	case scene.Box:
		y := geom.Direction(b.Bearing, 0)
		axes := []geom.Vec{y.Cross(geom.Up), y, geom.Up}
		half := []float64{b.Size.X / 2, b.Size.Y / 2, b.Size.Z / 2}
		centre := b.At.Add(geom.Vec{Z: half[2]})
		for i := range axes {
			for _, side := range []float64{-1, 1} {
				plane(centre.Add(axes[i].Scale(side*half[i])), axes[i], func(q geom.Vec) bool {
					j, k := (i+1)%3, (i+2)%3
					return math.Abs(q.Dot(axes[j])) <= half[j] && math.Abs(q.Dot(axes[k])) <= half[k]
				})
			}
		}
	}
	return best
}

// The hierarchy answers as a plain loop does. A ray that grazes an edge may
// fall on either side of it in single precision: one in a thousand may differ.
func TestHierarchyAgainstPlainLoop(t *testing.T) {
	s, triangles, solids := thicket(t, 3000, 100)
	rng := rand.New(rand.NewPCG(3, 4))
	const rays = 3000
	hits, differ := 0, 0
	for range rays {
		r := geom.Ray{
			Origin: geom.Vec{X: rng.NormFloat64() * 6, Y: rng.NormFloat64() * 6, Z: rng.NormFloat64() * 6},
			Dir:    geom.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}.Unit(),
		}
		want := math.Inf(1)
		for _, c := range triangles {
			want = min(want, slowTriangle(r, c))
		}
		for _, b := range solids {
			want = min(want, slowSolid(r, b))
		}
		got := math.Inf(1)
		if d, _, ok := s.Closest(r); ok {
			got = d.Metres()
			hits++
		}
		if got != want && math.Abs(got-want) > 1e-4 {
			differ++
		}
		// Occluded is Closest with another question.
		o, d := scene.To32(r.Origin), scene.To32(r.Dir)
		for _, most := range []float64{got * 0.999, got * 1.001} {
			if math.IsInf(most, 0) {
				continue
			}
			if s.Occluded(o, d, float32(most), 0) != (most > got) {
				differ++
			}
		}
	}
	if hits < rays/10 {
		t.Fatalf("only %d of %d rays hit anything", hits, rays)
	}
	if differ > rays/1000 {
		t.Errorf("%d of %d rays differ", differ, rays)
	}
}

func TestQueriesDoNotAllocate(t *testing.T) {
	s, _, _ := thicket(t, 500, 50)
	r := geom.Ray{Origin: geom.Vec{X: -20}, Dir: geom.Vec{X: 1, Y: 0.01}.Unit()}
	o, d := scene.To32(r.Origin), scene.To32(r.Dir)
	if n := testing.AllocsPerRun(100, func() { s.Closest(r); s.Occluded(o, d, 100, 0) }); n != 0 {
		t.Errorf("%v allocations", n)
	}
}

// Line of sight: a thing of height H at distance D, seen from height h, crosses
// the subject's plane at distance d at h + (H−h)·d/D. Similar triangles.
func TestLineOfSight(t *testing.T) {
	const h, D, d = 1.5, 30.0, 4.0
	for _, H := range []float64{0.4, 1.5, 2.4, 6} {
		cross := h + (H-h)*d/D
		s, err := scene.New(scene.Parts{
			Materials: []scene.Material{{}},
			Solids:    []scene.Solid{{Form: scene.Panel, At: geom.Vec{Y: d, Z: cross - 5}, Facing: geom.North, Size: geom.Vec{X: 2, Y: 10}}},
			Camera:    scene.Camera{At: geom.Vec{Z: h}, Aim: geom.Vec{Y: d, Z: h}},
		})
		if err != nil {
			t.Fatal(err)
		}
		eye := geom.Vec{Z: h}
		// Its panel stands up to the crossing height: the top of the thing just shows over it.
		if s.Sees(eye, geom.Vec{Y: D, Z: H - 0.01}) || !s.Sees(eye, geom.Vec{Y: D, Z: H + 0.01}) {
			t.Errorf("a thing %v m high does not cross at %.3f m", H, cross)
		}
		a, _ := s.Camera.Project(geom.Vec{Y: D, Z: H})
		b, _ := s.Camera.Project(geom.Vec{Y: d, Z: cross})
		if math.Abs(a.Y-b.Y) > 1e-9 {
			t.Errorf("they stand at %v and %v of the frame", a.Y, b.Y)
		}
	}
}

// Field of view at infinity, 36 × 24 mm: 2 atan(w/2f). Handbook table, degrees.
func TestFieldOfView(t *testing.T) {
	for _, r := range []struct{ f, h, v float64 }{{24, 73.74, 53.13}, {50, 39.60, 26.99}, {85, 23.91, 16.07}, {200, 10.29, 6.87}} {
		s, err := scene.New(scene.Parts{Camera: scene.Camera{Aim: geom.North, Focal: unit.Length(r.f) * unit.Millimetre, Focus: 1e6 * unit.Metre}})
		if err != nil {
			t.Fatal(err)
		}
		h, v := s.Camera.FieldOfView()
		if math.Abs(h.Degrees()-r.h) > 0.006 || math.Abs(v.Degrees()-r.v) > 0.006 {
			t.Errorf("%v mm: %.3f° × %.3f°, want %v × %v", r.f, h.Degrees(), v.Degrees(), r.h, r.v)
		}
	}
}

func TestBadParts(t *testing.T) {
	nan := math.NaN()
	grey := []scene.Material{{Diffuse: scene.Grey(0.5)}}
	for name, p := range map[string]scene.Parts{
		"camera not a number":  {Camera: scene.Camera{At: geom.Vec{X: nan}, Aim: geom.North}},
		"camera is its aim":    {Camera: scene.Camera{At: geom.North, Aim: geom.North, Focal: 0.05}},
		"camera under ground":  {Materials: grey, Ground: &scene.Ground{}, Camera: scene.Camera{At: geom.Vec{Z: -1}, Aim: geom.North}},
		"focus inside lens":    {Camera: scene.Camera{Aim: geom.North, Focus: 0.01}},
		"white beyond white":   {Materials: []scene.Material{{Diffuse: scene.Grey(1.2)}}},
		"no such material":     {Materials: grey, Ground: &scene.Ground{Material: 1}},
		"mesh of no material":  {Meshes: []scene.Mesh{{Mesh: geom.Mesh{Triangles: [][3]int32{{0, 1, 2}}}}}},
		"mesh without corners": {Materials: grey, Meshes: []scene.Mesh{{Mesh: geom.Mesh{Triangles: [][3]int32{{0, 1, 2}}}, Materials: []int{0}}}},
		"flat solid":           {Materials: grey, Solids: []scene.Solid{{Form: scene.Box}}},
		"unknown solid":        {Materials: grey, Solids: []scene.Solid{{Form: 9, Size: geom.Vec{X: 1, Y: 1, Z: 1}}}},
		"negative light":       {Lights: []scene.Light{{Intensity: -1}}},
		"sun without place":    {Daylight: scene.Daylight{SunIlluminance: 1e5}},
		"too many lights":      {Lights: make([]scene.Light, 1000)},
		"infinite probe":       {Probes: []scene.Probe{{At: geom.Vec{X: math.Inf(1)}}}},
	} {
		_, err := scene.New(p)
		var r *unit.RangeError
		var many *scene.TooManyError
		var in *scene.InsideError
		if !errors.As(err, &r) && !errors.As(err, &many) && !errors.As(err, &in) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := scene.New(scene.Parts{}); err != nil {
		t.Errorf("an empty world: %v", err)
	}
}

func BenchmarkClosest(b *testing.B) {
	s, _, _ := thicket(b, 50_000, 100)
	rng := rand.New(rand.NewPCG(5, 6))
	var rays [1024][2]scene.Vec32
	for i := range rays {
		d := geom.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}.Unit()
		rays[i] = [2]scene.Vec32{scene.To32(geom.Vec{X: rng.NormFloat64() * 6, Y: rng.NormFloat64() * 6, Z: 0}), scene.To32(d)}
	}
	for i := 0; b.Loop(); i++ {
		s.Trace(rays[i&1023][0], rays[i&1023][1], 1e9, 0)
	}
}

func BenchmarkBuild(b *testing.B) {
	for b.Loop() {
		thicket(b, 50_000, 100)
	}
}
