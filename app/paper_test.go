package app_test

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/color"
	"math"
	"os"
	"os/exec"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"
	_ "time/tzdata"

	ical "github.com/arran4/golang-ical"
	pdfreader "github.com/ledongthuc/pdf"
	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/qrcode"

	"hardnoon/api"
	"hardnoon/app"
	"hardnoon/session"
)

var made = time.Date(2027, 1, 10, 9, 0, 0, 0, time.UTC)

func demo(t testing.TB) session.Session {
	t.Helper()
	data, err := os.ReadFile("../demo/javelin.json")
	if err != nil {
		t.Fatal(err)
	}
	s, err := session.Read(data)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func drawn(t testing.TB, p app.Paper, s session.Session) (app.Drawn, []byte) {
	t.Helper()
	p.Made = made
	d, err := p.Draw(t.Context(), s, nil)
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := d.PDF(&b); err != nil {
		t.Fatal(err)
	}
	return d, b.Bytes()
}

// texts are what programs of others read out of a PDF: a Go library always, and
// pdftotext where it is installed ("go run ./dev test" installs it where it may).
// Both read in the order of drawing; all white space is one blank.
func texts(t *testing.T, data []byte) map[string]string {
	t.Helper()
	blank := func(s string) string { return regexp.MustCompile(`\s+`).ReplaceAllString(s, " ") }
	r, err := pdfreader.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	// The file maps every code to the letter of the same number; the library
	// follows such a map only within 256, so the codes are read as letters here.
	var words strings.Builder
	for i := range r.NumPage() {
		pdfreader.Interpret(r.Page(i+1).V.Key("Contents"), func(stack *pdfreader.Stack, op string) {
			if op == "Tj" {
				raw := stack.Pop().RawString()
				for k := 0; k+1 < len(raw); k += 2 {
					words.WriteRune(rune(raw[k])<<8 | rune(raw[k+1]))
				}
				words.WriteByte(' ')
			}
		})
	}
	out := map[string]string{"library": blank(words.String())}
	if tool, err := exec.LookPath("pdftotext"); err == nil {
		cmd := exec.Command(tool, "-raw", "-", "-")
		cmd.Stdin = bytes.NewReader(data)
		words, err := cmd.Output()
		if err != nil {
			t.Fatal(err)
		}
		out["pdftotext"] = blank(string(words))
	} else {
		t.Log("pdftotext is not installed (poppler-utils): read by the library alone")
	}
	return out
}

// Every number of the plan stands on the page, as other programs read it.
func TestNumbersOnPaper(t *testing.T) {
	s := demo(t)
	plan, err := api.Plan(s)
	if err != nil {
		t.Fatal(err)
	}
	for _, letter := range []bool{false, true} {
		d, data := drawn(t, app.Paper{Letter: letter}, s)
		if d.Pages != 1 {
			t.Errorf("the demo takes %d pages, letter %v", d.Pages, letter)
		}
		for reader, page := range texts(t, data) {
			numbersOn(t, reader, page, s, plan)
		}
	}
}

var negative = regexp.MustCompile(`-(\d)`)

func numbersOn(t *testing.T, reader, page string, s session.Session, plan api.PlanAnswer) {
	want := func(format string, args ...any) {
		t.Helper()
		w := negative.ReplaceAllString(fmt.Sprintf(format, args...), "−$1")
		if !strings.Contains(page, w) {
			t.Errorf("%s: %q is not on the page", reader, w)
		}
	}
	st := func(x float64) string {
		if math.Abs(x) < 0.05 {
			return "0.0"
		}
		return fmt.Sprintf("%+.1f", x)
	}
	long := func(m float64) string {
		if m < 9.995 {
			return fmt.Sprintf("%.2f m", m)
		}
		return fmt.Sprintf("%.1f m", m)
	}
	steps := func(x float64) string { return strings.TrimSuffix(fmt.Sprintf("%.1f", x), ".0") }
	var heat, index, uv, gust, mast float64
	for i, a := range plan.Setups {
		p, su := a.Answer, s.Setups[i]
		for _, x := range []api.SettingsJSON{p.SettingsJSON, a.Cloud.CloudState.SettingsJSON} {
			want("%s %s", x.Shutter, x.Aperture)
			want("ISO %.0f", x.ISO)
			if x.NDStops > 0 {
				want("ND %.0f", x.NDStops)
			}
		}
		want("cloud, %s", st(a.Cloud.Change))
		want("%s", st(*a.Margin))
		want("±%.1f", a.Uncertainty)
		want("background %s", st(p.Background))
		want("EV %.1f behind, %.1f face, %.1f edge, ±%.1f", a.Daylight.BackgroundEV, a.Daylight.FaceEV, a.Daylight.EdgeEV, a.Daylight.Uncertainty)
		want("sharp %s to %s", long(a.Lens.NearM), long(*a.Lens.FarM))
		if a.Lens.BlurPx != nil {
			want("blur %.0f px by day, %.0f by flash", *a.Lens.BlurPx, *a.Lens.FlashPx)
		}
		want("%.0f min", *su.Minutes)
		want("at %.0f mm", su.FocalMM)
		want("camera %s paces, looks %.0f°", steps(math.Round(su.Camera.DistanceM/0.75*2)/2), su.Camera.BearingDeg)
		want("camera %s", long(su.Camera.DistanceM))
		want("%.2f m", su.Camera.HeightM)
		want("sun %.0f°", a.Sun.AltitudeDeg)
		recycle := 0.0
		for j, l := range p.Lights {
			want("%s %.2f m", l.Role, l.GroundM)
			want("%s %.2f m", l.Role, *l.HeightM)
			want("%.2f m %s %.0f°", l.DistanceM, steps(l.Paces), math.Abs(*l.AngleDeg))
			want("%s %s", l.Power, a.Cloud.CloudState.Powers[j])
			want("alone %s (flash %s)", st(l.Total), st(l.Level))
			recycle = max(recycle, l.RecycleS)
		}
		want("again in %.1f s", recycle)
		r := a.RunnerUp
		want("%s %s, ISO %.0f", r.Shutter, r.Aperture, r.ISO)
		for _, l := range r.Lights {
			want("%s %s at %.2f m", l.Role, l.Power, l.DistanceM)
		}
		want("margin %s", st(r.Margin))
		for _, x := range a.Safety.Stands {
			gust, mast = max(gust, *x.GustMPS), max(mast, *x.BallastMast)
		}
		heat, index, uv = max(heat, *a.Safety.Heat.WBGT), max(index, *a.Safety.Heat.HeatIndexC), max(uv, a.Safety.UV.Index)
	}
	want("Gusts %.0f m/s (%.0f km/h)", gust, gust*3.6)
	want("or %.0f kg of ballast", math.Ceil(mast))
	want("Wet-bulb globe %.0f °C, heat index %.0f °C", heat, index)
	want("UV %.0f,", uv)
	want("%.0f kg do on windward legs only", *s.Kit.BallastKg)
	lat, lon := s.Place.LatDeg, s.Place.LonDeg
	for at, what := range map[string]string{"13:20": "begin", "14:50": "end"} {
		sun, err := api.Sun(api.SunRequest{SunPlace: api.SunPlace{LatDeg: &lat, LonDeg: &lon, ElevationM: s.Place.ElevationM}, At: "2027-01-16T" + at + ":00-03:00"})
		if err != nil {
			t.Fatal(err)
		}
		want("%s %s %.0f° %.0f°", at, what, sun.AltitudeApparent, sun.Azimuth)
	}
	pack, err := api.Pack(api.PackRequest{Session: s})
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range pack.Items {
		want("%s", x.Short)
	}
	for _, x := range pack.Brief {
		want("%s", x)
	}
	for _, w := range []string{"Javelin, fifteen, high noon", "Valparaíso", "13:56 noon", "78° 0°", "trained people decide"} {
		want("%s", w)
	}
}

// A PDF says what it is called and in which language.
func TestTitleAndLanguage(t *testing.T) {
	for _, kind := range app.PaperKinds {
		_, data := drawn(t, app.Paper{Kind: kind}, demo(t))
		r, err := pdfreader.NewReader(bytes.NewReader(data), int64(len(data)))
		if err != nil {
			t.Fatal(err)
		}
		if title := r.Trailer().Key("Info").Key("Title").Text(); !strings.Contains(title, "Javelin, fifteen") {
			t.Errorf("%s: title %q", kind, title)
		}
		if lang := r.Trailer().Key("Root").Key("Lang").Text(); lang != "en" {
			t.Errorf("%s: language %q", kind, lang)
		}
	}
}

// What the printer gets is black or white and nothing between, and no letter is
// smaller than 9 pt: read from the operators of the finished file.
func TestBlackOnWhite(t *testing.T) {
	for _, kind := range app.PaperKinds {
		_, data := drawn(t, app.Paper{Kind: kind}, demo(t))
		r, err := pdfreader.NewReader(bytes.NewReader(data), int64(len(data)))
		if err != nil {
			t.Fatal(err)
		}
		fonts := 0
		for i := range r.NumPage() {
			pdfreader.Interpret(r.Page(i+1).V.Key("Contents"), func(stack *pdfreader.Stack, op string) {
				var args []float64 // the last first; the stack is emptied for the next
				for stack.Len() > 0 {
					args = append(args, stack.Pop().Float64())
				}
				switch op {
				case "g", "G", "rg", "RG":
					for _, v := range args {
						if v != 0 && v != 1 {
							t.Errorf("%s page %d: colour %g", kind, i+1, v)
						}
					}
				case "k", "K", "sc", "scn", "SC", "SCN", "gs":
					t.Errorf("%s page %d: operator %s", kind, i+1, op)
				case "Tf":
					fonts++
					if size := args[0]; size < 9 {
						t.Errorf("%s page %d: type of %g pt", kind, i+1, size)
					}
				}
			})
		}
		if fonts == 0 {
			t.Errorf("%s: no type was found", kind)
		}
	}
}

// Every page is drawn by another program: ink where it should be, and none where
// printers cannot print.
func TestRendered(t *testing.T) {
	tool, err := exec.LookPath("pdftoppm")
	if err != nil {
		t.Skip("pdftoppm is not installed (poppler-utils): no page was rendered")
	}
	const dots = 60             // an inch
	const quiet = dots * 4 / 25 // just under 4.2 mm
	for _, kind := range app.PaperKinds {
		for _, letter := range []bool{false, true} {
			d, data := drawn(t, app.Paper{Kind: kind, Letter: letter}, demo(t))
			cmd := exec.Command(tool, "-gray", "-r", fmt.Sprint(dots), "-")
			cmd.Stdin = bytes.NewReader(data)
			out, err := cmd.Output()
			if err != nil {
				t.Fatal(err)
			}
			pages := 0
			for rest := bytes.NewReader(out); rest.Len() > 0; pages++ {
				var w, h, white int
				if _, err := fmt.Fscanf(rest, "P5\n%d %d\n%d\n", &w, &h, &white); err != nil {
					t.Fatal(err)
				}
				ink, outside := 0, 0
				for i := range w * h {
					v, _ := rest.ReadByte()
					if int(v) > white/2 {
						continue
					}
					ink++
					if x, y := i%w, i/w; x < quiet || y < quiet || x >= w-quiet || y >= h-quiet {
						outside++
					}
				}
				if outside > 0 {
					t.Errorf("%s page %d, letter %v: %d dots of ink at the rim", kind, pages+1, letter, outside)
				}
				if share := float64(ink) / float64(w*h); share < 0.002 || share > 0.3 {
					t.Errorf("%s page %d: %.1f %% ink", kind, pages+1, 100*share)
				}
			}
			if pages != d.Pages {
				t.Errorf("%s: %d pages were drawn of %d", kind, pages, d.Pages)
			}
		}
	}
}

// awkward sessions that must give clean pages all the same.
func awkward(t testing.TB) map[string]session.Session {
	long := strings.Repeat("Wolfeschlegelstein Nguyễn Ξενοφών Джугашвили ", 5)
	out := map[string]session.Session{}
	s := demo(t)
	s.Weather = nil
	out["no weather"] = s
	s = demo(t)
	s.Setups = nil
	out["no setups"] = s
	s = demo(t)
	s.Setups = twelve(s)
	out["twelve"] = s
	s = demo(t)
	s.Title, s.Place.Name, s.Notes, s.Setups[0].Title = long, long, long, long
	s.People = slices.Clone(s.People)
	s.People[0].Name = long
	s.Kit.Lenses[0].Name, s.Kit.Heads[0].Name = long, long
	out["long names"] = s
	s = demo(t)
	s.People = nil
	out["nobody"] = s
	s = demo(t)
	s.Setups[0].Look.UnderStops = 9.5
	s.Setups[0].Look.ISOMax = s.Kit.Camera.ISOMin
	out["not possible"] = s
	s = demo(t)
	s.Start, s.Place.LatDeg, s.Place.Zone, s.Setups, s.Slots = "2027-12-21T12:00", 78.2, "Arctic/Longyearbyen", nil, nil
	out["polar night"] = s
	s = demo(t)
	s.Weather = &session.Weather{GustMPS: new(float64(14)), TemperatureC: new(float64(41)), HumidityPct: new(float64(60))}
	out["storm"] = s
	return out
}

func twelve(s session.Session) []session.Setup {
	var out []session.Setup
	for i := range 12 {
		x := s.Setups[i%4]
		x.ID = fmt.Sprintf("s%d", i)
		out = append(out, x)
	}
	return out
}

func TestAwkwardSessions(t *testing.T) {
	for name, s := range awkward(t) {
		for _, kind := range app.PaperKinds {
			for _, p := range []app.Paper{{Kind: kind}, {Kind: kind, Letter: true, Imperial: true}} {
				d, _ := drawn(t, p, s)
				if d.Missing != "" {
					t.Errorf("%s, %s: no letters for %q", name, kind, d.Missing)
				}
				var b bytes.Buffer
				if err := d.SVG(&b); err != nil {
					t.Fatal(err)
				}
				for _, bad := range []string{"NaN", "Inf", "%!", "<nil>"} {
					if strings.Contains(b.String(), bad) {
						t.Errorf("%s, %s: %s on the page", name, kind, bad)
					}
				}
			}
		}
		if _, err := (app.Paper{Made: made}).Calendar(s); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestUnknownIsSaid(t *testing.T) {
	all := awkward(t)
	for name, words := range map[string][]string{
		"no weather": {"Wind unknown", "Heat unknown"}, "no setups": {"No setups are planned.", "trained people decide"},
		"storm": {"no stand goes up", "Wet-bulb globe"}, "polar night": {"the sun stays down"},
	} {
		d, err := (app.Paper{}).Draw(t.Context(), all[name], nil)
		if err != nil {
			t.Fatal(err)
		}
		var b bytes.Buffer
		d.SVG(&b)
		plain := regexp.MustCompile(`</text>\s*<text[^>]*>`).ReplaceAllString(b.String(), " ")
		for _, w := range words {
			if !strings.Contains(plain, w) {
				t.Errorf("%s: %q is not said", name, w)
			}
		}
	}
}

// The sheet runs with the clock, whatever the order in the session.
func TestInOrderOfTime(t *testing.T) {
	s := demo(t)
	slices.Reverse(s.Setups)
	_, data := drawn(t, app.Paper{}, s)
	page := texts(t, data)["library"]
	at := -1
	for _, clock := range []string{"1 13:20", "2 13:40", "3 13:55", "4 14:15"} {
		next := strings.Index(page, clock)
		if next <= at {
			t.Errorf("%s stands at %d, what comes before at %d", clock, next, at)
		}
		at = next
	}
}

func TestWrongKind(t *testing.T) {
	_, err := app.Paper{Kind: "poster"}.Draw(t.Context(), demo(t), nil)
	var e *api.Error
	if !errors.As(err, &e) || e.Kind != api.WrongInput {
		t.Errorf("got %v", err)
	}
	s := demo(t)
	s.Place.Zone = "Nowhere/Land"
	if _, err = (app.Paper{}).Calendar(s); !errors.As(err, &e) || e.Field != "place.zone" {
		t.Errorf("got %v", err)
	}
}

// The calendar entry is read by an independent library, and the instant it means
// is the session's own, in every kind of zone.
func TestCalendar(t *testing.T) {
	for _, c := range []struct{ zone, start, utc string }{
		{"America/Santiago", "2027-01-16T13:20", "2027-01-16T16:20"},
		{"Europe/Madrid", "2027-03-28T10:00", "2027-03-28T08:00"}, // the day the clock goes forward
		{"Asia/Kathmandu", "2027-05-01T12:00", "2027-05-01T06:15"},
		{"Australia/Lord_Howe", "2027-04-04T09:00", "2027-04-03T22:30"}, // a change of half an hour, that day
		{"UTC", "2027-05-01T12:00", "2027-05-01T12:00"},
		{"Europe/Dublin", "2027-07-01T12:00", "2027-07-01T11:00"},
	} {
		s := demo(t)
		s.Place.Zone, s.Start, s.Slots = c.zone, c.start, nil
		s.Title = "Speerwurf, fünfzehn; Mittag \\ " + strings.Repeat("ề", 60)
		for i := range s.Setups {
			s.Setups[i].At = ""
		}
		data, err := app.Paper{Made: made}.Calendar(s)
		if err != nil {
			t.Fatal(err)
		}
		cal, err := ical.ParseCalendar(bytes.NewReader(data))
		if err != nil {
			t.Fatalf("%s: %v\n%s", c.zone, err, data)
		}
		if len(cal.Events()) != 1 {
			t.Fatalf("%s: %d events", c.zone, len(cal.Events()))
		}
		e := cal.Events()[0]
		if got := e.GetProperty(ical.ComponentPropertySummary).Value; got != s.Title {
			t.Errorf("%s: title %q", c.zone, got)
		}
		at, err := e.GetStartAt()
		if err != nil {
			t.Fatal(err)
		}
		if got := at.UTC().Format("2006-01-02T15:04"); got != c.utc {
			t.Errorf("%s: starts at %s UTC, want %s", c.zone, got, c.utc)
		}
		if e.Id() == "" {
			t.Error("no UID")
		}
		// The zone written into the file says the same without any database.
		if c.zone != "UTC" {
			if got := byRules(t, string(data), c.start); got != c.utc {
				t.Errorf("%s: its VTIMEZONE makes %s UTC of the start, want %s", c.zone, got, c.utc)
			}
		}
	}
}

// byRules turns a wall clock into UTC with nothing but the VTIMEZONE: the last
// observance that began before it holds ([RFC5545] section 3.6.5).
func byRules(t *testing.T, file, wall string) string {
	at, err := time.Parse("2006-01-02T15:04", wall)
	if err != nil {
		t.Fatal(err)
	}
	found := regexp.MustCompile(`DTSTART:(\d+T\d+)\r\nTZOFFSETFROM:([+-]\d+)\r\nTZOFFSETTO:([+-])(\d\d)(\d\d)`).FindAllStringSubmatch(file, -1)
	if len(found) == 0 {
		t.Fatal("no observances")
	}
	var last time.Time
	offset := time.Duration(0)
	for _, f := range found {
		from, _ := time.Parse("20060102T150405", f[1])
		if from.After(at) || from.Before(last) {
			continue
		}
		last = from
		d, _ := time.ParseDuration(f[4] + "h" + f[5] + "m")
		if f[3] == "-" {
			d = -d
		}
		offset = d
	}
	return at.Add(-offset).Format("2006-01-02T15:04")
}

// A team is on the list and has cards and forms; who is among the people already
// is there once.
func TestTeamOnPaper(t *testing.T) {
	s := demo(t)
	for i := range 40 {
		s.Roster = append(s.Roster, session.Player{ID: fmt.Sprintf("r%d", i), Name: fmt.Sprintf("Runner %d", i), Number: fmt.Sprint(i + 1)})
	}
	s.Roster = append(s.Roster, session.Player{ID: s.People[0].ID, Name: s.People[0].Name, Number: "77"})
	d, data := drawn(t, app.Paper{Kind: "list"}, s)
	var b bytes.Buffer
	if err := d.SVG(&b); err != nil {
		t.Fatal(err)
	}
	if read := readCards(t, b.String()); len(read) != len(s.People)+40 {
		t.Errorf("%d cards for %d people and 40 more of a team", len(read), len(s.People))
	}
	for _, p := range s.Roster {
		if who, ok := app.PersonOf(s, app.Code(s, session.Person{ID: p.ID})); !ok || who.ID != p.ID {
			t.Errorf("the card of %s leads to %q", p.ID, who.ID)
		}
	}
	for reader, page := range texts(t, data) {
		for _, want := range []string{"Runner 39", "number 40", "number 77, age 15"} {
			if !strings.Contains(page, want) {
				t.Errorf("%s: %q is not on the list", reader, want)
			}
		}
	}
	if d, _ := drawn(t, app.Paper{Kind: "release"}, s); d.Pages != 41 {
		t.Errorf("%d forms for one minor and 40 whose age is not said", d.Pages)
	}
}

// Each card of a team of 62 is drawn as squares and read back by an independent
// reader; the code says nothing about the person.
func TestCardsReadBack(t *testing.T) {
	s := demo(t)
	s.People = nil
	for i := range 62 {
		s.People = append(s.People, session.Person{ID: fmt.Sprintf("p%d", i), Name: fmt.Sprintf("Żółć %d", i), Age: new(float64(12))})
	}
	d, data := drawn(t, app.Paper{Kind: "list"}, s)
	if d.Pages != 2+7 {
		t.Errorf("%d pages", d.Pages)
	}
	var b bytes.Buffer
	if err := d.SVG(&b); err != nil {
		t.Fatal(err)
	}
	read := readCards(t, b.String())
	seen := map[string]bool{}
	for _, p := range s.People {
		code := app.Code(s, p)
		if seen[code] || strings.Contains(code, p.Name) || len(code) != 14 {
			t.Errorf("%s has the code %s", p.ID, code)
		}
		seen[code] = true
		if !read[code] {
			t.Errorf("the card of %s cannot be read", p.ID)
		}
		if who, ok := app.PersonOf(s, code); !ok || who.ID != p.ID {
			t.Errorf("%s leads to %q", code, who.ID)
		}
	}
	if len(read) != 62 {
		t.Errorf("%d cards were read", len(read))
	}
	if _, ok := app.PersonOf(s, "0000-0000-0000"); ok {
		t.Error("a code of nobody leads to somebody")
	}
	for reader, page := range texts(t, data) {
		if !strings.Contains(page, "Żółć 61") || !strings.Contains(page, app.Code(s, s.People[61])) {
			t.Errorf("%s: the last person is not on paper", reader)
		}
	}
}

var (
	group  = regexp.MustCompile(`<g transform="translate\(0 ([\d.]+)\)">`)
	square = regexp.MustCompile(`<path d="M([\d.]+) ([\d.]+)L([\d.]+) [\d.]+L[\d.]+ ([\d.]+)L[\d.]+ [\d.]+Z" fill="#000"/>`)
)

// readCards paints the black rectangles of each page and looks for symbols where
// a card can be.
func readCards(t *testing.T, file string) map[string]bool {
	t.Helper()
	read := map[string]bool{}
	const dots = 8 // a millimetre
	for _, page := range group.Split(file, -1)[1:] {
		img := image.NewGray(image.Rect(0, 0, 210*dots, 297*dots))
		for i := range img.Pix {
			img.Pix[i] = 255
		}
		n := 0
		for _, m := range square.FindAllStringSubmatch(page, -1) {
			var x0, y0, x1, y1 float64
			fmt.Sscan(m[1]+" "+m[2]+" "+m[3]+" "+m[4], &x0, &y0, &x1, &y1)
			n++
			for y := int(math.Round(y0 * dots)); y < int(math.Round(y1*dots)); y++ {
				for x := int(math.Round(x0 * dots)); x < int(math.Round(x1*dots)); x++ {
					img.SetGray(x, y, color.Gray{})
				}
			}
		}
		if n < 50 {
			continue // a page without cards
		}
		for k := range 10 {
			w, h := (210-24.0)/2, (297-28.0)/5
			x, y := 12+float64(k%2)*w, 9+float64(k/2)*h
			part := img.SubImage(image.Rect(int(x*dots), int(y*dots), int((x+w)*dots), int((y+h)*dots)))
			bmp, err := gozxing.NewBinaryBitmapFromImage(part)
			if err != nil {
				t.Fatal(err)
			}
			if r, err := qrcode.NewQRCodeReader().Decode(bmp, nil); err == nil {
				read[r.GetText()] = true
			}
		}
	}
	return read
}

func BenchmarkTwelveSetups(b *testing.B) {
	s := demo(b)
	s.Setups = twelve(s)
	for b.Loop() {
		drawn(b, app.Paper{}, s)
	}
}

func BenchmarkList62(b *testing.B) {
	s := demo(b)
	for i := range 61 {
		s.People = append(s.People, session.Person{ID: fmt.Sprintf("p%d", i), Name: fmt.Sprintf("Żółć %d", i)})
	}
	for b.Loop() {
		drawn(b, app.Paper{Kind: "list"}, s)
	}
}

func TestImperialWords(t *testing.T) {
	for _, kind := range app.PaperKinds {
		imperialWords(t, kind)
	}
}

func imperialWords(t *testing.T, kind string) {
	d, err := app.Paper{Kind: kind, Imperial: true}.Draw(t.Context(), demo(t), nil)
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	d.SVG(&b)
	if m := regexp.MustCompile(`>[^<]*\d (k?[mg]|metres|kilos)[ .,;(<][^<]*`).FindString(b.String()); m != "" {
		t.Errorf("%s: metres or kilograms on a sheet in feet and pounds: %s", kind, m)
	}
}
