package sky

import (
	"math"
	"testing"

	"hardnoon/engine/floodlight"
	"hardnoon/engine/geom"
	"hardnoon/engine/unit"
)

// Beams from every point of the upper half of a sphere are a uniform sky: upright,
// lying and on a dome they give what its closed forms say, E = πL lying, the
// ground ρ of it back. Source: Lambert's law.
func TestBeamsAllAroundAreASky(t *testing.T) {
	albedo := 0.3
	c := Conditions{SunAltitude: -30 * unit.Degree, Albedo: &albedo}
	bare, err := GeneralSky(Conditions{SunAltitude: 45 * unit.Degree, Albedo: &albedo}, 5)
	if err != nil {
		t.Fatal(err)
	}
	bare.DirectNormal, bare.Diffuse = 0, 0
	bare = bare.finish()
	var beams []floodlight.Beam
	for _, k := range domeNodes() {
		for _, x := range []float64{1, -1} {
			beams = append(beams, floodlight.Beam{Towards: geom.Vec{X: x * k.dir.X, Y: k.dir.Y, Z: k.dir.Z}, Facing: unit.Lux(100 * k.omega)})
		}
	}
	s := bare.Under(nil, beams, Doubt{Stops: 1})
	for _, x := range []struct {
		what string
		n    geom.Vec
		want float64
	}{
		{"lying", geom.Up, math.Pi * 100},
		{"upright", geom.Direction(70*unit.Degree, 0), math.Pi * 100 * (1 + albedo) / 2},
		{"face down", geom.Up.Neg(), math.Pi * 100 * albedo},
	} {
		if got := float64(s.LampLight(x.n)); math.Abs(got/x.want-1) > 0.005 {
			t.Errorf("%s: %.2f lx, want %.2f", x.what, got, x.want)
		}
	}
	// A level dome sees half of each half: ∫ (1 + cos θ)/2 dω = π of each.
	if got, want := float64(s.DomeIlluminance(geom.North)), math.Pi*100*(1+albedo); math.Abs(got/want-1) > 0.005 {
		t.Errorf("on a level dome: %.2f lx, want %.2f", got, want)
	}
	if s.LampShare() != 1 || s.Uncertainty() != 1 || math.Abs(float64(s.Temperature()-floodlight.Temperature)) > 20 {
		t.Errorf("share %v, ± %v, %v K", s.LampShare(), s.Uncertainty(), s.Temperature())
	}
	if _, err := Lamps(c, Reading{EV: 6}); err != nil {
		t.Error(err)
	}
}

// By day lamps take part by their share of the light, and a reading moves both.
func TestLampsBesideDaylight(t *testing.T) {
	day, err := ClearSky(Conditions{SunAltitude: 20 * unit.Degree})
	if err != nil {
		t.Fatal(err)
	}
	level := float64(day.Diffuse) + float64(day.DirectNormal)*day.Sun.Z
	s := day.Under(nil, []floodlight.Beam{{Towards: geom.Up, Facing: unit.Lux(level)}}, Doubt{Stops: 1})
	if math.Abs(s.LampShare()-0.5) > 1e-9 || math.Abs(float64(s.Total(geom.Up)/day.Total(geom.Up))-2) > 1e-9 {
		t.Errorf("lamps as strong as the day: share %v", s.LampShare())
	}
	r := Reading{EV: 9, Toward: geom.East}
	m, _, err := s.Scaled(r)
	if err != nil {
		t.Fatal(err)
	}
	if got := m.IncidentEV(geom.East); math.Abs(float64(got)-9) > 1e-9 || math.Abs(m.LampShare()-0.5) > 1e-9 {
		t.Errorf("the meter would show %v; share %v", got, m.LampShare())
	}
	if day.LampShare() != 0 || day.LampLightBehind(1) != 0 {
		t.Error("the sky without lamps has some")
	}
}
