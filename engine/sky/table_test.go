package sky

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"
)

// A row of a table in testdata, by column name. The first line of a table says
// where it comes from.
type row map[string]string

func table(t testing.TB, name string) []row {
	t.Helper()
	f, err := os.Open("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	lines, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var rows []row
	for _, l := range lines[1:] {
		m := row{}
		for i, name := range lines[0] {
			m[name] = l[i]
		}
		rows = append(rows, m)
	}
	if len(rows) == 0 {
		t.Fatalf("%s is empty", name)
	}
	return rows
}

func (r row) num(t testing.TB, column string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(r[column], 64)
	if err != nil {
		t.Fatalf("column %s: %v", column, err)
	}
	return x
}

// A worst keeps the largest error seen, so that the log says how good we are.
type worst float64

func (w *worst) see(err float64) float64 {
	err = math.Abs(err)
	if !(err <= float64(*w)) {
		*w = worst(err)
	}
	return err
}
