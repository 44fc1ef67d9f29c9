package plan

import (
	"math"
	"testing"

	"hardnoon/engine/geom"
	"hardnoon/engine/site"
	"hardnoon/engine/sky"
	"hardnoon/engine/unit"
)

// In a valley under an even sky an upright plane loses, of luminance L, what lies
// below the ridge all around, and has the light of the hills for it. The ground
// before it loses as much of its sky.
//
//	upright ∫∫ L cos²α cos φ dα dφ = 2 ∫ L cos²α dα
//	level   ∫∫ L sin α cos α dα dφ = 2π ∫ L sin α cos α dα
func TestValleyUnderEvenSky(t *testing.T) {
	s, err := sky.Lamps(sky.Conditions{SunAltitude: -20 * unit.Degree}, sky.Reading{EV: 10, Flat: true, Toward: geom.Up})
	if err != nil {
		t.Fatal(err)
	}
	for _, ridge := range []unit.Angle{10 * unit.Degree, 20 * unit.Degree, 40 * unit.Degree} {
		line, err := site.NewSkyline([]site.Corner{{Azimuth: 0, Altitude: ridge}, {Azimuth: unit.Turn / 2, Altitude: ridge}})
		if err != nil {
			t.Fatal(err)
		}
		g, err := NewGround(nil, line)
		if err != nil {
			t.Fatal(err)
		}
		_, dome, low := s.Illuminance(geom.North)
		open := float64(dome + low)
		hills := hazyHills * open / math.Pi
		const n = 2000
		step := ridge.Radians() / n
		upright, level := 0.0, 0.0
		for i := range n {
			a := unit.Angle((float64(i)+0.5)*step) * unit.Radian
			lost := (float64(s.Luminance(geom.Direction(0, a))) - hills) * step
			upright += 2 * lost * a.Cos() * a.Cos()
			level += 2 * math.Pi * lost * a.Sin() * a.Cos()
		}
		_, whole, _ := s.Illuminance(geom.Up)
		want := float64(dome) - upright + float64(low)*(1-level/float64(whole))
		at := g.Spot(geom.Vec{Z: 1.5}).Light(s)
		for _, b := range []unit.Angle{0, 77 * unit.Degree, 200 * unit.Degree} {
			if got := float64(at(geom.Direction(b, 0))); math.Abs(math.Log2(got/want)) > 0.02 { // 512 directions; ground beyond 30 m keeps its sky
				t.Errorf("ridge %.0f°, facing %.0f°: %.1f lx, %.1f by the closed form, %.1f in the open", ridge.Degrees(), b.Degrees(), got, want, open)
			}
		}
		// The level ground in it, and all that is far.
		if got, want := float64(g.Far().Light(s)(geom.Up)), float64(whole)-level; math.Abs(math.Log2(got/want)) > 0.02 {
			t.Errorf("ridge %.0f°, level: %.1f lx, %.1f by the closed form", ridge.Degrees(), got, want)
		}
	}
}

// A reading taken at the mark has in it what solids take.
func TestMeteredLightIsNotTakenTwice(t *testing.T) {
	g, err := NewGround([]site.Solid{{Kind: site.Building, At: geom.Vec{Y: -5}, Width: 40, Depth: 6, Height: 12}}, nil)
	if err != nil {
		t.Fatal(err)
	}
	g.Metered = true
	s, err := sky.ClearSky(sky.Conditions{SunAltitude: 40 * unit.Degree})
	if err != nil {
		t.Fatal(err)
	}
	_, dome, low := s.Illuminance(geom.North.Neg())
	if got := g.Spot(geom.Vec{Z: 1.5}).Light(s)(geom.North.Neg()); math.Abs(float64(got/(dome+low))-1) > 1e-12 {
		t.Errorf("%v, in the open %v", got, dome+low)
	}
}

// Where there is no light nothing is taken, and nothing is not a number.
func TestSurroundInTheDark(t *testing.T) {
	g, err := NewGround([]site.Solid{{Kind: site.Building, At: geom.Vec{Y: -5}, Width: 40, Depth: 6, Height: 12}}, nil)
	if err != nil {
		t.Fatal(err)
	}
	s, err := sky.FromIrradiance(sky.Conditions{SunAltitude: 40 * unit.Degree}, 0, 0)
	if err != nil {
		t.Fatal(err)
	}
	if got := g.Spot(geom.Vec{Z: 1.5}).Light(s)(geom.North); got != 0 {
		t.Errorf("%v", got)
	}
}
