package sky

import (
	"fmt"
	"math"

	"hardnoon/engine/unit"
)

// Kind is a sky in plain words.
type Kind int

const (
	KindClear         Kind = iota
	KindHazy               // full sun through moist or dusty air
	KindThinHighCloud      // a veil; the sun shows through
	KindBroken             // sun and shade take turns
	KindOvercast           // no shadow
	KindHeavyOvercast      // dark cloud, rain near
)

// Kinds are the names people use for them, in the order of their light.
var Kinds = [...]string{"clear", "hazy", "thin-high-cloud", "broken", "overcast", "heavy-overcast"}

func (k Kind) String() string { return Kinds[k] }

// KindNamed returns the kind of that name.
func KindNamed(name string) (Kind, bool) {
	for i, n := range Kinds {
		if n == name {
			return Kind(i), true
		}
	}
	return 0, false
}

// hazyTurbidity is Linke's factor of a hazy day. From memory.
const hazyTurbidity = 6

// Named returns the sky of plain words.
//
// Error: 0.5 to 0.7 stop, more under heavy cloud; it is checked against the
// exposure tables of common practice.
func Named(c Conditions, k Kind) (States, error) {
	switch k {
	case KindHazy:
		c.Turbidity = max(c.turbidity(), hazyTurbidity)
		s, err := ClearSky(c)
		if err != nil {
			return States{}, err
		}
		s.Doubts = append(s.Doubts, Doubt{0.4, "haze differs"})
		return one(s), nil
	case KindThinHighCloud:
		return clouded(c, 8, Cirrus)
	case KindBroken:
		return Oktas(c, 6)
	case KindOvercast:
		return clouded(c, 8, Cumulus)
	case KindHeavyOvercast:
		return clouded(c, 8, Nimbostratus)
	}
	s, err := ClearSky(c)
	if err != nil {
		return States{}, err
	}
	return one(s), nil
}

// GeneralSky returns one of the fifteen types of [CIES011], or 16, the
// traditional overcast sky, at the level [DarulaKittler2002] give it.
//
//	Ev = 133.8 klx sin h,  Pv = Ev exp(−m T/(9.9 + 0.043 m)),  Dv = Ev (Dv/Ev)
//
// The traditional overcast sky has the level of type 1. Error: 0.5 stop.
func GeneralSky(c Conditions, t CIE2003) (*Sky, error) {
	if err := unit.Within("CIE sky type", float64(t), 1, float64(cieTypesHighest), ""); err != nil {
		return nil, err
	}
	if err := c.Check(); err != nil {
		return nil, err
	}
	if c.SunAltitude < 0 {
		return c.twilight(1), nil
	}
	level := cieLevels[1]
	if t <= 15 {
		level = cieLevels[t]
	}
	above := 133800 * c.extraterrestrial() / SolarConstant
	s := Sky{
		Model:   fmt.Sprintf("CIE general sky type %d (S 011:2003), level Darula and Kittler 2002", t),
		Diffuse: unit.Lux(above * c.SunAltitude.Sin() * level.diffuse),
		Doubts:  []Doubt{{0.5, "a type has one level, skies have many"}},
	}
	cloudy, least := 1.0, c.lowSky()
	if level.turbidity <= 12 {
		m := AirMassKasten1966(c.SunAltitude)
		s.DirectNormal = unit.Lux(above * math.Exp(-m*level.turbidity/(9.9+0.043*m)))
		cloudy = (level.turbidity - 2.5) / (12 - 2.5)
	} else {
		least *= unit.Lux(AnyCloud.OvercastTransmittance())
	}
	s.Diffuse = max(s.Diffuse, least)
	s.BeamTemperature, s.SkyTemperature = c.colours(c.aod(), cloudy)
	return assemble(c, s, t), nil
}
