package render_test

import (
	"context"
	"math"
	"testing"

	"hardnoon/engine/exposure"
	"hardnoon/engine/geom"
	"hardnoon/engine/render"
	"hardnoon/engine/scene"
	"hardnoon/engine/unit"
)

// closed is how far a scene with a known answer may be off, in stops: noise and
// single precision together.
const closed = 0.02

func white() []scene.Material {
	return []scene.Material{{Name: "white", Diffuse: scene.Grey(1)}, {Name: "mid", Diffuse: scene.Grey(0.5)}, {Name: "black"}}
}

// atOne are settings under which a film value reads log2(value) + offset; the
// tests compare exposures, so they take the offset out again.
var atOne = exposure.Settings{FNumber: 1, Shutter: 1, ISO: 100}

// exposureOf returns the film value of probe 0: lx·s with a shutter of 1 s.
func exposureOf(t *testing.T, p scene.Parts) (total float64, noise unit.Stops) {
	t.Helper()
	s, err := scene.New(p)
	if err != nil {
		t.Fatal(err)
	}
	f, err := render.Preview(context.Background(), s, render.Options{Width: 1, Height: 1, Samples: 1, Settings: atOne})
	if err != nil {
		t.Fatal(err)
	}
	l, err := f.Read(f.Readings[0], render.Gains{})
	if err != nil {
		t.Fatal(err)
	}
	return (l.Total - atOne.FlashStops(1)).Ratio() * exposure.MidTone, l.Noise
}

func compare(t *testing.T, what string, got, want float64) {
	t.Helper()
	if d := math.Log2(got / want); !(math.Abs(d) <= closed) {
		t.Errorf("%s: %.5g, want %.5g: %+.4f stop", what, got, want, d)
	} else {
		t.Logf("%s: %+.4f stop", what, d)
	}
}

// A plane that looks up at z = 0 near the origin, seen by a camera from the side.
func tableTop(material int, facing geom.Vec) scene.Parts {
	return scene.Parts{
		Materials: white(),
		Solids:    []scene.Solid{{Form: scene.Disc, Facing: facing, Size: geom.Vec{X: 0.05}, Material: material}},
		Camera:    scene.Camera{At: facing.Scale(0.3).Add(geom.Vec{X: 2, Y: -0.1, Z: 0.5}), Aim: geom.Vec{}},
		Probes:    []scene.Probe{{Name: "mark"}},
	}
}

// White furnace: in an enclosure that is everywhere as bright, nothing can be
// told from anything else. Law of thermodynamics; [Veach1995] uses it as a test.
func TestFurnace(t *testing.T) {
	for _, m := range []struct {
		name string
		of   scene.Material
		want float64
	}{
		{"matt white", scene.Material{Diffuse: scene.Grey(1)}, 1},
		{"matt half", scene.Material{Diffuse: scene.Grey(0.5)}, 0.5},
	} {
		p := tableTop(0, geom.Up)
		p.Materials = []scene.Material{m.of}
		p.Solids = []scene.Solid{{Form: scene.Sphere, Size: geom.Vec{X: 0.2}}}
		p.Daylight.Sky = scene.UniformSky(1000)
		got, _ := exposureOf(t, p)
		compare(t, m.name, got, m.want*1000*math.Pi)
	}
}

// A concave white room with a uniform sky through the roof: all light that
// comes in leaves again, so the floor is no brighter than the sky, and a closed
// half-reflecting box with one lit face obeys the radiosity balance.
func TestWhiteRoom(t *testing.T) {
	// A cylinder of walls without a lid, white all over: every path ends in the
	// sky, so every point shows the sky's luminance.
	p := scene.Parts{Materials: white(), Ground: &scene.Ground{Material: 0}, Probes: []scene.Probe{{At: geom.Vec{X: 0.2}}}}
	for _, b := range []struct{ x, y, w, l float64 }{{2, 0, 0.1, 4.1}, {-2, 0, 0.1, 4.1}, {0, 2, 4.1, 0.1}, {0, -2, 4.1, 0.1}} {
		p.Solids = append(p.Solids, scene.Solid{Form: scene.Box, At: geom.Vec{X: b.x, Y: b.y, Z: -0.1}, Size: geom.Vec{X: b.w, Y: b.l, Z: 3}})
	}
	p.Camera = scene.Camera{At: geom.Vec{Y: -1, Z: 1.5}, Aim: geom.Vec{X: 0.2}}
	p.Daylight.Sky = scene.UniformSky(1000)
	got, noise := exposureOf(t, p)
	compare(t, "white room", got, 1000*math.Pi)
	if noise > 2*closed { // the paths are long and chance ends them
		t.Errorf("noise %.3f stop", noise)
	}
}

// Sun alone on a plane: E cos θ (Lambert's cosine law).
func TestSunOnPlane(t *testing.T) {
	for _, alt := range []unit.Angle{5 * unit.Degree, 30 * unit.Degree, 62 * unit.Degree, 90 * unit.Degree} {
		p := tableTop(1, geom.Up)
		p.Daylight = scene.Daylight{Sun: geom.Direction(130*unit.Degree, alt), SunIlluminance: 90_000}
		got, _ := exposureOf(t, p)
		compare(t, "sun on level plane", got, 0.5*90_000*alt.Sin())
	}
}

// A matt sphere under a sky of luminance L above the horizon and nothing below:
// a facet tilted by β sees the share (1 + cos β)/2. [Moon1942], isotropic sky.
type upperHalf float64

func (u upperHalf) Luminance(d geom.Vec) unit.Nit {
	if d.Z < 0 {
		return 0
	}
	return unit.Nit(u)
}

func TestSphereUnderHalfSky(t *testing.T) {
	for _, beta := range []unit.Angle{0, 45 * unit.Degree, 90 * unit.Degree, 120 * unit.Degree} {
		n := geom.Vec{X: beta.Sin(), Z: beta.Cos()}
		p := scene.Parts{
			Materials: white(),
			Solids:    []scene.Solid{{Form: scene.Sphere, Size: geom.Vec{X: 1}, Material: 1}},
			Camera:    scene.Camera{At: n.Scale(3).Add(geom.Vec{Y: 0.1}), Aim: n},
			Probes:    []scene.Probe{{At: n}},
			Daylight:  scene.Daylight{Sky: upperHalf(2000)},
		}
		got, _ := exposureOf(t, p)
		compare(t, "sphere under half a sky", got, 0.5*2000*math.Pi*(1+beta.Cos())/2)
	}
}

// E = π L r²/(r² + d²) on the axis of a disc, and the four-corner rule for a
// rectangle: configuration factors from a differential element, catalogue of
// radiation configuration factors (Howell), B-12 and B-3 to B-4.
func TestFormFactors(t *testing.T) {
	disc := func(r, d float64) float64 { return r * r / (r*r + d*d) }
	rect := func(a, b, d float64) float64 {
		a, b = a/2, b/2
		p, q := math.Sqrt(a*a+d*d), math.Sqrt(b*b+d*d)
		return 2 / math.Pi * (a/p*math.Atan(b/p) + b/q*math.Atan(a/q))
	}
	// The formulas against rows worked independently.
	for _, r := range []struct{ got, want float64 }{
		{disc(0.275, 1), 0.0703}, {disc(0.6, 0.5), 0.5902}, {rect(0.6, 0.9, 1), 0.1442}, {rect(0.3, 1.4, 2), 0.0309}, {rect(1.2, 1.2, 0.5), 0.6407},
	} {
		if math.Abs(r.got-r.want) > 5e-5 {
			t.Errorf("form factor %.4f, want %.4f", r.got, r.want)
		}
	}
	const intensity = 1000
	for _, hidden := range []bool{true, false} {
		for _, d := range []float64{0.5, 1, 1.5, 2, 3} {
			for _, c := range []struct {
				name     string
				l        scene.Light
				area, ff float64
			}{
				{"disc 0.55", scene.Light{Width: 0.55}, math.Pi * 0.275 * 0.275, disc(0.275, d)},
				{"disc 1.5", scene.Light{Width: 1.5}, math.Pi * 0.75 * 0.75, disc(0.75, d)},
				{"rect 0.6×0.9", scene.Light{Outline: scene.Rect, Width: 0.6, Height: 0.9}, 0.54, rect(0.6, 0.9, d)},
				{"rect 0.3×1.4", scene.Light{Outline: scene.Rect, Width: 0.3, Height: 1.4}, 0.42, rect(0.3, 1.4, d)},
			} {
				p := tableTop(1, geom.Up)
				p.Camera.At = geom.Vec{X: 0.4, Y: -0.1, Z: 0.2} // below the nearest front
				c.l.At, c.l.Intensity, c.l.Hidden = geom.Vec{Z: d}, intensity, hidden
				p.Lights = []scene.Light{c.l}
				got, _ := exposureOf(t, p)
				compare(t, c.name, got, 0.5*math.Pi*intensity/c.area*c.ff)
			}
		}
	}
}

// Inverse square and cosⁿ beam, far from a small head: H = I₀ cosⁿθ cos θ′/d².
func TestInverseSquareAndBeam(t *testing.T) {
	for _, n := range []float64{1, 4, 20} {
		for _, d := range []float64{2, 4, 8, 16} {
			for _, off := range []unit.Angle{0, 20 * unit.Degree, 40 * unit.Degree} {
				p := tableTop(1, geom.Up)
				at := geom.Vec{X: d * off.Sin(), Z: d * off.Cos()}
				p.Lights = []scene.Light{{At: at, Aim: at.Sub(geom.Up), Width: 0.05, Intensity: 5000, Beam: n}}
				got, _ := exposureOf(t, p)
				compare(t, "small head", got, 0.5*5000*math.Pow(off.Cos(), n+1)/(d*d))
			}
		}
	}
	p := tableTop(1, geom.Up)
	p.Lights = []scene.Light{{At: geom.Vec{Z: 3}, Outline: scene.Ball, Width: 0.2, Intensity: 5000}}
	got, _ := exposureOf(t, p)
	compare(t, "ball", got, 0.5*5000/9)
}

// Forty heads of one fortieth the power are one head.
func TestFortyLights(t *testing.T) {
	p := tableTop(1, geom.Up)
	for range 40 {
		p.Lights = append(p.Lights, scene.Light{At: geom.Vec{Z: 3}, Width: 0.1, Intensity: 100, Hidden: true})
	}
	got, _ := exposureOf(t, p)
	compare(t, "forty heads", got, 0.5*4000/9)
}
