package site

import (
	"hardnoon/engine/geom"
	"hardnoon/engine/unit"
)

// Enters returns how far along a ray the part begins, and whether the ray meets
// it at all. An origin inside the part answers 0.
func (p Part) Enters(r geom.Ray) (unit.Length, bool) {
	near, far := p.span(r, false)
	return unit.Length(near), near <= far
}

// Reach returns how far the part may stretch from the middle of its foot,
// measured level.
func (p Part) Reach() unit.Length {
	if p.Form == Box {
		return unit.Length(geom.Vec{X: p.Size.X, Y: p.Size.Y}.Norm() / 2)
	}
	return unit.Length(p.Size.X)
}
