package sun

import (
	"math"
	"testing"
	"time"

	"hardnoon/engine/unit"
)

// The tables print D and I to 0.01°, so half of that is rounding. The 100
// points print the field to 1e-6 nT and still differ by up to 7e-4 nT from any
// evaluation of the printed coefficients.
func TestMagneticField(t *testing.T) {
	for _, table := range []struct {
		path       string
		angle, tol float64 // °, nT
	}{
		{"testdata/wmm2025_points.csv", 0.00501, 0.001},
		{"testdata/wmm2025_report.csv", 0.00501, 0.051},
	} {
		worstAngle, worstField := 0.0, 0.0
		for _, r := range readRows(t, table.path) {
			n := func(key string) float64 { return parse(t, r[key]) }
			f := field(n("year"), radians(n("lat")), radians(n("lon")), n("h_km"))
			for key, got := range map[string]unit.Angle{"D": f.Declination, "I": f.Inclination} {
				d := (got - degrees(n(key))).Signed().Abs().Degrees()
				worstAngle = math.Max(worstAngle, d)
				if !(d <= table.angle) {
					t.Errorf("%v: %s off by %.4f°", r, key, d)
				}
			}
			for key, got := range map[string]Nanotesla{"X": f.X, "Y": f.Y, "Z": f.Z, "H": f.H, "F": f.F} {
				d := math.Abs(float64(got) - n(key))
				worstField = math.Max(worstField, d)
				if !(d <= table.tol) {
					t.Errorf("%v: %s off by %.5f nT", r, key, d)
				}
			}
		}
		t.Logf("%s: worst %.4f°, %.1e nT", table.path, worstAngle, worstField)
	}
}

func TestMagneticFieldLimits(t *testing.T) {
	day := func(year int) time.Time { return time.Date(year, 1, 1, 0, 0, 0, 0, time.UTC) }
	for name, at := range map[string]time.Time{"too early": day(2025).Add(-time.Second), "too late": day(2030).Add(time.Hour)} {
		if f, err := MagneticField(at, 0, 0, 0); err == nil {
			t.Errorf("%s: %+v", name, f)
		}
	}
	for _, at := range []time.Time{day(2025), day(2030)} {
		if _, err := MagneticField(at, 0, 0, 0); err != nil {
			t.Error(err)
		}
	}
	if _, err := MagneticField(day(2026), unit.Angle(math.NaN()), 0, 0); err == nil {
		t.Error("latitude NaN has a field")
	}
	// At a pole the axes turn with the longitude and the field stays.
	for _, lat := range []unit.Angle{90 * unit.Degree, -90 * unit.Degree} {
		a, err := MagneticField(day(2026), lat, 0, 0)
		b, _ := MagneticField(day(2026), lat, 90*unit.Degree, 0)
		if err != nil || math.Abs(float64(a.F-b.F)) > 1e-6 || math.Abs(float64(a.H-b.H)) > 1e-6 {
			t.Errorf("pole: %+v, %+v, %v", a, b, err)
		}
	}
}
