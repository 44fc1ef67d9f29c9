package session

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"
)

// check adds what a tag cannot say: names that point nowhere, pairs that
// contradict each other, times that do not exist.
func (r *reader) check(s *Session, root *node) {
	c := checker{r, root}
	c.times(s)
	c.sky(s)
	c.kit(&s.Kit)
	for i, x := range s.Place.Solids {
		c.solid(&x, fmt.Sprintf("place.solids[%d]", i))
	}
	people := c.ids("people", len(s.People), func(i int) string { return s.People[i].ID })
	c.ids("roster", len(s.Roster), func(i int) string { return s.Roster[i].ID })
	c.ids("setups", len(s.Setups), func(i int) string { return s.Setups[i].ID })
	for i := range s.Setups {
		c.setup(&s.Setups[i], &s.Kit, people, fmt.Sprintf("setups[%d]", i))
	}
}

type checker struct {
	*reader
	root *node
}

// find returns the node at path, or the nearest one above it.
func (c checker) find(path string) *node {
	n := c.root
	for _, step := range strings.FieldsFunc(path, func(r rune) bool { return r == '.' || r == '[' }) {
		var next *node
		if at, ok := strings.CutSuffix(step, "]"); ok {
			i, _ := strconv.Atoi(at) // we wrote the path
			if i < len(n.items) {
				next = n.items[i]
			}
		} else {
			next = n.field(step)
		}
		if next == nil {
			return n
		}
		n = next
	}
	return n
}

func (c checker) bad(path, text, hint string) { c.add(c.find(path), path, text, hint) }

// ids returns the ids of a list and refuses one that stands twice.
func (c checker) ids(path string, n int, id func(int) string) []string {
	var out []string
	for i := range n {
		if slices.Contains(out, id(i)) {
			c.bad(fmt.Sprintf("%s[%d].id", path, i), fmt.Sprintf("id %q is used twice in %s", id(i), path), "give each its own")
		}
		out = append(out, id(i))
	}
	return out
}

// points refuses a name that none of the ids answers to; empty points nowhere.
func (c checker) points(path, id string, ids []string, where string) {
	if id == "" || slices.Contains(ids, id) {
		return
	}
	hint := fmt.Sprintf("add it to %s", where)
	if near := nearest(id, ids); near != "" {
		hint = fmt.Sprintf("did you mean %q?", near)
	} else if len(ids) > 0 {
		hint = fmt.Sprintf("%s has %s", where, strings.Join(ids[:min(len(ids), 12)], ", "))
	}
	c.bad(path, fmt.Sprintf("%q is not in %s", id, where), hint)
}

// inOrder refuses a least above its greatest.
func (c checker) inOrder(path, lo, hi string, a, b *float64) {
	if a != nil && b != nil && *a > *b {
		c.bad(path+"."+lo, fmt.Sprintf("%s is %s and %s is %s", lo, plain(*a), hi, plain(*b)), "the first must not be the greater")
	}
}

func (c checker) times(s *Session) {
	zone, err := time.LoadLocation(s.Place.Zone)
	if err != nil {
		if _, known := time.LoadLocation("Europe/Paris"); known != nil {
			zone = time.UTC // this machine knows no zones at all; only the form can be checked
		} else {
			c.bad("place.zone", fmt.Sprintf("no time zone is called %q", s.Place.Zone), forms["zone"].like)
			return
		}
	}
	at := func(path, local, fold string) {
		if local == "" {
			return
		}
		if _, err := Instant(local, zone, fold); err != nil {
			e := err.(*Error)
			c.bad(path, e.Text, e.Hint)
		}
	}
	at("start", s.Start, s.Fold)
	for i, x := range s.Setups {
		at(fmt.Sprintf("setups[%d].at", i), x.At, s.Fold)
	}
	for i, x := range s.People {
		at(fmt.Sprintf("people[%d].arrives", i), x.Arrives, s.Fold)
		at(fmt.Sprintf("people[%d].leaves", i), x.Leaves, s.Fold)
		if x.Arrives != "" && x.Leaves != "" && x.Leaves <= x.Arrives { // both in one form, so text order is time order
			c.bad(fmt.Sprintf("people[%d].leaves", i), fmt.Sprintf("leaves at %s and arrives at %s", x.Leaves, x.Arrives), "the first must be the later")
		}
	}
	for i, x := range s.Roster {
		at(fmt.Sprintf("roster[%d].arrives", i), x.Arrives, s.Fold)
	}
	if m := s.Place.Memory; m != nil {
		for i, x := range m.Past {
			at(fmt.Sprintf("place.memory.past[%d].at", i), x.At, "first")
		}
	}
	for i, x := range s.Slots {
		at(fmt.Sprintf("slots[%d].start", i), x.Start, x.Fold)
	}
}

func (c checker) sky(s *Session) {
	need := func(field string, said bool) {
		if !said {
			c.bad("sky", fmt.Sprintf("a sky of kind %q needs %s", s.Sky.Kind, field), "add it, or say another kind")
		}
	}
	switch s.Sky.Kind {
	case "named":
		need("name", s.Sky.Name != "")
	case "oktas":
		need("oktas", s.Sky.Oktas != nil)
	case "metar":
		need("metar", s.Sky.METAR != "")
	case "irradiance":
		need("dni_wm2", s.Sky.DNIWM2 != nil)
		need("dhi_wm2", s.Sky.DHIWM2 != nil)
	case "meter":
		need("meter_ev100", s.Sky.MeterEV100 != nil)
	}
	if w := s.Weather; w != nil {
		c.inOrder("weather", "wind_mps", "gust_mps", w.WindMPS, w.GustMPS)
	}
}

func (c checker) kit(k *Kit) {
	c.inOrder("kit.camera", "iso_min", "iso_max", k.Camera.ISOMin, k.Camera.ISOMax)
	c.ids("kit.lenses", len(k.Lenses), func(i int) string { return k.Lenses[i].ID })
	for i := range k.Lenses {
		l, at := &k.Lenses[i], fmt.Sprintf("kit.lenses[%d]", i)
		c.inOrder(at, "focal_min_mm", "focal_max_mm", &l.FocalMinMM, &l.FocalMaxMM)
		c.inOrder(at, "f_min", "f_max", &l.FMin, l.FMax)
	}
	heads := c.ids("kit.heads", len(k.Heads), func(i int) string { return k.Heads[i].ID })
	for i, h := range k.Heads {
		at := fmt.Sprintf("kit.heads[%d]", i)
		if h.Class == "" && h.EnergyWS == nil && h.GuideNumberM == nil {
			c.bad(at, "nothing says how strong this head is", `add "class", "energy_ws" or "guide_number_m"`)
		}
		if h.GuideNumberM == nil && (h.GuideNumberModifier != "" || h.GuideNumberISO != nil) {
			c.bad(at, "a guide number is described and not given", `add "guide_number_m"`)
		}
		heads = append(heads, h.Class)
	}
	modifiers := append(c.ids("kit.modifiers", len(k.Modifiers), func(i int) string { return k.Modifiers[i].ID }), "bare")
	for _, m := range k.Modifiers {
		modifiers = append(modifiers, m.Class)
	}
	c.ids("kit.stands", len(k.Stands), func(i int) string { return k.Stands[i].ID })
	if k.Calibration == nil {
		return
	}
	for i, h := range k.Calibration.Heads {
		c.points(fmt.Sprintf("kit.calibration.heads[%d].head", i), h.Head, heads, "kit.heads")
	}
	for i, p := range k.Calibration.Pairs {
		at := fmt.Sprintf("kit.calibration.pairs[%d].", i)
		c.points(at+"head", p.Head, heads, "kit.heads")
		c.points(at+"modifier", p.Modifier, modifiers, "kit.modifiers")
	}
}

// solid wants one of two ways to say where a thing stands, and all of it.
func (c checker) solid(s *Solid, at string) {
	polar := s.BearingDeg != nil || s.DistanceM != nil
	plane := s.EastM != nil || s.NorthM != nil
	switch {
	case polar && plane:
		c.bad(at, "it stands in two places", "say bearing_deg and distance_m, or east_m and north_m")
	case polar && s.BearingDeg != nil && s.DistanceM != nil, plane && s.EastM != nil && s.NorthM != nil:
	default:
		c.bad(at, "nothing says where it stands", "add bearing_deg and distance_m, or east_m and north_m")
	}
	if s.Lit && s.Kind != "field light" {
		c.bad(at+".lit", fmt.Sprintf("a %s has no lamp", s.Kind), "only a field light can be lit")
	}
}

func (c checker) setup(s *Setup, k *Kit, people []string, at string) {
	names := func(n int, id func(int) string) (out []string) {
		for i := range n {
			out = append(out, id(i))
		}
		return out
	}
	lenses := names(len(k.Lenses), func(i int) string { return k.Lenses[i].ID })
	heads := names(len(k.Heads), func(i int) string { return k.Heads[i].ID })
	modifiers := append(names(len(k.Modifiers), func(i int) string { return k.Modifiers[i].ID }), "bare")
	stands := names(len(k.Stands), func(i int) string { return k.Stands[i].ID })

	c.points(at+".lens", s.Lens, lenses, "kit.lenses")
	if i := slices.Index(lenses, s.Lens); i >= 0 {
		l := k.Lenses[i]
		if s.FocalMM < l.FocalMinMM || s.FocalMM > l.FocalMaxMM {
			c.bad(at+".focal_mm", fmt.Sprintf("focal_mm is %s mm; lens %q goes from %s to %s mm", plain(s.FocalMM), l.ID, plain(l.FocalMinMM), plain(l.FocalMaxMM)), "take another lens, or another focal length")
		}
	}
	c.points(at+".subject.person", s.Subject.Person, people, "people")
	var used []string
	for i, l := range s.Lights {
		light := fmt.Sprintf("%s.lights[%d]", at, i)
		c.points(light+".head", l.Head, heads, "kit.heads")
		c.points(light+".modifier", l.Modifier, modifiers, "kit.modifiers")
		c.points(light+".stand", l.Stand, stands, "kit.stands")
		if slices.Contains(used, l.Head) {
			c.bad(light+".head", fmt.Sprintf("head %q is already in use in this setup", l.Head), "one head makes one light; add another to kit.heads")
		}
		used = append(used, l.Head)
		c.inOrder(light, "distance_min_m", "distance_max_m", l.DistanceMinM, l.DistanceMaxM)
		c.inOrder(light, "distance_min_m", "distance_m", l.DistanceMinM, l.DistanceM)
		c.inOrder(light, "distance_m", "distance_max_m", l.DistanceM, l.DistanceMaxM)
	}
	look := at + ".look"
	c.inOrder(look, "f_number_min", "f_number_max", s.Look.FNumberMin, s.Look.FNumberMax)
	c.inOrder(look, "f_number_min", "f_number", s.Look.FNumberMin, s.Look.FNumber)
	c.inOrder(look, "f_number", "f_number_max", s.Look.FNumber, s.Look.FNumberMax)
	c.ids(at+".shots", len(s.Shots), func(i int) string { return s.Shots[i].ID })
}
