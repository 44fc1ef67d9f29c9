package api

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"hardnoon/engine/advise"
	"hardnoon/engine/exposure"
	"hardnoon/engine/unit"
)

// AdjustRequest says how the light changed since a plan was made.
type AdjustRequest struct {
	Plan        PlanAnswer `json:"plan"`
	Setup       string     `json:"setup,omitempty"` // its id; none is the first
	ChangeStops *float64   `json:"ambient_change_stops,omitempty"`
	MeterEV100  *float64   `json:"meter_ev100,omitempty"` // a new incident reading, in place of a change
	Seen        []SeenJSON `json:"seen,omitempty"`        // what test frames showed, at the plan's settings
}

// SeenJSON is how far off its planned level a test frame shows what one light
// lights.
type SeenJSON struct {
	Role  string  `json:"role"`
	Stops float64 `json:"stops"` // below 0 is too dark
}

// Adjust answers what to turn, with the state before and after.
func Adjust(req AdjustRequest) (AdjustAnswer, error) {
	if req.Plan.Format != PlanFormat {
		return AdjustAnswer{}, wrong("plan.format", fmt.Errorf("the plan's format is %q; this program reads %q", req.Plan.Format, PlanFormat), `make it with "hardnoon plan FILE --json"`)
	}
	if len(req.Plan.Setups) == 0 {
		return AdjustAnswer{}, wrong("plan.setups", errors.New("the plan has no setup"), "plan a session with at least one")
	}
	s := &req.Plan.Setups[0]
	if req.Setup != "" {
		s = nil
		for i := range req.Plan.Setups {
			if req.Plan.Setups[i].ID == req.Setup {
				s = &req.Plan.Setups[i]
			}
		}
		if s == nil {
			return AdjustAnswer{}, wrong("setup", fmt.Errorf("no setup is called %q", req.Setup), "there are "+ids(req.Plan.Setups, func(s SetupAnswer) string { return s.ID }))
		}
	}
	if s.Answer == nil {
		return AdjustAnswer{}, &Error{Kind: NoAnswer, Code: "no_plan", Field: "setup", Text: fmt.Sprintf("setup %q has no settings to adjust", s.ID), Hint: "take one of its ways out first"}
	}
	cam, err := req.Plan.Camera.camera()
	if err != nil {
		return AdjustAnswer{}, wrong("plan.camera", err, "")
	}
	if err := s.Answer.settings().Check(); err != nil {
		return AdjustAnswer{}, wrong("plan.setups.answer", err, `make the plan with "hardnoon plan FILE --json"`)
	}
	more, err := moreOf(*s.Answer, req.Seen)
	if err != nil {
		return AdjustAnswer{}, err
	}
	change := 0.0
	switch {
	case req.ChangeStops != nil && req.MeterEV100 != nil:
		return AdjustAnswer{}, wrong("meter_ev100", errors.New("both a change and a reading are given"), "give one of them")
	case req.MeterEV100 != nil:
		change = *req.MeterEV100 - s.Daylight.BackgroundEV
	case req.ChangeStops != nil:
		change = *req.ChangeStops
	case len(req.Seen) == 0:
		return AdjustAnswer{}, wrong("ambient_change_stops", errors.New("no change is given"), "give the change in stops: −2 for a cloud over the sun")
	}
	return adjust(s.ID, *s.Answer, cam, exposure.Shutter(s.SlowestS), change, more)
}

// moreOf returns how many stops more each light must give after what was seen.
func moreOf(p Planned, seen []SeenJSON) ([]unit.Stops, error) {
	out := make([]unit.Stops, len(p.Lights))
	for i, x := range seen {
		field := fmt.Sprintf("seen[%d]", i)
		n := slices.IndexFunc(p.Lights, func(l LightJSON) bool { return l.Role == x.Role })
		if n < 0 {
			return nil, wrong(field+".role", fmt.Errorf("this setup has no %q light", x.Role), "there are "+ids(p.Lights, func(l LightJSON) string { return l.Role }))
		}
		l := p.Lights[n]
		more, err := advise.More(unit.Stops(l.Total), unit.Stops(l.Level), unit.Stops(x.Stops))
		var none *advise.NoFlashError
		if errors.As(err, &none) {
			return nil, &Error{Kind: NoAnswer, Code: "no_flash_seen", Field: field, Text: fmt.Sprintf("the %s added nothing to that frame", x.Role), Hint: "did it fire? look at the trigger and the battery before the power"}
		}
		if err != nil {
			return nil, wrong(field+".stops", err, "")
		}
		out[n] += more
	}
	return out, nil
}

func (p Planned) settings() exposure.Settings {
	iso := exposure.ISO(p.ISO) // nominal in JSON, exact here
	if x, err := exposure.NearestISO(p.ISO, exposure.Thirds); err == nil && math.Abs(math.Log2(float64(x/iso))) < 0.03 {
		iso = x
	}
	return exposure.Settings{FNumber: exposure.FNumber(p.FNumber), Shutter: exposure.Shutter(p.ShutterS), ISO: iso, ND: unit.Stops(p.NDStops)}
}
