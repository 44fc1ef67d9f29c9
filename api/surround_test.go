package api

import (
	"context"
	"fmt"
	"math"
	"testing"

	"hardnoon/engine/exposure"
	"hardnoon/engine/geom"
	"hardnoon/engine/plan"
	"hardnoon/engine/render"
	"hardnoon/engine/scene"
	"hardnoon/engine/site"
	"hardnoon/engine/sky"
	"hardnoon/engine/unit"
)

// traced returns what the path tracer finds on an upright plane at a face, facing
// n, over ground of an albedo, beside the parts of a solid.
func traced(t *testing.T, s *sky.Sky, albedo float64, face, n geom.Vec, parts []site.Part) (lux, noise float64) {
	t.Helper()
	settings := exposure.Settings{FNumber: 1, Shutter: 1, ISO: 100}
	p := scene.Parts{
		Materials: []scene.Material{{Diffuse: scene.Grey(0.5)}, {Diffuse: scene.Grey(albedo)}},
		Ground:    &scene.Ground{Material: 1},
		Solids:    []scene.Solid{{Form: scene.Disc, At: face, Facing: n, Size: geom.Vec{X: 0.02}}},
		Camera:    scene.Camera{At: face.Add(n.Scale(0.2)), Aim: face},
		Daylight:  scene.Daylight{Sky: s, Sun: s.Sun, SunIlluminance: s.DirectNormal},
		Probes:    []scene.Probe{{Name: "face", At: face}},
	}
	form := map[site.Form]scene.Form{site.Box: scene.Box, site.Cylinder: scene.Cylinder, site.Ball: scene.Sphere}
	for i, x := range parts {
		m, _ := site.MaterialNamed(x.Material)
		p.Materials = append(p.Materials, scene.Material{Diffuse: scene.Grey(m.Reflectance)})
		p.Solids = append(p.Solids, scene.Solid{Form: form[x.Form], At: x.At, Size: x.Size, Bearing: x.Bearing, Passes: x.Passes, Material: 2 + i})
	}
	sc, err := scene.New(p)
	if err != nil {
		t.Fatal(err)
	}
	f, err := render.Preview(context.Background(), sc, render.Options{Width: 1, Height: 1, Samples: 1, Settings: settings})
	if err != nil {
		t.Fatal(err)
	}
	l, err := f.Read(f.Readings[0], render.Gains{})
	if err != nil {
		t.Fatal(err)
	}
	return float64((l.Total - settings.FlashStops(1)).Ratio()) * exposure.MidTone / 0.5, float64(l.Noise)
}

// What a hall beside the mark, or a tree over it, takes of sky and sunlit ground,
// and what it throws back, as the plan counts it and as the path tracer does, which
// knows nothing of it but the solid: on upright planes at a face, in its shade and
// out of it.
func TestShadeAgainstTracer(t *testing.T) {
	const agree = 0.15 // stop; a solid counts as one upright plane, the ground by 512 directions
	const albedo = 0.2
	face := geom.Vec{Z: 1.5}
	worst := 0.0
	compare := func(what string, s *sky.Sky, solid site.Solid) {
		g, err := plan.NewGround([]site.Solid{solid}, nil)
		if err != nil {
			t.Fatal(err)
		}
		parts, err := solid.Parts()
		if err != nil {
			t.Fatal(err)
		}
		rest := g.Spot(face).Light(s)
		for _, b := range []unit.Angle{0, 90 * unit.Degree, 135 * unit.Degree, 180 * unit.Degree} {
			n := geom.Direction(b, 0)
			want, noise := traced(t, s, albedo, face, n, parts)
			beam, sky, ground := s.Illuminance(n)
			share := unit.Lux(g.SunAt(face, s.Sun))
			d, open := math.Log2(float64(beam*share+rest(n))/want), math.Log2(float64(beam*share+sky+ground)/want)
			t.Logf("%s, facing %3.0f°: %+.2f ± %.2f stop; without it %+.2f", what, b.Degrees(), d, noise, open)
			worst = max(worst, math.Abs(d))
		}
	}
	for _, altitude := range []unit.Angle{35 * unit.Degree, 60 * unit.Degree} {
		s, err := sky.ClearSky(sky.Conditions{SunAltitude: altitude, SunAzimuth: 180 * unit.Degree, Albedo: new(albedo)})
		if err != nil {
			t.Fatal(err)
		}
		for _, gap := range []float64{2, 4, 8, 20} {
			hall := site.Solid{Kind: site.Building, At: geom.Vec{Y: -gap - 3}, Width: 40, Depth: 6, Height: 12}
			compare(fmt.Sprintf("sun %.0f°, hall %.0f m off", altitude.Degrees(), gap), s, hall)
		}
		// A tree whose crown is as wide as it is high.
		tree := site.Solid{Kind: site.Tree, At: geom.Vec{X: 0.6, Y: -0.5}, Width: 7.6, Depth: 7.6, Height: 10}
		compare(fmt.Sprintf("sun %.0f°, under a tree", altitude.Degrees()), s, tree)
	}
	if worst > agree {
		t.Errorf("%.2f stop from the tracer, at most %.2f", worst, agree)
	}
}
