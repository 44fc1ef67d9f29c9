package main

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"hardnoon/api"
)

func sunCommand(t *terminal) *cobra.Command {
	var at, from, to, every string
	var csv bool
	c := &cobra.Command{
		Use:   "sun --lat DEG --lon DEG --at TIME",
		Short: "where the sun stands, which way shadows fall, when it rises and sets",
		Example: `  hardnoon sun --lat -33.0458 --lon -71.6197 --at 2027-01-16T13:20:00-03:00
  hardnoon sun --lat 61.115 --lon 10.466 --elev 180 --at 2027-06-21T12:00:00+02:00 --json
  hardnoon sun --lat 52.09 --lon 5.12 --from 2027-05-01T05:00:00Z --to 2027-05-01T20:00:00Z --every 10m --csv`,
		Long: `Times carry their offset from UTC; rise, noon and set are those of the date that --at has
in its offset. Altitudes are of the sun's centre: true is without atmosphere, apparent
as refraction shows it, in air of 1013.25 hPa and 12 °C unless you say yours.
With --from and --to it prints a row every --every, both ends included; --csv has one
header line, --json one object a line.
exit codes: 0 done; 2 wrong input`,
		Args: cobra.NoArgs,
	}
	f := c.Flags()
	f.String("lat", "", "latitude in degrees, north positive")
	f.String("lon", "", "longitude in degrees, east positive")
	f.String("elev", "", "height above sea level: 180, 590ft (0)")
	f.StringVar(&at, "at", "", "the instant: 2027-01-16T13:20:00-03:00")
	f.StringVar(&from, "from", "", "first row")
	f.StringVar(&to, "to", "", "last row")
	f.StringVar(&every, "every", "10m", "time between rows: 30s, 10m, 1h")
	f.BoolVar(&csv, "csv", false, "rows as comma-separated values")
	f.String("pressure", "", "air pressure at the place in hPa (1013.25)")
	f.String("temperature", "", "air temperature in °C (12)")
	f.String("delta-t", "", "TT − UT in seconds (by formula)")
	c.RunE = func(c *cobra.Command, _ []string) (err error) {
		var p api.SunPlace
		for _, x := range []struct {
			name string
			to   **float64
		}{{"lat", &p.LatDeg}, {"lon", &p.LonDeg}, {"pressure", &p.PressureHPa}, {"temperature", &p.TemperatureC}, {"delta-t", &p.DeltaTS}} {
			if *x.to, err = number(c, x.name); err != nil {
				return err
			}
		}
		if p.ElevationM, err = length(c, "elev"); err != nil {
			return err
		}
		rows := c.Flags().Changed("from") || c.Flags().Changed("to")
		switch {
		case rows && at != "":
			return usage("--at is one instant, --from and --to are many", "take one or the other")
		case !rows && (csv || c.Flags().Changed("every")):
			return usage("rows need a start and an end", "add --from and --to")
		case rows:
			step, err := time.ParseDuration(every)
			if err != nil {
				return usage("--every is "+strconv.Quote(every)+"; it takes a length of time", "write it like --every 30s, 10m or 1h")
			}
			s := step.Seconds()
			seq, err := api.SunTrack(api.SunTrackRequest{SunPlace: p, From: from, To: to, EveryS: &s})
			if err != nil {
				return err
			}
			return t.sunRows(seq, csv)
		}
		a, err := api.Sun(api.SunRequest{SunPlace: p, At: at})
		if err != nil {
			return err
		}
		t.notes(a.Notes)
		return t.answer(a, func(w io.Writer) { saySun(w, a) })
	}
	return c
}

// sunRows writes positions as they come.
func (t *terminal) sunRows(seq func(yield func(api.SunRow) bool), csv bool) error {
	w := bufio.NewWriter(t.out)
	enc := json.NewEncoder(w)
	var err error
	switch {
	case csv:
		_, err = fmt.Fprintln(w, "at,altitude_true_deg,altitude_apparent_deg,azimuth_deg")
	case !t.json:
		_, err = fmt.Fprintln(w, "time                        altitude  bearing")
	}
	for r := range seq {
		if err != nil { // a reader who has seen enough, a full disk
			return err
		}
		switch {
		case csv:
			_, err = fmt.Fprintf(w, "%s,%.6f,%.6f,%.6f\n", r.At.Format(time.RFC3339Nano), r.AltitudeTrue, r.AltitudeApparent, r.Azimuth)
		case t.json:
			err = enc.Encode(r)
		default:
			_, err = fmt.Fprintf(w, "%-26s  %7s°  %6.1f°\n", r.At.Format("2006-01-02 15:04:05 -07:00"), minus(r.AltitudeApparent), r.Azimuth)
		}
	}
	if err != nil {
		return err
	}
	return w.Flush()
}

func saySun(w io.Writer, a api.SunAnswer) {
	line := func(word, format string, args ...any) {
		fmt.Fprintf(w, "%-9s"+format+"\n", append([]any{word}, args...)...)
	}
	where := fmt.Sprintf("bearing %.0f° (%s)", whole(a.Azimuth), wind(a.Azimuth))
	if a.AzimuthMagnetic != nil {
		where += fmt.Sprintf(", %.0f° on a compass", whole(*a.AzimuthMagnetic))
	}
	if a.AltitudeApparent >= 0 {
		line("sun", "%.1f° high, %s", a.AltitudeApparent, where)
	} else {
		line("sun", "%.1f° below the horizon, %s", -a.AltitudeApparent, where)
	}
	switch {
	case a.ShadowM == nil:
	case *a.ShadowM > 100:
		line("shadow", "over 100 m for 1.80 m of person, falls towards %.0f° (%s)", whole(*a.ShadowAzimuth), wind(*a.ShadowAzimuth))
	default:
		line("shadow", "%.2f m for 1.80 m of person, falls towards %.0f° (%s)", *a.ShadowM, whole(*a.ShadowAzimuth), wind(*a.ShadowAzimuth))
	}
	switch {
	case a.SunStays == nil:
		line("today", "rise %s, noon %s, set %s; highest %s° at %s", clock(a.Sunrise), clock(a.SolarNoon), clock(a.Sunset), minus(a.HighestAltitude), clock(&a.Highest))
	case *a.SunStays == "up":
		line("today", "up the whole day, noon %s; highest %s° at %s", clock(a.SolarNoon), minus(a.HighestAltitude), clock(&a.Highest))
	default:
		line("today", "down the whole day, noon %s; highest %s° at %s", clock(a.SolarNoon), minus(a.HighestAltitude), clock(&a.Highest))
	}
	switch {
	case a.CivilDawn != nil || a.CivilDusk != nil:
		line("twilight", "from %s, until %s (civil)", clock(a.CivilDawn), clock(a.CivilDusk))
	case a.SunStays == nil:
		line("twilight", "all night (civil)")
	}
	line("times", "%s, UTC%s", a.At.Format("2006-01-02"), strings.Replace(a.At.Format("-07:00"), "-", "−", 1))
}

// clock writes an instant of today to the minute.
func clock(t *time.Time) string {
	if t == nil {
		return "none"
	}
	return t.Round(time.Minute).Format("15:04")
}

// minus writes one decimal with a true minus.
func minus(x float64) string { return strings.Replace(fmt.Sprintf("%.1f", x), "-", "−", 1) }

// whole rounds a bearing so that it never reads 360.
func whole(deg float64) float64 { return math.Mod(math.Round(deg), 360) }

// wind names a bearing by the sixteen points of the compass.
func wind(deg float64) string {
	points := []string{"north", "north-northeast", "northeast", "east-northeast", "east", "east-southeast", "southeast", "south-southeast",
		"south", "south-southwest", "southwest", "west-southwest", "west", "west-northwest", "northwest", "north-northwest"}
	return points[int(math.Round(deg/22.5))%16]
}
