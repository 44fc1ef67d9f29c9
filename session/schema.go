package session

import (
	"bytes"
	"encoding/json"
	"reflect"
	"strconv"
	"strings"
)

// Schema returns the JSON Schema (draft 2020-12) of a session file, made from
// the tags that Read obeys. It cannot say everything: names that point nowhere,
// pairs that contradict each other and hours that do not exist are found by
// Read alone.
func Schema() []byte {
	defs := map[string]any{}
	root := schemaOf(reflect.TypeFor[Session](), "", defs)
	root["$schema"] = "https://json-schema.org/draft/2020-12/schema"
	root["title"] = Format
	delete(defs, "Session")
	root["$defs"] = defs
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	if err := enc.Encode(root); err != nil {
		panic(err) // maps of plain values always encode
	}
	return b.Bytes()
}

func schemaOf(t reflect.Type, tag reflect.StructTag, defs map[string]any) map[string]any {
	s := map[string]any{}
	switch t.Kind() {
	case reflect.Pointer:
		return schemaOf(t.Elem(), tag, defs)
	case reflect.Slice:
		s["type"] = "array"
		item := schemaOf(t.Elem(), tag, defs)
		delete(item, "description")
		s["items"] = item
		s["maxItems"] = maxItems
		if least, err := strconv.Atoi(tag.Get("least")); err == nil {
			s["minItems"] = least
		}
	case reflect.Struct:
		if _, known := defs[t.Name()]; !known {
			defs[t.Name()] = nil // against a type that holds itself
			defs[t.Name()] = objectOf(t, defs)
		}
		if t == reflect.TypeFor[Session]() {
			return defs[t.Name()].(map[string]any)
		}
		s["$ref"] = "#/$defs/" + t.Name()
	case reflect.Float64:
		s["type"] = "number"
		for key, word := range map[string]string{"min": "minimum", "max": "maximum", "above": "exclusiveMinimum"} {
			if x, err := strconv.ParseFloat(tag.Get(key), 64); err == nil {
				s[word] = x
			}
		}
	case reflect.Bool:
		s["type"] = "boolean"
	default:
		s["type"] = "string"
		if enum := tag.Get("enum"); enum != "" {
			s["enum"] = strings.Split(enum, "|")
			break
		}
		s["maxLength"] = maxText
		if f, ok := forms[tag.Get("form")]; ok {
			s["pattern"] = f.pattern
		}
	}
	if doc := tag.Get("doc"); doc != "" {
		if u := tag.Get("unit"); u != "" {
			doc += " (" + u + ")"
		}
		s["description"] = doc
	}
	return s
}

func objectOf(t reflect.Type, defs map[string]any) map[string]any {
	properties, required := map[string]any{}, []string{}
	for i := range t.NumField() {
		name, optional := jsonName(t.Field(i))
		properties[name] = schemaOf(t.Field(i).Type, t.Field(i).Tag, defs)
		if !optional {
			required = append(required, name)
		}
	}
	o := map[string]any{"type": "object", "properties": properties, "additionalProperties": false}
	if len(required) > 0 {
		o["required"] = required
	}
	return o
}
