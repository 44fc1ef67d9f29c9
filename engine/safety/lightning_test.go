package safety_test

import (
	"testing"
	"time"

	"hardnoon/engine/safety"
)

// Rules of thumb and the speed of sound, worked out by another hand; inside at
// 30 seconds, detector at 8 miles.
func TestFlashToBangTable(t *testing.T) {
	for _, r := range table(t, "flash_to_bang.csv") {
		got, err := safety.FlashToBang(time.Duration(figure(t, r, "delay_s") * float64(time.Second)))
		if err != nil {
			t.Fatal(err)
		}
		printed(t, r, "miles_rule(/5)", got.Miles, 1)
		printed(t, r, "km_rule(/3)", got.Km, 2)
		printed(t, r, "km_at_343ms", got.Away.Metres()/1000, 2)
		yes := map[bool]string{true: "yes", false: "no"}
		if yes[got.Shelter] != r["inside_30s_rule"] || yes[got.Near] != r["inside_8mile"] {
			t.Errorf("%v: %+v", r, got)
		}
	}
	for _, d := range []time.Duration{-1, time.Hour} {
		if _, err := safety.FlashToBang(d); err == nil {
			t.Errorf("%v is accepted", d)
		}
	}
}

// Thunder at 14:00 and a flash at 14:20: not before 14:50. The order of the list
// does not matter, what has not happened yet does not count, and silence is no
// proof.
func TestLightningClock(t *testing.T) {
	at := func(h, m int) time.Time { return time.Date(2027, 1, 16, h, m, 0, 0, time.UTC) }
	events := []time.Time{at(14, 20), at(14, 0)}
	for _, r := range []struct {
		now     time.Time
		restart time.Time
		left    time.Duration
		level   safety.Level
	}{
		{at(14, 10), at(14, 30), 20 * time.Minute, safety.Stop}, // the flash of 14:20 is not known yet
		{at(14, 20), at(14, 50), 30 * time.Minute, safety.Stop},
		{at(14, 49), at(14, 50), time.Minute, safety.Stop},
		{at(14, 50), at(14, 50), 0, safety.Quiet},
		{at(13, 0), time.Time{}, 0, safety.Unknown},
	} {
		got := safety.LightningClock(r.now, events)
		if !got.Restart.Equal(r.restart) || got.Left != r.left || got.Level != r.level || got.Decides != safety.Deferral {
			t.Errorf("at %v: %+v, want %+v", r.now, got, r)
		}
	}
	if got := safety.LightningClock(at(14, 0), nil); got.Level != safety.Unknown || len(got.Missing) == 0 {
		t.Errorf("nobody watched: %+v", got)
	}
}
