package test

import (
	"testing"
	"time"
)

// card goes on until the heading of the card matches.
func (b *tab) card(heading string) {
	b.t.Helper()
	for range 60 {
		if look[bool](b, `new RegExp(`+js(heading)+`).test(document.querySelector('.card h2').innerText)`) {
			return
		}
		name := look[string](b, `document.querySelector('.where').innerText`)
		b.press("next")
		b.until(`document.querySelector('.where').innerText !== ` + js(name))
	}
	b.t.Fatalf("no card says %s", heading)
}

// What runs while one shoots: the recycle counts down after a frame, misfires
// are counted, thunder starts thirty minutes, and a voice reads the card.
func TestFieldCounts(t *testing.T) {
	b := newHouse(t, "demo/javelin.json").browser().size(375, 667)
	b.open("/field/javelin")
	b.until(`document.querySelector('.big')`)
	look[bool](b, `(window.heard = [], SpeechSynthesis.prototype.speak = (u) => heard.push(u.text), true)`)
	b.press("say it")
	b.until(`/one over 250.*f 7\.1/.test(heard[0])`)

	b.card("whole figure")
	figure := `document.querySelector('.card .big').innerText.trim()`
	// the recycle is shorter than a look from out here: the page notes what it shows
	look[bool](b, `(window.shown = new Set(), new MutationObserver(() => shown.add(`+figure+`)).observe(document.querySelector('.middle'), {subtree: true, childList: true, characterData: true}), true)`)
	b.press("frame")
	b.until(`[...shown].filter(x => /^0\.\d\s*s$/.test(x)).length > 1`) // charging, counted down
	b.until(`/^1\s*of 12$/.test(` + figure + `)`)
	b.press("misfire")
	b.press("misfire")
	b.until(`[...document.querySelectorAll('button')].some(e => e.innerText === 'misfire 2')`)
	b.press("undo")
	b.until(`[...document.querySelectorAll('button')].some(e => e.innerText === 'misfire 1')`)
	b.press("got it")
	b.card("javelin")
	b.press("back")
	b.until(`[...document.querySelectorAll('button')].some(e => e.innerText === '✓ got it' && e.ariaPressed === 'true')`)

	b.press("clock")
	b.press("thunder")
	b.until(`/^(29:5\d|30:00)$/.test(` + figure + `)`)
	first := look[string](b, figure)
	b.until(figure + ` < ` + js(first))
	b.press("undo")
	b.until(`!/Thunder/.test(document.querySelector('.card h2').innerText)`)
}

// The clock says how far behind the plan one is, at the place's own hour.
func TestBehindClock(t *testing.T) {
	h := newHouse(t)
	s := demo(t)
	zone, err := time.LoadLocation("America/Santiago")
	if err != nil {
		t.Fatal(err)
	}
	now := time.Now().In(zone)
	if now.Hour() == 0 || now.Hour() == 23 {
		t.Skip("the first setup would lie on another day") // rare, and only at that place's midnight
	}
	begun := now.Add(-17 * time.Minute).Format("2006-01-02T15:04")
	s["start"], s["slots"] = begun, []any{}
	su := s["setups"].([]any)[0].(map[string]any)
	su["at"] = begun
	s["setups"] = []any{su}
	h.post(s)
	b := h.browser().size(375, 667).open("/field/javelin")
	b.until(`document.querySelector('.keys-row button:nth-child(2)')?.innerText.match(/^1[5-9] min behind$/)`)
	b.press("1")
	b.until(`/Behind by/.test(document.querySelector('.card h2').innerText) && /^1[5-9] min$/.test(document.querySelector('.card .big').innerText.replace(/\s+/g, ' ').trim())`)
}
