// Package server is the web app's other half: HTTP for one person's browser and,
// when shared, for the phones paired with it. It answers: the questions of
// package api, the sessions of the workspace, events, and the app's own files.
// docs/formats/protocol.md is the protocol.
//
// It asks nobody: no request leaves for any host. Whatever comes in is bounded
// in size and time and gets an answer; what is wrong with a request is a 4xx
// with words, and a 5xx is a bug.
package server

import (
	"context"
	"errors"
	"io"
	"io/fs"
	"log"
	"net"
	"net/http"
	"runtime"
	"strings"
	"sync/atomic"
	"time"

	"hardnoon/api"
	"hardnoon/app"
	"hardnoon/session"
)

// Options say what a server serves. Workspace must be said.
type Options struct {
	Workspace *app.Workspace
	Name      string                                                  // what the workspace is called, for the person
	Version   string                                                  // of the program
	Files     fs.FS                                                   // the web app; nil is the one inside the program
	Places    func(ctx context.Context, text string) ([]Place, error) // finds places by name; nil knows none
	Sharing   *Sharing                                                // nil: this machine alone
	Log       io.Writer                                               // where bugs are told; nil is nowhere
}

// Place is a spot on the earth that a person named.
type Place struct {
	Name       string   `json:"name" doc:"what people call it"`
	LatDeg     float64  `json:"lat_deg" doc:"north positive" unit:"°"`
	LonDeg     float64  `json:"lon_deg" doc:"east positive" unit:"°"`
	ElevationM *float64 `json:"elevation_m" doc:"above the sea; null when not known" unit:"m"`
	Zone       string   `json:"zone" doc:"IANA name of the time zone"`
	From       string   `json:"from" doc:"town or coordinates"`
}

// Limits of what comes in and how long it may take.
const (
	mostSmall    = 64 << 10
	mostSession  = session.MaxBytes
	mostQuestion = session.MaxBytes + mostSmall // a session and what is asked of it
	beat         = 15 * time.Second             // between signs of life of an event stream
)

// patience is how long a client may take.
type patience struct{ header, body, answer, idle time.Duration }

var usualPatience = patience{header: 5 * time.Second, body: 30 * time.Second, answer: time.Minute, idle: 2 * time.Minute}

// Server answers HTTP. Make one with New.
type Server struct {
	Options
	files   *files
	wait    patience
	busy    chan struct{} // one token a question that is being computed
	stop    context.Context
	end     context.CancelFunc
	streams atomic.Int32
	log     *log.Logger
}

// New returns a server; Local and Shared are its faces.
func New(o Options) (*Server, error) {
	if o.Files == nil {
		o.Files = builtIn()
	}
	files, err := load(o.Files)
	if err != nil {
		return nil, err
	}
	if o.Log == nil {
		o.Log = io.Discard
	}
	s := &Server{Options: o, files: files, wait: usualPatience, busy: make(chan struct{}, max(2, runtime.NumCPU())), log: log.New(o.Log, "", 0)}
	s.stop, s.end = context.WithCancel(context.Background())
	return s, nil
}

// Local is the handler for this machine: it answers to loopback names alone.
func (s *Server) Local() http.Handler {
	mux := s.routes()
	if s.Sharing != nil {
		mux.HandleFunc("GET /api/share", s.Sharing.show)
		mux.HandleFunc("POST /api/share/code", s.Sharing.renew)
	}
	return s.guard(isLoopbackName, mux)
}

// Shared is the handler for the local network: whoever is not paired gets no
// further than the door.
func (s *Server) Shared() http.Handler {
	return s.guard(s.Sharing.isName, s.Sharing.door(s.routes()))
}

func isLoopbackName(host string) bool {
	if host == "localhost" {
		return true
	}
	ip := net.ParseIP(strings.Trim(host, "[]"))
	return ip != nil && ip.IsLoopback()
}

// routes are what both faces serve.
func (s *Server) routes() *http.ServeMux {
	mux := http.NewServeMux()
	for _, r := range s.table() {
		mux.HandleFunc(r.method+" "+r.path, r.handle)
	}
	mux.HandleFunc("/api/", func(w http.ResponseWriter, r *http.Request) {
		// A path that exists under another method was not meant by anybody else.
		if allow := s.allowed(r.URL.Path); allow != "" {
			w.Header().Set("Allow", allow)
			fail(w, http.StatusMethodNotAllowed, &api.Error{Code: "wrong_method", Text: r.Method + " is not for this address", Hint: "it takes " + allow})
			return
		}
		fail(w, http.StatusNotFound, &api.Error{Code: "no_such_route", Text: "there is nothing at this address", Hint: "openapi.json lists what there is"})
	})
	mux.HandleFunc("GET /openapi.json", func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Type", "application/json")
		w.Write(OpenAPI())
	})
	mux.HandleFunc("/", s.files.serve)
	return mux
}

// A route is one line of the protocol; openapi.json is made of the same lines.
type route struct {
	method, path string
	what         string
	request      any // an example value of its type; nil is none
	answer       any
	match        bool     // wants If-Match
	query        []string // names of its parameters, with what they mean: "label: what the change did"
	handle       http.HandlerFunc
}

func (s *Server) table() []route {
	doc := session.Document{}
	return []route{
		{method: "GET", path: "/api/questions", what: "names of the questions", answer: questionsAnswer{}, handle: s.questions},
		{method: "POST", path: "/api/ask/{name}", what: "one question", handle: s.ask},
		{method: "GET", path: "/api/about", what: "what is running", answer: aboutAnswer{}, handle: s.about},
		{method: "GET", path: "/api/events", what: "stream of changes (text/event-stream)", handle: s.events},
		{method: "GET", path: "/api/places", what: "places by name or coordinates", answer: placesAnswer{}, query: []string{"q: what a person calls it"}, handle: s.places},
		{method: "GET", path: "/api/sessions", what: "list of sessions, last saved first", answer: listAnswer{}, query: []string{"removed: 1 for those that were removed"}, handle: s.list},
		{method: "POST", path: "/api/sessions", what: "import a session file under a free id", request: session.Session{}, answer: doc, query: []string{"label: what the change did"}, handle: s.create},
		{method: "GET", path: "/api/sessions/{id}", what: "a session", answer: doc, handle: s.get},
		{method: "PUT", path: "/api/sessions/{id}", what: "save a session", request: session.Session{}, answer: doc, match: true, query: []string{"label: what the change did"}, handle: s.save},
		{method: "DELETE", path: "/api/sessions/{id}", what: "remove a session; undo brings it back", answer: doc, match: true, handle: s.remove},
		{method: "POST", path: "/api/sessions/{id}/undo", what: "take the last change back", answer: doc, match: true, handle: s.undo},
		{method: "POST", path: "/api/sessions/{id}/redo", what: "bring it again", answer: doc, match: true, handle: s.redo},
		{method: "GET", path: "/api/sessions/{id}/file", what: "export: the session file", answer: session.Session{}, handle: s.file},
		{method: "GET", path: "/api/sessions/{id}/history", what: "its revisions, newest first", answer: historyAnswer{}, handle: s.history},
		{method: "GET", path: "/api/sessions/{id}/history/{revision}", what: "the session as it was", answer: doc, handle: s.at},
		{method: "GET", path: "/api/sessions/{id}/taps", what: "what was tapped in the field", answer: tapsBody{}, handle: s.taps},
		{method: "POST", path: "/api/sessions/{id}/taps", what: "keep taps; known ids are kept once", request: tapsBody{}, answer: tapsAnswer{}, handle: s.addTaps},
		{method: "GET", path: "/api/sessions/{id}/sheet", what: "a printed sheet (PDF or SVG), or the calendar entry (iCalendar)", handle: s.sheet,
			query: []string{"kind: light (usual), family, release, list, pack or calendar", "size: a4 (usual) or letter", "units: metric (usual) or imperial",
				"pictures: draft (usual), none or fine previews on the light sheet", "as: pdf (usual) or svg, its pages below each other"}},
	}
}

// allowed returns the methods of an address, or "".
func (s *Server) allowed(path string) string {
	var methods []string
	for _, r := range s.table() {
		if matches(r.path, path) {
			methods = append(methods, r.method)
		}
	}
	return strings.Join(methods, ", ")
}

func matches(pattern, path string) bool {
	p, q := strings.Split(pattern, "/"), strings.Split(path, "/")
	if len(p) != len(q) {
		return false
	}
	for i := range p {
		if p[i] != q[i] && (!strings.HasPrefix(p[i], "{") || q[i] == "") {
			return false
		}
	}
	return true
}

// policy is what a page may do: nothing from elsewhere, nothing inline.
const policy = "default-src 'self'; script-src 'self' 'wasm-unsafe-eval'; img-src 'self' blob: data:; object-src 'none'; " +
	"base-uri 'none'; form-action 'self'; frame-ancestors 'none'"

// guard is in front of every route.
func (s *Server) guard(isName func(host string) bool, next http.Handler) http.Handler {
	cross := http.NewCrossOriginProtection()
	cross.SetDenyHandler(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		fail(w, http.StatusForbidden, &api.Error{Code: "cross_origin", Text: "another site asked for this change", Hint: "open hardnoon itself"})
	}))
	next = cross.Handler(next)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		defer func() {
			if bug := recover(); bug != nil {
				if bug == http.ErrAbortHandler {
					panic(bug)
				}
				s.bug(r, bug)
				fail(w, http.StatusInternalServerError, api.FailureOf(errors.New("a request ended badly")).Error)
			}
		}()
		// Against a page elsewhere whose name was made to point here.
		host, _, err := net.SplitHostPort(r.Host)
		if err != nil {
			host = r.Host
		}
		if !isName(host) {
			fail(w, http.StatusMisdirectedRequest, &api.Error{Code: "wrong_host", Text: "this server does not go by that name", Hint: "use the address hardnoon printed"})
			return
		}
		// Reading is protected too: what another site embeds says so itself.
		if site := r.Header.Get("Sec-Fetch-Site"); strings.HasPrefix(r.URL.Path, "/api/") && (site == "cross-site" || site == "same-site") {
			fail(w, http.StatusForbidden, &api.Error{Code: "cross_origin", Text: "another site asked for this", Hint: "open hardnoon itself"})
			return
		}
		next.ServeHTTP(w, r)
	})
}

func (s *Server) bug(r *http.Request, what any) {
	stack := make([]byte, 4<<10)
	s.log.Printf("hardnoon: error: %s %s: %v\n%s", r.Method, r.URL.Path, what, stack[:runtime.Stack(stack, false)])
}

// Serve answers on l until ctx ends, then lets what is under way finish.
func (s *Server) Serve(ctx context.Context, l net.Listener, h http.Handler) error {
	hs := &http.Server{
		Handler: h, ReadHeaderTimeout: s.wait.header, ReadTimeout: s.wait.body, WriteTimeout: s.wait.answer,
		IdleTimeout: s.wait.idle, MaxHeaderBytes: 16 << 10, ErrorLog: log.New(io.Discard, "", 0),
	}
	ended := make(chan error, 1)
	go func() { ended <- hs.Serve(l) }()
	select {
	case err := <-ended:
		return err
	case <-ctx.Done():
	}
	s.end() // event streams end
	late, cancel := context.WithTimeout(context.Background(), 5*time.Second)
	defer cancel()
	return hs.Shutdown(late)
}
