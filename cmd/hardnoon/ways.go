package main

import (
	"fmt"
	"io"
	"math"
	"strings"

	"github.com/spf13/cobra"

	"hardnoon/api"
)

func wayCommand(t *terminal) *cobra.Command {
	var req api.WaysRequest
	var slot int
	c := &cobra.Command{
		Use:   "way FILE",
		Short: "which slot to take, where to stand and which way to look",
		Example: `  hardnoon way demo/javelin.json
  hardnoon way demo/javelin.json --setup portrait --headgear cap
  hardnoon way demo/javelin.json --slot 1 --free --json`,
		Long: `Every 5° of camera bearing is weighed at moments five minutes apart: sun, squint, brim, flare, what stands behind the head, what
the kit has to spare. Regret is in stops, our own judgement: it orders the ways and hides none. FILE is a session file, - is standard input.
exit codes: 0 answered; 2 wrong input; 4 no setup has an answer in any slot; 10 there is no such file`,
		Args: oneFile,
	}
	f := c.Flags()
	f.IntVar(&slot, "slot", 0, "only this one of the offered slots, counted from 1")
	f.StringVar(&req.Setup, "setup", "", "only this one, by its id")
	f.StringVar(&req.Headgear, "headgear", "", "in place of what the session says: none, cap, visor, helmet (with a cage)")
	f.String("brim", "", "with --headgear: how far the brim reaches (7cm, helmets 5cm)")
	f.BoolVar(&req.Free, "free", false, "the mark may move: also tries 4 and 8 m in eight directions")
	f.String("play", "", "bearing of a line of play through the mark that lights keep clear of (that of the field)")
	f.BoolVar(&req.All, "all", false, "every bearing, as JSON")
	c.RunE = func(c *cobra.Command, args []string) (err error) {
		if c.Flags().Changed("slot") {
			req.Slot = &slot
		}
		if req.BrimM, err = length(c, "brim"); err != nil {
			return err
		}
		if req.PlayDeg, err = number(c, "play"); err != nil {
			return err
		}
		if req.Session, err = t.session(args[0]); err != nil {
			return err
		}
		a, err := api.Ways(req)
		if err != nil {
			return err
		}
		t.notes(a.Notes)
		if !anyYes(a) {
			t.code = exitNone
		}
		return t.answer(a, func(w io.Writer) { sayWays(w, a) })
	}
	return c
}

func anyYes(a api.WaysAnswer) bool {
	for _, s := range a.Slots {
		for _, x := range s.Setups {
			if x.Yes {
				return true
			}
		}
	}
	return false
}

func sayWays(w io.Writer, a api.WaysAnswer) {
	fmt.Fprintf(w, "%s\n%s\n", a.Title, a.Place)
	for _, s := range a.Slots {
		mark := ""
		if len(a.Slots) > 1 && s.Number == a.Best {
			mark = "   the best of them"
		}
		fmt.Fprintf(w, "\nslot %d   %s to %s, sun %s%s\n", s.Number, s.Start.Format("15:04"), s.End.Format("15:04"), sunInSlot(s), mark)
		if s.SunLeaves != nil {
			fmt.Fprintf(w, "  the sun leaves the mark at %s\n", s.SunLeaves.Format("15:04"))
		}
		if s.SunComes != nil {
			fmt.Fprintf(w, "  the sun reaches the mark at %s\n", s.SunComes.Format("15:04"))
		}
		for _, x := range s.Setups {
			sayWay(w, x)
		}
	}
	fmt.Fprintln(w)
	sayAssumed(w, a.Assumptions)
}

func sayWay(w io.Writer, x api.SetupWays) {
	yes := "yes"
	if !x.Yes {
		yes = "no "
	}
	fmt.Fprintf(w, "\n  %s   %s\n", x.ID, x.Title)
	fmt.Fprintf(w, "    %s     %s\n", yes, x.Say)
	fmt.Fprintf(w, "            %s\n", wayText(x.Best))
	if x.RunnerUp != nil {
		fmt.Fprintf(w, "    or      %s   %s\n", bearingText(*x.RunnerUp), wayText(*x.RunnerUp))
	}
	if x.Planned.BearingDeg != x.Best.BearingDeg {
		fmt.Fprintf(w, "    plan    %s   %s\n", bearingText(x.Planned), wayText(x.Planned))
	}
	for _, v := range x.Avoid {
		fmt.Fprintf(w, "    avoid   %s   %s\n", stretch(v.FromDeg, v.ToDeg), v.Text)
	}
	for _, v := range x.Variants {
		if v.Exists {
			left := ", " + spare(*v.Margin)
			if len(x.Lights) == 0 {
				left = ""
			}
			fmt.Fprintf(w, "    %-12s along %03.0f°, regret %s%s\n", v.Variant, *v.BearingDeg, stops(*v.Regret), left)
		}
	}
	for _, l := range x.Lights {
		fmt.Fprintf(w, "    %-7s %s with %s: %s\n", l.Role, l.Head, modifierName(l.Modifier), l.Text)
	}
	for _, c := range x.Changes {
		fmt.Fprintf(w, "    change  %s\n", c)
	}
}

// sunInSlot says how high the sun stands at either end of a slot, and where.
func sunInSlot(s api.SlotWays) string {
	from, to := s.SunDeg[0], s.SunDeg[1]
	if from <= duskEnds && to <= duskEnds {
		return "down"
	}
	level := "high"
	if from < 0 && to < 0 {
		from, to, level = -from, -to, "under the horizon"
	}
	high := altitude(from) + " to " + altitude(to) + " " + level
	if altitude(from) == altitude(to) {
		high = altitude(from) + " " + level
	}
	return fmt.Sprintf("%s at %03.0f° to %03.0f°", high, s.SunFromDeg[0], s.SunFromDeg[1])
}

// altitude writes whole degrees with a true minus.
func altitude(deg float64) string { return strings.Replace(fmt.Sprintf("%.0f°", deg), "-", "−", 1) }

func bearingText(x api.WayJSON) string {
	text := fmt.Sprintf("%03.0f°", x.BearingDeg)
	if x.MarkM != [2]float64{} {
		text += fmt.Sprintf(" from the mark %+.0f m east, %+.0f m north", x.MarkM[0], x.MarkM[1])
	}
	return strings.ReplaceAll(text, "-", "−")
}

// spare says a margin in words.
func spare(margin float64) string {
	switch {
	case math.Abs(margin) < 0.05:
		return "nothing to spare"
	case margin < 0:
		return fmt.Sprintf("%.1f short", -margin)
	}
	return stops(margin) + " to spare"
}

func wayText(x api.WayJSON) string {
	parts := []string{fmt.Sprintf("%s %s by %s", x.Light, spare(x.Margin), x.Route)}
	switch {
	case x.Route == "":
		parts[0] = "night"
	case x.Light == "":
		parts[0] = "daylight alone"
	}
	if x.Cloud != nil {
		parts = append(parts, stops(*x.Cloud)+" under cloud")
	}
	for _, r := range x.Reasons {
		if r.Why != "short" {
			parts = append(parts, fmt.Sprintf("%s %s", r.Text, stops(r.Regret)))
		}
	}
	return strings.Join(parts, "; ")
}

// stretch writes a stretch of bearings, clockwise.
func stretch(from, to float64) string {
	if from == to {
		return fmt.Sprintf("%03.0f°     ", from)
	}
	return fmt.Sprintf("%03.0f–%03.0f°", from, to)
}
