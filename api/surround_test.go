package api

import (
	"context"
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

// What a hall beside the mark takes of sky and sunlit ground, and what it throws
// back, as the plan counts it and as the path tracer does, which knows nothing of
// it but the hall: on upright planes at a face, in the hall's shade and out of it.
func TestShadeAgainstTracer(t *testing.T) {
	const agree = 0.15 // stop; the hall counts as one upright plane, the ground by 512 directions
	settings := exposure.Settings{FNumber: 1, Shutter: 1, ISO: 100}
	worst := 0.0
	for _, altitude := range []unit.Angle{35 * unit.Degree, 60 * unit.Degree} {
		albedo := 0.2
		s, err := sky.ClearSky(sky.Conditions{SunAltitude: altitude, SunAzimuth: 180 * unit.Degree, Albedo: &albedo})
		if err != nil {
			t.Fatal(err)
		}
		for _, gap := range []float64{2, 4, 8, 20} {
			hall := site.Solid{Kind: site.Building, At: geom.Vec{Y: -gap - 3}, Width: 40, Depth: 6, Height: 12, Bearing: 0}
			g, err := plan.NewGround([]site.Solid{hall}, nil)
			if err != nil {
				t.Fatal(err)
			}
			parts, _ := hall.Parts()
			wall, _ := site.MaterialNamed(parts[0].Material)
			face := geom.Vec{Z: 1.5}
			rest := g.Spot(face).Upright(s)
			for _, b := range []unit.Angle{0, 90 * unit.Degree, 135 * unit.Degree, 180 * unit.Degree} {
				n := geom.Direction(b, 0)
				p := scene.Parts{
					Materials: []scene.Material{{Diffuse: scene.Grey(0.5)}, {Diffuse: scene.Grey(albedo)}, {Diffuse: scene.Grey(wall.Reflectance)}},
					Ground:    &scene.Ground{Material: 1},
					Solids: []scene.Solid{
						{Form: scene.Disc, At: face, Facing: n, Size: geom.Vec{X: 0.02}},
						{Form: scene.Box, At: parts[0].At, Size: parts[0].Size, Bearing: parts[0].Bearing, Material: 2},
					},
					Camera:   scene.Camera{At: face.Add(n), Aim: face},
					Daylight: scene.Daylight{Sky: s, Sun: s.Sun, SunIlluminance: s.DirectNormal},
					Probes:   []scene.Probe{{Name: "face", At: face}},
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
				traced := (l.Total - settings.FlashStops(1)).Ratio() * exposure.MidTone / 0.5
				beam, sky, ground := s.Illuminance(n)
				share := unit.Lux(g.SunAt(face, s.Sun))
				counted, open := float64(beam*share+rest(b)), float64(beam*share+sky+ground)
				d, before := math.Log2(counted/traced), math.Log2(open/traced)
				t.Logf("sun %.0f°, hall %2.0f m off, facing %3.0f°: %+.2f ± %.2f stop; without the hall %+.2f", altitude.Degrees(), gap, b.Degrees(), d, float64(l.Noise), before)
				worst = max(worst, math.Abs(d))
			}
		}
	}
	if worst > agree {
		t.Errorf("%.2f stop from the tracer, at most %.2f", worst, agree)
	}
}
