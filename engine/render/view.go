package render

import (
	"image"
	"math"

	"hardnoon/engine/exposure"
	"hardnoon/engine/scene"
	"hardnoon/engine/unit"
)

// Aspect says what a view of a picture shows.
type Aspect int

const (
	AsFrame Aspect = iota // as the camera's own picture would look
	AsStops               // each stop its own tint, mid-tone grey
	AsClips               // what the camera would lose, at either end
	AsNoise               // how sure each pixel is
)

// View is a way to look at a picture.
type View struct {
	Aspect Aspect
	// Headroom is how far above mid-tone the camera clips; 0: 3 stops, a raw
	// file metered by its saturation speed. A camera's JPEG has about 2.5.
	Headroom unit.Stops
	// Floor is how far below mid-tone a tone is lost in noise; 0: 6 stops.
	Floor unit.Stops
}

const (
	defaultHeadroom unit.Stops = 3 * unit.Stop // [ISO12232], 18 % at 12.7 % of saturation: 2.98
	defaultFloor    unit.Stops = 6 * unit.Stop // common practice, no source
)

// Image draws the film as it was rendered.
func (f *Film) Image(v View) (*image.NRGBA, error) {
	p, err := f.Mix(Gains{})
	if err != nil {
		return nil, err
	}
	return p.Image(v)
}

// Image draws the picture.
func (p *Picture) Image(v View) (*image.NRGBA, error) {
	d, err := newDrawer(v)
	if err != nil {
		return nil, err
	}
	img := image.NewNRGBA(image.Rect(0, 0, p.Width, p.Height))
	for i, c := range p.pixels {
		d.put(img.Pix[4*i:][:4], c, p.variance[i], i%p.Width, i/p.Width)
	}
	return img, nil
}

// draw writes the film from its row first on into the bytes of an image.
func (f *Film) draw(v View, pix []uint8, first int) error {
	d, err := newDrawer(v)
	if err != nil {
		return err
	}
	k, err := f.factors(Gains{})
	if err != nil {
		return err
	}
	for i := range len(pix) / 4 {
		c, variance := f.pixel(first*f.Width+i, k)
		d.put(pix[4*i:][:4], c, variance, i%f.Width, f.top+first+i/f.Width)
	}
	return nil
}

// A drawer turns exposures into bytes for one view.
type drawer struct {
	View
	tone *tone
}

func newDrawer(v View) (*drawer, error) {
	if v.Headroom == 0 {
		v.Headroom = defaultHeadroom
	}
	if v.Floor == 0 {
		v.Floor = defaultFloor
	}
	for _, err := range []error{
		unit.Within("view", float64(v.Aspect), float64(AsFrame), float64(AsNoise), ""),
		unit.Within("headroom", float64(v.Headroom), 0.5, 16, "stops"),
		unit.Within("floor", float64(v.Floor), 0.5, 16, "stops"),
	} {
		if err != nil {
			return nil, err
		}
	}
	return &drawer{v, newTone(v.Headroom)}, nil
}

// put draws the exposure c, with its variance, as pixel x, y.
func (d *drawer) put(pix []uint8, c scene.RGB, variance float32, x, y int) {
	var out [3]uint8
	switch d.Aspect {
	case AsFrame:
		out = d.tone.of(c)
	case AsStops:
		out = tintOf(unit.StopsOf(float64(c.Y())), d.View)
	case AsClips:
		out = lossOf(c, d.View, d.tone, x, y)
	case AsNoise:
		e := 1.0
		if y := float64(c.Y()); y > 0 {
			e = math.Sqrt(float64(variance)) / y / math.Ln2
		}
		g := uint8(255 * min(1, e))
		out = [3]uint8{g, g, g}
	}
	pix[0], pix[1], pix[2], pix[3] = out[0], out[1], out[2], 255
}

// A tone curve takes exposure relative to mid-tone to display bytes.
//
//	y = t(1 + t/w²)/(1 + t),  t = k x^1.3,  y(mid-tone) = 0.18, y(clip) = 1
//
// then the sRGB transfer curve. Each channel goes its own way, so that a tone
// near the end loses its colour as it does in a camera.
//
// Source: [Reinhard2002] eq. 4 for the shape, [IEC61966-2-1] for the transfer; the
// contrast of 1.3 is what camera pictures commonly have, no source.
type tone struct {
	table []uint8
	clip  float32
}

const toneSteps = 4096

func newTone(headroom unit.Stops) *tone {
	const contrast = 1.3
	clip := headroom.Ratio()
	top := math.Pow(clip, contrast)
	// y(1) = MidTone solved for k with w = k·top.
	k := (exposure.MidTone - 1/(top*top)) / (1 - exposure.MidTone)
	w := k * top
	t := &tone{make([]uint8, toneSteps+1), float32(clip)}
	for i := range t.table {
		// The table is over the square root, where darkness has its digits.
		r := float64(i) / toneSteps
		x := r * r * clip
		y := x / clip
		if k > 0 { // less room than the shoulder needs goes straight up to the end
			q := k * math.Pow(x, contrast)
			y = q * (1 + q/(w*w)) / (1 + q)
		}
		t.table[i] = uint8(math.Round(255 * encode(min(1, y))))
	}
	return t
}

// encode is the sRGB transfer curve. Source: [IEC61966-2-1].
func encode(y float64) float64 {
	if y <= 0.0031308 {
		return 12.92 * y
	}
	return 1.055*math.Pow(y, 1/2.4) - 0.055
}

func (t *tone) one(x float32) uint8 {
	if x >= t.clip {
		return 255
	}
	if !(x > 0) {
		return 0
	}
	return t.table[int(scene.Sqrt32(x/t.clip)*toneSteps+0.5)]
}

func (t *tone) of(c scene.RGB) [3]uint8 { return [3]uint8{t.one(c.R), t.one(c.G), t.one(c.B)} }

// tints of the stops view, from 6 under to 4 over. Lightness always rises, so
// the scale can be read without colour; cool is under, warm is over, and the
// half stop around mid-tone is the only neutral one.
var tints = [...][3]uint8{
	{14, 14, 40}, {24, 28, 78}, {34, 50, 112}, {46, 78, 138}, {66, 106, 152}, {96, 130, 152},
	{128, 128, 128},
	{176, 150, 96}, {214, 170, 88}, {238, 196, 110}, {250, 226, 164},
}

const midTint = 6

// Tints returns the tints of the stops view, darkest first, and which of them is
// mid-tone.
func Tints() (all [][3]uint8, mid int) { return tints[:], midTint }

func tintOf(s unit.Stops, v View) [3]uint8 {
	if s >= v.Headroom {
		return [3]uint8{255, 255, 255}
	}
	if s < -v.Floor {
		return [3]uint8{0, 0, 0}
	}
	i := midTint + int(math.Round(float64(s)))
	return tints[min(max(i, 0), len(tints)-1)]
}

// lossOf marks what is clipped: solid where every channel is, hatched where
// one or two are; and what is lost in the dark.
func lossOf(c scene.RGB, v View, t *tone, x, y int) [3]uint8 {
	n := 0
	for _, ch := range []float32{c.R, c.G, c.B} {
		if ch >= t.clip {
			n++
		}
	}
	switch {
	case n == 3, n > 0 && (x+y)%4 < 2:
		return [3]uint8{255, 96, 0}
	case unit.StopsOf(float64(c.Y())) < -v.Floor:
		return [3]uint8{0, 96, 255}
	}
	o := t.of(c)
	g := uint8((54*int(o[0]) + 183*int(o[1]) + 19*int(o[2])) / 256 * 3 / 4)
	return [3]uint8{g, g, g}
}
