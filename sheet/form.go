package sheet

// Form is a sheet of words: for the family, or to be filled in and signed. The
// names of its sections stand on the left, what they hold on the right.
type Form struct {
	Kind     string // "family sheet", "release", "packing list"
	Title    string
	Place    string
	Date     string
	Time     string
	Lead     string // what the sheet is, in one or two sentences
	Lang     string
	Paper    Paper
	Sections []Section
	Foot     string // what it is not
}

// Section is a named part of a form.
type Section struct {
	Name  string
	Items []Item
}

// Item is one line of a section.
type Item struct {
	Words string
	Clock string // the time it begins, before it
	Tick  bool   // a box before it
	Care  bool   // a sign of care before it
	Blank bool   // a line to write on behind it
	Bold  bool
}

const (
	formSide = 16.0 // mm left and right of forms and lists
	formLeft = 36.0 // mm for the names of sections

	// Type of a form, pt: as large as one page can hold, and for more pages the
	// usual.
	formLarge = 12.0
	formSmall = 9.5
	formUsual = 10.5
)

// setting is how a form is set.
type setting struct{ size, lead float64 }

func settingOf(size float64) setting { return setting{size, size * 0.45} }

// Document lays the form out in the largest type that keeps it on one page.
func (f Form) Document() Document {
	for size := formLarge; size >= formSmall; size -= 0.5 {
		if d := f.set(settingOf(size)); len(d.Pages) == 1 {
			return d
		}
	}
	return f.set(settingOf(formUsual))
}

func (f Form) set(how setting) Document {
	paper := f.Paper
	if paper.Width == 0 {
		paper = A4
	}
	const side, left = formSide, formLeft
	w := paper.Width - 2*side
	pr := &press{foot: true, side: side, doc: Document{Title: f.Kind + ": " + f.Title, Lang: f.Lang, Paper: paper}}
	pr.begin()
	p := pr.pen
	y := pr.heading(w, f.Kind, f.Title, f.Place, f.Date, f.Time) + 3.5
	if f.Lead != "" {
		y = p.lines(side, y, w, how.size, how.lead, false, f.Lead) + 2.2
	}
	bottom := paper.Height - margin - 6
	first := f.Lead == "" // the heavy rule stands right above
	for _, s := range f.Sections {
		if len(s.Items) == 0 {
			continue
		}
		// A section is not torn if it is a small part of a page.
		high := 0.0
		for _, it := range s.Items {
			high = it.put(&pen{}, how, side+left, high, w-left)
		}
		torn := y+high > bottom && high < paper.Height/3
		named := false
		for i, it := range s.Items {
			need := it.put(&pen{}, how, side+left, y, w-left) - y - how.lead
			if i == 0 && torn || y+need > bottom && y > margin+10 {
				pr.begin()
				p, y = pr.pen, margin+8
				named, first = false, true
			}
			if !named {
				if !first {
					p.rule(side, y-how.lead+0.3, side+w, y-how.lead+0.3, hair)
				}
				first, named = false, true
				y += 0.6
				at := y
				if it.Blank {
					at += how.above()
				}
				p.lines(side, at, left-4, how.size, how.lead, true, s.Name)
			}
			y = it.put(p, how, side+left, y, w-left)
		}
		y += 3.2
	}
	if f.Foot != "" {
		if need := float64(len(wrap(f.Foot, w, MinType, false))-1) * lead; y+need > bottom {
			pr.begin()
			p, y = pr.pen, margin+8
		}
		p.rule(side, y-how.lead+0.3, side+w, y-how.lead+0.3, hair)
		p.lines(side, y+0.2, w, MinType, lead, false, f.Foot)
	}
	return pr.finish(f.Title, f.Kind)
}

// heading writes the top of a form or list: what it is, what for, where and when.
// It returns the first baseline below.
func (pr *press) heading(w float64, kind, title, place, date, time string) float64 {
	p, x, y := pr.pen, pr.side, margin+9.0
	p.bold(x, y, 11, kind)
	y += 9.5
	p.right(x+w, y, titleSize, true, time)
	room := w
	if time != "" {
		room -= Width(time, titleSize, true) + 5
	}
	size := titleSize
	for size > setupSize && len(wrap(title, room, size, true)) > 2 {
		size--
	}
	y = p.lines(x, y, room, size, size*0.43, true, title) - size*0.43 + 6
	p.right(x+w, y, 11, false, date)
	room = w
	if date != "" {
		room -= Width(date, 11, false) + 5
	}
	y = p.lines(x, y, room, 11, 5, false, place) - 5 + 2.5
	p.rule(x, y, x+w, y, heavy)
	return y + 3.5
}

// above is the height a line to write on needs before it.
func (how setting) above() float64 { return 8.5 - how.lead }

// put writes an item and returns the baseline of the next.
func (it Item) put(p *pen, how setting, x, y, w float64) float64 {
	if it.Blank {
		y += how.above()
	}
	if it.Tick {
		p.tick(x, y, 3.4)
		x, w = x+5.6, w-5.6
	}
	if it.Care {
		p.warning(x, y)
		x, w = x+sign, w-sign
	}
	if it.Clock != "" {
		p.bold(x, y, how.size, it.Clock)
		x, w = x+13, w-13
	}
	if !it.Blank {
		return p.lines(x, y, w, how.size, how.lead, it.Bold, it.Words) + 0.7
	}
	at := x
	if it.Words != "" {
		lines := wrap(it.Words, w*0.7, how.size, false)
		for i, l := range lines {
			p.text(x, y, how.size, l)
			if i < len(lines)-1 {
				y += how.lead
			} else {
				at = x + Width(l, how.size, false) + 2
			}
		}
	}
	p.rule(at, y+0.7, x+w, y+0.7, thin)
	return y + how.lead + 0.4
}
