package api

import (
	"encoding/json"
	"errors"
	"fmt"
)

// Failure is how every transport tells that there is no answer: an answer has
// no field "error", a failure has no other.
type Failure struct {
	Error *Error `json:"error"`
}

// FailureOf makes one of any error. What is no *Error is a bug of ours.
func FailureOf(err error) Failure {
	var e *Error
	if errors.As(err, &e) {
		return Failure{e}
	}
	return Failure{&Error{Kind: Broken, Code: "broken", Text: "this is a bug in hardnoon: " + err.Error(),
		Hint: "the rest still works; please report what you asked", Cause: err}}
}

// CallJSON is Call for a transport: it returns the JSON of the answer, or of
// the failure together with its cause. It does not panic, whatever is asked.
func CallJSON(name string, body []byte) (out []byte, err error) {
	defer func() {
		if bug := recover(); bug != nil {
			err = fmt.Errorf("%v", bug)
		}
		if err != nil {
			out, _ = json.Marshal(FailureOf(err))
		}
	}()
	a, err := Call(name, body)
	if err != nil {
		return nil, err
	}
	return json.Marshal(a)
}
