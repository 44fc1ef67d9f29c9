// Package test drives the web app in a real Chromium, against the real server
// and a real workspace. It runs where HARDNOON_BROWSER names the browser:
//
//	go run ./dev browser
package test

import (
	"context"
	"encoding/json"
	"fmt"
	"io/fs"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"testing/fstest"
	"time"
	_ "time/tzdata"

	"github.com/chromedp/chromedp"

	"hardnoon/app"
	"hardnoon/server"
	"hardnoon/store/sqlite"
	"hardnoon/web"
)

const patience = 20 * time.Second // for one thing to appear, on a slow machine

// engine builds the engine for the browser once for all tests.
var engine = sync.OnceValues(func() (fs.FS, error) {
	dir, err := os.MkdirTemp("", "engine")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	out := filepath.Join(dir, "hardnoon.wasm")
	cmd := exec.Command("go", "build", "-trimpath", "-ldflags=-s -w", "-o", out, "./cmd/hardnoon-wasm")
	cmd.Dir = filepath.Join("..", "..")
	cmd.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm")
	if said, err := cmd.CombinedOutput(); err != nil {
		return nil, fmt.Errorf("%w: %s", err, said)
	}
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		return nil, err
	}
	files := fstest.MapFS{}
	for name, path := range map[string]string{"hardnoon.wasm": out, "wasm_exec.js": filepath.Join(strings.TrimSpace(string(root)), "lib", "wasm", "wasm_exec.js")} {
		data, err := os.ReadFile(path)
		if err != nil {
			return nil, err
		}
		files[name] = &fstest.MapFile{Data: data}
	}
	err = fs.WalkDir(web.Files(), ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || files[name] != nil || name == "hardnoon.wasm.br" {
			return err
		}
		data, err := fs.ReadFile(web.Files(), name)
		files[name] = &fstest.MapFile{Data: data}
		return err
	})
	return files, err
})

// house is a server on a workspace that can be killed and started again at the
// same address.
type house struct {
	t    *testing.T
	path string
	addr string
	http *http.Server
	done chan struct{}
	shut func()

	engineless bool // as a program that was built without the engine for the browser
}

func newHouse(t *testing.T, with ...string) *house {
	t.Helper()
	if os.Getenv("HARDNOON_BROWSER") == "" {
		t.Skip("HARDNOON_BROWSER names no browser; go run ./dev browser")
	}
	h := &house{t: t, path: filepath.Join(t.TempDir(), "test.hardnoon"), addr: "127.0.0.1:0"}
	h.start()
	t.Cleanup(func() { h.kill() })
	for _, name := range with {
		h.add(name)
	}
	return h
}

// add puts a session file into the workspace.
func (h *house) add(name string) {
	h.t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "..", name))
	if err != nil {
		h.t.Fatal(err)
	}
	h.send(data)
}

// demo is the demo session, to be changed and posted.
func demo(t *testing.T) (s map[string]any) {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "..", "demo", "javelin.json"))
	if err == nil {
		err = json.Unmarshal(data, &s)
	}
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func (h *house) post(s map[string]any) {
	h.t.Helper()
	data, err := json.Marshal(s)
	if err != nil {
		h.t.Fatal(err)
	}
	h.send(data)
}

func (h *house) send(data []byte) {
	h.t.Helper()
	r, err := http.Post("http://"+h.addr+"/api/sessions", "application/json", strings.NewReader(string(data)))
	if err != nil {
		h.t.Fatal(err)
	}
	r.Body.Close()
	if r.StatusCode != http.StatusCreated {
		h.t.Fatal(r.Status)
	}
}

func (h *house) start() {
	h.t.Helper()
	store, err := sqlite.Open(context.Background(), h.path)
	if err != nil {
		h.t.Fatal(err)
	}
	files, err := engine()
	if err != nil {
		h.t.Fatal(err)
	}
	if h.engineless {
		without := fstest.MapFS{}
		for name, f := range files.(fstest.MapFS) {
			if name != "hardnoon.wasm" && name != "wasm_exec.js" {
				without[name] = f
			}
		}
		files = without
	}
	places := func(_ context.Context, text string) ([]server.Place, error) {
		high := 41.0
		if strings.Contains("valparaíso valparaiso", strings.ToLower(text)) {
			return []server.Place{{Name: "Valparaíso", LatDeg: -33.04, LonDeg: -71.63, ElevationM: &high, Zone: "America/Santiago", From: "town"}}, nil
		}
		return nil, nil
	}
	s, err := server.New(server.Options{Workspace: app.NewWorkspace(store, time.Now), Version: "test", Files: files, Places: places, Log: os.Stderr})
	if err != nil {
		h.t.Fatal(err)
	}
	l, err := net.Listen("tcp", h.addr)
	if err != nil {
		h.t.Fatal(err)
	}
	h.addr = l.Addr().String()
	ctx, cancel := context.WithCancel(context.Background())
	h.http = &http.Server{Handler: s.Local(), BaseContext: func(net.Listener) context.Context { return ctx }}
	h.done = make(chan struct{})
	go func() {
		defer close(h.done)
		h.http.Serve(l)
	}()
	h.shut = func() { cancel(); store.Close() }
}

// kill ends the server at once, connections and all.
func (h *house) kill() {
	if h.http == nil {
		return
	}
	h.http.Close()
	<-h.done
	h.shut()
	h.http = nil
}

// tab is one page in a browser of its own profile.
type tab struct {
	t   *testing.T
	ctx context.Context
	h   *house
}

// browser starts a browser; each tab of it shares what pages keep.
func (h *house) browser() *tab {
	h.t.Helper()
	alloc, stop := chromedp.NewExecAllocator(context.Background(), append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(os.Getenv("HARDNOON_BROWSER")), chromedp.NoSandbox, chromedp.Flag("disable-dev-shm-usage", true), chromedp.Flag("hide-scrollbars", false))...)
	ctx, leave := chromedp.NewContext(alloc)
	h.t.Cleanup(func() { leave(); stop() })
	return (&tab{h.t, ctx, h}).size(1280, 800)
}

func (b *tab) another() *tab {
	b.t.Helper()
	ctx, leave := chromedp.NewContext(b.ctx)
	b.t.Cleanup(leave)
	return (&tab{b.t, ctx, b.h}).size(1280, 800)
}

func (b *tab) size(w, h int64) *tab {
	b.t.Helper()
	b.do(chromedp.EmulateViewport(w, h))
	return b
}

func (b *tab) do(steps ...chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	if err := chromedp.Do(b.ctx, steps...); err != nil {
		b.t.Fatal(err)
	}
}

func (b *tab) open(path string) *tab {
	b.t.Helper()
	b.do(chromedp.Navigate("http://" + b.h.addr + path))
	return b
}

// look evaluates an expression in the page.
func look[T any](b *tab, expression string) T {
	b.t.Helper()
	x, err := chromedp.Run(b.ctx, chromedp.Evaluate[T](expression))
	if err != nil {
		b.t.Fatalf("%s: %v", expression, err)
	}
	return x
}

// until waits for an expression, or what it promises, to become true.
func (b *tab) until(expression string) {
	b.t.Helper()
	var err error
	for end := time.Now().Add(patience); time.Now().Before(end); time.Sleep(25 * time.Millisecond) {
		var yes bool
		if yes, err = chromedp.Run(b.ctx, chromedp.Evaluate[bool]("(async () => !!(await ("+expression+")))()", chromedp.EvalAwaitPromise)); yes {
			return
		}
	}
	if dir := os.Getenv("HARDNOON_SHOTS"); dir != "" {
		if shot, err := chromedp.Run(b.ctx, chromedp.CaptureScreenshot()); err == nil {
			os.WriteFile(filepath.Join(dir, strings.ReplaceAll(b.t.Name(), "/", "-")+"-failed.png"), shot, 0o644)
		}
	}
	b.t.Fatalf("never came: %s: %v\n%s", expression, err, look[string](b, `document.body.innerText.slice(0, 160)`))
}

// js writes a value into an expression.
func js(x any) string {
	data, _ := json.Marshal(x)
	return string(data)
}

const tools = `
const byText = (t) => [...document.querySelectorAll('button,a,label,[role=button]')].find(e => e.innerText?.trim().startsWith(t) && !e.disabled);
const margin = () => Number(document.querySelector('[data-margin]')?.dataset.margin);
`

func (b *tab) press(text string) {
	b.t.Helper()
	b.until(fmt.Sprintf(`(() => { %s return byText(%q) })()`, tools, text))
	look[bool](b, fmt.Sprintf(`(() => { %s byText(%q).click(); return true })()`, tools, text))
}

func (b *tab) margin() float64 {
	b.t.Helper()
	return look[float64](b, `(() => {`+tools+`return margin() })()`)
}

// planned waits until the engine answered.
func (b *tab) planned() *tab {
	b.t.Helper()
	b.until(`document.querySelector('[data-margin]') && document.querySelector('[data-margin]').dataset.margin !== ''`)
	return b
}

func (b *tab) settled() { // everything is answered and saved
	b.t.Helper()
	b.until(`document.querySelector('.verdict[aria-busy=false]')`)
	b.until(`!/saving|kept here/.test(document.querySelector('.state').innerText)`)
}

// middle is the middle of an element, in page pixels.
func (b *tab) middle(selector string) (x, y float64) {
	b.t.Helper()
	p := look[[]float64](b, fmt.Sprintf(`(() => { const r = document.querySelector(%q).getBoundingClientRect(); return [r.x + r.width/2, r.y + r.height/2] })()`, selector))
	return p[0], p[1]
}

// working waits until the engine runs inside the browser and the page is kept
// for a day without network.
func (b *tab) working() {
	b.t.Helper()
	b.until(`navigator.serviceWorker.controller && caches.open('hardnoon').then(c => c.match('/hardnoon.wasm')).then(Boolean)`)
}
