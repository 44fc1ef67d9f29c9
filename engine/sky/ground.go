package sky

// Ground is a surface by what it reflects of daylight, to the eye.
type Ground struct {
	Name   string
	Albedo float64
}

// Grounds are typical. To the eye green is far darker than to a radiation
// meter (0.2), which counts the infrared. Source: [IESHandbook] outside
// surfaces and [SmithOptical] fig. 12.9; grass, clay and turf from memory,
// uncertain by half.
var Grounds = []Ground{
	{"asphalt", 0.08},
	{"grass", 0.08},
	{"artificial-turf", 0.07},
	{"soil", 0.12},
	{"gravel", 0.13},
	{"clay", 0.20},
	{"concrete", 0.40},
	{"sand", 0.40},
	{"snow", 0.80},
}

// AlbedoOf returns the reflectance of a ground by name.
func AlbedoOf(name string) (float64, bool) {
	for _, g := range Grounds {
		if g.Name == name {
			return g.Albedo, true
		}
	}
	return 0, false
}
