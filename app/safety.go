package app

import (
	"fmt"
	"math"
	"strings"

	"hardnoon/engine/flash"
	"hardnoon/engine/modifier"
	"hardnoon/engine/safety"
	"hardnoon/engine/unit"
	"hardnoon/session"
)

// safety says what could hurt somebody, as far as the session tells. What is not
// known is said to be unknown, with whom to ask.
func (d *day) safety() []string {
	w := d.s.Weather
	if w == nil {
		w = &session.Weather{}
	}
	out := append(d.wind(*w), d.heat(*w)...)
	return append(out,
		"Thunder: all into a building or a car.",
		"Advice only: local rules and trained people decide.")
}

// usualStand is what holds a light for which the session names no stand. Own
// choice: a light one, so that the ballast is enough for a heavier.
var usualStand = session.Stand{ID: "unnamed", LegRadiusM: 0.45, MassKg: 1.6}

// wind says what each stand carries in that wind: ballast in all, hung at the
// column, by its worst light.
func (d *day) wind(w session.Weather) []string {
	report := safety.WindReport{}
	if w.WindMPS != nil {
		report.Mean = new(unit.Speed(*w.WindMPS))
	}
	if w.GustMPS != nil {
		report.Gust = new(unit.Speed(*w.GustMPS))
	}
	gust, err := report.GustAtStand()
	if err != nil || gust.From == safety.NoWind {
		return []string{"Wind unknown: ask the weather service for the gusts before a stand goes up."}
	}
	out := []string{"Gusts " + d.units().Speed(gust.Speed.MetresPerSecond()) + "."}
	type need struct {
		id      string
		ballast float64
		keepOut float64
		level   safety.Level
	}
	var needs []need
	for _, su := range d.s.Setups {
		for _, l := range su.Lights {
			a, id, ok := d.standIn(report, l)
			if !ok {
				continue
			}
			n := need{id, a.BallastAtMast.Kilograms(), a.KeepOut.Metres(), a.Level}
			at := -1
			for i := range needs {
				if needs[i].id == id {
					at = i
				}
			}
			if at < 0 {
				needs = append(needs, n)
			} else {
				x := &needs[at]
				x.ballast, x.keepOut, x.level = max(x.ballast, n.ballast), max(x.keepOut, n.keepOut), max(x.level, n.level)
			}
		}
	}
	if gust.Speed >= safety.HardStop {
		return []string{out[0] + " Stop: no stand goes up from " + d.units().Speed(safety.HardStop.MetresPerSecond()) + "."}
	}
	total := 0.0
	var words []string
	for _, n := range needs {
		words = append(words, fmt.Sprintf("%s %s, clear %s around", n.id, d.units().Mass(n.ballast), d.units().Length(n.keepOut)))
		total += math.Ceil(n.ballast)
	}
	if len(words) > 0 {
		out[0] += " Ballast: " + strings.Join(words, "; ") + "."
	}
	if b := d.s.Kit.BallastKg; b != nil && *b < total {
		out = append(out, fmt.Sprintf("Kit has %s; bring %s.", d.units().Mass(*b), d.units().Mass(total)))
	}
	return out
}

// standIn judges the stand of a light, with the ballast it asks for on it.
func (d *day) standIn(report safety.WindReport, l session.Light) (safety.StandAdvice, string, bool) {
	stand := usualStand
	for _, s := range d.s.Kit.Stands {
		if s.ID == l.Stand {
			stand = s
		}
	}
	class := l.Modifier
	for _, m := range d.s.Kit.Modifiers {
		if m.ID == l.Modifier {
			class = m.Class
		}
	}
	mod, ok := modifier.ByID(or2(class, "bare"))
	if !ok {
		return safety.StandAdvice{}, "", false
	}
	var head flash.Head
	for _, h := range d.s.Kit.Heads {
		if h.ID == l.Head {
			head, _ = flash.ByID(h.Class)
		}
	}
	loaded := safety.Loaded(head, mod, unit.Length(or(l.HeightM, usualHeight)), unit.Length(stand.LegRadiusM), unit.Mass(stand.MassKg))
	loaded.Legs = int(or(stand.Legs, 3))
	a, err := loaded.InWind(report, 0)
	return a, stand.ID, err == nil
}

// usualHeight is how high a light stands of which nobody said it. Own choice.
const usualHeight = 2.2 // m

// heat says how hot it feels.
func (d *day) heat(w session.Weather) []string {
	if w.TemperatureC == nil || w.HumidityPct == nil {
		return []string{"Heat unknown: ask for temperature and humidity at the hour; shade and water in any case."}
	}
	air := d.units().Temperature(*w.TemperatureC)
	index, err := safety.HeatIndex(unit.Celsius(*w.TemperatureC), *w.HumidityPct)
	if err != nil {
		return []string{fmt.Sprintf("%s, humidity %.0f %%: no heat index for that.", air, *w.HumidityPct)}
	}
	band := safety.HeatBandOf(index)
	line := fmt.Sprintf("%s, humidity %.0f %%: feels %s in shade, to %s in sun", air, *w.HumidityPct,
		d.units().Temperature(float64(index)), d.units().Temperature(float64(index)+sunAdds))
	if band > safety.BelowCaution {
		line += ", " + band.String()
	}
	return []string{line + ". Drink, shade every 20 min."}
}

// sunAdds is what full sun adds to the heat index at most. Source: [NWSHeatIndex].
const sunAdds = 8 // °C
