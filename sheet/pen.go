package sheet

// Widths of lines, mm. The thin one is a hair of solid black, which copies and
// prints where a grey line of any width does not.
const (
	hair  = 0.12
	thin  = 0.2
	firm  = 0.35
	heavy = 0.8
)

const (
	body    = MinType // pt
	lead    = 3.75    // mm between baselines of body text
	gap     = 3.0     // mm between columns
	margin  = 9.0     // mm round the page
	tickBox = 2.5     // mm
)

// pen puts marks on a page.
type pen struct{ marks []Mark }

func (p *pen) put(m ...Mark) { p.marks = append(p.marks, m...) }

func (p *pen) text(x, y, size float64, words string) {
	if words != "" {
		p.put(Text{At: Point{x, y}, Size: size, Words: words})
	}
}

func (p *pen) bold(x, y, size float64, words string) {
	if words != "" {
		p.put(Text{At: Point{x, y}, Size: size, Bold: true, Words: words})
	}
}

// right sets words so that they end at x.
func (p *pen) right(x, y, size float64, bold bool, words string) {
	if words != "" {
		p.put(Text{At: Point{x - Width(words, size, bold), y}, Size: size, Bold: bold, Words: words})
	}
}

func (p *pen) rule(x1, y1, x2, y2, width float64) {
	p.put(Path{Points: []Point{{x1, y1}, {x2, y2}}, Stroke: width})
}

func (p *pen) box(x, y, w, h, stroke float64) {
	p.put(Path{Points: []Point{{x, y}, {x + w, y}, {x + w, y + h}, {x, y + h}}, Closed: true, Stroke: stroke})
}

func (p *pen) fill(x, y, w, h float64, ink Ink) {
	p.put(Path{Points: []Point{{x, y}, {x + w, y}, {x + w, y + h}, {x, y + h}}, Closed: true, Fill: ink})
}

// tick draws an empty box to tick whose bottom stands on the baseline y.
func (p *pen) tick(x, y, size float64) { p.box(x, y-size+0.2, size, size, thin) }

// lines writes a paragraph with its first baseline at y and returns the
// baseline that follows.
func (p *pen) lines(x, y, width, size, lead float64, bold bool, words string) float64 {
	for _, l := range wrap(words, width, size, bold) {
		p.put(Text{At: Point{x, y}, Size: size, Bold: bold, Words: l})
		y += lead
	}
	return y
}

// para is lines in body type.
func (p *pen) para(x, y, width float64, words string) float64 {
	return p.lines(x, y, width, body, lead, false, words)
}

// hang is a paragraph behind something that stands before its first line.
func (p *pen) hang(x, y, width, indent float64, words string) float64 {
	return p.para(x+indent, y, width-indent, words)
}

// ticked is a paragraph behind a box to tick.
func (p *pen) ticked(x, y, width float64, words string) float64 {
	p.tick(x, y, tickBox)
	return p.hang(x, y, width, tickBox+1.2, words)
}

// inline sets things to tick one behind the other, as many to a line as fit.
func (p *pen) inline(x, y, width float64, words []string) float64 {
	at := x
	for _, w := range words {
		need := tickBox + 1.2 + Width(w, body, false)
		if at > x && at+need > x+width {
			at, y = x, y+lead+0.35
		}
		if need > width {
			y = p.ticked(at, y, width, w) + 0.35
			at = x
			continue
		}
		p.tick(at, y, tickBox)
		p.text(at+tickBox+1.2, y, body, w)
		at += need + 3
	}
	if at > x {
		y += lead + 0.35
	}
	return y
}
