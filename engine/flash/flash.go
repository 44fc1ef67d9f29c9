// Package flash answers how much light a flash head puts on a subject, how long
// the pop lasts, what high-speed sync leaves of it, and how often it can fire.
//
// Power is in stops relative to a full pop: 0 full, −1 half. Light is luminous
// exposure on the axis, lx·s; a guide number is in metres at ISO 100 and full
// power. Distances run from the front of the modifier.
//
// Sources: [ISO2720] for the link between guide number and lx·s, [HSSTable] for
// high-speed sync, [BatteryHead] and others for what heads do. Left out: light
// bounced by walls (why a printed guide number is often too good), and how a
// hot head throttles over an hour.
package flash

import (
	"math"
	"time"

	"hardnoon/engine/exposure"
	"hardnoon/engine/modifier"
	"hardnoon/engine/unit"
)

// Head is one flash unit.
type Head struct {
	ID, Name string
	Energy   unit.Energy // of a full pop
	Range    unit.Stops  // from full to the least power
	Step     unit.Stops  // between two power settings

	// Efficacy is this head's light relative to what its modifier's K promises
	// for the energy; 0 is typical. Error is what is not known about it.
	Efficacy, Error unit.Stops

	// Printed is the guide number on the box, m, ISO 100, full power, and the
	// modifier it was taken with; 0 if there is none.
	Printed     float64
	PrintedWith string

	// PowerSlope is how many stops the light really changes for one stop on
	// the dial; 0 stands for 1.
	PowerSlope float64

	// Entry is what high-speed sync costs at the sync speed itself.
	Entry, EntryError unit.Stops
	HSSRange          unit.Stops // how far down from full high-speed sync works; 0: at full power only

	Recycle  time.Duration // after a full pop
	Pops     int           // full pops from one charge
	HeatPops int           // full pops in a row before it slows down or locks

	T05, T01 time.Duration // full power: time above 50 % and 10 % of the peak
	T01Least time.Duration // t0.1 at the least power
	Kind     PulseKind

	Window string // modifier class that stands for "bare": a speedlight's own lens
	Mass   unit.Mass

	Source, Basis string
}

// PulseKind is how a head makes less light.
type PulseKind int

const (
	IGBT              PulseKind = iota // cuts the pop short: faster at low power
	VoltageControlled                  // charges less: slower at low power
)

// Measured is a guide number somebody read, from print or from a meter. It
// stands for energy and class strength together.
type Measured struct {
	GN       float64     // m, ISO 100, full power
	Distance unit.Length // where it was taken; 0 stands for 2 m
	Error    unit.Stops
	Basis    string // "printed", "readings"
}

// Source is a head behind a modifier.
type Source struct {
	Head     Head
	Modifier modifier.Class
	Measured *Measured  // nil: from the catalogue
	Gel      unit.Stops // what a gel takes
}

// Class returns the modifier that shapes the light: the head's own lens for a
// bare speedlight.
func (s Source) Class() modifier.Class {
	if s.Modifier.ID == "bare" && s.Head.Window != "" {
		if c, ok := modifier.ByID(s.Head.Window); ok {
			return c
		}
	}
	return s.Modifier
}

// GuideNumber returns f-number times distance at ISO 100 and full power, as a
// reading at 2 m gives it, gel included.
//
//	GN = K·√(Ws)·2^(efficacy/2)
//
// Range: any head and class that pass Check. Error: see Source.Error.
// Source: [GNEnergy] for K.
func (s Source) GuideNumber() float64 {
	c := s.Class()
	gn := c.K * math.Sqrt(s.Head.Energy.WattSeconds()) * math.Exp2(float64(s.Head.Efficacy)/2)
	if s.asPrinted() {
		gn = s.Head.Printed
	}
	if m := s.Measured; m != nil {
		from := m.Distance
		if from <= 0 {
			from = modifier.Reference
		}
		// What was read at from, carried to the reference distance.
		gn = m.GN * math.Sqrt(c.NearField(modifier.Reference)/c.NearField(from))
	}
	return gn * math.Exp2(-float64(s.Gel)/2)
}

func (s Source) asPrinted() bool {
	return s.Head.Printed > 0 && s.Modifier.ID == s.Head.PrintedWith
}

// CandelaSeconds returns the luminous intensity of a full pop on the axis, as
// seen from far away.
//
//	I = 2.5·GN²    from H = C·N²/S with C = 250, less the near field at 2 m
//
// Source: [ISO2720].
func (s Source) CandelaSeconds() unit.CandelaSecond {
	gn := s.GuideNumber()
	return unit.CandelaSecond(gn * gn * unit.MeterC / 100 / s.Class().NearField(modifier.Reference))
}

// Exposure returns the luminous exposure on the axis at d of a normal pop.
//
//	H = 2.5·GN²·2^(slope·power)·near(d)/near(2 m)/d²
//
// Range: d > 0, −Range ≤ power ≤ 0.
// Source: [ISO2720]; the near field from package modifier.
func (s Source) Exposure(d unit.Length, power unit.Stops) unit.LuxSecond {
	x := d.Metres()
	i := float64(s.CandelaSeconds())
	return unit.LuxSecond(i * s.truePower(power).Ratio() * s.Class().NearField(d) / (x * x))
}

func (s Source) truePower(nominal unit.Stops) unit.Stops {
	if m := s.Head.PowerSlope; m > 0 {
		return nominal * unit.Stops(m)
	}
	return nominal
}

// PowerFor returns the setting that puts h on the axis at d: above 0 when a
// full pop is too little. Inverse of Exposure in power.
func (s Source) PowerFor(h unit.LuxSecond, d unit.Length) unit.Stops {
	p := unit.StopsOf(float64(h / s.Exposure(d, 0)))
	return p / s.truePower(1)
}

// DistanceFor returns how far away the light may stand to put h on the axis.
// It is 0 when no distance is near enough: a large even front has a greatest
// luminous exposure. Inverse of Exposure in distance.
func (s Source) DistanceFor(h unit.LuxSecond, power unit.Stops) unit.Length {
	i := float64(s.CandelaSeconds()) * s.truePower(power).Ratio()
	return s.Class().DistanceFor(i / float64(h))
}

// Part is one reason why a figure is uncertain.
type Part struct {
	What  string
	Stops unit.Stops
}

// ErrorParts returns what Error is made of.
func (s Source) ErrorParts() []Part {
	if m := s.Measured; m != nil {
		return []Part{{"guide number, " + m.Basis, m.Error}}
	}
	if s.asPrinted() {
		return []Part{{"guide number, printed", s.Head.Error}}
	}
	c := s.Class()
	return []Part{{"modifier class, " + c.Basis, c.KError}, {"head, " + s.Head.Basis, s.Head.Error}}
}

// Error returns the uncertainty of Exposure, to be used like one standard
// deviation: its parts added in quadrature. High-speed sync adds EntryError.
func (s Source) Error() unit.Stops {
	sum := 0.0
	for _, p := range s.ErrorParts() {
		sum += float64(p.Stops * p.Stops)
	}
	return unit.Stops(math.Sqrt(sum))
}

// HighSpeedLoss returns how many stops of flash high-speed sync costs at the
// shutter time t against a normal full pop.
//
//	loss = entry + log2(sync/t)
//
// Every stop of shutter is a stop of flash: flash and sun fall together.
// Range: any t for which the head flickers through; never below 0.
// Error: one printed table gives slope 1.00; one measured series does not
// follow it between 1/250 and 1/1000 by up to 1.4 stops. Entry carries that
// doubt until it is calibrated.
// Source: [HSSTable].
func HighSpeedLoss(entry unit.Stops, sync, t exposure.Shutter) unit.Stops {
	return max(0, entry+unit.StopsOf(float64(sync/t)))
}

// Check returns a *unit.RangeError for a head that nobody can build.
func (h Head) Check() error {
	for _, err := range []error{
		unit.Within("energy", h.Energy.WattSeconds(), 1, 10000, "Ws"),
		unit.Within("power range", float64(h.Range), 0, 14, "stops"),
		unit.Within("efficacy", float64(h.Efficacy), -6, 6, "stops"),
		unit.Within("its error", float64(h.Error), 0, 6, "stops"),
		unit.Within("power slope", h.PowerSlope, 0, 3, ""),
		unit.Within("high-speed sync entry", float64(h.Entry), 0, 8, "stops"),
		unit.Within("its error", float64(h.EntryError), 0, 6, "stops"),
		unit.Within("recycle time", h.Recycle.Seconds(), 0, 120, "s"),
	} {
		if err != nil {
			return err
		}
	}
	return nil
}
