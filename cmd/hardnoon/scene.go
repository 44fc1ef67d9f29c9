package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"os/signal"
	"strings"

	"github.com/spf13/cobra"

	"hardnoon/api"
)

func sceneCommand(t *terminal) *cobra.Command {
	var req api.SceneRequest
	c := &cobra.Command{
		Use:   "scene FILE",
		Short: "what the lens sees: backgrounds, sun on the face, stands in the frame, light in stops",
		Example: `  hardnoon scene demo/javelin.json
  hardnoon scene demo/javelin.json --setup portrait
  hardnoon scene demo/javelin.json --json > scene.json`,
		Long: `FILE is a session file (docs/formats/session.md) with what stands around in
place.solids, place.field and place.horizon. Left and right are those of the frame.
exit codes: 0 answered; 2 something in the file is wrong; 10 there is no such file;
130 interrupted`,
		Args: oneFile,
		RunE: func(c *cobra.Command, args []string) error {
			var err error
			if req.Session, err = t.session(args[0]); err != nil {
				return err
			}
			ctx, stop := signal.NotifyContext(c.Context(), os.Interrupt)
			defer stop()
			a, err := api.Scene(ctx, req)
			if errors.Is(err, context.Canceled) {
				return t.interrupted()
			}
			if err != nil {
				return err
			}
			return t.answer(a, func(w io.Writer) {
				for i, s := range a.Setups {
					if i > 0 {
						fmt.Fprintln(w)
					}
					sayScene(w, s)
				}
				fmt.Fprintf(w, "\nnext: hardnoon preview %s --setup %s -o frame.png\n", args[0], a.Setups[0].ID)
			})
		},
	}
	c.Flags().StringVar(&req.Setup, "setup", "", "only this one, by its id")
	return c
}

func sayScene(w io.Writer, s api.SceneSetup) {
	fmt.Fprintf(w, "%s   %s\n", s.ID, s.Title)
	c := s.Camera
	fmt.Fprintf(w, "  frame  %.2f to %.2f m at the subject, %.0f° across, tilted %s%s\n", c.LowestM, c.HighestM, c.AcrossDeg, tilt(c.TiltDeg), cut(s.Subject.InFrame))
	if c.SizeRatio > 1.15 || c.HeldToHead > 1.15 {
		fmt.Fprintf(w, "  near   the %s is drawn %.1f times larger than at the head%s\n", c.Nearest, c.SizeRatio, heldSize(c.HeldToHead))
	}
	fmt.Fprintf(w, "  face   %s\n", faceWords(s.Face))
	if x := shadeWords(s.Shade); x != "" {
		fmt.Fprintf(w, "  shade  %s\n", x)
	}
	var behind []string
	for _, b := range s.Behind {
		x := b.Name
		if b.DistanceM != nil {
			x = fmt.Sprintf("%s at %.0f m", b.Name, *b.DistanceM)
		}
		behind = append(behind, b.Part+" "+x)
	}
	fmt.Fprintf(w, "  behind %s\n", strings.Join(behind, ", "))
	var beside []string
	for _, x := range s.Solids {
		if x.LeftX <= s.Subject.HeadX+0.02 && x.RightX >= s.Subject.HeadX-0.02 {
			fmt.Fprintf(w, "  in     %s behind the subject, up to %.2f m%s\n", x.Name, x.CrossesM, bodyPart(s.Subject, x.CrossesM))
		} else {
			beside = append(beside, x.Name)
		}
	}
	if len(beside) > 0 {
		fmt.Fprintf(w, "  beside %s\n", strings.Join(beside, ", "))
	}
	for _, h := range s.Hide {
		fmt.Fprintf(w, "  hide   %s: %s\n", h.Name, h.Text)
	}
	var in, shadows, flare []string
	for _, l := range s.Lights {
		if l.InFrame {
			in = append(in, l.Name)
		}
		if l.Shadow {
			shadows = append(shadows, l.Name)
		}
	}
	for _, g := range s.Glares {
		if g.InFrame && !g.Blocked {
			flare = append(flare, g.Name+" in the frame")
		} else if g.MayFlare {
			flare = append(flare, fmt.Sprintf("%s %.0f° off the axis", g.Name, g.OffAxisDeg))
		}
	}
	if len(in) > 0 {
		fmt.Fprintf(w, "  stands in the frame: %s\n", strings.Join(in, ", "))
	}
	if len(shadows) > 0 {
		fmt.Fprintf(w, "  shadow of a stand in the frame: %s\n", strings.Join(shadows, ", "))
	}
	if len(flare) > 0 {
		fmt.Fprintf(w, "  flare  %s; shade the lens\n", strings.Join(flare, ", "))
	}
	sayProbes(w, s.Probes)
	for _, n := range s.Notes {
		fmt.Fprintf(w, "  %s\n", remark(n))
	}
}

func tilt(deg float64) string {
	switch {
	case math.Abs(deg) < 0.5:
		return "not at all"
	case deg > 0:
		return fmt.Sprintf("%.0f° up", deg)
	}
	return fmt.Sprintf("%.0f° down", -deg)
}

func cut(share float64) string {
	if share > 0.985 {
		return ", whole figure"
	}
	return fmt.Sprintf(", %.0f %% of the figure", 100*share)
}

func heldSize(ratio float64) string {
	if ratio < 1.15 {
		return ""
	}
	return fmt.Sprintf(", the near end of what is held %.1f times", ratio)
}

func faceWords(f api.SceneFace) string {
	words := []string{fmt.Sprintf("%.0f %% in the sun", 100*f.Sun)}
	if f.Brim > 0.005 {
		words = append(words, fmt.Sprintf("%.0f %% in the brim's shadow", 100*f.Brim))
	}
	if f.Solids > 0.005 {
		words = append(words, fmt.Sprintf("%.0f %% shaded by what stands around", 100*f.Solids))
	}
	if f.LeftEye == "no sun" && f.RightEye == "no sun" && f.Sun+f.Brim+f.Solids == 0 {
		return "no sun on it"
	}
	gaze := fmt.Sprintf("the gaze is %.0f° from the sun", f.GazeSunDeg)
	if f.Squint {
		gaze += ": they will squint"
	}
	return strings.Join(append(words, gaze), ", ")
}

func shadeWords(s api.SceneShade) string {
	const clock = "15:04"
	switch {
	case s.Now && s.LeavesAt != nil:
		return fmt.Sprintf("the face is in the shade of %s until %s", s.By, s.LeavesAt.Format(clock))
	case s.Now:
		return fmt.Sprintf("the face stays in the shade of %s", s.By)
	case s.ComesAt != nil:
		return fmt.Sprintf("%s shades the face from %s", s.By, s.ComesAt.Format(clock))
	}
	return ""
}

// bodyPart says which part of the figure is at a height.
func bodyPart(s api.SceneSubject, z float64) string {
	switch x := z / max(s.CrownM, 0.1); {
	case x > 1.05:
		return ", above the head"
	case x > 0.86:
		return ", at the head"
	case x > 0.74:
		return ", at the shoulders"
	case x > 0.45:
		return ", at the trunk"
	}
	return ", at the legs"
}
