// Command dev runs and tests hardnoon on a machine that has only Go.
//
//	go run ./dev run    build what is needed and open the demo workspace
//	go run ./dev test   everything CI checks
//	go run ./dev web    build the web app anew, into web/dist
//	go run ./dev browser  the part of test that drives the web app in Chromium
//	go run ./dev bench  the benchmarks of docs/benchmarks.md
package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"runtime"
	"strings"

	"hardnoon/web/build"
)

func main() {
	what := ""
	if len(os.Args) > 1 {
		what = os.Args[1]
	}
	var err error
	switch what {
	case "run":
		err = demo()
	case "test":
		err = test()
	case "web":
		err = buildWeb()
	case "browser":
		err = browserTests()
	case "bench":
		err = run(nil, "go", "test", "-run=^$", "-bench=.", "-benchmem", "./...")
	default:
		fmt.Fprintln(os.Stderr, "dev: say run, test, web, browser or bench")
		os.Exit(2)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "dev:", err)
		os.Exit(1)
	}
}

// demoWorkspace is kept between runs; it is not part of the project.
const demoWorkspace = "demo/workspace.hardnoon"

// demo serves the demo session until it is interrupted.
func demo() error {
	if err := buildWeb(); err != nil {
		return err
	}
	program := filepath.Join(os.TempDir(), fmt.Sprintf("hardnoon-demo-%d", os.Getpid()))
	if runtime.GOOS == "windows" {
		program += ".exe"
	}
	defer os.Remove(program)
	if err := run(nil, "go", "build", "-o", program, "./cmd/hardnoon"); err != nil {
		return err
	}
	signal.Ignore(os.Interrupt) // it is for the program, which ends well
	return run(nil, program, append([]string{"serve", "--workspace", demoWorkspace, "--with", "demo/javelin.json"}, os.Args[2:]...)...)
}

// buildWeb makes what the program holds of the web app.
func buildWeb() error {
	return errors.Join(build.Write("web"), buildWasm())
}

// test is everything CI checks. What a check needs and the machine lacks is
// said, not silently skipped.
func test() error {
	if err := formatted(); err != nil {
		return err
	}
	if err := pdfTools(); err != nil {
		return err
	}
	steps := []struct {
		what string
		env  []string
		cmd  []string
	}{
		{"vet", nil, []string{"go", "vet", "./..."}},
		{"tests", nil, []string{"go", "test", "./..."}},
		{"one static binary, other machines", []string{"CGO_ENABLED=0", "GOOS=windows"}, []string{"go", "build", "-o", os.DevNull, "./cmd/hardnoon"}},
		{"one static binary, other processors", []string{"CGO_ENABLED=0", "GOOS=linux", "GOARCH=arm"}, []string{"go", "build", "-o", os.DevNull, "./cmd/hardnoon"}},
		{"the engine for the browser", []string{"GOOS=js", "GOARCH=wasm"}, []string{"go", "build", "-o", os.DevNull, "./cmd/hardnoon-wasm"}},
	}
	for _, s := range steps {
		fmt.Println("==", s.what)
		if err := run(s.env, s.cmd[0], s.cmd[1:]...); err != nil {
			return fmt.Errorf("%s: %w", s.what, err)
		}
	}
	return errors.Join(wasmTests(), browserTests())
}

// pdfTools gets the programs by which tests read and render printed sheets.
func pdfTools() error {
	missing := func() bool {
		_, text := exec.LookPath("pdftotext")
		_, page := exec.LookPath("pdftoppm")
		return text != nil || page != nil
	}
	if missing() {
		if err := install("poppler-utils"); err != nil {
			return err
		}
	}
	if missing() {
		fmt.Println("== sheets read by pdftotext and rendered by pdftoppm: left out, this machine has no poppler-utils")
	}
	return nil
}

// wasmTests runs the engine's own tests as the browser would compute them.
func wasmTests() error {
	if _, err := exec.LookPath("node"); err != nil {
		fmt.Println("== engine tests in WebAssembly: left out, there is no node on this machine")
		return nil
	}
	fmt.Println("== engine tests in WebAssembly, under node")
	runner := filepath.Join(goroot(), "lib", "wasm", "go_js_wasm_exec")
	if err := run([]string{"GOOS=js", "GOARCH=wasm"}, "go", "test", "-exec="+runner, "./engine/..."); err != nil {
		return err
	}
	fmt.Println("== the engine for the browser, under node")
	if err := buildWasm(); err != nil {
		return err
	}
	return run(nil, "node", "cmd/hardnoon-wasm/testdata/ask.mjs", "web/dist", "demo/javelin.json")
}

// formatted fails when gofmt would change a file.
func formatted() error {
	fmt.Println("== format")
	out, err := exec.Command("gofmt", "-l", ".").Output()
	if err != nil {
		return fmt.Errorf("gofmt: %w", err)
	}
	if out = bytes.TrimSpace(out); len(out) > 0 {
		return fmt.Errorf("gofmt would change %s", strings.Join(strings.Fields(string(out)), ", "))
	}
	return nil
}

func run(env []string, name string, args ...string) error {
	cmd := exec.Command(name, args...)
	cmd.Env = append(os.Environ(), env...)
	cmd.Stdout, cmd.Stderr = os.Stdout, os.Stderr
	return cmd.Run()
}
