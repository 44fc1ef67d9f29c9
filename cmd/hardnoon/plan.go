package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"hardnoon/api"
	"hardnoon/session"
)

func planCommand(t *terminal) *cobra.Command {
	var only string
	c := &cobra.Command{
		Use:   "plan FILE",
		Short: "settings for every setup of a session, what is left, and what helps",
		Example: `  hardnoon plan demo/javelin.json
  hardnoon plan demo/javelin.json --setup hero
  hardnoon plan demo/javelin.json --json > plan.json`,
		Long: `FILE is a session file (docs/formats/session.md), - is standard input.
exit codes: 0 planned, yes or no; 2 something in the file is wrong; 10 there is no such file`,
		Args: oneFile,
		RunE: func(c *cobra.Command, args []string) error {
			s, err := t.session(args[0])
			if err != nil {
				return err
			}
			if only != "" {
				if s.Setups, err = pickSetup(s.Setups, only); err != nil {
					return err
				}
			}
			a, err := api.Plan(s)
			if err != nil {
				return err
			}
			return t.answer(a, func(w io.Writer) { sayPlan(w, a, args[0]) })
		},
	}
	c.Flags().StringVar(&only, "setup", "", "plan only this one, by its id")
	return c
}

func pickSetup(all []session.Setup, id string) ([]session.Setup, error) {
	var have []string
	for _, x := range all {
		if x.ID == id {
			return []session.Setup{x}, nil
		}
		have = append(have, x.ID)
	}
	return nil, usage(fmt.Sprintf("no setup is called %q", id), "there are "+strings.Join(have, ", "))
}

func oneFile(c *cobra.Command, args []string) error {
	if len(args) != 1 {
		return usage(c.Name()+" takes one file", `see "`+c.CommandPath()+` --help"`)
	}
	return nil
}

// open opens a file a person named; - is standard input.
func (t *terminal) open(name string) (io.ReadCloser, error) {
	if name == "-" {
		return io.NopCloser(t.in), nil
	}
	f, err := os.Open(name)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, &api.Error{Kind: api.Broken, Code: "no_such_file", Text: "there is no file " + name, Hint: "check the name", Cause: os.ErrNotExist}
	}
	if err != nil {
		return nil, err
	}
	if st, err := f.Stat(); err == nil && st.IsDir() {
		f.Close()
		return nil, &api.Error{Kind: api.WrongInput, Code: "folder", Text: name + " is a folder", Hint: "name the file in it"}
	}
	return f, nil
}

// session reads a session file.
func (t *terminal) session(name string) (session.Session, error) {
	f, err := t.open(name)
	if err != nil {
		return session.Session{}, err
	}
	defer f.Close()
	return session.ReadFrom(f)
}

func sayPlan(w io.Writer, a api.PlanAnswer, file string) {
	fmt.Fprintf(w, "%s\n%s · %s\n", a.Title, a.Place, a.Start)
	assumed := a.Assumptions
	for _, s := range a.Setups {
		fmt.Fprintln(w)
		saySetup(w, s)
		for _, x := range s.Assumptions {
			if !slices.Contains(assumed, x) {
				assumed = append(assumed, x)
			}
		}
	}
	fmt.Fprintln(w)
	sayAssumed(w, assumed)
	fmt.Fprintf(w, "\nnext: hardnoon adjust --plan %s --ambient-change -2\n", file)
}

func saySetup(w io.Writer, s api.SetupAnswer) {
	title := s.Title
	if title == "" {
		title = s.ID
	}
	fmt.Fprintf(w, "%s   %s\n", s.ID, title)
	head := ""
	for _, n := range s.Notes { // what forbids it stands before what is possible
		switch {
		case n.Severity == "stop":
			head = "by the light alone, "
			fmt.Fprintf(w, "  STOP   %s\n", careText(n))
		case forbids(n):
			head = "by the light alone, "
			fmt.Fprintf(w, "  no: %s\n", careText(n))
		}
	}
	fmt.Fprintf(w, "  sun    %s%s; background EV %s, face EV %s\n", sunSeen(s.Sun), notOnMark(s.Sun.Where), minus(s.Daylight.BackgroundEV), minus(s.Daylight.FaceEV))
	if s.Margin != nil {
		fmt.Fprintf(w, "  %s%s\n", head, verdictOf(s))
	}
	if p := s.Answer; p != nil {
		if len(p.Lights) == 0 {
			fmt.Fprintf(w, "  daylight alone: face %s, background %s\n", stops(p.Background+s.Daylight.FaceEV-s.Daylight.BackgroundEV), stops(p.Background))
		}
		fmt.Fprintf(w, "  camera %s · %s · ISO %.0f%s   %sbackground %s\n", p.Shutter, p.Aperture, p.ISO, filter(p.NDStops), route(p), stops(p.Background))
		for _, l := range p.Lights {
			fmt.Fprintf(w, "  %-6s %s with %s, %.1f m to the face, %.1f m on the ground (%.1f paces)%s, power %s, recycle %.1f s\n", l.Role, l.Head, modifierName(l.Modifier), l.DistanceM, l.GroundM, l.Paces, angle(l.AngleDeg), l.Power, l.RecycleS)
		}
	}
	if s.Lens != nil {
		fmt.Fprintf(w, "  sharp  %.2f m to %s%s\n", s.Lens.NearM, far(s.Lens.FarM), blur(s.Lens))
	}
	if p := s.RunnerUp; p != nil {
		margin := ", margin " + stops(p.Margin)
		if len(p.Lights) == 0 {
			margin = ""
		}
		fmt.Fprintf(w, "  or     %s · %s · ISO %.0f%s   %s%s%s\n", p.Shutter, p.Aperture, p.ISO, filter(p.NDStops), p.Route, margin, smears(p.BlurPx))
	}
	if s.Cloud != nil {
		fmt.Fprintf(w, "  cloud  %s\n", s.Cloud.Now)
	}
	if s.Margin != nil && *s.Margin < s.Uncertainty {
		fmt.Fprintf(w, "  limited by %s\n", s.LimitedBy)
	}
	var b strings.Builder
	sayWaysOut(&b, s.WaysOut)
	for _, n := range s.Notes {
		if n.Severity != "stop" && !forbids(n) {
			fmt.Fprintln(&b, remark(n))
		}
	}
	for line := range strings.Lines(b.String()) {
		fmt.Fprint(w, "  ", line)
	}
}

// verdictOf is a setup's margin in words. A head that gives too much even at its
// lowest is not short of anything.
func verdictOf(s api.SetupAnswer) string {
	if s.TooBright {
		return fmt.Sprintf("no: %.1f stops too bright, turned down all the way (±%.1f)", -*s.Margin, s.Uncertainty)
	}
	return verdict(*s.Margin, s.Uncertainty)
}

// route says how flash and sun are told apart; without a flash there is nothing
// to tell apart.
func route(p *api.Planned) string {
	if len(p.Lights) == 0 {
		return ""
	}
	return p.Route + ", "
}

// forbids is what makes a picture impossible whatever the light.
func forbids(n api.Note) bool { return n.Code == "in_frame" || n.Code == "blocked" }

// remark is what a note says, after a word of how it is meant.
func remark(n api.Note) string {
	if n.Severity == "info" {
		return "note: " + careText(n)
	}
	return "care: " + careText(n)
}

func careText(n api.Note) string {
	if n.Hint == "" {
		return n.Text
	}
	return n.Text + "; " + n.Hint
}

func filter(nd float64) string {
	if nd == 0 {
		return ""
	}
	return fmt.Sprintf(" · ND %.0f", nd)
}

func modifierName(m string) string {
	if m == "" {
		return "nothing on it"
	}
	return m
}

func angle(a *float64) string {
	if a == nil {
		return ""
	}
	side := "clockwise of the camera"
	x := *a
	if x < 0 {
		side, x = "anticlockwise of the camera", -x
	}
	return fmt.Sprintf(" at %.0f° %s", x, side)
}

func far(m *float64) string {
	if m == nil {
		return "infinity"
	}
	return fmt.Sprintf("%.2f m", *m)
}

func blur(l *api.LensSeen) string {
	if l.BlurPx == nil {
		return ""
	}
	return fmt.Sprintf(" · movement blurs %.0f px by daylight, %.0f px by flash", *l.BlurPx, *l.FlashPx)
}

func smears(px *float64) string {
	if px == nil || *px < 1 {
		return ""
	}
	return fmt.Sprintf(", smears %.0f px", *px)
}

// notOnMark says what keeps the sun from the mark.
func notOnMark(where string) string {
	if where == "on the mark" || where == "down" {
		return ""
	}
	return ", " + where
}

// duskEnds is how far below the horizon the sun still tells which part of the sky
// is the bright one: the end of nautical twilight.
const duskEnds = -12

// sunSeen says how high the sun stands and where, as the photographer sees it.
func sunSeen(s api.SunSeen) string {
	switch {
	case s.Where != "down":
		return altitude(s.AltitudeDeg) + " high, " + fromCamera(s.FromCameraDeg)
	case s.AltitudeDeg > duskEnds:
		return fmt.Sprintf("%.0f° under the horizon, %s", -s.AltitudeDeg, fromCamera(s.FromCameraDeg))
	}
	return fmt.Sprintf("%.0f° under the horizon", -s.AltitudeDeg)
}

// fromCamera says where the sun stands as the photographer sees it.
func fromCamera(deg float64) string {
	side := "right"
	if deg < 0 {
		side = "left"
	}
	switch x := max(deg, -deg); {
	case x < 15:
		return "straight behind the subject"
	case x < 75:
		return fmt.Sprintf("behind the subject, %.0f° to the %s", x, side)
	case x <= 105:
		return "from the " + side
	case x < 165:
		return fmt.Sprintf("behind you, over your %s shoulder", side)
	}
	return "straight behind you"
}
