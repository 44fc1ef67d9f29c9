package api

import (
	"fmt"
	"math"
	"slices"

	"hardnoon/engine/floodlight"
	"hardnoon/engine/geom"
	"hardnoon/engine/scene"
	"hardnoon/engine/site"
	"hardnoon/engine/sky"
	"hardnoon/engine/unit"
)

// fieldLights is the light of the field lights that are on.
type fieldLights struct {
	all     floodlight.Lights
	of      []int             // which solid each is
	beams   []floodlight.Beam // at the face on the mark
	level   unit.Lux          // of lamps nobody has placed
	doubt   sky.Doubt
	assumed []string
	notes   []Note
}

// classDoubt is what a class leaves open. Own estimate.
var classDoubt = sky.Doubt{Stops: 0.5, Why: "a class is a mean, of lamps that have aged"}

// mostIntensity is what no bank has, cd: a hundred strong floodlights aimed alike.
// Own choice.
const mostIntensity = 1e7

// switchedOn returns the field lights that are on, made once. Together they give
// the field the level its class asks for; without a field, the mark.
func (p *planner) switchedOn() (*fieldLights, error) {
	if p.lamps != nil {
		return p.lamps, nil
	}
	solids, err := p.solids()
	if err != nil {
		return nil, err
	}
	if !slices.ContainsFunc(solids, func(s site.Solid) bool { return s.Lit }) {
		p.lamps = &fieldLights{level: unit.Lux(or(p.s.Place.FieldLightLX, 0))}
		return p.lamps, nil
	}
	l := &fieldLights{}
	target, points := p.lightened()
	for i, s := range solids {
		if !s.Lit {
			continue
		}
		if s, err = s.Sized(); err != nil {
			return nil, wrong(fmt.Sprintf("place.solids[%d]", i), err, "check its place and sizes")
		}
		at := target
		if p.s.Place.Solids[i].TurnDeg != nil {
			at = s.At.Add(geom.Direction(s.Bearing, 0).Scale(100 * s.Height.Metres()))
		}
		aim := floodlight.Aimed(s.At, at, s.Height)
		l.all, l.of = append(l.all, floodlight.Bank{At: s.Front(aim), Aim: aim, Intensity: 1}), append(l.of, i)
	}
	p.lamps = l
	where, name := "on the mark", "soccer"
	if f := p.s.Place.Field; f != nil {
		where, name = "on average over the field", f.Name
	}
	iii, ii, i := floodlight.Levels(name)
	level := unit.Lux(or(p.s.Place.FieldLightLX, float64(iii)))
	l.all = l.all.Scaled(float64(level / l.all.Level(points)))
	if !(l.all[0].Intensity < mostIntensity) {
		l.notes = append(l.notes, Note{"field_lights_far", "caution", fmt.Sprintf("the field lights that are on stand too far off, or look elsewhere, to give %.0f lx %s; their light is left out", float64(level), where),
			"check where they stand"})
		l.all, l.of = nil, nil
		return l, nil
	}
	g, err := p.ground()
	if err != nil {
		return nil, err
	}
	face := geom.Vec{Z: usualEyes.Metres()}
	l.beams = l.all.Beams(face)
	for i, b := range l.all {
		l.beams[i].Facing *= unit.Lux(g.Between(face, b.At))
	}
	l.doubt = classDoubt
	if p.s.Place.FieldLightLX == nil {
		l.doubt = sky.Doubt{Stops: 1, Why: "the class of the field lights is not known"}
		if p.s.Sky.Kind != "meter" {
			l.assumed = append(l.assumed, fmt.Sprintf("field lights of a training class: %.0f lx %s (class II has %.0f, class I %.0f)", float64(level), where, float64(ii), float64(i)))
		}
	}
	l.assumed = append(l.assumed, fmt.Sprintf("lamps of %.0f K, alike on every pole, fanned out over the field and aimed at it", float64(floodlight.Temperature)))
	return l, nil
}

// lightened returns what the lamps are aimed at and the points over which their
// level is a mean: the middle of the field and a grid on it, else the mark.
func (p *planner) lightened() (target geom.Vec, points []geom.Vec) {
	f := p.s.Place.Field
	if f == nil {
		return geom.Vec{}, []geom.Vec{{}}
	}
	g, ok := site.GroundNamed(f.Name)
	if !ok {
		return geom.Vec{}, []geom.Vec{{}}
	}
	place := p.fieldPlace()
	for _, x := range g.Grid(10) {
		x = place.World(x)
		points = append(points, x)
		target = target.Add(x.Scale(1.0 / 100))
	}
	return target, points
}

// lampsCount is the least share of the light from which lamps are told of and
// drawn: a seventieth of a stop.
const lampsCount = 0.01

// unplaced puts lamps of a known level whose poles are not into the daylight, as
// light from all around; where the sky is four times as strong they are left out.
func (l *fieldLights) unplaced(d *daylight, c sky.Conditions) error {
	there := d.now.Total(geom.Up)
	if l.level < there/4 {
		return nil
	}
	s, err := sky.Lamps(c, sky.Reading{EV: unit.EVFromLux(l.level + there), Flat: true, Toward: geom.Up})
	if err != nil {
		return wrong("place.field_light_lx", err, "give the level in lux")
	}
	s.Model, s.Doubts[0] = "field lights, even from all around", classDoubt
	d.now, d.hidden, d.lamps = s, nil, true
	d.notes = append(d.notes, Note{"field_lights", "info", fmt.Sprintf("field lights of %.0f lx, taken as even from all around: no lit one is placed", float64(l.level)),
		`place the poles (solids of kind "field light", lit), or meter there`})
	return nil
}

// shed adds to the daylight what the field lights do in it.
func (l *fieldLights) shed(d *daylight, metered bool) {
	d.notes = append(d.notes, l.notes...)
	if len(l.all) == 0 {
		return
	}
	share := d.now.LampShare()
	here := d.lampsLX()
	if share < lampsCount {
		d.notes = append(d.notes, Note{"field_lights", "info", fmt.Sprintf("the field lights that are on add %.0f lx, %.3f stop: by day they do not count", float64(here), -math.Log2(1-share)), ""})
		return
	}
	n := Note{"field_lights", "info", fmt.Sprintf("field lights give %.0f lx on the mark, %.0f %% of the light there", float64(here), 100*share), `meter it there: as the sky (of kind "meter") the reading sets them all`}
	if metered {
		n.Hint = ""
	}
	d.notes = append(d.notes, n)
	for _, x := range l.assumed {
		d.assumed = appendNew(d.assumed, x)
	}
}

// switchOn puts the banks into the scene, where they count beside the daylight.
func (p *planner) switchOn(st *stage) error {
	l, err := p.switchedOn()
	if err != nil || st.day.now.LampShare() < lampsCount {
		return err
	}
	for i, b := range st.day.now.Lamps() {
		s := st.solids[l.of[i]]
		_, across, up := s.Bank()
		st.parts.Lights = append(st.parts.Lights, scene.Light{Name: s.Name, At: b.At, Aim: b.Aim, Outline: scene.Rect, Width: across, Height: up, Beam: floodlight.UsualPower,
			Intensity: unit.CandelaSecond(b.Intensity), Colour: balanced(floodlight.Temperature), Steady: true})
	}
	return nil
}

// lampsLX is the light of field lights on the level ground at the mark.
func (d *daylight) lampsLX() unit.Lux {
	if d.lamps {
		return d.now.Diffuse
	}
	return d.now.Lamps().Level([]geom.Vec{{}})
}

// flicker warns of lamps whose light comes in pulses where the shutter is shorter
// than one. Common practice, no source; twice the frequency of the mains is
// physics.
func flicker(d *daylight, shutter float64) []Note {
	if !d.lamps && d.now.LampShare() < 0.1 || shutter > 0.97/100 { // a dial's 1/100 is 1/102
		return nil
	}
	return []Note{{"flicker", "caution", "lamps on the mains flicker 100 or 120 times a second: at short shutters frames differ in brightness and colour, or show bands",
		"look at a burst of test frames; 1/100 s (50 Hz) or 1/60 s (60 Hz) evens it out"}}
}
