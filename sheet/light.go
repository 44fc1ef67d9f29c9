package sheet

import (
	"fmt"
	"image"
	"strings"
)

// LightSheet is what is in the bag: every setup with its drawings and settings,
// and around them the sun, the dangers and the lists.
type LightSheet struct {
	Title     string
	Place     string
	Date      string
	Time      string
	Lang      string
	Paper     Paper
	Units     Units
	Setups    []Setup
	Sun       []SunRow
	Compass   []string // what else belongs to the sun table
	Safety    []Thing
	Packing   []Thing
	PreFlight []string
	Care      []string // what else of the whole day could go wrong
	Assumed   []string
	Notes     string // the photographer's own
}

// Thing is something to take along or to know. Care says that it is missing, not
// known or dangerous.
type Thing struct {
	Words string
	Care  bool
}

// Setup is one setup as printed.
type Setup struct {
	Title, At, Facts string
	Stage            Stage
	Picture          *image.Gray // what the camera will see; nil for none
	States           []State     // under the sun, under cloud
	Margin           string      // "0.6"
	MarginWords      string      // "stops to spare, ±0.8"
	Lights           []LightRow
	Tests            []Test
	Lines            []Line   // what else the setup needs to know
	Care             []string // what could go wrong
}

// State is the camera under one sky.
type State struct {
	Name     string
	Shutter  string
	Aperture string
	Rest     string // ISO and filter
}

// Line is something to know, by its name.
type Line struct{ Name, Words string }

// LightRow is one light in the table of a setup; Powers belong to the States.
type LightRow struct {
	Role, What, Angle string
	Distance          float64 // m, from the front to the face, aslant
	Paces             float64 // along the ground
	Powers            []string
}

// Test is one test frame and what it should show.
type Test struct{ Name, Shows string }

// SunRow is where the sun stands at a time.
type SunRow struct{ Time, What, Altitude, Bearing string }

// Sizes of type, pt.
const (
	titleSize   = 20.0
	numeralSize = 17.0
	numberSize  = 17.0
	setupSize   = 12.0
	headSize    = 10.0
)

// leastDrawn is how high drawings are at least, with the line under them, mm.
const leastDrawn = 29.6

// press collects the pages of a document.
type press struct {
	doc Document
	pen *pen
	y   float64 // where the next thing goes

	foot bool    // pages say their number
	side float64 // mm left and right of the page
}

func sum(x []float64) (s float64) {
	for _, v := range x {
		s += v
	}
	return s
}

func (l LightSheet) paper() Paper {
	if l.Paper.Width == 0 {
		return A4
	}
	return l.Paper
}

// Document lays the light sheet out.
func (l LightSheet) Document() Document {
	paper := l.paper()
	w := paper.Width - 2*margin
	pr := &press{side: margin, doc: Document{Title: l.Title, Lang: l.Lang, Paper: paper}}

	// How high are the setups, and how high is the rest?
	c := l.common(w)
	heights := make([]float64, len(l.Setups))
	for i, s := range l.Setups {
		heights[i] = l.setup(&pen{}, s, c, i+1, margin, 0, w, 0)
	}
	rest := l.rest(&pen{}, margin, 0, w)

	pr.begin()
	pr.y = l.head(pr.pen, margin, margin, w)
	// A page that is alone needs no foot to tell it from others.
	bottom := paper.Height - margin
	if all := pr.y + sum(heights) + rest; all > bottom {
		pr.foot, bottom = true, bottom-lead
	}
	for i := 0; i < len(l.Setups); {
		// As many as fit on this page; what room is left goes to the drawings.
		n, used := 0, 0.0
		for i+n < len(heights) && (n == 0 || pr.y+used+heights[i+n] <= bottom) {
			used += heights[i+n]
			n++
		}
		room := bottom - pr.y - used
		last := i+n == len(heights) && room >= rest
		if last {
			room -= rest
		}
		extra := min(max(room/float64(n), 0), 60)
		for ; n > 0; n, i = n-1, i+1 {
			pr.y = l.setup(pr.pen, l.Setups[i], c, i+1, margin, pr.y, w, extra)
			if n > 1 || last {
				pr.pen.rule(margin, pr.y, margin+w, pr.y, hair)
			}
		}
		if i < len(l.Setups) {
			pr.begin()
		}
	}
	if pr.y+rest > bottom+0.01 {
		pr.begin()
	}
	l.rest(pr.pen, margin, pr.y, w)
	return pr.finish(l.Title, "light sheet")
}

func (pr *press) begin() {
	pr.doc.Pages = append(pr.doc.Pages, Page{})
	if n := len(pr.doc.Pages); n > 1 {
		pr.doc.Pages[n-2].Marks = pr.pen.marks
	}
	pr.pen, pr.y = &pen{}, margin
}

// finish writes the feet of the pages.
func (pr *press) finish(title, kind string) Document {
	d := pr.doc
	n := len(d.Pages)
	d.Pages[n-1].Marks = pr.pen.marks
	if !pr.foot {
		return d
	}
	x, w := pr.side, d.Paper.Width-2*pr.side
	y := d.Paper.Height - margin + 0.6
	for i := range d.Pages {
		p := &pen{marks: d.Pages[i].Marks}
		page := fmt.Sprintf("%d / %d", i+1, n)
		p.rule(x, y-lead-0.3, x+w, y-lead-0.3, hair)
		p.text(x, y, body, fit(kind+" · "+title, w-20, body, false))
		p.right(x+w, y, body, true, page)
		d.Pages[i].Marks = p.marks
	}
	return d
}

// head writes the top of the first page.
func (l LightSheet) head(p *pen, x, y, w float64) float64 {
	y += 6.2
	p.right(x+w, y, titleSize, true, l.Time)
	p.bold(x, y, titleSize, fit(l.Title, w-Width(l.Time, titleSize, true)-gap, titleSize, true))
	y += 5
	p.right(x+w, y, headSize, false, l.Date)
	p.text(x, y, headSize, fit(l.Place, w-Width(l.Date, headSize, false)-gap, headSize, false))
	y += 2.2
	p.rule(x, y, x+w, y, heavy)
	if len(l.Setups) == 0 {
		y += 6
		p.text(x, y, headSize, "No setups are planned.")
		y += 3
	}
	return y + 0.8
}

// common is what all setups of a sheet share, so that the eye finds the same
// thing at the same place.
type common struct {
	left  float64   // width of pictures and drawings, mm
	right float64   // where the words begin
	size  float64   // of the largest figures, pt
	wide  []float64 // columns of the table of lights, mm
	space float64   // between them
}

func (l LightSheet) common(w float64) common {
	c := common{left: w * 0.46, size: numeralSize}
	for _, s := range l.Setups {
		if s.Picture != nil {
			c.left = w * 0.57
		}
	}
	c.right = c.left + gap + 0.5
	room := w - c.right
	for _, s := range l.Setups {
		for _, st := range s.States {
			for c.size > headSize && Width(st.big(), c.size, true) > room*stateShare-3.4 {
				c.size -= 0.5
			}
		}
		for i, r := range l.rows(s) {
			for k, word := range r {
				if k == len(c.wide) {
					c.wide = append(c.wide, 0)
				}
				c.wide[k] = max(c.wide[k], Width(word, body, i > 0 && strong(k)))
			}
		}
	}
	if len(c.wide) == 0 {
		return c
	}
	// What is in the bag gives way.
	c.space = 2
	if over := sum(c.wide) + c.space*float64(len(c.wide)-1) - room; over > 0 {
		c.wide[1] = max(c.wide[1]-over, 6)
	} else {
		c.space -= over / float64(len(c.wide)-1)
	}
	return c
}

// setup writes one setup from y down and returns where it ends. extra is height
// for larger drawings.
func (l LightSheet) setup(p *pen, s Setup, c common, number int, x, y, w, extra float64) float64 {
	y += 4.6
	n := fmt.Sprintf("%d", number)
	p.bold(x, y+0.6, numberSize, n)
	at := x + max(Width(n, numberSize, true)+2.5, 6.5)
	if s.At != "" {
		p.bold(at, y, setupSize, s.At)
		at += Width(s.At, setupSize, true) + 2.5
	}
	facts := fit(s.Facts, w*0.55, body, false)
	p.right(x+w, y, body, false, facts)
	p.bold(at, y, setupSize, fit(s.Title, x+w-Width(facts, body, false)-gap-at, setupSize, true))
	y += 1.4

	// Words first, to know how high the drawings may be.
	tx, tw := x+c.right, w-c.right
	end := l.words(p, s, c, tx, y, tw)
	drawn := max(end-y, leastDrawn) + extra
	var pieces []piece
	for _, line := range s.Lines {
		pieces = append(pieces, piece{name: line.Name, words: line.Words})
	}
	for _, line := range s.Care {
		pieces = append(pieces, piece{care: true, words: line})
	}
	// What else there is to say stands beside large drawings, under small ones;
	// and under it the preview, if there is room for it.
	below := end + lead + 0.4
	after := p.measure(func(q *pen) float64 { return q.flow(tx, below, tw, pieces) }) - lead + 1
	beside := after <= y+drawn
	room, px := c.left, x // where the plan begins
	if s.Picture != nil {
		if high := y + drawn - after - 1.5; beside && high >= pictureHigh {
			l.picture(p, s, tx, after+1.5, tw, min(high, 1.6*pictureHigh))
		} else {
			side := l.picture(p, s, x, y+1.2, pictureWide, pictureHigh) + gap
			px, room = px+side, room-side
		}
	}
	// A far camera makes the side drawing long, and the plan narrow.
	planW := room * 0.55
	if s.Stage.Camera > 5 {
		planW = room * 0.47
	}
	p.plan(s.Stage, px, y+0.6, planW, drawn-0.6, l.Units)
	p.side(s.Stage, px+planW+gap, y+0.6, room-planW-gap, drawn-0.6, l.Units)
	if beside {
		p.flow(tx, below, tw, pieces)
		y += drawn
	} else {
		y = max(end, y+drawn)
		y = p.flow(x, y+lead+0.2, w, pieces) - lead
	}
	return y + 1
}

// Room for a preview, mm.
const pictureWide, pictureHigh = 36.0, 24.0

// picture puts the preview as large as it may be, and returns its width.
func (l LightSheet) picture(p *pen, s Setup, x, y, wide, high float64) float64 {
	px := s.Picture.Rect.Size()
	k := min(wide/float64(px.X), high/float64(px.Y))
	w, h := float64(px.X)*k, float64(px.Y)*k
	p.put(Picture{Name: s.Stage.ID + "/preview", At: Point{x, y}, Width: w, Height: h, Pixels: s.Picture})
	p.box(x, y, w, h, hair)
	return w
}

// stateShare is the share of the words that each sky gets.
const stateShare = 0.36

// words writes the settings of a setup.
func (l LightSheet) words(p *pen, s Setup, c common, x, y, w float64) float64 {
	// Sky by sky, and what is left.
	col, size := w*stateShare, c.size
	for i, st := range s.States {
		cx := x + float64(i)*col
		p.bold(cx, y+2.7, body, st.Name)
		p.bold(cx, y+8.0, size, st.big())
		p.text(cx, y+11.8, headSize, fit(st.Rest, col-1, headSize, false))
	}
	n := len(s.States)
	if s.Margin != "" {
		cx := x + float64(n)*col
		p.bold(cx, y+2.7, body, "margin")
		p.bold(cx, y+8.0, size, s.Margin)
		p.text(cx, y+11.8, body, fit(s.MarginWords, x+w-cx, body, false))
		n++
	}
	for i := range n - 1 {
		p.rule(x+float64(i+1)*col-1.6, y+0.6, x+float64(i+1)*col-1.6, y+12, hair)
	}
	y += 12.6
	y = l.table(p, s, c, x, y, w)

	var tests []piece
	for i, t := range s.Tests {
		tests = append(tests, piece{whole: true, name: fmt.Sprintf("%d %s", i+1, t.Name), words: t.Shows})
	}
	return p.flow(x, y, w, tests) - lead + 0.6
}

// big are the two dials that are turned most.
func (s State) big() string { return s.Shutter + "  " + s.Aperture }

// warning draws a triangle with a bar, the height of a letter.
func (p *pen) warning(x, y float64) {
	p.put(Path{Points: []Point{{x, y + 0.2}, {x + 2.8, y + 0.2}, {x + 1.4, y - 2.4}}, Closed: true, Stroke: thin})
	p.rule(x+1.4, y-1.6, x+1.4, y-0.7, firm)
	p.rule(x+1.4, y-0.45, x+1.4, y-0.1, firm)
}

// rows are the table of lights, its head first.
func (l LightSheet) rows(s Setup) [][]string {
	if len(s.Lights) == 0 {
		return nil
	}
	head := []string{"light", "", "to face", "paces", "angle"}
	for _, st := range s.States {
		name, _, _ := strings.Cut(st.Name, ",")
		head = append(head, name)
	}
	rows := [][]string{head}
	for _, r := range s.Lights {
		rows = append(rows, append([]string{r.Role, r.What, l.Units.Length(r.Distance), Steps(r.Paces), r.Angle}, r.Powers...))
	}
	return rows
}

// strong says which columns of the table are bold: what is set by hand.
func strong(column int) bool { return column == 0 || column == 2 || column > 4 }

// table writes the lights: where they stand and how strong, sky by sky.
func (l LightSheet) table(p *pen, s Setup, c common, x, y, w float64) float64 {
	rows := l.rows(s)
	if len(rows) == 0 {
		words := "No setting is possible: see below."
		if len(s.States) > 0 {
			words = "No light: the daylight alone."
		}
		return p.para(x, y+lead, w, words) + 0.4
	}
	p.rule(x, y, x+w, y, hair)
	for i, r := range rows {
		y += lead
		cx := x
		for k, word := range r {
			heavy := i > 0 && strong(k)
			if k == 1 {
				word = fit(word, c.wide[k], body, heavy)
			}
			if heavy {
				p.bold(cx, y, body, word)
			} else {
				p.text(cx, y, body, word)
			}
			cx += c.wide[k] + c.space
		}
		if i == 0 {
			p.rule(x, y+1, x+w, y+1, hair)
			y += 0.6
		}
	}
	p.rule(x, y+1, x+w, y+1, hair)
	return y + lead + 1.0
}

// rest writes what stands below the setups: sun, dangers, lists, assumptions.
func (l LightSheet) rest(p *pen, x, y, w float64) float64 {
	y += 0.6
	sunW, safeW, packW := w*0.155, w*0.325, w*0.275
	flyW := w - sunW - safeW - packW - 3*gap
	top := y
	end := top

	cy := p.section(x, top, "sun")
	for _, r := range l.Sun {
		p.bold(x, cy, body, r.Time)
		room := sunW - 9.5 - 8
		if r.Altitude != "" {
			room -= 5
		}
		p.text(x+9.5, cy, body, fit(r.What, room, body, false))
		p.right(x+sunW-7.5, cy, body, false, r.Altitude)
		p.right(x+sunW, cy, body, false, r.Bearing)
		cy += lead
	}
	for _, c := range l.Compass {
		cy = p.para(x, cy+0.2, sunW, c)
	}
	end = max(end, cy)

	sx := x + sunW + gap
	cy = p.section(sx+2, top, "safety")
	for _, t := range l.Safety {
		if !t.Care {
			cy = p.para(sx+2, cy, safeW-4, t.Words) + 0.3
			continue
		}
		p.warning(sx+2, cy)
		cy = p.lines(sx+2+sign, cy, safeW-4-sign, body, lead, true, t.Words) + 0.3
	}
	safeEnd := cy
	end = max(end, cy)

	px := sx + safeW + gap
	if len(l.Packing) > 0 {
		cy = p.section(px, top, "pack")
		end = max(end, p.inline(px, cy, packW, l.Packing))
	}
	fx := px + packW + gap
	if len(l.PreFlight) > 0 {
		cy = p.section(fx, top, "before the first frame")
		for _, s := range l.PreFlight {
			cy = p.ticked(fx, cy, flyW, s) + 0.3
		}
		end = max(end, cy)
	}
	p.box(sx, top+0.4, safeW, max(safeEnd, end)-top-2.6, firm)

	var pieces []piece
	for _, c := range l.Care {
		pieces = append(pieces, piece{care: true, words: c})
	}
	if l.Notes != "" {
		pieces = append(pieces, piece{name: "own notes", words: l.Notes})
	}
	if len(l.Setups) > 0 {
		pieces = append(pieces, piece{name: "to face", words: "straight from the light; drawings and paces: along the ground"})
	}
	if len(l.Assumed) > 0 {
		pieces = append(pieces, piece{name: "assumed", words: strings.Join(l.Assumed, "; ")})
	}
	if len(pieces) == 0 {
		return end
	}
	return p.flow(x, end+1.2, w, pieces) - lead + 1
}

// section writes the name of a block and returns its first baseline.
func (p *pen) section(x, y float64, name string) float64 {
	p.bold(x, y+4, headSize, name)
	return y + 7.8
}
