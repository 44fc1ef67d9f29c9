package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"hardnoon/api"
)

func kitCommand(t *terminal) *cobra.Command {
	list := func(*cobra.Command, []string) error {
		a := api.KitList()
		return t.answer(a, func(w io.Writer) { sayKit(w, a) })
	}
	c := &cobra.Command{
		Use:   "kit",
		Short: "heads and modifiers: what they give, where the figures come from, what yours give",
		Example: `  hardnoon kit
  hardnoon kit show battery-400 dish-60
  hardnoon kit calibrate --reading "battery-400 dish-60 2m 1/1 f/22+0.3 iso100" --reading "battery-400 dish-60 1.5m 1/1 f/5.6 iso100 @1/4000"`,
		Args: cobra.NoArgs,
		RunE: list,
	}
	c.AddCommand(&cobra.Command{Use: "list", Short: "every head and modifier of the catalogue", Example: "  hardnoon kit list --json", Args: cobra.NoArgs, RunE: list},
		kitShowCommand(t), kitCalibrateCommand(t))
	return c
}

func kitShowCommand(t *terminal) *cobra.Command {
	var own api.OwnHead
	c := &cobra.Command{
		Use:   "show [HEAD] [MODIFIER]",
		Short: "one entry with its sources; a head of your own from its guide number or energy",
		Example: `  hardnoon kit show battery-400
  hardnoon kit show softbox-60x90
  hardnoon kit show battery-400 dish-60
  hardnoon kit show --gn 54m --iso 100 --like speedlight-70
  hardnoon kit show --gn 177ft --with reflector-18 --ws 400 octa-120`,
		Long: `exit codes: 0 shown; 2 wrong input`,
		Args: cobra.MaximumNArgs(2),
	}
	f := c.Flags()
	f.String("gn", "", "printed guide number of your head at full power: 54m, 177ft")
	f.String("iso", "", "ISO it is printed for (100)")
	f.StringVar(&own.With, "with", "", "modifier it was taken with (bare)")
	f.String("ws", "", "energy of your head in watt-seconds")
	f.String("ies", "", "an IES LM-63 file in place of a modifier")
	f.StringVar(&own.Like, "like", "", "catalogue head to take the other figures from (nearest in energy)")
	c.RunE = func(c *cobra.Command, args []string) (err error) {
		var req api.KitShowRequest
		if text, _ := c.Flags().GetString("gn"); c.Flags().Changed("gn") {
			if own.GuideNumber, own.Unit, err = parseGuideNumber(text); err != nil {
				return err
			}
			req.Own = &own
		}
		if own.ISO, err = number(c, "iso"); err != nil {
			return err
		}
		if own.EnergyWS, err = number(c, "ws"); err != nil {
			return err
		}
		if own.EnergyWS != nil {
			req.Own = &own
		}
		if req.Own == nil && (own.ISO != nil || own.With != "" || own.Like != "") {
			return usage("a head of your own needs --gn or --ws", "write it like --gn 54m")
		}
		for _, id := range args {
			switch {
			case isHead(id) && req.Head == "" && req.Own == nil:
				req.Head = id
			case isModifier(id) && req.Modifier == "":
				req.Modifier = id
			case isHead(id), isModifier(id):
				return usage(strconv.Quote(id)+" is one too many", "name one head, one modifier, or one of each")
			default:
				return usage(strconv.Quote(id)+" is not in the catalogue", `"hardnoon kit" lists what is there`)
			}
		}
		if path, _ := c.Flags().GetString("ies"); path != "" {
			if req.Modifier != "" {
				return usage("a modifier and a photometric file are two answers to one question", "leave one out")
			}
			data, err := readSmall(t, path)
			if err != nil {
				return err
			}
			req.IES = string(data)
		}
		a, err := api.KitShow(req)
		if err != nil {
			return err
		}
		t.notes(a.Notes)
		return t.answer(a, func(w io.Writer) { sayKitEntry(w, a) })
	}
	return c
}

func isHead(id string) bool {
	for _, h := range api.KitList().Heads {
		if h.ID == id {
			return true
		}
	}
	return false
}

func isModifier(id string) bool {
	for _, m := range api.KitList().Modifiers {
		if m.ID == id {
			return true
		}
	}
	return false
}

// parseGuideNumber reads "54", "54m" or "177ft".
func parseGuideNumber(text string) (*float64, string, error) {
	number, unit := strings.TrimSpace(strings.ToLower(text)), "m"
	for _, u := range []string{"ft", "m"} {
		if rest, ok := strings.CutSuffix(number, u); ok {
			number, unit = strings.TrimSpace(rest), u
			break
		}
	}
	x, err := strconv.ParseFloat(number, 64)
	if err != nil {
		return nil, "", usage("--gn is "+strconv.Quote(text)+"; it takes a guide number", "write it like --gn 54m or --gn 177ft")
	}
	return &x, unit, nil
}

func kitCalibrateCommand(t *terminal) *cobra.Command {
	var typed []string
	var out string
	var force bool
	var req api.CalibrateRequest
	c := &cobra.Command{
		Use:   "calibrate [FILE.json]",
		Short: "what your heads and modifiers really give, from a few meter readings",
		Example: `  hardnoon kit calibrate \
    --reading "battery-400 dish-60 2m   1/1  f/22+0.2 iso100" \
    --reading "battery-400 dish-60 3m   1/1  f/11+0.8 iso100" \
    --reading "battery-400 dish-60 1.5m 1/16 f/8      iso100" \
    --reading "battery-400 dish-60 2m   1/1  f/8+0.9  iso100 @1/1000" \
    --reading "battery-400 dish-60 1.5m 1/1  f/8+0.6  iso100 @1/2000" \
    --reading "battery-400 dish-60 1.5m 1/1  f/5.6+0.5 iso100 @1/4000" -o kit.json
  hardnoon kit calibrate readings.json`,
		Long: `A reading names head, modifier, distance, power, f-number, ISO, and for high-speed
sync the shutter behind an @. Point a flat or domed incident meter at the light, in
the dark or in shade, flash alone. Six readings serve: full power at two distances,
one low power, three shutters in high-speed sync.
FILE.json holds {"readings":[{"head":…,"modifier":…,"distance_m":…,"power":…,"f_number":…,"iso":…,"shutter":…}]}.
exit codes: 0 calibrated, a wrong reading named and left out; 2 wrong input, nothing written`,
		Args: cobra.MaximumNArgs(1),
	}
	f := c.Flags()
	f.StringArrayVar(&typed, "reading", nil, `one reading: "battery-400 dish-60 2m 1/1 f/11 iso100 @1/2000"`)
	f.StringVar(&req.Sync, "sync", "", "sync speed of the camera (1/250)")
	f.String("noise", "", "how well a reading repeats, in stops (0.1)")
	f.StringVarP(&out, "output", "o", "", "write the calibration to this file")
	f.BoolVar(&force, "force", false, "replace that file if it exists")
	c.RunE = func(c *cobra.Command, args []string) error {
		if len(args) == 1 {
			data, err := readSmall(t, args[0])
			if err != nil {
				return err
			}
			given, err := api.Decode[api.CalibrateRequest](data)
			if err != nil {
				return err
			}
			if req.Sync != "" {
				given.Sync = req.Sync
			}
			req = given
		}
		for _, text := range typed {
			r, err := parseReading(text)
			if err != nil {
				return usage(fmt.Sprintf("reading %d: %v", len(req.Readings)+1, err), `write it like "battery-400 dish-60 2m 1/1 f/11 iso100", and @1/2000 behind it for high-speed sync`)
			}
			req.Readings = append(req.Readings, r)
		}
		noise, err := number(c, "noise")
		if err != nil {
			return err
		}
		if noise != nil {
			req.NoiseStops = noise
		}
		a, err := api.KitCalibrate(req)
		if err != nil {
			return err
		}
		if out != "" {
			if err := writeNew(out, a.Calibration, force); err != nil {
				return err
			}
		}
		t.notes(a.Notes)
		if err := t.answer(a, func(w io.Writer) { sayCalibration(w, a) }); err != nil {
			return err
		}
		if out != "" && !t.json {
			fmt.Fprintf(t.err, "hardnoon: wrote %s; a session file may hold it as \"calibration\"\n", out)
		}
		return nil
	}
	return c
}

// parseReading reads "HEAD MODIFIER 2m 1/1 f/11 iso100 @1/2000"; what follows
// the head may come in any order.
func parseReading(text string) (api.ReadingJSON, error) {
	var r api.ReadingJSON
	words := strings.Fields(strings.ReplaceAll(text, "@", " @"))
	if len(words) == 0 {
		return r, errors.New("it is empty")
	}
	r.Head = words[0]
	seen := map[string]bool{}
	for _, w := range words[1:] {
		low := strings.ToLower(w)
		kind := ""
		switch {
		case strings.HasPrefix(low, "@"):
			kind, r.Shutter = "shutter", low[1:]
		case strings.HasPrefix(low, "f/"):
			kind, r.FNumber = "f-number", low
		case strings.HasPrefix(low, "iso"):
			x, err := strconv.ParseFloat(low[3:], 64)
			if err != nil {
				return r, fmt.Errorf("%q is no ISO", w)
			}
			kind, r.ISO = "ISO", &x
		case low == "full" || strings.HasPrefix(low, "1/") || strings.HasPrefix(low, "-") || strings.HasPrefix(low, "−"):
			kind, r.Power = "power", low
		case low[0] >= '0' && low[0] <= '9' || low[0] == '.' || low == "nan":
			m, err := parseLength(low)
			if err != nil {
				return r, fmt.Errorf("%q is no distance", w)
			}
			kind, r.DistanceM = "distance", &m
		default:
			kind, r.Modifier = "modifier", w
		}
		if seen[kind] {
			return r, fmt.Errorf("it names two of %s: %q", kind, w)
		}
		seen[kind] = true
	}
	if r.FNumber == "" {
		return r, errors.New("it has no f-number")
	}
	return r, nil
}

// readSmall reads a file of readings, or standard input for "-".
func readSmall(t *terminal, path string) ([]byte, error) {
	const most = 1 << 20
	in := t.in
	if path != "-" {
		f, err := os.Open(path)
		if errors.Is(err, fs.ErrNotExist) {
			return nil, usage("there is no file "+path, "check its name")
		}
		if err != nil {
			return nil, err
		}
		defer f.Close()
		in = f
	}
	data, err := io.ReadAll(io.LimitReader(in, most+1))
	if err == nil && len(data) > most {
		err = usage(fmt.Sprintf("%s is larger than %d kB", path, most>>10), "give the file itself, a few kB of text")
	}
	return data, err
}

// writeNew writes v as JSON to a file that must not exist yet, unless force
// says to replace it. A file is whole or not there at all.
func writeNew(path string, v any, force bool) error {
	data, err := json.MarshalIndent(v, "", "  ")
	if err != nil {
		return err
	}
	if _, err := os.Lstat(path); err == nil && !force {
		return usage(path+" exists; it was left as it is", "name another file, or add --force")
	} else if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	f, err := os.CreateTemp(filepath.Dir(path), ".hardnoon-*")
	if err != nil {
		return err
	}
	defer os.Remove(f.Name())
	if _, err = f.Write(append(data, '\n')); err == nil {
		err = f.Chmod(0o644)
	}
	if cerr := f.Close(); err == nil {
		err = cerr
	}
	if err != nil {
		return err
	}
	if force {
		return os.Rename(f.Name(), path)
	}
	return os.Link(f.Name(), path) // fails if somebody was faster
}

func columns(w io.Writer) *tabwriter.Writer { return tabwriter.NewWriter(w, 0, 0, 2, ' ', 0) }

func sayKit(w io.Writer, a api.KitAnswer) {
	c := columns(w)
	fmt.Fprintln(c, "head\tWs\trange\thss entry\trecycle\tpops\t")
	for _, h := range a.Heads {
		fmt.Fprintf(c, "%s\t%.0f\t%.0f stops\t%.1f ±%.1f\t%.1f s\t%d\t%s\n", h.ID, h.EnergyWS, h.RangeStops, h.Entry, h.EntryError, h.RecycleS, h.Pops, h.Basis)
	}
	c.Flush()
	fmt.Fprintln(w)
	c = columns(w)
	fmt.Fprintln(c, "modifier\tGN/√Ws\terror\tbeam\tsize\tmass\t")
	for _, m := range a.Modifiers {
		fmt.Fprintf(c, "%s\t%.2f\t±%.1f\t%.0f°\t%s\t%.1f kg\t%s\n", m.ID, m.K, m.ErrorStops, m.BeamDeg, size(m), m.MassKG, m.Basis)
	}
	c.Flush()
	fmt.Fprintln(w, "\nguide numbers in metres at ISO 100, full power, 2 m; errors in stops")
}

func size(m api.ModifierJSON) string {
	switch m.Shape {
	case "disc":
		return fmt.Sprintf("⌀ %.0f cm", 100*m.WidthM)
	case "rectangle":
		return fmt.Sprintf("%.0f × %.0f cm", 100*m.WidthM, 100*m.HeightM)
	}
	return "small"
}

func sayKitEntry(w io.Writer, a api.KitShowAnswer) {
	if h := a.Head; h != nil {
		fmt.Fprintf(w, "%s   %s\n", h.ID, h.Name)
		c := columns(w)
		fmt.Fprintf(c, "  energy\t%.0f Ws, %.0f stops down in steps of %.2g\n", h.EnergyWS, h.RangeStops, h.StepStops)
		fmt.Fprintf(c, "  light\t%s stops against the class, ±%.1f\n", stops(h.Efficacy), h.ErrorStops)
		fmt.Fprintf(c, "  high-speed sync\tentry %.1f ±%.1f stops, %.0f stops down\n", h.Entry, h.EntryError, h.HSSRange)
		fmt.Fprintf(c, "  recycle\t%.1f s after a full pop, %d pops a charge, %d before a rest\n", h.RecycleS, h.Pops, h.HeatPops)
		fmt.Fprintf(c, "  pop\tt0.5 1/%.0f s, t0.1 1/%.0f s at full power, %s\n", 1/h.T05S, 1/h.T01S, h.Kind)
		fmt.Fprintf(c, "  source\t%s (%s)\n", h.Source, h.Basis)
		c.Flush()
	}
	if m := a.Modifier; m != nil {
		fmt.Fprintf(w, "%s   %s\n", m.ID, m.Name)
		c := columns(w)
		fmt.Fprintf(c, "  light\t%.2f m/√Ws ±%.1f stops, %.0f° to half\n", m.K, m.ErrorStops, m.BeamDeg)
		fmt.Fprintf(c, "  body\t%s, %.1f kg, %.2f m² in the wind, drag %.2f\n", size(*m), m.MassKG, m.WindAreaM2, m.Drag)
		fmt.Fprintf(c, "  source\t%s (%s)\n", m.Source, m.Basis)
		c.Flush()
	}
	if p := a.Photometry; p != nil {
		fmt.Fprintf(w, "%s: %.0f cd ahead, %.0f lm in all, %.0f° to half\n", p.Version, p.AxisCD, p.FluxLM, p.BeamDeg)
	}
	c := columns(w)
	fmt.Fprintln(c, "head\tmodifier\tguide number\terror")
	for _, p := range a.Pairs {
		fmt.Fprintf(c, "%s\t%s\t%.0f m\t±%.1f\n", p.Head, p.Modifier, p.GuideNumber, p.ErrorStops)
	}
	c.Flush()
	if len(a.Pairs) == 1 {
		for _, r := range a.Pairs[0].Rows {
			fmt.Fprintf(w, "  %3.1f m   f/%.1f\n", r.DistanceM, r.FNumber)
		}
	}
}

func sayCalibration(w io.Writer, a api.CalibrateAnswer) {
	c := columns(w)
	for _, p := range a.Calibration.Pairs {
		fmt.Fprintf(c, "%s\t%s\tguide number %.1f m\t%s stops against the catalogue ±%.2f\t%s\n", p.Head, p.Modifier, p.GuideNumberM, stops(p.GainStops), p.ErrorStops, counted(int(*p.Readings), "reading"))
	}
	for _, h := range a.Calibration.Heads {
		fmt.Fprintf(c, "%s\tpower steps\t%.2f stops a stop\t±%.2f\t%s\n", h.Head, h.PowerSlope, h.PowerSlopeError, from(h.PowerSlopeMeasured))
		fmt.Fprintf(c, "%s\thigh-speed sync\tentry %.2f stops\t±%.2f\t%s\n", h.Head, h.HSSEntryStops, h.HSSEntryErrorStops, from(h.HSSEntryMeasured))
	}
	c.Flush()
	for _, r := range a.Residuals {
		if r.Verdict != "agrees" {
			fmt.Fprintf(w, "reading %d: %s, %s stops off\n", r.Reading, r.Verdict, stops(r.OffStops))
		}
	}
	sayAssumed(w, a.Assumptions)
}

func from(measured bool) string {
	if measured {
		return "measured"
	}
	return "catalogue"
}

func counted(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
