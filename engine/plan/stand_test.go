package plan_test

import (
	"errors"
	"math"
	"testing"

	"hardnoon/engine/geom"
	"hardnoon/engine/plan"
	"hardnoon/engine/sky"
	"hardnoon/engine/unit"
)

func kit() []plan.Upright {
	return []plan.Upright{
		{Role: plan.Key, Distance: 1.6, Radius: 0.30, Highest: 3.2},
		{Role: plan.Edge, Distance: 2.5, Radius: 0.15, Highest: 2.4},
	}
}

func arrange(t testing.TB, s plan.Stance, bearing unit.Angle, l []plan.Upright, sun geom.Vec, share float64) plan.Arrangement {
	t.Helper()
	a, err := s.Arrange(bearing, l, sun, share)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

var noSun = geom.Vec{Z: -1}

// inFrame projects the modifier's edge through the lens: the check is a picture,
// not the solver's own formula.
func inFrame(s plan.Stance, bearing unit.Angle, p plan.Placed, radius float64) bool {
	camera := geom.Direction(bearing, 0).Scale(-s.Away.Metres())
	ahead := geom.Direction(bearing, 0)
	right := ahead.Cross(geom.Up)
	for k := range 360 {
		edge := p.Foot.Add(geom.Direction(unit.Angle(k)*deg, 0).Scale(radius))
		d := edge.Sub(camera)
		if z := d.Dot(ahead); z > 0 && math.Abs(math.Atan2(d.Dot(right), z)) < float64(s.Wide/2) {
			return true
		}
	}
	return false
}

// Wherever the sun, whatever the lens: nothing in the frame, nothing shades
// another, the key before the subject, the edge behind it and across.
func TestArrangeIsClear(t *testing.T) {
	s := portraitStance(t)
	for _, wide := range []unit.Angle{15, 24, 40, 74} {
		s.Wide = wide * deg
		for sunAt := unit.Angle(0); sunAt < 360; sunAt += 15 {
			for _, away := range []unit.Length{1.9, 3, 7} {
				s.Away = away
				kit := kit()
				a, err := s.Arrange(70*deg, kit, geom.Direction(sunAt*deg, 35*deg), 1)
				for no := (*plan.NoPlaceError)(nil); errors.As(err, &no); { // the least change, light by light
					i := int(no.Role)
					if no.Further <= kit[i].Distance {
						t.Fatalf("field %v°, %v m: %v, further off than %v m: %v", wide, away, no.Role, kit[i].Distance, no.Further)
					}
					kit[i].Distance = no.Further
					a, err = s.Arrange(70*deg, kit, geom.Direction(sunAt*deg, 35*deg), 1)
				}
				if err != nil {
					t.Fatal(err)
				}
				for i, p := range a.Lights {
					if inFrame(s, 70*deg, p, kit[i].Radius.Metres()) {
						t.Errorf("field %v°, %v m, sun %v°: the %v stands in the frame at %.0f°", wide, away, sunAt, p.Role, p.Angle.Degrees())
					}
					near(t, "distance", math.Hypot(p.Foot.Norm(), p.Height.Metres()-0.936*1.70), p.Distance.Metres(), 1e-9)
					if p.Height > kit[i].Highest {
						t.Errorf("%v at %v m", p.Role, p.Height)
					}
				}
				key, edge := a.Lights[0], a.Lights[1]
				if key.Angle.Abs() < 29.9*deg || key.Angle.Abs() > 85.1*deg || edge.Angle.Abs() < 95*deg {
					t.Errorf("key at %.0f°, edge at %.0f°", key.Angle.Degrees(), edge.Angle.Degrees())
				}
				if key.Angle*edge.Angle > 0 {
					t.Errorf("key and edge on one side: %.0f° and %.0f°", key.Angle.Degrees(), edge.Angle.Degrees())
				}
				// The key lights the shadow side.
				if from := (sunAt*deg - 250*deg).Signed(); from.Abs() > 1*deg && from.Abs() < 179*deg && from*key.Angle > 0 {
					t.Errorf("sun at %.0f° and key at %.0f° on one side", from.Degrees(), key.Angle.Degrees())
				}
			}
		}
	}
}

// The sun does the edge where it stands behind, not too high, and reaches the
// subject; in the shade it does not.
func TestSunDoesTheEdge(t *testing.T) {
	s := portraitStance(t)
	for _, c := range []struct {
		alt   unit.Angle
		share float64
		want  bool
	}{{30, 1, true}, {30, 0, false}, {80, 1, false}} {
		a := arrange(t, s, 0, kit(), geom.Direction(30*deg, c.alt*deg), c.share)
		if a.Lights[1].BySun != c.want {
			t.Errorf("sun %v° high, share %v: by the sun %v", c.alt, c.share, a.Lights[1].BySun)
		}
	}
}

// A wish is kept where it is clear, to the degree; where it is not, the least
// turn is found: no smaller one is clear.
func TestWishedAngle(t *testing.T) {
	s := portraitStance(t)
	l := kit()
	l[0].Angle = new(63 * deg)
	a := arrange(t, s, 0, l, noSun, 0)
	if !a.OK || a.Lights[0].Moved != 0 || math.Abs(a.Lights[0].Angle.Degrees()-63) > 1e-9 {
		t.Errorf("a clear wish is moved: %+v", a.Lights[0])
	}
	s.Wide, s.Away = 40*deg, 2
	l[0].Angle = new(12 * deg)
	a = arrange(t, s, 0, l, noSun, 0)
	if a.OK || a.Lights[0].Trouble != plan.InFrame || a.Lights[0].Moved <= 0 {
		t.Fatalf("a key in the frame: %+v", a.Lights[0])
	}
	moved := int(math.Round(a.Lights[0].Moved.Degrees()))
	for off := -moved + 1; off < moved; off++ {
		l[0].Angle = new(unit.Angle(12+off) * deg)
		if b := arrange(t, s, 0, l, noSun, 0); b.Lights[0].Moved == 0 {
			t.Errorf("%d° is clear and nearer than %d°", 12+off, 12+moved)
		}
	}
}

// A stand that is too short says so, and by how much.
func TestStandTooShort(t *testing.T) {
	l := kit()
	l[1].Height = new(2.9 * unit.Metre)
	p := arrange(t, portraitStance(t), 0, l, noSun, 0).Lights[1]
	if p.Trouble != plan.TooHigh || p.Height != 2.4 {
		t.Errorf("%+v", p)
	}
	near(t, "lowered", p.Lowered.Metres(), 0.5, 1e-9)
}

// A key for a face under a brim stands below the height at which the brim shades
// the eyes: tan h = 4 cm/7 cm, 29.7°.
func TestKeyUnderBrim(t *testing.T) {
	s := portraitStance(t)
	near(t, "bare", arrange(t, s, 0, kit(), noSun, 0).Lights[0].Rise.Degrees(), 30, 0.01)
	s.Brim = 7 * unit.Centimetre
	rise := arrange(t, s, 0, kit(), noSun, 0).Lights[0].Rise.Degrees()
	if rise > 29.7 || rise < 10 {
		t.Errorf("key %.1f° over the eyes under a brim", rise)
	}
}

// No stand in the line of play, wherever it goes: the sector ahead and the
// run-up behind.
func TestOutOfPlay(t *testing.T) {
	s := portraitStance(t)
	s.Away = 8
	l := kit()
	l[0].Distance, l[1].Distance = 4, 5
	for b := unit.Angle(0); b < 360; b += 10 {
		play := &plan.Play{Bearing: b * deg, RunUp: true}
		s.Play = play
		a, err := s.Arrange(0, l, noSun, 0)
		var no *plan.NoPlaceError
		if errors.As(err, &no) {
			continue
		}
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range a.Lights {
			aside := math.Abs(p.Foot.Cross(geom.Direction(play.Bearing, 0)).Z)
			if aside < 2 {
				t.Errorf("play to %v°: the %v stands %.1f m from the line", b, p.Role, aside)
			}
		}
	}
}

// The photographer does not stand where things land either: a camera that looks
// back along the throw is the last choice.
func TestCameraOutOfPlay(t *testing.T) {
	s := portraitStance(t)
	s.Away, s.Faces = 9, new(150*deg)
	m := moment(t, 90*deg, 40*deg, sky.KindClear)
	if w := at(ways(t, s, ground(t, nil), here, m), 330); w.By[plan.InLineOfPlay] != 0 {
		t.Error("in the way of no play")
	}
	s.Play = &plan.Play{Bearing: 150 * deg}
	all := ways(t, s, ground(t, nil), here, m)
	if w := at(all, 330); w.By[plan.InLineOfPlay] < 5 {
		t.Error("the camera stands before the throw")
	}
	foot := geom.Direction(all[0].Bearing+180*deg, 0).Scale(9)
	if off := math.Abs((foot.Azimuth() - 150*deg).Signed().Degrees()); off < 15 {
		t.Errorf("the best camera stands %.0f° from the throw", off)
	}
}

func TestArrangeBadInput(t *testing.T) {
	s := portraitStance(t)
	l := kit()
	l[0].Distance = unit.Length(math.NaN())
	if _, err := s.Arrange(0, l, noSun, 0); err == nil {
		t.Error("a light nowhere has a place")
	}
	l = kit()
	l[1].Radius = -1
	if _, err := s.Arrange(0, l, noSun, 0); err == nil {
		t.Error("a negative modifier has a place")
	}
}

// What the picture holds, against plane geometry by hand: a camera 1 m up, 4 m
// from the mark, a field of 40° across and 27° upright aimed so that the frame
// holds 0.05 to 1.97 m at the subject; a column 1 m aside at the subject's own
// distance is inside half the width of 4·tan 20° = 1.456 m, one 2 m aside is out.
func TestShows(t *testing.T) {
	s := portraitStance(t)
	s.Away, s.Lens, s.Wide, s.High = 4*unit.Metre, 1*unit.Metre, 40*deg, 27*deg
	for _, c := range []struct {
		name              string
		angle             unit.Angle
		run, height, ball unit.Length
		want              bool
	}{
		{"column beside the subject", 90 * deg, 1, 2.4, 0.3, true},
		{"far aside", 90 * deg, 2, 2.4, 0.3, false},
		{"a box over the edge of the frame, at its height", 90 * deg, 1.6, 1.5, 0.3, true},
		{"a box over the edge of the frame, above it", 90 * deg, 1.6, 2.8, 0.3, false},
		{"behind the camera", 0, 5, 2, 0.3, false},
		{"behind the subject", 180 * deg, 2, 2, 0.3, true},
		{"a small one hidden by the trunk", 180 * deg, 1.2, 1.1, 0.12, false},
		{"the same beside the trunk", 170 * deg, 1.2, 1.1, 0.12, true},
	} {
		if got := s.Shows(c.angle, c.run, c.height, c.ball); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
	}
}
