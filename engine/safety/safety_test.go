package safety_test

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
)

// table reads a file of testdata; its first line says where it comes from.
func table(t *testing.T, name string) []map[string]string {
	t.Helper()
	text, err := os.ReadFile("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	_, body, _ := strings.Cut(string(text), "\n")
	all, err := csv.NewReader(strings.NewReader(body)).ReadAll()
	if err != nil || len(all) < 2 {
		t.Fatalf("%s: %d lines, %v", name, len(all), err)
	}
	var out []map[string]string
	for _, row := range all[1:] {
		m := map[string]string{}
		for i, key := range all[0] {
			m[key] = row[i]
		}
		out = append(out, m)
	}
	return out
}

// figure returns a column as a number.
func figure(t *testing.T, row map[string]string, column string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(row[column], 64)
	if err != nil {
		t.Fatalf("column %s: %v in %v", column, err, row)
	}
	return x
}

// printed fails unless got rounds to the figure of a column, either way on a
// half.
func printed(t *testing.T, row map[string]string, column string, got float64, decimals int) {
	t.Helper()
	if want := figure(t, row, column); !(math.Abs(got-want) <= 0.5*math.Pow10(-decimals)+1e-9) {
		t.Errorf("%s is %.6f, want %v, in %v", column, got, want, row)
	}
}
