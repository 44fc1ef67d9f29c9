package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"os/signal"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"hardnoon/api"
	"hardnoon/app"
	"hardnoon/session"
)

func sheetCommand(t *terminal) *cobra.Command {
	var out, kind, size, units, pictures string
	var force bool
	c := &cobra.Command{
		Use:   "sheet FILE -o FILE",
		Short: "paper for the bag, the family and the file, and the calendar entry",
		Example: `  hardnoon sheet demo/javelin.json -o day.pdf
  hardnoon sheet demo/javelin.json --kind family -o family.pdf
  hardnoon sheet demo/javelin.json --kind release --size letter -o release.pdf
  hardnoon sheet demo/javelin.json --kind list -o list.pdf
  hardnoon sheet demo/javelin.json --kind pack -o pack.pdf
  hardnoon sheet demo/javelin.json -o day.ics
  hardnoon sheet demo/javelin.json --pictures fine -o day.pdf
  hardnoon sheet demo/javelin.json -o - > day.pdf`,
		Long: `The ending of the name says what is written: .pdf, .svg (all pages below each
other) or .ics (the calendar entry). With - it goes to standard output, as PDF.
light    settings, drawings to scale, sun, dangers and lists; the page for the bag
family   where, when, what to bring, in plain words
release  a form to sign for each minor; no legal advice, local law decides
list     everybody with blank ticks, and name cards a camera can read
pack     everything that goes into the car, what for, and the checks to read aloud
calendar the entry for a calendar
exit codes: 0 written; 1 the file is there already, or cannot be written; 2 something in the
session file is wrong; 10 there is no such file; 130 interrupted, nothing written`,
		Args: oneFile,
		RunE: func(c *cobra.Command, args []string) error {
			paper, kind, err := paperOf(out, kind, size, units, pictures)
			if err != nil {
				return err
			}
			if err := free(out, force); err != nil {
				return err
			}
			s, err := t.session(args[0])
			if err != nil {
				return err
			}
			var made bytes.Buffer
			a := sheetAnswer{File: out, Kind: kind}
			if kind == "calendar" {
				data, err := paper.Calendar(s)
				if err != nil {
					return err
				}
				made.Write(data)
			} else {
				ctx, stop := signal.NotifyContext(c.Context(), os.Interrupt)
				defer stop()
				bar := t.bar()
				err := a.draw(ctx, &made, paper, s, out, bar.to)
				bar.clear()
				if errors.Is(err, context.Canceled) {
					return t.interrupted()
				}
				if err != nil {
					return err
				}
			}
			if out == "-" {
				_, err := made.WriteTo(t.out)
				t.missing(a.Missing)
				return err
			}
			a.Bytes = made.Len()
			if err := writeFile(out, made.Bytes(), force); err != nil {
				return err
			}
			t.missing(a.Missing)
			return t.answer(a, func(w io.Writer) {
				fmt.Fprintf(w, "%s   %s", out, kind)
				if a.Pages > 0 {
					fmt.Fprintf(w, ", %s", pages(a.Pages))
				}
				fmt.Fprintln(w)
			})
		},
	}
	f := c.Flags()
	f.StringVarP(&out, "out", "o", "", "what to write: NAME.pdf, NAME.svg, NAME.ics, or -")
	f.StringVar(&kind, "kind", "", "light, family, release, list, pack or calendar (light, or calendar for .ics)")
	f.StringVar(&size, "size", "a4", "paper: a4 or letter")
	f.StringVar(&units, "units", "metric", "metric or imperial")
	f.StringVar(&pictures, "pictures", "draft", "previews on the light sheet: none, draft or fine")
	f.BoolVar(&force, "force", false, "write over a file that is there")
	return c
}

// sheetAnswer says what was written.
type sheetAnswer struct {
	File    string `json:"file"`
	Kind    string `json:"kind"`
	Pages   int    `json:"pages,omitempty"`
	Bytes   int    `json:"bytes"`
	Missing string `json:"missing_letters,omitempty"`
}

func (a *sheetAnswer) draw(ctx context.Context, w io.Writer, paper app.Paper, s session.Session, out string, progress func(float64)) error {
	doc, err := paper.Draw(ctx, s, progress)
	if err != nil {
		return err
	}
	a.Pages, a.Missing = doc.Pages, doc.Missing
	if strings.EqualFold(filepath.Ext(out), ".svg") {
		return doc.SVG(w)
	}
	return doc.PDF(w)
}

// missing says which letters the sheet could not show.
func (t *terminal) missing(letters string) {
	if letters != "" {
		t.notes([]api.Note{{Code: "missing_letters", Severity: "caution", Text: "the sheet has no letters for " + letters + " and shows a box instead",
			Hint: "write the name in Latin letters"}})
	}
}

func paperOf(out, kind, size, units, pictures string) (app.Paper, string, error) {
	p := app.Paper{Made: time.Now()}
	ext := strings.ToLower(filepath.Ext(out))
	switch {
	case out == "":
		return p, "", usage("sheet needs to know what to write", "say -o day.pdf")
	case out == "-":
		ext = ".pdf"
		if kind == "calendar" {
			ext = ".ics"
		}
	}
	switch {
	case !slices.Contains([]string{".pdf", ".svg", ".ics"}, ext):
		return p, "", usage(fmt.Sprintf("%s ends in none of .pdf, .svg, .ics", out), "say -o day.pdf")
	case kind == "" && ext == ".ics":
		kind = "calendar"
	case kind == "":
		kind = "light"
	}
	if (kind == "calendar") != (ext == ".ics") {
		return p, "", usage(fmt.Sprintf("a sheet of kind %s cannot be written as %s", kind, ext), "a calendar entry ends in .ics, all others in .pdf or .svg")
	}
	if kind != "calendar" && !slices.Contains(app.PaperKinds, kind) {
		return p, "", usage(fmt.Sprintf("no sheet is called %q", kind), "there are "+strings.Join(app.PaperKinds, ", ")+", calendar")
	}
	p.Kind = kind
	switch size {
	case "a4":
	case "letter":
		p.Letter = true
	default:
		return p, "", usage(fmt.Sprintf("no paper is called %q", size), "there are a4, letter")
	}
	switch units {
	case "metric":
	case "imperial":
		p.Imperial = true
	default:
		return p, "", usage(fmt.Sprintf("--units is %q", units), "say metric or imperial")
	}
	if !slices.Contains(app.Pictures, pictures) {
		return p, "", usage(fmt.Sprintf("--pictures is %q", pictures), "say "+strings.Join(app.Pictures, ", "))
	}
	p.Pictures = pictures
	return p, kind, nil
}

// free refuses a name that is taken, before anything is computed.
func free(name string, force bool) error {
	if name == "-" || force {
		return nil
	}
	if _, err := os.Lstat(name); err == nil {
		return taken(name)
	}
	return nil
}

func taken(name string) error {
	return &api.Error{Kind: api.Broken, Code: "file_exists", Text: name + " is there already; nothing was written", Hint: "take another name, or say --force"}
}

// writeFile writes a whole file or nothing: without force it must be new, with
// force the old one stays until the new one is complete.
func writeFile(name string, data []byte, force bool) error {
	if !force {
		f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
		if errors.Is(err, fs.ErrExist) {
			return taken(name)
		}
		if err != nil {
			return noFolder(name, err)
		}
		_, err = f.Write(data)
		if err = errors.Join(err, f.Close()); err != nil {
			os.Remove(name)
		}
		return err
	}
	f, err := os.CreateTemp(filepath.Dir(name), ".sheet-*")
	if err != nil {
		return noFolder(name, err)
	}
	defer os.Remove(f.Name())
	_, err = f.Write(data)
	if err = errors.Join(err, f.Chmod(0o644), f.Close()); err != nil {
		return err
	}
	return os.Rename(f.Name(), name)
}

// noFolder says it plainly where the folder of a file to write is not there.
func noFolder(name string, err error) error {
	if !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return &api.Error{Kind: api.Broken, Code: "no_folder", Text: "there is no folder " + filepath.Dir(name), Hint: "make it, or take another name"}
}

func pages(n int) string {
	if n == 1 {
		return "1 page"
	}
	return fmt.Sprintf("%d pages", n)
}
