// Package place answers where: it turns what a person has at hand (numbers, the
// name of a town, a point from a map or a receiver) into coordinates, and
// coordinates into a time zone. All of it works without a network.
//
// Latitude is positive north, longitude positive east, on WGS 84 as receivers
// and maps give them; heights are metres above the sea as the source has them,
// not corrected for the geoid. Towns come from the GeoNames gazetteer, borders
// of time zones from OpenStreetMap (ATTRIBUTION.md).
//
// Left out: streets and venues (a town's middle may lie kilometres from its
// ground), other datums, other grids than degrees.
package place

import (
	"fmt"
	"strings"

	"hardnoon/engine/unit"
)

// Point is a spot on the Earth.
type Point struct {
	Lat, Lon  unit.Angle
	Elevation *unit.Length // nil: not known
}

// Check returns a *unit.RangeError for a point that is not on the Earth.
func (p Point) Check() error {
	if err := unit.Within("latitude", p.Lat.Degrees(), -90, 90, "°"); err != nil {
		return err
	}
	if err := unit.Within("longitude", p.Lon.Degrees(), -180, 180, "°"); err != nil {
		return err
	}
	if p.Elevation != nil {
		return unit.Within("elevation", p.Elevation.Metres(), -500, 9000, "m")
	}
	return nil
}

// Place is a point with the name its source gives it.
type Place struct {
	Point
	Name    string // may be empty
	Region  string // of a town: the first division of its country
	Country string // of a town: ISO 3166-1, two letters
	People  int    // of a town: to two digits, for ranking
}

// String returns "Valparaíso, Valparaiso, CL", as far as it is known.
func (p Place) String() string {
	var parts []string
	for _, s := range []string{p.Name, p.Region, p.Country} {
		if s != "" {
			parts = append(parts, s)
		}
	}
	return strings.Join(parts, ", ")
}

// Error is why something names no place: what is wrong in Text, the next step
// in Hint.
type Error struct{ Text, Hint string }

func (e *Error) Error() string { return e.Text }

// AmbiguousError reports that there are several, the likeliest first.
type AmbiguousError struct {
	What   string // the name "Springfield", or a file
	Places []Place
}

func (e *AmbiguousError) Error() string {
	return fmt.Sprintf("%s stands for %d places", e.What, len(e.Places))
}

// Find returns the place that text names: coordinates or a town. A town that
// has five times the people of any namesake is meant; the namesakes come with
// it, so that they can be told. Otherwise several are an *AmbiguousError.
func Find(text string) (Place, []Place, error) {
	if len(text) > maxQuery {
		return Place{}, nil, &Error{fmt.Sprintf("%d letters are too many for a place", len(text)), "give coordinates or the name of a town"}
	}
	if strings.ContainsAny(text, "0123456789") {
		p, err := Coordinates(text)
		if err == nil {
			return Place{Point: p}, nil, nil
		}
		if _, terr := Towns(text); terr != nil { // some towns have a figure in their name
			return Place{}, nil, err
		}
	}
	towns, err := Towns(text)
	if err != nil {
		return Place{}, nil, err
	}
	const farLarger = 5
	if len(towns) > 1 && towns[0].People < farLarger*towns[1].People {
		return Place{}, nil, &AmbiguousError{fmt.Sprintf("the name %q", strings.TrimSpace(text)), towns}
	}
	return towns[0], towns[1:], nil
}

// maxQuery is longer than any way to write coordinates.
const maxQuery = 200

// maxFile bounds what is read of a file.
const maxFile = 8 << 20
