// Package sheet lays out what is printed: the light sheet for the bag, the
// sheet for the family, the release, the team list with its name cards, the
// packing list, and the calendar entry. It answers: where on the paper does each
// word, number and line stand?
//
// A document is a list of marks on pages, in millimetres from the top left
// corner, y downwards; sizes of type are in points. Everything is black on
// white: no grey type or line, no colour, nothing below 9 pt; the only grey
// stands in pictures, and a printer rasters it. Packages sheet/svg and sheet/pdf
// draw the marks and decide nothing. Widths of letters come from a table of the
// typeface the sheets are set in and of the fonts behind it, so that layout is the
// same everywhere; the shapes of other scripts come from sheet/letters.
//
// The numbers come from the caller; nothing is computed here but positions, in
// drawings to scale. Where words find no fixed place, as beside the lights of a
// drawing, the place is taken where they cover least. Sources: [RFC5545] for the
// calendar. Left out: hyphenation.
package sheet

import (
	"fmt"
	"image"
	"strings"
)

// Paper is a size of paper, upright.
type Paper struct {
	Name          string
	Width, Height float64 // mm
}

// The two papers of the world.
var (
	A4     = Paper{"a4", 210, 297}
	Letter = Paper{"letter", 215.9, 279.4}
)

// MinType is the smallest type that is read in the sun, through a wet sleeve.
// Common practice, no source.
const MinType = 9.0 // pt

// mmPerPt is one point in millimetres.
const mmPerPt = 25.4 / 72

// Document is what the hands draw.
type Document struct {
	Title string
	Lang  string // BCP 47
	Paper Paper
	Pages []Page
}

// Page is one side of paper.
type Page struct{ Marks []Mark }

// Point is a place on the page, mm from its top left corner.
type Point struct{ X, Y float64 }

// Ink says what a closed shape is filled with.
type Ink int

// The three fillings.
const (
	Clear Ink = iota
	Black
	White
)

// Mark is one thing on the page: a Path, a Circle, a Text, a Letters or a Picture.
type Mark interface{ call() string }

// Path is a line or a closed shape.
type Path struct {
	Name   string // what it stands for in a drawing, such as "hero/plan/key"; may be empty
	Points []Point
	Closed bool
	Fill   Ink
	Stroke float64 // width in mm; 0 for no outline
	Dashed bool
}

// Circle is a circle.
type Circle struct {
	Name   string
	Centre Point
	Radius float64
	Fill   Ink
	Stroke float64
}

// Text is one line of words.
type Text struct {
	At    Point   // left end of the baseline
	Size  float64 // pt
	Bold  bool
	Words string
}

// Letters are words as shapes, in scripts the typeface lacks; sheet/letters makes
// them of a Text.
type Letters struct {
	At       Point // left end of the baseline
	Size     float64
	Width    float64 // mm
	Stroke   float64 // width of the line round the shapes, mm; 0 for none
	Right    bool    // read from right to left
	Words    string  // in the order of reading
	Clusters []Cluster
	Outline  []Bend
}

// Cluster is where letters stand that cannot be told apart in their shape; the
// clusters of a Letters stand from left to right.
type Cluster struct {
	X, Width float64
	Words    string
}

// Bend is a piece of an outline: the start of a closed shape, or a line, a
// quadratic or a cubic curve to the last of one, two or three points.
type Bend struct {
	Move   bool
	Points []Point
}

// Picture is a picture in grey.
type Picture struct {
	Name          string
	At            Point // top left corner
	Width, Height float64
	Pixels        *image.Gray
}

// Width is how far the text reaches.
func (t Text) Width() float64 { return Width(t.Words, t.Size, t.Bold) }

func (p Path) call() string {
	var b strings.Builder
	fmt.Fprintf(&b, "path%s", called(p.Name))
	for _, q := range p.Points {
		fmt.Fprintf(&b, " %.2f,%.2f", q.X+0, q.Y+0)
	}
	if p.Closed {
		b.WriteString(" closed")
	}
	b.WriteString(inked(p.Fill, p.Stroke))
	if p.Dashed {
		b.WriteString(" dashed")
	}
	return b.String()
}

func (c Circle) call() string {
	return fmt.Sprintf("circle%s %.2f,%.2f r %.2f%s", called(c.Name), c.Centre.X+0, c.Centre.Y+0, c.Radius, inked(c.Fill, c.Stroke))
}

func (t Text) call() string {
	weight := ""
	if t.Bold {
		weight = " bold"
	}
	return fmt.Sprintf("text %.2f,%.2f %gpt%s %q", t.At.X+0, t.At.Y+0, t.Size, weight, t.Words)
}

func (l Letters) call() string {
	return fmt.Sprintf("letters %.2f,%.2f %gpt %.2f wide %q", l.At.X+0, l.At.Y+0, l.Size, l.Width, l.Words)
}

func (p Picture) call() string {
	return fmt.Sprintf("picture%s %.2f,%.2f %.2f x %.2f, %d x %d pixels", called(p.Name), p.At.X+0, p.At.Y+0, p.Width, p.Height, p.Pixels.Rect.Dx(), p.Pixels.Rect.Dy())
}

func called(name string) string {
	if name == "" {
		return ""
	}
	return " [" + name + "]"
}

func inked(fill Ink, stroke float64) string {
	s := [...]string{"", " black", " white"}[fill]
	if stroke > 0 {
		s += fmt.Sprintf(" stroke %.2f", stroke)
	}
	return s
}

// Calls are the drawing calls of a document as text, one a line.
func (d Document) Calls() string {
	var b strings.Builder
	fmt.Fprintf(&b, "document %q %s %s\n", d.Title, d.Lang, d.Paper.Name)
	for i, p := range d.Pages {
		fmt.Fprintf(&b, "page %d\n", i+1)
		for _, m := range p.Marks {
			b.WriteString(m.call())
			b.WriteByte('\n')
		}
	}
	return b.String()
}
