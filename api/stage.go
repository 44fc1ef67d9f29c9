package api

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"hardnoon/engine/body"
	"hardnoon/engine/exposure"
	"hardnoon/engine/geom"
	"hardnoon/engine/modifier"
	"hardnoon/engine/plan"
	"hardnoon/engine/scene"
	"hardnoon/engine/site"
	"hardnoon/engine/sky"
	"hardnoon/engine/spectrum"
	"hardnoon/engine/unit"
	"hardnoon/session"
)

// A stage is one setup built as it was planned: the mark at the origin, the
// figure on it, everything else around.
type stage struct {
	su       session.Setup
	plan     SetupAnswer
	day      *daylight
	settings exposure.Settings
	body     *body.Body
	face     body.FaceFrame
	solids   []site.Solid // with names that are unique
	parts    scene.Parts
	scene    *scene.Scene
	faces    unit.Angle
	holds    []geom.Vec // ends of what is held
	assumed  []string
	notes    []Note

	materials map[string]int
}

// Names of what a scene is made of, beside its solids.
const (
	subjectName = "subject"
	heldName    = "what is held"
	farName     = "skyline"
)

// coarseCell is the mesh of a figure that is only asked who sees whom.
const coarseCell = 24 * unit.Millimetre

// cellFor returns how fine a figure is drawn in a picture so many pixels across:
// three pixels a cell where the subject stands, which is one on the head and a
// sixth of a pixel off the outline of a limb.
func (p *planner) cellFor(su session.Setup, across int) unit.Length {
	w := p.sensor.Width
	if su.Camera.Upright {
		w = p.sensor.Height
	}
	pixel := w.Metres() / float64(across) * su.Camera.DistanceM / (su.FocalMM / 1000)
	return unit.Length(min(max(3*pixel, 0.011), coarseCell.Metres()))
}

// shown returns how much of a figure, from the crown down, can stand in the
// frame or just below it.
func (p *planner) shown(su session.Setup) unit.Length {
	h := p.sensor.Height
	if su.Camera.Upright {
		h = p.sensor.Width
	}
	return 1.15 * h * unit.Length(su.Camera.DistanceM/(su.FocalMM/1000))
}

// stageOf builds setup number i, its figure of cells of a size.
func (p *planner) stageOf(i int, cell unit.Length) (*stage, error) {
	one := p.s
	one.Setups = p.s.Setups[i : i+1]
	planned, err := Plan(one)
	if err != nil {
		return nil, err
	}
	at, err := p.at(i)
	if err != nil {
		return nil, err
	}
	st := &stage{su: p.s.Setups[i], plan: planned.Setups[0], materials: map[string]int{}}
	if st.day, err = p.daylight(at); err != nil {
		return nil, err
	}
	if err := p.settle(st); err != nil {
		return nil, err
	}
	field := func(rest string) string { return fmt.Sprintf("setups[%d].%s", i, rest) }
	if err := p.figure(st, cell, field); err != nil {
		return nil, err
	}
	if err := p.surroundings(st); err != nil {
		return nil, err
	}
	p.frame(st)
	if err := p.hang(st, field); err != nil {
		return nil, err
	}
	if err := p.switchOn(st); err != nil {
		return nil, err
	}
	st.daylight()
	if st.scene, err = scene.New(st.parts); err != nil {
		return nil, wrong(field("camera"), err, "check where camera, lights and solids stand")
	}
	// Probes lie on what the lens sees, so they need the finished scene once.
	st.parts.Probes = st.probes()
	st.scene.Probes = st.parts.Probes
	return st, nil
}

// settle takes the settings of the plan. A setup that no dial position answers
// is shown at the exact aperture that would, without its flash.
func (p *planner) settle(st *stage) error {
	if a := st.plan.Answer; a != nil {
		st.settings = a.settings()
		return nil
	}
	st.settings = exposure.Settings{FNumber: 8, Shutter: p.camera.Sync, ISO: p.camera.ISOMin}
	over := float64(st.settings.AmbientStops(unit.EV(st.plan.Daylight.BackgroundEV))) + st.su.Look.UnderStops
	st.settings.FNumber = exposure.FNumber(math.Min(128, math.Max(0.5, 8*math.Exp2(over/2))))
	st.notes = append(st.notes, Note{"no_setting", "caution", fmt.Sprintf("no setting of this camera places the background; shown without flash at f/%.1f and %s", float64(st.settings.FNumber), st.settings.Shutter.Label(p.camera.Dial)),
		"see what helps with \"hardnoon plan\""})
	return nil
}

// material adds a material once and returns its number.
func (st *stage) material(m scene.Material) int {
	if i, ok := st.materials[m.Name]; ok {
		return i
	}
	i := len(st.parts.Materials)
	st.materials[m.Name] = i
	st.parts.Materials = append(st.parts.Materials, m)
	return i
}

// siteMaterial is a material of the place; what grows or is trodden is mottled.
func (st *stage) siteMaterial(name string) int {
	m, ok := site.MaterialNamed(name)
	if !ok {
		m, _ = site.MaterialNamed("concrete")
	}
	out := scene.Material{Name: name, Diffuse: rgb(m.Colour)}
	switch name {
	case "leaves": // they let about as much through as they send back
		out.Diffuse = out.Diffuse.Scale(2)
		out.Mottle, out.MottleSize = 0.35, 0.3*unit.Metre
	case "turf", "dry grass":
		out.Mottle, out.MottleSize = 0.5, 0.05*unit.Metre
	case "synthetic turf", "clay", "sand", "earth", "gravel", "asphalt", "snow":
		out.Mottle, out.MottleSize = 0.15, 0.15*unit.Metre
	case "dark paint":
		out.Coat, out.Roughness = 0.05, 0.1
	case "galvanised steel":
		out.Coat, out.Roughness = 0.2, 0.35
	}
	return st.material(out)
}

func rgb(c [3]float64) scene.RGB {
	return scene.RGB{R: float32(min(1, c[0])), G: float32(min(1, c[1])), B: float32(min(1, c[2]))}
}

// groundOf is the site's material for each word of place.ground.
var groundOf = map[string]string{"": "turf", "grass": "turf", "artificial-turf": "synthetic turf", "track": "running track"}

// surroundings puts ground, lines, solids and skyline into the scene.
func (p *planner) surroundings(st *stage) error {
	pl := p.s.Place
	surface := pl.Ground
	if x, ok := groundOf[surface]; ok {
		surface = x
	}
	if pl.Ground == "" {
		st.assume("turf under the subject")
	}
	around := st.siteMaterial(surface)
	// The ground sends back what the daylight of the plan was told it does.
	m := &st.parts.Materials[around]
	if y := m.Diffuse.Y(); y > 0 {
		m.Diffuse = m.Diffuse.Scale(float32(p.albedo()) / y)
		m.Diffuse = scene.RGB{R: min(1, m.Diffuse.R), G: min(1, m.Diffuse.G), B: min(1, m.Diffuse.B)}
	}
	st.parts.Ground = &scene.Ground{Material: around}
	solids, err := p.solids()
	if err != nil {
		return err
	}
	if pl.Field != nil {
		g, err := p.field(surface)
		if err != nil {
			return err
		}
		st.parts.Ground.MaterialAt = newLawn(g, st.siteMaterial).at
		solids = append(solids, g.Posts...)
	}
	if err := st.addSolids(solids); err != nil {
		return err
	}
	return st.addSkyline(pl.Horizon)
}

// field returns the ground that is painted on the place, laid there; where the
// rule book says turf, it lies on what grows there.
func (p *planner) field(surface string) (site.Ground, error) {
	f := p.s.Place.Field
	g, ok := site.GroundNamed(f.Name)
	if !ok {
		return g, noField(f.Name)
	}
	g, err := g.Laid(p.fieldPlace())
	if err != nil {
		return g, wrong("place.field", err, "check where its origin lies")
	}
	if g.Surface == "turf" {
		g.Surface = surface
	}
	return g, nil
}

// fieldPlace is where the painted field lies.
func (p *planner) fieldPlace() site.Place {
	f := p.s.Place.Field
	return site.Place{Origin: geom.Vec{X: or(f.EastM, 0), Y: or(f.NorthM, 0)}, Bearing: unit.Angle(f.BearingDeg) * unit.Degree}
}

// albedo is what the plan's daylight was computed with.
func (p *planner) albedo() float64 {
	if x := p.s.Place.GroundReflectance; x != nil {
		return *x
	}
	if x, ok := sky.AlbedoOf(p.s.Place.Ground); ok {
		return x
	}
	if p.s.Place.Ground == "" {
		return sky.DefaultAlbedo
	}
	return 0.2
}

func (st *stage) assume(what string) { st.assumed = appendNew(st.assumed, what) }

// leavesAt is how many leaves a tree is drawn with so far from the mark: enough
// that one is not seen by itself.
func leavesAt(away float64) int { return int(min(6000, max(1800, 120_000/max(away, 1)))) }

func (st *stage) addSolids(solids []site.Solid) error {
	seen := map[string]int{}
	trees := 0
	for _, s := range solids {
		if s.Kind == site.Tree {
			trees++
		}
	}
	var growing sync.WaitGroup
	var grow []func()
	for i, s := range solids {
		if s.Name == "" {
			s.Name = s.Kind.String()
		}
		if seen[s.Name]++; seen[s.Name] > 1 {
			s.Name = fmt.Sprintf("%s %d", s.Name, seen[s.Name])
		}
		s, err := s.Sized()
		if err != nil {
			return wrong(fmt.Sprintf("place.solids[%d]", i), err, "check its place and sizes")
		}
		st.solids = append(st.solids, s)
		parts, err := s.Parts()
		if err != nil {
			return wrong(fmt.Sprintf("place.solids[%d]", i), err, "check its place and sizes")
		}
		if s.Kind == site.Vehicle {
			st.addVehicle(s)
			continue
		}
		for _, x := range parts {
			m := st.siteMaterial(x.Material)
			if s.Kind == site.Tree {
				k, leaves := len(st.parts.Meshes), max(200, min(leavesAt(s.At.Norm()), 400_000/trees))
				st.parts.Meshes = append(st.parts.Meshes, scene.Mesh{Name: s.Name, Materials: []int{m}})
				grow = append(grow, func() {
					mesh := &st.parts.Meshes[k].Mesh
					if x.Form == site.Ball {
						*mesh = crown(x, i, leaves)
					} else {
						*mesh = trunk(x, parts[1], i)
					}
				})
				continue
			}
			form := scene.Box
			if x.Form == site.Cylinder {
				form = scene.Cylinder
			}
			st.parts.Solids = append(st.parts.Solids, scene.Solid{Name: s.Name, Form: form, At: x.At, Size: x.Size, Bearing: x.Bearing, Material: m, Passes: x.Passes})
		}
	}
	for _, tree := range grow {
		growing.Go(tree)
	}
	growing.Wait()
	return nil
}

// skylineAway is where hills stand: far enough that walking about the mark does
// not move them.
const skylineAway = 5000.0

// hillSlope is how steep the far side is drawn. Own choice.
const hillSlope = 25 * unit.Degree

func (st *stage) addSkyline(horizon []session.Corner) error {
	line, err := skyline(horizon)
	if err != nil || len(line) == 0 {
		return err
	}
	// ring draws a range of hills up to an altitude, its foot so far away.
	ring := func(name string, colour scene.RGB, step unit.Angle, foot float64, top func(az unit.Angle) unit.Angle) {
		var m geom.Mesh
		n := int(math.Round(float64(unit.Turn / step)))
		for i := range n {
			for j, az := range []unit.Angle{unit.Angle(i) * step, unit.Angle(i+1) * step} {
				out, alt := geom.Direction(az, 0), max(0, top(az))
				// A slope, for hills catch a high sun; its top is where it is seen.
				slope := max(hillSlope, alt+(unit.Turn/4-alt)/4).Tan()
				foot := min(foot, 4000/alt.Tan()) // a cliff stands nearer
				away := foot * slope / (slope - alt.Tan())
				m.Vertices = append(m.Vertices, out.Scale(foot), out.Scale(away).Add(geom.Up.Scale(away*alt.Tan())))
				if j == 1 {
					k := int32(4 * i)
					m.Triangles = append(m.Triangles, [3]int32{k, k + 1, k + 2}, [3]int32{k + 1, k + 3, k + 2})
				}
			}
		}
		hills := st.material(scene.Material{Name: name, Diffuse: colour, Mottle: 0.2, MottleSize: 45 * unit.Metre})
		st.parts.Meshes = append(st.parts.Meshes, scene.Mesh{Name: farName, Mesh: m, Materials: []int{hills}})
	}
	// The light of the air before them stands in their colour. Foothills never
	// stand higher than the line that was given.
	ring("hills in haze", scene.RGB{R: 0.150, G: 0.175, B: 0.195}, 2*unit.Degree, skylineAway, line.Altitude)
	ring("foothills", scene.RGB{R: 0.095, G: 0.120, B: 0.095}, unit.Degree/2, skylineAway/2, func(az unit.Angle) unit.Angle {
		return line.Altitude(az) * unit.Angle(0.5+0.4*uneven(az.Degrees()/9, 0))
	})
	return nil
}

// daylight lights the scene with the sun and sky of the plan. Colours are what a
// camera set to the flash makes of them.
func (st *stage) daylight() {
	if st.day.lamps {
		st.notes = append(st.notes, Note{"lamps", "info", "the light of the lamps is shown as an even sky", "the real one is black: expect a darker top of the frame"})
	}
	now := st.day.now
	d := &st.parts.Daylight
	d.Sun = now.Sun
	if now.Sun.Z > 0 {
		d.SunIlluminance = now.DirectNormal
	}
	d.SunColour = balanced(now.BeamTemperature)
	d.Sky = tinted{now, now.SkyTemperature.Mired(), now.Sun, st.day.streak()}
}

// streak is how much cloud and blue take turns: not at all where the whole sky is
// either. Of a sky that is not described, nothing is known.
func (d *daylight) streak() float64 {
	direct := float64(d.now.DNI) * math.Max(d.now.Sun.Z, 0)
	if all := direct + float64(d.now.DHI); all > 0 {
		f := float64(d.now.DHI) / all
		return 4 * f * (1 - f)
	}
	return 0
}

// balanced is the colour of a light of a temperature for a camera set to the
// flash.
func balanced(t unit.Kelvin) scene.RGB {
	if !(t > 1000) || t > 40_000 {
		t = min(max(t, 2000), 40_000)
	}
	c, w := spectrum.Natural(t).LinearRGB(), spectrum.Natural(flashLight).LinearRGB()
	out := scene.RGB{R: float32(c[0] / w[0]), G: float32(c[1] / w[1]), B: float32(c[2] / w[2])}
	return out.Scale(1 / out.Y())
}

// tinted is the plan's sky, bluer overhead than towards horizon and sun, with
// streaks of high cloud. Only those are painted by eye; over any patch of some
// size the light is the plan's.
type tinted struct {
	scene.Sky
	mired  unit.Mired // of all its light
	sun    geom.Vec
	streak float64 // 0 for one even sky, 1 where cloud and blue take turns
}

// cloud returns how much cloud is in a direction, −1 to 1 with a mean of
// nothing: streaks in a layer over a round earth, drawn out along one way.
func (t tinted) cloud(d geom.Vec) float64 {
	if t.streak == 0 || d.Z <= 0 {
		return 0
	}
	k := 1 / (d.Z + 0.10)
	x, y := d.X*k, d.Y*k
	bend := uneven(0.6*x, 0.6*y)
	return t.streak * min(1, 4*d.Z+0.3) * uneven(0.5*x+0.9*y+0.7*bend+5, 1.9*x-1.1*y+1.6*bend)
}

// streakDepth is how far cloud and blue differ in brightness. By eye.
const streakDepth = 0.22

// Luminance returns that of the plan, uneven as cloud is.
func (t tinted) Luminance(d geom.Vec) unit.Nit {
	return t.Sky.Luminance(d) * unit.Nit(1+streakDepth*t.cloud(d))
}

// Colour returns the colour in a direction.
func (t tinted) Colour(d geom.Vec) scene.RGB {
	pale := math.Exp(-4*math.Max(d.Z, 0)) + math.Exp(-3*float64(d.AngleTo(t.sun)))
	m := t.mired + unit.Mired(55*(math.Min(pale, 1)-0.4)+42*t.cloud(d))
	return balancedAt(m)
}

// Mireds between which a sky is coloured.
const bluest, reddest = 25, 500

// balancedTable is balanced by the mired: a picture asks for it at every pixel
// of its sky.
var balancedTable = sync.OnceValue(func() *[reddest - bluest + 1]scene.RGB {
	var t [reddest - bluest + 1]scene.RGB
	for i := range t {
		t[i] = balanced(unit.Kelvin(1e6 / float64(bluest+i)))
	}
	return &t
})

// balancedAt is balanced, between whole mireds along a straight line.
func balancedAt(m unit.Mired) scene.RGB {
	x := min(max(float64(m), bluest), reddest) - bluest
	i := min(int(x), reddest-bluest-1)
	t, f := balancedTable(), float32(x-float64(i))
	return t[i].Scale(1 - f).Add(t[i+1].Scale(f))
}

// hang puts every light where the plan put it, aimed at the face.
func (p *planner) hang(st *stage, field func(string) string) error {
	black := st.material(scene.Material{Name: "black enamel", Diffuse: scene.Grey(0.035), Coat: 0.04, Roughness: 0.3})
	toCamera := unit.Angle(st.su.Camera.BearingDeg)*unit.Degree + unit.Turn/2
	seen := map[string]int{}
	for j, l := range st.su.Lights {
		role := map[string]plan.Role{"key": plan.Key, "edge": plan.Edge, "fill": plan.Fill}[l.Role]
		src, _ := p.source(l.Head, l.Modifier)
		class := src.Class()
		name := l.Role
		if seen[name]++; seen[name] > 1 {
			name = fmt.Sprintf("%s %d", name, seen[name])
		}
		var h unit.LuxSecond
		distance := or(l.DistanceM, float64(usualDistance[role][0]))
		if a := st.plan.Answer; a != nil {
			distance = a.Lights[j].DistanceM
			h = st.settings.FlashFor(unit.Stops(a.Lights[j].Level))
		}
		at, err := st.placeLight(l, name, toCamera, distance)
		if err != nil {
			return wrong(field(fmt.Sprintf("lights[%d]", j)), err, "move it away, or let the plan choose")
		}
		x := scene.Light{Name: name, At: at, Aim: st.face.Centre, Width: class.Width, Height: class.Height, Beam: class.BeamPower(), Setback: class.Setback}
		switch class.Shape {
		case modifier.Rectangle:
			x.Outline = scene.Rect
		case modifier.Bare:
			x.Width = max(x.Width, 0.1*unit.Metre)
		}
		x.Intensity = intensityFor(x, h)
		st.parts.Lights = append(st.parts.Lights, x)
		st.addStand(x, black)
	}
	return nil
}

// placeLight returns where a light's front is: its distance from the face is
// the plan's, its height the session's as far as that distance allows.
func (st *stage) placeLight(l session.Light, name string, toCamera unit.Angle, distance float64) (geom.Vec, error) {
	angle := UsualAngle(l.Role)
	if l.AngleDeg != nil {
		angle = *l.AngleDeg
	} else {
		st.assume(fmt.Sprintf("%s at %.0f° from the line to the camera", name, angle))
	}
	height := lightHeight(l, unit.Length(st.face.Centre.Z))
	if l.HeightM == nil {
		st.assume(fmt.Sprintf("the %s %.1f m up", l.Role, height))
	}
	rise := height - st.face.Centre.Z
	if limit := 0.94 * distance; math.Abs(rise) > limit { // 70° above the face
		rise = math.Copysign(limit, rise)
		st.notes = append(st.notes, Note{"light_height", "info", fmt.Sprintf("at %.1f m from the face the %s cannot stand %.1f m high; it is drawn at %.1f m", distance, name, height, st.face.Centre.Z+rise),
			"lower it, or give it more distance"})
	}
	height = st.face.Centre.Z + rise
	run := groundDistance(unit.Length(distance), height, unit.Length(st.face.Centre.Z)).Metres()
	at := st.face.Centre.Add(geom.Direction(toCamera+unit.Angle(angle)*unit.Degree, 0).Scale(run)).Add(geom.Up.Scale(rise))
	if at.Z < 0.05 {
		at.Z = 0.05
	}
	if d := st.body.Distance(at).Metres(); d < 0.05 {
		return at, errors.New(name + " stands in the subject")
	}
	return at, nil
}

// intensityFor returns the intensity with which light l puts h on a surface at
// its aim that faces it, whatever the size of the front.
func intensityFor(l scene.Light, h unit.LuxSecond) unit.CandelaSecond {
	d := l.Aim.Sub(l.At).Norm()
	w, t := l.Width.Metres(), l.Height.Metres()
	const n = 24
	sum := 0.0
	for i := range n {
		for j := range n {
			u, v := (float64(i)+0.5)/n, (float64(j)+0.5)/n
			off := math.Hypot(w*(u-0.5), t*(v-0.5))
			if l.Outline == scene.Round {
				off = w / 2 * math.Sqrt(u)
			}
			r2 := d*d + off*off
			c := d / math.Sqrt(r2)
			k := math.Sqrt(r2) / (math.Sqrt(r2) + l.Setback.Metres())
			if l.Setback == 0 {
				k = 1
			}
			sum += math.Pow(c, max(l.Beam, 1)+1) * k * k / r2
		}
	}
	return unit.CandelaSecond(float64(h) / (sum / (n * n)))
}

// frame sets the camera up: at its place, aimed so that as much of the figure is
// in the frame as fits, the head rather than the feet.
func (p *planner) frame(st *stage) {
	c := st.su.Camera
	back := unit.Angle(c.BearingDeg)*unit.Degree + unit.Turn/2
	at := geom.Direction(back, 0).Scale(c.DistanceM).Add(geom.Up.Scale(c.HeightM))
	w, h := p.sensor.Width, p.sensor.Height
	if c.Upright {
		w, h = h, w
	}
	cam := scene.Camera{At: at, Focal: unit.Length(st.su.FocalMM) * unit.Millimetre, SensorWidth: w, SensorHeight: h, FNumber: float64(st.settings.FNumber)}
	// Angles of the figure above level as the lens sees it: what is nearer stands
	// lower in the frame.
	forward := geom.Direction(unit.Angle(c.BearingDeg)*unit.Degree, 0)
	up := func(v geom.Vec) float64 {
		return math.Atan2(v.Z-c.HeightM, math.Max(0.2, v.Sub(at).Dot(forward)))
	}
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, m := range st.parts.Meshes {
		if m.Name == subjectName {
			for i := 0; i < len(m.Vertices); i += 4 {
				lo, hi = min(lo, up(m.Vertices[i])), max(hi, up(m.Vertices[i]))
			}
		}
	}
	field := 2 * math.Atan(h.Metres()/2/cam.Focal.Metres()*(1-cam.Focal.Metres()/c.DistanceM))
	aim := (hi + lo) / 2
	if hi-lo > 0.99*field {
		aim = up(st.body.Joint(body.Crown)) + 0.10*field - field/2
	}
	st.parts.Camera = cam
	st.parts.Camera.Aim = geom.Vec{Z: c.HeightM + c.DistanceM*math.Tan(aim)}
	_, _, axis := st.parts.Camera.Axes()
	st.parts.Camera.Focus = unit.Length(max(st.face.Centre.Sub(at).Dot(axis), 3*cam.Focal.Metres()))
	if !c.Upright {
		st.assume("the camera held level, the frame wider than tall")
	}
}

// loose makes "kick back-swing", "Kick-back-swing" and "kick back swing" one.
func loose(name string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return r == ' ' || r == '-' || r == '_' }), " ")
}

// poseOf finds a pose, or a movement at its peak, by name.
func poseOf(name string) (body.Pose, bool) {
	all := body.Poses()
	if i := slices.IndexFunc(all, func(p body.Pose) bool { return loose(p.Name) == loose(name) }); i >= 0 {
		return all[i], true
	}
	for _, m := range body.Movements {
		if loose(m.Name) == loose(name) {
			p, err := m.PoseAt(m.Keys[len(m.Keys)/2].At)
			return p, err == nil
		}
	}
	if x, ok := otherPoses[loose(name)]; ok {
		return poseOf(x)
	}
	return body.Pose{}, false
}

// otherPoses are words people say for a pose.
var otherPoses = map[string]string{"wind up": "draw-back", "jump": "leap", "sprint": "sprint drive", "sit": "seated", "standing": "stand", "running": "run", "start": "sprint start"}

// noField says which fields there are: those that share the first word of the
// name, where some do, else all. Names hold commas, so each stands in quotes.
func noField(name string) error {
	first := func(x string) string {
		return strings.ToLower(strings.TrimRight(strings.SplitN(x+" ", " ", 2)[0], ","))
	}
	var all, like []string
	for _, g := range site.Grounds() {
		all = append(all, fmt.Sprintf("%q", g.Name))
		if first(g.Name) == first(name) {
			like = append(like, fmt.Sprintf("%q", g.Name))
		}
	}
	if len(like) > 0 {
		all = like
	}
	return wrong("place.field.name", fmt.Errorf("no field is called %q", name), "there are "+strings.Join(all, ", "))
}
