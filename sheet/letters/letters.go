// Package letters turns words in scripts beyond the typeface of the sheets into
// the shapes they have on paper. It answers: which shape has this name?
//
// A text is composed (NFC), put into the order of reading across (Unicode's
// bidirectional algorithm), cut into runs by the font that has its letters, and
// each run is shaped: Arabic joins, Indic letters reorder and form conjuncts,
// marks stand where the font puts them. Latin, Greek and Cyrillic stay text;
// everything else becomes a sheet.Letters. A font is read when a text first needs
// it. Sources: [UAX9], [UAX15], and the tables of the fonts.
//
// Left out: vertical writing, national forms of one Han letter, Nastaliq, and
// the shapes that some fonts give controls.
package letters

import (
	"slices"
	"strings"
	"sync"
	"unicode"

	"github.com/go-text/typesetting/bidi"
	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype"
	"github.com/go-text/typesetting/harfbuzz"
	"github.com/go-text/typesetting/language"
	ucd "golang.org/x/text/unicode/bidi"
	"golang.org/x/text/unicode/norm"

	"hardnoon/sheet"
)

const mmPerPt = 25.4 / 72

// boldStroke thickens letters of fonts that have one weight, in parts of the
// size. Own choice, by eye beside the bold of the typeface.
const boldStroke = 0.032

// busy guards the fonts, which keep what they looked up.
var busy sync.Mutex

// Set replaces the words of d that its typeface cannot set, and returns the
// letters that no font has, each once. d itself stays as it is.
func Set(d sheet.Document) (sheet.Document, string) {
	busy.Lock()
	defer busy.Unlock()
	var missing strings.Builder
	seen := map[rune]bool{}
	miss := func(r rune) {
		if !seen[r] {
			seen[r] = true
			missing.WriteRune(r)
		}
	}
	pages := make([]sheet.Page, len(d.Pages))
	for i, p := range d.Pages {
		for _, m := range p.Marks {
			if t, ok := m.(sheet.Text); ok && !simple(t.Words) {
				pages[i].Marks = append(pages[i].Marks, set(t, miss)...)
			} else {
				pages[i].Marks = append(pages[i].Marks, m)
			}
		}
	}
	d.Pages = pages
	return d, missing.String()
}

// simple says that the typeface sets words as they are, letter by letter.
func simple(words string) bool {
	for _, r := range words {
		if r >= 0x300 && (unicode.In(r, unicode.M, unicode.Cf) || !sheet.InTypeface(r)) {
			return false
		}
	}
	return true
}

// run is a stretch of one direction and one font.
type run struct {
	words   []rune
	face    *face
	right   bool // from right to left
	shaped  bool // more than letter by letter
	glyphs  []glyph
	advance float64 // in parts of the size
}

// glyph is one shape of a run; the first of a cluster carries its letters.
type glyph struct {
	id       font.GID
	dx, dy   float64
	advance  float64
	from, to int // letters of its cluster
}

// set lays out one text. It never reaches further than the layout allowed: what
// is wider is narrowed.
func set(t sheet.Text, miss func(rune)) []sheet.Mark {
	t.Words = norm.NFC.String(t.Words)
	runs := runsOf(visible(t.Words), t.Bold, miss)
	width := 0.0
	for i := range runs {
		runs[i].shape(t)
		width += runs[i].advance
	}
	k := t.Size * mmPerPt
	narrow := 1.0
	if room := t.Width(); width*k > room*1.001 && width > 0 {
		narrow = room / (width * k)
	}
	var out []sheet.Mark
	x := t.At.X
	for _, r := range runs {
		at := sheet.Point{X: x, Y: t.At.Y}
		if r.shaped || narrow < 1 {
			out = append(out, r.mark(t, at, narrow))
		} else {
			out = append(out, sheet.Text{At: at, Size: t.Size, Bold: t.Bold, Words: string(r.words)})
		}
		x += r.advance * k * narrow
	}
	return out
}

// visible drops controls. Marks of direction stay, for the order, and so do the
// joiners, which shape their neighbours.
func visible(s string) []rune {
	var out []rune
	for _, r := range s {
		if unicode.IsControl(r) || r == 0xFEFF || r == 0xAD {
			continue
		}
		out = append(out, r)
	}
	return out
}

// direction is that of a text as a whole: right to left only where it has no
// letter that runs the other way, for the sheet is in a language that runs left
// to right.
func direction(text []rune) bidi.Direction {
	way := bidi.LeftToRight
	for _, r := range text {
		if unicode.IsLetter(r) {
			if !isRight(r) {
				return bidi.LeftToRight
			}
			way = bidi.RightToLeft
		}
	}
	return way
}

func isRight(r rune) bool {
	return unicode.In(r, unicode.Hebrew, unicode.Arabic, unicode.Syriac, unicode.Thaana, unicode.Nko, unicode.Adlam)
}

// levels are the embedding levels of text that runs a way as a whole, [UAX9] rules
// P2 to I2 and L1.
func levels(text []rune, way bidi.Direction) []int {
	var p bidi.Paragraph
	runs := p.Segment(text, way)
	out := make([]int, len(text))
	for i := range runs.NumRuns() {
		r := runs.Run(i)
		for k := r.Start; k < r.End; k++ {
			out[k] = int(r.Level)
		}
	}
	if way == bidi.LeftToRight {
		numbers(text, out)
	}
	return out
}

// numbers tells level 2 from level 0 in a text that runs left to right as a
// whole: the library gives one level to a number behind letters that run right to
// left and to the words that follow it. A number is at level 2 where the last
// letter ran right to left, or where its digits are Arabic; so is what joins two
// such numbers, and a sign of percent or money beside one. [UAX9] W2, W4, W5, W7.
func numbers(text []rune, level []int) {
	strong := ucd.L // of the last letter
	last := -1      // the number before, no letter since
	euro := false   // and whether it counts as European, as none does behind Arabic
	for i, r := range text {
		class := classOf(r)
		switch class {
		case ucd.L, ucd.R, ucd.AL:
			strong, last = class, -1
		}
		if level[i]%2 == 1 {
			last = -1
			continue
		}
		level[i] = 0
		switch {
		case class == ucd.AN || class == ucd.EN && strong != ucd.L:
			euro = class == ucd.EN && strong == ucd.R
			from := i
			if last >= 0 {
				from = last
			} else if euro {
				for from > 0 && level[from-1]%2 == 0 && slices.Contains([]ucd.Class{ucd.ET, ucd.BN, ucd.NSM}, classOf(text[from-1])) {
					from--
				}
			}
			for k := from; k <= i; k++ {
				level[k] = 2
			}
			last = i
		case class == ucd.EN:
			last = -1
		case last == i-1 && last >= 0 && (class == ucd.NSM || class == ucd.BN || class == ucd.ET && euro):
			level[i], last = 2, i
		}
	}
}

func classOf(r rune) ucd.Class {
	p, _ := ucd.LookupRune(r)
	return p.Class()
}

// runsOf cuts text into runs from left to right as they stand on paper. Letters
// inside a run stay in the order of reading.
func runsOf(text []rune, bold bool, miss func(rune)) []run {
	level := levels(text, direction(text))
	var runs []run
	var at []int
	for i := 0; i < len(text); {
		if unicode.Is(unicode.Bidi_Control, text[i]) {
			i++
			continue
		}
		end := i + 1
		for end < len(text) && joins(text[end]) {
			end++
		}
		f := faceFor(text[i:end], bold, miss)
		marked := f.typeface && (end > i+1 || joins(text[i]))
		right := level[i]%2 == 1
		n := len(runs) - 1
		if n >= 0 && at[n] == level[i] && runs[n].face == f && runs[n].shaped == (marked || right || !f.typeface) {
			runs[n].words = append(runs[n].words, text[i:end]...)
		} else {
			runs = append(runs, run{words: append([]rune{}, text[i:end]...), face: f, right: right, shaped: marked || right || !f.typeface})
			at = append(at, level[i])
		}
		i = end
	}
	out := make([]run, len(runs))
	for i, k := range across(at) {
		out[i] = runs[k]
	}
	return out
}

// across is the order from left to right of things at levels, [UAX9] rule L2:
// from the highest level down, what is at it or above is turned.
func across(level []int) []int {
	order := make([]int, len(level))
	top := 0
	for i, l := range level {
		order[i] = i
		top = max(top, l)
	}
	for ; top > 0; top-- {
		for i := 0; i < len(order); i++ {
			k := i
			for k < len(order) && level[order[k]] >= top {
				k++
			}
			slices.Reverse(order[i:k])
			i = max(i, k)
		}
	}
	return order
}

// joins says that a letter stands on the one before it.
func joins(r rune) bool {
	return unicode.Is(unicode.M, r) || r == 0x200C || r == 0x200D
}

// shape turns letters into glyphs.
func (r *run) shape(t sheet.Text) {
	if !r.shaped {
		r.advance = sheet.Width(string(r.words), t.Size, t.Bold) / (t.Size * mmPerPt)
	}
	b := harfbuzz.NewBuffer()
	b.AddRunes(r.words, 0, len(r.words))
	b.Props.Direction = harfbuzz.LeftToRight
	if r.right {
		b.Props.Direction = harfbuzz.RightToLeft
	}
	b.Props.Script = language.Latin
	for _, c := range r.words {
		if s := language.LookupScript(c); s.Strong() {
			b.Props.Script = s
			break
		}
	}
	b.Shape(r.face.shaper(), nil)
	em := float64(r.face.outline.Upem())
	sum := 0.0
	for i, g := range b.Info {
		p := b.Pos[i]
		r.glyphs = append(r.glyphs, glyph{id: g.Glyph, dx: float64(p.XOffset) / em, dy: float64(p.YOffset) / em, advance: float64(p.XAdvance) / em, from: g.Cluster})
		sum += float64(p.XAdvance) / em
	}
	if r.shaped {
		r.advance = sum
	}
	// Where a cluster ends is where the next in the order of reading begins.
	next := len(r.words)
	for i := range r.glyphs {
		k := i
		if !r.right {
			k = len(r.glyphs) - 1 - i
		}
		g := &r.glyphs[k]
		first := r.right && (k+1 == len(r.glyphs) || r.glyphs[k+1].from != g.from) || !r.right && (k == 0 || r.glyphs[k-1].from != g.from)
		if g.to = next; first {
			next = g.from
		}
	}
}

// mark draws a run at a place, its width multiplied by narrow.
func (r *run) mark(t sheet.Text, at sheet.Point, narrow float64) sheet.Letters {
	k := t.Size * mmPerPt
	m := sheet.Letters{At: at, Size: t.Size, Width: r.advance * k * narrow, Words: string(r.words)}
	if t.Bold && !r.face.typeface {
		m.Stroke = boldStroke * k
	}
	em := float64(r.face.outline.Upem())
	x := 0.0
	for i, g := range r.glyphs {
		point := func(p opentype.SegmentPoint) sheet.Point {
			return sheet.Point{X: at.X + (x+g.dx+float64(p.X)/em)*k*narrow, Y: at.Y - (g.dy+float64(p.Y)/em)*k}
		}
		if o, ok := r.face.outline.GlyphData(g.id).(font.GlyphOutline); ok {
			for _, s := range o.Segments {
				var b sheet.Bend
				for _, p := range s.Args[:map[opentype.SegmentOp]int{opentype.SegmentOpMoveTo: 1, opentype.SegmentOpLineTo: 1, opentype.SegmentOpQuadTo: 2, opentype.SegmentOpCubeTo: 3}[s.Op]] {
					b.Points = append(b.Points, point(p))
				}
				b.Move = s.Op == opentype.SegmentOpMoveTo
				m.Outline = append(m.Outline, b)
			}
		}
		wide := g.advance * k * narrow
		if n := len(m.Clusters) - 1; i > 0 && r.glyphs[i-1].from == g.from {
			m.Clusters[n].Width += wide
		} else {
			m.Clusters = append(m.Clusters, sheet.Cluster{X: at.X + x*k*narrow, Width: wide, Words: string(r.words[g.from:g.to])})
		}
		x += g.advance
	}
	m.Right = r.right
	return m
}
