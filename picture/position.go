// Package picture reads what cameras and phones write into their files: so far,
// where and when a picture was taken. Positions are in degrees on WGS 84 as
// Exif has them, times are instants.
//
// It reads JPEG, HEIC, AVIF, PNG, WebP, TIFF and raw files that are TIFF inside;
// never more than maxRead bytes, and a broken file is an error, not a panic.
// Source: [Exif] GPS attribute information. Left out: positions in XMP alone.
package picture

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"time"

	"github.com/bep/imagemeta"
)

// Fix is where and when a picture was taken.
type Fix struct {
	LatDeg, LonDeg float64
	ElevationM     *float64   // above the sea; nil when not said
	At             *time.Time // by satellite, else by a camera clock that knows its offset; nil when neither
}

// NoPositionError says that the file is well and holds no position.
type NoPositionError struct{ Why string }

func (e *NoPositionError) Error() string { return "the picture holds no position: " + e.Why }

// UnreadableError says that the file is no picture this package reads, or a
// broken one.
type UnreadableError struct{ Cause error }

func (e *UnreadableError) Error() string { return "the picture cannot be read: " + e.Cause.Error() }
func (e *UnreadableError) Unwrap() error { return e.Cause }

const (
	maxRead    = 64 << 20 // of one file; what we want stands near the front
	maxTags    = 5000
	maxTagSize = 4096
)

// Position returns where r, a whole picture file, says it was taken:
// a *NoPositionError when it says nothing, an *UnreadableError when it cannot be read.
func Position(r io.ReadSeeker) (fix Fix, err error) {
	defer func() {
		if x := recover(); x != nil {
			fix, err = Fix{}, &UnreadableError{fmt.Errorf("%v", x)}
		}
	}()
	format, err := formatOf(r)
	if err != nil {
		return Fix{}, &UnreadableError{err}
	}
	gps, exif := map[string]any{}, map[string]any{}
	_, err = imagemeta.Decode(imagemeta.Options{
		R: &bounded{r: r}, ImageFormat: format, Sources: imagemeta.EXIF, LimitNumTags: maxTags, LimitTagSize: maxTagSize,
		ShouldHandleTag: func(t imagemeta.TagInfo) bool { return tags(t, gps, exif) != nil },
		HandleTag: func(t imagemeta.TagInfo) error {
			into := tags(t, gps, exif)
			if _, said := into[t.Tag]; !said {
				into[t.Tag] = t.Value
			}
			return nil
		},
	})
	fix, found := fixOf(gps, exif)
	switch {
	case found == nil: // what was read is enough, whatever comes behind it
		return fix, nil
	case err != nil:
		return Fix{}, &UnreadableError{err}
	}
	return Fix{}, found
}

// tags returns where a tag is kept, or nil. Only the GPS directory counts: the
// interoperability directory has numbers of its own that read like latitudes.
func tags(t imagemeta.TagInfo, gps, exif map[string]any) map[string]any {
	switch {
	case strings.HasSuffix(t.Namespace, "/GPSInfoIFD"):
		return gps
	case strings.HasPrefix(t.Namespace, "IFD0") && (t.Tag == "DateTimeOriginal" || t.Tag == "OffsetTimeOriginal"):
		return exif
	}
	return nil
}

func fixOf(gps, exif map[string]any) (Fix, error) {
	text := func(m map[string]any, tag string) string {
		s, _ := m[tag].(string)
		return strings.TrimRight(strings.TrimSpace(s), "\x00")
	}
	if gps["GPSLatitude"] == nil || gps["GPSLongitude"] == nil {
		return Fix{}, &NoPositionError{"the camera wrote none, or it was taken out"}
	}
	if text(gps, "GPSStatus") == "V" {
		return Fix{}, &NoPositionError{"the receiver had no satellites yet"}
	}
	var f Fix
	for _, x := range []struct {
		to          *float64
		tag         string
		plus, minus string
		most        float64
	}{{&f.LatDeg, "GPSLatitude", "N", "S", 90}, {&f.LonDeg, "GPSLongitude", "E", "W", 180}} {
		v, ok := number(gps[x.tag])
		if !ok || !(math.Abs(v) <= x.most) {
			return Fix{}, &NoPositionError{fmt.Sprintf("its %s is %v, which no place has", x.tag, gps[x.tag])}
		}
		switch text(gps, x.tag+"Ref") {
		case x.plus:
		case x.minus:
			v = -v
		default: // without it the place could be on the other side of the earth
			return Fix{}, &NoPositionError{fmt.Sprintf("it does not say %s or %s", x.plus, x.minus)}
		}
		*x.to = v
	}
	if f.LatDeg == 0 && f.LonDeg == 0 { // what cameras write that have a field and no receiver; it is open sea
		return Fix{}, &NoPositionError{"it says 0, 0"}
	}
	if h, ok := number(gps["GPSAltitude"]); ok && math.Abs(h) < 20000 {
		if below, _ := number(gps["GPSAltitudeRef"]); below == 1 {
			h = -h
		}
		f.ElevationM = &h
	}
	if t, err := time.Parse("2006:01:02 15:04:05", text(gps, "GPSDateStamp")+" "+text(gps, "GPSTimeStamp")); err == nil {
		f.At = &t
	} else if t, err := time.Parse("2006:01:02 15:04:05-07:00", text(exif, "DateTimeOriginal")+text(exif, "OffsetTimeOriginal")); err == nil {
		t = t.UTC()
		f.At = &t
	}
	return f, nil
}

// number returns a finite number from any of the types the decoder uses.
func number(v any) (float64, bool) {
	var x float64
	switch v := v.(type) {
	case float64:
		x = v
	case interface{ Float64() float64 }:
		x = v.Float64()
	case uint8:
		x = float64(v)
	case []byte:
		if len(v) != 1 {
			return 0, false
		}
		x = float64(v[0])
	case int:
		x = float64(v)
	case uint16:
		x = float64(v)
	case uint32:
		x = float64(v)
	default:
		return 0, false
	}
	return x, !math.IsNaN(x) && !math.IsInf(x, 0)
}

var errUnknown = errors.New("it is no JPEG, HEIC, AVIF, PNG, WebP, TIFF or raw file of a kind known here")

// formatOf looks at the first bytes and goes back to the start.
func formatOf(r io.ReadSeeker) (imagemeta.ImageFormat, error) {
	head := make([]byte, 16)
	n, err := io.ReadFull(r, head)
	if err != nil && !errors.Is(err, io.ErrUnexpectedEOF) {
		if errors.Is(err, io.EOF) {
			return 0, errors.New("it is empty")
		}
		return 0, err
	}
	if _, err := r.Seek(0, io.SeekStart); err != nil {
		return 0, err
	}
	head = head[:n]
	starts := func(at int, text string) bool { return at <= n && bytes.HasPrefix(head[at:], []byte(text)) }
	switch {
	case starts(0, "\xff\xd8\xff"):
		return imagemeta.JPEG, nil
	case starts(0, "\x89PNG"):
		return imagemeta.PNG, nil
	case starts(0, "RIFF") && starts(8, "WEBP"):
		return imagemeta.WebP, nil
	case starts(4, "ftypavif"), starts(4, "ftypavis"):
		return imagemeta.AVIF, nil
	case starts(4, "ftyphei"), starts(4, "ftyphev"), starts(4, "ftypmif1"), starts(4, "ftypmsf1"):
		return imagemeta.HEIF, nil
	case starts(0, "II*\x00"), starts(0, "MM\x00*"): // the position stands in the same directory in raw files
		return imagemeta.TIFF, nil
	}
	return 0, errUnknown
}

// bounded is a file of which no more than maxRead bytes are read, seeks not
// counted.
type bounded struct {
	r    io.ReadSeeker
	read int
}

func (b *bounded) Read(p []byte) (int, error) {
	if b.read >= maxRead {
		return 0, fmt.Errorf("no position within the first %d MB", maxRead>>20)
	}
	n, err := b.r.Read(p[:min(len(p), maxRead-b.read)])
	b.read += n
	return n, err
}

func (b *bounded) Seek(offset int64, whence int) (int64, error) { return b.r.Seek(offset, whence) }
