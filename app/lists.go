package app

import (
	"errors"
	"fmt"

	"hardnoon/api"
	"hardnoon/sheet"
)

// packed asks what goes into the car. Without setups, or where no order of the
// day can be made, there is no list, and why says so.
func (d *day) packed() (a api.PackAnswer, why string, err error) {
	if len(d.s.Setups) == 0 {
		return a, "what to pack and to check follows from the setups", nil
	}
	a, err = api.Pack(api.PackRequest{Session: d.s})
	var e *api.Error
	if errors.As(err, &e) && e.Kind == api.NoAnswer {
		return a, "no list: " + e.Text, nil
	}
	return a, "", err
}

// lists are packing and checks in few words, or why there are none; the whole of
// them is a sheet of its own.
func (d *day) lists(l *sheet.LightSheet) error {
	a, why, err := d.packed()
	if err != nil {
		return err
	}
	if why != "" {
		l.Care = append(l.Care, why)
		return nil
	}
	for _, x := range a.Items {
		l.Packing = append(l.Packing, sheet.Thing{Words: d.inUnits(x.Short), Care: x.State == "missing" || x.State == "unknown"})
	}
	l.PreFlight = a.Brief
	return nil
}

// pack is the whole list, with what each thing is for, and the checks as they
// are read aloud.
func (d *day) pack() (sheet.Document, error) {
	a, why, err := d.packed()
	if err != nil {
		return sheet.Document{}, err
	}
	f := sheet.Form{Kind: "Packing list", Title: d.s.Title, Place: d.place(), Date: d.date(), Time: d.start.Format("15:04"), Lang: "en", Paper: d.size()}
	if why != "" {
		f.Lead = sentence(why)
		return f.Document(), nil
	}
	f.Lead = fmt.Sprintf("%d frames, test frames with them, fill %.1f GB. The sign of care marks what the kit does not hold (%d) and what is not known (%d).",
		a.Frames, a.CardGB, a.Missing, a.Unknown)
	for _, x := range a.Items {
		if n := len(f.Sections); n == 0 || f.Sections[n-1].Name != x.Group {
			f.Sections = append(f.Sections, sheet.Section{Name: x.Group})
		}
		s := &f.Sections[len(f.Sections)-1]
		words := x.What
		if x.Group != "always" {
			words += " · " + x.Why
		}
		s.Items = append(s.Items, sheet.Item{Words: d.inUnits(words), Tick: true, Care: x.State == "missing" || x.State == "unknown"})
	}
	aloud := sheet.Section{Name: fmt.Sprintf("read aloud, %.0f s", a.SpeakS)}
	for _, x := range a.Checks {
		aloud.Items = append(aloud.Items, sheet.Item{Words: d.inUnits(x), Tick: true})
	}
	f.Sections = append(f.Sections, aloud)
	for _, x := range a.Assumptions {
		f.Foot += x + "; "
	}
	f.Foot = "Assumed: " + f.Foot + "figures of cards and batteries are from memory. What goes along always is common practice, no source."
	return f.Document(), nil
}
