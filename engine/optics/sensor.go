package optics

import (
	"math"
	"strconv"
	"strings"

	"hardnoon/engine/unit"
)

// Sensor is a picture area, wider than tall.
type Sensor struct {
	Name          string
	Width, Height unit.Length
	Megapixels    float64 // what such a sensor usually has; own choice
}

// Formats by their trade names. Sides vary by a few tenths of a millimetre
// from camera to camera. Common practice, no source.
var formats = []Sensor{
	{"full-frame", 36 * unit.Millimetre, 24 * unit.Millimetre, 45.7},
	{"aps-c", 23.6 * unit.Millimetre, 15.7 * unit.Millimetre, 24},
	{"four-thirds", 17.3 * unit.Millimetre, 13 * unit.Millimetre, 20},
	{"medium", 44 * unit.Millimetre, 33 * unit.Millimetre, 100},
}

// Sensors returns the named formats, the usual one first.
func Sensors() []Sensor { return append([]Sensor(nil), formats...) }

// SensorByName returns a named format, or one given by its sides in millimetres
// such as "36x24". Capitals, blanks and hyphens do not matter.
func SensorByName(name string) (Sensor, bool) {
	t := strings.ToLower(strings.TrimSpace(name))
	bare := func(s string) string { return strings.ReplaceAll(strings.ReplaceAll(s, "-", ""), " ", "") }
	for _, s := range formats {
		if bare(s.Name) == bare(t) {
			return s, true
		}
	}
	a, b, found := strings.Cut(strings.ReplaceAll(strings.TrimSuffix(t, "mm"), "×", "x"), "x")
	w, errW := strconv.ParseFloat(strings.TrimSpace(a), 64)
	h, errH := strconv.ParseFloat(strings.TrimSpace(b), 64)
	if !found || errW != nil || errH != nil || !(w >= 1 && w <= 500 && h >= 1 && h <= 500) {
		return Sensor{}, false
	}
	return Sensor{t, unit.Length(w) * unit.Millimetre, unit.Length(h) * unit.Millimetre, 24}, true
}

// Diagonal returns the distance between opposite corners.
func (s Sensor) Diagonal() unit.Length {
	return unit.Length(math.Hypot(float64(s.Width), float64(s.Height)))
}

// Pitch returns the distance from pixel to pixel. 0 megapixels stands for what
// such a sensor usually has.
//
//	√(w·h/n)    square pixels that fill the area
func (s Sensor) Pitch(megapixels float64) unit.Length {
	if megapixels == 0 {
		megapixels = s.Megapixels
	}
	return unit.Length(math.Sqrt(float64(s.Width*s.Height) / (megapixels * 1e6)))
}

// Circle returns the usual circle of confusion: 0.030 mm on 36×24 mm and the
// same share of the diagonal elsewhere (aps-c 0.0197, four-thirds 0.0150,
// medium 0.0381). It is sharp in a print held at its own diagonal, not at 100 %
// on a screen: for that take two pixels.
//
// Source: [ThinLens], common practice; the diagonal over 1500 gives 4 % less.
func (s Sensor) Circle() unit.Length {
	return 0.030 * unit.Millimetre * s.Diagonal() / formats[0].Diagonal()
}
