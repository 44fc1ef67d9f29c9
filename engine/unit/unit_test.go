package unit_test

import (
	"math"
	"testing"

	"hardnoon/engine/unit"
)

// [ISO2720] values of the EV table in e-com-net's copy of the encyclopedia
// article "Exposure value": rows −4 to 18.
func TestEVTable(t *testing.T) {
	rows := []struct {
		ev   unit.EV
		nit  unit.Nit
		lux  unit.Lux
		name string
	}{
		{-4, 0.0078125, 0.15625, "night"},
		{0, 0.125, 2.5, "zero"},
		{12, 512, 10240, "open shade"},
		{15, 4096, 81920, "full sun"},
		{18, 32768, 655360, "beyond"},
	}
	for _, r := range rows {
		if got := r.ev.Nit(); got != r.nit {
			t.Errorf("%s: EV %v is %v cd/m², want %v", r.name, r.ev, got, r.nit)
		}
		if got := r.ev.Lux(); got != r.lux {
			t.Errorf("%s: EV %v is %v lx, want %v", r.name, r.ev, got, r.lux)
		}
		if got := unit.EVFromLux(r.lux); got != r.ev {
			t.Errorf("%s: %v lx is EV %v, want %v", r.name, r.lux, got, r.ev)
		}
		if got := unit.EVFromNit(r.nit); got != r.ev {
			t.Errorf("%s: %v cd/m² is EV %v, want %v", r.name, r.nit, got, r.ev)
		}
	}
}

func TestAngleRanges(t *testing.T) {
	for _, deg := range []float64{-1e-20, -720.5, -360, -180, -0.1, 0, 180, 359.9, 360, 1e6} {
		a := unit.Angle(deg) * unit.Degree
		p, s := a.Positive(), a.Signed()
		if p < 0 || p >= unit.Turn {
			t.Errorf("Positive(%v°) = %v°", deg, p.Degrees())
		}
		if s <= -unit.Turn/2 || s > unit.Turn/2 {
			t.Errorf("Signed(%v°) = %v°", deg, s.Degrees())
		}
		if d := math.Abs(math.Sin(float64(s)) - math.Sin(float64(a))); d > 1e-9 {
			t.Errorf("Signed(%v°) is another angle", deg)
		}
	}
}

func TestStopsAreInverse(t *testing.T) {
	for _, s := range []unit.Stops{-9, -1.0 / 3, 0, 0.5, 6} {
		if got := unit.StopsOf(s.Ratio()); math.Abs(float64(got-s)) > 1e-12 {
			t.Errorf("StopsOf(Ratio(%v)) = %v", s, got)
		}
	}
	if unit.Kelvin(5000).Mired() != 200 || unit.Mired(200).Kelvin() != 5000 {
		t.Error("5000 K is 200 mired")
	}
}

// A person reads digits: no exponent, a true minus, long times in hours.
func TestRangeErrorInDigits(t *testing.T) {
	for _, x := range []struct {
		err  error
		want string
	}{
		{unit.Within("latitude", -91, -90, 90, "°"), "latitude is −91°; it lies between −90° and 90°"},
		{unit.Within("people", 1e6, 1, 2000, ""), "people is 1000000; it lies between 1 and 2000"},
		{unit.Within("stretch", 3.6e6, 600, 86400, "s"), "stretch is 1000 h; it lies between 10 min and 24 h"},
		{unit.Within("f-number", math.Inf(1), 0.5, 128, ""), "f-number is infinite; it lies between 0.5 and 128"},
	} {
		if x.err == nil || x.err.Error() != x.want {
			t.Errorf("%v; want %s", x.err, x.want)
		}
	}
}
