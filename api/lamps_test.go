package api

import (
	"math"
	"testing"

	"hardnoon/engine/floodlight"
	"hardnoon/engine/geom"
	"hardnoon/engine/unit"
	"hardnoon/session"
)

// practice is a portrait on a dark evening under field lights that are on, so
// many metres east and north of the mark.
func practice(t testing.TB, poles ...[2]float64) session.Session {
	t.Helper()
	s := carPark(t)
	s.Start = "2027-06-16T21:20"
	s.Place.Solids = nil
	for _, p := range poles {
		s.Place.Solids = append(s.Place.Solids, session.Solid{Kind: "field light", Lit: true, EastM: new(p[0]), NorthM: new(p[1])})
	}
	s.Place.GroundReflectance = new(0.2)
	return s
}

var corners = [][2]float64{{-34, -30}, {-34, 40}, {30, -30}, {30, 40}}

func planned1(t testing.TB, s session.Session) SetupAnswer {
	t.Helper()
	a, err := Plan(s)
	if err != nil {
		t.Fatal(err)
	}
	return a.Setups[0]
}

// One pole of 18 m stands 30 m north and gives 100 lx on the mark; a subject
// faces it. By hand, in the upright plane of pole and mark: the front of the bank
// 17.1 m up and 29.28 m away, its axis to the mark, intensity by cos².
// Source: inverse square and cosine law.
func TestFieldLightByHand(t *testing.T) {
	s := practice(t, [2]float64{0, 30})
	s.Place.FieldLightLX = new(100.0)
	s.Setups[0].Camera.BearingDeg = 180
	a := planned1(t, s)
	up, away := 17.1, 30-(0.25+0.9*17.1/math.Hypot(17.1, 30)+0.02)
	d := math.Hypot(up, away)
	intensity := 100 * d * d * d / up
	at := func(x, z float64) (lying, upright float64) { // x towards the pole
		r := math.Hypot(up-z, away-x)
		c := ((away-x)*away + (up-z)*up) / (r * d)
		e := intensity * c * c / (r * r)
		return e * (up - z) / r, e * (away - x) / r
	}
	lying, upright := at(0, usualEyes.Metres())
	if want := float64(unit.EVFromLux(unit.Lux(upright + 0.2*lying/2))); math.Abs(a.Daylight.FaceEV-want) > 0.01 {
		t.Errorf("face EV %.2f, by hand %.3f", a.Daylight.FaceEV, want)
	}
	sum := 0.0
	for _, x := range []float64{5, 10, 20, 40} { // the camera looks away from the pole
		lying, upright := at(-x, 0)
		sum += (lying + upright + 0.2*lying/2) / 8
	}
	if want := float64(unit.EVFromLux(unit.Lux(sum))); math.Abs(a.Daylight.BackgroundEV-want) > 0.01 {
		t.Errorf("background EV %.2f, by hand %.3f", a.Daylight.BackgroundEV, want)
	}
	if a.Daylight.LampsLX != 100 || a.Daylight.Model != "field lights" || a.Daylight.CCTK != 5000 {
		t.Errorf("%+v", a.Daylight)
	}
	// What stands between takes it: the skin sees the ground alone.
	s.Place.Solids = append(s.Place.Solids, session.Solid{Kind: "wall", EastM: new(0.0), NorthM: new(4.0), WidthM: new(30.0), HeightM: new(6.0), TurnDeg: new(0.0)})
	if b := planned1(t, s); b.Daylight.FaceEV > a.Daylight.FaceEV-3 {
		t.Errorf("behind a wall the face has EV %.2f", b.Daylight.FaceEV)
	}
}

// A reading on the mark sets all banks, whatever class was said, and is what the
// meter would show there.
func TestReadingSetsTheLamps(t *testing.T) {
	s := practice(t, corners...)
	s.Sky = session.Sky{Kind: "meter", MeterEV100: new(5.5)}
	var seen [2]SetupAnswer
	for i, lx := range []float64{75, 500} {
		s.Place.FieldLightLX = new(lx)
		p, err := newPlanner(s)
		if err != nil {
			t.Fatal(err)
		}
		d, err := p.daylight(p.start)
		if err != nil {
			t.Fatal(err)
		}
		if got := d.now.IncidentEV(geom.Direction(330*unit.Degree, 0)); math.Abs(float64(got)-5.5) > 1e-9 {
			t.Errorf("the meter would show %v", got)
		}
		seen[i] = planned1(t, s)
	}
	if seen[0].Daylight != seen[1].Daylight {
		t.Errorf("the class still counts: %+v and %+v", seen[0].Daylight, seen[1].Daylight)
	}
	// The class says its level is uncertain by half a stop, the reading by less.
	s.Sky = session.Sky{Kind: "named", Name: "clear"}
	if a := planned1(t, s); a.Daylight.Uncertainty != 0.5 || seen[0].Daylight.Uncertainty > 0.5 {
		t.Errorf("± %.1f by class, ± %.1f by meter", a.Daylight.Uncertainty, seen[0].Daylight.Uncertainty)
	}
}

// Without a field the class is the level on the mark; with one it is the mean
// over the field, and twice the class is a stop more of everything.
func TestClassIsTheLevel(t *testing.T) {
	s := practice(t, corners...)
	a := planned1(t, s)
	if a.Daylight.LampsLX != 75 {
		t.Errorf("unsaid, the mark has %.1f lx", a.Daylight.LampsLX)
	}
	s.Place.FieldLightLX = new(150.0)
	b := planned1(t, s)
	if d := b.Daylight.BackgroundEV - a.Daylight.BackgroundEV; math.Abs(d-1) > 0.011 {
		t.Errorf("twice the class moves the background by %.2f stops", d)
	}
	s.Place.Field = &session.Field{Name: "soccer, adult", BearingDeg: 0, NorthM: new(5.0), EastM: new(-2.0)}
	p, err := newPlanner(s)
	if err != nil {
		t.Fatal(err)
	}
	l, err := p.switchedOn()
	if err != nil {
		t.Fatal(err)
	}
	var points []geom.Vec // 105 × 68 m about its middle, another grid
	for i := range 21 {
		for j := range 17 {
			points = append(points, geom.Vec{X: -2 + 4*(float64(j)-8), Y: 5 + 5*(float64(i)-10)})
		}
	}
	if got := float64(l.all.Level(points)); math.Abs(got/150-1) > 0.01 {
		t.Errorf("the field has %.1f lx on average", got)
	}
}

// A level without poles comes evenly from all around: π L lying, half of it and
// half of what the ground sends back upright, whichever way; Lambert's law. By day
// it is left out.
func TestLevelWithoutPoles(t *testing.T) {
	s := practice(t)
	s.Place.FieldLightLX = new(200.0)
	for _, b := range []float64{0, 130} {
		s.Setups[0].Camera.BearingDeg = b
		a := planned1(t, s)
		lying, upright := 200.0, 200*(1+0.2)/2
		for _, x := range []struct{ got, want float64 }{{a.Daylight.FaceEV, upright}, {a.Daylight.BackgroundEV, (lying + upright) / 2}} {
			if want := float64(unit.EVFromLux(unit.Lux(x.want))); math.Abs(x.got-want) > 0.05 { // the last degrees are blended with the ground
				t.Errorf("along %v°: EV %.2f, want %.2f", b, x.got, want)
			}
		}
		if a.Daylight.LampsLX != 200 || a.Answer == nil {
			t.Errorf("%+v", a.Daylight)
		}
	}
	s.Start = "2027-06-16T13:20"
	noon := planned1(t, s)
	s.Place.FieldLightLX = nil
	if x := planned1(t, s); x.Daylight != noon.Daylight {
		t.Errorf("by day the level counts: %+v, %+v", x.Daylight, noon.Daylight)
	}
}

// By day lamps add next to nothing and nothing is assumed about them.
func TestLampsByDay(t *testing.T) {
	s := practice(t, corners...)
	s.Start = "2027-06-16T13:20"
	lit := planned1(t, s)
	for i := range s.Place.Solids {
		s.Place.Solids[i].Lit = false
	}
	dark := planned1(t, s)
	if d := lit.Daylight.BackgroundEV - dark.Daylight.BackgroundEV; d < 0 || d > 0.011 {
		t.Errorf("by day lamps add %.3f stops", d)
	}
	if len(lit.Assumptions) != len(dark.Assumptions) || len(lit.Notes) != len(dark.Notes)+1 {
		t.Errorf("by day lamps are assumed to be %v; %v", lit.Assumptions, lit.Notes)
	}
}

// The plan and a way to look see the same light under lamps, whichever way.
func TestWaySeesTheLamps(t *testing.T) {
	s := practice(t, corners...)
	for _, b := range []float64{0, 45, 100, 250, 335} {
		s.Setups[0].Camera.BearingDeg = b
		plan := planned1(t, s).Daylight
		d, err := Drift(DriftRequest{Session: s, ForS: new(600.0)})
		if err != nil {
			t.Fatal(err)
		}
		if r := d.Rows[0]; math.Abs(r.BackgroundEV-plan.BackgroundEV) > 0.006 || math.Abs(r.FaceEV-plan.FaceEV) > 0.006 {
			t.Errorf("along %v°: background EV %v and %v, face EV %v and %v", b, r.BackgroundEV, plan.BackgroundEV, r.FaceEV, plan.FaceEV)
		}
	}
}

// The picture has the light of the numbers: the ground beside the subject under
// four poles, and the shade of a wall between. Flashes keep their names and
// numbers, and each is seen alone without the lamps.
func TestPictureHasTheLamps(t *testing.T) {
	const agree = 0.03 // stop
	s := practice(t, corners...)
	s.Place.Ground = "concrete" // it is not mottled
	st := staged(t, s)
	read, err := st.readings(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	found := false
	for i, p := range st.parts.Probes {
		if p.Name != "ground" {
			continue
		}
		found = true
		e := floodlight.On(st.day.now.Lamps().Beams(p.At), geom.Up)
		want := float64(st.settings.AmbientStops(unit.EVFromLux(e))) + math.Log2(0.2/0.18)
		if math.Abs(read[i].Lamps-want) > agree {
			t.Errorf("the ground lies at %.3f by the lamps, the numbers say %.3f", read[i].Lamps, want)
		} else {
			t.Logf("the ground: %+.3f stop", read[i].Lamps-want)
		}
		if len(read[i].Lights) != 1 || read[i].Sky > read[i].Lamps-8 {
			t.Errorf("%+v", read[i])
		}
	}
	if !found {
		t.Fatal("no probe on the ground")
	}
	if len(st.lightsSeen()) != 1 || len(st.glares()) != 5 {
		t.Errorf("flashes %v, glares %v", st.lightsSeen(), st.glares())
	}
	_, gains, err := viewOf("light=key", s.Setups[0].Lights)
	if err != nil || !math.IsInf(float64(gains.Lamps), -1) {
		t.Errorf("the key alone has lamps: %v, %v", gains, err)
	}
}

// Lamps that cannot give the level are left out and named, as is a mark below
// the pole; neither is an error.
func TestAwkwardLamps(t *testing.T) {
	if a := planned1(t, practice(t, [2]float64{2000, 0})); a.Answer != nil || a.Daylight.LampsLX != 0 {
		t.Errorf("a pole two kilometres away lights the mark: %+v", a.Daylight)
	}
	s := practice(t, [2]float64{20, 0})
	s.Place.Solids[0].TurnDeg = new(90.0) // it looks away
	if a := planned1(t, s); a.Daylight.LampsLX != 0 {
		t.Errorf("a bank that looks away gives %v lx", a.Daylight.LampsLX)
	}
	if a := planned1(t, practice(t, [2]float64{0, 0})); math.IsNaN(a.Daylight.FaceEV) {
		t.Error("NaN under the pole")
	}
}
