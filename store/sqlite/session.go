package sqlite

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"time"

	"hardnoon/session"
)

var _ session.Store = (*Store)(nil)

// state is one row of the table revision, with its file.
type state struct {
	session.Document
	how            session.How
	undoTo, redoTo int64
	fileAt         int64
	entry          string
}

// querier is what a transaction and the database have in common.
type querier interface {
	QueryRowContext(context.Context, string, ...any) *sql.Row
}

const selectState = `
SELECT r.revision, r.saved_at, r.how, r.label, r.undo_to, r.redo_to, r.file_at, r.entry, f.file, n.label
FROM revision r
LEFT JOIN revision f ON f.session = r.session AND f.revision = r.file_at
LEFT JOIN revision n ON n.session = r.session AND n.revision = r.redo_to
WHERE r.session = ?1 AND r.revision = `

// current reads the newest state of a session.
func current(ctx context.Context, q querier, id string) (state, error) {
	return scan(id, 0, q.QueryRowContext(ctx, selectState+"(SELECT revision FROM session WHERE id = ?1)", id))
}

func at(ctx context.Context, q querier, id string, revision int64) (state, error) {
	return scan(id, revision, q.QueryRowContext(ctx, selectState+"?2", id, revision))
}

func scan(id string, revision int64, row *sql.Row) (s state, err error) {
	var ms int64
	var file, next *string
	s.ID = id
	err = row.Scan(&s.Revision, &ms, &s.how, &s.Label, &s.undoTo, &s.redoTo, &s.fileAt, &s.entry, &file, &next)
	if errors.Is(err, sql.ErrNoRows) {
		return s, &session.MissingError{ID: id, Revision: revision}
	}
	if err != nil {
		return s, err
	}
	s.SavedAt = time.UnixMilli(ms).UTC()
	s.Removed = s.fileAt == 0
	if file != nil {
		s.Session = json.RawMessage(*file)
	}
	if s.undoTo > 0 {
		s.Undo = &s.Label
	}
	s.Redo = next
	return s, nil
}

// List reads the table session alone, whatever the sessions weigh.
func (s *Store) List(ctx context.Context, removed bool) ([]session.Entry, error) {
	rows, err := s.db.QueryContext(ctx, `SELECT id, title, place, start, setups, people, revision, saved_at FROM session
WHERE removed = ? ORDER BY saved_at DESC, id`, removed)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	list := []session.Entry{}
	for rows.Next() {
		var e session.Entry
		var ms int64
		if err := rows.Scan(&e.ID, &e.Title, &e.Place, &e.Start, &e.Setups, &e.People, &e.Revision, &ms); err != nil {
			return nil, err
		}
		e.SavedAt = time.UnixMilli(ms).UTC()
		list = append(list, e)
	}
	return list, rows.Err()
}

func (s *Store) Get(ctx context.Context, id string) (session.Document, error) {
	now, err := current(ctx, s.db, id)
	return now.Document, err
}

func (s *Store) At(ctx context.Context, id string, revision int64) (session.Document, error) {
	if _, err := current(ctx, s.db, id); err != nil {
		return session.Document{}, err
	}
	then, err := at(ctx, s.db, id, revision)
	then.Undo, then.Redo = nil, nil
	return then.Document, err
}

func (s *Store) History(ctx context.Context, id string, limit int) ([]session.Revision, error) {
	rows, err := s.db.QueryContext(ctx, `SELECT revision, saved_at, how, label FROM revision WHERE session = ? ORDER BY revision DESC LIMIT ?`, id, limit)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var list []session.Revision
	for rows.Next() {
		var r session.Revision
		var ms int64
		if err := rows.Scan(&r.Revision, &ms, &r.How, &r.Label); err != nil {
			return nil, err
		}
		r.SavedAt = time.UnixMilli(ms).UTC()
		list = append(list, r)
	}
	if len(list) == 0 && rows.Err() == nil { // every session has one
		return nil, &session.MissingError{ID: id}
	}
	return list, rows.Err()
}

// change runs f in a transaction that is on the disk when it returns nil.
func (s *Store) change(ctx context.Context, f func(tx *sql.Tx) error) error {
	s.write.Lock()
	defer s.write.Unlock()
	tx, err := s.db.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	defer tx.Rollback()
	if err := f(tx); err != nil {
		return err
	}
	return tx.Commit()
}

// step makes the state that follows from the current one; next sees the
// current state and returns the new one, or an error. A next that returns the
// current state leaves it.
func (s *Store) step(ctx context.Context, c session.Change, next func(tx *sql.Tx, now state) (state, error)) (session.Document, error) {
	var out session.Document
	err := s.change(ctx, func(tx *sql.Tx) error {
		now, err := current(ctx, tx, c.ID)
		if err != nil {
			return err
		}
		if c.From != now.Revision {
			return &session.StaleError{From: c.From, Current: now.Document}
		}
		new, err := next(tx, now)
		if err != nil {
			return err
		}
		if new.Revision == now.Revision {
			out = now.Document
			return nil
		}
		new.Revision = now.Revision + 1
		out, err = push(ctx, tx, c, new)
		return err
	})
	return out, err
}

// push writes s as the newest state and reads it back.
func push(ctx context.Context, tx *sql.Tx, c session.Change, s state) (session.Document, error) {
	var file *string
	if s.fileAt == s.Revision {
		text := string(s.Session)
		file = &text
	}
	var e session.Entry
	if err := json.Unmarshal([]byte(s.entry), &e); err != nil {
		return session.Document{}, err
	}
	ms := c.At.UnixMilli()
	_, err := tx.ExecContext(ctx, `INSERT INTO session (id, revision, saved_at, removed, title, place, start, setups, people) VALUES (?,?,?,?,?,?,?,?,?)
ON CONFLICT (id) DO UPDATE SET revision = excluded.revision, saved_at = excluded.saved_at, removed = excluded.removed,
title = excluded.title, place = excluded.place, start = excluded.start, setups = excluded.setups, people = excluded.people`,
		c.ID, s.Revision, ms, s.fileAt == 0, e.Title, e.Place, e.Start, e.Setups, e.People)
	if err != nil {
		return session.Document{}, err
	}
	_, err = tx.ExecContext(ctx, `INSERT INTO revision (session, revision, saved_at, how, label, undo_to, redo_to, file_at, file, entry) VALUES (?,?,?,?,?,?,?,?,?,?)`,
		c.ID, s.Revision, ms, s.how, s.Label, s.undoTo, s.redoTo, s.fileAt, file, s.entry)
	if err != nil {
		return session.Document{}, err
	}
	now, err := current(ctx, tx, c.ID)
	return now.Document, err
}

// fresh is the state that holds x at a revision.
func fresh(x session.Session, how session.How, label string, revision int64) (state, error) {
	file, err := session.Compact(x)
	if err != nil {
		return state{}, err
	}
	entry, err := json.Marshal(session.EntryOf(x, session.Document{}))
	return state{Document: session.Document{Revision: revision, Label: label, Session: file}, how: how, fileAt: revision, entry: string(entry)}, err
}

func (s *Store) Create(ctx context.Context, x session.Session, c session.Change) (out session.Document, err error) {
	first, err := fresh(x, session.Created, c.Label, 1)
	if err != nil {
		return out, err
	}
	c.ID = x.ID
	err = s.change(ctx, func(tx *sql.Tx) error {
		var taken bool
		if err := tx.QueryRowContext(ctx, `SELECT EXISTS (SELECT 1 FROM session WHERE id = ?)`, x.ID).Scan(&taken); err != nil {
			return err
		}
		if taken {
			return &session.TakenError{ID: x.ID}
		}
		out, err = push(ctx, tx, c, first)
		return err
	})
	return out, err
}

func (s *Store) Save(ctx context.Context, x session.Session, c session.Change) (session.Document, error) {
	new, err := fresh(x, session.Saved, c.Label, c.From+1)
	if err != nil {
		return session.Document{}, err
	}
	return s.step(ctx, c, func(_ *sql.Tx, now state) (state, error) {
		if now.Removed {
			return state{}, &session.RemovedError{Current: now.Document}
		}
		if string(now.Session) == string(new.Session) {
			return now, nil
		}
		new.undoTo = now.Revision
		return new, nil
	})
}

func (s *Store) Undo(ctx context.Context, c session.Change) (session.Document, error) {
	return s.step(ctx, c, func(tx *sql.Tx, now state) (state, error) {
		if now.undoTo == 0 {
			return state{}, &session.NothingError{How: session.Undone}
		}
		was, err := at(ctx, tx, c.ID, now.undoTo)
		was.how, was.redoTo = session.Undone, now.Revision
		return was, err
	})
}

func (s *Store) Redo(ctx context.Context, c session.Change) (session.Document, error) {
	return s.step(ctx, c, func(tx *sql.Tx, now state) (state, error) {
		if now.redoTo == 0 {
			return state{}, &session.NothingError{How: session.Redone}
		}
		was, err := at(ctx, tx, c.ID, now.redoTo)
		was.how = session.Redone
		return was, err
	})
}

func (s *Store) Remove(ctx context.Context, c session.Change) (session.Document, error) {
	return s.step(ctx, c, func(_ *sql.Tx, now state) (state, error) {
		if now.Removed {
			return state{}, &session.RemovedError{Current: now.Document}
		}
		return state{Document: session.Document{Label: c.Label}, how: session.TakenOut, undoTo: now.Revision, entry: now.entry}, nil
	})
}

func (s *Store) AddTaps(ctx context.Context, id string, taps []session.Tap) (added int, err error) {
	err = s.change(ctx, func(tx *sql.Tx) error {
		if _, err := current(ctx, tx, id); err != nil {
			return err
		}
		for _, t := range taps {
			text, err := json.Marshal(t)
			if err != nil {
				return err
			}
			r, err := tx.ExecContext(ctx, `INSERT INTO tap (session, id, at, tap) VALUES (?,?,?,?) ON CONFLICT DO NOTHING`, id, t.ID, t.Instant().UnixMicro(), string(text))
			if err != nil {
				return err
			}
			n, err := r.RowsAffected()
			if err != nil {
				return err
			}
			added += int(n)
		}
		return nil
	})
	return added, err
}

func (s *Store) Taps(ctx context.Context, id string) ([]session.Tap, error) {
	if _, err := current(ctx, s.db, id); err != nil {
		return nil, err
	}
	rows, err := s.db.QueryContext(ctx, `SELECT tap FROM tap WHERE session = ? ORDER BY at, rowid`, id)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	list := []session.Tap{}
	for rows.Next() {
		var text string
		var t session.Tap
		if err := rows.Scan(&text); err != nil {
			return nil, err
		}
		if err := json.Unmarshal([]byte(text), &t); err != nil {
			return nil, err
		}
		list = append(list, t)
	}
	return list, rows.Err()
}
