package main

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"io"
	"net/http"
	"path/filepath"
	"strings"
	"testing"

	"hardnoon/session"
)

// serving runs "hardnoon serve" and returns what it said and how to end it.
func serving(t *testing.T, f serveFlags) (said served, stop func()) {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	r, w := io.Pipe()
	ended := make(chan error, 1)
	var errs bytes.Buffer
	go func() {
		tm := &terminal{in: strings.NewReader(""), out: w, err: &errs, json: true}
		err := tm.serve(ctx, f)
		w.CloseWithError(io.EOF)
		ended <- err
	}()
	if err := json.NewDecoder(bufio.NewReader(r)).Decode(&said); err != nil {
		cancel()
		t.Fatalf("it said nothing: %v; %v", err, <-ended)
	}
	go io.Copy(io.Discard, r)
	return said, func() {
		t.Helper()
		cancel()
		if err := <-ended; err != nil {
			t.Errorf("ended with %v", err)
		}
		if errs.Len() > 0 {
			t.Errorf("on stderr: %s", &errs)
		}
	}
}

func get(t *testing.T, url string, answer any) {
	t.Helper()
	r, err := http.Get(url)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Body.Close()
	data, err := io.ReadAll(r.Body)
	if r.StatusCode != 200 || err != nil {
		t.Fatalf("%s: %d %v %s", url, r.StatusCode, err, data)
	}
	if err := json.Unmarshal(data, answer); err != nil {
		t.Fatal(err)
	}
}

func TestServe(t *testing.T) {
	f := serveFlags{workspace: filepath.Join(t.TempDir(), "w.hardnoon"), addr: "127.0.0.1:0", with: "../../demo/javelin.json"}
	for start := range 2 { // the demo is taken in once
		said, stop := serving(t, f)
		var list struct{ Sessions []session.Entry }
		get(t, said.Address+"api/sessions", &list)
		if len(list.Sessions) != 1 || list.Sessions[0].ID != "javelin" {
			t.Errorf("start %d: %+v", start, list)
		}
		var found struct{ Places []struct{ Zone string } }
		get(t, said.Address+"api/places?q=valparaiso", &found)
		if len(found.Places) == 0 || found.Places[0].Zone != "America/Santiago" {
			t.Errorf("places: %+v", found)
		}
		stop()
	}
}

func TestServeShared(t *testing.T) {
	said, stop := serving(t, serveFlags{workspace: filepath.Join(t.TempDir(), "w.hardnoon"), addr: "127.0.0.1:0", shareAt: "127.0.0.1:0"})
	if said.Share == nil || len(said.Share.Code) != 6 || !strings.HasPrefix(said.Share.URL, "https://127.0.0.1:") {
		t.Fatalf("%+v", said)
	}
	var shown struct {
		Code string `json:"code"`
	}
	get(t, said.Address+"api/share", &shown)
	if shown.Code != said.Share.Code {
		t.Errorf("the app shows code %s", shown.Code)
	}
	var page bytes.Buffer
	sayPhone(&page, said.Share)
	for _, want := range []string{said.Share.Code[:3] + " " + said.Share.Code[3:], "not private", said.Share.Fingerprint[:47], "█"} {
		if !strings.Contains(page.String(), want) {
			t.Errorf("the terminal does not say %q:\n%s", want, &page)
		}
	}
	stop()
}
