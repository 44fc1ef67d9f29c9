package body

import (
	"math"

	"hardnoon/engine/unit"
)

// Part of a figure's surface; geom.Mesh.Parts holds these numbers.
type Part int

const (
	Skin Part = iota
	Face
	Lips
	EyeWhite
	Iris
	HairPart
	Shirt
	Shorts
	Sock
	Shoe
	Sole
	Lace
	HeadgearPart
	BrimPart
	Cage
	ChairPart
	parts
)

var partNames = [parts]string{"skin", "face", "lips", "eye", "iris", "hair", "shirt", "shorts", "sock", "shoe", "sole", "lace", "headgear", "brim", "cage", "chair"}

func (p Part) String() string {
	if p < 0 || p >= parts {
		return "unknown"
	}
	return partNames[p]
}

// Surface is how a part sends light back.
type Surface struct {
	Part        Part
	Reflectance float64    // visual, Y of the matt part
	Colour      [3]float64 // linear sRGB of that luminance
	Coat        float64    // share reflected by the surface itself, square on
	Roughness   float64    // of that, GGX α
}

// Lab is a colour of CIE 1976 (L*, a*, b*) under D65. The zero value stands for
// the usual one of its place.
type Lab struct{ L, A, B float64 }

// Reflectance returns the luminance factor of the colour.
//
//	Y = ((L* + 16)/116)³ for L* > 8, else L*/903.3
//
// Source: [CIE15].
func (c Lab) Reflectance() float64 { return labInverse((c.L + 16) / 116) }

func labInverse(t float64) float64 {
	if t > 6.0/29 {
		return t * t * t
	}
	return 3 * (6.0 / 29) * (6.0 / 29) * (t - 4.0/29)
}

// Linear returns the colour as linear sRGB; channels outside the gamut are cut
// at 0.
//
// Source: [CIE15], [IEC61966-2-1].
func (c Lab) Linear() [3]float64 {
	fy := (c.L + 16) / 116
	x, y, z := 0.95047*labInverse(fy+c.A/500), labInverse(fy), 1.08883*labInverse(fy-c.B/200)
	return [3]float64{
		max(0, 3.2404542*x-1.5371385*y-0.4985314*z),
		max(0, -0.9692660*x+1.8760108*y+0.0415560*z),
		max(0, 0.0556434*x-0.2040259*y+1.0572252*z),
	}
}

// Look is the colours of a figure. Each zero value is filled with the usual one.
type Look struct {
	Skin, Hair, Iris            Lab
	Shirt, Shorts, Sock, Shoe   Lab
	Headgear, Brim, Sole, Chair Lab
}

// Skin tones. L* of forehead and cheek are the middles of published ranges (58
// to 66, 48 to 57, 30 to 45; recalled, not opened), a* and b* as usually seen;
// two weeks of sun move skin by about 3.7 units.
//
// Source: [SkinRanges].
var (
	LightSkin  = Lab{65, 11, 17}
	MediumSkin = Lab{60, 12, 18}
	TanSkin    = Lab{53, 13, 19}
	BrownSkin  = Lab{44, 13, 18}
	DarkSkin   = Lab{34, 10, 13}
)

// Cloth: white 0.75 to 0.90 and black 0.03 to 0.05, common practice, from
// memory.
var (
	WhiteCloth = Lab{92, 0, 1}
	GreyCloth  = Lab{60, 0, 0}
	BlackCloth = Lab{23, 0, 0}
	RedCloth   = Lab{40, 55, 32}
	BlueCloth  = Lab{32, 10, -45}
	GreenCloth = Lab{40, -35, 20}
	GoldCloth  = Lab{72, 12, 62}
)

var usualLook = Look{
	Skin: MediumSkin, Hair: Lab{20, 5, 9}, Iris: Lab{22, 6, 10},
	Shirt: BlueCloth, Shorts: WhiteCloth, Sock: WhiteCloth, Shoe: BlackCloth,
	Headgear: BlueCloth, Brim: BlueCloth, Sole: Lab{85, 0, 2}, Chair: BlackCloth,
}

func (l *Look) all() []*Lab {
	return []*Lab{&l.Skin, &l.Hair, &l.Iris, &l.Shirt, &l.Shorts, &l.Sock, &l.Shoe, &l.Headgear, &l.Brim, &l.Sole, &l.Chair}
}

func (l Look) check() error {
	for _, c := range l.all() {
		for _, err := range []error{
			unit.Within("L*", c.L, 0, 100, ""),
			unit.Within("a*", c.A, -128, 128, ""),
			unit.Within("b*", c.B, -128, 128, ""),
		} {
			if err != nil {
				return err
			}
		}
	}
	return nil
}

// Surfaces returns how each part of the figure sends light back, indexed by
// Part. Skin has a coat that reflects 4 % square on and makes the rest up to
// the 4 to 7 % seen aslant; cloth has nearly none.
func (b *Body) Surfaces() []Surface {
	look, usual := b.Look, usualLook
	for i, c := range look.all() {
		if *c == (Lab{}) {
			*c = *usual.all()[i]
		}
	}
	if b.Look.Sole == (Lab{}) && look.Shoe.L > 60 { // a light shoe stands on a dark sole
		look.Sole = Lab{38, 0, 1}
	}
	lips := look.Skin
	lips.L, lips.A, lips.B = lips.L*0.82, lips.A+9, lips.B-1
	out := make([]Surface, parts)
	put := func(p Part, c Lab, coat, rough float64) {
		out[p] = Surface{p, c.Reflectance(), c.Linear(), coat, rough}
		// Keep the luminance where a channel was cut.
		if y := 0.2126*out[p].Colour[0] + 0.7152*out[p].Colour[1] + 0.0722*out[p].Colour[2]; y > 0 {
			for i := range out[p].Colour {
				out[p].Colour[i] = math.Min(1, out[p].Colour[i]*out[p].Reflectance/y)
			}
		}
	}
	put(Skin, look.Skin, 0.04, 0.45)
	put(Face, look.Skin, 0.04, 0.40)
	put(Lips, lips, 0.04, 0.30)
	put(EyeWhite, Lab{78, 1, 4}, 0.04, 0.06)
	put(Iris, look.Iris, 0.04, 0.06)
	put(HairPart, look.Hair, 0.030, 0.45) // hairs lie rough, and between them it is dark
	put(Shirt, look.Shirt, 0.02, 0.70)
	put(Shorts, look.Shorts, 0.02, 0.70)
	put(Sock, look.Sock, 0, 0)
	put(Shoe, look.Shoe, 0.04, 0.40)
	put(Sole, look.Sole, 0.02, 0.60)
	put(Lace, look.Sole, 0, 0)
	put(HeadgearPart, look.Headgear, 0.03, 0.60)
	put(BrimPart, look.Brim, 0.03, 0.60)
	put(Cage, BlackCloth, 0.04, 0.30)
	put(ChairPart, look.Chair, 0.04, 0.30)
	if b.Headgear == Helmet {
		put(HeadgearPart, look.Headgear, 0.04, 0.12)
	}
	return out
}
