package test

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// At 160 dpi a CSS pixel is 1/160 inch: 15 mm are 94.5 px, 12 mm 75.6, 3 mm 18.9.
const (
	mm        = 160 / 25.4
	leastKey  = 15 * mm
	leastGap  = 3 * mm
	leastMark = 12 * mm
)

// sizes measures the field screen that is shown: keys, gaps between them, the
// height of the figures, what sticks out, and the least contrast of any text.
const sizes = `(() => {
  const keys = [...document.querySelectorAll('button')].map(b => ({ name: b.innerText, r: b.getBoundingClientRect() }));
  const least = (list) => list.length ? Math.min(...list) : 1e9;
  const gap = (a, b) => Math.max(a.left - b.right, b.left - a.right, a.top - b.bottom, b.top - a.bottom);
  const lum = (c) => { const [r, g, b] = c.match(/[\d.]+/g).map(Number).map(v => v / 255).map(v => v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4); return 0.2126 * r + 0.7152 * g + 0.0722 * b };
  const behind = (e) => { for (; e; e = e.parentElement) { const c = getComputedStyle(e).backgroundColor; if (!/^rgba\(.*, 0\)$/.test(c)) return c } return 'rgb(255,255,255)' };
  const contrast = (e) => { const [a, b] = [lum(getComputedStyle(e).color), lum(behind(e))].sort((x, y) => y - x); return (a + 0.05) / (b + 0.05) };
  const texts = [...document.querySelectorAll('.field-page *')].filter(e => !e.closest('svg') && [...e.childNodes].some(n => n.nodeType === 3 && n.textContent.trim()));
  const pen = document.createElement('canvas').getContext('2d');
  const figures = [...document.querySelectorAll('.big b')].filter(b => /\d/.test(b.innerText)).map(b => { const s = getComputedStyle(b); pen.font = s.fontWeight + ' ' + s.fontSize + ' ' + s.fontFamily; const m = pen.measureText('8'); return m.actualBoundingBoxAscent + m.actualBoundingBoxDescent });
  const inside = (r) => r.left >= -0.5 && r.top >= -0.5 && r.right <= innerWidth + 0.5 && r.bottom <= innerHeight + 0.5;
  const middle = document.querySelector('.middle');
  return {
    key: least(keys.map(k => Math.min(k.r.width, k.r.height))),
    gap: least(keys.flatMap((a, i) => keys.slice(i + 1).map(b => gap(a.r, b.r))).filter(g => g >= 0)),
    figure: least(figures),
    figures: figures.length,
    contrast: least(texts.map(contrast)),
    out: [...keys.filter(k => !inside(k.r)).map(k => k.name), ...[...document.querySelectorAll('.big')].filter(b => b.scrollWidth > b.clientWidth + 1 || !inside(b.getBoundingClientRect())).map(b => b.innerText)],
    scroll: middle.scrollHeight - middle.clientHeight,
  }
})()`

type measured struct {
	Key      float64  `json:"key"`
	Gap      float64  `json:"gap"`
	Figure   float64  `json:"figure"`
	Figures  int      `json:"figures"`
	Contrast float64  `json:"contrast"`
	Out      []string `json:"out"`
	Scroll   float64  `json:"scroll"`
}

// Every screen of every setup, on two phones, on white and on black.
func TestFieldSizes(t *testing.T) {
	h := newHouse(t, "demo/javelin.json")
	for _, phone := range [][2]int64{{375, 667}, {412, 915}} {
		t.Run(fmt.Sprintf("%dx%d", phone[0], phone[1]), func(t *testing.T) {
			b := h.browser().size(phone[0], phone[1]).open("/field/javelin")
			b.t = t
			b.until(`document.querySelector('.big') && document.fonts.check('20px Hand')`)
			seen := 0
			for _, dark := range []bool{false, true} {
				if dark {
					b.press("clock")
					check(b, "clock")
					b.press("dark room")
					b.until(`document.documentElement.dataset.dark === 'yes'`)
					b.press("back")
				}
				for range 60 {
					name := look[string](b, `document.querySelector('.where').innerText`)
					check(b, name)
					seen++
					if look[bool](b, `[...document.querySelectorAll('button')].at(-1).disabled`) {
						break
					}
					b.press("next")
					b.until(fmt.Sprintf(`document.querySelector('.where').innerText !== %q`, name))
				}
				b.press("sun")
				check(b, "sky")
				b.press("cloud")
				check(b, "cloud")
				b.press("as planned")
				b.press("back")
				for range 60 { // to the first screen again
					if look[bool](b, `[...document.querySelectorAll("button")].at(-3).disabled`) {
						break
					}
					b.press("back")
				}
			}
			if seen < 40 {
				t.Errorf("%d screens seen", seen)
			}
		})
	}
}

func check(b *tab, where string) {
	b.t.Helper()
	m := look[measured](b, sizes)
	if m.Key < leastKey || m.Gap < leastGap || m.Contrast < 15 || (m.Figures > 0 && m.Figure < leastMark) || len(m.Out) > 0 || m.Scroll > 0 {
		b.t.Errorf("%s: keys %.1f px (%.1f), gaps %.1f px (%.1f), figures %.1f px (%.1f), contrast %.1f, sticks out: %q, scrolls %.0f px", where, m.Key, leastKey, m.Gap, leastGap, m.Figure, leastMark, m.Contrast, m.Out, m.Scroll)
		if dir := os.Getenv("HARDNOON_SHOTS"); dir != "" {
			if shot, err := chromedp.Run(b.ctx, chromedp.CaptureScreenshot()); err == nil {
				os.WriteFile(filepath.Join(dir, strings.NewReplacer("/", "-", " ", "-", "·", "").Replace(b.t.Name()+where)+".png"), shot, 0o644)
			}
		}
	}
}

// A test frame is too dark: one knob, one direction; undo takes it back.
func TestTestFrame(t *testing.T) {
	b := newHouse(t, "demo/javelin.json").browser().size(375, 667).open("/field/javelin")
	b.until(`document.querySelector('.big')`)
	for !look[bool](b, `/all lights/.test(document.querySelector('.card h2').innerText)`) {
		name := look[string](b, `document.querySelector('.where').innerText`)
		b.press("next")
		b.until(fmt.Sprintf(`document.querySelector('.where').innerText !== %q`, name))
	}
	b.press("too dark")
	b.until(`document.querySelector('.knob')?.innerText === 'key power up: 1/2 +0.4'`)
	b.shot("375-knob")
	b.press("undo")
	b.until(`!document.querySelector('.knob')`)
}

// No rule of the accessibility checker is broken, on any sheet of the bench and
// any screen of the field.
func TestAccessibility(t *testing.T) {
	axe, err := os.ReadFile(filepath.Join("..", "node_modules", "axe-core", "axe.min.js"))
	if errors.Is(err, fs.ErrNotExist) && os.Getenv("HARDNOON_TOOLS") == "" {
		t.Skip("the rules of accessibility are not installed; go run ./dev browser installs and checks them")
	}
	if err != nil {
		t.Fatal(err)
	}
	h := newHouse(t, "demo/javelin.json")
	run := func(b *tab, where string) {
		b.t.Helper()
		if !look[bool](b, `typeof axe !== 'undefined'`) {
			look[bool](b, string(axe)+"; true")
		}
		found, err := chromedp.Run(b.ctx, chromedp.Evaluate[[]string](`axe.run(document, {resultTypes: ['violations']}).then(r => r.violations.map(v => v.id + ': ' + v.help + ': ' + v.nodes.map(n => n.target + ' ' + n.failureSummary).join(' | ')))`, chromedp.EvalAwaitPromise))
		if err != nil {
			b.t.Fatal(err)
		}
		for _, v := range found {
			b.t.Errorf("%s: %.600s", where, v)
		}
	}
	b := h.browser().open("/session/javelin").planned()
	run(b, "bench")
	b.press("stops")
	b.until(`document.querySelector('.scale')`)
	run(b, "in stops")
	for _, sheet := range []string{"place and hour", "which way", "setup", "look", "kit", "people", "the day", "safety", "paper", "units", "Javelin"} {
		b.press(sheet)
		b.until(`document.querySelector('.panel h2')`)
		run(b, sheet)
		if sheet == "Javelin" {
			b.press("new session")
			run(b, "new session")
		}
		b.press("close")
	}
	f := b.another().size(375, 667).open("/field/javelin")
	f.until(`document.querySelector('.big')`)
	for range 8 {
		run(f, look[string](f, `document.querySelector('.where').innerText`))
		f.press("next")
	}
	f.press("sun")
	run(f, "sky")
	f.press("clock")
	run(f, "clock")
}
