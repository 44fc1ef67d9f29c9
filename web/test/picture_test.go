package test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// A probe is dragged over the picture and reads another level there; by keys
// too; and the picture can be read in stops.
func TestProbes(t *testing.T) {
	b := newHouse(t, "demo/javelin.json").browser().open("/session/javelin").planned()
	b.until(`document.querySelectorAll('.probe').length > 1`)
	was := look[string](b, `document.querySelector('.probe').innerText`)
	x, y := b.middle(".probe")
	gx, gy := b.middle(".picture")
	b.do(chromedp.DragAndDropXY(x, y, gx-120, gy+90, 8))
	b.until(`document.querySelector('.probe').innerText.startsWith('here')`)
	dragged := look[string](b, `document.querySelector('.probe').innerText`)
	if strings.TrimLeft(dragged, "here ") == was[strings.LastIndex(was, " ")+1:] {
		t.Errorf("on the face %q and on the ground %q", was, dragged)
	}
	place := `document.querySelector('.probe').style.left`
	left := look[string](b, place)
	b.do(chromedp.KeyEvent(kb.ArrowRight))
	b.until(fmt.Sprintf(`%s !== %q`, place, left))

	// in stops the canvas has the tints of the scale alone
	b.press("stops")
	b.until(`document.querySelectorAll('.scale li').length === 11`)
	b.until(`(() => {
	  const c = document.querySelector('.picture canvas'), d = c.getContext('2d').getImageData(0, 0, c.width, c.height).data;
	  const seen = new Set(); for (let i = 0; i < d.length; i += 4) seen.add(d[i] * 65536 + d[i+1] * 256 + d[i+2]);
	  return c.width > 200 && seen.size >= 3 && seen.size <= 13 })()`)
	b.shot("stops")
}
