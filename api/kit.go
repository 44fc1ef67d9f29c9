package api

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"hardnoon/engine/exposure"
	"hardnoon/engine/flash"
	"hardnoon/engine/modifier"
	"hardnoon/engine/unit"
)

// HeadJSON are the figures of a flash head.
type HeadJSON struct {
	ID          string  `json:"id"`
	Name        string  `json:"name"`
	EnergyWS    float64 `json:"energy_ws"`
	RangeStops  float64 `json:"range_stops"`
	StepStops   float64 `json:"step_stops"`
	Efficacy    float64 `json:"efficacy_stops"`
	ErrorStops  float64 `json:"error_stops"`
	Entry       float64 `json:"hss_entry_stops"`
	EntryError  float64 `json:"hss_entry_error_stops"`
	HSSRange    float64 `json:"hss_range_stops"`
	RecycleS    float64 `json:"recycle_s"`
	Pops        int     `json:"pops_per_charge"`
	HeatPops    int     `json:"pops_before_rest"`
	T05S        float64 `json:"t05_s"`
	T01S        float64 `json:"t01_s"`
	Kind        string  `json:"pulse"`
	MassKG      float64 `json:"mass_kg"`
	Source      string  `json:"source"`
	Basis       string  `json:"basis"`
	GuideNumber float64 `json:"guide_number_bare_m"`
}

// ModifierJSON are the figures of a modifier class.
type ModifierJSON struct {
	ID         string  `json:"id"`
	Name       string  `json:"name"`
	Shape      string  `json:"shape"`
	WidthM     float64 `json:"width_m"`
	HeightM    float64 `json:"height_m"`
	K          float64 `json:"guide_number_m_per_root_ws"`
	ErrorStops float64 `json:"error_stops"`
	BeamDeg    float64 `json:"beam_deg"`
	SetbackM   float64 `json:"setback_m"`
	MassKG     float64 `json:"mass_kg"`
	WindAreaM2 float64 `json:"wind_area_m2"`
	Drag       float64 `json:"drag_coefficient"`
	Shift      float64 `json:"shift_mired"`
	Source     string  `json:"source"`
	Basis      string  `json:"basis"`
}

// KitAnswer lists what the catalogue knows.
type KitAnswer struct {
	Heads     []HeadJSON     `json:"heads"`
	Modifiers []ModifierJSON `json:"modifiers"`
}

// KitList returns the catalogue of generic heads and modifiers.
func KitList() KitAnswer {
	var a KitAnswer
	for _, h := range flash.All() {
		a.Heads = append(a.Heads, headJSON(h))
	}
	for _, m := range modifier.All() {
		a.Modifiers = append(a.Modifiers, modifierJSON(m))
	}
	return a
}

func headJSON(h flash.Head) HeadJSON {
	bare, _ := modifier.ByID("bare")
	kind := "cut off (IGBT)"
	if h.Kind == flash.VoltageControlled {
		kind = "voltage controlled"
	}
	return HeadJSON{
		ID: h.ID, Name: h.Name, EnergyWS: digits(h.Energy.WattSeconds(), 4), RangeStops: float64(h.Range), StepStops: digits(float64(h.Step), 3),
		Efficacy: tidy(h.Efficacy), ErrorStops: tidy(h.Error), Entry: tidy(h.Entry), EntryError: tidy(h.EntryError), HSSRange: float64(h.HSSRange),
		RecycleS: h.Recycle.Seconds(), Pops: h.Pops, HeatPops: h.HeatPops, T05S: digits(h.T05.Seconds(), 3), T01S: digits(h.T01.Seconds(), 3),
		Kind: kind, MassKG: h.Mass.Kilograms(), Source: h.Source, Basis: h.Basis,
		GuideNumber: digits(flash.Source{Head: h, Modifier: bare}.GuideNumber(), 3),
	}
}

func modifierJSON(m modifier.Class) ModifierJSON {
	return ModifierJSON{
		ID: m.ID, Name: m.Name, Shape: [...]string{"small", "disc", "rectangle"}[m.Shape],
		WidthM: digits(m.Width.Metres(), 3), HeightM: digits(m.Height.Metres(), 3), K: digits(m.K, 3), ErrorStops: digits(float64(m.KError), 2),
		BeamDeg: digits(m.Beam.Degrees(), 4), SetbackM: m.Setback.Metres(), MassKG: digits(m.Mass.Kilograms(), 3), WindAreaM2: digits(m.WindArea, 2),
		Drag: m.Drag, Shift: float64(m.Shift), Source: m.Source, Basis: m.Basis,
	}
}

// digits rounds x to n figures: a catalogue entry promises no more.
func digits(x float64, n int) float64 {
	y, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', n, 64), 64)
	if err != nil {
		return x
	}
	return y
}

// OwnHead describes a head of one's own: from its printed guide number, from
// its energy, or both. Like names the catalogue head whose other figures
// (recycle, sync, range) it takes; none is the nearest in energy.
type OwnHead struct {
	ID          string   `json:"id"`
	Name        string   `json:"name,omitempty"`
	Like        string   `json:"like,omitempty"`
	EnergyWS    *float64 `json:"energy_ws,omitempty"`
	GuideNumber *float64 `json:"guide_number,omitempty"` // at full power
	Unit        string   `json:"guide_number_unit,omitempty"`
	ISO         *float64 `json:"guide_number_iso,omitempty"`  // 100
	With        string   `json:"guide_number_with,omitempty"` // modifier it was taken with; none is the bare head
	Entry       *float64 `json:"hss_entry_stops,omitempty"`
	RecycleS    *float64 `json:"recycle_s,omitempty"`
	RangeStops  *float64 `json:"range_stops,omitempty"`
}

// HeadFromGuideNumber returns the head that o describes.
func HeadFromGuideNumber(o OwnHead) (flash.Head, error) {
	fail := func(field string, cause error, hint string) (flash.Head, error) {
		return flash.Head{}, wrong(field, cause, hint)
	}
	if o.EnergyWS == nil && o.GuideNumber == nil {
		return fail("guide_number", errors.New("neither a guide number nor an energy is given"), "give what is printed on the head: a guide number or watt-seconds")
	}
	if o.EnergyWS != nil {
		if err := unit.Within("energy", *o.EnergyWS, 1, 5000, "Ws"); err != nil {
			return fail("energy_ws", err, "give the watt-seconds printed on the head")
		}
	}
	with := "bare"
	if o.With != "" {
		with = o.With
	}
	gn, err := o.guideNumber()
	if err != nil {
		return flash.Head{}, err
	}
	like := o.Like
	if like == "" {
		class, ok := modifier.ByID(with)
		if !ok {
			class, _ = modifier.ByID("bare") // source below says what is wrong
		}
		like = nearest(or(o.EnergyWS, flash.FromGuideNumber(flash.Head{}, gn, class).Energy.WattSeconds()))
	}
	src, err := source(like, with)
	if err != nil {
		var e *Error
		errors.As(err, &e)
		e.Field = map[string]string{"head": "like", "modifier": "guide_number_with"}[e.Field]
		return flash.Head{}, e
	}
	h := src.Head
	h.ID, h.Name = o.ID, o.Name
	h.Source, h.Basis = "energy as given; the rest as "+like, "given"
	switch {
	case o.EnergyWS != nil:
		h.Energy = unit.Energy(*o.EnergyWS) * unit.WattSecond
	case o.Like == "":
		h.Energy = 0 // what the guide number makes it
	}
	if gn > 0 {
		h = flash.FromGuideNumber(h, gn, src.Modifier)
		h.Source += "; the rest as " + like
	}
	if h.ID == "" {
		h.ID = "own"
	}
	if h.Name == "" {
		h.Name = "head of your own"
	}
	for _, x := range []struct {
		field    string
		value    *float64
		min, max float64
		unit     string
		set      func(float64)
	}{
		{"hss_entry_stops", o.Entry, 0, 6, "stops", func(v float64) { h.Entry, h.EntryError = unit.Stops(v), unit.Stop/4 }},
		{"recycle_s", o.RecycleS, 0.01, 60, "s", func(v float64) { h.Recycle = time.Duration(v * float64(time.Second)) }},
		{"range_stops", o.RangeStops, 0, 14, "stops", func(v float64) { h.Range = unit.Stops(v) }},
	} {
		if x.value == nil {
			continue
		}
		if err := unit.Within(strings.ReplaceAll(x.field, "_", " "), *x.value, x.min, x.max, x.unit); err != nil {
			return fail(x.field, err, "give the figure printed for the head")
		}
		x.set(*x.value)
	}
	if err := h.Check(); err != nil {
		return fail("guide_number", err, "guide number and energy do not belong together; leave one out")
	}
	return h, nil
}

// guideNumber returns the printed figure in metres at ISO 100, or 0.
func (o OwnHead) guideNumber() (float64, error) {
	if o.GuideNumber == nil {
		return 0, nil
	}
	per := unit.Metre
	switch o.Unit {
	case "", "m":
	case "ft":
		per = unit.Foot
	default:
		return 0, wrong("guide_number_unit", fmt.Errorf("the guide number's unit is %q", o.Unit), "say m or ft")
	}
	iso, err := exposure.NearestISO(or(o.ISO, 100), exposure.Thirds)
	if err != nil {
		return 0, wrong("guide_number_iso", err, "write it like 100")
	}
	gn := flash.GuideNumberAt100(unit.Length(*o.GuideNumber)*per, iso)
	if err := unit.Within("guide number at ISO 100", gn, 1, 500, "m"); err != nil {
		return 0, wrong("guide_number", err, "give the figure printed for full power, with its unit and ISO")
	}
	return gn, nil
}

// nearest returns the catalogue head closest in energy.
func nearest(ws float64) string {
	best, off := "", math.Inf(1)
	for _, h := range flash.All() {
		if d := math.Abs(math.Log(ws / h.Energy.WattSeconds())); d < off {
			best, off = h.ID, d
		}
	}
	return best
}

// KitShowRequest asks for one entry: a head, a modifier, both together, or a
// head of one's own.
type KitShowRequest struct {
	Head     string   `json:"head,omitempty"`
	Modifier string   `json:"modifier,omitempty"`
	Own      *OwnHead `json:"own,omitempty"`
	IES      string   `json:"ies,omitempty"` // text of an IES LM-63 file, in place of a modifier
}

// PhotometryJSON is what a photometric file says.
type PhotometryJSON struct {
	Version string  `json:"version"`
	FluxLM  float64 `json:"flux_lm"`
	AxisCD  float64 `json:"axis_cd"`
	BeamDeg float64 `json:"beam_deg"`
}

// tubeEfficacy is the light of a flash tube assumed inside a photometric
// file's light, lm·s per Ws: heads have 15 to 50 [TubeEfficacy].
const tubeEfficacy = 35

// ReachRow is what a meter shows on the axis at a distance, full power, ISO 100.
type ReachRow struct {
	DistanceM float64 `json:"distance_m"`
	FNumber   float64 `json:"f_number"`
}

// PairJSON is a head behind a modifier.
type PairJSON struct {
	Head        string     `json:"head"`
	Modifier    string     `json:"modifier"`
	GuideNumber float64    `json:"guide_number_m"` // ISO 100, full power, at 2 m
	ErrorStops  float64    `json:"error_stops"`
	Rows        []ReachRow `json:"rows,omitempty"`
}

// KitShowAnswer is the entry with what follows from it.
type KitShowAnswer struct {
	Head       *HeadJSON       `json:"head,omitempty"`
	Modifier   *ModifierJSON   `json:"modifier,omitempty"`
	Photometry *PhotometryJSON `json:"photometry,omitempty"`
	Pairs      []PairJSON      `json:"pairs"`
	Notes      []Note          `json:"notes"`
}

// KitShow returns one catalogue entry, or a head of one's own, with its guide
// numbers.
func KitShow(req KitShowRequest) (KitShowAnswer, error) {
	a := KitShowAnswer{Pairs: []PairJSON{}, Notes: []Note{}}
	var heads []flash.Head
	switch {
	case req.Own != nil:
		h, err := HeadFromGuideNumber(*req.Own)
		if err != nil {
			return KitShowAnswer{}, err
		}
		heads = []flash.Head{h}
		if h.Basis == "printed" {
			a.Notes = append(a.Notes, Note{Code: "printed_guide_number", Severity: "info",
				Text: "printed guide numbers were metered 0.3 to 1.9 stops too good; behind other modifiers this head is taken as 1.1 stops less", Hint: `take a few readings and use "hardnoon kit calibrate"`})
		}
	case req.Head != "":
		src, err := source(req.Head, "")
		if err != nil {
			return KitShowAnswer{}, err
		}
		heads = []flash.Head{src.Head}
	}
	if len(heads) == 1 {
		j := headJSON(heads[0])
		a.Head = &j
	}
	var classes []modifier.Class
	if req.Modifier != "" {
		src, err := source("battery-400", req.Modifier)
		if err != nil {
			return KitShowAnswer{}, err
		}
		j := modifierJSON(src.Modifier)
		a.Modifier, classes = &j, []modifier.Class{src.Modifier}
	}
	if req.IES != "" {
		p, err := modifier.ReadLM63([]byte(req.IES))
		if err != nil {
			return KitShowAnswer{}, wrong("ies", err, "it takes an IES LM-63 file with type C photometry")
		}
		c, err := p.Class("ies", tubeEfficacy)
		if err != nil {
			return KitShowAnswer{}, wrong("ies", err, "it takes an IES LM-63 file with type C photometry, aimed at 0°")
		}
		j := modifierJSON(c)
		a.Modifier, classes = &j, []modifier.Class{c}
		a.Photometry = &PhotometryJSON{p.Version, digits(p.Flux(), 4), digits(float64(p.Axis()), 4), digits(p.Beam().Degrees(), 3)}
		a.Notes = append(a.Notes, Note{Code: "photometric_file", Severity: "info",
			Text: fmt.Sprintf("a tube of %d lm·s per Ws is assumed inside; heads have 15 to 50", tubeEfficacy)})
	}
	if len(heads)+len(classes) == 0 {
		return KitShowAnswer{}, wrong("head", errors.New("nothing to show is named"), `name a head, a modifier or both; "hardnoon kit" lists them`)
	}
	if len(heads) == 0 { // a modifier alone: what each head makes of it
		heads = flash.All()
	}
	if len(classes) == 0 {
		for _, c := range modifier.All() {
			if !strings.HasPrefix(c.ID, "zoom-") || heads[0].Window != "" {
				classes = append(classes, c)
			}
		}
	}
	for _, h := range heads {
		for _, c := range classes {
			p := pairJSON(flash.Source{Head: h, Modifier: c})
			if len(heads)*len(classes) > 1 {
				p.Rows = nil
			}
			a.Pairs = append(a.Pairs, p)
		}
	}
	return a, nil
}

func pairJSON(s flash.Source) PairJSON {
	p := PairJSON{Head: s.Head.ID, Modifier: s.Modifier.ID, GuideNumber: digits(s.GuideNumber(), 3), ErrorStops: digits(float64(s.Error()), 2)}
	for _, d := range []float64{1, 1.5, 2, 2.5, 3, 4, 6} {
		h := s.Exposure(unit.Length(d)*unit.Metre, 0)
		p.Rows = append(p.Rows, ReachRow{d, digits(math.Sqrt(float64(h)*100/unit.MeterC), 3)})
	}
	return p
}
