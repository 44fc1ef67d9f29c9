package session

import (
	"regexp"
	"testing"
)

// formSeeds are texts near the border of some form; the test walks over it.
var formSeeds = []string{
	"", " ", "\t\n\f\r ", "\v", " a ", "é", "\xff", "key-dish", "a", "-a", "a-", "a.", "k.2", "A", "a b",
	"aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa", // 64
	"2027-01-16T13:20", "2027-01-16T13:20:05", "2027-01-16T13:20:0", "2027-01-16 13:20", "2027-1-16T13:20",
	"1/250", "30", "0", "01", "99999", "100000", "1/999999", "1/1000000", "1/0", "1/", "/1", "1//2", "1/2/3",
	"America/Santiago", "Etc/GMT+3", "America/Argentina/Buenos_Aires", "UTC", "3/UTC", "/UTC", "UTC/", "a//b",
	"01J0-abcd", "12345678", "1234567",
}

// The functions against the patterns they stand for, on every seed and on all
// that differs from it in one place.
func TestFormsFitTheirPatterns(t *testing.T) {
	for _, seed := range formSeeds {
		sameForms(t, seed)
		for i := range len(seed) + 1 {
			for _, c := range " \n09azAZ-_+./:Té\x80" {
				sameForms(t, seed[:i]+string(c)+seed[i:])
				if i < len(seed) {
					sameForms(t, seed[:i]+string(c)+seed[i+1:])
					sameForms(t, seed[:i]+seed[i+1:])
				}
			}
		}
	}
}

func FuzzForms(f *testing.F) {
	for _, seed := range formSeeds {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, s string) { sameForms(t, s) })
}

var formPatterns = func() map[string]*regexp.Regexp {
	all := map[string]*regexp.Regexp{}
	for name, f := range forms {
		all[name] = regexp.MustCompile(f.pattern)
	}
	return all
}()

var tapID = regexp.MustCompile(`^[A-Za-z0-9-]{8,64}$`)

func sameForms(t *testing.T, s string) {
	t.Helper()
	for name, f := range forms {
		if got, want := f.fits(s), formPatterns[name].MatchString(s); got != want {
			t.Errorf("%q fits form %s: %v; the pattern says %v", s, name, got, want)
		}
	}
	if got, want := isTapID(s), tapID.MatchString(s); got != want {
		t.Errorf("%q is the id of a tap: %v; the pattern says %v", s, got, want)
	}
}

func TestAsNumber(t *testing.T) {
	for _, c := range []struct {
		text, unit string
		x          float64
		from       string
		ok         bool
	}{
		{"2.4", "m", 2.4, "", true},
		{" 2.4m ", "m", 2.4, "", true},
		{"8 ft", "m", 8, "ft", true},
		{"−3 °C", "°C", -3, "", true},
		{"f/5,6", "", 5.6, "", true},
		{"+12.", "m", 12, "", true},
		{"45 kg", "°", 45, "kg", true},
		{"2.4 smoots", "m", 0, "", false},
		{"1 ft 2", "m", 0, "", false},
		{"5 6", "m", 0, "", false},
		{"5.6.7", "m", 0, "", false},
		{"m", "m", 0, "", false},
		{"", "", 0, "", false},
	} {
		if x, from, ok := asNumber(c.text, c.unit); x != c.x || from != c.from || ok != c.ok {
			t.Errorf("asNumber(%q, %q) = %g, %q, %v", c.text, c.unit, x, from, ok)
		}
	}
}
