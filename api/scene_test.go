package api

import (
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"
	"time"

	"hardnoon/engine/exposure"
	"hardnoon/engine/geom"
	"hardnoon/engine/modifier"
	"hardnoon/engine/scene"
	"hardnoon/engine/sun"
	"hardnoon/engine/unit"
	"hardnoon/session"
)

// carPark is a session for one portrait with a van behind the head.
func carPark(t testing.TB) session.Session {
	t.Helper()
	s, err := session.Read([]byte(`{"format":"hardnoon session 1","title":"Car park","start":"2027-01-16T17:20",
 "place":{"lat_deg":-33.05,"lon_deg":-71.6,"zone":"America/Santiago","ground":"asphalt",
  "solids":[{"kind":"vehicle","name":"van","label":"hide","bearing_deg":150,"distance_m":12,"width_m":2,"depth_m":5.5,"height_m":2.4,"turn_deg":60}]},
 "sky":{"kind":"named","name":"clear"},
 "kit":{"camera":{"sensor":"full-frame","sync":"1/250"},
  "lenses":[{"id":"long","focal_min_mm":85,"focal_max_mm":85,"f_min":1.8}],
  "heads":[{"id":"a","class":"battery-400"},{"id":"b","class":"battery-400"}],"nd_stops":[3],
  "modifiers":[{"id":"box","class":"softbox-60x90"}]},
 "people":[{"id":"one","age":30,"height_m":1.8,"sex":"male"}],
 "setups":[{"id":"one","camera":{"distance_m":4,"height_m":1.5,"bearing_deg":150},"lens":"long","focal_mm":85,"subject":{"person":"one"},
  "lights":[{"role":"key","head":"a","angle_deg":40,"height_m":2.2}],"look":{"under_stops":1}}]}`))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func staged(t testing.TB, s session.Session) *stage {
	t.Helper()
	p, err := newPlanner(s)
	if err != nil {
		t.Fatal(err)
	}
	st, err := p.stageOf(0, coarseCell)
	if err != nil {
		t.Fatal(err)
	}
	return st
}

// numbers returns what Scene says of the first setup.
func numbers(t testing.TB, s session.Session) SceneSetup {
	t.Helper()
	a, err := Scene(context.Background(), SceneRequest{Session: s})
	if err != nil {
		t.Fatal(err)
	}
	return a.Setups[0]
}

func demoSession(t testing.TB) session.Session {
	t.Helper()
	data, err := os.ReadFile("../demo/javelin.json")
	if err != nil {
		t.Fatal(err)
	}
	s, err := session.Read(data)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// onAxis adds up what a light of a finished scene puts on a surface at its aim.
func onAxis(l *scene.Light) unit.LuxSecond {
	p := scene.To32(l.Aim)
	toLight := l.Axis().Scale(-1)
	const n = 64
	sum := 0.0
	for i := range n {
		for j := range n {
			dir, _, radiance, density := l.Toward(p, (float32(i)+0.5)/n, (float32(j)+0.5)/n)
			if density > 0 {
				sum += float64(radiance * max(0, dir.Dot(toLight)) / density)
			}
		}
	}
	return unit.LuxSecond(sum / (n * n))
}

// The picture's flash is the plan's: what the scene's light puts on the face,
// integrated over its front, is the level the plan states.
func TestLightsAreThePlans(t *testing.T) {
	const tolerance = 0.01 // stop; quadrature
	s := demoSession(t)
	for i := range s.Setups {
		one := s
		one.Setups = s.Setups[i : i+1]
		st := staged(t, one)
		for j := range st.scene.Lights {
			got := float64(st.settings.FlashStops(onAxis(&st.scene.Lights[j])))
			want := st.plan.Answer.Lights[j].Level
			if math.Abs(got-want) > tolerance {
				t.Errorf("%s %s: %.3f stops on the face, the plan says %.3f", st.su.ID, st.scene.Lights[j].Name, got, want)
			}
			d := st.scene.Lights[j].At.Sub(st.face.Centre)
			if run := math.Hypot(d.X, d.Y); math.Abs(run-st.plan.Answer.Lights[j].GroundM) > 0.01 {
				t.Errorf("%s %s: stands %.3f m off on the ground, the plan says %.2f", st.su.ID, st.scene.Lights[j].Name, run, st.plan.Answer.Lights[j].GroundM)
			}
			if d := st.scene.Lights[j].At.Sub(st.face.Centre).Norm(); math.Abs(d-st.plan.Answer.Lights[j].DistanceM) > 0.02 {
				t.Errorf("%s %s: stands %.2f m from the face, the plan says %.2f", st.su.ID, st.scene.Lights[j].Name, d, st.plan.Answer.Lights[j].DistanceM)
			}
		}
	}
}

// A matt disc gives H = I/(d² + r²) on its axis, a matt rectangle I/d² less what
// its form factor says ([Lambert], by package modifier); a point gives I/d².
func TestIntensityForAFront(t *testing.T) {
	const tolerance = 0.005
	for _, c := range []struct {
		light scene.Light
		class modifier.Class
	}{
		{scene.Light{Width: 0.9}, modifier.Class{Shape: modifier.Disc, Width: 0.9}},
		{scene.Light{Outline: scene.Rect, Width: 0.6, Height: 0.9}, modifier.Class{Shape: modifier.Rectangle, Width: 0.6, Height: 0.9}},
		{scene.Light{Width: 0.01}, modifier.Class{}},
	} {
		for _, d := range []float64{0.6, 1, 3} {
			l := c.light
			l.At, l.Beam = geom.Vec{Y: d}, 1
			got := float64(intensityFor(l, 100))
			want := 100 * d * d / c.class.NearField(unit.Length(d))
			if math.Abs(got/want-1) > tolerance {
				t.Errorf("%v at %.1f m: %.1f cd·s, want %.1f", c.class.Shape, d, got, want)
			}
		}
	}
}

// Line of sight: an object of height H at distance D behind crosses the
// subject's plane at h + (H−h)·d/D; 1.5 + 0.9·4/16 = 1.725 for the van. The
// picture agrees: both fall on the same height of the frame.
func TestWhereTheVanCrosses(t *testing.T) {
	s := carPark(t)
	st, x := staged(t, s), numbers(t, s)
	if len(x.Solids) != 1 || math.Abs(x.Solids[0].CrossesM-1.725) > 0.011 { // answers are in whole centimetres
		t.Fatalf("the van crosses at %+v, want 1.725 m", x.Solids)
	}
	van := st.solids[0].At.Add(geom.Up.Scale(2.4))
	back, _ := st.scene.Camera.Project(van)
	front, _ := st.scene.Camera.Project(geom.Vec{Z: 1.725})
	if math.Abs(back.Y-front.Y) > 1e-3 {
		t.Errorf("top of the van at %.4f of the frame, the crossing at %.4f", back.Y, front.Y)
	}
	if x.Behind[1].Name != "van" {
		t.Errorf("behind the shoulders: %q, want the van", x.Behind[1].Name)
	}
}

// Whoever follows the advice has the thing out of the picture, and left is left.
func TestAdviceHides(t *testing.T) {
	s := carPark(t)
	s.Place.Solids[0].WidthM, s.Place.Solids[0].DistanceM = new(2.0), new(25.0)
	s.Place.Solids[0].BearingDeg = new(152.0)
	x := numbers(t, s)
	if len(x.Hide) != 1 || x.Solids[0].Shows < 0.2 {
		t.Fatalf("the van should show: %+v %+v", x.Solids, x.Hide)
	}
	h := x.Hide[0]
	if h.LeftD == nil && h.RightD == nil {
		t.Fatalf("no way round within %d°: %+v", widestWalk, h)
	}
	shows := func(c session.CameraPosition) float64 {
		moved := s
		moved.Setups = append([]session.Setup(nil), s.Setups...)
		moved.Setups[0].Camera = c
		for _, v := range numbers(t, moved).Solids {
			if v.Name == "van" {
				return v.Shows
			}
		}
		return 0
	}
	const left = 0.12 // of its points: the new frame is aimed anew
	here := s.Setups[0].Camera
	old := geom.Direction(unit.Angle(here.BearingDeg+180)*unit.Degree, 0)
	right := geom.Direction(unit.Angle(here.BearingDeg+90)*unit.Degree, 0)
	for _, c := range []struct {
		way  string
		by   *float64
		sign float64
	}{{"left", h.LeftD, 1}, {"right", h.RightD, -1}} {
		if c.by == nil {
			continue
		}
		moved := here
		moved.BearingDeg += c.sign * *c.by
		if got := shows(moved); got > left {
			t.Errorf("%.0f° to the %s the van still shows %.2f", *c.by, c.way, got)
		}
		step := geom.Direction(unit.Angle(moved.BearingDeg+180)*unit.Degree, 0).Sub(old)
		if step.Dot(right)*c.sign > 0 {
			t.Errorf("walking %s goes to the other side", c.way)
		}
	}
	for _, z := range []*float64{h.LowerM, h.RaiseM} {
		if z == nil {
			continue
		}
		moved := here
		moved.HeightM = *z
		if got := shows(moved); got > left {
			t.Errorf("from %.2f m the van still shows %.2f", *z, got)
		}
	}
}

// The shade of a long wall reaches the eyes when tan h = (H − z) cos(A − A₀)/D,
// with H − z of wall above the eyes and D to the wall.
func TestShadeComes(t *testing.T) {
	s := carPark(t)
	s.Place.Solids = []session.Solid{{Kind: "wall", BearingDeg: new(260.0), DistanceM: new(6.1), WidthM: new(400.0), DepthM: new(0.2), HeightM: new(5.0), TurnDeg: new(260.0)}}
	x := numbers(t, s)
	if x.Shade.Now || x.Shade.ComesAt == nil || x.Shade.By != "wall" {
		t.Fatalf("the wall's shade should come: %+v", x.Shade)
	}
	p, _ := newPlanner(s)
	z := staged(t, s).face.Centre
	law := func(at time.Time) float64 {
		pos, err := sun.At(at, p.observer())
		if err != nil {
			t.Fatal(err)
		}
		away := 6.0 - z.Dot(geom.Direction(260*unit.Degree, 0)) // to its near face
		return pos.AltitudeApparent.Tan() - (5-z.Z)*(pos.Azimuth-260*unit.Degree).Cos()/away
	}
	// Lit at the step before, dark from the step that is named.
	if before, after := law(x.Shade.ComesAt.Add(-2*shadeStep)), law(x.Shade.ComesAt.Add(shadeStep)); before < 0 || after > 0 {
		t.Errorf("shade at %v: %.3f before, %.3f after", x.Shade.ComesAt, before, after)
	}
}

// The ground of the picture sends back what the daylight was computed with, so
// that picture and numbers cannot differ.
func TestGroundIsTheDaylights(t *testing.T) {
	s := carPark(t)
	s.Place.GroundReflectance = new(0.3)
	st := staged(t, s)
	if y := st.parts.Materials[st.parts.Ground.Material].Diffuse.Y(); math.Abs(float64(y)-0.3) > 1e-6 {
		t.Errorf("the ground reflects %.3f, want 0.3", y)
	}
}

// What a probe reads in all is the sum of what it reads of each source.
func TestProbesAddUp(t *testing.T) {
	const tolerance = 0.03 // stop; each is rounded to a hundredth
	for _, p := range append(numbers(t, carPark(t)).Probes, numbers(t, practice(t, corners...)).Probes...) {
		levels := []unit.Stops{unit.Stops(p.Sun), unit.Stops(p.Sky), unit.Stops(p.Lamps)}
		for _, l := range p.Lights {
			levels = append(levels, unit.Stops(l))
		}
		if sum := float64(exposure.Sum(levels...)); math.Abs(sum-p.Total) > tolerance {
			t.Errorf("%s: %.2f in all, its sources make %.2f", p.Name, p.Total, sum)
		}
	}
}

// A cap shades the face of somebody who looks towards a high sun; a bare head
// has no brim to do it.
func TestBrimInTheScene(t *testing.T) {
	s := carPark(t)
	s.Start = "2027-01-16T15:00"
	s.Setups[0].Subject.FacesDeg = new(315.0)
	if x := numbers(t, s); x.Face.Brim != 0 || x.Face.Sun < 0.2 {
		t.Errorf("bareheaded: %+v", x.Face)
	}
	s.People[0].Wears = &session.Wears{Headgear: "cap"}
	if x := numbers(t, s); x.Face.Brim < 0.2 {
		t.Errorf("under a cap: %+v", x.Face)
	}
}

// Every field's ground answers quickly what its own plan answers slowly.
func TestLawnAgreesWithThePlan(t *testing.T) {
	st := staged(t, demoSession(t))
	if st.parts.Ground.MaterialAt == nil {
		t.Skip("the demo lies on no field")
	}
	p, _ := newPlanner(demoSession(t))
	f := p.s.Place.Field
	origin := geom.Vec{X: or(f.EastM, 0), Y: or(f.NorthM, 0)}
	slow, err := p.field("turf")
	if err != nil {
		t.Fatal(err)
	}
	lines := 0
	d := dice(7)
	for range 20_000 {
		away := 40 * d.next() * d.next()
		at := origin.Add(geom.Direction(unit.Angle(2*math.Pi*d.next()), 0).Scale(away))
		got := st.parts.Materials[st.parts.Ground.MaterialAt(at.X, at.Y)].Name
		want := slow.SurfaceAt(at)
		if got != want {
			t.Fatalf("at %.2f, %.2f: %s, the plan says %s", at.X, at.Y, got, want)
		}
		if got == "white paint" {
			lines++
		}
	}
	if lines == 0 {
		t.Error("no point fell on a line")
	}
}

// Sessions nobody should plan have an answer or a clear error.
func TestAwkwardScenes(t *testing.T) {
	ctx := context.Background()
	forty := carPark(t)
	forty.Setups[0].Lights = nil
	for i := range 40 {
		id := fmt.Sprintf("h%d", i)
		forty.Kit.Heads = append(forty.Kit.Heads, session.Head{ID: id, Class: "battery-400"})
		forty.Setups[0].Lights = append(forty.Setups[0].Lights, session.Light{Role: "edge", Head: id, AngleDeg: new(float64(9 * i)), HeightM: new(2.0)})
	}
	forty.Setups[0].Lights[0].Role = "key"
	crowded := carPark(t)
	crowded.Place.Solids = nil
	for i := range 2000 {
		crowded.Place.Solids = append(crowded.Place.Solids, session.Solid{Kind: []string{"tree", "pole", "vehicle", "wall"}[i%4], BearingDeg: new(float64(i % 360)), DistanceM: new(20 + float64(i)/10), WidthM: new(1.0)})
	}
	inside := carPark(t)
	inside.Setups[0].Lights[0] = session.Light{Role: "key", Head: "a", DistanceM: new(0.5), HeightM: new(1.25), AngleDeg: new(180.0)}
	under := carPark(t)
	under.Setups[0].Camera.HeightM = 0
	within := carPark(t)
	within.Place.Solids[0].DistanceM = new(0.0)
	child := carPark(t)
	child.People[0].Age, child.People[0].HeightM = new(0.5), new(0.6)
	night := carPark(t)
	night.Start = "2027-01-16T23:50"
	noPose := carPark(t)
	noPose.Setups[0].Subject.Pose = "moonwalk"
	noField := carPark(t)
	noField.Place.Field = &session.Field{Name: "curling"}
	for _, c := range []struct {
		name string
		s    session.Session
		want string // in the error; "" for an answer, "?" for either
	}{
		{"40 lights", forty, ""},
		{"2,000 solids", crowded, ""},
		{"a light in the body", inside, "?"},
		{"a camera in the grass", under, "under the ground"},
		{"a van on the mark", within, "?"},
		{"a baby", child, ""},
		{"night", night, "?"},
		{"a pose nobody knows", noPose, ""},
		{"a field nobody knows", noField, "curling"},
	} {
		_, err := Preview(ctx, PreviewRequest{Session: c.s, Width: 12, Height: 8, Noise: new(1.0)}, nil)
		var e *Error
		switch {
		case err != nil && !errors.As(err, &e):
			t.Errorf("%s: %v is no error for a person", c.name, err)
		case c.want == "" && err != nil:
			t.Errorf("%s: %v", c.name, err)
		case c.want != "" && c.want != "?" && (err == nil || !strings.Contains(err.Error(), c.want)):
			t.Errorf("%s: %v, want %q", c.name, err, c.want)
		}
	}
	for _, req := range []PreviewRequest{
		{Setup: "two"}, {Width: 100_000, Height: 100_000}, {Width: -1, Height: 5}, {Width: 0, Height: 5}, {Noise: new(0.0)}, {Noise: new(math.NaN())},
		{View: "sepia"}, {View: "light=0"}, {View: "light=2"}, {View: "light=fill"}, {Width: 16_000, Height: 2},
	} {
		req.Session = carPark(t)
		_, err := Preview(ctx, req, nil)
		var e *Error
		if !errors.As(err, &e) || e.Kind != WrongInput {
			t.Errorf("%+v: %v", req.View, err)
		}
	}
}

// A picture that is broken off is no picture.
func TestPreviewStops(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if a, err := Preview(ctx, PreviewRequest{Session: carPark(t)}, nil); !errors.Is(err, context.Canceled) || a.Image != nil {
		t.Errorf("got %v and a picture: %v", err, a.Image != nil)
	}
}

func BenchmarkStage(b *testing.B) {
	s := demoSession(b)
	p, err := newPlanner(s)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := p.stageOf(0, coarseCell); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkScene(b *testing.B) {
	s := demoSession(b)
	for b.Loop() {
		if _, err := Scene(context.Background(), SceneRequest{Session: s, Setup: "hero"}); err != nil {
			b.Fatal(err)
		}
	}
}
