package test

import (
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// Every drawing that a hand can work answers to keys, says what it is and what
// it is at, and shows that the keyboard is on it.
func TestDrawingsByKeys(t *testing.T) {
	b, camera, hour := offered(t, "13:20", "18:30")
	key := func(keys ...string) {
		for _, k := range keys {
			b.do(chromedp.KeyEvent(k))
		}
	}
	// on goes to a thing as Tab does, so that the ring of focus is drawn
	on := func(selector string) {
		b.t.Helper()
		b.until(`document.querySelector(` + js(selector) + `)`)
		look[bool](b, `(document.querySelector(`+js(selector)+`).focus({focusVisible: true}), true)`)
		if got := look[string](b, `(() => { const e = document.activeElement, s = getComputedStyle(e.querySelector('.hit, .ring-line, .solid') ?? e);
		  return !e.matches(':focus-visible') ? 'no' : getComputedStyle(e).outlineStyle !== 'none' ? 'outline' : s.stroke !== 'none' && parseFloat(s.strokeWidth) >= 2 ? 'stroke' : '' })()`); got == "no" || got == "" {
			b.t.Errorf("the focus on %s cannot be seen (%s)", selector, got)
		}
		if got := look[string](b, `document.activeElement.ariaLabel ?? ''`); got == "" {
			b.t.Errorf("%s has no name", selector)
		}
	}
	value := func() string { b.t.Helper(); return look[string](b, `document.activeElement.ariaValueText`) }
	now := func(want string) { b.t.Helper(); b.until(`document.activeElement.ariaValueNow === ` + js(want)) }

	// the strip of the second hour
	key(kb.Tab) // who uses keys has pressed one: from then on the focus is drawn
	b.press("which way")
	const second = ".hours-rows li:nth-child(2) .strip"
	on(second)
	if got := look[string](b, `document.activeElement.ariaLabel`); !strings.Contains(got, "18:30–19:30; best ") {
		t.Errorf("the strip is called %q", got)
	}
	key(kb.Home)
	now("0")
	key(kb.ArrowRight)
	now("5")
	key(kb.ArrowLeft, kb.ArrowLeft)
	now("355")
	key(kb.End)
	now("355")
	key(kb.PageUp)
	now("40")
	if got := value(); !strings.HasPrefix(got, "40°: ") || !strings.HasSuffix(got, "stops; Enter looks that way") {
		t.Errorf("the strip says %q", got)
	}
	b.until(`/^40°: /.test(document.querySelector('.strip-said').textContent)`)
	b.shot("strip-keys")
	was := look[string](b, camera)
	key(kb.Enter)
	b.until(camera + ` !== ` + js(was) + ` && ` + camera + `.includes('· 40°') && ` + hour + ` === '1110'`)
	b.settled()

	// the ring on the ground
	on(".ring")
	key(kb.Home)
	b.until(camera + `.includes('· 0°')`)
	key(kb.End)
	b.until(camera + `.includes('· 355°')`)
	best := strings.TrimSuffix(look[string](b, `document.querySelector('.ring').getAttribute('aria-valuetext').match(/best (\d+)/)[1]`), "°")
	key(kb.Enter)
	b.until(camera + `.includes('· ` + best + `°')`)
	b.settled()

	// the order of the day
	b.press("the day")
	on(".hours-work")
	first := look[string](b, `document.activeElement.ariaLabel`)
	key(kb.ArrowDown)
	b.until(`document.activeElement.ariaLabel !== ` + js(first) + ` && document.activeElement.matches('.hours-work[aria-pressed=false]')`)
	key(kb.Enter)
	b.until(`document.activeElement.ariaPressed === 'true' && document.activeElement.ariaLabel.includes(document.querySelector('.setups [aria-current] span').innerText)`)
	key(kb.Home)
	b.until(`document.activeElement.ariaLabel === ` + js(first))
	key(kb.Enter)
	b.until(`document.activeElement.ariaPressed === 'true'`)
	b.planned()

	// the band of the day
	on(".day")
	key(kb.Home)
	b.until(`Number(` + hour + `) < 480`)
	b.settled()
	key(kb.End)
	b.until(`Number(` + hour + `) > 1200`)
	if got := value(); !strings.HasPrefix(got, "20:") {
		t.Errorf("the band of the day says %q", got)
	}

	// what stands around: out of sight, it is pointed at
	on(`[data-what="solid 0"]`)
	b.until(`document.querySelector('.afar .held')`)
	label := look[string](b, `document.querySelector('.afar text').textContent`)
	key(kb.ArrowUp, kb.ArrowUp, kb.ArrowUp)
	b.until(`document.querySelector('.afar text').textContent !== ` + js(label))
	b.settled()
}
