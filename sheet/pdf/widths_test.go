package pdf

import (
	"bytes"
	"flag"
	"fmt"
	"math"
	"os"
	"testing"
	"time"

	"codeberg.org/go-pdf/fpdf"

	"hardnoon/sheet"
	"hardnoon/sheet/letters"
)

var update = flag.Bool("update", false, "rewrite sheet/widths.txt")

const widthsFile = "../widths.txt"

// fontWidths asks the PDF library how wide each letter is.
func fontWidths(t *testing.T) *fpdf.Fpdf {
	f := fpdf.New("P", "pt", "A4", "")
	f.AddUTF8FontFromBytes(family, "", letters.Plain())
	f.AddUTF8FontFromBytes(family, "B", letters.Bold())
	if f.Error() != nil {
		t.Fatal(f.Error())
	}
	return f
}

// TestWidths keeps the table of sheet equal to the embedded font files.
func TestWidths(t *testing.T) {
	f := fontWidths(t)
	var b bytes.Buffer
	fmt.Fprintln(&b, "# origin: advances of the two font files in sheet/letters/fonts, thousandths of the size; made by go test ./sheet/pdf -update")
	for _, face := range []struct{ name, style string }{{"plain", ""}, {"bold", "B"}} {
		f.SetFont(family, face.style, 1000)
		have := inFont(t, face.style)
		run := false
		for r := rune(0x20); r < 0xFFFE; r++ {
			if !have[r] {
				run = false
				continue
			}
			if !run {
				fmt.Fprintf(&b, "\n%s %04x", face.name, r)
			}
			run = true
			fmt.Fprintf(&b, " %.0f", f.GetStringWidth(string(r)))
		}
		fmt.Fprintln(&b)
	}
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
		t.Error("sheet/widths.txt is not what the font files say; run go test ./sheet/pdf -update")
	}
}

// inFont reads the character map of a font file: table cmap, format 4.
func inFont(t *testing.T, style string) map[rune]bool {
	data := letters.Plain()
	if style == "B" {
		data = letters.Bold()
	}
	u16 := func(i int) int { return int(data[i])<<8 | int(data[i+1]) }
	u32 := func(i int) int { return u16(i)<<16 | u16(i+2) }
	have := map[rune]bool{}
	for i := range u16(4) {
		e := 12 + 16*i
		if string(data[e:e+4]) != "cmap" {
			continue
		}
		cmap := u32(e + 8)
		for j := range u16(cmap + 2) {
			s := cmap + u32(cmap+4+8*j+4)
			if u16(s) != 4 {
				continue
			}
			n := u16(s + 6)
			for k := 0; k < n; k += 2 {
				end, start := u16(s+14+k), u16(s+16+n+k)
				for r := start; r <= end && r < 0xFFFF; r++ {
					have[rune(r)] = true
				}
			}
			return have
		}
	}
	t.Fatal("no character map of format 4")
	return nil
}

// The width of a line is what the library draws. The tolerance is a rounding of
// each letter to a thousandth of the size.
func TestLineWidth(t *testing.T) {
	f := fontWidths(t)
	for _, words := range []string{"Low and wide, javelin over the shoulder", "Łódź Çağrı Dvořák Nguyễn Αθήνα Москва", "1/250 f/7.1 −2.0 ±0.8"} {
		for _, face := range []string{"", "B"} {
			f.SetFont(family, face, 9)
			want := f.GetStringWidth(words) * 25.4 / 72
			if got := sheet.Width(words, 9, face == "B"); math.Abs(got-want) > 0.02 {
				t.Errorf("%q %q: %.3f mm, the library says %.3f", words, face, got, want)
			}
			if _, m := letters.Set(sheet.Document{Pages: []sheet.Page{{Marks: []sheet.Mark{sheet.Text{Words: words}}}}}); m != "" {
				t.Errorf("%q: no letters for %q", words, m)
			}
		}
	}
}

func TestSameBytes(t *testing.T) {
	d := sheet.Document{Title: "Ærøskøbing", Lang: "en", Paper: sheet.A4, Pages: []sheet.Page{{Marks: []sheet.Mark{sheet.Text{At: sheet.Point{X: 20, Y: 20}, Size: 9, Words: "日 \U0001F600 ű"}}}}}
	var a, b bytes.Buffer
	for _, w := range []*bytes.Buffer{&a, &b} {
		if err := Write(w, d, time.Date(2027, 1, 2, 3, 4, 5, 0, time.UTC)); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(a.Bytes(), b.Bytes()) {
		t.Error("the same document gave two files")
	}
}
