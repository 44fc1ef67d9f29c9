package letters

import (
	"bytes"
	"compress/gzip"
	"embed"
	"io"
	"strings"
	"sync"
	"unicode"

	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/harfbuzz"

	"hardnoon/sheet"
)

//go:embed fonts
var files embed.FS

// Plain and Bold are the two files of the typeface the sheets are set in.
func Plain() []byte { return read("RobotoCondensed-Regular.ttf") }
func Bold() []byte  { return read("RobotoCondensed-Bold.ttf") }

// others are the fonts of the scripts the typeface lacks, in the order in which
// they are asked, and the scripts of each.
var others = []*face{
	one("DroidSansFallback", unicode.Han, unicode.Hiragana, unicode.Katakana, unicode.Bopomofo),
	{file: "NotoSansKR.otf.gz", scripts: []*unicode.RangeTable{unicode.Hangul}},
	one("NotoSansHebrew", unicode.Hebrew),
	one("NotoSansArabic", unicode.Arabic),
	one("NotoSansThai", unicode.Thai),
	one("NotoSansLao", unicode.Lao),
	one("NotoSansGeorgian", unicode.Georgian),
	one("NotoSansArmenian", unicode.Armenian),
	one("NotoSansDevanagari", unicode.Devanagari),
	one("NotoSansBengali", unicode.Bengali),
	one("NotoSansGurmukhi", unicode.Gurmukhi),
	one("NotoSansGujarati", unicode.Gujarati),
	one("NotoSansOriya", unicode.Oriya),
	one("NotoSansTamil", unicode.Tamil),
	one("NotoSansTelugu", unicode.Telugu),
	one("NotoSansKannada", unicode.Kannada),
	one("NotoSansMalayalam", unicode.Malayalam),
	one("NotoSansSinhala", unicode.Sinhala),
	one("NotoSansKhmer", unicode.Khmer),
	one("NotoSansMyanmar", unicode.Myanmar),
	one("NotoSansEthiopic", unicode.Ethiopic),
	one("NotoSansThaana", unicode.Thaana),
	one("NotoSansCherokee", unicode.Cherokee),
	one("NotoSansCanadianAboriginal", unicode.Canadian_Aboriginal),
	one("NotoSerifTibetan", unicode.Tibetan),
}

var typefaces = [2]*face{{file: "RobotoCondensed-Regular.ttf", typeface: true}, {file: "RobotoCondensed-Bold.ttf", typeface: true}}

// face is a font, read when it is first needed.
type face struct {
	file     string
	scripts  []*unicode.RangeTable
	typeface bool

	once    sync.Once
	outline *font.Face
	shapes  *harfbuzz.Font
}

func one(name string, scripts ...*unicode.RangeTable) *face {
	return &face{file: name + ".ttf.gz", scripts: scripts}
}

// read returns an embedded file. It cannot fail but by a broken build, which the
// tests see.
func read(name string) []byte {
	data, err := files.ReadFile("fonts/" + name)
	if err == nil && strings.HasSuffix(name, ".gz") {
		var z *gzip.Reader
		if z, err = gzip.NewReader(bytes.NewReader(data)); err == nil {
			data, err = io.ReadAll(z)
		}
	}
	if err != nil {
		panic("letters: " + err.Error())
	}
	return data
}

func (f *face) load() *face {
	f.once.Do(func() {
		o, err := font.ParseTTF(bytes.NewReader(read(f.file)))
		if err != nil {
			panic("letters: " + f.file + ": " + err.Error())
		}
		f.outline, f.shapes = o, harfbuzz.NewFont(o)
	})
	return f
}

func (f *face) shaper() *harfbuzz.Font { return f.load().shapes }

func (f *face) has(r rune) bool {
	_, ok := f.load().outline.NominalGlyph(r)
	return ok
}

// faceFor returns the font for a letter and what stands on it: the typeface if it
// has them all, else the first of the others that has the letter.
func faceFor(cluster []rune, bold bool, miss func(rune)) *face {
	usual := typefaces[0]
	if bold {
		usual = typefaces[1]
	}
	whole := true
	for _, r := range cluster {
		whole = whole && (sheet.InTypeface(r) || r == 0x200C || r == 0x200D)
	}
	if whole {
		return usual
	}
	for _, f := range candidates(cluster[0]) {
		if f.has(cluster[0]) {
			for _, r := range cluster[1:] {
				if !f.has(r) && r != 0x200C && r != 0x200D {
					miss(r)
				}
			}
			return f
		}
	}
	for _, r := range cluster {
		if !sheet.InTypeface(r) && !joiner(r) {
			miss(r)
		}
	}
	return usual
}

func joiner(r rune) bool { return r == 0x200C || r == 0x200D }

// candidates are the fonts of the script of r; of a letter that belongs to no
// one script, such as a full stop of the East, all of them.
func candidates(r rune) []*face {
	for _, f := range others {
		if unicode.In(r, f.scripts...) {
			return []*face{f}
		}
	}
	if unicode.In(r, unicode.Common, unicode.Inherited) {
		return others
	}
	return nil
}
