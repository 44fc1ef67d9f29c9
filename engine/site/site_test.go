package site_test

import (
	"math"
	"strings"
	"testing"

	"hardnoon/engine/geom"
	"hardnoon/engine/site"
	"hardnoon/engine/unit"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s is %g, want %g ± %g", what, got, want, tol)
	}
}

func ground(t *testing.T, name string) site.Ground {
	t.Helper()
	g, ok := site.GroundNamed(name)
	if !ok {
		t.Fatalf("no ground %q", name)
	}
	return g
}

func lines(g site.Ground, name string) (out []site.Line) {
	for _, l := range g.Lines {
		if l.Name == name {
			out = append(out, l)
		}
	}
	return out
}

// 2·84.39 + 2π·36.80 = 400.00 m; World Athletics facilities manual, from memory.
func TestLap(t *testing.T) {
	l, err := site.LapLength(1)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "lap", l.Metres(), 400.001, 0.001)
	// The stagger of lane 2 in one lap is 7.04 m, printed in track marking plans
	// (from memory).
	l2, _ := site.LapLength(2)
	near(t, "stagger of lane 2", (l2 - l).Metres(), 7.04, 0.005)
	if _, err := site.LapLength(0); err == nil {
		t.Error("lane 0 has a length")
	}
	near(t, "kerb", lines(ground(t, "athletics track"), "lane")[0].Length().Metres(), 2*84.39+2*math.Pi*36.5, 0.05)
}

// Sector angles, World Athletics rules, from memory: javelin 28.96°, other
// throws 34.92°.
func TestSectors(t *testing.T) {
	for name, want := range map[string]float64{"javelin": 28.96, "shot put": 34.92, "discus": 34.92} {
		s := lines(ground(t, name), "sector")
		a := s[0].Points[1].Sub(s[0].Points[0]).AngleTo(s[1].Points[1].Sub(s[1].Points[0]))
		near(t, name+" sector", a.Degrees(), want, 0.006)
	}
	// The javelin's lines leave from where the arc meets the 4 m runway.
	s, arc := lines(ground(t, "javelin"), "sector"), lines(ground(t, "javelin"), "arc")[0]
	near(t, "runway at the arc", s[0].Points[0].Sub(s[1].Points[0]).Norm(), 4, 1e-9)
	near(t, "arc starts there", arc.Points[0].Sub(s[1].Points[0]).Norm(), 0, 1e-9)
}

// Field dimensions: IFAB Law 1, World Rugby Law 1, ITF, FIBA, FIH, FIVB, youth
// field specifications (60 ft bases: 43 and 46 ft; 90 ft: 127 ft 3⅜ in to second).
func TestDimensions(t *testing.T) {
	for _, c := range []struct {
		ground, line string
		long         float64 // extent along y
		wide         float64
	}{
		{"soccer, adult", "boundary", 105, 68},
		{"soccer, adult", "penalty area", 16.5, 7.32 + 2*16.5},
		{"soccer, adult", "goal area", 5.5, 7.32 + 2*5.5},
		{"soccer, adult", "centre circle", 2 * 9.15, 2 * 9.15},
		{"soccer, 11 to 12 years, nine a side", "boundary", 73.15, 45.72},
		{"rugby union", "boundary", 120, 70},
		{"tennis", "doubles", 23.77, 10.97},
		{"basketball, international", "boundary", 28, 15},
		{"basketball, school", "boundary", 25.603, 15.24},
		{"american football", "boundary", 109.73, 48.77},
		{"lacrosse", "boundary", 100.58, 54.86},
		{"field hockey", "boundary", 91.4, 55},
		{"volleyball", "boundary", 18, 9},
		{"netball", "boundary", 30.5, 15.25},
		{"softball", "bases", 25.863 / 2, 25.863},
		{"diamond, 90 ft bases", "bases", 38.795 / 2, 38.795},
	} {
		l := lines(ground(t, c.ground), c.line)
		if len(l) == 0 {
			t.Fatalf("%s has no %s", c.ground, c.line)
		}
		lo, hi := l[0].Points[0], l[0].Points[0]
		for _, p := range l[0].Points {
			lo = geom.Vec{X: min(lo.X, p.X), Y: min(lo.Y, p.Y)}
			hi = geom.Vec{X: max(hi.X, p.X), Y: max(hi.Y, p.Y)}
		}
		near(t, c.ground+" "+c.line+" long", hi.Y-lo.Y, c.long, 0.005)
		near(t, c.ground+" "+c.line+" wide", hi.X-lo.X, c.wide, 0.005)
	}
}

// Home at the origin, axis at azimuth a: first base at a + 45°, third at a − 45°.
func TestLaidByBearing(t *testing.T) {
	g, err := ground(t, "softball").Laid(site.Place{Origin: geom.Vec{X: 7, Y: -3}, Bearing: 67.5 * unit.Degree})
	if err != nil {
		t.Fatal(err)
	}
	home := geom.Vec{X: 7, Y: -3}
	bases := lines(g, "bases")[0].Points
	for i, want := range []float64{112.5, 67.5, 22.5} {
		near(t, "bearing of base", bases[i].Sub(home).Azimuth().Degrees(), want, 1e-9)
	}
	near(t, "first base", bases[0].Sub(home).Norm(), 18.288, 1e-9)
	if got := g.SurfaceAt(home.Add(geom.Direction(67.5*unit.Degree, 0).Scale(5))); got != "clay" {
		t.Errorf("5 m from home is %s", got)
	}
	if got := g.SurfaceAt(home.Add(geom.Direction(67.5*unit.Degree, 0).Scale(80))); got != "turf" {
		t.Errorf("80 m from home is %s", got)
	}
	if got := g.SurfaceAt(bases[0]); got != "white paint" {
		t.Errorf("first base is %s", got)
	}
	if _, err := g.Laid(site.Place{Bearing: unit.Angle(math.NaN())}); err == nil {
		t.Error("a ground was laid along a bearing that is no number")
	}
}

// World Athletics rules, from memory, against their own arithmetic: the hammer's
// circle is 7 ft across, its sector 12 m wide 20 m out; the vaulter's runway is
// 4 ft wide and 40 m long at the least, the mat 6 m by 6 m under a bar of 4.5 m.
func TestHammerAndPoleVault(t *testing.T) {
	h, ok := site.GroundNamed("hammer")
	if !ok {
		t.Fatal("no hammer")
	}
	wide := 0.0
	for _, l := range h.Lines {
		switch a := l.Points[0]; l.Name {
		case "circle":
			near(t, "radius of the circle", a.Norm(), 7*0.3048/2, 0.001)
		case "sector":
			b := l.Points[1]
			k := (20 - a.Y) / (b.Y - a.Y)
			wide += math.Abs(a.X + k*(b.X-a.X))
		}
	}
	// 12 m is the chord between two points 20 m from the centre.
	near(t, "sector 20 m out", wide*math.Cos(math.Asin(0.3)), 12, 0.01)

	v, ok := site.GroundNamed("pole vault")
	if !ok {
		t.Fatal("no pole vault")
	}
	run := v.Areas[0].Outline
	near(t, "width of the runway", run[1].X-run[0].X, 4*0.3048, 0.002)
	near(t, "length of the runway", run[2].Y-run[1].Y, 40, 1e-9)
	for _, s := range v.Posts {
		switch s.Name {
		case "bar":
			near(t, "length of the bar", s.Width.Metres(), 4.5, 0.02)
		case "landing mat":
			near(t, "mat", s.Width.Metres()*s.Depth.Metres(), 36, 1e-9)
		}
	}
}

func TestEveryGroundIsSound(t *testing.T) {
	for _, g := range site.Grounds() {
		if g.Source == "" || len(g.Lines) == 0 {
			t.Errorf("%s: no source or no lines", g.Name)
		}
		names := []string{g.Surface}
		for _, a := range g.Areas {
			names = append(names, a.Material)
		}
		for _, p := range g.Posts {
			s, err := p.Sized()
			if err != nil {
				t.Errorf("%s: %v", g.Name, err)
			}
			names = append(names, s.Material)
		}
		for _, n := range names {
			if _, ok := site.MaterialNamed(n); !ok {
				t.Errorf("%s: no material %q", g.Name, n)
			}
		}
		for _, l := range g.Lines {
			for _, p := range l.Points {
				if !(p.Norm() < 200) {
					t.Errorf("%s: %s runs through %v", g.Name, l.Name, p)
				}
			}
		}
	}
}

// IES outside-surface table by way of a handbook, and Smith, Modern Optical
// Engineering, fig. 12.9: asphalt 0.05 to 0.07, concrete 0.4, gravel 0.13, new
// snow 0.74 and 0.85, red brick 0.35, new white paint 0.75, grass 0.06 to 0.2.
func TestMaterials(t *testing.T) {
	published := map[string][2]float64{"asphalt": {0.05, 0.07}, "concrete": {0.4, 0.4}, "gravel": {0.13, 0.13},
		"snow": {0.74, 0.85}, "red brick": {0.30, 0.35}, "white paint": {0.75, 0.75}, "turf": {0.06, 0.2}}
	for _, m := range site.Materials() {
		y := 0.2126*m.Colour[0] + 0.7152*m.Colour[1] + 0.0722*m.Colour[2]
		near(t, m.Name+" luminance", y, m.Reflectance, 1e-12)
		if m.Source == "" || m.Reflectance < m.Low || m.Reflectance > m.High || max(m.Colour[0], m.Colour[1], m.Colour[2]) > 1 {
			t.Errorf("%s: %+v", m.Name, m)
		}
		if p, ok := published[m.Name]; ok && (m.Reflectance < p[0] || m.Reflectance > p[1]) {
			t.Errorf("%s is %g, published %v", m.Name, m.Reflectance, p)
		}
	}
}

// Similar triangles: a 2 m fence 20 m behind the camera's subject line appears
// at h + (H − h) d/D.
func TestCrossing(t *testing.T) {
	z, err := site.Crossing(1.5, 3.5, 5, 20)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "crossing", z.Metres(), 2, 1e-12)
	for h := -0.5; h < 3; h += 0.25 {
		z, _ := site.Crossing(unit.Length(h), 6, 4, 30)
		back, err := site.CameraHeight(z, 6, 4, 30)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "camera height", back.Metres(), h, 1e-9)
		// The same by a ray: from the camera through the crossing to the object.
		eye, there := geom.Vec{Z: h}, geom.Vec{Y: 4, Z: z.Metres()}
		near(t, "ray at the object", eye.Lerp(there, 30.0/4).Z, 6, 1e-9)
	}
	for _, bad := range [][4]unit.Length{{1, 1, 0, 5}, {1, 1, 5, -1}, {unit.Length(math.NaN()), 1, 1, 2}, {1, unit.Length(math.Inf(1)), 1, 2}} {
		if _, err := site.Crossing(bad[0], bad[1], bad[2], bad[3]); err == nil {
			t.Errorf("%v has a crossing", bad)
		}
	}
	if _, err := site.CameraHeight(1, 2, 5, 5); err == nil {
		t.Error("subject and object at one distance have an answer")
	}
}

// A wall of height H shades the ground to H / tan(altitude) behind it.
func TestShadowLength(t *testing.T) {
	wall := []site.Solid{{Kind: site.Wall, At: geom.Vec{Y: -10}, Bearing: 0, Width: 100, Depth: 0.2, Height: 4}}
	for _, alt := range []unit.Angle{10 * unit.Degree, 25 * unit.Degree, 40 * unit.Degree, 60 * unit.Degree} {
		sun := geom.Direction(180*unit.Degree, alt)
		end := -9.9 + 4/alt.Tan() // from the edge on the shaded side
		for _, d := range []float64{-0.001, 0.001} {
			share, err := site.Sunlit(geom.Vec{Y: end + d}, sun, wall)
			if err != nil {
				t.Fatal(err)
			}
			if lit := share == 1; lit != (d > 0) {
				t.Errorf("sun at %.0f°, %.3f m from the end of the shadow: share %g", alt.Degrees(), d, share)
			}
		}
	}
}

func TestWhatPasses(t *testing.T) {
	up := geom.Direction(90*unit.Degree, 30*unit.Degree)
	tree := []site.Solid{{Kind: site.Tree, At: geom.Vec{X: 10}}}
	if s, _ := site.Sunlit(geom.Vec{}, up, tree); s != 0.15 {
		t.Errorf("a tree passes %g", s)
	}
	if s, _ := site.Sunlit(geom.Vec{X: 10, Z: 0.5}, up, tree); s != 0 {
		t.Errorf("inside the trunk it is %g light", s)
	}
	if s, _ := site.Sunlit(geom.Vec{}, geom.Direction(0, -1*unit.Degree), nil); s != 0 {
		t.Errorf("a sun that is down gives %g", s)
	}
	if s, _ := site.Sunlit(geom.Vec{}, geom.Up, nil); s != 1 {
		t.Errorf("open ground gets %g", s)
	}
	// Two fences in line: (1 − 3.2/50)⁴ of the light, wire and mesh from memory.
	fences := []site.Solid{{Kind: site.Fence, At: geom.Vec{X: 1}, Bearing: 90 * unit.Degree}, {Kind: site.Fence, At: geom.Vec{X: 2}, Bearing: 90 * unit.Degree}}
	s, _ := site.Sunlit(geom.Vec{}, geom.Direction(90*unit.Degree, 10*unit.Degree), fences)
	near(t, "two fences", s, math.Pow(1-3.2/50, 4), 0.01)
}

// The skyline and the shade test are two ways to one answer.
func TestSkylineAgainstShade(t *testing.T) {
	solids := []site.Solid{
		{Kind: site.Building, At: geom.Vec{X: 20, Y: 12}, Bearing: 30 * unit.Degree},
		{Kind: site.Pole, At: geom.Vec{X: -8, Y: 1}},
		{Kind: site.FieldLight, At: geom.Vec{X: -30, Y: -30}},
		{Kind: site.Seating, At: geom.Vec{Y: -25}, Bearing: 180 * unit.Degree},
		{Kind: site.Vehicle, At: geom.Vec{X: 2, Y: 15}, Bearing: 75 * unit.Degree},
		{Kind: site.Wall, At: geom.Vec{X: 1, Y: 30}},
		{Kind: site.Tree, At: geom.Vec{X: -12, Y: 14}},
	}
	eye := geom.Vec{Z: 1.5}
	line, err := site.Seen(eye, solids)
	if err != nil {
		t.Fatal(err)
	}
	wrong := 0
	for az := 0.03; az < 360; az += 0.7 {
		top := line.Altitude(unit.Angle(az) * unit.Degree)
		above := geom.Direction(unit.Angle(az)*unit.Degree, top+0.05*unit.Degree)
		below := geom.Direction(unit.Angle(az)*unit.Degree, top-0.05*unit.Degree)
		if s, _ := site.Sunlit(eye, above, solids); s != 1 {
			t.Errorf("azimuth %.2f°: something above the skyline at %.3f°", az, top.Degrees())
		}
		if top > 0.1*unit.Degree {
			if s, _ := site.Sunlit(eye, below, solids); s == 1 {
				wrong++
				t.Logf("azimuth %.2f°: nothing below the skyline at %.3f°", az, top.Degrees())
			}
		}
	}
	if wrong > 0 {
		t.Errorf("%d azimuths", wrong)
	}
}

func TestSkylineOfACylinder(t *testing.T) {
	// Half width asin(r/d), top atan(h/(d − r)).
	line, err := site.Seen(geom.Vec{}, []site.Solid{{Kind: site.Pole, At: geom.Vec{Y: 10}, Width: 2, Height: 5}})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "top", line.Altitude(0).Degrees(), math.Atan2(5, 9)*180/math.Pi, 1e-3)
	edge := math.Asin(0.1) * 180 / math.Pi
	if a := line.Altitude(unit.Angle(edge-0.01) * unit.Degree); a.Degrees() < 20 {
		t.Errorf("just inside the edge it stands at %.2f°", a.Degrees())
	}
	near(t, "just outside", line.Altitude(unit.Angle(edge+0.01)*unit.Degree).Degrees(), 0, 1e-9)
	near(t, "across north", line.Altitude(unit.Angle(360-edge-0.01)*unit.Degree).Degrees(), 0, 1e-9)
}

// Straight between corners, closed around north.
func TestSkylineBetweenCorners(t *testing.T) {
	var corners []site.Corner
	for _, c := range [][2]float64{{300, 10}, {350, 20}, {10, 30}, {200, 0}, {200, 8}} {
		corners = append(corners, site.Corner{Azimuth: unit.Angle(c[0]) * unit.Degree, Altitude: unit.Angle(c[1]) * unit.Degree})
	}
	s, err := site.NewSkyline(corners)
	if err != nil {
		t.Fatal(err)
	}
	for az, want := range map[float64]float64{0: 25, 350: 20, 355: 22.5, 5: 27.5, 105: 15, 199.999: 0, 200: 8, 250: 9, 325: 15, -10: 20} {
		near(t, "skyline", s.Altitude(unit.Angle(az)*unit.Degree).Degrees(), want, 1e-3)
	}
	if site.Skyline(nil).Altitude(1) != 0 {
		t.Error("no skyline is level")
	}
}

func TestCombined(t *testing.T) {
	deg := func(az, alt float64) site.Corner {
		return site.Corner{Azimuth: unit.Angle(az) * unit.Degree, Altitude: unit.Angle(alt) * unit.Degree}
	}
	a, _ := site.NewSkyline([]site.Corner{deg(0, 0), deg(90, 20), deg(180, 0)})
	b, _ := site.NewSkyline([]site.Corner{deg(45, 12)})
	c := a.Combined(b)
	for az := 0.5; az < 360; az++ {
		x := unit.Angle(az) * unit.Degree
		near(t, "combined", c.Altitude(x).Degrees(), max(a.Altitude(x), b.Altitude(x)).Degrees(), 1e-9)
	}
	if _, err := site.NewSkyline([]site.Corner{deg(math.NaN(), 0)}); err == nil {
		t.Error("a corner without azimuth was taken")
	}
}

func TestBadSolids(t *testing.T) {
	for _, s := range []site.Solid{
		{Kind: 99}, {Kind: -1}, {Width: -1}, {Height: unit.Length(math.NaN())}, {At: geom.Vec{X: math.Inf(1)}}, {Bearing: unit.Angle(math.NaN())},
	} {
		if _, err := s.Parts(); err == nil {
			t.Errorf("%+v was taken", s)
		} else if !strings.Contains(err.Error(), "is") {
			t.Error(err)
		}
	}
	for k := site.Wall; k <= site.FieldLight; k++ {
		if back, ok := site.KindNamed(k.String()); !ok || back != k {
			t.Errorf("%v came back as %v", k, back)
		}
	}
}
