package scene

import "hardnoon/engine/unit"

// Material is how a surface sends light back: matt below, a clear coat above.
type Material struct {
	Name    string
	Diffuse RGB // reflectance of the matt part, 0 to 1

	// Coat is the reflectance of the surface itself at normal incidence, 0 for
	// none; skin and sweat are about 0.03 to 0.04.
	Coat float64
	// Roughness of the coat: the GGX slope parameter α, 0.05 to 1; 0 means 0.4.
	Roughness float64

	// Mottle varies the matt part by this fraction either way over patches of
	// MottleSize, as turf and clay do. It averages to nothing.
	Mottle     float64
	MottleSize unit.Length
}

const leastRoughness = 0.05 // below it a sun-lit highlight is a pixel that flickers

func (m *Material) check() error {
	for _, err := range []error{
		unit.Within(m.Name+" reflectance, red", float64(m.Diffuse.R), 0, 1, ""),
		unit.Within(m.Name+" reflectance, green", float64(m.Diffuse.G), 0, 1, ""),
		unit.Within(m.Name+" reflectance, blue", float64(m.Diffuse.B), 0, 1, ""),
		unit.Within(m.Name+" coat", m.Coat, 0, 1, ""),
		unit.Within(m.Name+" roughness", m.Roughness, 0, 1, ""),
		unit.Within(m.Name+" mottle", m.Mottle, 0, 1, ""),
		unit.Within(m.Name+" mottle size", m.MottleSize.Metres(), 0, 1000, "m"),
	} {
		if err != nil {
			return err
		}
	}
	if m.Roughness == 0 {
		m.Roughness = 0.4
	}
	m.Roughness = max(m.Roughness, leastRoughness)
	return nil
}
