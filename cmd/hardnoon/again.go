package main

import (
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"hardnoon/api"
	"hardnoon/session"
)

func againCommand(t *terminal) *cobra.Command {
	var req api.AgainRequest
	var keep bool
	c := &cobra.Command{
		Use:   "again FILE --at TIME",
		Short: "the same place and pictures at another time: what changes",
		Example: `  hardnoon again demo/javelin.json --at 2027-10-03T17:00
  hardnoon again demo/javelin.json --at 2027-07-11T12:30 --sky overcast
  hardnoon again demo/javelin.json --at 2027-10-03T17:00 --session > october.json`,
		Long: `What the place remembers (notes, past settings) is brought to the new time; weather is not.
FILE is a session file, - is standard input.
exit codes: 0 answered; 2 wrong input; 10 there is no such file`,
		Args: oneFile,
	}
	f := c.Flags()
	f.StringVar(&req.At, "at", "", "new start, wall clock of the place")
	f.StringVar(&req.Sky, "sky", "", "sky that is expected, by name (the session's)")
	f.BoolVar(&keep, "session", false, "print the session at the new time, as a file")
	c.RunE = func(c *cobra.Command, args []string) (err error) {
		if req.At == "" {
			return usage("no new time is given", "write it like --at 2027-10-03T17:00")
		}
		if req.Session, err = t.session(args[0]); err != nil {
			return err
		}
		a, err := api.Again(req)
		if err != nil {
			return err
		}
		t.notes(a.Notes)
		if keep {
			data, err := session.Write(a.Session)
			if err != nil {
				return err
			}
			_, err = t.out.Write(data)
			return err
		}
		return t.answer(a, func(w io.Writer) { sayAgain(w, a) })
	}
	return c
}

func sayAgain(w io.Writer, a api.AgainAnswer) {
	fmt.Fprintf(w, "%s\n%s, planned again for %s\n", a.Title, a.From.Format("2006-01-02 15:04"), a.To.Format("2006-01-02 15:04"))
	for _, x := range a.Remembered {
		fmt.Fprintf(w, "remembered: %s\n", x)
	}
	for _, s := range a.Setups {
		fmt.Fprintf(w, "\n%s   %s\n", s.ID, s.Title)
		turn := fmt.Sprintf("%.0f° clockwise", s.Turned)
		if s.Turned < 0 {
			turn = fmt.Sprintf("%.0f° anticlockwise", -s.Turned)
		}
		fmt.Fprintf(w, "  sun    %s high (was %s), turned %s: now %s\n", altitude(s.Now.AltitudeDeg), altitude(s.Then.AltitudeDeg), turn, fromCamera(s.Now.FromCamera))
		fmt.Fprintf(w, "  light  background EV %.1f (was %.1f), %s stops\n", s.Now.BackgroundEV, s.Then.BackgroundEV, stops(s.Lighter))
		if p := s.Now.Answer; p != nil {
			fmt.Fprintf(w, "  camera %s · %s · ISO %.0f%s   %s\n", p.Shutter, p.Aperture, p.ISO, filter(p.NDStops), p.Route)
		}
		if s.Then.Margin != nil && s.Now.Margin != nil {
			fmt.Fprintf(w, "  spare  %s stops (was %s)\n", stops(*s.Now.Margin), stops(*s.Then.Margin))
		}
		change := "nothing"
		if len(s.Changes) > 0 {
			change = strings.Join(s.Changes, "; ")
		}
		fmt.Fprintf(w, "  change %s\n", change)
		for _, p := range s.Past {
			verdict := ""
			if p.Verdict != "" {
				verdict = " (" + p.Verdict + ")"
			}
			fmt.Fprintf(w, "  past   %s: %s%s; %s\n", p.At.Format("2006-01-02 15:04"), p.Was, verdict, p.Text)
		}
		for _, n := range s.Notes {
			if n.Severity != "info" {
				fmt.Fprintf(w, "  care: %s\n", n.Text)
			}
		}
	}
	fmt.Fprintln(w)
	sayAssumed(w, a.Assumptions)
}
