package safety_test

import (
	"errors"
	"math"
	"testing"

	"hardnoon/engine/safety"
	"hardnoon/engine/unit"
)

// Twelve rows of the Bureau's formulas and of Stull's, worked out by another
// hand; ISO 7243's own arithmetic.
func TestSimpleHeatTable(t *testing.T) {
	for _, r := range table(t, "simple_heat.csv") {
		air, rh := unit.Celsius(figure(t, r, "Ta_C")), figure(t, r, "RH_pct")
		wbgt, err := safety.WBGTEstimate(air, rh)
		if err != nil {
			t.Fatal(err)
		}
		printed(t, r, "WBGT_BoM_C", float64(wbgt), 2)
		wet, err := safety.Stull2011(air, rh)
		if err != nil {
			t.Fatal(err)
		}
		printed(t, r, "Tw_Stull_C", float64(wet), 2)
		feels, err := safety.ApparentTemperature(air, rh, 0)
		if err != nil {
			t.Fatal(err)
		}
		printed(t, r, "AT_BoM_calm_C", float64(feels), 2)
	}
	if got := safety.ISO7243(28, 40, 35, true); math.Abs(float64(got)-31.1) > 1e-9 {
		t.Errorf("28/40/35: %v °C, want 31.1", got)
	}
	if got := safety.ISO7243(28, 40, 35, false); math.Abs(float64(got)-31.6) > 1e-9 {
		t.Errorf("28/40 out of the sun: %v °C, want 31.6", got)
	}
}

// 39 rows of the formulas worked out by another hand, 32 of them cells of the
// National Weather Service's chart, in whole degrees Fahrenheit.
func TestHeatIndexTable(t *testing.T) {
	cells := 0
	for _, r := range table(t, "heat_index.csv") {
		hi, err := safety.HeatIndex(unit.Fahrenheit(figure(t, r, "T_F")).Celsius(), figure(t, r, "RH_pct"))
		if err != nil {
			t.Fatal(err)
		}
		printed(t, r, "HI_F", float64(hi.Fahrenheit()), 3)
		printed(t, r, "HI_C", float64(hi), 3)
		if r["NWS_chart_F_rounded"] != "" {
			cells++
			printed(t, r, "NWS_chart_F_rounded", float64(hi.Fahrenheit()), 0)
		}
	}
	if cells != 32 {
		t.Errorf("%d cells of the chart, want 32", cells)
	}
	for f, want := range map[unit.Fahrenheit]safety.HeatBand{79: safety.BelowCaution, 80: safety.Caution, 90: safety.ExtremeCaution, 103: safety.Danger, 124.9: safety.Danger, 125: safety.ExtremeDanger} {
		if got := safety.HeatBandOf(f.Celsius()); got != want {
			t.Errorf("%v °F is %v, want %v", f, got, want)
		}
	}
}

// [Liljegren2008]: output of its authors' program, version 1.1, for 13 weathers.
// The table gives the sun's height as a cosine to four digits; its distance in
// the middle of July is 1.0164 au.
func TestLiljegrenTable(t *testing.T) {
	const tolerance = 0.02 // °C; their program stops when two rounds agree to that
	worst := 0.
	for _, r := range table(t, "liljegren2008.csv") {
		got, err := safety.Liljegren2008(safety.Outdoors{
			Air: unit.Celsius(figure(t, r, "Ta_c")), Humidity: figure(t, r, "RH_pct"), Wind: unit.Speed(figure(t, r, "v2m_ms")),
			Sun: unit.Irradiance(figure(t, r, "solar_wm2")), Pressure: unit.Pressure(figure(t, r, "pres_hpa")) * unit.Hectopascal,
			Altitude: unit.Angle(math.Asin(figure(t, r, "cos_zenith"))), Distance: 1.0164,
		})
		if err != nil {
			t.Fatal(err)
		}
		for _, x := range []struct {
			column string
			got    unit.Celsius
		}{{"Tg_c", got.Globe}, {"Tnwb_c", got.NaturalWet}, {"Tpsy_c", got.Psychrometric}, {"WBGT_c", got.Value}} {
			off := math.Abs(float64(x.got) - figure(t, r, x.column))
			worst = max(worst, off)
			if !(off <= tolerance) {
				t.Errorf("%v\n%s is %.3f", r, x.column, float64(x.got))
			}
		}
	}
	t.Logf("worst %.4f °C", worst)
}

// Laws: more sun, more damp and less wind are hotter; at night in saturated
// still air wick, globe and air hardly differ.
func TestLiljegrenLaws(t *testing.T) {
	base := safety.Outdoors{Air: 30, Humidity: 50, Wind: 2 * unit.MetrePerSecond, Sun: 700 * unit.WattPerSquareMetre, Altitude: 60 * unit.Degree}
	at := func(change func(*safety.Outdoors)) float64 {
		o := base
		change(&o)
		w, err := safety.Liljegren2008(o)
		if err != nil {
			t.Fatal(err)
		}
		return float64(w.Value)
	}
	mid := at(func(*safety.Outdoors) {})
	for what, change := range map[string]func(*safety.Outdoors){
		"sun": func(o *safety.Outdoors) { o.Sun = 900 }, "damp": func(o *safety.Outdoors) { o.Humidity = 60 },
		"still air": func(o *safety.Outdoors) { o.Wind = 1 }, "warmth": func(o *safety.Outdoors) { o.Air = 31 },
	} {
		if got := at(change); got <= mid {
			t.Errorf("more %s: %v °C after %v", what, got, mid)
		}
	}
	night := at(func(o *safety.Outdoors) {
		o.Sun, o.Altitude, o.Humidity = 0, -30*unit.Degree, 100
	})
	if night > 30.1 || night < 29 {
		t.Errorf("damp night of 30 °C: %v °C", night)
	}
}

// Every weather people work in has a temperature, up to vapour that weighs down
// like the dampest air ever measured (dew point 35 °C).
func TestLiljegrenSettles(t *testing.T) {
	for air := unit.Celsius(-20); air <= 50; air += 5 {
		for _, humidity := range []float64{1, 20, 50, 80, 100} {
			if air > 35 && humidity > 50 {
				continue
			}
			for _, wind := range []unit.Speed{0, 0.5, 3, 20} {
				for _, alt := range []unit.Angle{-10 * unit.Degree, 0, 0.5 * unit.Degree, 5 * unit.Degree, 45 * unit.Degree, 90 * unit.Degree} {
					for _, share := range []unit.Irradiance{0, 0.2, 0.6, 1} { // of the light above the air
						sun := 10 + share*1367*unit.Irradiance(max(alt.Sin(), 0))
						o := safety.Outdoors{Air: air, Humidity: humidity, Wind: wind, Altitude: alt, Sun: sun}
						w, err := safety.Liljegren2008(o)
						if err != nil || w.Value < air-25 || w.Value > air+25 {
							t.Fatalf("%+v: %+v, %v", o, w, err)
						}
					}
				}
			}
		}
	}
}

// Whatever the weather, there is a temperature or an error, never NaN; also with
// the sun in the horizon and overhead.
func FuzzLiljegren(f *testing.F) {
	f.Add(30.0, 50.0, 1013.0, 2.0, 900.0, 70.0)
	f.Add(-20.0, 1.0, 500.0, 0.0, 1500.0, 0.0)
	f.Add(60.0, 100.0, 1100.0, 60.0, 0.0, -90.0)
	f.Add(20.0, 40.0, 900.0, 0.1, 300.0, 0.4)
	f.Add(60.0, 1.0, 1013.0, 0.0, 1500.0, 90.0)
	f.Fuzz(func(t *testing.T, air, rh, p, v, sun, alt float64) {
		o := safety.Outdoors{Air: unit.Celsius(air), Humidity: rh, Pressure: unit.Pressure(p) * unit.Hectopascal, Wind: unit.Speed(v), Sun: unit.Irradiance(sun), Altitude: unit.Angle(alt) * unit.Degree}
		w, err := safety.Liljegren2008(o)
		if err == nil && !(float64(w.Value) > -60 && float64(w.Value) < 120) {
			t.Errorf("%+v: %+v", o, w)
		}
	})
}

func TestHeatRefuses(t *testing.T) {
	nan := math.NaN()
	var r *unit.RangeError
	for _, x := range [][2]float64{{nan, 50}, {30, nan}, {30, -1}, {30, 101}, {-200, 50}, {math.Inf(1), 50}} {
		air, rh := unit.Celsius(x[0]), x[1]
		if _, err := safety.WBGTEstimate(air, rh); !errors.As(err, &r) {
			t.Errorf("estimate of %v: %v", x, err)
		}
		if _, err := safety.Stull2011(air, rh); !errors.As(err, &r) {
			t.Errorf("wet bulb of %v: %v", x, err)
		}
		if _, err := safety.HeatIndex(air, rh); !errors.As(err, &r) {
			t.Errorf("heat index of %v: %v", x, err)
		}
		if _, err := safety.ApparentTemperature(air, rh, 1); !errors.As(err, &r) {
			t.Errorf("apparent temperature of %v: %v", x, err)
		}
		if _, err := safety.Liljegren2008(safety.Outdoors{Air: air, Humidity: rh}); !errors.As(err, &r) {
			t.Errorf("globe of %v: %v", x, err)
		}
	}
}

// The classes of the method at the edges of its table, and the power law.
func TestWindAtTwo(t *testing.T) {
	for _, r := range []struct {
		up   bool
		v    unit.Speed
		sun  unit.Irradiance
		want safety.Stability
	}{
		{true, 1, 1000, 0}, {true, 2, 1000, 0}, {true, 2, 900, 1}, {true, 3, 100, 3}, {true, 6, 1000, 2}, {true, 1, 100, 3}, {true, 5.5, 700, 2},
		{false, 1, 0, 5}, {false, 2.2, 0, 4}, {false, 5, 0, 3},
	} {
		if got := safety.StabilityOf(r.up, r.v, r.sun); got != r.want {
			t.Errorf("%+v: class %c", r, 'A'+got)
		}
	}
	if got := safety.WindAtTwo(10, 10*unit.Metre, 3, false); math.Abs(float64(got)-10*math.Pow(0.2, 0.15)) > 1e-12 {
		t.Errorf("class D in the country: %v m/s", got)
	}
	if got := safety.WindAtTwo(0, 10*unit.Metre, 5, true); got != 0.13 {
		t.Errorf("calm: %v m/s", got)
	}
}

func BenchmarkLiljegren(b *testing.B) {
	o := safety.Outdoors{Air: 33, Humidity: 65, Wind: 1.5, Sun: 800, Altitude: 68 * unit.Degree}
	for b.Loop() {
		if _, err := safety.Liljegren2008(o); err != nil {
			b.Fatal(err)
		}
	}
}

// Air and dew point of a psychrometric table at 1013 hPa, from memory: 25 °C with
// 13.9 °C is 50 %, 30 °C with 18.4 °C is 50 %, 20 °C with 9.3 °C is 50 %.
func TestHumidity(t *testing.T) {
	for _, x := range []struct{ air, dew unit.Celsius }{{25, 13.9}, {30, 18.4}, {20, 9.3}} {
		h, err := safety.Humidity(x.air, x.dew)
		if err != nil || math.Abs(h-50) > 0.5 { // the dew point is printed to 0.1 °C
			t.Errorf("%v with %v: %.2f %%, %v", x.air, x.dew, h, err)
		}
	}
	if h, err := safety.Humidity(12, 12); err != nil || math.Abs(h-100) > 1e-9 {
		t.Errorf("saturated: %v, %v", h, err)
	}
	for _, x := range [][2]unit.Celsius{{20, 21}, {unit.Celsius(math.NaN()), 3}, {70, 10}} {
		if _, err := safety.Humidity(x[0], x[1]); err == nil {
			t.Errorf("%v: no error", x)
		}
	}
}

// Law: where minors are, the advice is never milder, whatever the air.
func TestMinorsNeverMilder(t *testing.T) {
	for air := unit.Celsius(10); air <= 45; air++ {
		for _, rh := range []float64{10, 40, 70, 95} {
			for _, r := range []safety.Region{safety.UnknownRegion, safety.Cool, safety.Middle, safety.Hot} {
				w := safety.Weather{Air: &air, Humidity: &rh}
				a, errA := safety.Heat(w, r)
				b, errB := safety.HeatForMinors(w, r)
				if errA != nil || errB != nil || b.Level < a.Level || b.WBGT != a.WBGT {
					t.Fatalf("%v %v %%: %v for adults, %v for minors (%v, %v)", air, rh, a.Level, b.Level, errA, errB)
				}
				if want := safety.Stop; b.WBGT >= 29.05 && b.Level != want { // 29 °C, the table for children
					t.Errorf("%v %v %%: %v at %v", air, rh, b.Level, b.WBGT)
				}
			}
		}
	}
	if h, err := safety.HeatForMinors(safety.Weather{}, safety.Hot); err != nil || h.Level != safety.Unknown {
		t.Errorf("no weather: %v, %v", h.Level, err)
	}
}
