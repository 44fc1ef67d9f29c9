package app

import (
	"fmt"

	"hardnoon/session"
)

// safety says what could hurt somebody, as far as the session tells. What is not
// known is said to be unknown.
func (d *day) safety() []string {
	w := d.s.Weather
	if w == nil {
		w = &session.Weather{}
	}
	var out []string
	out = append(out, d.wind(*w)...)
	out = append(out, d.heat(*w)...)
	return append(out,
		"Thunder heard: stop, everybody indoors or into a car.",
		"Local rules and trained people on the spot decide.")
}

func (d *day) wind(w session.Weather) []string {
	if w.WindMPS == nil && w.GustMPS == nil {
		return []string{"Wind unknown: ask for the gusts before a stand goes up."}
	}
	return []string{fmt.Sprintf("Wind %s.", windWords(d, w))}
}

func windWords(d *day, w session.Weather) string {
	switch {
	case w.GustMPS == nil:
		return d.units().Speed(*w.WindMPS)
	case w.WindMPS == nil:
		return "in gusts " + d.units().Speed(*w.GustMPS)
	}
	return d.units().Speed(*w.WindMPS) + ", in gusts " + d.units().Speed(*w.GustMPS)
}

func (d *day) heat(w session.Weather) []string {
	if w.TemperatureC == nil || w.HumidityPct == nil {
		return []string{"Heat unknown: ask for temperature and humidity."}
	}
	return []string{fmt.Sprintf("%s, humidity %.0f %%.", d.units().Temperature(*w.TemperatureC), *w.HumidityPct)}
}
