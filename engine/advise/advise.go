// Package advise answers what to turn when the light has changed: the fewest
// knobs that bring the background and the flash-lit side back to where they
// were, by the route in use.
//
// At sync speed and with a leaf shutter the shutter time moves the daylight
// alone, so one knob is enough while there is room. In high-speed sync it moves
// flash and daylight together, so the power follows by as many stops. Aperture,
// ISO and a filter always move both.
//
// Source: own derivation from the exposure equations, DESIGN §4.
package advise

import (
	"math"

	"hardnoon/engine/exposure"
	"hardnoon/engine/plan"
	"hardnoon/engine/unit"
)

// Knob is one thing to turn.
type Knob int

const (
	Shutter Knob = iota
	Power
	Aperture
	ISO
	Filter
	Distance
)

// Step is one knob turned, from one setting to the next.
type Step struct {
	Knob     Knob
	From, To exposure.Settings // for camera knobs
	Light    int               // for Power and Distance: index of the light
	FromPow  unit.Stops
	ToPow    unit.Stops
	Nearer   float64 // for Distance: the new over the old
}

// Advice is what to turn and what is left then.
type Advice struct {
	Steps      []Step
	Settings   exposure.Settings
	Powers     []unit.Stops // by light; may ask for more than full, see Short
	Nearer     []float64    // by light: its new distance over the old
	Route      plan.Route
	Background unit.Stops // where the background lies then
	Short      unit.Stops // how far the flash falls short after turning all; 0 or more
	Over       unit.Stops // how far a head at its lowest power gives too much then; 0 or more
	Strong     int        // index of that light
	Off        unit.Stops // how far the background stays off its old level
	Longer     unit.Stops // how many stops longer the shutter is open: more blur
}

// State is a camera and its lights as they are set now.
type State struct {
	Camera     plan.Camera
	Settings   exposure.Settings
	Lights     []plan.LightSetting
	Entry      []unit.Stops // high-speed sync entry cost of each light's head
	Range      []unit.Stops // power range of each light's head
	PowerStep  []unit.Stops
	More       []unit.Stops // by light: what a test frame asks of it, see More; nil for nothing
	Background unit.Stops
	Slowest    exposure.Shutter // longest time that still freezes; 0 for no wish
}

// Adjust returns what to turn when the daylight became change stops brighter.
//
// It tries the shutter first, then the shutter with the power, then what is
// left of the change by aperture and power; ISO comes last, and only for a
// darker scene.
//
// Errors: *unit.RangeError for a change beyond ±12 stops.
func Adjust(s State, change unit.Stops) (Advice, error) {
	if err := unit.Within("change of the daylight", float64(change), -12, 12, "stops"); err != nil {
		return Advice{}, err
	}
	a := Advice{Settings: s.Settings}
	click := float64(s.Camera.Dial.Stops())
	left := math.Round(float64(change)/click) * click // stops still to take away
	turn := func(k Knob, to exposure.Settings) {
		if to == a.Settings {
			return
		}
		a.Steps = append(a.Steps, Step{Knob: k, From: a.Settings, To: to})
		a.Settings = to
	}
	// Shutter: to sync where the flash does not follow, to the fastest where it does.
	to := a.Settings
	faster := room(float64(to.Shutter)/s.fastest(), click)
	slower := room(s.slowest()/float64(to.Shutter), click)
	if by := bound(left, -slower, faster); by != 0 {
		to.Shutter = exposure.Shutter(float64(to.Shutter) * math.Exp2(-by))
		left -= by
		turn(Shutter, to)
	}
	// What the shutter could not take: aperture for more light, ISO or aperture for less.
	if left > click/2 {
		to = a.Settings
		n := math.Min(float64(to.FNumber)*math.Exp2(left/2), 32)
		left -= roundTo(2*math.Log2(n/float64(to.FNumber)), click)
		to.FNumber = exposure.FNumber(n)
		turn(Aperture, to)
	}
	if left < -click/2 && a.Settings.ND > 0 {
		to = a.Settings
		off := float64(to.ND) // a filter comes off whole or not at all
		if off <= -left+click/2 {
			left += off
			to.ND = 0
			turn(Filter, to)
		}
	}
	if left < -click/2 {
		to = a.Settings
		iso := math.Min(float64(to.ISO)*math.Exp2(-left), math.Max(float64(s.Camera.ISOMax), float64(to.ISO)))
		left += roundTo(math.Log2(iso/float64(to.ISO)), click)
		to.ISO = exposure.ISO(iso)
		turn(ISO, to)
	}
	// The power makes up for all that the flash-lit side lost or won.
	for i, l := range s.Lights {
		d := s.flashMoved(a.Settings, s.Entry[i])
		want := l.Power - d
		p := want
		if s.PowerStep[i] > 0 {
			p = unit.Stops(roundTo(float64(want), float64(s.PowerStep[i])))
		}
		p = max(-s.Range[i], min(0, p))
		a.Short = max(a.Short, want-p)
		if over := p - want; over > a.Over {
			a.Over, a.Strong = over, i
		}
		nearer := 1.0
		if len(s.More) > 0 && s.More[i] != 0 {
			p, nearer = s.again(i, p)
		}
		a.Nearer = append(a.Nearer, nearer)
		if nearer != 1 {
			a.Steps = append(a.Steps, Step{Knob: Distance, Light: i, Nearer: nearer})
		}
		if math.Abs(float64(p-l.Power)) > float64(s.PowerStep[i])/2 {
			a.Steps = append(a.Steps, Step{Knob: Power, Light: i, FromPow: l.Power, ToPow: p})
		}
		a.Powers = append(a.Powers, p)
	}
	if a.Short < unit.Stops(click)/2 {
		a.Short = 0
	}
	if a.Over < unit.Stops(click)/2 {
		a.Over = 0
	}
	a.Route = s.route(a.Settings)
	moved := s.Settings.EV100().Sub(a.Settings.EV100()) // + lets more light in
	a.Background = s.Background + change + moved
	a.Off = a.Background - s.Background
	a.Longer = unit.StopsOf(float64(a.Settings.Shutter / s.Settings.Shutter))
	return a, nil
}

// fastest is the shortest time the shutter may take while it stays on its side
// of sync speed: one that is slower than sync stays so, since crossing it costs
// the entry. Without a flash there is nothing to cross.
func (s State) fastest() float64 {
	c := usual(s.Camera)
	if len(s.Lights) > 0 && c.Kind == plan.FocalPlane && float64(s.Settings.Shutter) >= float64(c.Sync)*0.99 {
		return float64(c.Sync)
	}
	return float64(c.Fastest)
}

func (s State) slowest() float64 {
	c := usual(s.Camera)
	if s.Slowest > 0 {
		return math.Max(float64(s.Slowest), float64(s.Settings.Shutter))
	}
	return float64(c.Slowest)
}

// usual fills what the plan would have filled.
func usual(c plan.Camera) plan.Camera {
	if c.Sync == 0 {
		c.Sync = 1.0 / 256
	}
	if c.Fastest == 0 {
		c.Fastest = 1.0 / 8192
	}
	if c.Slowest == 0 {
		c.Slowest = 1.0 / 32
	}
	if c.ISOMax == 0 {
		c.ISOMax = 3200
	}
	return c
}

func (s State) route(x exposure.Settings) plan.Route {
	switch {
	case len(s.Lights) == 0:
		return plan.NoFlash
	case s.Camera.Kind == plan.LeafOrGlobal:
		return plan.Leaf
	case float64(x.Shutter)*1.01 < float64(usual(s.Camera).Sync):
		return plan.HighSpeed
	case x.ND > 0:
		return plan.ND
	}
	return plan.StopDown
}

// flashMoved returns how many stops brighter the flash lands at settings to
// than now, at the same power and distance.
func (s State) flashMoved(to exposure.Settings, entry unit.Stops) unit.Stops {
	c := usual(s.Camera)
	loss := func(x exposure.Settings) unit.Stops {
		if s.route(x) != plan.HighSpeed {
			return 0
		}
		return entry + unit.StopsOf(float64(c.Sync/x.Shutter))
	}
	level := func(x exposure.Settings) unit.Stops { return x.FlashStops(1) - loss(x) }
	return level(to) - level(s.Settings)
}

// room returns how many stops of whole clicks a ratio of times leaves.
func room(ratio, click float64) float64 {
	return math.Max(0, math.Floor(math.Log2(ratio)/click+0.01)*click)
}

func bound(x, lo, hi float64) float64 { return math.Min(math.Max(x, lo), hi) }

func roundTo(x, step float64) float64 { return math.Round(x/step) * step }
