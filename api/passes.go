package api

import (
	"context"
	"errors"
	"fmt"
	"image"
	"iter"
	"math"

	"hardnoon/engine/render"
	"hardnoon/session"
)

// Pass is a preview on its way: what is known after so many paths a pixel. The
// first may be smaller than the picture.
type Pass struct {
	Samples int            `json:"samples"` // paths a pixel
	Of      int            `json:"of"`      // at most; quiet parts end sooner
	Width   int            `json:"width"`
	Height  int            `json:"height"`
	Done    bool           `json:"done"`
	Preview *PreviewAnswer `json:"preview,omitempty"` // with the last

	Image  *image.NRGBA `json:"-"`
	Levels []int16      `json:"-"` // by pixel, hundredths of a stop from mid-tone
}

// The first pass is a quarter as wide and as high, where that is not too small
// to see: a sixteenth of the work.
const (
	coarse      = 4
	leastCoarse = 24 // pixels on the shorter side
)

// mostPassed is how many pixels a preview may have that is shown as it grows.
const mostPassed = 1_000_000

// Passes renders one setup and yields the picture after every pass, filtered;
// the last is Done. An error is the last thing it yields. The caller may stop
// at any time.
func Passes(ctx context.Context, req PreviewRequest) iter.Seq2[Pass, error] {
	return func(yield func(Pass, error) bool) {
		pic, err := req.begin()
		if err != nil {
			yield(Pass{}, err)
			return
		}
		o := pic.options
		if n := o.Width * o.Height; n > mostPassed {
			yield(Pass{}, wrong("width_px", fmt.Errorf("a picture that is shown as it grows has at most %d pixels; this has %d", mostPassed, n), "write it like 480x320"))
			return
		}
		now := Pass{Of: o.Samples, Width: o.Width, Height: o.Height}
		show := func(f *render.Film) error {
			m, err := f.Mix(pic.gains)
			if err == nil {
				now.Levels = pixelLevels(m)
				now.Image, err = m.Image(pic.view)
			}
			return err
		}
		stopped := false
		var failed error
		o.Each = func(f *render.Film, pass render.Pass) bool {
			now.Samples = pass.Samples
			if failed = show(f); failed == nil {
				stopped = !yield(now, nil)
			}
			return !stopped && failed == nil
		}
		draw := func(o render.Options) bool {
			now.Width, now.Height = o.Width, o.Height
			_, err := render.Preview(ctx, &pic.seen, o)
			if err = errors.Join(err, failed); err != nil && !stopped {
				yield(now, brokenOff(err))
				return false
			}
			return !stopped
		}
		if small := o; min(o.Width, o.Height) >= coarse*leastCoarse {
			small.Width, small.Height, small.Samples = o.Width/coarse, o.Height/coarse, 1
			small.Focus = image.Rectangle{}
			if !draw(small) {
				return
			}
		}
		if !draw(o) {
			return
		}
		a, err := pic.answer(ctx, now.Image)
		now.Done, now.Preview = true, &a
		yield(now, err)
	}
}

// pixelLevels reads every pixel of a picture, so that a probe answers wherever a hand
// drags it. What received nothing is far below all else.
func pixelLevels(m *render.Picture) []int16 {
	out := make([]int16, 0, m.Width*m.Height)
	for y := range m.Height {
		for x := range m.Width {
			s, _ := m.Stops(x, y)
			out = append(out, int16(min(max(math.Round(100*float64(s)), -9999), 9999)))
		}
	}
	return out
}

// PassesJSON is Passes for a transport.
func PassesJSON(ctx context.Context, body []byte) iter.Seq2[Pass, error] {
	req, err := readPreview(body)
	if err != nil {
		return func(yield func(Pass, error) bool) { yield(Pass{}, err) }
	}
	return Passes(ctx, req.(PreviewRequest))
}

// readPreview reads a request and hands it back.
var readPreview = askWith(func(q *PreviewRequest) *session.Session { return &q.Session },
	func(q PreviewRequest) (PreviewRequest, error) { return q, nil })
