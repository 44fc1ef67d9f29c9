package spectrum

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"hardnoon/engine/unit"
)

func close(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s is %.7g, want %.7g", what, got, want)
	}
}

// [CIE15] daylight locus, evaluated by an independent program.
func TestDaylightLocus(t *testing.T) {
	for _, r := range [][3]float64{
		{4000, .382344, .383766}, {5000, .345741, .358666}, {5002.78, .345659, .358601},
		{5500, .332502, .347608}, {6500, .312779, .329183}, {6503.62, .312720, .329125},
		{7000, .305357, .321646}, {7504.17, .299043, .314974}, {10000, .278800, .291967},
		{15000, .261397, .270224}, {20000, .253918, .260321}, {25000, .249854, .254799},
	} {
		c, err := Daylight(unit.Kelvin(r[0]))
		if err != nil {
			t.Fatal(err)
		}
		close(t, "x", c.X, r[1], 2e-6)
		close(t, "y", c.Y, r[2], 2e-6)
	}
	for _, bad := range []float64{3999, 25001, math.NaN(), math.Inf(1), -5000} {
		if _, err := Daylight(unit.Kelvin(bad)); err == nil {
			t.Errorf("a phase of daylight of %v K", bad)
		}
		if _, err := Planckian(unit.Kelvin(bad - 2340)); err == nil && bad < 25001 {
			t.Errorf("a black body of %v K", bad-2340)
		}
	}
}

// Exact Planckian locus (1 nm, CIE 1931) and [McCamy1992] on it, by an
// independent colour library.
func TestPlanckianLocus(t *testing.T) {
	for _, r := range [][6]float64{ // T, x and y exact, x and y of [Kang2002], McCamy of the exact
		{1700, .561067, .404274, .560941, .404304, 1723.8},
		{2500, .476995, .413675, .476459, .413716, 2490.2},
		{2856, .447535, .407428, .447071, .407509, 2857.7},
		{3200, .423360, .398952, .423182, .399078, 3208.0},
		{4000, .380440, .376747, .380528, .376734, 4008.9},
		{5000, .345101, .351608, .344992, .351587, 5003.0},
		{6500, .313526, .323628, .313494, .323663, 6499.3},
		{10000, .280634, .288288, .280698, .288306, 9882.1},
		{25000, .252521, .252221, .252473, .252255, 19501.8},
	} {
		c, err := Planckian(unit.Kelvin(r[0]))
		if err != nil {
			t.Fatal(err)
		}
		close(t, "x of Kang", c.X, r[3], 2e-6)
		close(t, "y of Kang", c.Y, r[4], 2e-6)
		close(t, "x", c.X, r[1], 6e-4)
		close(t, "y", c.Y, r[2], 6e-4)
		exact := Chromaticity{r[1], r[2]}
		close(t, "McCamy", float64(exact.Temperature()), r[5], 0.3+r[0]*1e-4)
		if r[0] >= 3000 {
			close(t, "Hernandez-Andres", float64(exact.SkyTemperature())/r[0], 1, 0.02)
		}
	}
}

// Spectral clear skies with their CCT by Ohno 2013: sun from 2,200 K, sky to 16,500 K.
func TestTemperatureOfNaturalLight(t *testing.T) {
	f, err := os.Open("testdata/clear_sky_spectral.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	col := map[string]int{}
	for i, name := range rows[0] {
		col[name] = i
	}
	var worst float64
	n := 0
	for _, row := range rows[1:] {
		at := func(name string) float64 { x, _ := strconv.ParseFloat(row[col[name]], 64); return x }
		for _, part := range []string{"sun", "sky", "global"} {
			want := unit.Kelvin(at("CCT_" + part))
			if want < 3000 {
				continue
			}
			got := Chromaticity{at("x_" + part), at("y_" + part)}.SkyTemperature()
			off := math.Abs(float64(got/want) - 1)
			worst = max(worst, off)
			n++
			if off > 0.022 { // the fit's own 2 %, and "nearest" is defined otherwise
				t.Errorf("%s: %.0f K, want %.0f", part, got, want)
			}
		}
	}
	t.Logf("%d colours, worst %.4f", n, worst)
}

// [CIE15]: white points and the daylight locus meet; D50 to XYZ and back.
func TestAdaptation(t *testing.T) {
	want := Matrix{ // Bradford D65 to D50, by an independent colour library
		{1.0478526, 0.0229074, -0.0501464}, {0.0295722, 0.9904667, -0.0170567}, {-0.0092367, 0.0150463, 0.7520622}}
	got := Adapt(Chromaticity{0.31271, 0.32902}, D50)
	for i := range want {
		for j := range want {
			close(t, "matrix", got[i][j], want[i][j], 1e-6)
		}
	}
	rgb := D65.LinearRGB()
	for _, v := range rgb {
		close(t, "D65 in linear sRGB", v, 1, 2e-3) // the matrix is rounded to four digits
	}
	for i, v := range XYZFromSRGB.Times(SRGBFromXYZ.Times([3]float64{0.3, 0.4, 0.5})) {
		close(t, "there and back", v, []float64{0.3, 0.4, 0.5}[i], 2e-4)
	}
	close(t, "18 % encoded", Encode(0.18), 0.46135, 1e-4) // IEC 61966-2-1, own arithmetic
	if Encode(math.NaN()) != 0 || Encode(-1) != 0 || Encode(2) != 1 {
		t.Error("a signal outside 0 to 1")
	}
}

// A mix lies between its parts and weighs by amount.
func TestMix(t *testing.T) {
	warm, cold := Natural(3000), Natural(12000)
	m := Mix(Part{3, warm}, Part{1, cold})
	if !(m.X < warm.X && m.X > cold.X) {
		t.Errorf("mix %v is not between %v and %v", m, warm, cold)
	}
	if Mix() != D65 || Mix(Part{2, warm}) != warm && math.Abs(Mix(Part{2, warm}).X-warm.X) > 1e-12 {
		t.Error("a mix of nothing, or of one")
	}
	a, b := Natural(3999.999), Natural(4000.001)
	close(t, "step at 4000 K", a.X, b.X, 1e-6)
}

// Shifts from pairs of temperatures a maker prints, and common pairs.
func TestGels(t *testing.T) {
	for _, r := range []struct {
		name string
		from unit.Kelvin
		to   unit.Kelvin
	}{
		{"full CTO", 6500, 3200}, {"half CTO", 6500, 3800}, {"quarter CTO", 6500, 4600}, {"eighth CTO", 6500, 5550},
		{"full CTB", 3200, 5700}, {"half CTB", 3200, 4300}, {"quarter CTB", 3200, 3600}, {"eighth CTB", 3200, 3400},
		{"full CTO", 5500, 2934}, {"half CTO", 5500, 3439}, {"quarter CTO", 5500, 4068}, {"eighth CTO", 5500, 4812},
	} {
		g, ok := GelNamed(r.name)
		if !ok {
			t.Fatal(r.name)
		}
		got, err := g.On(r.from)
		if err != nil {
			t.Fatal(err)
		}
		close(t, r.name, float64(got.Mired()), float64(r.to.Mired()), 2.1) // printed pairs are rounded
	}
	for name, want := range map[string]float64{"full CTO": 0.85, "half CTO": 0.50, "quarter CTO": 0.34, "half CTB": 0.87} {
		g, _ := GelNamed(name)
		s, ok := g.Loss()
		if !ok {
			t.Fatal(name)
		}
		close(t, "loss of "+name, float64(s), want, 0.006)
	}
	if g, rest := Nearest(5600, 3200); g.Name != "three-quarter CTO" && g.Name != "full CTO" || abs(rest) > GelSpread {
		t.Errorf("flash to tungsten: %v, %v mired missing", g.Name, rest)
	}
	if g, _ := Nearest(5600, 5500); g.Name != "no gel" {
		t.Errorf("flash to daylight wants %v", g.Name)
	}
	for _, k := range []unit.Kelvin{0, unit.Kelvin(math.NaN()), -5, unit.Kelvin(math.Inf(1))} {
		if _, err := Gels[0].On(k); err == nil {
			t.Errorf("a lamp of %v K", k)
		}
	}
	g, _ := GelNamed("double CTB")
	if _, err := g.On(5500); err == nil {
		t.Error("double blue on daylight leaves no temperature")
	}
}
