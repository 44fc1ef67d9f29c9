package main

import (
	"encoding/json"
	"fmt"
	"io"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"hardnoon/api"
	"hardnoon/session"
)

func adjustCommand(t *terminal) *cobra.Command {
	var req api.AdjustRequest
	var file string
	c := &cobra.Command{
		Use:   "adjust --plan FILE --ambient-change STOPS",
		Short: "the light changed: what to turn, the fewest knobs first",
		Example: `  hardnoon adjust --plan demo/javelin.json --ambient-change -2
  hardnoon adjust --plan demo/javelin.json --setup portrait --meter-ev100 13.3
  hardnoon adjust --plan plan.json --ambient-change +1.3 --json
  hardnoon adjust --plan demo/javelin.json --seen key=-0.3`,
		Long: `FILE is a session file or the answer of "hardnoon plan FILE --json"; - is standard input.
exit codes: 0 answered; 2 wrong input; 4 that setup has no settings; 10 there is no such file`,
		Args: cobra.NoArgs,
	}
	f := c.Flags()
	f.StringVar(&file, "plan", "", "session file, or a plan kept as JSON")
	f.StringVar(&req.Setup, "setup", "", "id of the setup (the first)")
	f.String("ambient-change", "", "stops the daylight changed: -2 for a cloud over the sun")
	var seen []string
	f.StringArrayVar(&seen, "seen", nil, "what a test frame showed of one light, in stops: key=-0.3 is too dark")
	f.String("meter-ev100", "", "a new incident reading in place of a change")
	c.RunE = func(c *cobra.Command, _ []string) (err error) {
		if file == "" {
			return usage("no plan is named", "write it like --plan demo/javelin.json")
		}
		if req.ChangeStops, err = number(c, "ambient-change"); err != nil {
			return err
		}
		if req.MeterEV100, err = number(c, "meter-ev100"); err != nil {
			return err
		}
		for _, x := range seen {
			role, text, _ := strings.Cut(x, "=")
			by, err := strconv.ParseFloat(strings.Replace(text, "−", "-", 1), 64)
			if err != nil {
				return usage(fmt.Sprintf("--seen is %q; it takes a light and stops", x), "write it like --seen key=-0.3")
			}
			req.Seen = append(req.Seen, api.SeenJSON{Role: role, Stops: by})
		}
		if req.Plan, err = t.plan(file); err != nil {
			return err
		}
		a, err := api.Adjust(req)
		if err != nil {
			return err
		}
		t.notes(a.Notes)
		return t.answer(a, func(w io.Writer) { sayAdjust(w, a) })
	}
	return c
}

// plan reads a plan, or a session and plans it.
func (t *terminal) plan(name string) (api.PlanAnswer, error) {
	f, err := t.open(name)
	if err != nil {
		return api.PlanAnswer{}, err
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, session.MaxBytes+1))
	if err != nil {
		return api.PlanAnswer{}, err
	}
	var what struct {
		Format string `json:"format"`
	}
	if len(data) <= session.MaxBytes && json.Unmarshal(data, &what) == nil && what.Format == api.PlanFormat {
		return api.Decode[api.PlanAnswer](data)
	}
	s, err := session.Read(data)
	if err != nil {
		return api.PlanAnswer{}, err
	}
	return api.Plan(s)
}

func sayAdjust(w io.Writer, a api.AdjustAnswer) {
	fmt.Fprintln(w, a.Now)
	if a.Change == 0 {
		return
	}
	fmt.Fprintf(w, "  sun    %s\n", stateText(a.SunState))
	fmt.Fprintf(w, "  cloud  %s\n", stateText(a.CloudState))
}

func stateText(s api.State) string {
	text := fmt.Sprintf("%s · %s · ISO %.0f%s", s.Shutter, s.Aperture, s.ISO, filter(s.NDStops))
	if len(s.Powers) > 0 {
		text += "   power " + strings.Join(s.Powers, " · ")
	}
	return text + fmt.Sprintf("   background %s, %s", stops(s.Background), s.Route)
}
