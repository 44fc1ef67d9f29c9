package api_test

import (
	"encoding/json"
	"errors"
	"math"
	"testing"

	"hardnoon/api"
)

func lens(focal float64, n string, distance float64) api.LensRequest {
	return api.LensRequest{FocalMM: &focal, FNumber: n, DistanceM: &distance}
}

// Rows worked out by another hand for 36×24 mm, c = 0.030 mm, to the printed
// millimetre: engraved figures are taken as they stand.
func TestLensRows(t *testing.T) {
	for _, r := range []struct {
		f, s      float64
		n         string
		near, far float64
	}{{85, 2.5, "1.8", 2.456, 2.546}, {85, 2.5, "f/4", 2.404, 2.604}, {200, 6, "2.8", 5.928, 6.074}, {35, 2, "F2", 1.824, 2.213}, {50, 3, "8", 2.338, 4.185}} {
		a, err := api.Lens(lens(r.f, r.n, r.s))
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(a.NearM-r.near) > 0.000501 || math.Abs(*a.FarM-r.far) > 0.000501 {
			t.Errorf("%v mm f/%s at %v m: %v to %v, want %v to %v", r.f, r.n, r.s, a.NearM, *a.FarM, r.near, r.far)
		}
	}
}

// The names that others read, and null where there is no end or no question.
func TestLensNames(t *testing.T) {
	a, err := api.Lens(lens(24, "8", 2.5))
	if err != nil {
		t.Fatal(err)
	}
	text, err := json.Marshal(a)
	if err != nil {
		t.Fatal(err)
	}
	var got map[string]any
	if err := json.Unmarshal(text, &got); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"near_m", "hyperfocal_m", "fov_h_deg", "fov_v_deg", "magnification", "background_blur_mm"} {
		if got[name] == nil {
			t.Errorf("%s is missing: %s", name, text)
		}
	}
	for _, name := range []string{"far_m", "blur_px", "flash_blur_px"} {
		if v, ok := got[name]; !ok || v != nil {
			t.Errorf("%s is %v, want null", name, v)
		}
	}
}

// Smear worked out by another hand: 20 m/s at 20 m, 200 mm, pixels of 4.35 µm.
func TestLensSmear(t *testing.T) {
	req := lens(200, "2.8", 20)
	v := 20.0
	req.SpeedMPS, req.Shutter, req.FlashT01 = &v, "1/1000", "1/300"
	a, err := api.Lens(req)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(*a.BlurPx-46.4) > 0.1 || math.Abs(*a.FlashPx-154.8) > 0.2 { // 4.348 µm
		t.Errorf("smear %v and %v px, want 46.4 and 154.8", *a.BlurPx, *a.FlashPx)
	}
	two, depth := 2.0, 0.412
	req.FreezePx, req.WantedM = &two, &depth
	req.DistanceM = new(10.0)
	if a, err = api.Lens(req); err != nil {
		t.Fatal(err)
	}
	if got := motionAt(a.FreezeS, 20, 200, 10, 4.348); math.Abs(got-2) > 0.01 || a.Freeze != "" {
		t.Errorf("two pixels at %v s (%s): %v px", *a.FreezeS, a.Freeze, got)
	}
	if math.Abs(*a.WantedN-2.8) > 0.01 {
		t.Errorf("0.412 m deep from f/%v, want 2.8", *a.WantedN)
	}
}

// motionAt is the smear in pixels, by similar triangles.
func motionAt(t *float64, v, focalMM, distance, pitchUM float64) float64 {
	return v * *t / (distance - focalMM/1000) * focalMM * 1000 / pitchUM
}

func TestLensRefuses(t *testing.T) {
	nan, zero, minus := math.NaN(), 0.0, -1.0
	with := func(change func(*api.LensRequest)) api.LensRequest {
		r := lens(85, "4", 2.5)
		change(&r)
		return r
	}
	for field, r := range map[string]api.LensRequest{
		"focal_mm":               with(func(r *api.LensRequest) { r.FocalMM = &nan }),
		"f_number":               with(func(r *api.LensRequest) { r.FNumber = "0" }),
		"distance_m":             with(func(r *api.LensRequest) { d := 0.085; r.DistanceM = &d }),
		"pupil":                  with(func(r *api.LensRequest) { r.Pupil = &zero }),
		"sensor":                 with(func(r *api.LensRequest) { r.Sensor = "large" }),
		"megapixels":             with(func(r *api.LensRequest) { r.Megapixels = &zero }),
		"coc_mm":                 with(func(r *api.LensRequest) { r.CoCMM = &nan }),
		"speed_mps":              with(func(r *api.LensRequest) { r.SpeedMPS = &minus }),
		"shutter":                with(func(r *api.LensRequest) { r.Shutter = "1/0" }),
		"flash_t01":              with(func(r *api.LensRequest) { r.FlashT01 = "quick" }),
		"background_m":           with(func(r *api.LensRequest) { r.BackgroundM = &nan }),
		"wanted_depth_m":         with(func(r *api.LensRequest) { r.WantedM = &zero }),
		"freeze_px":              with(func(r *api.LensRequest) { v := 20.0; r.SpeedMPS, r.FreezePx = &v, &nan }),
		"ambient_to_flash_stops": with(func(r *api.LensRequest) { v := 20.0; r.SpeedMPS, r.AmbientStops = &v, &zero }),
	} {
		_, err := api.Lens(r)
		var e *api.Error
		if !errors.As(err, &e) || e.Kind != api.WrongInput || e.Field != field || e.Hint == "" {
			t.Errorf("%s: %#v", field, err)
		}
	}
}

// Whatever is asked, the answer is finite or an error.
func FuzzLens(f *testing.F) {
	f.Add(85.0, "f/4", 2.5, "36x24", 1.0, 20.0, "1/1000")
	f.Add(8.0, "22", 0.01, "aps-c", 0.1, 0.0, "30")
	f.Fuzz(func(t *testing.T, focal float64, n string, d float64, sensor string, pupil, v float64, shutter string) {
		a, err := api.Lens(api.LensRequest{FocalMM: &focal, FNumber: n, DistanceM: &d, Sensor: sensor, Pupil: &pupil, SpeedMPS: &v, Shutter: shutter})
		if err != nil {
			return
		}
		if _, err := json.Marshal(a); err != nil { // JSON has no NaN and no infinity
			t.Errorf("%v: %+v", err, a)
		}
	})
}

// Faces that carry JSON ask the same question.
func TestLensByName(t *testing.T) {
	got, err := api.Call("lens", []byte(`{"focal_mm": 85, "f_number": "1.8", "distance_m": 2.5}`))
	if a, ok := got.(api.LensAnswer); err != nil || !ok || math.Abs(a.NearM-2.456) > 0.000501 {
		t.Errorf("%+v, %v", got, err)
	}
}
