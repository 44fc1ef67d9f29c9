package server

import (
	"context"
	"net/http/httptest"
	"strings"
	"testing"

	"hardnoon/session"
	"hardnoon/store/storetest"
)

// Every sheet comes with its type, its name and nothing else.
func TestSheet(t *testing.T) {
	b := local(t)
	b.want(201, "", "POST", "/api/sessions", demo(t))
	for query, want := range map[string][3]string{
		"pictures=none":                          {"application/pdf", "javelin-light.pdf", "%PDF-"},
		"kind=light&as=svg&pictures=none":        {"image/svg+xml", "javelin-light.svg", "<svg "},
		"kind=family&size=letter&units=imperial": {"application/pdf", "javelin-family.pdf", "%PDF-"},
		"kind=release&as=svg":                    {"image/svg+xml", "javelin-release.svg", "<svg "},
		"kind=list":                              {"application/pdf", "javelin-list.pdf", "%PDF-"},
		"kind=calendar":                          {"text/calendar; charset=utf-8", "javelin-calendar.ics", "BEGIN:VCALENDAR\r\n"},
	} {
		w := b.want(200, "", "GET", "/api/sessions/javelin/sheet?"+query, "")
		h := w.Header()
		if got := h.Get("Content-Type"); got != want[0] {
			t.Errorf("%s: Content-Type %s", query, got)
		}
		if got := h.Get("Content-Disposition"); got != `inline; filename="`+want[1]+`"` {
			t.Errorf("%s: Content-Disposition %s", query, got)
		}
		if !strings.HasPrefix(w.Body.String(), want[2]) {
			t.Errorf("%s: begins with %.20q", query, w.Body)
		}
	}
	// The picture is inside, where one is asked for, and its policy lets it be seen.
	// One setup: four take long on a busy machine.
	s, err := session.Read([]byte(demo(t)))
	if err != nil {
		t.Fatal(err)
	}
	s.ID, s.Setups = "one", s.Setups[:1]
	one, err := session.Write(s)
	if err != nil {
		t.Fatal(err)
	}
	b.want(201, "", "POST", "/api/sessions", string(one))
	w := b.want(200, "", "GET", "/api/sessions/one/sheet?as=svg", "")
	if got := strings.Count(w.Body.String(), "data:image/png;base64,"); got != 1 || !strings.Contains(w.Header().Get("Content-Security-Policy"), "img-src data:") {
		t.Errorf("%d pictures, want 1; %s", got, w.Header())
	}
	for query, field := range map[string]string{"kind=novel": "kind", "as=doc": "as", "size=a3": "size", "units=ells": "units", "pictures=oil": "pictures"} {
		w := b.want(400, "wrong_input", "GET", "/api/sessions/javelin/sheet?"+query, "")
		if !strings.Contains(w.Body.String(), `"field":"`+field+`"`) {
			t.Errorf("%s: %s", query, w.Body)
		}
	}
	b.want(404, "no_such_session", "GET", "/api/sessions/nobody/sheet", "")
	b.want(404, "no_such_route", "GET", "/api/sessions/javelin/paper", "")
	b.want(405, "wrong_method", "POST", "/api/sessions/javelin/sheet", "")
	b.want(200, "", "DELETE", "/api/sessions/javelin", "", "If-Match", `"1"`)
	b.want(410, "removed", "GET", "/api/sessions/javelin/sheet", "")
}

// Whoever hangs up gets no sheet, and the token is free again.
func TestSheetGivenUp(t *testing.T) {
	s := newServer(t, &storetest.Memory{}, nil)
	b := browser{t, s.Local()}
	b.want(201, "", "POST", "/api/sessions", demo(t))
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	r := httptest.NewRequestWithContext(ctx, "GET", "http://localhost/api/sessions/javelin/sheet?pictures=fine", nil)
	w := httptest.NewRecorder()
	b.h.ServeHTTP(w, r)
	if w.Code == 200 || strings.HasPrefix(w.Body.String(), "%PDF") {
		t.Errorf("%d", w.Code)
	}
	if n := len(s.busy); n != 0 {
		t.Errorf("%d tokens are held", n)
	}
}
