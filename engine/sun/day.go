package sun

import (
	"math"
	"time"

	"hardnoon/engine/unit"
)

// Altitudes of the sun's centre, without atmosphere and seen from the centre of
// the Earth, that end the day and the twilights.
//
// Source: [SPA2008] appendix A.2 for sunrise (34′ of refraction and 16′ of
// semidiameter); the twilights by definition.
var (
	AtSunrise    = -0.8333 * unit.Degree
	Civil        = -6 * unit.Degree
	Nautical     = -12 * unit.Degree
	Astronomical = -18 * unit.Degree
)

// Span is the time between the sun's rising through an altitude and its sinking
// through it on one date. Either end is nil where the date has none.
type Span struct{ Begin, End *time.Time }

// Day holds what the sun does on one local date.
type Day struct {
	From, To     time.Time  // local midnight to the next
	Sun          Span       // sunrise, sunset
	Civil        Span       // dawn, dusk
	Nautical     Span       //
	Astronomical Span       //
	Noon         *time.Time // the sun crosses the meridian; nil if it does so on neighbouring dates only
	Highest      time.Time
	AtHighest    Position
	PolarDay     bool // up the whole date
	PolarNight   bool // below the horizon the whole date
}

// DayOf returns what the sun does on the date that t falls on in its own
// location. Where a date has two sunrises, as close to polar day, Sun.Begin is
// the last one before noon and Sun.End the first sunset after it.
//
// Error: a second on the definition; real refraction moves sunrise and sunset
// by a minute or more, a hill by much more (see Skyline).
func DayOf(t time.Time, o Observer) (Day, error) {
	k, err := NewTrack(o)
	if err != nil {
		return Day{}, err
	}
	year, month, date := t.Date()
	d := Day{
		From: time.Date(year, month, date, 0, 0, 0, 0, t.Location()),
		To:   time.Date(year, month, date+1, 0, 0, 0, 0, t.Location()),
	}
	for _, end := range []time.Time{d.From, d.To.Add(-1)} {
		if err := checkTime(end); err != nil {
			return Day{}, err
		}
	}
	for _, c := range signChanges(d.From, d.To, step, k.afterNoon) {
		if c.Rising {
			d.Noon = &c.At
			break
		}
	}
	d.Sun = k.span(d, AtSunrise)
	d.Civil = k.span(d, Civil)
	d.Nautical = k.span(d, Nautical)
	d.Astronomical = k.span(d, Astronomical)
	if d.Sun == (Span{}) {
		d.PolarDay = k.altitude(d.From) > AtSunrise.Sin()
		d.PolarNight = !d.PolarDay
	}
	d.Highest = k.highest(d.From, d.To)
	d.AtHighest = k.at(d.Highest)
	return d, nil
}

func (k *Track) span(d Day, altitude unit.Angle) Span {
	level := altitude.Sin()
	var s Span
	for _, c := range signChanges(d.From, d.To, step, func(t time.Time) float64 { return k.altitude(t) - level }) {
		switch {
		case c.Rising && (s.Begin == nil || d.Noon != nil && !c.At.After(*d.Noon)):
			s.Begin = &c.At
		case !c.Rising && (s.End == nil || d.Noon != nil && s.End.Before(*d.Noon)):
			s.End = &c.At
		}
	}
	return s
}

// Crossing is an instant at which the sun passes a level.
type Crossing struct {
	At     time.Time
	Rising bool // comes from below
}

// Crossings returns when the sun's centre passes an altitude between two
// instants, in order. The altitude counts as in rise and set: without
// atmosphere, from the centre of the Earth, at most 0.0025° above the
// topocentric one.
func Crossings(o Observer, from, to time.Time, altitude unit.Angle) ([]Crossing, error) {
	k, err := trackBetween(o, from, to)
	if err != nil {
		return nil, err
	}
	if err := unit.Within("altitude", altitude.Degrees(), -90, 90, "°"); err != nil {
		return nil, err
	}
	level := altitude.Sin()
	return signChanges(from, to, step, func(t time.Time) float64 { return k.altitude(t) - level }), nil
}

// trackBetween checks an observer and a span of time.
func trackBetween(o Observer, from, to time.Time) (*Track, error) {
	for _, t := range []time.Time{from, to} {
		if err := checkTime(t); err != nil {
			return nil, err
		}
	}
	if err := unit.Within("length of time", to.Sub(from).Hours()/24, 0, 36525, "days"); err != nil {
		return nil, err
	}
	return NewTrack(o)
}

// step is how often a day is looked at for events; in forty minutes the altitude
// is all but a parabola, so between three looks there is one extreme at most.
const step = 20 * time.Minute

// signChanges returns the zeros of f between two instants, to a millisecond. A
// pair of zeros closer together than every is found where f has one extreme
// between them.
func signChanges(from, to time.Time, every time.Duration, f func(time.Time) float64) []Crossing {
	var out []Crossing
	look := func(a, b time.Time, fa, fb float64) {
		if (fa < 0) == (fb < 0) {
			return
		}
		rising := fa < 0
		for b.Sub(a) > time.Millisecond {
			mid := a.Add(b.Sub(a) / 2)
			if (f(mid) < 0) == rising {
				a = mid
			} else {
				b = mid
			}
		}
		out = append(out, Crossing{b, rising})
	}
	a, fa := from, f(from)
	before := math.NaN() // f one look before a
	for a.Before(to) {
		b := a.Add(every)
		if b.After(to) {
			b = to
		}
		fb := f(b)
		// An extreme on the other side of zero hides two crossings near a.
		if d := sameSide(before, fa, fb); d != 0 {
			lo := a.Add(-every)
			top := extreme(lo, b, func(t time.Time) float64 { return d * f(t) })
			if ft := f(top); (ft < 0) != (fa < 0) {
				if top.Before(a) {
					look(lo, top, before, ft)
					look(top, a, ft, fa)
				} else {
					look(a, top, fa, ft)
					a, fa = top, ft
				}
			}
		}
		look(a, b, fa, fb)
		before, a, fa = fa, b, fb
	}
	return out
}

// sameSide returns 1 when b is a highest and all three are negative, −1 when it
// is a lowest and none is, 0 otherwise.
func sameSide(a, b, c float64) float64 {
	switch {
	case a < 0 && b < 0 && c < 0 && b >= a && b >= c:
		return 1
	case a >= 0 && b >= 0 && c >= 0 && b <= a && b <= c:
		return -1
	}
	return 0
}

// extreme returns where f, which has one maximum between two instants, is
// highest, to a tenth of a second.
func extreme(a, b time.Time, f func(time.Time) float64) time.Time {
	const golden = 0.6180339887498949
	for b.Sub(a) > 100*time.Millisecond {
		cut := time.Duration(float64(b.Sub(a)) * golden)
		l, r := b.Add(-cut), a.Add(cut)
		if f(l) < f(r) {
			a = l
		} else {
			b = r
		}
	}
	return a.Add(b.Sub(a) / 2)
}

// highest returns when between two instants the sun stands highest.
func (k *Track) highest(from, to time.Time) time.Time {
	best, top := from, k.altitude(from)
	for t := from.Add(step); !t.After(to); t = t.Add(step) {
		if h := k.altitude(t); h > top {
			best, top = t, h
		}
	}
	a, b := best.Add(-step), best.Add(step)
	if a.Before(from) {
		a = from
	}
	if b.After(to) {
		b = to
	}
	return extreme(a, b, k.altitude)
}
