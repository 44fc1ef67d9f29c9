package api

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"hardnoon/engine/exposure"
	"hardnoon/engine/flash"
	"hardnoon/engine/modifier"
	"hardnoon/engine/plan"
	"hardnoon/engine/unit"
)

// ReachRequest asks whether one light is enough at camera settings already
// chosen.
type ReachRequest struct {
	Head        string   `json:"head"`
	Modifier    string   `json:"modifier,omitempty"` // none is the bare head
	DistanceM   *float64 `json:"distance_m"`
	Shutter     string   `json:"shutter"`
	FNumber     string   `json:"f_number"`
	ISO         *float64 `json:"iso,omitempty"`          // 100
	NDStops     *float64 `json:"nd_stops,omitempty"`     // 0
	Sync        string   `json:"sync,omitempty"`         // 1/250
	ShutterKind string   `json:"shutter_kind,omitempty"` // focal-plane, leaf or global
	Dial        string   `json:"dial,omitempty"`         // thirds or halves
	AmbientEV   *float64 `json:"ambient_ev100,omitempty"`
	UnderStops  *float64 `json:"under_stops,omitempty"` // 2
	KeyStops    *float64 `json:"key_stops,omitempty"`   // 0
	EnergyWS    *float64 `json:"energy_ws,omitempty"`
	GuideNumber *float64 `json:"guide_number_m,omitempty"` // with this modifier, ISO 100, full power
	EntryStops  *float64 `json:"hss_entry_stops,omitempty"`
	Power       string   `json:"power,omitempty"` // 1/4; none asks for the most
}

// ReachAnswer is the verdict with its margin and the ways out of a no.
type ReachAnswer struct {
	Reaches     bool         `json:"reaches"`
	FlashStops  float64      `json:"flash_stops"`   // the flash alone, relative to mid-tone
	Ambient     float64      `json:"ambient_stops"` // daylight alone: where the background lies
	Total       float64      `json:"total_stops"`   // both on the same surface
	Margin      float64      `json:"margin_stops"`
	Uncertainty float64      `json:"uncertainty_stops"`
	LimitedBy   string       `json:"limited_by"`
	GuideNumber float64      `json:"guide_number_m"` // what was computed with, at full power
	Settings    SettingsJSON `json:"settings"`
	Routes      []RouteJSON  `json:"routes"`
	WaysOut     []WayOutJSON `json:"ways_out"`
	Assumptions []string     `json:"assumptions"`
	Notes       []Note       `json:"notes"`
}

// SettingsJSON are camera settings: what the dial shows, and the exact values
// computed with.
type SettingsJSON struct {
	Shutter  string  `json:"shutter"`
	ShutterS float64 `json:"shutter_s"`
	Aperture string  `json:"aperture"`
	FNumber  float64 `json:"f_number"`
	ISO      float64 `json:"iso"`
	NDStops  float64 `json:"nd_stops"`
}

// RouteJSON is one route to the same look.
type RouteJSON struct {
	Route string `json:"route"`
	SettingsJSON
	Margin float64 `json:"margin_stops"`
}

// WayOutJSON is a change with its gain and what is left then.
type WayOutJSON struct {
	Change string  `json:"change"`
	Gain   float64 `json:"gain_stops"`
	Margin float64 `json:"margin_stops"`
	Do     *DoJSON `json:"do,omitempty"`
}

// Reach answers whether the light reaches.
func Reach(req ReachRequest) (ReachAnswer, error) {
	q, assumed, err := req.question()
	if err != nil {
		return ReachAnswer{}, err
	}
	r, err := plan.Reach(q)
	if err != nil {
		return ReachAnswer{}, wrong(reachField(err), err, reachHint(err))
	}
	a := ReachAnswer{
		Reaches: r.Margin >= -reachable, FlashStops: tidy(r.Flash), Ambient: tidy(r.Ambient), Total: tidy(r.Total),
		Margin: tidy(r.Margin), Uncertainty: tidy(r.Error), LimitedBy: r.LimitedBy.String(),
		GuideNumber: q.Source.GuideNumber(), Settings: settingsJSON(q.Settings, q.Camera.Dial),
		Routes: []RouteJSON{}, WaysOut: waysOutJSON(r.WaysOut, q.Camera.Dial), Assumptions: assumed, Notes: []Note{},
	}
	for _, x := range r.Routes {
		a.Routes = append(a.Routes, RouteJSON{x.Route.String(), settingsJSON(x.Settings, q.Camera.Dial), tidy(x.Margin)})
	}
	return a, nil
}

// reachable is how far short still counts as yes: less than anyone can see or
// set.
const reachable = unit.Stop / 20

func (req ReachRequest) question() (q plan.Question, assumed []string, err error) {
	fail := func(field string, cause error, hint string) (plan.Question, []string, error) {
		return plan.Question{}, nil, wrong(field, cause, hint)
	}
	assumed = []string{}
	step, err := dial(req.Dial)
	if err != nil {
		return fail("dial", err, "say thirds or halves")
	}
	q.Camera.Dial = step
	if q.Camera.Kind, err = shutterKind(req.ShutterKind); err != nil {
		return fail("shutter_kind", err, "say focal-plane, leaf or global")
	}
	if req.Head == "" {
		return fail("head", errors.New("no head is named"), `list them with "hardnoon kit"`)
	}
	if q.Source, err = source(req.Head, req.Modifier); err != nil {
		var e *Error
		errors.As(err, &e)
		return plan.Question{}, nil, e
	}
	head := &q.Source.Head
	if req.EnergyWS != nil {
		if err := unit.Within("energy", *req.EnergyWS, 1, 5000, "Ws"); err != nil {
			return fail("energy_ws", err, "give the watt-seconds printed on the head")
		}
		head.Energy = unit.Energy(*req.EnergyWS) * unit.WattSecond
	}
	if req.GuideNumber != nil {
		if err := unit.Within("guide number", *req.GuideNumber, 1, 500, "m"); err != nil {
			return fail("guide_number_m", err, "give it in metres at ISO 100 and full power, taken with this modifier")
		}
		q.Source.Measured = &flash.Measured{GN: *req.GuideNumber, Distance: 2 * unit.Metre, Error: printedError, Basis: "as given"}
	} else {
		assumed = append(assumed, fmt.Sprintf("light of %s with %s after its class (not calibrated)", head.ID, q.Source.Modifier.ID))
	}
	if req.DistanceM == nil {
		return fail("distance_m", errors.New("no distance is given"), "give the distance from light to subject")
	}
	q.Distance = unit.Length(*req.DistanceM) * unit.Metre
	if req.Shutter == "" {
		return fail("shutter", errors.New("no shutter time is given"), "write it like 1/250")
	}
	if q.Settings.Shutter, err = exposure.ParseShutter(req.Shutter, step); err != nil {
		return fail("shutter", err, "write it like 1/250")
	}
	if req.FNumber == "" {
		return fail("f_number", errors.New("no aperture is given"), "write it like 5.6")
	}
	if q.Settings.FNumber, err = exposure.ParseFNumber(req.FNumber, step); err != nil {
		return fail("f_number", err, "write it like 5.6")
	}
	if q.Settings.ISO, err = exposure.NearestISO(or(req.ISO, 100), step); err != nil {
		return fail("iso", err, "write it like 100")
	}
	q.Settings.ND = unit.Stops(or(req.NDStops, 0))
	sync := req.Sync
	if sync == "" {
		sync = "1/250"
		if q.Camera.Kind == plan.FocalPlane {
			assumed = append(assumed, "sync speed 1/250")
		}
	}
	if q.Camera.Sync, err = exposure.ParseShutter(sync, step); err != nil {
		return fail("sync", err, "write it like 1/250")
	}
	if req.AmbientEV == nil {
		assumed = append(assumed, "ambient EV 15, full sun (give your own reading)")
		q.Error = unit.Stop / 2
	} else {
		q.Error = unit.Stop / 6
	}
	q.Ambient = unit.EV(or(req.AmbientEV, 15))
	if req.UnderStops == nil {
		assumed = append(assumed, "background 2 stops under")
	}
	q.Under = unit.Stops(or(req.UnderStops, 2))
	q.Key = unit.Stops(or(req.KeyStops, 0))
	if req.EntryStops != nil {
		if err := unit.Within("high-speed-sync entry", *req.EntryStops, 0, 6, "stops"); err != nil {
			return fail("hss_entry_stops", err, "published figures lie between 1.0 and 3.4")
		}
		head.Entry, head.EntryError = unit.Stops(*req.EntryStops), unit.Stop/4
	} else if q.Camera.Kind == plan.FocalPlane && q.Settings.Shutter*1.01 < q.Camera.Sync {
		assumed = append(assumed, fmt.Sprintf("high-speed-sync entry %.1f stops (not calibrated)", float64(head.Entry)))
	}
	if req.Power != "" {
		p, err := ParsePower(req.Power)
		if err != nil {
			return fail("power", err, "write it like 1/4")
		}
		if -p > head.Range+0.05 {
			return fail("power", &unit.RangeError{What: "power", Got: float64(p), Min: -float64(head.Range), Max: 0, Unit: "stops"}, "this head cannot be turned down further")
		}
		q.Power = p
	}
	q.Spares = spares(q.Source)
	return q, assumed, nil
}

// printedError is how far a guide number somebody gives may be off. Printed
// figures were metered 0.3 to 1.9 stops low; a reading of one's own is better.
const printedError = unit.Stop / 2

// source looks a head and a modifier up in the catalogue.
func source(head, mod string) (flash.Source, error) {
	h, ok := flash.ByID(head)
	if !ok {
		return flash.Source{}, &Error{Kind: WrongInput, Code: "unknown_head", Field: "head",
			Text: fmt.Sprintf("no head is called %q", head), Hint: "there are " + ids(flash.All(), func(h flash.Head) string { return h.ID })}
	}
	if mod == "" {
		mod = "bare"
	}
	m, ok := modifier.ByID(mod)
	if !ok {
		return flash.Source{}, &Error{Kind: WrongInput, Code: "unknown_modifier", Field: "modifier",
			Text: fmt.Sprintf("no modifier is called %q", mod), Hint: "there are " + ids(modifier.All(), func(m modifier.Class) string { return m.ID })}
	}
	return flash.Source{Head: h, Modifier: m}, nil
}

func ids[T any](all []T, id func(T) string) string {
	var out []string
	for _, x := range all {
		out = append(out, id(x))
	}
	return strings.Join(out, ", ")
}

// spares are the usual other ways to make the same light: the cloth off, a
// reflector that focuses, two heads side by side.
func spares(s flash.Source) []plan.Spare {
	var out []plan.Spare
	if base, ok := strings.CutSuffix(s.Modifier.ID, "-sock"); ok {
		if m, ok := modifier.ByID(base); ok {
			out = append(out, plan.Spare{What: "diffusion off", Source: flash.Source{Head: s.Head, Modifier: m}})
		}
	}
	if m, ok := modifier.ByID("focus-30"); ok && s.Modifier.ID != m.ID && s.Measured == nil {
		out = append(out, plan.Spare{What: "focusing reflector", Source: flash.Source{Head: s.Head, Modifier: m}})
	}
	two := s
	two.Head.Energy *= 2
	if s.Measured != nil {
		m := *s.Measured
		m.GN *= math.Sqrt2
		two.Measured = &m
	}
	return append(out, plan.Spare{What: "a second head of this kind beside it", Source: two})
}

func waysOutJSON(ways []plan.WayOut, step exposure.Step) []WayOutJSON {
	out := []WayOutJSON{}
	for _, w := range ways {
		out = append(out, WayOutJSON{changeText(w, step), tidy(w.Gain), tidy(w.Margin), doing(w)})
	}
	return out
}

// changeText says a way out the way one photographer would to another.
func changeText(w plan.WayOut, step exposure.Step) string {
	s := w.Settings
	switch w.Kind {
	case plan.ChangeRoute:
		switch w.Route {
		case plan.ND:
			return fmt.Sprintf("%s with a %.0f-stop ND, %s", s.Shutter.Label(step), float64(s.ND), s.FNumber.Label(step))
		case plan.StopDown:
			return fmt.Sprintf("%s at %s, no filter", s.Shutter.Label(step), s.FNumber.Label(step))
		}
		return fmt.Sprintf("%s: %s at %s", w.Route, s.Shutter.Label(step), s.FNumber.Label(step))
	case plan.ChangeExposure:
		return fmt.Sprintf("expose for the background: %s at %s", s.Shutter.Label(step), s.FNumber.Label(step))
	case plan.ChangeDistance:
		what := w.What
		if what == "" {
			what = "light"
		}
		return fmt.Sprintf("%s at %.1f m", what, w.Distance.Metres())
	case plan.ChangeSource:
		return w.What
	case plan.ChangeUnder:
		return fmt.Sprintf("background only %.3g under", float64(w.Under))
	}
	return "full power"
}

// nominalISO is the figure on the dial: 64 for 62.996.
func nominalISO(i exposure.ISO, step exposure.Step) float64 {
	if x, err := strconv.ParseFloat(i.Label(step), 64); err == nil {
		return x
	}
	return math.Round(float64(i))
}

func settingsJSON(s exposure.Settings, step exposure.Step) SettingsJSON {
	return SettingsJSON{s.Shutter.Label(step), float64(s.Shutter), s.FNumber.Label(step), float64(s.FNumber), nominalISO(s.ISO, step), float64(s.ND)}
}

// tidy rounds to a thousandth of a stop, so that answers can be compared and
// −0 is 0. An infinite level (no light at all) becomes −99.
func tidy(s unit.Stops) float64 {
	if math.IsInf(float64(s), -1) || s < -99 {
		return -99
	}
	return math.Round(float64(s)*1000)/1000 + 0
}

// PowerText writes a power as heads do: "1/1", "1/4", "1/4 +0.3".
func PowerText(p unit.Stops) string {
	p = unit.Stops(math.Round(float64(p)*10) / 10)
	whole := math.Floor(float64(p) + 1e-9)
	part := float64(p) - whole
	text := fmt.Sprintf("1/%.0f", math.Exp2(-whole))
	if part > 0.04 {
		text += fmt.Sprintf(" +%.1f", part)
	}
	return text
}

// ParsePower reads "1/4", "1/4 +0.3", "full" or stops below full such as "-2".
func ParsePower(text string) (unit.Stops, error) {
	t := strings.ReplaceAll(strings.ReplaceAll(strings.ToLower(text), " ", ""), "−", "-")
	bad := &exposure.SyntaxError{What: "power", Got: text, Example: "1/4 or 1/4 +0.3"}
	if t == "full" || t == "1" {
		return 0, nil
	}
	var plus float64
	base, extra, found := strings.Cut(t, "+")
	if found {
		var err error
		if plus, err = leadingNumber(extra); err != nil || !(plus >= 0 && plus < 1) {
			return 0, bad
		}
	}
	if text, ok := strings.CutPrefix(base, "1/"); ok {
		den, err := strconv.ParseFloat(text, 64)
		if p := unit.Stops(-math.Log2(den) + plus); err == nil && den >= 1 && p <= 0 && fmt.Sprintf("%g", den) == text {
			return p, nil
		}
	}
	if text, ok := strings.CutPrefix(base, "-"); ok && !found {
		if below, err := leadingNumber(text); err == nil && below >= 0 && below <= 12 {
			return unit.Stops(-below), nil
		}
	}
	return 0, bad
}

// leadingNumber returns the number that text begins with: 0.3 of "0.3stops".
func leadingNumber(text string) (float64, error) {
	rest := strings.TrimLeft(text, "+-.0123456789e")
	return strconv.ParseFloat(strings.TrimSuffix(text, rest), 64)
}

func dial(name string) (exposure.Step, error) {
	switch name {
	case "", "thirds":
		return exposure.Thirds, nil
	case "halves":
		return exposure.Halves, nil
	}
	return 0, fmt.Errorf("the dial is %q", name)
}

func shutterKind(name string) (plan.ShutterKind, error) {
	switch name {
	case "", "focal-plane":
		return plan.FocalPlane, nil
	case "leaf", "global":
		return plan.LeafOrGlobal, nil
	}
	return 0, fmt.Errorf("the shutter kind is %q", name)
}

func or(x *float64, usual float64) float64 {
	if x == nil {
		return usual
	}
	return *x
}

// reachField names the request field an engine error is about.
func reachField(err error) string {
	var r *unit.RangeError
	if !errors.As(err, &r) {
		return ""
	}
	return map[string]string{"distance": "distance_m", "f-number": "f_number", "shutter time": "shutter", "ISO": "iso",
		"ND strength": "nd_stops", "ambient level": "ambient_ev100", "stops under": "under_stops", "key level": "key_stops", "sync speed": "sync"}[r.What]
}

func reachHint(err error) string {
	return map[string]string{"distance_m": "from light to subject, like 2.4m", "f_number": "write it like 5.6", "shutter": "write it like 1/250", "iso": "write it like 100",
		"nd_stops": "3 leaves an eighth of the light", "ambient_ev100": "full sun is about 15", "under_stops": "2 is a dark background", "key_stops": "0 is mid-tone", "sync": "write it like 1/250"}[reachField(err)]
}
