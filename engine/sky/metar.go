package sky

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"hardnoon/engine/unit"
)

// Report is a routine weather report of an aerodrome (METAR or SPECI), as far
// as light and wind need it. A nil field was not reported.
//
// Source: [WMO306] FM 15, [FMH1] chapter 12.
type Report struct {
	Station           string
	Day, Hour, Minute int // UTC; Day 0: no time in the report
	Wind              *Wind
	Visibility        *unit.Length // 10 km stands for "10 km or more"
	Weather           []string     // groups as written: "-RASN", "+TSRA", "VCSH"
	Layers            []Layer      // of cloud, as written
	SkyClear          bool         // SKC, CLR, NSC, NCD or CAVOK
	VerticalView      *unit.Length // the sky is not seen: fog, snow
	Temperature       *unit.Celsius
	DewPoint          *unit.Celsius
	Pressure          *unit.Pressure // reduced to sea level
}

// Wind is the wind of a report.
type Wind struct {
	From     *unit.Angle // mean direction, true; nil: variable
	VaryFrom *unit.Angle // clockwise from here
	VaryTo   *unit.Angle // to here
	Mean     unit.Speed
	Gust     *unit.Speed   // nil: no gust was reported, not "no gust"
	MeanOver time.Duration // what Mean is averaged over; 0: not known
	AtLeast  bool          // the speed is beyond the scale ("P99")
}

// Layer is one layer of cloud.
type Layer struct {
	Low, High int          // oktas covered, from and to
	Base      *unit.Length // above the aerodrome
	Storm     bool         // cumulonimbus (CB)
	Towering  bool         // towering cumulus (TCU)
	Unknown   bool         // the amount could not be observed
}

// Thunder reports whether a thunderstorm is at the aerodrome or near it, and
// Convective whether cloud is there that can make one.
func (r Report) Thunder() bool {
	for _, w := range r.Weather {
		if strings.Contains(w, "TS") {
			return true
		}
	}
	return false
}

func (r Report) Convective() bool {
	for _, l := range r.Layers {
		if l.Storm || l.Towering {
			return true
		}
	}
	return r.Thunder()
}

// Ceiling returns the base of the lowest layer that covers five oktas or more,
// or the vertical view into a hidden sky.
func (r Report) Ceiling() (unit.Length, bool) {
	if r.VerticalView != nil {
		return *r.VerticalView, true
	}
	for _, l := range r.Layers {
		if l.Low >= 5 && l.Base != nil {
			return *l.Base, true
		}
	}
	return 0, false
}

// ReportError says which word of a report could not be read.
type ReportError struct{ Word, Why string }

func (e *ReportError) Error() string {
	if e.Word == "" {
		return "weather report: " + e.Why
	}
	return fmt.Sprintf("weather report: %q %s", e.Word, e.Why)
}

// maxReport bounds what is read: reports have some 300 characters.
const maxReport = 2000

// ParseMETAR reads a report. Groups it has no use for are passed over; a text in
// which nothing of the sky or the wind is found is an error.
func ParseMETAR(text string) (Report, error) {
	if len(text) > maxReport {
		return Report{}, &ReportError{Why: fmt.Sprintf("is %d characters long; reports are shorter than %d", len(text), maxReport)}
	}
	p := reportReader{words: strings.Fields(strings.ToUpper(strings.TrimSuffix(strings.TrimSpace(text), "=")))}
	for p.i < len(p.words) {
		if err := p.group(); err != nil {
			return Report{}, err
		}
	}
	r := p.r
	if r.Wind == nil && len(r.Layers) == 0 && !r.SkyClear && r.VerticalView == nil {
		return Report{}, &ReportError{Why: "has neither wind nor cloud in it"}
	}
	return r, nil
}

type reportReader struct {
	words []string
	i     int
	r     Report
	trend bool // behind NOSIG, BECMG, TEMPO: forecast, not report
	note  bool // behind RMK
}

// group reads the next group, or passes over a word.
func (p *reportReader) group() error {
	w := p.words[p.i]
	p.i++
	switch {
	case w == "RMK":
		p.note = true
	case p.note:
		p.remark(w)
	case w == "NOSIG" || w == "BECMG" || w == "TEMPO":
		p.trend = true
	case p.trend, w == "METAR", w == "SPECI", w == "AUTO", w == "COR":
	case w == "NIL":
		return &ReportError{w, "says that there is no report"}
	case p.r.Day == 0 && p.r.Station == "" && p.r.Wind == nil && letters(w, 4):
		p.r.Station = w
	case p.time(w):
	case strings.HasSuffix(w, "KT") || strings.HasSuffix(w, "MPS") || strings.HasSuffix(w, "KMH"):
		return p.wind(w)
	case len(w) == 7 && w[3] == 'V' && digits(w[:3]) && digits(w[4:]):
		if p.r.Wind != nil {
			p.r.Wind.VaryFrom, p.r.Wind.VaryTo = bearing(w[:3]), bearing(w[4:])
		}
	case w == "CAVOK":
		p.r.SkyClear, p.r.Visibility = true, length(10000, unit.Metre)
	case w == "SKC" || w == "CLR" || w == "NSC" || w == "NCD":
		p.r.SkyClear = true
	case p.visibility(w):
	case p.cloud(w):
	case p.temperatures(w):
	case p.pressure(w):
	case weather(w):
		p.r.Weather = append(p.r.Weather, w)
	}
	return nil
}

func (p *reportReader) time(w string) bool {
	if len(w) != 7 || w[6] != 'Z' || !digits(w[:6]) {
		return false
	}
	d, h, m := number(w[:2]), number(w[2:4]), number(w[4:6])
	if d < 1 || d > 31 || h > 23 || m > 59 {
		return false
	}
	p.r.Day, p.r.Hour, p.r.Minute = d, h, m
	return true
}

// wind reads dddff(f)(Gff(f)) with its unit.
func (p *reportReader) wind(w string) error {
	bad := &ReportError{w, "is not a wind; one is written like 24012G22KT"}
	per, s := unit.Knot, strings.TrimSuffix(w, "KT")
	switch {
	case strings.HasSuffix(w, "MPS"):
		per, s = unit.MetrePerSecond, strings.TrimSuffix(w, "MPS")
	case strings.HasSuffix(w, "KMH"):
		per, s = unit.KilometrePerHour, strings.TrimSuffix(w, "KMH")
	}
	if strings.HasPrefix(s, "/") { // not observed
		return nil
	}
	if len(s) < 5 {
		return bad
	}
	out := Wind{MeanOver: p.meanOver()}
	switch dir := s[:3]; {
	case dir == "VRB":
	case digits(dir) && number(dir) <= 360:
		if s[:3] != "000" {
			out.From = bearing(dir)
		}
	default:
		return bad
	}
	mean, gust, gusts := strings.Cut(s[3:], "G")
	if strings.HasPrefix(mean, "P") {
		mean, out.AtLeast = mean[1:], true
	}
	gust = strings.TrimPrefix(gust, "P")
	if len(mean) > 3 || !digits(mean) || gusts && (len(gust) > 3 || !digits(gust)) {
		return bad
	}
	out.Mean = unit.Speed(number(mean)) * per
	if gusts {
		g := unit.Speed(number(gust)) * per
		out.Gust = &g
	}
	p.r.Wind = &out
	return nil
}

// meanOver is what the mean wind is averaged over by the rules of the station's
// country: two minutes in North America, ten elsewhere. Source: [FMH1] 5.4,
// [WMO306] 15.5; Canada from memory.
func (p *reportReader) meanOver() time.Duration {
	switch {
	case p.r.Station == "":
		return 0
	case strings.HasPrefix(p.r.Station, "K"), strings.HasPrefix(p.r.Station, "C"), strings.HasPrefix(p.r.Station, "PA"), strings.HasPrefix(p.r.Station, "PH"):
		return 2 * time.Minute
	}
	return 10 * time.Minute
}

// visibility reads metres, kilometres, or statute miles with fractions.
func (p *reportReader) visibility(w string) bool {
	if p.r.Visibility != nil {
		return false
	}
	const mile = 1609.344 * unit.Metre
	switch {
	case len(w) == 4 && digits(w), len(w) == 7 && digits(w[:4]) && w[4:] == "NDV":
		m := number(w[:4])
		if m == 9999 {
			m = 10000
		}
		p.r.Visibility = length(float64(m), unit.Metre)
	case strings.HasSuffix(w, "KM") && len(w) <= 5 && digits(w[:len(w)-2]):
		p.r.Visibility = length(float64(number(w[:len(w)-2])), unit.Kilometre)
	case strings.HasSuffix(w, "SM"):
		m, ok := miles(strings.TrimSuffix(w, "SM"))
		if !ok {
			return false
		}
		p.r.Visibility = length(m, mile)
	case len(w) == 1 && digits(w) && p.i < len(p.words) && strings.HasSuffix(p.words[p.i], "SM"):
		m, ok := miles(strings.TrimSuffix(p.words[p.i], "SM"))
		if !ok {
			return false
		}
		p.i++
		p.r.Visibility = length(float64(number(w))+m, mile)
	default:
		return false
	}
	return true
}

func miles(s string) (float64, bool) {
	s = strings.TrimLeft(s, "MP")
	a, b, fraction := strings.Cut(s, "/")
	if !digits(a) || len(a) > 3 || fraction && (!digits(b) || len(b) > 3 || number(b) == 0) {
		return 0, false
	}
	m := float64(number(a))
	if fraction {
		m /= float64(number(b))
	}
	return m, true
}

// cloud reads FEW, SCT, BKN, OVC and VV with a height in hundreds of feet.
func (p *reportReader) cloud(w string) bool {
	const foot = 100 * unit.Foot
	if rest, ok := strings.CutPrefix(w, "VV"); ok && len(rest) == 3 {
		p.r.VerticalView = new(unit.Length)
		if digits(rest) {
			p.r.VerticalView = length(float64(number(rest)), foot)
		}
		return true
	}
	if strings.HasPrefix(w, "//////") && len(w) <= 9 {
		p.r.Layers = append(p.r.Layers, Layer{Unknown: true, Storm: strings.HasSuffix(w, "CB"), Towering: strings.HasSuffix(w, "TCU")})
		return true
	}
	if len(w) < 6 {
		return false
	}
	var l Layer
	switch w[:3] {
	case "FEW":
		l.Low, l.High = 1, 2
	case "SCT":
		l.Low, l.High = 3, 4
	case "BKN":
		l.Low, l.High = 5, 7
	case "OVC":
		l.Low, l.High = 8, 8
	default:
		return false
	}
	if h := w[3:6]; digits(h) {
		l.Base = length(float64(number(h)), foot)
	} else if h != "///" {
		return false
	}
	l.Storm, l.Towering = strings.HasSuffix(w, "CB"), strings.HasSuffix(w, "TCU")
	p.r.Layers = append(p.r.Layers, l)
	return true
}

// temperatures reads "M01/M03"; what follows RMK is more exact.
func (p *reportReader) temperatures(w string) bool {
	t, d, ok := strings.Cut(w, "/")
	if !ok || p.r.Temperature != nil {
		return false
	}
	temp, ok := degrees(t)
	if !ok {
		return false
	}
	p.r.Temperature = &temp
	if dew, ok := degrees(d); ok {
		p.r.DewPoint = &dew
	}
	return true
}

func degrees(s string) (unit.Celsius, bool) {
	rest, below := strings.CutPrefix(s, "M")
	if len(rest) != 2 || !digits(rest) {
		return 0, false
	}
	t := unit.Celsius(number(rest))
	if below {
		t = -t
	}
	return t, true
}

// pressure reads hectopascals (Q1013) or hundredths of an inch of mercury (A2992).
func (p *reportReader) pressure(w string) bool {
	if len(w) != 5 || !digits(w[1:]) || w[0] != 'Q' && w[0] != 'A' {
		return false
	}
	q := unit.Pressure(number(w[1:])) * unit.Hectopascal
	if w[0] == 'A' {
		q *= 0.338639 // hPa in a hundredth of an inch of mercury
	}
	p.r.Pressure = &q
	return true
}

// remark reads the temperature and dew point to a tenth: "T01820159".
func (p *reportReader) remark(w string) {
	if len(w) != 9 || w[0] != 'T' || !digits(w[1:]) || w[1] > '1' || w[5] > '1' {
		return
	}
	tenths := func(s string) *unit.Celsius {
		t := unit.Celsius(number(s[1:])) / 10
		if s[0] == '1' {
			t = -t
		}
		return &t
	}
	p.r.Temperature, p.r.DewPoint = tenths(w[1:5]), tenths(w[5:9])
}

// weatherCodes are the descriptors and phenomena of [WMO306] table 4678.
const weatherCodes = " MI BC PR DR BL SH TS FZ DZ RA SN SG IC PL GR GS UP BR FG FU VA DU SA HZ PO SQ FC SS DS RE VC "

// weather reports whether a word is a group of present weather.
func weather(w string) bool {
	w = strings.TrimLeft(w, "+-")
	if len(w) < 2 || len(w) > 8 || len(w)%2 != 0 {
		return false
	}
	for ; w != ""; w = w[2:] {
		if !strings.Contains(weatherCodes, " "+w[:2]+" ") {
			return false
		}
	}
	return true
}

func letters(w string, n int) bool {
	if len(w) != n {
		return false
	}
	for i, c := range w {
		if !(c >= 'A' && c <= 'Z' || i > 0 && c >= '0' && c <= '9') {
			return false
		}
	}
	return true
}

func digits(s string) bool {
	for _, c := range s {
		if c < '0' || c > '9' {
			return false
		}
	}
	return s != ""
}

// number reads what digits has looked at; a few digits never overflow.
func number(s string) int {
	n, _ := strconv.Atoi(s)
	return n
}

func bearing(s string) *unit.Angle {
	a := (unit.Angle(number(s)) * unit.Degree).Positive()
	return &a
}

func length(x float64, per unit.Length) *unit.Length {
	l := unit.Length(x) * per
	return &l
}

// CloudUnknownError says that a report does not tell how cloudy it is.
type CloudUnknownError struct{ Station string }

func (e *CloudUnknownError) Error() string {
	return "the weather report does not say how much cloud there is"
}

// highCloud is the base above which cloud is ice and lets the sun through:
// 20,000 ft. Source: [WMOAtlas], level of high clouds in middle latitudes.
const highCloud = 20000 * unit.Foot

// Oktas returns how many eighths are covered, and by what. Layers hide each
// other: a report gives for each height what covers up to it, so the largest
// amount counts, at the middle of its range.
func (r Report) Oktas() (n int, g Genus, err error) {
	if r.VerticalView != nil {
		return 8, Nimbostratus, nil
	}
	known, high := r.SkyClear, true
	for _, l := range r.Layers {
		if l.Unknown {
			continue
		}
		known = true
		n = max(n, int(math.Ceil(float64(l.Low+l.High)/2)))
		if l.Low >= 3 && (l.Base == nil || *l.Base < highCloud) {
			high = false
		}
	}
	switch {
	case !known:
		return 0, AnyCloud, &CloudUnknownError{r.Station}
	case n > 0 && high:
		g = Cirrus
	case n == 8 && r.falls():
		g = Nimbostratus
	}
	return n, g, nil
}

// falls reports whether rain or snow of any strength reaches the ground there.
func (r Report) falls() bool {
	for _, w := range r.Weather {
		if strings.HasPrefix(w, "VC") {
			continue
		}
		for _, code := range []string{"RA", "SN", "DZ", "GR", "GS", "PL", "TS"} {
			if strings.Contains(w, code) {
				return true
			}
		}
	}
	return false
}

// hazeWithin is the visibility below which the air is taken as hazy.
const hazeWithin = 5 * unit.Kilometre

// FromReport returns the sky a report describes. Its dew point and its
// visibility go into the clear air.
//
// Error: 0.7 stop, more as the report ages; own estimate.
func FromReport(c Conditions, r Report) (States, error) {
	n, g, err := r.Oktas()
	if err != nil {
		return States{}, err
	}
	if c.DewPoint == nil && r.DewPoint != nil && *r.DewPoint >= -60 && *r.DewPoint <= 35 {
		c.DewPoint = r.DewPoint
	}
	if c.Turbidity == 0 && r.Visibility != nil && *r.Visibility < hazeWithin {
		c.Turbidity = hazyTurbidity
	}
	st, err := clouded(c, n, g)
	if err != nil {
		return States{}, err
	}
	for _, s := range st.all() {
		s.Model = "weather report, " + s.Model
		s.Doubts = append(s.Doubts, Doubt{0.3, "the report is of an aerodrome and of its hour"})
	}
	return st, nil
}

// all returns the states that differ from each other.
func (st States) all() []*Sky {
	all := []*Sky{st.Mean}
	for _, s := range []*Sky{st.Out, st.Hidden} {
		if s != nil && s != st.Mean {
			all = append(all, s)
		}
	}
	return all
}
