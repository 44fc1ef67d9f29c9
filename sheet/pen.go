package sheet

import (
	"slices"
	"strings"
)

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
	lead    = 3.5     // mm between baselines of body text
	gap     = 3.0     // mm between columns
	margin  = 7.0     // mm round the page
	tickBox = 2.5     // mm
	sign    = 3.8     // mm, of a sign of care
)

// pen puts marks on a page.
type pen struct{ marks []Mark }

func (p *pen) put(m ...Mark) { p.marks = append(p.marks, m...) }

// measure says what draw would return, and draws nothing.
func (p *pen) measure(draw func(*pen) float64) float64 { return draw(&pen{}) }

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

// inline sets things to tick one behind the other, as many to a line as fit: a
// short one from further down may fill a gap.
func (p *pen) inline(x, y, width float64, things []Thing) float64 {
	things = slices.Clone(things)
	for len(things) > 0 {
		at := x
		for i := 0; i < len(things); {
			t, indent := things[i], tickBox+1.2
			if t.Care {
				indent += sign
			}
			need := indent + Width(t.Words, body, false)
			if at > x && at+need > x+width-0.05 {
				i++
				continue
			}
			p.tick(at, y, tickBox)
			if t.Care {
				p.warning(at+tickBox+1.2, y)
			}
			y = p.hang(at, y, width-(at-x), indent, t.Words) - lead
			at += min(need, width) + 2.6
			things = slices.Delete(things, i, i+1)
		}
		y += lead + 0.2
	}
	return y
}

// piece is a stretch of running words: with a sign of care or a bold name before
// them, or neither.
type piece struct {
	whole bool // not broken if a line can hold it
	care  bool
	name  string
	words string
}

// flow sets pieces one behind the other as running text and returns the baseline
// that follows.
func (p *pen) flow(x, y, width float64, pieces []piece) float64 {
	at := x
	space := Width(" ", body, false)
	for _, q := range pieces {
		words := unbroken(q.words)
		need := 0.0
		if q.care {
			need += sign
		}
		if q.name != "" {
			need += Width(q.name, body, true) + 1.4
		}
		if q.whole {
			need += Width(q.words, body, false)
		} else if len(words) > 0 {
			need += Width(words[0], body, false)
		}
		if at > x && at+need > x+width {
			at, y = x, y+lead
		}
		if q.care {
			p.warning(at, y)
			at += sign
		}
		if q.name != "" {
			p.bold(at, y, body, q.name)
			at += Width(q.name, body, true) + 1.4
		}
		for len(words) > 0 {
			n, line := 1, words[0]
			for n < len(words) && at+Width(line+" "+words[n], body, false) <= x+width {
				line += " " + words[n]
				n++
			}
			if at+Width(line, body, false) > x+width { // one word wider than a line
				parts := wrap(line, width, body, false)
				if at > x {
					at, y = x, y+lead
				}
				line = parts[0]
				if rest := strings.Join(parts[1:], ""); rest != "" {
					words[0], n = rest, 0
				}
			}
			p.text(at, y, body, line)
			at += Width(line, body, false)
			if words = words[n:]; len(words) > 0 {
				at, y = x, y+lead
			}
		}
		at += 2.4 + space
	}
	if at > x {
		y += lead
	}
	return y
}
