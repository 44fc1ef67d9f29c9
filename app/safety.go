package app

import (
	"fmt"
	"math"

	"hardnoon/api"
	"hardnoon/sheet"
)

// safety says what could hurt somebody, once for all setups: each stand by its
// worst setup, heat and ultraviolet light by the worst hour. What is not known
// is said to be unknown, with whom to ask.
func (d *day) safety(plan api.PlanAnswer) []sheet.Thing {
	if len(plan.Setups) == 0 {
		return said("Wind and heat are judged when a setup is planned.", thunder, deferral)
	}
	out := d.wind(plan)
	heat, uv := plan.Setups[0].Safety.Heat, plan.Setups[0].Safety.UV
	var cold *api.ColdSafety
	storm := sheet.Thing{Words: thunder}
	for _, a := range plan.Setups {
		heat = hotter(heat, a.Safety.Heat)
		if x := a.Safety.UV; x.Index > uv.Index {
			uv = x
		}
		if x := a.Safety.Cold; x != nil && (cold == nil || x.WindChill < cold.WindChill) {
			cold = x
		}
		if x := a.Safety.Lightning; x.Level == "stop" && !storm.Care {
			storm = sheet.Thing{Words: sentence(x.Text), Care: true}
		}
	}
	if cold != nil && cold.Level != "quiet" {
		out = append(out, sheet.Thing{Words: sentence(cold.Text), Care: true})
	}
	if cold == nil || heat.Level != "quiet" { // nobody asks for the heat of a frost
		out = append(out, d.heat(heat))
	}
	return append(append(out, sun(uv), storm), said(deferral)...)
}

func said(words ...string) []sheet.Thing {
	var out []sheet.Thing
	for _, w := range words {
		out = append(out, sheet.Thing{Words: w})
	}
	return out
}

const (
	thunder  = "Thunder: into a building or car, 30 min."
	deferral = "Local rules and trained people decide."
)

// wind says what each stand carries and how far people stay away.
func (d *day) wind(plan api.PlanAnswer) []sheet.Thing {
	type need struct {
		who              string
		foot, mast, away float64
	}
	var needs []need
	var worst *api.BallastSafety
	gust := -1.0
	for _, a := range plan.Setups {
		for _, s := range a.Safety.Stands {
			if s.Level == "stop" && a.Safety.Ballast == nil {
				return []sheet.Thing{{Words: fmt.Sprintf("Gusts %s: no stand goes up.", d.units().Speed(*s.GustMPS)), Care: true}}
			}
			if s.GustMPS == nil {
				continue
			}
			gust = max(gust, *s.GustMPS)
			who := or2(s.Stand, s.Role)
			at := -1
			for i := range needs {
				if needs[i].who == who {
					at = i
				}
			}
			if at < 0 {
				at = len(needs)
				needs = append(needs, need{who: who})
			}
			x := &needs[at]
			x.foot, x.mast, x.away = max(x.foot, or(s.BallastFoot, 0)), max(x.mast, or(s.BallastMast, 0)), max(x.away, s.KeepOutM)
		}
		if b := a.Safety.Ballast; b != nil && (worst == nil || b.FootKg > worst.FootKg) {
			worst = b
		}
	}
	if gust < 0 {
		return []sheet.Thing{{Words: "Wind unknown: ask the weather service for the gusts before a stand goes up.", Care: true}}
	}
	out := said(fmt.Sprintf("Gusts %s: windward leg, or mast", d.units().Speed(gust)))
	for _, n := range needs {
		ballast := "no ballast asked for"
		if n.mast > 0 {
			ballast = fmt.Sprintf("%s or %s of ballast", d.units().Mass(n.foot), d.units().Mass(n.mast))
		}
		out = append(out, sheet.Thing{Words: fmt.Sprintf("%s %s, %s clear", n.who, ballast, d.units().Length(math.Ceil(n.away*10)/10))})
	}
	if worst != nil && worst.HaveKg != nil {
		switch have := d.units().Mass(*worst.HaveKg); {
		case worst.ShortKg > 0:
			words := fmt.Sprintf("%s in the car, %s short", have, d.units().Mass(worst.ShortKg))
			if worst.Change != "" {
				words += "; " + d.inUnits(worst.Change)
			}
			out = append(out, sheet.Thing{Words: words + ".", Care: true})
		case *worst.HaveKg < worst.MastKg:
			out = append(out, sheet.Thing{Words: have + " do on windward legs only.", Care: true})
		}
	}
	return out
}

// hotter is the worse of two; one that is not known is the better.
func hotter(a, b api.HeatSafety) api.HeatSafety {
	if b.WBGT != nil && (a.WBGT == nil || *b.WBGT > *a.WBGT) {
		return b
	}
	return a
}

// heat says how the hottest setup strains people.
func (d *day) heat(h api.HeatSafety) sheet.Thing {
	if h.WBGT == nil || h.HeatIndexC == nil {
		return sheet.Thing{Words: "Heat unknown: ask for temperature and humidity; shade and water in any case.", Care: true}
	}
	estimate := ""
	if h.Estimate {
		estimate = " (estimate)"
	}
	return sheet.Thing{Words: fmt.Sprintf("Wet-bulb globe %s%s, heat index %s: %s.", d.units().Temperature(*h.WBGT), estimate, d.units().Temperature(*h.HeatIndexC), h.Action),
		Care: h.Level == "care" || h.Level == "stop"}
}

func sun(u api.UVSafety) sheet.Thing {
	words := fmt.Sprintf("UV %.0f, %s", u.Index, u.Band)
	if u.Level != "quiet" {
		words += ": hat, shirt, sun cream"
	}
	return sheet.Thing{Words: words + "."}
}

// sentence makes a sentence of a text of the engine's.
func sentence(s string) string {
	if s == "" {
		return s
	}
	return string(s[0]-'a'+'A') + s[1:] + "."
}
