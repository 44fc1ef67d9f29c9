package main

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"hardnoon/api"
)

func lightCommand(t *terminal) *cobra.Command {
	var req api.LightRequest
	var kind, receptor string
	c := &cobra.Command{
		Use:   "light (--lat DEG --lon DEG --at TIME | --sun-altitude DEG --sun-azimuth DEG) [sky]",
		Short: "how much daylight there is, from where and of what colour",
		Example: `  hardnoon light --lat -33.0458 --lon -71.6197 --at 2027-01-16T13:20:00-03:00 --sky thin-high-cloud
  hardnoon light --sun-altitude 60 --sun-azimuth 180 --dni 900 --dhi 100 --albedo 0.2 --json
  hardnoon light --sun-altitude 40 --sun-azimuth 250 --oktas 5
  hardnoon light --sun-altitude 40 --sun-azimuth 250 --meter-ev100 14.3
  hardnoon light --sun-altitude 40 --sun-azimuth 250 --metar "METAR SCVM 161600Z 24012KT 9999 FEW250 22/12 Q1014"`,
		Long: `The sky is described in one way: in words (` + strings.Join(api.SkyNames(), ", ") + `, or
cie-1 to cie-16), by eighths of cloud, by a weather report, or by irradiance. A meter reading at
ISO 100 sets its level. With no sky said it is taken as clear, or as the kind nearest to the reading.
The incident level is that of a dome held level towards a camera with the sun behind it; facing
planes have sun, their part of the sky, and half of a level ground.
exit codes: 0 done; 2 wrong input; 4 no answer exists`,
		Args: cobra.NoArgs,
	}
	f := c.Flags()
	f.String("lat", "", "latitude in degrees, north positive")
	f.String("lon", "", "longitude in degrees, east positive")
	f.String("elev", "", "height above sea level: 180, 590ft (0)")
	f.StringVar(&req.At, "at", "", "the instant: 2027-01-16T13:20:00-03:00")
	f.String("sun-altitude", "", "apparent altitude of the sun in degrees")
	f.String("sun-azimuth", "", "azimuth of the sun in degrees, clockwise from true north")
	f.StringVar(&req.Sky, "sky", "", "the sky in words, or cie-1 to cie-16")
	f.String("oktas", "", "eighths of the sky covered by cloud, 0 to 8")
	f.StringVar(&req.METAR, "metar", "", "weather report of an aerodrome near by")
	f.String("dni", "", "direct normal irradiance in W/m²")
	f.String("dhi", "", "diffuse horizontal irradiance in W/m²")
	f.String("meter-ev100", "", "your meter's reading, EV at ISO 100")
	f.StringVar(&kind, "meter", "", "how it was taken: incident, reflected (incident)")
	f.StringVar(&receptor, "meter-receptor", "", "receptor of an incident meter: dome, flat (dome)")
	f.String("meter-bearing", "", "where the meter pointed, degrees from true north (under the sun)")
	f.String("meter-altitude", "", "how high it pointed in degrees, below 0 at the ground (0)")
	f.String("albedo", "", "share of light the ground sends back, 0 to 1 (0.2)")
	f.StringVar(&req.Ground, "ground", "", "what the ground is: grass, sand, concrete ...")
	f.String("turbidity", "", "Linke turbidity of the clear air: 2 very clear, 5 hazy (3)")
	c.RunE = func(c *cobra.Command, _ []string) (err error) {
		var ev, bearing, altitude *float64
		for _, x := range []struct {
			name string
			to   **float64
		}{
			{"lat", &req.LatDeg}, {"lon", &req.LonDeg}, {"sun-altitude", &req.SunAltitude}, {"sun-azimuth", &req.SunAzimuth},
			{"oktas", &req.Oktas}, {"dni", &req.DNI}, {"dhi", &req.DHI}, {"albedo", &req.Albedo}, {"turbidity", &req.Turbidity},
			{"meter-ev100", &ev}, {"meter-bearing", &bearing}, {"meter-altitude", &altitude},
		} {
			if *x.to, err = number(c, x.name); err != nil {
				return err
			}
		}
		if req.ElevationM, err = length(c, "elev"); err != nil {
			return err
		}
		for _, empty := range []string{"sky", "metar", "ground"} {
			if text, _ := f.GetString(empty); c.Flags().Changed(empty) && strings.TrimSpace(text) == "" {
				return usage("--"+empty+" is empty", "say it, or leave the flag out")
			}
		}
		switch {
		case ev != nil:
			req.Meter = &api.MeterRequest{EV100: *ev, Kind: kind, Receptor: receptor, Bearing: bearing, Altitude: altitude}
		case kind != "" || receptor != "" || bearing != nil || altitude != nil:
			return usage("the meter has no reading", "add --meter-ev100")
		}
		a, err := api.Light(req)
		if err != nil {
			return err
		}
		t.notes(a.Notes)
		return t.answer(a, func(w io.Writer) { sayLight(w, a) })
	}
	return c
}

func sayLight(w io.Writer, a api.LightAnswer) {
	line := func(word, format string, args ...any) {
		fmt.Fprintf(w, "%-9s"+format+"\n", append([]any{word}, args...)...)
	}
	where := fmt.Sprintf("bearing %.0f° (%s)", whole(a.SunAzimuth), wind(a.SunAzimuth))
	if a.SunAltitude >= 0 {
		line("sun", "%.1f° high, %s", a.SunAltitude, where)
	} else {
		line("sun", "%.1f° below the horizon, %s", -a.SunAltitude, where)
	}
	line("light", "EV %s ± %.1f at ISO 100, front-lit; EV %s with the sun behind the subject", minus(a.EV100), a.Uncertainty, minus(a.EV100Shade))
	if s := a.States; s != nil {
		line("with sun", "EV %s front-lit, for %.0f %% of the time", minus(s.Sun.EV100), 100*s.SunShare)
		line("in cloud", "EV %s", minus(s.Cloud.EV100))
	}
	if a.MeterMoved != nil {
		line("meter", "%s stops from the model", stops(*a.MeterMoved))
	}
	colour := fmt.Sprintf("%s K together", whole3(a.CCT))
	if a.CCTBeam != nil {
		colour += fmt.Sprintf("; sun %s K", whole3(*a.CCTBeam))
	}
	line("colour", "%s; sky %s K", colour, whole3(a.CCTSky))
	if a.DirectNormal > 0 {
		line("the sun", "%s lx on a plane facing it", lux(a.DirectNormal))
	}
	fmt.Fprintf(w, "%-9s%10s%10s%10s%10s%10s\n", "lx", "level", "north", "east", "south", "west")
	for _, r := range []struct {
		word string
		p    api.PlanesJSON
	}{{"all", a.Total}, {"sky", a.SkyPart}, {"ground", a.GroundPart}} {
		fmt.Fprintf(w, "%-9s%10s%10s%10s%10s%10s\n", r.word, lux(r.p.Horizontal), lux(r.p.North), lux(r.p.East), lux(r.p.South), lux(r.p.West))
	}
	line("model", "%s", a.Model)
	sayAssumed(w, a.Assumptions)
}

// lux writes an illuminance as far as it can be known: three digits.
func lux(x float64) string {
	if x <= 0 {
		return "0"
	}
	step := math.Pow(10, math.Floor(math.Log10(x))-2)
	if x = math.Round(x/step) * step; x >= 1000 {
		return whole3(x)
	}
	digits := max(0, 2-int(math.Floor(math.Log10(x)))) // after the point
	return strconv.FormatFloat(x, 'f', digits, 64)
}

// whole3 writes a whole number with commas: 98,000.
func whole3(x float64) string { return thousands(int(math.Round(x))) }
