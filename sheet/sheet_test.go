package sheet_test

import (
	"flag"
	"fmt"
	"os"
	"strings"
	"testing"
	"time"
	_ "time/tzdata"

	"hardnoon/sheet"
)

var update = flag.Bool("update", false, "rewrite the goldens")

const longName = "Hubert Blaine Wolfeschlegelsteinhausenbergerdorff-Nguyễn Thị Ánh Ξενοφών Джугашвили, known to everybody as the thrower of the second team"

func light() sheet.LightSheet {
	return sheet.LightSheet{
		Title: "High noon", Place: "Ground", Date: "Saturday", Time: "13:20", Lang: "en", Paper: sheet.A4,
		Setups: []sheet.Setup{{
			Title: "Low", At: "13:20", Facts: "15 min",
			Stage: sheet.Stage{ID: "hero", Camera: 1.9, CameraPaces: 2.5, CameraHeight: 0.4, Looks: 150, FieldOfView: 73.7, Faces: 330, Figure: 1.66, SunUp: true, SunAltitude: 75, SunAxis: -114,
				Lights: []sheet.Spot{{Role: "key", Angle: 40, Distance: 2.16, Paces: 3, Height: 2.4, Width: 0.6}, {Role: "edge", Angle: -110, Distance: 2.4, Paces: 3, Height: 2.1, Width: 0.3}}},
			States: []sheet.State{{Name: "sun", Shutter: "1/250", Aperture: "f/7.1", Rest: "ISO 100 · ND 3"}, {Name: "cloud, −2.0", Shutter: "1/60", Aperture: "f/7.1", Rest: "ISO 100 · ND 3"}},
			Margin: "+0.6", MarginWords: "stops ±0.8",
			Lights: []sheet.LightRow{{Role: "key", What: "a, dish", Angle: "40° left", Distance: 2.16, Paces: 3, Powers: []string{"1/2", "1/2"}}},
			Tests:  []sheet.Test{{Name: "flash off", Shows: "background −2.0"}, {Name: "edge alone", Shows: "edge +0.7"}},
			Lines:  []sheet.Line{{Name: "ND at sync", Words: "sharp 1.12 m to 6.26 m"}}, Care: []string{"mind the wind"},
		}},
		Sun: []sheet.SunRow{{Time: "06:53", What: "sunrise", Bearing: "116°"}}, Safety: []sheet.Thing{{Words: "Wind unknown: ask.", Care: true}},
		Packing: []sheet.Thing{{Words: "camera"}, {Words: "ballast 21 kg", Care: true}}, PreFlight: []string{"clock right"}, Assumed: []string{"clear air"}, Notes: "Nobody in the sector.",
	}
}

func form() sheet.Form {
	return sheet.Form{Kind: "Release", Title: "High noon", Place: "Ground", Date: "Saturday", Lang: "en", Lead: "A guardian signs.", Foot: "No legal advice.",
		Sections: []sheet.Section{{Name: "who", Items: []sheet.Item{{Words: "Name", Blank: true}, {Words: "prints", Tick: true}}}}}
}

func roster(n int) sheet.Roster {
	r := sheet.Roster{Title: "High noon", Place: "Ground", Date: "Saturday", Time: "13:20", Lang: "en", Columns: []string{"here", "release"}, Foot: "Keep apart."}
	for i := range n {
		r.People = append(r.People, sheet.Member{Name: fmt.Sprintf("Żaneta %d", i+1), Note: "15", Code: "91Q6-T2VR-K2VQ", Squares: [][]bool{{true, false}, {true, true}}})
	}
	return r
}

// Goldens hold drawing calls, not bytes of a file.
func TestGolden(t *testing.T) {
	for name, d := range map[string]sheet.Document{"light": light().Document(), "form": form().Document(), "roster": roster(2).Document()} {
		file := "testdata/" + name + ".calls"
		got := d.Calls()
		if *update {
			if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
				t.Fatal(err)
			}
			continue
		}
		want, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if got == string(want) {
			continue
		}
		a, b := strings.Split(got, "\n"), strings.Split(string(want), "\n")
		for i := range min(len(a), len(b)) {
			if a[i] != b[i] {
				t.Errorf("%s line %d:\n got %s\nwant %s", file, i+1, a[i], b[i])
				break
			}
		}
		if len(a) != len(b) {
			t.Errorf("%s: %d calls, want %d", file, len(a), len(b))
		}
	}
}

// documents are the usual and the awkward ones.
func documents() map[string]sheet.Document {
	none := light()
	none.Setups, none.Sun, none.Safety, none.Packing, none.PreFlight, none.Assumed, none.Notes = nil, nil, nil, nil, nil, nil, ""
	twelve := light()
	for len(twelve.Setups) < 12 {
		twelve.Setups = append(twelve.Setups, twelve.Setups[0])
	}
	long := light()
	long.Title, long.Place, long.Notes = longName, longName, strings.Repeat(longName+" ", 4)
	x := long.Setups[0]
	x.Title, x.Facts, x.Lines, x.Care = longName, longName, []sheet.Line{{Name: longName, Words: longName}}, []string{strings.Repeat("x", 400)}
	x.Lights[0].What = longName
	x.Stage.Lights[0].Distance, x.Stage.Camera = 0.01, 400
	long.Setups = []sheet.Setup{x, x, x, x}
	long.Packing, long.Safety = []sheet.Thing{{Words: longName}, {Words: longName, Care: true}}, []sheet.Thing{{Words: longName}}
	bare := light()
	bare.Setups = []sheet.Setup{{Stage: sheet.Stage{ID: "bare"}}}
	letter := light()
	letter.Paper, letter.Units = sheet.Letter, sheet.Imperial
	longForm := form()
	longForm.Title, longForm.Place = longName, longName
	for range 80 {
		longForm.Sections[0].Items = append(longForm.Sections[0].Items, sheet.Item{Words: longName, Tick: true})
	}
	longRoster := roster(62)
	longRoster.People[3].Name = longName
	scripts := roster(0)
	for _, n := range []string{"สมชายใจดีวงศ์ใหญ่", "عبدالرحمن بن محمد ", "王小明", "김민준", "श्रीकृष्ण", "x\u030C\u0323", "שָׁלוֹם "} {
		scripts.People = append(scripts.People, sheet.Member{Name: strings.Repeat(n, 12), Note: n, Code: n})
	}
	return map[string]sheet.Document{
		"scripts": scripts.Document(),
		"light":   light().Document(), "none": none.Document(), "twelve": twelve.Document(), "long": long.Document(), "bare": bare.Document(), "letter": letter.Document(),
		"form": form().Document(), "longForm": longForm.Document(), "noForm": sheet.Form{}.Document(),
		"roster": roster(62).Document(), "longRoster": longRoster.Document(), "nobody": roster(0).Document(),
	}
}

// Everything stands on the paper, and nothing is smaller than the smallest type.
func TestOnThePaper(t *testing.T) {
	const quiet = 4.2 // mm that common printers leave white
	for name, d := range documents() {
		if len(d.Pages) == 0 {
			t.Errorf("%s: no pages", name)
		}
		in := func(page int, p sheet.Point, what string) {
			if !(p.X >= quiet && p.X <= d.Paper.Width-quiet && p.Y >= quiet && p.Y <= d.Paper.Height-quiet) {
				t.Errorf("%s page %d: %s stands at %.1f, %.1f mm", name, page+1, what, p.X, p.Y)
			}
		}
		for i, page := range d.Pages {
			for _, m := range page.Marks {
				switch m := m.(type) {
				case sheet.Text:
					in(i, m.At, m.Words)
					in(i, sheet.Point{X: m.At.X + m.Width(), Y: m.At.Y}, "the end of "+m.Words)
					if m.Size < sheet.MinType {
						t.Errorf("%s page %d: %q is %g pt", name, i+1, m.Words, m.Size)
					}
				case sheet.Path:
					for _, p := range m.Points {
						in(i, p, "a line "+m.Name)
					}
				case sheet.Circle:
					in(i, m.Centre, "a circle "+m.Name)
				}
			}
		}
	}
}

// Words of one page do not run into one another, but where one is set on white
// in a drawing.
func TestWordsApart(t *testing.T) {
	for name, d := range documents() {
		for i, page := range d.Pages {
			var seen []sheet.Text
			for _, m := range page.Marks {
				x, ok := m.(sheet.Text)
				if !ok {
					continue
				}
				for _, y := range seen {
					if x.At.Y == y.At.Y && x.At.X < y.At.X+y.Width()-0.05 && y.At.X < x.At.X+x.Width()-0.05 && name != "long" && name != "bare" {
						t.Errorf("%s page %d: %q and %q on one another", name, i+1, x.Words, y.Words)
					}
				}
				seen = append(seen, x)
			}
		}
	}
}

func TestPages(t *testing.T) {
	d := documents()
	for name, want := range map[string]int{"light": 1, "none": 1, "form": 1, "roster": 2 + 7} {
		if got := len(d[name].Pages); got != want {
			t.Errorf("%s has %d pages, want %d", name, got, want)
		}
	}
	four := light()
	for len(four.Setups) < 4 {
		four.Setups = append(four.Setups, four.Setups[0])
	}
	if n := len(four.Document().Pages); n != 1 {
		t.Errorf("four setups take %d pages", n)
	}
}

func TestUnits(t *testing.T) {
	for _, c := range []struct {
		got, want string
	}{
		{sheet.Metric.Length(2.16), "2.16 m"}, {sheet.Metric.Length(12.04), "12.0 m"},
		{sheet.Imperial.Length(2.16), "7′ 1″"}, {sheet.Imperial.Length(0.3048), "1′"}, {sheet.Imperial.Length(0.2), "8″"}, {sheet.Imperial.Length(0.3047), "1′"},
		{sheet.Metric.Mass(18.2), "19 kg"}, {sheet.Metric.Mass(0), "0 kg"}, {sheet.Imperial.Mass(0), "0 lb"}, {sheet.Imperial.Mass(14), "31 lb"},
		{sheet.Imperial.Temperature(24), "75 °F"}, {sheet.Metric.Temperature(-3.2), "−3 °C"}, {sheet.Metric.Temperature(-0.2), "0 °C"},
		{sheet.Imperial.Speed(8), "18 mph"}, {sheet.Metric.Speed(8), "8 m/s (29 km/h)"},
		{sheet.Paces(1), "1 pace"}, {sheet.Paces(2.5), "2.5 paces"}, {sheet.Stops(-0.04), "0.0"}, {sheet.Stops(0.7), "+0.7"}, {sheet.Stops(-2), "−2.0"}, {sheet.Degrees(-0.4), "0°"}, {sheet.Bearing(359.7), "0°"}, {sheet.Bearing(-10), "350°"}, {sheet.Bearing(720), "0°"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}

// [RFC5545] section 3.1: no line longer than 75 octets, letters whole, and
// joining the lines gives the value back.
func FuzzFolding(f *testing.F) {
	f.Add(longName)
	f.Add(strings.Repeat("ề", 200) + ";,\\\n\r\n\x00\xff")
	f.Fuzz(func(t *testing.T, title string) {
		at := time.Date(2027, 3, 28, 10, 0, 0, 0, time.UTC)
		out := string(sheet.ICalendar(sheet.Event{UID: "x", Title: title, Start: at, End: at.Add(time.Hour), Made: at}))
		if strings.ToValidUTF8(out, "") != out {
			t.Fatal("a letter was cut")
		}
		for _, line := range strings.Split(strings.TrimSuffix(out, "\r\n"), "\r\n") {
			if len(line) > 75 || strings.ContainsAny(line, "\r\n\x00") {
				t.Fatalf("line %q", line)
			}
		}
		_, value, _ := strings.Cut(strings.ReplaceAll(out, "\r\n ", ""), "SUMMARY:")
		value, _, _ = strings.Cut(value, "\r\n")
		back := strings.NewReplacer(`\\`, `\`, `\;`, `;`, `\,`, `,`, `\n`, "\n").Replace(value)
		want := strings.Map(func(r rune) rune {
			if r < ' ' && r != '\t' && r != '\n' || r == 0x7F {
				return -1
			}
			return r
		}, strings.ReplaceAll(strings.ToValidUTF8(title, "�"), "\r\n", "\n"))
		if back != want {
			t.Fatalf("%q came back as %q", want, back)
		}
	})
}

// No word of a drawing stands on the symbol of a light, a camera or the subject:
// whatever is filled black is not under a label, for stages of many kinds.
func TestLabelsBesideWhatTheyName(t *testing.T) {
	for _, camera := range []float64{1.2, 2.5, 4, 9, 30} {
		for _, angle := range []float64{20, 60, 100, 150, -45, -130} {
			l := light()
			st := &l.Setups[0].Stage
			st.Camera = camera
			st.Lights[0].Angle, st.Lights[1].Angle = angle, angle-150
			for _, units := range []sheet.Units{sheet.Metric, sheet.Imperial} {
				l.Units = units
				hidden(t, l.Document(), fmt.Sprintf("camera %g m, key %g°", camera, angle))
			}
		}
	}
}

// hidden finds black shapes of drawings whose middle a white ground of words
// covers.
func hidden(t *testing.T, d sheet.Document, what string) {
	t.Helper()
	var black []sheet.Point
	for _, m := range d.Pages[0].Marks {
		p, ok := m.(sheet.Path)
		if !ok || !p.Closed || len(p.Points) < 3 {
			continue
		}
		middle, low, high := sheet.Point{}, p.Points[0], p.Points[0]
		for _, q := range p.Points {
			middle.X += q.X / float64(len(p.Points))
			middle.Y += q.Y / float64(len(p.Points))
			low = sheet.Point{X: min(low.X, q.X), Y: min(low.Y, q.Y)}
			high = sheet.Point{X: max(high.X, q.X), Y: max(high.Y, q.Y)}
		}
		if p.Fill == sheet.Black {
			black = append(black, middle)
		}
		if p.Fill != sheet.White || p.Stroke > 0 { // an open lamp has an outline
			continue
		}
		for _, q := range black {
			if q.X > low.X && q.X < high.X && q.Y > low.Y && q.Y < high.Y {
				t.Errorf("%s: words cover what stands at %.1f, %.1f mm", what, q.X, q.Y)
			}
		}
	}
}
