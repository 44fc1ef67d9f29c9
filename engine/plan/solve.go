package plan

import (
	"math"
	"slices"

	"hardnoon/engine/exposure"
	"hardnoon/engine/unit"
)

// What a photographer gives up, in stops of regret. Own judgement, no source:
// they order answers that all work, and never hide one.
const (
	regretShort    = 8.0  // a stop short of flash
	regretOff      = 3.0  // background a stop off
	regretAperture = 1.2  // aperture a stop from the wanted one
	regretISO      = 0.25 // a stop above base ISO: noise, and the head works less
	regretFilter   = 0.20 // the minutes to screw a filter on
	regretDark     = 0.35 // each stop of filter beyond four: autofocus and eyes
	regretHSS      = 0.40 // heat, entry cost, less certain
	regretBlur     = 1.0  // a stop slower than what freezes
	regretSlow     = 0.15 // a stop slower than sync: hands shake, and the sun gains on the flash
	regretFull     = 0.30 // each of the last two stops of power: recycle
	regretTight    = 1.0  // a margin within its own error
	regretSmall    = 0.5  // each stop beyond f/11: diffraction, dust, a sharp background
)

func (p *Problem) regret(a Answer) float64 {
	r := regretShort * math.Max(0, -float64(a.Margin))
	r += regretOff * math.Abs(float64(a.Background+p.Look.Under))
	r += regretTight * math.Max(0, 0.5-math.Max(0, float64(a.Margin)))
	if w := p.Look.Aperture; w > 0 {
		r += regretAperture * math.Abs(2*math.Log2(float64(a.Settings.FNumber/w)))
	}
	r += regretISO * math.Log2(float64(a.Settings.ISO/p.Camera.ISOMin))
	if a.Settings.ND > 0 {
		r += regretFilter + regretDark*math.Max(0, float64(a.Settings.ND)-4)
	}
	if a.Route == HighSpeed {
		r += regretHSS
	}
	if t := p.Look.Slowest; t > 0 {
		r += regretBlur * math.Max(0, math.Log2(float64(a.Settings.Shutter/t)))
	}
	r += regretSlow * math.Max(0, math.Log2(float64(a.Settings.Shutter/p.Camera.Sync)))
	for _, l := range a.Lights {
		r += regretFull * math.Max(0, 2+float64(l.Power)) / float64(len(a.Lights))
	}
	r += regretSmall * math.Max(0, 2*math.Log2(float64(a.Settings.FNumber)/11.3))
	return r
}

// candidates calls each for every dial position that places the background
// within half a click of the wish.
func (p *Problem) candidates(each func(Answer)) {
	c, l := p.Camera, p.Look
	half := float64(c.Dial.Stops()) / 2
	for _, nd := range append([]unit.Stops{0}, p.NDs...) {
		for _, iso := range exposure.ISOs(c.ISOMin, c.ISOMax, c.Dial) {
			for _, n := range exposure.FNumbers(l.Widest, l.Narrowest, c.Dial) {
				s := exposure.Settings{FNumber: n, Shutter: 1, ISO: iso, ND: nd}
				// EV of the settings must be the background's plus the stops under.
				t := math.Exp2(-float64(p.Daylight.Background.Add(l.Under).Sub(s.EV100())))
				click := math.Round(math.Log2(1/t)/float64(c.Dial.Stops())) * float64(c.Dial.Stops())
				s.Shutter = exposure.Shutter(math.Exp2(-click))
				if float64(s.Shutter) < float64(c.Fastest)*0.99 || float64(s.Shutter) > float64(c.Slowest)*1.01 {
					continue
				}
				if off := float64(s.AmbientStops(p.Daylight.Background) + l.Under); math.Abs(off) > half+1e-9 {
					continue
				}
				each(p.candidate(s))
			}
		}
	}
}

// Solve returns the best settings over all routes, the best of each other
// route, and what would help where the margin is short.
//
// Errors: *unit.RangeError for a problem that is none, *NoAnswerError where no
// dial position places the background.
func Solve(p Problem) (Result, error) {
	p.Camera = p.Camera.orUsual()
	if err := p.check(); err != nil {
		return Result{}, err
	}
	best := map[Route]Answer{}
	p.candidates(func(a Answer) {
		if b, ok := best[a.Route]; !ok || a.Score < b.Score {
			best[a.Route] = a
		}
	})
	if len(best) == 0 {
		return Result{}, p.noAnswer()
	}
	var r Result
	for _, a := range best {
		r.Routes = append(r.Routes, a)
	}
	slices.SortFunc(r.Routes, func(a, b Answer) int {
		switch {
		case a.Score < b.Score:
			return -1
		case a.Score > b.Score:
			return 1
		}
		return int(a.Route) - int(b.Route)
	})
	if w := p.Look.Route; w != nil {
		slices.SortStableFunc(r.Routes, func(a, b Answer) int { return wished(b, *w) - wished(a, *w) })
	}
	r.Best = r.Routes[0]
	if len(r.Routes) > 1 {
		r.RunnerUp = &r.Routes[1]
	}
	if len(p.Lights) > 0 && r.Best.Margin < unit.Stops(math.Max(0.3, float64(r.Best.Error))) {
		r.WaysOut = p.waysOut(r.Best)
	}
	if t := p.Look.Slowest; t > 0 && r.Best.Settings.Shutter > t*1.1 {
		r.Weaker = p.weaker(r.Best)
	}
	return r, nil
}

// weaker returns what could be set if the heads went down without end, where
// that takes half a stop or more off a shutter that smears; nil elsewhere.
func (p *Problem) weaker(best Answer) *Weaker {
	free := *p
	free.Lights, free.far = slices.Clone(p.Lights), nil
	for i := range free.Lights {
		free.Lights[i].Source.Head.Range = 30
	}
	top, found := Answer{}, false
	free.candidates(func(a Answer) {
		if !found || a.Score < top.Score {
			top, found = a, true
		}
	})
	w := &Weaker{Settings: top.Settings}
	for i, l := range top.Lights {
		wanted := p.Look.level(l.Role)
		lowest := l.Level - p.Lights[i].Source.Head.Range - l.Power
		daylight := unit.StopsOf(math.Max(l.Total.Ratio()-l.Level.Ratio(), 1e-9))
		by := lowest - max(l.Level, wanted-3) // three below the level it hardly shows
		if over := exposure.Sum(daylight, lowest) - wanted; by > w.By && over > unit.Stop/6 {
			w.Light, w.By, w.Distance = i, by, l.Distance
		}
	}
	if w.By == 0 || unit.StopsOf(float64(best.Settings.Shutter/top.Settings.Shutter)) < 0.5 {
		return nil
	}
	w.Distance = unit.Length(float64(w.Distance) * math.Exp2(float64(w.By)/2))
	return w
}

// wished is 1 for an answer by route w, else 0.
func wished(a Answer, w Route) int {
	if a.Route == w {
		return 1
	}
	return 0
}

func (p *Problem) noAnswer() error {
	c, l := p.Camera, p.Look
	var most unit.Stops
	for _, nd := range p.NDs {
		most = max(most, nd)
	}
	dark := exposure.Settings{FNumber: l.Narrowest, Shutter: c.Fastest, ISO: c.ISOMin, ND: most}
	light := exposure.Settings{FNumber: l.Widest, Shutter: c.Slowest, ISO: c.ISOMax}
	return &NoAnswerError{p.Daylight.Background, l.Under, dark.AmbientStops(p.Daylight.Background), light.AmbientStops(p.Daylight.Background)}
}
