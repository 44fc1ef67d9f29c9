package api

import (
	"math"

	"hardnoon/engine/body"
	"hardnoon/engine/geom"
	"hardnoon/engine/plan"
	"hardnoon/engine/scene"
	"hardnoon/engine/unit"
)

// figure puts the subject on the mark.
func (p *planner) figure(st *stage, cell unit.Length, field func(string) string) error {
	st.faces = facing(st.su)
	f := p.person(st.su)
	st.assumed, st.notes = append(st.assumed, f.assumed...), append(st.notes, f.notes...)
	f.Cell, f.Fine = cell, p.shown(st.su)
	b, err := f.Build()
	if err != nil {
		return wrong(field("subject"), err, "check height and age of the person")
	}
	st.body, st.face = b, b.Face()
	var numbers []int
	for _, s := range b.Surfaces() {
		numbers = append(numbers, st.material(scene.Material{Name: s.Part.String(), Diffuse: rgb(s.Colour), Coat: s.Coat, Roughness: s.Roughness}))
	}
	mesh := scene.Mesh{Name: subjectName, Mesh: b.Mesh(), Materials: numbers}
	way := p.moves(st)
	if way.Norm() > leastWay {
		mesh.End = shifted(mesh.Vertices, way)
	}
	st.parts.Meshes = append(st.parts.Meshes, mesh)
	p.held(st, way)
	return nil
}

// leastWay is the movement that is drawn, metres; less is smaller than a pixel of
// a preview and would only cost time.
const leastWay = 0.002

// moves returns how far the whole body goes while the shutter is open: it runs
// at the look's speed, up to what a runner does.
func (p *planner) moves(st *stage) geom.Vec {
	v := or(st.su.Look.SpeedMPS, 0)
	switch loose(st.body.Pose.Name) {
	case "run", "sprint drive":
	default:
		return geom.Vec{}
	}
	p.flashMoment(st)
	return geom.Direction(st.faces, 0).Scale(min(v, 10) * float64(st.settings.Shutter))
}

// flashMoment sets when the flash fires: at the opening of the shutter, all the
// time in high-speed sync.
func (p *planner) flashMoment(st *stage) {
	a := st.plan.Answer
	if a == nil {
		return
	}
	if a.Route == plan.HighSpeed.String() {
		st.parts.FlashSpan = 1
		return
	}
	for j, l := range a.Lights {
		src, _ := p.source(st.su.Lights[j].Head, st.su.Lights[j].Modifier)
		t := src.Head.T01At(unit.Stops(l.PowerStop)).Seconds() / float64(st.settings.Shutter)
		st.parts.FlashSpan = min(1, max(st.parts.FlashSpan, t))
	}
}

func shifted(in []geom.Vec, by geom.Vec) []geom.Vec {
	out := make([]geom.Vec, len(in))
	for i, v := range in {
		out[i] = v.Add(by)
	}
	return out
}

// The javelin of 600 g: 2.20 to 2.30 m long, at most 25 mm thick, its point 0.80
// to 0.92 m before the centre of gravity, where the grip is. Source: [WAManual],
// from memory.
const (
	javelinLength = 2.25
	javelinAhead  = 0.86
	javelinThick  = 0.022
)

// javelinRises is how far above level the point looks in a pose; elsewhere it
// stands upright beside the body. Judged by eye; releases are at 30 to 40°.
var javelinRises = map[string]float64{"javelin carry": 4, "javelin draw": 16, "draw back": 16, "release": 34, "run": 6, "follow through": 20, "ready": 10, "reach to camera": 0}

// held puts what the subject holds into the throwing hand.
func (p *planner) held(st *stage, way geom.Vec) {
	holds := st.su.Subject.Holds
	if holds == "" {
		return
	}
	elbow, wrist := body.RightElbow, body.RightWrist
	if st.body.LeftHanded {
		elbow, wrist = body.LeftElbow, body.LeftWrist
	}
	hand := st.body.Joint(wrist)
	hand = hand.Add(hand.Sub(st.body.Joint(elbow)).Unit().Scale(0.075 * st.body.Stature().Metres() / 1.75))
	if holds == "ball" {
		out := hand.Sub(st.body.Joint(elbow)).Unit()
		white := st.material(scene.Material{Name: "ball", Diffuse: scene.Grey(0.7), Coat: 0.04})
		st.parts.Solids = append(st.parts.Solids, scene.Solid{Name: heldName, Form: scene.Sphere, At: hand.Add(out.Scale(0.13)), Size: geom.Vec{X: 0.11}, Material: white})
		return
	}
	rise, level := javelinRises[loose(st.body.Pose.Name)]
	dir := geom.Direction(st.faces, unit.Angle(rise)*unit.Degree)
	tip := hand.Add(dir.Scale(javelinAhead))
	tail := tip.Sub(dir.Scale(javelinLength))
	if !level { // upright, its tail on the ground
		dir = geom.Direction(st.faces, 84*unit.Degree)
		tail = hand.Sub(dir.Scale(hand.Z / dir.Z))
		tip = tail.Add(dir.Scale(javelinLength))
	}
	st.holds = []geom.Vec{tail, tip}
	shaft := st.material(scene.Material{Name: "shaft", Diffuse: scene.RGB{R: 0.55, G: 0.50, B: 0.38}, Coat: 0.05, Roughness: 0.15})
	grip := st.material(scene.Material{Name: "grip", Diffuse: scene.RGB{R: 0.10, G: 0.02, B: 0.02}})
	var m geom.Mesh
	at := func(t float64) geom.Vec { return tail.Lerp(tip, t) }
	// Thickest at the grip, thin at both ends.
	knots := []float64{0, 0.15, 0.35, 0.58, 0.66, 0.85, 0.97, 1}
	thick := []float64{0.35, 0.65, 0.9, 1, 1, 0.9, 0.6, 0.1}
	for i := 1; i < len(knots); i++ {
		part := int32(0)
		if i == 4 {
			part = 1
		}
		m.Append(rod(at(knots[i-1]), at(knots[i]), thick[i-1]*javelinThick/2, thick[i]*javelinThick/2, part))
	}
	x := scene.Mesh{Name: heldName, Mesh: m, Materials: []int{shaft, grip}}
	// What is thrown goes along its own axis at the look's speed once it leaves.
	if v := or(st.su.Look.SpeedMPS, 0); v > 0 && loose(st.body.Pose.Name) == "release" {
		p.flashMoment(st)
		way = dir.Scale(v * float64(st.settings.Shutter))
	}
	if way.Norm() > leastWay {
		x.End = shifted(m.Vertices, way)
	}
	st.parts.Meshes = append(st.parts.Meshes, x)
}

// rod returns an open cone from a to b, smooth around.
func rod(a, b geom.Vec, ra, rb float64, part int32) geom.Mesh {
	const sides = 12
	axis := b.Sub(a).Unit()
	x, y := geom.Basis(axis)
	var m geom.Mesh
	for i := range sides {
		turn := 2 * math.Pi * float64(i) / sides
		n := x.Scale(math.Cos(turn)).Add(y.Scale(math.Sin(turn)))
		m.Vertices = append(m.Vertices, a.Add(n.Scale(ra)), b.Add(n.Scale(rb)))
		m.Normals = append(m.Normals, n, n)
		j, k := int32(2*i), int32(2*((i+1)%sides))
		m.Triangles = append(m.Triangles, [3]int32{j, k, k + 1}, [3]int32{j, k + 1, j + 1})
		m.Parts = append(m.Parts, part, part)
	}
	return m
}
