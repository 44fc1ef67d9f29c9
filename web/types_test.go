package web_test

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"reflect"
	"sort"
	"strings"
	"testing"
	"time"

	"hardnoon/api"
	"hardnoon/engine/body"
	"hardnoon/engine/render"
	"hardnoon/engine/sky"
	"hardnoon/session"
)

var update = flag.Bool("update", false, "write src/engine/types.ts anew")

// asked are the questions the page asks, and the session it edits.
var asked = []any{
	session.Session{}, api.PlanAnswer{}, api.DayRequest{}, api.DayAnswer{}, api.AdjustRequest{}, api.AdjustAnswer{},
	api.KitAnswer{}, api.PreviewAnswer{}, api.WaysAnswer{}, api.OrderRequest{}, api.OrderAnswer{}, api.DriftAnswer{}, api.Error{},
}

// TestTypesAreCurrent compares the TypeScript types with the Go types they are
// made from.
func TestTypesAreCurrent(t *testing.T) {
	const path = "src/engine/types.ts"
	got := typescript(asked)
	if *update {
		if err := os.WriteFile(path, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil || !bytes.Equal(got, want) {
		t.Errorf("%s is not what the Go types say; go test ./web -run Types -update", path)
	}
}

func typescript(roots []any) []byte {
	seen := map[reflect.Type]bool{}
	var names []string
	bodies := map[string]string{}
	var visit func(t reflect.Type)
	visit = func(t reflect.Type) {
		switch t.Kind() {
		case reflect.Pointer, reflect.Slice, reflect.Array, reflect.Map:
			visit(t.Elem())
			return
		case reflect.Struct:
		default:
			return
		}
		if seen[t] || t == reflect.TypeFor[time.Time]() {
			return
		}
		seen[t] = true
		var b strings.Builder
		fields(&b, t, visit)
		names = append(names, t.Name())
		bodies[t.Name()] = fmt.Sprintf("export interface %s {\n%s}\n", t.Name(), b.String())
	}
	for _, r := range roots {
		visit(reflect.TypeOf(r))
	}
	sort.Strings(names)
	var out bytes.Buffer
	out.WriteString("// Made from the Go types of packages api and session by go test ./web -run Types -update; do not edit.\n")
	for _, n := range names {
		out.WriteString("\n" + bodies[n])
	}
	var poses []string
	for _, p := range body.Poses() {
		poses = append(poses, p.Name)
	}
	list("poses", "What a body can do.", poses, &out)
	list("skies", "Skies by name, in the order of their light.", sky.Kinds[:], &out)
	var tints []string
	all, mid := render.Tints()
	for _, c := range all {
		tints = append(tints, fmt.Sprintf("rgb(%d %d %d)", c[0], c[1], c[2]))
	}
	list("tints", "The stops view, a stop each, darkest first.", tints, &out)
	fmt.Fprintf(&out, "\n/** Which tint is mid-tone. */\nexport const midTint = %d;\n", mid)
	return out.Bytes()
}

// list writes names the page offers to pick from.
func list(name, what string, of []string, out *bytes.Buffer) {
	fmt.Fprintf(out, "\n/** %s */\nexport const %s = [\n", what, name)
	for _, x := range of {
		fmt.Fprintf(out, "  %q,\n", x)
	}
	out.WriteString("];\n")
}

func fields(b *strings.Builder, t reflect.Type, visit func(reflect.Type)) {
	for i := range t.NumField() {
		f := t.Field(i)
		tag := f.Tag.Get("json")
		if f.Anonymous && tag == "" {
			fields(b, f.Type, visit)
			continue
		}
		name, options, _ := strings.Cut(tag, ",")
		if !f.IsExported() || name == "-" || name == "" {
			continue
		}
		visit(f.Type)
		mark := ""
		if strings.Contains(options, "omit") {
			mark = "?"
		}
		fmt.Fprintf(b, "  %s%s: %s;\n", name, mark, typeName(f.Type, mark == "?"))
	}
}

func typeName(t reflect.Type, omitted bool) string {
	switch t.Kind() {
	case reflect.Pointer:
		if omitted {
			return typeName(t.Elem(), false)
		}
		return typeName(t.Elem(), false) + " | null"
	case reflect.Slice:
		return typeName(t.Elem(), false) + "[]"
	case reflect.Array:
		return "[" + strings.TrimSuffix(strings.Repeat(typeName(t.Elem(), false)+", ", t.Len()), ", ") + "]"
	case reflect.Map:
		return "Record<string, " + typeName(t.Elem(), false) + ">"
	case reflect.String:
		return "string"
	case reflect.Bool:
		return "boolean"
	case reflect.Struct:
		if t == reflect.TypeFor[time.Time]() {
			return "string"
		}
		return t.Name()
	case reflect.Interface:
		return "unknown"
	}
	return "number"
}
