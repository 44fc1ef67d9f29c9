// Package scene puts everything that is on the field into one frame of
// reference and answers who sees whom.
//
// It takes plain parts (meshes, solids, a ground, lights, daylight, a camera)
// and builds an immutable Scene from them: a bounding-volume hierarchy over
// triangles and a few closed shapes, with single-precision arithmetic inside.
// The frame is that of engine/geom: metres, x east, y north, z up. Light levels
// are luminance and luminous intensity; colours are linear sRGB with luminance 1
// for white.
//
// Left out: participating air, transparent things, curved ground.
//
// Sources: [Wald2007] and [Wald2008] for the hierarchy, [Moller1997] for triangles,
// [Hanika2021] for the shadow terminator.
package scene

import (
	"fmt"
	"math"
	"slices"

	"hardnoon/engine/geom"
	"hardnoon/engine/unit"
)

// Parts is what a scene is made of. The zero value is an empty dark world.
type Parts struct {
	Camera    Camera
	Daylight  Daylight
	Lights    []Light
	Materials []Material // what the Material fields below point into
	Meshes    []Mesh
	Solids    []Solid
	Ground    *Ground // nil: no ground, the lower half of the sky is seen
	Probes    []Probe

	// When the flash fires, as a share of the time the shutter is open: 0 is at
	// its opening. FlashSpan is how long the pulse lasts on the same scale.
	// Only things that move care.
	FlashAt, FlashSpan float64
}

// Mesh is a surface with one material for each of its parts.
type Mesh struct {
	Name string
	geom.Mesh
	// End is where the vertices are when the shutter closes; they move evenly
	// and in straight lines. Empty: nothing moves.
	End       []geom.Vec
	Materials []int // index into Parts.Materials, by the part of the triangle; a single entry serves all
}

// Ground is the level plane z = Height, without end.
type Ground struct {
	Height   unit.Length
	Material int
	// MaterialAt, if not nil, returns the material at a place on the ground.
	MaterialAt func(east, north float64) int
}

// Probe is a named point whose light somebody wants to read.
type Probe struct {
	Name string
	At   geom.Vec
}

// A TooManyError reports more of something than a scene can hold.
type TooManyError struct {
	What     string
	Got, Max int
}

func (e *TooManyError) Error() string {
	return fmt.Sprintf("%d %s; a scene holds at most %d", e.Got, e.What, e.Max)
}

// An InsideError reports a camera that sees nothing because it is in or under
// something.
type InsideError struct {
	What  string // "camera"
	Where string // "under the ground"
	Depth unit.Length
}

func (e *InsideError) Error() string {
	return fmt.Sprintf("the %s is %.2f m %s", e.What, e.Depth.Metres(), e.Where)
}

const (
	maxLights    = 256
	maxTriangles = 8_000_000
	farthest     = 20_000 // m; single precision resolves 2 mm there
)

// Scene is a finished world. It is never changed after New and may be asked by
// many goroutines at once.
type Scene struct {
	Camera    Camera
	Daylight  Daylight
	Lights    []Light // the flashes first, each in the order given
	Probes    []Probe
	materials []Material
	ground    *Ground
	groundZ   float32

	FlashAt, FlashSpan float32

	nodes   []node
	wide    wide
	entries []entry
	facets  []facet // by triangle reference
	shapes  []shape // by ^reference
	movers  []mover // by the facet of a moving shape
	owners  []string
}

// New checks the parts and builds the scene.
func New(p Parts) (*Scene, error) {
	if n := len(p.Lights); n > maxLights {
		return nil, &TooManyError{"lights", n, maxLights}
	}
	s := &Scene{
		Camera: p.Camera, Daylight: p.Daylight, Probes: p.Probes, ground: p.Ground,
		materials: append([]Material(nil), p.Materials...),
		Lights:    append([]Light(nil), p.Lights...),
	}
	for _, err := range []error{
		unit.Within("moment of the flash", p.FlashAt, 0, 1, ""),
		unit.Within("length of the flash", p.FlashSpan, 0, 1, ""),
	} {
		if err != nil {
			return nil, err
		}
	}
	s.FlashAt, s.FlashSpan = float32(p.FlashAt), float32(min(p.FlashSpan, 1-p.FlashAt))
	for i := range s.materials {
		if err := s.materials[i].check(); err != nil {
			return nil, err
		}
	}
	if err := s.Camera.check(); err != nil {
		return nil, err
	}
	if err := s.Daylight.check(); err != nil {
		return nil, err
	}
	if p.Ground != nil {
		if err := s.addGround(p.Ground); err != nil {
			return nil, err
		}
	}
	for _, pr := range p.Probes {
		if err := checkPoint("probe "+pr.Name, pr.At); err != nil {
			return nil, err
		}
	}
	room := 0
	for i := range p.Meshes {
		room += len(p.Meshes[i].Triangles)
	}
	room = min(room, maxTriangles)
	s.facets = make([]facet, 0, room)
	s.entries = make([]entry, 0, room+len(p.Solids)+len(s.Lights))
	for i := range p.Meshes {
		s.owners = append(s.owners, p.Meshes[i].Name)
		if err := s.addMesh(&p.Meshes[i]); err != nil {
			return nil, err
		}
	}
	for i := range p.Solids {
		s.owners = append(s.owners, p.Solids[i].Name)
		if err := s.addSolid(&p.Solids[i]); err != nil {
			return nil, err
		}
	}
	slices.SortStableFunc(s.Lights, func(a, b Light) int {
		switch {
		case a.Steady == b.Steady:
			return 0
		case b.Steady:
			return -1
		}
		return 1
	})
	for i := range s.Lights {
		if err := s.Lights[i].prepare(); err != nil {
			return nil, err
		}
		s.owners = append(s.owners, s.Lights[i].Name)
		if !s.Lights[i].Hidden {
			s.addEmitter(i)
		}
	}
	s.build()
	return s, nil
}

// Flashes returns how many of the lights are flashes; the others are steady.
func (s *Scene) Flashes() int {
	n := 0
	for n < len(s.Lights) && !s.Lights[n].Steady {
		n++
	}
	return n
}

// Materials returns how many materials the scene has.
func (s *Scene) Materials() int { return len(s.materials) }

// Material returns material number i.
func (s *Scene) Material(i int32) *Material { return &s.materials[i] }

// Ground returns the ground, or nil.
func (s *Scene) Ground() *Ground { return s.ground }

// Triangles returns how many triangles and closed shapes the scene holds.
func (s *Scene) Triangles() (triangles, shapes int) { return len(s.facets), len(s.shapes) }

// owner is the number of the thing being added.
func (s *Scene) owner() int32 { return int32(len(s.owners) - 1) }

func (s *Scene) addGround(g *Ground) error {
	if err := unit.Within("ground height", g.Height.Metres(), -1000, 1000, "m"); err != nil {
		return err
	}
	if err := s.checkMaterial(g.Material); err != nil {
		return err
	}
	s.groundZ = float32(g.Height.Metres())
	if z := s.Camera.At.Z; z <= g.Height.Metres() {
		return &InsideError{"camera", "under the ground", g.Height - unit.Length(z)}
	}
	return nil
}

func (s *Scene) checkMaterial(i int) error {
	return unit.Within("material number", float64(i), 0, float64(len(s.materials)-1), "")
}

func (s *Scene) addMesh(m *Mesh) error {
	if n := len(s.facets) + len(m.Triangles); n > maxTriangles {
		return &TooManyError{"triangles", n, maxTriangles}
	}
	for _, i := range m.Materials {
		if err := s.checkMaterial(i); err != nil {
			return err
		}
	}
	if len(m.Materials) == 0 && len(m.Triangles) > 0 {
		return unit.Within("materials of a mesh", 0, 1, math.Inf(1), "")
	}
	for _, v := range m.Vertices {
		if err := checkPoint("mesh vertex", v); err != nil {
			return err
		}
	}
	if n := len(m.End); n != 0 && n != len(m.Vertices) {
		return unit.Within("vertices at the end of a movement", float64(n), float64(len(m.Vertices)), float64(len(m.Vertices)), "")
	}
	for _, v := range m.End {
		if err := checkPoint("mesh vertex", v); err != nil {
			return err
		}
	}
	smooth := len(m.Normals) == len(m.Vertices)
	var normals []Vec32
	if smooth {
		normals = make([]Vec32, len(m.Normals))
		for i, v := range m.Normals {
			normals[i] = To32(v.Unit())
		}
	}
	for i, t := range m.Triangles {
		for _, k := range t {
			if uint(k) >= uint(len(m.Vertices)) {
				return unit.Within("vertex number", float64(k), 0, float64(len(m.Vertices)-1), "")
			}
		}
		material := m.Materials[0]
		if i < len(m.Parts) && len(m.Materials) > 1 {
			if err := unit.Within("mesh part", float64(m.Parts[i]), 0, float64(len(m.Materials)-1), ""); err != nil {
				return err
			}
			material = m.Materials[m.Parts[i]]
		}
		a, b, c := m.Vertices[t[0]], m.Vertices[t[1]], m.Vertices[t[2]]
		n := b.Sub(a).Cross(c.Sub(a))
		if n.Norm2() < 1e-20 {
			continue // a sliver has no side to be seen from
		}
		n = n.Unit()
		f := facet{normal: To32(n), material: int32(material), owner: s.owner()}
		f.corner, f.smooth = [3]Vec32{f.normal, f.normal, f.normal}, smooth
		if smooth {
			for j, k := range t {
				if normals[k].Dot(f.normal) > 0.02 {
					f.corner[j] = normals[k]
				}
			}
		}
		ref := int32(len(s.facets))
		if len(m.End) > 0 {
			ref = s.addMover(ref, [3]geom.Vec{a, b, c}, [3]geom.Vec{m.End[t[0]], m.End[t[1]], m.End[t[2]]})
		}
		s.entries = append(s.entries, entry{To32(a), To32(b.Sub(a)), To32(c.Sub(a)), ref})
		s.facets = append(s.facets, f)
	}
	return nil
}

func checkPoint(what string, p geom.Vec) error {
	for _, x := range []float64{p.X, p.Y, p.Z} {
		if err := unit.Within(what, x, -farthest, farthest, "m"); err != nil {
			return err
		}
	}
	return nil
}
