package api

import (
	"fmt"
	"math"
	"strings"

	"hardnoon/engine/advise"
	"hardnoon/engine/exposure"
	"hardnoon/engine/flash"
	"hardnoon/engine/plan"
	"hardnoon/engine/unit"
	"hardnoon/session"
)

// Planned is one way to set camera and lights.
type Planned struct {
	Route string `json:"route"`
	SettingsJSON
	Background  float64     `json:"background_stops"` // where the background lies
	Lights      []LightJSON `json:"lights"`
	Margin      float64     `json:"margin_stops"`
	Uncertainty float64     `json:"uncertainty_stops"`
	LimitedBy   string      `json:"limited_by"`
	BlurPx      *float64    `json:"blur_px,omitempty"` // of the daylight part, by the speed the look names
}

// LightJSON is one light as set.
type LightJSON struct {
	Role      string   `json:"role"`
	Head      string   `json:"head"`
	Modifier  string   `json:"modifier"`
	DistanceM float64  `json:"distance_m"` // from the front of the modifier to the face, aslant
	GroundM   float64  `json:"ground_m"`   // along the ground, from below the front to below the face
	Paces     float64  `json:"paces"`      // of 0.75 m, along the ground
	AngleDeg  *float64 `json:"angle_deg,omitempty"`
	HeightM   *float64 `json:"height_m,omitempty"`
	Power     string   `json:"power"`
	PowerStop float64  `json:"power_stops"` // below full
	Level     float64  `json:"flash_stops"` // this flash alone, relative to mid-tone
	Total     float64  `json:"total_stops"` // with the daylight on that side
	Margin    float64  `json:"margin_stops"`
	RecycleS  float64  `json:"recycle_s"`
	Pops      int      `json:"pops_per_charge"`
	// What a change of light needs to know of the head.
	EntryStops float64 `json:"hss_entry_stops"`
	RangeStops float64 `json:"power_range_stops"`
	StepStops  float64 `json:"power_step_stops"`
}

// pace is one step of an adult, for measuring on the grass. From memory.
const pace = 0.75 * unit.Metre

// role says what a light of a setup is made of, beside what the solver needs.
type roleOf struct {
	head, modifier string // ids in the kit
	source         flash.Source
	angle          *float64
	height         float64     // m
	face           unit.Length // how high the face is that it lights
}

// usualHeight is how far above the face a light stands where nobody says. Common
// practice, no source.
const usualHeight = 0.6

// lightHeight returns how high a light of a setup hangs, in metres over the ground.
func lightHeight(l session.Light, face unit.Length) float64 {
	return or(l.HeightM, math.Round((face.Metres()+usualHeight)*10)/10)
}

// groundDistance returns how far from the face, along the ground, a light stands
// that is slant away from it and hangs at a height: 0 where it hangs higher than
// that allows.
//
//	√(d² − (h − f)²)
//
// Source: Pythagoras.
func groundDistance(slant unit.Length, height float64, face unit.Length) unit.Length {
	rise := unit.Length(height) - face
	return unit.Length(math.Sqrt(max(0, float64(slant*slant-rise*rise))))
}

func planned(a plan.Answer, lights []roleOf, step exposure.Step) *Planned {
	p := &Planned{Route: a.Route.String(), SettingsJSON: settingsJSON(a.Settings, step), Background: tidy(a.Background),
		Margin: tidy(a.Margin), Uncertainty: tidy(a.Error), LimitedBy: a.LimitedBy.String(), Lights: []LightJSON{}}
	for i, l := range a.Lights {
		x := lights[i]
		h := x.source.Head
		ground := groundDistance(l.Distance, x.height, x.face)
		p.Lights = append(p.Lights, LightJSON{Role: l.Role.String(), Head: x.head, Modifier: x.modifier,
			DistanceM: math.Round(l.Distance.Metres()*100) / 100, GroundM: math.Round(ground.Metres()*100) / 100, Paces: math.Round(float64(ground/pace)*2) / 2,
			AngleDeg: x.angle, HeightM: &x.height, Power: PowerText(l.Power), PowerStop: tidy(l.Power),
			Level: tidy(l.Level), Total: tidy(l.Total), Margin: tidy(l.Margin),
			RecycleS: math.Round(x.source.RecycleAt(l.Power).Seconds()*100) / 100, Pops: x.source.PopsPerCharge(l.Power),
			EntryStops: tidy(h.Entry), RangeStops: tidy(h.Range), StepStops: tidy(h.Step)})
	}
	return p
}

// routeOf returns the route a look asks for, nil for none.
func routeOf(name string) *plan.Route {
	r, ok := map[string]plan.Route{"stop-down": plan.StopDown, "nd": plan.ND, "high-speed": plan.HighSpeed, "leaf": plan.Leaf}[name]
	if !ok {
		return nil
	}
	return &r
}

// routeNotes says what a wished route costs, or that it is not there.
func routeNotes(wish *plan.Route, r plan.Result) []Note {
	if wish == nil || r.Best.Route == plan.NoFlash {
		return nil
	}
	if r.Best.Route != *wish {
		hint := "allow other apertures, or leave the route open"
		if *wish == plan.ND {
			hint = "put a filter in the kit, or leave the route open"
		}
		return []Note{{"route_not_there", "caution", fmt.Sprintf("no setting by %s places the background here; this is %s", *wish, r.Best.Route), hint}}
	}
	if o := r.RunnerUp; o != nil && o.Margin-r.Best.Margin > unit.Stop/3 && r.Best.Margin < r.Best.Error {
		return []Note{{"route_costs", "caution", fmt.Sprintf("%s, as you asked, leaves %+.1f stops; %s would leave %+.1f", *wish, float64(r.Best.Margin), o.Route, float64(o.Margin)), "leave the route open"}}
	}
	return nil
}

// State is a solved set of settings for one sky.
type State struct {
	Route string `json:"route"`
	SettingsJSON
	Powers     []string  `json:"powers"`      // by light, in the plan's order
	Distances  []float64 `json:"distances_m"` // the same
	Background float64   `json:"background_stops"`
	Short      float64   `json:"short_stops"` // how far the flash falls short; 0 when it does not
}

// AdjustStep is one knob turned.
type AdjustStep struct {
	Knob  string  `json:"knob"`
	From  string  `json:"from"`
	To    string  `json:"to"`
	Stops float64 `json:"stops"` // of light, + is more
	Text  string  `json:"text"`
}

// AdjustAnswer says what to turn when the light has changed.
type AdjustAnswer struct {
	Setup      string       `json:"setup"`
	Change     float64      `json:"ambient_change_stops"`
	Now        string       `json:"now"` // the one sentence
	Steps      []AdjustStep `json:"steps"`
	SunState   State        `json:"sun_state"` // the brighter of the two
	CloudState State        `json:"cloud_state"`
	Notes      []Note       `json:"notes"`
}

// camera is what the solver's camera was, for a later change of light.
type CameraJSON struct {
	SyncS    float64 `json:"sync_s"`
	FastestS float64 `json:"fastest_s"`
	SlowestS float64 `json:"slowest_s"`
	Kind     string  `json:"shutter"`
	ISOMin   float64 `json:"iso_min"`
	ISOMax   float64 `json:"iso_max"`
	Dial     string  `json:"dial"`
}

func cameraJSON(c plan.Camera, kind, dial string) CameraJSON {
	if kind == "" {
		kind = "focal-plane"
	}
	if dial == "" {
		dial = "thirds"
	}
	return CameraJSON{float64(c.Sync), float64(c.Fastest), float64(c.Slowest), kind, float64(c.ISOMin), float64(c.ISOMax), dial}
}

func (c CameraJSON) camera() (plan.Camera, error) {
	kind, err := shutterKind(c.Kind)
	if err != nil {
		return plan.Camera{}, err
	}
	step, err := dial(c.Dial)
	return plan.Camera{Sync: exposure.Shutter(c.SyncS), Fastest: exposure.Shutter(c.FastestS), Slowest: exposure.Shutter(c.SlowestS),
		Kind: kind, ISOMin: exposure.ISO(c.ISOMin), ISOMax: exposure.ISO(c.ISOMax), Dial: step}, err
}

// adjust answers for one planned setup. slowest is the longest time that still
// freezes the daylight part, 0 for no wish; more what test frames ask of the
// lights, nil for nothing.
func adjust(id string, p Planned, cam plan.Camera, slowest exposure.Shutter, change float64, more []unit.Stops) (AdjustAnswer, error) {
	s := advise.State{Camera: cam, Background: unit.Stops(p.Background), Slowest: slowest, Settings: p.settings(), More: more}
	for _, l := range p.Lights {
		s.Lights = append(s.Lights, plan.LightSetting{Power: unit.Stops(l.PowerStop)})
		s.Entry = append(s.Entry, unit.Stops(l.EntryStops))
		s.Range = append(s.Range, unit.Stops(l.RangeStops))
		s.PowerStep = append(s.PowerStep, unit.Stops(l.StepStops))
	}
	a, err := advise.Adjust(s, unit.Stops(change))
	if err != nil {
		return AdjustAnswer{}, wrong("ambient_change_stops", err, "give the change in stops: −2 for a cloud over the sun")
	}
	before := State{p.Route, p.SettingsJSON, powers(p.Lights, nil), distances(p.Lights, nil), p.Background, 0}
	after := State{a.Route.String(), settingsJSON(a.Settings, cam.Dial), powers(p.Lights, a.Powers), distances(p.Lights, a.Nearer), tidy(a.Background), tidy(a.Short)}
	out := AdjustAnswer{Setup: id, Change: change, Steps: []AdjustStep{}, SunState: before, CloudState: after, Notes: []Note{}}
	if change > 0 {
		out.SunState, out.CloudState = after, before
	}
	var words []string
	for _, st := range a.Steps {
		x := stepJSON(st, p.Lights, cam.Dial)
		out.Steps = append(out.Steps, x)
		words = append(words, x.Text)
	}
	switch {
	case len(words) == 0:
		out.Now = "leave everything as it is"
	case len(words) == 1 && a.Steps[0].Knob == advise.Shutter && a.Route != plan.HighSpeed && a.Route != plan.NoFlash:
		out.Now = words[0] + "; leave the flash alone"
	default:
		out.Now = strings.Join(words, "; ")
	}
	if a.Short > 0 {
		out.Notes = append(out.Notes, Note{"flash_short", "caution", fmt.Sprintf("the flash is then %.1f stops short", float64(a.Short)), "move it nearer, or leave the background brighter"})
	}
	if a.Over > 0 {
		l := p.Lights[a.Strong]
		out.Notes = append(out.Notes, Note{"flash_strong", "caution", fmt.Sprintf("the %s is at its lowest power and then gives %.1f stops too much", l.Role, float64(a.Over)),
			fmt.Sprintf("put a cloth or a grey gel on it, or stand it at %.1f m", l.DistanceM*math.Exp2(float64(a.Over)/2))})
	}
	if math.Abs(float64(a.Off)) > 0.2 {
		out.Notes = append(out.Notes, Note{"background_off", "caution", fmt.Sprintf("the background stays %.1f stops off", math.Abs(float64(a.Off))), "change the filter, or take the new look"})
	}
	if a.Longer >= 1 && a.Route != plan.Leaf {
		out.Notes = append(out.Notes, Note{"longer", "info", fmt.Sprintf("the shutter stays open %.1f stops longer: the daylight part of a moving subject blurs that much more", float64(a.Longer)), ""})
	}
	return out, nil
}

func powers(lights []LightJSON, p []unit.Stops) []string {
	out := []string{}
	for i, l := range lights {
		x := unit.Stops(l.PowerStop)
		if p != nil {
			x = p[i]
		}
		out = append(out, PowerText(x))
	}
	return out
}

func distances(lights []LightJSON, nearer []float64) []float64 {
	out := []float64{}
	for i, l := range lights {
		d := l.DistanceM
		if nearer != nil {
			d = digits(d*nearer[i], 3)
		}
		out = append(out, d)
	}
	return out
}

func stepJSON(s advise.Step, lights []LightJSON, step exposure.Step) AdjustStep {
	var x AdjustStep
	switch s.Knob {
	case advise.Shutter:
		x = AdjustStep{Knob: "shutter", From: s.From.Shutter.Label(step), To: s.To.Shutter.Label(step), Stops: tidy(unit.StopsOf(float64(s.To.Shutter / s.From.Shutter)))}
	case advise.Aperture:
		x = AdjustStep{Knob: "aperture", From: s.From.FNumber.Label(step), To: s.To.FNumber.Label(step), Stops: tidy(-2 * unit.StopsOf(float64(s.To.FNumber/s.From.FNumber)))}
	case advise.ISO:
		x = AdjustStep{Knob: "iso", From: s.From.ISO.Label(step), To: s.To.ISO.Label(step), Stops: tidy(unit.StopsOf(float64(s.To.ISO / s.From.ISO)))}
	case advise.Filter:
		x = AdjustStep{Knob: "filter", From: fmt.Sprintf("ND %.0f", float64(s.From.ND)), To: fmt.Sprintf("ND %.0f", float64(s.To.ND)), Stops: tidy(s.From.ND - s.To.ND)}
		if s.To.ND == 0 {
			x.To = "no filter"
		}
	case advise.Distance:
		d := lights[s.Light].DistanceM
		x = AdjustStep{Knob: lights[s.Light].Role, From: fmt.Sprintf("%.1f m", d), To: fmt.Sprintf("%.1f m", d*s.Nearer), Stops: tidy(unit.Stops(-2 * math.Log2(s.Nearer)))}
	case advise.Power:
		x = AdjustStep{Knob: lights[s.Light].Role + " power", From: PowerText(s.FromPow), To: PowerText(s.ToPow), Stops: tidy(s.ToPow - s.FromPow)}
	}
	x.Text = fmt.Sprintf("%s %s → %s", strings.Replace(x.Knob, "iso", "ISO", 1), x.From, x.To)
	return x
}
