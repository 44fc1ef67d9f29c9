// Package calibrate answers what a photographer's own heads and modifiers
// really give, from a handful of flash-meter readings.
//
// A reading says: this head behind this modifier, so far away, at this power,
// perhaps in high-speed sync, showed this f-number. All light is in stops, so
// the unknowns enter linearly:
//
//	y = catalogue + u(head) + v(modifier) + w(pair) + slope·p − (entry + log2(sync/t)) + noise
//
// and the answer is the Gaussian one: the catalogue with its errors is the
// prior, the readings pull it as far as they are worth. What nobody measured
// keeps its catalogue figure and error. A reading that the others and the
// catalogue cannot explain is named and left out (outlier.go).
//
// Six readings that serve: full power at two distances, one low power (1/16 or
// so), and three shutters in high-speed sync.
//
// Assumed: in high-speed sync a stop of shutter is a stop of flash; daylight is
// not in the reading. Sources: [Rasmussen2006] ch. 2 for the algebra and the
// leave-one-out identities.
package calibrate

import (
	"fmt"

	"hardnoon/engine/exposure"
	"hardnoon/engine/flash"
	"hardnoon/engine/modifier"
	"hardnoon/engine/unit"
)

// Reading is one look at a flash meter.
type Reading struct {
	Head     flash.Head
	Modifier modifier.Class
	Distance unit.Length // from the front of the modifier
	Power    unit.Stops  // as dialled: 0 full, −1 half

	Sync, Shutter exposure.Shutter // both 0: a normal pop; else high-speed sync at Shutter

	FNumber exposure.FNumber // what the meter showed
	ISO     exposure.ISO
}

// Exposure returns the luminous exposure that the meter saw.
func (r Reading) Exposure() unit.LuxSecond {
	return exposure.Settings{FNumber: r.FNumber, Shutter: 1, ISO: r.ISO}.FlashFor(0)
}

func (r Reading) highSpeed() bool { return r.Shutter > 0 }

// Check returns a *unit.RangeError for a reading that cannot have been taken.
func (r Reading) Check() error {
	for _, err := range []error{
		r.Head.Check(), r.Modifier.Check(),
		unit.Within("distance", r.Distance.Metres(), 0.1, 100, "m"),
		unit.Within("power", float64(r.Power), -float64(r.Head.Range)-0.35, 0.35, "stops"),
		unit.Within("f-number", float64(r.FNumber), 0.5, 128, ""),
		unit.Within("ISO", float64(r.ISO), 1, 10e6, ""),
	} {
		if err != nil {
			return err
		}
	}
	if r.highSpeed() {
		if err := unit.Within("sync speed", float64(r.Sync), 1.0/2000, 1.0/30, "s"); err != nil {
			return err
		}
		return unit.Within("shutter time", float64(r.Shutter), 1.0/100000, float64(r.Sync)*1.02, "s")
	}
	return nil
}

// Options; the zero value is for a meter in tenths and a tape measure.
type Options struct {
	Noise unit.Stops // one standard deviation of a reading; 0 stands for 0.1
}

// What may differ between units beside the catalogue's errors. Own estimates.
const (
	defaultNoise = 0.1  // stop: a meter that shows tenths, held the same way each time
	pairError    = 0.25 // stop: a head may fill one modifier better than another
	mostGain     = 6.0  // stops
	slopeError   = 0.04 // stop a stop: a dial that promises five stops and gives 4.8
)

// Estimate is a figure and its uncertainty, one standard deviation. Measured
// is false while it is still mostly the catalogue's: no reading has narrowed
// the catalogue's error by a third.
type Estimate struct {
	Value, Error float64
	Measured     bool
}

// Head holds what was learned about one head.
type Head struct {
	ID       string
	Efficacy Estimate // stops
	Slope    Estimate // true stops for one stop on the dial
	Entry    Estimate // stops
}

// Pair holds what was learned about one head behind one modifier.
type Pair struct {
	Head, Modifier string
	GuideNumber    float64  // m, ISO 100, full power, at 2 m
	Gain           Estimate // stops above the catalogue
	Readings       int
}

// Residual says how far a reading lies from what all others make of it.
type Residual struct {
	Index int        // of the reading, from 0
	Off   unit.Stops // reading minus expectation
	Error unit.Stops // of that difference
	Wrong bool       // left out
	Doubt bool       // it or another is wrong; both were kept
}

// Calibration is the answer.
type Calibration struct {
	Heads     []Head
	Pairs     []Pair
	Residuals []Residual
}

// EmptyError reports that there is nothing to calibrate from.
type EmptyError struct{}

func (EmptyError) Error() string { return "there are no readings" }

// ReadingError says which reading is impossible.
type ReadingError struct {
	Index int
	Err   error
}

func (e *ReadingError) Error() string { return fmt.Sprintf("reading %d: %v", e.Index+1, e.Err) }
func (e *ReadingError) Unwrap() error { return e.Err }

// From returns the calibration that the readings support.
//
// Error: with six readings of ±0.1 stop as above, gain and entry come back
// within 0.15 stop and the slope within 0.03 in at least 95 kits of a hundred.
// Source: own derivation over [Rasmussen2006] eq. 2.25, 2.26.
func From(readings []Reading, o Options) (Calibration, error) {
	if len(readings) == 0 {
		return Calibration{}, EmptyError{}
	}
	for i, r := range readings {
		if err := r.Check(); err != nil {
			return Calibration{}, &ReadingError{i, err}
		}
	}
	if o.Noise == 0 {
		o.Noise = defaultNoise
	}
	if err := unit.Within("noise of a reading", float64(o.Noise), 0.001, 3, "stops"); err != nil {
		return Calibration{}, err
	}
	m := newModel(readings, float64(o.Noise))
	residuals := m.expel()
	c := m.answer(residuals)
	return c, c.check()
}

// check returns a *unit.RangeError for figures that no kit has: the readings
// are of something else.
func (c Calibration) check() error {
	for _, p := range c.Pairs {
		if err := unit.Within("light of "+p.Head+" behind "+p.Modifier+" against the catalogue", p.Gain.Value, -mostGain, mostGain, "stops"); err != nil {
			return err
		}
	}
	for _, h := range c.Heads {
		for _, err := range []error{
			unit.Within("light of "+h.ID+" against the catalogue", h.Efficacy.Value, -mostGain, mostGain, "stops"),
			unit.Within("high-speed-sync entry of "+h.ID, h.Entry.Value, 0, 8, "stops"),
			unit.Within("power step of "+h.ID, h.Slope.Value, 0.5, 2, "stops"),
		} {
			if err != nil {
				return err
			}
		}
	}
	return nil
}

// Apply returns src as the calibration knows it: its power steps, its entry
// into high-speed sync, and either the measured guide number of the pair or
// what the head alone was found to give.
func (c Calibration) Apply(src flash.Source) flash.Source {
	for _, h := range c.Heads {
		if h.ID != src.Head.ID {
			continue
		}
		src.Head.PowerSlope = h.Slope.Value
		src.Head.Entry, src.Head.EntryError = unit.Stops(h.Entry.Value), unit.Stops(h.Entry.Error)
		src.Head.Efficacy, src.Head.Error = unit.Stops(h.Efficacy.Value), unit.Stops(h.Efficacy.Error)
		src.Head.Basis = "readings"
	}
	for _, p := range c.Pairs {
		if p.Head == src.Head.ID && p.Modifier == src.Modifier.ID {
			src.Measured = &flash.Measured{GN: p.GuideNumber, Distance: modifier.Reference, Error: unit.Stops(p.Gain.Error), Basis: "readings"}
		}
	}
	return src
}
