package place

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strings"

	"hardnoon/engine/unit"
)

// GPX returns the place a GPX file holds: its one waypoint, or the one point of
// its route or track. Several are an *AmbiguousError when they are waypoints.
//
// Source: [GPX] 1.1; 1.0 is read alike.
func GPX(r io.Reader) (Place, error) {
	data, err := limited(r)
	if err != nil {
		return Place{}, err
	}
	dec := xml.NewDecoder(strings.NewReader(data))
	var waypoints []Place
	var onTheWay Place
	ways, gpx := 0, false
	for {
		token, err := dec.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return Place{}, badXML(dec, err)
		}
		start, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		if !gpx {
			if start.Name.Local != "gpx" {
				return Place{}, &Error{fmt.Sprintf("the file is no GPX: it begins with <%.20s>", start.Name.Local), "export the point as GPX, or give its coordinates"}
			}
			gpx = true
		}
		kind := start.Name.Local
		if kind != "wpt" && kind != "rtept" && kind != "trkpt" {
			continue
		}
		p, err := gpxPoint(dec, start)
		if err != nil {
			return Place{}, err
		}
		if kind == "wpt" {
			waypoints = append(waypoints, p)
		} else {
			onTheWay, ways = p, ways+1
		}
	}
	switch {
	case !gpx:
		return Place{}, &Error{"the file is no GPX: it holds no XML", "export the point as GPX, or give its coordinates"}
	case len(waypoints) == 1:
		return waypoints[0], nil
	case len(waypoints) > 1:
		return Place{}, &AmbiguousError{"the file", waypoints}
	case ways == 1:
		return onTheWay, nil
	case ways > 1:
		return Place{}, &Error{fmt.Sprintf("the file holds a way of %d points and no waypoint", ways), "save a waypoint where the subject stands"}
	}
	return Place{}, &Error{"the file holds no point", "save a waypoint where the subject stands"}
}

func badXML(dec *xml.Decoder, err error) error {
	line, column := dec.InputPos()
	var syntax *xml.SyntaxError
	text := "the file is broken"
	if !errors.As(err, &syntax) && strings.Contains(err.Error(), "encoding") {
		text = "the file is not in UTF-8"
	}
	return &Error{fmt.Sprintf("%s at line %d, column %d", text, line, column), "export it again"}
}

func gpxPoint(dec *xml.Decoder, start xml.StartElement) (Place, error) {
	var x struct {
		Lat  string `xml:"lat,attr"`
		Lon  string `xml:"lon,attr"`
		Ele  string `xml:"ele"`
		Name string `xml:"name"`
	}
	if err := dec.DecodeElement(&x, &start); err != nil {
		return Place{}, badXML(dec, err)
	}
	line, _ := dec.InputPos()
	lat, err1 := decimal(x.Lat)
	lon, err2 := decimal(x.Lon)
	if err1 != nil || err2 != nil {
		return Place{}, &Error{fmt.Sprintf("the point at line %d has no coordinates that can be read", line), `a GPX point says lat="-33.05" lon="-71.62"`}
	}
	p, err := point(lat, lon)
	if err != nil {
		return Place{}, err
	}
	if ele, err := decimal(x.Ele); err == nil {
		p.Elevation = height(ele)
	}
	return Place{Point: p, Name: short(x.Name)}, nil
}

// height returns a height that can be true, or nil: a receiver's first fix may
// say anything.
func height(m float64) *unit.Length {
	if unit.Within("elevation", m, -500, 9000, "m") != nil {
		return nil
	}
	h := unit.Length(m) * unit.Metre
	return &h
}

// limited reads a text file whole, if it is one of reasonable size.
func limited(r io.Reader) (string, error) {
	data, err := io.ReadAll(io.LimitReader(r, maxFile+1))
	if err != nil {
		return "", err
	}
	if len(data) > maxFile {
		return "", &Error{fmt.Sprintf("the file is larger than %d MB", maxFile>>20), "save the one point in a file of its own"}
	}
	return strings.TrimPrefix(string(data), "\ufeff"), nil
}

// short is a name in one line that fits on a page.
func short(s string) string {
	r := []rune(strings.Join(strings.Fields(s), " "))
	return string(r[:min(len(r), 80)])
}
