// Package arch holds no code: its tests state which way imports may point.
package arch

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"testing"
)

const module = "hardnoon/"

// rules says what each package of this module may import from this module.
// It is a statement of policy: do not loosen a line to make a build pass;
// write a decision record first. ENGINE stands for every package under engine/.
const rules = `
engine/unit:     -
engine/geom:     engine/unit
engine/spectrum: engine/unit
engine/exposure: engine/unit
engine/sun:      engine/unit engine/geom
engine/floodlight: engine/unit engine/geom
engine/sky:      engine/unit engine/geom engine/spectrum engine/sun engine/floodlight
engine/modifier: engine/unit engine/geom engine/spectrum
engine/flash:    engine/unit engine/geom engine/spectrum engine/exposure engine/modifier
engine/optics:   engine/unit engine/geom
engine/motion:   engine/unit engine/geom engine/optics
engine/order:    engine/unit engine/flash
engine/body:     engine/unit engine/geom engine/spectrum
engine/site:     engine/unit engine/geom
engine/scene:    engine/unit engine/geom engine/spectrum engine/sun engine/sky engine/flash engine/modifier engine/optics engine/body engine/site
engine/render:   engine/unit engine/geom engine/spectrum engine/exposure engine/optics engine/scene
engine/safety:   engine/unit engine/geom engine/sun engine/sky engine/flash engine/modifier engine/site engine/scene
engine/calibrate: engine/unit engine/exposure engine/modifier engine/flash
engine/plan:     engine/unit engine/geom engine/exposure engine/sun engine/sky engine/flash engine/modifier engine/optics engine/motion engine/body engine/site engine/scene engine/safety
engine/advise:   engine/unit engine/exposure engine/sun engine/sky engine/plan
engine/exif:     engine/unit
engine/frame:    engine/unit engine/exposure engine/exif
session:         engine/unit
sheet:           engine/unit
sheet/svg:       sheet engine/unit
sheet/letters:   sheet
sheet/pdf:       sheet sheet/letters engine/unit
api:             ENGINE session sheet sheet/svg
app:             ENGINE session api sheet sheet/letters sheet/svg sheet/pdf
place:           engine/unit
picture:         engine/unit engine/exif
store/sqlite:    session engine/unit
ingest:          session engine/unit engine/exif engine/frame
deliver:         session engine/unit
web:             -
web/build:       -
server:          app api session web
cmd/hardnoon:     app api session server store/sqlite ingest deliver place picture engine/unit
dev:             web/build
cmd/hardnoon-wasm: api
internal/arch:   -
internal/golden: -
internal/refgen: -
store/storetest: session engine/unit
`

// isPure reports whether the code of package pkg must be a function of its
// arguments. Besides the engine these are the packages the browser also runs.
func isPure(pkg string) bool {
	return strings.HasPrefix(pkg, "engine/") ||
		slices.Contains([]string{"api", "session", "sheet", "sheet/svg"}, pkg)
}

// impureStd is the part of the standard library that pure code may not
// import, and why.
var impureStd = map[string]string{
	"os": "I/O belongs to the adapters", "os/exec": "I/O belongs to the adapters",
	"net": "no network in pure code", "net/http": "no network in pure code",
	"database/sql": "only adapters know the store",
	"log":          "return values and errors; the caller prints",
	"log/slog":     "return values and errors; the caller prints",
	"math/rand":    "use a *rand.Rand from math/rand/v2 with a seed the caller gives",
}

// impureCalls are the functions pure code may not call.
var impureCalls = []string{"time.Now", "time.Since", "time.Until", "rand.Float64", "rand.IntN", "rand.NormFloat64", "rand.Shuffle", "rand.Perm"}

// A source is one non-test Go file of the module.
type source struct {
	pkg  string // package folder, relative to the module root
	path string
	file *ast.File
	fset *token.FileSet
}

// sources parses every non-test Go file, whatever its build tags. Reading the
// files here, and not through "go list", also tells the test cache about them.
func sources(t *testing.T) []source {
	t.Helper()
	root := filepath.Join("..", "..")
	var out []source
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() {
			if n := d.Name(); n == "testdata" || n == "node_modules" || len(n) > 2 && n[0] == '.' {
				return filepath.SkipDir
			}
			return nil
		}
		if !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return nil
		}
		fset := token.NewFileSet()
		file, err := parser.ParseFile(fset, path, nil, 0)
		if err != nil {
			return err
		}
		dir, err := filepath.Rel(root, filepath.Dir(path))
		out = append(out, source{filepath.ToSlash(dir), path, file, fset})
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func parseRules(t *testing.T) map[string][]string {
	may := map[string][]string{}
	var engine []string
	for line := range strings.Lines(rules) {
		name, rest, ok := strings.Cut(strings.TrimSpace(line), ":")
		if !ok {
			continue
		}
		if strings.HasPrefix(name, "engine/") {
			engine = append(engine, name)
		}
		for _, imp := range strings.Fields(rest) {
			switch _, seen := may[imp]; {
			case imp == "-":
			case imp == "ENGINE":
				may[name] = append(may[name], engine...)
			case !seen:
				t.Fatalf("rules: %s may import %s, which is not listed above it", name, imp)
			default:
				may[name] = append(may[name], imp)
			}
		}
		may[name] = append(may[name], name) // listed, even if it may import nothing
	}
	return may
}

func TestImportDirections(t *testing.T) {
	may := parseRules(t)
	for _, src := range sources(t) {
		allowed, ok := may[src.pkg]
		if !ok {
			t.Errorf("%s: not in the rules; add a line for it in internal/arch", src.pkg)
			continue
		}
		for _, spec := range src.file.Imports {
			imp, _ := strconv.Unquote(spec.Path.Value)
			at := src.fset.Position(spec.Pos())
			if local, ok := strings.CutPrefix(imp, module); ok {
				if !slices.Contains(allowed, local) {
					t.Errorf("%s: %s may not import %s", at, src.pkg, local)
				}
				continue
			}
			if imp == "syscall/js" && src.pkg != "cmd/hardnoon-wasm" {
				t.Errorf("%s: only cmd/hardnoon-wasm speaks to JavaScript", at)
			}
			if !isPure(src.pkg) {
				continue
			}
			if why, bad := impureStd[imp]; bad {
				t.Errorf("%s: pure code may not import %q: %s", at, imp, why)
			}
			if first, _, _ := strings.Cut(imp, "/"); strings.Contains(first, ".") {
				t.Errorf("%s: pure code may not import %q: it has no third-party code", at, imp)
			}
		}
	}
}

func TestPurity(t *testing.T) {
	for _, src := range sources(t) {
		if !isPure(src.pkg) {
			continue
		}
		ast.Inspect(src.file, func(n ast.Node) bool {
			sel, ok := n.(*ast.SelectorExpr)
			if !ok {
				return true
			}
			x, ok := sel.X.(*ast.Ident)
			if ok && slices.Contains(impureCalls, x.Name+"."+sel.Sel.Name) {
				t.Errorf("%s: %s.%s: take it as an argument", src.fset.Position(sel.Pos()), x.Name, sel.Sel.Name)
			}
			return true
		})
	}
}

// TestNoBareUnits finds conversions such as unit.Angle(45), which would be 45
// radians. Write 45*unit.Degree.
func TestNoBareUnits(t *testing.T) {
	for _, src := range sources(t) {
		if src.pkg == "engine/unit" {
			continue
		}
		ast.Inspect(src.file, func(n ast.Node) bool {
			call, ok := n.(*ast.CallExpr)
			if !ok || len(call.Args) != 1 {
				return true
			}
			sel, ok := call.Fun.(*ast.SelectorExpr)
			if !ok {
				return true
			}
			x, isName := sel.X.(*ast.Ident)
			number, isNumber := call.Args[0].(*ast.BasicLit)
			if isName && isNumber && x.Name == "unit" && number.Value != "0" { // nothing is nothing in any unit
				t.Errorf("%s: unit.%s of a bare number: multiply by a unit instead", src.fset.Position(call.Pos()), sel.Sel.Name)
			}
			return true
		})
	}
}

// TestWasmStaysSmall keeps heavy packages out of the browser build.
func TestWasmStaysSmall(t *testing.T) {
	sources(t) // for the test cache
	bad := map[string]string{
		"net/http":      "use fetch in the worker",
		"database/sql":  "no store in the browser",
		"os/exec":       "cannot work there",
		"testing":       "not in production code",
		"html/template": "bloat",
		"regexp":        "a twentieth of all that a phone has to load; write a function",
	}
	if runtime.GOOS == "js" {
		t.Skip("no go command in here")
	}
	cmd := exec.Command("go", "list", "-deps", "./cmd/hardnoon-wasm")
	cmd.Dir = filepath.Join("..", "..")
	cmd.Env = append(cmd.Environ(), "GOOS=js", "GOARCH=wasm")
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("go list: %v", err)
	}
	for _, dep := range strings.Fields(string(out)) {
		if why, ok := bad[dep]; ok {
			t.Errorf("the wasm build depends on %q: %s", dep, why)
		}
	}
}
