package test

import (
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

const kept = `fetch('/api/sessions/javelin').then(r => r.json()).then(d => [d.session.setups[0].camera.distance_m, d.session.setups[0].lights[0].angle_deg, d.session.setups[0].lights[1].angle_deg])`

func stored(b *tab) []float64 {
	b.t.Helper()
	x, err := chromedp.Run(b.ctx, chromedp.Evaluate[[]float64](kept, chromedp.EvalAwaitPromise))
	if err != nil {
		b.t.Fatal(err)
	}
	return x
}

func (b *tab) nudge(what, key string) {
	b.t.Helper()
	b.do(chromedp.Focus(`[data-what="`+what+`"]`), chromedp.KeyEvent(key))
}

// Two tabs of one browser change the session while the server is away; one is
// loaded again, the other closed. When the server is back, nothing is lost.
func TestTwoTabsUnsaved(t *testing.T) {
	h := newHouse(t, "demo/javelin.json")
	home := h.browser() // holds the browser open
	a := home.another().open("/session/javelin").planned()
	a.working()
	a.open("/session/javelin").planned()
	was := stored(a)
	b := home.another().open("/session/javelin").planned()
	h.kill()
	for _, w := range []*tab{a, b} {
		w.nudge(map[*tab]string{a: "camera", b: "light 0"}[w], map[*tab]string{a: kb.ArrowUp, b: kb.ArrowLeft}[w])
		w.until(`/kept here/.test(document.querySelector('.state').innerText)`)
	}
	b.nudge("light 1", kb.ArrowRight)
	a.open("/session/javelin").planned() // again, without a server
	a.until(`/kept here|saving/.test(document.querySelector('.state').innerText)`)
	b.do(chromedp.Navigate("about:blank")) // gone
	h.start()
	a.until(kept + `.then(([d]) => Math.abs(d - ` + js(was[0]+0.2) + `) < 0.03)`)
	// whoever has the session open takes up what the closed one left
	c := home.another().open("/session/javelin").planned()
	c.until(kept + `.then(([d, k, e]) => Math.abs(d - ` + js(was[0]+0.2) + `) < 0.03 && k === ` + js(was[1]-5) + ` && e === ` + js(was[2]+5) + `)`)
	a.until(`document.querySelector('[data-what="light 0"]').ariaLabel === ` + js(look[string](c, `document.querySelector('[data-what="light 0"]').ariaLabel`)))
	if left := look[float64](c, `Object.keys(localStorage).filter(k => k.startsWith('hardnoon.steps.')).length`); left != 0 {
		c.until(`Object.keys(localStorage).filter(k => k.startsWith('hardnoon.steps.')).length === 0`)
	}
}

// A program built without the engine for the browser says so, and the bench
// works over HTTP: a change is answered, a verdict given.
func TestWithoutEngine(t *testing.T) {
	h := newHouse(t)
	h.kill()
	h.engineless = true
	h.start()
	h.add("demo/javelin.json")
	b := h.browser().open("/session/javelin").planned()
	b.until(`/Answered by the server/.test(document.querySelector('.right').innerText)`)
	b.settled()
	was := b.margin()
	b.press("look")
	b.do(chromedp.Focus(".panel .num input"), chromedp.KeyEvent(kb.ArrowUp), chromedp.KeyEvent(kb.ArrowUp), chromedp.KeyEvent(kb.ArrowUp))
	b.until(`(() => {` + tools + `return Math.abs(margin() - ` + js(was) + `) > 0.3 })()`)
	b.press("which way")
	b.until(`document.querySelectorAll('.panel tbody tr').length > 1`)
}
