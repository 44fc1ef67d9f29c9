package advise

import (
	"fmt"
	"math"

	"hardnoon/engine/unit"
)

// NoFlashError reports a test frame whose side is no brighter than daylight
// alone makes it: turning the head up will not help before it fires.
type NoFlashError struct {
	Seen     unit.Stops // the level that was seen, relative to mid-tone
	Daylight unit.Stops
}

func (e *NoFlashError) Error() string {
	return fmt.Sprintf("daylight alone gives %+.1f there and the frame shows %+.1f: the light did not add anything", float64(e.Daylight), float64(e.Seen))
}

// More returns how many stops more one flash must give when the side it lights
// was seen off stops from its planned level: below 0 is too dark. What daylight
// gives to that side stays as it is, so the flash moves further than the level.
//
//	more = log2( (2^t − a) / (2^(t+off) − a) ),  a = 2^t − 2^f
//
// t is the planned level of the side, f that of the flash alone, both relative
// to mid-tone.
//
// Errors: *unit.RangeError for more than ±4 stops off or a level beyond ±20,
// *NoFlashError.
// Source: own derivation; luminous exposures add.
func More(t, f, off unit.Stops) (unit.Stops, error) {
	for _, err := range []error{
		unit.Within("what the test frame is off", float64(off), -4, 4, "stops"),
		unit.Within("level of the side", float64(t), -20, 20, "stops"),
		unit.Within("level of the flash", float64(f), -20, 20, "stops"),
	} {
		if err != nil {
			return 0, err
		}
	}
	day := max(t.Ratio()-f.Ratio(), 0)
	seen := (t + off).Ratio() - day
	if seen < f.Ratio()/64 {
		return 0, &NoFlashError{t + off, unit.StopsOf(day)}
	}
	return unit.StopsOf(f.Ratio() / seen), nil
}

// again returns power and distance of light i, which stands at power p, after a
// test frame: by the power while there is any, else by the distance, never both.
func (s State) again(i int, p unit.Stops) (unit.Stops, float64) {
	want := p + s.More[i]
	if step := float64(s.PowerStep[i]); step > 0 {
		want = unit.Stops(roundTo(float64(want), step))
	}
	// A power that ends within half a click of the wish is near enough: nobody
	// carries a stand for a sixth of a stop.
	half := unit.Stops(s.Camera.Dial.Stops()) / 2
	if got := max(-s.Range[i], min(0, want)); max(got-want, want-got) < half {
		return got, 1
	}
	// a light goes with the square of its distance, as near as a knob needs it
	return p, math.Exp2(-float64(s.More[i]) / 2)
}
