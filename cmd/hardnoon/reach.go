package main

import (
	"fmt"
	"io"
	"math"
	"strings"
	"unicode/utf8"

	"github.com/spf13/cobra"

	"hardnoon/api"
)

func reachCommand(t *terminal) *cobra.Command {
	var req api.ReachRequest
	c := &cobra.Command{
		Use:   "reach --head ID --distance D --aperture N --shutter T",
		Short: "is one light enough at these settings, and what helps if not",
		Example: `  hardnoon reach --head battery-400 --modifier dish-60 --distance 2.4m --aperture 5.6 --shutter 1/4000 --under 2
  hardnoon reach --head speedlight-70 --gn 36 --distance 8ft --aperture 8 --shutter 1/250 --ambient-ev100 14.3
  hardnoon reach --head battery-600 --modifier octa-120 --distance 2m --aperture 2.8 --shutter 1/250 --nd 6 --json`,
		Long: `The key level is mid-tone, by the flash alone; daylight on the face comes on top (total).
exit codes: 0 answered, yes or no; 2 wrong input`,
		Args: cobra.NoArgs,
	}
	f := c.Flags()
	f.StringVar(&req.Head, "head", "", `the flash head, by its id ("hardnoon kit" lists them)`)
	f.StringVar(&req.Modifier, "modifier", "", "what is on it; none is the bare head")
	f.String("distance", "", "light to subject: 2.4m, 240cm, 8ft")
	f.StringVar(&req.Shutter, "shutter", "", "shutter time: 1/250")
	f.StringVar(&req.FNumber, "aperture", "", "f-number: 5.6")
	f.String("iso", "", "sensitivity (100)")
	f.String("nd", "", "strength of the ND filter in stops (0)")
	f.StringVar(&req.Sync, "sync", "", "fastest shutter with a normal pop (1/250)")
	f.StringVar(&req.ShutterKind, "shutter-kind", "", "focal-plane, leaf or global (focal-plane)")
	f.String("ambient-ev100", "", "your reading of the daylight, EV at ISO 100 (15)")
	f.String("under", "", "stops the background lies below mid-tone (2)")
	f.String("key", "", "level the flash has to reach, stops from mid-tone (0)")
	f.String("ws", "", "energy of the head in watt-seconds, if not its class's")
	f.String("gn", "", "guide number in metres with this modifier, ISO 100, full power")
	f.String("hss-entry", "", "stops that high-speed sync costs at sync speed, if you know yours")
	f.StringVar(&req.Power, "power", "", "power it is set to: 1/4 (the most it can do)")
	f.StringVar(&req.Dial, "dial", "", "clicks of the camera: thirds or halves (thirds)")
	c.RunE = func(c *cobra.Command, _ []string) (err error) {
		for _, x := range []struct {
			name string
			to   **float64
		}{{"iso", &req.ISO}, {"nd", &req.NDStops}, {"ambient-ev100", &req.AmbientEV}, {"under", &req.UnderStops},
			{"key", &req.KeyStops}, {"ws", &req.EnergyWS}, {"gn", &req.GuideNumber}, {"hss-entry", &req.EntryStops}} {
			if *x.to, err = number(c, x.name); err != nil {
				return err
			}
		}
		if req.DistanceM, err = length(c, "distance"); err != nil {
			return err
		}
		a, err := api.Reach(req)
		if err != nil {
			return err
		}
		return t.answer(a, func(w io.Writer) { sayReach(w, a) })
	}
	return c
}

func sayReach(w io.Writer, a api.ReachAnswer) {
	fmt.Fprintf(w, "%s   key %s · background %s\n", verdict(a.Margin, a.Uncertainty), stops(a.FlashStops), stops(a.Ambient))
	if a.Margin < a.Uncertainty {
		fmt.Fprintf(w, "  limited by %s\n", a.LimitedBy)
	}
	sayWaysOut(w, a.WaysOut)
	sayAssumed(w, a.Assumptions)
}

// verdict is the first thing to read: yes, barely or no, and by how much.
func verdict(margin, uncertainty float64) string {
	size := math.Abs(math.Round(margin*10) / 10)
	give := fmt.Sprintf("(±%.1f)", uncertainty)
	switch {
	case size == 0:
		return "barely: nothing to spare " + give
	case margin < 0:
		return fmt.Sprintf("no: %.1f stops short %s", size, give)
	case margin < uncertainty:
		return fmt.Sprintf("barely: %.1f stops to spare %s", size, give)
	}
	return fmt.Sprintf("yes: %.1f stops to spare %s", size, give)
}

func sayWaysOut(w io.Writer, ways []api.WayOutJSON) {
	if len(ways) == 0 {
		return
	}
	fmt.Fprintln(w, "ways out")
	wide := 0
	for _, x := range ways {
		wide = max(wide, utf8.RuneCountInString(x.Change))
	}
	for _, x := range ways {
		pad := strings.Repeat(" ", wide-utf8.RuneCountInString(x.Change))
		fmt.Fprintf(w, "  %s   %s%s   leaves %s\n", stops(x.Gain), x.Change, pad, stops(x.Margin))
	}
}

func sayAssumed(w io.Writer, assumed []string) {
	for i, x := range assumed {
		head := "assumed: "
		if i > 0 {
			head = "         "
		}
		fmt.Fprintf(w, "%s%s\n", head, x)
	}
}
