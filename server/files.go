package server

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"io/fs"
	"mime"
	"net/http"
	"path"
	"regexp"
	"strconv"
	"strings"
	"sync"

	"github.com/andybalholm/brotli"

	"hardnoon/api"
	"hardnoon/web"
)

// builtIn is the web app inside the program.
func builtIn() fs.FS { return web.Files() }

// A file of the web app, in the forms it can be sent.
type file struct {
	kind  string // Content-Type
	tag   string
	fresh bool // its name says its content: it never changes
	plain func() []byte
	gzip  func() []byte
	br    []byte // nil: there is none
}

// files are the web app, by path.
type files struct{ byPath map[string]*file }

var hashed = regexp.MustCompile(`-[0-9a-f]{8,}\.[a-z0-9.]+$`)

// kinds are the types that a machine's own table may lack or have differently.
var kinds = map[string]string{
	".js": "text/javascript; charset=utf-8", ".css": "text/css; charset=utf-8", ".html": "text/html; charset=utf-8",
	".wasm": "application/wasm", ".json": "application/json", ".webmanifest": "application/manifest+json",
	".svg": "image/svg+xml", ".png": "image/png", ".woff2": "font/woff2", ".txt": "text/plain; charset=utf-8",
}

// HasEngine reports whether the engine for the browser was built into this
// program. Without it a page asks the server for everything.
func (s *Server) HasEngine() bool { return s.files.byPath["/hardnoon.wasm"] != nil }

// load reads the app once. A file x.br is the packed form of x.
func load(from fs.FS) (*files, error) {
	all := &files{map[string]*file{}}
	err := fs.WalkDir(from, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := fs.ReadFile(from, name)
		if err != nil {
			return err
		}
		shown, packed := strings.CutSuffix(name, ".br")
		f := all.byPath["/"+shown]
		if f == nil {
			f = &file{kind: kinds[path.Ext(shown)], fresh: hashed.MatchString(shown)}
			if f.kind == "" {
				f.kind = mime.TypeByExtension(path.Ext(shown))
			}
			if f.kind == "" {
				f.kind = "application/octet-stream"
			}
			all.byPath["/"+shown] = f
		}
		if packed {
			f.br = data
			if f.plain == nil {
				f.plain = sync.OnceValue(func() []byte { return unpack(data) })
			}
		} else {
			f.plain = func() []byte { return data }
		}
		if f.tag == "" || !packed {
			sum := sha256.Sum256(data)
			f.tag = hex.EncodeToString(sum[:8])
		}
		f.gzip = sync.OnceValue(func() []byte { return pack(f.plain()) })
		return nil
	})
	return all, err
}

// unpack opens what is inside the program.
func unpack(br []byte) []byte {
	data, err := io.ReadAll(brotli.NewReader(bytes.NewReader(br)))
	if err != nil {
		return nil
	}
	return data
}

func pack(data []byte) []byte {
	var out bytes.Buffer
	z := gzip.NewWriter(&out)
	z.Write(data) // into memory
	z.Close()
	return out.Bytes()
}

// worthPacking is the size below which a packet is not saved.
const worthPacking = 1 << 10

func (fs *files) serve(w http.ResponseWriter, r *http.Request) {
	if r.Method != http.MethodGet && r.Method != http.MethodHead {
		w.Header().Set("Allow", "GET, HEAD")
		fail(w, http.StatusMethodNotAllowed, &api.Error{Code: "wrong_method", Text: "this address can only be read", Hint: "it takes GET"})
		return
	}
	name := path.Clean(r.URL.Path)
	f := fs.byPath[name]
	if f == nil && !strings.Contains(path.Base(name), ".") { // an address of the app's own
		f = fs.byPath["/index.html"]
	}
	if f == nil {
		fail(w, http.StatusNotFound, &api.Error{Code: "no_such_route", Text: "there is nothing at this address", Hint: "begin at /"})
		return
	}
	h := w.Header()
	h.Set("Content-Type", f.kind)
	h.Set("Vary", "Accept-Encoding")
	h.Set("Cache-Control", "no-cache")
	if f.fresh {
		h.Set("Cache-Control", "max-age=31536000, immutable")
	}
	data, form := f.form(r.Header.Get("Accept-Encoding"))
	etag := `"` + f.tag + form + `"`
	h.Set("ETag", etag)
	if r.Header.Get("If-None-Match") == etag {
		w.WriteHeader(http.StatusNotModified)
		return
	}
	if form != "" {
		h.Set("Content-Encoding", form)
	}
	h.Set("Content-Length", strconv.Itoa(len(data)))
	if r.Method == http.MethodGet {
		w.Write(data)
	}
}

// form picks the smallest form that the browser takes.
func (f *file) form(accept string) ([]byte, string) {
	if f.br != nil && takes(accept, "br") {
		return f.br, "br"
	}
	plain := f.plain()
	if len(plain) >= worthPacking && takes(accept, "gzip") {
		if z := f.gzip(); len(z) < len(plain) {
			return z, "gzip"
		}
	}
	return plain, ""
}

func takes(accept, form string) bool {
	for part := range strings.SplitSeq(accept, ",") {
		name, how, _ := strings.Cut(strings.TrimSpace(part), ";")
		var q float64 = 1
		if _, err := fmt.Sscanf(strings.ReplaceAll(how, " ", ""), "q=%g", &q); err != nil {
			q = 1
		}
		if strings.EqualFold(strings.TrimSpace(name), form) {
			return q > 0
		}
	}
	return false
}
