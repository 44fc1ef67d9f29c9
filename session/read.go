package session

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"hardnoon/engine/unit"
)

// MaxBytes is the largest session file that is read.
const MaxBytes = 8 << 20

func tooLarge() error {
	return Errors{{Text: fmt.Sprintf("the file is larger than %d MB", MaxBytes>>20), Hint: "a session is a few kB of text; is this the right file?"}}
}

// ReadFrom reads a session from r, never more than MaxBytes and one byte.
func ReadFrom(r io.Reader) (Session, error) {
	data, err := io.ReadAll(io.LimitReader(r, MaxBytes+1))
	if err != nil {
		return Session{}, err
	}
	return Read(data)
}

// Read returns the session that data holds, or Errors.
func Read(data []byte) (Session, error) {
	if len(data) > MaxBytes {
		return Session{}, tooLarge()
	}
	if len(bytes.TrimSpace(data)) == 0 {
		return Session{}, Errors{{Line: 1, Column: 1, Text: "the file is empty", Hint: `begin with {"format": "` + Format + `", "title": ...`}}
	}
	root, bad := parse(data)
	if bad != nil {
		return Session{}, Errors{bad}
	}
	r := &reader{data: data}
	var s Session
	// A file that is something else gets one error, not twenty.
	if f := root.field("format"); root.kind == isObject && (f == nil || f.kind != isText || f.text != Format) {
		at, hint := root, `the first field is "format": "`+Format+`"`
		text := "this does not say that it is a session"
		if f != nil {
			at, text = f, fmt.Sprintf("the format is %s; this program reads %q", show(f), Format)
			hint = "a newer file needs a newer hardnoon"
		}
		r.add(at, "format", text, hint)
		return Session{}, r.errors
	}
	r.value(root, reflect.ValueOf(&s).Elem(), "", "")
	if len(r.errors) == 0 {
		r.check(&s, root)
	}
	if len(r.errors) > 0 {
		slices.SortStableFunc(r.errors, func(a, b *Error) int {
			if a.Line != b.Line {
				return a.Line - b.Line
			}
			return a.Column - b.Column
		})
		return Session{}, r.errors
	}
	return s, nil
}

// Write returns s as a file: two spaces, one field a line, a line break at the
// end. Read of it returns s.
func Write(s Session) ([]byte, error) {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	if err := enc.Encode(s); err != nil {
		return nil, err
	}
	if _, err := Read(b.Bytes()); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

type reader struct {
	data   []byte
	errors Errors
}

func (r *reader) add(n *node, path, text, hint string) {
	if len(r.errors) >= maxErrors {
		return
	}
	e := &Error{Path: path, Text: text, Hint: hint}
	e.Line, e.Column = position(r.data, n.at)
	r.errors = append(r.errors, e)
}

// show prints a value as it stands in an error.
func show(n *node) string {
	switch n.kind {
	case isNumber:
		return shorten(n.text, 40)
	case isText:
		return strconv.Quote(shorten(n.text, 40))
	case isBool:
		return strconv.FormatBool(n.number != 0)
	}
	return n.kind.String()
}

// value reads n into v, which the tag describes.
func (r *reader) value(n *node, v reflect.Value, tag reflect.StructTag, path string) {
	if len(r.errors) >= maxErrors {
		return
	}
	wrong := func(due string) {
		r.add(n, path, fmt.Sprintf("%s stands where %s is due", show(n), due), cure(n, tag, path))
	}
	switch v.Kind() {
	case reflect.Pointer:
		if n.kind == isNull {
			r.add(n, path, "null says nothing", "leave the field out instead")
			return
		}
		v.Set(reflect.New(v.Type().Elem()))
		r.value(n, v.Elem(), tag, path)
	case reflect.Struct:
		if n.kind != isObject {
			wrong("an object { … }")
			return
		}
		r.object(n, v, path)
	case reflect.Slice:
		if n.kind != isList {
			wrong("a list [ … ]")
			return
		}
		least, _ := strconv.Atoi(tag.Get("least"))
		if len(n.items) < least {
			r.add(n, path, tooFew(path), "add one")
			return
		}
		v.Set(reflect.MakeSlice(v.Type(), len(n.items), len(n.items)))
		for i, item := range n.items {
			r.value(item, v.Index(i), tag, fmt.Sprintf("%s[%d]", path, i))
		}
	case reflect.String:
		if n.kind != isText {
			wrong("text")
			return
		}
		v.SetString(n.text)
		r.text(n, tag, path)
	case reflect.Float64:
		if n.kind != isNumber {
			due := "a number"
			if u := tag.Get("unit"); u != "" {
				due += " in " + u
			}
			wrong(due)
			return
		}
		v.SetFloat(n.number)
		r.number(n, tag, path)
	case reflect.Bool:
		if n.kind != isBool {
			wrong("true or false")
			return
		}
		v.SetBool(n.number != 0)
	}
}

func tooFew(path string) string {
	switch last(path) {
	case "setups":
		return "a session needs at least one setup"
	}
	return last(path) + " needs at least one entry"
}

func last(path string) string { return path[strings.LastIndexByte(path, '.')+1:] }

func join(path, name string) string {
	if path == "" {
		return name
	}
	return path + "." + name
}

func (r *reader) object(n *node, v reflect.Value, path string) {
	t := v.Type()
	var names []string
	for i := range t.NumField() {
		name, _ := jsonName(t.Field(i))
		names = append(names, name)
	}
	var spoken []string // fields that were meant by another name; not missing as well
	for _, f := range n.fields {
		i := slices.Index(names, f.name)
		if i < 0 {
			text, hint, meant := unknown(f.name, t, names)
			r.add(&node{at: f.at}, join(path, shorten(f.name, 60)), text, hint)
			spoken = append(spoken, meant)
			continue
		}
		r.value(f.node, v.Field(i), t.Field(i).Tag, join(path, f.name))
	}
	for i, name := range names {
		if _, optional := jsonName(t.Field(i)); !optional && n.field(name) == nil && !slices.Contains(spoken, name) {
			doc := t.Field(i).Tag.Get("doc")
			if u := t.Field(i).Tag.Get("unit"); u != "" {
				doc += " (" + u + ")"
			}
			if name == "lights" {
				r.add(n, path, "a setup does not say its lights", `add "lights": [{"role": "key", "head": …}]; [] is daylight alone`)
				continue
			}
			r.add(n, path, fmt.Sprintf("field %q is missing", name), "add it: "+doc)
		}
	}
}

// jsonName returns the name of a field in the file and whether it may be left out.
func jsonName(f reflect.StructField) (name string, optional bool) {
	name, rest, _ := strings.Cut(f.Tag.Get("json"), ",")
	return name, rest == "omitempty" || rest == "omitzero"
}

// unknown says what is wrong with a name that is none of names, and which of
// them was meant.
func unknown(name string, t reflect.Type, names []string) (text, hint, meant string) {
	short := shorten(name, 60)
	if i := strings.LastIndexByte(name, '_'); i > 0 {
		from := name[i+1:]
		for k, known := range names {
			j := strings.LastIndexByte(known, '_')
			if j < 0 || known[:j] != name[:i] || unitRow(from) == nil {
				continue
			}
			if u := t.Field(k).Tag.Get("unit"); u != "" {
				hint = fmt.Sprintf("write %q", known)
				if x, ok := convert(1, from, u); ok {
					hint += fmt.Sprintf("; 1 %s is %s %s", from, plain(x), u)
				}
				return fmt.Sprintf("%q is in the wrong unit; this field is in %s", short, u), hint, known
			}
		}
	}
	text = fmt.Sprintf("unknown field %q", short)
	if near := nearest(name, names); near != "" {
		return text, fmt.Sprintf("did you mean %q?", near), near
	}
	return text, "known here: " + strings.Join(names, ", "), ""
}

// nearest returns the name that is a slip away from s, or "".
func nearest(s string, names []string) string {
	best, least := "", 1+min(len(s), 12)/3
	if len(s) > 60 {
		return ""
	}
	for _, n := range names {
		if strings.ReplaceAll(strings.ToLower(s), "-", "_") == n || len(s) > 3 && strings.HasPrefix(n, s+"_") {
			return n
		}
		if d := slips(s, n); d <= least && d < len(n) {
			best, least = n, d-1
		}
	}
	return best
}

// slips returns how many letters must be changed, added or left out to turn a
// into b (Levenshtein's distance).
func slips(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			change := diagonal
			if a[i] != b[j] {
				change++
			}
			diagonal = row[j+1]
			row[j+1] = min(change, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(b)]
}

// cure is the hint for a value of the wrong kind.
func cure(n *node, tag reflect.StructTag, path string) string {
	u := tag.Get("unit")
	if n.kind == isText {
		if x, from, ok := asNumber(n.text, u); ok {
			if from == "" {
				return fmt.Sprintf("write %s, without quotes and unit", plain(x))
			}
			if y, ok := convert(x, from, u); ok {
				return fmt.Sprintf("write %s, without quotes and unit: %s is in %s", plain(y), last(path), u)
			}
			return fmt.Sprintf("%s is not in %s; it is in %s", last(path), from, u)
		}
	}
	if n.kind == isNull {
		return "leave the field out instead"
	}
	if n.kind == isNumber {
		if f, ok := forms[tag.Get("form")]; ok {
			return f.like
		}
		return "put it in double quotes"
	}
	if path == "" {
		return "is this the right file?"
	}
	return "it means: " + tag.Get("doc")
}

func (r *reader) text(n *node, tag reflect.StructTag, path string) {
	if enum := tag.Get("enum"); enum != "" {
		allowed := strings.Split(enum, "|")
		if slices.Contains(allowed, n.text) {
			return
		}
		hint := "one of " + strings.Join(allowed, ", ")
		if near := nearest(n.text, allowed); near != "" {
			hint = fmt.Sprintf("did you mean %q?", near)
		}
		r.add(n, path, fmt.Sprintf("%s is none of the words known here", show(n)), hint)
		return
	}
	if f, ok := forms[tag.Get("form")]; ok && !f.fits(n.text) {
		r.add(n, path, fmt.Sprintf("%s is not %s", show(n), f.what), f.like)
		return
	}
	if letters := utf8.RuneCountInString(n.text); letters > maxText {
		r.add(n, path, fmt.Sprintf("%d letters; at most %d are read", letters, maxText), "shorten it")
	}
}

// maxText is longer than any note a person reads on a field.
const maxText = 20000

func (r *reader) number(n *node, tag reflect.StructTag, path string) {
	lo, hi := bounds(tag)
	hint := "check it; it means: " + tag.Get("doc")
	if err := unit.Within(last(path), n.number, lo, hi, tag.Get("unit")); err != nil {
		r.add(n, path, err.Error(), hint)
	} else if tag.Get("above") != "" && n.number <= lo {
		r.add(n, path, fmt.Sprintf("%s is %s; it must be more than %s", last(path), show(n), tag.Get("above")), hint)
	}
}

// bounds returns the limits a tag states.
func bounds(tag reflect.StructTag) (lo, hi float64) {
	lo, hi = math.Inf(-1), math.Inf(1)
	for _, key := range []string{"min", "above"} {
		if s := tag.Get(key); s != "" {
			lo, _ = strconv.ParseFloat(s, 64)
		}
	}
	if s := tag.Get("max"); s != "" {
		hi, _ = strconv.ParseFloat(s, 64)
	}
	return lo, hi
}
