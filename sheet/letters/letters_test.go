package letters

import (
	"bytes"
	"flag"
	"fmt"
	"math"
	"os"
	"testing"

	"hardnoon/sheet"
)

var update = flag.Bool("update", false, "rewrite sheet/widths_other.txt")

const widthsFile = "../widths_other.txt"

// TestWidths keeps the table of sheet equal to the fonts: the widest a letter is,
// alone or joined on either side.
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
		w := 0
		for _, words := range [][]rune{{r}, {r, 0x200D}, {0x200D, r}, {0x200D, r, 0x200D}} {
			x := run{words: words, face: f, shaped: true, right: isRight(r)}
			x.shape(sheet.Text{Size: 10})
			w = max(w, int(math.Ceil(x.advance*1000-1e-6)))
		}
		if r != last+1 || w != width {
			flush()
			first, width = r, w
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
