package api_test

import (
	"encoding/json"
	"math"
	"slices"
	"strings"
	"testing"

	"hardnoon/api"
	"hardnoon/engine/safety"
	"hardnoon/session"
)

func safetyOf(t testing.TB, req api.SafetyRequest) api.SafetyAnswer {
	t.Helper()
	a, err := api.Safety(req)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// What nobody measured is unknown, and never quiet.
func TestNoWeatherIsUnknown(t *testing.T) {
	s := demo(t)
	s.Weather, s.People = nil, nil
	for _, x := range safetyOf(t, api.SafetyRequest{Session: s}).Setups {
		for _, st := range x.Safety.Stands {
			if st.Level != "unknown" || st.GustMPS != nil || st.BallastMast != nil || st.KeepOutM == 0 || st.TipMPS == 0 {
				t.Errorf("%s: %+v", x.ID, st)
			}
		}
		if h := x.Safety.Heat; h.Level != "unknown" || h.WBGT != nil {
			t.Errorf("%s: heat %+v", x.ID, h)
		}
		if x.Safety.Lightning.Level != "unknown" || x.Safety.Ballast != nil || !x.Safety.Youth {
			t.Errorf("%s: %+v", x.ID, x.Safety)
		}
		for _, want := range []string{"wind", "air temperature", "humidity", "lightning watch"} {
			if !slices.Contains(x.Safety.Unknown, want) {
				t.Errorf("%s: unknown %q says nothing of %s", x.ID, x.Safety.Unknown, want)
			}
		}
		if x.Safety.Decides != safety.Deferral || len(x.Safety.Own) == 0 || len(x.Safety.Sources) == 0 {
			t.Errorf("%s: %+v", x.ID, x.Safety)
		}
	}
	if p := planOf(t, s); !strings.Contains(noteTexts(p.Setups[0].Notes), "unknown: wind, air temperature, humidity") {
		t.Errorf("the plan says %q", noteTexts(p.Setups[0].Notes))
	}
}

func noteTexts(notes []api.Note) string {
	var all []string
	for _, n := range notes {
		all = append(all, n.Text)
	}
	return strings.Join(all, "\n")
}

// The figures of a stand by hand, elementary statics: F = ½·1.225·v²·Cd·A at the
// middle of the modifier, over r = R/2, three times as far from the windward foot.
func TestStandByHand(t *testing.T) {
	x := safetyOf(t, api.SafetyRequest{Session: demo(t)}).Setups[0].Safety.Stands[0]
	// Dish of 60 cm as a hollow bowl, 1.42 × 0.2827 m²; gust 8 m/s; 2.4 m up; stand
	// 2.4 kg, head 2.1 kg, dish 1.3 kg; legs 0.55 m.
	moment := 1.5 * 0.5 * 1.225 * 64 * 1.42 * math.Pi * 0.09 * 2.4
	mass, r := 2.4+2.1+1.3, 0.275
	mast := moment/(9.80665*r) - mass
	foot := (moment/9.80665 - mass*r) / (3 * r)
	reach := 0.55 + math.Hypot(0.55, 2.4+0.3)
	tip := math.Sqrt(2 * mass * 9.80665 * r / (1.225 * 1.42 * math.Pi * 0.09 * 2.4))
	for _, c := range []struct {
		what           string
		got, want, tol float64
	}{{"ballast at the mast", *x.BallastMast, mast, 0.2}, {"ballast on the foot", *x.BallastFoot, foot, 0.1}, // rounded up to a tenth; the area has two digits
		{"keep-out radius", x.KeepOutM, reach, 0.1}, {"tipping wind", x.TipMPS, tip, 0.05}, {"gust", *x.GustMPS, 8, 1e-9}} {
		if math.Abs(c.got-c.want) > c.tol {
			t.Errorf("%s %.2f, want %.2f", c.what, c.got, c.want)
		}
	}
}

// What is told to change makes the ballast enough: the advice is tried.
func TestLeastChangeIsEnough(t *testing.T) {
	s := demo(t)
	s.Setups = s.Setups[:1]
	for gust := 5.0; gust < 10.5; gust += 0.5 {
		for _, have := range []float64{0, 2, 4, 6} {
			s.Kit.BallastKg = &have
			b := safetyOf(t, api.SafetyRequest{Session: s, GustMPS: &gust}).Setups[0].Safety.Ballast
			if (b.ShortKg > 0) != (b.FootKg > have) {
				t.Errorf("gust %v, %v kg: %+v", gust, have, b)
			}
			if b.ShortKg == 0 || b.Change == "" {
				continue
			}
			again := demo(t)
			again.Setups, again.Kit.BallastKg = again.Setups[:1], &have
			lights := again.Setups[0].Lights
			for i := range lights {
				switch l := &lights[i]; {
				case strings.HasPrefix(b.Change, "lower the "+l.Role):
					var h float64
					if err := json.Unmarshal([]byte(strings.TrimSuffix(b.Change[strings.LastIndex(b.Change, "to ")+3:], " m")), &h); err != nil {
						t.Fatal(err)
					}
					l.HeightM = &h
				case strings.Contains(b.Change, "off the "+l.Role), strings.HasPrefix(b.Change, "bare heads"):
					l.Modifier = ""
					if strings.Contains(b.Change, "no higher") {
						low := min(*l.HeightM, 1.2)
						l.HeightM = &low
					}
				}
			}
			if c := safetyOf(t, api.SafetyRequest{Session: again, GustMPS: &gust}).Setups[0].Safety.Ballast; c.ShortKg > 0 {
				t.Errorf("gust %v, %v kg: %q leaves %v kg short", gust, have, b.Change, c.ShortKg)
			}
		}
	}
}

// Children: the stricter table holds, and an age nobody said counts as a child's.
func TestMinorsAreJudgedStricter(t *testing.T) {
	s := demo(t)
	s.Setups = s.Setups[:1]
	hot, damp, wind := 31.0, 50.0, 3.0
	ask := func(age *float64) api.HeatSafety {
		s.People[0].Age = age
		return safetyOf(t, api.SafetyRequest{Session: s, TemperatureC: &hot, HumidityPct: &damp, WindMPS: &wind, GustMPS: &wind, Region: "hot"}).Setups[0].Safety.Heat
	}
	grown, child := 30.0, 12.0
	a, b, c := ask(&grown), ask(&child), ask(nil)
	if *a.WBGT != *b.WBGT || a.Level != "care" || b.Level != "stop" || c.Level != "stop" {
		t.Errorf("adult %+v\nchild %+v\nunsaid %+v", a, b, c)
	}
	if !strings.Contains(b.Table, "children") || strings.Contains(a.Table, "children") {
		t.Errorf("tables %q and %q", a.Table, b.Table)
	}
}

// A report with thunder trips the clock for what is planned under it, and its
// wind, temperature and dew point count where nobody said better.
func TestReportWithThunder(t *testing.T) {
	s := demo(t)
	s.Weather = nil
	s.Sky = session.Sky{Kind: "metar", METAR: "METAR SCVM 161600Z 24018G28KT 9999 TS SCT040CB 22/12 Q1014"}
	p := planOf(t, s)
	for _, x := range p.Setups {
		l := x.Safety.Lightning
		if l.Level != "stop" || l.Restart == nil || !strings.Contains(noteTexts(x.Notes), "thunder is in the weather report") {
			t.Errorf("%s: %+v, notes %q", x.ID, l, noteTexts(x.Notes))
		}
		if g := x.Safety.Stands[0]; g.Level != "stop" || math.Abs(*g.GustMPS-28*0.5144) > 0.05 {
			t.Errorf("%s: %+v", x.ID, g)
		}
		if x.Safety.Heat.WBGT == nil {
			t.Errorf("%s: %+v", x.ID, x.Safety.Heat)
		}
	}
	if !strings.Contains(strings.Join(p.Assumptions, "\n"), "wind, temperature, humidity of the aerodrome report") {
		t.Errorf("assumptions %q", p.Assumptions)
	}
}

// Thunder at 14:20 stops what happens until 14:50, also a setup that began before it.
func TestThunderByTheClock(t *testing.T) {
	want := map[string]string{"hero": "unknown", "portrait": "unknown", "run-up": "unknown", "release": "stop"}
	for _, x := range safetyOf(t, api.SafetyRequest{Session: demo(t), Thunder: []string{"14:20"}}).Setups {
		if x.Safety.Lightning.Level != want[x.ID] {
			t.Errorf("%s at %s: %+v", x.ID, x.At, x.Safety.Lightning)
		}
		if r := x.Safety.Lightning.Restart; x.ID == "release" && (r == nil || *r != "2027-01-16T14:50:00-03:00") {
			t.Errorf("restart %v", r)
		}
	}
	late := safetyOf(t, api.SafetyRequest{Session: demo(t), Thunder: []string{"2027-01-16T12:00"}}).Setups[0]
	if late.Safety.Lightning.Level != "quiet" {
		t.Errorf("80 minutes after the last: %+v", late.Safety.Lightning)
	}
}

// Air no formula knows is unknown, not an error: the plan goes on.
func TestColdIsUnknown(t *testing.T) {
	s := demo(t)
	cold, dry := -35.0, 0.0
	s.Weather = &session.Weather{TemperatureC: &cold, HumidityPct: &dry}
	if h := planOf(t, s).Setups[0].Safety.Heat; h.Level != "unknown" || !strings.Contains(h.Text, "−") && !strings.Contains(h.Text, "-35") {
		t.Errorf("%+v", h)
	}
}

// The same question as JSON: the session inside it is read as strictly as a file.
func TestSafetyByName(t *testing.T) {
	data, err := json.Marshal(demo(t))
	if err != nil {
		t.Fatal(err)
	}
	got, err := api.Call("safety", []byte(`{"gust_mps":9,"thunder":["13:10"],"session":`+string(data)+`}`))
	if err != nil {
		t.Fatal(err)
	}
	a := got.(api.SafetyAnswer).Setups[0].Safety
	if *a.Stands[0].GustMPS != 9 || a.Lightning.Level != "stop" {
		t.Errorf("%+v", a)
	}
	for _, body := range []string{`{}`, `{"session":{}}`, `{"gusts":9,"session":` + string(data) + `}`, `{"gust_mps":1e9,"session":` + string(data) + `}`,
		`{"thunder":["soon"],"session":` + string(data) + `}`} {
		if _, err := api.Call("safety", []byte(body)); err == nil {
			t.Errorf("%.40s: no error", body)
		}
	}
}

func BenchmarkSafety(b *testing.B) {
	s := demo(b)
	for b.Loop() {
		if _, err := api.Safety(api.SafetyRequest{Session: s}); err != nil {
			b.Fatal(err)
		}
	}
}
