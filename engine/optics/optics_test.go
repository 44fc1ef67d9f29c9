package optics_test

import (
	"math"
	"testing"

	"hardnoon/engine/optics"
	"hardnoon/engine/unit"
)

const mm = unit.Millimetre

// digits reports whether got rounds to want as printed with that many decimals.
func digits(got, want float64, decimals int) bool {
	return math.Abs(got-want) <= 0.5000001*math.Pow10(-decimals)
}

// Hyperfocal distances with c = 0.030 mm, in metres to the centimetre, worked
// out by another hand from H = f²/(Nc) + f.
func TestHyperfocalTable(t *testing.T) {
	n := []float64{1.4, 2.8, 5.6, 8, 11, 16}
	for f, row := range map[unit.Length][]float64{
		24:  {13.74, 6.88, 3.45, 2.42, 1.77, 1.22},
		35:  {29.20, 14.62, 7.33, 5.14, 3.75, 2.59},
		50:  {59.57, 29.81, 14.93, 10.47, 7.63, 5.26},
		85:  {172.11, 86.10, 43.09, 30.19, 21.98, 15.14},
		135: {434.06, 217.10, 108.62, 76.07, 55.36, 38.10},
		200: {952.58, 476.39, 238.30, 166.87, 121.41, 83.53},
	} {
		for i, want := range row {
			if got := (optics.Lens{Focal: f * mm, FNumber: n[i]}).Hyperfocal(0.030 * mm); !digits(got.Metres(), want, 2) {
				t.Errorf("%v mm f/%v: %.4f m, want %v", f, n[i], got.Metres(), want)
			}
		}
	}
}

// Eight rows worked out by another hand, c = 0.030 mm; 0 in far is infinity and
// in depth not printed.
func TestDepthTable(t *testing.T) {
	for _, r := range []struct {
		f                                  unit.Length
		n, s, near, far, depth, m, blur, a float64
	}{
		{85, 1.8, 2.5, 2.456, 2.546, 0.090, .0352, 1.662, 47.2},
		{85, 4, 2.5, 2.404, 2.604, 0.201, .0352, 0.748, 21.2}, // 2.40362 to 2.60428: 0.20066
		{135, 2, 4, 3.950, 4.052, 0.102, .0349, 2.358, 67.5},
		{200, 2.8, 6, 5.928, 6.074, 0.146, .0345, 2.463, 71.4},
		{200, 2.8, 10, 9.798, 10.210, 0.412, .0204, 1.458, 71.4},
		{35, 2, 2, 1.824, 2.213, 0.389, .0178, 0.312, 17.5},
		{24, 8, 2.5, 1.231, 0, 0, .0097, 0.029, 3.0},
		{50, 8, 3, 2.338, 4.185, 1.847, .0169, 0.106, 6.2}, // 6.25, half to even
	} {
		l := optics.Lens{Focal: r.f * mm, FNumber: r.n}
		s := unit.Length(r.s)
		d := optics.DepthOfField(l, s, optics.Sensors()[0].Circle())
		ok := digits(d.Near.Metres(), r.near, 3) && digits(optics.Magnification(l.Focal, s), r.m, 4) &&
			digits(l.BackgroundBlur(s, unit.Length(math.Inf(1))).Millimetres(), r.blur, 3) && digits(l.Aperture().Millimetres(), r.a, 1)
		if r.far == 0 {
			ok = ok && math.IsInf(d.Far.Metres(), 1)
		} else {
			ok = ok && digits(d.Far.Metres(), r.far, 3) && digits(d.Extent().Metres(), r.depth, 3)
		}
		if !ok {
			t.Errorf("%v mm f/%v at %v m: %+v, m %.5f, blur %.4f mm, aperture %.3f mm", r.f, r.n, r.s, d,
				optics.Magnification(l.Focal, s), l.BackgroundBlur(s, unit.Length(math.Inf(1))).Millimetres(), l.Aperture().Millimetres())
		}
	}
}

// Fields of view in degrees to the hundredth, horizontal, vertical, diagonal,
// worked out by another hand; the horizontal ones of 36×24 are in any handbook.
func TestFieldOfViewTable(t *testing.T) {
	for _, r := range []struct {
		sensor string
		focal  unit.Length
		want   []float64
	}{
		{"full-frame", 24, []float64{73.74, 53.13, 84.06}},
		{"full-frame", 35, []float64{54.43, 37.85, 63.44}},
		{"full-frame", 50, []float64{39.60, 26.99, 46.79}},
		{"full-frame", 85, []float64{23.91, 16.07, 28.56}},
		{"full-frame", 135, []float64{15.19, 10.16, 18.21}},
		{"full-frame", 200, []float64{10.29, 6.87, 12.35}},
		{"aps-c", 24, []float64{52.36, 36.22}},
		{"aps-c", 50, []float64{26.56, 17.85}},
		{"aps-c", 85, []float64{15.81, 10.55}},
		{"aps-c", 200, []float64{6.75, 4.50}},
		{"four-thirds", 50, []float64{19.63, 14.81}},
	} {
		s, _ := optics.SensorByName(r.sensor)
		for i, side := range []unit.Length{s.Width, s.Height, s.Diagonal()}[:len(r.want)] {
			if got := optics.FieldOfView(side, r.focal*mm).Degrees(); !digits(got, r.want[i], 2) {
				t.Errorf("%s, %v mm: %.4f°, want %v", r.sensor, r.focal, got, r.want[i])
			}
		}
	}
}

// Airy discs at 550 nm in µm, and T-stops at f/2.8; worked out by another hand.
func TestAiryAndTStop(t *testing.T) {
	for n, want := range map[float64]float64{2.8: 3.76, 5.6: 7.52, 8: 10.74, 11: 14.76, 16: 21.47, 22: 29.52} {
		if got := float64(optics.Airy(n, optics.Green) / unit.Micrometre); !digits(got, want, 2) {
			t.Errorf("f/%v: %.4f µm, want %v", n, got, want)
		}
	}
	for tau, want := range map[float64][2]float64{.95: {2.87, .07}, .90: {2.95, .15}, .85: {3.04, .23}, .80: {3.13, .32}} {
		got := optics.TStop(2.8, tau)
		if !digits(got, want[0], 2) || !digits(2*math.Log2(got/2.8), want[1], 2) {
			t.Errorf("τ %v: T%.4f, want %v", tau, got, want)
		}
	}
}

// Law: the total depth is 2Nc(1+m/p)/m² far inside the hyperfocal distance, so
// a small pupil magnification deepens it and more so close by.
func TestPupilMagnification(t *testing.T) {
	const c = 0.030 * mm
	for _, p := range []float64{0.4, 0.7, 1, 1.8} {
		l := optics.Lens{Focal: 100 * mm, FNumber: 2.8, Pupil: p}
		s := 300 * mm
		m := optics.Magnification(l.Focal, s)
		want := 2 * l.FNumber * c.Metres() * (1 + m/p) / (m * m)
		if got := optics.DepthOfField(l, s, c).Extent().Metres(); math.Abs(got/want-1) > 1e-4 { // 1 − k² is left out of the formula
			t.Errorf("p %v: depth %v m, want %v", p, got, want)
		}
		if got, want := l.EffectiveN(s), 2.8*(1+m/p); math.Abs(got-want) > 1e-12 {
			t.Errorf("p %v: effective f/%v, want %v", p, got, want)
		}
	}
}

// Law: at both limits of the depth the blur disc is the circle of confusion.
func TestBlurAtTheLimits(t *testing.T) {
	const c = 0.030 * mm
	for _, p := range []float64{0, 0.5, 1.6} {
		l := optics.Lens{Focal: 135 * mm, FNumber: 4, Pupil: p}
		d := optics.DepthOfField(l, 3, c)
		for _, at := range []unit.Length{d.Near, d.Far} {
			if got := l.BackgroundBlur(3, at); math.Abs(float64(got/c)-1) > 1e-9 {
				t.Errorf("p %v: blur at %v m is %v mm", p, at, got.Millimetres())
			}
		}
	}
}

// Law: FNumberFor undoes DepthOfField.
func TestFNumberForIsInverse(t *testing.T) {
	const c = 0.0197 * mm
	for _, p := range []float64{0, 0.6, 2} {
		for _, s := range []unit.Length{0.4, 2, 7.5} {
			l := optics.Lens{Focal: 85 * mm, FNumber: 5.6, Pupil: p}
			got := optics.FNumberFor(l.Focal, s, optics.DepthOfField(l, s, c).Extent(), c, p)
			if math.Abs(got-5.6) > 1e-9 {
				t.Errorf("p %v, %v m: f/%v", p, s, got)
			}
		}
	}
	inf := unit.Length(math.Inf(1))
	n := optics.FNumberFor(24*mm, 2.5, inf, 0.030*mm, 1)
	if h := (optics.Lens{Focal: 24 * mm, FNumber: n}).Hyperfocal(0.030 * mm); math.Abs(float64(h-2.5)) > 1e-9 {
		t.Errorf("f/%v for infinity: hyperfocal %v m", n, h)
	}
}

func TestSensors(t *testing.T) {
	// 45.7 million pixels on 36×24 mm are 4.35 µm apart; circles of confusion
	// in use are 0.030, 0.019 to 0.020, and 0.015 mm.
	for name, want := range map[string][2]float64{"full-frame": {4.35, 0.030}, "aps-c": {3.93, 0.020}, "four-thirds": {3.35, 0.015}, "36x24": {6, 0.030}, "36×24 mm": {6, 0.030}} {
		s, ok := optics.SensorByName(name)
		if !ok || !digits(float64(s.Pitch(0)/unit.Micrometre), want[0], 2) || !digits(s.Circle().Millimetres(), want[1], 3) {
			t.Errorf("%s: %v, pitch %v µm, circle %v mm", name, ok, float64(s.Pitch(0)/unit.Micrometre), s.Circle().Millimetres())
		}
	}
	for _, name := range []string{"", "x", "36x", "NaNx24", "0x24", "36x-24", "1e9x2", "large"} {
		if s, ok := optics.SensorByName(name); ok {
			t.Errorf("%q is a sensor: %+v", name, s)
		}
	}
}

func TestImpossibleLens(t *testing.T) {
	nan := math.NaN()
	for _, l := range []optics.Lens{{}, {Focal: 85 * mm}, {Focal: 85 * mm, FNumber: nan}, {Focal: unit.Length(nan), FNumber: 2}, {Focal: 85 * mm, FNumber: 2, Pupil: -1}} {
		if l.Check(3) == nil {
			t.Errorf("%+v is accepted", l)
		}
	}
	l := optics.Lens{Focal: 85 * mm, FNumber: 2}
	for _, d := range []unit.Length{0, 85 * mm, -3, unit.Length(nan), unit.Length(math.Inf(1))} {
		if l.Check(d) == nil || !math.IsNaN(float64(optics.DepthOfField(l, d, 0.03*mm).Near)) {
			t.Errorf("distance %v is accepted", d)
		}
	}
}
