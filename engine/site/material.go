package site

// Material is what a ground or a solid is made of: how much light the eye sees
// come back from it. Broadband albedos are not these: living green is two or
// three times brighter to a pyranometer than to an eye.
type Material struct {
	Name        string
	Reflectance float64 // visual, Y of a matt surface
	Low, High   float64 // what is found between old and new, wet and dry
	// Colour is linear sRGB of luminance Reflectance. Hues are an artist's
	// judgement; only the luminance is measured.
	Colour [3]float64
	Source string
}

// made returns a material whose colour has the wanted luminance.
func made(name string, low, y, high float64, r, g, b float64, source string) Material {
	k := y / (0.2126*r + 0.7152*g + 0.0722*b)
	return Material{name, y, low, high, [3]float64{r * k, g * k, b * k}, source}
}

// Materials returns the materials a site may be made of.
//
// Sources: [IESOutside], the table of outside surfaces; [Smith2008] fig. 12.9;
// the ranges of cloth, turf, clay and sand are common practice, from memory.
func Materials() []Material {
	return []Material{
		made("turf", 0.05, 0.08, 0.12, 0.62, 1, 0.28, "range from memory; [IESOutside] dark green grass 0.06"),
		made("dry grass", 0.12, 0.20, 0.25, 1, 0.86, 0.45, "[Smith2008] trees and grass 0.2; [IESOutside] vegetation 0.25"),
		made("synthetic turf", 0.05, 0.07, 0.10, 0.45, 1, 0.35, "from memory, as dark green grass"),
		made("running track", 0.10, 0.14, 0.20, 1, 0.35, 0.22, "common practice, no source"),
		made("clay", 0.15, 0.20, 0.25, 1, 0.62, 0.38, "range from memory"),
		made("sand", 0.25, 0.32, 0.40, 1, 0.85, 0.62, "range from memory"),
		made("asphalt", 0.05, 0.07, 0.15, 1, 0.99, 0.97, "[IESOutside] 0.07; aged 0.12 to 0.15"),
		made("concrete", 0.25, 0.40, 0.40, 1, 0.97, 0.90, "[IESOutside], [Smith2008] 0.40"),
		made("gravel", 0.13, 0.13, 0.18, 1, 0.95, 0.86, "[IESOutside]"),
		made("earth", 0.07, 0.10, 0.17, 1, 0.75, 0.52, "[IESOutside] moist cultivated earth 0.07"),
		made("red brick", 0.30, 0.35, 0.35, 1, 0.45, 0.32, "[Smith2008] 0.35; [IESOutside] dark red glazed 0.30"),
		made("buff brick", 0.40, 0.44, 0.48, 1, 0.82, 0.60, "[IESOutside] dark 0.40, light 0.48"),
		made("white paint", 0.55, 0.75, 0.75, 1, 1, 0.97, "[IESOutside] new 0.75, old 0.55"),
		made("snow", 0.64, 0.74, 0.85, 0.97, 1, 1, "[IESOutside] new 0.74, old 0.64; [Smith2008] 0.85"),
		made("hard court", 0.10, 0.15, 0.20, 0.35, 0.62, 1, "common practice, no source"),
		made("wooden floor", 0.25, 0.35, 0.45, 1, 0.72, 0.42, "common practice, no source"),
		made("water", 0.04, 0.06, 0.10, 0.35, 0.85, 1, "broadband 0.06 for high sun; rises as the sun sinks"),
		made("leaves", 0.05, 0.09, 0.20, 0.50, 1, 0.25, "from memory, as dark green grass"),
		made("galvanised steel", 0.25, 0.35, 0.50, 0.97, 1, 1, "common practice, no source"),
		made("dark paint", 0.03, 0.05, 0.10, 1, 1, 1, "common practice, no source"),
	}
}

// MaterialNamed returns the material of that name.
func MaterialNamed(name string) (Material, bool) {
	for _, m := range Materials() {
		if m.Name == name {
			return m, true
		}
	}
	return Material{}, false
}
