package api

import (
	"math"

	"hardnoon/engine/plan"
)

// DoJSON is a way out as values for the setup it was found for: what a face
// writes into the session when a person takes it. What is null stays.
type DoJSON struct {
	Role       string   `json:"role,omitempty"` // the light that moves
	DistanceM  *float64 `json:"distance_m,omitempty"`
	UnderStops *float64 `json:"under_stops,omitempty"`
	FNumberMax *float64 `json:"f_number_max,omitempty"`
}

// doing says a way out in values; nil for one that needs something the setup
// does not name.
func doing(w plan.WayOut) *DoJSON {
	switch w.Kind {
	case plan.ChangeDistance:
		if w.What == "" {
			return nil
		}
		return &DoJSON{Role: w.What, DistanceM: new(math.Floor(w.Distance.Metres()*20) / 20)}
	case plan.ChangeUnder:
		return &DoJSON{UnderStops: new(float64(w.Under))}
	}
	return nil
}
