package modifier_test

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"hardnoon/engine/modifier"
	"hardnoon/engine/unit"
)

// file writes an LM-63 file of the intensity I(γ), axially symmetric unless
// planes says otherwise.
func file(head, size string, planes []float64, lumens, third float64, intensity func(gamma, c float64) float64) string {
	const nv = 73
	var b strings.Builder
	fmt.Fprintf(&b, "%s[TEST] own\r\n[MORE] made up\r\nTILT=NONE\r\n2 %g 0.5 %d,%d 1 2 %s\r\n1.0 %g 60\r\n", head, lumens, nv, len(planes), size, third)
	for i := range nv {
		fmt.Fprintf(&b, "%g ", float64(i)*2.5)
	}
	b.WriteString("\r\n")
	for _, c := range planes {
		fmt.Fprintf(&b, "%g\n", c)
	}
	for _, c := range planes {
		for i := range nv {
			fmt.Fprintf(&b, "%.6g\n", 2*intensity(float64(i)*2.5*math.Pi/180, c*math.Pi/180))
		}
	}
	return b.String()
}

// Closed forms: isotropic 100 cd has 1256.64 lm, a matt disc of 1000 cd 3141.59,
// I₀cosⁿ 2πI₀/(n+1). Straight lines between 2.5° steps miss curves by 0.1 %.
func TestFluxOfClosedForms(t *testing.T) {
	cosine := func(i0, n float64) func(float64, float64) float64 {
		return func(g, _ float64) float64 { return i0 * math.Pow(max(math.Cos(g), 0), n) }
	}
	for _, r := range []struct {
		name string
		f    func(float64, float64) float64
		want float64
		tol  float64
	}{
		{"isotropic", func(float64, float64) float64 { return 100 }, 1256.64, 0.01},
		{"matt", cosine(1000, 1), 3141.59, 3},
		{"cos⁴", cosine(1000, 4), 2 * math.Pi * 200, 3},
		{"by plane", func(g, c float64) float64 { return 100 * (1 + math.Cos(2*c)) * max(math.Cos(g), 0) }, 314.159, 0.6},
	} {
		for _, planes := range [][]float64{{0}, {0, 30, 60, 90}, {0, 45, 90, 135, 180}, {0, 60, 120, 180, 240, 300, 360}} {
			if r.name == "by plane" && len(planes) < 4 {
				continue
			}
			p, err := modifier.ReadLM63([]byte(file("IESNA:LM-63-2002\r\n", "-0.6 -0.6 0", planes, 1000, 1, r.f)))
			if err != nil {
				t.Fatal(r.name, err)
			}
			near(t, fmt.Sprint(r.name, " in ", len(planes), " planes"), p.Flux(), r.want, r.tol)
		}
	}
}

func TestLM63Fields(t *testing.T) {
	matt := func(g, _ float64) float64 { return 500 * max(math.Cos(g), 0) }
	p, err := modifier.ReadLM63([]byte(file("IES:LM-63-2019\r\n", "0.6 0.9 0", []float64{0}, 1000, 1.1, matt)))
	if err != nil {
		t.Fatal(err)
	}
	if p.Shape != modifier.Rectangle || p.Width != 0.6 || p.Height != 0.9 || p.Labels["TEST"][0] != "own" || p.Type != 'C' {
		t.Errorf("%+v", p)
	}
	near(t, "2019's code is no factor", float64(p.Axis()), 500, 1e-9)
	near(t, "beam of a matt front", p.Beam().Degrees(), 120, 0.3)
	old, err := modifier.ReadLM63([]byte(file("", "-0.6 0 0", []float64{0}, 1000, 1.1, matt)))
	if err != nil || old.Version != "1986" || old.Shape != modifier.Disc {
		t.Fatal(old.Version, old.Shape, err)
	}
	near(t, "1986's third factor is one", float64(old.Axis()), 550, 1e-9)
	near(t, "between angles", float64(p.Intensity(61.25*unit.Degree, 123*unit.Degree)), 250*(math.Cos(60*math.Pi/180)+math.Cos(62.5*math.Pi/180)), 1e-3)
	// A matt front that lets 1571 of 2000 lm out, tube of 35 lm·s per Ws:
	// I₀/Φ = 0.25, K = √(0.25·35/2.5) at a far point.
	c, err := p.Class("mine", 35)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "K", c.K/math.Sqrt(c.NearField(2)), math.Sqrt(0.25*35/2.5), 1e-6)
}

func TestBadLM63(t *testing.T) {
	good := file("IESNA91\n", "0 0 0", []float64{0, 90}, 1000, 1, func(float64, float64) float64 { return 1 })
	for name, text := range map[string]string{
		"empty":        "",
		"no tilt":      "IESNA91\n[TEST] x\n",
		"tilt file":    "IESNA91\nTILT=other.tlt\n1\n",
		"cut":          good[:len(good)/2],
		"word":         strings.Replace(good, "1 2 0 0 0", "1 two 0 0 0", 1),
		"type":         strings.Replace(good, "1 2 0 0 0", "7 2 0 0 0", 1),
		"many angles":  strings.Replace(good, "73,2", "1e9,2", 1),
		"NaN":          strings.Replace(good, "1.0 1 60", "NaN 1 60", 1),
		"no factor":    strings.Replace(good, "1.0 1 60", "0 1 60", 1),
		"order":        strings.Replace(good, "2.5 5 ", "5 2.5 ", 1),
		"half a count": strings.Replace(good, "73,2", "73.5,2", 1),
	} {
		var e *modifier.FileError
		if _, err := modifier.ReadLM63([]byte(text)); !errors.As(err, &e) {
			t.Errorf("%s: %v", name, err)
		}
	}
	tilted := strings.Replace(good, "TILT=NONE", "TILT=INCLUDE\n1\n3\n0 45 90\n1 .9 .8", 1)
	if p, err := modifier.ReadLM63([]byte(tilted)); err != nil || p.Axis() != 1 {
		t.Errorf("included tilt: %v", err)
	}
}

func FuzzReadLM63(f *testing.F) {
	f.Add([]byte(file("IESNA91\n", "-0.6 0 0", []float64{0, 90}, 1000, 1, func(float64, float64) float64 { return 1 })))
	f.Add([]byte("TILT=INCLUDE\n1\n2\n0 90\n1 1\n1 -1 1 1 1 1 1 0 0 0 1 1 1\n0\n0\n5\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := modifier.ReadLM63(data)
		if err != nil {
			return
		}
		if math.IsNaN(float64(p.Intensity(0.3, 1))) || math.IsNaN(p.Flux()) {
			t.Errorf("NaN from %q", data)
		}
		p.Class("x", 35)
	})
}

func TestBeamPower(t *testing.T) {
	for _, c := range modifier.All() {
		n := c.BeamPower()
		if n < 1 || n > 60 {
			t.Errorf("%s: n %v", c.ID, n)
		}
		if n > 1 {
			near(t, c.ID, float64(c.OffAxis(c.Beam/2)), -1, 1e-9)
		}
		if c.OffAxis(0) != 0 || !math.IsInf(float64(c.OffAxis(2)), -1) {
			t.Errorf("%s: ends", c.ID)
		}
	}
}
