package server

import (
	"bytes"
	"slices"
	"strings"

	"hardnoon/api"
	"hardnoon/app"
	"hardnoon/session"
)

// paperOf draws one sheet of s, and says what kind of file it is.
func paperOf(s session.Session, p app.Paper, as string) ([]byte, string, error) {
	if p.Kind == "calendar" || as == "ics" {
		data, err := p.Calendar(s)
		return data, "text/calendar; charset=utf-8", err
	}
	if p.Kind != "" && !slices.Contains(app.PaperKinds, p.Kind) {
		return nil, "", &api.Error{Code: "wrong_input", Field: "kind", Text: "there is no such sheet", Hint: "there are " + strings.Join(app.PaperKinds, ", ") + " and calendar"}
	}
	var out bytes.Buffer
	doc, err := p.Draw(s)
	if err != nil {
		return nil, "", err
	}
	switch as {
	case "", "svg":
		err = doc.SVG(&out)
		return out.Bytes(), "image/svg+xml", err
	case "pdf":
		err = doc.PDF(&out)
		return out.Bytes(), "application/pdf", err
	}
	return nil, "", &api.Error{Code: "wrong_input", Field: "as", Text: "a sheet is not made that way", Hint: "as is svg, pdf or ics"}
}
