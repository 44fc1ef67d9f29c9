package picture_test

import (
	"encoding/json"
	"io/fs"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"hardnoon/picture"
)

// The reading library's module carries pictures of a dozen makers and formats,
// and beside each what ExifTool 13.50 reads from it.
func TestPositionsAgainstExifTool(t *testing.T) {
	if runtime.GOOS == "js" {
		t.Skip("no go command in here")
	}
	out, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "github.com/bep/imagemeta").Output()
	if err != nil {
		t.Skipf("the module's folder is not known: %v", err)
	}
	dir := strings.TrimSpace(string(out))
	golden := filepath.Join(dir, "gen", "testdata_exiftool", "images")
	compared := 0
	filepath.WalkDir(golden, func(path string, d fs.DirEntry, err error) error {
		if err != nil || !strings.HasSuffix(path, ".json") {
			return err
		}
		data, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		var read []struct {
			EXIF struct {
				GPSLatitude, GPSLongitude       any
				GPSLatitudeRef, GPSLongitudeRef string
				GPSAltitude                     *float64
			}
		}
		if json.Unmarshal(data, &read) != nil || len(read) != 1 {
			return nil
		}
		want := read[0].EXIF
		lat, hasLat := want.GPSLatitude.(float64)
		lon, hasLon := want.GPSLongitude.(float64)
		// Two zeros are a receiver that saw no satellites.
		if !hasLat || !hasLon || lat == 0 && lon == 0 || want.GPSLatitudeRef != "N" && want.GPSLatitudeRef != "S" {
			return nil
		}
		if want.GPSLatitudeRef == "S" {
			lat = -lat
		}
		if want.GPSLongitudeRef == "W" {
			lon = -lon
		}
		rel, _ := filepath.Rel(golden, path)
		f, err := os.Open(filepath.Join(dir, "testdata", "images", strings.TrimSuffix(rel, ".json")))
		if err != nil {
			return nil
		}
		defer f.Close()
		compared++
		fix, err := picture.Position(f)
		const digits = 1e-9 // degrees; what ExifTool prints
		if err != nil || math.Abs(fix.LatDeg-lat) > digits || math.Abs(fix.LonDeg-lon) > digits {
			t.Errorf("%s: %v, %v; want %v, %v", rel, fix, err, lat, lon)
		}
		if a := want.GPSAltitude; a != nil && fix.ElevationM != nil && math.Abs(*fix.ElevationM-*a) > 1e-4 {
			t.Errorf("%s: %v m, want %v", rel, *fix.ElevationM, *a)
		}
		return nil
	})
	const least = 10
	if compared < least {
		t.Errorf("only %d pictures compared", compared)
	}
	t.Logf("%d pictures compared", compared)
}
