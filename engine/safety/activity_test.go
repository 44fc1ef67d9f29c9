package safety_test

import (
	"math"
	"strings"
	"testing"

	"hardnoon/engine/safety"
	"hardnoon/engine/unit"
)

// Every row of the published tables: its middle, and its ends where the table
// leaves no doubt to which row they belong, meet the row and its source.
func TestActivityTables(t *testing.T) {
	all := table(t, "wbgt_activity.csv")
	bySource := map[string]safety.ActivityTable{}
	for _, x := range safety.ActivityTables() {
		bySource[x.Source+x.Name[:5]] = x
	}
	for _, x := range []struct {
		scheme, table string
		first         int // row of ours for the first printed one
		last          int
	}{
		{"GHSA", "GHSA2012US ca", 0, 4}, {"Grundstein 2015 category 2", "", 0, 4}, {"Grundstein 2015 category 1", "", 0, 4},
		{"ACSM", "NATA2015used ", 0, 3}, {"ACSM", "NATA2015not u", 0, 2}, {"AAP", "AAP2000child", 0, 3}, {"MSD", "MSDManuala doc", 0, 5}, {"US Army", "TBMED507heat ", 1, 5},
	} {
		got := bySource[x.table]
		switch x.scheme {
		case "Grundstein 2015 category 2":
			got = safety.ActivityTableFor(safety.Middle)
		case "Grundstein 2015 category 1":
			got = safety.ActivityTableFor(safety.Cool)
		}
		var rows []map[string]string
		for _, r := range all {
			if strings.HasPrefix(r["scheme"], x.scheme) {
				rows = append(rows, r)
			}
		}
		if len(rows) < 4 || len(got.Steps) != x.last+1 {
			t.Fatalf("%s: %d printed rows, %d steps of %q", x.scheme, len(rows), len(got.Steps), got.Name)
		}
		for i, r := range rows {
			want := got.Steps[min(i+x.first, x.last)]
			var at []float64
			if r["F_from"] == "" {
				at = append(at, figure(t, r, "F_to")-5)
			} else if r["F_to"] == "" {
				at = append(at, figure(t, r, "F_from")+5)
			} else {
				at = append(at, (figure(t, r, "F_from")+figure(t, r, "F_to"))/2)
			}
			if i > 0 && rows[i-1]["F_to"] != r["F_from"] && r["F_from"] != "" {
				at = append(at, figure(t, r, "F_from"))
			}
			if i+1 < len(rows) && rows[i+1]["F_from"] != r["F_to"] {
				at = append(at, figure(t, r, "F_to"))
			}
			for _, f := range at {
				if step := got.At(unit.Fahrenheit(f).Celsius()); step != want {
					t.Errorf("%s at %v °F: %q, want %q", got.Name, f, step.Action, want.Action)
				}
			}
			if memory := r["basis"] == "memory"; memory != (got.Basis == safety.FromMemory) {
				t.Errorf("%s is %s", got.Name, r["basis"])
			}
		}
	}
	for c, want := range map[unit.Celsius]safety.Region{30: safety.Cool, 30.1: safety.Middle, 32.2: safety.Middle, 32.3: safety.Hot, unit.Celsius(math.NaN()): safety.UnknownRegion} {
		if got := safety.RegionOf(c); got != want {
			t.Errorf("%v °C: region %d, want %d", c, got, want)
		}
	}
}

// Reference values of ISO 7243:2017, from memory.
func TestWorkReferences(t *testing.T) {
	refs := safety.WorkReferences()
	for i, r := range table(t, "iso7243.csv") {
		x := refs[i]
		printed(t, r, "metabolic_class", float64(x.Class), 0)
		printed(t, r, "M_W_approx", x.Metabolic, 0)
		printed(t, r, "WBGTref_acclimatised_C", float64(x.Acclimatised), 0)
		printed(t, r, "WBGTref_unacclimatised_C", float64(x.Others), 0)
	}
}

func TestHeat(t *testing.T) {
	c := func(x unit.Celsius) *unit.Celsius { return &x }
	rh := func(x float64) *float64 { return &x }
	wind := func(x unit.Speed) safety.WindReport { return safety.WindReport{Mean: &x} }
	sun, alt := 900*unit.WattPerSquareMetre, 70*unit.Degree
	for _, r := range []struct {
		what     string
		w        safety.Weather
		region   safety.Region
		level    safety.Level
		estimate bool
	}{
		{"nothing said", safety.Weather{}, safety.Hot, safety.Unknown, false},
		{"no humidity", safety.Weather{Air: c(35)}, safety.Hot, safety.Unknown, false},
		{"cool day, no wind known", safety.Weather{Air: c(12), Humidity: rh(50)}, safety.Cool, safety.Quiet, true},
		{"warm day, no wind known", safety.Weather{Air: c(26), Humidity: rh(45), Sun: &sun, Altitude: &alt}, safety.Cool, safety.Care, true},
		{"the same with a breeze", safety.Weather{Air: c(24), Humidity: rh(40), Sun: &sun, Altitude: &alt, Wind: wind(4)}, safety.Hot, safety.Quiet, false},
		{"hot and damp", safety.Weather{Air: c(35), Humidity: rh(60), Sun: &sun, Altitude: &alt, Wind: wind(1)}, safety.Hot, safety.Stop, false},
		{"hot and damp at night", safety.Weather{Air: c(33), Humidity: rh(80), Wind: wind(1), Sun: new(unit.Irradiance), Altitude: new(-30 * unit.Degree)}, safety.Hot, safety.Care, false},
		{"region not known", safety.Weather{Air: c(30), Humidity: rh(65), Sun: &sun, Altitude: &alt, Wind: wind(2)}, safety.UnknownRegion, safety.Stop, false},
		{"the same where people are used to it", safety.Weather{Air: c(30), Humidity: rh(65), Sun: &sun, Altitude: &alt, Wind: wind(2)}, safety.Hot, safety.Care, false},
	} {
		got, err := safety.Heat(r.w, r.region)
		if err != nil {
			t.Fatal(err)
		}
		if got.Level != r.level || got.Estimate != r.estimate || got.Decides != safety.Deferral || len(got.Sources) == 0 {
			t.Errorf("%s: %v, estimate %v, WBGT %.1f, index %.1f; want %v, %v", r.what, got.Level, got.Estimate, got.WBGT, got.HeatIndex, r.level, r.estimate)
		}
		if got.Level == safety.Unknown && len(got.Missing) == 0 {
			t.Errorf("%s: unknown, and nothing is missing", r.what)
		}
	}
	if _, err := safety.Heat(safety.Weather{Air: c(unit.Celsius(math.NaN())), Humidity: rh(50)}, safety.Hot); err == nil {
		t.Error("a temperature that is no number is accepted")
	}
	if _, err := safety.Heat(safety.Weather{Air: c(30), Humidity: rh(50), Sun: &sun, Altitude: &alt, Wind: wind(unit.Speed(math.NaN()))}, safety.Hot); err == nil {
		t.Error("a wind that is no number is accepted")
	}
}

// The margin of the estimate covers what sun and still air can add between 15
// and 45 °C.
func TestEstimateMargin(t *testing.T) {
	worst := 0.
	for air := unit.Celsius(15); air <= 45; air += 5 {
		for humidity := 10.; humidity <= 90; humidity += 20 {
			full, err := safety.Liljegren2008(safety.Outdoors{Air: air, Humidity: humidity, Wind: 0.5 * unit.MetrePerSecond, Sun: 1000, Altitude: 75 * unit.Degree})
			if err != nil {
				t.Fatal(err)
			}
			estimate, err := safety.WBGTEstimate(air, humidity)
			if err != nil {
				t.Fatal(err)
			}
			worst = max(worst, float64(full.Value-estimate))
		}
	}
	if worst > 5.5 || worst < 5 { // a margin that is larger than it has to be cries wolf
		t.Errorf("the estimate is up to %.1f °C too low", worst)
	}
}
