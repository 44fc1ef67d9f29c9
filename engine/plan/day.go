package plan

import (
	"math"

	"hardnoon/engine/flash"
	"hardnoon/engine/unit"
)

// SpareAt returns what a light has to spare for a look at equal terms, whatever
// aperture, ISO or filter the picture takes: those move flash and sun together.
// normal is the margin with the shutter at sync speed, high the one in
// high-speed sync.
//
//	normal = log2(H/(E·Tsync)) − (key + under)    high = normal − entry
//
// H is the luminous exposure of a full pop at d, E the illuminance a meter shows
// as the background's level. Source: own derivation from [ISO2720].
func SpareAt(c Camera, src flash.Source, d unit.Length, background unit.EV, under, key unit.Stops) (normal, high unit.Stops) {
	c = c.orUsual()
	sun := float64(background.Lux()) * float64(c.Sync)
	normal = unit.Stops(math.Log2(float64(src.Exposure(d, 0))/sun)) - key - under
	if c.Kind == LeafOrGlobal {
		return normal, normal
	}
	return normal, normal - src.Head.Entry
}
