package safety_test

import (
	"errors"
	"math"
	"testing"

	"hardnoon/engine/safety"
	"hardnoon/engine/unit"
)

// 35 rows worked out by another hand: seven modifiers in five winds.
func TestStandTable(t *testing.T) {
	for _, r := range table(t, "stand_wind.csv") {
		s := safety.Stand{
			Area: area(figure(t, r, "area_m2")), Drag: figure(t, r, "Cd"), Height: unit.Length(figure(t, r, "height_m")),
			Radius: unit.Length(figure(t, r, "leg_tip_radius_m")), Mass: unit.Mass(figure(t, r, "mass_kg")),
		}
		if err := s.Check(); err != nil {
			t.Fatal(err)
		}
		v := unit.Speed(figure(t, r, "v_ms"))
		load := s.Load(v)
		printed(t, r, "effective_radius_m", s.TippingArm().Metres(), 3)
		printed(t, r, "q_Pa", load.Pressure.Pascals(), 3)
		printed(t, r, "drag_N", load.Drag.Newtons(), 2)
		printed(t, r, "overturning_Nm", load.Overturning.NewtonMetres(), 2)
		printed(t, r, "ballast_at_mast_SF1.0_kg", s.BallastAtMast(v, 1).Kilograms(), 2)
		printed(t, r, "ballast_at_mast_SF1.5_kg", s.BallastAtMast(v, 1.5).Kilograms(), 2)
		printed(t, r, "ballast_on_windward_foot_SF1.5_kg", s.BallastOnFoot(v, 1.5).Kilograms(), 2)
		printed(t, r, "tip_speed_no_ballast_ms", s.TipSpeed(0).MetresPerSecond(), 2)
		printed(t, r, "tip_speed_10kg_at_mast_ms", s.TipSpeed(10*unit.Kilogram).MetresPerSecond(), 2)
	}
	for _, r := range table(t, "effective_radius.csv") {
		s := safety.Stand{Radius: 1 * unit.Metre, Legs: int(figure(t, r, "legs"))}
		printed(t, r, "ratio_r_eff_over_R", s.TippingArm().Metres(), 4)
	}
}

// area undoes the table's rounding: its discs have a diameter in centimetres.
func area(printed float64) unit.Area {
	d := math.Round(math.Sqrt(printed*4/math.Pi)*100) / 100
	if disc := math.Pi / 4 * d * d; math.Abs(disc-printed) < 5e-5 {
		return unit.Area(disc)
	}
	return unit.Area(printed)
}

// Law: with the ballast asked for, the tip-over wind is √factor times the wind;
// on the foot the moments about the tipping line balance as well.
func TestBallastHolds(t *testing.T) {
	for _, legs := range []int{0, 3, 4, 5, 6} {
		s := safety.Stand{Area: 1.1 * unit.SquareMetre, Drag: safety.DragPlate, Height: 2.2 * unit.Metre, Radius: 0.5 * unit.Metre, Legs: legs, Mass: 7 * unit.Kilogram}
		const v = 9 * unit.MetrePerSecond
		got := s.TipSpeed(s.BallastAtMast(v, safety.SafetyFactor))
		if want := v * unit.Speed(math.Sqrt(safety.SafetyFactor)); math.Abs(float64(got/want)-1) > 1e-12 {
			t.Errorf("%d legs: tips at %v m/s, want %v", legs, got, want)
		}
		// The feet on a circle, the tipping line between the first two.
		n := max(legs, 3)
		if legs == 0 {
			n = 3
		}
		r := s.TippingArm()
		var far unit.Length
		for k := range n {
			phi := 2*math.Pi*float64(k)/float64(n) - math.Pi/float64(n)
			far = max(far, r-s.Radius*unit.Length(math.Cos(phi)))
		}
		hold := 9.80665 * (float64(s.Mass)*float64(r) + float64(s.BallastOnFoot(v, 1.5))*float64(far))
		if m := 1.5 * float64(s.Load(v).Overturning); math.Abs(hold/m-1) > 1e-12 {
			t.Errorf("%d legs: holds %v N·m of %v", legs, hold, m)
		}
	}
}

// Law: where tipping and sliding start together, μ = r/h.
func TestSlideBeforeTip(t *testing.T) {
	s := safety.Stand{Area: 0.54 * unit.SquareMetre, Drag: 1.17, Height: 2 * unit.Metre, Radius: 0.5 * unit.Metre, Mass: 6 * unit.Kilogram}
	mu := float64(s.TippingArm() / s.Height)
	if a, b := s.SlideSpeed(mu, 4*unit.Kilogram), s.TipSpeed(4*unit.Kilogram); math.Abs(float64(a/b)-1) > 1e-12 {
		t.Errorf("slides at %v, tips at %v", a, b)
	}
	if got := s.KeepOut().Metres(); math.Abs(got-(0.5+math.Hypot(0.5, 2))) > 1e-12 {
		t.Errorf("falls to %v m", got)
	}
}

func TestStandInWind(t *testing.T) {
	s := safety.Stand{Area: 1.131 * unit.SquareMetre, Drag: 1.17, Height: 2 * unit.Metre, Reach: 0.6 * unit.Metre, Radius: 0.5 * unit.Metre, Mass: 7 * unit.Kilogram}
	ms := func(v unit.Speed) *unit.Speed { return &v }
	for _, r := range []struct {
		w       safety.WindReport
		ballast unit.Mass
		gust    unit.Speed
		level   safety.Level
	}{
		{safety.WindReport{}, 0, 0, safety.Unknown}, // never fine
		{safety.WindReport{Mean: ms(1)}, 0, 1.2, safety.Quiet},
		{safety.WindReport{Mean: ms(1.8)}, 0, 2.16, safety.Care},                    // tips at 3.25 m/s
		{safety.WindReport{Mean: ms(1.8), Gust: ms(4)}, 0, 4, safety.Stop},          // the report's gust is more
		{safety.WindReport{Mean: ms(5), Gust: ms(4)}, 0, 6, safety.Stop},            // 1.2 × the mean is more
		{safety.WindReport{Gust: ms(4)}, 40 * unit.Kilogram, 4, safety.Quiet},       // tips at 8.4 m/s
		{safety.WindReport{Gust: ms(10.6)}, 500 * unit.Kilogram, 10.6, safety.Stop}, // whatever the ballast
	} {
		got, err := s.InWind(r.w, r.ballast)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(float64(got.Gust.Speed-r.gust)) > 1e-12 || got.Level != r.level || got.Decides != safety.Deferral || len(got.Sources) == 0 || len(got.Own) == 0 {
			t.Errorf("%+v: %v m/s, %v, want %v, %v", r.w, got.Gust.Speed, got.Level, r.gust, r.level)
		}
		if (got.Level == safety.Unknown) != (len(got.Missing) > 0) {
			t.Errorf("%v with %v missing", got.Level, got.Missing)
		}
	}
}

func TestStandRefuses(t *testing.T) {
	good := safety.Stand{Area: 0.5 * unit.SquareMetre, Height: 2 * unit.Metre, Radius: 0.5 * unit.Metre, Mass: 6 * unit.Kilogram}
	nan := math.NaN()
	for what, change := range map[string]func(*safety.Stand){
		"area": func(s *safety.Stand) { s.Area = unit.Area(nan) }, "drag": func(s *safety.Stand) { s.Drag = -1 },
		"height": func(s *safety.Stand) { s.Height = 0 }, "radius": func(s *safety.Stand) { s.Radius = unit.Length(math.Inf(1)) },
		"legs": func(s *safety.Stand) { s.Legs = 2 }, "mass": func(s *safety.Stand) { s.Mass = -5 }, "reach": func(s *safety.Stand) { s.Reach = -1 },
	} {
		s := good
		change(&s)
		var r *unit.RangeError
		if _, err := s.InWind(safety.WindReport{}, 0); !errors.As(err, &r) {
			t.Errorf("%s: %v", what, err)
		}
	}
	bad := unit.Speed(nan)
	if _, err := good.InWind(safety.WindReport{Mean: &bad}, 0); err == nil {
		t.Error("a wind that is no number is accepted")
	}
	if _, err := good.InWind(safety.WindReport{}, unit.Mass(nan)); err == nil {
		t.Error("ballast that is no number is accepted")
	}
}

// Law: what is asked for against sliding is just enough.
func TestBallastAgainstSliding(t *testing.T) {
	s := safety.Stand{Area: 0.54, Height: 0.8, Radius: 0.6, Mass: 5}
	b := s.BallastAgainstSliding(9, safety.WetGrip)
	if v := s.SlideSpeed(safety.WetGrip, b); b <= 0 || math.Abs(float64(v-9)) > 1e-9 {
		t.Errorf("%v kg hold %v m/s", b, v)
	}
	if b := s.BallastAgainstSliding(1, safety.WetGrip); b != 0 {
		t.Errorf("%v kg in a breeze", b)
	}
}
