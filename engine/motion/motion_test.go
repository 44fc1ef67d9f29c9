package motion_test

import (
	"math"
	"testing"

	"hardnoon/engine/motion"
	"hardnoon/engine/optics"
	"hardnoon/engine/unit"
)

const mm = unit.Millimetre

// Smear of a body 20 m away through 200 mm on pixels of 4.35 µm, worked out by
// another hand to a tenth of a pixel.
func TestBlurTable(t *testing.T) {
	for _, r := range []struct {
		v      unit.Speed
		t      float64
		pixels float64
	}{
		{20, 1. / 1000, 46.4}, {20, 1. / 2000, 23.2}, {20, 1. / 4000, 11.6}, {37.4, 1. / 4000, 21.7}, {10, 1. / 1000, 23.2}, {20, 1. / 300, 154.8},
	} {
		got := motion.Blur(r.v, r.t, 200*mm, 20, 4.35*unit.Micrometre)
		if math.Abs(got-r.pixels) > 0.05 {
			t.Errorf("%v m/s, %v s: %.3f px, want %v", r.v, r.t, got, r.pixels)
		}
		if back := motion.SlowestFor(got, r.v, 200*mm, 20, 4.35*unit.Micrometre); math.Abs(back/r.t-1) > 1e-12 {
			t.Errorf("%v m/s: %v s comes back as %v s", r.v, r.t, back)
		}
	}
	ff := optics.Sensors()[0]
	if got := motion.SlowestFor(2, 0, 200*mm, 20, ff.Pitch(0)); !math.IsInf(got, 1) {
		t.Errorf("a body at rest needs %v s", got)
	}
	if got := motion.Blur(20, 0.001, 200*mm, 0.2, ff.Pitch(0)); !math.IsNaN(got) {
		t.Errorf("at the focal length: %v px", got)
	}
}

// Jumps worked out by another hand: take-off speed and time in the air to the
// printed digits; within ±0.05 s of the top the body falls less than 12.3 mm.
func TestJumpTable(t *testing.T) {
	for h, want := range map[unit.Length][2]float64{0.2: {1.98, 0.404}, 0.3: {2.43, 0.495}, 0.4: {2.80, 0.571}, 0.5: {3.13, 0.639}, 0.6: {3.43, 0.700}} {
		j := motion.Jump{Height: h}
		if math.Abs(float64(j.TakeOff())-want[0]) > 0.00501 || math.Abs(j.Flight()-want[1]) > 0.000501 {
			t.Errorf("%v m: %v m/s, %v s, want %v", h, j.TakeOff(), j.Flight(), want)
		}
		if got := motion.Drop(j.Apex()); math.Abs(float64(got-h)) > 1e-12 { // from the top to the ground
			t.Errorf("%v m: falls %v m", h, got)
		}
		if got := j.ApexWindow(h); math.Abs(got-j.Flight()) > 1e-12 {
			t.Errorf("%v m: the whole flight is %v s", h, got)
		}
	}
	if d := motion.Drop(0.05).Millimetres(); d >= 12.3 || d < 12.2 {
		t.Errorf("0.05 s from the top: %v mm", d)
	}
	if w := (motion.Jump{Height: 0.5}).ApexWindow(motion.Drop(0.05)); math.Abs(w-0.1) > 1e-12 {
		t.Errorf("window %v s, want 0.1", w)
	}
}

func TestGhost(t *testing.T) {
	for _, r := range []struct {
		day, flash unit.Stops
		dayPx, fPx float64
		share      float64
		visible    bool
	}{
		{0, 0, 30, 3, 0.5, true},
		{-2, 0, 30, 3, 0.2, false}, // two under: not seen
		{-1, 0, 30, 3, 1. / 3, true},
		{-1, 0, 4, 3, 1. / 3, false}, // nothing smears
	} {
		g := motion.GhostOf(r.day, r.flash, r.dayPx, r.fPx)
		if math.Abs(g.Share-r.share) > 1e-12 || g.Visible != r.visible {
			t.Errorf("%+v: %+v", r, g)
		}
	}
}
