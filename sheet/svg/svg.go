// Package svg draws a document of package sheet as SVG. It answers: what does
// the sheet look like on a screen?
//
// One unit is one millimetre. Pages stand below each other, a gap apart. Text
// carries the length it was laid out with, so that the layout holds where the
// typeface is not installed. Marks that stand for something in a drawing carry
// its name in data-name.
//
// Left out: embedding the typeface. Words in other scripts are shapes and need
// no font.
package svg

import (
	"bytes"
	"encoding/base64"
	"fmt"
	"html"
	"image/png"
	"io"
	"strings"

	"hardnoon/sheet"
)

// Gap between two pages, mm.
const Gap = 6

const mmPerPt = 25.4 / 72

// Write draws d.
func Write(w io.Writer, d sheet.Document) error {
	var b strings.Builder
	pages := float64(max(len(d.Pages), 1))
	height := pages*d.Paper.Height + (pages-1)*Gap
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" width="%smm" height="%smm" viewBox="0 0 %s %s" lang="%s" xml:space="preserve" font-family="'Roboto Condensed','Arial Narrow',sans-serif">`+"\n",
		mm(d.Paper.Width), mm(height), mm(d.Paper.Width), mm(height), html.EscapeString(d.Lang))
	fmt.Fprintf(&b, "<title>%s</title>\n", escape(d.Title))
	for i, p := range d.Pages {
		fmt.Fprintf(&b, `<g transform="translate(0 %s)">`+"\n", mm(float64(i)*(d.Paper.Height+Gap)))
		fmt.Fprintf(&b, `<rect width="%s" height="%s" fill="#fff"/>`+"\n", mm(d.Paper.Width), mm(d.Paper.Height))
		for _, m := range p.Marks {
			if p, ok := m.(sheet.Picture); ok {
				if err := picture(&b, p); err != nil {
					return err
				}
				continue
			}
			mark(&b, m)
		}
		b.WriteString("</g>\n")
	}
	b.WriteString("</svg>\n")
	_, err := io.WriteString(w, b.String())
	return err
}

// picture puts a picture into the file itself.
func picture(b *strings.Builder, p sheet.Picture) error {
	var data bytes.Buffer
	if err := png.Encode(&data, p.Pixels); err != nil {
		return err
	}
	name := ""
	if p.Name != "" {
		name = fmt.Sprintf(` data-name="%s"`, escape(p.Name))
	}
	fmt.Fprintf(b, `<image x="%s" y="%s" width="%s" height="%s"%s preserveAspectRatio="none" href="data:image/png;base64,%s"/>`+"\n",
		mm(p.At.X), mm(p.At.Y), mm(p.Width), mm(p.Height), name, base64.StdEncoding.EncodeToString(data.Bytes()))
	return nil
}

func mark(b *strings.Builder, m sheet.Mark) {
	switch m := m.(type) {
	case sheet.Path:
		b.WriteString(`<path d="`)
		for i, p := range m.Points {
			c := 'L'
			if i == 0 {
				c = 'M'
			}
			fmt.Fprintf(b, "%c%s %s", c, mm(p.X), mm(p.Y))
		}
		if m.Closed {
			b.WriteByte('Z')
		}
		b.WriteByte('"')
		ink(b, m.Name, m.Fill, m.Stroke)
		if m.Dashed {
			b.WriteString(` stroke-dasharray="1 0.8"`)
		}
		b.WriteString("/>\n")
	case sheet.Circle:
		fmt.Fprintf(b, `<circle cx="%s" cy="%s" r="%s"`, mm(m.Centre.X), mm(m.Centre.Y), mm(m.Radius))
		ink(b, m.Name, m.Fill, m.Stroke)
		b.WriteString("/>\n")
	case sheet.Letters:
		shapes(b, m)
	case sheet.Text:
		// Readers of SVG differ in whether a text begins or ends with a space.
		if words := strings.TrimLeft(m.Words, " "); words != m.Words {
			m.At.X += m.Width() - sheet.Width(words, m.Size, m.Bold)
			m.Words = words
		}
		if m.Words = strings.TrimRight(m.Words, " "); m.Words == "" {
			return
		}
		weight := ""
		if m.Bold {
			weight = ` font-weight="700"`
		}
		fmt.Fprintf(b, `<text x="%s" y="%s" font-size="%s"%s textLength="%s" lengthAdjust="spacingAndGlyphs">%s</text>`+"\n",
			mm(m.At.X), mm(m.At.Y), mm(m.Size*mmPerPt), weight, mm(m.Width()), escape(m.Words))
	}
}

// shapes draws words as shapes, and the words themselves over them unseen, so
// that they are found and copied.
func shapes(b *strings.Builder, m sheet.Letters) {
	b.WriteString(`<path aria-hidden="true" d="`)
	for i, x := range m.Outline {
		switch {
		case x.Move && i > 0:
			b.WriteString("ZM")
		case x.Move:
			b.WriteByte('M')
		default:
			b.WriteByte("LQC"[len(x.Points)-1])
		}
		for k, p := range x.Points {
			if k > 0 {
				b.WriteByte(' ')
			}
			b.WriteString(mm(p.X) + " " + mm(p.Y))
		}
	}
	if len(m.Outline) > 0 {
		b.WriteByte('Z')
	}
	b.WriteByte('"')
	ink(b, "", sheet.Black, m.Stroke)
	b.WriteString(` stroke-linejoin="round"/>`)
	if m.Width > 0 {
		fmt.Fprintf(b, `<text x="%s" y="%s" font-size="%s" textLength="%s" lengthAdjust="spacingAndGlyphs" fill="none">%s</text>`,
			mm(m.At.X), mm(m.At.Y), mm(m.Size*mmPerPt), mm(m.Width), escape(m.Words))
	}
	b.WriteByte('\n')
}

func ink(b *strings.Builder, name string, fill sheet.Ink, stroke float64) {
	if name != "" {
		fmt.Fprintf(b, ` data-name="%s"`, escape(name))
	}
	fmt.Fprintf(b, ` fill="%s"`, [...]string{"none", "#000", "#fff"}[fill])
	if stroke > 0 {
		fmt.Fprintf(b, ` stroke="#000" stroke-width="%s"`, mm(stroke))
	}
}

// escape writes words so that they stand in XML, whatever they hold: what XML
// cannot carry becomes U+FFFD.
func escape(s string) string {
	s = strings.Map(func(r rune) rune {
		if r < ' ' || r == 0xFFFE || r == 0xFFFF {
			return 0xFFFD
		}
		return r
	}, strings.ToValidUTF8(s, "�"))
	return html.EscapeString(s)
}

// mm writes a length with three decimals at most.
func mm(x float64) string {
	s := strings.TrimRight(fmt.Sprintf("%.3f", x), "0")
	if s = strings.TrimSuffix(s, "."); s == "-0" {
		return "0"
	}
	return s
}
