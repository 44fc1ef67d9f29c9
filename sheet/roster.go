package sheet

import "fmt"

// Roster is a list of people with blank ticks, and a card for each.
type Roster struct {
	Title   string
	Place   string
	Date    string
	Time    string
	Lang    string
	Paper   Paper
	People  []Member
	Columns []string // what is ticked
	Foot    string
}

// Member is one person. Code says nothing about who it is; Squares is the same
// as a QR symbol, row by row, without its quiet zone.
type Member struct {
	Name    string
	Note    string // on the list only
	Code    string
	Squares [][]bool
}

// Document lays out the list, then the cards.
func (r Roster) Document() Document {
	paper := r.Paper
	if paper.Width == 0 {
		paper = A4
	}
	const side = formSide
	pr := &press{foot: true, side: side, doc: Document{Title: "Team list: " + r.Title, Lang: r.Lang, Paper: paper}}
	w := paper.Width - 2*side
	bottom := paper.Height - margin - 5
	const row = 7.2
	colW := 19.0
	codeW := 30.0
	nameW := w - 9 - codeW - colW*float64(len(r.Columns))

	pr.begin()
	y := pr.heading(w, "Team list", r.Title, r.Place, r.Date, r.Time) + 3.5
	header := func(p *pen, y float64) float64 {
		p.bold(side+9, y, MinType, "name")
		p.bold(side+9+nameW, y, MinType, "code")
		for i, c := range r.Columns {
			p.bold(side+9+nameW+codeW+colW*float64(i), y, MinType, fit(c, colW-1, MinType, true))
		}
		p.rule(side, y+1.6, side+w, y+1.6, firm)
		return y + 1.6
	}
	y = header(pr.pen, y)
	for i, m := range r.People {
		if y+row > bottom {
			pr.begin()
			y = header(pr.pen, margin+5)
		}
		p := pr.pen
		base := y + row - 2.2
		p.right(side+6, base, headSize, true, fmt.Sprintf("%d", i+1))
		name := fit(m.Name, nameW-3, 11, true)
		p.bold(side+9, base, 11, name)
		if at := Width(name, 11, true) + 2.5; m.Note != "" && at < nameW-14 {
			p.text(side+9+at, base, MinType, fit(m.Note, nameW-at-2, MinType, false))
		}
		p.text(side+9+nameW, base, MinType, m.Code)
		for c := range r.Columns {
			p.tick(side+9+nameW+codeW+colW*float64(c), base+0.5, 4.2)
		}
		y += row
		p.rule(side, y, side+w, y, hair)
	}
	foot := 0.0
	if r.Foot != "" {
		foot = float64(len(wrap(r.Foot, w, MinType, false)))*lead + 3
	}
	if y+foot > bottom {
		pr.begin()
		y = margin
	}
	// Lines for whoever comes and is not named, as far as the page has room.
	spare := 4
	if len(r.People) == 0 {
		spare = 20
	}
	for range spare {
		if y+row+foot > bottom {
			break
		}
		for c := range r.Columns {
			pr.pen.tick(side+9+nameW+codeW+colW*float64(c), y+row-1.7, 4.2)
		}
		y += row
		pr.pen.rule(side, y, side+w, y, hair)
	}
	pr.pen.lines(side, y+6, w, MinType, lead, false, r.Foot)
	r.cards(pr)
	return pr.finish(r.Title, "Team list")
}

// cards draws a name card for each person, two by five to a page, with lines to
// cut along. The symbol has its quiet zone of four squares and more.
func (r Roster) cards(pr *press) {
	const side = 12.0
	paper := pr.doc.Paper
	cols, rows := 2, 5
	w := (paper.Width - 2*side) / float64(cols)
	h := (paper.Height - 2*side - 4) / float64(rows)
	for i, m := range r.People {
		k := i % (cols * rows)
		if k == 0 {
			pr.begin()
		}
		p := pr.pen
		x, y := side+float64(k%cols)*w, side-3+float64(k/cols)*h
		p.put(Path{Points: []Point{{x, y}, {x + w, y}, {x + w, y + h}, {x, y + h}}, Closed: true, Stroke: hair, Dashed: true})
		size := h - 20
		p.squares(x+8, y+8, size, m.Squares)
		tx, tw := x+8+size+8, w-size-20
		p.right(x+w-4, y+8, headSize, true, fmt.Sprintf("%d", i+1))
		name := 18.0
		lines := wrap(m.Name, tw, name, true)
		for name > 11 && (len(lines) > 2 || len(lines) > 1 && Width(m.Name, name, true) < tw*1.2) {
			name--
			lines = wrap(m.Name, tw, name, true)
		}
		if most := 5; len(lines) > most {
			lines = append(lines[:most-1], fit(lines[most-1]+"…", tw, name, true))
		}
		ty := y + 8 + size/2 + name*0.12 - float64(len(lines)-1)*name*0.215
		for _, l := range lines {
			p.bold(tx, ty, name, l)
			ty += name * 0.43
		}
		p.text(x+8, y+h-4, headSize, m.Code)
	}
}

// squares draws a symbol of a size in mm, its runs as black rectangles.
func (p *pen) squares(x, y, size float64, s [][]bool) {
	if len(s) == 0 {
		return
	}
	m := size / float64(len(s))
	for r, line := range s {
		for c := 0; c < len(line); c++ {
			if !line[c] {
				continue
			}
			from := c
			for c < len(line) && line[c] {
				c++
			}
			p.fill(x+float64(from)*m, y+float64(r)*m, float64(c-from)*m, m, Black)
		}
	}
}
