package render_test

import (
	"context"
	"flag"
	"image"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"testing"

	"hardnoon/engine/exposure"
	"hardnoon/engine/geom"
	"hardnoon/engine/render"
	"hardnoon/engine/scene"
	"hardnoon/engine/unit"
)

var pictures = flag.String("pictures", "", "folder to write test pictures to")

// clearSky is a clear sky by CIE type 12 (S 011:2003, gradation group VI,
// indicatrix group 4), scaled to a zenith luminance.
type clearSky struct {
	sun    geom.Vec
	zenith float64
}

func (s clearSky) relative(d geom.Vec) float64 {
	phi := 1 - 0.32*0 + -1.0*math.Exp(-0.32/max(d.Z, 0.01))
	chi := float64(d.AngleTo(s.sun))
	f := 1 + 10*(math.Exp(-3*chi)-math.Exp(-3*math.Pi/2)) + 0.45*math.Pow(math.Cos(chi), 2)
	return phi * f
}

func (s clearSky) Luminance(d geom.Vec) unit.Nit {
	if d.Z < 0 {
		return 0
	}
	return unit.Nit(s.zenith * s.relative(d) / s.relative(geom.Up))
}

// Colour: blue overhead, pale towards the horizon and the sun. For the eye only.
func (s clearSky) Colour(d geom.Vec) scene.RGB {
	pale := math.Exp(-4*max(d.Z, 0)) + math.Exp(-4*float64(d.AngleTo(s.sun)))
	k := float32(min(1, pale))
	blue, white := scene.RGB{R: 0.55, G: 0.95, B: 2.1}, scene.RGB{R: 0.95, G: 1.0, B: 1.15}
	return blue.Scale(1 - k).Add(white.Scale(k))
}

// lathe returns a closed surface of revolution about a tilted axis: rings of
// radius (rx, ry) along the line from a to b.
func lathe(a, b geom.Vec, part int32, rings, slices int, radius func(t float64) (rx, ry float64)) geom.Mesh {
	axis := b.Sub(a).Unit()
	x := geom.East
	if math.Abs(axis.X) > 0.9 {
		x = geom.North
	}
	y := axis.Cross(x).Unit()
	x = y.Cross(axis).Unit()
	at := func(t, turn float64) geom.Vec {
		rx, ry := radius(t)
		return a.Lerp(b, t).Add(x.Scale(rx * math.Cos(turn))).Add(y.Scale(ry * math.Sin(turn)))
	}
	var m geom.Mesh
	for i := range rings + 1 {
		t := (1 - math.Cos(math.Pi*float64(i)/float64(rings))) / 2
		for j := range slices {
			turn := 2 * math.Pi * float64(j) / float64(slices)
			const e = 1e-4
			du := at(t, turn+e).Sub(at(t, turn-e))
			dt := at(min(t+e, 1), turn).Sub(at(max(t-e, 0), turn))
			n := du.Cross(dt).Unit()
			if i == 0 {
				n = axis.Neg()
			} else if i == rings {
				n = axis
			}
			m.Vertices = append(m.Vertices, at(t, turn))
			m.Normals = append(m.Normals, n)
		}
	}
	for i := range rings {
		for j := range slices {
			p, q := int32(i*slices+j), int32(i*slices+(j+1)%slices)
			r, s := p+int32(slices), q+int32(slices)
			m.Triangles = append(m.Triangles, [3]int32{p, q, s}, [3]int32{p, s, r})
			m.Parts = append(m.Parts, part, part)
		}
	}
	return m
}

func ellipsoid(c geom.Vec, rx, ry, rz float64, part int32) geom.Mesh {
	return lathe(c.Sub(geom.Vec{Z: rz}), c.Add(geom.Vec{Z: rz}), part, 40, 56, func(t float64) (float64, float64) {
		s := math.Sqrt(max(0, 4*t*(1-t)))
		return rx * s, ry * s
	})
}

func limb(a, b geom.Vec, ra, rb float64, part int32) geom.Mesh {
	axis := b.Sub(a).Unit()
	a, b = a.Sub(axis.Scale(ra)), b.Add(axis.Scale(rb))
	n := b.Sub(a).Norm()
	return lathe(a, b, part, 24, 24, func(t float64) (float64, float64) {
		r := ra + (rb-ra)*t
		d := min(t*n, (1-t)*n)
		if d < r {
			r *= math.Sqrt(max(0, 1-(1-d/r)*(1-d/r)))
		}
		return r, r
	})
}

const (
	skin = iota
	jersey
	trousers
	cap_
	turf
	clay
	wall
	chalk
	materials
)

// field is a figure in a cap on a field at high noon, the sun behind it to one
// side, a key from a round front and an edge from a strip.
func field() scene.Parts {
	sun := geom.Direction(35*unit.Degree, 58*unit.Degree)
	var body geom.Mesh
	for _, m := range []geom.Mesh{
		ellipsoid(geom.Vec{Z: 1.60}, 0.078, 0.098, 0.115, skin),                               // head
		limb(geom.Vec{Y: -0.088, Z: 1.60}, geom.Vec{Y: -0.108, Z: 1.575}, 0.012, 0.017, skin), // nose
		ellipsoid(geom.Vec{Y: 0.005, Z: 1.665}, 0.085, 0.104, 0.072, cap_),                    // crown
		lathe(geom.Vec{Y: -0.075, Z: 1.655}, geom.Vec{Y: -0.08, Z: 1.665}, cap_, 8, 56, func(t float64) (float64, float64) {
			s := math.Sqrt(max(0, 4*t*(1-t)))
			return 0.082 * s, 0.105 * s
		}), // brim
		limb(geom.Vec{Z: 1.40}, geom.Vec{Z: 1.52}, 0.058, 0.052, skin), // neck
		lathe(geom.Vec{Z: 0.92}, geom.Vec{Z: 1.46}, jersey, 40, 56, func(t float64) (float64, float64) {
			w := 0.15 + 0.06*t
			if t > 0.75 {
				w *= math.Sqrt(max(0, 1-math.Pow((t-0.75)/0.25, 2)*0.999))
			}
			if t < 0.03 {
				w *= math.Sqrt(t / 0.03)
			}
			return w, w * 0.62
		}),
		limb(geom.Vec{X: 0.195, Z: 1.37}, geom.Vec{X: 0.25, Y: 0.02, Z: 1.10}, 0.062, 0.046, jersey),
		limb(geom.Vec{X: -0.195, Z: 1.37}, geom.Vec{X: -0.25, Y: 0.02, Z: 1.10}, 0.062, 0.046, jersey),
		limb(geom.Vec{X: 0.25, Y: 0.02, Z: 1.10}, geom.Vec{X: 0.15, Y: -0.13, Z: 0.96}, 0.042, 0.032, skin),
		limb(geom.Vec{X: -0.25, Y: 0.02, Z: 1.10}, geom.Vec{X: -0.15, Y: -0.13, Z: 0.96}, 0.042, 0.032, skin),
		limb(geom.Vec{X: 0.09, Z: 0.90}, geom.Vec{X: 0.12, Z: 0.08}, 0.095, 0.055, trousers),
		limb(geom.Vec{X: -0.09, Z: 0.90}, geom.Vec{X: -0.12, Z: 0.08}, 0.095, 0.055, trousers),
	} {
		body.Append(m)
	}
	face := geom.Vec{Y: -0.09, Z: 1.58}
	return scene.Parts{
		Materials: []scene.Material{
			skin:     {Name: "skin", Diffuse: scene.RGB{R: 0.50, G: 0.31, B: 0.23}, Coat: 0.035, Roughness: 0.4},
			jersey:   {Name: "jersey", Diffuse: scene.RGB{R: 0.05, G: 0.10, B: 0.32}},
			trousers: {Name: "trousers", Diffuse: scene.Grey(0.72)},
			cap_:     {Name: "cap", Diffuse: scene.RGB{R: 0.05, G: 0.09, B: 0.28}},
			turf:     {Name: "turf", Diffuse: scene.RGB{R: 0.06, G: 0.10, B: 0.03}, Mottle: 0.35, MottleSize: 0.35},
			clay:     {Name: "clay", Diffuse: scene.RGB{R: 0.33, G: 0.18, B: 0.10}, Mottle: 0.15, MottleSize: 0.15},
			wall:     {Name: "wall", Diffuse: scene.RGB{R: 0.06, G: 0.14, B: 0.09}},
			chalk:    {Name: "chalk", Diffuse: scene.Grey(0.7)},
		},
		Meshes: []scene.Mesh{{Mesh: body, Materials: []int{skin, jersey, trousers, cap_, turf, clay, wall, chalk}}},
		Ground: &scene.Ground{Material: turf, MaterialAt: func(x, y float64) int {
			r := math.Hypot(x, y)
			switch {
			case math.Abs(x-y*0.9-3) < 0.05 && r > 1.6:
				return chalk
			case r < 2.7+0.04*math.Sin(9*math.Atan2(y, x)):
				return clay
			}
			return turf
		}},
		Solids: []scene.Solid{
			{Name: "fence", Form: scene.Box, At: geom.Vec{Y: 40}, Size: geom.Vec{X: 120, Y: 0.3, Z: 2.4}, Material: wall},
			{Name: "pole", Form: scene.Cylinder, At: geom.Vec{X: 6, Y: 39}, Size: geom.Vec{X: 0.12, Z: 14}, Material: wall},
		},
		Daylight: scene.Daylight{
			Sky: clearSky{sun, 4500}, Sun: sun, SunIlluminance: 95_000,
			SunColour: scene.RGB{R: 1.05, G: 0.99, B: 0.93},
		},
		Lights: []scene.Light{
			{Name: "key", At: geom.Vec{X: -1.3, Y: -1.5, Z: 2.0}, Aim: face, Width: 0.9, Intensity: 1500, Beam: 2},
			{Name: "edge", At: geom.Vec{X: 1.5, Y: 1.2, Z: 1.8}, Aim: face, Outline: scene.Rect, Width: 0.3, Height: 1.2, Intensity: 1200, Beam: 3},
		},
		Camera: scene.Camera{
			At: geom.Vec{X: 0.3, Y: -3.4, Z: 1.25}, Aim: geom.Vec{X: 0.12, Z: 1.32},
			Focal: 70 * unit.Millimetre, FNumber: 5.6,
		},
		Probes: []scene.Probe{
			{Name: "left cheek", At: geom.Vec{X: -0.045, Y: -0.082, Z: 1.575}}, {Name: "right cheek", At: geom.Vec{X: 0.045, Y: -0.082, Z: 1.575}},
			{Name: "chest", At: geom.Vec{Y: -0.115, Z: 1.25}}, {Name: "sky", At: geom.Vec{X: 2, Y: 60, Z: 8}}, {Name: "turf", At: geom.Vec{X: 2, Y: 12}},
		},
	}
}

var fieldSettings = exposure.Settings{FNumber: 11, Shutter: 1.0 / 256, ISO: 100}

func build(t testing.TB, p scene.Parts) *scene.Scene {
	t.Helper()
	s, err := scene.New(p)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func shoot(t testing.TB, s *scene.Scene, o render.Options) *render.Film {
	t.Helper()
	if o.Settings == (exposure.Settings{}) {
		o.Settings = fieldSettings
	}
	f, err := render.Preview(context.Background(), s, o)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func save(t testing.TB, name string, img image.Image) {
	if *pictures == "" {
		return
	}
	w, err := os.Create(filepath.Join(*pictures, name+".png"))
	if err != nil {
		t.Fatal(err)
	}
	defer w.Close()
	if err := png.Encode(w, img); err != nil {
		t.Fatal(err)
	}
}

func TestFieldPicture(t *testing.T) {
	o := render.Options{Width: 96, Height: 64, Samples: 4}
	if *pictures != "" {
		o = render.Options{Width: 720, Height: 480, Samples: 64}
	}
	f := shoot(t, build(t, field()), o)
	for _, r := range f.Readings {
		l, err := f.Read(r, render.Gains{})
		if err != nil || r.Hidden || r.Behind {
			t.Errorf("%s: %v, hidden %v", r.Name, err, r.Hidden)
		}
		t.Logf("%-12s %+.2f ± %.2f: sun %+.2f sky %+.2f key %+.2f edge %+.2f", r.Name, l.Total, l.Noise, l.Sun, l.Sky, l.Lights[0], l.Lights[1])
	}
	for name, v := range map[string]render.View{"frame": {}, "stops": {Aspect: render.AsStops}, "clips": {Aspect: render.AsClips}, "noise": {Aspect: render.AsNoise}} {
		img, err := f.Image(v)
		if err != nil {
			t.Fatal(err)
		}
		save(t, name, img)
	}
}
