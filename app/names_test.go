package app_test

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"hardnoon/app"
	"hardnoon/session"
)

// names are as a reader of the page must give them back. Made up, of common parts.
var names = []string{"王小明", "李娜 (Li Na)", "山田 花子", "ささき ゆうた", "김민준", "שרה כהן", "محمد صلاح الدين", "علی رضایی", "สมชาย ใจดี", "გიორგი ბერიძე",
	"Արամ Պետրոսյան", "श्रीकृष्ण त्रिवेदी", "தமிழ்ச்செல்வி", "অনন্যা ভট্টাচার্য", "አበበ ቢቂላ", "សុខា", "သန္တာ", "ສົມສັກ", "Nguyễn Thị Ánh Nguyệt", "Žaneta Ångström", "Москвин Ёж"}

// Every name of a roster, put in piece by piece (NFD), comes back whole and in the
// order of reading: by pdftotext, by a library that reads what was drawn from
// left to right, and from the SVG.
func TestNamesOfEveryScript(t *testing.T) {
	s := demo(t)
	for i, n := range names {
		s.People = append(s.People, session.Person{ID: fmt.Sprintf("n%d", i), Name: norm.NFD.String(n)})
	}
	for _, kind := range []string{"list", "family"} {
		d, data := drawn(t, app.Paper{Kind: kind}, s)
		if d.Missing != "" {
			t.Errorf("%s: no letters for %q", kind, d.Missing)
		}
		pages := texts(t, data)
		var b bytes.Buffer
		if err := d.SVG(&b); err != nil {
			t.Fatal(err)
		}
		pages["SVG"] = b.String()
		for reader, page := range pages {
			page = strings.ReplaceAll(page, " ", "")
			if reader == "SVG" {
				page = b.String()
			}
			for _, n := range names {
				for word := range strings.FieldsSeq(norm.NFC.String(n)) {
					r := []rune(word)
					if reader == "library" && unicode.In(r[0], unicode.Hebrew, unicode.Arabic) {
						slices.Reverse(r)
					}
					if !strings.Contains(page, string(r)) {
						t.Errorf("%s, %s: no %q", kind, reader, word)
					}
				}
			}
		}
	}
}

// A session of many names is drawn about as fast as one in Latin.
func BenchmarkNames(b *testing.B) {
	s := demo(b)
	for i, n := range names {
		s.People = append(s.People, session.Person{ID: fmt.Sprintf("n%d", i), Name: n})
	}
	for b.Loop() {
		drawn(b, app.Paper{Kind: "list"}, s)
	}
}
