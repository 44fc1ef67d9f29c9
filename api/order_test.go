package api_test

import (
	"encoding/json"
	"errors"
	"math"
	"os"
	"strings"
	"testing"

	"hardnoon/api"
	"hardnoon/session"
)

// free is the demo without fixed minutes, n setups long.
func free(t testing.TB, n int) session.Session {
	s := demo(t)
	var all []session.Setup
	for i := range n {
		su := s.Setups[i%len(s.Setups)]
		su.ID = su.ID + strings.Repeat("x", i/len(s.Setups))
		su.At = ""
		su.Camera.BearingDeg = math.Mod(su.Camera.BearingDeg+float64(37*i), 360)
		all = append(all, su)
	}
	s.Setups, s.Slots = all, nil
	return s
}

// Whatever the order, no more is changed than as listed, nothing stands twice, no
// row begins before the one before it has ended, and recycling is waited for.
func TestOrderHolds(t *testing.T) {
	for _, n := range []int{1, 3, 4, 7, 9, 14} {
		a, err := api.Order(api.OrderRequest{Session: free(t, n)})
		if err != nil {
			t.Fatal(err)
		}
		if len(a.Rows) != n || !a.Fits || a.Exact != (n <= 11) {
			t.Errorf("%d setups: %d rows, fits %v, exact %v", n, len(a.Rows), a.Fits, a.Exact)
		}
		if a.BoundMin > a.ChangeMin+0.01 {
			t.Errorf("%d setups: bound %v above %v min", n, a.BoundMin, a.ChangeMin)
		}
		seen, number := map[string]bool{}, 0
		for k, r := range a.Rows {
			if seen[r.Setup] || k > 0 && r.Begin.Before(a.Rows[k-1].End) {
				t.Errorf("%d setups: row %d: %+v", n, k, r)
			}
			seen[r.Setup] = true
			for _, s := range r.Shots {
				number++
				if s.Number != number || s.Every < 1 || float64(s.Frames)*s.Every > s.Minutes*60+1e-6 {
					t.Errorf("shot %+v", s)
				}
			}
			// Dry before sweat: after the first hard setup no still one follows.
			if r.After != "" {
				t.Errorf("%s comes after %s", r.Setup, r.After)
			}
		}
	}
}

// A finish after midnight is the next day's; a wrong one is said.
func TestOrderFinish(t *testing.T) {
	s := demo(t)
	a, err := api.Order(api.OrderRequest{Session: s, Finish: "1:30"})
	if err != nil || a.Finish == nil || a.Finish.Format("02 15:04") != "17 01:30" {
		t.Errorf("%v, %v", a.Finish, err)
	}
	nan, less := math.NaN(), -1.0
	for _, req := range []api.OrderRequest{{Finish: "late"}, {Finish: "24:61"}, {BehindMin: &nan}, {BehindMin: &less}, {People: &nan}, {EachMin: &less}, {Done: []string{"x"}}, {EachMin: new(1.0)}} {
		req.Session = s
		var e *api.Error
		if _, err := api.Order(req); !errors.As(err, &e) || e.Kind != api.WrongInput || e.Text == "" {
			t.Errorf("%+v: %v", req, err)
		}
	}
	var e *api.Error
	if _, err := api.Order(api.OrderRequest{Session: s, Done: []string{"hero", "portrait", "run-up", "release"}}); !errors.As(err, &e) || e.Kind != api.NoAnswer {
		t.Errorf("all done: %v", err)
	}
}

// The way out that is said to be enough is enough: without the shots it names the
// day fits.
func TestDropIsEnough(t *testing.T) {
	s := free(t, 5)
	whole, err := api.Order(api.OrderRequest{Session: s})
	if err != nil {
		t.Fatal(err)
	}
	finish := whole.End.Add(-9 * 60 * 1e9).Format("15:04")
	a, err := api.Order(api.OrderRequest{Session: s, Finish: finish})
	if err != nil || a.Fits || len(a.WaysOut) == 0 || !a.WaysOut[0].Enough || !strings.HasPrefix(a.WaysOut[0].Change, "drop ") {
		t.Fatalf("%v: %+v", err, a.WaysOut)
	}
	for i := range s.Setups {
		var kept []session.Shot
		lost := 0.0
		for _, x := range s.Setups[i].Shots {
			frames := 0.0
			for _, y := range s.Setups[i].Shots {
				frames += *y.Frames
			}
			if strings.Contains(a.WaysOut[0].Change, "("+x.Title+")") {
				lost += *s.Setups[i].Minutes * *x.Frames / frames
			} else {
				kept = append(kept, x)
			}
		}
		s.Setups[i].Shots, s.Setups[i].Minutes = kept, new(*s.Setups[i].Minutes-lost)
	}
	s.Setups = func() (left []session.Setup) {
		for _, su := range s.Setups {
			if len(su.Shots) > 0 {
				left = append(left, su)
			}
		}
		return left
	}()
	if b, err := api.Order(api.OrderRequest{Session: s, Finish: finish}); err != nil || !b.Fits {
		t.Errorf("%s: %v, %s", a.WaysOut[0].Change, err, b.Now)
	}
}

// The check list is spoken in two minutes, whatever the session.
func TestPackSpeaksTwoMinutes(t *testing.T) {
	for _, n := range []int{1, 4, 9} {
		a, err := api.Pack(api.PackRequest{Session: free(t, n)})
		if err != nil || a.SpeakS > 120 || a.SpeakS < 20 {
			t.Errorf("%d setups: %v s, %v", n, a.SpeakS, err)
		}
	}
}

// At the same time nothing changes but the weather, which is not taken along.
func TestAgainIsTheSame(t *testing.T) {
	s := demo(t)
	a, err := api.Again(api.AgainRequest{Session: s, At: s.Start})
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range a.Setups {
		if len(x.Changes) > 0 || x.Turned != 0 || x.Raised != 0 || x.Lighter != 0 {
			t.Errorf("%s: %v, %v°, %v°, %v stops", x.ID, x.Changes, x.Turned, x.Raised, x.Lighter)
		}
	}
	if a.Session.Weather != nil {
		t.Error("the old weather was taken along")
	}
	for _, at := range []string{"", "noon", "2027-02-30T10:00"} {
		if _, err := api.Again(api.AgainRequest{Session: s, At: at}); err == nil {
			t.Errorf("%q: no error", at)
		}
	}
}

// Whatever the bytes are, there is an answer or an error for people.
func FuzzAskWith(f *testing.F) {
	demo, err := os.ReadFile("../demo/javelin.json")
	if err != nil {
		f.Fatal(err)
	}
	for _, x := range []string{`{"session":` + string(demo) + `,"behind_min":9,"at":"2027-10-03T17:00"}`, `{}`, `null`, `[`, `{"session":1}`, `{"session":` + string(demo) + `,"finish":"T"}`, `{"session":` + string(demo) + `,"people":3}`} {
		f.Add([]byte(x))
	}
	f.Fuzz(func(t *testing.T, body []byte) {
		for _, q := range []string{"order", "pack", "again"} {
			a, err := api.Call(q, body)
			var e *api.Error
			if err != nil && !errors.As(err, &e) {
				t.Errorf("%s: %v", q, err)
			}
			if err == nil {
				if _, err := json.Marshal(a); err != nil {
					t.Errorf("%s: %v", q, err)
				}
			}
		}
	})
}

func BenchmarkOrder(b *testing.B) {
	s := demo(b)
	for b.Loop() {
		if _, err := api.Order(api.OrderRequest{Session: s}); err != nil {
			b.Fatal(err)
		}
	}
}
