// Command dev runs and tests hardnoon on a machine that has only Go.
//
//	go run ./dev run    build what is needed and show the demo plan
//	go run ./dev test   everything CI checks
//	go run ./dev web    build the web app anew, into web/dist
//	go run ./dev bench  the benchmarks of docs/benchmarks.md
package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
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
		err = build.Write("web")
	case "bench":
		err = run(nil, "go", "test", "-run=^$", "-bench=.", "-benchmem", "./...")
	default:
		fmt.Fprintln(os.Stderr, "dev: say run, test, web or bench")
		os.Exit(2)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "dev:", err)
		os.Exit(1)
	}
}

// demo plans the demo session in the terminal.
func demo() error {
	return run(nil, "go", "run", "./cmd/hardnoon", "plan", "demo/javelin.json")
}

// test is everything CI checks. What a check needs and the machine lacks is
// said, not silently skipped.
func test() error {
	if err := formatted(); err != nil {
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
		{"the engine for the browser", []string{"GOOS=js", "GOARCH=wasm"}, []string{"go", "build", "-o", os.DevNull, "./cmd/hardnoon-wasm"}},
	}
	for _, s := range steps {
		fmt.Println("==", s.what)
		if err := run(s.env, s.cmd[0], s.cmd[1:]...); err != nil {
			return fmt.Errorf("%s: %w", s.what, err)
		}
	}
	return wasmTests()
}

// wasmTests runs the engine's own tests as the browser would compute them.
func wasmTests() error {
	if _, err := exec.LookPath("node"); err != nil {
		fmt.Println("== engine tests in WebAssembly: left out, there is no node on this machine")
		return nil
	}
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		return err
	}
	fmt.Println("== engine tests in WebAssembly, under node")
	runner := filepath.Join(strings.TrimSpace(string(root)), "lib", "wasm", "go_js_wasm_exec")
	return run([]string{"GOOS=js", "GOARCH=wasm"}, "go", "test", "-exec="+runner, "./engine/...")
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
