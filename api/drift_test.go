package api_test

import (
	"errors"
	"math"
	"testing"
	"time"

	"hardnoon/api"
	"hardnoon/session"
)

func evening(t testing.TB) session.Session {
	s := demo(t)
	s.Setups = s.Setups[1:2]
	s.Setups[0].At = "2027-01-16T19:00"
	return s
}

// Whatever was turned, each row still makes the picture of the first: the
// background within half a click and the flash within what a power is left off.
func TestDriftKeepsThePicture(t *testing.T) {
	a, err := api.Drift(api.DriftRequest{Session: evening(t), EveryS: new(300.0)})
	if err != nil {
		t.Fatal(err)
	}
	if len(a.Rows) < 20 || a.LastSun == nil {
		t.Fatalf("%d rows, last sun %v", len(a.Rows), a.LastSun)
	}
	// The centre of the sun leaves a level horizon a little before its upper rim,
	// which almanacs call sunset.
	if d := a.LastSun.Sub(*a.Sunset).Minutes(); d > 0 || d < -5 {
		t.Errorf("open ground: the sun leaves %.1f min after it sets", d)
	}
	first := a.Rows[0]
	turned := false
	for _, r := range a.Rows {
		// EV of the light less EV of the settings, [ISO2720] in whole stops.
		ev := math.Log2(r.State.FNumber*r.State.FNumber/r.State.ShutterS) - math.Log2(r.State.ISO/100) + r.State.NDStops
		now := r.BackgroundEV - ev
		ev0 := math.Log2(first.State.FNumber*first.State.FNumber/first.State.ShutterS) - math.Log2(first.State.ISO/100) + first.State.NDStops
		if d := now - (first.BackgroundEV - ev0); math.Abs(d) > 0.25 && math.Abs(r.State.Background-first.State.Background) < 0.25 {
			t.Errorf("%s: the background moved %.2f stops and the row says %.2f", r.At.Format("15:04"), d, r.State.Background)
		}
		turned = turned || len(r.Turn) > 0
	}
	if !turned {
		t.Error("the sun sets and nothing is turned")
	}
}

// Behind a grandstand the sun leaves the mark when its altitude falls below the
// rim as seen from the eyes: tan h = (11 − eyes)/30 on the axis of its last row.
func TestDriftBehindGrandstand(t *testing.T) {
	s := evening(t)
	s.Place.Solids = []session.Solid{{Kind: "wall", Name: "grandstand", BearingDeg: new(255.0), DistanceM: new(30.0), WidthM: new(120.0), DepthM: new(0.2), HeightM: new(11.0)}}
	a, err := api.Drift(api.DriftRequest{Session: s, EveryS: new(60.0), ForS: new(7200.0)})
	if err != nil {
		t.Fatal(err)
	}
	if a.LastSun == nil {
		t.Fatal("the sun stays")
	}
	for i, r := range a.Rows {
		// The wall stands across 255°: level distance along the sun's azimuth.
		if r.Sun == "down" {
			continue
		}
		az := r.FromLineDeg + a.BearingDeg + 180
		rim := math.Atan((11-0.936*1.66)/((30-0.1)/math.Cos((az-255)*math.Pi/180))) * 180 / math.Pi
		if behind := r.Sun == "behind grandstand"; behind != (r.AltitudeDeg < rim) && math.Abs(r.AltitudeDeg-rim) > 0.05 {
			t.Errorf("row %d: sun %.2f° high, rim %.2f°, %s", i, r.AltitudeDeg, rim, r.Sun)
		}
	}
	if !a.LastSun.Before(a.Sunset.Add(-time.Hour)) {
		t.Errorf("the sun leaves at %v", a.LastSun)
	}
}

func TestDriftWrong(t *testing.T) {
	for field, spoil := range map[string]func(*api.DriftRequest){
		"setup":   func(r *api.DriftRequest) { r.Setup = "elsewhere" },
		"every_s": func(r *api.DriftRequest) { r.EveryS = new(math.NaN()) },
		"for_s":   func(r *api.DriftRequest) { r.ForS = new(1.0) },
	} {
		req := api.DriftRequest{Session: evening(t)}
		spoil(&req)
		_, err := api.Drift(req)
		var e *api.Error
		if !errors.As(err, &e) || e.Kind != api.WrongInput || e.Field != field {
			t.Errorf("%s: %v", field, err)
		}
	}
}
