package app

import (
	"crypto/sha256"
	"encoding/base32"
	"fmt"
	"math"
	"slices"
	"strings"

	qr "github.com/skip2/go-qrcode"

	"hardnoon/api"
	"hardnoon/session"
	"hardnoon/sheet"
)

// family makes the sheet for the family or the team, in plain words.
func (d *day) family() sheet.Form {
	hours := d.start.Format("15:04") + " to " + d.end.Format("15:04")
	if d.guess {
		hours = d.start.Format("15:04") + ", about an hour"
	}
	zone, _ := d.start.Zone()
	if strings.ContainsAny(zone, "+-") {
		zone = "local time"
	}
	say := func(words ...string) []sheet.Item {
		var out []sheet.Item
		for _, w := range words {
			out = append(out, sheet.Item{Words: w})
		}
		return out
	}
	when := say(d.date()+", "+hours+" ("+zone+").", "Please come a quarter of an hour earlier, so that nobody has to hurry.")
	when[0].Bold = true
	where := say(d.place())
	where[0].Bold = true
	if d.s.Place.Name != "" {
		where = append(where, sheet.Item{Words: d.coordinates() + ", for the map on a phone."})
	}
	// A session that cannot be planned yet has a family all the same.
	safe, err := api.Safety(api.SafetyRequest{Session: d.s})
	var hot api.HeatSafety
	var cold *api.ColdSafety
	sunny := err != nil
	for _, x := range safe.Setups {
		hot = hotter(hot, x.Safety.Heat)
		if c := x.Safety.Cold; c != nil && (cold == nil || c.WindChill < cold.WindChill) {
			cold = c
		}
		sunny = sunny || x.Safety.UV.Level != "quiet"
	}
	skin := "Sun cream that does not shine, put on half an hour before; hat and a jacket for the breaks"
	switch {
	case sunny:
	case cold != nil:
		skin = "Warm clothes, hat and gloves for the breaks; something warm to drink"
	default:
		skin = "A jacket for the breaks"
	}
	bring := []sheet.Item{}
	for _, w := range []string{"Clothes and shoes of the sport, clean; a second shirt of another colour", "Things of the sport that belong to the picture", "Hair and shoes as in competition; no fresh sunburn, no reflecting tape if it can be avoided", skin, "The signed release, if somebody under eighteen is in the pictures", "Anything a trained person should know: allergies, asthma, medicine"} {
		bring = append(bring, sheet.Item{Words: w, Tick: true})
	}
	var heat []sheet.Item
	if w := d.s.Weather; w != nil && w.TemperatureC != nil {
		expected := "Expected: " + d.units().Temperature(*w.TemperatureC)
		if sunny {
			expected += " in the shade; in the sun it feels hotter"
		}
		heat = say(expected + ".")
	} else {
		heat = say("We do not know the weather yet: please look at the forecast the evening before.")
	}
	if hot.Level == "care" || hot.Level == "stop" {
		heat = append(heat, sheet.Item{Words: "For such heat the tables for sport say: " + hot.Action + ". Trained people who are there decide.", Bold: true})
	}
	if cold != nil && cold.Level != "quiet" {
		heat = append(heat, sheet.Item{Words: sentence(cold.Text) + " Trained people who are there decide.", Bold: true})
	}
	weather := "heat and water"
	if cold != nil {
		weather = "cold and water"
	}
	breaks := "We stop and drink every twenty minutes"
	if sunny {
		breaks += ", in the shade if there is any"
	}
	heat = append(heat, say("At least a litre of water for each person, more when it is hot. "+breaks+".", "Whoever feels unwell says so at once, and we stop. No picture is worth it.")...)
	happens := say("The photographer sets up lights on stands. Please walk round them, not between them; small children stay by the hand. The flashes are bright: nobody looks into a light from close by. Tell us beforehand if somebody is sensitive to flashing light.")
	for i, su := range d.s.Setups {
		it := sheet.Item{Words: or2(su.Title, su.ID)}
		if len(su.At) >= 16 {
			it.Clock = su.At[11:16]
		} else if i == 0 {
			it.Clock = d.start.Format("15:04")
		} else {
			it.Clock = "then"
		}
		if su.Minutes != nil {
			it.Words += fmt.Sprintf(", about %.0f minutes", *su.Minutes)
		}
		happens = append(happens, it)
	}
	happens = append(happens, sheet.Item{Words: "If there is thunder we stop and go indoors or into the cars. Then we find another day."})
	// Behind each comma a mark of direction keeps names that run right to left in
	// the order of the list.
	const apart = ", \u200E"
	names := []string{}
	minors := false
	for _, p := range d.s.People {
		names = append(names, or2(p.Name, "somebody without a name yet"))
		minors = minors || p.Age != nil && *p.Age < adult
	}
	if n := len(d.s.Roster); n > 0 {
		names, minors = append(names, fmt.Sprintf("the team of %d", n)), true // no ages are said
	}
	here := say("In the pictures: "+or2(strings.Join(names, apart), "not named yet")+".", "The photographer works alone.")
	if minors || len(names) == 0 {
		here = append(here, sheet.Item{Words: "A guardian, or an adult the guardian has named, stays in sight of every child the whole time.", Bold: true})
	}
	here = append(here, sheet.Item{Words: "Also there, with telephone:", Blank: true}, sheet.Item{Words: "The photographer's telephone:", Blank: true})
	return sheet.Form{Kind: "For the family and the team", Title: d.s.Title, Place: d.place(), Date: d.date(), Time: d.start.Format("15:04"), Lang: "en", Paper: d.size(),
		Sections: []sheet.Section{{Name: "when", Items: when}, {Name: "where", Items: where}, {Name: "bring and wear", Items: bring}, {Name: weather, Items: heat}, {Name: "what will happen", Items: happens}, {Name: "who is there", Items: here}}}
}

// adult is the age from which people usually sign for themselves; local law
// decides.
const adult = 18

// everybody is the people of a session, and after them the team that is not among
// them already.
func everybody(s session.Session) []session.Person {
	all := slices.Clone(s.People)
	for _, p := range s.Roster {
		if !slices.ContainsFunc(s.People, func(x session.Person) bool { return x.ID == p.ID }) {
			all = append(all, session.Person{ID: p.ID, Name: p.Name})
		}
	}
	return all
}

// release makes a form for each minor and for each of a team, whose age is not
// said; without either, for each person; without people, one blank form.
func (d *day) release() sheet.Document {
	var who []session.Person
	for i, p := range everybody(d.s) {
		if i >= len(d.s.People) || p.Age != nil && *p.Age < adult {
			who = append(who, p)
		}
	}
	if len(who) == 0 {
		who = d.s.People
	}
	if len(who) == 0 {
		who = []session.Person{{}}
	}
	var doc sheet.Document
	for i, p := range who {
		x := d.releaseOf(p).Document()
		if i == 0 {
			doc = x
			continue
		}
		doc.Pages = append(doc.Pages, x.Pages...)
	}
	return doc
}

// uses are ticked one by one; nothing ticked is nothing allowed. Own list.
var uses = []string{
	"prints and files for the family and the person shown",
	"the club or school: notice board, programme, members' letter",
	"the club or school: its web page",
	"the club or school: its social media",
	"newspapers and sport magazines, in reports on this sport",
	"the photographer's portfolio, printed or shown in person",
	"the photographer's web page and social media",
	"exhibitions and competitions",
	"first name beside the picture",
}

func (d *day) releaseOf(p session.Person) sheet.Form {
	items := func(words ...string) []sheet.Item {
		var out []sheet.Item
		for _, w := range words {
			out = append(out, sheet.Item{Words: w})
		}
		return out
	}
	blank := func(words string) sheet.Item { return sheet.Item{Words: words, Blank: true} }
	child := blank("Name")
	if p.Name != "" {
		child = blank("Name: " + p.Name)
	}
	ticks := items("Tick only what is allowed. What is not ticked is not allowed. Leave the line empty for no.")
	for _, u := range uses {
		ticks = append(ticks, sheet.Item{Words: u, Tick: true})
	}
	other := blank("another use:")
	other.Tick = true
	ticks = append(ticks, other)
	return sheet.Form{Kind: "Release for pictures of a minor", Title: d.s.Title, Place: d.place(), Date: d.date(), Time: "", Lang: "en", Paper: d.size(),
		Lead: "A guardian signs this for a person who is not of age. The person shown is asked too, and may say no.",
		Sections: []sheet.Section{
			{Name: "person shown", Items: []sheet.Item{child, blank("Born on")}},
			{Name: "guardian", Items: []sheet.Item{blank("Name"), blank("Telephone or e-mail")}},
			{Name: "allowed uses", Items: ticks},
			{Name: "how long", Items: []sheet.Item{{Words: "uses end after 1 year", Tick: true}, {Words: "uses end after 3 years", Tick: true}, {Words: "uses end on:", Tick: true, Blank: true},
				{Words: "When it ends, the photographer takes the pictures down and deletes the files, except one copy kept as proof of this form if the law asks for it."}}},
			{Name: "right to withdraw", Items: append(items("Guardian or person shown may withdraw any use at any time, without a reason, by a message to the photographer. Withdrawn pictures are taken down without delay; what is already printed stays printed. No disadvantage follows."), blank("Photographer, and how to reach them"))},
			{Name: "signed", Items: []sheet.Item{blank("Place and date"), blank("Guardian"), blank("Person shown, if able to sign"), blank("Photographer")}},
		},
		Foot: "This form is no legal advice. Who may consent, from which age, and what must be written differs from country to country: local law decides. Where it asks for more, the law counts and not this form. Keep one signed copy each."}
}

// roster makes the list and the name cards.
func (d *day) roster() (sheet.Document, error) {
	r := sheet.Roster{Title: d.s.Title, Place: d.place(), Date: d.date(), Time: d.start.Format("15:04"), Lang: "en", Paper: d.size(),
		Columns: []string{"here", "release", "pictures"},
		Foot:    "A card is photographed first, then its person. The square holds the code and nothing else; only this list says who it is. Keep the list apart from the pictures."}
	number := map[string]string{}
	for _, p := range d.s.Roster {
		number[p.ID] = p.Number
	}
	for _, p := range everybody(d.s) {
		m := sheet.Member{Name: or2(p.Name, p.ID), Code: Code(d.s, p)}
		if n := number[p.ID]; n != "" {
			m.Note = "number " + n
		}
		if p.Age != nil {
			m.Note = strings.TrimPrefix(m.Note+fmt.Sprintf(", age %.0f", math.Floor(*p.Age)), ", ")
		}
		q, err := qr.New(m.Code, qr.Medium)
		if err != nil {
			return sheet.Document{}, err
		}
		q.DisableBorder = true
		m.Squares = q.Bitmap()
		r.People = append(r.People, m)
	}
	return r.Document(), nil
}

// Code is what the card of a person carries: sixty bits of a digest of session,
// start and the person's id. It holds no name, and without the session file it
// leads to nobody; whoever has the file can compute it again.
func Code(s session.Session, p session.Person) string {
	sum := sha256.Sum256([]byte(or2(s.ID, s.Title) + "\x00" + s.Start + "\x00" + p.ID))
	text := base32.NewEncoding("0123456789ABCDEFGHJKMNPQRSTVWXYZ").WithPadding(base32.NoPadding).EncodeToString(sum[:8])[:12]
	return text[:4] + "-" + text[4:8] + "-" + text[8:]
}

// PersonOf finds the person a card belongs to.
func PersonOf(s session.Session, code string) (session.Person, bool) {
	for _, p := range everybody(s) {
		if Code(s, p) == strings.TrimSpace(code) {
			return p, true
		}
	}
	return session.Person{}, false
}
