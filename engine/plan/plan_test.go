package plan_test

import (
	"errors"
	"math"
	"testing"

	"hardnoon/engine/exposure"
	"hardnoon/engine/flash"
	"hardnoon/engine/modifier"
	"hardnoon/engine/plan"
	"hardnoon/engine/unit"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: got %.3f, want %.3f ±%.3f", what, got, want, tol)
	}
}

func source(t testing.TB, head, mod string) flash.Source {
	t.Helper()
	h, ok := flash.ByID(head)
	if !ok {
		t.Fatalf("no head %s", head)
	}
	m, ok := modifier.ByID(mod)
	if !ok {
		t.Fatalf("no modifier %s", mod)
	}
	return flash.Source{Head: h, Modifier: m}
}

func settings(t testing.TB, f, s string) exposure.Settings {
	t.Helper()
	n, err := exposure.ParseFNumber(f, exposure.Thirds)
	if err != nil {
		t.Fatal(err)
	}
	x, err := exposure.ParseShutter(s, exposure.Thirds)
	if err != nil {
		t.Fatal(err)
	}
	return exposure.Settings{FNumber: n, Shutter: x, ISO: 100}
}

// portrait is the distance of the common-practice checks.
const portrait = 1.75 * unit.Metre

// practice is how far common practice, which has no source, may be off.
const practice = 0.7

func ask(t testing.TB, head, mod, f, s string, d unit.Length, under unit.Stops) plan.Reached {
	t.Helper()
	r, err := plan.Reach(plan.Question{Settings: settings(t, f, s), Source: source(t, head, mod), Distance: d, Ambient: 14.9, Under: under})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// Common practice, no source: a 400 Ws battery head with a bare silver 60 cm
// dish is just about enough in high-speed sync at 1/4000, f/5.6, two under a
// bright midday through thin cloud; with its diffusion on it is not.
func TestDishAtMiddayIsJustEnough(t *testing.T) {
	r := ask(t, "battery-400", "dish-60", "5.6", "1/4000", portrait, 2)
	near(t, "background", float64(r.Ambient), -2, 0.1)
	near(t, "margin", float64(r.Margin), 0, practice)
	if sock := ask(t, "battery-400", "dish-60-sock", "5.6", "1/4000", portrait, 2); sock.Margin > -practice {
		t.Errorf("with the sock on there are %.2f stops to spare; it should be clearly short", sock.Margin)
	}
	if r.LimitedBy != plan.ByHighSpeedPower {
		t.Errorf("limited by %v", r.LimitedBy)
	}
}

// Common practice, no source: the same picture from further back.
func TestFocusingReflectorStandsFurtherBack(t *testing.T) {
	dish, focus := source(t, "battery-400", "dish-60"), source(t, "battery-400", "focus-30")
	h := dish.Exposure(portrait, 0)
	if d := focus.DistanceFor(h, 0); d < portrait*1.2 {
		t.Errorf("the focusing reflector stands at %.2f m for the dish's light at %.2f m", d, portrait)
	}
}

// In high-speed sync shutter moves flash and sun together: a faster shutter
// wins nothing, nor does the aperture, the ISO or a filter.
func TestRatioLawsInHighSpeedSync(t *testing.T) {
	base := ask(t, "battery-400", "dish-60", "5.6", "1/1000", portrait, 2)
	ratio := base.Flash - base.Ambient
	for _, x := range []struct{ f, s string }{{"5.6", "1/4000"}, {"5.6", "1/8000"}, {"2.8", "1/4000"}, {"11", "1/1000"}} {
		r := ask(t, "battery-400", "dish-60", x.f, x.s, portrait, 2)
		near(t, x.f+" "+x.s, float64(r.Flash-r.Ambient), float64(ratio), 1e-9)
	}
	q := plan.Question{Settings: settings(t, "5.6", "1/250"), Source: source(t, "battery-400", "dish-60"), Distance: portrait, Ambient: 14.9, Under: 2}
	a, _ := plan.Reach(q)
	q.Settings.ND = 6
	b, _ := plan.Reach(q)
	near(t, "ND keeps the ratio", float64(b.Flash-b.Ambient), float64(a.Flash-a.Ambient), 1e-9)
	q.Settings.ISO = 400
	c, _ := plan.Reach(q)
	near(t, "ISO keeps the ratio", float64(c.Flash-c.Ambient), float64(a.Flash-a.Ambient), 1e-9)
	// Crossing sync costs the entry and one stop a stop of shutter.
	near(t, "entry", float64(a.Flash-base.Flash), float64(q.Source.Head.Entry)+2, 1e-9)
}

// No way out may be a faster shutter in high-speed sync or a wider aperture.
func TestWaysOutNeverOfferWhatDoesNotHelp(t *testing.T) {
	r := ask(t, "battery-400", "dish-60-sock", "5.6", "1/4000", portrait, 2)
	if len(r.WaysOut) == 0 {
		t.Fatal("short, and no way out")
	}
	for _, w := range r.WaysOut {
		near(t, "gain is what is left minus what was", float64(w.Gain), float64(w.Margin-r.Margin), 1e-9)
		if (w.Kind == plan.ChangeRoute || w.Kind == plan.ChangeExposure) && w.Route == plan.HighSpeed {
			t.Errorf("offers %v at %v as a way out of high-speed sync", w.Route, w.Settings)
		}
	}
	// ND at sync and stopping down give back what high-speed sync costs.
	h, _ := flash.ByID("battery-400")
	for _, x := range r.Routes {
		if x.Route == plan.ND || x.Route == plan.StopDown {
			near(t, x.Route.String(), float64(x.Margin-r.Margin), float64(h.Entry), 0.2)
		}
	}
}

func problem(t testing.TB) plan.Problem {
	t.Helper()
	return plan.Problem{
		NDs: []unit.Stops{3, 6},
		Lights: []plan.Light{
			{Role: plan.Key, Source: source(t, "battery-400", "dish-60"), Min: 1.2, Max: 3},
			{Role: plan.Edge, Source: source(t, "battery-400", "focus-30"), Min: 2, Max: 5},
		},
		Daylight: plan.Daylight{Background: 14.9, Face: 12.5, Side: unit.EV(math.Inf(-1)), Error: 0.3},
		Look:     plan.Look{Under: 2, Key: 0, Edge: 0.5, Aperture: 4, Widest: 2.8, Narrowest: 16},
	}
}

// Slow against fast: the chosen candidate is the best of an exhaustive walk
// over every dial position of a camera, shutter included.
func TestSolveAgainstExhaustiveSearch(t *testing.T) {
	for _, under := range []unit.Stops{0.5, 1, 2, 3} {
		p := problem(t)
		p.Look.Under = under
		r, err := plan.Solve(p)
		if err != nil {
			t.Fatal(err)
		}
		best, at := math.Inf(1), exposure.Settings{}
		for _, nd := range []unit.Stops{0, 3, 6} {
			for _, iso := range exposure.ISOs(100, 3200, exposure.Thirds) {
				for _, n := range exposure.FNumbers(2.8, 16, exposure.Thirds) {
					for _, s := range exposure.Shutters(1.0/32, 1.0/8192, exposure.Thirds) {
						x := exposure.Settings{FNumber: n, Shutter: s, ISO: iso, ND: nd}
						if math.Abs(float64(x.AmbientStops(14.9)+under)) > 1.0/6+1e-9 {
							continue
						}
						one := p
						one.NDs = []unit.Stops{nd}
						one.Camera.ISOMin, one.Camera.ISOMax = 100, 3200
						one.Look.Widest, one.Look.Narrowest = n, n
						if a, ok := plan.CandidateAt(one, x); ok && a.Score < best {
							best, at = a.Score, x
						}
					}
				}
			}
		}
		if math.Abs(best-r.Best.Score) > 1e-9 {
			t.Errorf("%v under: solved %v with regret %.4f; the walk finds %v with %.4f", under, r.Best.Settings, r.Best.Score, at, best)
		}
	}
}

// What is planned is what lands: the levels add up to the look.
func TestAnswerLandsTheLook(t *testing.T) {
	r, err := plan.Solve(problem(t))
	if err != nil {
		t.Fatal(err)
	}
	for _, a := range r.Routes {
		near(t, "background", float64(a.Background), -2, 1.0/6+1e-9)
		for _, l := range a.Lights {
			if a.Margin < 0 {
				continue
			}
			want := []float64{0, 0.5}[l.Role]
			near(t, a.Route.String()+" "+l.Role.String(), float64(l.Total), want, 0.11)
		}
	}
	if r.RunnerUp == nil {
		t.Error("the runner-up is hidden")
	}
}

func TestContradictions(t *testing.T) {
	p := problem(t)
	p.NDs = nil
	p.Look.Under, p.Look.Widest, p.Look.Narrowest = 6, 1.4, 1.4
	_, err := plan.Solve(p)
	var no *plan.NoAnswerError
	if !errors.As(err, &no) {
		t.Fatalf("six under at f/1.4 without a filter: %v", err)
	}
	// f/1.4 at 1/8000 is EV 14: 0.9 stop over is the darkest it gets.
	near(t, "darkest background", float64(no.Least), 0.9, 0.1)
	for _, bad := range []func(*plan.Problem){
		func(p *plan.Problem) { p.Lights = make([]plan.Light, 41) },
		func(p *plan.Problem) { p.Look.Widest = 0 },
		func(p *plan.Problem) { p.Daylight.Background = unit.EV(math.NaN()) },
		func(p *plan.Problem) { p.Lights[0].Min = -1 },
		func(p *plan.Problem) { p.Lights[0].Max = 0.5 },
		func(p *plan.Problem) { p.Camera.Sync = -1 },
	} {
		p := problem(t)
		bad(&p)
		var r *unit.RangeError
		if _, err := plan.Solve(p); !errors.As(err, &r) {
			t.Errorf("%+v: %v", p, err)
		}
	}
}

func BenchmarkSolve(b *testing.B) {
	p := problem(b)
	for b.Loop() {
		if _, err := plan.Solve(p); err != nil {
			b.Fatal(err)
		}
	}
}

// SpareAt in closed form is what Reach finds by the dials.
func TestSpareAtAgainstReach(t *testing.T) {
	src := source(t, "battery-400", "dish-60")
	normal, high := plan.SpareAt(plan.Camera{}, src, 2, 14.9, 2, 0)
	r := ask(t, "battery-400", "dish-60", "5.6", "1/4000", 2, 2)
	for _, x := range r.Routes {
		want := normal
		if x.Route == plan.HighSpeed {
			want = high
		}
		near(t, x.Route.String(), float64(x.Margin), float64(want), 1.0/6+0.01)
	}
}

// Common practice, no source: under a bright midday of EV 14.9 a burst by
// natural light sits at 1/2500, f/2.8, ISO 100.
func TestNaturalLightBurst(t *testing.T) {
	near(t, "daylight alone", float64(settings(t, "2.8", "1/2500").AmbientStops(14.9)), 0, practice)
}

// Where the sun draws the rim, the edge light is not short; a face that
// daylight alone brings over its level is.
func TestSunAsEdge(t *testing.T) {
	p := problem(t)
	p.Daylight.Side = 15.5 // two under an open background of 14.9 the rim lands at −1.4
	p.Look.Edge = -2
	r, err := plan.Solve(p)
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range r.Best.Lights {
		if l.Role == plan.Edge && (l.Margin < 0 || l.Power > -8) {
			t.Errorf("the sun rims at %+.1f of the wished −2, and the edge light is set to %v with margin %v", l.Total, l.Power, l.Margin)
		}
	}
	p = problem(t)
	p.Daylight.Face, p.Look.Key = 16.5, -1
	if r, err = plan.Solve(p); err != nil || r.Best.Margin > -0.5 || r.Best.LimitedBy != plan.ByDaylight {
		t.Errorf("a sunlit face over its level: margin %v, limited by %v, %v", r.Best.Margin, r.Best.LimitedBy, err)
	}
}

// Without a flash no speed is a route of its own and no filter is wanted: the
// shutter alone places the background. EV 15 at ISO 100 and f/4 is 1/2048 (the
// definition of EV, ISO 2720).
func TestDaylightAloneTakesTheShutter(t *testing.T) {
	p := plan.Problem{NDs: []unit.Stops{3, 6}, Daylight: plan.Daylight{Background: 15, Face: 15, Side: 15},
		Look: plan.Look{Aperture: 4, Widest: 4, Narrowest: 4}}
	r, err := plan.Solve(p)
	if err != nil {
		t.Fatal(err)
	}
	if s := r.Best.Settings; r.Best.Route != plan.NoFlash || s.ND != 0 || s.ISO != 100 || math.Abs(math.Log2(float64(s.Shutter)*2048)) > 0.01 {
		t.Errorf("%v: %v, ND %v; want 1/2048 without a filter", r.Best.Route, s, s.ND)
	}
	if r.RunnerUp != nil {
		t.Errorf("a second route without a flash: %v", r.RunnerUp.Route)
	}
}

// A light that is too strong even at its lowest power is off by what comes out
// too bright, and is right where the inverse square makes it as weak.
func TestTooStrongIsNotShort(t *testing.T) {
	src := source(t, "battery-400", "dish-60")
	weakest, wide := -src.Head.Range, settings(t, "2.8", "1/250").FNumber
	p := plan.Problem{Lights: []plan.Light{{Role: plan.Key, Source: src, Min: 1, Max: 3}},
		Daylight: plan.Daylight{Background: 3, Face: unit.EV(math.Inf(-1)), Side: unit.EV(math.Inf(-1))},
		Look:     plan.Look{Under: 1, Aperture: wide, Widest: wide, Narrowest: wide, Slowest: 1.0 / 2000}}
	r, err := plan.Solve(p)
	if err != nil {
		t.Fatal(err)
	}
	at := func(d unit.Length) float64 {
		return float64(r.Best.Settings.FlashStops(src.Exposure(d, weakest)))
	}
	if r.Best.LimitedBy != plan.ByLowestPower || math.Abs(float64(r.Best.Margin)+at(3)) > 1e-6 || r.Best.Margin > -0.5 {
		t.Fatalf("limited by %v, margin %.2f; the weakest pop lands at %+.2f", r.Best.LimitedBy, r.Best.Margin, at(3))
	}
	for _, w := range r.WaysOut {
		if w.Kind != plan.ChangeDistance {
			continue
		}
		if got := at(w.Distance); math.Abs(got) > 0.15 { // a tenth of a metre is rounded up
			t.Errorf("at %.1f m the weakest pop lands at %+.2f, not at mid-tone", w.Distance.Metres(), got)
		}
		if w.Margin > 0 {
			t.Errorf("%+.1f to spare where the trouble is too much light", w.Margin)
		}
		if r.Weaker == nil || r.Weaker.By < -r.Best.Margin || r.Weaker.Settings.Shutter >= r.Best.Settings.Shutter {
			t.Errorf("a weaker head makes possible: %+v", r.Weaker)
		}
		return
	}
	t.Errorf("no way out names a distance: %+v", r.WaysOut)
}
