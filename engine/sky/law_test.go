package sky

import (
	"errors"
	"math"
	"testing"

	"hardnoon/engine/geom"
	"hardnoon/engine/unit"
)

// skies are one of each making, with the sun where it hurts.
func skies(t testing.TB) map[string]*Sky {
	t.Helper()
	out := map[string]*Sky{}
	add := func(name string, s *Sky, err error) {
		if err != nil {
			t.Fatal(name, err)
		}
		out[name] = s
	}
	for _, h := range []float64{3, 20, 55, 89} {
		c := at(h, 310)
		s, err := ClearSky(c)
		add("clear", s, err)
		st, err := Oktas(c, 5)
		add("five oktas", st.Hidden, err)
		st, err = Named(c, KindThinHighCloud)
		add("veil", st.Mean, err)
		s, err = FromIrradiance(c, 150, 220)
		add("irradiance", s, err)
		s, err = GeneralSky(c, 15)
		add("general", s, err)
	}
	s, err := ClearSky(at(-4, 310))
	add("twilight", s, err)
	return out
}

// What falls on a plane is what is seen from it: the plain sum of luminance over
// the sphere, in 400 by 800 steps, against the sampled dome.
func TestIlluminanceIsTheSumOfLuminance(t *testing.T) {
	// The dome's quadrature, the haze's closed form, and the level ground, to which
	// the haze adds 0.6 % that Illuminance leaves out: the sky keeps what was said.
	const tolerance, onDome = 0.01, 0.005
	normals := []geom.Vec{geom.Up, geom.East, geom.North.Neg(), geom.Direction(5, 0.6), geom.Direction(2, -0.9), geom.Up.Neg()}
	var off, offDome worst
	for name, s := range skies(t) {
		const rings, spokes = 200, 400
		sum, dome := make([]float64, len(normals)), make([]float64, len(normals))
		for i := -rings; i < rings; i++ {
			z := (float64(i) + 0.5) / rings
			r := math.Sqrt(1 - z*z)
			for j := range spokes {
				a := 2 * math.Pi * (float64(j) + 0.5) / spokes
				d := geom.Vec{X: r * math.Sin(a), Y: r * math.Cos(a), Z: z}
				l := float64(s.Luminance(d)) * 2 * math.Pi / (rings * spokes)
				for k, n := range normals {
					cos := d.Dot(n)
					sum[k] += l * max(0, cos)
					dome[k] += l * (1 + cos) / 2
				}
			}
		}
		for k, n := range normals {
			_, sky, ground := s.Illuminance(n)
			if n == geom.Up.Neg() {
				sky = 0 // nothing but ground below
			}
			if e := float64(sky+ground)/sum[k] - 1; off.see(e) > tolerance {
				t.Errorf("%s on %v: %.1f lx, plain sum %.1f (%+.2f %%)", name, n, float64(sky+ground), sum[k], 100*e)
			}
			got := float64(s.DomeIlluminance(n)) - float64(s.DirectNormal)*(1+n.Dot(s.Sun))/2
			if e := got/dome[k] - 1; offDome.see(e) > onDome {
				t.Errorf("%s, dome along %v: %.1f lx, plain sum %.1f", name, n, got, dome[k])
			}
		}
	}
	t.Logf("worst %.4f on planes, %.4f on the dome", off, offDome)
}

// The hour is made of its two states: they add up to the mean by their share of
// time, and a cloud never makes the sky brighter by the sun it hides.
func TestStatesAddUp(t *testing.T) {
	for _, h := range []float64{8, 30, 70} {
		for n := 1; n < 8; n++ {
			st, err := Oktas(at(h, 90), n)
			if err != nil {
				t.Fatal(err)
			}
			if st.Out == nil || st.Hidden == nil {
				t.Errorf("%d oktas, sun at %v°: not two states", n, h)
				continue
			}
			mix := st.OutShare*float64(st.Out.Total(geom.Up)) + (1-st.OutShare)*float64(st.Hidden.Total(geom.Up))
			near(t, "mean of the states", mix, float64(st.Mean.Total(geom.Up)), 1e-9)
			if st.Hidden.IncidentEV(geom.East) >= st.Out.IncidentEV(geom.East) {
				t.Errorf("%d oktas, sun at %v°: brighter without the sun", n, h)
			}
		}
	}
}

// A reading put in is the reading that comes out, wherever the meter pointed.
func TestReadingIsKept(t *testing.T) {
	for name, s := range skies(t) {
		for _, r := range []Reading{
			{EV: 13.5}, {EV: 13.5, Toward: geom.Up}, {EV: 13, Flat: true, Toward: geom.Up}, {EV: 12.2, Flat: true},
			{EV: 12, Reflected: true, Toward: geom.Direction(2, 0.7)}, {EV: 13, Reflected: true, Toward: geom.Direction(2, -0.7)},
		} {
			got, moved, err := s.Scaled(r)
			if err != nil {
				t.Errorf("%s: %v", name, err)
				continue
			}
			if e := math.Abs(float64(r.of(got).Sub(r.EV))); e > 1e-9 {
				t.Errorf("%s: reads EV %v, put in %v", name, r.of(got), r.EV)
			}
			near(t, "ratio of beam to sky", float64(got.DirectNormal)*float64(s.Diffuse), float64(s.DirectNormal)*float64(got.Diffuse), 1e-12)
			if back, _, _ := got.Scaled(Reading{EV: s.IncidentEV(s.FrontLit())}); math.Abs(float64(back.Diffuse/s.Diffuse-1)) > 1e-9 {
				t.Errorf("%s: moved by %v and not back", name, moved)
			}
		}
	}
}

// [AMSGlossary] anchors, and no step where one model hands over to the other.
func TestSunset(t *testing.T) {
	for _, r := range []struct{ h, low, high float64 }{{-0.8333, 410, 585}, {-6, 2, 3.5}, {-12, 0.007, 0.009}, {-18, 5e-4, 7e-4}, {-60, 5e-4, 7e-4}} {
		if e := float64(TwilightIlluminance(unit.Angle(r.h) * unit.Degree)); e < r.low || e > r.high {
			t.Errorf("%v°: %v lx, want %v to %v", r.h, e, r.low, r.high)
		}
	}
	for _, k := range []Kind{KindClear, KindThinHighCloud, KindOvercast} {
		last := math.Inf(-1)
		for h := -10.0; h < 20; h += 0.25 {
			st, err := Named(at(h, 0), k)
			if err != nil {
				t.Fatal(err)
			}
			ev := float64(unit.EVFromLux(st.Mean.Total(geom.Up)))
			if ev < last-0.05 || last > -20 && ev-last > 0.7 {
				t.Errorf("%v at %v°: EV %.2f after %.2f", k, h, ev, last)
			}
			last = ev
		}
	}
}

// Input that cannot be is answered with a *unit.RangeError, never with light.
func TestImpossibleInput(t *testing.T) {
	nan, half := math.NaN(), 1.5
	hot := unit.Celsius(90)
	for name, c := range map[string]Conditions{
		"altitude":  {SunAltitude: unit.Angle(nan)},
		"altitude2": at(91, 0),
		"azimuth":   {SunAzimuth: unit.Angle(math.Inf(1))},
		"day":       {Day: 367},
		"elevation": {Elevation: unit.Length(nan)},
		"albedo":    {Albedo: &half},
		"nan":       {Albedo: &nan},
		"dew":       {DewPoint: &hot},
		"turbidity": {Turbidity: nan},
		"clean":     {Turbidity: 0.5},
	} {
		_, e1 := ClearSky(c)
		_, e2 := FromIrradiance(c, 100, 100)
		_, e3 := Named(c, KindBroken)
		_, e4 := GeneralSky(c, 3)
		_, e5 := Oktas(c, 8)
		for i, err := range []error{e1, e2, e3, e4, e5} {
			var r *unit.RangeError
			if !errors.As(err, &r) {
				t.Errorf("%s: constructor %d answered %v", name, i, err)
			}
		}
	}
	c := at(40, 0)
	for _, x := range [][2]float64{{-1, 5}, {nan, 5}, {5, nan}, {1400, 5}, {5, 1400}, {5, math.Inf(1)}} {
		if s, err := FromIrradiance(c, unit.Irradiance(x[0]), unit.Irradiance(x[1])); err == nil {
			t.Errorf("irradiance %v gave %v lx", x, s.DirectNormal)
		}
	}
	var down *SunDownError
	if _, err := FromIrradiance(at(-3, 0), 5, 5); !errors.As(err, &down) {
		t.Errorf("beam of a sun that is down: %v", err)
	}
	for _, n := range []int{-1, 9} {
		if _, err := Oktas(c, n); err == nil {
			t.Errorf("%d oktas", n)
		}
	}
	for _, n := range []CIE2003{0, -1, 17} {
		if _, err := GeneralSky(c, n); err == nil {
			t.Errorf("type %d", n)
		}
	}
	s, _ := ClearSky(c)
	for _, r := range []Reading{{EV: unit.EV(nan)}, {EV: 30}, {EV: 14, Reflected: true}} {
		if _, _, err := s.Scaled(r); err == nil {
			t.Errorf("a reading of %+v", r)
		}
	}
	if b, k, g := s.Illuminance(geom.Vec{}); b != 0 || k != 0 || g != 0 {
		t.Error("light on a plane without a normal")
	}
	// The darkest and the strangest measured skies stay finite.
	for _, x := range [][2]float64{{0, 0}, {900, 0}, {1, 0.001}, {100, 41}, {1366, 1366}} {
		s, err := FromIrradiance(at(84, 0), unit.Irradiance(x[0]), unit.Irradiance(x[1]))
		if err != nil {
			t.Fatal(err)
		}
		for _, v := range []float64{float64(s.Total(geom.North)), float64(s.Luminance(geom.Up)), float64(s.Luminance(geom.North)), float64(s.Temperature())} {
			if math.IsNaN(v) || math.IsInf(v, 0) || v < 0 {
				t.Errorf("irradiance %v gave %v", x, v)
			}
		}
	}
}

var sink unit.Lux

func BenchmarkLuminance(b *testing.B) {
	s, _ := ClearSky(at(60, 30))
	d := geom.Direction(2, 0.5)
	var l unit.Nit
	for b.Loop() {
		l += s.Luminance(d)
	}
	sink = unit.Lux(l)
}

func BenchmarkIlluminance(b *testing.B) {
	s, _ := ClearSky(at(60, 30))
	n := geom.Direction(2, 0.5)
	for b.Loop() {
		sink = s.Total(n)
	}
}

func BenchmarkClearSky(b *testing.B) {
	c := at(60, 30)
	for b.Loop() {
		ClearSky(c)
	}
}

// Lamps even from all around: an upright or a lying receptor reads what the
// meter said, and a uniform sky of luminance L gives π·L lying.
// Source: Lambert's law; [ISO2720] for the reading.
func TestLampsKeepTheReading(t *testing.T) {
	c := Conditions{SunAltitude: -24 * unit.Degree, SunAzimuth: 250 * unit.Degree, Day: 335}
	for _, ev := range []unit.EV{4, 7, 9.5} {
		s, err := Lamps(c, Reading{EV: ev})
		if err != nil {
			t.Fatal(err)
		}
		for _, n := range []geom.Vec{geom.North, geom.East, geom.North.Scale(-1), geom.East.Scale(-1)} {
			if got := s.IncidentEV(n); math.Abs(float64(got-ev)) > 0.02 {
				t.Errorf("towards %v the meter shows %.2f, it said %.2f", n, got, ev)
			}
		}
		_, sky, _ := s.Illuminance(geom.Up)
		if l := s.Luminance(geom.Direction(100*unit.Degree, 40*unit.Degree)); math.Abs(float64(sky)/(math.Pi*float64(l))-1) > 0.01 {
			t.Errorf("lying it takes %v lx of a sky of %v cd/m²", sky, l)
		}
		if s.DirectNormal != 0 {
			t.Error("lamps are no sun")
		}
	}
	if _, err := Lamps(c, Reading{EV: unit.EV(math.NaN())}); err == nil {
		t.Error("a reading that is no number passed")
	}
}
