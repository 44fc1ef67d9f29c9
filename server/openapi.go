package server

import (
	"bytes"
	"encoding/json"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"hardnoon/api"
	"hardnoon/session"
)

// shape is what one question takes and gives.
type shape struct{ request, answer reflect.Type }

func of[Q, A any]() shape { return shape{reflect.TypeFor[Q](), reflect.TypeFor[A]()} }

// nothing is the request of a question that needs no more than its name.
type nothing struct{}

// shapes of the questions of package api.
var shapes = map[string]shape{
	"sun":       of[api.SunRequest, api.SunAnswer](),
	"reach":     of[api.ReachRequest, api.ReachAnswer](),
	"light":     of[api.LightRequest, api.LightAnswer](),
	"lens":      of[api.LensRequest, api.LensAnswer](),
	"day":       of[api.DayRequest, api.DayAnswer](),
	"plan":      of[session.Session, api.PlanAnswer](),
	"scene":     of[api.SceneRequest, api.SceneAnswer](),
	"way":       of[api.WaysRequest, api.WaysAnswer](),
	"drift":     of[api.DriftRequest, api.DriftAnswer](),
	"adjust":    of[api.AdjustRequest, api.AdjustAnswer](),
	"kit":       of[nothing, api.KitAnswer](),
	"safety":    of[api.SafetyRequest, api.SafetyAnswer](),
	"order":     of[api.OrderRequest, api.OrderAnswer](),
	"pack":      of[api.PackRequest, api.PackAnswer](),
	"again":     of[api.AgainRequest, api.AgainAnswer](),
	"calibrate": of[api.CalibrateRequest, api.CalibrateAnswer](),
}

// carriesSession says whether the request of a question holds a session, which
// may be large. Of a question without a shape it is assumed.
func carriesSession(name string) bool {
	sh, known := shapes[name]
	if !known {
		return true
	}
	t := sh.request
	if t == reflect.TypeFor[session.Session]() {
		return true
	}
	for i := range t.NumField() {
		if t.Field(i).Type == reflect.TypeFor[session.Session]() {
			return true
		}
	}
	return false
}

// OpenAPI returns the description of the protocol, OpenAPI 3.1, made from the
// routes and the types of package api.
var OpenAPI = sync.OnceValue(func() []byte {
	d := describer{schemas: map[string]any{}}
	paths := map[string]map[string]any{}
	add := func(path, method string, op map[string]any) {
		if paths[path] == nil {
			paths[path] = map[string]any{}
		}
		paths[path][method] = op
	}
	for _, r := range (&Server{}).table() {
		if r.path == "/api/ask/{name}" {
			for _, name := range api.Questions() {
				sh := shapes[name]
				add("/api/ask/"+name, "post", d.operation("question: "+name, name, nil, sh.request, sh.answer, false))
			}
			continue
		}
		op := d.operation(r.what, "", r.query, reflect.TypeOf(r.request), reflect.TypeOf(r.answer), r.match)
		for part := range strings.SplitSeq(r.path, "/") {
			if name, ok := strings.CutPrefix(part, "{"); ok {
				op["parameters"] = append(op["parameters"].([]any), parameter(strings.TrimSuffix(name, "}"), "path", "", true))
			}
		}
		add(r.path, strings.ToLower(r.method), op)
	}
	doc := map[string]any{
		"openapi":    "3.1.0",
		"info":       map[string]any{"title": "hardnoon", "version": "1", "description": "The web app's protocol; docs/formats/protocol.md explains it."},
		"paths":      paths,
		"components": map[string]any{"schemas": d.schemas},
	}
	var out bytes.Buffer
	enc := json.NewEncoder(&out)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", " ")
	if err := enc.Encode(doc); err != nil {
		panic(err) // maps of plain values always encode
	}
	return out.Bytes()
})

type describer struct{ schemas map[string]any }

func parameter(name, in, what string, required bool) any {
	p := map[string]any{"name": name, "in": in, "schema": map[string]any{"type": "string"}}
	if required {
		p["required"] = true
	}
	if what != "" {
		p["description"] = what
	}
	return p
}

func (d describer) operation(what, id string, query []string, request, answer reflect.Type, match bool) map[string]any {
	params := []any{}
	for _, q := range query {
		name, meaning, _ := strings.Cut(q, ": ")
		params = append(params, parameter(name, "query", meaning, false))
	}
	if match {
		params = append(params, parameter("If-Match", "header", "the revision that was seen, in quotes", true))
	}
	op := map[string]any{"summary": what, "parameters": params}
	if id != "" {
		op["operationId"] = id
	}
	asJSON := func(t reflect.Type) any {
		return map[string]any{"application/json": map[string]any{"schema": d.schema(t, "")}}
	}
	if request != nil {
		op["requestBody"] = map[string]any{"required": true, "content": asJSON(request)}
	}
	good := map[string]any{"description": "the answer"}
	if answer != nil {
		good["content"] = asJSON(answer)
	}
	op["responses"] = map[string]any{
		"2XX": good,
		"4XX": map[string]any{"description": "why there is none", "content": asJSON(reflect.TypeFor[failure]())},
	}
	return op
}

// schema describes t; tag is that of the field it stands in.
func (d describer) schema(t reflect.Type, tag reflect.StructTag) map[string]any {
	s := map[string]any{}
	switch {
	case t == reflect.TypeFor[time.Time]():
		s["type"], s["format"] = "string", "date-time"
	case t == reflect.TypeFor[json.RawMessage]():
		s["$ref"] = d.name(reflect.TypeFor[session.Session]())
	case t.Implements(reflect.TypeFor[json.Marshaler]()) || reflect.PointerTo(t).Implements(reflect.TypeFor[json.Marshaler]()):
		// its own form; the example in protocol.md or in session.md says which
	case t.Kind() == reflect.Pointer:
		return d.schema(t.Elem(), tag)
	case t.Kind() == reflect.Slice, t.Kind() == reflect.Array:
		s["type"], s["items"] = "array", d.schema(t.Elem(), "")
	case t.Kind() == reflect.Map:
		s["type"], s["additionalProperties"] = "object", d.schema(t.Elem(), "")
	case t.Kind() == reflect.Struct && t.Name() == "":
		return d.object(t)
	case t.Kind() == reflect.Struct:
		s["$ref"] = d.name(t)
	case t.Kind() == reflect.Float64, t.Kind() == reflect.Float32:
		s["type"] = "number"
	case t.Kind() == reflect.Bool:
		s["type"] = "boolean"
	case t.Kind() >= reflect.Int && t.Kind() <= reflect.Uint64:
		s["type"] = "integer"
	case t.Kind() == reflect.String:
		s["type"] = "string"
		if enum := tag.Get("enum"); enum != "" {
			s["enum"] = strings.Split(enum, "|")
		}
	}
	for key, word := range map[string]string{"min": "minimum", "max": "maximum", "above": "exclusiveMinimum"} {
		if x, err := strconv.ParseFloat(tag.Get(key), 64); err == nil {
			s[word] = x
		}
	}
	if what := tag.Get("doc"); what != "" {
		if u := tag.Get("unit"); u != "" {
			what += " (" + u + ")"
		}
		s["description"] = what
	}
	return s
}

// name describes the struct t once and returns the reference to it.
func (d describer) name(t reflect.Type) string {
	// Two packages may use one word: session.Place and server.Place.
	pkg := t.PkgPath()[strings.LastIndex(t.PkgPath(), "/")+1:]
	name := pkg + "." + t.Name()
	if _, known := d.schemas[name]; !known {
		d.schemas[name] = nil // against a type that holds itself
		d.schemas[name] = d.object(t)
	}
	return "#/components/schemas/" + name
}

func (d describer) object(t reflect.Type) map[string]any {
	properties, required := map[string]any{}, []string{}
	asks := strings.HasSuffix(t.Name(), "Request") // where null is the same as not said
	var fields func(t reflect.Type)
	fields = func(t reflect.Type) {
		for i := range t.NumField() {
			f := t.Field(i)
			name, options, _ := strings.Cut(f.Tag.Get("json"), ",")
			if f.Anonymous && name == "" {
				inner := f.Type
				if inner.Kind() == reflect.Pointer {
					inner = inner.Elem()
				}
				fields(inner)
				continue
			}
			if !f.IsExported() || name == "-" {
				continue
			}
			if name == "" {
				name = f.Name
			}
			s := d.schema(f.Type, f.Tag)
			nullable := f.Type.Kind() == reflect.Pointer || f.Type.Kind() == reflect.Slice || f.Type == reflect.TypeFor[json.RawMessage]()
			optional := strings.Contains(options, "omitempty") || strings.Contains(options, "omitzero")
			if nullable && !optional {
				s = map[string]any{"anyOf": []any{s, map[string]any{"type": "null"}}}
			}
			properties[name] = s
			if !optional && !(asks && nullable) {
				required = append(required, name)
			}
		}
	}
	fields(t)
	slices.Sort(required)
	o := map[string]any{"type": "object", "properties": properties}
	if len(required) > 0 {
		o["required"] = required
	}
	return o
}
