package session_test

import (
	"bytes"
	"errors"
	"os"
	"reflect"
	"strings"
	"testing"
	"time"
	_ "time/tzdata"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"hardnoon/session"
)

// demo is a session whose figures the tests change; the demo itself may go on.
func demo(t testing.TB) []byte { return file(t, "testdata/javelin.json") }

func file(t testing.TB, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func TestTheDemoReads(t *testing.T) {
	if _, err := session.Read(file(t, "../demo/javelin.json")); err != nil {
		t.Error(err)
	}
}

func TestDemoIsReadAndWrittenBack(t *testing.T) {
	s, err := session.Read(demo(t))
	if err != nil {
		t.Fatal(err)
	}
	if len(s.Setups) != 4 || s.Setups[0].FocalMM != 24 || *s.Setups[0].Lights[0].DistanceMinM != 1.2 || s.Place.LonDeg != -71.6 || s.Setups[0].Look.FNumber != nil {
		t.Errorf("read %+v", s)
	}
	data, err := session.Write(s)
	if err != nil {
		t.Fatal(err)
	}
	again, err := session.Read(data)
	if err != nil || !reflect.DeepEqual(s, again) {
		t.Errorf("written and read again: %v\n%+v\n%+v", err, s, again)
	}
	twice, _ := session.Write(again)
	if !bytes.Equal(data, twice) {
		t.Error("writing is not canonical")
	}
}

// TestWrongFiles changes the demo in one place each.
func TestWrongFiles(t *testing.T) {
	good := string(demo(t))
	for _, c := range []struct{ name, old, new, path, text, hint string }{
		{"unknown field", `"ground": "grass"`, `"grond": "grass"`, "place.grond", `unknown field "grond"`, `did you mean "ground"?`},
		{"wrong unit", `"distance_m": 1.9`, `"distance_ft": 6`, "setups[0].camera.distance_ft", "this field is in m", "1 ft is 0.3048 m"},
		{"unit in the value", `"distance_m": 1.9`, `"distance_m": "1.9m"`, "setups[0].camera.distance_m", `"1.9m" stands where a number in m is due`, "write 1.9, without"},
		{"other unit in the value", `"distance_m": 1.9`, `"distance_m": "6 ft"`, "setups[0].camera.distance_m", `a number in m is due`, "write 1.8288, without"},
		{"decimal comma", `"distance_m": 1.9`, `"distance_m": "1,9"`, "setups[0].camera.distance_m", `a number in m is due`, "write 1.9, without"},
		{"f in the value", `"f_number": 4`, `"f_number": "f/4"`, "setups[1].look.f_number", "a number is due", "write 4, without"},
		{"speed in km/h", `"speed_mps": 20`, `"speed_kmh": 72`, "setups[3].look.speed_kmh", "this field is in m/s", "1 kmh is 0.277778 m/s"},
		{"number for text", `"id": "javelin"`, `"id": 7`, "id", "7 stands where text is due", ""},
		{"said twice", `"ground": "grass"`, `"ground": "grass", "ground": "sand"`, "place", `field "ground" is said twice`, "keep one"},
		{"latitude", `-33.05`, `91`, "place.lat_deg", "lat_deg is 91°; it lies between −90° and 90°", "latitude"},
		{"negative distance", `"distance_m": 1.9`, `"distance_m": -1.9`, "setups[0].camera.distance_m", "distance_m is −1.9 m", ""},
		{"no distance", `"distance_m": 1.9`, `"distance_m": 0`, "setups[0].camera.distance_m", "must be more than 0", ""},
		{"f/0", `"f_number": 4`, `"f_number": 0`, "setups[1].look.f_number", "f_number is 0; it lies between 0.5 and 128", ""},
		{"shutter 0", `"1/250"`, `"0"`, "kit.camera.sync", `"0" is not a shutter time`, "1/250"},
		{"NaN", `-33.05`, `NaN`, "place.lat_deg", `'N' cannot begin a value`, ""},
		{"huge", `-33.05`, `1e999`, "place.lat_deg", "larger than any number", ""},
		{"year", `"start": "2027-01-16T13:20",` + "\n  \"sky", `"start": "2127-01-16T13:20",` + "\n  \"sky", "start", "the year is 2127", ""},
		{"no such day", `"at": "2027-01-16T13:40"`, `"at": "2027-02-30T13:40"`, "setups[1].at", "no date or time that exists", ""},
		{"zone", `America/Santiago`, `America/Santaigo`, "place.zone", "no time zone is called", "IANA"},
		{"unknown head", `"head": "a"`, `"head": "c"`, "setups[0].lights[0].head", `"c" is not in kit.heads`, "kit.heads has a, b"},
		{"unknown lens", `"lens": "wide"`, `"lens": "wid"`, "setups[0].lens", `"wid" is not in kit.lenses`, `did you mean "wide"?`},
		{"focal length", `"focal_mm": 24,`, `"focal_mm": 20,`, "setups[0].focal_mm", `lens "wide" goes from 24 to 70 mm`, ""},
		{"one head twice", `"role": "edge", "head": "b"`, `"role": "edge", "head": "a"`, "setups[0].lights[1].head", "already in use", ""},
		{"role", `"role": "edge"`, `"role": "egde"`, "setups[0].lights[1].role", "none of the words", `did you mean "edge"?`},
		{"null", `"elevation_m": 150`, `"elevation_m": null`, "place.elevation_m", "null", "leave the field out"},
		{"missing", `"zone": "America/Santiago",`, ``, "place", `field "zone" is missing`, "IANA"},
		{"sky without its figure", `"kind": "named", "name": "thin high cloud"`, `"kind": "oktas"`, "sky", "needs oktas", ""},
		{"other format", `hardnoon session 1`, `hardnoon session 2`, "format", `this program reads "hardnoon session 1"`, ""},
		{"comma", `"id": "javelin",`, `"id": "javelin"`, "", "a comma or a closing brace is due", ""},
		{"last comma", `"frames": 15}`, `"frames": 15,}`, "setups[3].shots[0]", "a field name in quotes is due", ""},
		{"id twice", `"id": "portrait",`, `"id": "hero",`, "setups[1].id", "used twice", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			if !strings.Contains(good, c.old) {
				t.Fatalf("the demo has no %s", c.old)
			}
			_, err := session.Read([]byte(strings.Replace(good, c.old, c.new, 1)))
			var e *session.Error
			if !errors.As(err, &e) {
				t.Fatalf("got %v", err)
			}
			if e.Path != c.path || !strings.Contains(e.Text, c.text) || !strings.Contains(e.Hint, c.hint) || e.Line < 1 || e.Column < 1 {
				t.Errorf("got %s\nhint %s", e, e.Hint)
			}
		})
	}
}

func TestPositionCountsCharacters(t *testing.T) {
	_, err := session.Read([]byte("{\"format\": \"hardnoon session 1\",\n \"title\": \"Valparaíso\", \"x\": 1}"))
	var e session.Errors
	if !errors.As(err, &e) || len(e) < 2 {
		t.Fatalf("got %v", err)
	}
	for _, x := range e {
		if x.Path == "x" && (x.Line != 2 || x.Column != 25) {
			t.Errorf("unknown field at %d:%d, it stands at 2:25", x.Line, x.Column)
		}
	}
}

func TestDaylightAloneIsSaid(t *testing.T) {
	s, _ := session.Read(demo(t))
	s.Setups[0].Lights = []session.Light{}
	text, err := session.Write(s)
	if err != nil {
		t.Fatalf("an empty list of lights: %v", err)
	}
	silent := strings.Replace(string(text), `"lights": [],`, "", 1)
	if silent == string(text) {
		t.Fatal("the empty list is not written")
	}
	if _, err := session.Read([]byte(silent)); err == nil || !strings.Contains(err.Error(), "a setup does not say its lights") {
		t.Errorf("got %v", err)
	}
}

func TestHostileFiles(t *testing.T) {
	endless := &counter{}
	for name, read := range map[string]func() error{
		"500 deep": func() error {
			_, err := session.Read([]byte(strings.Repeat(`{"a":[`, 250)))
			return err
		},
		"four million values": func() error {
			_, err := session.Read([]byte("[" + strings.Repeat("[0],", 1<<20) + "0]"))
			return err
		},
		"many lists": func() error {
			_, err := session.Read([]byte("[" + strings.Repeat("["+strings.Repeat("0,", 400)+"0],", 400) + "0]"))
			return err
		},
		"long name": func() error {
			_, err := session.Read([]byte(`{"` + strings.Repeat("x", 1<<20) + `": [1, }`))
			if err != nil && len(err.Error()) > 1000 {
				t.Errorf("an error of %d bytes", len(err.Error()))
			}
			return err
		},
		"50 MB":    func() error { _, err := session.ReadFrom(endless); return err },
		"empty":    func() error { _, err := session.Read(nil); return err },
		"latin-1":  func() error { _, err := session.Read([]byte("{\"title\": \"Valpara\xedso\"}")); return err },
		"a list":   func() error { _, err := session.Read([]byte("[]")); return err },
		"a number": func() error { _, err := session.Read([]byte("1")); return err },
		"two":      func() error { _, err := session.Read([]byte("{} {}")); return err },
	} {
		var e *session.Error
		if err := read(); !errors.As(err, &e) || e.Text == "" || e.Hint == "" {
			t.Errorf("%s: got %v", name, err)
		}
	}
	if endless.n > session.MaxBytes+1 {
		t.Errorf("read %d bytes of a file that is too large", endless.n)
	}
}

// counter is a reader of blanks without end that counts what is taken.
type counter struct{ n int }

func (c *counter) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = ' '
	}
	c.n += len(p)
	return len(p), nil
}

func TestErrorsAreBounded(t *testing.T) {
	bad := `{"format": "hardnoon session 1"`
	for i := range 100 {
		bad += `, "x` + strings.Repeat("y", i) + `": 1`
	}
	_, err := session.Read([]byte(bad + "}"))
	var e session.Errors
	if !errors.As(err, &e) || len(e) != 20 {
		t.Errorf("got %d errors", len(e))
	}
}

// Clock changes from the IANA time zone database; the instants are those of
// another language's standard library (zoneinfo, with fold 0 and 1).
func TestInstant(t *testing.T) {
	at := func(zone, local, fold string) string {
		loc, err := time.LoadLocation(zone)
		if err != nil {
			t.Skip("no time zones here")
		}
		got, err := session.Instant(local, loc, fold)
		if err != nil {
			return err.Error()
		}
		return got.UTC().Format("2006-01-02 15:04:05")
	}
	for _, c := range []struct{ zone, local, fold, want string }{
		{"America/Santiago", "2027-01-16T13:20", "", "2027-01-16 16:20:00"},
		{"America/Santiago", "2027-01-16T13:20:30", "second", "2027-01-16 16:20:30"}, // fold does no harm
		{"Europe/Berlin", "2026-10-25T02:30", "first", "2026-10-25 00:30:00"},
		{"Europe/Berlin", "2026-10-25T02:30", "second", "2026-10-25 01:30:00"},
		{"Europe/Berlin", "2026-10-25T02:30", "", "twice: first at UTC+02:00, then at UTC+01:00"},
		{"Europe/Berlin", "2026-03-29T02:30", "", "never shows"},
		{"America/Santiago", "2026-04-04T23:30", "first", "2026-04-05 02:30:00"},
		{"America/Santiago", "2026-04-04T23:30", "second", "2026-04-05 03:30:00"},
		{"America/Santiago", "2026-04-04T23:30", "", "twice: first at UTC−03:00, then at UTC−04:00"},
		{"America/Santiago", "2026-09-06T00:30", "", "never shows"},
		{"Africa/Casablanca", "2026-02-15T02:30", "first", "2026-02-15 01:30:00"},
		{"Australia/Lord_Howe", "2026-04-05T01:45", "first", "2026-04-04 14:45:00"},
		{"Australia/Lord_Howe", "2026-04-05T01:45", "second", "2026-04-04 15:15:00"}, // half an hour
		{"Pacific/Apia", "2011-12-30T12:00", "", "never shows"},                      // a day left out
		{"Asia/Kathmandu", "2026-05-01T12:00", "", "2026-05-01 06:15:00"},
		{"UTC", "2026-02-29T12:00", "", "no date"},
		{"UTC", "1899-12-31T12:00", "", "the year is 1899"},
		{"UTC", "2026-01-01T12:00Z", "", "not a wall-clock time"},
		{"UTC", "2026-01-01T12:00", "third", "fold"},
	} {
		if got := at(c.zone, c.local, c.fold); !strings.Contains(got, c.want) {
			t.Errorf("%s %s %q: got %s, want %s", c.zone, c.local, c.fold, got, c.want)
		}
	}
}

func FuzzRead(f *testing.F) {
	f.Add(demo(f))
	f.Add([]byte(`{"format": "hardnoon session 1", "setups": [{"lights": []}]}`))
	f.Add([]byte("\xef\xbb\xbf{\"a\\u00e9\": [1e5, -0, true, null]}"))
	schema := compiled(f)
	f.Fuzz(func(t *testing.T, data []byte) {
		s, err := session.Read(data)
		if err != nil {
			var e session.Errors
			if !errors.As(err, &e) || len(e) == 0 || len(e) > 20 {
				t.Fatalf("not Errors: %v", err)
			}
			return
		}
		// Whatever the reader takes, the published schema takes too.
		if v, err := jsonschema.UnmarshalJSON(bytes.NewReader(bytes.TrimPrefix(data, []byte("\xef\xbb\xbf")))); err != nil {
			t.Fatalf("no JSON: %v", err)
		} else if err := schema.Validate(v); err != nil {
			t.Fatal(err)
		}
		out, err := session.Write(s)
		if err != nil {
			t.Fatalf("what was read cannot be written: %v", err)
		}
		if again, err := session.Read(out); err != nil || !reflect.DeepEqual(s, again) {
			t.Fatalf("round trip: %v", err)
		}
	})
}

func BenchmarkRead(b *testing.B) {
	data := demo(b)
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		if _, err := session.Read(data); err != nil {
			b.Fatal(err)
		}
	}
}
