package api

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"hardnoon/engine/geom"
	"hardnoon/engine/sky"
	"hardnoon/engine/sun"
	"hardnoon/engine/unit"
)

// LightRequest asks how much daylight there is. The sun is said by place and
// time or by its direction; the sky in one of four ways, and by a meter.
type LightRequest struct {
	SunPlace
	At          string   `json:"at,omitempty"`
	SunAltitude *float64 `json:"sun_altitude_deg,omitempty"` // apparent
	SunAzimuth  *float64 `json:"sun_azimuth_deg,omitempty"`  // from true north

	Sky   string   `json:"sky,omitempty"` // plain words, or "cie-1" to "cie-16"
	Oktas *float64 `json:"oktas,omitempty"`
	METAR string   `json:"metar,omitempty"`
	DNI   *float64 `json:"dni_wm2,omitempty"` // direct normal irradiance
	DHI   *float64 `json:"dhi_wm2,omitempty"` // diffuse horizontal irradiance

	Meter     *MeterRequest `json:"meter,omitempty"`
	Albedo    *float64      `json:"albedo,omitempty"`
	Ground    string        `json:"ground,omitempty"`
	Turbidity *float64      `json:"turbidity,omitempty"`
}

// MeterRequest is one reading of the photographer's meter.
type MeterRequest struct {
	EV100    float64  `json:"ev100"`
	Kind     string   `json:"kind,omitempty"`         // "incident", or "reflected"
	Receptor string   `json:"receptor,omitempty"`     // of an incident meter: "dome", or "flat"
	Bearing  *float64 `json:"bearing_deg,omitempty"`  // where it points; nil: towards the sun's azimuth
	Altitude *float64 `json:"altitude_deg,omitempty"` // 0, or 90 for straight up
}

// PlanesJSON is light on the level ground and on four walls, in lux.
type PlanesJSON struct {
	Horizontal float64 `json:"horizontal_lx"`
	North      float64 `json:"north_lx"`
	East       float64 `json:"east_lx"`
	South      float64 `json:"south_lx"`
	West       float64 `json:"west_lx"`
}

// LightState is the light of one state of a sky.
type LightState struct {
	DirectNormal float64     `json:"direct_normal_lx"` // the sun on a plane facing it
	Total        PlanesJSON  `json:"total"`            // sun, sky and ground
	SkyPart      PlanesJSON  `json:"sky"`              // the sky dome alone
	GroundPart   PlanesJSON  `json:"ground"`           // what the ground sends back
	EV100        float64     `json:"ev100_incident"`   // dome towards a camera that has the sun behind it
	EV100Shade   float64     `json:"ev100_back"`       // dome towards a camera that faces the sun's azimuth
	EV100Zenith  *float64    `json:"ev100_sky_zenith"` // reflected, of the sky straight up; null: none
	CCT          float64     `json:"cct_k"`            // of all light on the level ground
	CCTBeam      *float64    `json:"cct_beam_k"`       // null: no sun
	CCTSky       float64     `json:"cct_sky_k"`
	Model        string      `json:"model"`
	Uncertainty  float64     `json:"uncertainty_stops"`
	Doubts       []DoubtJSON `json:"doubts"`
}

// DoubtJSON is one part of an uncertainty.
type DoubtJSON struct {
	Stops float64 `json:"stops"`
	Why   string  `json:"why"`
}

// StatesJSON are the two lights a picture under broken cloud is made in.
type StatesJSON struct {
	Sun      *LightState `json:"sun_state"`
	Cloud    *LightState `json:"cloud_state"`
	SunShare float64     `json:"sun_share"` // of the time
}

// LightAnswer is the daylight there is; of a sky with two states, the mean of
// the hour.
type LightAnswer struct {
	SunAltitude float64 `json:"sun_altitude_deg"`
	SunAzimuth  float64 `json:"sun_azimuth_deg"`
	LightState
	Albedo      float64     `json:"albedo"`
	MeterMoved  *float64    `json:"meter_moved_stops"` // from the model to the reading
	States      *StatesJSON `json:"states"`            // null: one state
	Assumptions []string    `json:"assumptions"`
	Notes       []Note      `json:"notes"`
}

// Light answers how much daylight there is, from where and of what colour.
func Light(req LightRequest) (LightAnswer, error) {
	a := LightAnswer{Assumptions: []string{}, Notes: []Note{}}
	c, err := req.conditions(&a)
	if err != nil {
		return LightAnswer{}, err
	}
	st, err := req.states(c, &a)
	if err != nil {
		return LightAnswer{}, lightError(err)
	}
	main := st.Mean
	if req.Meter != nil {
		if main, err = req.metered(c, st, &a); err != nil {
			return LightAnswer{}, lightError(err)
		}
	}
	if !(main.DomeIlluminance(main.FrontLit()) > 0) {
		return LightAnswer{}, &Error{Kind: NoAnswer, Code: "no_light", Text: "there is no daylight at all", Hint: "check the irradiance and the time"}
	}
	a.LightState = lightState(main)
	if req.Meter == nil && st.Out != nil && st.Hidden != nil {
		out, hidden := lightState(st.Out), lightState(st.Hidden)
		a.States = &StatesJSON{&out, &hidden, significant(st.OutShare)}
		a.Notes = append(a.Notes, Note{Code: "two_states", Severity: "info",
			Text: fmt.Sprintf("the sun comes and goes: EV %.1f with it, EV %.1f without; the figures are the mean of the hour", out.EV100, hidden.EV100),
			Hint: "plan for both states"})
	}
	if c.SunAltitude < 0 {
		a.Notes = append(a.Notes, Note{Code: "twilight", Severity: "caution",
			Text: fmt.Sprintf("the sun is %.1f° below the horizon: the level is read off published anchors, its direction and colour are guesses", -c.SunAltitude.Degrees()),
			Hint: "meter it"})
	}
	return a, nil
}

// conditions makes the engine's conditions and says what was assumed.
func (req LightRequest) conditions(a *LightAnswer) (c sky.Conditions, err error) {
	placed := req.LatDeg != nil || req.LonDeg != nil || req.At != ""
	said := req.SunAltitude != nil || req.SunAzimuth != nil
	switch {
	case placed && said:
		return c, wrong("sun_altitude_deg", errors.New("the sun is said twice: by place and time, and by its direction"), "take one or the other")
	case !placed && !said:
		return c, wrong("sun_altitude_deg", errors.New("nothing says where the sun is"), "give latitude, longitude and time, or the sun's altitude and azimuth")
	case said && (req.SunAltitude == nil || req.SunAzimuth == nil):
		return c, wrong("sun_azimuth_deg", errors.New("the sun's direction takes an altitude and an azimuth"), "give both, in degrees, the azimuth from true north")
	case said:
		c.SunAltitude, c.SunAzimuth = unit.Angle(*req.SunAltitude)*unit.Degree, unit.Angle(*req.SunAzimuth)*unit.Degree
	default:
		o, _, err := req.observer()
		if err != nil {
			return c, err
		}
		at, err := instant("at", req.At)
		if err != nil {
			return c, err
		}
		p, err := sun.At(at, o)
		if err != nil {
			return c, wrongSun(err, "at")
		}
		c.SunAltitude, c.SunAzimuth, c.Day = p.AltitudeApparent, p.Azimuth, at.UTC().YearDay()
	}
	switch {
	case req.ElevationM != nil:
		c.Elevation = unit.Length(*req.ElevationM)
	default:
		a.Assumptions = append(a.Assumptions, "sea level")
	}
	switch {
	case req.Albedo != nil && req.Ground != "":
		return c, wrong("ground", errors.New("the ground is said twice: by name and by albedo"), "take one or the other")
	case req.Albedo != nil:
		c.Albedo = req.Albedo
	case req.Ground != "":
		x, ok := sky.AlbedoOf(req.Ground)
		if !ok {
			var names []string
			for _, g := range sky.Grounds {
				names = append(names, g.Name)
			}
			return c, wrong("ground", fmt.Errorf("no ground is called %s", strconv.Quote(req.Ground)), "say "+strings.Join(names, ", ")+", or give an albedo")
		}
		c.Albedo = &x
	default:
		a.Assumptions = append(a.Assumptions, fmt.Sprintf("ground that reflects %.0f %%", 100*sky.DefaultAlbedo))
	}
	a.Albedo = or(c.Albedo, sky.DefaultAlbedo)
	if req.Turbidity != nil {
		if err := unit.Within("turbidity", *req.Turbidity, 1, 20, ""); err != nil {
			return c, wrong("turbidity", err, lightFields["turbidity"][1])
		}
		c.Turbidity = *req.Turbidity
	}
	if err := c.Check(); err != nil {
		return c, lightError(err)
	}
	a.SunAltitude, a.SunAzimuth = deg(c.SunAltitude), bearing(c.SunAzimuth)
	return c, nil
}

// states finds the sky in the one way it is described.
func (req LightRequest) states(c sky.Conditions, a *LightAnswer) (sky.States, error) {
	irradiance := req.DNI != nil || req.DHI != nil
	ways := 0
	for _, said := range []bool{req.Sky != "", req.Oktas != nil, req.METAR != "", irradiance} {
		if said {
			ways++
		}
	}
	usualAir := func() {
		if req.Turbidity == nil {
			a.Assumptions = append(a.Assumptions, fmt.Sprintf("clear air of turbidity %d", sky.DefaultTurbidity))
		}
	}
	switch {
	case ways > 1:
		return sky.States{}, wrong("sky", errors.New("the sky is described more than once"), "take one of a name, oktas, a weather report, or irradiance")
	case irradiance:
		if req.DNI == nil || req.DHI == nil {
			return sky.States{}, wrong("dni_wm2", errors.New("irradiance takes two figures: direct normal and diffuse horizontal"), "give both, in W/m²")
		}
		s, err := sky.FromIrradiance(c, unit.Irradiance(*req.DNI), unit.Irradiance(*req.DHI))
		return only(s), err
	case req.Oktas != nil:
		n := *req.Oktas
		if n != math.Round(n) && n >= 0 && n <= 8 {
			return sky.States{}, wrong("oktas", fmt.Errorf("cloud cover is %v oktas; it is counted in whole eighths", n), lightFields["cloud cover"][1])
		}
		if err := unit.Within("cloud cover", n, 0, 8, "oktas"); err != nil {
			return sky.States{}, err
		}
		usualAir()
		return sky.Oktas(c, int(n))
	case req.METAR != "":
		return req.report(c, a)
	case req.Sky != "":
		usualAir()
		name := strings.ReplaceAll(strings.ToLower(strings.TrimSpace(req.Sky)), " ", "-")
		if k, ok := sky.KindNamed(name); ok {
			return sky.Named(c, k)
		}
		if number, ok := strings.CutPrefix(name, "cie-"); ok {
			if n, err := strconv.Atoi(number); err == nil && n >= 1 && n <= 16 {
				s, err := sky.GeneralSky(c, sky.CIE2003(n))
				return only(s), err
			}
		}
		return sky.States{}, wrong("sky", fmt.Errorf("no sky is called %s", strconv.Quote(req.Sky)), "say "+strings.Join(sky.Kinds[:], ", ")+", or cie-1 to cie-16")
	}
	if req.Meter == nil {
		a.Assumptions = append(a.Assumptions, "a clear sky, for none was described")
	}
	usualAir()
	return sky.Named(c, sky.KindClear)
}

// report reads the weather report and says what in it needs care.
func (req LightRequest) report(c sky.Conditions, a *LightAnswer) (sky.States, error) {
	r, err := sky.ParseMETAR(req.METAR)
	if err != nil {
		return sky.States{}, err
	}
	n, _, err := r.Oktas()
	if err != nil {
		return sky.States{}, err
	}
	a.Assumptions = append(a.Assumptions, fmt.Sprintf("%d oktas of cloud, by the layer that covers most", n))
	if r.Convective() {
		text := "the report has cloud that can make thunder"
		if r.Thunder() {
			text = "the report has a thunderstorm"
		}
		a.Notes = append(a.Notes, Note{Code: "thunder", Severity: "caution", Text: text,
			Hint: "stands are metal and stand in the open: follow the lightning rules of the place, and stop early"})
	}
	return sky.FromReport(c, r)
}

// metered scales the sky to the reading. Where no sky was described it takes the
// kind that lies closest.
func (req LightRequest) metered(c sky.Conditions, st sky.States, a *LightAnswer) (*sky.Sky, error) {
	r, err := req.Meter.reading(c)
	if err != nil {
		return nil, err
	}
	if req.Meter.Bearing == nil && req.Meter.Altitude == nil {
		a.Assumptions = append(a.Assumptions, "the reading was taken with the dome level, towards a camera with the sun behind it")
	}
	best, moved, err := st.Match(r)
	if described := req.Sky != "" || req.Oktas != nil || req.METAR != "" || req.DNI != nil; !described {
		kind := sky.KindClear
		for k := range sky.Kinds {
			st, e := sky.Named(c, sky.Kind(k))
			if e != nil {
				return nil, e
			}
			s, m, e := st.Match(r)
			if e == nil && (err != nil || math.Abs(float64(m)) < math.Abs(float64(moved))-0.05) {
				best, moved, err, kind = s, m, nil, sky.Kind(k)
			}
		}
		a.Assumptions = append(a.Assumptions, "the kind of sky closest to the reading: "+kind.String())
	}
	if err != nil {
		return nil, err
	}
	a.MeterMoved = new(tidy(moved))
	return best, nil
}

// reading makes the engine's reading.
func (m MeterRequest) reading(c sky.Conditions) (r sky.Reading, err error) {
	r.EV = unit.EV(m.EV100)
	switch m.Kind {
	case "", "incident":
	case "reflected":
		r.Reflected = true
	default:
		return r, wrong("meter.kind", fmt.Errorf("a meter reading is incident or reflected, not %s", strconv.Quote(m.Kind)), "incident measures the light that falls on the meter, reflected what it is pointed at")
	}
	switch {
	case m.Receptor == "" || m.Receptor == "dome":
	case m.Receptor == "flat" && !r.Reflected:
		r.Flat = true
	default:
		return r, wrong("meter.receptor", fmt.Errorf("the receptor of an incident meter is dome or flat, not %s", strconv.Quote(m.Receptor)), "a dome is the white half ball")
	}
	if r.Reflected && (m.Bearing == nil || m.Altitude == nil) {
		return r, wrong("meter.bearing_deg", errors.New("a reflected reading depends on where the meter points"), "say its bearing and altitude; an altitude below 0 is the open ground")
	}
	for _, x := range []struct {
		field, word string
		got         *float64
		limit       float64
	}{{"meter.bearing_deg", "bearing of the meter", m.Bearing, 360}, {"meter.altitude_deg", "altitude the meter points to", m.Altitude, 90}} {
		if x.got != nil {
			if err := unit.Within(x.word, *x.got, -x.limit, x.limit, "°"); err != nil {
				return r, wrong(x.field, err, "degrees, from true north and from the level")
			}
		}
	}
	if m.Bearing != nil || m.Altitude != nil {
		az := c.SunAzimuth
		if m.Bearing != nil {
			az = unit.Angle(*m.Bearing) * unit.Degree
		}
		r.Toward = geom.Direction(az, unit.Angle(or(m.Altitude, 0))*unit.Degree)
	}
	return r, nil
}

func only(s *sky.Sky) sky.States { return sky.States{Mean: s} }

func lightState(s *sky.Sky) LightState {
	l := LightState{
		DirectNormal: significant(float64(s.DirectNormal)),
		EV100:        thousandth(s.IncidentEV(s.FrontLit())), EV100Shade: thousandth(s.IncidentEV(s.FrontLit().Neg())),
		CCT: math.Round(float64(s.Temperature())), CCTSky: math.Round(float64(s.SkyTemperature)),
		Model: s.Model, Uncertainty: math.Round(float64(s.Uncertainty())*100) / 100, Doubts: []DoubtJSON{},
	}
	if s.DirectNormal > 0 {
		l.CCTBeam = new(math.Round(float64(s.BeamTemperature)))
	}
	if z := s.Luminance(geom.Up); z > 0 {
		l.EV100Zenith = new(thousandth(unit.EVFromNit(z)))
	}
	for _, d := range s.Doubts {
		l.Doubts = append(l.Doubts, DoubtJSON{math.Round(float64(d.Stops)*100) / 100, d.Why})
	}
	for _, p := range []struct {
		normal             geom.Vec
		total, sky, ground *float64
	}{
		{geom.Up, &l.Total.Horizontal, &l.SkyPart.Horizontal, &l.GroundPart.Horizontal},
		{geom.North, &l.Total.North, &l.SkyPart.North, &l.GroundPart.North},
		{geom.East, &l.Total.East, &l.SkyPart.East, &l.GroundPart.East},
		{geom.North.Neg(), &l.Total.South, &l.SkyPart.South, &l.GroundPart.South},
		{geom.East.Neg(), &l.Total.West, &l.SkyPart.West, &l.GroundPart.West},
	} {
		b, k, g := s.Illuminance(p.normal)
		*p.total, *p.sky, *p.ground = significant(float64(b+k+g)), significant(float64(k)), significant(float64(g))
	}
	return l
}

// significant keeps six digits, from starlight to noon.
func significant(x float64) float64 {
	y, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 6, 64), 64)
	return y
}

func thousandth(e unit.EV) float64 { return math.Round(float64(e)*1000)/1000 + 0 }

// lightFields says for each quantity of the engine which field of the request
// it is, and what to do.
var lightFields = map[string][2]string{
	"sun altitude":                       {"sun_altitude_deg", "degrees above the horizon, −90 to 90"},
	"sun azimuth":                        {"sun_azimuth_deg", "degrees clockwise from true north"},
	"elevation":                          {"elevation_m", "metres above sea level"},
	"albedo":                             {"albedo", "the share of light the ground sends back: 0.08 grass, 0.2 mixed, 0.8 snow"},
	"turbidity":                          {"turbidity", "2 is very clear, 3 usual, 5 hazy"},
	"cloud cover":                        {"oktas", "0 is a clear sky, 8 all cloud"},
	"direct normal irradiance":           {"dni_wm2", "W/m² on a plane facing the sun; it never exceeds what arrives above the air"},
	"diffuse horizontal irradiance":      {"dhi_wm2", "W/m² from the sky on the level ground"},
	"meter reading":                      {"meter.ev100", "EV at ISO 100; full sun is about 15"},
	"difference between reading and sky": {"meter.ev100", "check the reading and the time: this light is not possible then"},
}

// lightError puts an error of the engine into words.
func lightError(err error) error {
	var a *Error
	var down *sky.SunDownError
	var report *sky.ReportError
	var unseen *sky.CloudUnknownError
	var r *unit.RangeError
	switch {
	case errors.As(err, &a):
		return a
	case errors.As(err, &down):
		return &Error{Kind: NoAnswer, Code: "sun_down", Field: "dni_wm2", Text: err.Error() + ", so there is no direct irradiance", Hint: "leave the irradiance out for an estimate of twilight, or meter it", Cause: err}
	case errors.As(err, &unseen):
		return &Error{Kind: NoAnswer, Code: "no_cloud_reported", Field: "metar", Text: err.Error(), Hint: "look up, and say the sky in words: " + strings.Join(sky.Kinds[:], ", "), Cause: err}
	case errors.As(err, &report):
		e := wrong("metar", err, "paste the report as it is, like: METAR SCVM 161600Z 24012KT 9999 FEW250 22/12 Q1014")
		e.Code = "unreadable"
		return e
	case errors.As(err, &r):
		if f, ok := lightFields[r.What]; ok {
			return wrong(f[0], err, f[1])
		}
	}
	return wrong("", err, "")
}

// SkyNames are the names a sky may be given by, in the order of their light.
func SkyNames() []string { return slices.Clone(sky.Kinds[:]) }
