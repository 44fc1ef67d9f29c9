// Package pdf draws a document of package sheet as PDF. It answers: what does
// the printer get?
//
// The typeface is embedded, as the subset of letters that are used, so that
// text can be searched and copied. Title and language are set. Left out:
// structure tags for screen readers (tagged PDF); the library has none.
package pdf

import (
	"bytes"
	"fmt"
	"image/png"
	"io"
	"slices"
	"strings"
	"time"
	"unicode/utf16"

	"codeberg.org/go-pdf/fpdf"

	"hardnoon/sheet"
	"hardnoon/sheet/letters"
)

const family = "sheet"

// Write draws d. The same document gives the same bytes; made is the date of
// making written into the file.
func Write(w io.Writer, d sheet.Document, made time.Time) error {
	f := fpdf.NewCustom(&fpdf.InitType{UnitStr: "mm", Size: fpdf.SizeType{Wd: d.Paper.Width, Ht: d.Paper.Height}})
	f.SetCatalogSort(true)
	f.SetCreationDate(made)
	f.SetModificationDate(made)
	f.SetTitle(d.Title, true)
	f.SetProducer("hardnoon", true)
	f.SetLang(d.Lang)
	f.SetMargins(0, 0, 0)
	f.SetAutoPageBreak(false, 0)
	f.AddUTF8FontFromBytes(family, "", letters.Plain())
	f.AddUTF8FontFromBytes(family, "B", letters.Bold())
	f.SetLineCapStyle("butt")
	f.SetLineJoinStyle("miter")
	pictures := 0
	for _, p := range d.Pages {
		f.AddPage()
		for _, m := range p.Marks {
			if p, ok := m.(sheet.Picture); ok {
				pictures++
				if err := picture(f, p, pictures); err != nil {
					return err
				}
				continue
			}
			mark(f, m)
		}
	}
	return f.Output(w)
}

// picture puts a picture in, the n-th of the file.
func picture(f *fpdf.Fpdf, p sheet.Picture, n int) error {
	var b bytes.Buffer
	if err := png.Encode(&b, p.Pixels); err != nil {
		return err
	}
	name, as := fmt.Sprintf("picture %d", n), fpdf.ImageOptions{ImageType: "PNG"}
	f.RegisterImageOptionsReader(name, as, &b)
	f.ImageOptions(name, p.At.X, p.At.Y, p.Width, p.Height, false, as, 0, "")
	return f.Error()
}

func mark(f *fpdf.Fpdf, m sheet.Mark) {
	switch m := m.(type) {
	case sheet.Path:
		how := ink(f, m.Fill, m.Stroke)
		if how == "" || len(m.Points) < 2 {
			return
		}
		if m.Dashed {
			f.SetDashPattern([]float64{1, 0.8}, 0)
			defer f.SetDashPattern([]float64{}, 0)
		}
		f.MoveTo(m.Points[0].X, m.Points[0].Y)
		for _, p := range m.Points[1:] {
			f.LineTo(p.X, p.Y)
		}
		if m.Closed {
			f.ClosePath()
		}
		f.DrawPath(how)
	case sheet.Circle:
		if how := ink(f, m.Fill, m.Stroke); how != "" {
			f.Circle(m.Centre.X, m.Centre.Y, m.Radius, how)
		}
	case sheet.Letters:
		shapes(f, m)
	case sheet.Text:
		style := ""
		if m.Bold {
			style = "B"
		}
		f.SetTextColor(0, 0, 0)
		f.SetFont(family, style, m.Size)
		f.Text(m.At.X, m.At.Y, printable(m.Words))
	}
}

// shapes draws words as shapes, and lays the words themselves over them where
// they are not seen, so that they are found and copied. Readers of a page put
// what runs right to left back into the order of reading, so there each letter
// stands where it is seen.
func shapes(f *fpdf.Fpdf, m sheet.Letters) {
	for i, b := range m.Outline {
		p := b.Points
		switch {
		case b.Move:
			if i > 0 {
				f.ClosePath()
			}
			f.MoveTo(p[0].X, p[0].Y)
		case len(p) == 1:
			f.LineTo(p[0].X, p[0].Y)
		case len(p) == 2: // the same curve as a cubic one
			from := m.Outline[i-1].Points
			a := from[len(from)-1]
			third := func(a, c float64) float64 { return a + (c-a)*2/3 }
			f.CurveBezierCubicTo(third(a.X, p[0].X), third(a.Y, p[0].Y), third(p[1].X, p[0].X), third(p[1].Y, p[0].Y), p[1].X, p[1].Y)
		default:
			f.CurveBezierCubicTo(p[0].X, p[0].Y, p[1].X, p[1].Y, p[2].X, p[2].Y)
		}
	}
	if len(m.Outline) > 0 {
		f.ClosePath()
		f.SetLineJoinStyle("round")
		f.DrawPath(ink(f, sheet.Black, m.Stroke))
		f.SetLineJoinStyle("miter")
	}
	f.SetFont(family, "", m.Size)
	_, height := f.GetPageSize()
	k := f.GetConversionRatio()
	for _, c := range m.Clusters {
		words := []rune(printable(c.Words))
		if m.Right {
			slices.Reverse(words)
		}
		if len(words) == 0 || c.Width <= 0 {
			continue
		}
		wide := f.GetStringWidth(string(words))
		if wide <= 0 {
			continue
		}
		var hex strings.Builder
		for _, r := range words {
			fmt.Fprintf(&hex, "%04X", r)
		}
		f.RawWriteStr(fmt.Sprintf("q BT 3 Tr %.2f Tz %.2f %.2f Td <%s> Tj ET Q", 100*c.Width/wide, c.X*k, (height-m.At.Y)*k, &hex))
	}
}

// ink sets fill and line and returns how the library is to draw.
func ink(f *fpdf.Fpdf, fill sheet.Ink, stroke float64) string {
	how := ""
	if fill != sheet.Clear {
		v := 0
		if fill == sheet.White {
			v = 255
		}
		f.SetFillColor(v, v, v)
		how = "F"
	}
	if stroke > 0 {
		f.SetDrawColor(0, 0, 0)
		f.SetLineWidth(stroke)
		how += "D"
	}
	return how
}

// printable replaces what the library cannot write: letters beyond the first
// 65,536 of Unicode, and control characters.
func printable(s string) string {
	out := make([]rune, 0, len(s))
	for _, r := range s {
		if r < ' ' || utf16.RuneLen(r) != 1 {
			r = 0xFFFD
		}
		out = append(out, r)
	}
	return string(out)
}
