package advise_test

import (
	"errors"
	"math"
	"testing"

	"hardnoon/engine/advise"
	"hardnoon/engine/exposure"
	"hardnoon/engine/plan"
	"hardnoon/engine/unit"
)

// Where there is no daylight a face a third too dark wants a third more flash,
// and a stop is twice the light. Common practice, no source.
func TestMoreWithoutDaylight(t *testing.T) {
	for off := unit.Stops(-3); off <= 3; off += unit.Stop / 3 {
		m, err := advise.More(0, 0, off)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "more", float64(m), -float64(off), 1e-9)
	}
}

// Adding up the luminous exposures again, by exposure.Sum which knows nothing of
// the formula, brings the side to its planned level.
func TestMoreBringsTheLevelBack(t *testing.T) {
	for _, day := range []unit.Stops{-6, -3, -2, -1} {
		for _, f := range []unit.Stops{-1, 0, 0.5} {
			for _, off := range []unit.Stops{-0.5, -1.0 / 3, 1.0 / 3, 1} {
				planned := exposure.Sum(day, f)
				m, err := advise.More(planned, f, off)
				var no *advise.NoFlashError
				if errors.As(err, &no) {
					if float64(planned+off) > float64(day)+0.05 {
						t.Errorf("day %v, flash %v, off %v: %v", day, f, off, err)
					}
					continue
				}
				// the flash that was really there, and the same turned by m
				really := unit.StopsOf((planned + off).Ratio() - day.Ratio())
				near(t, "level after", float64(exposure.Sum(day, really+m)), float64(planned), 1e-9)
			}
		}
	}
}

// A frame that is as dark as daylight alone is a light that did not fire.
func TestMoreWithoutFlash(t *testing.T) {
	day, f := unit.Stops(-1), unit.Stops(0)
	total := exposure.Sum(day, f)
	_, err := advise.More(total, f, day-total)
	var no *advise.NoFlashError
	if !errors.As(err, &no) {
		t.Errorf("%v, want that the light did not fire", err)
	}
	var out *unit.RangeError
	for _, off := range []unit.Stops{5, unit.Stops(math.NaN()), unit.Stops(math.Inf(-1))} {
		if _, err := advise.More(total, f, off); !errors.As(err, &out) {
			t.Errorf("off by %v: %v", off, err)
		}
	}
}

// One knob: the power where there is any left, else the distance, by the
// inverse square; nothing else moves.
func TestFrameTurnsOneKnob(t *testing.T) {
	s := state(1.0/256, 3, -1, plan.FocalPlane)
	s.More = []unit.Stops{0.5}
	a, err := advise.Adjust(s, 0)
	if err != nil || len(a.Steps) != 1 || a.Steps[0].Knob != advise.Power || a.Settings != s.Settings {
		t.Fatalf("%+v, %v", a, err)
	}
	near(t, "power", float64(a.Powers[0]), -0.5, 1e-9)
	s.More[0] = 2
	a, _ = advise.Adjust(s, 0)
	if len(a.Steps) != 1 || a.Steps[0].Knob != advise.Distance {
		t.Fatalf("%+v", a)
	}
	near(t, "distance", a.Nearer[0], 0.5, 1e-9)
	near(t, "power", float64(a.Powers[0]), -1, 1e-9)
	s.More[0] = -8
	a, _ = advise.Adjust(s, 0)
	near(t, "further", a.Nearer[0], 16, 1e-9)
}

// With a stop of power in hand and 1.1 wanted, the power goes to full: a sixth of
// a stop is not worth carrying a stand.
func TestFramePrefersPowerToCarrying(t *testing.T) {
	s := state(1.0/256, 3, -1, plan.FocalPlane)
	s.More = []unit.Stops{1.1}
	a, err := advise.Adjust(s, 0)
	if err != nil || len(a.Steps) != 1 || a.Steps[0].Knob != advise.Power || a.Powers[0] != 0 {
		t.Errorf("%+v, %v", a, err)
	}
}
