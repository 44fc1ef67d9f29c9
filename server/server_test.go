package server

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"sync"
	"testing"
	"testing/fstest"
	"time"
	_ "time/tzdata"

	"github.com/andybalholm/brotli"

	"hardnoon/api"
	"hardnoon/app"
	"hardnoon/session"
	"hardnoon/store/sqlite"
	"hardnoon/store/storetest"
)

var update = flag.Bool("update", false, "write docs/formats/openapi.json anew")

func TestOpenAPIIsCurrent(t *testing.T) {
	for _, name := range api.Questions() {
		if _, ok := shapes[name]; !ok {
			t.Errorf("question %q has no line in shapes (openapi.go)", name)
		}
	}
	path := filepath.Join("..", "docs", "formats", "openapi.json")
	if *update {
		if err := os.WriteFile(path, OpenAPI(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if got, err := os.ReadFile(path); err != nil || !bytes.Equal(got, OpenAPI()) {
		t.Errorf("%s is not what the types say; go test ./server -run OpenAPI -update", path)
	}
}

// Every reference in the description leads somewhere.
func TestOpenAPIReferences(t *testing.T) {
	var doc struct {
		Paths      map[string]any
		Components struct{ Schemas map[string]any }
	}
	if err := json.Unmarshal(OpenAPI(), &doc); err != nil {
		t.Fatal(err)
	}
	var walk func(x any)
	walk = func(x any) {
		switch x := x.(type) {
		case map[string]any:
			if ref, ok := x["$ref"].(string); ok && doc.Components.Schemas[strings.TrimPrefix(ref, "#/components/schemas/")] == nil {
				t.Errorf("%s leads nowhere", ref)
			}
			for _, v := range x {
				walk(v)
			}
		case []any:
			for _, v := range x {
				walk(v)
			}
		}
	}
	walk(doc.Paths)
	walk(doc.Components.Schemas)
}

var app1 = fstest.MapFS{
	"index.html":           {Data: []byte("<!doctype html>the app")},
	"app.js":               {Data: bytes.Repeat([]byte("go();\n"), 1000)},
	"font-0123abcd4.woff2": {Data: []byte("wOF2")},
	"engine.wasm.br":       {Data: squeeze("\x00asm and more")},
}

func squeeze(text string) []byte {
	var b bytes.Buffer
	w := brotli.NewWriterLevel(&b, 11)
	io.WriteString(w, text)
	w.Close()
	return b.Bytes()
}

func newServer(t testing.TB, store session.Store, sharing *Sharing) *Server {
	t.Helper()
	s, err := New(Options{Workspace: app.NewWorkspace(store, time.Now), Name: "test", Version: "1", Files: app1, Sharing: sharing,
		Places: func(_ context.Context, text string) ([]Place, error) { return []Place{{Name: text, Zone: "UTC"}}, nil }})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(s.end)
	return s
}

// A browser asks a server in this process.
type browser struct {
	t testing.TB
	h http.Handler
}

func (b browser) ask(method, path, body string, headers ...string) *httptest.ResponseRecorder {
	b.t.Helper()
	r := httptest.NewRequest(method, path, strings.NewReader(body))
	r.Host = "127.0.0.1:7741"
	if body != "" {
		r.Header.Set("Content-Type", "application/json")
	}
	for i := 0; i < len(headers); i += 2 {
		r.Header.Set(headers[i], headers[i+1])
		if headers[i] == "Host" {
			r.Host = headers[i+1]
		}
	}
	w := httptest.NewRecorder()
	b.h.ServeHTTP(w, r)
	return w
}

// want asks and checks the status and, for a failure, its code.
func (b browser) want(status int, code, method, path, body string, headers ...string) *httptest.ResponseRecorder {
	b.t.Helper()
	w := b.ask(method, path, body, headers...)
	if w.Code != status {
		b.t.Errorf("%s %s: %d, want %d: %.300s", method, path, w.Code, status, w.Body)
	}
	if w.Code >= 400 {
		var f failure
		if err := json.Unmarshal(w.Body.Bytes(), &f); err != nil || f.Error == nil || f.Error.Code != code || f.Error.Text == "" {
			b.t.Errorf("%s %s: failure %.300s, want code %s", method, path, w.Body, code)
		}
	}
	return w
}

func local(t testing.TB) browser {
	return browser{t, newServer(t, &storetest.Memory{}, nil).Local()}
}

func demo(t testing.TB) string {
	t.Helper()
	data, err := os.ReadFile("../demo/javelin.json")
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

func document(t testing.TB, w *httptest.ResponseRecorder) session.Document {
	t.Helper()
	var d session.Document
	if err := json.Unmarshal(w.Body.Bytes(), &d); err != nil {
		t.Fatalf("%v: %.200s", err, w.Body)
	}
	return d
}

func TestSessions(t *testing.T) {
	b, file := local(t), demo(t)
	w := b.want(201, "", "POST", "/api/sessions", file)
	if w.Header().Get("Location") != "/api/sessions/javelin" || w.Header().Get("ETag") != `"1"` {
		t.Errorf("created: %v", w.Header())
	}
	b.want(201, "", "POST", "/api/sessions", file) // again: javelin-2
	b.want(200, "", "GET", "/api/sessions/javelin-2", "")
	w = b.want(200, "", "GET", "/api/sessions", "")
	if !strings.Contains(w.Body.String(), `"id":"javelin-2"`) {
		t.Errorf("list: %s", w.Body)
	}
	got := b.want(200, "", "GET", "/api/sessions/javelin", "")
	if d := document(t, got); d.Revision != 1 || d.Undo != nil {
		t.Errorf("got %+v", d)
	}
	b.want(304, "", "GET", "/api/sessions/javelin", "", "If-None-Match", `"1"`)

	changed := strings.Replace(file, "high noon", "two o'clock", 1)
	w = b.want(200, "", "PUT", "/api/sessions/javelin?label=new+title", changed, "If-Match", `"1"`)
	if d := document(t, w); d.Revision != 2 || d.Undo == nil || *d.Undo != "new title" || w.Header().Get("ETag") != `"2"` {
		t.Errorf("saved %+v", d)
	}
	// The second window saw revision 1.
	w = b.want(409, "newer", "PUT", "/api/sessions/javelin", file, "If-Match", `"1"`)
	var f failure
	if json.Unmarshal(w.Body.Bytes(), &f); f.Current == nil || f.Current.Revision != 2 || !strings.Contains(string(f.Current.Session), "two o'clock") {
		t.Errorf("the newer document: %.300s", w.Body)
	}
	b.want(428, "revision_missing", "PUT", "/api/sessions/javelin", file)
	for _, tag := range []string{"1", `W/"1"`, `"x"`, `"-1"`, "*", `"99999999999999999999"`, `"01"`} {
		b.want(400, "wrong_input", "PUT", "/api/sessions/javelin", file, "If-Match", tag)
	}
	b.want(400, "wrong_session", "PUT", "/api/sessions/javelin", "{}", "If-Match", `"2"`)
	b.want(400, "wrong_session", "PUT", "/api/sessions/javelin", strings.Replace(file, `"id": "javelin"`, `"id": "other"`, 1), "If-Match", `"2"`)
	b.want(404, "no_such_session", "PUT", "/api/sessions/nobody", strings.Replace(file, `"id": "javelin"`, `"id": "nobody"`, 1), "If-Match", `"2"`)

	w = b.want(200, "", "POST", "/api/sessions/javelin/undo", "", "If-Match", `"2"`)
	if d := document(t, w); d.Revision != 3 || d.Redo == nil || !strings.Contains(string(d.Session), "high noon") {
		t.Errorf("undone %+v", d)
	}
	b.want(409, "nothing_to_undo", "POST", "/api/sessions/javelin/undo", "", "If-Match", `"3"`)
	b.want(200, "", "POST", "/api/sessions/javelin/redo", "", "If-Match", `"3"`)
	b.want(409, "nothing_to_redo", "POST", "/api/sessions/javelin/redo", "", "If-Match", `"4"`)
	b.want(200, "", "GET", "/api/sessions/javelin/history", "")
	b.want(200, "", "GET", "/api/sessions/javelin/history/1", "")
	b.want(404, "no_such_revision", "GET", "/api/sessions/javelin/history/77", "")
	b.want(404, "no_such_revision", "GET", "/api/sessions/javelin/history/x", "")

	w = b.want(200, "", "GET", "/api/sessions/javelin/file", "")
	if s, err := session.Read(w.Body.Bytes()); err != nil || s.ID != "javelin" || !strings.Contains(w.Header().Get("Content-Disposition"), "javelin.json") {
		t.Errorf("exported: %v, %v", err, w.Header())
	}

	w = b.want(200, "", "DELETE", "/api/sessions/javelin", "", "If-Match", `"4"`)
	if d := document(t, w); !d.Removed || string(d.Session) != "null" {
		t.Errorf("removed %+v", d)
	}
	b.want(410, "removed", "GET", "/api/sessions/javelin", "")
	b.want(410, "removed", "GET", "/api/sessions/javelin/file", "")
	if w = b.want(200, "", "GET", "/api/sessions?removed=1", ""); !strings.Contains(w.Body.String(), `"id":"javelin"`) {
		t.Errorf("removed ones: %s", w.Body)
	}
	b.want(200, "", "POST", "/api/sessions/javelin/undo", "", "If-Match", `"5"`)
	b.want(200, "", "GET", "/api/sessions/javelin", "")
}

func TestTaps(t *testing.T) {
	b := local(t)
	b.want(201, "", "POST", "/api/sessions", demo(t))
	const path = "/api/sessions/javelin/taps"
	tap := `{"id":"tap-00001","at":"2027-01-16T16:20:07Z","kind":"tick","shot":"hero-full"}`
	for _, want := range []string{`{"taps":1,"new":1}`, `{"taps":1,"new":0}`} {
		if w := b.want(200, "", "POST", path, `{"taps":[`+tap+`]}`); w.Body.String() != want {
			t.Errorf("%s, want %s", w.Body, want)
		}
	}
	if w := b.want(200, "", "GET", path, ""); w.Body.String() != `{"taps":[`+tap+`]}` {
		t.Errorf("taps: %s", w.Body)
	}
	for _, bad := range []string{`{}`, `{"taps":null}`, `{"taps":[]} x`, `{"taps":{}}`, `{"taps":[{"id":"short"}]}`, `{"taps":[{"id":"tap-00001"}]}`, `[]`,
		strings.Replace(`{"taps":[`+tap+`]}`, "tick", "Tick!", 1), strings.Replace(`{"taps":[`+tap+`]}`, "2027", "0027", 1),
		strings.Replace(`{"taps":[`+tap+`]}`, `"kind"`, `"stops":1e9,"kind"`, 1)} {
		w := b.ask("POST", path, bad)
		if w.Code != 400 && bad != `{}` && bad != `{"taps":null}` {
			t.Errorf("%s: %d %s", bad, w.Code, w.Body)
		}
	}
	b.want(413, "too_large", "POST", path, `{"taps":[`+strings.Repeat(tap+",", 1000)+tap+`]}`)
	b.want(413, "too_large", "POST", path, `{"taps":[`+strings.Repeat(`{},`, 500)+`{}]}`)
	b.want(404, "no_such_session", "POST", "/api/sessions/nobody/taps", `{"taps":[`+tap+`]}`)
}

func TestQuestions(t *testing.T) {
	b := local(t)
	var names questionsAnswer
	json.Unmarshal(b.want(200, "", "GET", "/api/questions", "").Body.Bytes(), &names)
	if !reflect.DeepEqual(names.Questions, api.Questions()) {
		t.Errorf("questions %v", names)
	}
	sun := `{"lat_deg":-33.05,"lon_deg":-71.6,"at":"2027-01-16T13:20:00-03:00"}`
	want, _ := api.CallJSON("sun", []byte(sun))
	if w := b.want(200, "", "POST", "/api/ask/sun", sun); w.Body.String() != string(want) {
		t.Errorf("over HTTP: %s", w.Body)
	}
	b.want(200, "", "POST", "/api/ask/plan", demo(t))
	b.want(404, "unknown_question", "POST", "/api/ask/weather", "{}")
	b.want(400, "unreadable", "POST", "/api/ask/sun", "{")
	b.want(400, "out_of_range", "POST", "/api/ask/sun", strings.Replace(sun, "-33.05", "-133", 1))
	b.want(413, "too_large", "POST", "/api/ask/sun", `{"at":"`+strings.Repeat("x", mostSmall)+`"}`)
	b.want(415, "not_json", "POST", "/api/ask/sun", sun, "Content-Type", "text/plain")
	b.want(405, "wrong_method", "GET", "/api/ask/sun", "")
	b.want(405, "wrong_method", "DELETE", "/api/sessions", "")
	b.want(405, "wrong_method", "PATCH", "/api/sessions/x/undo", "")
	b.want(404, "no_such_route", "GET", "/api/nothing", "")
	b.want(200, "", "GET", "/api/about", "")
	b.want(200, "", "GET", "/api/places?q=valparaiso", "")
	b.want(400, "wrong_input", "GET", "/api/places", "")
	b.want(400, "wrong_input", "GET", "/api/places?q=%00", "")
	b.want(400, "wrong_session", "POST", "/api/sessions", `{"title":"`+strings.Repeat("x", 1<<20)+`"}`)
	b.want(413, "too_large", "POST", "/api/sessions", strings.Repeat(" ", mostSession+1))
}

func TestGuard(t *testing.T) {
	b := local(t)
	for _, host := range []string{"evil.example", "127.0.0.1.evil.example", "192.168.1.5:7741", "", "localhost.evil.example:7741"} {
		r := httptest.NewRequest("GET", "/api/sessions", nil)
		r.Host = host
		w := httptest.NewRecorder()
		b.h.ServeHTTP(w, r)
		if w.Code != http.StatusMisdirectedRequest {
			t.Errorf("host %q: %d", host, w.Code)
		}
	}
	for _, host := range []string{"localhost:7741", "127.0.0.1", "[::1]:7741", "127.0.0.9:1"} {
		b.want(200, "", "GET", "/api/sessions", "", "Host", host)
	}
	b.want(403, "cross_origin", "POST", "/api/sessions", demo(t), "Sec-Fetch-Site", "cross-site")
	b.want(403, "cross_origin", "POST", "/api/sessions", demo(t), "Origin", "https://evil.example")
	b.want(403, "cross_origin", "GET", "/api/sessions", "", "Sec-Fetch-Site", "cross-site")
	b.want(201, "", "POST", "/api/sessions", demo(t), "Sec-Fetch-Site", "same-origin", "Origin", "http://127.0.0.1:7741")
	w := b.want(200, "", "GET", "/", "")
	if csp := w.Header().Get("Content-Security-Policy"); csp != policy || strings.Contains(csp, "unsafe-inline") || strings.Contains(csp, "http") {
		t.Errorf("policy %q", csp)
	}
}

func TestFiles(t *testing.T) {
	b := local(t)
	for path, want := range map[string]string{"/": "the app", "/field/javelin": "the app", "/index.html": "the app", "/font-0123abcd4.woff2": "wOF2", "/engine.wasm": "\x00asm and more"} {
		if w := b.want(200, "", "GET", path, ""); !strings.Contains(w.Body.String(), want) {
			t.Errorf("%s: %q", path, w.Body)
		}
	}
	b.want(404, "no_such_route", "GET", "/no.js", "")
	b.want(404, "no_such_route", "GET", "/engine.wasm.br", "")
	b.want(405, "wrong_method", "POST", "/", "{}")
	w := b.want(200, "", "GET", "/engine.wasm", "", "Accept-Encoding", "gzip, deflate, br")
	if w.Header().Get("Content-Encoding") != "br" || w.Header().Get("Content-Type") != "application/wasm" || w.Body.String() != string(squeeze("\x00asm and more")) {
		t.Errorf("packed: %v", w.Header())
	}
	w = b.want(200, "", "GET", "/app.js", "", "Accept-Encoding", "gzip;q=0.5, br;q=0")
	if w.Header().Get("Content-Encoding") != "gzip" || w.Body.Len() > 1000 || w.Header().Get("Cache-Control") != "no-cache" {
		t.Errorf("packed: %v", w.Header())
	}
	b.want(304, "", "GET", "/app.js", "", "Accept-Encoding", "gzip", "If-None-Match", w.Header().Get("ETag"))
	if w = b.want(200, "", "GET", "/font-0123abcd4.woff2", ""); !strings.Contains(w.Header().Get("Cache-Control"), "immutable") {
		t.Errorf("cache: %v", w.Header())
	}
}

// The app inside the program is served too.
func TestBuiltIn(t *testing.T) {
	s, err := New(Options{Workspace: app.NewWorkspace(&storetest.Memory{}, time.Now)})
	if err != nil {
		t.Fatal(err)
	}
	w := browser{t, s.Local()}.want(200, "", "GET", "/", "")
	if page := w.Body.String(); !strings.Contains(page, "<script") || strings.Contains(page, "https://") {
		t.Errorf("index.html: %.300s", page)
	}
}

func TestEvents(t *testing.T) {
	s := newServer(t, &storetest.Memory{}, nil)
	hs := httptest.NewServer(s.Local())
	defer hs.Close()
	r, err := http.Get(hs.URL + "/api/events")
	if err != nil {
		t.Fatal(err)
	}
	defer r.Body.Close()
	lines := bufio.NewScanner(r.Body)
	next := func() (out string) {
		for lines.Scan() && lines.Text() != "" {
			out += lines.Text() + "\n"
		}
		return out
	}
	if got := next(); got != "event: hello\ndata: {\"version\":\"1\"}\n" {
		t.Errorf("greeted with %q", got)
	}
	b := browser{t, s.Local()}
	b.want(201, "", "POST", "/api/sessions", demo(t), "X-Client", "x7")
	if got := next(); got != "event: session\ndata: {\"id\":\"javelin\",\"revision\":1,\"removed\":false,\"by\":\"x7\"}\n" {
		t.Errorf("heard %q", got)
	}
	b.want(200, "", "POST", "/api/sessions/javelin/taps", `{"taps":[{"id":"tap-00001","at":"2027-01-16T16:20:07Z","kind":"tick"}]}`, "X-Client", "bad name")
	if got := next(); got != "event: taps\ndata: {\"id\":\"javelin\",\"by\":\"\"}\n" {
		t.Errorf("heard %q", got)
	}
	s.end()
	if got := next(); got != "" || lines.Err() != nil {
		t.Errorf("after the end: %q %v", got, lines.Err())
	}
}

// 50 windows at once on one real workspace, five on each of ten sessions: nobody
// gets an error, and nobody's change is lost.
func TestManyClients(t *testing.T) {
	store, err := sqlite.Open(context.Background(), filepath.Join(t.TempDir(), "w"))
	if err != nil {
		t.Fatal(err)
	}
	defer store.Close()
	hs := httptest.NewServer(newServer(t, store, nil).Local())
	defer hs.Close()
	const clients, sessions, each = 50, 10, 3
	hs.Client().Transport.(*http.Transport).MaxIdleConnsPerHost = clients
	send := func(method, path, body, match string) (int, string, error) {
		r, err := http.NewRequest(method, hs.URL+path, strings.NewReader(body))
		if err != nil {
			return 0, "", err
		}
		r.Header.Set("Content-Type", "application/json")
		if match != "" {
			r.Header.Set("If-Match", match)
		}
		w, err := hs.Client().Do(r)
		if err != nil {
			return 0, "", err
		}
		defer w.Body.Close()
		data, err := io.ReadAll(w.Body)
		return w.StatusCode, string(data), err
	}
	file := demo(t)
	id := func(n int) string { return fmt.Sprintf("day-%d", n%sessions) }
	as := func(n int, title string) string {
		return strings.Replace(strings.Replace(file, `"id": "javelin"`, `"id": "`+id(n)+`"`, 1), "high noon", title, 1)
	}
	for n := range sessions {
		if status, text, err := send("POST", "/api/sessions", as(n, "new"), ""); status != 201 {
			t.Fatal(text, err)
		}
	}
	var wg sync.WaitGroup
	for c := range clients {
		wg.Go(func() {
			for i := range each {
				for _, path := range []string{"/api/sessions", "/api/questions", "/"} {
					if status, text, err := send("GET", path, "", ""); status != 200 {
						t.Errorf("%s: %d %v %.200s", path, status, err, text)
					}
				}
				sun := fmt.Sprintf(`{"lat_deg":%d,"lon_deg":-71.6,"at":"2027-01-16T13:20:00-03:00"}`, c)
				if status, text, err := send("POST", "/api/ask/sun", sun, ""); status != 200 {
					t.Errorf("sun: %d %v %.200s", status, err, text)
				}
				for saved := false; !saved; {
					_, text, err := send("GET", "/api/sessions/"+id(c), "", "")
					var d session.Document
					if err := errors.Join(err, json.Unmarshal([]byte(text), &d)); err != nil {
						t.Error(err)
						return
					}
					mine := as(c, fmt.Sprintf("client %d, change %d", c, i))
					status, text, err := send("PUT", "/api/sessions/"+id(c), mine, tag(d.Revision))
					if status != 200 && status != 409 {
						t.Errorf("put: %d %v %.200s", status, err, text)
						return
					}
					saved = status == 200
				}
			}
		})
	}
	wg.Wait()
	for n := range sessions {
		d, err := store.Get(context.Background(), id(n))
		if err != nil || d.Revision != 1+clients/sessions*each {
			t.Errorf("%d changes of %s ended at revision %d: %v", clients/sessions*each, id(n), d.Revision, err)
		}
	}
}

// start runs s on a port of its own and returns its address and how to end it.
func start(t *testing.T, s *Server) (addr string, stop func()) {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error)
	go func() { ended <- s.Serve(ctx, l, s.Local()) }()
	return l.Addr().String(), func() {
		t.Helper()
		cancel()
		if err := <-ended; err != nil {
			t.Errorf("stopping: %v", err)
		}
	}
}

// A client that begins a request and does not go on is let go.
func TestSlowClient(t *testing.T) {
	s := newServer(t, &storetest.Memory{}, nil)
	s.wait = patience{header: 50 * time.Millisecond, body: 50 * time.Millisecond, answer: time.Second, idle: 50 * time.Millisecond}
	addr, stop := start(t, s)
	defer stop()
	for what, sent := range map[string]string{
		"nothing": "", "half a header": "POST /api/ask/sun HT", "half a body": "POST /api/ask/sun HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\nContent-Length: 1000\r\n\r\n{",
	} {
		c, err := net.Dial("tcp", addr)
		if err != nil {
			t.Fatal(err)
		}
		c.SetDeadline(time.Now().Add(10 * time.Second)) // longer than any patience above
		io.WriteString(c, sent)
		if got, err := io.ReadAll(c); err != nil || strings.Contains(string(got), " 200 ") || strings.Contains(string(got), " 50") {
			t.Errorf("%s: %v, answered %q", what, err, got)
		}
		c.Close()
	}
}

// The end does not wait for windows that listen.
func TestStopWithListeners(t *testing.T) {
	addr, stop := start(t, newServer(t, &storetest.Memory{}, nil))
	r, err := http.Get("http://" + addr + "/api/events")
	if err != nil {
		t.Fatal(err)
	}
	defer r.Body.Close()
	stop()
}

// 200 sessions of 12 setups each, as the app lists them.
func BenchmarkList(b *testing.B) {
	store, err := sqlite.Open(context.Background(), filepath.Join(b.TempDir(), "w"))
	if err != nil {
		b.Fatal(err)
	}
	defer store.Close()
	for i := range 200 {
		if _, err := store.Create(context.Background(), storetest.Sample(fmt.Sprint("s", i), 12), session.Change{At: time.Now()}); err != nil {
			b.Fatal(err)
		}
	}
	hs := httptest.NewServer(newServer(b, store, nil).Local())
	defer hs.Close()
	for b.Loop() {
		r, err := hs.Client().Get(hs.URL + "/api/sessions")
		if err != nil {
			b.Fatal(err)
		}
		var list listAnswer
		if err := json.NewDecoder(r.Body).Decode(&list); err != nil || len(list.Sessions) != 200 {
			b.Fatal(err, len(list.Sessions))
		}
		r.Body.Close()
	}
}
