package svg_test

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"math"
	"strings"
	"testing"

	"hardnoon/sheet"
	"hardnoon/sheet/svg"
)

// measured reads the lines of an SVG that have a name: their ends, mm.
func measured(t *testing.T, data []byte) (lines map[string][2][2]float64, words []string) {
	t.Helper()
	lines = map[string][2][2]float64{}
	dec := xml.NewDecoder(bytes.NewReader(data))
	text := false
	for {
		tok, err := dec.Token()
		if tok == nil {
			return lines, words
		}
		if err != nil {
			t.Fatal(err)
		}
		switch e := tok.(type) {
		case xml.StartElement:
			text = e.Name.Local == "text"
			var name, d string
			for _, a := range e.Attr {
				switch a.Name.Local {
				case "data-name":
					name = a.Value
				case "d":
					d = a.Value
				}
			}
			if name != "" && d != "" {
				var l [2][2]float64
				if _, err := fmt.Sscanf(d, "M%f %fL%f %f", &l[0][0], &l[0][1], &l[1][0], &l[1][1]); err != nil {
					t.Fatalf("%s: %q: %v", name, d, err)
				}
				lines[name] = l
			}
		case xml.CharData:
			if text {
				words = append(words, string(e))
			}
		case xml.EndElement:
			text = false
		}
	}
}

// Whoever lays a ruler on the drawing finds the plan again, to 1 %: distances,
// heights, and the angle between camera and light.
func TestDrawnToScale(t *testing.T) {
	for _, st := range []sheet.Stage{
		{ID: "near", Camera: 1.9, CameraHeight: 0.4, Looks: 150, FieldOfView: 73.7, Faces: 330, Figure: 1.66, SunUp: true, SunAxis: -114, SunAltitude: 75,
			Lights: []sheet.Spot{{Role: "key", Angle: 40, Distance: 2.16, Height: 2.4, Width: 0.6}, {Role: "edge", Angle: -110, Distance: 2.4, Height: 2.1, Width: 0.3}}},
		{ID: "far", Camera: 35, CameraHeight: 1.7, Looks: 10, FieldOfView: 10, Faces: 190, Figure: 1.8,
			Lights: []sheet.Spot{{Role: "key", Angle: -60, Distance: 7.5, Height: 3.9, Width: 1.2}, {Role: "edge", Angle: 170, Distance: 6.25, Height: 2.5, Width: 0.2}}},
		{ID: "close", Camera: 0.6, CameraHeight: 1.5, Looks: 359, Faces: 90, Figure: 1.2, SunUp: true, SunAxis: 10, SunAltitude: 4,
			Lights: []sheet.Spot{{Role: "key", Angle: 90, Distance: 0.5, Height: 1.6, Width: 1.5}, {Role: "fill", Angle: -20, Distance: 0.9, Height: 1, Width: 0.6}}},
	} {
		doc := sheet.LightSheet{Title: "scale", Lang: "en", Paper: sheet.A4, Setups: []sheet.Setup{{Stage: st}}}.Document()
		var b bytes.Buffer
		if err := svg.Write(&b, doc); err != nil {
			t.Fatal(err)
		}
		lines, words := measured(t, b.Bytes())
		scale := map[string]float64{}
		for _, w := range words {
			var name string
			var s float64
			if n, _ := fmt.Sscanf(w, "%s 1:%f", &name, &s); n == 2 {
				scale[name] = s
			}
		}
		length := func(name string) float64 {
			l, ok := lines[name]
			if !ok {
				t.Fatalf("%s: no line %s", st.ID, name)
			}
			kind := strings.Split(name, "/")[1]
			return math.Hypot(l[1][0]-l[0][0], l[1][1]-l[0][1]) / 1000 * scale[kind]
		}
		check := func(what string, got, want float64) {
			if math.Abs(got/want-1) > 0.01 {
				t.Errorf("%s: %s is drawn %.3f m, the plan says %.3f", st.ID, what, got, want)
			}
		}
		check("camera", length(st.ID+"/plan/camera"), st.Camera)
		check("lens height", length(st.ID+"/side/camera"), st.CameraHeight)
		cam := lines[st.ID+"/plan/camera"]
		for _, l := range st.Lights {
			check(l.Role, length(st.ID+"/plan/"+l.Role), l.Distance)
			check(l.Role+" height", length(st.ID+"/side/"+l.Role), l.Height)
			// Clockwise seen from above is clockwise on paper, whose y runs down.
			x := lines[st.ID+"/plan/"+l.Role]
			a := math.Atan2(x[0][1]-x[1][1], x[0][0]-x[1][0]) - math.Atan2(cam[0][1]-cam[1][1], cam[0][0]-cam[1][0])
			if off := math.Remainder(a*180/math.Pi-l.Angle, 360); math.Abs(off) > 0.5 {
				t.Errorf("%s: %s is drawn %.2f° off its angle", st.ID, l.Role, off)
			}
		}
	}
}

// Whatever the words are, the file is XML and says the same words.
func FuzzText(f *testing.F) {
	f.Add("Nguyễn & <Žižek> \"'")
	f.Add("\x00\xff￾\u2028")
	f.Fuzz(func(t *testing.T, s string) {
		d := sheet.Document{Title: s, Lang: "en", Paper: sheet.A4, Pages: []sheet.Page{{Marks: []sheet.Mark{sheet.Text{Words: s, Size: 9}}}}}
		var b bytes.Buffer
		if err := svg.Write(&b, d); err != nil {
			t.Fatal(err)
		}
		dec := xml.NewDecoder(bytes.NewReader(b.Bytes()))
		for {
			if _, err := dec.Token(); err != nil {
				if err.Error() != "EOF" {
					t.Fatal(err)
				}
				return
			}
		}
	})
}
