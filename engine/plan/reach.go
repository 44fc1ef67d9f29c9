package plan

import (
	"math"
	"slices"

	"hardnoon/engine/exposure"
	"hardnoon/engine/flash"
	"hardnoon/engine/unit"
)

// Question is one light at one distance under one sky, with the camera already
// set: does it reach?
type Question struct {
	Camera   Camera
	Settings exposure.Settings
	Source   flash.Source
	Distance unit.Length
	Power    unit.Stops // below full; 0 asks for the most it can do
	Ambient  unit.EV
	Error    unit.Stops // of the ambient reading
	Under    unit.Stops // how far the background is to lie below mid-tone
	Key      unit.Stops // level the flash alone has to reach
	Spares   []Spare
}

// Reached is the answer to a Question.
type Reached struct {
	Flash, Ambient, Total unit.Stops
	Margin, Error         unit.Stops
	LimitedBy             Limit
	Routes                []RouteMargin
	WaysOut               []WayOut
}

// RouteMargin is one route to the same look: the same background and the same
// key, at the asked aperture where the route leaves it free.
type RouteMargin struct {
	Route    Route
	Settings exposure.Settings
	Margin   unit.Stops
}

// ChangeKind names what a way out changes.
type ChangeKind int

const (
	ChangeRoute    ChangeKind = iota // take another route to the same look
	ChangeDistance                   // bring the light nearer
	ChangeSource                     // another modifier or head
	ChangeUnder                      // leave the background brighter
	ChangePower                      // turn it up
	ChangeExposure                   // the settings lie off the wish: expose for it
)

// WayOut is a change with what it gains and what is left then.
type WayOut struct {
	Kind     ChangeKind
	Route    Route
	Settings exposure.Settings // of ChangeRoute and ChangeExposure
	Distance unit.Length       // of ChangeDistance
	What     string            // of ChangeSource
	Under    unit.Stops        // of ChangeUnder
	Gain     unit.Stops
	Margin   unit.Stops
}

// slack is how far a background may lie above its wish before it counts as too
// bright: half a click of a third-stop dial.
const slack = unit.Stop / 6

// Reach answers q.
//
// The margin is the flash alone against the key level; where the background is
// brighter than wished at these settings, it is the lesser of that and what the
// background is off.
//
// Errors: *unit.RangeError.
func Reach(q Question) (Reached, error) {
	q.Camera = q.Camera.orUsual()
	for _, err := range []error{
		q.Settings.Check(),
		unit.Within("distance", float64(q.Distance), 0.1, 200, "m"),
		unit.Within("power", float64(q.Power), -float64(max(q.Source.Head.Range, 1)), 0, "stops"),
		unit.Within("ambient level", float64(q.Ambient), -10, 20, "EV"),
		unit.Within("stops under", float64(q.Under), -6, 10, "stops"),
		unit.Within("key level", float64(q.Key), -6, 6, "stops"),
		unit.Within("sync speed", float64(q.Camera.Sync), 1e-5, 1, "s"),
	} {
		if err != nil {
			return Reached{}, err
		}
	}
	r := Reached{Ambient: q.Settings.AmbientStops(q.Ambient)}
	var loss unit.Stops
	loss, r.LimitedBy = Loss(q.Camera, q.Source, q.Settings.Shutter)
	r.Flash = q.Settings.FlashStops(q.Source.Exposure(q.Distance, q.Power)) - loss
	r.Total = exposure.Sum(r.Flash, r.Ambient)
	r.Error = q.error(r.LimitedBy)
	r.Margin = r.Flash - q.Key
	off := r.Ambient + q.Under // above 0 the background is too bright here
	if off > slack && -off < r.Margin {
		r.Margin, r.LimitedBy = -off, BySync
	}
	r.Routes = q.routes()
	r.WaysOut = q.waysOut(r, off)
	return r, nil
}

func (q Question) error(l Limit) unit.Stops {
	e := math.Hypot(float64(q.Source.Error()), float64(q.Error))
	if l == ByHighSpeedPower {
		e = math.Hypot(e, float64(q.Source.Head.EntryError))
	}
	return unit.Stops(e)
}

// margin returns what q's light has to spare at settings s.
func (q Question) margin(s exposure.Settings) unit.Stops {
	loss, _ := Loss(q.Camera, q.Source, s.Shutter)
	return s.FlashStops(q.Source.Exposure(q.Distance, q.Power)) - loss - q.Key
}

// place returns s with the shutter that puts the background where it is
// wished, on the nearest click.
func (q Question) place(s exposure.Settings) exposure.Settings {
	s.Shutter = 1
	stops := float64(q.Ambient.Add(q.Under).Sub(s.EV100()))
	click := float64(q.Camera.Dial.Stops())
	s.Shutter = exposure.Shutter(math.Exp2(-math.Round(stops/click) * click))
	return s
}

// routes returns every route to q's look that this camera has.
func (q Question) routes() []RouteMargin {
	c := q.Camera
	add := func(r Route, s exposure.Settings, out []RouteMargin) []RouteMargin {
		if s.Shutter < c.Fastest*0.99 || s.Shutter > c.Slowest*1.01 {
			return out
		}
		return append(out, RouteMargin{r, s, q.margin(s)})
	}
	var out []RouteMargin
	open := exposure.Settings{FNumber: q.Settings.FNumber, ISO: q.Settings.ISO}
	free := q.place(open)
	if c.Kind == LeafOrGlobal {
		return add(Leaf, free, out)
	}
	// Stop down: sync speed, and the aperture takes the background down.
	down := exposure.Settings{Shutter: c.Sync, ISO: open.ISO, FNumber: 1}
	click := float64(c.Dial.Stops())
	n := math.Round(float64(q.Ambient.Add(q.Under).Sub(down.EV100()))/click) * click
	down.FNumber = exposure.FNumber(math.Exp2(n / 2))
	if down.FNumber >= 1 && down.FNumber <= 64 {
		out = add(StopDown, down, out)
	}
	// ND: a filter of whole stops brings the shutter back to sync or just below.
	atSync := open
	atSync.Shutter = c.Sync
	if x := float64(q.Ambient.Add(q.Under).Sub(atSync.EV100())); x > float64(slack) {
		filtered := open
		filtered.ND = unit.Stops(math.Ceil(x - float64(slack)))
		if filtered.ND <= 10 {
			filtered = q.place(filtered)
			filtered.Shutter = max(filtered.Shutter, c.Sync)
			out = add(ND, filtered, out)
		}
	}
	if free.Shutter*1.01 < c.Sync {
		out = add(HighSpeed, free, out)
	}
	slices.SortStableFunc(out, func(a, b RouteMargin) int {
		switch {
		case a.Margin > b.Margin:
			return -1
		case a.Margin < b.Margin:
			return 1
		}
		return 0
	})
	return out
}

// worthSaying is the least gain a way out is listed for.
const worthSaying = unit.Stop / 5

func (q Question) waysOut(r Reached, off unit.Stops) []WayOut {
	if r.Margin >= unit.Stops(math.Max(0.3, float64(r.Error))) {
		return nil
	}
	var out []WayOut
	list := func(w WayOut, margin unit.Stops) {
		w.Margin, w.Gain = margin, margin-r.Margin
		if w.Gain >= worthSaying {
			out = append(out, w)
		}
	}
	if q.Power < 0 {
		full := q
		full.Power = 0
		list(WayOut{Kind: ChangePower}, full.withOff(q.Settings, off))
	}
	for _, route := range r.Routes {
		if same(route.Settings, q.Settings) {
			continue
		}
		kind := ChangeRoute
		if route.Route == HighSpeed { // the same route, exposed for the wish
			kind = ChangeExposure
		}
		list(WayOut{Kind: kind, Route: route.Route, Settings: route.Settings}, route.Margin)
	}
	for _, s := range q.Spares {
		other := q
		other.Source = s.Source
		list(WayOut{Kind: ChangeSource, What: s.What}, other.withOff(q.Settings, off))
	}
	if nearer := unit.Length(math.Floor(float64(q.Distance)*0.85*10) / 10); nearer >= 0.8 {
		other := q
		other.Distance = nearer
		list(WayOut{Kind: ChangeDistance, Distance: nearer}, other.withOff(q.Settings, off))
	}
	if q.Under >= 1 {
		other := q
		other.Under--
		s := other.place(q.Settings)
		if s.Shutter > q.Camera.Sync*1.01 || q.Camera.Kind == LeafOrGlobal {
			// No high-speed sync to win from: open the aperture instead.
			s = q.Settings
			s.FNumber = exposure.FNumber(math.Max(1, float64(s.FNumber)/math.Sqrt2))
		}
		list(WayOut{Kind: ChangeUnder, Under: other.Under}, other.withOff(s, s.AmbientStops(q.Ambient)+other.Under))
	}
	return out
}

// withOff is Reach's margin at settings s with the background off by off.
func (q Question) withOff(s exposure.Settings, off unit.Stops) unit.Stops {
	m := q.margin(s)
	if off > slack {
		m = min(m, -off)
	}
	return m
}

func same(a, b exposure.Settings) bool {
	near := func(x, y float64) bool { return math.Abs(math.Log2(x/y)) < 0.02 }
	return near(float64(a.FNumber), float64(b.FNumber)) && near(float64(a.Shutter), float64(b.Shutter)) &&
		near(float64(a.ISO), float64(b.ISO)) && math.Abs(float64(a.ND-b.ND)) < 0.02
}

// waysOut returns what helps a plan that is short, the cheapest first: another
// route, a nearer light, another source, a brighter background.
func (p *Problem) waysOut(best Answer) []WayOut {
	var out []WayOut
	tooStrong := best.Margin < 0 && best.LimitedBy == ByLowestPower
	list := func(w WayOut, margin unit.Stops) {
		if tooStrong { // more power than is wanted is no gain there
			margin = min(margin, 0)
		}
		w.Margin, w.Gain = margin, margin-best.Margin
		if w.Gain >= worthSaying {
			out = append(out, w)
		}
	}
	// The same aperture by each route.
	pinned := *p
	pinned.Look.Widest, pinned.Look.Narrowest = best.Settings.FNumber, best.Settings.FNumber
	routes := map[Route]Answer{}
	most := func(p *Problem) (Answer, bool) {
		var top Answer
		found := false
		p.candidates(func(a Answer) {
			if !found || a.Margin > top.Margin {
				top, found = a, true
			}
		})
		return top, found
	}
	pinned.candidates(func(a Answer) {
		if b, ok := routes[a.Route]; !ok || a.Margin > b.Margin {
			routes[a.Route] = a
		}
	})
	for _, r := range []Route{StopDown, ND, HighSpeed, Leaf} {
		if a, ok := routes[r]; ok && !same(a.Settings, best.Settings) {
			list(WayOut{Kind: ChangeRoute, Route: r, Settings: a.Settings}, a.Margin)
		}
	}
	at := *p
	at.Look.Widest, at.Look.Narrowest = best.Settings.FNumber, best.Settings.FNumber
	at.Camera.ISOMin, at.Camera.ISOMax = best.Settings.ISO, best.Settings.ISO
	short := 0
	for i, l := range best.Lights {
		if l.Margin < best.Lights[short].Margin {
			short = i
		}
	}
	// The light that is short, nearer than asked; the one that cannot be turned
	// down, as far off as makes up for it.
	d := best.Lights[short].Distance * 0.8
	if tooStrong {
		l := best.Lights[short]
		d = unit.Length(math.Ceil(float64(l.Distance)*math.Exp2(float64(l.Level-l.Wanted)/2)*10) / 10)
	}
	if d >= 0.8 && d <= 100 {
		nearer := at
		nearer.Lights, nearer.far = slices.Clone(p.Lights), nil
		nearer.Lights[short].Wanted, nearer.Lights[short].Min = d, min(d, p.Lights[short].Min)
		nearer.Lights[short].Max = max(d, nearer.Lights[short].Min)
		if a, ok := most(&nearer); ok {
			list(WayOut{Kind: ChangeDistance, What: p.Lights[short].Role.String(), Distance: d}, a.Margin)
		}
	}
	for _, s := range p.Spares {
		other := at
		other.Lights, other.far = slices.Clone(p.Lights), nil
		other.Lights[short].Source = s.Source
		if a, ok := most(&other); ok {
			list(WayOut{Kind: ChangeSource, What: s.What}, a.Margin)
		}
	}
	if p.Look.Under >= 1 {
		brighter := at
		brighter.Look.Under--
		if a, ok := most(&brighter); ok {
			list(WayOut{Kind: ChangeUnder, Under: brighter.Look.Under}, a.Margin)
		}
	}
	return out
}
