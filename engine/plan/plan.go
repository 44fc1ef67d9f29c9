// Package plan answers whether a wanted picture can be made with the lights at
// hand, how the camera and the lights are then set, how much is left, and what
// turns a "no" into a "yes".
//
// It is the solver for one setup. Exposure is linear in light, so for each
// candidate of f-number, ISO and filter the shutter follows from the wanted
// background and the power of each light follows from its wanted level; what
// remains is to walk the dials and to rank. Levels are stops relative to
// mid-tone, power is stops relative to a full pop.
//
// What it may never forget: in high-speed sync a shorter shutter time takes
// flash and sun down together; the aperture, the ISO and a filter never change
// the ratio of flash to sun; distance, modifier, energy and the shutter at sync
// speed do.
//
// Left out: where a light may stand (scene), what it costs in minutes (order).
// Source: DESIGN §4; [ISO2720] for the exposure equations.
package plan

import (
	"fmt"
	"math"

	"hardnoon/engine/exposure"
	"hardnoon/engine/flash"
	"hardnoon/engine/unit"
)

// Role is what a light is for.
type Role int

const (
	Key Role = iota
	Edge
	Fill
)

func (r Role) String() string { return [...]string{"key", "edge", "fill"}[r] }

// Route is how flash and sun are told apart.
type Route int

const (
	StopDown  Route = iota // at sync speed or slower, no filter
	ND                     // at sync speed or slower, through a neutral density filter
	HighSpeed              // faster than sync, the flash burning through the slit's travel
	Leaf                   // a leaf or global shutter, one pop at any speed
	NoFlash                // no flash in use: any speed is as good as another
)

func (r Route) String() string {
	return [...]string{"stop down at sync", "ND at sync", "high-speed sync", "leaf or global shutter", "daylight alone"}[r]
}

// ShutterKind is how a camera's shutter uncovers the frame.
type ShutterKind int

const (
	FocalPlane ShutterKind = iota
	LeafOrGlobal
)

// Camera is what the body can be set to. Zero times and speeds take the usual:
// 1/250 sync, 1/8000 fastest, ISO 100 to 3200.
type Camera struct {
	Sync, Fastest, Slowest exposure.Shutter
	Kind                   ShutterKind
	ISOMin, ISOMax         exposure.ISO
	Dial                   exposure.Step
}

func (c Camera) orUsual() Camera {
	set(&c.Sync, 1.0/256)
	set(&c.Fastest, 1.0/8192)
	set(&c.Slowest, 1.0/32)
	set(&c.ISOMin, 100)
	set(&c.ISOMax, 3200)
	return c
}

func set[T ~float64](x *T, usual T) {
	if *x == 0 {
		*x = usual
	}
}

// Light is one light of the setup. A zero Wanted distance leaves it to the
// solver between Min and Max.
type Light struct {
	Role             Role
	Source           flash.Source
	Wanted, Min, Max unit.Length
}

// Daylight is the light that is not ours, as levels an incident meter shows.
type Daylight struct {
	Background unit.EV // the level the background is placed by
	Face       unit.EV // on the side of the subject that the key lights; math.Inf(-1) to ignore it
	Side       unit.EV // on the side the edge light rims; math.Inf(-1) to ignore it
	Error      unit.Stops
}

// Look is the wanted picture. Levels are stops relative to mid-tone, light by
// light with the daylight that falls on the same side.
type Look struct {
	Under           unit.Stops // how far the background lies below mid-tone
	Key, Edge, Fill unit.Stops
	Aperture        exposure.FNumber // wanted; 0 leaves it open
	Widest          exposure.FNumber // least f-number allowed, by lens and depth
	Narrowest       exposure.FNumber
	Slowest         exposure.Shutter // longest time that freezes the daylight part; 0 for no wish
	Route           *Route           // the way the person wants to work; nil leaves it to the score
}

func (l Look) level(r Role) unit.Stops { return [...]unit.Stops{l.Key, l.Edge, l.Fill}[r] }

// Problem is one setup under one sky.
type Problem struct {
	Camera   Camera
	NDs      []unit.Stops // filters in the bag, each alone
	Lights   []Light
	Daylight Daylight
	Look     Look
	// Spares are other ways to make the key's light that the kit allows.
	Spares []Spare

	far []unit.LuxSecond // see atFar
}

// atFar returns the luminous exposure of a full pop of light i where the solver
// begins: at its wanted distance, else its farthest.
func (p *Problem) atFar(i int) unit.LuxSecond {
	if len(p.far) != len(p.Lights) { // a problem made by hand, as for a way out
		p.far = make([]unit.LuxSecond, len(p.Lights))
		for j, l := range p.Lights {
			p.far[j] = l.Source.Exposure(firstOf(l.Wanted, l.Max), 0)
		}
	}
	return p.far[i]
}

// Spare is a source the kit could put in the key's place.
type Spare struct {
	What   string
	Source flash.Source
}

// LightSetting is one light as the answer sets it.
type LightSetting struct {
	Role     Role
	Distance unit.Length
	Power    unit.Stops // below full, in the head's steps; never above 0
	Level    unit.Stops // of this flash alone, at Power
	Total    unit.Stops // with the daylight on the same side
	Wanted   unit.Stops // of this flash alone
	Margin   unit.Stops // to spare at this distance; negative is short
	Error    unit.Stops
}

// Answer is one way to set everything.
type Answer struct {
	Route      Route
	Settings   exposure.Settings
	Lights     []LightSetting
	Background unit.Stops
	Margin     unit.Stops // the least of the lights'
	Error      unit.Stops // of the margin, one standard deviation
	LimitedBy  Limit
	Score      float64 // stops of regret; less is better
}

// Limit is what stands between a plan and a larger margin.
type Limit int

const (
	ByPower          Limit = iota // flash power in a normal pop
	ByHighSpeedPower              // flash power in high-speed sync
	BySync                        // the background is too bright at this exposure
	ByDaylight                    // daylight alone is brighter than the wanted level
	ByLowestPower                 // the head cannot be turned down far enough
	ByPulse                       // the shutter closes before the pop is over
)

func (l Limit) String() string {
	return [...]string{"flash power", "flash power in high-speed sync", "background too bright at this exposure",
		"daylight brighter than the wanted level", "lowest power of the head", "shutter shorter than the pop"}[l]
}

// Result is the answer, the best of another route, and for a "no" what would
// help.
type Result struct {
	Best     Answer
	RunnerUp *Answer
	Routes   []Answer // best of each route that exists: the wished one, then best first
	WaysOut  []WayOut
	Weaker   *Weaker // nil where the heads can be turned down far enough
}

// Weaker is what a head that went lower would make possible: a faster shutter,
// with a higher ISO or in high-speed sync.
type Weaker struct {
	Settings exposure.Settings
	Light    int         // index of the light that is most too strong
	By       unit.Stops  // below its lowest power
	Distance unit.Length // where its lowest power is as weak, by the inverse square
}

// NoAnswerError reports that no dial position places the background as wanted.
type NoAnswerError struct {
	Background unit.EV
	Under      unit.Stops
	Least      unit.Stops // the least and the most the camera could do, stops relative to mid-tone
	Most       unit.Stops
}

func (e *NoAnswerError) Error() string {
	return fmt.Sprintf("no setting places a background of EV %.1f %.1f stops under; this camera and these filters reach %+.1f to %+.1f",
		float64(e.Background), float64(e.Under), float64(e.Least), float64(e.Most))
}

func (p *Problem) check() error {
	l := p.Look
	for _, err := range []error{
		unit.Within("background level", float64(p.Daylight.Background), -10, 20, "EV"),
		unit.Within("stops under", float64(l.Under), -6, 10, "stops"),
		unit.Within("key level", float64(l.Key), -6, 6, "stops"),
		unit.Within("edge level", float64(l.Edge), -6, 6, "stops"),
		unit.Within("widest aperture", float64(l.Widest), 0.5, 128, ""),
		unit.Within("narrowest aperture", float64(l.Narrowest), float64(l.Widest), 128, ""),
		unit.Within("sync speed", float64(p.Camera.Sync), 1e-5, 1, "s"),
		unit.Within("fastest shutter", float64(p.Camera.Fastest), 1e-6, float64(p.Camera.Sync), "s"),
		unit.Within("slowest shutter", float64(p.Camera.Slowest), float64(p.Camera.Sync), 30, "s"),
		unit.Within("lowest ISO", float64(p.Camera.ISOMin), 1, 1e6, ""),
		unit.Within("highest ISO", float64(p.Camera.ISOMax), float64(p.Camera.ISOMin), 1e7, ""),
		unit.Within("number of lights", float64(len(p.Lights)), 0, 40, ""),
	} {
		if err != nil {
			return err
		}
	}
	for _, x := range p.Lights {
		if err := unit.Within(x.Role.String()+" nearest distance", float64(x.Min), 0.2, 100, "m"); err != nil {
			return err
		}
		if err := unit.Within(x.Role.String()+" farthest distance", float64(x.Max), float64(x.Min), 100, "m"); err != nil {
			return err
		}
		if x.Wanted != 0 {
			if err := unit.Within(x.Role.String()+" distance", float64(x.Wanted), float64(x.Min), float64(x.Max), "m"); err != nil {
				return err
			}
		}
	}
	return nil
}

// Loss returns how many stops of a normal pop src loses at shutter time t on
// camera c, by which route, and what limits it.
//
// Through a leaf or global shutter the loss is the tail of the pop that falls
// outside the open time; behind a focal-plane shutter faster than sync it is
// entry + log2(Tsync/T), and at sync and slower nothing: some long pops are cut
// there too, by 0 to 1 stop in published readings, too uneven to predict.
func Loss(c Camera, src flash.Source, t exposure.Shutter) (unit.Stops, Limit) {
	const click = 1.01 // a dial value computed from its label
	if c.Kind == FocalPlane && t*click < c.Sync {
		return flash.HighSpeedLoss(src.Head.Entry, c.Sync, t), ByHighSpeedPower
	}
	if c.Kind == LeafOrGlobal {
		if l := src.Head.ClippingLoss(0, t, 0); l > 0.05 {
			return l, ByPulse
		}
	}
	return 0, ByPower
}

// candidate solves everything at one f-number, ISO, filter and shutter.
func (p *Problem) candidate(s exposure.Settings) Answer {
	a := Answer{Settings: s, Background: s.AmbientStops(p.Daylight.Background), Margin: unit.Stops(math.Inf(1))}
	high := p.Camera.Kind == FocalPlane && s.Shutter*1.01 < p.Camera.Sync
	switch {
	case len(p.Lights) == 0:
		a.Route = NoFlash
	case p.Camera.Kind == LeafOrGlobal:
		a.Route = Leaf
	case high:
		a.Route = HighSpeed
	case s.ND > 0:
		a.Route = ND
	}
	for i, l := range p.Lights {
		ls, limit := p.light(l, p.atFar(i), s)
		if ls.Margin < a.Margin {
			a.Margin, a.LimitedBy, a.Error = ls.Margin, limit, ls.Error
		}
		a.Lights = append(a.Lights, ls)
	}
	if len(p.Lights) == 0 { // daylight alone asks nothing of any light
		a.Margin = 0
	}
	a.Error = unit.Stops(math.Hypot(float64(a.Error), float64(p.Daylight.Error)))
	a.Score = p.regret(a)
	return a
}

// light sets one light: at its wanted distance if that works, else nearer, or
// further back where it cannot be turned down enough.
//
// far is the luminous exposure of a full pop at the wanted or farthest distance:
// it is the same for every candidate.
func (p *Problem) light(l Light, far unit.LuxSecond, s exposure.Settings) (LightSetting, Limit) {
	daylight := p.Daylight.Face
	if l.Role == Edge {
		daylight = p.Daylight.Side
	}
	there := s.AmbientStops(daylight)
	wanted := p.Look.level(l.Role)
	// The flash supplies what daylight leaves open.
	need := unit.StopsOf(wanted.Ratio() - there.Ratio())
	loss, limit := Loss(p.Camera, l.Source, s.Shutter)
	ls := LightSetting{Role: l.Role, Wanted: need, Error: l.Source.Error()}
	if limit == ByHighSpeedPower {
		ls.Error = unit.Stops(math.Hypot(float64(ls.Error), float64(l.Source.Head.EntryError)))
	}
	start := firstOf(l.Wanted, l.Max)
	full := func(d unit.Length) unit.Stops {
		if d == start {
			return s.FlashStops(far) - loss
		}
		return s.FlashStops(l.Source.Exposure(d, 0)) - loss
	}
	if math.IsNaN(float64(need)) || need < -6 {
		// Daylight alone is at or over the level: the light has nothing to add.
		ls.Distance = start
		ls.Power, ls.Wanted = -l.Source.Head.Range, unit.Stops(math.Inf(-1))
		ls.Level = full(ls.Distance) + ls.Power
		ls.Total = exposure.Sum(there, ls.Level)
		if l.Role != Key {
			// A rim that the sun draws is a rim, a shadow that the sky fills is
			// filled: nothing is short, and what the flash could do alone is what it
			// has to spare.
			ls.Margin = max(0, full(start)-wanted)
			return ls, limit
		}
		ls.Margin = wanted - there
		return ls, ByDaylight
	}
	// Where the distance is ours to choose, half power: twice the recycle speed,
	// and room for what the figures do not know. Own judgement.
	const comfort = 1.0
	d := start
	if l.Wanted == 0 || full(d) < need {
		h := s.FlashFor(need + loss + comfort)
		d = min(max(l.Source.DistanceFor(h, 0), l.Min), d)
	}
	lowest, most := -l.Source.Head.Range, full(d)
	if most+lowest > need {
		h := s.FlashFor(need + loss)
		d = min(max(l.Source.DistanceFor(h, lowest), d), l.Max)
		most = full(d)
	}
	ls.Distance = d
	ls.Margin = most - need
	ls.Power = clicked(need-most, l.Source.Head.Step, lowest)
	ls.Level = most + ls.Power
	ls.Total = exposure.Sum(there, ls.Level)
	// Too strong is what comes out too bright, daylight and all: beside much
	// daylight a flash may give more than it was asked and do no harm.
	if over := exposure.Sum(there, most+lowest) - wanted; over > 1.0/6 {
		ls.Margin, limit = -over, ByLowestPower
	}
	return ls, limit
}

func firstOf(a, b unit.Length) unit.Length {
	if a > 0 {
		return a
	}
	return b
}

// clicked rounds a power to the head's steps between lowest and full.
func clicked(power, step, lowest unit.Stops) unit.Stops {
	if step <= 0 {
		step = unit.Stop / 3
	}
	return max(lowest, min(0, unit.Stops(math.Round(float64(power/step)))*step))
}
