package session

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strconv"
	"unicode/utf8"
)

// A node is one JSON value and where it stands. encoding/json forgets both the
// place and the second of two equal keys, so the file is parsed here.
type node struct {
	at     int  // offset of its first byte
	kind   kind // what it is
	text   string
	number float64
	fields []field // of an object, in order
	items  []*node // of a list
}

type field struct {
	name string
	at   int
	node *node
}

type kind byte

const (
	isObject kind = iota
	isList
	isText
	isNumber
	isBool
	isNull
)

func (k kind) String() string {
	return [...]string{"an object", "a list", "text", "a number", "true or false", "null"}[k]
}

func (n *node) field(name string) *node {
	for _, f := range n.fields {
		if f.name == name {
			return f.node
		}
	}
	return nil
}

// More than any session needs, and little enough for any machine.
const (
	maxDepth  = 32
	maxValues = 100_000 // in the whole file
	maxItems  = 500     // in one list
	maxFields = 200     // in one object
)

type parser struct {
	data []byte
	at   int
	path []byte // of the value being read, for errors
	read int    // values so far
}

// parse returns the one value data holds, or a *Error.
func parse(data []byte) (n *node, err *Error) {
	p := &parser{data: data}
	if bytes.HasPrefix(data, []byte("\xef\xbb\xbf")) { // a byte order mark, as some editors leave
		p.at = 3
	}
	defer func() {
		if r := recover(); r != nil {
			e, ok := r.(*Error)
			if !ok {
				panic(r)
			}
			n, err = nil, e
		}
	}()
	if !utf8.Valid(data) {
		p.at = validPrefix(data)
		p.fail("this byte is not UTF-8", "save the file as UTF-8")
	}
	n = p.value(0)
	if p.space(); p.at < len(data) {
		p.fail("something follows the session", "a file holds one session; remove what stands behind its last brace")
	}
	return n, nil
}

func validPrefix(data []byte) int {
	at := 0
	for at < len(data) {
		r, size := utf8.DecodeRune(data[at:])
		if r == utf8.RuneError && size == 1 {
			break
		}
		at += size
	}
	return at
}

func (p *parser) fail(text, hint string) {
	e := &Error{Path: shorten(string(p.path), 200), Text: text, Hint: hint}
	e.Line, e.Column = position(p.data, p.at)
	panic(e)
}

// position returns line and column of the byte at, both from 1.
func position(data []byte, at int) (line, column int) {
	before := data[:min(at, len(data))]
	before = bytes.TrimPrefix(before, []byte("\xef\xbb\xbf"))
	line = 1 + bytes.Count(before, []byte("\n"))
	return line, 1 + utf8.RuneCount(before[bytes.LastIndexByte(before, '\n')+1:])
}

// shorten cuts what would not fit on a line.
func shorten(s string, letters int) string {
	if r := []rune(s); len(r) > letters {
		return string(r[:letters]) + "…"
	}
	return s
}

func (p *parser) space() {
	for p.at < len(p.data) {
		switch p.data[p.at] {
		case ' ', '\t', '\n', '\r':
			p.at++
		default:
			return
		}
	}
}

func (p *parser) peek() byte {
	p.space()
	if p.at >= len(p.data) {
		p.fail("the file ends too early", "something is not closed: look for a missing brace, bracket or quote")
	}
	return p.data[p.at]
}

func (p *parser) value(depth int) *node {
	c := p.peek()
	n := &node{at: p.at}
	if p.read++; p.read > maxValues {
		p.fail(fmt.Sprintf("more than %d values", maxValues), "a session has some hundreds; is this the right file?")
	}
	if depth >= maxDepth && (c == '{' || c == '[') {
		p.fail(fmt.Sprintf("nested more than %d deep", maxDepth), "a session needs no more than eight levels; is this the right file?")
	}
	switch {
	case c == '{':
		n.kind = isObject
		p.object(n, depth)
	case c == '[':
		n.kind = isList
		p.list(n, depth)
	case c == '"':
		n.kind = isText
		n.text = p.string()
	case c == '-' || c >= '0' && c <= '9':
		n.kind = isNumber
		p.number(n)
	case p.word("true"):
		n.kind, n.number = isBool, 1
	case p.word("false"):
		n.kind = isBool
	case p.word("null"):
		n.kind = isNull
	default:
		r, _ := utf8.DecodeRune(p.data[p.at:])
		p.fail(fmt.Sprintf("%q cannot begin a value", r), `write a number, "text", true, false, a list or an object`)
	}
	return n
}

func (p *parser) object(n *node, depth int) {
	p.at++
	if p.peek() == '}' {
		p.at++
		return
	}
	for {
		if p.peek() != '"' {
			p.fail("a field name in quotes is due here", "no comma behind the last field, and names in double quotes")
		}
		at := p.at
		name := p.string()
		if n.field(name) != nil {
			p.at = at
			p.fail(fmt.Sprintf("field %q is said twice", shorten(name, 60)), "keep one of them")
		}
		if p.peek() != ':' {
			p.fail(fmt.Sprintf("a colon is due behind %q", shorten(name, 60)), `a field is "name": value`)
		}
		p.at++
		was := len(p.path)
		if was > 0 {
			p.path = append(p.path, '.')
		}
		p.path = append(p.path, name...)
		v := p.value(depth + 1)
		n.fields = append(n.fields, field{name, at, v})
		if len(n.fields) > maxFields {
			p.fail(fmt.Sprintf("more than %d fields in one object", maxFields), "is this the right file?")
		}
		p.path = p.path[:was]
		switch p.peek() {
		case ',':
			p.at++
		case '}':
			p.at++
			return
		default:
			p.fail("a comma or a closing brace is due here", fmt.Sprintf("look behind the field %q", shorten(name, 60)))
		}
	}
}

func (p *parser) list(n *node, depth int) {
	p.at++
	if p.peek() == ']' {
		p.at++
		return
	}
	for {
		was := len(p.path)
		p.path = fmt.Appendf(p.path, "[%d]", len(n.items))
		if len(n.items) == maxItems {
			p.fail(fmt.Sprintf("more than %d entries in one list", maxItems), "split the session")
		}
		n.items = append(n.items, p.value(depth+1))
		p.path = p.path[:was]
		switch p.peek() {
		case ',':
			p.at++
		case ']':
			p.at++
			return
		default:
			p.fail("a comma or a closing bracket is due here", "entries of a list are parted by commas")
		}
	}
}

// string reads the text that begins at the quote under p.at.
func (p *parser) string() string {
	from := p.at
	for p.at++; p.at < len(p.data); p.at++ {
		switch c := p.data[p.at]; {
		case c == '\\':
			p.at++
		case c < ' ':
			p.fail("a line break or a control character inside a text", `close the quote, or write \n`)
		case c == '"':
			p.at++
			var s string
			if json.Unmarshal(p.data[from:p.at], &s) != nil {
				p.at = from
				p.fail("this text has a backslash that means nothing", `a backslash itself is \\`)
			}
			return s
		}
	}
	p.at = from
	p.fail("this text is never closed", "a double quote is missing")
	return ""
}

func (p *parser) number(n *node) {
	from := p.at
	for p.at < len(p.data) && bytes.IndexByte([]byte("+-.0123456789eE"), p.data[p.at]) >= 0 {
		p.at++
	}
	n.text = string(p.data[from:p.at])
	if !json.Valid(p.data[from:p.at]) {
		p.at = from
		p.fail(shorten(n.text, 40)+" is not a number JSON knows", "write it like 1.5 or 0.5")
	}
	x, err := strconv.ParseFloat(n.text, 64)
	if err != nil {
		p.at = from
		p.fail(shorten(n.text, 40)+" is larger than any number here", "check its exponent")
	}
	n.number = x
}

func (p *parser) word(w string) bool {
	if !bytes.HasPrefix(p.data[p.at:], []byte(w)) {
		return false
	}
	p.at += len(w)
	return true
}
