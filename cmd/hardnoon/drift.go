package main

import (
	"fmt"
	"io"
	"math"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"hardnoon/api"
)

func driftCommand(t *terminal) *cobra.Command {
	var req api.DriftRequest
	var every, long string
	c := &cobra.Command{
		Use:   "drift FILE",
		Short: "what to turn every few minutes as the sun goes",
		Example: `  hardnoon drift demo/javelin.json --setup portrait
  hardnoon drift demo/javelin.json --setup portrait --every 5m --for 2h
  hardnoon drift demo/javelin.json --every 10m --json`,
		Long: `Starts with the plan of the setup at its time and turns as few knobs as the light asks for, to a little after the last sun. The sun
goes behind what the session says stands around and behind its skyline. FILE is a session file, - is standard input.
exit codes: 0 answered; 2 wrong input; 4 no setting to begin with; 10 there is no such file`,
		Args: oneFile,
	}
	f := c.Flags()
	f.StringVar(&req.Setup, "setup", "", "id of the setup (the first)")
	f.StringVar(&every, "every", "10m", "step: 10m, 90s")
	f.StringVar(&long, "for", "", "how long: 2h (to a little after sunset, six hours at most)")
	c.RunE = func(c *cobra.Command, args []string) (err error) {
		if req.EveryS, err = seconds("every", every); err != nil {
			return err
		}
		if req.ForS, err = seconds("for", long); err != nil {
			return err
		}
		if req.Session, err = t.session(args[0]); err != nil {
			return err
		}
		a, err := api.Drift(req)
		if err != nil {
			return err
		}
		t.notes(a.Notes)
		return t.answer(a, func(w io.Writer) { sayDrift(w, a) })
	}
	return c
}

// seconds reads a length of time, or nil where none is given.
func seconds(flag, text string) (*float64, error) {
	if text == "" {
		return nil, nil
	}
	d, err := time.ParseDuration(text)
	if err != nil {
		return nil, usage("--"+flag+" is \""+text+"\"; it takes a length of time", "write it like --"+flag+" 10m")
	}
	s := d.Seconds()
	return &s, nil
}

func sayDrift(w io.Writer, a api.DriftAnswer) {
	fmt.Fprintf(w, "%s, looking along %03.0f°\n", a.Setup, a.BearingDeg)
	if a.LastSun != nil {
		fmt.Fprintf(w, "the sun leaves the mark at %s", a.LastSun.Format("15:04"))
		if a.Sunset != nil {
			fmt.Fprintf(w, "; over a level horizon it sets at %s", a.Sunset.Format("15:04"))
		}
		fmt.Fprintln(w)
	}
	fmt.Fprintln(w)
	said := func(i int) string {
		r := a.Rows[i]
		what := strings.Join(r.Turn, "; ")
		switch {
		case i == 0:
			what = stateText(r.State)
		case what == "":
			what = "leave it"
		}
		// What no knob makes up for is said: the picture is then another one.
		if off := r.State.Background - a.Rows[0].State.Background; math.Abs(off) >= 0.5 {
			if what == "leave it" {
				what = "nothing left to turn"
			}
			what += "; background " + stops(r.State.Background)
		}
		if r.State.Short > 0.05 {
			what += fmt.Sprintf("; flash %.1f short", r.State.Short)
		}
		return what
	}
	for i := 0; i < len(a.Rows); {
		r, what := a.Rows[i], said(i)
		last := i // of the rows that say the same: nothing to turn under the same sun
		for last+1 < len(a.Rows) && what == "leave it" && said(last+1) == what && a.Rows[last+1].Sun == r.Sun {
			last++
		}
		until := ""
		if last > i {
			until = "to " + a.Rows[last].At.Format("15:04")
		}
		fmt.Fprintf(w, "%s %-8s  %4s  %-18s EV %4s  %6s K   %s\n", r.At.Format("15:04"), until, altitude(r.AltitudeDeg), r.Sun, minus(r.BackgroundEV), whole3(math.Round(r.CCTK/50)*50), what)
		i = last + 1
	}
	fmt.Fprintln(w)
	sayAssumed(w, a.Assumptions)
}
