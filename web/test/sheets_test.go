package test

import (
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// choose picks an option of the select under a label.
func (b *tab) choose(label, value string) {
	b.t.Helper()
	look[bool](b, `(() => { const e = [...document.querySelectorAll('.panel label')].find(l => l.innerText.startsWith(`+js(label)+`)).querySelector('select'); e.value = `+js(value)+`; e.dispatchEvent(new Event('change', {bubbles: true})); return e.value === `+js(value)+` })()`)
}

// Feet, Fahrenheit, the twelve-hour clock and thirds of a stop are four wishes,
// each its own, kept through a reload.
func TestUnits(t *testing.T) {
	b := newHouse(t, "demo/javelin.json").browser().open("/session/javelin").planned()
	b.press("units")
	page := func(what string) { b.t.Helper(); b.until(what + `.test(document.body.innerText)`) }
	page(`/2\.\d m\b/`)
	b.choose("lengths", "i")
	page(`/[67]\.\d ft/`)
	b.choose("clock", "12")
	page(`/1:20 pm/`)
	b.choose("parts of a stop", "3")
	page(`/[⅓⅔]/`)
	b.press("safety")
	b.until(`document.querySelector('.panel').innerText.includes('24 °C') && /mph/.test(document.querySelector('.panel').innerText)`)
	b.press("units")
	b.choose("heat", "f")
	b.press("safety")
	b.until(`document.querySelector('.panel').innerText.includes('75 °F') && !/°C/.test(document.querySelector('.panel').innerText)`)
	b.open("/session/javelin").planned()
	page(`/[67]\.\d ft/`)
	page(`/1:20 pm/`)
}

// A route is wished for; the plan takes it, says what it costs, and still shows
// the other.
func TestRouteWish(t *testing.T) {
	b := newHouse(t, "demo/javelin.json").browser().open("/session/javelin").planned()
	right := `document.querySelector('.right').innerText`
	b.until(`/ND at sync; limited/.test(` + right + `)`)
	b.press("look")
	b.choose("route", "high-speed")
	b.until(`/high-speed sync; limited/.test(` + right + `) && /as you asked/.test(` + right + `) && /Or ND at sync/.test(` + right + `)`)
	b.settled()
	b.press("undo")
	b.until(`/ND at sync; limited/.test(` + right + `)`)
}

// The day's sheet: the order of work, the team read line by line and given
// turns, what to turn as the hours go on. And paper: each link answers.
func TestDayAndPaper(t *testing.T) {
	b := newHouse(t, "demo/javelin.json").browser().open("/session/javelin").planned()
	b.press("the day")
	sheet := `document.querySelector('.panel').innerText`
	b.until(`/^(yes|no)/.test(document.querySelector('.panel .lead').innerText) && document.querySelector('.panel .hours')`)
	b.do(chromedp.Focus(".panel textarea"), chromedp.KeyEvent("7 Ana"), chromedp.KeyEvent(kb.Enter), chromedp.KeyEvent("9 Bea"))
	look[bool](b, `(document.activeElement.blur(), true)`)
	b.until(`/the team, 2/.test(` + sheet + `)`)
	b.settled()
	b.until(`fetch('/api/sessions/javelin').then(r => r.json()).then(d => d.session.roster?.map(p => p.number + p.name).join() === '7Ana,9Bea')`)
	b.until(`/as the hours go on/.test(` + sheet + `) && [...document.querySelectorAll('.panel .turn')].length > 2`)
	b.press("paper")
	b.until(`document.querySelectorAll('.papers a').length >= 6`)
	// pictures take a while and are the paper's own test
	b.until(`Promise.all([...document.querySelectorAll('.papers a')].map(a => fetch(a.href + (/kind=light/.test(a.href) ? '&pictures=none' : '')).then(r => r.ok))).then(x => x.every(Boolean))`)
}
