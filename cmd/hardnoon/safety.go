package main

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"hardnoon/api"
)

func safetyCommand(t *terminal) *cobra.Command {
	var req api.SafetyRequest
	var only string
	c := &cobra.Command{
		Use:   "safety FILE",
		Short: "what could hurt somebody: stands in the wind, heat, cold, sun, lightning",
		Example: `  hardnoon safety demo/javelin.json
  hardnoon safety demo/javelin.json --setup hero --wind 5 --gust 8
  hardnoon safety demo/javelin.json --temperature 33 --humidity 60 --region hot
  hardnoon safety demo/javelin.json --thunder 14:20 --thunder 14:31`,
		Long: `Weather on the command line goes over the session's, and that over its aerodrome report; what nobody said is unknown, never
fine. Where minors are among the people, or an age is not said, the table for children counts as well. It is advice: local rules
and trained people decide. FILE is a session file, - is standard input.
exit codes: 0 answered; 2 wrong input; 10 there is no such file`,
		Args: oneFile,
	}
	f := c.Flags()
	f.StringVar(&only, "setup", "", "judge only this one, by its id")
	f.String("wind", "", "mean wind over ten minutes, 10 m up (5, 18km/h)")
	f.String("gust", "", "gusts, 10 m up (8, 29km/h)")
	f.String("temperature", "", "of the air in the shade, °C")
	f.String("humidity", "", "relative, %")
	f.StringVar(&req.Region, "region", "", "what people there are used to: hot, middle, cool (the table for people not used to heat)")
	f.StringArrayVar(&req.Thunder, "thunder", nil, "flash or thunder, wall clock of the place (14:20); as often as there was one")
	c.RunE = func(c *cobra.Command, args []string) (err error) {
		if req.WindMPS, err = speed(c, "wind"); err != nil {
			return err
		}
		if req.GustMPS, err = speed(c, "gust"); err != nil {
			return err
		}
		if req.TemperatureC, err = number(c, "temperature"); err != nil {
			return err
		}
		if req.HumidityPct, err = number(c, "humidity"); err != nil {
			return err
		}
		if req.Session, err = t.session(args[0]); err != nil {
			return err
		}
		if only != "" {
			if req.Session.Setups, err = pickSetup(req.Session.Setups, only); err != nil {
				return err
			}
		}
		a, err := api.Safety(req)
		if err != nil {
			return err
		}
		return t.answer(a, func(w io.Writer) { saySafety(w, a) })
	}
	return c
}

func saySafety(w io.Writer, a api.SafetyAnswer) {
	fmt.Fprintln(w, a.Title)
	if a.Place != "" {
		fmt.Fprintln(w, a.Place)
	}
	for _, x := range a.Setups {
		s := x.Safety
		fmt.Fprintf(w, "\n%s   %s\n", x.ID, wall(x.At))
		for _, st := range s.Stands {
			fmt.Fprintf(w, "  %-8s%s\n", st.Level, st.Text)
		}
		if s.Ballast != nil {
			fmt.Fprintf(w, "  %-8sballast: %s\n", "", s.Ballast.Text)
		}
		fmt.Fprintf(w, "  %-8s%s\n", s.Heat.Level, s.Heat.Text)
		if s.Cold != nil {
			fmt.Fprintf(w, "  %-8s%s\n", s.Cold.Level, s.Cold.Text)
		}
		fmt.Fprintf(w, "  %-8s%s\n  %-8s%s\n", s.UV.Level, s.UV.Text, s.Lightning.Level, s.Lightning.Text)
		if len(s.Unknown) > 0 {
			fmt.Fprintf(w, "  not known: %s\n", strings.Join(s.Unknown, ", "))
		}
	}
	fmt.Fprintln(w)
	sayAssumed(w, a.Assumptions)
	var own []string
	for _, x := range a.Setups {
		for _, o := range x.Safety.Own {
			if !slices.Contains(own, o) {
				own = append(own, o)
			}
		}
	}
	for i, x := range own {
		head := "own limits: "
		if i > 0 {
			head = "            "
		}
		fmt.Fprintf(w, "%s%s\n", head, x)
	}
	fmt.Fprintln(w, a.Decides)
}

// wall shows the clock of an instant of an answer.
func wall(at string) string {
	t, err := time.Parse(time.RFC3339, at)
	if err != nil {
		return at
	}
	return t.Format("15:04")
}
