package sky

import (
	"errors"
	"math"
	"strings"
	"testing"
	"time"

	"hardnoon/engine/unit"
)

// Twelve reports decoded by hand after [WMO306] and [FMH1].
func TestReports(t *testing.T) {
	for _, r := range table(t, "metar.csv") {
		got, err := ParseMETAR(r["metar"])
		if err != nil {
			t.Errorf("%s: %v", r["metar"], err)
			continue
		}
		num := func(column string, have bool, x, tolerance float64) {
			t.Helper()
			if (r[column] != "") != have {
				t.Errorf("%s: %s: reported %v, want %q", r["station"], column, have, r[column])
				return
			}
			if have && math.Abs(x-r.num(t, column)) > tolerance {
				t.Errorf("%s: %s is %v, want %v", r["station"], column, x, r[column])
			}
		}
		angle := func(column string, a *unit.Angle) {
			t.Helper()
			if a == nil {
				num(column, false, 0, 0)
				return
			}
			num(column, true, a.Degrees(), 1e-9)
		}
		if got.Station != r["station"] {
			t.Errorf("station %s, want %s", got.Station, r["station"])
		}
		num("day", true, float64(got.Day), 0)
		num("hour_utc", true, float64(got.Hour), 0)
		num("minute", true, float64(got.Minute), 0)
		w := got.Wind
		if w == nil {
			t.Fatalf("%s: no wind", r["station"])
		}
		if r["wind_dir_deg"] == "VRB" {
			if w.From != nil {
				t.Errorf("%s: wind from %v, want variable", r["station"], *w.From)
			}
		} else {
			angle("wind_dir_deg", w.From)
		}
		num("wind_kt", true, w.Mean.Knots(), 1e-9)
		num("wind_ms", true, w.Mean.MetresPerSecond(), 0.006)
		if w.Gust != nil {
			num("gust_kt", true, w.Gust.Knots(), 1e-9)
		} else {
			num("gust_kt", false, 0, 0)
		}
		angle("dir_from", w.VaryFrom)
		angle("dir_to", w.VaryTo)
		num("vis_m", got.Visibility != nil, got.Visibility.Metres(), 0.6)
		c, ok := got.Ceiling()
		num("ceiling_ft", ok, c.Feet(), 1e-6)
		num("temp_c", got.Temperature != nil, float64(*got.Temperature), 1e-9)
		num("dew_c", got.DewPoint != nil, float64(*got.DewPoint), 1e-9)
		num("pressure_hpa", got.Pressure != nil, got.Pressure.Hectopascals(), 0.05)
		if want := strings.Split(r["weather"], ";"); r["weather"] != "" && r["weather"] != "/////////" && len(got.Weather) != len(want) {
			t.Errorf("%s: weather %v, want %v", r["station"], got.Weather, want)
		}
		if want := strings.Split(r["sky"], ";"); r["sky"] != "" && r["sky"] != "CLR" && len(got.Layers) != len(want) {
			t.Errorf("%s: layers %v, want %v", r["station"], got.Layers, want)
		}
		if cb := strings.Contains(r["sky"], "CB") || strings.Contains(r["sky"], "TCU") || strings.Contains(r["weather"], "thunder"); got.Convective() != cb {
			t.Errorf("%s: convective %v, want %v", r["station"], got.Convective(), cb)
		}
		if got.Thunder() != strings.Contains(r["weather"], "thunder") {
			t.Errorf("%s: thunder %v", r["station"], got.Thunder())
		}
		want := 10 * time.Minute
		if r["station"][0] == 'K' {
			want = 2 * time.Minute
		}
		if w.MeanOver != want {
			t.Errorf("%s: wind averaged over %v, want %v", r["station"], w.MeanOver, want)
		}
	}
}

func TestReportDetails(t *testing.T) {
	read := func(text string) Report {
		t.Helper()
		r, err := ParseMETAR(text)
		if err != nil {
			t.Errorf("%q: %v", text, err)
		}
		return r
	}
	if r := read("SPECI 00000KT CAVOK 20/10 Q1013="); r.Wind.Mean != 0 || r.Wind.From != nil || !r.SkyClear || r.Wind.MeanOver != 0 {
		t.Errorf("calm without a station: %+v", r)
	}
	if r := read("EDDF 121200Z 240P99KT 9999 SCT030 BECMG OVC005"); !r.Wind.AtLeast || len(r.Layers) != 1 {
		t.Errorf("a wind beyond the scale, a trend that is not the report: %+v", r)
	}
	if r := read("UUEE 121200Z 24012G18MPS 0300 FG VV001 M05/M06 Q1030"); r.Wind.Gust.MetresPerSecond() != 18 || r.VerticalView == nil {
		t.Errorf("metres a second, sky hidden: %+v", r)
	}
	for text, want := range map[string]struct {
		n int
		g Genus
	}{
		"XXXX 121200Z 24005KT 9999 FEW020 SCT250 20/10 Q1013":  {4, Cirrus},
		"XXXX 121200Z 24005KT 9999 OVC260 20/10 Q1013":         {8, Cirrus},
		"XXXX 121200Z 24005KT 9999 BKN040 20/10 Q1013":         {6, AnyCloud},
		"XXXX 121200Z 24005KT 4000 RA OVC012 20/18 Q1003":      {8, Nimbostratus},
		"XXXX 121200Z 24005KT 9999 NSC 20/10 Q1013":            {0, AnyCloud},
		"XXXX 121200Z 24005KT 9999 VCSH FEW025CB SCT040 Q1013": {4, AnyCloud},
	} {
		n, g, err := read(text).Oktas()
		if err != nil || n != want.n || g != want.g {
			t.Errorf("%s: %d oktas of %d, %v; want %v", text, n, g, err, want)
		}
	}
	var unknown *CloudUnknownError
	if _, _, err := read("FSIA 220100Z AUTO 14014KT 9999 ///////// 27/23 Q1010").Oktas(); !errors.As(err, &unknown) {
		t.Errorf("cloud that was not seen: %v", err)
	}
	for _, bad := range []string{"", "   ", "NIL", "hello world", "METAR", "METAR XXXX 121200Z NIL", "XXXX 121200Z ABCKT", "XXXX 121200Z 99912KT", "XXXX 12KT", strings.Repeat("FEW020 ", 1000)} {
		if r, err := ParseMETAR(bad); err == nil {
			t.Errorf("%.40q was read as %+v", bad, r)
		}
	}
}

// Whatever the text, the reader does not fall over, and what it read can be
// turned into light without a NaN.
func FuzzMETAR(f *testing.F) {
	for _, r := range table(f, "metar.csv") {
		f.Add(r["metar"])
	}
	f.Add("VV/// M 1 /SM 3 1/0SM //////CB T12345678 RMK")
	f.Fuzz(func(t *testing.T, text string) {
		r, err := ParseMETAR(text)
		if err != nil {
			return
		}
		st, err := FromReport(at(40, 180), r)
		if err != nil {
			return
		}
		for _, s := range st.all() {
			if ev := float64(s.IncidentEV(s.FrontLit())); !(ev > 5 && ev < 17) {
				t.Errorf("%q: EV %v", text, ev)
			}
		}
	})
}
