package scene_test

import (
	"bufio"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"hardnoon/engine/geom"
	"hardnoon/engine/scene"
	"hardnoon/engine/unit"
)

// face is a vertical plane that faces south at y = 0, under a brim that reaches
// out over it at z = 0.
func face(t *testing.T, brim float64) *scene.Scene {
	s, err := scene.New(scene.Parts{
		Materials: []scene.Material{{}},
		Solids: []scene.Solid{
			{Name: "brim", Form: scene.Panel, At: geom.Vec{Y: -brim / 2}, Facing: geom.Up, Size: geom.Vec{X: 4, Y: brim}},
			{Name: "head", Form: scene.Panel, Facing: geom.North.Neg(), Size: geom.Vec{X: 4, Y: 4}},
		},
	})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// The shadow of a brim ends where plane geometry says, to a tenth of a
// millimetre.
func TestBrimShadow(t *testing.T) {
	file, err := os.Open("testdata/brim_shadow.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	rows := 0
	for in := bufio.NewScanner(file); in.Scan(); {
		var brim, altitude, shadow float64
		if n, _ := fmt.Sscanf(strings.ReplaceAll(in.Text(), ",", " "), "%g %g %g", &brim, &altitude, &shadow); n != 3 {
			continue
		}
		rows++
		s := face(t, brim/100)
		sun := geom.Direction(180*unit.Degree, unit.Angle(altitude)*unit.Degree)
		at := func(below float64) scene.Exposure {
			return s.SunOn([]scene.Spot{{At: geom.Vec{Z: -below / 100}, Normal: geom.North.Neg()}}, sun)
		}
		const rounding, skin = 0.005, 0.01 // cm: the table's last digit; where our ray starts
		slack := rounding + skin*math.Tan(altitude*math.Pi/180)
		if at(shadow-slack).Shaded != 1 || at(shadow+slack).Sunlit != 1 {
			t.Errorf("brim %v cm, sun at %v°: the shadow does not end %v cm down", brim, altitude, shadow)
		}
	}
	if rows != 21 {
		t.Fatalf("%d rows read", rows)
	}
	// The sun abeam: a brim in front shades nothing of a cheek that faces it.
	s := face(t, 0.07)
	e := s.SunOn([]scene.Spot{{At: geom.Vec{X: 2.05, Y: 0.05, Z: -0.05}, Normal: geom.East}}, geom.Direction(90*unit.Degree, 40*unit.Degree))
	if e.Sunlit != 1 {
		t.Errorf("the cheek towards the sun: %+v", e)
	}
	// The far one faces away; that is no brim shadow.
	e = s.SunOn([]scene.Spot{{At: geom.Vec{X: -2.05, Y: 0.05, Z: -0.05}, Normal: geom.East.Neg()}}, geom.Direction(90*unit.Degree, 40*unit.Degree))
	if e.Away != 1 || e.Shaded != 0 {
		t.Errorf("the far cheek: %+v", e)
	}
}

func TestBehindAndHiding(t *testing.T) {
	s, err := scene.New(scene.Parts{
		Materials: []scene.Material{{}},
		Ground:    &scene.Ground{},
		Solids: []scene.Solid{
			{Name: "body", Form: scene.Box, Size: geom.Vec{X: 0.5, Y: 0.3, Z: 1.8}},
			{Name: "van", Form: scene.Box, At: geom.Vec{Y: 20}, Size: geom.Vec{X: 2, Y: 2, Z: 2}},
		},
		Camera:   scene.Camera{At: geom.Vec{Y: -4, Z: 1}, Aim: geom.Vec{Z: 1.2}, Focal: 85 * unit.Millimetre},
		Daylight: scene.Daylight{Sun: geom.Direction(0, 10*unit.Degree), SunIlluminance: 5e4},
		Lights:   []scene.Light{{Name: "edge", At: geom.Vec{X: 0.1, Y: 1, Z: 1.2}, Width: 0.2, Intensity: 10}, {Name: "key", At: geom.Vec{X: -2, Y: -2, Z: 2}, Intensity: 10}},
	})
	if err != nil {
		t.Fatal(err)
	}
	// Seen from a height of 1 m and 4 m away, a 2 m van 23 m away crosses
	// the subject's plane at 1 + (2−1)·4/23 = 1.17 m.
	for z, want := range map[float64]string{1.1: "van", 1.25: "", 0.5: scene.GroundName} {
		if got, d := s.Behind(geom.Vec{Z: z}, 0.5*unit.Metre); got != want {
			t.Errorf("behind the body at %v m stands %q, %.1f m away; want %q", z, got, d.Metres(), want)
		}
	}
	// A body 0.5 m wide at 4 m hides 0.5·23/4 = 2.9 m at the van: all of it, from
	// the front; from 30° aside, with the van still in the frame, nothing.
	points := []geom.Vec{{X: -0.9, Y: 18.9, Z: 0.1}, {X: 0.9, Y: 18.9, Z: 0.1}, {Y: 18.9, Z: 1.9}}
	got := s.Hiding(points, geom.Vec{Z: 1.2}, 4*unit.Metre, []unit.Angle{180 * unit.Degree, 189 * unit.Degree}, []unit.Length{1 * unit.Metre})
	if got[0].Seen != 0 || got[1].Seen == 0 {
		t.Errorf("%+v", got)
	}
	g := s.Glares()
	if len(g) != 3 || g[0].Name != "sun" || math.Abs(g[0].OffAxis.Degrees()-7.14) > 0.02 || !g[1].InFrame || !g[1].Blocked || g[2].InFrame || g[2].Blocked {
		t.Errorf("%+v", g)
	}
	if r := s.Camera.SizeRatio(geom.Vec{Y: -2, Z: 1}, geom.Vec{Z: 1.1}); math.Abs(r-2) > 0.02 {
		t.Errorf("half as far is %v times as large", r)
	}
	suns := []geom.Vec{geom.Direction(90*unit.Degree, 50*unit.Degree), geom.Direction(0, 50*unit.Degree), geom.Direction(0, 4*unit.Degree)}
	if i := s.FirstShade(geom.Vec{Y: 3, Z: 0.01}, suns); i != 2 { // the van's shade at 4° is 29 m long
		t.Errorf("shade comes with sun %d", i)
	}
}

// A site of two thousand solids answers as fast as one expects.
func TestTwoThousandSolids(t *testing.T) {
	p := scene.Parts{Materials: []scene.Material{{}}, Ground: &scene.Ground{}}
	for i := range 2000 {
		p.Solids = append(p.Solids, scene.Solid{Name: fmt.Sprint(i), Form: scene.Form(i%2) + scene.Cylinder, At: geom.Vec{X: float64(i%50)*4 - 100, Y: float64(i/50)*4 + 5}, Size: geom.Vec{X: 1, Y: 1, Z: 3}})
	}
	s, err := scene.New(p)
	if err != nil {
		t.Fatal(err)
	}
	if name, _ := s.Behind(geom.Vec{X: 0, Y: 1, Z: 1}, 0); name != "25" {
		t.Errorf("behind stands %q", name)
	}
}
