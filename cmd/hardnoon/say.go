package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"hardnoon/api"
	"hardnoon/session"
)

// How hardnoon talks in a terminal. Results go to stdout, every other word to
// stderr behind "hardnoon:"; an error says what happened, with the number and
// the limit, and a hint says the next step. No capitals, no full stop, one idea
// a line. Colour is never the only carrier of a meaning, so there is none.

// Exit codes, the same for every command.
const (
	exitDone    = 0
	exitFailed  = 1
	exitUsage   = 2  // wrong usage, wrong input
	exitPart    = 3  // done in part
	exitNone    = 4  // no answer exists
	exitMissing = 10 // no such session
)

// terminal is where a command reads and writes.
type terminal struct {
	in   io.Reader
	out  io.Writer
	err  io.Writer
	json bool
	code int // exit code of a command that did not fail
}

// answer prints a result: as JSON when asked for, else as say writes it.
func (t *terminal) answer(v any, say func(w io.Writer)) error {
	if !t.json {
		say(t.out)
		return nil
	}
	enc := json.NewEncoder(t.out)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(v)
}

// fail prints err and returns the exit code for it.
func (t *terminal) fail(err error) int {
	var bad session.Errors
	if errors.As(err, &bad) {
		return t.failSession(bad)
	}
	var a *api.Error
	if !errors.As(err, &a) {
		a = &api.Error{Kind: api.Broken, Code: "failed", Text: err.Error()}
		if strings.HasPrefix(a.Text, "unknown command") || errors.Is(err, errUsage) {
			a.Kind = api.WrongInput
		}
	}
	if t.json { // the machine that asked for JSON gets its error that way too
		enc := json.NewEncoder(t.err)
		enc.SetEscapeHTML(false)
		enc.Encode(map[string]any{"error": a})
	} else {
		where := ""
		if a.Line > 0 {
			where = fmt.Sprintf("line %d, column %d: ", a.Line, a.Column)
		}
		if a.Field != "" && !strings.Contains(a.Text, a.Field) && a.Line > 0 {
			where += a.Field + ": "
		}
		fmt.Fprintf(t.err, "hardnoon: error: %s%s\n", where, a.Text)
		if a.Hint != "" {
			fmt.Fprintf(t.err, "hardnoon: hint: %s\n", a.Hint)
		}
	}
	switch a.Kind {
	case api.WrongInput:
		return exitUsage
	case api.NoAnswer:
		return exitNone
	}
	if errors.Is(err, os.ErrNotExist) {
		return exitMissing
	}
	return exitFailed
}

// failSession prints everything that is wrong with a session file.
func (t *terminal) failSession(bad session.Errors) int {
	if t.json {
		var list []*api.Error
		for _, e := range bad {
			list = append(list, &api.Error{Code: "wrong_session", Field: e.Path, Line: e.Line, Column: e.Column, Text: e.Text, Hint: e.Hint})
		}
		enc := json.NewEncoder(t.err)
		enc.SetEscapeHTML(false)
		enc.Encode(map[string]any{"error": list[0], "errors": list})
		return exitUsage
	}
	for _, e := range bad {
		fmt.Fprintf(t.err, "hardnoon: error: %v\n", e)
		if e.Hint != "" {
			fmt.Fprintf(t.err, "hardnoon: hint: %s\n", e.Hint)
		}
	}
	return exitUsage
}

// notes prints what an answer wants care for.
func (t *terminal) notes(notes []api.Note) {
	if t.json { // they are in the answer
		return
	}
	for _, n := range notes {
		word := "note"
		if n.Severity != "info" {
			word = "warning"
		}
		fmt.Fprintf(t.err, "hardnoon: %s: %s\n", word, n.Text)
		if n.Hint != "" {
			fmt.Fprintf(t.err, "hardnoon: hint: %s\n", n.Hint)
		}
	}
}

var errUsage = errors.New("wrong usage")

// usage is the error for a command line that asks for nothing we can answer.
func usage(text, hint string) error {
	return &api.Error{Kind: api.WrongInput, Code: "usage", Text: text, Hint: hint, Cause: errUsage}
}

// stops writes a difference in stops as "+0.7" or "−1.3", with a true minus.
func stops(s float64) string {
	return strings.Replace(fmt.Sprintf("%+.1f", s+0), "-", "−", 1)
}
