package sun

import (
	"math"
	"testing"
	"time"

	"hardnoon/engine/unit"
)

// trackTolerance is what Track promises against At.
const trackTolerance = 1e-6 // °

func TestTrackAgreesWithAt(t *testing.T) {
	places := []Observer{
		{Lat: -33.05 * unit.Degree, Lon: -71.62 * unit.Degree, Elevation: 25 * unit.Metre},
		{Lat: 78.2 * unit.Degree, Lon: 15.6 * unit.Degree, DeltaT: seconds(69)},
		{Lat: 0, Lon: 180 * unit.Degree, Elevation: 5000 * unit.Metre, Air: &Air{540 * unit.Hectopascal, -5}},
		{Lat: 90 * unit.Degree},
		{Lat: -90 * unit.Degree, Lon: -180 * unit.Degree},
	}
	worst := 0.0
	for _, o := range places {
		k, err := NewTrack(o)
		if err != nil {
			t.Fatal(err)
		}
		for _, year := range []int{-2000, 1200, 1899, 2026, 2150, 5999} {
			at := time.Date(year, 1, 1, 0, 0, 0, 0, time.UTC)
			for at.Year() == year {
				slow, err1 := At(at, o)
				fast, err2 := k.At(at)
				if err1 != nil || err2 != nil {
					t.Fatal(err1, err2)
				}
				d := math.Max(
					(slow.AltitudeTrue - fast.AltitudeTrue).Abs().Degrees(),
					// Near the zenith azimuth is anything: compare on the sky.
					(slow.Azimuth-fast.Azimuth).Signed().Abs().Degrees()*slow.AltitudeTrue.Cos())
				worst = math.Max(worst, d)
				if !(d <= trackTolerance) {
					t.Fatalf("%v at %v: off by %.1e°", o, at, d)
				}
				// Refraction starts in a step at −0.8333°, so a hair decides there.
				if (slow.AltitudeTrue.Degrees()+0.83337 < -1e-6 || slow.AltitudeTrue.Degrees()+0.83337 > 1e-6) &&
					(slow.AltitudeApparent-fast.AltitudeApparent).Abs().Degrees() > 2*trackTolerance {
					t.Fatalf("%v at %v: apparent %v°, want %v°", o, at, fast.AltitudeApparent.Degrees(), slow.AltitudeApparent.Degrees())
				}
				at = at.Add(31*time.Hour + 17*time.Minute + 40*time.Second)
			}
		}
	}
	t.Logf("worst %.1e°", worst)
}

// The order of the questions does not change the answers.
func TestTrackBackAndForth(t *testing.T) {
	o := Observer{Lat: -33.05 * unit.Degree, Lon: -71.62 * unit.Degree}
	k, _ := NewTrack(o)
	start := time.Date(2026, 12, 31, 23, 0, 0, 0, time.UTC)
	for _, hours := range []int{0, 20, -20, -45, 3, 40, 300, 280, 301, -5000, -4990, -5020} {
		at := start.Add(time.Duration(hours) * time.Hour)
		fast, _ := k.At(at)
		slow, err := At(at, o)
		if d := (fast.AltitudeTrue - slow.AltitudeTrue).Abs().Degrees(); err != nil || d > trackTolerance {
			t.Errorf("%d h: off by %.1e°, %v", hours, d, err)
		}
	}
}

func TestTrackLimits(t *testing.T) {
	if _, err := NewTrack(Observer{Lat: 91 * unit.Degree}); err == nil {
		t.Error("latitude 91° has a track")
	}
	k, _ := NewTrack(Observer{})
	for _, year := range []int{-2001, 6000} {
		if _, err := k.At(time.Date(year, 3, 1, 0, 0, 0, 0, time.UTC)); err == nil {
			t.Errorf("year %d has a position", year)
		}
	}
}

// A position a minute over a year: what a day band or a table asks for.
func BenchmarkPositions(b *testing.B) {
	k, err := NewTrack(Observer{Lat: -33.05 * unit.Degree, Lon: -71.62 * unit.Degree})
	if err != nil {
		b.Fatal(err)
	}
	start := time.Date(2027, 1, 1, 0, 0, 0, 0, time.UTC)
	n := 0
	for b.Loop() {
		if _, err := k.At(start.Add(time.Duration(n%525600) * time.Minute)); err != nil {
			b.Fatal(err)
		}
		n++
	}
	b.ReportMetric(float64(n)/b.Elapsed().Seconds(), "positions/s")
}

// The same a position an hour: the slow part weighs more.
func BenchmarkPositionsHourly(b *testing.B) {
	k, _ := NewTrack(Observer{Lat: -33.05 * unit.Degree, Lon: -71.62 * unit.Degree})
	start := time.Date(2027, 1, 1, 0, 0, 0, 0, time.UTC)
	n := 0
	for b.Loop() {
		k.At(start.Add(time.Duration(n%8760) * time.Hour))
		n++
	}
	b.ReportMetric(float64(n)/b.Elapsed().Seconds(), "positions/s")
}

// Each position computed in full, nothing interpolated.
func BenchmarkPositionDirect(b *testing.B) {
	o := Observer{Lat: -33.05 * unit.Degree, Lon: -71.62 * unit.Degree}
	start := time.Date(2027, 1, 1, 0, 0, 0, 0, time.UTC)
	n := 0
	for b.Loop() {
		if _, err := At(start.Add(time.Duration(n%525600)*time.Minute), o); err != nil {
			b.Fatal(err)
		}
		n++
	}
	b.ReportMetric(float64(n)/b.Elapsed().Seconds(), "positions/s")
}
