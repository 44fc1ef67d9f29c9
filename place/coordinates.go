package place

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"hardnoon/engine/unit"
)

// Coordinates reads latitude and longitude as people write them, latitude first
// unless letters say otherwise:
//
//	-33.05, -71.62     33.05 S 71.62 W     S33.05 W71.62
//	33°02′46″S 71°37′11″W     33 2.767 S, 71 37.183 W
//	-33,05; -71,62     geo:-33.05,-71.62,12
//
// Source: [RFC5870] for the last form; [ISO6709] annex D for degrees, minutes
// and seconds.
func Coordinates(text string) (Point, error) {
	s := tidyMarks.Replace(strings.ToUpper(strings.TrimSpace(text)))
	if rest, ok := strings.CutPrefix(s, "GEO:"); ok {
		return geoURI(text, rest)
	}
	for _, w := range hemispheres {
		s = w.word.ReplaceAllString(s, w.letter)
	}
	if decimalCommas.MatchString(s) && !strings.Contains(s, ".") {
		s = commaInside.ReplaceAllString(s, "$1.$2")
	}
	first, second, err := halves(text, s)
	if err != nil {
		return Point{}, err
	}
	a, letterA, err := degrees(first)
	if err != nil {
		return Point{}, err
	}
	b, letterB, err := degrees(second)
	if err != nil {
		return Point{}, err
	}
	switch {
	case letterA == "O" || letterB == "O":
		return Point{}, &Error{"O is east in some languages and west in others", "write E or W"}
	case (letterA == "") != (letterB == ""):
		return Point{}, &Error{"only one of the two numbers says which way it counts", "write both letters, like 33.05 S 71.62 W, or both signs"}
	case letterA == "E" || letterA == "W":
		a, b, letterA, letterB = b, a, letterB, letterA
	}
	if strings.Contains("NS", letterA) != strings.Contains("EW", letterB) {
		return Point{}, &Error{fmt.Sprintf("both numbers count along %s", map[bool]string{true: "north and south", false: "east and west"}[strings.Contains("NS", letterB)]), "write one latitude and one longitude"}
	}
	return point(a, b)
}

func point(lat, lon float64) (Point, error) {
	p := Point{Lat: unit.Angle(lat) * unit.Degree, Lon: unit.Angle(lon) * unit.Degree}
	if err := p.Check(); err != nil {
		hint := "write latitude first, then longitude, in degrees: -33.05, -71.62"
		if (lat > 90 || lat < -90) && lon >= -90 && lon <= 90 && lat >= -180 && lat <= 180 {
			hint = "latitude comes first; are the two swapped?"
		}
		return Point{}, &Error{err.Error(), hint}
	}
	return p, nil
}

func unreadable(text string) error {
	return &Error{fmt.Sprintf("%q is not a pair of coordinates", text), "write latitude and longitude like -33.05, -71.62 or 33°02′46″S 71°37′11″W"}
}

// tidyMarks makes one sign of all that look alike.
var tidyMarks = strings.NewReplacer(
	"−", "-", "–", "-", "º", "°", "˚", "°", "’", "'", "′", "'", "´", "'", "‘", "'",
	"″", `"`, "”", `"`, "“", `"`, "''", `"`, "\u00a0", " ", "\u202f", " ",
)

var hemispheres = []struct {
	word   *regexp.Regexp
	letter string
}{
	{regexp.MustCompile(`\bNORTH\b`), "N"}, {regexp.MustCompile(`\bSOUTH\b`), "S"},
	{regexp.MustCompile(`\bEAST\b`), "E"}, {regexp.MustCompile(`\bWEST\b`), "W"},
	{regexp.MustCompile(`\bLAT(ITUDE)?\b[:=]?|\bLON(G|GITUDE)?\b[:=]?`), ""},
}

var (
	decimalCommas = regexp.MustCompile(`^[^,]*\d,\d+[^,\d]*(?:[; ]|, )[^,]*\d,\d+[^,\d]*$`)
	commaInside   = regexp.MustCompile(`(\d),(\d)`)
	number        = regexp.MustCompile(`[+-]?\d+(\.\d*)?|[+-]?\.\d+`)
	letter        = regexp.MustCompile(`[NSEWO]`)
	half          = regexp.MustCompile(`^([NSEWO]?) *([+-]?)(\d{1,3}(?:\.\d*)?|\.\d+) *°? *(?:(\d{1,2}(?:\.\d*)?) *'? *(?:(\d{1,2}(?:\.\d*)?) *"? *)?)?([NSEWO]?)$`)
)

// halves cuts s where the second coordinate begins.
func halves(text, s string) (first, second string, err error) {
	cut := -1
	letters := letter.FindAllStringIndex(s, -1)
	numbers := number.FindAllStringIndex(s, -1)
	switch {
	case strings.Count(s, ";") == 1:
		cut = strings.IndexByte(s, ';')
	case strings.Count(s, ",") == 1:
		cut = strings.IndexByte(s, ',')
	case len(letters) == 2 && letters[0][0] == 0:
		cut = letters[1][0]
	case len(letters) == 2:
		cut = letters[0][1]
	case strings.Count(s, "°") == 2:
		before := s[:strings.LastIndex(s, "°")]
		for _, n := range numbers {
			if n[0] < len(before) {
				cut = n[0]
			}
		}
	case len(numbers) == 2 || len(numbers) == 4 || len(numbers) == 6:
		cut = numbers[len(numbers)/2][0]
	}
	if cut <= 0 {
		return "", "", unreadable(text)
	}
	trim := func(h string) string { return strings.Trim(h, " ,;\t") }
	return trim(s[:cut]), trim(s[cut:]), nil
}

// degrees reads one coordinate: sign or letter, degrees, minutes, seconds.
func degrees(s string) (x float64, letter string, err error) {
	m := half.FindStringSubmatch(s)
	if m == nil || m[1] != "" && m[6] != "" {
		return 0, "", unreadable(s)
	}
	letter = m[1] + m[6]
	if letter != "" && m[2] != "" {
		return 0, "", &Error{fmt.Sprintf("%q has a sign and a letter", s), "write one of them: -33.05 or 33.05 S"}
	}
	for i, part := range m[3:6] {
		if part == "" {
			break
		}
		v, _ := strconv.ParseFloat(part, 64)
		if i > 0 && v >= 60 {
			return 0, "", &Error{fmt.Sprintf("%s minutes or seconds in %q; they end at 60", part, s), "write degrees, minutes and seconds like 33°02′46″S"}
		}
		if i < 2 && m[4+i] != "" && strings.Contains(part, ".") {
			return 0, "", &Error{fmt.Sprintf("%q has a fraction before its last number", s), "write degrees, minutes and seconds like 33°02′46.5″S"}
		}
		x += v / [...]float64{1, 60, 3600}[i]
	}
	if m[2] == "-" || letter == "S" || letter == "W" {
		x = -x
	}
	return x, letter, nil
}

// geoURI reads what follows "geo:": latitude, longitude, perhaps a height.
func geoURI(text, rest string) (Point, error) {
	rest, _, _ = strings.Cut(rest, ";") // parameters, such as an uncertainty
	rest, _, _ = strings.Cut(rest, "?")
	var x []float64
	for _, part := range strings.Split(rest, ",") {
		v, err := strconv.ParseFloat(part, 64)
		if err != nil {
			return Point{}, unreadable(text)
		}
		x = append(x, v)
	}
	if len(x) < 2 || len(x) > 3 {
		return Point{}, unreadable(text)
	}
	p, err := point(x[0], x[1])
	if err == nil && len(x) == 3 {
		h := unit.Length(x[2]) * unit.Metre
		p.Elevation = &h
		if err = p.Check(); err != nil {
			return Point{}, &Error{err.Error(), "leave the height out, or give it in metres"}
		}
	}
	return p, err
}
