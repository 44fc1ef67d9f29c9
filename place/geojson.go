package place

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
)

// GeoJSON returns the place a GeoJSON file holds: a Point, a Feature with one,
// or a collection with one. Several are an *AmbiguousError. A Feature's property
// "name" or "title" is the place's name.
//
// Source: [RFC7946]; a position is longitude, latitude and perhaps a height.
func GeoJSON(r io.Reader) (Place, error) {
	text, err := limited(r)
	if err != nil {
		return Place{}, err
	}
	var root geoObject
	if err := json.Unmarshal([]byte(text), &root); err != nil {
		return Place{}, badJSON(text, err)
	}
	var found []Place
	if err := root.points("", &found, 0); err != nil {
		return Place{}, err
	}
	switch len(found) {
	case 0:
		return Place{}, &Error{fmt.Sprintf("the file holds %s and no point", root.what()), "mark the spot where the subject stands as a point"}
	case 1:
		return found[0], nil
	}
	return Place{}, &AmbiguousError{"the file", found}
}

func badJSON(text string, err error) error {
	var syntax *json.SyntaxError
	var kind *json.UnmarshalTypeError
	at := -1
	switch {
	case errors.As(err, &syntax):
		at = int(syntax.Offset)
	case errors.As(err, &kind):
		at = int(kind.Offset)
	}
	if at < 0 {
		return &Error{"the file is no GeoJSON", "export the point as GeoJSON, or give its coordinates"}
	}
	before := text[:min(at, len(text))]
	return &Error{fmt.Sprintf("the file is no GeoJSON from line %d, column %d", 1+strings.Count(before, "\n"), len(before)-strings.LastIndexByte(before, '\n')-1),
		"export the point as GeoJSON, or give its coordinates"}
}

// geoObject is any GeoJSON object, as far as points are concerned.
type geoObject struct {
	Type        string          `json:"type"`
	Coordinates json.RawMessage `json:"coordinates"`
	Geometry    *geoObject      `json:"geometry"`
	Geometries  []geoObject     `json:"geometries"`
	Features    []geoObject     `json:"features"`
	Properties  json.RawMessage `json:"properties"`
}

func (g *geoObject) what() string {
	switch {
	case g.Type == "":
		return "no GeoJSON type"
	case g.Geometry != nil:
		return g.Geometry.what()
	}
	return fmt.Sprintf("a %.30q", g.Type)
}

func (g *geoObject) points(name string, found *[]Place, depth int) error {
	const deepest = 8 // collections in collections
	if depth > deepest || len(*found) > 1000 {
		return nil
	}
	var named struct{ Name, Title any }
	if json.Unmarshal(g.Properties, &named) == nil {
		for _, n := range []any{named.Title, named.Name} {
			if s, ok := n.(string); ok && s != "" {
				name = short(s)
			}
		}
	}
	inner := append(g.Features, g.Geometries...)
	if g.Geometry != nil {
		inner = append(inner, *g.Geometry)
	}
	for i := range inner {
		if err := inner[i].points(name, found, depth+1); err != nil {
			return err
		}
	}
	positions := make([][]float64, 1)
	var err error
	switch g.Type {
	case "Point":
		err = json.Unmarshal(g.Coordinates, &positions[0])
	case "MultiPoint":
		err = json.Unmarshal(g.Coordinates, &positions)
	default:
		return nil
	}
	for _, x := range positions {
		if err != nil || len(x) < 2 {
			return &Error{fmt.Sprintf("the coordinates of a %s cannot be read", g.Type), `write them like [-71.62, -33.05]: longitude first`}
		}
		p, err := point(x[1], x[0])
		if err != nil {
			return &Error{err.Error(), "GeoJSON says longitude first, then latitude: [-71.62, -33.05]"}
		}
		if len(x) > 2 {
			p.Elevation = height(x[2])
		}
		*found = append(*found, Place{Point: p, Name: name})
	}
	return nil
}

// decimal reads a number as XML Schema's xs:decimal has it.
func decimal(s string) (float64, error) {
	s = strings.TrimSpace(s)
	if strings.Trim(s, "+-.0123456789") != "" {
		return 0, strconv.ErrSyntax
	}
	return strconv.ParseFloat(s, 64)
}
