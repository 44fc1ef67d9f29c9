package api

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"hardnoon/engine/order"
	"hardnoon/engine/safety"
	"hardnoon/engine/spectrum"
	"hardnoon/engine/unit"
	"hardnoon/session"
)

// PackRequest asks what goes into the car.
type PackRequest struct {
	Session session.Session `json:"session"`
}

// PackAnswer is the car packed, and what is said before the first frame.
type PackAnswer struct {
	Title       string     `json:"title"`
	Items       []PackItem `json:"items"`
	Missing     int        `json:"missing"` // items that the kit does not hold
	Unknown     int        `json:"unknown"`
	Frames      int        `json:"frames"` // planned on, test frames with them
	CardGB      float64    `json:"card_gb"`
	Checks      []string   `json:"checks"`
	Brief       []string   `json:"brief"` // the checks in few words, for a small page
	SpeakS      float64    `json:"speak_s"`
	Assumptions []string   `json:"assumptions"`
	Notes       []Note     `json:"notes"`
}

// PackItem is one thing. State is "used", "spare", "missing" or "unknown".
type PackItem struct {
	Group string `json:"group"`
	What  string `json:"what"`
	Short string `json:"short"` // the beginning of what, for a small page
	Why   string `json:"why"`
	State string `json:"state"`
}

// Figures of cards and batteries.
const (
	// A raw file without compression is 14 bits a pixel, 1.75 MB a megapixel; a
	// JPEG beside it about 0.5. Arithmetic; that makers stay below is from memory.
	bytesAPixel = 14./8 + 0.5
	// Frames that no list names: natural light before the flash, a second try, the
	// plate. Own choice.
	framesMore = 1.5
	// A camera battery. From memory: 300 to 700 by the standard way of counting.
	framesABattery = 400
	// Words a person says in a minute, slow enough to follow. Common practice, no
	// source.
	wordsAMinute = 140
	// A shift of colour that is left alone. Own choice.
	leastShift = 40   // mired
	flashLight = 5600 // K, common practice, no source
)

// frost is where batteries begin to need warmth. Common practice, no source.
const frost unit.Celsius = 0

// packer collects items.
type packer struct {
	*scheduler
	day OrderAnswer
	a   PackAnswer
}

// Pack derives what to take from the plan and the order of the day.
func Pack(req PackRequest) (PackAnswer, error) {
	d, day, err := ordered(OrderRequest{Session: req.Session}, true)
	if err != nil {
		return PackAnswer{}, err
	}
	p := &packer{d, day, PackAnswer{Title: d.s.Title, Items: []PackItem{}, Checks: []string{}, Brief: []string{}, Notes: []Note{}}}
	p.camera()
	p.lights()
	p.ballast()
	p.filters()
	p.gels()
	p.power()
	p.cards()
	p.people()
	for _, x := range [][2]string{{"trigger", " and a spare, with cells"}, {"tape, cloth, pegs", ", a lace"}, {"grey card", ""}, {"towel", ""},
		{"telephone", ", charged, with the number of whom you meet"}, {"permit", " and insurance on paper, where they are asked for"}} {
		p.add("always", x[0], x[1], "common practice, no source", "used")
	}
	if air := p.weather.air; air != nil && *air <= frost {
		p.add("power", "an inside pocket", " for the spare batteries", "at "+degrees(*air)+" a cold battery gives less; common practice, no source", "used")
	}
	if end := p.day.Rows[len(p.day.Rows)-1].End; p.down(end) {
		p.add("always", "head torch", ", with fresh cells", "the sun is down at "+end.In(p.zone).Format("15:04")+"; common practice, no source", "used")
	}
	for _, x := range p.a.Items {
		switch x.State {
		case "missing":
			p.a.Missing++
		case "unknown":
			p.a.Unknown++
		}
	}
	p.checks()
	p.a.Assumptions = append(p.a.Assumptions, fmt.Sprintf("%.3g MB a frame: raw of 14 bits and a JPEG, at %.3g megapixels", bytesAPixel*p.pixels, p.pixels),
		fmt.Sprintf("half as many frames again as the shots name, %d test frames a setup", order.TestPops), "one charge of a head less a fifth that is kept")
	return p.a, nil
}

// add adds an item that is called short, with more to be said of it.
func (p *packer) add(group, short, more, why, state string) {
	p.a.Items = append(p.a.Items, PackItem{group, short + more, short, why, state})
}

// down reports whether the sun is below the horizon.
func (p *packer) down(at time.Time) bool {
	day, err := p.daylight(at)
	return err == nil && day.sun.AltitudeApparent < 0
}

// uses returns the ids of setups for which is is true.
func (p *packer) uses(is func(i int, su session.Setup) bool) string {
	var out []string
	for i, su := range p.s.Setups {
		if is(i, su) {
			out = append(out, su.ID)
		}
	}
	return strings.Join(out, ", ")
}

// own adds a thing of the kit: for the setups that use it, or as a spare.
func (p *packer) own(group, what, more, uses string) {
	if uses == "" {
		p.add(group, what, more, "spare", "spare")
		return
	}
	p.add(group, what, more, "for "+uses, "used")
}

func (p *packer) camera() {
	p.add("camera", "camera", " body", "everything", "used")
	for _, l := range p.s.Kit.Lenses {
		more := fmt.Sprintf(", %.3g mm", l.FocalMinMM)
		if l.FocalMaxMM != l.FocalMinMM {
			more = fmt.Sprintf(", %.3g to %.3g mm", l.FocalMinMM, l.FocalMaxMM)
		}
		p.own("camera", or2(l.Name, l.ID), more, p.uses(func(_ int, su session.Setup) bool { return su.Lens == l.ID }))
	}
}

func lit(su session.Setup, is func(l session.Light) bool) bool {
	return slices.ContainsFunc(su.Lights, is)
}

func (p *packer) lights() {
	for _, h := range p.s.Kit.Heads {
		p.own("lights", "head "+h.ID, also("head "+h.ID, h.Name), p.uses(func(_ int, su session.Setup) bool {
			return lit(su, func(l session.Light) bool { return l.Head == h.ID })
		}))
	}
	for _, m := range p.s.Kit.Modifiers {
		p.own("lights", m.ID, also(m.ID, m.Name), p.uses(func(_ int, su session.Setup) bool {
			return lit(su, func(l session.Light) bool { return l.Modifier == m.ID })
		}))
	}
	for _, s := range p.s.Kit.Stands {
		p.own("stands", "stand "+s.ID, fmt.Sprintf(", %.1f m, %.1f kg", s.MaxHeightM, s.MassKg), p.uses(func(_ int, su session.Setup) bool {
			return lit(su, func(l session.Light) bool { return l.Stand == s.ID })
		}))
	}
	most := 0
	for _, su := range p.s.Setups {
		n := 0
		for _, l := range su.Lights {
			if l.Stand == "" {
				n++
			}
		}
		most = max(most, n)
	}
	if most > 0 {
		p.add("stands", fmt.Sprintf("%d stand%s", most, plural(most)), " that the session does not name", "lights without a stand", "unknown")
	}
}

// also is what a thing of the kit is called, behind its id.
func also(id, name string) string {
	if name == "" || strings.EqualFold(name, id) {
		return ""
	}
	return fmt.Sprintf(" (%s)", name)
}

// ballast takes the worst setup: stands go up one setup after the other.
func (p *packer) ballast() {
	mast, foot, known, worst := 0.0, 0.0, false, ""
	for i, a := range p.plans {
		if b := a.Safety.Ballast; b != nil {
			known = true
			if b.MastKg > mast {
				mast, foot, worst = b.MastKg, b.FootKg, p.s.Setups[i].ID
			}
		}
	}
	have, weight := p.s.Kit.BallastKg, fmt.Sprintf("ballast %.0f kg", mast)
	switch {
	case !known:
		p.add("stands", "ballast", ": unknown, the wind is not known; take all there is", "ask for the gusts before a stand goes up", "unknown")
	case mast == 0:
		p.add("stands", "a bag for each stand", "; no ballast is asked for", "gusts come", "used")
	case have == nil:
		p.add("stands", weight, fmt.Sprintf(": at the masts; %.0f kg on the windward legs at the least", foot), worst+"; what is in the car is not said", "unknown")
	case *have < foot:
		p.add("stands", weight, fmt.Sprintf("; the kit has %.3g kg, %.3g too few even on the windward legs", *have, tenth(foot-*have)), worst, "missing")
	case *have < mast:
		p.add("stands", weight, fmt.Sprintf("; the kit's %.3g kg do on the windward legs only (%.0f kg)", *have, foot), worst, "missing")
	default:
		p.add("stands", weight, fmt.Sprintf(" of the kit's %.3g kg", *have), worst, "used")
	}
	if mast > 0 {
		p.add("stands", "cord and pegs", ": bags hang, they do not lie", safety.Deferral, "used")
	}
}

// filters are the neutral densities the plan uses, each for the thread it is
// screwed on.
func (p *packer) filters() {
	type use struct{ setups, threads []string }
	uses := map[float64]*use{}
	var strengths []float64
	for i, a := range p.plans {
		su := p.s.Setups[i]
		if a.Answer == nil {
			for _, w := range a.WaysOut {
				if strings.Contains(w.Change, "ND") {
					p.add("filters", w.Change, "", su.ID+" has no setting without it", "missing")
				}
			}
			continue
		}
		if a.Answer.NDStops == 0 {
			continue
		}
		u := uses[a.Answer.NDStops]
		if u == nil {
			u = &use{}
			uses[a.Answer.NDStops] = u
			strengths = append(strengths, a.Answer.NDStops)
		}
		u.setups = append(u.setups, su.ID)
		thread := "thread unknown: look at the lens cap"
		if f := p.lens(su.Lens).FilterMM; f != nil {
			thread = fmt.Sprintf("%.3g mm", *f)
		}
		u.threads = appendNew(u.threads, thread)
	}
	slices.Sort(strengths)
	for _, nd := range strengths {
		u := uses[nd]
		threads := strings.Join(u.threads, " and ")
		state := "used"
		if strings.Contains(threads, "unknown") {
			state = "unknown"
		}
		why := "for " + strings.Join(u.setups, ", ")
		if len(u.threads) > 1 {
			why += "; or the widest and step-up rings"
		}
		if nd >= 6 {
			why += "; focus before it goes on"
		}
		p.add("filters", fmt.Sprintf("ND %.3g", nd), " stops, "+threads, why, state)
	}
	for _, nd := range p.s.Kit.NDStops {
		if uses[nd] != nil {
			continue
		}
		why := "spare"
		for i, a := range p.plans {
			if r := a.RunnerUp; r != nil && r.NDStops == nd {
				why = "for the other way to set " + p.s.Setups[i].ID
				break
			}
		}
		p.add("filters", fmt.Sprintf("ND %.3g", nd), " stops", why, "spare")
	}
}

// gels take the flash half the way to the colour of a low sun. Common practice,
// no source: none at noon, a quarter to a half CTO late; blue shade is left blue.
func (p *packer) gels() {
	taken := map[string][]string{}
	var names []string
	for i, a := range p.plans {
		at, err := p.at(i)
		if err != nil {
			continue
		}
		day, err := p.daylight(at)
		if err != nil || day.now.DirectNormal <= 0 || a.Sun.AltitudeDeg <= 0 {
			continue
		}
		shift := (day.now.BeamTemperature.Mired() - 1e6/flashLight) / 2
		if shift < leastShift {
			continue
		}
		best := spectrum.Gels[0]
		for _, g := range spectrum.Gels {
			if math.Abs(float64(g.Shift-shift)) < math.Abs(float64(best.Shift-shift)) {
				best = g
			}
		}
		if taken[best.Name] == nil {
			names = append(names, best.Name)
		}
		taken[best.Name] = append(taken[best.Name], p.s.Setups[i].ID)
	}
	for _, name := range names {
		g, _ := spectrum.GelNamed(name)
		why := "for " + strings.Join(taken[name], ", ") + ": half the way to the colour of the low sun"
		if g.Daylight > 0 {
			why += fmt.Sprintf("; costs %.1f stops", -math.Log2(g.Daylight))
		}
		state := "missing"
		if slices.ContainsFunc(p.s.Kit.Gels, func(x string) bool { return strings.EqualFold(strings.ReplaceAll(x, "-", " "), name) }) {
			state = "used"
		}
		p.add("filters", name, " for each head", why, state)
	}
	for _, g := range p.s.Kit.Gels {
		if taken[strings.ToLower(strings.ReplaceAll(g, "-", " "))] == nil {
			p.add("filters", "gel "+g, "", "spare", "spare")
		}
	}
}

func (p *packer) power() {
	for _, h := range p.day.Heads {
		switch {
		case h.Spares > 0:
			p.add("power", fmt.Sprintf("%d charged spare%s for head %s", h.Spares, plural(h.Spares), h.Head), "", fmt.Sprintf("%d pops are %.1f charges", h.Pops, h.Charges), "used")
		default:
			p.add("power", "battery "+h.Head, ", of the head, full", fmt.Sprintf("%d pops are %.0f %% of it; a spare is never wrong", h.Pops, 100*h.Charges), "used")
		}
		if h.RestMin > 0 {
			p.add("power", "shade for head "+h.Head, "", MinutesText(h.RestMin)+" of rest are planned; white cloth keeps the sun off", "used")
		}
	}
}

func (p *packer) cards() {
	frames := 0
	for i := range p.s.Setups {
		frames += order.TestPops
		for _, s := range p.shots[i] {
			frames += s.Asked
		}
	}
	frames = int(math.Ceil(float64(frames) * framesMore))
	gb := float64(frames) * bytesAPixel * p.pixels / 1000
	p.a.Frames, p.a.CardGB = frames, math.Ceil(gb*10)/10
	p.add("cards", fmt.Sprintf("%.1f GB free", p.a.CardGB), " in each of two slots", fmt.Sprintf("%d frames of %.0f MB", frames, bytesAPixel*p.pixels), "used")
	n := frames/framesABattery + 2
	p.add("cards", fmt.Sprintf("%d camera batteries", n), ", full", fmt.Sprintf("about %d frames each (from memory), one to spare", framesABattery), "used")
}

func (p *packer) people() {
	minors := false
	for _, q := range p.s.People {
		minors = minors || q.Age != nil && *q.Age < 18
	}
	if minors || len(p.s.Roster) > 0 {
		p.add("people", "releases", ", signed by a guardian where somebody is under age; pen", "local law decides", "used")
	}
	if n := len(p.s.Roster); n > 0 {
		p.add("people", fmt.Sprintf("roster of %d, name cards", n), " on paper, marker", "name card in the first frame of each", "used")
	}
	if len(p.s.Roster) == 0 && p.scheduler.people > 0 {
		p.add("people", "roster", ": none is in the session", "pictures without names cannot be delivered", "missing")
	}
	for _, a := range p.day.Actions {
		if strings.HasPrefix(a.Press, "lay a line") {
			p.add("people", "chalk", " or tape for a line on the ground", a.Setup+": "+a.Press, "used")
			break
		}
	}
	level := p.hottest().Level
	switch level {
	case "care", "stop":
		p.add("people", "water, shade, ice", ": a litre each and more, a shelter", "heat asks for "+level+"; "+safety.Deferral, "used")
	case "unknown":
		if p.down(p.day.Rows[0].Begin) {
			p.add("people", "water", ", something warm", "the sun is down; heat is not known", "used")
			break
		}
		p.add("people", "water, shade", "", "heat is not known", "unknown")
	default:
		p.add("people", "water, hat", ", sun cream", "always", "used")
	}
}

// checks are spoken in the order of the hands: camera, light, ground, people.
func (p *packer) checks() {
	say := func(format string, x ...any) { p.a.Checks = append(p.a.Checks, fmt.Sprintf(format, x...)) }
	brief := func(format string, x ...any) { p.a.Brief = append(p.a.Brief, fmt.Sprintf(format, x...)) }
	first := p.day.Rows[0]
	k := slices.IndexFunc(p.s.Setups, func(su session.Setup) bool { return su.ID == first.Setup })
	high := p.uses(func(i int, _ session.Setup) bool {
		a := p.plans[i].Answer
		return a != nil && a.Route == "high-speed sync"
	})
	say("Cards: two, empty, %.0f gigabytes free.", math.Ceil(p.a.CardGB))
	say("Clock right. Raw. Manual. White balance fixed. Crop off.")
	brief("cards empty, clock UTC%s", strings.TrimSuffix(strings.Replace(p.start.In(p.zone).Format("-07:00"), "-", "−", 1), ":00"))
	brief("manual, raw, white fixed")
	if a := p.plans[k].Answer; a != nil {
		say("First setup %s: %s, %s, ISO %.0f%s.", first.Setup, a.Shutter, a.Aperture, a.ISO, spoken(a.NDStops))
		for _, l := range a.Lights {
			say("%s: head %s, %s, %.1f metres, power %s.", upper(l.Role), l.Head, or2(l.Modifier, "bare"), l.DistanceM, l.Power)
		}
	}
	if high != "" {
		say("High-speed sync on for %s.", high)
		brief("high-speed sync as planned")
	} else {
		say("High-speed sync off, on trigger and heads.")
		brief("high-speed sync off")
	}
	say("Channel and group set. All heads fire, three times.")
	brief("all heads fire, three times")
	say("Lens clean. Lens cap and filters in the pocket.")
	brief("lens clean, filters here")
	said := map[string]bool{}
	for _, s := range p.plans[k].Safety.Stands {
		if said[s.Stand] {
			continue
		}
		said[s.Stand] = true
		switch {
		case s.GustMPS == nil:
			say("Stand %s: wind not known. Feel it; hang everything.", or2(s.Stand, "of the "+s.Role))
		case s.BallastMast != nil && *s.BallastMast > 0:
			say("Stand %s: %.0f kilos, hanging; a leg towards the load; clear for %.1f metres.", or2(s.Stand, "of the "+s.Role), math.Ceil(*s.BallastMast), s.KeepOutM)
		default:
			say("Stand %s: upright, a bag hanging, clear for %.1f metres.", or2(s.Stand, "of the "+s.Role), s.KeepOutM)
		}
	}
	say("Sun, shadow of the stands, edges of the frame, background.")
	brief("shadows, frame edges")
	if len(p.s.Roster) > 0 {
		say("Name card. Roster.")
		brief("name card, roster")
	}
	if p.plans[k].Safety.Youth {
		say("Guardian in sight. Releases signed.")
		brief("guardian, release signed")
	}
	say("Water. Shade. Stop word agreed. Thunder: everybody indoors.")
	brief("water, shade, stop word")
	say("Test: daylight alone, edge alone, key alone, all.")
	brief("test frames")
	words := 0
	for _, c := range p.a.Checks {
		words += len(strings.Fields(c))
	}
	// A hand needs its moment too: two seconds a line. Own choice.
	p.a.SpeakS = math.Round(float64(words)/wordsAMinute*60 + 2*float64(len(p.a.Checks)))
}

func spoken(nd float64) string {
	if nd == 0 {
		return ", no filter"
	}
	return fmt.Sprintf(", ND %.3g", nd)
}

func upper(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}
