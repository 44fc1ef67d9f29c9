package api

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"

	"hardnoon/session"
)

// questions maps a name to the function that answers it, for faces that carry
// requests as JSON: the browser's worker and HTTP.
var questions = map[string]func([]byte) (any, error){
	"sun":       ask(Sun),
	"reach":     ask(Reach),
	"light":     ask(Light),
	"lens":      ask(Lens),
	"day":       askDay,
	"safety":    askSafety,
	"scene":     askScene,
	"order":     askWith(func(q *OrderRequest) *session.Session { return &q.Session }, Order),
	"pack":      askWith(func(q *PackRequest) *session.Session { return &q.Session }, Pack),
	"again":     askWith(func(q *AgainRequest) *session.Session { return &q.Session }, Again),
	"way":       askWith(func(q *WaysRequest) *session.Session { return &q.Session }, Ways),
	"drift":     askWith(func(q *DriftRequest) *session.Session { return &q.Session }, Drift),
	"adjust":    ask(Adjust),
	"kit":       func([]byte) (any, error) { return KitList(), nil },
	"calibrate": ask(KitCalibrate),
	"plan": func(body []byte) (any, error) {
		s, err := session.Read(body)
		if err != nil {
			return nil, wrongSession(err)
		}
		return Plan(s)
	},
}

// Questions returns the names that Call answers to, sorted.
func Questions() []string {
	var names []string
	for n := range questions {
		names = append(names, n)
	}
	slices.Sort(names)
	return names
}

// Call answers one question asked as JSON. Whatever the bytes are, it returns
// an answer or an *Error.
func Call(name string, body []byte) (any, error) {
	q, ok := questions[name]
	if !ok {
		return nil, &Error{Kind: WrongInput, Code: "unknown_question", Text: fmt.Sprintf("there is no question %q", name), Hint: "there are " + strings.Join(Questions(), ", ")}
	}
	return q(body)
}

func ask[Q, A any](answer func(Q) (A, error)) func([]byte) (any, error) {
	return func(body []byte) (any, error) {
		req, err := Decode[Q](body)
		if err != nil {
			return nil, err
		}
		return answer(req)
	}
}

// askWith reads the session inside a request as strictly as a file.
func askWith[Q, A any](in func(*Q) *session.Session, answer func(Q) (A, error)) func([]byte) (any, error) {
	return func(body []byte) (any, error) {
		var all map[string]json.RawMessage
		if err := json.Unmarshal(body, &all); err != nil || all == nil {
			_, err = Decode[Q](body)
			if err == nil {
				err = &Error{Kind: WrongInput, Code: "unreadable", Text: "the request is not an object"}
			}
			return nil, err
		}
		s, err := session.Read(all["session"])
		if err != nil {
			return nil, wrongSession(err)
		}
		delete(all, "session")
		rest, err := json.Marshal(all)
		if err != nil {
			return nil, &Error{Kind: Broken, Code: "failed", Text: err.Error(), Cause: err}
		}
		req, err := Decode[Q](rest)
		if err != nil {
			return nil, err
		}
		*in(&req) = s
		return answer(req)
	}
}

// askDay reads the session inside its request as strictly as a file.
func askDay(body []byte) (any, error) {
	req, err := Decode[struct {
		Session json.RawMessage `json:"session"`
		Every   *float64        `json:"every_s"`
		M       *float64        `json:"distance_m"`
		Under   *float64        `json:"under_stops"`
	}](body)
	if err != nil {
		return nil, err
	}
	s, err := session.Read(req.Session)
	if err != nil {
		return nil, wrongSession(err)
	}
	return Day(DayRequest{s, req.Every, req.M, req.Under})
}

// askSafety reads the session inside its request as strictly as a file.
func askSafety(body []byte) (any, error) {
	req, err := Decode[struct {
		SafetyRequest
		Session json.RawMessage `json:"session"`
	}](body)
	if err != nil {
		return nil, err
	}
	s, err := session.Read(req.Session)
	if err != nil {
		return nil, wrongSession(err)
	}
	req.SafetyRequest.Session = s
	return Safety(req.SafetyRequest)
}

// askScene reads the session inside its request as strictly as a file.
func askScene(body []byte) (any, error) {
	req, err := Decode[struct {
		Session json.RawMessage `json:"session"`
		Setup   string          `json:"setup"`
	}](body)
	if err != nil {
		return nil, err
	}
	s, err := session.Read(req.Session)
	if err != nil {
		return nil, wrongSession(err)
	}
	return Scene(context.Background(), SceneRequest{s, req.Setup})
}

// wrongSession makes one error of what is wrong with a session file: the first
// thing, and how many follow.
func wrongSession(err error) *Error {
	var all session.Errors
	if !errors.As(err, &all) || len(all) == 0 {
		return &Error{Kind: WrongInput, Code: "wrong_session", Text: err.Error(), Cause: err}
	}
	e := all[0]
	text := e.Text
	if n := len(all) - 1; n > 0 {
		text += fmt.Sprintf(" (and %d more)", n)
	}
	return &Error{Kind: WrongInput, Code: "wrong_session", Field: e.Path, Line: e.Line, Column: e.Column, Text: text, Hint: e.Hint, Cause: err}
}
