package safety

import (
	"time"

	"hardnoon/engine/unit"
)

// Figures of lightning rules.
const (
	// LightningPause is counted from the last flash or thunder, whichever came
	// later, and starts again with each. Source: [NATA2013], [NCAALightning].
	LightningPause = 30 * time.Minute
	// ShelterDelay between flash and thunder: by then everybody is inside.
	// Source: [NCAALightning].
	ShelterDelay = 30 * time.Second
	// DetectorRadius of a lightning detector: 8 miles. Source: [NCAALightning].
	DetectorRadius = 8 * mile

	mile         = 1609.344 * unit.Metre
	speedOfSound = 343. // m/s at 20 °C; 331 at 0 °C
)

// Bang is a lightning strike by the time from flash to thunder.
type Bang struct {
	Delay   time.Duration
	Away    unit.Length // at the speed of sound
	Miles   float64     // rule of thumb, five seconds a mile
	Km      float64     // rule of thumb, three seconds a kilometre
	Shelter bool        // everybody has to be inside by now
	Near    bool        // within DetectorRadius by the rule of thumb
}

// FlashToBang returns how far a strike was. Further than ten miles thunder is
// seldom heard; the next strike may be anywhere, lightning reaches ten miles
// out of the rain.
//
// Range: 0 to 120 s. Source: [NCAALightning]; the speed of sound.
func FlashToBang(delay time.Duration) (Bang, error) {
	s := delay.Seconds()
	if err := unit.Within("time from flash to thunder", s, 0, 120, "s"); err != nil {
		return Bang{}, err
	}
	return Bang{
		Delay: delay, Away: unit.Length(s * speedOfSound), Miles: s / 5, Km: s / 3,
		Shelter: delay <= ShelterDelay, Near: unit.Length(s/5)*mile <= DetectorRadius,
	}, nil
}

// Lightning is where the lightning clock stands.
type Lightning struct {
	Advice
	Last    time.Time // flash or thunder; zero if none was seen
	Restart time.Time // earliest
	Left    time.Duration
}

// LightningClock returns when work outdoors may start again, from every flash
// and thunder seen so far. Seen none is Unknown, not Quiet: nobody may have
// looked, and the first strike gives no warning.
//
// Source: [NATA2013], [NCAALightning].
func LightningClock(now time.Time, events []time.Time) Lightning {
	var c Lightning
	for _, e := range events {
		if !e.After(now) && e.After(c.Last) {
			c.Last = e
		}
	}
	level, missing := Quiet, []string(nil)
	if c.Last.IsZero() {
		missing = []string{"lightning watch"}
	} else {
		c.Restart = c.Last.Add(LightningPause)
		c.Left = max(c.Restart.Sub(now), 0)
		if c.Left > 0 {
			level = Stop
		}
	}
	c.Advice = advice(level, missing, []string{"NATA2013", "NCAALightning"}, nil)
	return c
}
