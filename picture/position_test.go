package picture_test

import (
	"bytes"
	"encoding/binary"
	"errors"
	"math"
	"os"
	"path/filepath"
	"testing"
	"time"

	"hardnoon/picture"
)

// The pictures in testdata were written by an Exif library in another language
// (see testdata/origin.txt).
func TestPosition(t *testing.T) {
	m := func(x float64) *float64 { return &x }
	at := func(s string) *time.Time { x, _ := time.Parse(time.RFC3339, s); return &x }
	for _, c := range []struct {
		file     string
		lat, lon float64
		m        *float64
		at       *time.Time
	}{
		{"south.jpg", -(33 + 2/60.0 + 44.88/3600), -(71 + 37/60.0 + 10.92/3600), m(25.4), at("2027-01-16T16:20:05Z")},
		{"offset.jpg", 61 + 6.9/60, 10 + 27.96/60, m(-3.5), at("2027-06-21T10:00:00Z")},
	} {
		f, err := os.Open("testdata/" + c.file)
		if err != nil {
			t.Fatal(err)
		}
		defer f.Close()
		got, err := picture.Position(f)
		if err != nil {
			t.Errorf("%s: %v", c.file, err)
			continue
		}
		const metre = 1e-5 // degrees; seconds are written in thousandths
		if math.Abs(got.LatDeg-c.lat) > metre || math.Abs(got.LonDeg-c.lon) > metre {
			t.Errorf("%s: at %v, %v; want %v, %v", c.file, got.LatDeg, got.LonDeg, c.lat, c.lon)
		}
		if got.ElevationM == nil || math.Abs(*got.ElevationM-*c.m) > 1e-9 || got.At == nil || !got.At.Equal(*c.at) {
			t.Errorf("%s: %v m at %v", c.file, got.ElevationM, got.At)
		}
	}
}

func TestNoPosition(t *testing.T) {
	south, err := os.ReadFile("testdata/south.jpg")
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range []string{"none.jpg", "void.jpg"} {
		data, _ := os.ReadFile("testdata/" + file)
		var none *picture.NoPositionError
		if fix, err := picture.Position(bytes.NewReader(data)); !errors.As(err, &none) {
			t.Errorf("%s: %+v, %v", file, fix, err)
		}
	}
	for name, data := range map[string][]byte{"empty": nil, "text": []byte("hello, this is no picture"), "cut": south[:20], "a byte": {0xff}} {
		var bad *picture.UnreadableError
		var none *picture.NoPositionError
		if fix, err := picture.Position(bytes.NewReader(data)); !errors.As(err, &bad) && !errors.As(err, &none) {
			t.Errorf("%s: %+v, %v", name, fix, err)
		}
	}
}

// tiff is the smallest raw-like file: a directory that points to a GPS one.
func tiff(order binary.AppendByteOrder, mark string, latRef string, deg [3]uint32) []byte {
	b := order.AppendUint16([]byte(mark), 42)
	entry := func(b []byte, tag, kind uint16, n uint32) []byte {
		return order.AppendUint32(order.AppendUint16(order.AppendUint16(b, tag), kind), n)
	}
	ref := func(b []byte, tag uint16, s string) []byte { return append(entry(b, tag, 2, 2), s[0], 0, 0, 0) }
	b = order.AppendUint32(b, 8)
	b = order.AppendUint16(b, 1)
	b = order.AppendUint32(entry(b, 0x8825, 4, 1), 26)
	b = order.AppendUint32(b, 0)
	b = order.AppendUint16(b, 4)
	b = ref(b, 1, latRef)
	b = order.AppendUint32(entry(b, 2, 5, 3), 80)
	b = ref(b, 3, "E")
	b = order.AppendUint32(entry(b, 4, 5, 3), 80)
	b = order.AppendUint32(b, 0)
	for _, d := range deg {
		b = order.AppendUint32(order.AppendUint32(b, d), 1)
	}
	return b
}

func TestTIFF(t *testing.T) {
	for mark, order := range map[string]binary.AppendByteOrder{"II": binary.LittleEndian, "MM": binary.BigEndian} {
		fix, err := picture.Position(bytes.NewReader(tiff(order, mark, "S", [3]uint32{12, 30, 0})))
		if err != nil || math.Abs(fix.LatDeg+12.5) > 1e-9 || math.Abs(fix.LonDeg-12.5) > 1e-9 {
			t.Errorf("%s: %+v, %v", mark, fix, err)
		}
		var none *picture.NoPositionError
		for _, bad := range [][]byte{tiff(order, mark, "S", [3]uint32{200, 0, 0}), tiff(order, mark, "X", [3]uint32{12, 0, 0}), tiff(order, mark, "N", [3]uint32{})} {
			if fix, err := picture.Position(bytes.NewReader(bad)); !errors.As(err, &none) {
				t.Errorf("%s: %+v, %v", mark, fix, err)
			}
		}
	}
}

func FuzzPosition(f *testing.F) {
	files, _ := filepath.Glob("testdata/*.jpg")
	for _, file := range files {
		data, _ := os.ReadFile(file)
		f.Add(data)
	}
	f.Add(tiff(binary.LittleEndian, "II", "S", [3]uint32{12, 30, 0}))
	f.Add([]byte("\x00\x00\x00\x18ftypheic\x00\x00\x00\x00mif1heic\x00\x00\x00\x08meta"))
	f.Fuzz(func(t *testing.T, data []byte) {
		fix, err := picture.Position(bytes.NewReader(data))
		var none *picture.NoPositionError
		var bad *picture.UnreadableError
		switch {
		case err == nil:
			if !(math.Abs(fix.LatDeg) <= 90 && math.Abs(fix.LonDeg) <= 180) {
				t.Fatalf("%+v", fix)
			}
		case !errors.As(err, &none) && !errors.As(err, &bad):
			t.Fatal(err)
		}
	})
}

func BenchmarkPosition(b *testing.B) {
	data, err := os.ReadFile("testdata/south.jpg")
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := picture.Position(bytes.NewReader(data)); err != nil {
			b.Fatal(err)
		}
	}
}
