package api

import (
	"fmt"
	"math"
	"strings"
	"time"

	"hardnoon/engine/safety"
	"hardnoon/engine/sky"
	"hardnoon/engine/unit"
	"hardnoon/session"
)

// SafetyRequest asks what could hurt somebody at a session. Weather said here
// goes over the session's, and that over its aerodrome report.
type SafetyRequest struct {
	Session      session.Session `json:"session"`
	WindMPS      *float64        `json:"wind_mps,omitempty"`      // ten-minute mean at 10 m
	GustMPS      *float64        `json:"gust_mps,omitempty"`      // three-second gust at 10 m
	TemperatureC *float64        `json:"temperature_c,omitempty"` // in the shade
	HumidityPct  *float64        `json:"humidity_pct,omitempty"`
	Region       string          `json:"region,omitempty"`  // hot, middle or cool: what people there are used to
	Thunder      []string        `json:"thunder,omitempty"` // flashes and thunder, wall clock of the place: 14:20 or 2027-01-16T14:20
}

// SafetyAnswer is a session judged, setup by setup.
type SafetyAnswer struct {
	Title       string        `json:"title"`
	Place       string        `json:"place"`
	Zone        string        `json:"zone"`
	Setups      []SetupSafety `json:"setups"`
	Assumptions []string      `json:"assumptions"`
	Decides     string        `json:"decides"`
}

// SetupSafety is one setup judged at its hour.
type SetupSafety struct {
	ID     string     `json:"id"`
	Title  string     `json:"title"`
	At     string     `json:"at"`
	Safety SafetyJSON `json:"safety"`
}

// SafetyJSON is what could hurt somebody at a setup. Levels are quiet (nothing
// known speaks against it), care, stop and unknown, which is not quiet.
type SafetyJSON struct {
	Stands    []StandSafety   `json:"stands"`
	Ballast   *BallastSafety  `json:"ballast"` // null without wind, or where no stand goes up
	Heat      HeatSafety      `json:"heat"`
	Cold      *ColdSafety     `json:"cold,omitempty"` // in air of 10 °C and less
	UV        UVSafety        `json:"uv"`
	Lightning LightningSafety `json:"lightning"`
	Youth     bool            `json:"youth"`   // minors are there, or may be
	Unknown   []string        `json:"unknown"` // what to find out
	Own       []string        `json:"own"`     // thresholds in it that are ours
	Sources   []string        `json:"sources"`
	Decides   string          `json:"decides"`
}

// StandSafety is one stand in the wind.
type StandSafety struct {
	Level       string   `json:"level"`
	Role        string   `json:"role"`
	Stand       string   `json:"stand"` // empty: none named, a light one assumed
	HeightM     float64  `json:"height_m"`
	GustMPS     *float64 `json:"gust_mps"`        // null: no wind known
	TipMPS      float64  `json:"tip_speed_mps"`   // with no ballast
	BallastMast *float64 `json:"ballast_mast_kg"` // hung at the mast
	BallastFoot *float64 `json:"ballast_foot_kg"` // or on the windward foot
	KeepOutM    float64  `json:"keep_out_m"`
	Text        string   `json:"text"`
}

// BallastSafety compares what the stands ask for, in whole kilos each, with what
// is in the car.
type BallastSafety struct {
	MastKg  float64  `json:"ballast_mast_kg"`
	FootKg  float64  `json:"ballast_foot_kg"`
	HaveKg  *float64 `json:"ballast_have_kg"`
	ShortKg float64  `json:"ballast_short_kg"` // even on the windward feet; 0: enough there
	Change  string   `json:"change"`           // the least that makes it enough
	Text    string   `json:"text"`
}

// HeatSafety is what the weather means for people who move in it.
type HeatSafety struct {
	Level      string   `json:"level"`
	WBGT       *float64 `json:"wbgt_c"`
	Estimate   bool     `json:"wbgt_estimate"`
	HeatIndexC *float64 `json:"heat_index_c"`
	Band       string   `json:"heat_index_band"`
	Table      string   `json:"activity_table"`
	Action     string   `json:"action"`
	Text       string   `json:"text"`
}

// ColdSafety is what air and wind mean for bare skin.
type ColdSafety struct {
	Level     string  `json:"level"`
	WindChill float64 `json:"wind_chill_c"`
	Text      string  `json:"text"`
}

// UVSafety is what the sun's height means for skin, under a clear sky.
type UVSafety struct {
	Level string  `json:"level"`
	Index float64 `json:"uv_index"`
	Band  string  `json:"uv_band"`
	Text  string  `json:"text"`
}

// LightningSafety is where the lightning clock stands.
type LightningSafety struct {
	Level   string  `json:"level"`
	Last    *string `json:"last_at"`    // flash or thunder
	Restart *string `json:"restart_at"` // earliest
	Text    string  `json:"text"`
}

// Safety answers what could hurt somebody.
func Safety(req SafetyRequest) (SafetyAnswer, error) {
	p, err := newPlanner(req.Session)
	if err != nil {
		return SafetyAnswer{}, err
	}
	if p.weather, err = p.outdoors(req); err != nil {
		return SafetyAnswer{}, err
	}
	a := SafetyAnswer{Title: p.s.Title, Place: p.s.Place.Name, Zone: p.s.Place.Zone, Setups: []SetupSafety{}, Assumptions: append([]string{}, p.weather.assumed...), Decides: safety.Deferral}
	for i, su := range p.s.Setups {
		at, err := p.at(i)
		if err != nil {
			return SafetyAnswer{}, err
		}
		day, err := p.daylight(at)
		if err != nil {
			return SafetyAnswer{}, err
		}
		s, assumed, err := p.safety(su, at, day, p.faceHeight(su))
		if err != nil {
			return SafetyAnswer{}, err
		}
		for _, x := range assumed {
			a.Assumptions = appendNew(a.Assumptions, x)
		}
		a.Setups = append(a.Setups, SetupSafety{su.ID, su.Title, at.Format(time.RFC3339), s})
	}
	return a, nil
}

// outdoors is what is known of the weather at a session, and of who is there.
type outdoors struct {
	air      *unit.Celsius
	humidity *float64
	wind     safety.WindReport
	region   safety.Region
	youth    bool
	thunder  []time.Time // heard or seen
	storm    bool        // thunder in the report the setups are planned under
	towering bool        // cloud in it that can make thunder
	assumed  []string
}

// outdoors gathers the weather: from the request, else the session, else its
// aerodrome report.
func (p *planner) outdoors(req SafetyRequest) (outdoors, error) {
	o := outdoors{assumed: []string{}}
	for _, x := range []struct {
		field, what string
		v           *float64
		lo, hi      float64
		unit        string
	}{{"wind_mps", "wind", req.WindMPS, 0, 80, "m/s"}, {"gust_mps", "gust", req.GustMPS, 0, 120, "m/s"},
		{"temperature_c", "temperature", req.TemperatureC, -60, 60, "°C"}, {"humidity_pct", "humidity", req.HumidityPct, 0, 100, "%"}} {
		if x.v != nil {
			if err := unit.Within(x.what, *x.v, x.lo, x.hi, x.unit); err != nil {
				return o, wrong(x.field, err, "give it as the weather service does")
			}
		}
	}
	if req.WindMPS != nil && req.GustMPS != nil && *req.GustMPS < *req.WindMPS {
		return o, wrong("gust_mps", fmt.Errorf("the gust is %g m/s and the mean wind %g m/s", *req.GustMPS, *req.WindMPS), "the gust is the greater of the two")
	}
	switch strings.ToLower(strings.TrimSpace(req.Region)) {
	case "":
	case "hot":
		o.region = safety.Hot
	case "middle":
		o.region = safety.Middle
	case "cool":
		o.region = safety.Cool
	default:
		return o, wrong("region", fmt.Errorf("no region is called %q", req.Region), "say hot, middle or cool, or nothing")
	}
	for _, x := range req.Thunder {
		local := strings.TrimSpace(x)
		if !strings.Contains(local, "T") { // a time of day is of the day the session begins
			local = p.start.Format("2006-01-02") + "T" + local
		}
		at, err := session.Instant(local, p.zone, p.s.Fold)
		if err != nil {
			return o, wrong("thunder", fmt.Errorf("%.40q is no time of a flash or of thunder", x), "write it like 14:20, or 2027-01-16T14:20")
		}
		o.thunder = append(o.thunder, at)
	}
	w := p.s.Weather
	if w == nil {
		w = &session.Weather{}
	}
	first := func(a, b *float64) *float64 {
		if a != nil {
			return a
		}
		return b
	}
	if x := first(req.TemperatureC, w.TemperatureC); x != nil {
		o.air = new(unit.Celsius(*x))
	}
	o.humidity = first(req.HumidityPct, w.HumidityPct)
	if x := first(req.WindMPS, w.WindMPS); x != nil {
		o.wind.Mean = new(unit.Speed(*x))
	}
	if x := first(req.GustMPS, w.GustMPS); x != nil {
		o.wind.Gust = new(unit.Speed(*x))
	}
	if err := o.report(p.s.Sky); err != nil {
		return o, err
	}
	if g, err := o.wind.GustAtStand(); err == nil && g.From == safety.FromMean {
		o.assumed = append(o.assumed, fmt.Sprintf("gusts %.1f times the mean wind (own rule)", safety.GustOverMean))
	}
	o.people(p.s.People)
	return o, nil
}

// report fills what nobody said from the aerodrome report the session was given
// as its sky.
func (o *outdoors) report(s session.Sky) error {
	if s.Kind != "metar" {
		return nil
	}
	r, err := sky.ParseMETAR(s.METAR)
	if err != nil {
		return wrong("sky.metar", err, "give the report as it was issued")
	}
	o.storm, o.towering = r.Thunder(), r.Convective()
	var from []string
	if r.Wind != nil && o.wind.Mean == nil && o.wind.Gust == nil {
		o.wind.Mean, o.wind.Gust = &r.Wind.Mean, r.Wind.Gust
		from = append(from, "wind")
	}
	if o.air == nil && r.Temperature != nil {
		o.air = r.Temperature
		from = append(from, "temperature")
		if o.humidity == nil && r.DewPoint != nil {
			if h, err := safety.Humidity(*r.Temperature, *r.DewPoint); err == nil {
				o.humidity = &h
				from = append(from, "humidity")
			}
		}
	}
	if len(from) > 0 {
		o.assumed = append(o.assumed, strings.Join(from, ", ")+" of the aerodrome report: of another place, and of its hour")
	}
	return nil
}

// adult is the age from which nobody is a minor, in most places.
const adult = 18

// people says whether minors are there. Whose age was not said may be one.
func (o *outdoors) people(all []session.Person) {
	unsaid := len(all) == 0
	for _, x := range all {
		switch {
		case x.Age == nil:
			unsaid = true
		case *x.Age < adult:
			o.youth = true
		}
	}
	if unsaid && !o.youth {
		o.youth = true
		o.assumed = append(o.assumed, "minors among the people: an age is not said")
	}
}

// A stand that was not said. Own choice: a light stand, so that the
// ballast is enough for a heavier one.
var usualStand = session.Stand{LegRadiusM: 0.45, MassKg: 1.6}

// safety judges a setup at its hour.
func (p *planner) safety(su session.Setup, at time.Time, day *daylight, face unit.Length) (SafetyJSON, []string, error) {
	o := p.weather
	s := SafetyJSON{Stands: []StandSafety{}, Youth: o.youth, Unknown: []string{}, Own: []string{}, Sources: []string{}, Decides: safety.Deferral}
	take := func(a safety.Advice) {
		for _, x := range a.Missing {
			s.Unknown = appendNew(s.Unknown, x)
		}
		for _, x := range a.Own {
			s.Own = appendNew(s.Own, x)
		}
		for _, x := range a.Sources {
			s.Sources = appendNew(s.Sources, x)
		}
	}
	stands, missing, assumed := p.loaded(su, face)
	if err := s.wind(stands, o.wind, p.s.Kit.BallastKg, take); err != nil {
		return s, nil, err
	}
	for _, x := range missing {
		s.Unknown = appendNew(s.Unknown, x)
	}
	take(s.heat(p, day))
	cold, err := s.cold(p.weather)
	if err != nil {
		return s, nil, wrong("weather", err, "give it as the weather service does")
	}
	take(cold)
	uv, err := safety.UV(&day.sun.AltitudeTrue, safety.UsualOzone)
	if err != nil {
		return s, nil, wrong("place", err, "check the place and the date")
	}
	take(uv.Advice)
	s.UV = UVSafety{uv.Level.String(), math.Round(uv.Index*10) / 10, uv.Band.String(), uvText(uv, or(p.s.Place.ElevationM, 0))}
	take(s.lightning(su, at, o))
	return s, assumed, nil
}

// loadedStand is a stand of a setup with what it carries.
type loadedStand struct {
	safety.Stand
	light   session.Light
	assumed bool // no stand was named
	bare    func(h unit.Length) safety.Stand
	shaped  func(h unit.Length) safety.Stand
	advice  safety.StandAdvice
}

// loaded finds the stands of a setup, what is not known of them, and what was
// taken in its place.
func (p *planner) loaded(su session.Setup, face unit.Length) (out []loadedStand, missing, assumed []string) {
	assumed = []string{}
	for _, l := range su.Lights {
		stand, named := usualStand, false
		for _, x := range p.s.Kit.Stands {
			if x.ID == l.Stand {
				stand, named = x, true
			}
		}
		if !named {
			missing = append(missing, "which stand holds the "+l.Role)
			assumed = append(assumed, fmt.Sprintf("a stand of %.1f kg and %.2f m from mast to foot under the %s", stand.MassKg, stand.LegRadiusM, l.Role))
		}
		h := lightHeight(l, face)
		if l.HeightM == nil {
			assumed = append(assumed, fmt.Sprintf("the %s %.1f m up", l.Role, h))
		}
		with := func(mod string) func(unit.Length) safety.Stand {
			return func(h unit.Length) safety.Stand {
				s := safety.Loaded(p.heads[l.Head], p.classes[mod], max(h, lowest), unit.Length(stand.LegRadiusM), unit.Mass(stand.MassKg))
				s.Legs = int(or(stand.Legs, 3))
				return s
			}
		}
		mod := l.Modifier
		if mod == "" {
			mod = "bare"
		}
		x := loadedStand{light: l, assumed: !named, bare: with("bare"), shaped: with(mod)}
		x.Stand = x.shaped(unit.Length(h))
		out = append(out, x)
	}
	return out, missing, assumed
}

// lowest is how far down a light goes in these sums; it lies on the ground below.
const lowest = 0.2 * unit.Metre

// kilos is what is hung on a stand: whole kilos.
func kilos(m unit.Mass) float64 { return math.Ceil(m.Kilograms() - 0.05) }

// asks returns the ballast a stand asks for in a gust, at the mast and on the
// windward foot: against tipping, and against sliding on wet grass.
func asks(s safety.Stand, gust unit.Speed) (mast, foot unit.Mass) {
	grip := s.BallastAgainstSliding(gust, safety.WetGrip)
	return max(s.BallastAtMast(gust, safety.SafetyFactor), grip), max(s.BallastOnFoot(gust, safety.SafetyFactor), grip)
}

// wind judges the stands, and their ballast against what is in the car.
func (s *SafetyJSON) wind(stands []loadedStand, w safety.WindReport, have *float64, take func(safety.Advice)) error {
	var gust unit.Speed
	for i := range stands {
		x := &stands[i]
		a, err := x.InWind(w, 0)
		if err != nil {
			return wrong("kit.stands", err, "check the stand, its height and the wind")
		}
		take(a.Advice)
		x.advice, gust = a, a.Gust.Speed
	}
	if len(stands) == 0 {
		return nil
	}
	known := stands[0].advice.Gust.From != safety.NoWind
	held := true // by the ballast in the car
	if known && gust < safety.HardStop {
		s.Ballast = ballast(stands, gust, have)
		held = s.Ballast.ShortKg == 0
		if have == nil && s.Ballast.MastKg > 0 {
			s.Unknown = appendNew(s.Unknown, "ballast in the car")
		}
	}
	for _, x := range stands {
		s.Stands = append(s.Stands, x.json(gust, known, held, have != nil))
	}
	return nil
}

func (x loadedStand) json(gust unit.Speed, known, held, said bool) StandSafety {
	j := StandSafety{Role: x.light.Role, Stand: x.light.Stand, HeightM: x.Height.Metres(), TipMPS: digits(x.TipSpeed(0).MetresPerSecond(), 3), KeepOutM: tenth(x.KeepOut().Metres())}
	level := x.advice.Level
	who, clear := "stand of the "+x.light.Role, fmt.Sprintf("nobody within %.1f m", j.KeepOutM)
	if !known {
		j.Level = level.String()
		j.Text = fmt.Sprintf("%s: wind unknown; it tips at %.1f m/s with no ballast; %s", who, j.TipMPS, clear)
		return j
	}
	j.GustMPS = new(digits(gust.MetresPerSecond(), 3))
	mast, foot := asks(x.Stand, gust)
	j.BallastMast, j.BallastFoot = new(tenth(mast.Kilograms())), new(tenth(foot.Kilograms()))
	blows := fmt.Sprintf("gusts of %.1f m/s", gust.MetresPerSecond())
	switch {
	case gust >= safety.HardStop:
		j.Text = fmt.Sprintf("%s: leave it down, %s; from %.1f m/s no stand goes up (own limit)", who, blows, safety.HardStop.MetresPerSecond())
	case mast == 0:
		level = min(level, safety.Care) // it holds SafetyFactor, which is a little beyond StopShare
		j.Text = fmt.Sprintf("%s: holds %s without ballast; %s", who, blows, clear)
	default:
		if held && said {
			level = min(level, safety.Care)
		}
		j.Text = fmt.Sprintf("%s: %.0f kg on the windward leg (%.0f on the mast) for %s; %s", who, kilos(foot), kilos(mast), blows, clear)
	}
	if x.assumed && level == safety.Quiet {
		level = safety.Unknown
	}
	j.Level = level.String()
	return j
}

// tenth rounds up to a tenth: half a kilo too much hurts nobody.
func tenth(x float64) float64 { return math.Ceil(x*10-1e-9) / 10 }

// total returns what stands ask for together, in whole kilos each.
func total(stands []loadedStand, gust unit.Speed) (mast, foot float64) {
	for _, x := range stands {
		m, f := asks(x.Stand, gust)
		mast += kilos(m)
		foot += kilos(f)
	}
	return mast, foot
}

// ballast compares what the stands ask for with what is there.
func ballast(stands []loadedStand, gust unit.Speed, have *float64) *BallastSafety {
	b := BallastSafety{HaveKg: have}
	b.MastKg, b.FootKg = total(stands, gust)
	switch {
	case b.MastKg == 0:
		b.Text = "no ballast needed"
	case have == nil:
		b.Text = fmt.Sprintf("bring %.0f kg for the windward legs, %.0f kg for the masts; what is in the car is not said", b.FootKg, b.MastKg)
	case *have >= b.MastKg:
		b.Text = fmt.Sprintf("the %.3g kg in the car are enough", *have)
	case *have >= b.FootKg:
		b.Text = fmt.Sprintf("the %.3g kg in the car are enough on the windward legs only; move them when the wind turns", *have)
	default:
		b.ShortKg = tenth(b.FootKg - *have)
		b.Change = leastChange(stands, gust, *have)
		b.Text = fmt.Sprintf("%.3g kg in the car, %.3g kg short", *have, b.ShortKg)
		if b.Change != "" {
			b.Text += ": " + b.Change
		} else {
			b.Text += ": leave the stands down"
		}
	}
	return &b
}

// Lowering stops at kneeling height. Own choice.
const lowestUseful = 1.2 * unit.Metre

// leastChange returns the smallest change that makes the ballast enough: lower
// one light; else take off what one carries; else bare heads on all, at last low
// ones. Empty: nothing does.
func leastChange(stands []loadedStand, gust unit.Speed, have float64) string {
	foot := func(s safety.Stand) float64 {
		_, f := asks(s, gust)
		return kilos(f)
	}
	_, all := total(stands, gust)
	for down := 1; down < 120; down++ { // decimetres
		for _, x := range stands {
			h := unit.Length(math.Round(float64(x.Height)*10)-float64(down)) / 10
			if h >= lowestUseful-1e-9 && all-foot(x.Stand)+foot(x.shaped(h)) <= have {
				return fmt.Sprintf("lower the %s to %.1f m", x.light.Role, h.Metres())
			}
		}
	}
	bare, low := 0.0, 0.0
	for _, x := range stands {
		alone := foot(x.bare(x.Height))
		if m := x.light.Modifier; m != "" && m != "bare" && all-foot(x.Stand)+alone <= have {
			return fmt.Sprintf("take the %s off the %s (bare head)", m, x.light.Role)
		}
		bare += alone
		low += foot(x.bare(min(x.Height, lowestUseful)))
	}
	switch {
	case bare <= have:
		return "bare heads on all stands"
	case low <= have:
		return fmt.Sprintf("bare heads, no higher than %.1f m", lowestUseful.Metres())
	}
	return ""
}

// heat judges the air and the sun of the hour.
func (s *SafetyJSON) heat(p *planner, day *daylight) safety.Advice {
	o := p.weather
	w := safety.Weather{Air: o.air, Humidity: o.humidity, Wind: o.wind, Altitude: &day.sun.AltitudeTrue,
		Pressure: sky.StandardPressure(unit.Length(or(p.s.Place.ElevationM, 0)))}
	if o.humidity != nil {
		w.Humidity = new(max(*o.humidity, 1)) // dry enough for every formula
	}
	if now := day.now; now != nil && now.DHI > 0 || day.sun.AltitudeTrue <= 0 {
		var global unit.Irradiance
		if now != nil {
			global = max(0, now.DNI)*unit.Irradiance(max(0, day.sun.AltitudeTrue.Sin())) + max(0, now.DHI)
		}
		w.Sun = &global
	}
	judge := safety.Heat
	if o.youth {
		judge = safety.HeatForMinors
	}
	h, err := judge(w, o.region)
	if err != nil { // outside the better model: the estimate may still hold
		w.Sun = nil
		h, err = judge(w, o.region)
	}
	if err != nil {
		s.Heat = HeatSafety{Level: safety.Unknown.String(), Text: "heat: no figure for this air (" + err.Error() + ")"}
		return safety.Advice{Missing: []string{"what this air does to people"}}
	}
	s.Heat = HeatSafety{Level: h.Level.String(), Table: h.Table.Name}
	if len(h.Missing) > 0 {
		s.Heat.Text = "heat: unknown without " + strings.Join(h.Missing, " and ") + "; shade, water and breaks in any case"
		return h.Advice
	}
	j := &s.Heat
	j.WBGT, j.Estimate, j.HeatIndexC, j.Band, j.Action = new(math.Round(float64(h.WBGT)*10)/10), h.Estimate, new(math.Round(float64(h.HeatIndex)*10)/10), h.Band.String(), h.Step.Action
	kind := ""
	if h.Estimate {
		kind = " by estimate, without sun and wind"
	}
	j.Text = fmt.Sprintf("heat: wet-bulb globe %.1f °C%s, heat index %.0f °C (%s): %s", *j.WBGT, kind, *j.HeatIndexC, j.Band, h.Step.Action)
	return h.Advice
}

// warmUntil is where the cold begins to count: 50 °F, the end of the index.
const warmUntil unit.Celsius = 10

// cold judges air and wind for bare skin. In air that cold heat is not spoken of.
func (s *SafetyJSON) cold(o outdoors) (safety.Advice, error) {
	if o.air == nil || *o.air > warmUntil {
		return safety.Advice{Level: safety.Quiet}, nil
	}
	c, err := safety.Cold(safety.Weather{Air: o.air, Wind: o.wind})
	if err != nil {
		return c.Advice, err
	}
	if s.Heat.Level == safety.Quiet.String() {
		s.Heat.Text = fmt.Sprintf("heat: none, the air is %s", degrees(*o.air))
	}
	const warm = "layers, hat and gloves, breaks in the warm; batteries in the pocket"
	j := ColdSafety{Level: c.Level.String(), WindChill: math.Round(float64(c.WindChill)*10)/10 + 0}
	switch feels := degrees(c.WindChill); {
	case c.Level == safety.Stop:
		j.Text = "cold: wind chill " + feels + ": bare skin freezes within half an hour: call it off"
	case len(c.Missing) > 0:
		j.Text = "cold: " + feels + ", and the wind is not known: " + warm
	case c.Level == safety.Care:
		j.Text = "cold: wind chill " + feels + ": " + warm
	default:
		j.Text = "cold: wind chill " + feels + ": something warm between the pictures"
	}
	s.Cold = &j
	return c.Advice, nil
}

// degrees writes a temperature with a true minus.
func degrees(t unit.Celsius) string {
	return strings.Replace(fmt.Sprintf("%.0f °C", math.Round(float64(t))+0), "-", "−", 1)
}

// uvText says what the index asks for. It is that of sea level; each kilometre up
// adds a tenth.
func uvText(x safety.UVExposure, up float64) string {
	t := fmt.Sprintf("ultraviolet: index %.0f, %s", x.Index, x.Band)
	if more := math.Round(up / 100); more >= 5 && x.Index >= 1 {
		t += fmt.Sprintf(", and about %.0f %% more at %.0f m", more, up)
	}
	switch {
	case x.Band >= safety.UVVeryHigh:
		return t + ": hat, shirt and sun cream, and shade between the pictures"
	case x.Band >= safety.UVModerate:
		return t + ": hat, shirt and sun cream"
	}
	return t
}

const toShelter = "everybody into a building or a closed car"

// lightning reads the clock while the setup lasts. A report with thunder in it
// is thunder at the hour that was planned under it.
func (s *SafetyJSON) lightning(su session.Setup, at time.Time, o outdoors) safety.Advice {
	now, events := at, o.thunder
	end := at.Add(time.Duration(or(su.Minutes, 0) * float64(time.Minute)))
	if o.storm {
		events = append(append([]time.Time(nil), events...), at)
	}
	for _, e := range events {
		if e.After(now) && !e.After(end) {
			now = e
		}
	}
	c := safety.LightningClock(now, events)
	level := c.Level
	if level == safety.Unknown && o.towering {
		level = safety.Care
		c.Own = append(c.Own, "cloud that can make thunder asks for care")
	}
	j := LightningSafety{Level: level.String()}
	if !c.Last.IsZero() {
		zone := at.Location()
		last, restart := c.Last.In(zone), c.Restart.In(zone)
		j.Last, j.Restart = new(last.Format(time.RFC3339)), new(restart.Format(time.RFC3339))
		switch {
		case level == safety.Stop && o.storm:
			j.Text = fmt.Sprintf("lightning: thunder is in the weather report: %s, and nobody out before %s; 30 minutes from each new flash or thunder", toShelter, restart.Format("15:04"))
		case level == safety.Stop:
			j.Text = fmt.Sprintf("lightning: flash or thunder at %s: %s, and nobody out before %s; 30 minutes from each new one", last.Format("15:04"), toShelter, restart.Format("15:04"))
		default:
			j.Text = fmt.Sprintf("lightning: 30 minutes since %s have passed at %s; the clock starts anew with each flash or thunder", last.Format("15:04"), restart.Format("15:04"))
		}
	} else {
		first := "not known until somebody watches"
		if o.towering {
			first = "the report has cloud that can make thunder; somebody watches"
		}
		j.Text = "lightning: " + first + "; at a flash or thunder " + toShelter + " for 30 minutes"
	}
	s.Lightning = j
	return c.Advice
}

// notes are the cautions a plan carries of it.
func (s SafetyJSON) notes() []Note {
	out := []Note{}
	say := func(severity, code, text, hint string) { out = append(out, Note{code, severity, text, hint}) }
	add := func(code, text, hint string) { say("caution", code, text, hint) }
	stop := safety.Stop.String()
	for _, x := range s.Stands {
		if x.Level == stop && s.Ballast == nil {
			say("stop", "wind", fmt.Sprintf("gusts of %.1f m/s: no stand goes up from %.1f m/s", *x.GustMPS, safety.HardStop.MetresPerSecond()), "another hour, a lee, or daylight alone")
			break
		}
	}
	if b := s.Ballast; b != nil && b.MastKg > 0 && (b.HaveKg == nil || *b.HaveKg < b.MastKg) {
		add("ballast", fmt.Sprintf("the stands ask for %.0f kg on the windward legs in gusts of %.1f m/s; %s", b.FootKg, *s.Stands[0].GustMPS, b.Text), "")
	}
	switch s.Heat.Level {
	case stop:
		say("stop", "heat", s.Heat.Text, "")
	case safety.Care.String():
		add("heat", s.Heat.Text, "")
	}
	if c := s.Cold; c != nil {
		switch c.Level {
		case stop:
			say("stop", "cold", c.Text, "")
		case safety.Care.String():
			add("cold", c.Text, "")
		}
	}
	if s.Lightning.Level == stop {
		say("stop", "lightning", s.Lightning.Text, "")
	}
	if len(s.Unknown) > 0 {
		var list []string
		for _, x := range s.Unknown {
			if x != "lightning watch" { // nobody can watch while planning
				list = append(list, x)
			}
		}
		if len(list) > 0 {
			add("unknown", "unknown: "+strings.Join(list, ", "), "find it out before the stands go up; unknown is not safe")
		}
	}
	return out
}
