package safety

import (
	"math"

	"hardnoon/engine/unit"
)

// Standards of the statics.
const (
	gravity    = 9.80665 // m/s², standard free fall, exact by definition
	airDensity = 1.225   // kg/m³ at 15 °C and 1013.25 hPa; a hot day has 7 % less
)

// Drag coefficients face on. Source: [AeroData] fig. 5.13(b), [Hoerner1965].
const (
	DragPlate  = 1.17 // square plate or disc: the one for a box, or when in doubt
	DragHollow = 1.42 // hollow hemisphere, open side upwind: umbrella, dish
)

// Stand is what holds a light up, with everything on it.
type Stand struct {
	Area   unit.Area   // that the wind meets
	Drag   float64     // coefficient that belongs to it; 0 is DragPlate
	Height unit.Length // of the middle of that area
	Reach  unit.Length // from that middle to the farthest edge of what is up there
	Radius unit.Length // of the circle through the tips of the legs
	Legs   int         // equal legs; 0 is 3
	Mass   unit.Mass   // stand, head and modifier together, without ballast
}

func (s Stand) legs() int {
	if s.Legs == 0 {
		return 3
	}
	return s.Legs
}

func (s Stand) drag() float64 {
	if s.Drag == 0 {
		return DragPlate
	}
	return s.Drag
}

// Check returns a *unit.RangeError for a stand that cannot be.
func (s Stand) Check() error {
	for _, err := range []error{
		unit.Within("wind area", float64(s.Area), 0.0001, 50, "m²"),
		unit.Within("drag coefficient", s.drag(), 0.1, 3, ""),
		unit.Within("light height", s.Height.Metres(), 0.1, 20, "m"),
		unit.Within("reach", s.Reach.Metres(), 0, 10, "m"),
		unit.Within("leg circle radius", s.Radius.Metres(), 0.05, 5, "m"),
		unit.Within("legs", float64(s.legs()), 3, 12, ""),
		unit.Within("mass on the stand", s.Mass.Kilograms(), 0.1, 1000, "kg"),
	} {
		if err != nil {
			return err
		}
	}
	return nil
}

// TippingArm returns the least distance from the mast to the line between two
// neighbouring feet, over which a stand tips.
//
//	r = R·cos(π/n)
//
// Source: plane geometry.
func (s Stand) TippingArm() unit.Length {
	return s.Radius * unit.Length(math.Cos(math.Pi/float64(s.legs())))
}

// WindPressure returns the dynamic pressure of wind in standard air.
//
//	q = ½·ρ·v²
//
// Source: elementary fluid dynamics.
func WindPressure(v unit.Speed) unit.Pressure {
	return unit.Pressure(airDensity/2*float64(v*v)) * unit.Pascal
}

// Load is what a wind does to a stand.
type Load struct {
	Pressure    unit.Pressure
	Drag        unit.Force
	Overturning unit.Moment // about the ground
}

// Load returns what the wind v does. Mast and legs are left out.
//
//	F = q·Cd·A    M = F·h
//
// Source: elementary fluid dynamics.
func (s Stand) Load(v unit.Speed) Load {
	q := WindPressure(v)
	f := q.Pascals() * s.drag() * float64(s.Area)
	return Load{q, unit.Force(f), unit.Moment(f * s.Height.Metres())}
}

// BallastAtMast returns what must hang on the mast so that the stand holds
// factor times the wind's moment, never below 0.
//
//	factor·F·h/(g·r) − m
//
// Source: elementary statics.
func (s Stand) BallastAtMast(v unit.Speed, factor float64) unit.Mass {
	need := factor * float64(s.Load(v).Overturning) / (gravity * s.TippingArm().Metres())
	return max(0, unit.Mass(need)-s.Mass)
}

// BallastOnFoot returns the same for ballast on the windward foot, or shared by
// the two windward feet of an even number of legs. Its arm is longer: three times
// that of the mast with three legs. It does nothing for wind from the other side.
//
//	(factor·F·h/g − m·r)/(r + a)    a = R with odd legs, r with even ones
//
// Source: elementary statics.
func (s Stand) BallastOnFoot(v unit.Speed, factor float64) unit.Mass {
	r := s.TippingArm()
	a := r
	if s.legs()%2 == 1 {
		a = s.Radius
	}
	return s.BallastAtMast(v, factor) * unit.Mass(r/(r+a))
}

// TipSpeed returns the wind that just lifts the windward feet, with that ballast
// on the mast.
//
//	v = √(2·m·g·r/(ρ·Cd·A·h))
//
// Source: elementary statics.
func (s Stand) TipSpeed(ballast unit.Mass) unit.Speed {
	return s.SlideSpeed(float64(s.TippingArm()/s.Height), ballast)
}

// SlideSpeed returns the wind that pushes the stand along, on ground of that
// friction coefficient.
//
//	v = √(2·µ·m·g/(ρ·Cd·A))
//
// Source: elementary statics.
func (s Stand) SlideSpeed(friction float64, ballast unit.Mass) unit.Speed {
	weight := (s.Mass + ballast).Kilograms() * gravity
	return unit.Speed(math.Sqrt(2 * friction * weight / (airDensity * s.drag() * float64(s.Area))))
}

// BallastAgainstSliding returns what must lie on the stand, anywhere, so that the
// wind v does not push it along on ground of that friction coefficient.
//
//	F/(µ·g) − m
//
// Source: elementary statics.
func (s Stand) BallastAgainstSliding(v unit.Speed, friction float64) unit.Mass {
	return max(0, unit.Mass(float64(s.Load(v).Drag)/(friction*gravity))-s.Mass)
}

// KeepOut returns how far around the mast nobody should stand: what a fall
// reaches.
//
//	R + √(R² + (h + reach)²)
//
// The stand turns about a line that is at most R from the mast. Source: plane
// geometry.
func (s Stand) KeepOut() unit.Length {
	return s.Radius + unit.Length(math.Hypot(float64(s.Radius), float64(s.Height+s.Reach)))
}

// What part of the tipping wind asks for what. Event plans act at 60 and 80 % of
// a rated limit [EventPlan]; that it is our tipping wind, and the hard stop, are
// own rules. The hard stop is the outdoor limit of inflatable play equipment,
// 38 km/h [ISO20187], rounded down. No published safety factor for light stands
// was found: ours is own.
const (
	CareShare    = 0.6
	StopShare    = 0.8
	HardStop     = 10.5 * unit.MetrePerSecond
	SafetyFactor = 1.5
	WetGrip      = 0.3 // friction of rubber feet on wet grass; own cautious estimate
)

// StandAdvice is about a stand in a wind.
type StandAdvice struct {
	Advice
	Gust          Gust
	Load          Load
	TipSpeed      unit.Speed // with the ballast that hangs on it
	SlideSpeed    unit.Speed // on wet grass
	BallastAtMast unit.Mass  // needed there for that gust, in all, with SafetyFactor
	BallastOnFoot unit.Mass  // or on the windward foot
	KeepOut       unit.Length
}

// InWind judges a stand with that ballast on its mast in the wind reported.
//
//	gust ≥ 10.5 m/s, 0.8·tip or slide: Stop    ≥ 0.6·tip: Care    no wind known: Unknown
//
// Source: own rule, see CareShare.
func (s Stand) InWind(w WindReport, ballast unit.Mass) (StandAdvice, error) {
	if err := s.Check(); err != nil {
		return StandAdvice{}, err
	}
	if err := unit.Within("ballast", ballast.Kilograms(), 0, 2000, "kg"); err != nil {
		return StandAdvice{}, err
	}
	gust, err := w.GustAtStand()
	if err != nil {
		return StandAdvice{}, err
	}
	v := gust.Speed
	a := StandAdvice{Gust: gust, TipSpeed: s.TipSpeed(ballast), SlideSpeed: s.SlideSpeed(WetGrip, ballast), KeepOut: s.KeepOut()}
	level, missing := Quiet, []string(nil)
	switch {
	case gust.From == NoWind:
		missing = []string{"wind"}
	case v >= HardStop, v >= StopShare*a.TipSpeed, v >= a.SlideSpeed:
		level = Stop
	case v >= CareShare*a.TipSpeed:
		level = Care
	}
	if gust.From != NoWind {
		a.Load, a.BallastAtMast, a.BallastOnFoot = s.Load(v), s.BallastAtMast(v, SafetyFactor), s.BallastOnFoot(v, SafetyFactor)
	}
	a.Advice = advice(level, missing, []string{"EN1991", "AeroData", "EventPlan", "ISO20187"},
		[]string{"60 and 80 % of the tipping wind, hard stop at 10.5 m/s", "safety factor 1.5", "gust 1.2 times the mean", "friction 0.3"})
	return a, nil
}
