package api_test

import (
	"encoding/json"
	"errors"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"hardnoon/api"
	"hardnoon/session"
)

func demo(t testing.TB) session.Session {
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

func planOf(t testing.TB, s session.Session) api.PlanAnswer {
	t.Helper()
	a, err := api.Plan(s)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// The sun is not assumed in the south: at noon near Valparaíso it stands in the
// north, at the same latitude north in the south.
func TestNoonOnBothHemispheres(t *testing.T) {
	s := demo(t)
	s.Setups = s.Setups[:1]
	s.Setups[0].Camera.BearingDeg = 0
	s.Start, s.Setups[0].At = "2027-01-16T13:56", ""
	south := planOf(t, s).Setups[0]
	if math.Abs(south.Sun.FromCameraDeg) > 20 {
		t.Errorf("looking north at noon in Chile, the sun is %v° off the axis", south.Sun.FromCameraDeg)
	}
	s.Place.LatDeg, s.Place.Zone, s.Place.LonDeg = 33.05, "America/Phoenix", -112
	s.Start = "2027-07-16T12:35"
	north := planOf(t, s).Setups[0]
	if math.Abs(north.Sun.FromCameraDeg) < 160 {
		t.Errorf("looking north at noon in Arizona, the sun is %v° off the axis", north.Sun.FromCameraDeg)
	}
	if north.Daylight.FaceEV >= north.Daylight.BackgroundEV+1 {
		t.Errorf("the face meters %v against a background of %v", north.Daylight.FaceEV, north.Daylight.BackgroundEV)
	}
	// With the sun behind the camera the face gets more light than with it ahead.
	if south.Daylight.FaceEV >= north.Daylight.FaceEV {
		t.Errorf("backlit face EV %v, front-lit face EV %v", south.Daylight.FaceEV, north.Daylight.FaceEV)
	}
}

// Common practice, no source: a bright midday through thin cloud meters EV 14.9.
func TestThinCloudMidday(t *testing.T) {
	a := planOf(t, demo(t))
	if ev := a.Setups[0].Daylight.BackgroundEV; math.Abs(ev-14.9) > 0.7 {
		t.Errorf("the demo's background meters EV %.2f, want 14.9 ±0.7", ev)
	}
}

// A kit that was measured is believed, and it is said.
func TestCalibrationIsUsed(t *testing.T) {
	s := demo(t)
	before := planOf(t, s).Setups[1]
	s.Kit.Calibration = &session.Calibration{
		Heads: []session.HeadCalibration{{Head: "a", PowerSlope: 1, HSSEntryStops: 0.8, HSSEntryErrorStops: 0.1, HSSEntryMeasured: true, EfficacyStops: -1, EfficacyErrorStops: 0.1}},
		Pairs: []session.PairCalibration{{Head: "a", Modifier: "dish", GuideNumberM: 40, ErrorStops: 0.1}},
	}
	after := planOf(t, s).Setups[1]
	if !strings.Contains(strings.Join(after.Assumptions, "\n"), "light of a with dish from readings") {
		t.Errorf("assumptions: %q", after.Assumptions)
	}
	if after.Answer.Lights[0].Margin >= before.Answer.Lights[0].Margin && after.Answer.Lights[0].DistanceM >= before.Answer.Lights[0].DistanceM {
		t.Error("a head a stop weaker changed nothing")
	}
}

// Contradictory wishes get a no with the least change that makes it a yes.
func TestImpossibleBackground(t *testing.T) {
	s := demo(t)
	s.Setups = s.Setups[1:2]
	s.Kit.NDStops = nil
	wide := 1.4
	s.Kit.Lenses[1].FMin = 1.4
	s.Setups[0].Look.FNumber, s.Setups[0].Look.FNumberMin, s.Setups[0].Look.FNumberMax = nil, &wide, &wide
	s.Setups[0].Look.UnderStops = 6
	a := planOf(t, s).Setups[0]
	if a.Reaches || a.Answer != nil || a.Margin == nil || *a.Margin > -5 || len(a.WaysOut) == 0 {
		t.Fatalf("six under at f/1.4 without a filter: %+v", a)
	}
	for _, w := range a.WaysOut {
		if w.Gain < -*a.Margin-0.01 {
			t.Errorf("%q gains %v of the %v that are missing", w.Change, w.Gain, -*a.Margin)
		}
	}
}

// Plan and lens take the same pixels where nobody said how many there are.
func TestPixelsOfPlanAndLensAgree(t *testing.T) {
	s := demo(t)
	s.Setups = s.Setups[2:3]
	s.Kit.Camera.Megapixels = nil
	a := planOf(t, s)
	x, su := a.Setups[0], s.Setups[0]
	l, err := api.Lens(api.LensRequest{FocalMM: &su.FocalMM, FNumber: "5.6", DistanceM: &su.Camera.DistanceM, Sensor: s.Kit.Camera.Sensor,
		SpeedMPS: su.Look.SpeedMPS, Shutter: x.Answer.Shutter})
	if err != nil {
		t.Fatal(err)
	}
	// The longest time of the plan smears as many pixels as the look allows, by
	// the lens's own count.
	if px := *l.BlurPx * x.SlowestS / x.Answer.ShutterS; math.Abs(px-*su.Look.BlurPx) > 0.02**su.Look.BlurPx {
		t.Errorf("the plan's longest time smears %.3f px by the lens, allowed are %v", px, *su.Look.BlurPx)
	}
	if !strings.Contains(strings.Join(a.Assumptions, "\n"), "45.7 megapixels") {
		t.Errorf("assumptions %q", a.Assumptions)
	}
	for _, sensor := range []string{"aps-c", "four-thirds", "medium-44x33", "medium-54x40"} { // all a session file may name
		s.Kit.Camera.Sensor = sensor
		if b := planOf(t, s).Setups[0]; *b.Lens.BlurPx <= 0 {
			t.Errorf("%s: %+v", sensor, b.Lens)
		}
	}
}

func TestAdjustReadsItsOwnPlan(t *testing.T) {
	data, err := json.Marshal(planOf(t, demo(t)))
	if err != nil {
		t.Fatal(err)
	}
	change := -2.0
	p, err := api.Decode[api.PlanAnswer](data)
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range p.Setups {
		a, err := api.Adjust(api.AdjustRequest{Plan: p, Setup: s.ID, ChangeStops: &change})
		if err != nil {
			t.Fatal(err)
		}
		if a.Now == "" || len(a.Steps) == 0 {
			t.Errorf("%s: %+v", s.ID, a)
		}
		if d := a.CloudState.Background - a.SunState.Background; math.Abs(d) > 0.2 && len(a.Notes) == 0 {
			t.Errorf("%s: the background moved by %v and nobody says so", s.ID, d)
		}
	}
}

// What a test frame shows turns one knob of one light, up when it was too dark;
// a frame that daylight alone explains asks whether the light fired.
func TestAdjustReadsTestFrames(t *testing.T) {
	p := planOf(t, demo(t))
	s := p.Setups[0]
	key := s.Answer.Lights[0]
	a, err := api.Adjust(api.AdjustRequest{Plan: p, Seen: []api.SeenJSON{{"key", -1.0 / 3}}})
	if err != nil || len(a.Steps) != 1 || a.Steps[0].Knob != "key power" || a.Steps[0].Stops < 1.0/3-0.1 || a.CloudState.Shutter != s.Answer.Shutter {
		t.Errorf("a third too dark: %+v, %v", a, err)
	}
	a, err = api.Adjust(api.AdjustRequest{Plan: p, Seen: []api.SeenJSON{{"key", -1}, {"key", -1}}})
	if err != nil || len(a.Steps) != 1 || a.Steps[0].Knob != "key" || !(a.CloudState.Distances[0] < key.DistanceM) {
		t.Errorf("two stops too dark: %+v, %v", a, err)
	}
	alone := math.Log2(math.Exp2(key.Total)-math.Exp2(key.Level)) - key.Total // as dark as daylight leaves it
	for field, seen := range map[string]api.SeenJSON{"seen[0].role": {"sun", 1}, "seen[0].stops": {"key", 9}, "seen[0]": {"key", alone}} {
		var e *api.Error
		if _, err := api.Adjust(api.AdjustRequest{Plan: p, Seen: []api.SeenJSON{seen}}); !errors.As(err, &e) || e.Field != field {
			t.Errorf("%+v: %v", seen, err)
		}
	}
}

// A wished route is taken where it exists, and its cost or its absence is said.
func TestWishedRoute(t *testing.T) {
	for _, c := range []struct {
		route, is, note string
		nd              []float64
	}{
		{"", "ND at sync", "", []float64{3}},
		{"high-speed", "high-speed sync", "route_costs", []float64{3}},
		{"nd", "ND at sync", "", []float64{3}},
		{"nd", "", "route_not_there", nil},
		{"leaf", "", "route_not_there", []float64{3}},
	} {
		s := demo(t)
		s.Kit.NDStops = c.nd
		s.Setups = s.Setups[:1]
		s.Setups[0].Look.Route = c.route
		x := planOf(t, s).Setups[0]
		if c.is != "" && x.Answer.Route != c.is {
			t.Errorf("%q with %v: %s", c.route, c.nd, x.Answer.Route)
		}
		if c.is != "" && x.RunnerUp != nil && x.RunnerUp.Route == x.Answer.Route {
			t.Errorf("%q hides the other route", c.route)
		}
		if has := slices.ContainsFunc(x.Notes, func(n api.Note) bool { return n.Code == c.note }); c.note != "" && !has {
			t.Errorf("%q with %v says %+v", c.route, c.nd, x.Notes)
		}
	}
}

// Whatever bytes come, Call answers or says what is wrong; it never panics.
func FuzzCall(f *testing.F) {
	data, _ := os.ReadFile("../demo/javelin.json")
	f.Add("plan", data)
	f.Add("reach", []byte(`{"head":"battery-400","distance_m":2,"shutter":"1/250","f_number":"8"}`))
	f.Add("adjust", []byte(`{"plan":{"format":"hardnoon plan 1","setups":[{"id":"x","answer":{"shutter_s":1e-300,"f_number":1,"iso":1,"lights":[{"role":"key"}]}}]},"ambient_change_stops":1}`))
	f.Add("sun", []byte(`{"lat_deg":90,"lon_deg":0,"at":"2027-06-01T12:00:00Z"}`))
	f.Add("day", append(append([]byte(`{"every_s":3600,"session":`), data...), '}'))
	f.Add("light", []byte(`{"sun_altitude_deg":45,"sun_azimuth_deg":180,"dni_wm2":800,"dhi_wm2":100}`))
	f.Add("lens", []byte(`{"focal_mm":85,"f_number":"1.8","distance_m":2.5,"sensor":"full-frame"}`))
	f.Add("safety", append(append([]byte(`{"gust_mps":9,"thunder":["14:20"],"session":`), data...), '}'))
	f.Add("", []byte(`[`))
	f.Fuzz(func(t *testing.T, name string, body []byte) {
		a, err := api.Call(name, body)
		if err != nil {
			var e *api.Error
			if !errors.As(err, &e) {
				t.Fatalf("%T: %v", err, err)
			}
			return
		}
		if _, err := json.Marshal(a); err != nil {
			t.Fatalf("answer is no JSON: %v", err)
		}
	})
}

func BenchmarkPlanSession(b *testing.B) {
	s := demo(b)
	for b.Loop() {
		if _, err := api.Plan(s); err != nil {
			b.Fatal(err)
		}
	}
}

// Every answer that takes a session also takes one of daylight alone, and an
// answer is always JSON.
func TestDaylightAlone(t *testing.T) {
	s := demo(t)
	for i := range s.Setups {
		s.Setups[i].Lights = []session.Light{}
	}
	body, err := json.Marshal(map[string]any{"session": s})
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"plan", "day", "safety", "scene", "order", "pack", "again", "way", "drift"} {
		b := body
		if name == "plan" {
			b, _ = json.Marshal(s)
		}
		if name == "again" {
			b, _ = json.Marshal(map[string]any{"session": s, "at": "2027-03-01T12:00"})
		}
		a, err := api.Call(name, b)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if _, err := json.Marshal(a); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}
