package exposure

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"hardnoon/engine/unit"
)

// FNumber, Shutter and ISO are exact values: f/5.6 is 2^2.5, 1/60 s is 1/64 s.
// Their String is what a dial in third stops would show, or the value itself
// where no click comes within a twentieth of a stop.
type (
	FNumber float64 // focal length over entrance pupil
	Shutter float64 // seconds
	ISO     float64 // arithmetic speed
)

// Step is the distance between two clicks of a dial.
type Step int

const (
	Thirds Step = iota
	Halves
)

// Stops returns the size of one click.
func (s Step) Stops() unit.Stops {
	if s == Halves {
		return unit.Stop / 2
	}
	return unit.Stop / 3
}

func (s Step) clicks() float64 { return math.Round(1 / float64(s.Stops())) }

// Labels as engraved. Click k stands k clicks from f/1, 1 s or ISO 100.
// Common practice, no source: the sequences are the same on every maker's dial.
var (
	fThird = strings.Fields("1 1.1 1.2 1.4 1.6 1.8 2 2.2 2.5 2.8 3.2 3.5 4 4.5 5 5.6 6.3 7.1 8 9 10 11 13 14 16 18 20 22 25 29 32 36 40 45 51 57 64")
	fHalf  = strings.Fields("1 1.2 1.4 1.7 2 2.4 2.8 3.3 4 4.8 5.6 6.7 8 9.5 11 13 16 19 22 27 32 38 45 54 64")
	tThird = strings.Fields("30 25 20 15 13 10 8 6 5 4 3.2 2.5 2 1.6 1.3 1 0.8 0.6 0.5 0.4 0.3 1/4 1/5 1/6 1/8 1/10 1/13 1/15 1/20 1/25 1/30 1/40 1/50 1/60 1/80 1/100 1/125 1/160 1/200 1/250 1/320 1/400 1/500 1/640 1/800 1/1000 1/1250 1/1600 1/2000 1/2500 1/3200 1/4000 1/5000 1/6400 1/8000 1/10000 1/12800 1/16000 1/20000 1/25600 1/32000 1/40000 1/51200 1/64000 1/80000")
	tHalf  = strings.Fields("30 20 15 10 8 6 4 3 2 1.5 1 0.7 0.5 0.3 1/4 1/6 1/8 1/10 1/15 1/20 1/30 1/45 1/60 1/90 1/125 1/180 1/250 1/350 1/500 1/750 1/1000 1/1500 1/2000 1/3000 1/4000 1/6000 1/8000 1/12000 1/16000 1/24000 1/32000 1/48000 1/64000")
	sThird = strings.Fields("6 8 10 12 16 20 25 32 40 50 64 80 100 125 160 200 250 320 400 500 640 800 1000 1250 1600 2000 2500 3200 4000 5000 6400 8000 10000 12800 16000 20000 25600 32000 40000 51200 64000 80000 102400")
	sHalf  = strings.Fields("6 9 12 18 25 35 50 70 100 140 200 280 400 560 800 1100 1600 2200 3200 4500 6400 9000 12800 18000 25600 36000 51200 72000 102400")
)

// A dial maps labels to clicks and clicks to stops: +1 stop is less light for
// f-number and shutter, more for ISO.
type dial struct {
	labels []string
	first  int // click of labels[0]
}

func fDial(s Step) dial { return dial{pick(s, fThird, fHalf), 0} }
func tDial(s Step) dial { return dial{pick(s, tThird, tHalf), -5 * int(s.clicks())} }
func sDial(s Step) dial { return dial{pick(s, sThird, sHalf), -4 * int(s.clicks())} }

func pick(s Step, third, half []string) []string {
	if s == Halves {
		return half
	}
	return third
}

// stopsOfLabel returns the exact place of a label, in stops.
func (d dial) stopsOfLabel(label string, s Step) (float64, bool) {
	for i, l := range d.labels {
		if l == label {
			return float64(d.first+i) / s.clicks(), true
		}
	}
	return 0, false
}

// label returns what stands within a twentieth of a stop of x.
func (d dial) label(x float64, s Step) (string, bool) {
	k := math.Round(x * s.clicks())
	i := int(k) - d.first
	if i < 0 || i >= len(d.labels) || math.Abs(k/s.clicks()-x) > 0.05 {
		return "", false
	}
	return d.labels[i], true
}

func exactF(stops float64) float64 { return math.Exp2(stops / 2) }
func exactT(stops float64) float64 { return math.Exp2(-stops) }
func exactS(stops float64) float64 { return 100 * math.Exp2(stops) }

func (n FNumber) stops() float64 { return 2 * math.Log2(float64(n)) }
func (t Shutter) stops() float64 { return -math.Log2(float64(t)) }
func (i ISO) stops() float64     { return math.Log2(float64(i) / 100) }

// Label returns what a dial of step s shows for n, such as "f/5.6".
func (n FNumber) Label(s Step) string {
	if l, ok := fDial(s).label(n.stops(), s); ok {
		return "f/" + l
	}
	return "f/" + strconv.FormatFloat(float64(n), 'g', 3, 64)
}

// Label returns what a dial of step s shows for t, such as "1/250" or "0.5 s".
func (t Shutter) Label(s Step) string {
	l, ok := tDial(s).label(t.stops(), s)
	switch {
	case !ok && t < 0.3:
		return fmt.Sprintf("1/%.3g", 1/float64(t))
	case !ok:
		return fmt.Sprintf("%.3g s", float64(t))
	case strings.Contains(l, "/"):
		return l
	}
	return l + " s"
}

// Label returns what a dial of step s shows for i, such as "160".
func (i ISO) Label(s Step) string {
	if l, ok := sDial(s).label(i.stops(), s); ok {
		return l
	}
	return strconv.FormatFloat(math.Round(float64(i)), 'f', -1, 64)
}

func (n FNumber) String() string { return n.Label(Thirds) }
func (t Shutter) String() string { return t.Label(Thirds) }
func (i ISO) String() string     { return i.Label(Thirds) }

// FNumbers, Shutters and ISOs return the clicks of a dial between two values,
// both ends included.
func FNumbers(from, to FNumber, s Step) []FNumber {
	var out []FNumber
	for _, x := range clicksBetween(from.stops(), to.stops(), s) {
		out = append(out, FNumber(exactF(x)))
	}
	return out
}

// Shutters runs from the longest time to the shortest.
func Shutters(from, to Shutter, s Step) []Shutter {
	var out []Shutter
	for _, x := range clicksBetween(from.stops(), to.stops(), s) {
		out = append(out, Shutter(exactT(x)))
	}
	return out
}

// ISOs runs from the lowest speed to the highest.
func ISOs(from, to ISO, s Step) []ISO {
	var out []ISO
	for _, x := range clicksBetween(from.stops(), to.stops(), s) {
		out = append(out, ISO(exactS(x)))
	}
	return out
}

func clicksBetween(from, to float64, s Step) []float64 {
	const slack = 1e-6 // a click computed from its own label
	var out []float64
	for k := math.Ceil(from*s.clicks() - slack); k <= to*s.clicks()+slack; k++ {
		out = append(out, k/s.clicks())
	}
	return out
}

// ParseFNumber reads "5.6" or "f/5.6". A number that stands on a dial means
// that click; any other means itself.
func ParseFNumber(text string, s Step) (FNumber, error) {
	t := strings.TrimPrefix(strings.TrimPrefix(strings.ToLower(strings.TrimSpace(text)), "f/"), "f")
	if x, ok := fDial(s).stopsOfLabel(t, s); ok {
		return FNumber(exactF(x)), nil
	}
	x, err := strconv.ParseFloat(t, 64)
	if err != nil {
		return 0, &SyntaxError{"f-number", text, "5.6 or f/5.6"}
	}
	return NearestFNumber(x, s)
}

// NearestFNumber returns the click meant by the figure x ("5.6" is 2^2.5), or x
// itself if it stands on no dial.
func NearestFNumber(x float64, s Step) (FNumber, error) {
	if err := unit.Within("f-number", x, 0.5, 128, ""); err != nil {
		return 0, err
	}
	if e, ok := fDial(s).stopsOfLabel(strconv.FormatFloat(x, 'g', -1, 64), s); ok {
		return FNumber(exactF(e)), nil
	}
	return FNumber(x), nil
}

// ParseShutter reads "1/250", "0.5", "2s" or "2 s". What stands on a dial means
// that click; any other means itself.
func ParseShutter(text string, s Step) (Shutter, error) {
	t := strings.ReplaceAll(strings.ToLower(text), " ", "")
	t = strings.TrimSuffix(strings.TrimSuffix(t, "s"), "\"")
	if x, ok := tDial(s).stopsOfLabel(t, s); ok {
		return Shutter(exactT(x)), nil
	}
	num, den, fraction := strings.Cut(t, "/")
	x, err := strconv.ParseFloat(num, 64)
	if err == nil && fraction {
		var d float64
		if d, err = strconv.ParseFloat(den, 64); err == nil {
			x /= d
		}
	}
	// A dial shows 1/250 as 250, and nobody opens for four minutes by day.
	bare := !fraction && len(t) == len(strings.ReplaceAll(text, " ", "")) && x > 30
	if err != nil || bare {
		return 0, &SyntaxError{"shutter time", text, "1/250 or 0.5s"}
	}
	if err := unit.Within("shutter time", x, 1e-6, 3600, "s"); err != nil {
		return 0, err
	}
	return Shutter(x), nil
}

// NearestISO returns the click meant by the figure x, or x itself.
func NearestISO(x float64, s Step) (ISO, error) {
	if err := unit.Within("ISO", x, 1, 10e6, ""); err != nil {
		return 0, err
	}
	if e, ok := sDial(s).stopsOfLabel(strconv.FormatFloat(x, 'f', -1, 64), s); ok {
		return ISO(exactS(e)), nil
	}
	return ISO(x), nil
}

// SyntaxError reports text that is no value of its kind.
type SyntaxError struct{ What, Got, Example string }

func (e *SyntaxError) Error() string {
	return fmt.Sprintf("%s %q cannot be read; write it like %s", e.What, e.Got, e.Example)
}
