package letters

import (
	"bytes"
	"flag"
	"fmt"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/go-text/typesetting/bidi"

	"hardnoon/sheet"
)

var update = flag.Bool("update", false, "rewrite sheet/widths_other.txt")

const widthsFile = "../widths_other.txt"

// TestWidths keeps the table of sheet equal to the fonts: how wide a letter is,
// the mean of alone, joined on either side and on both.
func TestWidths(t *testing.T) {
	var b bytes.Buffer
	fmt.Fprintln(&b, "# origin: advances of the other font files in sheet/letters/fonts, first and last letter and thousandths of the size; made by go test ./sheet/letters -update")
	var first, last rune
	width := -1
	flush := func() {
		if width >= 0 {
			fmt.Fprintf(&b, "%04x %04x %d\n", first, last, width)
		}
	}
	for r := rune(0x80); r < 0xFFFE; r++ {
		if sheet.InTypeface(r) || joins(r) {
			continue
		}
		var f *face
		for _, c := range candidates(r) {
			if c.has(r) {
				f = c
				break
			}
		}
		if f == nil {
			continue
		}
		w := 0.0
		for _, words := range [][]rune{{r}, {r, 0x200D}, {0x200D, r}, {0x200D, r, 0x200D}} {
			x := run{words: words, face: f, shaped: true, right: isRight(r)}
			x.shape(sheet.Text{Size: 10})
			w += x.advance * 1000 / 4
		}
		if r != last+1 || int(math.Ceil(w-1e-6)) != width {
			flush()
			first, width = r, int(math.Ceil(w-1e-6))
		}
		last = r
	}
	flush()
	if *update {
		if err := os.WriteFile(widthsFile, b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	old, err := os.ReadFile(widthsFile)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(old, b.Bytes()) {
		t.Error("sheet/widths_other.txt is not what the font files say; run go test ./sheet/letters -update")
	}
}

func lines(t *testing.T, file string) []string {
	data, err := os.ReadFile("testdata/" + file)
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for l := range strings.Lines(string(data)) {
		if l = strings.TrimSpace(l); l != "" && l[0] != '#' {
			out = append(out, l)
		}
	}
	return out
}

// [UAX9]: Unicode's own test of levels and order.
func TestOrder(t *testing.T) {
	numbers := func(s string, base int) []int {
		var out []int
		for _, f := range strings.Fields(s) {
			n, err := strconv.ParseInt(f, base, 32)
			if err != nil {
				t.Fatal(err)
			}
			out = append(out, int(n))
		}
		return out
	}
	n := 0
	for _, l := range lines(t, "BidiCharacterTest.txt") {
		f := strings.Split(l, ";")
		var text []rune
		for _, c := range numbers(f[0], 16) {
			text = append(text, rune(c))
		}
		way := bidi.LeftToRight
		if f[1] == "1" {
			way = bidi.RightToLeft
		}
		got := levels(text, way)
		if want := numbers(f[3], 10); !slices.Equal(got, want) {
			t.Errorf("%s: levels %v, want %v", f[0], got, want)
		}
		if order, want := across(got), numbers(f[4], 10); !slices.Equal(order, want) {
			t.Errorf("%s: order %v, want %v", f[0], order, want)
		}
		n++
	}
	if n < 400 {
		t.Errorf("only %d lines", n)
	}
}

// Each word has the glyphs, places and advances that another library gives.
func TestShapes(t *testing.T) {
	n := 0
	for _, l := range lines(t, "shaped.txt") {
		f := strings.Fields(l)
		runs := runsOf([]rune(f[1]), false, func(r rune) { t.Errorf("%s: no letter for %q", f[1], r) })
		if len(runs) != 1 {
			t.Errorf("%s: %d runs", f[1], len(runs))
			continue
		}
		r := &runs[0]
		r.shape(sheet.Text{Size: 10})
		em := float64(r.face.outline.Upem())
		var got []string
		for _, g := range r.glyphs {
			got = append(got, fmt.Sprintf("%d@%.0f,%.0f+%.0f", g.id, g.dx*em+0, g.dy*em+0, g.advance*em))
		}
		if !slices.Equal(got, f[2:]) {
			t.Errorf("%s %s:\n got %v\nwant %v", f[0], f[1], got, f[2:])
		}
		n++
	}
	if n < 25 {
		t.Errorf("only %d words", n)
	}
}

// Whatever the words are, they stay in the room they were laid out with, and no
// letter is lost.
func FuzzSet(f *testing.F) {
	for _, s := range []string{"Dvořák 山 שלום (12) end", "محمد 7", "श्रीकृष्ण", "x\u030C\u0301\u0301", "\u0301", "\u200F)\u202E(", "가\u1100\u1161", "\u200D\u200D", "\xff\x00", "ن\u200Cم"} {
		f.Add(s, true)
	}
	f.Fuzz(func(t *testing.T, s string, bold bool) {
		words := sheet.Text{At: sheet.Point{X: 10, Y: 20}, Size: 11, Bold: bold, Words: s}
		d, _ := Set(sheet.Document{Pages: []sheet.Page{{Marks: []sheet.Mark{words}}}})
		for _, m := range d.Pages[0].Marks {
			x, width := 0.0, 0.0
			switch m := m.(type) {
			case sheet.Letters:
				x, width = m.At.X, m.Width
				back := ""
				for _, c := range m.Clusters {
					if m.Right {
						back = c.Words + back
					} else {
						back += c.Words
					}
				}
				if back != m.Words {
					t.Errorf("%q: clusters of %q hold %q", s, m.Words, back)
				}
			case sheet.Text:
				x, width = m.At.X, m.Width()
			}
			if room := words.Width(); x < 10-0.01 || x+width > 10+max(room, 0)*1.002+0.01 {
				t.Errorf("%q: a run from %.2f of %.2f mm, room %.2f", s, x-10, width, room)
			}
		}
	})
}
