package safety_test

import (
	"errors"
	"math"
	"testing"

	"hardnoon/engine/safety"
	"hardnoon/engine/unit"
)

// The chart of the U.S. National Weather Service of 2001: °F down, miles an hour
// across, printed in whole degrees.
func TestWindChillChart(t *testing.T) {
	mph := []float64{5, 10, 15, 20, 25, 30, 35, 40, 45, 50, 55, 60}
	for air, row := range map[unit.Fahrenheit][]float64{
		40: {36, 34, 32, 30, 29, 28, 28, 27, 26, 26, 25, 25},
		30: {25, 21, 19, 17, 16, 15, 14, 13, 12, 12, 11, 10},
		20: {13, 9, 6, 4, 3, 1, 0, -1, -2, -3, -3, -4},
		10: {1, -4, -7, -9, -11, -12, -14, -15, -16, -17, -18, -19},
		0:  {-11, -16, -19, -22, -24, -26, -27, -29, -30, -31, -32, -33},
	} {
		for i, want := range row {
			got, err := safety.WindChill2001(air.Celsius(), unit.Speed(mph[i]*1609.344/3600))
			if err != nil {
				t.Fatal(err)
			}
			// Half a degree of printing; the metric coefficients are rounded too.
			if f := float64(got.Fahrenheit()); math.Abs(f-want) > 0.55 {
				t.Errorf("%v °F, %v mph: %.2f °F, printed %v", float64(air), mph[i], f, want)
			}
		}
	}
}

func TestColdLevels(t *testing.T) {
	at := func(air unit.Celsius, wind float64) safety.ColdStress {
		t.Helper()
		w := safety.Weather{Air: &air}
		if wind >= 0 {
			v := unit.Speed(wind)
			w.Wind.Mean = &v
		}
		c, err := safety.Cold(w)
		if err != nil {
			t.Fatal(err)
		}
		return c
	}
	for _, x := range []struct {
		air  unit.Celsius
		wind float64
		want safety.Level
	}{{24, 5, safety.Quiet}, {3, 2, safety.Quiet}, {-12, 6, safety.Care}, {-20, 8, safety.Stop}, {-5, -1, safety.Unknown}, {5, -1, safety.Quiet}, {-30, -1, safety.Stop}} {
		if got := at(x.air, x.wind); got.Level != x.want {
			t.Errorf("%v °C, %v m/s: %v at %.1f °C, want %v", x.air, x.wind, got.Level, float64(got.WindChill), x.want)
		}
	}
	if c, err := safety.Cold(safety.Weather{}); err != nil || c.Level != safety.Unknown {
		t.Errorf("nothing known: %v, %v", c.Level, err)
	}
	var out *unit.RangeError
	for _, air := range []unit.Celsius{unit.Celsius(math.NaN()), -70, 11} {
		if _, err := safety.WindChill2001(air, 3); !errors.As(err, &out) {
			t.Errorf("%v °C: %v", air, err)
		}
	}
	if _, err := safety.WindChill2001(0, unit.Speed(math.Inf(1))); !errors.As(err, &out) {
		t.Errorf("endless wind: %v", err)
	}
}
