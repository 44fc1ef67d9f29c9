package plan_test

import (
	"math"
	"testing"
	"time"

	"hardnoon/engine/exposure"
	"hardnoon/engine/floodlight"
	"hardnoon/engine/geom"
	"hardnoon/engine/plan"
	"hardnoon/engine/site"
	"hardnoon/engine/sky"
	"hardnoon/engine/sun"
	"hardnoon/engine/unit"
)

const deg = unit.Degree

func moment(t testing.TB, azimuth, altitude unit.Angle, kind sky.Kind) plan.Moment {
	t.Helper()
	st, err := sky.Named(sky.Conditions{SunAltitude: altitude, SunAzimuth: azimuth}, kind)
	if err != nil {
		t.Fatal(err)
	}
	m := plan.Moment{Sun: geom.Direction(azimuth, altitude), Now: st.Out, Hidden: st.Hidden}
	if m.Now == nil {
		m.Now, m.Hidden = st.Mean, nil
	}
	return m
}

func portraitStance(t testing.TB) plan.Stance {
	return plan.Stance{
		Camera: plan.Camera{Sync: 1.0 / 256, Fastest: 1.0 / 8192, Slowest: 1.0 / 32, ISOMin: 100, ISOMax: 1600},
		Away:   4 * unit.Metre, Lens: 1.5 * unit.Metre, Wide: 24 * deg, High: 16 * deg, NDs: []unit.Stops{3, 6},
		Look: plan.Look{Under: 1.5, Widest: 2.8, Narrowest: 16},
		Lights: []plan.ReachOf{
			{Role: plan.Key, Source: source(t, "battery-400", "dish-60"), Nearest: 1.5, Angle: 40 * deg},
			{Role: plan.Edge, Source: source(t, "battery-400", "focus-30"), Nearest: 2, Angle: -150 * deg},
		},
	}
}

func ground(t testing.TB, skyline site.Skyline, solids ...site.Solid) *plan.Ground {
	t.Helper()
	g, err := plan.NewGround(solids, skyline)
	if err != nil {
		t.Fatal(err)
	}
	return g
}

var here = []geom.Vec{{}}

func ways(t testing.TB, s plan.Stance, g *plan.Ground, marks []geom.Vec, m ...plan.Moment) []plan.Way {
	t.Helper()
	w, err := plan.Ways(s, g, marks, m)
	if err != nil {
		t.Fatal(err)
	}
	if len(w) != plan.Bearings*len(marks) {
		t.Fatalf("%d ways", len(w))
	}
	return w
}

func at(ws []plan.Way, bearing float64) plan.Way {
	for _, w := range ws {
		if math.Abs(w.Bearing.Degrees()-bearing) < 0.1 {
			return w
		}
	}
	panic("no such bearing")
}

// The closed form against the solver on real dials: the same background, the
// light pinned to the same distance, the best margin of any route. The solver
// lands the background within a sixth of a stop, and so may the margin.
func TestMarginAgainstSolver(t *testing.T) {
	worst, compared := 0.0, 0
	for _, kind := range []sky.Kind{sky.KindClear, sky.KindThinHighCloud, sky.KindOvercast} {
		for _, alt := range []unit.Angle{12 * deg, 35 * deg, 80 * deg} {
			for _, under := range []unit.Stops{0.5, 2} {
				for _, nds := range [][]unit.Stops{nil, {3, 6}} {
					s := portraitStance(t)
					s.Look.Under, s.NDs, s.Lights = under, nds, s.Lights[:1]
					m := moment(t, 200*deg, alt, kind)
					for _, b := range []float64{20, 110, 250} {
						w := at(ways(t, s, ground(t, nil), here, m), b)
						l := s.Lights[0]
						p := plan.Problem{Camera: s.Camera, NDs: nds, Look: s.Look,
							Lights:   []plan.Light{{Role: plan.Key, Source: l.Source, Wanted: l.Nearest, Min: l.Nearest, Max: l.Nearest}},
							Daylight: plan.Daylight{Background: w.Level, Face: w.Face, Side: w.Face}}
						best := mostOnDials(p)
						// Where daylight comes within half a stop of the wish, the need is a small
						// difference and its stops say nothing.
						if math.IsInf(best, -1) || w.Face.Sub(w.Level)-under > -0.5 {
							continue
						}
						compared++
						worst = math.Max(worst, math.Abs(best-float64(w.Margin)))
						near(t, kind.String(), float64(w.Margin), best, 0.34) // a click of the shutter: the dial lands up to half of one to either side
					}
				}
			}
		}
	}
	if compared < 20 {
		t.Errorf("only %d cases compared", compared)
	}
	t.Logf("worst of %d: %.3f stop", compared, worst)
}

// mostOnDials walks every dial position and returns the most margin with the
// background within half a click of its place.
func mostOnDials(p plan.Problem) float64 {
	best := math.Inf(-1)
	for _, nd := range append([]unit.Stops{0}, p.NDs...) {
		for _, iso := range exposure.ISOs(p.Camera.ISOMin, p.Camera.ISOMax, exposure.Thirds) {
			for _, n := range exposure.FNumbers(p.Look.Widest, p.Look.Narrowest, exposure.Thirds) {
				for c := 15; c <= 39; c++ {
					s := exposure.Settings{FNumber: n, ISO: iso, ND: nd, Shutter: exposure.Shutter(math.Exp2(-float64(c) / 3))}
					if off := s.AmbientStops(p.Daylight.Background) + p.Look.Under; math.Abs(float64(off)) > 1.0/6 {
						continue
					}
					// A light that cannot be turned down stands back; that is no shortage.
					if a, ok := plan.CandidateAt(p, s); ok && a.LimitedBy != plan.ByLowestPower {
						best = math.Max(best, float64(a.Margin))
					}
				}
			}
		}
	}
	return best
}

// Over several moments the regret is the mean of the single ones, and the margin
// the least: whatever was summed, nothing is lost between moments.
func TestWaysAddUp(t *testing.T) {
	s := portraitStance(t)
	s.Brim = 7 * unit.Centimetre
	g := ground(t, nil, site.Solid{Kind: site.Building, Name: "hall", At: geom.Vec{X: 30, Y: 4}, Label: site.Hide})
	var all []plan.Moment
	for i := range 5 {
		all = append(all, moment(t, unit.Angle(240+5*i)*deg, unit.Angle(40-6*i)*deg, sky.KindBroken))
	}
	joint := ways(t, s, g, here, all...)
	for _, w := range joint {
		mean, least, cloud := 0.0, math.Inf(1), math.Inf(1)
		for _, m := range all {
			one := at(ways(t, s, g, here, m), w.Bearing.Degrees())
			mean += one.Regret / float64(len(all))
			least, cloud = math.Min(least, float64(one.Margin)), math.Min(cloud, float64(one.Cloud))
		}
		near(t, "regret", w.Regret, mean, 1e-9)
		near(t, "margin", float64(w.Margin), least, 1e-12)
		near(t, "margin under cloud", float64(w.Cloud), cloud, 1e-12)
		sum := 0.0
		for _, x := range w.By {
			sum += x
		}
		near(t, "reasons", sum, w.Regret, 1e-12)
	}
	for i := 1; i < len(joint); i++ {
		if joint[i].Regret < joint[i-1].Regret-1e-9 {
			t.Fatal("not in order")
		}
	}
}

// The light a way reports is that of package sky on the same planes.
func TestWayLight(t *testing.T) {
	m := moment(t, 130*deg, 33*deg, sky.KindClear)
	for _, w := range ways(t, portraitStance(t), ground(t, nil), here, m) {
		toCamera := geom.Direction(w.Bearing+unit.Turn/2, 0)
		near(t, "face", float64(w.Face), float64(unit.EVFromLux(m.Now.Total(toCamera))), 1e-9)
		near(t, "background", float64(w.Level), float64(unit.EVFromLux((m.Now.Total(geom.Up)+m.Now.Total(toCamera))/2)), 1e-9)
	}
}

// The world has no north built in: turned with its sun and solids, the answer
// turns; mirrored, it is mirrored.
func TestNoNorthBuiltIn(t *testing.T) {
	s := portraitStance(t)
	s.Lights = s.Lights[:1]
	build := func(turn, side unit.Angle) []plan.Way {
		az := func(a unit.Angle) unit.Angle { return side*a + turn }
		car := site.Solid{Kind: site.Pole, Width: 2, Height: 3, At: geom.Direction(az(70*deg), 0).Scale(15), Label: site.Hide}
		return ways(t, s, ground(t, nil, car), here, moment(t, az(300*deg).Positive(), 40*deg, sky.KindClear))
	}
	plain := build(0, 1)
	for _, c := range []struct{ turn, side float64 }{{90, 1}, {180, 1}, {-35, 1}, {180, -1}, {0, -1}} {
		other := build(unit.Angle(c.turn)*deg, unit.Angle(c.side))
		for _, w := range plain {
			b := (unit.Angle(c.side)*w.Bearing + unit.Angle(c.turn)*deg).Positive().Degrees()
			if math.Abs(b-360) < 0.1 {
				b = 0
			}
			near(t, "turned", at(other, b).Regret, w.Regret, 1e-6)
		}
	}
}

// A sun at a quarter past three has the face in the shade and the edge lit when
// the camera looks towards it, well above the frame; facing it, they squint.
// Common practice, no source: the back to the sun.
func TestBackToTheSun(t *testing.T) {
	w := ways(t, portraitStance(t), ground(t, nil), here, moment(t, 255*deg, 38*deg, sky.KindClear))
	best := (w[0].Bearing - 255*deg).Signed().Abs()
	if best > 80*deg {
		t.Errorf("the best way looks %.0f° from the sun", best.Degrees())
	}
	if b := at(w, 75); b.By[plan.Squint] < 1 {
		t.Errorf("facing the sun they do not squint: %v", b.By)
	}
	// A brim of 7 cm shades eyes 4 cm below it from 30° on and a mouth 11 cm below
	// it from 58°: L tan h, the brim table of common practice.
	s := portraitStance(t)
	s.Brim = 7 * unit.Centimetre
	for _, c := range []struct {
		alt    unit.Angle
		squint bool
		line   float64
	}{{25 * deg, true, 0}, {29 * deg, true, 0}, {31 * deg, false, 2}, {57 * deg, false, 2}, {59 * deg, false, 0.8}} {
		b := at(ways(t, s, ground(t, nil), here, moment(t, 255*deg, c.alt, sky.KindClear)), 75)
		if (b.By[plan.Squint] > 0) != c.squint || math.Abs(b.By[plan.BrimLine]-c.line) > 1e-9 {
			t.Errorf("sun %.0f° high: squint %.1f, brim %.1f", c.alt.Degrees(), b.By[plan.Squint], b.By[plan.BrimLine])
		}
	}
}

// With the sun overhead no way to look is better than another by the sun.
func TestOverhead(t *testing.T) {
	w := ways(t, portraitStance(t), ground(t, nil), here, moment(t, 0, 89.9*deg, sky.KindClear))
	if d := w[len(w)-1].Regret - w[0].Regret; d > 0.05 {
		t.Errorf("the bearings differ by %.2f", d)
	}
}

// What stands behind the head follows similar triangles: the top of an object
// crosses the subject's plane at h + (H − h) d/D.
func TestBackdropCrossing(t *testing.T) {
	for _, lens := range []unit.Length{0.4, 1.0, 1.5, 1.9} {
		for _, tall := range []unit.Length{1.4, 2.2, 4, 9} {
			s := portraitStance(t)
			s.Lens = lens
			g := ground(t, nil, site.Solid{Kind: site.Wall, Width: 60, Depth: 0.3, Height: tall, At: geom.Vec{Y: 20.15}, Label: site.Hide})
			w := at(ways(t, s, g, here, moment(t, 90*deg, 40*deg, sky.KindClear)), 0)
			z, err := site.Crossing(lens, tall, s.Away, s.Away+20)
			if err != nil {
				t.Fatal(err)
			}
			foot, err := site.Crossing(lens, 0, s.Away, s.Away+20)
			if err != nil {
				t.Fatal(err)
			}
			// Share of the head below a height: crown at 1.70, 0.45 down, 0.15 of air above.
			below := func(z unit.Length) float64 { return math.Min(1, math.Max(0, (z.Metres()-1.25)/0.60)) }
			want := below(z) - below(foot)
			near(t, "behind the head", w.Backdrop.HideHead, want, 1.0/6) // a row of rays
			// Below the lens the ground is behind, not the sky.
			near(t, "sky behind the head", w.Backdrop.SkyHead, 1-math.Max(below(z), below(lens)), 1.0/6)
		}
	}
}

// What hides a thing that should not be seen hides it here too, and what stands
// before the subject blocks the view.
func TestBackdropHidden(t *testing.T) {
	car := site.Solid{Name: "cars", Kind: site.Vehicle, Width: 20, Depth: 5, Height: 3, At: geom.Vec{Y: 30}, Label: site.Hide}
	wall := site.Solid{Name: "wall", Kind: site.Wall, Width: 40, Depth: 0.3, Height: 6, At: geom.Vec{Y: 15}}
	fence := site.Solid{Name: "fence", Kind: site.Fence, Width: 40, Height: 6, At: geom.Vec{Y: 15}}
	m := moment(t, 90*deg, 40*deg, sky.KindClear)
	hide := func(solids ...site.Solid) plan.Backdrop {
		return at(ways(t, portraitStance(t), ground(t, nil, solids...), here, m), 0).Backdrop
	}
	if b := hide(car); b.HideHead == 0 || b.Hidden != 0 {
		t.Errorf("cars in the open: %+v", b)
	}
	if b := hide(car, wall); b.HideHead != 0 || b.HideFrame != 0 {
		t.Errorf("cars behind a wall: %+v", b)
	}
	if b := hide(car, fence); b.HideHead == 0 {
		t.Errorf("cars behind wire: %+v", b)
	}
	near1 := site.Solid{Kind: site.Wall, Width: 4, Depth: 0.3, Height: 3, At: geom.Vec{Y: -2}}
	if b := hide(near1); !b.Blocked {
		t.Error("a wall before the subject does not block")
	}
	around := site.Solid{Kind: site.Building, Width: 4, Depth: 4, Height: 3, At: geom.Vec{Y: -4.5}}
	if b := hide(around); !b.Blocked {
		t.Error("the camera stands in a building")
	}
	pole := site.Solid{Kind: site.FieldLight, At: geom.Vec{Y: 25}}
	if b := hide(pole); b.Grown != 0 {
		t.Errorf("a field light behind the head: %+v", b)
	}
}

// The share of the sun is that of package site, behind a grandstand as before it.
func TestSunBehindSolids(t *testing.T) {
	stand := site.Solid{Kind: site.Seating, Width: 60, Depth: 10, Height: 9, At: geom.Vec{X: -25}, Bearing: 270 * deg}
	s := portraitStance(t)
	for alt := 2; alt < 40; alt += 3 {
		m := moment(t, 270*deg, unit.Angle(alt)*deg, sky.KindClear)
		want, err := site.Sunlit(geom.Vec{Z: 0.936 * 1.70}, m.Sun, []site.Solid{stand})
		if err != nil {
			t.Fatal(err)
		}
		w := ways(t, s, ground(t, nil, stand), here, m)
		near(t, "share", w[0].Sunlit, want, 0)
		if want == 0 && at(w, 90).By[plan.Squint] != 0 {
			t.Errorf("squint in the shade at %d°", alt)
		}
	}
}

func TestWaysBadInput(t *testing.T) {
	m := moment(t, 90*deg, 40*deg, sky.KindClear)
	for name, spoil := range map[string]func(*plan.Stance){
		"distance": func(s *plan.Stance) { s.Away = unit.Length(math.NaN()) },
		"lens":     func(s *plan.Stance) { s.Lens = -1 * unit.Metre },
		"field":    func(s *plan.Stance) { s.Wide = 0 },
		"lights":   func(s *plan.Stance) { s.Lights = make([]plan.ReachOf, 41) },
		"under":    func(s *plan.Stance) { s.Look.Under = unit.Stops(math.Inf(1)) },
	} {
		s := portraitStance(t)
		spoil(&s)
		if _, err := plan.Ways(s, ground(t, nil), here, []plan.Moment{m}); err == nil {
			t.Errorf("a wrong %s has an answer", name)
		}
	}
	if _, err := plan.Ways(portraitStance(t), ground(t, nil), here, nil); err == nil {
		t.Error("no moment has an answer")
	}
	if _, err := plan.NewGround([]site.Solid{{Width: -3}}, nil); err == nil {
		t.Error("a wall of −3 m stands")
	}
}

// A full day, every five minutes, in four slots, 72 bearings, six setups, sun
// and cloud, a dozen solids around.
func BenchmarkDayOfWays(b *testing.B) {
	var solids []site.Solid
	for i := range 12 {
		solids = append(solids, site.Solid{Kind: site.Kind(i % 8), At: geom.Direction(unit.Angle(30*i)*deg, 0).Scale(15 + float64(5*i)), Label: site.Label(i % 3)})
	}
	g := ground(b, nil, solids...)
	o := sun.Observer{Lat: -33 * deg, Lon: -71 * deg}
	start := time.Date(2027, 1, 16, 3, 0, 0, 0, time.UTC)
	b.ReportAllocs()
	for b.Loop() {
		track, err := sun.NewTrack(o)
		if err != nil {
			b.Fatal(err)
		}
		for slot := range 4 {
			var m []plan.Moment
			for i := range 72 {
				p, err := track.At(start.Add(time.Duration(slot*72+i) * 5 * time.Minute))
				if err != nil {
					b.Fatal(err)
				}
				m = append(m, moment(b, p.Azimuth, p.AltitudeApparent, sky.KindBroken))
			}
			for i := range 6 {
				s := portraitStance(b)
				s.Look.Under, s.Brim = unit.Stops(i)/2, 7*unit.Centimetre
				ways(b, s, g, here, m...)
			}
		}
	}
}

// A bank 17 m up and 30 m north stands in the frame of a lens 4 m south of the mark
// that looks up, and flares the less the further off it is. Behind the lens, behind
// a wall, turned away and at noon it does not count.
func TestLampInTheLens(t *testing.T) {
	s := portraitStance(t)
	s.Lens = 0.3 * unit.Metre
	s.High = 40 * deg // a whole figure: the frame ends at 2.35 m
	bank := floodlight.Bank{At: geom.Vec{Y: 30, Z: 17}, Intensity: 3e5}
	by := func(m plan.Moment, bearing unit.Angle, bank floodlight.Bank, solids ...site.Solid) float64 {
		all := floodlight.Lights{bank}
		m.Now = m.Now.Under(all, all.Beams(geom.Vec{Z: 1.5}), sky.Doubt{})
		for _, w := range ways(t, s, ground(t, nil, solids...), here, m) {
			if (w.Bearing - bearing).Signed().Abs() < 1*deg {
				return w.By[plan.LampInFrame]
			}
		}
		t.Fatal("no such way")
		return 0
	}
	night := moment(t, 0, -30*deg, sky.KindClear)
	night.Hidden = nil
	// Above the axis: the bank atan(16.7/34) = 26.2°, the edge of the frame
	// atan((0.53·1.7 + 4 tan 20° − 0.3)/4) = 27.1°.
	if got := by(night, 0, bank); math.Abs(got-0.8) > 1e-3 {
		t.Errorf("towards the bank: %.3f", got)
	}
	// Turned by 25° about the mark the lens has it 31.19 m ahead, 12.68 m aside and
	// 16.7 m up: 10.1° beside the frame and 1.1° above it, of the 20° that still flare.
	if got, want := by(night, 25*deg, bank), 0.8*(1-math.Hypot(10.12, 1.07)/20); math.Abs(got-want) > 0.005 {
		t.Errorf("25° aside: %.3f, want %.3f", got, want)
	}
	away := bank
	away.Aim = geom.Vec{Y: 60}
	for what, got := range map[string]float64{
		"behind the lens": by(night, 180*deg, bank),
		"behind a wall":   by(night, 0, bank, site.Solid{Kind: site.Wall, At: geom.Vec{Y: 12}, Width: 40, Height: 12}),
		"turned away":     by(night, 0, away),
		"at noon":         by(moment(t, 180*deg, 50*deg, sky.KindClear), 0, bank),
	} {
		if got > 0.01 {
			t.Errorf("%s: %.3f", what, got)
		}
	}
}
