package place

import (
	"bytes"
	"cmp"
	"compress/gzip"
	_ "embed"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"sync"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"hardnoon/engine/unit"
)

//go:generate go run towns_gen.go FOLDER

// towns.tsv.gz: a line of "@CC", region and its letters, where it has some,
// before the towns of a region, then lines of name, latitude, longitude and
// thousands of people.
//
//go:embed towns.tsv.gz
var townsGz []byte

// A town, the key it is found by, and the letters of its region.
type town struct {
	Place
	key, code string
}

// allTowns unpacks the list when somebody first asks for a name.
var allTowns = sync.OnceValue(func() []town {
	z, err := gzip.NewReader(bytes.NewReader(townsGz))
	if err != nil {
		panic(err) // our own file; a test reads it
	}
	text, err := io.ReadAll(z)
	if err != nil {
		panic(err)
	}
	towns := make([]town, 0, 50000)
	var region, country, code string
	for line := range strings.Lines(string(text)) {
		c := strings.Split(strings.TrimSuffix(line, "\n"), "\t")
		if c[0][0] == '@' {
			country, region, code = c[0][1:], c[1], strings.ToLower(c[2])
			continue
		}
		var x [3]float64
		for i := range x {
			if x[i], err = strconv.ParseFloat(c[1+i], 64); err != nil {
				panic(err)
			}
		}
		towns = append(towns, town{Place{
			Point: Point{Lat: unit.Angle(x[0]) * unit.Degree, Lon: unit.Angle(x[1]) * unit.Degree},
			Name:  c[0], Region: region, Country: country, People: int(x[2] * 1000),
		}, key(c[0]), code})
	}
	return towns
})

// key is a name without case, accents and punctuation: "vina del mar".
func key(name string) string {
	var b strings.Builder
	gap := false
	for _, r := range norm.NFD.String(name) {
		r = unicode.ToLower(r)
		switch plain, marked := noMark[r]; {
		case unicode.Is(unicode.Mn, r) || strings.ContainsRune("'’‘ʻ", r):
		case unicode.IsLetter(r) || unicode.IsDigit(r):
			if gap && b.Len() > 0 {
				b.WriteByte(' ')
			}
			gap = false
			if !marked {
				plain = string(r)
			}
			b.WriteString(plain)
		default:
			gap = true
		}
	}
	return b.String()
}

// noMark holds letters whose mark is no accent to Unicode.
var noMark = map[rune]string{'ø': "o", 'ł': "l", 'đ': "d", 'ð': "d", 'þ': "th", 'ß': "ss", 'æ': "ae", 'œ': "oe", 'ı': "i", 'ħ': "h"}

// Towns returns the towns of 5,000 people and more that text names, the largest
// first; none is an error. Behind commas the text may say region and country:
// "Valparaíso, CL", "Springfield, Illinois", "Springfield, IL". Case and accents do not matter.
//
// Source: [GeoNames], coordinates to 0.001°.
func Towns(text string) ([]Place, error) {
	name, rest, _ := strings.Cut(text, ",")
	want := key(name)
	if want == "" || len(text) > maxQuery {
		return nil, &Error{"that names no town", "write a name, and perhaps a country: Valparaíso, CL"}
	}
	var within []string
	for _, w := range strings.Split(rest, ",") {
		if k := key(w); k != "" {
			within = append(within, k)
		}
	}
	var hits, elsewhere []Place
	for _, t := range allTowns() {
		if t.key != want {
			continue
		}
		inside := true
		for _, w := range within {
			inside = inside && (w == strings.ToLower(t.Country) || w == key(t.Region) || w == t.code && w != "")
		}
		if inside {
			hits = append(hits, t.Place)
		} else {
			elsewhere = append(elsewhere, t.Place)
		}
	}
	bySize(hits)
	if len(hits) > 0 {
		return hits, nil
	}
	if len(elsewhere) > 0 {
		bySize(elsewhere)
		return nil, &Error{fmt.Sprintf("there is no %s in%s", strings.TrimSpace(name), strings.TrimSuffix(rest, ",")),
			"there is " + someOf(elsewhere) + "; a country is two letters, like CL"}
	}
	near := similar(want)
	hint := "only towns of 5,000 people and more are listed; give coordinates, like -33.05, -71.62"
	if len(near) > 0 {
		hint = "similar: " + someOf(near) + "; or give coordinates, like -33.05, -71.62"
	}
	return nil, &Error{fmt.Sprintf("no town of 5,000 people is called %q", strings.TrimSpace(name)), hint}
}

func bySize(p []Place) {
	slices.SortStableFunc(p, func(a, b Place) int { return cmp.Compare(b.People, a.People) })
}

func someOf(places []Place) string {
	var names []string
	for _, p := range places[:min(len(places), 4)] {
		names = append(names, p.String())
	}
	return strings.Join(names, "; ")
}

// similar returns towns whose name begins with want or is one slip away from it.
func similar(want string) []Place {
	var begins, slip []Place
	for _, t := range allTowns() {
		switch {
		case len(want) >= 3 && strings.HasPrefix(t.key, want):
			begins = append(begins, t.Place)
		case len(want) >= 4 && oneSlip(t.key, want):
			slip = append(slip, t.Place)
		}
	}
	bySize(begins)
	bySize(slip)
	return append(slip, begins...)
}

// oneSlip reports whether one letter changed, added, left out or swapped with
// the next makes a of b.
func oneSlip(a, b string) bool {
	if len(a) < len(b) {
		a, b = b, a
	}
	if len(a)-len(b) > 1 {
		return false
	}
	i := 0
	for i < len(b) && a[i] == b[i] {
		i++
	}
	if len(a) > len(b) {
		return a[i+1:] == b[i:]
	}
	if i == len(b) {
		return true
	}
	return a[i+1:] == b[i+1:] || i+1 < len(a) && a[i] == b[i+1] && a[i+1] == b[i] && a[i+2:] == b[i+2:]
}
