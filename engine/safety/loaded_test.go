package safety_test

import (
	"math"
	"testing"

	"hardnoon/engine/flash"
	"hardnoon/engine/modifier"
	"hardnoon/engine/safety"
	"hardnoon/engine/unit"
)

// A box of 0.60 × 0.90 m on a stand of 6 kg in all tips at 4.36 m/s, a row of
// the table; and everything of the catalogue makes a stand that can be.
func TestLoaded(t *testing.T) {
	box, _ := modifier.ByID("softbox-60x90")
	head, _ := flash.ByID("battery-400")
	s := safety.Loaded(head, box, 2*unit.Metre, 0.5*unit.Metre, 6*unit.Kilogram-head.Mass-box.Mass)
	if v := s.TipSpeed(0).MetresPerSecond(); math.Abs(v-4.36) > 0.005 {
		t.Errorf("tips at %v m/s, want 4.36", v)
	}
	if math.Abs(s.Reach.Metres()-math.Hypot(0.3, 0.45)) > 1e-12 {
		t.Errorf("reaches %v", s.Reach)
	}
	for _, h := range flash.All() {
		for _, m := range modifier.All() {
			if err := safety.Loaded(h, m, 2.2*unit.Metre, 0.5*unit.Metre, 2*unit.Kilogram).Check(); err != nil {
				t.Errorf("%s with %s: %v", h.ID, m.ID, err)
			}
		}
	}
}
