package test

import (
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// offered opens the demo with slots of an hour each, and says how to
// read where the camera stands and what hour it is.
func offered(t *testing.T, starts ...string) (b *tab, camera, hour string) {
	h := newHouse(t)
	s := demo(t)
	slots := []any{}
	for _, at := range starts {
		slots = append(slots, map[string]any{"start": "2027-01-16T" + at, "minutes": 60})
	}
	s["slots"] = slots
	h.post(s)
	return h.browser().open("/session/javelin").planned(), `document.querySelector('[data-what="camera"]').ariaLabel`, `document.querySelector('.day').ariaValueNow`
}

// Three hours are offered: each has its strip of bearings; a bearing of another
// hour is taken with that hour, and undone in one step. The ring on the ground
// answers to keys.
func TestWays(t *testing.T) {
	b, camera, hour := offered(t, "08:00", "13:20", "18:30")
	was, at := look[string](b, camera), look[string](b, hour)
	b.press("which way")
	b.until(`document.querySelectorAll('.strip').length === 3`)
	b.until(`/of 4 yes/.test(document.querySelector('.hours-rows').innerText) && /best/.test(document.querySelector('.hours-rows').innerText)`)
	b.press("16. 18:30")
	b.until(`document.querySelectorAll('.hours-rows button')[2].getAttribute('aria-current') === 'true' && /at 18:30/.test(document.querySelector('.panel').innerText)`)
	b.shot("ways")
	x, y := b.middle(".hours-rows li:nth-child(3) .strip rect:nth-child(10)")
	b.do(chromedp.MouseClickXY(x, y))
	b.until(camera + ` !== ` + js(was) + ` && ` + hour + ` === '1110'`)
	b.settled()
	b.press("undo")
	b.until(camera + ` === ` + js(was) + ` && ` + hour + ` === ` + js(at))

	b.until(`document.querySelector('.ring')`)
	b.do(chromedp.Focus(".ring"), chromedp.KeyEvent(kb.ArrowRight))
	b.until(camera + ` !== ` + js(was))
}
