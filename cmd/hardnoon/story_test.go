package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

// TestMain lets the stories call hardnoon as a command.
func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"hardnoon": func() { os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) },
	})
}

// Each file in testdata is one situation, readable as a manual.
func TestStories(t *testing.T) {
	demo, err := filepath.Abs(filepath.Join("..", "..", "demo", "javelin.json"))
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{Dir: "testdata", Setup: func(e *testscript.Env) error {
		e.Setenv("DEMO", demo)
		return nil
	}})
}
