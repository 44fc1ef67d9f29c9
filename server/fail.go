package server

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"mime"
	"net/http"
	"strconv"

	"hardnoon/api"
	"hardnoon/app"
	"hardnoon/session"
)

// failure is the body of every answer that is none. Current comes with a
// change that was late.
type failure struct {
	Error   *api.Error        `json:"error"`
	Current *session.Document `json:"current,omitempty"`
}

func fail(w http.ResponseWriter, status int, e *api.Error) { failWith(w, status, e, nil) }

func failWith(w http.ResponseWriter, status int, e *api.Error, current *session.Document) {
	w.Header().Set("Cache-Control", "no-store")
	w.Header().Del("ETag")
	send(w, status, failure{e, current})
}

// send writes v as JSON.
func send(w http.ResponseWriter, status int, v any) {
	data, err := json.Marshal(v)
	if err != nil { // a number JSON cannot say
		status = http.StatusInternalServerError
		data, _ = json.Marshal(api.FailureOf(err))
	}
	write(w, status, data)
}

func write(w http.ResponseWriter, status int, data []byte) {
	h := w.Header()
	h.Set("Content-Type", "application/json")
	if h.Get("Cache-Control") == "" {
		h.Set("Cache-Control", "no-cache")
	}
	h.Set("Content-Length", strconv.Itoa(len(data)))
	w.WriteHeader(status)
	w.Write(data)
}

// tell finds the words and the status for an error of the workspace.
func (s *Server) tell(w http.ResponseWriter, r *http.Request, err error) {
	var (
		a       *api.Error
		missing *session.MissingError
		stale   *session.StaleError
		removed *session.RemovedError
		nothing *session.NothingError
		renamed *app.RenamedError
		file    session.Errors
		field   *session.Error
	)
	wrong := func(code, field, text, hint string) *api.Error {
		return &api.Error{Kind: api.WrongInput, Code: code, Field: field, Text: text, Hint: hint}
	}
	switch {
	case errors.As(err, &a):
		fail(w, statusOf(a), a)
	case errors.As(err, &missing) && missing.Revision != 0:
		fail(w, http.StatusNotFound, wrong("no_such_revision", "", missing.Error(), "its history lists them"))
	case errors.As(err, &missing):
		fail(w, http.StatusNotFound, wrong("no_such_session", "", fmt.Sprintf("there is no session %.80q", missing.ID), "look at the list"))
	case errors.As(err, &stale):
		failWith(w, http.StatusConflict, wrong("newer", "", fmt.Sprintf("this session was changed elsewhere: it is at revision %d, and your change was made from %d; nothing was saved", stale.Current.Revision, stale.From),
			"look at the newer one, then make your change again"), &stale.Current)
	case errors.As(err, &removed):
		failWith(w, http.StatusGone, wrong("removed", "", fmt.Sprintf("session %q was removed", removed.Current.ID), "undo brings it back"), &removed.Current)
	case errors.As(err, &nothing) && nothing.How == session.Redone:
		fail(w, http.StatusConflict, wrong("nothing_to_redo", "", "there is nothing to bring again", ""))
	case errors.As(err, &nothing):
		fail(w, http.StatusConflict, wrong("nothing_to_undo", "", "there is nothing to take back", ""))
	case errors.As(err, &renamed):
		fail(w, http.StatusBadRequest, wrong("wrong_session", "id", fmt.Sprintf("the id in the file is %q, and the address says %q", renamed.Is, renamed.Want), "an id stays as it is; to copy a session, import it"))
	case errors.As(err, &file) && len(file) > 0:
		e := file[0]
		text := e.Text
		if n := len(file) - 1; n > 0 {
			text += fmt.Sprintf(" (and %d more)", n)
		}
		fail(w, http.StatusBadRequest, &api.Error{Code: "wrong_session", Field: e.Path, Line: e.Line, Column: e.Column, Text: text, Hint: e.Hint})
	case errors.As(err, &field):
		fail(w, http.StatusBadRequest, wrong("wrong_input", field.Path, field.Text, field.Hint))
	case errors.Is(err, context.Canceled): // nobody is there to read it
		fail(w, http.StatusRequestTimeout, wrong("gone", "", "the request was given up", ""))
	default:
		s.bug(r, err)
		fail(w, http.StatusInternalServerError, api.FailureOf(errors.New("the workspace cannot be used")).Error)
	}
}

func statusOf(e *api.Error) int {
	switch {
	case e.Code == "unknown_question":
		return http.StatusNotFound
	case e.Code == "too_large":
		return http.StatusRequestEntityTooLarge
	case e.Code == "not_json":
		return http.StatusUnsupportedMediaType
	case e.Code == "revision_missing":
		return http.StatusPreconditionRequired
	case e.Code == "too_many":
		return http.StatusTooManyRequests
	case e.Kind == api.NoAnswer:
		return http.StatusUnprocessableEntity
	case e.Kind == api.Broken:
		return http.StatusInternalServerError
	}
	return http.StatusBadRequest
}

// body reads the JSON a request carries, at most most bytes of it.
func body(w http.ResponseWriter, r *http.Request, most int64) ([]byte, error) {
	if kind, _, err := mime.ParseMediaType(r.Header.Get("Content-Type")); err != nil || kind != "application/json" {
		return nil, &api.Error{Code: "not_json", Text: "the request does not say that it is JSON", Hint: "send Content-Type: application/json"}
	}
	data, err := io.ReadAll(http.MaxBytesReader(w, r.Body, most))
	var large *http.MaxBytesError
	switch {
	case errors.As(err, &large):
		size := fmt.Sprintf("%d MB", most>>20)
		if most < 1<<20 {
			size = fmt.Sprintf("%d kB", most>>10)
		}
		return nil, &api.Error{Code: "too_large", Text: "the request is larger than " + size, Hint: "is this the right file?"}
	case err != nil:
		return nil, &api.Error{Code: "unreadable", Text: "the request ended early", Hint: "send it again"}
	}
	return data, nil
}

// label reads what a change is called.
func label(r *http.Request, usual string) (string, error) {
	text := r.URL.Query().Get("label")
	switch {
	case text == "":
		return usual, nil
	case !printable(text, 80):
		return "", &api.Error{Code: "wrong_input", Field: "label", Text: "the label is too long, or not text", Hint: "80 letters are the most"}
	}
	return text, nil
}
