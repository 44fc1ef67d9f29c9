// Package api is the one façade over the engine: requests and answers with
// units in their JSON names, and a pure function for each. The command line,
// the web server and the browser all call these functions, so the same request
// has the same answer everywhere.
//
// A request field that is nil was not said; the answer lists what was assumed
// in its place.
package api

import (
	"bytes"
	"encoding/json"
	"errors"

	"hardnoon/engine/exposure"
	"hardnoon/engine/unit"
)

// Kind tells the three ways a request can fail apart.
type Kind int

const (
	WrongInput Kind = iota // the request says something impossible; Field says where
	NoAnswer               // the question is fine and nothing answers it
	Broken                 // ours: a bug
)

// Error is why there is no answer, in words for a person: what happened, the
// number, the limit in Text; the next step in Hint. Code is stable.
type Error struct {
	Kind   Kind   `json:"-"`
	Code   string `json:"code"`
	Field  string `json:"field,omitempty"` // JSON path of the request field
	Line   int    `json:"line,omitempty"`  // of a file, from 1
	Column int    `json:"column,omitempty"`
	Text   string `json:"text"`
	Hint   string `json:"hint,omitempty"`
	Cause  error  `json:"-"`
}

func (e *Error) Error() string { return e.Text }
func (e *Error) Unwrap() error { return e.Cause }

// Note travels with an answer that exists but needs care.
type Note struct {
	Code     string `json:"code"`
	Severity string `json:"severity"` // "stop", "caution", "info"
	Text     string `json:"text"`
	Hint     string `json:"hint,omitempty"`
}

// wrong makes the error for a request field. An engine error brings its own
// numbers; hint says the next step.
func wrong(field string, cause error, hint string) *Error {
	code := "wrong_input"
	var r *unit.RangeError
	var s *exposure.SyntaxError
	switch {
	case errors.As(cause, &r):
		code = "out_of_range"
	case errors.As(cause, &s):
		code = "unreadable"
	}
	return &Error{Kind: WrongInput, Code: code, Field: field, Text: cause.Error(), Hint: hint, Cause: cause}
}

// Decode reads one request from JSON. Unknown fields are errors, and so is
// anything behind the request.
func Decode[T any](data []byte) (req T, err error) {
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.DisallowUnknownFields()
	if err := dec.Decode(&req); err != nil {
		return req, &Error{Kind: WrongInput, Code: "unreadable", Text: "the request is not valid JSON for this question: " + err.Error(), Cause: err}
	}
	if dec.More() {
		return req, &Error{Kind: WrongInput, Code: "unreadable", Text: "something follows the request"}
	}
	return req, nil
}
