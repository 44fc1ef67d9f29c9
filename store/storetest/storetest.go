// Package storetest holds what every store of sessions must do, and the
// plainest one that does it. It is for tests.
package storetest

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math/rand/v2"
	"reflect"
	"strings"
	"sync"
	"testing"
	"time"

	"hardnoon/session"
)

// Sample is a session that fits its own rules, with n setups.
func Sample(id string, n int) session.Session {
	s := session.Session{
		Format: session.Format, Title: "Noon " + id, ID: id, Start: "2027-01-16T13:20",
		Place: session.Place{Name: "Ground", LatDeg: -33, LonDeg: -71, Zone: "America/Santiago"},
		Sky:   session.Sky{Kind: "named", Name: "clear"},
		Kit: session.Kit{
			Camera: session.Camera{Sensor: "full-frame", Sync: "1/250"},
			Lenses: []session.Lens{{ID: "wide", FocalMinMM: 24, FocalMaxMM: 70, FMin: 2.8}},
			Heads:  []session.Head{{ID: "a", Class: "battery-400"}},
		},
		People: []session.Person{{ID: "thrower", Name: "Ema"}},
	}
	for i := range n {
		s.Setups = append(s.Setups, session.Setup{
			ID: fmt.Sprintf("setup-%d", i+1), Camera: session.CameraPosition{DistanceM: 2, HeightM: 1},
			Lens: "wide", FocalMM: 24, Lights: []session.Light{{Role: "key", Head: "a"}},
		})
	}
	return s
}

// day is the time of the first change; each later one is a second after.
var day = time.Date(2027, 1, 10, 18, 0, 0, 0, time.UTC)

// Run checks a store; fresh makes an empty one.
func Run(t *testing.T, fresh func(t *testing.T) session.Store) {
	for name, check := range map[string]func(*testing.T, session.Store){
		"what is saved comes back": saved, "an old revision changes nothing": stale, "undo and redo": undo,
		"removed and back": removed, "what is not there": missing, "taps": taps, "many at once": many,
		"at random, like the plainest": random,
	} {
		t.Run(name, func(t *testing.T) { check(t, fresh(t)) })
	}
}

func must[T any](t *testing.T) func(T, error) T {
	t.Helper()
	return func(x T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return x
	}
}

func change(id string, from int64, label string) session.Change {
	return session.Change{ID: id, From: from, Label: label, At: day.Add(time.Duration(from) * time.Second)}
}

func titled(s session.Session, title string) session.Session {
	s.Title = title
	return s
}

func title(t *testing.T, d session.Document) string {
	t.Helper()
	s, err := session.Read(d.Session)
	if err != nil {
		t.Fatal(err)
	}
	return s.Title
}

func label(p *string) string {
	if p == nil {
		return "-"
	}
	return *p
}

func saved(t *testing.T, st session.Store) {
	ctx, doc := context.Background(), must[session.Document](t)
	a := Sample("a", 12)
	made := doc(st.Create(ctx, a, change("", 0, "new")))
	if made.Revision != 1 || made.ID != "a" || made.Removed || !made.SavedAt.Equal(day) {
		t.Errorf("created: %+v", made)
	}
	got := doc(st.Get(ctx, "a"))
	back, err := session.Read(got.Session)
	if err != nil || !reflect.DeepEqual(back, a) {
		t.Errorf("read back %v: %+v", err, back)
	}
	if same := doc(st.Save(ctx, a, change("a", 1, "nothing"))); same.Revision != 1 {
		t.Errorf("saving the same made revision %d", same.Revision)
	}
	two := doc(st.Save(ctx, titled(a, "Two"), change("a", 1, "title")))
	if two.Revision != 2 || title(t, two) != "Two" || two.Label != "title" || label(two.Undo) != "title" || two.Redo != nil {
		t.Errorf("saved: %+v", two)
	}
	doc(st.Create(ctx, Sample("b", 1), change("", 5, "new")))
	list := must[[]session.Entry](t)(st.List(ctx, false))
	if len(list) != 2 || list[0].ID != "b" || list[1].Title != "Two" || list[1].Setups != 12 || list[1].Place != "Ground" || list[1].People != 1 || list[1].Revision != 2 {
		t.Errorf("list: %+v", list)
	}
	if then := doc(st.At(ctx, "a", 1)); title(t, then) != "Noon a" || then.Undo != nil {
		t.Errorf("at 1: %+v", then)
	}
	history := must[[]session.Revision](t)(st.History(ctx, "a", 500))
	if len(history) != 2 || history[0].Revision != 2 || history[0].How != session.Saved || history[1].How != session.Created {
		t.Errorf("history: %+v", history)
	}
	if one := must[[]session.Revision](t)(st.History(ctx, "a", 1)); len(one) != 1 {
		t.Errorf("history, one: %+v", one)
	}
	if _, err := st.Create(ctx, a, change("", 0, "new")); !errors.As(err, new(*session.TakenError)) {
		t.Errorf("created twice: %v", err)
	}
}

func stale(t *testing.T, st session.Store) {
	ctx, doc := context.Background(), must[session.Document](t)
	a := Sample("a", 1)
	doc(st.Create(ctx, a, change("", 0, "new")))
	doc(st.Save(ctx, titled(a, "First window"), change("a", 1, "one")))
	for _, from := range []int64{1, 0, -1, 3, 1 << 62} {
		_, err := st.Save(ctx, titled(a, "Second window"), change("a", from, "two"))
		var e *session.StaleError
		if !errors.As(err, &e) || e.Current.Revision != 2 || title(t, e.Current) != "First window" {
			t.Errorf("save from %d: %v", from, err)
		}
		for _, f := range []func(context.Context, session.Change) (session.Document, error){st.Undo, st.Redo, st.Remove} {
			if _, err := f(ctx, change("a", from, "x")); !errors.As(err, &e) {
				t.Errorf("change from %d: %v", from, err)
			}
		}
	}
	if got := doc(st.Get(ctx, "a")); title(t, got) != "First window" {
		t.Errorf("lost update: %s", title(t, got))
	}
}

func undo(t *testing.T, st session.Store) {
	ctx, doc := context.Background(), must[session.Document](t)
	a := Sample("a", 1)
	d := doc(st.Create(ctx, titled(a, "0"), change("", 0, "new")))
	for _, x := range []string{"1", "2", "3"} {
		d = doc(st.Save(ctx, titled(a, x), change("a", d.Revision, "to "+x)))
	}
	for _, step := range []struct {
		f                 func(context.Context, session.Change) (session.Document, error)
		title, undo, redo string
	}{
		{st.Undo, "2", "to 2", "to 3"}, {st.Undo, "1", "to 1", "to 2"}, {st.Redo, "2", "to 2", "to 3"}, {st.Redo, "3", "to 3", "-"},
		{st.Undo, "2", "to 2", "to 3"}, {st.Undo, "1", "to 1", "to 2"}, {st.Undo, "0", "-", "to 1"}, {st.Redo, "1", "to 1", "to 2"},
	} {
		was := d.Revision
		d = doc(step.f(ctx, change("a", was, "")))
		if d.Revision != was+1 || title(t, d) != step.title || label(d.Undo) != step.undo || label(d.Redo) != step.redo {
			t.Fatalf("revision %d: %s, undo %s, redo %s; want %+v", d.Revision, title(t, d), label(d.Undo), label(d.Redo), step)
		}
	}
	d = doc(st.Save(ctx, titled(a, "4"), change("a", d.Revision, "to 4")))
	var none *session.NothingError
	if _, err := st.Redo(ctx, change("a", d.Revision, "")); !errors.As(err, &none) || none.How != session.Redone {
		t.Errorf("redo after a change: %v", err)
	}
	d = doc(st.Undo(ctx, change("a", d.Revision, "")))
	d = doc(st.Undo(ctx, change("a", d.Revision, "")))
	if title(t, d) != "0" {
		t.Errorf("undone to %s", title(t, d))
	}
	if _, err := st.Undo(ctx, change("a", d.Revision, "")); !errors.As(err, &none) || none.How != session.Undone {
		t.Errorf("undo at the beginning: %v", err)
	}
	// Nothing is gone: every state is still there.
	for i, want := range []string{"0", "1", "2", "3", "2", "1", "2", "3", "2", "1", "0", "1", "4", "1", "0"} {
		if got := title(t, doc(st.At(ctx, "a", int64(i+1)))); got != want {
			t.Errorf("revision %d is %s, not %s", i+1, got, want)
		}
	}
}

func removed(t *testing.T, st session.Store) {
	ctx, doc := context.Background(), must[session.Document](t)
	a := Sample("a", 1)
	doc(st.Create(ctx, a, change("", 0, "new")))
	d := doc(st.Remove(ctx, change("a", 1, "remove")))
	if !d.Removed || d.Session != nil || d.Revision != 2 || label(d.Undo) != "remove" {
		t.Errorf("removed: %+v", d)
	}
	if got := doc(st.Get(ctx, "a")); !got.Removed {
		t.Errorf("get: %+v", got)
	}
	var gone *session.RemovedError
	if _, err := st.Save(ctx, titled(a, "x"), change("a", 2, "x")); !errors.As(err, &gone) || gone.Current.Revision != 2 {
		t.Errorf("save: %v", err)
	}
	if _, err := st.Remove(ctx, change("a", 2, "x")); !errors.As(err, &gone) {
		t.Errorf("remove: %v", err)
	}
	if _, err := st.Create(ctx, a, change("", 0, "new")); !errors.As(err, new(*session.TakenError)) {
		t.Errorf("create in its place: %v", err)
	}
	list := must[[]session.Entry](t)
	if in, out := list(st.List(ctx, false)), list(st.List(ctx, true)); len(in) != 0 || len(out) != 1 || out[0].Title != "Noon a" {
		t.Errorf("lists: %v, %v", in, out)
	}
	d = doc(st.Undo(ctx, change("a", 2, "")))
	if d.Removed || title(t, d) != "Noon a" || label(d.Redo) != "remove" {
		t.Errorf("back: %+v", d)
	}
	if in := list(st.List(ctx, false)); len(in) != 1 {
		t.Errorf("list: %v", in)
	}
	if d = doc(st.Redo(ctx, change("a", 3, ""))); !d.Removed {
		t.Errorf("gone again: %+v", d)
	}
}

func missing(t *testing.T, st session.Store) {
	ctx := context.Background()
	check := func(what string, err error) {
		t.Helper()
		if !errors.As(err, new(*session.MissingError)) {
			t.Errorf("%s: %v", what, err)
		}
	}
	for _, id := range []string{"nobody", "", "'; DROP TABLE session; --", "\x00", strings.Repeat("x", 10000)} {
		_, err := st.Get(ctx, id)
		check("get", err)
		_, err = st.At(ctx, id, 1)
		check("at", err)
		_, err = st.History(ctx, id, 10)
		check("history", err)
		_, err = st.Save(ctx, Sample("nobody", 1), change(id, 1, ""))
		check("save", err)
		_, err = st.Undo(ctx, change(id, 1, ""))
		check("undo", err)
		_, err = st.Remove(ctx, change(id, 1, ""))
		check("remove", err)
		_, err = st.Taps(ctx, id)
		check("taps", err)
		_, err = st.AddTaps(ctx, id, []session.Tap{{ID: "12345678"}})
		check("add taps", err)
	}
	must[session.Document](t)(st.Create(ctx, Sample("a", 1), change("", 0, "new")))
	for _, r := range []int64{-1, 0, 2, 1 << 62} {
		_, err := st.At(ctx, "a", r)
		check("revision", err)
	}
	if list, err := st.List(ctx, true); err != nil || list == nil || len(list) != 0 {
		t.Errorf("an empty list: %v %v", list, err)
	}
	bad := Sample("bad", 1)
	bad.Place.LatDeg = 1000
	if _, err := st.Create(ctx, bad, change("", 0, "new")); err == nil {
		t.Error("a session that cannot be read back was stored")
	}
}

func taps(t *testing.T, st session.Store) {
	ctx := context.Background()
	must[session.Document](t)(st.Create(ctx, Sample("a", 1), change("", 0, "new")))
	third := 1.0 / 3
	sent := []session.Tap{
		{ID: "tap-00002", At: "2027-01-16T16:20:07.5Z", Kind: "adjust", Setup: "setup-1", Light: "key", Stops: &third},
		{ID: "tap-00001", At: "2027-01-16T13:20:06-03:00", Kind: "tick", Shot: "hero", Text: "é ½"},
		{ID: "tap-00003", At: "2027-01-16T16:20:08Z", Kind: "tick", Undoes: "tap-00001"},
	}
	if n := must[int](t)(st.AddTaps(ctx, "a", sent[:2])); n != 2 {
		t.Errorf("%d were new", n)
	}
	if n := must[int](t)(st.AddTaps(ctx, "a", append(sent, sent...))); n != 1 {
		t.Errorf("sent again: %d were new", n)
	}
	got := must[[]session.Tap](t)(st.Taps(ctx, "a"))
	if want := []session.Tap{sent[1], sent[0], sent[2]}; !reflect.DeepEqual(got, want) {
		t.Errorf("taps %+v", got)
	}
	if d := must[session.Document](t)(st.Get(ctx, "a")); d.Revision != 1 {
		t.Errorf("taps made revision %d", d.Revision)
	}
}

// many: of all who change the same revision, one wins each time, and everybody
// gets through in the end.
func many(t *testing.T, st session.Store) {
	const writers, each = 8, 5
	ctx := context.Background()
	a := Sample("a", 1)
	must[session.Document](t)(st.Create(ctx, a, change("", 0, "new")))
	var wg sync.WaitGroup
	for w := range writers {
		wg.Go(func() {
			for i := range each {
				for {
					d, err := st.Get(ctx, "a")
					if err != nil {
						t.Error(err)
						return
					}
					_, err = st.Save(ctx, titled(a, fmt.Sprintf("%d of %d", i, w)), change("a", d.Revision, "x"))
					if errors.As(err, new(*session.StaleError)) {
						continue
					}
					if err != nil {
						t.Error(err)
					}
					break
				}
			}
		})
	}
	wg.Wait()
	if d := must[session.Document](t)(st.Get(ctx, "a")); d.Revision != 1+writers*each {
		t.Errorf("%d changes ended at revision %d", writers*each, d.Revision)
	}
}

// random compares the store with the plainest one over many changes.
func random(t *testing.T, st session.Store) {
	ctx, ref, rng := context.Background(), &Memory{}, rand.New(rand.NewPCG(1, 2))
	ids := []string{"a", "b", "c"}
	for i := range 300 {
		id := ids[rng.IntN(len(ids))]
		c := change(id, int64(i), fmt.Sprint("change ", i))
		if now, err := ref.Get(ctx, id); err == nil {
			c.From = now.Revision - int64(rng.IntN(8)/7) // one in eight is late
		}
		x, kind := titled(Sample(id, 1), fmt.Sprint(rng.IntN(4))), rng.IntN(8)
		do := func(s session.Store) (session.Document, error) {
			switch kind {
			case 0:
				return s.Create(ctx, x, c)
			case 1:
				return s.Remove(ctx, c)
			case 2, 3:
				return s.Undo(ctx, c)
			case 4, 5:
				return s.Redo(ctx, c)
			}
			return s.Save(ctx, x, c)
		}
		want, wantErr := do(ref)
		got, err := do(st)
		if a, b := show(want, wantErr), show(got, err); a != b {
			t.Fatalf("change %d (%d of %s):\n%s\nwant\n%s", i, kind, id, b, a)
		}
	}
	for _, id := range ids {
		want, _ := ref.History(ctx, id, 500)
		got, _ := st.History(ctx, id, 500)
		if show(want, nil) != show(got, nil) {
			t.Errorf("history of %s:\n%s\nwant\n%s", id, show(got, nil), show(want, nil))
		}
	}
}

func show(x any, err error) string {
	text, _ := json.Marshal(x)
	if err != nil {
		return fmt.Sprintf("%T %v", err, err)
	}
	return string(text)
}
