package api_test

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"path/filepath"
	"testing"

	"hardnoon/api"
)

// The passes lead to the picture that Preview makes, and say the same beside it.
func TestPasses(t *testing.T) {
	noise := 1.0
	req := api.PreviewRequest{Session: readSession(t, filepath.Join("..", "demo", "javelin.json")), Width: 144, Height: 96, Noise: &noise}
	want, err := api.Preview(context.Background(), req, nil)
	if err != nil {
		t.Fatal(err)
	}
	var last api.Pass
	n := 0
	for pass, err := range api.Passes(context.Background(), req) {
		if err != nil {
			t.Fatal(err)
		}
		if want := 144; n == 0 && pass.Width != want/4 || n > 0 && pass.Width != want || pass.Image.Rect.Dx() != pass.Width || pass.Image.Rect.Dy() != pass.Height {
			t.Errorf("pass %d is %d × %d, its picture %v", n, pass.Width, pass.Height, pass.Image.Rect)
		}
		if last.Done || pass.Samples < last.Samples || pass.Image == nil {
			t.Errorf("pass %d: %+v after %+v", n, pass, last)
		}
		last = pass
		n++
	}
	if !last.Done || n < 2 || !bytes.Equal(last.Image.Pix, want.Image.Pix) {
		t.Errorf("%d passes end at %d of %d, done %v, and not at the same picture", n, last.Samples, last.Of, last.Done)
	}
	a, _ := json.Marshal(want)
	b, _ := json.Marshal(last.Preview)
	if !bytes.Equal(a, b) {
		t.Errorf("beside it stands\n%s\nnot\n%s", b, a)
	}
}

func TestPassesStop(t *testing.T) {
	req := api.PreviewRequest{Session: readSession(t, filepath.Join("..", "demo", "javelin.json")), Width: 48, Height: 32}
	for range api.Passes(context.Background(), req) {
		break
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	n := 0
	for _, err := range api.Passes(ctx, req) {
		if n++; !errors.Is(err, context.Canceled) {
			t.Errorf("after a cancel: %v", err)
		}
	}
	if n != 1 {
		t.Errorf("%d words after a cancel", n)
	}
	req.Width, req.Height = 2000, 1000
	for body, want := range map[string]string{"": "unreadable", "{}": "wrong_session", "null": "unreadable", `{"session":{},"x":1}`: "wrong_session"} {
		for _, err := range api.PassesJSON(context.Background(), []byte(body)) {
			var e *api.Error
			if !errors.As(err, &e) || e.Code != want {
				t.Errorf("%q: %v, want %s", body, err, want)
			}
		}
	}
	for _, err := range api.Passes(context.Background(), req) {
		var e *api.Error
		if !errors.As(err, &e) || e.Field != "width_px" {
			t.Errorf("too large: %v", err)
		}
	}
}
