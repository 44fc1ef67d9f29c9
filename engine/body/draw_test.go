package body_test

import (
	"flag"
	"image"
	"image/color"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"testing"

	"hardnoon/engine/body"
	"hardnoon/engine/geom"
	"hardnoon/engine/unit"
)

var drawOnly = flag.String("only", ".", "names of the figures and poses to draw")

var drawInto = flag.String("draw", "", "folder to draw figures into, for looking at")

// picture is an orthographic view of a mesh: a sun with its shadows, a sky.
func picture(m geom.Mesh, surfaces []body.Surface, from unit.Angle, lo, hi geom.Vec, size int) *image.RGBA {
	view := geom.Direction(from, 4*unit.Degree)
	sun := geom.Direction(from+50*unit.Degree, 38*unit.Degree)
	shade := depth(m, sun, lo, hi, 2*size)
	d := depth(m, view, lo, hi, size)
	img := image.NewRGBA(image.Rect(0, 0, d.w, d.h))
	for y := range d.h {
		for x := range d.w {
			i := y*d.w + x
			if d.tri[i] < 0 {
				img.Set(x, y, color.RGBA{120, 126, 134, 255})
				continue
			}
			t := m.Triangles[d.tri[i]]
			n, p := geom.Vec{}, geom.Vec{}
			for c, w := range d.at[i] {
				n = n.Add(m.Normals[t[c]].Scale(w))
				p = p.Add(m.Vertices[t[c]].Scale(w))
			}
			n = n.Unit()
			e := 0.32 + 0.18*n.Z + 0.10*max(0, n.Dot(view))
			if lit := n.Dot(sun); lit > 0 && !shade.behind(p.Add(n.Scale(0.006)), 0.004) {
				e += 1.1 * lit
			}
			s := surfaces[m.Parts[d.tri[i]]].Colour
			tone := func(v float64) uint8 { return uint8(255 * math.Pow(min(1, v*1.05), 1/2.2)) }
			img.Set(x, y, color.RGBA{tone(s[0] * e), tone(s[1] * e), tone(s[2] * e), 255})
		}
	}
	return img
}

type buffer struct {
	w, h             int
	right, top, view geom.Vec
	x0, y0, scale    float64
	z                []float64
	tri              []int
	at               [][3]float64
}

func (b *buffer) project(p geom.Vec) (x, y, z float64) {
	return (p.Dot(b.right) - b.x0) * b.scale, (b.y0 - p.Dot(b.top)) * b.scale, p.Dot(b.view)
}

func (b *buffer) behind(p geom.Vec, by float64) bool {
	x, y, z := b.project(p)
	i, j := int(x), int(y)
	return i >= 0 && j >= 0 && i < b.w && j < b.h && b.z[j*b.w+i] > z+by
}

func depth(m geom.Mesh, view, lo, hi geom.Vec, size int) *buffer {
	right := geom.Up.Cross(view).Unit()
	b := &buffer{view: view, right: right, top: view.Cross(right)}
	x0, x1, y0, y1 := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for c := range 8 {
		p := lo
		if c&1 > 0 {
			p.X = hi.X
		}
		if c&2 > 0 {
			p.Y = hi.Y
		}
		if c&4 > 0 {
			p.Z = hi.Z
		}
		x, y := p.Dot(b.right), p.Dot(b.top)
		x0, x1, y0, y1 = min(x0, x), max(x1, x), min(y0, y), max(y1, y)
	}
	b.x0, b.y0, b.scale = x0, y1, float64(size)/(y1-y0)
	b.w, b.h = int((x1-x0)*b.scale)+1, size
	b.z, b.tri, b.at = make([]float64, b.w*b.h), make([]int, b.w*b.h), make([][3]float64, b.w*b.h)
	for i := range b.z {
		b.z[i], b.tri[i] = math.Inf(-1), -1
	}
	for n, t := range m.Triangles {
		var x, y, z [3]float64
		for c := range 3 {
			x[c], y[c], z[c] = b.project(m.Vertices[t[c]])
		}
		area := (x[1]-x[0])*(y[2]-y[0]) - (x[2]-x[0])*(y[1]-y[0])
		if area >= 0 { // seen from inside; y runs down
			continue
		}
		for j := max(0, int(min(y[0], y[1], y[2]))); j <= min(b.h-1, int(max(y[0], y[1], y[2]))+1); j++ {
			for i := max(0, int(min(x[0], x[1], x[2]))); i <= min(b.w-1, int(max(x[0], x[1], x[2]))+1); i++ {
				px, py := float64(i)+0.5, float64(j)+0.5
				u := ((x[1]-px)*(y[2]-py) - (x[2]-px)*(y[1]-py)) / area
				v := ((x[2]-px)*(y[0]-py) - (x[0]-px)*(y[2]-py)) / area
				w := 1 - u - v
				if u < 0 || v < 0 || w < 0 {
					continue
				}
				if d := u*z[0] + v*z[1] + w*z[2]; d > b.z[j*b.w+i] {
					b.z[j*b.w+i], b.tri[j*b.w+i], b.at[j*b.w+i] = d, n, [3]float64{u, v, w}
				}
			}
		}
	}
	return b
}

// strip sets pictures side by side.
func strip(pictures []*image.RGBA) *image.RGBA {
	w, h := 0, 0
	for _, p := range pictures {
		w, h = w+p.Rect.Dx(), max(h, p.Rect.Dy())
	}
	out := image.NewRGBA(image.Rect(0, 0, w, h))
	x := 0
	for _, p := range pictures {
		for j := range p.Rect.Dy() {
			for i := range p.Rect.Dx() {
				out.Set(x+i, j, p.At(i, j))
			}
		}
		x += p.Rect.Dx()
	}
	return out
}

func save(t *testing.T, name string, img image.Image) {
	t.Helper()
	f, err := os.Create(filepath.Join(*drawInto, name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := png.Encode(f, img); err != nil {
		t.Fatal(err)
	}
}

// TestDraw is for looking at: go test ./engine/body -run Draw -draw DIR.
func TestDraw(t *testing.T) {
	if *drawInto == "" {
		t.Skip("no folder given")
	}
	figure := func(f body.Figure) (*body.Body, geom.Mesh) {
		b, err := f.Build()
		if err != nil {
			t.Fatal(err)
		}
		return b, b.Mesh()
	}
	var all []*image.RGBA
	row := 0
	only := regexp.MustCompile(*drawOnly)
	for _, p := range body.Poses() {
		if !only.MatchString(p.Name) {
			continue
		}
		b, m := figure(body.Figure{Pose: p, Sex: body.Male})
		for _, a := range []unit.Angle{-25 * unit.Degree, 75 * unit.Degree} {
			all = append(all, picture(m, b.Surfaces(), a, geom.Vec{X: -0.6, Y: -0.6, Z: -0.05}, geom.Vec{X: 0.6, Y: 0.6, Z: 2.25}, 520))
		}
		if len(all) == 8 {
			save(t, "poses"+string(rune('a'+row))+".png", strip(all))
			all, row = nil, row+1
		}
	}
	if len(all) > 0 {
		save(t, "poses"+string(rune('a'+row))+".png", strip(all))
	}
	for _, c := range []struct {
		name string
		f    body.Figure
	}{
		{"man", body.Figure{Sex: body.Male}},
		{"girl-cap", body.Figure{Sex: body.Female, Age: 11, Headgear: body.Cap, Hair: body.Tail}},
		{"woman-visor", body.Figure{Sex: body.Female, Headgear: body.Visor, Hair: body.Tail, Look: body.Look{Skin: body.BrownSkin}, Bare: true}},
		{"girl-tail", body.Figure{Sex: body.Female, Age: 15, Hair: body.Tail, Bare: true, Look: body.Look{Skin: body.TanSkin}}},
		{"boy-seven", body.Figure{Sex: body.Male, Age: 7}},
		{"boy-helmet", body.Figure{Sex: body.Male, Age: 14, Headgear: body.Helmet, Long: true}},
	} {
		if !only.MatchString(c.name) {
			continue
		}
		b, m := figure(c.f)
		h := b.Stature().Metres()
		lo, hi := geom.Vec{X: -0.5, Y: -0.4, Z: -0.02}, geom.Vec{X: 0.5, Y: 0.4, Z: h + 0.08}
		var a []*image.RGBA
		for _, az := range []unit.Angle{0, 45 * unit.Degree, 90 * unit.Degree, 180 * unit.Degree} {
			a = append(a, picture(m, b.Surfaces(), az, lo, hi, 900))
		}
		save(t, c.name+".png", strip(a))
		f := b.Face().Centre
		a = nil
		for _, az := range []unit.Angle{0, 40 * unit.Degree, 90 * unit.Degree, 150 * unit.Degree} {
			a = append(a, picture(m, b.Surfaces(), az, f.Add(geom.Vec{X: -0.17, Y: -0.3, Z: -0.18}), f.Add(geom.Vec{X: 0.17, Y: 0.17, Z: 0.20}), 700))
		}
		save(t, c.name+"-face.png", strip(a))
		t.Logf("%s: %d triangles", c.name, len(m.Triangles))
	}
}
