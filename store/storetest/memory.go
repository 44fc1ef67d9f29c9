package storetest

import (
	"context"
	"slices"
	"strings"
	"sync"

	"hardnoon/session"
)

// Memory is the plainest store there is: the reference for the others, and for
// tests of what stands on a store. Its zero value is empty.
type Memory struct {
	mu   sync.Mutex
	kept map[string]*kept
}

type kept struct {
	states []state // by revision, from 1
	taps   []session.Tap
}

type state struct {
	doc      session.Document
	how      session.How
	entry    session.Entry
	undo, to int64 // the revisions undo and redo lead to, 0 is none
}

var _ session.Store = (*Memory)(nil)

func (m *Memory) find(id string) (*kept, state, error) {
	k := m.kept[id]
	if k == nil {
		return nil, state{}, &session.MissingError{ID: id}
	}
	return k, k.states[len(k.states)-1], nil
}

// see returns the document of s with the labels of its neighbours.
func (k *kept) see(s state) session.Document {
	d := s.doc
	if s.undo > 0 {
		label := d.Label
		d.Undo = &label
	}
	if s.to > 0 {
		d.Redo = &k.states[s.to-1].doc.Label
	}
	return d
}

func (m *Memory) List(_ context.Context, removed bool) ([]session.Entry, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	list := []session.Entry{}
	for id := range m.kept {
		if _, s, _ := m.find(id); s.doc.Removed == removed {
			list = append(list, s.entry)
		}
	}
	slices.SortFunc(list, func(a, b session.Entry) int {
		if c := b.SavedAt.Compare(a.SavedAt); c != 0 {
			return c
		}
		return strings.Compare(a.ID, b.ID)
	})
	return list, nil
}

func (m *Memory) Create(_ context.Context, s session.Session, c session.Change) (session.Document, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.kept[s.ID] != nil {
		return session.Document{}, &session.TakenError{ID: s.ID}
	}
	file, err := session.Compact(s)
	if err != nil {
		return session.Document{}, err
	}
	if m.kept == nil {
		m.kept = map[string]*kept{}
	}
	k := &kept{}
	m.kept[s.ID] = k
	c.ID = s.ID
	return k.push(c, session.Created, state{doc: session.Document{Label: c.Label, Session: file}, entry: session.EntryOf(s, session.Document{})}), nil
}

// push makes s the newest state.
func (k *kept) push(c session.Change, how session.How, s state) session.Document {
	s.how = how
	s.doc.ID, s.doc.Revision, s.doc.SavedAt = c.ID, int64(len(k.states)+1), c.At
	s.entry.ID, s.entry.Revision, s.entry.SavedAt = s.doc.ID, s.doc.Revision, s.doc.SavedAt
	k.states = append(k.states, s)
	return k.see(s)
}

func (m *Memory) Get(_ context.Context, id string) (session.Document, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	k, s, err := m.find(id)
	if err != nil {
		return session.Document{}, err
	}
	return k.see(s), nil
}

func (m *Memory) At(_ context.Context, id string, revision int64) (session.Document, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	k, _, err := m.find(id)
	if err != nil {
		return session.Document{}, err
	}
	if revision < 1 || revision > int64(len(k.states)) {
		return session.Document{}, &session.MissingError{ID: id, Revision: revision}
	}
	return k.states[revision-1].doc, nil
}

func (m *Memory) History(_ context.Context, id string, limit int) ([]session.Revision, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	k, _, err := m.find(id)
	if err != nil {
		return nil, err
	}
	list := []session.Revision{}
	for _, s := range slices.Backward(k.states) {
		if len(list) == limit {
			break
		}
		list = append(list, session.Revision{Revision: s.doc.Revision, SavedAt: s.doc.SavedAt, How: s.how, Label: s.doc.Label})
	}
	return list, nil
}

// current returns the newest state when c was made from it.
func (m *Memory) current(c session.Change) (*kept, state, error) {
	k, s, err := m.find(c.ID)
	if err != nil {
		return nil, s, err
	}
	if c.From != s.doc.Revision {
		return nil, s, &session.StaleError{From: c.From, Current: k.see(s)}
	}
	return k, s, nil
}

func (m *Memory) Save(_ context.Context, x session.Session, c session.Change) (session.Document, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	file, err := session.Compact(x)
	if err != nil {
		return session.Document{}, err
	}
	k, s, err := m.current(c)
	switch {
	case err != nil:
		return session.Document{}, err
	case s.doc.Removed:
		return session.Document{}, &session.RemovedError{Current: k.see(s)}
	case string(s.doc.Session) == string(file):
		return k.see(s), nil
	}
	return k.push(c, session.Saved, state{doc: session.Document{Label: c.Label, Session: file},
		entry: session.EntryOf(x, session.Document{}), undo: s.doc.Revision}), nil
}

func (m *Memory) Undo(_ context.Context, c session.Change) (session.Document, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	k, s, err := m.current(c)
	if err != nil {
		return session.Document{}, err
	}
	if s.undo == 0 {
		return session.Document{}, &session.NothingError{How: session.Undone}
	}
	was := k.states[s.undo-1]
	was.to = s.doc.Revision
	return k.push(c, session.Undone, was), nil
}

func (m *Memory) Redo(_ context.Context, c session.Change) (session.Document, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	k, s, err := m.current(c)
	if err != nil {
		return session.Document{}, err
	}
	if s.to == 0 {
		return session.Document{}, &session.NothingError{How: session.Redone}
	}
	return k.push(c, session.Redone, k.states[s.to-1]), nil
}

func (m *Memory) Remove(_ context.Context, c session.Change) (session.Document, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	k, s, err := m.current(c)
	switch {
	case err != nil:
		return session.Document{}, err
	case s.doc.Removed:
		return session.Document{}, &session.RemovedError{Current: k.see(s)}
	}
	return k.push(c, session.TakenOut, state{doc: session.Document{Label: c.Label, Removed: true}, entry: s.entry, undo: s.doc.Revision}), nil
}

func (m *Memory) AddTaps(_ context.Context, id string, taps []session.Tap) (int, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	k, _, err := m.find(id)
	if err != nil {
		return 0, err
	}
	added := 0
	for _, t := range taps {
		if !slices.ContainsFunc(k.taps, func(o session.Tap) bool { return o.ID == t.ID }) {
			k.taps = append(k.taps, t)
			added++
		}
	}
	return added, nil
}

func (m *Memory) Taps(_ context.Context, id string) ([]session.Tap, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	k, _, err := m.find(id)
	if err != nil {
		return nil, err
	}
	return slices.SortedStableFunc(slices.Values(k.taps), func(a, b session.Tap) int { return a.Instant().Compare(b.Instant()) }), nil
}
