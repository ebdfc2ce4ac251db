package pdf

import (
	"fmt"
	"strings"

	"github.com/go-pdf/fpdf"

	"saltline/internal/frame"
)

// shown is what is shown in one face. The library embeds a face with what it
// knows to be shown in it.
type shown struct {
	name       string // of the face on a page
	characters [1 << 16 / 64]uint64
}

// load gives a face to the library, which embeds every face that it knows.
func (d *drawer) load(face frame.Face) *shown {
	d.out.AddUTF8FontFromBytes(family(face), "", d.fonts.TTF(face))
	set := func(page interface{ SetFont(string, string, float64) }) { page.SetFont(family(face), "", 1) }
	set(d.out) // for bookmarks, which it encodes as it would text
	return &shown{name: word(d.spelled(func(page *fpdf.Tpl) { set(page) }), "/F")}
}

func family(face frame.Face) string { return "IBMPlexSans-" + face.String() }

// word is the last word of what the library wrote that begins with first.
func word(page []byte, first string) string {
	found := ""
	for w := range strings.FieldsSeq(string(page)) {
		if strings.HasPrefix(w, first) {
			found = w
		}
	}
	return found
}

// note notes the characters of s. It panics at one that the library cannot
// embed.
func (f *shown) note(s string) {
	for _, r := range s {
		if r > 0xFFFF {
			panic(fmt.Sprintf("the character %q is beyond U+FFFF", r))
		}
		f.characters[r>>6] |= 1 << (r & 63)
	}
}

// text is all that is shown.
func (f *shown) text() string {
	var all strings.Builder
	for i, some := range f.characters {
		for bit := range 64 {
			if some>>bit&1 != 0 {
				all.WriteRune(rune(64*i + bit))
			}
		}
	}
	return all.String()
}

// embed tells the library what is shown in each face. It writes that on the
// last page, whose contents are not taken from it.
func (d *drawer) embed() {
	for face, f := range d.shown {
		if f != nil {
			d.out.SetFont(family(frame.Face(face)), "", 1)
			d.out.Text(0, 0, f.text())
		}
	}
}
