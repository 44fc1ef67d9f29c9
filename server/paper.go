package server

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"time"

	"hardnoon/api"
	"hardnoon/app"
	"hardnoon/session"
)

// sheet draws a stored session on paper. It holds a token while it computes and
// stops when nobody waits any more.
func (s *Server) sheet(w http.ResponseWriter, r *http.Request) {
	p, as, err := paperAsked(r)
	if err != nil {
		s.tell(w, r, err)
		return
	}
	x, err := s.Workspace.Session(r.Context(), r.PathValue("id"))
	if err != nil {
		s.tell(w, r, err)
		return
	}
	ctx, cancel := context.WithTimeout(r.Context(), longest)
	defer cancel()
	var data []byte
	select {
	case s.busy <- struct{}{}:
		defer func() { <-s.busy }()
		data, err = drawn(ctx, x, p, as)
	case <-ctx.Done():
		err = ctx.Err()
	}
	switch {
	case errors.Is(err, context.DeadlineExceeded):
		fail(w, http.StatusUnprocessableEntity, &api.Error{Code: "too_long", Text: fmt.Sprintf("this takes longer than %.0f seconds", longest.Seconds()),
			Hint: "ask for pictures=draft or pictures=none"})
		return
	case err != nil:
		s.tell(w, r, err)
		return
	}
	h := w.Header()
	h.Set("Content-Type", map[string]string{"pdf": "application/pdf", "svg": "image/svg+xml", "ics": "text/calendar; charset=utf-8"}[as])
	h.Set("Content-Disposition", fmt.Sprintf(`inline; filename="%s-%s.%s"`, x.ID, p.Kind, as))
	h.Set("Cache-Control", "no-cache")
	if as == "svg" { // shown by itself, it may style itself and nothing else
		h.Set("Content-Security-Policy", "default-src 'none'; style-src 'unsafe-inline'; font-src data:; img-src data:; frame-ancestors 'none'")
	}
	w.Write(data)
}

// paperAsked reads which sheet is wanted, and as what kind of file.
func paperAsked(r *http.Request) (app.Paper, string, error) {
	kinds := append(slices.Clone(app.PaperKinds), "calendar")
	said := map[string]string{}
	for _, x := range []struct {
		name string
		may  []string // the first is usual
	}{{"kind", kinds}, {"size", []string{"a4", "letter"}}, {"units", []string{"metric", "imperial"}}, {"pictures", []string{"draft", "none", "fine"}}, {"as", []string{"pdf", "svg"}}} {
		v := r.URL.Query().Get(x.name)
		if v == "" {
			v = x.may[0]
		}
		if !slices.Contains(x.may, v) {
			return app.Paper{}, "", &api.Error{Kind: api.WrongInput, Code: "wrong_input", Field: x.name, Text: fmt.Sprintf("%s is %.40q", x.name, v), Hint: "there are " + strings.Join(x.may, ", ")}
		}
		said[x.name] = v
	}
	as := said["as"]
	if said["kind"] == "calendar" {
		as = "ics"
	}
	return app.Paper{Kind: said["kind"], Letter: said["size"] == "letter", Imperial: said["units"] == "imperial", Pictures: said["pictures"], Made: time.Now()}, as, nil
}

func drawn(ctx context.Context, x session.Session, p app.Paper, as string) ([]byte, error) {
	if as == "ics" {
		return p.Calendar(x)
	}
	doc, err := p.Draw(ctx, x, nil)
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	if as == "svg" {
		err = doc.SVG(&out)
	} else {
		err = doc.PDF(&out)
	}
	return out.Bytes(), err
}
