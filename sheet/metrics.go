package sheet

import (
	_ "embed"
	"fmt"
	"regexp"
	"sort"
	"strconv"
	"strings"
	"sync"
	"unicode"
)

// widths.txt holds how wide the letters of the typeface are. The tests of
// sheet/pdf make it from the font files and check it against them.
//
//go:embed widths.txt
var widthsText string

// widths are advances in thousandths of the size, by face (0 plain, 1 bold).
var widths = sync.OnceValue(func() [2]map[rune]int {
	w := [2]map[rune]int{{}, {}}
	for line := range strings.Lines(widthsText) {
		f := strings.Fields(line)
		if len(f) < 3 || f[0] == "#" {
			continue
		}
		face := 0
		if f[0] == "bold" {
			face = 1
		}
		first, _ := strconv.ParseInt(f[1], 16, 32)
		for i, x := range f[2:] {
			w[face][rune(first)+rune(i)], _ = strconv.Atoi(x)
		}
	}
	return w
})

// widths_other.txt holds the same for the fonts behind the typeface, the mean
// of a letter alone and joined; a word that is shaped may be wider or less wide. The tests of
// sheet/letters make it.
//
//go:embed widths_other.txt
var otherText string

// stretch is a stretch of letters of one width, thousandths of the size.
type stretch struct {
	first, last rune
	width       int
}

var others = sync.OnceValue(func() []stretch {
	var out []stretch
	for line := range strings.Lines(otherText) {
		var s stretch
		if n, _ := fmt.Sscanf(line, "%x %x %d", &s.first, &s.last, &s.width); n == 3 {
			out = append(out, s)
		}
	}
	return out
})

// unknownWidth stands for letters no font has.
const unknownWidth = 600

// InTypeface says whether the typeface itself has a letter.
func InTypeface(r rune) bool {
	_, ok := widths()[0][r]
	return ok
}

// Width returns how wide words are, in mm, at a size in points. Marks that stand
// on a letter have no width. Words that must be shaped come out about so wide.
func Width(words string, size float64, bold bool) float64 {
	face := widths()[0]
	if bold {
		face = widths()[1]
	}
	sum := 0
	for _, r := range words {
		w, ok := face[r]
		switch {
		case joins(r):
			w = 0
		case !ok:
			w = otherWidth(r)
		}
		sum += w
	}
	return float64(sum) / 1000 * size * mmPerPt
}

func otherWidth(r rune) int {
	all := others()
	i := sort.Search(len(all), func(i int) bool { return all[i].last >= r })
	if i < len(all) && all[i].first <= r {
		return all[i].width
	}
	return unknownWidth
}

// joins says that a letter stands on the one before it and has no width.
func joins(r rune) bool {
	return r >= 0x300 && unicode.In(r, unicode.Mn, unicode.Me, unicode.Cf)
}

// holds says that no line ends before a letter, for it belongs to the one before.
func holds(r rune) bool { return joins(r) || unicode.Is(unicode.Mc, r) }

// shorter is r less its last letter and what stands on that.
func shorter(r []rune) []rune {
	n := len(r) - 1
	for n > 0 && holds(r[n]) {
		n--
	}
	return r[:n]
}

// fit shortens words to a width, with an ellipsis where something went.
func fit(words string, width, size float64, bold bool) string {
	if Width(words, size, bold) <= width {
		return words
	}
	r := []rune(words)
	for len(r) > 0 && Width(string(r)+"…", size, bold) > width {
		r = shorter(r)
	}
	return strings.TrimRight(string(r), " ") + "…"
}

// wrap breaks words into lines no wider than width. No short word is left alone
// in the last line if a narrower setting with as many lines avoids it.
func wrap(words string, width, size float64, bold bool) []string {
	lines := broken(words, width, size, bold)
	n := len(lines)
	alone := func(l []string) bool { return Width(l[n-1], size, bold) < width/6 }
	if n < 2 || !alone(lines) {
		return lines
	}
	for k := 1.0; k < 10; k++ {
		if less := broken(words, width*(1-k*0.03), size, bold); len(less) != n {
			break
		} else if !alone(less) {
			return less
		}
	}
	return lines
}

// broken breaks words into lines as they come. A single word that is too wide is
// broken where it must be, behind a hyphen if it has one.
func broken(words string, width, size float64, bold bool) []string {
	var lines []string
	line := ""
	for _, w := range unbroken(words) {
		for Width(w, size, bold) > width {
			n := 1
			r := []rune(w)
			for n < len(r) && Width(string(r[:n+1]), size, bold) <= width {
				n++
			}
			if n == len(r) {
				break
			}
			for n > 1 && holds(r[n]) {
				n--
			}
			for k := n; k > 1; k-- { // rather behind a hyphen
				if r[k-1] == '-' {
					n = k
					break
				}
			}
			if line != "" {
				lines = append(lines, line)
				line = ""
			}
			lines, w = append(lines, string(r[:n])), string(r[n:])
		}
		switch {
		case line == "":
			line = w
		case Width(line+" "+w, size, bold) <= width:
			line += " " + w
		default:
			lines, line = append(lines, line), w
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

// A number, a unit that stands behind one, and a word that stands before one.
var (
	number = regexp.MustCompile(`^[(]?[−+±]?\d[\d.,/]*$`)
	ofUnit = regexp.MustCompile(`^(m|mm|km|m/s|km/h|mph|kg|lb|s|min|px|GB|MB|°C|°F|stops?|paces?|\d+″)[;:,.)]*$`)
	ofWord = regexp.MustCompile(`^(ISO|ND|EV|UV)$`)
)

// unbroken are the words between which a line may end: a number stays with its
// unit, feet with their inches, a scale with its number.
func unbroken(s string) []string {
	var out []string
	for _, w := range strings.Fields(s) {
		n := len(out) - 1
		if n >= 0 && (ofUnit.MatchString(w) && (number.MatchString(out[n]) || strings.HasSuffix(out[n], "′")) || ofWord.MatchString(out[n])) {
			out[n] += " " + w
			continue
		}
		out = append(out, w)
	}
	return out
}
