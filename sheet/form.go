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
	Tick  bool // a box before it
	Care  bool // a sign of care before it
	Blank bool // a line to write on behind it
	Bold  bool
}

const (
	formSize = 10.5
	formLead = 4.7

	blankAbove = 2.6
)

// Document lays the form out.
func (f Form) Document() Document {
	paper := f.Paper
	if paper.Width == 0 {
		paper = A4
	}
	const side = 16.0
	w := paper.Width - 2*side
	left := 38.0
	pr := &press{foot: true, doc: Document{Title: f.Kind + ": " + f.Title, Lang: f.Lang, Paper: paper}}
	pr.begin()
	p := pr.pen
	y := margin + 9.0
	p.bold(side, y, 11, f.Kind)
	y += 9.5
	p.right(side+w, y, titleSize, true, f.Time)
	room := w
	if f.Time != "" {
		room -= Width(f.Time, titleSize, true) + 5
	}
	y = p.lines(side, y, room, titleSize, 8.6, true, f.Title) - 8.6
	y += 6
	p.right(side+w, y, 11, false, f.Date)
	room = w
	if f.Date != "" {
		room -= Width(f.Date, 11, false) + 5
	}
	y = p.lines(side, y, room, 11, 5, false, f.Place) - 5 + 2.5
	p.rule(side, y, side+w, y, heavy)
	y += 6
	if f.Lead != "" {
		y = p.lines(side, y, w, 11, 5, false, f.Lead) + 2.2
	}
	bottom := paper.Height - margin - 5
	first := f.Lead == "" // the heavy rule stands right above
	for _, s := range f.Sections {
		if len(s.Items) == 0 {
			continue
		}
		named := false
		for _, it := range s.Items {
			need := it.put(&pen{}, side+left, y, w-left) - y
			if y+need > bottom && y > margin+10 {
				pr.begin()
				p, y = pr.pen, margin+6
				named, first = false, true
			}
			if !named {
				if !first {
					p.rule(side, y-4.4, side+w, y-4.4, hair)
				}
				first, named = false, true
				y += 0.6
				at := y
				if it.Blank {
					at += blankAbove
				}
				p.lines(side, at, left-4, formSize, formLead, true, s.Name)
			}
			y = it.put(p, side+left, y, w-left)
		}
		y += 3.2
	}
	if f.Foot != "" {
		if need := float64(len(wrap(f.Foot, w, MinType, false))) * lead; y+need > bottom {
			pr.begin()
			p, y = pr.pen, margin+6
		}
		p.rule(side, y-4.4, side+w, y-4.4, hair)
		p.lines(side, y+0.2, w, MinType, lead, false, f.Foot)
	}
	return pr.finish(f.Title, f.Kind)
}

// put writes an item and returns the baseline of the next.
func (it Item) put(p *pen, x, y, w float64) float64 {
	if it.Blank {
		y += blankAbove // a line to write on needs height
	}
	if it.Tick {
		p.tick(x, y, 3.4)
		x, w = x+5.6, w-5.6
	}
	if it.Care {
		p.warning(x, y)
		x, w = x+sign, w-sign
	}
	if !it.Blank {
		return p.lines(x, y, w, formSize, formLead, it.Bold, it.Words) + 0.7
	}
	at := x
	if it.Words != "" {
		lines := wrap(it.Words, w*0.7, formSize, false)
		for i, l := range lines {
			p.text(x, y, formSize, l)
			if i < len(lines)-1 {
				y += formLead
			} else {
				at = x + Width(l, formSize, false) + 2
			}
		}
	}
	p.rule(at, y+0.7, x+w, y+0.7, thin)
	return y + formLead + 1.2
}
