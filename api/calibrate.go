package api

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"hardnoon/engine/calibrate"
	"hardnoon/engine/exposure"
	"hardnoon/engine/flash"
	"hardnoon/engine/unit"
	"hardnoon/session"
)

// ReadingJSON is one look at a flash meter, the flash alone.
type ReadingJSON struct {
	Head      string   `json:"head"`
	Modifier  string   `json:"modifier,omitempty"` // none is the bare head
	DistanceM *float64 `json:"distance_m"`         // from the front of the modifier
	Power     string   `json:"power,omitempty"`    // 1/1
	Shutter   string   `json:"shutter,omitempty"`  // only in high-speed sync: 1/2000
	FNumber   string   `json:"f_number"`           // as shown: 11, or 8+0.6 for six tenths more
	ISO       *float64 `json:"iso,omitempty"`      // 100
}

// CalibrateRequest asks what a kit really gives.
type CalibrateRequest struct {
	Readings   []ReadingJSON `json:"readings"`
	Sync       string        `json:"sync,omitempty"`        // 1/250
	NoiseStops *float64      `json:"noise_stops,omitempty"` // 0.1, one standard deviation of a reading
	Own        []OwnHead     `json:"own_heads,omitempty"`
}

// ResidualJSON says how a reading agrees with all the others.
type ResidualJSON struct {
	Reading    int     `json:"reading"` // from 1
	OffStops   float64 `json:"off_stops"`
	ErrorStops float64 `json:"error_stops"`
	Verdict    string  `json:"verdict"` // "agrees", "left out", "doubtful"
}

// CalibrateAnswer is the calibration and how the readings agree.
type CalibrateAnswer struct {
	Calibration session.Calibration `json:"calibration"` // what a session file may hold
	Residuals   []ResidualJSON      `json:"residuals"`
	Assumptions []string            `json:"assumptions"`
	Notes       []Note              `json:"notes"`
}

// KitCalibrate returns what the readings say about the kit.
func KitCalibrate(req CalibrateRequest) (CalibrateAnswer, error) {
	a := CalibrateAnswer{Residuals: []ResidualJSON{}, Assumptions: []string{}, Notes: []Note{}}
	readings, assumed, err := req.readings()
	if err != nil {
		return CalibrateAnswer{}, err
	}
	a.Assumptions = assumed
	o := calibrate.Options{}
	if req.NoiseStops != nil {
		if err := unit.Within("noise of a reading", *req.NoiseStops, 0.001, 3, "stops"); err != nil {
			return CalibrateAnswer{}, wrong("noise_stops", err, "a meter in tenths, held with care, has 0.1")
		}
		o.Noise = unit.Stops(*req.NoiseStops)
	}
	c, err := calibrate.From(readings, o)
	if err != nil {
		return CalibrateAnswer{}, wrongReading(err)
	}
	a.Calibration = calibrationJSON(c)
	doubtful := []string{}
	for _, x := range c.Residuals {
		r := ResidualJSON{x.Index + 1, tidy(x.Off), tidy(x.Error), "agrees"}
		switch {
		case x.Wrong:
			r.Verdict = "left out"
			a.Notes = append(a.Notes, Note{Code: "wrong_reading", Severity: "caution",
				Text: fmt.Sprintf("reading %d is %s stops off what all the others say; it was left out", r.Reading, signed(float64(x.Off))),
				Hint: "take it again: power, distance, ISO, and whether the meter saw that pop"})
		case x.Doubt:
			r.Verdict = "doubtful"
			doubtful = append(doubtful, fmt.Sprint(r.Reading))
		}
		a.Residuals = append(a.Residuals, r)
	}
	if len(doubtful) > 0 {
		a.Notes = append(a.Notes, Note{Code: "doubtful_readings", Severity: "caution",
			Text: "readings " + strings.Join(doubtful, " and ") + " contradict each other; both were kept, and the figures lie between them",
			Hint: "take one more of the same"})
	}
	for _, h := range a.Calibration.Heads {
		if !h.HSSEntryMeasured {
			a.Notes = append(a.Notes, Note{Code: "entry_not_measured", Severity: "info",
				Text: fmt.Sprintf("high-speed-sync entry of %s is still the catalogue's: %.1f ±%.1f stops", h.Head, h.HSSEntryStops, h.HSSEntryErrorStops),
				Hint: "three readings in high-speed sync settle it: 1/1000, 1/2000, 1/4000"})
		}
		if !h.PowerSlopeMeasured {
			a.Notes = append(a.Notes, Note{Code: "power_not_measured", Severity: "info",
				Text: fmt.Sprintf("power steps of %s are taken from the dial", h.Head), Hint: "one reading at 1/16 tests them"})
		}
	}
	return a, nil
}

func (req CalibrateRequest) readings() (out []calibrate.Reading, assumed []string, err error) {
	if len(req.Readings) == 0 {
		return nil, nil, wrongReading(calibrate.EmptyError{})
	}
	const most = 100 // a hundred take a quarter of a second
	if err := unit.Within("number of readings", float64(len(req.Readings)), 1, most, ""); err != nil {
		return nil, nil, wrong("readings", err, "calibrate one kit at a time")
	}
	assumed = []string{}
	syncText := req.Sync
	if syncText == "" {
		syncText = "1/250"
	}
	sync, err := exposure.ParseShutter(syncText, exposure.Thirds)
	if err != nil {
		return nil, nil, wrong("sync", err, "write it like 1/250")
	}
	own := map[string]flash.Head{}
	for i, o := range req.Own {
		h, err := HeadFromGuideNumber(o)
		if err != nil {
			var e *Error
			errors.As(err, &e)
			e.Field = fmt.Sprintf("own_heads[%d].%s", i, e.Field)
			return nil, nil, e
		}
		own[h.ID] = h
	}
	highSpeed := false
	for i, r := range req.Readings {
		fail := func(field string, cause error, hint string) ([]calibrate.Reading, []string, error) {
			e := wrong(fmt.Sprintf("readings[%d].%s", i, field), cause, hint)
			e.Text = fmt.Sprintf("reading %d: %s", i+1, e.Text)
			return nil, nil, e
		}
		like := r.Head
		h, isOwn := own[r.Head]
		if isOwn {
			like = "battery-400"
		}
		src, err := source(like, r.Modifier)
		if err != nil {
			var e *Error
			errors.As(err, &e)
			e.Text = fmt.Sprintf("reading %d: %s", i+1, e.Text)
			e.Field = fmt.Sprintf("readings[%d].%s", i, e.Field)
			return nil, nil, e
		}
		if isOwn {
			src.Head = h
		}
		c := calibrate.Reading{Head: src.Head, Modifier: src.Modifier}
		if r.DistanceM == nil {
			return fail("distance_m", errors.New("no distance is given"), "give the distance from the front of the modifier to the meter")
		}
		c.Distance = unit.Length(*r.DistanceM) * unit.Metre
		if r.Power != "" {
			if c.Power, err = ParsePower(r.Power); err != nil {
				return fail("power", err, "write it like 1/4")
			}
		}
		if r.Shutter != "" {
			highSpeed = true
			if c.Shutter, err = exposure.ParseShutter(r.Shutter, exposure.Thirds); err != nil {
				return fail("shutter", err, "write it like 1/2000, and only in high-speed sync")
			}
			c.Sync = sync
		}
		if c.FNumber, err = ParseMeter(r.FNumber); err != nil {
			return fail("f_number", err, "write what the meter shows: f/11, or f/8+0.6 for six tenths more")
		}
		if c.ISO, err = exposure.NearestISO(or(r.ISO, 100), exposure.Thirds); err != nil {
			return fail("iso", err, "write it like 100")
		}
		out = append(out, c)
	}
	if highSpeed && req.Sync == "" {
		assumed = append(assumed, "sync speed 1/250")
	}
	return out, assumed, nil
}

// ParseMeter reads what a flash meter shows: "11", "f/11", or "8+0.6" for f/8
// and six tenths of a stop.
func ParseMeter(text string) (exposure.FNumber, error) {
	base, tenths, found := strings.Cut(text, "+")
	n, err := exposure.ParseFNumber(base, exposure.Thirds)
	if err != nil || !found {
		return n, err
	}
	plus, err := strconv.ParseFloat(strings.TrimSpace(tenths), 64)
	if err != nil || !(plus >= 0 && plus < 1) {
		return 0, &exposure.SyntaxError{What: "meter reading", Got: text, Example: "f/8+0.6"}
	}
	return n * exposure.FNumber(unit.Stops(plus/2).Ratio()), nil
}

func wrongReading(err error) *Error {
	var at *calibrate.ReadingError
	switch {
	case errors.As(err, &at):
		return wrong(fmt.Sprintf("readings[%d]", at.Index), err, "check distance, power, f-number and shutter of that reading")
	case errors.As(err, new(calibrate.EmptyError)):
		return wrong("readings", err, "six serve well: full power at two distances, 1/16, and 1/1000, 1/2000, 1/4000 in high-speed sync")
	}
	return wrong("readings", err, "check which head, distance, power and ISO the readings were taken with")
}

func signed(x float64) string { return strings.Replace(fmt.Sprintf("%+.1f", x), "-", "−", 1) }

// calibrationJSON and knownKit are the two ends of a calibration kept in a
// session file.
func calibrationJSON(c calibrate.Calibration) session.Calibration {
	out := session.Calibration{Heads: []session.HeadCalibration{}, Pairs: []session.PairCalibration{}}
	for _, h := range c.Heads {
		out.Heads = append(out.Heads, session.HeadCalibration{
			Head: h.ID, EfficacyStops: digits(h.Efficacy.Value, 3), EfficacyErrorStops: digits(h.Efficacy.Error, 3),
			PowerSlope: digits(h.Slope.Value, 4), PowerSlopeError: digits(h.Slope.Error, 3), HSSEntryStops: digits(h.Entry.Value, 3), HSSEntryErrorStops: digits(h.Entry.Error, 3),
			EfficacyMeasured: h.Efficacy.Measured, PowerSlopeMeasured: h.Slope.Measured, HSSEntryMeasured: h.Entry.Measured,
		})
	}
	for _, p := range c.Pairs {
		n := float64(p.Readings)
		out.Pairs = append(out.Pairs, session.PairCalibration{Head: p.Head, Modifier: p.Modifier, GuideNumberM: digits(p.GuideNumber, 4),
			GainStops: digits(p.Gain.Value, 3), ErrorStops: digits(p.Gain.Error, 3), Readings: &n})
	}
	return out
}

func knownKit(c session.Calibration) calibrate.Calibration {
	var out calibrate.Calibration
	for _, h := range c.Heads {
		out.Heads = append(out.Heads, calibrate.Head{ID: h.Head,
			Efficacy: calibrate.Estimate{Value: h.EfficacyStops, Error: h.EfficacyErrorStops, Measured: h.EfficacyMeasured},
			Slope:    calibrate.Estimate{Value: h.PowerSlope, Error: h.PowerSlopeError, Measured: h.PowerSlopeMeasured},
			Entry:    calibrate.Estimate{Value: h.HSSEntryStops, Error: h.HSSEntryErrorStops, Measured: h.HSSEntryMeasured}})
	}
	for _, p := range c.Pairs {
		out.Pairs = append(out.Pairs, calibrate.Pair{Head: p.Head, Modifier: p.Modifier, GuideNumber: p.GuideNumberM,
			Gain: calibrate.Estimate{Value: p.GainStops, Error: p.ErrorStops, Measured: true}, Readings: int(or(p.Readings, 0))})
	}
	return out
}
