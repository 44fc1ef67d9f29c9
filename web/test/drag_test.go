package test

import (
	"slices"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// mostDrag is how long the page may take from a hand's move to the answer drawn:
// a frame at 60 Hz. docs/benchmarks.md has what was measured on a quiet machine;
// here, where other tests may run on the same cores, the median of all moves may
// take busy times as long before something is broken.
const (
	mostDrag = 16 * time.Millisecond
	busy     = 10
)

// Every thing that can be dragged is dragged, sixty moves each, and each move is
// timed from the pointer event to the changed words of the verdict's answer, all
// inside the page. The first move after the load is counted like any other.
func TestDragTime(t *testing.T) {
	b := newHouse(t, "demo/javelin.json").browser().open("/session/javelin").planned()
	b.working()
	// loaded is: all three workers are there and the first picture is drawn
	b.until(`performance.getEntriesByName('engine here').length >= 3 && document.querySelectorAll('.probe').length > 0`)
	b.settled()
	type drag struct {
		Name  string    `json:"name"`
		First float64   `json:"first"`
		Times []float64 `json:"times"`
	}
	all, err := chromedp.Run(b.ctx, chromedp.Evaluate[[]drag](dragAll, chromedp.EvalAwaitPromise))
	if err != nil {
		t.Fatal(err)
	}
	var every []float64
	for _, d := range all {
		if len(d.Times) < 50 {
			t.Errorf("%s: only %d moves were answered", d.Name, len(d.Times))
			continue
		}
		slices.Sort(d.Times)
		every = append(every, d.Times...)
		t.Logf("%-10s first %5.1f ms, median %5.1f ms, worst of %d %5.1f ms", d.Name, d.First, d.Times[len(d.Times)/2], len(d.Times), d.Times[len(d.Times)-1])
	}
	slices.Sort(every)
	if len(every) == 0 {
		t.Fatal("nothing was dragged")
	}
	median := time.Duration(every[len(every)/2] * float64(time.Millisecond))
	within := 0
	for _, x := range every {
		if x <= mostDrag.Seconds()*1000 {
			within++
		}
	}
	t.Logf("all: median %v, worst %.1f ms, %d of %d within %v", median, every[len(every)-1], within, len(every), mostDrag)
	if median > busy*mostDrag {
		t.Errorf("a drag is answered after %v in the median; at most %v", median, busy*mostDrag)
	}
}

// dragAll moves each grip by events as a hand's and waits for the answer to each
// move: the verdict is drawn anew, or its aria-busy falls.
const dragAll = `(async () => {
  const out = [];
  const verdict = () => document.querySelector('.verdict');
  const idle = () => verdict()?.getAttribute('aria-busy') === 'false';
  const settle = () => new Promise(done => { const look = () => idle() ? done() : setTimeout(look, 1); look(); });
  const send = (on, type, x, y) => on.dispatchEvent(new PointerEvent(type, { bubbles: true, cancelable: true, pointerId: 1, isPrimary: true, button: 0, buttons: 1, clientX: x, clientY: y }));
  const one = async (name, on, dx, dy) => {
    on.setPointerCapture = () => {};
    const r = on.getBoundingClientRect();
    const [x, y] = [r.x + r.width / 2, r.y + r.height / 2];
    const times = [];
    await settle();
    send(on, 'pointerdown', x, y);
    for (let i = 1; i <= 60; i++) {
      await settle();
      await new Promise(next => setTimeout(next, 20)); // a hand is no faster than its screen
      await settle();
      const from = performance.now();
      const answered = new Promise(done => {
        const watch = new MutationObserver(() => { if (idle()) { watch.disconnect(); done(true); } });
        watch.observe(verdict(), { attributes: true, attributeFilter: ['aria-busy'] });
        setTimeout(() => { watch.disconnect(); done(false); }, 1000);
      });
      send(on, 'pointermove', x + dx * i, y + dy * i);
      if (await answered) times.push(performance.now() - from);
    }
    send(on, 'pointerup', x + dx * 60, y + dy * 60);
    await settle();
    out.push({ name, first: times[0] ?? 0, times });
  };
  for (const [what, dx, dy] of [['light 0', 1, -1], ['light 1', -1, 1], ['camera', -1, -1], ['subject', 2, 1], ['sun', 3, 0]])
    await one(what, document.querySelector('[data-what="' + what + '"]'), dx, dy);
  await one('day', document.querySelector('.day'), 4, 0);
  return out;
})()`
