package server

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"regexp"
	"strconv"
	"strings"

	"hardnoon/api"
	"hardnoon/app"
	"hardnoon/session"
)

type listAnswer struct {
	Sessions []session.Entry `json:"sessions"`
}

func (s *Server) list(w http.ResponseWriter, r *http.Request) {
	list, err := s.Workspace.List(r.Context(), r.URL.Query().Get("removed") == "1")
	if err != nil {
		s.tell(w, r, err)
		return
	}
	send(w, http.StatusOK, listAnswer{list})
}

// document sends d, or tells why there is none.
func (s *Server) document(w http.ResponseWriter, r *http.Request, status int, d session.Document, err error) {
	if err != nil {
		s.tell(w, r, err)
		return
	}
	w.Header().Set("ETag", tag(d.Revision))
	if r.Method == http.MethodGet && r.Header.Get("If-None-Match") == tag(d.Revision) {
		w.WriteHeader(http.StatusNotModified)
		return
	}
	send(w, status, d)
}

func tag(revision int64) string { return fmt.Sprintf(`"%d"`, revision) }

// from reads the revision a change was made from.
func from(r *http.Request) (int64, error) {
	text := r.Header.Get("If-Match")
	if text == "" {
		return 0, &api.Error{Code: "revision_missing", Field: "If-Match", Text: "the request does not say which revision it changes", Hint: `send If-Match: "7", the ETag of what was seen`}
	}
	n, err := strconv.ParseInt(strings.Trim(text, `"`), 10, 64)
	if err != nil || n < 1 || text != tag(n) {
		return 0, &api.Error{Code: "wrong_input", Field: "If-Match", Text: fmt.Sprintf("%.40q is no revision", text), Hint: `it is a number in quotes: If-Match: "7"`}
	}
	return n, nil
}

var clientName = regexp.MustCompile(`^[A-Za-z0-9-]{1,64}$`)

// by is what the client calls itself.
func by(r *http.Request) string {
	if name := r.Header.Get("X-Client"); clientName.MatchString(name) {
		return name
	}
	return ""
}

// edit reads what every change of a stored session says.
func edit(r *http.Request, usual string) (app.Edit, error) {
	n, err := from(r)
	if err != nil {
		return app.Edit{}, err
	}
	text, err := label(r, usual)
	return app.Edit{ID: r.PathValue("id"), From: n, Label: text, By: by(r)}, err
}

func (s *Server) create(w http.ResponseWriter, r *http.Request) {
	text, err := label(r, "new session")
	if err != nil {
		s.tell(w, r, err)
		return
	}
	data, err := body(w, r, mostSession)
	if err != nil {
		s.tell(w, r, err)
		return
	}
	d, err := s.Workspace.Import(r.Context(), data, app.Edit{Label: text, By: by(r)})
	if err == nil {
		w.Header().Set("Location", "/api/sessions/"+d.ID)
	}
	s.document(w, r, http.StatusCreated, d, err)
}

func (s *Server) get(w http.ResponseWriter, r *http.Request) {
	d, err := s.Workspace.Get(r.Context(), r.PathValue("id"))
	if err == nil && d.Removed {
		err = &session.RemovedError{Current: d}
	}
	s.document(w, r, http.StatusOK, d, err)
}

func (s *Server) save(w http.ResponseWriter, r *http.Request) {
	e, err := edit(r, "change")
	if err != nil {
		s.tell(w, r, err)
		return
	}
	data, err := body(w, r, mostSession)
	if err != nil {
		s.tell(w, r, err)
		return
	}
	d, err := s.Workspace.Save(r.Context(), data, e)
	s.document(w, r, http.StatusOK, d, err)
}

func (s *Server) remove(w http.ResponseWriter, r *http.Request) {
	s.step(w, r, "remove session", s.Workspace.Remove)
}

func (s *Server) undo(w http.ResponseWriter, r *http.Request) { s.step(w, r, "", s.Workspace.Undo) }
func (s *Server) redo(w http.ResponseWriter, r *http.Request) { s.step(w, r, "", s.Workspace.Redo) }

// step makes a change that needs no body.
func (s *Server) step(w http.ResponseWriter, r *http.Request, label string, do func(context.Context, app.Edit) (session.Document, error)) {
	e, err := edit(r, label)
	if err != nil {
		s.tell(w, r, err)
		return
	}
	d, err := do(r.Context(), e)
	s.document(w, r, http.StatusOK, d, err)
}

// file exports the session as "hardnoon plan" reads it.
func (s *Server) file(w http.ResponseWriter, r *http.Request) {
	x, err := s.Workspace.Session(r.Context(), r.PathValue("id"))
	if err != nil {
		s.tell(w, r, err)
		return
	}
	data, err := session.Write(x)
	if err != nil {
		s.tell(w, r, err)
		return
	}
	w.Header().Set("Content-Disposition", fmt.Sprintf(`attachment; filename="%s.json"`, x.ID)) // an id needs no escaping
	write(w, http.StatusOK, data)
}

type historyAnswer struct {
	Revisions []session.Revision `json:"revisions"`
}

func (s *Server) history(w http.ResponseWriter, r *http.Request) {
	list, err := s.Workspace.History(r.Context(), r.PathValue("id"))
	if err != nil {
		s.tell(w, r, err)
		return
	}
	send(w, http.StatusOK, historyAnswer{list})
}

func (s *Server) at(w http.ResponseWriter, r *http.Request) {
	n, err := strconv.ParseInt(r.PathValue("revision"), 10, 64)
	if err != nil || n < 1 {
		fail(w, http.StatusNotFound, &api.Error{Code: "no_such_revision", Text: "that is no revision", Hint: "its history lists them"})
		return
	}
	d, err := s.Workspace.At(r.Context(), r.PathValue("id"), n)
	s.document(w, r, http.StatusOK, d, err)
}

type tapsBody struct {
	Taps []session.Tap `json:"taps"`
}

type tapsAnswer struct {
	Taps int `json:"taps" doc:"how many came"`
	New  int `json:"new" doc:"how many were not known yet"`
}

func (s *Server) taps(w http.ResponseWriter, r *http.Request) {
	list, err := s.Workspace.Taps(r.Context(), r.PathValue("id"))
	if err != nil {
		s.tell(w, r, err)
		return
	}
	send(w, http.StatusOK, tapsBody{append([]session.Tap{}, list...)})
}

// mostTaps is how many come at once; half a thousand are well below 64 kB
// unless each tells a story.
const mostTaps = 500

func (s *Server) addTaps(w http.ResponseWriter, r *http.Request) {
	data, err := body(w, r, mostSmall)
	if err != nil {
		s.tell(w, r, err)
		return
	}
	req, err := api.Decode[struct {
		Taps json.RawMessage `json:"taps"`
	}](data)
	if err != nil {
		s.tell(w, r, err)
		return
	}
	taps, err := api.Decode[[]session.Tap](req.Taps)
	if err != nil || len(taps) > mostTaps {
		if err == nil {
			err = &api.Error{Code: "too_large", Field: "taps", Text: fmt.Sprintf("there are %d taps; %d are the most at once", len(taps), mostTaps), Hint: "send them in parts"}
		}
		s.tell(w, r, err)
		return
	}
	for i, t := range taps {
		if err := t.Check(); err != nil {
			e := *err.(*session.Error)
			e.Path = fmt.Sprintf("taps[%d].%s", i, e.Path)
			s.tell(w, r, &e)
			return
		}
	}
	added, err := s.Workspace.AddTaps(r.Context(), r.PathValue("id"), taps, by(r))
	if err != nil {
		s.tell(w, r, err)
		return
	}
	send(w, http.StatusOK, tapsAnswer{len(taps), added})
}
