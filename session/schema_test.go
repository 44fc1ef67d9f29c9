package session_test

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"reflect"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"hardnoon/session"
)

var update = flag.Bool("update", false, "write docs/formats anew")

const (
	schemaFile = "../docs/formats/session.schema.json"
	docFile    = "../docs/formats/session.md"
	tablesFrom = "<!-- fields: made from the tags of package session; do not edit by hand -->\n"
)

func upToDate(t *testing.T, file string, want []byte) {
	t.Helper()
	if *update {
		if err := os.WriteFile(file, want, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if got, err := os.ReadFile(file); err != nil || !bytes.Equal(got, want) {
		t.Errorf("%s is out of date (%v): go test ./session -update", file, err)
	}
}

func TestSchemaIsPublished(t *testing.T) { upToDate(t, schemaFile, session.Schema()) }

// TestFieldsAreDocumented keeps the tables of the format's page.
func TestFieldsAreDocumented(t *testing.T) {
	page, err := os.ReadFile(docFile)
	if err != nil {
		t.Fatal(err)
	}
	before, _, found := bytes.Cut(page, []byte(tablesFrom))
	if !found {
		t.Fatalf("%s has no place for its tables", docFile)
	}
	var b strings.Builder
	b.Write(before)
	b.WriteString(tablesFrom)
	seen := map[reflect.Type]bool{}
	var table func(t reflect.Type, title string)
	table = func(typ reflect.Type, title string) {
		if seen[typ] {
			return
		}
		seen[typ] = true
		fmt.Fprintf(&b, "\n### %s\n\n| field | must | holds | limits | meaning |\n|---|---|---|---|---|\n", title)
		type next struct {
			t    reflect.Type
			name string
		}
		var later []next
		for i := range typ.NumField() {
			f := typ.Field(i)
			name, rest, _ := strings.Cut(f.Tag.Get("json"), ",")
			if f.Tag.Get("doc") == "" {
				t.Errorf("%s.%s says nothing about itself", typ.Name(), f.Name)
			}
			must, holds, inner := "", "", f.Type
			if rest == "" {
				must = "yes"
			}
			if inner.Kind() == reflect.Pointer {
				inner = inner.Elem()
			}
			list := ""
			if inner.Kind() == reflect.Slice {
				list, inner = "list of ", inner.Elem()
			}
			switch inner.Kind() {
			case reflect.Struct:
				holds = "object"
				below := name
				if title != "session" {
					below = title + "." + name
				}
				if list != "" {
					below += "[]"
				}
				later = append(later, next{inner, below})
			case reflect.Float64:
				holds = strings.TrimSpace("number " + f.Tag.Get("unit"))
			case reflect.Bool:
				holds = "true or false"
			default:
				holds = "text"
			}
			var limits []string
			if v := f.Tag.Get("enum"); v != "" {
				limits = append(limits, strings.ReplaceAll(v, "|", ", "))
			}
			if v := f.Tag.Get("above"); v != "" {
				limits = append(limits, "more than "+v)
			}
			if v := f.Tag.Get("min"); v != "" {
				limits = append(limits, "from "+v)
			}
			if v := f.Tag.Get("max"); v != "" {
				limits = append(limits, "to "+v)
			}
			if v := f.Tag.Get("least"); v != "" {
				limits = append(limits, "at least "+v)
			}
			fmt.Fprintf(&b, "| `%s` | %s | %s | %s | %s |\n", name, must, list+holds, strings.ReplaceAll(strings.Join(limits, " "), "-", "−"), f.Tag.Get("doc"))
		}
		for _, n := range later {
			table(n.t, n.name)
		}
	}
	table(reflect.TypeFor[session.Session](), "session")
	upToDate(t, docFile, []byte(b.String()))
}

func compiled(t testing.TB) *jsonschema.Schema {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(session.Schema()))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("session.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("session.json")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// TestSchemaAgreesWithTheReader asks a validator that knows nothing of this
// project. Each bad file changes the demo in one place.
func TestSchemaAgreesWithTheReader(t *testing.T) {
	schema := compiled(t)
	valid := func(text string) error {
		v, err := jsonschema.UnmarshalJSON(strings.NewReader(text))
		if err != nil {
			return err
		}
		return schema.Validate(v)
	}
	good := string(demo(t))
	if err := valid(good); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ old, new string }{
		{`"ground": "grass"`, `"grond": "grass"`},
		{`"ground": "grass"`, `"ground": "gras"`},
		{`"distance_m": 1.9`, `"distance_m": "1.9m"`},
		{`"distance_m": 1.9`, `"distance_m": 0`},
		{`-33.05`, `91`},
		{`"f_number": 4`, `"f_number": 0`},
		{`"1/250"`, `"0"`},
		{`"zone": "America/Santiago",`, ``},
		{`hardnoon session 1`, `hardnoon session 2`},
		{`"2027-01-16T13:20"`, `"16.01.2027 13:20"`},
		{`[3, 6]`, `[3, -6]`},
	} {
		bad := strings.Replace(good, c.old, c.new, 1)
		if bad == good {
			t.Fatalf("the demo has no %s", c.old)
		}
		if valid(bad) == nil {
			t.Errorf("%s: the schema lets it pass", c.new)
		}
		if _, err := session.Read([]byte(bad)); err == nil {
			t.Errorf("%s: the reader lets it pass", c.new)
		}
	}
	var none map[string]any
	json.Unmarshal([]byte(good), &none)
	none["setups"].([]any)[0].(map[string]any)["lights"] = []any{}
	if err := schema.Validate(none); err != nil {
		t.Errorf("daylight alone: %v", err)
	}
	delete(none["setups"].([]any)[0].(map[string]any), "lights")
	if schema.Validate(none) == nil {
		t.Error("the schema lets a setup pass that does not say its lights")
	}
}
