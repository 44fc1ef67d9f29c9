package app

import (
	"fmt"
	"strings"

	"hardnoon/api"
)

// packing is what goes in the car: what the plan uses, what was named as the
// second way, and what nobody should be without.
func (d *day) packing(plan api.PlanAnswer) []string {
	var out []string
	add := func(s string) {
		if s != "" {
			out = append(out, s)
		}
	}
	used := map[string]bool{}
	nds := map[float64]bool{}
	for i, a := range plan.Setups {
		su := d.s.Setups[i]
		used["lens "+su.Lens] = true
		for _, l := range su.Lights {
			used["head "+l.Head], used["modifier "+l.Modifier], used["stand "+l.Stand] = true, true, true
		}
		for _, p := range []*api.Planned{a.Answer, a.RunnerUp} {
			if p != nil && p.NDStops > 0 {
				nds[p.NDStops] = true
			}
		}
	}
	spare := func(kind, id string) string {
		if used[kind+" "+id] || len(plan.Setups) == 0 {
			return ""
		}
		return ", spare"
	}
	add("camera")
	for _, l := range d.s.Kit.Lenses {
		add(fmt.Sprintf("%s %s mm%s", or2(l.Name, l.ID), focal(l.FocalMinMM, l.FocalMaxMM), spare("lens", l.ID)))
	}
	for _, h := range d.s.Kit.Heads {
		add(named(h.ID, h.Name) + spare("head", h.ID))
	}
	for _, m := range d.s.Kit.Modifiers {
		add(named(m.ID, m.Name) + spare("modifier", m.ID))
	}
	for _, s := range d.s.Kit.Stands {
		add("stand " + s.ID + spare("stand", s.ID))
	}
	for _, nd := range d.s.Kit.NDStops {
		word := fmt.Sprintf("ND %.0f", nd)
		if !nds[nd] {
			word += ", spare"
		}
		add(word)
	}
	for _, g := range d.s.Kit.Gels {
		add("gel " + g)
	}
	if b := d.s.Kit.BallastKg; b != nil {
		add("ballast " + d.units().Mass(*b))
	} else {
		add("ballast: none named")
	}
	for _, s := range []string{"trigger", "batteries, full", "cards, empty", "tape, cloth, pegs", "water, hat", "releases, pen"} {
		add(s)
	}
	return out
}

// named is a thing by the name people give it, and by what the plan calls it.
func named(id, name string) string {
	if name == "" || name == id || strings.HasSuffix(name, " "+strings.ToUpper(id)) {
		return or2(name, id)
	}
	return name + " (" + id + ")"
}

func focal(a, b float64) string {
	if a == b {
		return fmt.Sprintf("%.0f", a)
	}
	return fmt.Sprintf("%.0f–%.0f", a, b)
}

// preFlight is what is checked before the first frame.
func (d *day) preFlight(plan api.PlanAnswer) []string {
	hss := false
	minors := false
	for _, a := range plan.Setups {
		hss = hss || a.Answer != nil && a.Answer.Route == "high-speed sync" || a.RunnerUp != nil && a.RunnerUp.Route == "high-speed sync"
	}
	for _, p := range d.s.People {
		minors = minors || p.Age != nil && *p.Age < adult
	}
	zone, east := d.start.Zone()
	if zone == "" || zone[0] == '+' || zone[0] == '-' {
		zone = "UTC" + offset(east)
	}
	out := []string{
		"clock right, " + zone,
		"manual, raw, white fixed",
		"stands weighted",
		"lens clean, filter as planned",
	}
	if hss {
		out = append(out, "high-speed sync as planned")
	}
	if minors {
		out = append(out, "guardian here, release signed")
	}
	return append(out, "stop word agreed", "test frames 1, 2, 3")
}

// adult is the age from which people usually sign for themselves; local law
// decides.
const adult = 18

func offset(s int) string {
	sign := "+"
	if s < 0 {
		sign, s = "−", -s
	}
	return fmt.Sprintf("%s%d:%02d", sign, s/3600, s/60%60)
}
