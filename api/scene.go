package api

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"time"

	"hardnoon/engine/body"
	"hardnoon/engine/geom"
	"hardnoon/engine/render"
	"hardnoon/engine/scene"
	"hardnoon/engine/site"
	"hardnoon/engine/sun"
	"hardnoon/engine/unit"
	"hardnoon/session"
)

// SceneRequest asks what stands where in the frames of a session.
type SceneRequest struct {
	Session session.Session `json:"session"`
	Setup   string          `json:"setup,omitempty"` // by its id; none is all
}

// SceneAnswer is every setup as the lens sees it.
type SceneAnswer struct {
	Setups []SceneSetup `json:"setups"`
}

// SceneSetup is one setup in numbers. Left and right are those of the frame.
type SceneSetup struct {
	ID       string        `json:"id"`
	Title    string        `json:"title"`
	At       string        `json:"at"`
	Settings SettingsJSON  `json:"settings"`
	Camera   SceneCamera   `json:"camera"`
	Subject  SceneSubject  `json:"subject"`
	Face     SceneFace     `json:"face"`
	Shade    SceneShade    `json:"shade"`
	Glares   []SceneGlare  `json:"glares"`
	Lights   []SceneLight  `json:"lights"`
	Behind   []SceneBehind `json:"behind"`
	Solids   []SceneSolid  `json:"solids"`
	Hide     []SceneHide   `json:"hide"`
	Probes   []SceneProbe  `json:"probes"`

	Assumptions []string `json:"assumptions"`
	Notes       []Note   `json:"notes"`
}

// SceneCamera is how the camera is held.
type SceneCamera struct {
	EastM      float64 `json:"east_m"`
	NorthM     float64 `json:"north_m"`
	HeightM    float64 `json:"height_m"`
	LooksDeg   float64 `json:"looks_deg"`
	TiltDeg    float64 `json:"tilt_deg"` // above level
	AcrossDeg  float64 `json:"across_deg"`
	UpDeg      float64 `json:"up_deg"`
	LowestM    float64 `json:"frame_lowest_m"` // what the frame holds at the subject
	HighestM   float64 `json:"frame_highest_m"`
	Nearest    string  `json:"nearest"`            // part of the subject that is nearest to the lens
	SizeRatio  float64 `json:"nearest_to_head"`    // how many times larger it is drawn than at the head
	FeetToHead float64 `json:"feet_to_head"`       // the same for the feet
	HeldToHead float64 `json:"held_to_head"`       // and for the nearer end of what is held; 0 for nothing
	ShareFrame float64 `json:"head_of_frame_high"` // height of the head over that of the frame
}

// SceneSubject is who stands on the mark.
type SceneSubject struct {
	Pose     string  `json:"pose"`
	StatureM float64 `json:"stature_m"`
	EyesM    float64 `json:"eyes_m"`
	CrownM   float64 `json:"crown_m"`
	FacesDeg float64 `json:"faces_deg"`
	InFrame  float64 `json:"in_frame"` // share of the figure
	HeadX    float64 `json:"head_x"`   // between the eyes, in the frame: 0 left, 1 right
	HeadY    float64 `json:"head_y"`   // 0 top, 1 bottom
}

// SceneFace is how the sun meets the face; shares of its area.
type SceneFace struct {
	Sun        float64 `json:"sun_share"`
	Brim       float64 `json:"brim_share"`
	Self       float64 `json:"self_share"` // shaded by nose, brow, hair, body
	Away       float64 `json:"away_share"`
	Solids     float64 `json:"solid_share"` // would be in the sun but for what stands around
	LeftEye    string  `json:"left_eye"`
	RightEye   string  `json:"right_eye"`
	GazeSunDeg float64 `json:"gaze_sun_deg"`
	Squint     bool    `json:"squint"`
}

// squintWithin is how near the sun may be to the gaze before they squint. Common
// practice, no source.
const squintWithin = 60 * unit.Degree

// SceneShade says when a solid or the skyline takes the sun from the face.
type SceneShade struct {
	Now      bool       `json:"now"`
	By       string     `json:"by,omitempty"`
	ComesAt  *time.Time `json:"comes_at"` // null: not before the sun is gone
	LeavesAt *time.Time `json:"leaves_at"`
}

// SceneGlare is a source of light near the frame.
type SceneGlare struct {
	Name       string  `json:"name"`
	OffAxisDeg float64 `json:"off_axis_deg"`
	InFrame    bool    `json:"in_frame"`
	Blocked    bool    `json:"blocked"`
	MayFlare   bool    `json:"may_flare"`
}

// SceneLight is a light on its stand.
type SceneLight struct {
	Name        string  `json:"name"`
	EastM       float64 `json:"east_m"`
	NorthM      float64 `json:"north_m"`
	HeightM     float64 `json:"height_m"`
	DistanceM   float64 `json:"distance_m"` // front to face
	OverFaceDeg float64 `json:"over_face_deg"`
	InFrame     bool    `json:"in_frame"` // head or stand
	Shadow      bool    `json:"shadow_in_frame"`
}

// SceneBehind is what the lens sees past a part of the subject.
type SceneBehind struct {
	Part      string   `json:"part"`
	Name      string   `json:"name"`       // "sky" for nothing
	DistanceM *float64 `json:"distance_m"` // from the lens; null for the sky and the skyline
}

// SceneSolid is a thing in the frame.
type SceneSolid struct {
	Name      string  `json:"name"`
	Label     string  `json:"label"`
	DistanceM float64 `json:"distance_m"` // from the lens
	Shows     float64 `json:"shows"`      // share of it that shows
	LeftX     float64 `json:"left_x"`     // where it stands in the frame, 0 left to 1 right
	RightX    float64 `json:"right_x"`
	TopY      float64 `json:"top_y"`     // 0 top to 1 bottom
	CrossesM  float64 `json:"crosses_m"` // height on the subject where its top ends
}

// SceneHide says how to get a thing out of the picture, or the body before it.
// Null: not within what was tried.
type SceneHide struct {
	Name   string   `json:"name"`
	Shows  float64  `json:"shows"`
	LowerM *float64 `json:"lower_to_m"` // highest lower camera that hides it
	RaiseM *float64 `json:"raise_to_m"`
	LeftD  *float64 `json:"walk_left_deg"` // around the subject, as the photographer walks
	RightD *float64 `json:"walk_right_deg"`
	Text   string   `json:"text"`
}

// SceneProbe is the light at a point as the camera sees it.
type SceneProbe struct {
	Name   string             `json:"name"`
	X      float64            `json:"x"`
	Y      float64            `json:"y"`
	Total  float64            `json:"total_stops"` // relative to mid-tone
	Sun    float64            `json:"sun_stops"`
	Sky    float64            `json:"sky_stops"`
	Lamps  float64            `json:"lamps_stops"` // of lit field lights
	Lights map[string]float64 `json:"lights_stops"`
	Noise  float64            `json:"noise_stops"`
}

// Scene answers what the lens of every setup sees, before anybody drives there.
// When ctx ends first, its error is returned.
func Scene(ctx context.Context, req SceneRequest) (SceneAnswer, error) {
	p, err := newPlanner(req.Session)
	if err != nil {
		return SceneAnswer{}, err
	}
	a := SceneAnswer{Setups: []SceneSetup{}}
	for i, su := range req.Session.Setups {
		if req.Setup != "" && su.ID != req.Setup {
			continue
		}
		st, err := p.stageOf(i, coarseCell)
		if err != nil {
			return SceneAnswer{}, err
		}
		x, err := p.seen(ctx, st)
		if err != nil {
			return SceneAnswer{}, err
		}
		a.Setups = append(a.Setups, x)
	}
	if len(a.Setups) == 0 {
		return a, noSetup(req.Session, req.Setup)
	}
	return a, nil
}

func noSetup(s session.Session, id string) *Error {
	return wrong("setup", fmt.Errorf("no setup is called %q", id), "there are "+ids(s.Setups, func(s session.Setup) string { return s.ID }))
}

// seen answers for one stage.
func (p *planner) seen(ctx context.Context, st *stage) (SceneSetup, error) {
	x := SceneSetup{ID: st.su.ID, Title: st.su.Title, At: st.plan.At, Settings: settingsJSON(st.settings, p.camera.Dial),
		Camera: st.cameraSeen(), Subject: st.subjectSeen(), Glares: st.glares(), Lights: st.lightsSeen(), Behind: st.behind(), Solids: st.solidsSeen(),
		Assumptions: slices.Clone(st.plan.Assumptions), Notes: append([]Note{}, st.notes...)}
	var err error
	if x.Face, err = st.faceSeen(); err != nil {
		return x, err
	}
	if x.Shade, err = p.shade(st); err != nil {
		return x, err
	}
	if x.Hide, err = st.hide(x.Solids); err != nil {
		return x, err
	}
	if x.Probes, err = st.readings(ctx); err != nil {
		return x, err
	}
	for _, what := range st.assumed {
		x.Assumptions = appendNew(x.Assumptions, what)
	}
	return x, nil
}

func cm(x float64) float64    { return math.Round(x*100)/100 + 0 }
func mille(x float64) float64 { return math.Round(x*1000)/1000 + 0 }
func tenthDeg(a unit.Angle) float64 {
	return math.Round(a.Degrees()*10)/10 + 0
}

func (st *stage) cameraSeen() SceneCamera {
	c := st.scene.Camera
	_, top, forward := c.Axes()
	across, up := c.FieldOfView()
	away := math.Hypot(c.At.X, c.At.Y)
	at := func(y unit.Angle) float64 {
		d := forward.Scale(y.Cos()).Add(top.Scale(y.Sin()))
		run := math.Hypot(d.X, d.Y)
		if run < 1e-6 {
			return math.Copysign(99, d.Z)
		}
		return cm(math.Min(99, math.Max(0, c.At.Z+d.Z/run*away)))
	}
	x := SceneCamera{EastM: cm(c.At.X), NorthM: cm(c.At.Y), HeightM: cm(c.At.Z), LooksDeg: bearing(forward.Azimuth()), TiltDeg: tenthDeg(forward.Altitude()),
		AcrossDeg: tenthDeg(across), UpDeg: tenthDeg(up), LowestM: at(-up / 2), HighestM: at(up / 2)}
	x.LooksDeg = math.Round(x.LooksDeg*10) / 10
	head := st.face.Centre
	ratio := func(p geom.Vec) float64 {
		r := c.SizeRatio(p, head)
		if math.IsNaN(r) || r > 99 {
			return 99
		}
		return cm(r)
	}
	for _, j := range []struct {
		name  string
		joint body.Joint
	}{{"head", body.Crown}, {"right hand", body.RightWrist}, {"left hand", body.LeftWrist}, {"right foot", body.RightAnkle}, {"left foot", body.LeftAnkle},
		{"right knee", body.RightKnee}, {"left knee", body.LeftKnee}, {"right elbow", body.RightElbow}, {"left elbow", body.LeftElbow}, {"hips", body.Hips}} {
		if r := ratio(st.body.Joint(j.joint)); r > x.SizeRatio {
			x.SizeRatio, x.Nearest = r, j.name
		}
	}
	x.FeetToHead = max(ratio(st.body.Joint(body.RightAnkle)), ratio(st.body.Joint(body.LeftAnkle)))
	for _, e := range st.holds {
		x.HeldToHead = max(x.HeldToHead, ratio(e))
	}
	crown, _ := c.Project(st.body.Joint(body.Crown))
	chin, _ := c.Project(st.body.Joint(body.Chin))
	x.ShareFrame = mille(math.Hypot((crown.X-chin.X)*float64(c.SensorWidth/c.SensorHeight), crown.Y-chin.Y))
	return x
}

func (st *stage) subjectSeen() SceneSubject {
	x := SceneSubject{Pose: st.body.Pose.Name, StatureM: cm(st.body.Stature().Metres()), EyesM: cm(st.face.Centre.Z), CrownM: cm(st.body.Joint(body.Crown).Z), FacesDeg: bearing(st.faces)}
	head, _ := st.scene.Camera.Project(st.face.Centre)
	x.HeadX, x.HeadY = mille(head.X), mille(head.Y)
	in, all := 0, 0
	for _, m := range st.parts.Meshes {
		if m.Name != subjectName {
			continue
		}
		for i := 0; i < len(m.Vertices); i += 16 {
			all++
			if at, ahead := st.scene.Camera.Project(m.Vertices[i]); ahead && at.InFrame() {
				in++
			}
		}
	}
	x.InFrame = mille(float64(in) / float64(max(all, 1)))
	return x
}

func (st *stage) faceSeen() (SceneFace, error) {
	d := st.day.now
	if d.Sun.Z <= 0 || d.DirectNormal <= 0 {
		return SceneFace{Away: 1, LeftEye: "no sun", RightEye: "no sun", GazeSunDeg: tenthDeg(st.face.Gaze.AngleTo(st.day.sun.Direction()))}, nil
	}
	l, err := st.body.FaceLight(d.Sun)
	if err != nil {
		return SceneFace{}, wrong("place", err, "check the place and the date")
	}
	open, err := site.Sunlit(st.face.Centre, d.Sun, st.solids)
	if err != nil {
		return SceneFace{}, wrong("place.solids", err, "check where they stand")
	}
	left, right := st.sides()
	return SceneFace{Sun: mille(l.Sun * open), Brim: mille(l.Brim), Self: mille(l.Self), Away: mille(l.Away), Solids: mille(l.Sun * (1 - open)),
		LeftEye: l.Eyes[left].String(), RightEye: l.Eyes[right].String(), GazeSunDeg: tenthDeg(l.Gaze), Squint: l.Gaze < squintWithin && open > 0.5}, nil
}

// sides tells which of the figure's sides is on the left of the frame.
func (st *stage) sides() (left, right int) {
	r, _ := st.scene.Camera.Project(st.face.Cheeks[body.Right])
	l, _ := st.scene.Camera.Project(st.face.Cheeks[body.Left])
	if r.X <= l.X {
		return body.Right, body.Left
	}
	return body.Left, body.Right
}

// shadeStep is how finely the sun's way is walked.
const shadeStep = 2 * time.Minute

// shade follows the sun until it sets and asks when it leaves the face.
func (p *planner) shade(st *stage) (SceneShade, error) {
	g, err := p.ground()
	if err != nil {
		return SceneShade{}, err
	}
	from, err := time.Parse(time.RFC3339, st.plan.At)
	if err != nil {
		return SceneShade{}, err
	}
	from = from.In(p.zone)
	var x SceneShade
	o := p.observer()
	for k := range int(14 * time.Hour / shadeStep) {
		at := from.Add(time.Duration(k) * shadeStep)
		pos, err := sun.At(at, o)
		if err != nil {
			return x, wrong("place", err, "check the place and the date")
		}
		if pos.AltitudeApparent <= 0 {
			break
		}
		dir := geom.Direction(pos.Azimuth, pos.AltitudeApparent)
		dark := g.SunAt(st.face.Centre, dir) < 0.5
		switch {
		case k == 0 && dark:
			x.Now, x.By = true, st.between(dir)
		case dark && !x.Now && x.ComesAt == nil:
			x.ComesAt, x.By = &at, st.between(dir)
		case !dark && (x.Now || x.ComesAt != nil) && x.LeavesAt == nil:
			x.LeavesAt = &at
		}
	}
	return x, nil
}

// between names what stands between the face and a direction.
func (st *stage) between(dir geom.Vec) string {
	for _, s := range st.solids {
		if open, err := site.Sunlit(st.face.Centre, dir, []site.Solid{s}); err == nil && open < 0.5 {
			return s.Name
		}
	}
	return farName
}

func (st *stage) glares() []SceneGlare {
	across, _ := st.scene.Camera.FieldOfView()
	out := []SceneGlare{}
	for _, g := range st.scene.Glares() {
		out = append(out, SceneGlare{g.Name, tenthDeg(g.OffAxis), g.InFrame, g.Blocked, !g.Blocked && st.lit(g.Name) && g.OffAxis < across/2+15*unit.Degree})
	}
	return out
}

// lit reports whether a named source shines towards the camera at all: the sun
// does, a light only from its front.
func (st *stage) lit(name string) bool {
	for i := range st.scene.Lights {
		if l := &st.scene.Lights[i]; l.Name == name {
			return st.scene.Camera.At.Sub(l.At).Dot(l.Aim.Sub(l.At)) > 0
		}
	}
	return true
}

func (st *stage) lightsSeen() []SceneLight {
	out := []SceneLight{}
	for i := range st.scene.Flashes() {
		l := &st.scene.Lights[i]
		d := l.At.Sub(st.face.Centre)
		x := SceneLight{Name: l.Name, EastM: cm(l.At.X), NorthM: cm(l.At.Y), HeightM: cm(l.At.Z), DistanceM: cm(d.Norm()), OverFaceDeg: tenthDeg(d.Altitude())}
		for _, m := range st.parts.Meshes {
			if m.Name != standOf(l.Name) {
				continue
			}
			for _, v := range append(slices.Clone(m.Vertices), l.At) {
				x.InFrame = x.InFrame || st.shows(v)
				if s := st.day.now.Sun; s.Z > 0.02 && st.day.now.DirectNormal > 0 {
					x.Shadow = x.Shadow || st.shows(v.Sub(s.Scale(v.Z/s.Z)).Add(geom.Up.Scale(0.01)))
				}
			}
		}
		out = append(out, x)
	}
	return out
}

// shows reports whether a point is in the frame with nothing before it.
func (st *stage) shows(p geom.Vec) bool {
	at, ahead := st.scene.Camera.Project(p)
	if !ahead || !at.InFrame() {
		return false
	}
	d := p.Sub(st.scene.Camera.At)
	n := d.Norm()
	hit, _, ok := st.scene.Closest(geom.Ray{Origin: st.scene.Camera.At, Dir: d.Scale(1 / n)})
	return !ok || hit.Metres() > n-0.03
}

func (st *stage) behind() []SceneBehind {
	out := []SceneBehind{}
	for _, x := range []struct {
		name string
		at   geom.Vec
	}{{"head", st.face.Centre}, {"shoulders", st.body.Joint(body.Neck).Sub(geom.Up.Scale(0.05))}, {"hips", st.body.Joint(body.Hips)}, {"knees", st.body.Joint(body.RightKnee).Lerp(st.body.Joint(body.LeftKnee), 0.5)}} {
		name, d := st.scene.Behind(x.at, 1.2*unit.Metre)
		b := SceneBehind{Part: x.name, Name: name}
		switch name {
		case "":
			b.Name = "sky"
		case farName:
		default:
			m := cm(d.Metres())
			b.DistanceM = &m
		}
		out = append(out, b)
	}
	return out
}

// points returns points all over a solid.
func points(s site.Solid) []geom.Vec {
	place := site.Place{Origin: s.At, Bearing: s.Bearing}
	var out []geom.Vec
	n := 3 + min(12, int(s.Width.Metres()/2))
	for i := range n {
		for _, y := range []float64{-0.48, 0, 0.48} {
			for _, z := range []float64{0.1, 0.4, 0.7, 0.98} {
				x := (float64(i)/float64(n-1) - 0.5) * 0.98
				if s.Kind == site.Tree && z < 0.3 {
					x *= 0.1
				}
				out = append(out, place.World(geom.Vec{X: x * s.Width.Metres(), Y: y * s.Depth.Metres(), Z: z * s.Height.Metres()}))
			}
		}
	}
	return out
}

func (st *stage) solidsSeen() []SceneSolid {
	c := st.scene.Camera
	away := unit.Length(math.Hypot(c.At.X, c.At.Y))
	out := []SceneSolid{}
	for _, s := range st.solids {
		x := SceneSolid{Name: s.Name, Label: s.Label.String(), LeftX: math.Inf(1), RightX: math.Inf(-1), TopY: math.Inf(1)}
		seen, all := 0, points(s)
		for _, p := range all {
			at, ahead := c.Project(p)
			if !ahead {
				continue
			}
			x.LeftX, x.RightX, x.TopY = min(x.LeftX, at.X), max(x.RightX, at.X), min(x.TopY, at.Y)
			if !at.InFrame() {
				continue
			}
			d := p.Sub(c.At)
			n := d.Norm()
			if hit, f, ok := st.scene.Closest(geom.Ray{Origin: c.At, Dir: d.Scale(1 / n)}); !ok || hit.Metres() > n-0.05 || st.scene.Owner(f) == s.Name {
				seen++
			}
		}
		if seen == 0 {
			continue
		}
		far := unit.Length(math.Hypot(s.At.X-c.At.X, s.At.Y-c.At.Y))
		x.Shows, x.DistanceM = mille(float64(seen)/float64(len(all))), cm(far.Metres())
		x.LeftX, x.RightX, x.TopY = mille(x.LeftX), mille(x.RightX), mille(x.TopY)
		if z, err := site.Crossing(unit.Length(c.At.Z), unit.Length(s.At.Z)+s.Height, away, far); err == nil {
			x.CrossesM = cm(z.Metres())
		}
		out = append(out, x)
	}
	slices.SortStableFunc(out, func(a, b SceneSolid) int { return int(math.Copysign(1, b.Shows*float64(1)-a.Shows)) })
	return out
}

// What is tried to hide a thing: heights every 5 cm, steps around the subject
// every degree. Hidden is what shows less than a twentieth.
const (
	lowestLens  = 0.15
	highestLens = 2.4
	widestWalk  = 60
	hiddenBelow = 0.05
)

// hide looks for the nearest camera places that hide each thing labelled so.
// The things themselves are taken out, so that none of their points hides
// another.
func (st *stage) hide(seen []SceneSolid) ([]SceneHide, error) {
	out := []SceneHide{}
	var all []site.Solid // labelled so, seen now or not: who walks may find the next one
	for _, x := range st.solids {
		if x.Label == site.Hide {
			all = append(all, x)
		}
	}
	in := func(name string) int {
		return slices.IndexFunc(seen, func(x SceneSolid) bool { return x.Name == name })
	}
	if !slices.ContainsFunc(all, func(x site.Solid) bool { return in(x.Name) >= 0 }) {
		return out, nil
	}
	bare, err := st.without(site.Hide)
	if err != nil {
		return nil, err
	}
	c := st.scene.Camera
	away := unit.Length(math.Hypot(c.At.X, c.At.Y))
	here := unit.Angle(st.su.Camera.BearingDeg)*unit.Degree + unit.Turn/2
	find := func(x *SceneHide, things ...site.Solid) {
		try := func(b unit.Angle, h float64) bool {
			for _, s := range things {
				if bare.Hiding(points(s), c.Aim, away, []unit.Angle{b}, []unit.Length{unit.Length(h)})[0].Seen >= hiddenBelow {
					return false
				}
			}
			return true
		}
		if try(here, c.At.Z) {
			x.Text = "it hardly shows from here"
			return
		}
		for h := math.Floor(c.At.Z*20) / 20; h >= lowestLens-1e-9 && x.LowerM == nil; h -= 0.05 {
			if try(here, h) {
				x.LowerM = new(cm(h))
			}
		}
		for h := math.Ceil(c.At.Z*20) / 20; h <= highestLens+1e-9 && x.RaiseM == nil; h += 0.05 {
			if try(here, h) {
				x.RaiseM = new(cm(h))
			}
		}
		for d := 1.0; d <= widestWalk; d++ {
			// The camera's bearing from the subject grows clockwise, which is to the
			// left of somebody who faces the subject.
			if x.LeftD == nil && try(here+unit.Angle(d)*unit.Degree, c.At.Z) {
				x.LeftD = new(d)
			}
			if x.RightD == nil && try(here-unit.Angle(d)*unit.Degree, c.At.Z) {
				x.RightD = new(d)
			}
		}
		x.Text = hideText(*x)
	}
	for _, s := range all {
		i := in(s.Name)
		if i < 0 {
			continue
		}
		x := SceneHide{Name: s.Name, Shows: seen[i].Shows}
		find(&x, s)
		out = append(out, x)
	}
	if len(all) > 1 {
		x := SceneHide{Name: "all of them"}
		for _, y := range out {
			x.Shows = max(x.Shows, y.Shows)
		}
		find(&x, all...)
		out = append(out, x)
	}
	return out, nil
}

func hideText(x SceneHide) string {
	var ways []string
	if x.LowerM != nil {
		ways = append(ways, fmt.Sprintf("go down to %.2g m", *x.LowerM))
	}
	if x.RaiseM != nil {
		ways = append(ways, fmt.Sprintf("go up to %.2g m", *x.RaiseM))
	}
	switch l, r := x.LeftD, x.RightD; {
	case l != nil && (r == nil || *l <= *r):
		ways = append(ways, fmt.Sprintf("walk %.0f° round to your left", *l))
	case r != nil:
		ways = append(ways, fmt.Sprintf("walk %.0f° round to your right", *r))
	}
	if len(ways) == 0 {
		return "no height and no place within 60° hides it; move it, or move the mark"
	}
	text := ways[0]
	for i, w := range ways[1:] {
		if i == len(ways)-2 {
			text += " or " + w
		} else {
			text += ", " + w
		}
	}
	return text
}

// without builds the scene again with the solids of a label left out, and the
// lights, which go where the camera goes.
func (st *stage) without(l site.Label) (*scene.Scene, error) {
	gone := map[string]bool{}
	for _, x := range st.parts.Lights {
		gone[standOf(x.Name)] = true
	}
	for _, s := range st.solids {
		if s.Label == l {
			gone[s.Name] = true
		}
	}
	p := st.parts
	p.Lights, p.Probes = nil, nil
	p.Meshes = slices.DeleteFunc(slices.Clone(p.Meshes), func(m scene.Mesh) bool { return gone[m.Name] })
	p.Solids = slices.DeleteFunc(slices.Clone(p.Solids), func(s scene.Solid) bool { return gone[s.Name] })
	return scene.New(p)
}

// probes chooses the points whose light is read: on the skin that the lens
// sees, on sky, ground and what stands behind the head.
func (st *stage) probes() []scene.Probe {
	var out []scene.Probe
	c := st.scene.Camera
	onto := func(name string, p geom.Vec) {
		d := p.Sub(c.At).Unit()
		if t, f, ok := st.scene.Closest(geom.Ray{Origin: c.At, Dir: d}); ok && st.scene.Owner(f) == subjectName {
			out = append(out, scene.Probe{Name: name, At: c.At.Add(d.Scale(t.Metres()))})
		}
	}
	left, right := st.sides()
	onto("left cheek", st.face.Cheeks[left])
	onto("right cheek", st.face.Cheeks[right])
	if st.body.Headgear == body.Bareheaded { // else it is cloth, in the shade of its own brim
		onto("forehead", st.face.Forehead)
	}
	shoulders := [2]geom.Vec{st.body.Joint(body.RightShoulder), st.body.Joint(body.LeftShoulder)}
	onto("left shoulder", shoulders[left])
	onto("right shoulder", shoulders[right])
	// Beside the head and above it; the first places that fit.
	rt, top, forward := c.Axes()
	b := c.ImageDistance().Metres()
	ray := func(x, y float64) geom.Vec {
		return forward.Scale(b).Add(rt.Scale((x - 0.5) * c.SensorWidth.Metres())).Add(top.Scale((0.5 - y) * c.SensorHeight.Metres())).Unit()
	}
	find := func(name, owner string, xs, ys []float64) {
		for _, y := range ys {
			for _, x := range xs {
				d := ray(x, y)
				t, f, ok := st.scene.Closest(geom.Ray{Origin: c.At, Dir: d})
				switch {
				case !ok && owner == "":
					out = append(out, scene.Probe{Name: name, At: c.At.Add(d.Scale(3000))})
					return
				case ok && owner != "" && st.scene.Owner(f) == owner && t < 300:
					out = append(out, scene.Probe{Name: name, At: c.At.Add(d.Scale(t.Metres()))})
					return
				}
			}
		}
	}
	find("sky", "", []float64{0.15, 0.85, 0.3, 0.7, 0.5}, []float64{0.08, 0.2, 0.35, 0.5})
	find("ground", scene.GroundName, []float64{0.15, 0.85, 0.3, 0.7}, []float64{0.92, 0.8, 0.7, 0.6})
	return out
}

// readings renders the probes alone.
func (st *stage) readings(ctx context.Context) ([]SceneProbe, error) {
	f, err := render.Preview(ctx, st.scene, render.Options{Width: 1, Height: 1, Samples: 1, Settings: st.settings, Raw: true})
	if err != nil {
		return nil, brokenOff(err)
	}
	return st.read(f)
}

// brokenOff keeps the error of a context, and says where any other belongs.
func brokenOff(err error) error {
	if errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded) {
		return err
	}
	return wrong("", err, "check the size of the picture")
}

func (st *stage) read(f *render.Film) ([]SceneProbe, error) {
	out := []SceneProbe{}
	for _, r := range f.Readings {
		l, err := f.Read(r, render.Gains{})
		if err != nil {
			return nil, err
		}
		x := SceneProbe{Name: r.Name, X: mille(r.Place.X), Y: mille(r.Place.Y), Total: cm(tidy(l.Total)), Sun: cm(tidy(l.Sun)), Sky: cm(tidy(l.Sky)), Lamps: cm(tidy(l.Lamps)), Noise: mille(float64(l.Noise)), Lights: map[string]float64{}}
		for i, s := range l.Lights {
			x.Lights[f.Lights[i]] = cm(tidy(s))
		}
		out = append(out, x)
	}
	return out, nil
}
