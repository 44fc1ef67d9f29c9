package place

import (
	"encoding/binary"
	"math"
	"slices"
	"sync"

	tzborders "github.com/ringsaturn/tzf-rel-lite"
)

// Zones returns the IANA names of the time zones whose borders hold p: one
// nearly everywhere, two where a border is disputed, "Etc/GMT+5" and the like at
// sea. The first is the one to take.
//
// Error: the borders are simplified, by up to about a kilometre, in which Monaco
// is lost to Europe/Paris, the same clock; a spot in the gaps that this leaves
// gets the zones on its sides within 0.1°.
// Source: [TimezoneBoundary].
func Zones(p Point) ([]string, error) {
	if err := p.Check(); err != nil {
		return nil, err
	}
	lat, lon := p.Lat.Degrees(), p.Lon.Degrees()
	zones := zonesAt(lat, lon)
	for _, d := range []float64{0.01, 0.03, 0.1} {
		if len(zones) > 0 {
			break
		}
		for _, s := range [][2]float64{{0, d}, {0, -d}, {d, 0}, {-d, 0}} {
			zones = append(zones, zonesAt(min(max(lat+s[0], -90), 90), lon+s[1])...)
		}
		slices.Sort(zones)
		zones = slices.Compact(zones)
	}
	if len(zones) == 0 {
		return nil, &Error{"no time zone is known there", "name one yourself, like America/Santiago"}
	}
	return zones, nil
}

// An outline is one polygon of a zone and the box around it.
type outline struct {
	zone                     string
	polygon                  []byte
	west, south, east, north int64 // in 1/ringScale degrees
}

// outlines finds the polygons and their boxes when somebody first asks.
//
// The borders are one protocol-buffer message: field 2 a zone, of which field 1
// is a polygon and field 2 the name; of a polygon field 1 is the outer ring and
// field 2 a hole, itself a polygon. A ring is a text of coordinate differences.
// Rings are read where they lie and never unpacked.
var outlines = sync.OnceValue(func() (all []outline) {
	for field, zone := range fields(tzborders.LiteCompressData) {
		if field != 2 {
			continue
		}
		first := len(all)
		name := ""
		for field, value := range fields(zone) {
			switch field {
			case 1:
				o := outline{polygon: value, west: math.MaxInt64, south: math.MaxInt64, east: math.MinInt64, north: math.MinInt64}
				for field, ring := range fields(value) {
					if field == 1 {
						for x, y := range corners(ring) {
							o.west, o.east = min(o.west, x), max(o.east, x)
							o.south, o.north = min(o.south, y), max(o.north, y)
						}
					}
				}
				all = append(all, o)
			case 2:
				name = string(value)
			}
		}
		for i := range all[first:] {
			all[first+i].zone = name
		}
	}
	return all
})

func zonesAt(lat, lon float64) (zones []string) {
	x, y := int64(lon*ringScale), int64(lat*ringScale)
	for _, o := range outlines() {
		if x < o.west || x > o.east || y < o.south || y > o.north || slices.Contains(zones, o.zone) {
			continue
		}
		if polygonHolds(o.polygon, x, y) {
			zones = append(zones, o.zone)
		}
	}
	return zones
}

func polygonHolds(polygon []byte, x, y int64) bool {
	inside := false
	for field, value := range fields(polygon) {
		switch field {
		case 1:
			inside = ringHolds(value, x, y)
		case 2:
			if inside && polygonHolds(value, x, y) {
				return false
			}
		}
		if !inside {
			return false
		}
	}
	return inside
}

// ringScale: a ring counts in 1e-5°.
const ringScale = 1e5

// ringHolds counts how often a ray to the east crosses the ring.
func ringHolds(ring []byte, x, y int64) bool {
	inside, first := false, true
	var lastX, lastY int64
	for px, py := range corners(ring) {
		if !first && (py > y) != (lastY > y) {
			// Where the edge crosses the ray's latitude, without a division.
			d := (x-lastX)*(py-lastY) - (px-lastX)*(y-lastY)
			if (d < 0) == (py > lastY) {
				inside = !inside
			}
		}
		lastX, lastY, first = px, py, false
	}
	return inside
}

// corners walks the longitudes and latitudes of a ring.
//
// Each number is its difference from the one before, doubled, all bits turned
// when negative, cut into groups of five bits from the lowest, 32 added to all
// but the last, 63 added to each.
// Source: [Polyline].
func corners(ring []byte) func(yield func(x, y int64) bool) {
	return func(yield func(x, y int64) bool) {
		var x, y int64
		for i := 0; i < len(ring); {
			for _, c := range [...]*int64{&x, &y} {
				var v uint64
				for shift := 0; i < len(ring) && shift < 60; shift += 5 {
					b := uint64(ring[i]) - 63
					i++
					v |= b & 31 << shift
					if b < 32 {
						break
					}
				}
				*c += int64(v>>1) ^ -int64(v&1)
			}
			if !yield(x, y) {
				return
			}
		}
	}
}

// fields walks the length-delimited fields of a protocol-buffer message and
// passes over the others; it ends at the first byte it cannot follow.
// Source: [Protobuf], encoding.
func fields(msg []byte) func(yield func(uint64, []byte) bool) {
	return func(yield func(uint64, []byte) bool) {
		for len(msg) > 0 {
			tag, n := binary.Uvarint(msg)
			if n <= 0 {
				return
			}
			msg = msg[n:]
			v, n := binary.Uvarint(msg)
			if n <= 0 {
				return
			}
			msg = msg[n:]
			switch tag & 7 {
			case 0:
			case 2:
				if v > uint64(len(msg)) || !yield(tag>>3, msg[:v]) {
					return
				}
				msg = msg[v:]
			default:
				return
			}
		}
	}
}
