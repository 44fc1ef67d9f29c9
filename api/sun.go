package api

import (
	"errors"
	"fmt"
	"iter"
	"math"
	"strconv"
	"strings"
	"time"

	"hardnoon/engine/sun"
	"hardnoon/engine/unit"
)

// SunPlace is who looks at the sun, and through which air.
type SunPlace struct {
	LatDeg       *float64 `json:"lat_deg"`
	LonDeg       *float64 `json:"lon_deg"`               // east positive
	ElevationM   *float64 `json:"elevation_m,omitempty"` // 0
	PressureHPa  *float64 `json:"pressure_hpa,omitempty"`
	TemperatureC *float64 `json:"temperature_c,omitempty"`
	DeltaTS      *float64 `json:"delta_t_s,omitempty"` // TT − UT
}

// SunRequest asks where the sun stands and what it does on that date.
type SunRequest struct {
	SunPlace
	At string `json:"at"` // RFC 3339; its offset says which date it is
}

// SunAnswer is where the sun stands, the needle beside it, and the date's
// events. A nil instant is one the date does not have.
type SunAnswer struct {
	At               time.Time `json:"at"`
	AltitudeTrue     float64   `json:"altitude_true_deg"`     // of the centre, without atmosphere
	AltitudeApparent float64   `json:"altitude_apparent_deg"` // as refraction shows it
	Azimuth          float64   `json:"azimuth_deg"`           // from true north, clockwise
	AzimuthMagnetic  *float64  `json:"azimuth_magnetic_deg"`  // what a compass shows
	Declination      *float64  `json:"declination_magnetic_deg"`
	ShadowM          *float64  `json:"shadow_m"` // of a person of 1.8 m on level ground
	ShadowAzimuth    *float64  `json:"shadow_azimuth_deg"`

	Sunrise          *time.Time `json:"sunrise_at"`
	SolarNoon        *time.Time `json:"solar_noon_at"`
	Sunset           *time.Time `json:"sunset_at"`
	CivilDawn        *time.Time `json:"civil_dawn_at"`
	CivilDusk        *time.Time `json:"civil_dusk_at"`
	NauticalDawn     *time.Time `json:"nautical_dawn_at"`
	NauticalDusk     *time.Time `json:"nautical_dusk_at"`
	AstronomicalDawn *time.Time `json:"astronomical_dawn_at"`
	AstronomicalDusk *time.Time `json:"astronomical_dusk_at"`
	Highest          time.Time  `json:"highest_at"`
	HighestAltitude  float64    `json:"highest_altitude_apparent_deg"`
	SunStays         *string    `json:"sun_stays"` // "up" or "down" the whole date, else nil

	DeltaTS     float64  `json:"delta_t_s"`
	Assumptions []string `json:"assumptions"`
	Notes       []Note   `json:"notes"`
}

// shadowOf is the person whose shadow is told: it is a length one can pace out.
const shadowOf = 1.8 * unit.Metre

// Sun answers where the sun stands.
func Sun(req SunRequest) (SunAnswer, error) {
	o, assumed, err := req.observer()
	if err != nil {
		return SunAnswer{}, err
	}
	at, err := instant("at", req.At)
	if err != nil {
		return SunAnswer{}, err
	}
	p, err := sun.At(at, o)
	if err != nil {
		return SunAnswer{}, wrongSun(err, "at")
	}
	day, err := sun.DayOf(at, o)
	if err != nil {
		return SunAnswer{}, wrongSun(err, "at")
	}
	a := SunAnswer{
		At:           at,
		AltitudeTrue: deg(p.AltitudeTrue), AltitudeApparent: deg(p.AltitudeApparent), Azimuth: bearing(p.Azimuth),
		Sunrise: second(day.Sun.Begin), SolarNoon: second(day.Noon), Sunset: second(day.Sun.End),
		CivilDawn: second(day.Civil.Begin), CivilDusk: second(day.Civil.End),
		NauticalDawn: second(day.Nautical.Begin), NauticalDusk: second(day.Nautical.End),
		AstronomicalDawn: second(day.Astronomical.Begin), AstronomicalDusk: second(day.Astronomical.End),
		Highest: day.Highest.Round(time.Second), HighestAltitude: deg(day.AtHighest.AltitudeApparent),
		Assumptions: assumed, Notes: []Note{},
	}
	switch {
	case day.PolarDay:
		a.SunStays = new("up")
	case day.PolarNight:
		a.SunStays = new("down")
	}
	if s, ok := p.Shadow(shadowOf); ok {
		a.ShadowM, a.ShadowAzimuth = new(math.Round(s.Metres()*1000)/1000), new(bearing(p.Azimuth+unit.Turn/2))
	}
	if o.DeltaT != nil {
		a.DeltaTS = o.DeltaT.Seconds()
	} else {
		a.DeltaTS = math.Round(sun.DeltaT(at).Seconds()*1000) / 1000
		a.Assumptions = append(a.Assumptions, fmt.Sprintf("ΔT %.1f s, by formula", a.DeltaTS))
	}
	a.needle(at, o, p)
	if _, east := at.Zone(); math.Abs(o.Lon.Degrees()/15-float64(east)/3600) > 4 {
		a.Notes = append(a.Notes, Note{Code: "date_elsewhere", Severity: "info",
			Text: fmt.Sprintf("the date is counted at %s, far from the sun's own time at this longitude", at.Format("-07:00")),
			Hint: "give the time with the offset of the place"})
	}
	return a, nil
}

// needle adds what a compass shows, or the reason why it is left out.
func (a *SunAnswer) needle(at time.Time, o sun.Observer, p sun.Position) {
	f, err := sun.MagneticField(at, o.Lat, o.Lon, o.Elevation)
	if err != nil {
		a.Notes = append(a.Notes, Note{Code: "no_declination", Severity: "info",
			Text: "no compass bearing: the magnetic model covers 2025 to 2029"})
		return
	}
	a.Declination, a.AzimuthMagnetic = new(deg(f.Declination)), new(bearing(p.Azimuth-f.Declination))
	if f.H < sun.CompassCaution {
		a.Notes = append(a.Notes, Note{Code: "weak_needle", Severity: "caution",
			Text: fmt.Sprintf("a compass is unreliable here: the level part of the Earth's field is %.0f nT; above %.0f it is good", float64(f.H), float64(sun.CompassCaution)),
			Hint: "take bearings from the map or the sun"})
	}
}

// SunTrackRequest asks for positions from one time to another.
type SunTrackRequest struct {
	SunPlace
	From   string   `json:"from"`
	To     string   `json:"to"`
	EveryS *float64 `json:"every_s,omitempty"` // 600
}

// SunRow is one position of a track.
type SunRow struct {
	At               time.Time `json:"at"`
	AltitudeTrue     float64   `json:"altitude_true_deg"`
	AltitudeApparent float64   `json:"altitude_apparent_deg"`
	Azimuth          float64   `json:"azimuth_deg"`
}

// SunTrack returns positions one by one, From and To included; none is kept.
func SunTrack(req SunTrackRequest) (iter.Seq[SunRow], error) {
	o, _, err := req.observer()
	if err != nil {
		return nil, err
	}
	from, err := instant("from", req.From)
	if err != nil {
		return nil, err
	}
	to, err := instant("to", req.To)
	if err != nil {
		return nil, err
	}
	if to.Before(from) {
		return nil, wrong("to", fmt.Errorf("the end %s is before the start %s", to.Format(time.RFC3339), from.Format(time.RFC3339)), "exchange from and to")
	}
	every := 600.0
	if req.EveryS != nil {
		every = *req.EveryS
	}
	if err := unit.Within("time between rows", every, 0.001, 366*86400, "s"); err != nil {
		return nil, wrong("every_s", err, "10m is a row every ten minutes")
	}
	k, err := sun.NewTrack(o)
	if err != nil {
		return nil, wrongSun(err, "")
	}
	for name, t := range map[string]time.Time{"from": from, "to": to} {
		if _, err := k.At(t); err != nil {
			return nil, wrongSun(err, name)
		}
	}
	step := time.Duration(every * float64(time.Second))
	return func(yield func(SunRow) bool) {
		for t := from; !t.After(to); t = t.Add(step) {
			p, err := k.At(t)
			if err != nil || !yield(SunRow{t, deg(p.AltitudeTrue), deg(p.AltitudeApparent), bearing(p.Azimuth)}) {
				return // both ends are inside the years, so there is no error between
			}
		}
	}, nil
}

// observer makes the engine's observer and says what was assumed.
func (r SunPlace) observer() (o sun.Observer, assumed []string, err error) {
	assumed = []string{}
	for _, need := range []struct {
		field, word string
		got         *float64
	}{{"lat_deg", "latitude", r.LatDeg}, {"lon_deg", "longitude", r.LonDeg}} {
		if need.got == nil {
			return o, nil, wrong(need.field, fmt.Errorf("no %s is given", need.word), "say it in degrees, north and east positive")
		}
	}
	o.Lat, o.Lon = unit.Angle(*r.LatDeg)*unit.Degree, unit.Angle(*r.LonDeg)*unit.Degree
	if r.ElevationM != nil {
		o.Elevation = unit.Length(*r.ElevationM) * unit.Metre
	} else {
		assumed = append(assumed, "sea level")
	}
	air := sun.StandardAir
	if r.PressureHPa != nil {
		air.Pressure = unit.Pressure(*r.PressureHPa) * unit.Hectopascal
	}
	if r.TemperatureC != nil {
		air.Temperature = unit.Celsius(*r.TemperatureC)
	}
	o.Air = &air
	if r.PressureHPa == nil || r.TemperatureC == nil {
		assumed = append(assumed, fmt.Sprintf("air of %s hPa and %s °C in the refraction",
			short(air.Pressure.Hectopascals()), short(float64(air.Temperature))))
	}
	if r.DeltaTS != nil {
		// Checked here: a float beyond the range of a Duration would wrap around.
		if err := unit.Within("ΔT", *r.DeltaTS, -100000, 100000, "s"); err != nil {
			return o, nil, wrong("delta_t_s", err, "it is about 69 s in these years")
		}
		dt := time.Duration(*r.DeltaTS * float64(time.Second))
		o.DeltaT = &dt
	}
	if err := o.Check(); err != nil {
		return o, nil, wrongSun(err, "")
	}
	return o, assumed, nil
}

// wrongSun says which field of a request the engine refused, and what to do.
func wrongSun(err error, timeField string) *Error {
	fields := map[string][2]string{
		"latitude":        {"lat_deg", "north is positive, south negative"},
		"longitude":       {"lon_deg", "east is positive, west negative"},
		"elevation":       {"elevation_m", "metres above sea level"},
		"air pressure":    {"pressure_hpa", "the pressure at the place itself, not reduced to sea level"},
		"air temperature": {"temperature_c", "degrees Celsius"},
		"year":            {timeField, "the sun's theory holds for these years"},
	}
	var r *unit.RangeError
	if errors.As(err, &r) {
		if f, ok := fields[r.What]; ok {
			return wrong(f[0], err, f[1])
		}
	}
	return wrong(timeField, err, "")
}

// instant reads a time with its offset from UTC; seconds may be left out.
func instant(field, text string) (time.Time, error) {
	clean := strings.Replace(strings.TrimSpace(text), "−", "-", -1)
	for _, layout := range []string{time.RFC3339Nano, "2006-01-02T15:04Z07:00"} {
		if t, err := time.Parse(layout, clean); err == nil {
			return t, nil
		}
	}
	const like = "write it like 2027-01-16T13:20:00-03:00, or with Z for UTC"
	if text == "" {
		return time.Time{}, wrong(field, errors.New("no time is given"), like)
	}
	for _, layout := range []string{"2006-01-02T15:04:05", "2006-01-02T15:04"} {
		if _, err := time.Parse(layout, clean); err == nil {
			return time.Time{}, wrong(field, fmt.Errorf("the time %s has no offset from UTC", strconv.Quote(text)), like)
		}
	}
	e := wrong(field, fmt.Errorf("the time %s cannot be read", strconv.Quote(text)), like)
	e.Code = "unreadable"
	return time.Time{}, e
}

// deg returns an angle in degrees for JSON, to a millionth.
func deg(a unit.Angle) float64 { return math.Round(a.Degrees()*1e6)/1e6 + 0 }

// bearing returns a direction in degrees for JSON, 0 ≤ b < 360.
func bearing(a unit.Angle) float64 { return math.Mod(deg(a.Positive()), 360) }

// second rounds an instant to what its definition is good for.
func second(t *time.Time) *time.Time {
	if t == nil {
		return nil
	}
	r := t.Round(time.Second)
	return &r
}

func short(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }
