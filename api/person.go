package api

import (
	"fmt"

	"hardnoon/engine/body"
	"hardnoon/engine/unit"
	"hardnoon/session"
)

var (
	skins  = map[string]body.Lab{"light": body.LightSkin, "medium": body.MediumSkin, "tan": body.TanSkin, "brown": body.BrownSkin, "dark": body.DarkSkin}
	cloths = map[string]body.Lab{"white": body.WhiteCloth, "grey": body.GreyCloth, "black": body.BlackCloth, "red": body.RedCloth,
		"blue": body.BlueCloth, "green": body.GreenCloth, "gold": body.GoldCloth}
	gears = map[string]body.Headgear{"": body.Bareheaded, "none": body.Bareheaded, "cap": body.Cap, "visor": body.Visor, "helmet": body.Helmet}
	hairs = map[string]body.Hair{"": body.Short, "short": body.Short, "tail": body.Tail, "none": body.NoHair}
	sexes = map[string]body.Sex{"": body.Unsaid, "female": body.Female, "male": body.Male}
)

// shoeSole is what a height in shoes has over a barefoot one. Common practice,
// no source.
const shoeSole = 0.025

// A person is a figure as the session describes it, and what it does not say.
type person struct {
	body.Figure
	assumed []string
	notes   []Note
}

func (f *person) assume(what string) { f.assumed = appendNew(f.assumed, what) }

// facing returns the way the subject of a setup faces.
func facing(su session.Setup) unit.Angle {
	if f := su.Subject.FacesDeg; f != nil {
		return unit.Angle(*f) * unit.Degree
	}
	return unit.Angle(su.Camera.BearingDeg)*unit.Degree + unit.Turn/2
}

// person returns who stands on the mark of a setup, in which pose.
func (p *planner) person(su session.Setup) person {
	f := person{Figure: body.Figure{Facing: facing(su).Positive()}}
	who := session.Person{}
	for _, x := range p.s.People {
		if x.ID == su.Subject.Person {
			who = x
		}
	}
	if who.ID == "" {
		f.assume("a grown subject in shirt and shorts")
	}
	f.Sex, f.Hair, f.Headgear = sexes[who.Sex], hairs[who.Hair], gears[""]
	f.LeftHanded = who.Handedness == "left"
	if f.Age = or(who.Age, 20); f.Age < 5 {
		f.notes = append(f.notes, Note{"young", "info", fmt.Sprintf("at %.0f years a figure has the build of five", f.Age), ""})
		f.Age = 5
	}
	f.Age = min(f.Age, 100)
	if who.HeightM != nil {
		f.Stature = unit.Length(max(0.8, *who.HeightM-shoeSole))
	} else {
		f.assume(fmt.Sprintf("the middle height at %.0f years", f.Age))
	}
	if who.Skin == "" {
		f.assume("skin of medium tone")
	}
	f.Look.Skin = skins[who.Skin]
	if w := who.Wears; w != nil {
		f.Headgear = gears[w.Headgear]
		f.Brim = unit.Length(or(w.BrimMM, 0)) * unit.Millimetre
		f.Bare, f.Long = w.Singlet, w.Trousers
		f.Look.Shirt, f.Look.Shorts, f.Look.Sock, f.Look.Shoe = cloths[w.Shirt], cloths[w.Shorts], cloths[w.Socks], cloths[w.Shoes]
		f.Look.Headgear, f.Look.Brim = cloths[w.HeadgearColour], cloths[w.HeadgearColour]
	} else {
		f.assume("blue shirt, white shorts, no headgear")
	}
	f.pose(su.Subject)
	return f
}

// heldPoses are how a thing is held where a pose by its name leaves the hands
// free: nobody runs with a javelin as without.
var heldPoses = map[string]map[string]string{"javelin": {"stand": "javelin carry", "run": "javelin draw"}}

func (f *person) pose(s session.Subject) {
	name := or2(s.Pose, "stand")
	pose, ok := poseOf(name)
	if !ok {
		f.notes = append(f.notes, Note{"pose", "info", fmt.Sprintf("no pose is called %q; the figure stands", name),
			"there are " + ids(body.Poses(), func(p body.Pose) string { return p.Name })})
		pose, _ = poseOf("stand")
	}
	if held, ok := heldPoses[s.Holds][pose.Name]; ok {
		f.assume(fmt.Sprintf("%s with a %s as %q", pose.Name, s.Holds, held))
		pose, _ = poseOf(held)
	}
	f.Pose = pose
}

// stature returns how tall the subject of a setup is in shoes: as the session
// says, else the middle of the age, else 0; and what was assumed for it.
func (p *planner) stature(su session.Setup) (unit.Length, string) {
	for _, who := range p.s.People {
		if who.ID != su.Subject.Person {
			continue
		}
		if who.HeightM != nil {
			return unit.Length(*who.HeightM), ""
		}
		if who.Age != nil {
			barefoot, err := body.Stature(sexes[who.Sex], min(max(*who.Age, 5), 100), 50)
			if err != nil {
				break
			}
			tall := barefoot + shoeSole*unit.Metre
			return tall, fmt.Sprintf("a subject of %.2f m, the middle height at %.0f years", tall.Metres(), *who.Age)
		}
	}
	return 0, "a subject of 1.70 m"
}

// faceHeight returns how high the eyes of the subject of a setup are.
func (p *planner) faceHeight(su session.Setup) unit.Length {
	b, err := p.person(su).Build()
	if err != nil { // the scene says so; a plan needs a height
		return usualEyes
	}
	return unit.Length(b.Face().Centre.Z)
}

// usualEyes is the height of the eyes of somebody nothing is known of.
const usualEyes = 1.58 * unit.Metre
