package sky

import (
	"math"

	"hardnoon/engine/unit"
)

// ClearGlobal1980 returns the global horizontal irradiance under a cloudless sky
// of the place and years the cloud formula was fitted in.
//
//	G0 = 910 sin h − 30 W/m²
//
// Range: above 1.9°; 0 below. Source: [KastenCzeplak1980].
func ClearGlobal1980(h unit.Angle) unit.Irradiance {
	return unit.Irradiance(max(0, 910*h.Sin()-30))
}

// CloudTransmittance returns what N oktas of cloud leave of the clear sky's
// global irradiance, as a mean over hours.
//
//	G/G0 = 1 − 0.75 (N/8)^3.4
//
// Source: [KastenCzeplak1980].
func CloudTransmittance(oktas float64) float64 { return 1 - 0.75*math.Pow(oktas/8, 3.4) }

// CloudDiffuseShare returns the diffuse share of the global irradiance under N
// oktas, when the clear sky's is clear (0.3 in the source).
//
//	D/G = k + (1 − k) (N/8)²
//
// Source: [KastenCzeplak1980], from memory; own generalisation to other k.
func CloudDiffuseShare(oktas, clear float64) float64 {
	return clear + (1-clear)*(oktas/8)*(oktas/8)
}

// Genus is a kind of cloud by what it lets through.
type Genus int

const (
	AnyCloud     Genus = iota
	Cirrus             // cirrus, cirrostratus, cirrocumulus
	Altostratus        // altostratus, altocumulus
	Cumulus            // cumulus, stratocumulus
	Stratus            // stratus
	Nimbostratus       // nimbostratus, cumulonimbus: rain or snow
)

// OvercastTransmittance returns what a sky covered by the genus leaves of the
// clear sky's global irradiance. Source: [KastenCzeplak1980], from memory.
func (g Genus) OvercastTransmittance() float64 {
	return [...]float64{0.25, 0.61, 0.27, 0.25, 0.18, 0.16}[g]
}
