package test

import (
	"math"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// A newcomer with an empty workspace and no manual: where, when, with what, and
// a verdict for that hour; keys alone, on a laptop and on a phone. What they may
// do wrong on the way is answered with the next step.
func TestNewcomer(t *testing.T) {
	for name, size := range map[string][2]int64{"laptop": {1280, 800}, "phone": {375, 667}} {
		t.Run(name, func(t *testing.T) {
			h := newHouse(t)
			b := h.browser().size(size[0], size[1])
			b.t = t
			begun := time.Now()
			b.open("/")
			b.until(`document.activeElement?.closest('.search')`) // the first question has the keyboard
			b.shot(name + "-newcomer-1")
			b.press("can I?") // too soon
			b.until(`/where/.test(document.querySelector('.newcomer [role=alert]').innerText)`)
			b.do(chromedp.Focus(".newcomer input"), chromedp.KeyEvent("nowhere at all"))
			b.until(`/coordinates/.test(document.querySelector('.newcomer').innerText)`)
			b.shot(name + "-newcomer-2")
			for range "nowhere at all" {
				b.do(chromedp.KeyEvent(kb.Backspace))
			}
			b.do(chromedp.KeyEvent("valpara"))
			b.until(`document.querySelector('.found button')`)
			b.do(chromedp.KeyEvent(kb.Enter))
			b.until(`/Valparaíso/.test(document.querySelector('.newcomer .lead').innerText)`)
			set := func(selector, value string) {
				look[bool](b, `(() => { const e = document.querySelector(`+js(selector)+`); e.value = `+js(value)+`; e.dispatchEvent(new Event('input', {bubbles: true})); e.dispatchEvent(new Event('change', {bubbles: true})); return true })()`)
			}
			set(".newcomer [type=date]", "2027-01-16")
			set(".newcomer [type=time]", "12:30")
			set(".newcomer select", "battery-600")
			b.shot(name + "-newcomer-3")
			b.press("can I?")
			b.planned()
			if d := time.Since(begun); d > 3*time.Minute {
				t.Errorf("the verdict came after %v", d)
			}
			b.settled()
			b.until(`/^(yes|no|barely)/.test(document.querySelector('.verdict strong').innerText)`)
			b.until(`document.querySelectorAll('.probe').length > 0`)
			b.shot(name + "-newcomer-4")
			type said struct {
				Name string   `json:"name"`
				At   string   `json:"at"`
				Head []string `json:"head"`
			}
			got := look[said](b, `(() => { const s = JSON.parse(localStorage.getItem('hardnoon.session.' + JSON.parse(localStorage.getItem('hardnoon.kept'))[0])).session; return {name: s.place.name, at: s.start.slice(0, 16), head: s.kit.heads.map(h => h.class)} })()`)
			if got.Name != "Valparaíso" || got.At != "2027-01-16T12:30" || len(got.Head) != 2 || got.Head[0] != "battery-600" {
				t.Errorf("asked for Valparaíso, 2027-01-16 12:30, battery-600; the session says %+v", got)
			}
			// nobody looks into the sun: it stands behind the subject, north or south of the line
			facing := look[float64](b, `Number(document.querySelector('[data-what="subject"]').ariaLabel.match(/faces (\d+)/)[1])`)
			sun := look[float64](b, `Number(document.querySelector('[data-what="sun"]').ariaLabel.match(/in (\d+)°/)[1])`)
			if off := math.Abs(math.Remainder(facing-sun, 360)); off < 45 {
				t.Errorf("the subject faces %v°, the sun stands in %v°", facing, sun)
			}
		})
	}
}

// shot keeps a picture of the page where somebody wants to look at it.
func (b *tab) shot(name string) {
	b.t.Helper()
	dir := os.Getenv("HARDNOON_SHOTS")
	if dir == "" {
		return
	}
	shot, err := chromedp.Run(b.ctx, chromedp.CaptureScreenshot())
	if err == nil {
		err = os.WriteFile(filepath.Join(dir, name+".png"), shot, 0o644)
	}
	if err != nil {
		b.t.Fatal(err)
	}
}
