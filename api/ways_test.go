package api_test

import (
	"encoding/json"
	"errors"
	"math"
	"strings"
	"testing"

	"hardnoon/api"
	"hardnoon/session"
)

func askWays(t testing.TB, req api.WaysRequest) api.WaysAnswer {
	t.Helper()
	a, err := api.Ways(req)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// The numbers of a way are those of the plan for the same bearing and minute.
func TestWaysAgreeWithPlan(t *testing.T) {
	s := demo(t)
	s.Slots = []session.Slot{{Start: "2027-01-16T13:30", Minutes: 20}}
	for i := range s.Setups {
		s.Setups[i].At = "2027-01-16T13:40" // the middle of the slot
	}
	plan, err := api.Plan(s)
	if err != nil {
		t.Fatal(err)
	}
	for i, x := range askWays(t, api.WaysRequest{Session: s}).Slots[0].Setups {
		near := func(what string, got, want, tol float64) {
			if math.Abs(got-want) > tol {
				t.Errorf("%s %s: %v, want %v", x.ID, what, got, want)
			}
		}
		near("background", x.Planned.BackgroundEV, plan.Setups[i].Daylight.BackgroundEV, 0.051) // printed to a tenth
		near("face", x.Planned.FaceEV, plan.Setups[i].Daylight.FaceEV, 0.051)
		if x.Settings == nil || len(x.Settings.Lights) != len(s.Setups[i].Lights) {
			t.Errorf("%s: no settings", x.ID)
		}
	}
}

// No bearing is hidden: all 72 are there, and none is better than the best by
// more than lights that stand clear are worth.
func TestWaysHideNothing(t *testing.T) {
	const clear = 2.0 // of regret, own judgement of package api
	a := askWays(t, api.WaysRequest{Session: demo(t), All: true, Headgear: "cap"})
	for _, x := range a.Slots[0].Setups {
		if len(x.All) != 72 {
			t.Fatalf("%s: %d bearings", x.ID, len(x.All))
		}
		if x.RunnerUp == nil {
			t.Errorf("%s: no runner-up", x.ID)
		}
		for i, w := range x.All {
			if w.BearingDeg != float64(5*i) || w.Regret < x.Best.Regret-clear {
				t.Errorf("%s: %v at %v, best %v", x.ID, w.Regret, w.BearingDeg, x.Best.Regret)
			}
		}
	}
	if _, err := json.Marshal(a); err != nil { // nothing infinite in it
		t.Error(err)
	}
}

func TestWaysAround(t *testing.T) {
	s := demo(t)
	s.Place.Solids = []session.Solid{{Name: "parked cars", Kind: "vehicle", BearingDeg: new(0.0), DistanceM: new(40.0), WidthM: new(40.0), DepthM: new(5.0), HeightM: new(2.6), Label: "hide"}}
	a := askWays(t, api.WaysRequest{Session: s, Setup: "portrait"})
	x := a.Slots[0].Setups[0]
	found := false
	for _, v := range x.Avoid {
		found = found || strings.Contains(v.Text, "parked cars")
		if strings.Contains(v.Text, "parked cars") && !(v.FromDeg > 300 && v.ToDeg < 60) {
			t.Errorf("cars in the north are at %v to %v", v.FromDeg, v.ToDeg)
		}
	}
	if !found {
		t.Errorf("the cars are not avoided: %+v", x.Avoid)
	}
}

func TestWaysWrong(t *testing.T) {
	for field, spoil := range map[string]func(*api.WaysRequest){
		"slot":                 func(r *api.WaysRequest) { r.Slot = new(7) },
		"setup":                func(r *api.WaysRequest) { r.Setup = "elsewhere" },
		"headgear":             func(r *api.WaysRequest) { r.Headgear = "crown" },
		"brim_m":               func(r *api.WaysRequest) { r.Headgear, r.BrimM = "cap", new(math.NaN()) },
		"place.solids[0].kind": func(r *api.WaysRequest) { r.Session.Place.Solids = []session.Solid{{Kind: "ship"}} },
		"place.solids[0]":      func(r *api.WaysRequest) { r.Session.Place.Solids = []session.Solid{{Kind: "wall"}} },
		"place.solids": func(r *api.WaysRequest) {
			r.Session.Place.Solids = []session.Solid{{Kind: "wall", EastM: new(1.0), NorthM: new(9.0), WidthM: new(-1.0)}}
		},
		"place.horizon": func(r *api.WaysRequest) { r.Session.Place.Horizon = []session.Corner{{AltitudeDeg: 100}} },
	} {
		req := api.WaysRequest{Session: demo(t)}
		spoil(&req)
		_, err := api.Ways(req)
		var e *api.Error
		if !errors.As(err, &e) || e.Kind != api.WrongInput || e.Field != field {
			t.Errorf("%s: %v", field, err)
		}
	}
}

func BenchmarkWays(b *testing.B) {
	s := demo(b)
	for b.Loop() {
		askWays(b, api.WaysRequest{Session: s})
	}
}
