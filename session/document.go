package session

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"time"
	"unicode/utf8"
)

// A Document is a stored session at one revision. The revision grows with every
// change, also with undo; what was stored stays stored.
type Document struct {
	ID       string          `json:"id" doc:"short name, the session's own"`
	Revision int64           `json:"revision" doc:"grows with every change"`
	SavedAt  time.Time       `json:"saved_at" doc:"when it was saved"`
	Label    string          `json:"label" doc:"what the last change did"`
	Undo     *string         `json:"undo" doc:"label of what undo takes back; null when nothing"`
	Redo     *string         `json:"redo" doc:"label of what redo brings again; null when nothing"`
	Removed  bool            `json:"removed" doc:"whether it was removed"`
	Session  json.RawMessage `json:"session" doc:"the session file; null when removed"`
}

// An Entry is one line of the list of sessions.
type Entry struct {
	ID       string    `json:"id" doc:"short name"`
	Title    string    `json:"title" doc:"what a person calls it"`
	Place    string    `json:"place" doc:"name of the place"`
	Start    string    `json:"start" doc:"when it begins, wall clock of the place"`
	Setups   int       `json:"setups" doc:"how many"`
	People   int       `json:"people" doc:"how many"`
	Revision int64     `json:"revision" doc:"grows with every change"`
	SavedAt  time.Time `json:"saved_at" doc:"when it was saved"`
}

// A Revision is one line of a session's history.
type Revision struct {
	Revision int64     `json:"revision"`
	SavedAt  time.Time `json:"saved_at"`
	How      How       `json:"how"`
	Label    string    `json:"label" doc:"the change that made this state"`
}

// How a revision came about.
type How string

const (
	Created  How = "create"
	Saved    How = "save"
	Undone   How = "undo"
	Redone   How = "redo"
	TakenOut How = "remove"
)

// A Change is who changes what: the revision it was made from and what to call
// it.
type Change struct {
	ID    string
	From  int64 // the revision that was seen
	Label string
	At    time.Time
}

// A Tap is what a thumb said in the field. The client makes its id, so that
// sending it twice is sending it once.
type Tap struct {
	ID     string   `json:"id" doc:"made by the client, 8 to 64 letters, digits and hyphens"`
	At     string   `json:"at" doc:"RFC 3339"`
	Kind   string   `json:"kind" doc:"tick, misfire, cloud, sun, adjust ..." form:"id"`
	Setup  string   `json:"setup,omitempty" doc:"id of a setup" form:"id"`
	Shot   string   `json:"shot,omitempty" doc:"id of a shot" form:"id"`
	Light  string   `json:"light,omitempty" doc:"role or head of a light" form:"id"`
	Stops  *float64 `json:"stops,omitempty" doc:"how far" unit:"stops" min:"-20" max:"20"`
	Count  *float64 `json:"count,omitempty" doc:"how many" min:"-1000000" max:"1000000"`
	Text   string   `json:"text,omitempty" doc:"at most 500 characters"`
	Undoes string   `json:"undoes,omitempty" doc:"id of a tap taken back"`
}

// A Store keeps sessions. Every change names the revision it was made from and
// is refused with *StaleError when there is a newer one. A change that returned
// without error survives whatever happens to the process.
type Store interface {
	// List returns all sessions, or all removed ones, last saved first.
	List(ctx context.Context, removed bool) ([]Entry, error)
	// Create stores s under s.ID. *TakenError: it is in use, also by a removed one.
	Create(ctx context.Context, s Session, c Change) (Document, error)
	Get(ctx context.Context, id string) (Document, error)
	// At returns an older state; it has nothing to undo.
	At(ctx context.Context, id string, revision int64) (Document, error)
	// History returns the newest revisions, newest first.
	History(ctx context.Context, id string, limit int) ([]Revision, error)
	// Save stores s; a session that did not change gets no new revision.
	Save(ctx context.Context, s Session, c Change) (Document, error)
	Undo(ctx context.Context, c Change) (Document, error)
	Redo(ctx context.Context, c Change) (Document, error)
	// Remove takes the session out of the list; Undo brings it back.
	Remove(ctx context.Context, c Change) (Document, error)
	// AddTaps returns how many of them were new.
	AddTaps(ctx context.Context, id string, taps []Tap) (int, error)
	Taps(ctx context.Context, id string) ([]Tap, error)
}

// MissingError reports a session, or a revision of one, that is not stored.
type MissingError struct {
	ID       string
	Revision int64 // 0: there is no session at all
}

func (e *MissingError) Error() string {
	if e.Revision != 0 {
		return fmt.Sprintf("session %q has no revision %d", e.ID, e.Revision)
	}
	return fmt.Sprintf("there is no session %q", e.ID)
}

// TakenError reports an id that is in use.
type TakenError struct{ ID string }

func (e *TakenError) Error() string { return fmt.Sprintf("there is a session %q already", e.ID) }

// StaleError reports a change made from an older revision.
type StaleError struct {
	From    int64
	Current Document
}

func (e *StaleError) Error() string {
	return fmt.Sprintf("session %q is at revision %d; the change was made from %d", e.Current.ID, e.Current.Revision, e.From)
}

// RemovedError reports a change of a session that was removed.
type RemovedError struct{ Current Document }

func (e *RemovedError) Error() string { return fmt.Sprintf("session %q was removed", e.Current.ID) }

// NothingError reports that there is nothing to undo or redo.
type NothingError struct{ How How }

func (e *NothingError) Error() string {
	if e.How == Redone {
		return "there is nothing to redo"
	}
	return "there is nothing to undo"
}

// Compact returns s as it is stored: the session file in one line.
func Compact(s Session) (json.RawMessage, error) {
	file, err := Write(s)
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	err = json.Compact(&b, file)
	return b.Bytes(), err
}

// EntryOf returns the line of the list for a document that holds s.
func EntryOf(s Session, d Document) Entry {
	return Entry{ID: d.ID, Title: s.Title, Place: s.Place.Name, Start: s.Start, Setups: len(s.Setups), People: len(s.People),
		Revision: d.Revision, SavedAt: d.SavedAt}
}

// Check returns an *Error for a tap that cannot be kept.
func (t Tap) Check() error {
	bad := func(field, text, hint string) error { return &Error{Path: field, Text: text, Hint: hint} }
	if !isTapID(t.ID) {
		return bad("id", fmt.Sprintf("the id is %.80q", t.ID), "make one of 8 to 64 letters, digits and hyphens")
	}
	if t.Undoes != "" && !isTapID(t.Undoes) {
		return bad("undoes", fmt.Sprintf("it takes back %.80q, which is no id of a tap", t.Undoes), "give the id of a tap")
	}
	if at, err := time.Parse(time.RFC3339Nano, t.At); err != nil || at.Year() < firstYear || at.Year() > lastYear {
		return bad("at", fmt.Sprintf("the time is %.40q", t.At), `write it like "2027-01-16T16:20:05Z"`)
	}
	for _, f := range []struct {
		name, text string
		must       bool
	}{{"kind", t.Kind, true}, {"setup", t.Setup, false}, {"shot", t.Shot, false}, {"light", t.Light, false}} {
		if (f.must || f.text != "") && !isID(f.text) {
			return bad(f.name, fmt.Sprintf("%s is %.80q", f.name, f.text), forms["id"].like)
		}
	}
	for _, f := range []struct {
		name string
		x    *float64
		most float64
	}{{"stops", t.Stops, 20}, {"count", t.Count, 1e6}} {
		if f.x != nil && !(math.Abs(*f.x) <= f.most) {
			return bad(f.name, fmt.Sprintf("%s is %s; it lies between %s and %s", f.name, plain(*f.x), plain(-f.most), plain(f.most)), "check the number")
		}
	}
	if n := utf8.RuneCountInString(t.Text); n > 500 || !utf8.ValidString(t.Text) {
		return bad("text", fmt.Sprintf("the text has %d letters; 500 are the most", n), "shorten it")
	}
	return nil
}

// Instant is when the tap was made; the zero time for a tap that Check refuses.
func (t Tap) Instant() time.Time {
	at, _ := time.Parse(time.RFC3339Nano, t.At)
	return at
}
