package test

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// Every page and sheet as a picture, for a person to judge, into the folder
// HARDNOON_SHOTS names.
func TestShots(t *testing.T) {
	if os.Getenv("HARDNOON_SHOTS") == "" {
		t.Skip("HARDNOON_SHOTS names no folder for pictures")
	}
	h := newHouse(t, "demo/javelin.json")
	for _, size := range [][2]int64{{1280, 800}, {412, 915}, {375, 667}} {
		at := fmt.Sprintf("%d-", size[0])
		t.Run(at, func(t *testing.T) {
			b := h.browser().size(size[0], size[1])
			b.t = t
			b.open("/session/javelin").planned()
			b.until(`document.querySelector('.picture canvas')?.width > 200 && document.querySelectorAll('.probe').length > 1`)
			b.shot(at + "bench")
			if look[bool](b, `(() => { scrollTo(0, 1e6); return scrollY > 60 })()`) {
				b.shot(at + "bench-below")
				look[bool](b, `(scrollTo(0, 0), true)`)
			}
			for _, s := range sheets {
				b.press(s.tab)
				b.until(`document.querySelector('.panel h2') && (` + s.ready + `)`)
				b.shot(at + "sheet-" + strings.ReplaceAll(s.tab, " ", "-"))
				if look[bool](b, `(() => { const p = document.querySelector('.panel'); p.scrollTop = 1e6; return p.scrollTop > 60 })()`) {
					b.shot(at + "sheet-" + strings.ReplaceAll(s.tab, " ", "-") + "-below")
				}
				b.press("close")
			}
			for i := range 4 {
				b.do(chromedp.KeyEvent(fmt.Sprint(i + 1)))
				b.until(`document.querySelectorAll('.probe').length > 1`)
				b.shot(fmt.Sprintf("%ssetup-%d", at, i+1))
			}
			if size[0] > 500 {
				return
			}
			b.do(chromedp.KeyEvent("1"))
			b.open("/field/javelin").until(`document.querySelector('.big')`)
			for n := 1; ; n++ {
				b.shot(fmt.Sprintf("%sfield-%02d", at, n))
				if n == 12 {
					break
				}
				b.press("next")
			}
			b.press("sun")
			b.press("cloud")
			b.until(`/shutter|aperture|ISO/.test(document.querySelector('.knob').innerText)`)
			b.shot(at + "field-sky")
			b.press("clock")
			b.shot(at + "field-clock")
			b.press("dark room")
			b.press("back")
			b.shot(at + "field-dark")
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
