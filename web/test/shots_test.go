package test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// Every page and sheet as a picture, for a person to judge, into the folder
// HARDNOON_SHOTS names.
func TestShots(t *testing.T) {
	dir := os.Getenv("HARDNOON_SHOTS")
	if dir == "" {
		t.Skip("HARDNOON_SHOTS names no folder for pictures")
	}
	h := newHouse(t, "demo/javelin.json")
	shoot := func(b *tab, name string) {
		b.t.Helper()
		shot, err := chromedp.Run(b.ctx, chromedp.CaptureScreenshot())
		if err == nil {
			err = os.WriteFile(filepath.Join(dir, name+".png"), shot, 0o644)
		}
		if err != nil {
			b.t.Fatal(err)
		}
	}
	for _, size := range [][2]int64{{1280, 800}, {412, 915}, {375, 667}} {
		at := fmt.Sprintf("%d-", size[0])
		t.Run(at, func(t *testing.T) {
			b := h.browser().size(size[0], size[1])
			b.t = t
			b.open("/session/javelin").planned()
			b.until(`document.querySelector('.picture canvas')?.width > 200 && document.querySelectorAll('.probe').length > 1`)
			shoot(b, at+"bench")
			if look[bool](b, `(() => { scrollTo(0, 1e6); return scrollY > 60 })()`) {
				shoot(b, at+"bench-below")
				look[bool](b, `(scrollTo(0, 0), true)`)
			}
			for _, s := range sheets {
				b.press(s.tab)
				b.until(`document.querySelector('.panel h2') && (` + s.ready + `)`)
				shoot(b, at+"sheet-"+strings.ReplaceAll(s.tab, " ", "-"))
				if look[bool](b, `(() => { const p = document.querySelector('.panel'); p.scrollTop = 1e6; return p.scrollTop > 60 })()`) {
					shoot(b, at+"sheet-"+strings.ReplaceAll(s.tab, " ", "-")+"-below")
				}
				b.press("close")
			}
			for i := range 4 {
				b.do(chromedp.KeyEvent(fmt.Sprint(i + 1)))
				b.until(`document.querySelectorAll('.probe').length > 1`)
				shoot(b, fmt.Sprintf("%ssetup-%d", at, i+1))
			}
			if size[0] > 500 {
				return
			}
			b.do(chromedp.KeyEvent("1"))
			b.open("/field/javelin").until(`document.querySelector('.big')`)
			for n := 1; ; n++ {
				shoot(b, fmt.Sprintf("%sfield-%02d", at, n))
				if n == 12 {
					break
				}
				b.press("next")
			}
			b.press("sun")
			b.press("cloud")
			b.until(`/shutter|aperture|ISO/.test(document.querySelector('.knob').innerText)`)
			shoot(b, at+"field-sky")
			b.press("clock")
			shoot(b, at+"field-clock")
			b.press("dark room")
			b.press("back")
			shoot(b, at+"field-dark")
		})
	}
}

// sheets are the sheets of the bench, and what shows that one has been answered.
var sheets = []struct{ tab, ready string }{
	{"place and hour", "true"},
	{"which way", "document.querySelectorAll('.panel tbody tr').length > 1"},
	{"setup", "true"},
	{"look", "true"},
	{"kit", "true"},
	{"people", "true"},
	{"the day", "document.querySelectorAll('.panel .hours').length && document.querySelectorAll('.panel tbody tr').length"},
	{"safety", "document.querySelector('.safety')"},
	{"paper", "true"},
	{"units", "true"},
	{"Javelin", "document.querySelector('.sessions li')"},
}
