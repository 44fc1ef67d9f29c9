// Package sqlite keeps sessions in one SQLite file, the workspace. It answers:
// what was saved, by which revision, and what was it before?
//
// The file is in write-ahead mode and every change is on the disk before it is
// acknowledged. Sessions stand in it as the canonical one-line session file;
// history only grows. Two programs may have the file open.
//
// Left out: anything computed, and deleting. Backup makes a copy.
package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"sync"

	_ "modernc.org/sqlite" // the driver, without cgo
)

// ApplicationID marks a workspace among SQLite files ("HdNn").
const ApplicationID = 0x48644e6e

// migrations bring the tables up from version to version: the file's
// user_version counts those that ran. They are never edited, only added to.
var migrations = []string{`
CREATE TABLE session (
  id       TEXT PRIMARY KEY,
  revision INTEGER NOT NULL,
  saved_at INTEGER NOT NULL, -- ms since 1970
  removed  INTEGER NOT NULL,
  title    TEXT NOT NULL,
  place    TEXT NOT NULL,
  start    TEXT NOT NULL,
  setups   INTEGER NOT NULL,
  people   INTEGER NOT NULL
) STRICT;
CREATE TABLE revision (
  session  TEXT NOT NULL REFERENCES session (id),
  revision INTEGER NOT NULL,
  saved_at INTEGER NOT NULL,
  how      TEXT NOT NULL,
  label    TEXT NOT NULL,    -- of the change that made this state
  undo_to  INTEGER NOT NULL, -- 0: nothing to undo
  redo_to  INTEGER NOT NULL,
  file_at  INTEGER NOT NULL, -- the revision that holds the file; 0: removed
  file     TEXT,             -- the session in one line
  entry    TEXT NOT NULL,    -- what the list shows of this state
  PRIMARY KEY (session, revision)
) STRICT;
CREATE TABLE tap (
  session TEXT NOT NULL REFERENCES session (id),
  id      TEXT NOT NULL,
  at      INTEGER NOT NULL, -- µs since 1970
  tap     TEXT NOT NULL,
  PRIMARY KEY (session, id)
) STRICT;
`}

// Store is an open workspace. It is safe for many goroutines.
type Store struct {
	db    *sql.DB
	path  string
	write sync.Mutex // one writer at a time, in order of arrival
}

// ForeignError reports a file that is no workspace.
type ForeignError struct{ Path string }

func (e *ForeignError) Error() string { return e.Path + " is not a workspace" }

// NewerError reports a workspace that a later program made.
type NewerError struct {
	Path       string
	Has, Knows int
}

func (e *NewerError) Error() string {
	return fmt.Sprintf("%s is of version %d; this program knows versions up to %d", e.Path, e.Has, e.Knows)
}

// ExistsError reports that a backup would overwrite something.
type ExistsError struct{ Path string }

func (e *ExistsError) Error() string { return e.Path + " is there already" }

// Open opens the workspace at path, or makes it. A workspace of an older
// version is copied (path.version-N) before it is brought up to date.
func Open(ctx context.Context, path string) (*Store, error) {
	return open(ctx, path, migrations)
}

func open(ctx context.Context, path string, migrations []string) (*Store, error) {
	path, err := filepath.Abs(path)
	if err != nil {
		return nil, err
	}
	// The file is made here, readable by its owner alone: it holds names of minors.
	f, err := os.OpenFile(path, os.O_CREATE|os.O_RDWR, 0o600)
	if err != nil {
		return nil, err
	}
	f.Close()
	q := url.Values{"_txlock": {"immediate"}, "_pragma": {
		"busy_timeout(10000)", "foreign_keys(1)", "synchronous(FULL)", "trusted_schema(0)",
	}}
	db, err := sql.Open("sqlite", uri(path, q))
	if err != nil {
		return nil, err
	}
	db.SetMaxOpenConns(8)
	db.SetMaxIdleConns(8)
	s := &Store{db: db, path: path}
	if err := s.migrate(ctx, migrations); err != nil {
		db.Close()
		return nil, err
	}
	return s, nil
}

// uri names the file at an absolute path, whatever signs are in it.
func uri(path string, q url.Values) string {
	path = filepath.ToSlash(path)
	if path[0] != '/' { // a drive letter
		path = "/" + path
	}
	u := url.URL{Scheme: "file", Path: path, RawQuery: q.Encode()}
	return u.String()
}

// migrate checks whose file it is and runs what migrations it lacks.
func (s *Store) migrate(ctx context.Context, migrations []string) error {
	var id, has, pages int
	err := errors.Join(
		s.db.QueryRowContext(ctx, "PRAGMA application_id").Scan(&id),
		s.db.QueryRowContext(ctx, "PRAGMA user_version").Scan(&has),
		s.db.QueryRowContext(ctx, "PRAGMA page_count").Scan(&pages))
	if err != nil {
		return s.foreign(err)
	}
	if id != ApplicationID && (id != 0 || has != 0 || pages != 0) {
		return &ForeignError{s.path}
	}
	if has > len(migrations) {
		return &NewerError{s.path, has, len(migrations)}
	}
	if has == len(migrations) {
		return nil
	}
	if has > 0 {
		if err := s.Backup(ctx, fmt.Sprintf("%s.version-%d", s.path, has)); err != nil {
			return fmt.Errorf("copying the workspace before bringing it up to date: %w", err)
		}
	}
	var mode string
	if err := s.db.QueryRowContext(ctx, "PRAGMA journal_mode = WAL").Scan(&mode); err != nil {
		return s.foreign(err)
	}
	tx, err := s.db.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	defer tx.Rollback()
	// Another program may have done it while this one waited for its turn.
	if err := tx.QueryRowContext(ctx, "PRAGMA user_version").Scan(&has); err != nil {
		return err
	}
	if has > len(migrations) {
		return &NewerError{s.path, has, len(migrations)}
	}
	for i, step := range migrations[has:] {
		if _, err := tx.ExecContext(ctx, step); err != nil {
			return fmt.Errorf("bringing the workspace to version %d: %w", has+i+1, err)
		}
	}
	if _, err := tx.ExecContext(ctx, fmt.Sprintf("PRAGMA application_id = %d; PRAGMA user_version = %d", ApplicationID, len(migrations))); err != nil {
		return err
	}
	return tx.Commit()
}

// foreign tells a file that is no database from other trouble.
func (s *Store) foreign(err error) error {
	const notADatabase = 26 // SQLITE_NOTADB
	var code interface{ Code() int }
	if errors.As(err, &code) && code.Code()&0xff == notADatabase {
		return &ForeignError{s.path}
	}
	return err
}

// Path is where the workspace lies.
func (s *Store) Path() string { return s.path }

// Close closes the workspace.
func (s *Store) Close() error { return s.db.Close() }

// Backup writes a copy of the workspace as it is now to a file that must not
// exist, and checks that it is whole. The workspace may be in use.
func (s *Store) Backup(ctx context.Context, to string) (err error) {
	f, err := os.OpenFile(to, os.O_CREATE|os.O_EXCL|os.O_RDWR, 0o600)
	if errors.Is(err, fs.ErrExist) {
		return &ExistsError{to}
	}
	if err != nil {
		return err
	}
	defer func() {
		f.Close()
		if err != nil { // it is ours, and not a backup
			os.Remove(to)
		}
	}()
	if _, err := s.db.ExecContext(ctx, "VACUUM INTO ?", to); err != nil {
		return err
	}
	if err := f.Sync(); err != nil {
		return err
	}
	return whole(ctx, to)
}

// whole reports whether the database at path passes SQLite's own check.
func whole(ctx context.Context, path string) error {
	path, err := filepath.Abs(path)
	if err != nil {
		return err
	}
	db, err := sql.Open("sqlite", uri(path, url.Values{"mode": {"ro"}, "immutable": {"1"}}))
	if err != nil {
		return err
	}
	defer db.Close()
	var said string
	var id int
	if err := db.QueryRowContext(ctx, "PRAGMA integrity_check").Scan(&said); err != nil {
		return err
	}
	if err := db.QueryRowContext(ctx, "PRAGMA application_id").Scan(&id); err != nil {
		return err
	}
	if said != "ok" || id != ApplicationID {
		return fmt.Errorf("the copy is damaged: %s", said)
	}
	return nil
}
