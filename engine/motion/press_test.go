package motion_test

import (
	"math"
	"testing"

	"hardnoon/engine/motion"
)

// The normal distribution within one, two and three standard deviations, as any
// table prints it: 68.27, 95.45 and 99.73 %.
func TestChanceTable(t *testing.T) {
	for n, want := range map[float64]float64{1: 0.6827, 2: 0.9545, 3: 0.9973, 1.96: 0.9500} {
		if got := motion.Chance(2*n*0.045, 0.045); math.Abs(got-want) > 5e-5 {
			t.Errorf("within %v spreads: %.5f, want %v", n, got, want)
		}
	}
	if motion.Chance(0, 0.05) != 0 || motion.Chance(0.1, 0) != 1 {
		t.Error("ends")
	}
}

// De Méré's dice: four throws make a six likelier than not, three do not; 25
// throws of two dice make a double six likelier than not.
func TestTriesDice(t *testing.T) {
	if got := motion.Tries(1./6, 0.5); got != 4 {
		t.Errorf("a six: %v throws, want 4", got)
	}
	if got := motion.Tries(1./36, 0.5); got != 25 {
		t.Errorf("a double six: %v throws, want 25", got)
	}
	if !math.IsInf(motion.Tries(0, 0.9), 1) || motion.Tries(1, 0.9) != 1 || motion.Tries(0.3, 0) != 0 {
		t.Error("ends")
	}
}

// A hand at 20 m/s stays within 0.15 m for 15 ms; a jump of 0.5 m gives the 0.1 s
// around its top that TestJumpTable knows. The slower thing is the likelier hit.
func TestPress(t *testing.T) {
	w := motion.Window(0.15, 20)
	if math.Abs(w-0.015) > 1e-12 {
		t.Errorf("window %v s", w)
	}
	p := motion.UsualPress
	if press, cue := p.Lag(); press >= cue || cue < 0.2 || cue > 0.3 {
		t.Errorf("lag %v and %v s", press, cue)
	}
	hand, jump := motion.Chance(w, p.Spread(false)), motion.Chance((motion.Jump{Height: 0.5}).ApexWindow(motion.Drop(0.05)), p.Spread(false))
	if hand > 0.2 || jump < 0.6 {
		t.Errorf("chance of a hand %v, of a jump %v", hand, jump)
	}
}
