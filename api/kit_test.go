package api_test

import (
	"encoding/json"
	"errors"
	"math"
	"reflect"
	"strings"
	"testing"

	"hardnoon/api"
	"hardnoon/session"
)

func ptr(x float64) *float64 { return &x }

func sixReadings() api.CalibrateRequest {
	r := func(d float64, power, f, shutter string) api.ReadingJSON {
		return api.ReadingJSON{Head: "battery-400", Modifier: "dish-60", DistanceM: ptr(d), Power: power, FNumber: f, Shutter: shutter}
	}
	return api.CalibrateRequest{Readings: []api.ReadingJSON{
		r(2, "1/1", "f/22+0.6", ""), r(3, "1/1", "f/16+0.4", ""), r(1.5, "1/16", "f/8+0.3", ""),
		r(2, "1/1", "f/8+0.7", "1/1000"), r(1.5, "1/1", "f/8+0.6", "1/2000"), r(1.5, "1/1", "f/5.6+0.5", "1/4000"),
	}}
}

// keep writes a calibration into a session file and reads it back.
func keep(t testing.TB, c session.Calibration) (session.Calibration, error) {
	t.Helper()
	s := demo(t)
	s.Kit.Calibration = &c
	data, err := session.Write(s)
	if err != nil {
		return c, err
	}
	s, err = session.Read(data)
	if err != nil {
		return c, err
	}
	return *s.Kit.Calibration, nil
}

// A calibration survives a session file; that plans believe it is
// TestCalibrationIsUsed.
func TestCalibrationRoundTrip(t *testing.T) {
	a, err := api.KitCalibrate(sixReadings())
	if err != nil {
		t.Fatal(err)
	}
	c, err := keep(t, a.Calibration)
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(c, a.Calibration) {
		t.Errorf("%+v came back as %+v", a.Calibration, c)
	}
	// f/22 and six tenths at 2 m is a guide number of 2·22.63·2^0.3 = 55.7 m.
	if gn := a.Calibration.Pairs[0].GuideNumberM; math.Abs(2*math.Log2(gn/55.7)) > 0.15 {
		t.Errorf("guide number %v", gn)
	}
	c.Pairs[0].GuideNumberM = -1
	if _, err := keep(t, c); err == nil {
		t.Error("a negative guide number passed")
	}
}

func TestParseMeter(t *testing.T) {
	for text, want := range map[string]float64{"11": math.Exp2(3.5), "f/8": 8, "8+0.6": 8 * math.Exp2(0.3), "f/5.6+0.0": math.Exp2(2.5)} {
		if got, err := api.ParseMeter(text); err != nil || math.Abs(float64(got)-want) > 1e-9 {
			t.Errorf("%s: %v, %v; want %v", text, got, err, want)
		}
	}
	for _, bad := range []string{"", "f/", "8+", "8+1", "8+x", "8+0.6x", "8+-0.1", "8+NaN", "f/0", "+0.3"} {
		if got, err := api.ParseMeter(bad); err == nil {
			t.Errorf("%q passed as %v", bad, got)
		}
	}
}

func TestParsePower(t *testing.T) {
	for text, want := range map[string]float64{"full": 0, "1": 0, "1/1": 0, "1/4": -2, "1/4 +0.3": -1.7, "1/4+0.3 stops": -1.7, "-2": -2, "−2.5 stops": -2.5, "-12": -12} {
		if got, err := api.ParsePower(text); err != nil || math.Abs(float64(got)-want) > 1e-9 {
			t.Errorf("%s: %v, %v; want %v", text, got, err, want)
		}
	}
	for _, bad := range []string{"", "2", "1/", "2/4", "1/0.5", "1/04", "1/x", "1/4+", "1/4+1", "1/4+x", "1/4+NaN", "1/1+0.3", "-", "--2", "-13", "-2e3", "-2-3", "-2+0.3", "1/Inf"} {
		if got, err := api.ParsePower(bad); err == nil {
			t.Errorf("%q passed as %v", bad, got)
		}
	}
}

// What is wrong is said with the path of the field.
func TestBadCalibrateRequests(t *testing.T) {
	for field, spoil := range map[string]func(*api.CalibrateRequest){
		"readings":               func(r *api.CalibrateRequest) { r.Readings = nil },
		"readings[1].distance_m": func(r *api.CalibrateRequest) { r.Readings[1].DistanceM = nil },
		"readings[2]":            func(r *api.CalibrateRequest) { r.Readings[2].DistanceM = ptr(math.NaN()) },
		"readings[0].f_number":   func(r *api.CalibrateRequest) { r.Readings[0].FNumber = "f/0" },
		"readings[3].shutter":    func(r *api.CalibrateRequest) { r.Readings[3].Shutter = "0" },
		"readings[4].iso":        func(r *api.CalibrateRequest) { r.Readings[4].ISO = ptr(-1) },
		"readings[5].power":      func(r *api.CalibrateRequest) { r.Readings[5].Power = "2/1" },
		"readings[5].head":       func(r *api.CalibrateRequest) { r.Readings[5].Head = "candle" },
		"sync":                   func(r *api.CalibrateRequest) { r.Sync = "soon" },
		"noise_stops":            func(r *api.CalibrateRequest) { r.NoiseStops = ptr(math.Inf(1)) },
		"own_heads[0].energy_ws": func(r *api.CalibrateRequest) { r.Own = []api.OwnHead{{ID: "mine", EnergyWS: ptr(0)}} },
		"own_heads[0].like":      func(r *api.CalibrateRequest) { r.Own = []api.OwnHead{{ID: "mine", EnergyWS: ptr(9), Like: "sun"}} },
	} {
		req := sixReadings()
		spoil(&req)
		var e *api.Error
		if _, err := api.KitCalibrate(req); !errors.As(err, &e) || e.Field != field || e.Kind != api.WrongInput || e.Hint == "" {
			t.Errorf("%s: %+v", field, err)
		}
	}
}

// A head of one's own calibrates like any other.
func TestOwnHead(t *testing.T) {
	req := sixReadings()
	req.Own = []api.OwnHead{{ID: "mine", GuideNumber: ptr(180), Unit: "ft", With: "reflector-18", EnergyWS: ptr(400)}}
	for i := range req.Readings {
		req.Readings[i].Head = "mine"
	}
	a, err := api.KitCalibrate(req)
	if err != nil {
		t.Fatal(err)
	}
	if gn := a.Calibration.Pairs[0].GuideNumberM; math.Abs(2*math.Log2(gn/55.7)) > 0.2 {
		t.Errorf("guide number %v", gn)
	}
	show, err := api.KitShow(api.KitShowRequest{Own: &req.Own[0], Modifier: "reflector-18"})
	if err != nil || math.Abs(show.Pairs[0].GuideNumber-54.9) > 0.06 {
		t.Errorf("%+v, %v", show.Pairs, err)
	}
}

func TestKitListHasSources(t *testing.T) {
	a := api.KitList()
	if len(a.Heads) < 6 || len(a.Modifiers) < 15 {
		t.Fatalf("%d heads, %d modifiers", len(a.Heads), len(a.Modifiers))
	}
	for _, m := range a.Modifiers {
		if m.Source == "" || m.Basis == "" {
			t.Errorf("%s has no source", m.ID)
		}
	}
}

// Whatever bytes come in, there is an answer with finite figures or an error.
func FuzzKitCalibrate(f *testing.F) {
	seed, _ := json.Marshal(sixReadings())
	f.Add(seed)
	f.Add([]byte(`{"readings":[{"head":"battery-400","distance_m":1e308,"f_number":"8"}]}`))
	f.Add([]byte(strings.Repeat(`{"readings":[`, 500)))
	f.Fuzz(func(t *testing.T, data []byte) {
		req, err := api.Decode[api.CalibrateRequest](data)
		if err != nil {
			return
		}
		a, err := api.KitCalibrate(req)
		if err != nil {
			return
		}
		if _, err := json.Marshal(a); err != nil { // NaN and Inf do not marshal
			t.Error(err)
		}
		for i := range a.Calibration.Heads {
			a.Calibration.Heads[i].Head = "a"
		}
		for i := range a.Calibration.Pairs {
			a.Calibration.Pairs[i].Head, a.Calibration.Pairs[i].Modifier = "a", "dish"
		}
		if _, err := keep(t, a.Calibration); err != nil {
			t.Errorf("%v from %s", err, data)
		}
	})
}
