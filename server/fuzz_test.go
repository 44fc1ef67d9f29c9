package server

import (
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"hardnoon/api"
	"hardnoon/store/storetest"
)

// Whatever is asked of whatever address, the answer comes, in time, is JSON
// with words when there is none, and never a 5xx.
func FuzzFacade(f *testing.F) {
	b := browser{f, newServer(f, &storetest.Memory{}, nil).Local()}
	file := demo(f)
	b.want(201, "", "POST", "/api/sessions", file)
	for _, name := range api.Questions() {
		for _, body := range []string{"", "{}", "[]", "null", `{"session":null}`, `{"lat_deg":1e308,"lon_deg":-1e308,"at":"9999-12-31T23:59:59Z"}`, file, `{"session":` + file + `}`} {
			f.Add("POST", "/api/ask/"+name, `"1"`, body)
		}
	}
	for _, path := range []string{"/", "/x", "/api", "/api/", "//api//sessions", "/api/sessions/../../etc/passwd", "/api/sessions/%2e%2e", "/api/places?q=1", "/api/sessions/javelin/sheet?kind=light&as=pdf&pictures=none",
		"/api/sessions/javelin/history/9223372036854775808", "/openapi.json", "/api/sessions/javelin?label=%ff"} {
		for _, method := range []string{"GET", "HEAD", "POST", "PUT", "DELETE", "OPTIONS", "TRACE", "PRI"} {
			f.Add(method, path, `"1"`, file)
		}
	}
	f.Add("PUT", "/api/sessions/javelin", `"1"`, strings.Replace(file, "1.9", "-1.9", 1))
	f.Add("POST", "/api/sessions/javelin/taps", "", `{"taps":[{"id":"tap-00001","at":"2027-01-16T16:20:07Z","kind":"tick"}]}`)
	f.Fuzz(func(t *testing.T, method, path, match, body string) {
		if !strings.HasPrefix(path, "/") || strings.HasPrefix(path, "/api/events") {
			return // a stream does not end; TestEvents has it
		}
		r, err := http.NewRequest(method, "http://127.0.0.1:7741"+path, strings.NewReader(body))
		if err != nil {
			return // no client can send it
		}
		r.Header.Set("Content-Type", "application/json")
		r.Header.Set("If-Match", match)
		w := httptest.NewRecorder()
		done := make(chan bool)
		go func() { b.h.ServeHTTP(w, r); close(done) }()
		select {
		case <-done:
		case <-time.After(longest + 10*time.Second):
			t.Fatalf("%s %s hangs", method, path)
		}
		if w.Code >= 500 {
			t.Fatalf("%s %s: %d %s", method, path, w.Code, w.Body)
		}
		if w.Code >= 400 && method != "HEAD" && !strings.HasPrefix(w.Body.String(), `{"error":{"code":"`) {
			t.Fatalf("%s %s: %d says %q", method, path, w.Code, w.Body)
		}
	})
}
