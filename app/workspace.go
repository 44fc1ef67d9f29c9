package app

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"sync"
	"time"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"hardnoon/session"
)

// Workspace is the sessions one person keeps, and who wants to hear of their
// changes. It is safe for many goroutines.
type Workspace struct {
	store session.Store
	now   func() time.Time

	mu    sync.Mutex
	heard map[chan News]bool
}

// News is one change of the workspace.
type News struct {
	ID       string
	Revision int64
	Removed  bool
	Taps     bool   // it was taps that came; the revision stands
	By       string // who did it, as they called themselves
}

// NewWorkspace opens the use cases over a store. now is the clock.
func NewWorkspace(store session.Store, now func() time.Time) *Workspace {
	return &Workspace{store: store, now: now, heard: map[chan News]bool{}}
}

// backlog is how many changes a listener may be behind.
const backlog = 64

// Listen returns a channel of the changes from now on, until stop is called. A
// listener that falls far behind has its channel closed: it missed something.
func (w *Workspace) Listen() (news <-chan News, stop func()) {
	c := make(chan News, backlog)
	w.mu.Lock()
	defer w.mu.Unlock()
	w.heard[c] = true
	return c, func() { w.drop(c) }
}

func (w *Workspace) drop(c chan News) {
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.heard[c] {
		delete(w.heard, c)
		close(c)
	}
}

func (w *Workspace) tell(n News) {
	w.mu.Lock()
	defer w.mu.Unlock()
	for c := range w.heard {
		select {
		case c <- n:
		default:
			delete(w.heard, c)
			close(c)
		}
	}
}

// Edit is a change that somebody asks for: from the revision they saw, by the
// name they go by, called label.
type Edit struct {
	ID    string
	From  int64
	Label string
	By    string
}

func (w *Workspace) change(e Edit) session.Change {
	return session.Change{ID: e.ID, From: e.From, Label: e.Label, At: w.now().UTC().Truncate(time.Millisecond)}
}

// told passes the outcome of a change on, and tells the listeners if there was
// one.
func (w *Workspace) told(e Edit, d session.Document, err error) (session.Document, error) {
	if err == nil && d.Revision != e.From {
		w.tell(News{ID: d.ID, Revision: d.Revision, Removed: d.Removed, By: e.By})
	}
	return d, err
}

func (w *Workspace) List(ctx context.Context, removed bool) ([]session.Entry, error) {
	return w.store.List(ctx, removed)
}

func (w *Workspace) Get(ctx context.Context, id string) (session.Document, error) {
	return w.store.Get(ctx, id)
}

func (w *Workspace) At(ctx context.Context, id string, revision int64) (session.Document, error) {
	return w.store.At(ctx, id, revision)
}

// historyShown is how far back History looks.
const historyShown = 500

func (w *Workspace) History(ctx context.Context, id string) ([]session.Revision, error) {
	return w.store.History(ctx, id, historyShown)
}

// Session returns the session of a document that was not removed.
func (w *Workspace) Session(ctx context.Context, id string) (session.Session, error) {
	d, err := w.store.Get(ctx, id)
	if err != nil {
		return session.Session{}, err
	}
	if d.Removed {
		return session.Session{}, &session.RemovedError{Current: d}
	}
	return session.Read(d.Session)
}

// Import stores a session file. When its id is missing or in use it gets a free
// one.
func (w *Workspace) Import(ctx context.Context, file []byte, e Edit) (session.Document, error) {
	s, err := session.Read(file)
	if err != nil {
		return session.Document{}, err
	}
	if s.ID == "" {
		s.ID = idOf(s.Title)
	}
	base := s.ID
	for n := 2; ; n++ {
		d, err := w.store.Create(ctx, s, w.change(e))
		if !errors.As(err, new(*session.TakenError)) {
			return w.told(Edit{By: e.By}, d, err)
		}
		tail := fmt.Sprintf("-%d", n)
		s.ID = strings.TrimRight(base[:min(len(base), longestID-len(tail))], "-.") + tail
	}
}

const longestID = 64

// idOf makes a short name of a title: "Javelin, fifteen" is "javelin-fifteen".
func idOf(title string) string {
	var b strings.Builder
	for _, r := range norm.NFKD.String(strings.ToLower(title)) {
		switch {
		case r >= 'a' && r <= 'z', r >= '0' && r <= '9':
			b.WriteRune(r)
		case unicode.Is(unicode.Mn, r): // an accent
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
		if b.Len() >= 40 {
			break
		}
	}
	if id := strings.Trim(b.String(), "-"); id != "" {
		return id
	}
	return "session"
}

// RenamedError reports a session file that calls itself something else.
type RenamedError struct{ Want, Is string }

func (e *RenamedError) Error() string {
	return fmt.Sprintf("the file is of session %q, not of %q", e.Is, e.Want)
}

// Save stores a session file as the next revision.
func (w *Workspace) Save(ctx context.Context, file []byte, e Edit) (session.Document, error) {
	s, err := session.Read(file)
	if err != nil {
		return session.Document{}, err
	}
	if s.ID == "" {
		s.ID = e.ID
	}
	if s.ID != e.ID {
		return session.Document{}, &RenamedError{Want: e.ID, Is: s.ID}
	}
	d, err := w.store.Save(ctx, s, w.change(e))
	return w.told(e, d, err)
}

func (w *Workspace) Undo(ctx context.Context, e Edit) (session.Document, error) {
	d, err := w.store.Undo(ctx, w.change(e))
	return w.told(e, d, err)
}

func (w *Workspace) Redo(ctx context.Context, e Edit) (session.Document, error) {
	d, err := w.store.Redo(ctx, w.change(e))
	return w.told(e, d, err)
}

func (w *Workspace) Remove(ctx context.Context, e Edit) (session.Document, error) {
	d, err := w.store.Remove(ctx, w.change(e))
	return w.told(e, d, err)
}

// AddTaps keeps what a thumb said, and returns how much of it was new.
func (w *Workspace) AddTaps(ctx context.Context, id string, taps []session.Tap, by string) (int, error) {
	added, err := w.store.AddTaps(ctx, id, taps)
	if err == nil && added > 0 {
		w.tell(News{ID: id, Taps: true, By: by})
	}
	return added, err
}

func (w *Workspace) Taps(ctx context.Context, id string) ([]session.Tap, error) {
	return w.store.Taps(ctx, id)
}

// Begin stores a session file unless a session of its id was ever there.
func (w *Workspace) Begin(ctx context.Context, r io.Reader) error {
	s, err := session.ReadFrom(r)
	if err != nil {
		return err
	}
	if s.ID == "" {
		s.ID = idOf(s.Title)
	}
	d, err := w.store.Create(ctx, s, w.change(Edit{Label: "new session"}))
	if errors.As(err, new(*session.TakenError)) {
		return nil
	}
	_, err = w.told(Edit{}, d, err)
	return err
}
