package main

import (
	"fmt"
	"io"
	"math"
	"time"

	"github.com/spf13/cobra"

	"hardnoon/api"
)

func dayCommand(t *terminal) *cobra.Command {
	var req api.DayRequest
	var every string
	c := &cobra.Command{
		Use:   "day FILE",
		Short: "how the light goes from sunrise to sunset, and what the kit has to spare",
		Example: `  hardnoon day demo/javelin.json
  hardnoon day demo/javelin.json --every 15m --distance 1.6m --under 1.5
  hardnoon day demo/javelin.json --every 1m --json`,
		Long: `The background is placed as the first setup asks, seen from its camera. Margins are of one pop at sync speed; high-speed
sync costs its entry on top. FILE is a session file, - is standard input.
exit codes: 0 answered; 2 wrong input; 4 the sun does not rise that day; 10 there is no such file`,
		Args: oneFile,
	}
	f := c.Flags()
	f.StringVar(&every, "every", "30m", "step: 30m, 90s")
	f.String("distance", "", "light to subject (2m)")
	f.String("under", "", "stops the background lies below mid-tone (the first setup's)")
	c.RunE = func(c *cobra.Command, args []string) (err error) {
		step, err := time.ParseDuration(every)
		if err != nil {
			return usage("--every is \""+every+"\"; it takes a length of time", "write it like --every 30m")
		}
		s := step.Seconds()
		req.EveryS = &s
		if req.DistanceM, err = length(c, "distance"); err != nil {
			return err
		}
		if req.Under, err = number(c, "under"); err != nil {
			return err
		}
		if req.Session, err = t.session(args[0]); err != nil {
			return err
		}
		a, err := api.Day(req)
		if err != nil {
			return err
		}
		return t.answer(a, func(w io.Writer) { sayDay(w, a) })
	}
	return c
}

func sayDay(w io.Writer, a api.DayAnswer) {
	fmt.Fprintf(w, "%s   background %s, looking %.0f°, light at %.1f m, one pop at sync\n\n", a.Date, stops(-a.Under), a.CameraDeg, a.DistanceM)
	// The strongest and the weakest pair say it all on paper; the rest is in the JSON.
	best, worst := 0, 0
	if len(a.Steps) > 0 {
		for i, m := range a.Steps[0].AtSync {
			if m > a.Steps[0].AtSync[best] {
				best = i
			}
			if m < a.Steps[0].AtSync[worst] {
				worst = i
			}
		}
	}
	name := func(i int) string { return a.Pairs[i].Head + " " + a.Pairs[i].Modifier }
	fmt.Fprintf(w, "        sun          light     %-10s %s\n", name(best), name(worst))
	for _, s := range a.Steps {
		fmt.Fprintf(w, "%s   %3.0f° %s   EV %4.1f   %-10s %s\n", s.At.Format("15:04"), s.AltitudeDeg, arrow(s.FromCameraDeg), s.BackgroundEV, stops(s.AtSync[best]), stops(s.AtSync[worst]))
	}
	if len(a.Slots) > 0 {
		fmt.Fprintln(w, "\nslots")
		for _, s := range a.Slots {
			fmt.Fprintf(w, "  %s to %s   %s at least, with %s %s\n", s.Start.Format("15:04"), s.End.Format("15:04"), stops(s.AtSync), s.Pair.Head, s.Pair.Modifier)
		}
	}
	fmt.Fprintln(w)
	sayAssumed(w, a.Assumptions)
}

// arrow says in six letters where the sun stands from the camera.
func arrow(deg float64) string {
	switch x := math.Abs(deg); {
	case x < 45:
		return "ahead "
	case x > 135:
		return "behind"
	case deg < 0:
		return "left  "
	}
	return "right "
}
