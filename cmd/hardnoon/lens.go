package main

import (
	"fmt"
	"io"
	"math"
	"strconv"

	"github.com/spf13/cobra"

	"hardnoon/api"
)

func lensCommand(t *terminal) *cobra.Command {
	var req api.LensRequest
	c := &cobra.Command{
		Use:   "lens --focal F --aperture N --distance D",
		Short: "what is seen, what is sharp, how far movement smears",
		Example: `  hardnoon lens --focal 85mm --aperture 1.8 --distance 2.5m
  hardnoon lens --focal 200mm --aperture 2.8 --distance 20m --speed 20m/s --shutter 1/2000
  hardnoon lens --focal 135mm --aperture 5.6 --distance 6m --sensor aps-c --speed 8m/s --shutter 1/250 --flash-t01 1/1000 --ambient -2 --json`,
		Long: `F-number and times are taken as engraved. Distances count from the lens. The angles are
those of a lens focused at infinity; the field in metres is what fills the frame at the distance.
exit codes: 0 done; 2 wrong input`,
		Args: cobra.NoArgs,
	}
	f := c.Flags()
	f.String("focal", "", "focal length: 85mm")
	f.StringVar(&req.FNumber, "aperture", "", "f-number: 2.8")
	f.String("distance", "", "camera to subject: 2.4m, 240cm, 8ft")
	f.StringVar(&req.Sensor, "sensor", "", "full-frame, aps-c, four-thirds, medium or its sides in mm: 36x24 (full-frame)")
	f.String("megapixels", "", "pixels in millions (what such a sensor usually has)")
	f.String("coc", "", "circle of confusion: 0.03mm (0.030 mm on full-frame, in proportion elsewhere)")
	f.String("pupil", "", "exit pupil over entrance pupil, below 1 for most long lenses (1)")
	f.String("background", "", "camera to background: 12m (infinity)")
	f.String("depth", "", "depth that has to be sharp: 0.5m, for the f-number")
	f.String("speed", "", "of the subject, across the line of sight: 8m/s, 30km/h")
	f.StringVar(&req.Shutter, "shutter", "", "shutter time, for the smear in daylight: 1/1000")
	f.StringVar(&req.FlashT01, "flash-t01", "", "t0.1 of the pop, for the smear in flash: 1/300")
	f.String("ambient", "", "daylight on the subject in stops from the flash: -2, for the ghost")
	f.String("freeze", "", "smear allowed in pixels, for the shutter that freezes (the circle of confusion)")
	c.RunE = func(c *cobra.Command, _ []string) (err error) {
		for _, x := range []struct {
			name string
			read func(*cobra.Command, string) (*float64, error)
			to   **float64
		}{
			{"focal", millimetres, &req.FocalMM}, {"coc", millimetres, &req.CoCMM},
			{"distance", length, &req.DistanceM}, {"background", length, &req.BackgroundM}, {"depth", length, &req.WantedM}, {"speed", speed, &req.SpeedMPS},
			{"megapixels", number, &req.Megapixels}, {"pupil", number, &req.Pupil}, {"ambient", number, &req.AmbientStops}, {"freeze", number, &req.FreezePx},
		} {
			if *x.to, err = x.read(c, x.name); err != nil {
				return err
			}
		}
		a, err := api.Lens(req)
		if err != nil {
			return err
		}
		t.notes(a.Notes)
		return t.answer(a, func(w io.Writer) { sayLens(w, a, req) })
	}
	return c
}

func sayLens(w io.Writer, a api.LensAnswer, req api.LensRequest) {
	line := func(word, format string, args ...any) {
		fmt.Fprintf(w, "%-11s"+format+"\n", append([]any{word}, args...)...)
	}
	if a.FarM == nil {
		line("sharp", "from %s on", metres(a.NearM))
	} else {
		line("sharp", "%s to %s, %s deep", metresTo(a.NearM, *a.DepthM), metresTo(*a.FarM, *a.DepthM), metres(*a.DepthM))
	}
	if a.WantedN != nil {
		line("depth", "%s from f/%.1f on", metres(*req.WantedM), *a.WantedN)
	}
	line("hyperfocal", "%s", metres(a.HyperfocalM))
	line("sees", "%.1f° × %.1f°; %s × %s at %s", a.FOVH, a.FOVV, metres(a.FieldWidthM), metres(a.FieldHeightM), metres(a.DistanceM))
	line("background", "points blur to %.1f %% of the frame's longer side, %.0f px", 100*a.BackgroundBlurShare, a.BackgroundBlurPx)
	if a.BlurPx != nil {
		line("smear", "%s in daylight, %s", pixels(*a.BlurPx), req.Shutter)
	}
	if a.FlashPx != nil {
		line("smear", "%s in the flash, %s", pixels(*a.FlashPx), req.FlashT01)
	}
	if a.Ghost != nil {
		seen := "not seen"
		if a.Ghost.Visible {
			seen = "seen"
		}
		line("ghost", "%s; daylight is %.0f %% of the light on the subject", seen, 100*a.Ghost.Share)
	}
	switch {
	case a.FreezeS == nil:
	case a.Freeze == "":
		line("freezes", "no shutter keeps it to %s; it would take 1/%.0f", pixels(*a.FreezePx), 1 / *a.FreezeS)
	default:
		line("freezes", "%s or shorter, within %s", a.Freeze, pixels(*a.FreezePx))
	}
	sayAssumed(w, a.Assumptions)
}

// metres writes a length of the field: three decimals where a hand's breadth
// counts, fewer further out.
func metres(m float64) string {
	switch {
	case m < 0.1:
		return fmt.Sprintf("%.1f cm", 100*m)
	case m < 10:
		return fmt.Sprintf("%.2f m", m)
	case m < 100:
		return fmt.Sprintf("%.1f m", m)
	}
	return strconv.FormatFloat(math.Round(m), 'f', 0, 64) + " m"
}

// metresTo writes a length as metres does, finer where the difference that counts
// would not show.
func metresTo(m, difference float64) string {
	if difference >= 0.1 || m >= 100 {
		return metres(m)
	}
	return fmt.Sprintf("%.*f m", min(5, 1-int(math.Floor(math.Log10(max(difference, 1e-5))))), m)
}

// pixels writes a smear: tenths only where they count.
func pixels(px float64) string {
	if px < 10 {
		return fmt.Sprintf("%.1f px", px)
	}
	return fmt.Sprintf("%.0f px", px)
}
