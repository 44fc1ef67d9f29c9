package api_test

import (
	"context"
	"errors"
	"flag"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"hardnoon/api"
	"hardnoon/session"
)

var (
	pictures    = flag.String("pictures", "", "folder to write the demo's previews to")
	pictureOf   = flag.String("setup", "", "only this setup")
	pictureView = flag.String("view", "frame", "how to look at it")
	pictureWide = flag.Int("wide", 480, "pixels across")
	pictureFile = flag.String("session", filepath.Join("..", "demo", "javelin.json"), "the session to show")
)

func readSession(t testing.TB, path string) session.Session {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	s, err := session.Read(data)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// TestPictures is for looking at: go test ./api -run Pictures -pictures DIR.
func TestPictures(t *testing.T) {
	if *pictures == "" {
		t.Skip("no folder given")
	}
	s := readSession(t, *pictureFile)
	for _, su := range s.Setups {
		if *pictureOf != "" && su.ID != *pictureOf {
			continue
		}
		a, err := api.Preview(context.Background(), api.PreviewRequest{Session: s, Setup: su.ID, View: *pictureView, Width: *pictureWide, Height: *pictureWide * 2 / 3}, nil)
		if err != nil {
			t.Fatal(err)
		}
		f, err := os.Create(filepath.Join(*pictures, su.ID+"-"+strings.ReplaceAll(*pictureView, "=", "")+".png"))
		if err != nil {
			t.Fatal(err)
		}
		if err := errors.Join(png.Encode(f, a.Image), f.Close()); err != nil {
			t.Fatal(err)
		}
		t.Logf("%s %+v", su.ID, a.Settings)
		for _, p := range a.Probes {
			t.Logf("  %-12s %+.2f  sun %+.2f sky %+.2f %v", p.Name, p.Total, p.Sun, p.Sky, p.Lights)
		}
		for _, n := range a.Notes {
			t.Logf("  %s", n.Text)
		}
	}
}
