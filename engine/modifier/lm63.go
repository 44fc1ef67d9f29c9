package modifier

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"hardnoon/engine/unit"
)

// Photometry is what an IES LM-63 file says about a light: intensities by
// angle. Vertical angles run from the axis of a type C light pointing down
// (0° is the nadir, where a flash would be aimed).
type Photometry struct {
	Version  string              // first line, or "1986" where it has none
	Labels   map[string][]string // keyword lines
	Lamps    int
	Lumens   float64 // per lamp; −1 for absolute photometry
	Type     byte    // 'C', 'B' or 'A'
	Vertical []unit.Angle
	Around   []unit.Angle // horizontal angles
	Candela  [][]float64  // by horizontal, then vertical angle, all factors applied

	Shape         Shape
	Width, Height unit.Length // of the luminous opening
	Watts         float64
}

// FileError says where a photometric file cannot be read.
type FileError struct {
	Line int // from 1; 0 if the end was reached
	Text string
}

func (e *FileError) Error() string {
	if e.Line == 0 {
		return "photometric file: " + e.Text
	}
	return fmt.Sprintf("photometric file, line %d: %s", e.Line, e.Text)
}

// Limits of what is read: far above any real file.
const (
	mostAngles  = 2000
	mostCandela = 400_000
	brightest   = 1e12 // cd
)

// ReadLM63 reads an IES LM-63 file of 1986, 1991, 1995, 2002 or 2019.
//
//	I = value · multiplier · ballast factor · ballast-lamp factor
//
// The last factor is a file code in the 2019 form and not applied there.
// Left out: a tilt table kept in another file, which is an error; a tilt table
// within, which is read over, since a flash is not tilted by its discharge.
// Source: [LM63], grammar by way of secondary texts.
func ReadLM63(data []byte) (Photometry, error) {
	p := Photometry{Version: "1986", Labels: map[string][]string{}}
	s := &scanner{rest: data}

	// Header and keywords, up to the tilt.
	tilt := ""
	for first := true; ; first = false {
		line, ok := s.line()
		if !ok {
			return p, &FileError{0, "it ends before TILT="}
		}
		text := strings.TrimSpace(line)
		if v, ok := strings.CutPrefix(text, "TILT="); ok {
			tilt = strings.TrimSpace(v)
			break
		}
		switch {
		case first && strings.HasPrefix(text, "IES"):
			p.Version = text
		case strings.HasPrefix(text, "["):
			if k, v, ok := strings.Cut(text[1:], "]"); ok {
				p.Labels[k] = append(p.Labels[k], strings.TrimSpace(v))
			}
		}
	}
	switch tilt {
	case "NONE":
	case "INCLUDE":
		head, err := s.numbers(2)
		if err != nil {
			return p, err
		}
		n, err := s.count("tilt pairs", head[1], mostAngles)
		if err != nil {
			return p, err
		}
		if _, err := s.numbers(2 * n); err != nil {
			return p, err
		}
	default:
		return p, s.fail("its tilt table is in another file, %q", tilt)
	}

	// Ten values and three, then angles and intensities.
	h, err := s.numbers(13)
	if err != nil {
		return p, err
	}
	lamps, err := s.count("lamps", h[0], 10_000)
	if err != nil {
		return p, err
	}
	nv, err := s.count("vertical angles", h[3], mostAngles)
	if err != nil {
		return p, err
	}
	nh, err := s.count("horizontal angles", h[4], mostAngles)
	if err != nil {
		return p, err
	}
	if nv*nh > mostCandela {
		return p, s.fail("%d × %d intensities are more than %d", nv, nh, mostCandela)
	}
	if !slices.Contains([]float64{1, 2, 3}, h[5]) {
		return p, s.fail("photometric type %g; it is 1, 2 or 3", h[5])
	}
	if h[6] != 1 && h[6] != 2 {
		return p, s.fail("unit %g; it is 1 for feet or 2 for metres", h[6])
	}
	p.Lamps, p.Lumens, p.Type, p.Watts = lamps, h[1], "CBA"[int(h[5])-1], h[12]
	per := unit.Foot
	if h[6] == 2 {
		per = unit.Metre
	}
	p.opening(unit.Length(h[7])*per, unit.Length(h[8])*per)
	factor := h[2] * h[10]
	if !strings.Contains(p.Version, "2019") {
		factor *= h[11]
	}
	if !(factor > 0) || math.IsInf(factor, 0) {
		return p, s.fail("its factors multiply to %g", factor)
	}
	if p.Vertical, err = s.angles("vertical", nv); err != nil {
		return p, err
	}
	if p.Around, err = s.angles("horizontal", nh); err != nil {
		return p, err
	}
	for range nh {
		row, err := s.numbers(nv)
		if err != nil {
			return p, err
		}
		for i := range row {
			if row[i] *= factor; row[i] < 0 || row[i] > brightest {
				return p, s.fail("an intensity is %g cd", row[i])
			}
		}
		p.Candela = append(p.Candela, row)
	}
	return p, nil
}

// opening reads the luminous opening from the signs of width and length: both
// negative or width alone is a disc, both positive a rectangle.
func (p *Photometry) opening(w, l unit.Length) {
	switch {
	case w < 0:
		p.Shape, p.Width, p.Height = Disc, -w, -w
	case w > 0 && l > 0:
		p.Shape, p.Width, p.Height = Rectangle, w, l
	}
}

// Axis returns the intensity straight ahead.
func (p Photometry) Axis() unit.Candela { return p.Intensity(0, 0) }

// Intensity returns the intensity at the angle v off the axis in the plane h,
// linear between the angles of the file, mirrored as a type C file says: one
// plane serves all, 0–90° a quadrant, 0–180° a half. It is 0 outside.
func (p Photometry) Intensity(v, h unit.Angle) unit.Candela {
	h = h.Positive()
	switch last := p.Around[len(p.Around)-1]; {
	case len(p.Around) == 1:
		h = p.Around[0]
	case last <= 90*unit.Degree+slack:
		if h > 180*unit.Degree {
			h = 360*unit.Degree - h
		}
		if h > 90*unit.Degree {
			h = 180*unit.Degree - h
		}
	case last <= 180*unit.Degree+slack:
		if h > 180*unit.Degree {
			h = 360*unit.Degree - h
		}
	}
	i, x := between(p.Vertical, v)
	j, y := between(p.Around, h)
	if i < 0 || j < 0 {
		return 0
	}
	at := func(j int) float64 {
		return p.Candela[j][i]*(1-x) + p.Candela[j][min(i+1, len(p.Vertical)-1)]*x
	}
	return unit.Candela(at(j)*(1-y) + at(min(j+1, len(p.Around)-1))*y)
}

const slack = 1e-9 * unit.Radian

// between returns the step of a that holds x and how far in x lies, or −1.
func between(a []unit.Angle, x unit.Angle) (int, float64) {
	if x < a[0]-slack || x > a[len(a)-1]+slack {
		return -1, 0
	}
	i, _ := slices.BinarySearch(a, x)
	i = min(max(i-1, 0), max(len(a)-2, 0))
	if len(a) == 1 {
		return 0, 0
	}
	return i, min(max(float64((x-a[i])/(a[i+1]-a[i])), 0), 1)
}

// Flux returns the luminous flux of a type C file.
//
//	Φ = ∫∫ I·sin γ dγ dC
//
// exact in γ for straight lines between the angles, trapezoids around.
// Source: own derivation.
func (p Photometry) Flux() float64 {
	rows := make([]float64, len(p.Around))
	for j, c := range p.Candela {
		for i := 1; i < len(p.Vertical); i++ {
			a, b := p.Vertical[i-1].Radians(), p.Vertical[i].Radians()
			k := (c[i] - c[i-1]) / (b - a)
			// ∫(c₀ + k(γ−a))·sin γ dγ
			rows[j] += c[i-1]*math.Cos(a) - c[i]*math.Cos(b) + k*(math.Sin(b)-math.Sin(a))
		}
	}
	if len(rows) == 1 {
		return 2 * math.Pi * rows[0]
	}
	sum, span := 0.0, 0.0
	for j := 1; j < len(rows); j++ {
		w := (p.Around[j] - p.Around[j-1]).Radians()
		sum += w * (rows[j] + rows[j-1]) / 2
		span += w
	}
	return sum * 2 * math.Pi / span
}

// Beam returns the full angle at which the intensity has fallen to half of the
// axis, the mean of the planes along and across.
func (p Photometry) Beam() unit.Angle {
	half := func(h unit.Angle) unit.Angle {
		const step = 0.1 * unit.Degree
		for v := 0 * unit.Degree; v <= 180*unit.Degree; v += step {
			if p.Intensity(v, h) < p.Axis()/2 {
				return v
			}
		}
		return 180 * unit.Degree
	}
	return min((half(0)+half(90*unit.Degree)+half(180*unit.Degree)+half(270*unit.Degree))/2, 360*unit.Degree)
}

// Class returns the modifier that the file describes, for a flash tube of
// tube lm·s per Ws inside it: K follows from the share of the lamp's light that
// goes straight ahead. Absolute photometry (−1 lumen) takes the light's own
// flux for the lamp's, so losses inside are not seen.
//
//	K = √(I₀/Φ·η/2.5)·√near(2 m)
//
// Source: own derivation from [ISO2720]; η by [TubeEfficacy].
func (p Photometry) Class(id string, tube float64) (Class, error) {
	if p.Type != 'C' {
		return Class{}, &FileError{0, "only type C photometry is understood"}
	}
	flux := float64(p.Lamps) * p.Lumens
	doubt := 0.5 * unit.Stop
	if p.Lumens <= 0 {
		flux, doubt = p.Flux(), 0.8*unit.Stop
	}
	axis := float64(p.Axis())
	if !(flux > 0) || !(axis > 0) {
		return Class{}, errors.New("the file has no light on its axis")
	}
	c := Class{ID: id, Name: "from a photometric file", Shape: p.Shape, Width: p.Width, Height: p.Height, KError: doubt,
		Beam: p.Beam(), WindArea: p.Width.Metres() * p.Height.Metres(), Drag: dragPlate, Source: "IES LM-63 file", Basis: "photometry"}
	if c.Shape == Disc {
		c.WindArea *= math.Pi / 4
	}
	c.K = math.Sqrt(axis / flux * tube / 2.5 * c.NearField(Reference))
	return c, c.Check()
}

// scanner walks the lines and numbers of a file.
type scanner struct {
	rest  []byte
	words []string
	at    int // line number
}

func (s *scanner) fail(format string, args ...any) error {
	return &FileError{s.at, fmt.Sprintf(format, args...)}
}

func (s *scanner) line() (string, bool) {
	if len(s.rest) == 0 {
		return "", false
	}
	line, rest, _ := bytes.Cut(s.rest, []byte("\n"))
	s.rest = rest
	s.at++
	return string(line), true
}

// numbers returns the next n values, whatever lines they stand on.
func (s *scanner) numbers(n int) ([]float64, error) {
	var out []float64
	for len(out) < n {
		if len(s.words) == 0 {
			line, ok := s.line()
			if !ok {
				return nil, &FileError{0, fmt.Sprintf("it ends with %d values missing", n-len(out))}
			}
			s.words = strings.FieldsFunc(line, func(r rune) bool { return r == ',' || r == ' ' || r == '\t' || r == '\r' || r == 0x1a })
			continue
		}
		x, err := strconv.ParseFloat(s.words[0], 64)
		if err != nil || math.IsNaN(x) || math.IsInf(x, 0) {
			return nil, s.fail("%.20q is no number", s.words[0])
		}
		out, s.words = append(out, x), s.words[1:]
	}
	return out, nil
}

func (s *scanner) count(what string, x float64, most int) (int, error) {
	if x != math.Trunc(x) || x < 1 || x > float64(most) {
		return 0, s.fail("%g %s; it takes 1 to %d", x, what, most)
	}
	return int(x), nil
}

func (s *scanner) angles(what string, n int) ([]unit.Angle, error) {
	deg, err := s.numbers(n)
	if err != nil {
		return nil, err
	}
	out := make([]unit.Angle, n)
	for i, d := range deg {
		if d < -180 || d > 360 || i > 0 && d <= deg[i-1] {
			return nil, s.fail("%s angle %g° is out of order", what, d)
		}
		out[i] = unit.Angle(d) * unit.Degree
	}
	return out, nil
}
