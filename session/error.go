package session

import (
	"fmt"
	"strings"
)

// Error is one thing wrong with a session file: what and where in Text, Path,
// Line and Column (from 1, in characters), the next step in Hint.
type Error struct {
	Path   string // "setups[0].lights[1].distance_m"; empty is the file itself
	Line   int
	Column int
	Text   string
	Hint   string
}

func (e *Error) Error() string {
	if e.Line == 0 {
		return e.Text
	}
	if e.Path == "" {
		return fmt.Sprintf("line %d, column %d: %s", e.Line, e.Column, e.Text)
	}
	return fmt.Sprintf("line %d, column %d: %s: %s", e.Line, e.Column, e.Path, e.Text)
}

// Errors are all that was found wrong, in the order of the file, at most
// maxErrors of them.
type Errors []*Error

const maxErrors = 20

func (e Errors) Error() string {
	lines := make([]string, len(e))
	for i, x := range e {
		lines[i] = x.Error()
	}
	return strings.Join(lines, "\n")
}

// Unwrap lets errors.As find the first *Error.
func (e Errors) Unwrap() []error {
	out := make([]error, len(e))
	for i, x := range e {
		out[i] = x
	}
	return out
}
