package session

import (
	"strconv"
	"strings"
)

// A form is how a text must look. The pattern is for the schema; the reader
// asks fits, because regexp would be a twentieth of the engine in a browser.
type form struct {
	pattern string
	fits    func(string) bool
	what    string // "a shutter time"
	like    string // the hint
}

// forms by the name that the tag "form" uses.
var forms = map[string]form{
	"text":    {`\S`, isWords, "a text", "say something a person recognises"},
	"id":      {`^[a-z0-9]([a-z0-9.-]{0,62}[a-z0-9])?$`, isID, "a short name", `use small letters, digits and hyphens: "key-dish"`},
	"local":   {`^[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}(:[0-9]{2})?$`, isLocal, "a wall-clock time", `write it like "2027-01-16T13:20", without a zone: that stands in place.zone`},
	"shutter": {`^[1-9][0-9]{0,4}(/[1-9][0-9]{0,5})?$`, isShutter, "a shutter time", `write it like "1/250"`},
	"zone":    {`^[A-Za-z][A-Za-z0-9_+-]*(/[A-Za-z0-9_+-]+)*$`, isZone, "a time zone", `write its IANA name, like "America/Santiago"`},
}

// Letters that forms are made of.
const (
	space   = " \t\n\f\r"
	digits  = "0123456789"
	lower   = "abcdefghijklmnopqrstuvwxyz"
	letters = lower + "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
)

// madeOf reports whether s has from least to most letters, each of them in set.
func madeOf(s, set string, least, most int) bool {
	return len(s) >= least && len(s) <= most && strings.Trim(s, set) == ""
}

func isWords(s string) bool { return strings.Trim(s, space) != "" }

func isID(s string) bool {
	return madeOf(s, lower+digits+".-", 1, 64) && strings.Trim(s, ".-") == s
}

func isLocal(s string) bool {
	const like = "0000-00-00T00:00:00"
	if len(s) != len(like) && len(s) != len(like)-3 {
		return false
	}
	zeros := strings.Map(func(r rune) rune {
		if r >= '0' && r <= '9' {
			return '0'
		}
		return r
	}, s)
	return zeros == like[:len(s)]
}

func isShutter(s string) bool {
	count := func(s string, most int) bool { return madeOf(s, digits, 1, most) && s[0] != '0' }
	num, den, fraction := strings.Cut(s, "/")
	return count(num, 5) && (!fraction || count(den, 6))
}

func isZone(s string) bool {
	for part := range strings.SplitSeq(s, "/") {
		if !madeOf(part, letters+digits+"_+-", 1, len(s)) {
			return false
		}
	}
	return strings.Contains(letters, s[:1])
}

// isTapID is `^[A-Za-z0-9-]{8,64}$`.
func isTapID(s string) bool { return madeOf(s, letters+digits+"-", 8, 64) }

// unitWords are the units a name or a number may carry, and the factor to the
// first unit of their row; 0 where a factor is not enough.
var unitWords = []map[string]float64{
	{"m": 1, "mm": 0.001, "cm": 0.01, "km": 1000, "ft": 0.3048, "feet": 0.3048, "in": 0.0254, "yd": 0.9144, "metres": 1, "meters": 1},
	{"°": 1, "deg": 1, "degrees": 1, "rad": 57.29577951308232},
	{"m/s": 1, "mps": 1, "kmh": 1 / 3.6, "km/h": 1 / 3.6, "kph": 1 / 3.6, "mph": 0.44704, "kn": 1852.0 / 3600, "kt": 1852.0 / 3600, "knots": 1852.0 / 3600},
	{"kg": 1, "g": 0.001, "lb": 0.45359237, "lbs": 0.45359237, "oz": 0.028349523125},
	{"min": 1, "minutes": 1, "s": 1.0 / 60, "h": 60, "hours": 60},
	{"°C": 1, "c": 1, "°F": 0, "f": 0, "k": 0},
	{"stops": 1, "stop": 1, "ev": 1},
	{"%": 1, "pct": 1, "percent": 1},
	{"Ws": 1, "ws": 1, "j": 1},
	{"W/m²": 1, "wm2": 1},
	{"px": 1}, {"Mpx": 1, "mp": 1}, {"years": 1, "y": 1}, {"EV": 1, "ev100": 1},
}

// unitRow returns the row that holds u, or nil.
func unitRow(u string) map[string]float64 {
	for _, row := range unitWords {
		if _, ok := row[u]; ok {
			return row
		}
	}
	return nil
}

// convert returns x in the unit to, where a factor is enough.
func convert(x float64, from, to string) (float64, bool) {
	for _, row := range unitWords {
		a, known := row[from]
		b, wanted := row[to]
		if known && wanted && a > 0 && b > 0 {
			return x * a / b, true
		}
	}
	return 0, false
}

// asNumber reads a text such as "2.4m", "8 ft" or "f/5.6" as a person meant it.
func asNumber(text, unit string) (x float64, from string, ok bool) {
	text = strings.TrimPrefix(strings.ReplaceAll(strings.ReplaceAll(text, "−", "-"), ",", "."), "f/")
	text = strings.Trim(text, space)
	from = strings.TrimLeft(text, "+-."+digits)
	x, err := strconv.ParseFloat(text[:len(text)-len(from)], 64)
	from = strings.TrimLeft(from, space)
	switch {
	case err != nil:
		return 0, "", false
	case from == "" || from == unit:
		return x, "", true
	case unitRow(from) == nil:
		return 0, "", false
	}
	return x, from, true
}

func plain(x float64) string {
	return strconv.FormatFloat(x, 'g', 6, 64)
}
