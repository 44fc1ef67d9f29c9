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
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"
	_ "time/tzdata"

	ical "github.com/arran4/golang-ical"
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

// text is what pdftotext, a program of others, reads out of a PDF.
func text(t *testing.T, data []byte) string {
	t.Helper()
	tool, err := exec.LookPath("pdftotext")
	if err != nil {
		t.Skip("pdftotext is not installed (package poppler-utils): the text of the PDF was not read back")
	}
	name := filepath.Join(t.TempDir(), "sheet.pdf")
	if err := os.WriteFile(name, data, 0o644); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(tool, "-layout", name, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	return string(out)
}

// Every number of the plan stands on the page, as another program reads it.
func TestNumbersOnPaper(t *testing.T) {
	s := demo(t)
	plan, err := api.Plan(s)
	if err != nil {
		t.Fatal(err)
	}
	d, data := drawn(t, app.Paper{}, s)
	if d.Pages != 1 {
		t.Errorf("the demo takes %d pages", d.Pages)
	}
	page := text(t, data)
	// Columns stand side by side: compare with all white space as one blank.
	page = regexp.MustCompile(`\s+`).ReplaceAllString(page, " ")
	want := func(format string, args ...any) {
		t.Helper()
		w := strings.Replace(fmt.Sprintf(format, args...), "-", "−", 1)
		if !strings.Contains(page, w) {
			t.Errorf("%q is not on the page", w)
		}
	}
	st := func(x float64) string {
		if math.Abs(x) < 0.05 {
			return "0.0"
		}
		return fmt.Sprintf("%+.1f", x)
	}
	for i, a := range plan.Setups {
		p, su := a.Answer, s.Setups[i]
		for _, x := range []api.SettingsJSON{p.SettingsJSON, a.Cloud.CloudState.SettingsJSON} {
			want("%s %s", x.Shutter, x.Aperture)
			want("ISO %.0f", x.ISO)
			if x.NDStops > 0 {
				want("ND %.0f", x.NDStops)
			}
		}
		want("%s", a.RunnerUp.Shutter)
		want("%s", st(*a.Margin))
		want("±%.1f", a.Uncertainty)
		want("margin %s", st(a.RunnerUp.Margin))
		want("background %s", st(p.Background))
		want("EV %.1f behind, %.1f face", a.Daylight.BackgroundEV, a.Daylight.FaceEV)
		want("sharp %.2f m", a.Lens.NearM)
		want("%.2f m", *a.Lens.FarM)
		want("camera looks %.0f°", su.Camera.BearingDeg)
		want("camera %.2f m", su.Camera.DistanceM)
		want("sun %.0f°", a.Sun.AltitudeDeg)
		for j, l := range p.Lights {
			want("%s %.2f m", l.Role, l.GroundM)
			want("%s %.2f m", l.Role, *l.HeightM)
			want("%.2f m %s %.0f°", l.DistanceM, strings.TrimSuffix(fmt.Sprintf("%.1f", l.Paces), ".0"), math.Abs(*l.AngleDeg))
			want("%s", l.Power)
			want("%s", a.Cloud.CloudState.Powers[j])
			want("(flash %s)", st(l.Level))
		}
	}
	for _, w := range []string{"Javelin, fifteen, high noon", "Valparaíso", "13:56 noon", "enough on windward legs only", "trained people"} {
		want("%s", w)
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
	page := text(t, data)
	if !strings.Contains(page, "Żółć 61") || !strings.Contains(page, app.Code(s, s.People[61])) {
		t.Error("the last person is not on paper")
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
	if m := regexp.MustCompile(`>[^<]*\d k?[mg][ ,;(<][^<]*`).FindString(b.String()); m != "" {
		t.Errorf("%s: metres or kilograms on a sheet in feet and pounds: %s", kind, m)
	}
}
