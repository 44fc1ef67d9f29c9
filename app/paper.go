// Package app holds the use cases: it takes what people stored, asks the engine
// through package api, and makes what leaves the program. It answers: what is
// handed over?
//
// This file and its neighbours turn a session and its plan into paper.
package app

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"regexp"
	"slices"
	"sort"
	"strconv"
	"strings"
	"time"

	"golang.org/x/text/unicode/norm"

	"hardnoon/api"
	"hardnoon/engine/modifier"
	"hardnoon/engine/optics"
	"hardnoon/engine/unit"
	"hardnoon/session"
	"hardnoon/sheet"
	"hardnoon/sheet/letters"
	"hardnoon/sheet/pdf"
	"hardnoon/sheet/svg"
)

// Paper says which document, and how.
type Paper struct {
	Kind     string    // one of PaperKinds; none is light
	Letter   bool      // paper of 8½ × 11 inches in place of A4
	Imperial bool      // feet, pounds, miles an hour, Fahrenheit
	Pictures string    // previews on the light sheet, one of Pictures; none is none
	Made     time.Time // the date written into the file
}

// Drawn is a document laid out, for the two hands that draw it.
type Drawn struct {
	Pages   int
	Missing string // letters no font has
	doc     sheet.Document
	made    time.Time
}

// PaperKinds are the documents there are, beside the calendar entry.
var PaperKinds = []string{"light", "family", "release", "list", "pack"}

// Draw makes one document of a session. Pictures take their time: progress is
// called with the share done, and may be nil; when ctx ends first, its error is
// returned.
func (p Paper) Draw(ctx context.Context, s session.Session, progress func(share float64)) (Drawn, error) {
	doc, err := p.document(ctx, composed(s), progress)
	if err != nil {
		return Drawn{}, err
	}
	doc, missing := letters.Set(doc)
	return Drawn{len(doc.Pages), missing, doc, p.Made}, nil
}

// composed returns s with letters and their marks as one where Unicode has them
// as one (NFC), so that lines are broken and measured as they are seen. Names from
// some file systems come in pieces.
func composed(s session.Session) session.Session {
	data, err := json.Marshal(s)
	if err != nil || norm.NFC.IsNormal(data) {
		return s
	}
	var out session.Session
	if json.Unmarshal(norm.NFC.Bytes(data), &out) != nil {
		return s
	}
	return out
}

// PDF writes the document as PDF.
func (d Drawn) PDF(w io.Writer) error { return pdf.Write(w, d.doc, d.made) }

// SVG writes the document as SVG, its pages below each other.
func (d Drawn) SVG(w io.Writer) error { return svg.Write(w, d.doc) }

func (p Paper) size() sheet.Paper {
	if p.Letter {
		return sheet.Letter
	}
	return sheet.A4
}

func (p Paper) units() sheet.Units {
	if p.Imperial {
		return sheet.Imperial
	}
	return sheet.Metric
}

func (p Paper) document(ctx context.Context, s session.Session, progress func(float64)) (sheet.Document, error) {
	day, err := dayOf(s, p)
	if err != nil {
		return sheet.Document{}, err
	}
	switch p.Kind {
	case "", "light":
		return day.light(ctx, progress)
	case "family":
		return day.family().Document(), nil
	case "release":
		return day.release(), nil
	case "list":
		return day.roster()
	case "pack":
		return day.pack()
	}
	return sheet.Document{}, &api.Error{Kind: api.WrongInput, Code: "wrong_input", Field: "kind", Text: fmt.Sprintf("no sheet is called %q", p.Kind),
		Hint: "there are " + strings.Join(PaperKinds, ", ") + " and calendar"}
}

// day is a session with its times read.
type day struct {
	Paper
	s     session.Session
	zone  *time.Location
	start time.Time
	end   time.Time
	guess bool // nobody said how long it takes
}

// usualLength is how long a session takes of which nothing is said. Own choice.
const usualLength = time.Hour

func dayOf(s session.Session, p Paper) (*day, error) {
	d := &day{Paper: p, s: s}
	var err error
	if d.zone, err = time.LoadLocation(s.Place.Zone); err != nil {
		return nil, &api.Error{Kind: api.WrongInput, Code: "wrong_input", Field: "place.zone", Cause: err,
			Text: fmt.Sprintf("the time zone %q is not known", s.Place.Zone), Hint: "name it like Europe/Madrid"}
	}
	if d.start, err = session.Instant(s.Start, d.zone, s.Fold); err != nil {
		return nil, wrongTime("start", err)
	}
	d.end = d.start
	at := d.start
	for i, su := range s.Setups {
		if su.At != "" {
			if at, err = session.Instant(su.At, d.zone, s.Fold); err != nil {
				return nil, wrongTime(fmt.Sprintf("setups[%d].at", i), err)
			}
		}
		at = at.Add(time.Duration(or(su.Minutes, 0) * float64(time.Minute)))
		if at.After(d.end) {
			d.end = at
		}
	}
	for _, sl := range s.Slots {
		if t, err := session.Instant(sl.Start, d.zone, sl.Fold); err == nil && t.Equal(d.start) {
			if e := t.Add(time.Duration(sl.Minutes * float64(time.Minute))); e.After(d.end) {
				d.end = e
			}
		}
	}
	if !d.end.After(d.start) {
		d.end, d.guess = d.start.Add(usualLength), true
	}
	return d, nil
}

func wrongTime(field string, err error) error {
	e := &api.Error{Kind: api.WrongInput, Code: "wrong_time", Field: field, Text: err.Error(), Cause: err}
	if x, ok := err.(*session.Error); ok {
		e.Text, e.Hint = x.Text, x.Hint
	}
	return e
}

func or(x *float64, usual float64) float64 {
	if x == nil {
		return usual
	}
	return *x
}

func (d *day) date() string { return d.start.Format("Monday, 2 January 2006") }

func (d *day) place() string {
	if d.s.Place.Name != "" {
		return d.s.Place.Name
	}
	return d.coordinates()
}

// coordinates writes latitude and longitude as maps take them.
func (d *day) coordinates() string {
	side := func(x float64, plus, less string) string {
		if x < 0 {
			return fmt.Sprintf("%.4f° %s", -x, less)
		}
		return fmt.Sprintf("%.4f° %s", x, plus)
	}
	return side(d.s.Place.LatDeg, "N", "S") + ", " + side(d.s.Place.LonDeg, "E", "W")
}

// light makes the light sheet.
func (d *day) light(ctx context.Context, progress func(float64)) (sheet.Document, error) {
	plan, err := api.Plan(d.s)
	if err != nil {
		return sheet.Document{}, err
	}
	sun, err := d.sun()
	if err != nil {
		return sheet.Document{}, err
	}
	l := sheet.LightSheet{Title: d.s.Title, Place: d.whereabouts(), Date: d.date(), Time: d.start.Format("15:04"), Lang: "en", Paper: d.size(), Units: d.units(),
		Sun: d.sunRows(sun), Compass: d.compass(sun), Notes: d.s.Notes}
	assumed := append([]string{}, plan.Assumptions...)
	pictures, why, err := d.pictures(ctx, progress)
	if err != nil {
		return sheet.Document{}, err
	}
	for _, i := range byTime(plan) {
		a := plan.Setups[i]
		x := d.setup(d.s.Setups[i], a)
		if a.Answer != nil { // without settings the frame is black
			x.Picture = pictures[i]
		}
		if why[i] != "" {
			x.Care = append(x.Care, "no preview: "+why[i])
		}
		l.Setups = append(l.Setups, x)
		assumed = append(assumed, a.Assumptions...)
	}
	l.Assumed = gathered(distinct(assumed))
	l.Safety = d.safety(plan)
	if err := d.lists(&l); err != nil {
		return sheet.Document{}, err
	}
	return l.Document(), nil
}

// byTime are the numbers of the setups as they come in the day; those of one time
// as the session has them.
func byTime(plan api.PlanAnswer) []int {
	at := make([]time.Time, len(plan.Setups))
	order := make([]int, len(plan.Setups))
	for i, a := range plan.Setups {
		order[i] = i
		at[i], _ = time.Parse(time.RFC3339, a.At)
	}
	sort.SliceStable(order, func(i, j int) bool { return at[order[i]].Before(at[order[j]]) })
	return order
}

// compass says what else there is to know of the sun, and how bearings are read
// off a compass there.
func (d *day) compass(sun api.SunAnswer) []string {
	out := []string{}
	if sun.SunStays != nil {
		out = append(out, "the sun stays "+*sun.SunStays)
	}
	if sun.Declination != nil {
		switch v := math.Round(*sun.Declination); {
		case v == 0:
			out = append(out, "compass = true north")
		case v > 0:
			out = append(out, fmt.Sprintf("compass = true − %.0f°", v))
		default:
			out = append(out, fmt.Sprintf("compass = true + %.0f°", -v))
		}
	}
	return out
}

// whereabouts is the place as map and sky know it.
func (d *day) whereabouts() string {
	words := []string{d.place()}
	if d.s.Place.Name != "" {
		words = append(words, d.coordinates())
	}
	return strings.Join(append(words, "sky: "+skyWords(d.s.Sky)), " · ")
}

func skyWords(s session.Sky) string {
	switch s.Kind {
	case "named":
		return s.Name
	case "oktas":
		return fmt.Sprintf("%.0f/8 cloud", or(s.Oktas, 0))
	case "metar":
		return s.METAR
	case "irradiance":
		return fmt.Sprintf("beam %.0f, sky %.0f W/m²", or(s.DNIWM2, 0), or(s.DHIWM2, 0))
	case "meter":
		return fmt.Sprintf("metered EV %.1f in the sun", or(s.MeterEV100, 0))
	}
	return s.Kind
}

// setup writes one planned setup.
func (d *day) setup(su session.Setup, a api.SetupAnswer) sheet.Setup {
	out := sheet.Setup{Title: su.Title, Stage: d.stage(su, a)}
	if out.Title == "" {
		out.Title = su.ID
	}
	if t, err := time.Parse(time.RFC3339, a.At); err == nil {
		out.At = t.In(d.zone).Format("15:04")
	}
	facts := []string{}
	if su.Minutes != nil {
		facts = append(facts, fmt.Sprintf("%.0f min", *su.Minutes))
	}
	facts = append(facts, fmt.Sprintf("%s at %.0f mm", d.lensName(su.Lens), su.FocalMM), fmt.Sprintf("camera %s, looks %s", sheet.Paces(paces(su.Camera.DistanceM)), sheet.Bearing(su.Camera.BearingDeg)))
	out.Facts = strings.Join(facts, " · ")

	if a.Margin != nil {
		m := math.Round(*a.Margin*10) / 10
		out.Margin, out.MarginWords = sheet.Stops(m), fmt.Sprintf("stops ±%.1f", a.Uncertainty)
		switch {
		case a.TooBright:
			out.MarginWords += ", too bright"
		case !a.Reaches:
			out.MarginWords += ", short"
		case m < a.Uncertainty:
			out.MarginWords += ", barely"
		}
	}
	p := a.Answer
	if p == nil {
		out.Margin = "no"
		if a.Margin != nil {
			out.Margin = "no, " + sheet.Stops(*a.Margin)
		}
		out.Lines = append(out.Lines, sheet.Line{Name: "limited by", Words: a.LimitedBy})
	} else {
		d.settings(&out, a, *p)
	}
	if r := a.RunnerUp; r != nil {
		line := fmt.Sprintf("%s %s %s, ISO %.0f, %s", r.Route, r.Shutter, r.Aperture, r.ISO, filter(r.NDStops))
		for _, x := range r.Lights {
			line += fmt.Sprintf(", %s %s at %s", x.Role, x.Power, d.units().Length(x.DistanceM))
		}
		out.Lines = append(out.Lines, sheet.Line{Name: "or", Words: line + "; margin " + sheet.Stops(r.Margin)})
	}
	if a.Cloud != nil {
		for _, n := range a.Cloud.Notes {
			// A longer time matters only where something moves.
			switch {
			case n.Code != "longer":
				out.Care = append(out.Care, d.inUnits("under cloud "+note(n)))
			case a.Lens != nil && a.Lens.BlurPx != nil:
				out.Care = append(out.Care, "under cloud movement blurs longer")
			}
		}
	}
	for _, n := range a.Notes {
		if boxed[n.Code] {
			continue
		}
		if n.Code == "blur" && n.Hint != "" { // how much stands in the line above
			n.Text, n.Hint = n.Hint, ""
		}
		if words := d.inUnits(note(n)); n.Severity == "info" {
			out.Lines = append(out.Lines, sheet.Line{Name: "note", Words: words})
		} else {
			out.Care = append(out.Care, words)
		}
	}
	if a.Margin != nil && *a.Margin < a.Uncertainty {
		ways := []string{}
		for _, w := range a.WaysOut {
			ways = append(ways, fmt.Sprintf("%s (%s)", d.inUnits(w.Change), sheet.Stops(w.Gain)))
		}
		if len(ways) > 0 {
			out.Care = append(out.Care, "limit "+a.LimitedBy+"; more by "+strings.Join(ways, "; "))
		}
	}
	return out
}

var measures = regexp.MustCompile(`\b(\d+(?:\.\d+)?) (m|metres|kg|kilos)([^/\w]|$)`)

// inUnits writes lengths and weights in words of the plan in the units of the
// sheet.
func (d *day) inUnits(s string) string {
	if !d.Imperial {
		return s
	}
	return measures.ReplaceAllStringFunc(s, func(m string) string {
		part := measures.FindStringSubmatch(m)
		x, err := strconv.ParseFloat(part[1], 64)
		switch {
		case err != nil:
			return m
		case part[2][0] == 'k':
			return d.units().Mass(x) + part[3]
		}
		return d.units().Length(x) + part[3]
	})
}

func filter(nd float64) string {
	if nd == 0 {
		return "no filter"
	}
	return fmt.Sprintf("ND %.0f", nd)
}

// boxed are the notes whose matter stands in the safety box, once for all setups.
var boxed = map[string]bool{"wind": true, "ballast": true, "heat": true, "lightning": true, "unknown": true}

func note(n api.Note) string {
	if n.Hint == "" {
		return n.Text
	}
	return n.Text + "; " + n.Hint
}

// settings fills in what the answer sets: skies, lights, test frames.
func (d *day) settings(out *sheet.Setup, a api.SetupAnswer, p api.Planned) {
	state := func(name string, s api.SettingsJSON) sheet.State {
		return sheet.State{Name: name, Shutter: s.Shutter, Aperture: s.Aperture, Rest: fmt.Sprintf("ISO %.0f · %s", s.ISO, filter(s.NDStops))}
	}
	sky := "sun"
	if a.Cloud == nil {
		sky = "this light"
	}
	out.States = []sheet.State{state(sky, p.SettingsJSON)}
	var cloud []string
	if a.Cloud != nil {
		out.States = append(out.States, state(fmt.Sprintf("cloud, %s", sheet.Stops(a.Cloud.Change)), a.Cloud.CloudState.SettingsJSON))
		cloud = a.Cloud.CloudState.Powers
	}
	for i, l := range p.Lights {
		row := sheet.LightRow{Role: l.Role, What: l.Head + ", " + or2(l.Modifier, "bare"), Distance: l.DistanceM, Paces: l.Paces,
			Angle: around(l.AngleDeg), Powers: []string{l.Power}}
		if i < len(cloud) {
			row.Powers = append(row.Powers, cloud[i])
		}
		out.Lights = append(out.Lights, row)
	}
	out.Tests = tests(p)

	words := []string{}
	if x := a.Lens; x != nil {
		far := "infinity"
		if x.FarM != nil {
			far = d.units().Length(*x.FarM)
		}
		words = append(words, fmt.Sprintf("sharp %s to %s", d.units().Length(x.NearM), far))
		if x.BlurPx != nil && x.FlashPx != nil {
			words = append(words, fmt.Sprintf("blur %.0f px by day, %.0f by flash", *x.BlurPx, *x.FlashPx))
		}
	}
	again := 0.0
	for _, l := range p.Lights {
		again = max(again, l.RecycleS)
	}
	if again > 0 {
		words = append(words, fmt.Sprintf("again in %.1f s", again))
	}
	words = append(words, fmt.Sprintf("daylight EV %.1f behind, %.1f face, %.1f edge, ±%.1f",
		a.Daylight.BackgroundEV, a.Daylight.FaceEV, a.Daylight.EdgeEV, a.Daylight.Uncertainty))
	out.Lines = append(out.Lines, sheet.Line{Name: p.Route, Words: strings.Join(words, " · ")})
}

func or2(s, usual string) string {
	if s == "" {
		return usual
	}
	return s
}

// around says where a light stands as the photographer sees it.
func around(angle *float64) string {
	if angle == nil {
		return "free"
	}
	x := math.Mod(*angle, 360)
	if x > 180 {
		x -= 360
	} else if x <= -180 {
		x += 360
	}
	switch {
	case math.Abs(x) < 0.5:
		return "0° ahead"
	case x > 179.5:
		return "180° behind"
	case x > 0:
		return fmt.Sprintf("%.0f° left", x)
	}
	return fmt.Sprintf("%.0f° right", -x)
}

// tests says what the three test frames should look like, in stops from
// mid-tone. The daylight on a light's side is its total less its flash.
func tests(p api.Planned) []sheet.Test {
	first := []string{"background " + sheet.Stops(p.Background)}
	side := map[string]string{"key": "face", "edge": "edge", "fill": "shadow"}
	var shows [2]string
	for _, l := range p.Lights {
		day := "dark"
		if light := math.Exp2(l.Total) - math.Exp2(l.Level); light > 0 {
			day = sheet.Stops(math.Log2(light))
		}
		first = append(first, side[l.Role]+" "+day)
		flash := fmt.Sprintf("%s (flash %s)", sheet.Stops(l.Total), sheet.Stops(l.Level))
		switch l.Role {
		case "edge":
			shows[0] = flash
		case "key":
			shows[1] = flash
		}
	}
	out := []sheet.Test{{Name: "flash off", Shows: strings.Join(first, ", ")}}
	for i, name := range []string{"edge alone", "key alone"} {
		if shows[i] != "" {
			out = append(out, sheet.Test{Name: name, Shows: shows[i]})
		}
	}
	return out
}

// stage places everything for the drawings.
func (d *day) stage(su session.Setup, a api.SetupAnswer) sheet.Stage {
	st := sheet.Stage{ID: su.ID, Camera: su.Camera.DistanceM, CameraPaces: paces(su.Camera.DistanceM), CameraHeight: su.Camera.HeightM, Looks: su.Camera.BearingDeg,
		Faces: math.Mod(su.Camera.BearingDeg+180, 360), Figure: usualFigure, SunUp: a.Sun.AltitudeDeg > 0, SunAltitude: a.Sun.AltitudeDeg, SunAxis: a.Sun.FromCameraDeg}
	if su.Subject.FacesDeg != nil {
		st.Faces = *su.Subject.FacesDeg
	}
	for _, p := range d.s.People {
		if p.ID == su.Subject.Person && p.HeightM != nil {
			st.Figure = *p.HeightM
		}
	}
	if sensor, ok := optics.SensorByName(d.s.Kit.Camera.Sensor); ok {
		st.FieldOfView = optics.FieldOfView(sensor.Width, unit.Length(su.FocalMM)*unit.Millimetre).Degrees()
	}
	if a.Answer != nil {
		for _, l := range a.Answer.Lights {
			st.Lights = append(st.Lights, sheet.Spot{Role: l.Role, Angle: or(l.AngleDeg, api.UsualAngle(l.Role)), Distance: l.GroundM, Paces: l.Paces, Height: or(l.HeightM, 0), Width: d.width(l.Modifier)})
		}
	}
	return st
}

const (
	pace        = 0.75 // m; the same step the plan counts in
	usualFigure = 1.70 // m; of a person whose height nobody gave
)

// paces are half steps, as the plan counts them.
func paces(m float64) float64 { return math.Round(m/pace*2) / 2 }

// width is how wide the front of a modifier is.
func (d *day) width(id string) float64 {
	class := id
	for _, m := range d.s.Kit.Modifiers {
		if m.ID == id {
			class = m.Class
		}
	}
	c, _ := modifier.ByID(or2(class, "bare"))
	return c.Width.Metres()
}

func (d *day) lensName(id string) string {
	for _, l := range d.s.Kit.Lenses {
		if l.ID == id && l.Name != "" {
			return l.Name
		}
	}
	return id
}

func (d *day) sunPlace() api.SunPlace {
	p := d.s.Place
	s := api.SunPlace{LatDeg: &p.LatDeg, LonDeg: &p.LonDeg, ElevationM: p.ElevationM}
	if d.s.Weather != nil {
		s.TemperatureC = d.s.Weather.TemperatureC
	}
	return s
}

func (d *day) sun() (api.SunAnswer, error) {
	return api.Sun(api.SunRequest{SunPlace: d.sunPlace(), At: d.start.Format(time.RFC3339)})
}

// sunRows is the day's sun: its events, every setup and the hours around.
func (d *day) sunRows(sun api.SunAnswer) []sheet.SunRow {
	type row struct {
		at   time.Time
		what string
		rank int // of two rows for the same minute, the lower stays
	}
	var rows []row
	event := func(t *time.Time, what string, rank int) {
		if t != nil {
			rows = append(rows, row{t.In(d.zone), what, rank})
		}
	}
	event(sun.Sunrise, "sunrise", 0)
	event(sun.SolarNoon, "noon", 1)
	event(sun.Sunset, "sunset", 0)
	event(sun.CivilDusk, "dusk", 0)
	event(&d.start, "begin", 2)
	event(&d.end, "end", 3)
	for h := d.start.Truncate(time.Hour); h.Before(d.end.Add(time.Hour)); h = h.Add(time.Hour) {
		event(&h, "", 4)
	}
	sort.SliceStable(rows, func(i, j int) bool {
		return rows[i].at.Before(rows[j].at) || rows[i].at.Equal(rows[j].at) && rows[i].rank < rows[j].rank
	})
	var out []sheet.SunRow
	last := ""
	for _, r := range rows {
		clock := r.at.Format("15:04")
		near := r.rank == 4 && slices.ContainsFunc(rows, func(o row) bool { return o.rank < 4 && o.at.Sub(r.at).Abs() < 10*time.Minute })
		if clock == last || near {
			continue
		}
		last = clock
		x := sheet.SunRow{Time: clock, What: r.what}
		if p, err := api.Sun(api.SunRequest{SunPlace: d.sunPlace(), At: r.at.Format(time.RFC3339)}); err == nil {
			x.Bearing = sheet.Bearing(p.Azimuth)
			if r.rank > 0 {
				x.Altitude = sheet.Degrees(p.AltitudeApparent)
			}
		}
		out = append(out, x)
	}
	return out
}

// gathered says once what many assumptions begin with or end in.
func gathered(assumed []string) []string {
	const end = " (not calibrated)"
	var out, raw []string
	for _, a := range assumed {
		if x, ok := strings.CutSuffix(a, end); ok {
			raw = append(raw, x)
		} else {
			out = append(out, a)
		}
	}
	if len(raw) > 0 {
		out = append([]string{"not calibrated: " + strings.Join(shortened(raw), ", ")}, out...)
	}
	return out
}

// shortened leaves out the words a text shares with the one before it, but the
// last of them.
func shortened(all []string) []string {
	var out []string
	var before []string
	for _, s := range all {
		words := strings.Fields(s)
		n := 0
		for n < len(words)-1 && n < len(before) && words[n] == before[n] {
			n++
		}
		out = append(out, strings.Join(words[max(n-1, 0):], " "))
		before = words
	}
	return out
}

func distinct(in []string) []string {
	var out []string
	seen := map[string]bool{}
	for _, x := range in {
		if !seen[x] {
			seen[x] = true
			out = append(out, x)
		}
	}
	return out
}
