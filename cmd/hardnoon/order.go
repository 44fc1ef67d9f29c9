package main

import (
	"fmt"
	"io"
	"strings"
	"time"
	"unicode/utf8"

	"github.com/spf13/cobra"

	"hardnoon/api"
)

func orderCommand(t *terminal) *cobra.Command {
	var req api.OrderRequest
	c := &cobra.Command{
		Use:   "order FILE",
		Short: "in which order to shoot, whether it fits, and what to drop",
		Example: `  hardnoon order demo/javelin.json
  hardnoon order demo/javelin.json --behind 9m
  hardnoon order demo/javelin.json --done hero,portrait --behind 9m --finish 14:25
  hardnoon order demo/javelin.json --people 60 --each 1m --finish 22:00`,
		Long: `A setup with a time of its own ("at") keeps it; the others go where lights and lenses change least,
dry portraits before sweat. FILE is a session file, - is standard input.
exit codes: 0 it fits; 2 something in the file or the command is wrong; 4 it does not fit, ways out are listed; 10 there is no such file`,
		Args: oneFile,
	}
	f := c.Flags()
	f.StringVar(&req.Finish, "finish", "", "be done by then: 22:00 (the end of the slot)")
	f.String("behind", "", "how late you are: 9m, 1h10m")
	f.StringSliceVar(&req.Done, "done", nil, "setups that are shot, by id")
	f.String("people", "", "how many of a team, in place of the roster")
	f.String("each", "", "time for each of the team: 90s, 1m")
	f.BoolVar(&req.AsListed, "as-listed", false, "keep the order of the file")
	c.RunE = func(c *cobra.Command, args []string) (err error) {
		if req.BehindMin, err = span(c, "behind"); err != nil {
			return err
		}
		if req.EachMin, err = span(c, "each"); err != nil {
			return err
		}
		if req.People, err = number(c, "people"); err != nil {
			return err
		}
		if req.Session, err = t.session(args[0]); err != nil {
			return err
		}
		a, err := api.Order(req)
		if err != nil {
			return err
		}
		if !a.Fits {
			t.code = exitNone
		}
		return t.answer(a, func(w io.Writer) { sayOrder(w, a) })
	}
	return c
}

// span reads a flag that holds a time: a bare number is minutes. It returns
// minutes, or nil when it was not given.
func span(c *cobra.Command, name string) (*float64, error) {
	if !c.Flags().Changed(name) {
		return nil, nil
	}
	text, _ := c.Flags().GetString(name)
	if m, err := number(c, name); err == nil {
		return m, nil
	}
	d, err := time.ParseDuration(strings.NewReplacer(" ", "", "min", "m").Replace(text))
	if err != nil {
		return nil, usage(fmt.Sprintf("--%s is %q; it takes a time", name, text), "write it like --"+name+" 9m, 90s or 1h10m")
	}
	m := d.Minutes()
	return &m, nil
}

func sayOrder(w io.Writer, a api.OrderAnswer) {
	fmt.Fprintf(w, "%s\n%s\n\n", a.Title, a.Now)
	wide := 0
	for _, r := range a.Rows {
		wide = max(wide, utf8.RuneCountInString(r.Setup))
	}
	for k, r := range a.Rows {
		if r.ChangeMin > 0 || k > 0 {
			fmt.Fprintf(w, "  %s  change %s: %s\n", strings.Repeat(" ", 11), api.MinutesText(r.ChangeMin), orNothing(strings.Join(r.Changes, ", ")))
		}
		if r.WaitMin >= 0.5 {
			fmt.Fprintf(w, "  %s  free %s\n", strings.Repeat(" ", 11), api.MinutesText(r.WaitMin))
		}
		tail := ""
		if r.Fixed {
			tail = "  at its minute"
		}
		if r.LateMin > 0 {
			tail = fmt.Sprintf("  %s late", api.MinutesText(r.LateMin))
		}
		if r.RestMin > 0 {
			tail += fmt.Sprintf("  with %s rest in the shade", api.MinutesText(r.RestMin))
		}
		if r.HeadMin > 0 {
			tail += fmt.Sprintf("  with %s for hot heads", api.MinutesText(r.HeadMin))
		}
		fmt.Fprintf(w, "  %s–%s  %s%s  %s%s\n", r.Begin.Format("15:04"), r.End.Format("15:04"), r.Setup, strings.Repeat(" ", wide-utf8.RuneCountInString(r.Setup)), r.Title, tail)
		for _, s := range r.Shots {
			fmt.Fprintf(w, "  %s  %2d  %s, %d frames, %s, one every %.3g s\n", strings.Repeat(" ", 11), s.Number, orID(s.Title, s.ID), s.Frames, api.MinutesText(s.Minutes), s.Every)
		}
	}
	fmt.Fprintf(w, "\nlights carried %d, lenses changed %d, changing takes %s", a.LightsMoved, a.LensChanges, api.MinutesText(a.ChangeMin))
	if a.ListedMin != nil && *a.ListedMin > a.ChangeMin+0.01 {
		fmt.Fprintf(w, " (%s in the order of the file)", api.MinutesText(*a.ListedMin))
	}
	fmt.Fprintf(w, "\n%s", a.Method)
	if !a.Exact {
		fmt.Fprintf(w, "; no order changes in less than %s", api.MinutesText(a.BoundMin))
	}
	fmt.Fprintln(w)
	for _, h := range a.Heads {
		fmt.Fprintf(w, "head %s: %d pops, %.0f %% of a charge\n", h.Head, h.Pops, 100*h.Charges)
	}
	for _, x := range a.Actions {
		sayAction(w, x)
	}
	if len(a.Turns) > 0 {
		fmt.Fprintln(w, "\nturns")
		for _, x := range a.Turns {
			at := "not in time"
			if x.At != nil {
				at = x.At.Format("15:04:05")
			}
			moved := ""
			if x.Moved {
				moved = "  moved"
			}
			fmt.Fprintf(w, "  %3d  %-11s  %s\n", x.Number, at, strings.Join(strings.Fields(x.Name+" "+x.Shirt+" "+bracket(x.ID)+moved), " "))
		}
	}
	if len(a.WaysOut) > 0 {
		fmt.Fprintln(w, "\nways out")
		for _, x := range a.WaysOut {
			enough := "not enough alone"
			if x.Enough {
				enough = "enough"
			}
			fmt.Fprintf(w, "  %s, saves %s   %s\n", x.Change, api.MinutesText(x.SavesMin), enough)
		}
	}
	if len(a.Notes) > 0 {
		fmt.Fprintln(w)
	}
	for _, n := range a.Notes {
		fmt.Fprintln(w, remark(n))
	}
	fmt.Fprintln(w)
	sayAssumed(w, a.Assumptions)
}

func sayAction(w io.Writer, x api.ActionAnswer) {
	fmt.Fprintf(w, "\naction in %s: %s at %.3g m/s\n", x.Setup, x.Movement, x.SpeedMPS)
	freeze := ""
	if x.Freezes != "" {
		freeze = fmt.Sprintf("; daylight freezes at %s", x.Freezes)
	}
	fmt.Fprintf(w, "  shutter %s: daylight smears %.0f px, flash %.0f px%s\n", x.Shutter, x.BlurPx, x.FlashPx, freeze)
	if x.GhostSeen {
		fmt.Fprintf(w, "  ghost   %.0f %% of the light on the body is daylight: it is seen around what the flash froze\n", x.GhostPct)
	}
	fmt.Fprintf(w, "  press   %s\n", x.Press)
	pops := "one pop a try"
	if x.Lit > 1 {
		pops = fmt.Sprintf("%d pops a try at most", x.Lit)
	}
	sure := "more tries than anybody has for one sure hit"
	if x.ForNine != nil {
		sure = fmt.Sprintf("%.0f for one hit nine times of ten", *x.ForNine)
	}
	fmt.Fprintf(w, "  tries   %d, one every %.3g s, %s; the window is %.0f ms, your spread %.0f: %.0f %% each, %s\n", x.Tries, x.EveryS, pops, x.WindowMS, x.SpreadMS, x.HitPct, sure)
}

func orID(title, id string) string {
	if title == "" {
		return id
	}
	return title
}

func orNothing(s string) string {
	if s == "" {
		return "nothing"
	}
	return s
}

func bracket(id string) string { return "(" + id + ")" }
