package api

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"time"

	"hardnoon/engine/calibrate"
	"hardnoon/engine/exposure"
	"hardnoon/engine/flash"
	"hardnoon/engine/geom"
	"hardnoon/engine/modifier"
	"hardnoon/engine/motion"
	"hardnoon/engine/optics"
	"hardnoon/engine/plan"
	"hardnoon/engine/site"
	"hardnoon/engine/unit"
	"hardnoon/session"
)

// PlanAnswer is a session planned: each setup with its settings, what is left,
// and what helps where it is short. Kept as a file, it is what "adjust" reads.
type PlanAnswer struct {
	Format      string        `json:"format"` // PlanFormat
	Title       string        `json:"title"`
	Place       string        `json:"place"`
	Start       string        `json:"start_at"`
	Zone        string        `json:"zone"`
	Camera      CameraJSON    `json:"camera"`
	Setups      []SetupAnswer `json:"setups"`
	Assumptions []string      `json:"assumptions"`
	Notes       []Note        `json:"notes"`
}

// PlanFormat names the shape of PlanAnswer; it changes when a field goes.
const PlanFormat = "hardnoon plan 1"

// SetupAnswer is one setup planned under its sky.
type SetupAnswer struct {
	ID          string        `json:"id"`
	Title       string        `json:"title"`
	At          string        `json:"at"`
	Sun         SunSeen       `json:"sun"`
	Daylight    DaylightJSON  `json:"daylight"`
	Lens        *LensSeen     `json:"lens,omitempty"`
	Reaches     bool          `json:"reaches"`
	Answer      *Planned      `json:"answer"`    // null where no setting places the background
	RunnerUp    *Planned      `json:"runner_up"` // the best of another route
	Routes      []Planned     `json:"routes"`
	Margin      *float64      `json:"margin_stops"` // null where no setting exists, or no light is used
	Uncertainty float64       `json:"uncertainty_stops"`
	LimitedBy   string        `json:"limited_by"`
	TooBright   bool          `json:"too_bright,omitempty"` // a head gives more than is wanted even at its lowest power: by as much as the margin is negative
	SlowestS    float64       `json:"slowest_s"`            // longest time that freezes the daylight part; 0 for no wish
	Cloud       *AdjustAnswer `json:"cloud,omitempty"`      // when a cloud takes the sun
	Safety      SafetyJSON    `json:"safety"`
	Assumptions []string      `json:"assumptions"`
	WaysOut     []WayOutJSON  `json:"ways_out"`
	Notes       []Note        `json:"notes"`
}

// SunSeen is where the sun stands, and where that is from the camera.
type SunSeen struct {
	AltitudeDeg   float64 `json:"altitude_deg"` // apparent
	AzimuthDeg    float64 `json:"azimuth_deg"`
	FromCameraDeg float64 `json:"from_camera_axis_deg"` // 0 ahead of the lens, + to the right, ±180 behind the photographer
	FromFaceDeg   float64 `json:"from_face_deg"`        // between the way the face looks and the sun
	Where         string  `json:"where"`                // on the mark, behind something, behind the skyline, hidden by cloud, down
}

// DaylightJSON is the daylight of a setup as an incident meter would show it.
type DaylightJSON struct {
	BackgroundEV float64 `json:"background_ev100"` // the level the background is placed by
	FaceEV       float64 `json:"face_ev100"`       // on the upright plane the key lights
	EdgeEV       float64 `json:"edge_ev100"`       // on the upright plane the edge light rims
	CCTK         float64 `json:"cct_k"`            // of the mix
	Model        string  `json:"model"`
	Uncertainty  float64 `json:"uncertainty_stops"`
	LampsLX      float64 `json:"lamps_lx"` // of field lights, on the level ground at the mark
}

// LensSeen is what the lens makes of the answer.
type LensSeen struct {
	FocalMM float64  `json:"focal_mm"`
	NearM   float64  `json:"near_m"`
	FarM    *float64 `json:"far_m"`   // null is infinity
	BlurPx  *float64 `json:"blur_px"` // of the daylight part, by the speed the look names
	FlashPx *float64 `json:"flash_blur_px"`
}

// Plan solves every setup of a session.
func Plan(s session.Session) (PlanAnswer, error) {
	p, err := newPlanner(s)
	if err != nil {
		return PlanAnswer{}, err
	}
	a := PlanAnswer{Format: PlanFormat, Title: s.Title, Place: s.Place.Name, Zone: s.Place.Zone, Start: p.start.Format(time.RFC3339),
		Camera: p.cameraJSON(), Setups: []SetupAnswer{}, Assumptions: p.assumed, Notes: []Note{}}
	for _, x := range p.weather.assumed {
		a.Assumptions = appendNew(a.Assumptions, x)
	}
	for i := range s.Setups {
		x, err := p.setup(i)
		if err != nil {
			return PlanAnswer{}, err
		}
		a.Setups = append(a.Setups, x)
	}
	return a, nil
}

// planner is a session with its names looked up.
type planner struct {
	s       session.Session
	zone    *time.Location
	start   time.Time
	camera  plan.Camera
	sensor  optics.Sensor
	pixels  float64 // megapixels
	heads   map[string]flash.Head
	classes map[string]modifier.Class
	printed map[string]*flash.Measured // a head's printed guide number, by "head modifier"
	known   *calibrate.Calibration
	around  *plan.Ground // see ground
	far     *plan.Spot   // see ground
	spots   map[unit.Length]*plan.Spot
	lamps   *fieldLights // see switchedOn
	weather outdoors
	assumed []string
}

func newPlanner(s session.Session) (*planner, error) {
	p := &planner{s: s, heads: map[string]flash.Head{}, classes: map[string]modifier.Class{}, printed: map[string]*flash.Measured{}, assumed: []string{}}
	var err error
	if p.zone, err = time.LoadLocation(s.Place.Zone); err != nil {
		return nil, wrong("place.zone", fmt.Errorf("the time zone %q is not known", s.Place.Zone), `name it like Europe/Madrid; "hardnoon place" finds it`)
	}
	if p.start, err = session.Instant(s.Start, p.zone, s.Fold); err != nil {
		return nil, wrongTime("start", err)
	}
	if f := s.Place.Field; f != nil {
		if _, ok := site.GroundNamed(f.Name); !ok {
			return nil, noField(f.Name)
		}
	}
	if err := p.lookUpCamera(); err != nil {
		return nil, err
	}
	if err := p.lookUpKit(); err != nil {
		return nil, err
	}
	if p.weather, err = p.outdoors(SafetyRequest{}); err != nil {
		return nil, err
	}
	return p, nil
}

func wrongTime(field string, err error) *Error {
	var e *session.Error
	if errors.As(err, &e) {
		return &Error{Kind: WrongInput, Code: "wrong_time", Field: field, Text: e.Text, Hint: e.Hint, Cause: err}
	}
	return wrong(field, err, "")
}

func (p *planner) lookUpCamera() error {
	c := p.s.Kit.Camera
	var err error
	if p.camera.Dial, err = dial(c.Dial); err != nil {
		return wrong("kit.camera.dial", err, "say thirds or halves")
	}
	if p.camera.Kind, err = shutterKind(c.Shutter); err != nil {
		return wrong("kit.camera.shutter", err, "say focal-plane, leaf or global")
	}
	if p.camera.Sync, err = exposure.ParseShutter(c.Sync, p.camera.Dial); err != nil {
		return wrong("kit.camera.sync", err, "write it like 1/250")
	}
	p.camera.Slowest = max(1.0/32, p.camera.Sync)
	p.camera.Fastest = 1.0 / 8192
	if c.Fastest != "" {
		if p.camera.Fastest, err = exposure.ParseShutter(c.Fastest, p.camera.Dial); err != nil {
			return wrong("kit.camera.fastest", err, "write it like 1/8000")
		}
	} else {
		p.assumed = append(p.assumed, "fastest shutter 1/8000")
	}
	if p.camera.Fastest > p.camera.Sync*1.01 {
		return wrong("kit.camera.fastest", fmt.Errorf("the fastest shutter time, %s, is longer than the sync time, %s", p.camera.Fastest.Label(p.camera.Dial), p.camera.Sync.Label(p.camera.Dial)), "are the two exchanged?")
	}
	if p.camera.ISOMin, err = exposure.NearestISO(or(c.ISOMin, 100), p.camera.Dial); err != nil {
		return wrong("kit.camera.iso_min", err, "write it like 100")
	}
	if p.camera.ISOMax, err = exposure.NearestISO(or(c.ISOMax, 1600), p.camera.Dial); err != nil {
		return wrong("kit.camera.iso_max", err, "write it like 1600")
	}
	var ok bool
	name := c.Sensor
	if size, medium := strings.CutPrefix(name, "medium-"); medium && size != "44x33" {
		name = size
	} else if medium {
		name = "medium"
	}
	if p.sensor, ok = optics.SensorByName(name); !ok {
		return wrong("kit.camera.sensor", fmt.Errorf("no sensor is called %q", c.Sensor), "say full-frame, aps-c or four-thirds")
	}
	p.pixels = or(c.Megapixels, p.sensor.Megapixels)
	if c.Megapixels == nil {
		p.assumed = append(p.assumed, fmt.Sprintf("%g megapixels, usual for the sensor", p.pixels))
	}
	return nil
}

func (p *planner) cameraJSON() CameraJSON {
	return cameraJSON(p.camera, p.s.Kit.Camera.Shutter, p.s.Kit.Camera.Dial)
}

func (p *planner) lookUpKit() error {
	p.classes["bare"], _ = modifier.ByID("bare")
	for i, m := range p.s.Kit.Modifiers {
		c, ok := modifier.ByID(m.Class)
		if !ok {
			return wrong(fmt.Sprintf("kit.modifiers[%d].class", i), fmt.Errorf("no modifier class is called %q", m.Class),
				"there are "+ids(modifier.All(), func(m modifier.Class) string { return m.ID }))
		}
		p.classes[m.ID] = c
	}
	for i, h := range p.s.Kit.Heads {
		head, err := p.head(i, h)
		if err != nil {
			return err
		}
		p.heads[h.ID] = head
	}
	if c := p.s.Kit.Calibration; c != nil {
		known := knownKit(*c)
		p.known = &known
	}
	return nil
}

// head is a head of the kit: its class, and what is printed on it over that.
func (p *planner) head(i int, h session.Head) (flash.Head, error) {
	field := fmt.Sprintf("kit.heads[%d]", i)
	if h.Class == "" {
		own := OwnHead{ID: h.ID, Name: h.Name, EnergyWS: h.EnergyWS, GuideNumber: h.GuideNumberM, ISO: h.GuideNumberISO, With: h.GuideNumberModifier, Entry: h.HSSEntryStops}
		head, err := HeadFromGuideNumber(own)
		var e *Error
		if errors.As(err, &e) {
			e.Field = field + "." + e.Field
			return head, e
		}
		return head, err
	}
	head, ok := flash.ByID(h.Class)
	if !ok {
		return head, wrong(field+".class", fmt.Errorf("no head class is called %q", h.Class), "there are "+ids(flash.All(), func(h flash.Head) string { return h.ID }))
	}
	if h.EnergyWS != nil {
		head.Energy = unit.Energy(*h.EnergyWS) * unit.WattSecond
	}
	if h.HSSEntryStops != nil {
		head.Entry, head.EntryError = unit.Stops(*h.HSSEntryStops), unit.Stop/4
	}
	if h.GuideNumberM != nil {
		gn := *h.GuideNumberM / math.Sqrt(or(h.GuideNumberISO, 100)/100)
		mod := h.GuideNumberModifier
		if mod == "" {
			mod = "bare"
		}
		p.printed[h.ID+" "+mod] = &flash.Measured{GN: gn, Distance: modifier.Reference, Error: printedError, Basis: "printed"}
	}
	return head, nil
}

// source returns a head behind a modifier as far as the kit knows it, and says
// where the figure comes from.
func (p *planner) source(head, mod string) (flash.Source, string) {
	if mod == "" {
		mod = "bare"
	}
	class := ""
	for _, h := range p.s.Kit.Heads {
		if h.ID == head {
			class = h.Class
		}
	}
	src := flash.Source{Head: p.heads[head], Modifier: p.classes[mod]}
	src.Measured = p.printed[head+" "+src.Modifier.ID]
	if p.known != nil {
		// A calibration names heads and modifiers by kit id or by class.
		for _, id := range []string{class, head} {
			for _, m := range []string{src.Modifier.ID, mod} {
				known := src
				known.Head.ID, known.Modifier.ID = id, m
				known = p.known.Apply(known)
				known.Head.ID, known.Modifier.ID = src.Head.ID, src.Modifier.ID
				src = known
			}
		}
	}
	switch {
	case src.Measured != nil:
		return src, fmt.Sprintf("light of %s with %s from %s", head, mod, src.Measured.Basis)
	case src.Head.Basis == "readings":
		return src, fmt.Sprintf("light of %s from readings, %s after its class", head, mod)
	}
	return src, fmt.Sprintf("light of %s with %s after its class (not calibrated)", head, mod)
}

// Distances a light may stand at where the session says none. Own judgement:
// nearer is in the picture or too uneven, further is another picture.
var usualDistance = map[plan.Role][2]unit.Length{plan.Key: {1.2, 3}, plan.Edge: {1.5, 5}, plan.Fill: {1.5, 5}}

var usualLevel = map[plan.Role]unit.Stops{plan.Key: 0, plan.Edge: 0, plan.Fill: -2}

// at returns when setup number i is shot.
func (p *planner) at(i int) (time.Time, error) {
	su := p.s.Setups[i]
	if su.At == "" {
		return p.start, nil
	}
	at, err := session.Instant(su.At, p.zone, p.s.Fold)
	if err != nil {
		return at, wrongTime(fmt.Sprintf("setups[%d].at", i), err)
	}
	return at, nil
}

// setup solves setup number i.
func (p *planner) setup(i int) (SetupAnswer, error) {
	su := p.s.Setups[i]
	field := func(rest string) string { return fmt.Sprintf("setups[%d].%s", i, rest) }
	a := SetupAnswer{ID: su.ID, Title: su.Title, Routes: []Planned{}, Assumptions: []string{}, WaysOut: []WayOutJSON{}, Notes: []Note{}}
	at, err := p.at(i)
	if err != nil {
		return a, err
	}
	a.At = at.Format(time.RFC3339)
	day, err := p.daylight(at)
	if err != nil {
		return a, err
	}
	face := p.faceHeight(su)
	if a.Safety, a.Assumptions, err = p.safety(su, at, day, face); err != nil {
		return a, err
	}
	a.Notes = append(append(a.Notes, p.tooHigh(su)...), a.Safety.notes()...)
	if near := 1.1 * su.FocalMM / 1000; su.Camera.DistanceM < near {
		return a, wrong(field("camera.distance_m"), fmt.Errorf("the camera is %.2g m from the subject; a lens of %.0f mm focuses no closer than %.2g m", su.Camera.DistanceM, su.FocalMM, near), "most lenses need ten times their focal length; see the ring")
	}
	looks := unit.Angle(su.Camera.BearingDeg) * unit.Degree
	toCamera := looks + unit.Turn/2
	faces := toCamera
	if su.Subject.FacesDeg != nil {
		faces = unit.Angle(*su.Subject.FacesDeg) * unit.Degree
	}
	a.Sun = SunSeen{deg(day.sun.AltitudeApparent), bearing(day.sun.Azimuth), deg((day.sun.Azimuth - looks).Signed()),
		deg(day.sun.Direction().AngleTo(geom.Direction(faces, 0))), ""}

	camera, err := p.cameraFor(su)
	if err != nil {
		return a, wrong(field("look.iso_max"), err, "write it like 400")
	}
	prob := plan.Problem{Camera: camera, Look: plan.Look{Under: unit.Stops(su.Look.UnderStops)}}
	for _, nd := range p.s.Kit.NDStops {
		prob.NDs = append(prob.NDs, unit.Stops(nd))
	}
	side := toCamera // where the edge light comes from
	var lights []roleOf
	for j, l := range su.Lights {
		x, what, err := p.light(l)
		if err != nil {
			return a, wrong(field(fmt.Sprintf("lights[%d]", j)), err, "")
		}
		if l.Role == "edge" {
			side = toCamera + unit.Angle(or(l.AngleDeg, UsualAngle(l.Role)))*unit.Degree
		}
		prob.Lights = append(prob.Lights, x)
		lights = append(lights, roleOf{l.Head, l.Modifier, x.Source, l.AngleDeg, lightHeight(l, face), face})
		a.Assumptions = appendNew(a.Assumptions, what)
	}
	levels := [...]*float64{su.Look.KeyStops, su.Look.EdgeStops, su.Look.FillStops}
	for r, to := range []*unit.Stops{&prob.Look.Key, &prob.Look.Edge, &prob.Look.Fill} {
		*to = unit.Stops(or(levels[r], float64(usualLevel[plan.Role(r)])))
	}
	f, err := p.aspect(day, toCamera, faces, side, face)
	if err != nil {
		return a, err
	}
	if a.Sun.Where, err = p.whereSun(day.now, day.sun.Direction(), geom.Vec{Z: face.Metres()}); err != nil {
		return a, err
	}
	if prob.Daylight, err = day.seen(f); err != nil {
		return a, err
	}
	a.Daylight = DaylightJSON{digits(float64(prob.Daylight.Background), 3), digits(float64(prob.Daylight.Face), 3), digits(float64(prob.Daylight.Side), 3),
		math.Round(day.cct()), day.model, tidy(prob.Daylight.Error), digits(float64(day.lampsLX()), 3)}
	a.Assumptions = append(a.Assumptions, day.assumed...)
	if prob.Daylight.Background < night {
		a.LimitedBy = "no daylight"
		a.Notes = append(append(a.Notes, day.notes...), Note{"night", "caution", "it is night, and no background to place", underLamps})
		return a, nil
	}
	switch x := f.taken(day.now); {
	case x > told:
		a.Notes = append(a.Notes, Note{"surround", "info", fmt.Sprintf("what stands around takes %.1f stops of sky and sunlit ground from the face", x), ""})
	case x < -told:
		a.Notes = append(a.Notes, Note{"surround", "info", fmt.Sprintf("what stands around throws light back: %.1f stops more on the face", -x), ""})
	}
	lens := p.lens(su.Lens)
	if err := p.aperture(&prob, &a, su, lens, field); err != nil {
		return a, err
	}
	if v, b := su.Look.SpeedMPS, or(su.Look.BlurPx, 3); v != nil && *v > 0 {
		t := motion.SlowestFor(b, unit.Speed(*v), unit.Length(su.FocalMM)*unit.Millimetre, unit.Length(su.Camera.DistanceM), p.sensor.Pitch(p.pixels))
		prob.Look.Slowest = exposure.Shutter(t)
		a.SlowestS = t
	}
	if len(su.Lights) == 0 && prob.Look.Slowest == 0 {
		t := p.handHeld(su)
		prob.Look.Slowest = t
		a.Assumptions = appendNew(a.Assumptions, fmt.Sprintf("the camera in the hand: no slower than %s where the ISO allows (common practice)", freezing(float64(t), p.camera.Dial)))
	}
	prob.Spares = p.spares(su)
	prob.Look.Route = routeOf(su.Look.Route)

	r, err := plan.Solve(prob)
	var no *plan.NoAnswerError
	if errors.As(err, &no) {
		return p.noSetting(a, prob, no), nil
	}
	if err != nil {
		return a, wrong(field("look"), err, "change the look or the kit")
	}
	a.Answer = planned(r.Best, lights, p.camera.Dial)
	if r.RunnerUp != nil {
		a.RunnerUp = planned(*r.RunnerUp, lights, p.camera.Dial)
	}
	for _, x := range r.Routes {
		a.Routes = append(a.Routes, *planned(x, lights, p.camera.Dial))
	}
	if su.Look.SpeedMPS != nil {
		smears := func(x *Planned) { x.BlurPx = new(digits(p.smear(su, exposure.Shutter(x.ShutterS)), 2)) }
		smears(a.Answer)
		if a.RunnerUp != nil {
			smears(a.RunnerUp)
		}
		for i := range a.Routes {
			smears(&a.Routes[i])
		}
	}
	if margin := tidy(r.Best.Margin); len(lights) > 0 {
		a.Margin, a.LimitedBy = &margin, r.Best.LimitedBy.String()
	}
	a.TooBright = r.Best.Margin < 0 && r.Best.LimitedBy == plan.ByLowestPower
	a.Uncertainty = tidy(r.Best.Error)
	a.Reaches = r.Best.Margin >= -reachable
	a.WaysOut = waysOutJSON(r.WaysOut, p.camera.Dial)
	for i, x := range r.WaysOut {
		if px := p.smear(su, x.Settings.Shutter); x.Kind == plan.ChangeRoute && a.SlowestS > 0 && float64(x.Settings.Shutter) > a.SlowestS*1.1 {
			a.WaysOut[i].Change += fmt.Sprintf(", smears %.0f px", digits(px, 2))
		}
	}
	if r.Best.Route == plan.HighSpeed {
		for _, l := range lights {
			if l.source.Head.Basis != "readings" {
				a.Assumptions = appendNew(a.Assumptions, fmt.Sprintf("high-speed-sync entry of %s %.1f stops (not calibrated)", l.head, float64(l.source.Head.Entry)))
			}
		}
	}
	a.Lens = p.lensSeen(su, r.Best, lights)
	if a.SlowestS > 0 && float64(r.Best.Settings.Shutter) > a.SlowestS*1.1 {
		a.Notes = append(a.Notes, Note{"blur", "caution", fmt.Sprintf("the daylight part of the movement blurs over %.0f pixels at %s", *a.Lens.BlurPx, r.Best.Settings.Shutter.Label(p.camera.Dial)),
			p.freezesAt(a.SlowestS) + "; further under hides the ghost too"})
	}
	if over := unit.StopsOf(p.albedo() / midTone); over > brightGround {
		a.Notes = append(a.Notes, Note{"bright_ground", "info", fmt.Sprintf("the ground lies %.1f stops over a mid-tone: where it is the background it comes out at about %s", float64(over), signed(tidy(r.Best.Background+over))),
			"ask for more stops under, or take the sky or trees behind"})
	}
	if t := r.Best.Settings.Shutter; float64(t) > 1.5*float64(p.handHeld(su)) {
		a.Notes = append(a.Notes, Note{"shake", "info", fmt.Sprintf("%s is slow for %.0f mm in the hand: what the flash does not light shakes", t.Label(p.camera.Dial), su.FocalMM), "lean on something, or a monopod"})
	}
	if x := r.Weaker; x != nil {
		l := lights[x.Light]
		px := digits(p.smear(su, x.Settings.Shutter), 2)
		a.Notes = append(a.Notes, Note{"too_strong", "caution",
			fmt.Sprintf("the %s cannot be turned down further; %.1f stops weaker lets %s · ISO %s, where the movement smears %.0f pixels", prob.Lights[x.Light].Role, float64(x.By), x.Settings.Shutter.Label(p.camera.Dial), x.Settings.ISO.Label(p.camera.Dial), px),
			fmt.Sprintf("put a cloth or a grey gel on %s, or stand it %.0f m away", l.head, math.Ceil(x.Distance.Metres()))})
	}
	a.Notes = append(append(append(a.Notes, day.notes...), flicker(day, a.Answer.ShutterS)...), routeNotes(prob.Look.Route, r)...)
	stray, err := p.stray(su, r.Best.Lights, lights, looks, day.sun.Direction(), f.onMark)
	if err != nil {
		return a, err
	}
	if g, err := p.ground(); err == nil {
		lens := p.looking(su)
		if b := g.See(&lens, geom.Vec{}, looks); b.Blocked {
			what := whatStands(plan.Blocked, b, g)
			stray = append(stray, Note{"blocked", "caution", what + " stands between the lens and the subject, or where the camera would", "move the mark or the camera; see \"hardnoon way FILE\""})
		}
	}
	if len(stray) > 0 {
		a.Reaches, a.Notes = false, append(a.Notes, stray...)
	}
	return p.withCloud(a, day, prob, f)
}

// cameraFor is the camera with the highest ISO that the look of a setup allows.
func (p *planner) cameraFor(su session.Setup) (plan.Camera, error) {
	c := p.camera
	if most := su.Look.ISOMax; most != nil {
		iso, err := exposure.NearestISO(*most, c.Dial)
		if err != nil {
			return c, err
		}
		c.ISOMax = max(iso, c.ISOMin)
	}
	return c, nil
}

// midTone is the reflectance that the background's level stands for. Source:
// [ISO2720], 18 %.
const midTone = 0.18

// brightGround is how far over a mid-tone a ground lies before it is worth a word.
// Own choice: snow is, concrete is not.
const brightGround = 1.3 * unit.Stop

// freezesAt says at which click of the dial the movement stands still, and
// whether the camera has it.
func (p *planner) freezesAt(slowest float64) string {
	at := freezing(slowest, p.camera.Dial)
	if slowest*1.01 < float64(p.camera.Fastest) {
		return "it would freeze at " + at + ", faster than this camera"
	}
	return "it freezes at " + at
}

// handHeld is the longest time that hands hold still: one over the focal length
// in millimetres on full frame. Common practice, no source.
func (p *planner) handHeld(su session.Setup) exposure.Shutter {
	crop := 36 * unit.Millimetre / p.sensor.Width
	return exposure.Shutter(1 / (su.FocalMM * float64(crop)))
}

// stray says which lights with an asked-for angle stand in the frame at the
// planned distance, and the least that takes them out.
func (p *planner) stray(su session.Setup, at []plan.LightSetting, lights []roleOf, looks unit.Angle, sun geom.Vec, share float64) (out []Note, err error) {
	lens := p.looking(su)
	var seen []int
	for i, l := range su.Lights {
		if l.AngleDeg == nil {
			continue
		}
		height, size := lights[i].height, lights[i].source.Modifier
		run := groundDistance(at[i].Distance, height, lights[i].face)
		if lens.Shows(unit.Angle(*l.AngleDeg)*unit.Degree, run, unit.Length(height), max(size.Width, size.Height)/2) {
			seen = append(seen, i)
		}
	}
	if len(seen) == 0 {
		return nil, nil
	}
	sts, err := p.stances(WaysRequest{Setup: su.ID}, &WaysAnswer{})
	if err != nil {
		return nil, err
	}
	st := sts[0]
	a, err := st.Arrange(looks, p.uprights(st, at), sun, share)
	var no *plan.NoPlaceError
	if err != nil && !errors.As(err, &no) {
		return nil, wrong("setups.lights", err, "check the lights and stands")
	}
	for _, i := range seen {
		text := fmt.Sprintf("the %s stands in the frame: move it, or take a longer lens", su.Lights[i].Role)
		switch {
		case no != nil && no.Trouble == plan.InFrame && roleIndex(st.prob.Lights, no.Role) == i:
			text = noPlace(no, st.prob.Lights[i])
		case no == nil && a.Lights[i].Trouble == plan.InFrame:
			text = clearing(a.Lights[i])
		}
		out = append(out, Note{"in_frame", "caution", text, ""})
	}
	return out, nil
}

// tooHigh says which lights ask for more height than their stand has.
func (p *planner) tooHigh(su session.Setup) (out []Note) {
	for _, l := range su.Lights {
		for _, s := range p.s.Kit.Stands {
			if s.ID == l.Stand && or(l.HeightM, 0) > s.MaxHeightM {
				out = append(out, Note{"stand_height", "caution", fmt.Sprintf("the %s is wanted %.2g m up and stand %s goes to %.2g m", l.Role, *l.HeightM, s.ID, s.MaxHeightM), "take a higher stand, or lower the light"})
			}
		}
	}
	return out
}

// withCloud adds what to turn when a cloud takes the sun.
func (p *planner) withCloud(a SetupAnswer, day *daylight, prob plan.Problem, f aspect) (SetupAnswer, error) {
	change, assumed, err := day.cloud(prob.Daylight, f)
	if err != nil || change == 0 {
		return a, err
	}
	c, err := adjust(a.ID, *a.Answer, p.camera, exposure.Shutter(a.SlowestS), change, nil)
	if err != nil {
		return a, err
	}
	a.Cloud = &c
	if assumed != "" {
		a.Assumptions = append(a.Assumptions, assumed)
	}
	return a, nil
}

// noSetting is a setup whose background no dial position places: a no, with the
// least change that makes it a yes.
func (p *planner) noSetting(a SetupAnswer, prob plan.Problem, no *plan.NoAnswerError) SetupAnswer {
	a.LimitedBy = plan.BySync.String()
	wish := -float64(no.Under)
	if wish < float64(no.Least) {
		gap := float64(no.Least) - wish
		m := tidy(unit.Stops(-gap))
		a.Margin = &m
		a.WaysOut = append(a.WaysOut,
			WayOutJSON{Change: fmt.Sprintf("an ND %.0f stops stronger", math.Ceil(gap)), Gain: math.Ceil(gap), Margin: math.Ceil(gap) - gap},
			WayOutJSON{Change: fmt.Sprintf("aperture from %s", exposure.FNumber(float64(prob.Look.Narrowest)*math.Exp2(gap/2)).Label(p.camera.Dial)), Gain: gap, Do: &DoJSON{FNumberMax: new(float64(prob.Look.Narrowest) * math.Exp2(gap/2))}})
		if under := -float64(no.Least); under >= -2 {
			words := fmt.Sprintf("background only %.1f under", under)
			if under <= 0 {
				words = fmt.Sprintf("background %.1f stops over mid-tone", -under)
			}
			a.WaysOut = append(a.WaysOut, WayOutJSON{Change: words, Gain: gap, Do: &DoJSON{UnderStops: &under}})
		}
	} else {
		gap := wish - float64(no.Most)
		m := tidy(unit.Stops(-gap))
		a.Margin, a.LimitedBy = &m, "too little daylight for the wanted background"
		a.WaysOut = append(a.WaysOut, WayOutJSON{Change: fmt.Sprintf("background %.1f stops darker than wished", gap), Gain: gap, Do: &DoJSON{UnderStops: new(-float64(no.Most))}})
	}
	a.Notes = append(a.Notes, Note{"no_setting", "caution", no.Error(), "take one of the ways out"})
	return a
}

// aperture bounds the f-number by the lens, the look and the wanted depth.
func (p *planner) aperture(prob *plan.Problem, a *SetupAnswer, su session.Setup, lens session.Lens, field func(string) string) error {
	near := func(x float64) exposure.FNumber {
		n, err := exposure.NearestFNumber(x, p.camera.Dial)
		if err != nil {
			return exposure.FNumber(x)
		}
		return n
	}
	l := &prob.Look
	l.Widest, l.Narrowest = near(lens.FMin), near(or(lens.FMax, 16))
	if lens.FMax == nil {
		a.Assumptions = append(a.Assumptions, "no smaller aperture than f/16")
	}
	if x := su.Look.FNumberMin; x != nil {
		l.Widest = max(l.Widest, near(*x))
	}
	if x := su.Look.FNumberMax; x != nil {
		l.Narrowest = min(l.Narrowest, near(*x))
	}
	if x := su.Look.FNumber; x != nil {
		l.Aperture = near(*x)
	}
	if d := su.Look.DepthM; d != nil {
		n := optics.FNumberFor(unit.Length(su.FocalMM)*unit.Millimetre, unit.Length(su.Camera.DistanceM), unit.Length(*d), p.sensor.Circle(), 1)
		l.Widest = max(l.Widest, exposure.FNumber(n))
	}
	if l.Widest > l.Narrowest {
		return wrong(field("look"), fmt.Errorf("the look asks for f/%.3g or smaller apertures and for no smaller one than f/%.3g", float64(l.Widest), float64(l.Narrowest)),
			"ask for less depth, or allow smaller apertures")
	}
	return nil
}

func (p *planner) lens(id string) session.Lens {
	for _, l := range p.s.Kit.Lenses {
		if l.ID == id {
			return l
		}
	}
	return session.Lens{FMin: 2.8}
}

func (p *planner) lensSeen(su session.Setup, best plan.Answer, lights []roleOf) *LensSeen {
	f, d := unit.Length(su.FocalMM)*unit.Millimetre, unit.Length(su.Camera.DistanceM)
	depth := optics.DepthOfField(optics.Lens{Focal: f, FNumber: float64(best.Settings.FNumber)}, d, p.sensor.Circle())
	x := &LensSeen{FocalMM: su.FocalMM, NearM: digits(depth.Near.Metres(), 3)}
	if !math.IsInf(float64(depth.Far), 1) {
		far := digits(depth.Far.Metres(), 3)
		x.FarM = &far
	}
	if v := su.Look.SpeedMPS; v != nil {
		pitch := p.sensor.Pitch(p.pixels)
		blur := digits(p.smear(su, best.Settings.Shutter), 2)
		x.BlurPx = &blur
		flash := blur // in high-speed sync the flash burns as long as the slit travels
		if best.Route != plan.HighSpeed {
			for i, l := range lights {
				if best.Lights[i].Role == plan.Key {
					flash = digits(motion.Blur(unit.Speed(*v), l.source.Head.T01At(best.Lights[i].Power).Seconds(), f, d, pitch), 2)
				}
			}
		}
		x.FlashPx = &flash
	}
	return x
}

// smear returns how far, in pixels, the daylight part of the movement the look
// names moves while the shutter is open; 0 where none is named.
func (p *planner) smear(su session.Setup, t exposure.Shutter) float64 {
	return motion.Blur(unit.Speed(or(su.Look.SpeedMPS, 0)), float64(t), unit.Length(su.FocalMM)*unit.Millimetre, unit.Length(su.Camera.DistanceM), p.sensor.Pitch(p.pixels))
}

func (p *planner) light(l session.Light) (plan.Light, string, error) {
	role := map[string]plan.Role{"key": plan.Key, "edge": plan.Edge, "fill": plan.Fill}[l.Role]
	src, what := p.source(l.Head, l.Modifier)
	usual := usualDistance[role]
	x := plan.Light{Role: role, Source: src, Min: unit.Length(or(l.DistanceMinM, float64(usual[0]))), Max: unit.Length(or(l.DistanceMaxM, float64(usual[1])))}
	if l.DistanceM != nil {
		x.Wanted = unit.Length(*l.DistanceM)
		if l.DistanceMinM == nil {
			x.Min = x.Wanted
		}
		if l.DistanceMaxM == nil {
			x.Max = max(x.Wanted, x.Min)
		}
	}
	if l.DistanceMinM == nil && l.DistanceMaxM != nil && x.Min > x.Max {
		x.Min = x.Max
	}
	if x.Max < x.Min {
		x.Max = x.Min
	}
	return x, what, src.Head.Check()
}

// spares are the kit's other modifiers in the key's place, and both heads
// together.
func (p *planner) spares(su session.Setup) []plan.Spare {
	key, used := -1, map[string]bool{}
	for i, l := range su.Lights {
		used[l.Modifier] = true
		if l.Role == "key" {
			key = i
		}
	}
	if key < 0 {
		return nil
	}
	var out []plan.Spare
	for _, m := range p.s.Kit.Modifiers {
		if !used[m.ID] {
			src, _ := p.source(su.Lights[key].Head, m.ID)
			out = append(out, plan.Spare{What: src.Modifier.Name + " on the key", Source: src})
		}
	}
	return out
}

func appendNew(to []string, x string) []string {
	for _, y := range to {
		if x == y {
			return to
		}
	}
	return append(to, x)
}
