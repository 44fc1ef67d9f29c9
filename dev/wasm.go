package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"time"

	"github.com/andybalholm/brotli"
)

// Where the engine for the browser goes, and what it is made of.
const wasmFile = "web/dist/hardnoon.wasm.br"

var wasmSources = []string{"api", "cmd/hardnoon-wasm", "engine", "session", "go.mod", "dev/wasm.go"}

// wasmBudget is what a phone on a field's network can load: about four seconds
// at 3 Mbit/s.
const wasmBudget = 1_600_000

// small are packages that are built without inlining: nothing in them is done a
// million times, a plan takes as long, and it makes the file a fifteenth smaller.
var small = []string{
	"hardnoon/api", "hardnoon/session", "hardnoon/engine/body", "hardnoon/engine/calibrate", "hardnoon/engine/floodlight", "hardnoon/engine/modifier",
	"hardnoon/engine/order", "hardnoon/engine/plan", "hardnoon/engine/safety", "hardnoon/engine/site",
	"encoding/json", "fmt", "reflect", "time",
}

// buildWasm makes the engine for the browser and puts Go's own wasm_exec.js
// beside it, unless the sources are older.
func buildWasm() error {
	if made, err := os.Stat(wasmFile); err == nil && newest(wasmSources).Before(made.ModTime()) {
		return nil
	}
	fmt.Println("== the engine for the browser")
	raw := filepath.Join(os.TempDir(), fmt.Sprintf("hardnoon-%d.wasm", os.Getpid()))
	defer os.Remove(raw)
	build := []string{"build", "-trimpath", "-ldflags=-s -w", "-o", raw}
	for _, pkg := range small {
		build = append(build, "-gcflags="+pkg+"=-l")
	}
	if err := run([]string{"GOOS=js", "GOARCH=wasm"}, "go", append(build, "./cmd/hardnoon-wasm")...); err != nil {
		return err
	}
	data, err := os.ReadFile(raw)
	if err != nil {
		return err
	}
	var packed bytes.Buffer
	w := brotli.NewWriterOptions(&packed, brotli.WriterOptions{Quality: 11, LGWin: 24})
	if _, err := w.Write(data); err != nil {
		return err
	}
	if err := w.Close(); err != nil {
		return err
	}
	fmt.Printf("hardnoon.wasm: %d bytes, packed %d\n", len(data), packed.Len())
	if packed.Len() > wasmBudget {
		return fmt.Errorf("the engine for the browser is %d bytes packed; %d are the most", packed.Len(), wasmBudget)
	}
	script, err := os.ReadFile(filepath.Join(goroot(), "lib", "wasm", "wasm_exec.js"))
	if err != nil {
		return err
	}
	return errors.Join(
		os.MkdirAll(filepath.Dir(wasmFile), 0o755),
		os.WriteFile(filepath.Join(filepath.Dir(wasmFile), "wasm_exec.js"), script, 0o644),
		os.WriteFile(wasmFile, packed.Bytes(), 0o644))
}

// newest returns when the youngest Go file below any of the paths was changed.
func newest(paths []string) (t time.Time) {
	for _, p := range paths {
		filepath.WalkDir(p, func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || strings.HasSuffix(path, "_test.go") {
				return nil
			}
			if info, err := d.Info(); err == nil && info.ModTime().After(t) {
				t = info.ModTime()
			}
			return nil
		})
	}
	return t
}

func goroot() string {
	out, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		return ""
	}
	return strings.TrimSpace(string(out))
}
