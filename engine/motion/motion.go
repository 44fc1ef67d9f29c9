// Package motion answers how far a moving body smears over the pixels, in the
// daylight part of an exposure and in its flash part separately, and how long a
// jump gives to press the button.
//
// Speeds are across the line of sight; one that makes the angle α with the line
// counts with sin α. A body that moves straight at the camera changes its size
// instead, which is left out, and so are panning and rolling shutters. Blur is
// in pixels of the finished frame at full size.
//
// Sources: similar triangles [ThinLens], the free fall of a point. How many frames
// of a burst get their flash is a matter of the head: flash.Source.LitFrames.
package motion

import (
	"hardnoon/engine/optics"
	"hardnoon/engine/unit"
)

// Blur returns how many pixels a body smears over in t seconds.
//
//	b = v·t·m/pitch    m = f/(d − f)
//
// For the daylight part t is the shutter time, for the flash part the t0.1 of
// the pop.
//
// Range: d > f, else NaN. Source: [ThinLens].
func Blur(speed unit.Speed, t float64, focal, distance, pitch unit.Length) float64 {
	return float64(speed) * t * optics.Magnification(focal, distance) / float64(pitch)
}

// SlowestFor returns the longest time, in seconds, in which a body smears over
// no more than blurPx pixels. Inverse of Blur; a body at rest gives +Inf.
func SlowestFor(blurPx float64, speed unit.Speed, focal, distance, pitch unit.Length) float64 {
	return blurPx * float64(pitch) / (float64(speed) * optics.Magnification(focal, distance))
}

// GhostLimit is how far daylight on the moving body has to stay below the flash
// for its smear not to be seen. Common practice, no source: "two under freezes".
const GhostLimit = -2 * unit.Stop

// Ghost is the smear that daylight leaves around what the flash froze.
type Ghost struct {
	Level    unit.Stops // daylight on the body, relative to the flash
	Share    float64    // of all the light on it, 0 to 1
	Daylight float64    // smear of the daylight part, pixels
	Flash    float64    // smear of the flash part, pixels
	Visible  bool
}

// GhostOf returns how the two parts of one exposure lie over each other: levels
// of daylight and flash on the body, and how far each smears. A ghost is visible
// when daylight is above GhostLimit and smears two pixels farther than the flash.
//
//	share = 2^a/(2^a + 2^f)
//
// The two pixels are our own threshold.
func GhostOf(daylight, flash unit.Stops, daylightPx, flashPx float64) Ghost {
	level := daylight - flash
	return Ghost{
		Level: level, Share: 1 / (1 + (-level).Ratio()), Daylight: daylightPx, Flash: flashPx,
		Visible: level > GhostLimit && daylightPx > flashPx+2,
	}
}
