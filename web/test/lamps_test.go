package test

import (
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// A late evening: nothing can be planned until somebody says what lights the
// field. Poles are added and are on; the plan says what they give, the day goes
// on into the night, and a level no field has is refused where it is written.
func TestLitPole(t *testing.T) {
	h := newHouse(t)
	s := demo(t)
	s["start"], s["slots"] = "2027-01-16T22:30", []any{}
	for _, su := range s["setups"].([]any) {
		delete(su.(map[string]any), "at")
	}
	h.post(s)
	b := h.browser().open("/session/javelin")
	b.until(`/night/.test(document.querySelector('.verdict').innerText)`)
	b.shot("night")
	b.press("the field lights are on")
	b.press("add a lit pole")
	b.planned()
	panel := `document.querySelector('.panel').innerText`
	b.until(`/field lights give \d+ lx/.test(` + panel + `)`)
	b.until(`/not said: a training class/.test(` + panel + `)`)
	b.until(`/field lights of a training class/.test(document.querySelector('.taken').textContent)`)
	b.until(`document.querySelectorAll('.afar').length + document.querySelectorAll('.rays').length >= 2`)
	b.until(`Number(document.querySelector('.day').ariaValueMax) > 22 * 60 && /EV \d/.test(document.querySelector('.day').ariaValueText)`) // the band reaches the hour
	b.settled()
	b.until(`fetch('/api/sessions/javelin').then(r => r.json()).then(d => d.session.place.solids.filter(o => o.lit).length === 2)`)
	b.shot("lamps")

	// a level beyond the range is said at its field, and not kept
	const level = `[...document.querySelectorAll('.panel label')].find(l => l.innerText.startsWith('light on the ground'))`
	write := func(x string) {
		look[bool](b, `(`+level+`.scrollIntoView(), `+level+`.querySelector('input').focus(), `+level+`.querySelector('input').select(), true)`)
		b.do(chromedp.KeyEvent(x), chromedp.KeyEvent(kb.Enter))
	}
	write("50000")
	b.until(level + `.querySelector('[role=alert]')?.innerText.includes('50000 lx; it lies between 1 lx and 5000 lx') && ` + level + `.querySelector('input').getAttribute('aria-invalid') === 'true'`)
	b.shot("lamps-refused")
	lx := `Number(` + panel + `.match(/field lights give (\d+) lx/)?.[1])`
	b.until(lx + ` > 0`)
	was := look[float64](b, lx)
	write("500")
	b.until(lx + ` > ` + js(1.5*was) + ` && !` + level + `.querySelector('[role=alert]')`)
	b.settled()

	// on the phone it is lamps that may change, not clouds
	f := b.another().size(375, 667).open("/field/javelin")
	f.until(`document.querySelector('.big') && document.fonts.check('20px Hand')`)
	check(f, "camera at night")
	f.press("lamps")
	f.until(`document.querySelectorAll('.card button').length === 3`)
	check(f, "lamps")
	f.shot("lamps-field")

	// off again, it is night again
	b.choose("lamps", "")
	b.settled()
	look[bool](b, `(() => { const e = [...document.querySelectorAll('.panel select')].filter(e => e.value === 'on').at(-1); e.value = ''; e.dispatchEvent(new Event('change', {bubbles: true})); return true })()`)
	b.until(`/no lit one is placed/.test(` + panel + `)`) // the level alone still counts
	b.settled()
	write(kb.Backspace)
	b.until(`/night/.test(document.querySelector('.verdict').innerText)`)
}

// What the workspace refuses is said where it was written, on other sheets too,
// and is gone with the next change.
func TestFaultAtField(t *testing.T) {
	b := newHouse(t, "demo/javelin.json").browser().open("/session/javelin").planned()
	for _, x := range []struct{ sheet, label, wrong, says string }{
		{"setup", "camera away", "9000", "between"},
		{"look", "background under", "99", "between"},
		{"safety", "in the shade", "400", "between"},
	} {
		b.press(x.sheet)
		field := `[...document.querySelectorAll('.panel label')].find(l => l.innerText.startsWith(` + js(x.label) + `))`
		b.until(field)
		was := look[string](b, field+`.querySelector('input').value`)
		look[bool](b, `(`+field+`.querySelector('input').focus(), `+field+`.querySelector('input').select(), true)`)
		b.do(chromedp.KeyEvent(x.wrong), chromedp.KeyEvent(kb.Enter))
		b.until(field + `.querySelector('[role=alert]')?.innerText.includes(` + js(x.says) + `)`)
		b.until(field + `.querySelector('input').value === ` + js(was)) // and what was there stands again
		if got := look[string](b, field+`.querySelector('[role=alert]').innerText`); !strings.Contains(got, x.wrong) {
			t.Errorf("%s: %q does not name %s", x.label, got, x.wrong)
		}
		b.do(chromedp.KeyEvent(kb.ArrowUp))
		b.until(`!document.querySelector('.panel [role=alert]')`)
		b.settled()
	}
}
