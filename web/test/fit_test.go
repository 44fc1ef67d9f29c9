package test

import (
	"fmt"
	"testing"

	"github.com/chromedp/chromedp"
)

// cut lists what does not fit where it stands: a page or sheet that is wider
// than its room, a choice or a button whose words are cut, a word of a drawing
// that lies over its edge. What a person typed, a title too, may be longer than its
// field, and the ground goes on beyond its drawing.
const cut = `(() => {
  const out = [], pen = document.createElement('canvas').getContext('2d');
  const shown = (e) => e.getClientRects().length > 0;
  for (const e of document.querySelectorAll('html, .panel, .right, .tabs, .bar, .setups')) if (shown(e) && e.scrollWidth > e.clientWidth + 1 && !(e.matches('.setups') && innerWidth < 820)) out.push('wide: ' + (e.className || e.tagName));
  for (const e of document.querySelectorAll('select')) {
    const s = getComputedStyle(e);
    pen.font = s.fontWeight + ' ' + s.fontSize + ' ' + s.fontFamily;
    const text = e.selectedOptions[0]?.text ?? '';
    if (pen.measureText(text).width > e.clientWidth - parseFloat(s.paddingLeft) - parseFloat(s.paddingRight) + 1) out.push('choice: ' + text);
  }
  for (const e of document.querySelectorAll('button:not(.title), .field > span:first-child, th, td, dt')) if (shown(e) && e.scrollWidth > e.clientWidth + 1) out.push('words: ' + e.innerText);
  for (const svg of document.querySelectorAll('.side, .day, .hours, .strip')) {
    const box = svg.getBoundingClientRect();
    for (const e of svg.querySelectorAll('text')) {
      const r = e.getBoundingClientRect();
      if (r.width && (r.left < box.left - 1 || r.right > box.right + 1)) out.push(svg.classList[0] + ': ' + e.textContent);
    }
  }
  return out;
})()`

// Nothing is cut and nothing sticks out: every sheet, on a desk, a tablet and
// two phones.
func TestNothingCut(t *testing.T) {
	h := newHouse(t, "demo/javelin.json")
	for _, size := range [][2]int64{{1280, 800}, {1024, 768}, {412, 915}, {375, 667}} {
		t.Run(fmt.Sprintf("%dx%d", size[0], size[1]), func(t *testing.T) {
			b := h.browser().size(size[0], size[1])
			b.t = t
			b.open("/session/javelin").planned()
			b.until(`document.fonts.check('14px Hand')`)
			fits := func(where string) {
				b.t.Helper()
				if out := look[[]string](b, cut); len(out) > 0 {
					t.Errorf("%s: %q", where, out)
					b.shot(fmt.Sprintf("cut-%d-%s", size[0], where))
				}
			}
			// the longest words: feet, the clock of twelve hours, thirds
			b.press("units")
			b.choose("lengths", "i")
			b.choose("clock", "12")
			b.choose("parts of a stop", "3")
			b.press("close")
			for i := range 4 {
				b.do(chromedp.KeyEvent(fmt.Sprint(i + 1)))
				b.planned()
				fits(fmt.Sprint("setup ", i+1))
			}
			for _, s := range sheets {
				b.press(s.tab)
				b.until(`document.querySelector('.panel h2') && (` + s.ready + `)`)
				fits(s.tab)
				b.press("close")
			}
			// the eye that looks for it can see it
			b.press("kit")
			b.until(`document.querySelector('.panel select')`)
			look[bool](b, `(document.querySelector('.panel').style.width = '150px', true)`)
			if len(look[[]string](b, cut)) == 0 {
				t.Error("a sheet half as wide as its words would pass")
			}
		})
	}
}
