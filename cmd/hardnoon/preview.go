package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"image/png"
	"io"
	"os"
	"os/signal"
	"path/filepath"
	"runtime/debug"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"hardnoon/api"
)

func previewCommand(t *terminal) *cobra.Command {
	var req api.PreviewRequest
	var out, size string
	var noise float64
	var force bool
	c := &cobra.Command{
		Use:   "preview FILE -o FILE",
		Short: "the picture a setup will make, before anybody drives there",
		Example: `  hardnoon preview demo/javelin.json -o frame.png
  hardnoon preview demo/javelin.json --setup portrait --view stops -o stops.png
  hardnoon preview demo/javelin.json --setup hero --view light=key -o key.png
  hardnoon preview demo/javelin.json --size 1440x960 --noise 0.02 -o large.png
  hardnoon preview demo/javelin.json -o - > frame.png`,
		Long: `The sun, the sky and each flash as the plan sets them, traced through the figure, the
ground and what stands around. The same file gives the same picture.
views: frame as the camera shows it; stops one tint a stop, mid-tone grey; clip what is
lost at either end; noise how sure each pixel is; light=N one flash alone, by number or role
exit codes: 0 written; 1 the file is there already, or cannot be written; 2 something in the
session file or the request is wrong; 10 there is no such file; 130 interrupted, nothing written`,
		Args: oneFile,
		RunE: func(c *cobra.Command, args []string) error {
			if ext := strings.ToLower(filepath.Ext(out)); out == "" || out != "-" && ext != ".png" {
				return usage("preview writes a picture ending in .png", "say -o frame.png")
			}
			var err error
			if req.Width, req.Height, err = sizeOf(size); err != nil {
				return err
			}
			req.Noise = &noise
			if req.Width*req.Height > printFrom {
				debug.SetMemoryLimit(printMemory)
			}
			if err := free(out, force); err != nil {
				return err
			}
			if req.Session, err = t.session(args[0]); err != nil {
				return err
			}
			ctx, stop := signal.NotifyContext(c.Context(), os.Interrupt)
			defer stop()
			bar := t.bar()
			a, err := api.Preview(ctx, req, bar.to)
			bar.clear()
			if errors.Is(err, context.Canceled) {
				return t.interrupted()
			}
			if err != nil {
				return err
			}
			var made bytes.Buffer
			if err := png.Encode(&made, a.Image); err != nil {
				return err
			}
			t.notes(a.Notes)
			if out == "-" {
				_, err := made.WriteTo(t.out)
				return err
			}
			if err := writeFile(out, made.Bytes(), force); err != nil {
				return err
			}
			return t.answer(a, func(w io.Writer) { sayPreview(w, a, out, args[0]) })
		},
	}
	f := c.Flags()
	f.StringVarP(&out, "out", "o", "", "what to write: NAME.png, or -")
	f.StringVar(&req.Setup, "setup", "", "which setup, by its id; the first if not said")
	f.StringVar(&req.View, "view", "frame", "frame, stops, clip, noise, or light=N")
	f.StringVar(&size, "size", "", "in pixels, as 480x320; if not said, 480 on the longer side")
	f.Float64Var(&noise, "noise", 0.05, "how sure a pixel is to be, in stops")
	f.Uint64Var(&req.Seed, "seed", 0, "another seed, another grain")
	f.BoolVar(&force, "force", false, "write over a file that is there")
	return c
}

// A picture of print size takes most of what it needs at once, so rubbish is
// cleared away sooner: 24 million pixels stay below 200 MB in all.
const (
	printFrom   = 2_000_000 // pixels
	printMemory = 150 << 20 // bytes, before it is cleared all the time
)

// sizeOf reads "480x320"; nothing leaves it to the sensor.
func sizeOf(text string) (w, h int, err error) {
	if text == "" {
		return 0, 0, nil
	}
	a, b, ok := strings.Cut(strings.ReplaceAll(strings.ToLower(text), "×", "x"), "x")
	w, errW := strconv.Atoi(strings.TrimSpace(a))
	h, errH := strconv.Atoi(strings.TrimSpace(b))
	switch {
	case !ok || errW != nil || errH != nil:
		return 0, 0, usage(fmt.Sprintf("--size is %q", text), "write it like 480x320")
	case w < 1 || h < 1:
		return 0, 0, usage(fmt.Sprintf("--size is %s; a picture has at least one pixel", text), "write it like 480x320")
	}
	return w, h, nil
}

func sayPreview(w io.Writer, a api.PreviewAnswer, out, file string) {
	fmt.Fprintf(w, "%s   %s, %d × %d · %s · %s · ISO %.0f%s\n", out, a.Setup, a.Width, a.Height, a.Settings.Shutter, a.Settings.Aperture, a.Settings.ISO, filter(a.Settings.NDStops))
	sayProbes(w, a.Probes)
	fmt.Fprintf(w, "\nnext: hardnoon scene %s --setup %s\n", file, a.Setup)
}

// sayProbes says how bright places in the frame come out.
func sayProbes(w io.Writer, probes []api.SceneProbe) {
	var words []string
	for _, p := range probes {
		if p.Total > -20 {
			words = append(words, p.Name+" "+stops(p.Total))
		}
	}
	if len(words) > 0 {
		fmt.Fprintf(w, "  stops  %s\n", strings.Join(words, ", "))
	}
}

// A bar shows on a terminal how far a long work is, and nowhere else.
type bar struct {
	w     io.Writer
	shown bool
}

const barWidth = 30

func (t *terminal) bar() *bar {
	f, ok := t.err.(*os.File)
	if !ok || t.json {
		return &bar{}
	}
	if info, err := f.Stat(); err != nil || info.Mode()&os.ModeCharDevice == 0 {
		return &bar{}
	}
	return &bar{w: f}
}

func (b *bar) to(share float64) {
	if b.w == nil {
		return
	}
	n := int(barWidth * min(1, max(0, share)))
	fmt.Fprintf(b.w, "\r[%s%s] %3.0f %%", strings.Repeat("=", n), strings.Repeat(" ", barWidth-n), 100*share)
	b.shown = true
}

// clear takes the bar away.
func (b *bar) clear() {
	if b.shown {
		fmt.Fprintf(b.w, "\r%s\r", strings.Repeat(" ", barWidth+8))
	}
}

// interrupted ends a command that was stopped by hand.
func (t *terminal) interrupted() error {
	fmt.Fprintln(t.err, "hardnoon: interrupted; nothing was written")
	t.code = exitInterrupted
	return nil
}

const exitInterrupted = 130
