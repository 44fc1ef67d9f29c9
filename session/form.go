package session

import (
	"regexp"
	"strconv"
	"strings"
)

// A form is how a text must look.
type form struct {
	pattern *regexp.Regexp
	what    string // "a shutter time"
	like    string // the hint
}

// forms by the name that the tag "form" uses.
var forms = map[string]form{
	"text":    {regexp.MustCompile(`\S`), "a text", "say something a person recognises"},
	"id":      {regexp.MustCompile(`^[a-z0-9]([a-z0-9.-]{0,62}[a-z0-9])?$`), "a short name", `use small letters, digits and hyphens: "key-dish"`},
	"local":   {regexp.MustCompile(`^[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}(:[0-9]{2})?$`), "a wall-clock time", `write it like "2027-01-16T13:20", without a zone: that stands in place.zone`},
	"shutter": {regexp.MustCompile(`^[1-9][0-9]{0,4}(/[1-9][0-9]{0,5})?$`), "a shutter time", `write it like "1/250"`},
	"zone":    {regexp.MustCompile(`^[A-Za-z][A-Za-z0-9_+-]*(/[A-Za-z0-9_+-]+)*$`), "a time zone", `write its IANA name, like "America/Santiago"`},
}

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

var numberAndUnit = regexp.MustCompile(`^\s*([+-]?[0-9]+(?:\.[0-9]*)?)\s*([^\s0-9.]\S*)?\s*$`)

// asNumber reads a text such as "2.4m", "8 ft" or "f/5.6" as a person meant it.
func asNumber(text, unit string) (x float64, from string, ok bool) {
	text = strings.TrimPrefix(strings.NewReplacer("−", "-", ",", ".").Replace(text), "f/")
	m := numberAndUnit.FindStringSubmatch(text)
	if m == nil {
		return 0, "", false
	}
	x, _ = strconv.ParseFloat(m[1], 64)
	if m[2] == "" || m[2] == unit {
		return x, "", true
	}
	if unitRow(m[2]) == nil {
		return 0, "", false
	}
	return x, m[2], true
}

func plain(x float64) string {
	return strconv.FormatFloat(x, 'g', 6, 64)
}
