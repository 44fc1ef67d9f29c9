package main

import (
	"bufio"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"hardnoon/api"
	"hardnoon/engine/unit"
	"hardnoon/picture"
	"hardnoon/place"
	"hardnoon/session"
)

// placeAnswer is what "hardnoon place --json" says; the first fields are those
// of a session's place.
type placeAnswer struct {
	Name       string     `json:"name,omitempty"`
	Region     string     `json:"region,omitempty"`
	Country    string     `json:"country,omitempty"` // ISO 3166-1, two letters
	LatDeg     float64    `json:"lat_deg"`
	LonDeg     float64    `json:"lon_deg"`
	ElevationM *float64   `json:"elevation_m,omitempty"`
	Zone       string     `json:"zone"`
	At         *time.Time `json:"at,omitempty"` // in the zone
	UTCOffset  string     `json:"utc_offset,omitempty"`
	TakenAt    *time.Time `json:"taken_at,omitempty"` // of a picture
	From       string     `json:"from"`               // "coordinates", "town", "gpx", "geojson", "picture"
	Notes      []api.Note `json:"notes"`
}

func placeCommand(t *terminal) *cobra.Command {
	var at, fold string
	c := &cobra.Command{
		Use:   "place WHERE",
		Short: "coordinates and time zone of a town, a point, a map's file or a picture",
		Example: `  hardnoon place "Valparaíso, CL" --at 2027-01-16T13:20
  hardnoon place -33.05, -71.62
  hardnoon place "33°02′46″S 71°37′11″W" --json
  hardnoon place ground.gpx
  hardnoon place ground.geojson
  hardnoon place IMG_2041.jpg`,
		Long: `WHERE is a pair of coordinates, latitude first; the name of a town of 5,000 people
and more, perhaps with region and country; or a file: GPX or GeoJSON with one point,
or a picture with a position in it. A town's middle may lie kilometres from its ground:
for shadows and backgrounds take the coordinates of the spot itself.
Everything is looked up in lists inside the program: towns from GeoNames (CC BY 4.0),
borders of time zones © OpenStreetMap contributors (ODbL).
exit codes: 0 found; 2 not found, or several (they are listed)`,
		DisableFlagParsing: true, // else -33.05 would be a flag
	}
	c.Flags().StringVar(&at, "at", "", "when, for the offset from UTC: 2027-01-16T13:20 on the clock there, or with its offset")
	c.Flags().StringVar(&fold, "fold", "", "which one, when the clock shows that time twice: first or second")
	c.RunE = func(c *cobra.Command, args []string) error {
		c.DisableFlagParsing = false
		args = slices.Clone(args)
		for i, a := range args {
			if negative.MatchString(a) {
				args[i] = "−" + a[1:]
			}
		}
		if err := c.ParseFlags(args); err != nil {
			return c.FlagErrorFunc()(c, err)
		}
		if help, _ := c.Flags().GetBool("help"); help {
			return c.Help()
		}
		where := strings.Join(c.Flags().Args(), " ")
		if strings.TrimSpace(where) == "" {
			return usage("no place is named", `name a town, coordinates or a file: hardnoon place "Valparaíso, CL"`)
		}
		a, err := findPlace(where)
		var many *place.AmbiguousError
		if errors.As(err, &many) {
			return t.sayCandidates(many)
		}
		if err != nil {
			return placeError(err)
		}
		if err := a.locate(at, fold); err != nil {
			return placeError(err)
		}
		t.notes(a.Notes)
		return t.answer(a, func(w io.Writer) { sayPlace(w, a) })
	}
	return c
}

var negative = regexp.MustCompile(`^-\.?[0-9]`)

// findPlace reads a file where there is one, else words.
func findPlace(where string) (placeAnswer, error) {
	if info, err := os.Stat(where); err == nil && info.Mode().IsRegular() {
		return placeFromFile(where)
	}
	if fileName.MatchString(where) {
		return placeAnswer{}, &place.Error{Text: "there is no file " + where, Hint: "check its name"}
	}
	p, others, err := place.Find(where)
	if err != nil {
		return placeAnswer{}, err
	}
	from := "coordinates"
	if p.Name != "" {
		from = "town"
	}
	a := answerPlace(p, from)
	if len(others) > 0 {
		a.Notes = append(a.Notes, api.Note{Code: "namesakes", Severity: "info",
			Text: "the largest of that name was taken; there is also " + listed(others),
			Hint: fmt.Sprintf("to mean another, name its region or country: %q", p.Name+", "+others[0].Country)})
	}
	return a, nil
}

var fileName = regexp.MustCompile(`(?i)\.(gpx|geojson|json|jpe?g|heic|heif|avif|png|webp|tiff?|dng|cr2|nef|arw|pef)$`)

func listed(places []place.Place) string {
	const most = 4
	var names []string
	for _, p := range places[:min(most, len(places))] {
		names = append(names, p.String())
	}
	if more := len(places) - most; more > 0 {
		names = append(names, fmt.Sprintf("%d more", more))
	}
	return strings.Join(names, "; ")
}

// placeFromFile tells the kinds apart by their first character.
func placeFromFile(path string) (placeAnswer, error) {
	f, err := os.Open(path)
	if err != nil {
		if errors.Is(err, fs.ErrPermission) {
			return placeAnswer{}, &place.Error{Text: "the file " + path + " may not be read", Hint: "check its permissions"}
		}
		return placeAnswer{}, err
	}
	defer f.Close()
	head, _ := bufio.NewReader(io.LimitReader(f, 512)).Peek(512)
	if _, err := f.Seek(0, io.SeekStart); err != nil {
		return placeAnswer{}, err
	}
	start := strings.TrimLeft(strings.TrimPrefix(string(head), "\ufeff"), " \t\r\n")
	var p place.Place
	switch {
	case strings.HasPrefix(start, "<"):
		p, err = place.GPX(f)
		return answerPlace(p, "gpx"), err
	case strings.HasPrefix(start, "{"), strings.HasPrefix(start, "["):
		p, err = place.GeoJSON(f)
		return answerPlace(p, "geojson"), err
	}
	fix, err := picture.Position(f)
	if err != nil {
		return placeAnswer{}, err
	}
	return placeAnswer{Name: filepath.Base(path), LatDeg: fix.LatDeg, LonDeg: fix.LonDeg, ElevationM: fix.ElevationM, TakenAt: fix.At, From: "picture", Notes: []api.Note{}}, nil
}

func answerPlace(p place.Place, from string) placeAnswer {
	a := placeAnswer{Name: p.Name, Region: p.Region, Country: p.Country, LatDeg: p.Lat.Degrees(), LonDeg: p.Lon.Degrees(), From: from, Notes: []api.Note{}}
	if p.Elevation != nil {
		m := p.Elevation.Metres()
		a.ElevationM = &m
	}
	return a
}

// tidyDegrees keeps what was said, to a centimetre, and drops what radians left.
func tidyDegrees(x float64) float64 { return math.Round(x*1e7)/1e7 + 0 }

// locate adds the zone, and what its clock is off UTC at the time asked for.
func (a *placeAnswer) locate(at, fold string) error {
	a.LatDeg, a.LonDeg = tidyDegrees(a.LatDeg), tidyDegrees(a.LonDeg)
	zones, err := place.Zones(place.Point{Lat: unit.Angle(a.LatDeg) * unit.Degree, Lon: unit.Angle(a.LonDeg) * unit.Degree})
	if err != nil {
		return err
	}
	a.Zone = zones[0]
	if len(zones) > 1 {
		a.Notes = append(a.Notes, api.Note{Code: "two_zones", Severity: "info",
			Text: "two clocks are in use there, or its border runs near: " + strings.Join(zones, ", "), Hint: "ask which one the people there keep"})
	}
	zone, err := time.LoadLocation(a.Zone)
	if err != nil {
		return err
	}
	var when time.Time
	switch {
	case at == "" && a.TakenAt == nil:
		return nil
	case at == "":
		when = *a.TakenAt
	default:
		if when, err = time.Parse(time.RFC3339, at); err != nil {
			if when, err = session.Instant(at, zone, fold); err != nil {
				return err
			}
		}
	}
	if y := when.Year(); y < 1900 || y > 2100 {
		return &place.Error{Text: fmt.Sprintf("the year is %d; it lies between 1900 and 2100", y), Hint: "check --at"}
	}
	when = when.In(zone)
	a.At, a.UTCOffset = &when, when.Format("-07:00")
	return nil
}

// placeError gives an error of the lookup its words.
func placeError(err error) error {
	var p *place.Error
	var s *session.Error
	var none *picture.NoPositionError
	var bad *picture.UnreadableError
	switch {
	case errors.As(err, &p):
		return usage(p.Text, p.Hint)
	case errors.As(err, &s):
		return usage("--at: "+s.Text, strings.Replace(s.Hint, `say which with "fold": "first" or "second"`, "say which with --fold first or --fold second", 1))
	case errors.As(err, &none):
		return usage(none.Error(), "give the coordinates, or a picture that a phone with its receiver on took there")
	case errors.As(err, &bad):
		return usage(bad.Error(), "give a GPX, GeoJSON or picture file, coordinates, or the name of a town")
	}
	return err
}

// sayCandidates lists the places a name or a file could mean, the likeliest
// first. It is an error: nothing was chosen.
func (t *terminal) sayCandidates(many *place.AmbiguousError) error {
	const most = 20
	shown := many.Places[:min(most, len(many.Places))]
	hint := "name the region or the country too, or give coordinates"
	if many.Places[0].Country == "" {
		hint = "keep the one point in a file of its own, or give coordinates"
	}
	if t.json {
		type candidate struct {
			Name    string  `json:"name,omitempty"`
			Region  string  `json:"region,omitempty"`
			Country string  `json:"country,omitempty"`
			LatDeg  float64 `json:"lat_deg"`
			LonDeg  float64 `json:"lon_deg"`
			People  int     `json:"people,omitempty"`
		}
		var candidates []candidate
		for _, p := range shown {
			candidates = append(candidates, candidate{p.Name, p.Region, p.Country, tidyDegrees(p.Lat.Degrees()), tidyDegrees(p.Lon.Degrees()), p.People})
		}
		enc := json.NewEncoder(t.err)
		enc.SetEscapeHTML(false)
		t.code = exitUsage
		return enc.Encode(map[string]any{"error": &api.Error{Code: "ambiguous", Text: many.Error(), Hint: hint}, "candidates": candidates})
	}
	t.code = t.fail(usage(many.Error(), hint))
	c := columns(t.err)
	for _, p := range shown {
		people := ""
		if p.People > 0 {
			people = thousands(p.People) + " people"
		}
		fmt.Fprintf(c, "  %s\t%s\t%s\n", firstOf(p.String(), "no name"), degreesPair(p.Lat.Degrees(), p.Lon.Degrees()), people)
	}
	c.Flush()
	if more := len(many.Places) - most; more > 0 {
		fmt.Fprintf(t.err, "  and %d more\n", more)
	}
	return nil
}

func firstOf(a, b string) string {
	if a != "" {
		return a
	}
	return b
}

func thousands(n int) string {
	s := fmt.Sprint(n)
	for i := len(s) - 3; i > 0; i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	return s
}

// degreesPair writes coordinates as a person reads them aloud.
func degreesPair(lat, lon float64) string {
	half := func(x float64, plus, minus string) string {
		if x < 0 {
			plus = minus
		}
		return fmt.Sprintf("%.4f° %s", math.Abs(x), plus)
	}
	return half(lat, "N", "S") + " " + half(lon, "E", "W")
}

func sayPlace(w io.Writer, a placeAnswer) {
	c := columns(w)
	if a.Name != "" {
		fmt.Fprintf(c, "place\t%s\n", place.Place{Name: a.Name, Region: a.Region, Country: a.Country})
	}
	fmt.Fprintf(c, "where\t%s\n", degreesPair(a.LatDeg, a.LonDeg))
	if a.ElevationM != nil {
		fmt.Fprintf(c, "height\t%s m above the sea\n", strings.Replace(fmt.Sprintf("%.0f", *a.ElevationM+0), "-", "−", 1))
	}
	if a.TakenAt != nil {
		fmt.Fprintf(c, "taken\t%s\n", a.TakenAt.UTC().Format("2006-01-02 15:04:05 UTC"))
	}
	fmt.Fprintf(c, "zone\t%s", a.Zone)
	if a.At != nil {
		fmt.Fprintf(c, ", UTC%s at %s there", strings.Replace(a.UTCOffset, "-", "−", 1), a.At.Format("2006-01-02 15:04"))
	}
	fmt.Fprintln(c)
	c.Flush()
}
