package sqlite

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"
	_ "time/tzdata"

	"hardnoon/session"
	"hardnoon/store/storetest"
)

func TestMain(m *testing.M) {
	if path := os.Getenv("HARDNOON_TEST_WRITER"); path != "" {
		writer(path)
		return
	}
	os.Exit(m.Run())
}

func opened(t testing.TB) *Store {
	t.Helper()
	s, err := Open(context.Background(), filepath.Join(t.TempDir(), "sessions of ½ a day?#.hardnoon"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	return s
}

func TestStore(t *testing.T) {
	storetest.Run(t, func(t *testing.T) session.Store { return opened(t) })
}

var noon = time.Date(2027, 1, 10, 12, 0, 0, 0, time.UTC)

func TestUndoAfterRestart(t *testing.T) {
	ctx, s := context.Background(), opened(t)
	x := storetest.Sample("a", 1)
	s.Create(ctx, x, session.Change{Label: "new", At: noon})
	x.Title = "changed"
	if _, err := s.Save(ctx, x, session.Change{ID: "a", From: 1, Label: "title", At: noon}); err != nil {
		t.Fatal(err)
	}
	s.Close()
	s, err := Open(ctx, s.Path())
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	d, err := s.Undo(ctx, session.Change{ID: "a", From: 2, At: noon})
	if err != nil || !strings.Contains(string(d.Session), `"Noon a"`) || d.Redo == nil || *d.Redo != "title" {
		t.Errorf("%v: %+v", err, d)
	}
}

// Two programs with the same file: neither loses what the other saved.
func TestTwoPrograms(t *testing.T) {
	ctx, a := context.Background(), opened(t)
	b, err := Open(ctx, a.Path())
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	x := storetest.Sample("a", 1)
	if _, err := a.Create(ctx, x, session.Change{Label: "new", At: noon}); err != nil {
		t.Fatal(err)
	}
	x.Title = "by b"
	if _, err := b.Save(ctx, x, session.Change{ID: "a", From: 1, At: noon}); err != nil {
		t.Fatal(err)
	}
	x.Title = "by a"
	if _, err := a.Save(ctx, x, session.Change{ID: "a", From: 1, At: noon}); !errors.As(err, new(*session.StaleError)) {
		t.Errorf("a saved over b: %v", err)
	}
}

func TestForeignFiles(t *testing.T) {
	ctx, dir := context.Background(), t.TempDir()
	text := filepath.Join(dir, "letter.txt")
	os.WriteFile(text, []byte(strings.Repeat("Dear Ema, ", 1000)), 0o600)
	other := filepath.Join(dir, "other.db")
	s, err := Open(ctx, other)
	if err != nil {
		t.Fatal(err)
	}
	s.db.Exec("PRAGMA application_id = 77")
	s.Close()
	for _, path := range []string{text, other} {
		before, _ := os.ReadFile(path)
		if _, err := Open(ctx, path); !errors.As(err, new(*ForeignError)) {
			t.Errorf("%s: %v", path, err)
		}
		if after, _ := os.ReadFile(path); string(after) != string(before) {
			t.Errorf("%s was changed", path)
		}
	}
	if _, err := Open(ctx, filepath.Join(dir, "no", "such", "folder")); err == nil {
		t.Error("opened in a folder that is not there")
	}
	if _, err := Open(ctx, dir); err == nil {
		t.Error("opened a folder")
	}
}

func TestMigrations(t *testing.T) {
	ctx, s := context.Background(), opened(t)
	if _, err := s.Create(ctx, storetest.Sample("a", 1), session.Change{At: noon}); err != nil {
		t.Fatal(err)
	}
	s.Close()
	if file, err := os.ReadFile(s.Path()); err != nil || !strings.HasPrefix(string(file), "SQLite format 3") || string(file[68:72]) != "HdNn" {
		t.Fatalf("%s is not the workspace: %v", s.Path(), err)
	}
	later := append(migrations[:1:1], `ALTER TABLE session ADD COLUMN colour TEXT`)
	s2, err := open(ctx, s.Path(), later)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s2.Get(ctx, "a"); err != nil {
		t.Error(err)
	}
	s2.Close()
	var newer *NewerError
	if _, err := Open(ctx, s.Path()); !errors.As(err, &newer) || newer.Has != 2 || newer.Knows != 1 {
		t.Errorf("a newer file: %v", err)
	}
	old, err := Open(ctx, s.Path()+".version-1")
	if err != nil {
		t.Fatalf("the copy of the old version: %v", err)
	}
	if _, err := old.Get(ctx, "a"); err != nil {
		t.Error(err)
	}
	old.Close()
	// One that fails leaves the file as it was.
	if _, err := open(ctx, s.Path(), append(later, `CREATE TABLE one (x); CREATE TABLE session (x)`)); err == nil {
		t.Fatal("it did not fail")
	}
	s2, err = open(ctx, s.Path(), later)
	if err != nil {
		t.Fatalf("after a migration that failed: %v", err)
	}
	s2.Close()
}

func TestBackup(t *testing.T) {
	ctx, s := context.Background(), opened(t)
	x := storetest.Sample("a", 12)
	if _, err := s.Create(ctx, x, session.Change{At: noon}); err != nil {
		t.Fatal(err)
	}
	to := filepath.Join(t.TempDir(), "copy's.hardnoon")
	if err := s.Backup(ctx, to); err != nil {
		t.Fatal(err)
	}
	x.Title = "later"
	s.Save(ctx, x, session.Change{ID: "a", From: 1, At: noon})
	before, _ := os.ReadFile(to)
	if err := s.Backup(ctx, to); !errors.As(err, new(*ExistsError)) {
		t.Errorf("second backup: %v", err)
	}
	if after, _ := os.ReadFile(to); string(after) != string(before) {
		t.Error("the first backup was changed")
	}
	b, err := Open(ctx, to)
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	if d, err := b.Get(ctx, "a"); err != nil || d.Revision != 1 {
		t.Errorf("%v: %+v", err, d)
	}
	if info, _ := os.Stat(to); info.Mode().Perm()&0o077 != 0 && os.PathSeparator == '/' {
		t.Errorf("others may read the backup: %v", info.Mode())
	}
	if err := s.Backup(ctx, filepath.Join(to, "x")); err == nil {
		t.Error("backup below a file")
	}
}

// writer saves as fast as it can and says each revision once it is
// acknowledged, until it is killed.
func writer(path string) {
	ctx := context.Background()
	s, err := Open(ctx, path)
	if err != nil {
		fmt.Println("broken:", err)
		return
	}
	x := storetest.Sample("a", 3)
	d, err := s.Get(ctx, "a")
	if errors.As(err, new(*session.MissingError)) {
		d, err = s.Create(ctx, x, session.Change{At: noon})
	}
	for err == nil {
		fmt.Println(d.Revision)
		x.Title = fmt.Sprint("revision ", d.Revision+1)
		d, err = s.Save(ctx, x, session.Change{ID: "a", From: d.Revision, Label: "x", At: noon})
	}
	fmt.Println("broken:", err)
}

// A process killed while it writes, 200 times: whatever it acknowledged is
// there, and the file is whole.
func TestKilledWhileWriting(t *testing.T) {
	kills := 200
	if testing.Short() {
		kills = 20
	}
	ctx, rng, path := context.Background(), rand.New(rand.NewPCG(3, 4)), filepath.Join(t.TempDir(), "w.hardnoon")
	var last int64
	for i := range kills {
		cmd := exec.Command(os.Args[0])
		cmd.Env = append(os.Environ(), "HARDNOON_TEST_WRITER="+path)
		out, err := cmd.StdoutPipe()
		if err != nil {
			t.Fatal(err)
		}
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		lines, stop := bufio.NewScanner(out), 1+rng.IntN(20)
		acknowledged := int64(0)
		for n := 0; lines.Scan(); n++ {
			r, err := strconv.ParseInt(lines.Text(), 10, 64)
			if err != nil {
				t.Fatalf("writer %d says %s", i, lines.Text())
			}
			acknowledged = r
			if n == stop {
				cmd.Process.Kill() // and go on reading what it said before it died
			}
		}
		cmd.Wait()
		if acknowledged < last {
			t.Fatalf("writer %d found revision %d; %d was acknowledged", i, acknowledged, last)
		}
		last = acknowledged
		s, err := Open(ctx, path)
		if err != nil {
			t.Fatalf("after kill %d: %v", i, err)
		}
		d, err := s.Get(ctx, "a")
		if err != nil || d.Revision < last {
			t.Fatalf("after kill %d: revision %d, acknowledged %d: %v", i, d.Revision, last, err)
		}
		if want := fmt.Sprintf(`"revision %d"`, d.Revision); d.Revision > 1 && !strings.Contains(string(d.Session), want) {
			t.Fatalf("after kill %d: revision %d holds something else", i, d.Revision)
		}
		last = max(last, d.Revision)
		s.Close()
	}
	s, err := Open(ctx, path)
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	if err := s.Backup(ctx, path+".copy"); err != nil { // runs SQLite's own check
		t.Error(err)
	}
	history, err := s.History(ctx, "a", 1<<30)
	if err != nil || int64(len(history)) != last {
		t.Errorf("history of %d for revision %d: %v", len(history), last, err)
	}
	t.Logf("%d kills, %d revisions", kills, last)
}

// 200 sessions of 12 setups each.
func BenchmarkList(b *testing.B) {
	ctx, s := context.Background(), opened(b)
	s.db.Exec("PRAGMA synchronous = OFF")
	for i := range 200 {
		if _, err := s.Create(ctx, storetest.Sample(fmt.Sprint("s", i), 12), session.Change{At: noon}); err != nil {
			b.Fatal(err)
		}
	}
	for b.Loop() {
		if list, err := s.List(ctx, false); err != nil || len(list) != 200 || list[0].Setups != 12 {
			b.Fatal(len(list), err)
		}
	}
}

func BenchmarkSave(b *testing.B) {
	ctx, s := context.Background(), opened(b)
	x := storetest.Sample("a", 12)
	d, err := s.Create(ctx, x, session.Change{At: noon})
	for b.Loop() {
		x.Title = fmt.Sprint("revision ", d.Revision+1)
		if d, err = s.Save(ctx, x, session.Change{ID: "a", From: d.Revision, Label: "x", At: noon}); err != nil {
			b.Fatal(err)
		}
	}
}
