package build

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"
)

// dist is kept in the repository so that "go install" needs no other step: it
// must be what the sources make.
func TestDistIsCurrent(t *testing.T) {
	files, err := Files("..")
	if err != nil {
		t.Fatal(err)
	}
	total := 0
	for name, want := range files {
		total += len(want)
		got, err := os.ReadFile(filepath.Join("..", "dist", name))
		if err != nil || !bytes.Equal(got, want) {
			t.Errorf("web/dist/%s is not what the sources make; go run ./dev web", name)
		}
	}
	if total > 700_000 {
		t.Errorf("the app is %d bytes; at most 700,000", total)
	}
	t.Logf("%d files, %d bytes", len(files), total)
}
