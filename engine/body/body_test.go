package body_test

import (
	"bufio"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"hardnoon/engine/body"
	"hardnoon/engine/geom"
	"hardnoon/engine/unit"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s is %g, want %g ± %g", what, got, want, tol)
	}
}

func build(t *testing.T, f body.Figure) *body.Body {
	t.Helper()
	b, err := f.Build()
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// rows reads a table of numbers with words in its first column.
func rows(t *testing.T, name string) (out [][]string) {
	t.Helper()
	f, err := os.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	for s := bufio.NewScanner(f); s.Scan(); {
		if !strings.HasPrefix(s.Text(), "#") {
			out = append(out, strings.Split(s.Text(), ","))
		}
	}
	return out[1:]
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// CDC 2000 growth charts, stature for age, printed percentiles.
func TestStature(t *testing.T) {
	for _, r := range rows(t, "testdata/cdc_stature.csv") {
		sex := body.Male
		if r[0] == "female" {
			sex = body.Female
		}
		for i, p := range []float64{5, 50, 95} {
			got, err := body.Stature(sex, number(t, r[1])/12, p)
			if err != nil {
				t.Fatal(err)
			}
			near(t, r[0]+" "+r[1], got.Centimetres(), number(t, r[2+i]), 0.0051) // two printed decimals
		}
	}
	a, _ := body.Stature(body.Male, 20, 50)
	b, _ := body.Stature(body.Male, 60, 50)
	near(t, "grown", a.Metres(), b.Metres(), 0)
	for _, bad := range [][2]float64{{4, 50}, {10, 100}, {10, -1}, {math.NaN(), 50}, {10, math.NaN()}, {120, 50}} {
		if _, err := body.Stature(body.Male, bad[0], bad[1]); err == nil {
			t.Errorf("%v has a stature", bad)
		}
	}
}

// Drillis and Contini 1966 by way of Winter, fractions of stature: eye 0.936,
// chin 0.870, acromion 0.818, hip 0.530, knee 0.285. Heads are also those of
// ANSUR II 2012: eyes at 0.935 (men) and 0.933 (women) of stature.
func TestProportions(t *testing.T) {
	stand := body.Poses()[0]
	stand.Pelvis, stand.Chest, stand.Head = body.Turn{}, body.Turn{}, body.Turn{}
	for i := range stand.Legs {
		stand.Legs[i].Upper, stand.Legs[i].Lower = geom.Up.Neg(), geom.Up.Neg()
		stand.Legs[i].End = geom.North
		stand.Arms[i].Upper, stand.Arms[i].Lower, stand.Arms[i].End = geom.Up.Neg(), geom.Up.Neg(), geom.Up.Neg()
		stand.Arms[i].Hint, stand.Arms[i].Curl = geom.North, 0
	}
	for _, sex := range []body.Sex{body.Unsaid, body.Female, body.Male} {
		b := build(t, body.Figure{Sex: sex, Pose: stand, Hair: body.NoHair})
		const sole = 0.020 // shoes
		s := b.Stature().Metres()
		height := func(p geom.Vec) float64 { return (p.Z - sole) / s }
		near(t, "crown", height(b.Joint(body.Crown)), 1, 0.003)
		near(t, "eyes", height(b.Face().Centre), 0.936, 0.006)
		near(t, "chin", height(b.Joint(body.Chin)), 0.870, 0.003)
		near(t, "hip", height(b.Joint(body.RightHip)), 0.530, 0.003)
		near(t, "knee", height(b.Joint(body.LeftKnee)), 0.285, 0.003)
		near(t, "elbow", height(b.Joint(body.RightElbow)), 0.630, 0.015)
		near(t, "wrist", height(b.Joint(body.LeftWrist)), 0.485, 0.015)
		lo, hi := extent(b.Mesh())
		near(t, "lowest", lo.Z, 0, 0.004)
		near(t, "highest", (hi.Z-sole)/s, 1, 0.006)
		if sex == body.Male { // ANSUR II: bideltoid breadth of men 459 to 567 mm, head breadth 146 to 163 mm
			if w := hi.X - lo.X; w < 0.45 || w > 0.62 {
				t.Errorf("arms at the sides it is %.3f m wide", w)
			}
		}
	}
	// Six heads at six, seven at twelve: artists' canon, from memory.
	near(t, "heads at 6", 1/body.HeadFraction(6), 6, 1e-12)
	near(t, "heads at 12", 1/body.HeadFraction(12), 7, 1e-12)
	near(t, "head at 30", body.HeadFraction(30), 0.130, 0)
}

func extent(m geom.Mesh) (lo, hi geom.Vec) {
	lo, hi = m.Vertices[0], m.Vertices[0]
	for _, p := range m.Vertices {
		lo = geom.Vec{X: min(lo.X, p.X), Y: min(lo.Y, p.Y), Z: min(lo.Z, p.Z)}
		hi = geom.Vec{X: max(hi.X, p.X), Y: max(hi.Y, p.Y), Z: max(hi.Z, p.Z)}
	}
	return lo, hi
}

// coarse keeps tests of many meshes quick.
const coarse = 20 * unit.Millimetre

func TestFeetOnTheGround(t *testing.T) {
	for _, p := range body.Poses() {
		b := build(t, body.Figure{Pose: p, Cell: coarse})
		lo, _ := extent(b.Mesh())
		near(t, p.Name+": lowest point", lo.Z, p.Rise*b.Stature().Metres(), 0.012)
	}
}

// segmentDistance returns the least distance of two segments by looking at
// 40 × 40 pairs of points and closing in.
func segmentDistance(a, b body.Capsule) float64 {
	best, at, step := math.Inf(1), [2]float64{0.5, 0.5}, 0.5
	for range 8 {
		c := at
		for i := -6.0; i <= 6; i++ {
			for j := -6.0; j <= 6; j++ {
				u, v := min(1, max(0, c[0]+i*step/6)), min(1, max(0, c[1]+j*step/6))
				if d := a.A.Lerp(a.B, u).Sub(b.A.Lerp(b.B, v)).Norm(); d < best {
					best, at = d, [2]float64{u, v}
				}
			}
		}
		step /= 3
	}
	return best
}

// joined reports whether two capsules meet at a joint and so overlap by right.
func joined(a, b string) bool {
	for _, chain := range []string{
		"head neck", "neck upper chest", "upper chest chest", "chest waist", "waist hips", "upper chest waist", "chest hips", "head upper chest", "neck chest",
		"right upper arm upper chest", "left upper arm upper chest", "right upper arm chest", "left upper arm chest", "right upper arm neck", "left upper arm neck",
		"right upper arm right forearm", "left upper arm left forearm", "right forearm right hand", "left forearm left hand",
		"right thigh hips", "left thigh hips", "right thigh left thigh", "right thigh waist", "left thigh waist",
		"right thigh right shin", "left thigh left shin", "right shin right foot", "left shin left foot",
	} {
		if chain == a+" "+b || chain == b+" "+a {
			return true
		}
	}
	return false
}

// overlap returns by how much parts of a figure run into each other.
func overlap(b *body.Body) (worst float64, where string) {
	cs := b.Capsules()
	for i, x := range cs {
		for _, y := range cs[:i] {
			if joined(x.Name, y.Name) {
				continue
			}
			if d := x.Radius.Metres() + y.Radius.Metres() - segmentDistance(x, y); d > worst {
				worst, where = d, x.Name+" and "+y.Name
			}
		}
	}
	return worst, where
}

func TestNoPoseRunsIntoItself(t *testing.T) {
	for _, p := range body.Poses() {
		for _, f := range []body.Figure{{Pose: p}, {Pose: p, Sex: body.Male}, {Pose: p, Sex: body.Female, Age: 7}} {
			if d, where := overlap(build(t, f)); d > 0.01 {
				t.Errorf("%s, age %g: %s overlap by %.1f mm", p.Name, f.Age, where, d*1000)
			}
		}
	}
}

func TestMovementsArePaths(t *testing.T) {
	for _, m := range body.Movements {
		var last *body.Body
		for i := 0; i <= 40; i++ {
			p, err := m.PoseAt(float64(i) / 40)
			if err != nil {
				t.Fatal(err)
			}
			b := build(t, body.Figure{Pose: p})
			if d, where := overlap(b); d > 0.03 { // on the way a little more may be asked of it
				t.Errorf("%s at %d/40: %s overlap by %.0f mm", m.Name, i, where, d*1000)
			}
			if last != nil {
				for j := body.Hips; j <= body.LeftAnkle; j++ {
					if d := b.Joint(j).Sub(last.Joint(j)).Norm(); d > 0.16 {
						t.Errorf("%s at %d/40: joint %d jumps by %.2f m", m.Name, i, j, d)
					}
				}
			}
			last = b
		}
		if _, err := m.PoseAt(1.1); err == nil {
			t.Errorf("%s goes on after its end", m.Name)
		}
	}
}

func TestBetweenEnds(t *testing.T) {
	a, _ := body.PoseNamed("draw-back")
	c, _ := body.PoseNamed("release")
	for _, share := range []float64{0, 1} {
		p, err := body.Between(a, c, share)
		if err != nil {
			t.Fatal(err)
		}
		want := build(t, body.Figure{Pose: a})
		if share == 1 {
			want = build(t, body.Figure{Pose: c})
		}
		got := build(t, body.Figure{Pose: p})
		for j := body.Hips; j <= body.LeftAnkle; j++ {
			near(t, "joint", got.Joint(j).Sub(want.Joint(j)).Norm(), 0, 1e-9)
		}
	}
	if _, err := body.Between(a, c, math.NaN()); err == nil {
		t.Error("a share that is no number was taken")
	}
}

func TestEveryLimbKeepsItsLength(t *testing.T) {
	ref := build(t, body.Figure{})
	length := func(b *body.Body, i, j body.Joint) float64 { return b.Joint(i).Sub(b.Joint(j)).Norm() }
	for _, p := range body.Poses() {
		b := build(t, body.Figure{Pose: p})
		for _, l := range [][2]body.Joint{{body.RightShoulder, body.RightElbow}, {body.RightElbow, body.RightWrist},
			{body.LeftHip, body.LeftKnee}, {body.LeftKnee, body.LeftAnkle}, {body.RightHip, body.LeftHip}} {
			near(t, p.Name, length(b, l[0], l[1]), length(ref, l[0], l[1]), 1e-9)
		}
	}
}

// The other hand is the mirror image, vertex by vertex.
func TestHandednessMirrors(t *testing.T) {
	p, _ := body.PoseNamed("draw-back")
	right := build(t, body.Figure{Pose: p, Cell: coarse, Headgear: body.Cap})
	left := build(t, body.Figure{Pose: p, Cell: coarse, Headgear: body.Cap, LeftHanded: true})
	a, b := right.Mesh(), left.Mesh()
	if len(a.Vertices) != len(b.Vertices) {
		t.Fatalf("%d and %d vertices", len(a.Vertices), len(b.Vertices))
	}
	flip := func(v geom.Vec) geom.Vec { return geom.Vec{X: -v.X, Y: v.Y, Z: v.Z} }
	for i := range a.Vertices {
		if d := flip(a.Vertices[i]).Sub(b.Vertices[i]).Norm(); d > 1e-12 {
			t.Fatalf("vertex %d is off by %g m", i, d)
		}
	}
	near(t, "right wrist of the one, left of the other", flip(right.Joint(body.RightWrist)).Sub(left.Joint(body.LeftWrist)).Norm(), 0, 1e-12)
	near(t, "right eye", flip(right.Face().Eyes[0]).Sub(left.Face().Eyes[1]).Norm(), 0, 1e-12)
	// And by the pose itself.
	m := build(t, body.Figure{Pose: p.Mirrored()})
	near(t, "mirrored pose", flip(right.Joint(body.RightWrist)).Sub(m.Joint(body.LeftWrist)).Norm(), 0, 1e-12)
}

func TestPlaced(t *testing.T) {
	at := geom.Vec{X: 3, Y: -2, Z: 0.5}
	a, b := build(t, body.Figure{}), build(t, body.Figure{At: at, Facing: 90 * unit.Degree})
	gaze := b.Face().Gaze
	near(t, "gaze", gaze.Azimuth().Signed().Degrees(), 86, 1) // "stand" turns the head 4° to its left
	for j := body.Hips; j <= body.LeftAnkle; j++ {
		p := a.Joint(j)
		near(t, "joint", b.Joint(j).Sub(at.Add(geom.Vec{X: p.Y, Y: -p.X, Z: p.Z})).Norm(), 0, 1e-12)
	}
}

// Every mesh closes: each edge is walked once in either direction.
func TestMeshCloses(t *testing.T) {
	for _, f := range []body.Figure{{}, {Headgear: body.Helmet, Long: true}, {Headgear: body.Visor, Hair: body.Tail, Bare: true, Sex: body.Female}} {
		b := build(t, f)
		m := b.Mesh()
		edges := map[[2]int32]int{}
		for _, tr := range m.Triangles {
			for i := range 3 {
				edges[[2]int32{tr[i], tr[(i+1)%3]}]++
			}
		}
		open := 0
		for e, n := range edges {
			if edges[[2]int32{e[1], e[0]}] != n {
				open++
			}
		}
		if open > 0 {
			t.Errorf("%d of %d edges stand open", open, len(edges))
		}
		wrong, far := 0, 0.0
		for _, tr := range m.Triangles {
			a, c, d := m.Vertices[tr[0]], m.Vertices[tr[1]], m.Vertices[tr[2]]
			face := c.Sub(a).Cross(d.Sub(a))
			if face.Dot(m.Normals[tr[0]].Add(m.Normals[tr[1]]).Add(m.Normals[tr[2]])) < 0 {
				wrong++
			}
		}
		for i := 0; i < len(m.Vertices); i += 97 {
			far = max(far, b.Distance(m.Vertices[i]).Metres())
		}
		if share := float64(wrong) / float64(len(m.Triangles)); share > 0.006 { // at lids and lips, thinner than a cell
			t.Errorf("%.2f %% of the triangles face against their normals", share*100)
		}
		if far > 0.0015 {
			t.Errorf("a vertex stands %.2f mm off the surface", far*1000)
		}
	}
}

// Shadow of a brim on an upright face, L tan h: rows of 6.5, 7.0 and 7.5 cm
// brims, worked out apart from this project; common practice for the lengths.
func TestBrimShadow(t *testing.T) {
	for _, r := range rows(t, "testdata/brim_shadow.csv") {
		brim := unit.Length(number(t, r[0])) * unit.Centimetre
		got, err := body.BrimShadow(brim, unit.Angle(number(t, r[1]))*unit.Degree, 0)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "brim shadow", got.Centimetres(), number(t, r[2]), 0.0051)
	}
	got, _ := body.BrimShadow(7*unit.Centimetre, 40*unit.Degree, 90*unit.Degree)
	near(t, "sun from the side", got.Metres(), 0, 0)
	if _, err := body.BrimShadow(7*unit.Centimetre, 90*unit.Degree, 0); err == nil {
		t.Error("a sun overhead has an answer")
	}
}

// The brim that is drawn shades what the formula says: on an upright plane
// 38 mm before its root, in front of the nose, the shadow of its edge lies
// (70 − 38) tan h lower.
func TestDrawnBrim(t *testing.T) {
	f := body.Figure{Headgear: body.Cap}
	f.Pose, _ = body.PoseNamed("stand")
	f.Pose.Head = body.Turn{}
	b := build(t, f)
	face := b.Face()
	mm := face.Eyes[0].Sub(face.Eyes[1]).Norm() / 64 // of the drawn head; pupils 64 mm apart
	const root = 46 - 17                             // of its underside, mm over the eyes
	// The plane of the brim's root lies 8.7 mm before the eyes.
	plane := face.Centre.Add(face.Gaze.Scale(8.7*mm + 0.038))
	for _, alt := range []unit.Angle{20 * unit.Degree, 40 * unit.Degree, 55 * unit.Degree} {
		sun := geom.Direction(face.Gaze.Azimuth(), alt)
		shadow := root*mm - 0.032*alt.Tan()
		lit := func(below float64) bool {
			p := plane.Add(face.Up.Scale(shadow - below))
			for s := 0.0; s < 0.2; s += 0.0005 {
				if b.Distance(p.Add(sun.Scale(s))) < 0 {
					return false
				}
			}
			return true
		}
		if lit(-0.002) || !lit(0.002) {
			t.Errorf("sun at %.0f°: the edge of the shadow is more than 2 mm off", alt.Degrees())
		}
	}
}

func TestFaceLight(t *testing.T) {
	f := body.Figure{Headgear: body.Cap, Brim: 70 * unit.Millimetre}
	f.Pose, _ = body.PoseNamed("ready")
	f.Pose.Head = body.Turn{}
	capped := build(t, f)
	f.Headgear = body.Bareheaded
	bare := build(t, f)
	light := func(b *body.Body, az, alt float64) body.FaceLight {
		l, err := b.FaceLight(geom.Direction(unit.Angle(az)*unit.Degree, unit.Angle(alt)*unit.Degree))
		if err != nil {
			t.Fatal(err)
		}
		near(t, "sum of shares", l.Sun+l.Brim+l.Self+l.Away, 1, 1e-9)
		return l
	}
	front := light(capped, 0, 40)
	// 5.9 cm below the brim lies the tip of the nose: the eyes are dark.
	if front.Eyes != [2]body.Shade{body.InBrim, body.InBrim} || front.Brim < 0.25 || front.Brim > 0.65 {
		t.Errorf("cap, sun in front at 40°: %+v", front)
	}
	if l := light(bare, 0, 40); l.Brim != 0 || l.Sun < 0.6 {
		t.Errorf("no cap, sun in front at 40°: %+v", l)
	}
	if l := light(bare, 0, 10); l.Eyes != [2]body.Shade{} || l.Cheeks != [2]body.Shade{} {
		t.Errorf("no cap, sun in front at 10°: %+v", l)
	}
	if l := light(bare, 180, 30); l.Sun > 0.1 {
		t.Errorf("sun behind: %+v", l)
	}
	near(t, "gaze to sun", front.Gaze.Degrees(), 40, 1e-6)
	// The brim's share grows with the sun's height, and falls as it goes round.
	last := 0.0
	for _, alt := range []float64{5, 20, 35, 50, 65} {
		l := light(capped, 0, alt)
		if l.Brim < last {
			t.Errorf("at %g° the brim shades %.2f, less than lower", alt, l.Brim)
		}
		last = l.Brim
	}
	// From the side only forehead and temple next to the sun are in it, and none
	// of the far cheek.
	if l := light(capped, 90, 40); l.Brim > 0.2 || l.Away < 0.35 || l.Cheeks != [2]body.Shade{body.Sunlit, body.Turned} {
		t.Errorf("cap, sun from the side at 40°: %+v", l)
	}
	// Head turned with the body: the same light.
	f.Headgear, f.Facing = body.Cap, 130*unit.Degree
	turned := light(build(t, f), 130, 40)
	near(t, "turned", turned.Brim, front.Brim, 1e-6)
	if _, err := capped.FaceLight(geom.Vec{}); err == nil {
		t.Error("a sun without direction was taken")
	}
}

// L* to Y against rows worked out apart from this project, three decimals.
func TestReflectance(t *testing.T) {
	for l, y := range map[float64]float64{30: .062, 35: .085, 40: .113, 45: .145, 50: .184, 55: .229, 60: .281, 65: .341, 70: .408} {
		near(t, "Y", body.Lab{L: l}.Reflectance(), y, 0.0006)
	}
	b := build(t, body.Figure{})
	for _, s := range b.Surfaces() {
		y := 0.2126*s.Colour[0] + 0.7152*s.Colour[1] + 0.0722*s.Colour[2]
		near(t, s.Part.String(), y, s.Reflectance, 0.02*s.Reflectance)
		if s.Reflectance <= 0 || s.Reflectance+s.Coat > 1 {
			t.Errorf("%s: %+v", s.Part, s)
		}
	}
	// White of D65 is neutral: sRGB, IEC 61966-2-1.
	for _, c := range (body.Lab{L: 100}).Linear() {
		near(t, "white", c, 1, 0.001)
	}
}

func TestBadFigures(t *testing.T) {
	nan := math.NaN()
	for _, f := range []body.Figure{
		{Age: 3}, {Age: nan}, {Stature: 9}, {Stature: -1}, {Percentile: 200}, {Brim: 5 * unit.Metre}, {Cell: unit.Length(nan)},
		{Facing: unit.Angle(nan)}, {At: geom.Vec{X: nan}}, {Sex: 7}, {Headgear: -1}, {Hair: 9}, {Look: body.Look{Skin: body.Lab{L: 300}}},
		{Pose: body.Pose{Legs: [2]body.Limb{{Upper: geom.Up}}}},
	} {
		if _, err := f.Build(); err == nil {
			t.Errorf("%+v was built", f)
		}
	}
	if _, ok := body.PoseNamed("flying"); ok {
		t.Error("a pose nobody drew")
	}
	if n := len(body.Poses()); n < 14 {
		t.Errorf("%d poses", n)
	}
}

func BenchmarkMesh(b *testing.B) {
	for _, c := range []struct {
		name string
		cell unit.Length
	}{{"fine", 0}, {"coarse", coarse}} {
		b.Run(c.name, func(b *testing.B) {
			n := 0
			for b.Loop() {
				m, err := body.Figure{Headgear: body.Cap, Cell: c.cell}.Mesh()
				if err != nil {
					b.Fatal(err)
				}
				n = len(m.Triangles)
			}
			b.ReportMetric(float64(n), "triangles")
		})
	}
}

func BenchmarkFaceLight(b *testing.B) {
	f, err := body.Figure{Headgear: body.Cap}.Build()
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := f.FaceLight(geom.Direction(30*unit.Degree, 40*unit.Degree)); err != nil {
			b.Fatal(err)
		}
	}
}

// What lies below the fine part is coarser and yet the same body; what lies
// above stays as it was.
func TestFinePart(t *testing.T) {
	f := body.Figure{Cell: 12 * unit.Millimetre}
	all := build(t, f)
	f.Fine = 0.5 * unit.Metre
	part := build(t, f)
	a, b := all.Mesh(), part.Mesh()
	if len(b.Triangles) > len(a.Triangles)*9/10 {
		t.Errorf("%d triangles of %d", len(b.Triangles), len(a.Triangles))
	}
	low := all.Joint(body.Crown).Z - f.Fine.Metres()
	above := map[geom.Vec]bool{}
	for _, v := range a.Vertices {
		above[v] = true
	}
	worst := unit.Length(0)
	for _, v := range b.Vertices {
		if v.Z >= low && !above[v] {
			t.Fatalf("%v moved", v)
		}
		worst = max(worst, all.Distance(v)) // inside, solids overlap
	}
	t.Logf("%d triangles of %d, at most %.1f mm outside", len(b.Triangles), len(a.Triangles), worst.Millimetres())
	if worst > 12*unit.Millimetre { // at the hems, which a mesh rounds by less than half a cell
		t.Errorf("a vertex lies %.1f mm outside", worst.Millimetres())
	}
}
