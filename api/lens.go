package api

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"hardnoon/engine/exposure"
	"hardnoon/engine/motion"
	"hardnoon/engine/optics"
	"hardnoon/engine/unit"
)

// LensRequest asks what a lens and a sensor make of a subject at a distance.
// F-number and times mean what is engraved: 5.6 is 5.6 and 1/1000 is a
// thousandth, as in printed depth and smear tables.
type LensRequest struct {
	FocalMM     *float64 `json:"focal_mm"`
	FNumber     string   `json:"f_number"`
	DistanceM   *float64 `json:"distance_m"`
	Sensor      string   `json:"sensor,omitempty"`         // full-frame
	Megapixels  *float64 `json:"megapixels,omitempty"`     // what such a sensor usually has
	CoCMM       *float64 `json:"coc_mm,omitempty"`         // circle of confusion; the sensor's usual one
	Pupil       *float64 `json:"pupil,omitempty"`          // 1
	BackgroundM *float64 `json:"background_m,omitempty"`   // from the lens; infinity
	WantedM     *float64 `json:"wanted_depth_m,omitempty"` // depth that has to be sharp

	SpeedMPS     *float64 `json:"speed_mps,omitempty"` // across the line of sight
	Shutter      string   `json:"shutter,omitempty"`
	FlashT01     string   `json:"flash_t01,omitempty"`              // the pop's t0.1: 1/300
	AmbientStops *float64 `json:"ambient_to_flash_stops,omitempty"` // daylight on the subject relative to the flash
	FreezePx     *float64 `json:"freeze_px,omitempty"`              // smear allowed; the circle of confusion
}

// LensAnswer is what is seen, what is sharp and what smears. A nil distance is
// infinite; a nil smear was not asked for.
type LensAnswer struct {
	FocalMM   float64 `json:"focal_mm"`
	FNumber   float64 `json:"f_number"`
	DistanceM float64 `json:"distance_m"`
	Sensor    string  `json:"sensor"`
	WidthMM   float64 `json:"sensor_width_mm"`
	HeightMM  float64 `json:"sensor_height_mm"`

	FOVH          float64 `json:"fov_h_deg"` // focused at infinity
	FOVV          float64 `json:"fov_v_deg"`
	FOVDiagonal   float64 `json:"fov_diagonal_deg"`
	FOVHFocused   float64 `json:"fov_h_focused_deg"` // focused at the distance, from the entrance pupil
	FOVVFocused   float64 `json:"fov_v_focused_deg"`
	FieldWidthM   float64 `json:"field_width_m"` // what fills the frame at the distance
	FieldHeightM  float64 `json:"field_height_m"`
	Magnification float64 `json:"magnification"`
	EffectiveN    float64 `json:"effective_f_number"`

	NearM       float64  `json:"near_m"`
	FarM        *float64 `json:"far_m"`
	DepthM      *float64 `json:"depth_m"`
	HyperfocalM float64  `json:"hyperfocal_m"`
	CoCMM       float64  `json:"coc_mm"`
	WantedN     *float64 `json:"f_number_for_depth"` // the least that makes the wanted depth sharp

	BackgroundM         *float64 `json:"background_m"`
	BackgroundBlurMM    float64  `json:"background_blur_mm"` // on the sensor
	BackgroundBlurPx    float64  `json:"background_blur_px"`
	BackgroundBlurShare float64  `json:"background_blur_share"` // of the picture's longer side
	SizeRatio           *float64 `json:"size_ratio"`            // subject to an equal thing at the background
	AiryMM              float64  `json:"airy_mm"`

	Megapixels float64  `json:"megapixels"`
	PitchUM    float64  `json:"pitch_um"`
	BlurPx     *float64 `json:"blur_px"`       // while the shutter is open: daylight
	FlashPx    *float64 `json:"flash_blur_px"` // while the flash burns, t0.1
	FreezePx   *float64 `json:"freeze_px"`
	FreezeS    *float64 `json:"freeze_shutter_s"` // the slowest time that keeps to it
	Freeze     string   `json:"freeze_shutter,omitempty"`
	Ghost      *Ghost   `json:"ghost"`

	Assumptions []string `json:"assumptions"`
	Notes       []Note   `json:"notes"`
}

// Ghost is the smear that daylight leaves around what the flash froze.
type Ghost struct {
	Ambient float64 `json:"ambient_to_flash_stops"`
	Share   float64 `json:"ambient_share"` // of all light on the subject
	Visible bool    `json:"visible"`
}

// Lens answers what is seen, sharp and smeared.
func Lens(req LensRequest) (LensAnswer, error) {
	l, s, err := req.lens()
	if err != nil {
		return LensAnswer{}, err
	}
	sensor, circle, pitch, assumed, err := req.picture()
	if err != nil {
		return LensAnswer{}, err
	}
	back := unit.Length(math.Inf(1))
	if req.BackgroundM != nil {
		back = unit.Length(*req.BackgroundM)
		if err := unit.Within("background distance", *req.BackgroundM, s.Metres(), 1e6, "m"); err != nil {
			return LensAnswer{}, wrong("background_m", err, "the background lies behind the subject; count from the lens")
		}
	} else {
		assumed = append(assumed, "background at infinity")
	}

	depth := optics.DepthOfField(l, s, circle)
	blur := l.BackgroundBlur(s, back)
	m := optics.Magnification(l.Focal, s)
	a := LensAnswer{
		FocalMM: digits(l.Focal.Millimetres(), 8), FNumber: l.FNumber, DistanceM: digits(s.Metres(), 8), Sensor: sensor.Name,
		WidthMM: digits(sensor.Width.Millimetres(), 6), HeightMM: digits(sensor.Height.Millimetres(), 6),
		FOVH:        deg(optics.FieldOfView(sensor.Width, l.Focal)),
		FOVV:        deg(optics.FieldOfView(sensor.Height, l.Focal)),
		FOVDiagonal: deg(optics.FieldOfView(sensor.Diagonal(), l.Focal)),
		FOVHFocused: deg(l.FieldAt(sensor.Width, s)), FOVVFocused: deg(l.FieldAt(sensor.Height, s)),
		FieldWidthM: digits(sensor.Width.Metres()/m, 6), FieldHeightM: digits(sensor.Height.Metres()/m, 6),
		Magnification: digits(m, 8), EffectiveN: digits(l.EffectiveN(s), 6),
		NearM: digits(depth.Near.Metres(), 8), FarM: finite(depth.Far), DepthM: finite(depth.Extent()),
		HyperfocalM: digits(depth.Hyperfocal.Metres(), 8), CoCMM: digits(circle.Millimetres(), 4),
		BackgroundM: finite(back), BackgroundBlurMM: digits(blur.Millimetres(), 6), BackgroundBlurPx: digits(float64(blur/pitch), 6),
		BackgroundBlurShare: digits(float64(blur/sensor.Width), 6),
		AiryMM:              digits(optics.Airy(l.FNumber, optics.Green).Millimetres(), 6),
		Megapixels:          or(req.Megapixels, sensor.Megapixels), PitchUM: digits(float64(pitch/unit.Micrometre), 6),
		Assumptions: assumed, Notes: []Note{},
	}
	if req.BackgroundM != nil {
		a.SizeRatio = new(digits(optics.SizeRatio(s, back), 6))
	}
	if req.WantedM != nil {
		if err := unit.Within("depth wanted", *req.WantedM, 0.0001, 1e6, "m"); err != nil {
			return LensAnswer{}, wrong("wanted_depth_m", err, "write it like 0.5m")
		}
		n := optics.FNumberFor(l.Focal, s, unit.Length(*req.WantedM), circle, l.Pupil)
		a.WantedN = new(digits(n, 6))
	}
	if err := a.smear(req, l, s, circle, pitch); err != nil {
		return LensAnswer{}, err
	}
	a.care()
	return a, nil
}

// lens returns the lens asked about and the distance it is focused at.
func (req LensRequest) lens() (optics.Lens, unit.Length, error) {
	fail := func(field, text, hint string) (optics.Lens, unit.Length, error) {
		return optics.Lens{}, 0, wrong(field, errors.New(text), hint)
	}
	switch {
	case req.FocalMM == nil:
		return fail("focal_mm", "no focal length is given", "write it like 85mm")
	case req.FNumber == "":
		return fail("f_number", "no aperture is given", "write it like 2.8")
	case req.DistanceM == nil:
		return fail("distance_m", "no distance is given", "give the distance from camera to subject")
	}
	n, err := engravedF(req.FNumber)
	if err != nil {
		return optics.Lens{}, 0, wrong("f_number", err, "write it like 2.8")
	}
	if req.Pupil != nil && *req.Pupil == 0 { // the engine's word for "not said"
		return optics.Lens{}, 0, wrong("pupil", unit.Within("pupil magnification", 0, 0.1, 10, ""), "leave it out if you do not know it")
	}
	l := optics.Lens{Focal: unit.Length(*req.FocalMM) * unit.Millimetre, FNumber: n, Pupil: or(req.Pupil, 1)}
	s := unit.Length(*req.DistanceM) * unit.Metre
	if err := l.Check(s); err != nil {
		var r *unit.RangeError
		errors.As(err, &r)
		at := map[string][2]string{
			"focal length":        {"focal_mm", "write it like 85mm"},
			"f-number":            {"f_number", "write it like 2.8"},
			"pupil magnification": {"pupil", "leave it out if you do not know it"},
			"distance":            {"distance_m", "a lens focuses no closer than its focal length and a tenth"},
		}[r.What]
		return optics.Lens{}, 0, wrong(at[0], err, at[1])
	}
	return l, s, nil
}

// picture returns the sensor, its circle of confusion and its pixel pitch.
func (req LensRequest) picture() (sensor optics.Sensor, circle, pitch unit.Length, assumed []string, err error) {
	assumed = []string{}
	name := req.Sensor
	if name == "" {
		name = optics.Sensors()[0].Name
		assumed = append(assumed, "sensor "+name)
	}
	sensor, ok := optics.SensorByName(name)
	if !ok {
		return sensor, 0, 0, nil, &Error{Kind: WrongInput, Code: "unknown_sensor", Field: "sensor", Text: fmt.Sprintf("no sensor is called %q", name),
			Hint: "there are " + ids(optics.Sensors(), func(s optics.Sensor) string { return s.Name }) + ", or its sides in millimetres like 36x24"}
	}
	circle = sensor.Circle()
	if req.CoCMM != nil {
		if err := unit.Within("circle of confusion", *req.CoCMM, 0.0005, 1, "mm"); err != nil {
			return sensor, 0, 0, nil, wrong("coc_mm", err, "full-frame is usually told with 0.030 mm")
		}
		circle = unit.Length(*req.CoCMM) * unit.Millimetre
	} else {
		assumed = append(assumed, fmt.Sprintf("circle of confusion %.3f mm, sharp in a print held at its own diagonal", circle.Millimetres()))
	}
	if req.Megapixels != nil {
		if err := unit.Within("megapixels", *req.Megapixels, 0.1, 1000, ""); err != nil {
			return sensor, 0, 0, nil, wrong("megapixels", err, "millions of pixels, like 24")
		}
	}
	pitch = sensor.Pitch(or(req.Megapixels, 0))
	if req.Megapixels == nil {
		assumed = append(assumed, fmt.Sprintf("%.4g megapixels, %.2f µm apart", sensor.Megapixels, float64(pitch/unit.Micrometre)))
	}
	return sensor, circle, pitch, assumed, nil
}

// smear adds what a moving subject does.
func (a *LensAnswer) smear(req LensRequest, l optics.Lens, s, circle, pitch unit.Length) error {
	var shutter, pop *float64
	for _, x := range []struct {
		text, field, hint string
		to                **float64
	}{{req.Shutter, "shutter", "write it like 1/1000", &shutter}, {req.FlashT01, "flash_t01", "the time the pop stays above a tenth of its peak, like 1/300", &pop}} {
		if x.text == "" {
			continue
		}
		t, err := engravedTime(x.text)
		if err != nil {
			return wrong(x.field, err, x.hint)
		}
		*x.to = &t
	}
	if req.SpeedMPS == nil {
		switch {
		case req.FreezePx != nil:
			return wrong("speed_mps", errors.New("without a speed there is nothing to freeze"), "give the speed across the line of sight, like 8m/s")
		case req.AmbientStops != nil:
			return wrong("speed_mps", errors.New("without a speed there is no ghost"), "give the speed across the line of sight, like 8m/s")
		}
		return nil
	}
	if err := unit.Within("speed", *req.SpeedMPS, 0, 400, "m/s"); err != nil {
		return wrong("speed_mps", err, "metres a second across the line of sight; a sprinter runs 10, a swung foot moves 20")
	}
	v := unit.Speed(*req.SpeedMPS)
	px := func(t *float64) *float64 {
		if t == nil {
			return nil
		}
		return new(digits(motion.Blur(v, *t, l.Focal, s, pitch), 6))
	}
	a.BlurPx, a.FlashPx = px(shutter), px(pop)

	allowed := float64(circle / pitch)
	if req.FreezePx != nil {
		allowed = *req.FreezePx
		if err := unit.Within("smear allowed", allowed, 0.1, 1e4, "px"); err != nil {
			return wrong("freeze_px", err, "pixels of the finished frame, like 3")
		}
	}
	a.FreezePx = new(digits(allowed, 3))
	if t := motion.SlowestFor(allowed, v, l.Focal, s, pitch); !math.IsInf(t, 1) {
		a.FreezeS = new(digits(t, 6))
		a.Freeze = slowestDial(t)
	}

	if req.AmbientStops != nil {
		if a.BlurPx == nil || a.FlashPx == nil {
			return wrong("ambient_to_flash_stops", errors.New("a ghost needs both parts"), "give the shutter and the flash's t0.1 too")
		}
		if err := unit.Within("ambient to flash", *req.AmbientStops, -20, 20, "stops"); err != nil {
			return wrong("ambient_to_flash_stops", err, "−2 is daylight two stops under the flash")
		}
		g := motion.GhostOf(unit.Stops(*req.AmbientStops), 0, *a.BlurPx, *a.FlashPx)
		a.Ghost = &Ghost{Ambient: *req.AmbientStops, Share: digits(g.Share, 4), Visible: g.Visible}
	}
	return nil
}

// care adds what the figures cannot say.
func (a *LensAnswer) care() {
	add := func(code, severity, text, hint string) {
		a.Notes = append(a.Notes, Note{code, severity, text, hint})
	}
	if a.AiryMM > a.CoCMM {
		add("diffraction", "caution", fmt.Sprintf("diffraction blurs everything by %.0f µm, more than the circle of confusion", a.AiryMM*1000), "open the aperture")
	}
	if a.WantedN != nil && *a.WantedN > 32 {
		add("too_deep", "caution", fmt.Sprintf("the depth wanted asks for f/%.0f here, more than lenses have", *a.WantedN), "stand further back, or take a shorter lens")
	}
	if a.Magnification > 0.1 {
		add("breathing", "info", "this close many lenses are shorter than engraved: field and depth are wider by up to a fifth", "")
	}
	if a.Ghost != nil && a.Ghost.Visible {
		add("ghost", "caution", fmt.Sprintf("daylight %s stops from the flash smears %.0f px around what the flash froze", signed(a.Ghost.Ambient), *a.BlurPx),
			fmt.Sprintf("bring daylight on the subject %.0f stops under the flash, or shorten the shutter", -float64(motion.GhostLimit)))
	}
}

// slowestDial returns the slowest engraved time that is no longer than t, or
// nothing if no camera has one.
func slowestDial(t float64) string {
	for _, x := range exposure.Shutters(32, 1./32000, exposure.Thirds) {
		label := x.Label(exposure.Thirds)
		if engraved, err := engravedTime(label); err == nil && engraved <= t*(1+1e-9) {
			return label
		}
	}
	return ""
}

// engravedF reads "5.6" or "f/5.6" as the figure it shows.
func engravedF(text string) (float64, error) {
	if _, err := exposure.ParseFNumber(text, exposure.Thirds); err != nil {
		return 0, err
	}
	t := strings.TrimPrefix(strings.TrimPrefix(strings.ToLower(strings.TrimSpace(text)), "f/"), "f")
	return strconv.ParseFloat(t, 64)
}

// engravedTime reads "1/1000", "0.5" or "2s" as the figure it shows.
func engravedTime(text string) (float64, error) {
	if _, err := exposure.ParseShutter(text, exposure.Thirds); err != nil {
		return 0, err
	}
	num, den, fraction := strings.Cut(strings.TrimRight(strings.ReplaceAll(strings.ToLower(text), " ", ""), "s\""), "/")
	t, err := strconv.ParseFloat(num, 64)
	if err == nil && fraction {
		var d float64
		d, err = strconv.ParseFloat(den, 64)
		t /= d
	}
	return t, err
}

// finite returns a length in metres, nil for an infinite one.
func finite(l unit.Length) *float64 {
	if math.IsInf(float64(l), 0) {
		return nil
	}
	return new(digits(l.Metres(), 8))
}
