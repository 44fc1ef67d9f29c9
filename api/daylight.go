package api

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"time"

	"hardnoon/engine/geom"
	"hardnoon/engine/plan"
	"hardnoon/engine/sky"
	"hardnoon/engine/sun"
	"hardnoon/engine/unit"
	"hardnoon/session"
)

// daylight is the light of one moment of a session: the state it is planned in,
// and the one a cloud would make of it where that is known.
type daylight struct {
	sun     sun.Position
	now     *sky.Sky
	hidden  *sky.Sky // nil: not described
	model   string
	lamps   bool // from all around, and next to no daylight
	assumed []string
	notes   []Note
}

// usualCloud is what a cloud over the sun takes where no model says it: needs of
// the trade, 1 to 3 stops; sunny f/16 to no shadows f/8 is two.
const usualCloud = -2.0

// daylight returns the light at an instant of the session.
func (p *planner) daylight(at time.Time) (*daylight, error) {
	o := p.observer()
	pos, err := sun.At(at, o)
	if err != nil {
		return nil, wrong("place", err, "check the place and the date")
	}
	return p.daylightOf(at, o, pos)
}

func (p *planner) observer() sun.Observer {
	pl := p.s.Place
	return sun.Observer{Lat: unit.Angle(pl.LatDeg) * unit.Degree, Lon: unit.Angle(pl.LonDeg) * unit.Degree, Elevation: unit.Length(or(pl.ElevationM, 0))}
}

// daylightOf is daylight for a sun that is known.
func (p *planner) daylightOf(at time.Time, o sun.Observer, pos sun.Position) (*daylight, error) {
	pl := p.s.Place
	d := &daylight{sun: pos}
	c := sky.Conditions{SunAltitude: d.sun.AltitudeApparent, SunAzimuth: d.sun.Azimuth, Day: at.UTC().YearDay(), Elevation: o.Elevation, Turbidity: or(p.s.Sky.Turbidity, 0)}
	albedo := sky.DefaultAlbedo
	if a, ok := sky.AlbedoOf(pl.Ground); ok {
		albedo = a
	} else if pl.Ground != "" {
		albedo = 0.2
	} else {
		d.assumed = append(d.assumed, "ground that reflects 20 %")
	}
	if pl.GroundReflectance != nil {
		albedo = *pl.GroundReflectance
	}
	c.Albedo = &albedo
	lamps, err := p.switchedOn()
	if err != nil {
		return nil, err
	}
	camera := 0.0
	if len(p.s.Setups) > 0 {
		camera = p.s.Setups[0].Camera.BearingDeg
	}
	if err := d.describe(c, p.s.Sky, lamps, camera); err != nil {
		return nil, err
	}
	if metered := p.s.Sky.Kind == "meter"; lamps.level > 0 && !metered {
		err = lamps.unplaced(d, c)
	} else {
		lamps.shed(d, metered)
	}
	if err != nil {
		return nil, err
	}
	if p.s.Sky.Turbidity == nil && p.s.Sky.Kind == "named" {
		d.assumed = append(d.assumed, "turbidity of ordinary clear air")
	}
	d.model = d.now.Model
	if d.sun.AltitudeApparent < 0 && p.s.Sky.Kind != "meter" && !d.lamps && d.now.LampShare() < 0.5 {
		d.notes = append(d.notes, Note{"sun_down", "caution", fmt.Sprintf("the sun is %.1f° below the horizon; daylight is an estimate", -d.sun.AltitudeApparent.Degrees()), "meter on the spot"})
	}
	return d, nil
}

// describe finds the sky that was described, reported, measured or metered.
// Camera is the bearing of the camera towards which a meter under lamps is held.
func (d *daylight) describe(c sky.Conditions, s session.Sky, lamps *fieldLights, camera float64) error {
	under := func(st sky.States) sky.States {
		if len(lamps.all) == 0 {
			return st
		}
		return st.Under(lamps.all, lamps.beams, lamps.doubt)
	}
	one := func(x *sky.Sky, err error) error {
		d.now = x
		return err
	}
	states := func(st sky.States, err error) error {
		if err != nil {
			return err
		}
		st = under(st)
		d.now, d.hidden = st.Out, st.Hidden
		if d.now == nil { // never out: plan for what there is
			d.now, d.hidden = st.Mean, nil
			if st.Hidden != nil {
				d.now = st.Hidden
			}
		}
		return nil
	}
	var err error
	field := "sky"
	switch s.Kind {
	case "named":
		field = "sky.name"
		kind, ok := sky.KindNamed(strings.ReplaceAll(strings.ToLower(strings.TrimSpace(s.Name)), " ", "-"))
		if !ok {
			return wrong(field, fmt.Errorf("no sky is called %q", s.Name), "say "+strings.Join(sky.Kinds[:], ", "))
		}
		err = states(sky.Named(c, kind))
	case "oktas":
		field = "sky.oktas"
		err = states(sky.Oktas(c, int(math.Round(or(s.Oktas, 0)))))
	case "metar":
		field = "sky.metar"
		r, e := sky.ParseMETAR(s.METAR)
		if e != nil {
			return wrong(field, e, "give the report as it was issued")
		}
		err = states(sky.FromReport(c, r))
	case "irradiance":
		field = "sky.dni_wm2"
		if err = one(sky.FromIrradiance(c, unit.Irradiance(or(s.DNIWM2, 0)), unit.Irradiance(or(s.DHIWM2, 0)))); err == nil {
			d.now = under(sky.States{Mean: d.now}).Mean
		}
	case "meter":
		field = "sky.meter_ev100"
		reading := sky.Reading{EV: unit.EV(or(s.MeterEV100, 15))}
		night := c.SunAltitude < sky.CivilDusk
		if night && len(lamps.all) == 0 {
			d.lamps, err = true, one(sky.Lamps(c, reading))
			d.assumed = append(d.assumed, "the light is that of lamps and comes evenly from all around; its colour is not known")
			break
		}
		st, e := sky.Named(c, sky.KindClear)
		if e != nil {
			err = e
			break
		}
		towards := "a camera with the sun behind it"
		if night {
			reading.Toward = geom.Direction(unit.Angle(camera)*unit.Degree+unit.Turn/2, 0)
			towards = "the camera of the first setup; it sets the level of all field lights"
		}
		d.now, _, err = under(st).Match(reading)
		d.assumed = append(d.assumed, "the reading was taken at the mark, dome towards "+towards)
	default:
		return wrong("sky.kind", fmt.Errorf("the kind of sky is %q", s.Kind), "say named, oktas, metar, irradiance or meter")
	}
	var down *sky.SunDownError
	if errors.As(err, &down) {
		return &Error{Kind: NoAnswer, Code: "sun_down", Field: field, Text: down.Error(), Hint: "describe the sky by name, or meter it", Cause: err}
	}
	if err != nil {
		return wrong(field, err, "check the sky")
	}
	return nil
}

// aspect is how a setup stands in the daylight.
type aspect struct {
	toCamera, face, side unit.Angle // which way they look: the background, the face, the rim
	onMark               float64    // share of the sun that solids and skyline let through to the face
	onFar                float64    // share that reaches the background: 0 behind the skyline
	spot, far            *plan.Spot // the face among the solids, and what is far among the hills
}

// aspect returns how a face at a height stands in the daylight.
func (p *planner) aspect(d *daylight, toCamera, face, side unit.Angle, height unit.Length) (aspect, error) {
	g, err := p.ground()
	if err != nil {
		return aspect{}, err
	}
	f := aspect{toCamera: toCamera, face: face, side: side, onFar: 1, spot: p.spot(g, height), far: p.far}
	f.onMark = g.SunAt(geom.Vec{Z: height.Metres()}, d.sun.Direction())
	if g.BehindSkyline(d.sun.Direction()) {
		f.onFar = 0
	}
	return f, nil
}

// levels returns what falls on the background, the face and the rim. The
// background is taken as mid-tone, half of it lying and half upright; hills
// take from all that is seen, solids from the subject alone.
func levels(s *sky.Sky, f aspect) plan.Daylight {
	at := func(spot *plan.Spot, share float64) func(n geom.Vec) unit.Lux {
		rest := spot.Light(s)
		return func(n geom.Vec) unit.Lux {
			beam, _, _ := s.Illuminance(n)
			return beam*unit.Lux(share) + rest(n)
		}
	}
	near, far := at(f.spot, f.onMark), at(f.far, f.onFar)
	onMark := func(a unit.Angle) unit.EV {
		n := geom.Direction(a, 0)
		return unit.EVFromLux(near(n) + s.LampLight(n))
	}
	return plan.Daylight{
		Background: unit.EVFromLux((far(geom.Up)+far(geom.Direction(f.toCamera, 0)))/2 + s.LampLightBehind(f.toCamera)),
		Face:       onMark(f.face),
		Side:       onMark(f.side),
		Error:      s.Uncertainty(),
	}
}

// told is from how many stops on the plan says what solids do to the light.
const told = 0.3

// taken returns by how many stops the face has less daylight than in the open,
// the sun itself left out of the question.
func (f aspect) taken(s *sky.Sky) float64 {
	n := geom.Direction(f.face, 0)
	beam, sky, ground := s.Illuminance(n)
	beam *= unit.Lux(f.onMark)
	return math.Log2(float64((beam + sky + ground) / (beam + f.spot.Light(s)(n))))
}

func (d *daylight) seen(f aspect) (plan.Daylight, error) {
	l := levels(d.now, f)
	if math.IsNaN(float64(l.Background)) || math.IsInf(float64(l.Background), 0) {
		return l, &Error{Kind: NoAnswer, Code: "no_daylight", Field: "sky", Text: "there is no daylight to place a background by", Hint: underLamps}
	}
	d.assumed = appendNew(d.assumed, "background of mid-tone, half lying, half upright")
	return l, nil
}

// underLamps is what to do where night leaves nothing to place a background by.
const underLamps = `say which field lights are lit, or meter under the lamps and give that reading as the sky (of kind "meter"), or take another hour`

func (d *daylight) cct() float64 { return float64(d.now.Temperature()) }

// cloud returns by how many stops the background changes when a cloud takes the
// sun; 0 where there is no sun to take.
func (d *daylight) cloud(now plan.Daylight, f aspect) (change float64, assumed string, err error) {
	switch {
	case d.now.DirectNormal <= 0, f.onFar == 0:
		return 0, "", nil
	case d.hidden == nil:
		return usualCloud, "a cloud over the sun takes 2 stops (1 to 3)", nil
	}
	return tidy(levels(d.hidden, f).Background.Sub(now.Background)), "", nil
}
