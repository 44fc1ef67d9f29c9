package app_test

import (
	"context"
	"errors"
	"strings"
	"testing"
	"time"
	_ "time/tzdata"

	"hardnoon/app"
	"hardnoon/session"
	"hardnoon/store/storetest"
)

func clock() time.Time { return time.Date(2027, 1, 10, 12, 0, 0, 123456789, time.UTC) }

func file(t *testing.T, id, title string) []byte {
	t.Helper()
	s := storetest.Sample("x", 1)
	s.ID, s.Title = id, title
	data, err := session.Write(s)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func TestImportFindsAFreeID(t *testing.T) {
	w := app.NewWorkspace(&storetest.Memory{}, clock)
	long := strings.Repeat("a", 63) + "b"
	for _, c := range []struct{ id, title, want string }{
		{"javelin", "x", "javelin"}, {"javelin", "x", "javelin-2"}, {"javelin", "x", "javelin-3"}, {"javelin-2", "x", "javelin-2-2"},
		{"", "Lanzamiento, niñas: Día 1", "lanzamiento-ninas-dia-1"}, {"", "日本", "session"}, {"", "!", "session-2"},
		{long, "x", long}, {long, "x", strings.Repeat("a", 62) + "-2"},
		{"", strings.Repeat("long title ", 50), "long-title-long-title-long-title-long-ti"},
	} {
		d, err := w.Import(context.Background(), file(t, c.id, c.title), app.Edit{Label: "import"})
		if err != nil || d.ID != c.want {
			t.Errorf("%q %q: %q, want %q (%v)", c.id, c.title, d.ID, c.want, err)
		}
		if s, err := w.Session(context.Background(), c.want); err != nil || s.ID != c.want {
			t.Errorf("%q stands in the file as %q (%v)", c.want, s.ID, err)
		}
	}
}

func TestSaveKeepsTheID(t *testing.T) {
	ctx, w := context.Background(), app.NewWorkspace(&storetest.Memory{}, clock)
	if _, err := w.Import(ctx, file(t, "a", "x"), app.Edit{}); err != nil {
		t.Fatal(err)
	}
	if d, err := w.Save(ctx, file(t, "", "y"), app.Edit{ID: "a", From: 1}); err != nil || d.Revision != 2 || d.SavedAt != clock().Truncate(time.Millisecond) {
		t.Errorf("%v %+v", err, d)
	}
	if _, err := w.Save(ctx, file(t, "b", "y"), app.Edit{ID: "a", From: 2}); !errors.As(err, new(*app.RenamedError)) {
		t.Error(err)
	}
	if _, err := w.Save(ctx, []byte("{}"), app.Edit{ID: "a", From: 2}); !errors.As(err, new(session.Errors)) {
		t.Error(err)
	}
}

func TestListen(t *testing.T) {
	ctx, w := context.Background(), app.NewWorkspace(&storetest.Memory{}, clock)
	news, stop := w.Listen()
	w.Import(ctx, file(t, "a", "x"), app.Edit{By: "me"})
	w.Save(ctx, file(t, "a", "x"), app.Edit{ID: "a", From: 1})           // the same
	w.Save(ctx, file(t, "a", "lost"), app.Edit{ID: "a", From: 0})        // too old
	w.Save(ctx, file(t, "a", "y"), app.Edit{ID: "a", From: 1, By: "me"}) // this
	tap := []session.Tap{{ID: "tap-00001", At: "2027-01-16T16:20:07Z", Kind: "tick"}}
	w.AddTaps(ctx, "a", tap, "phone")
	w.AddTaps(ctx, "a", tap, "phone") // sent again
	w.Remove(ctx, app.Edit{ID: "a", From: 2})
	for _, want := range []app.News{{ID: "a", Revision: 1, By: "me"}, {ID: "a", Revision: 2, By: "me"}, {ID: "a", Taps: true, By: "phone"}, {ID: "a", Revision: 3, Removed: true}} {
		if got := <-news; got != want {
			t.Errorf("heard %+v, want %+v", got, want)
		}
	}
	stop()
	stop()
	if _, open := <-news; open {
		t.Error("still listening")
	}
	slow, _ := w.Listen()
	d, _ := w.Get(ctx, "a")
	for range 200 {
		f := w.Undo
		if !d.Removed {
			f = w.Redo
		}
		var err error
		if d, err = f(ctx, app.Edit{ID: "a", From: d.Revision}); err != nil {
			t.Fatal(err)
		}
	}
	heard := 0
	for range slow {
		heard++
	}
	if heard == 0 || heard > 100 {
		t.Errorf("a listener that never listens got %d before it was dropped", heard)
	}
}
