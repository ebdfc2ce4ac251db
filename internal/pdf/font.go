package pdf

import (
	"fmt"
	"math"
	"strconv"

	"saltline/internal/frame"
	"saltline/internal/objects"
	"saltline/internal/truetype"
)

// The faces are embedded here, and not by the library, which took a third of the
// time of a daily report for them: it keeps a width for each of 65,536 characters,
// three times over, and spells them all as JSON to give the face a name. What is
// written is what the library writes.

// faceNames are what each face is called on a page, as the library would call it
// by all that it is.
var faceNames = [...]string{
	frame.Regular:           "F91317602fefa1a91374887b81ddfa857f8b9ad63",
	frame.SemiBold:          "F7dc7fcc5bbf64ce5ba0fe9073bf67b123488ae22",
	frame.Italic:            "Fd3574e7a6ccef517e70559b794f6c900834e2e4f",
	frame.Condensed:         "F28a6ecba06e4319e9a617550fcdd9c58e0f70c37",
	frame.CondensedSemiBold: "F1d8ded771fc7e48c9ebf65d8ba515fbaaba5b51d",
}

// baseNames are what each face is called of itself.
var baseNames = [...]objects.Name{
	frame.Regular:           "utf8ibmplexsans-regular",
	frame.SemiBold:          "utf8ibmplexsans-semibold",
	frame.Italic:            "utf8ibmplexsans-italic",
	frame.Condensed:         "utf8ibmplexsans-condensed",
	frame.CondensedSemiBold: "utf8ibmplexsans-condensedsemibold",
}

// inOrder are the faces in the order of their names, in which they are written.
var inOrder = [...]frame.Face{frame.Condensed, frame.CondensedSemiBold, frame.Italic, frame.Regular, frame.SemiBold}

// shown is what is shown in one face.
type shown struct {
	face       *truetype.Face
	operator   string // that selects it on a page, but for its size
	characters [1 << 16 / 64]uint64
}

func load(fonts *frame.Fonts, face frame.Face) *shown {
	s := &shown{face: fonts.Glyphs(face), operator: "/" + faceNames[face]}
	s.characters[0] = 1 // that of number 0 is embedded always, and has no code
	return s
}

// note notes the characters of s. It panics at one that has no code.
func (f *shown) note(s string) {
	for _, r := range s {
		if r > 0xFFFF {
			panic(fmt.Sprintf("the character %q is beyond U+FFFF", r))
		}
		f.characters[r>>6] |= 1 << (r & 63)
	}
}

// all are the characters that are embedded, in order.
func (f *shown) all() []rune {
	var all []rune
	for i, some := range f.characters {
		for bit := 0; some>>bit != 0; bit++ {
			if some>>bit&1 != 0 {
				all = append(all, rune(64*i+bit))
			}
		}
	}
	return all
}

// An embedded is a face as it is embedded, with numbers for its objects from the
// first on.
type embedded struct {
	face       frame.Face
	first      int
	descriptor objects.Dict
	normal     int // advance of the glyph for a missing one, in thousandths of the size
	widths     objects.Raw
	glyphs     []byte // of each code, packed
	file       []byte // packed
	length     int    // of the file
}

// objectsOfFace is how many objects a face is written in.
const objectsOfFace = 7

// embed makes the faces that are shown ready to be written, while the rest of the
// file is put together: one after the other, for each packer takes a megabyte. The
// library keeps the numbers of their objects free: it gives them to spot colours,
// of which nothing is written.
func (d *drawer) embed(pages int) {
	for _, face := range inOrder {
		s := d.shown[face]
		if s == nil {
			continue
		}
		e := &embedded{face: face, first: 3 + 2*pages + objectsOfFace*len(d.embedded)}
		d.embedded = append(d.embedded, e)
		for i := range objectsOfFace {
			d.out.AddSpotColor(strconv.Itoa(e.first+i), 0, 0, 0, 0)
		}
	}
	d.embedding.Go(func() {
		codes := make([]byte, 2<<16) // one memory for all of them
		for _, e := range d.embedded {
			e.make(d.shown[e.face], codes)
		}
	})
}

// make makes e of what is shown. codes is room for the glyph of each code.
func (e *embedded) make(s *shown, codes []byte) {
	all := s.all()
	file, glyphs := s.face.Cut(all)
	e.length, e.file = len(file), objects.Packed(file)
	clear(codes)
	for i, r := range all {
		if r == 0 {
			continue
		}
		codes[2*r], codes[2*r+1] = byte(glyphs[i]>>8), byte(glyphs[i])
	}
	e.glyphs = objects.Packed(codes)
	e.normal = s.thousandths(s.face.Advance(0))
	e.widths = widths(s.widths(all[len(all)-1]))
	e.describe(s)
}

// thousandths is a measure of the face in thousandths of its size.
func (s *shown) thousandths(n int) int {
	return int(math.Round(float64(n) * (1000 / float64(s.face.UnitsPerEm))))
}

// describe is the descriptor of the face, but for where its file is (ISO 32000-1,
// 9.8). How thick its strokes are is guessed from its weight, as is common practice.
func (e *embedded) describe(s *shown) {
	const symbolic, italic, fixed, bold = 1 << 2, 1 << 6, 1, 1 << 18
	m := s.face.Measures()
	flags := symbolic // its characters are not those of Latin alone
	if m.Angle != 0 {
		flags |= italic
	}
	if m.Weight >= 600 {
		flags |= bold
	}
	if m.Fixed {
		flags |= fixed
	}
	whole := func(n int) int { return int(float64(n) * (1000 / float64(s.face.UnitsPerEm))) }
	e.descriptor = objects.Dict{
		"Type": objects.Name("FontDescriptor"), "FontName": baseNames[e.face], "Flags": flags,
		"Ascent": whole(m.Ascent), "Descent": whole(m.Descent), "CapHeight": whole(m.Cap), "ItalicAngle": m.Angle,
		"FontBBox": objects.Array{whole(m.Box[0]), whole(m.Box[1]), whole(m.Box[2]), whole(m.Box[3])},
		"StemV":    50 + int(math.Pow(float64(m.Weight)/65, 2)), "MissingWidth": e.normal,
	}
}

// A width is the advance of a code.
type width struct{ code, is int }

// widths are those of the codes up to the last: of Latin all, of others those that
// are shown, and of none that has no glyph.
func (s *shown) widths(last rune) []width {
	var all []width
	for r := rune(1); r <= last; r++ {
		if r > 0xFF && s.characters[r>>6]>>(r&63)&1 == 0 {
			continue
		}
		if glyph := s.face.Glyph(r); glyph != 0 {
			all = append(all, width{int(r), s.thousandths(s.face.Advance(glyph))})
		}
	}
	return all
}

// A stretch is a list of widths of codes that follow one another.
type stretch struct {
	first  int
	widths []int
	alike  bool // the last of them at least two are the same
}

// next is the code behind the stretch.
func (s *stretch) next() int { return s.first + len(s.widths) }

// closed reports whether nothing is put together with the stretch.
func (s *stretch) closed() bool { return s.alike && len(s.widths) > 2 }

// widths spells widths (ISO 32000-1, 9.7.4.3). Where two widths after each other
// are the same, a stretch begins that ends with the last of them; short ones are
// put together again.
func widths(all []width) objects.Raw {
	var stretches []stretch
	for _, w := range all {
		n := len(stretches)
		if n == 0 || stretches[n-1].next() != w.code {
			stretches = append(stretches, stretch{first: w.code, widths: []int{w.is}})
			continue
		}
		s := &stretches[n-1]
		switch same := w.is == s.widths[len(s.widths)-1]; {
		case same && w.is == s.widths[0]:
			s.widths, s.alike = append(s.widths, w.is), true
		case same:
			s.widths = s.widths[:len(s.widths)-1]
			stretches = append(stretches, stretch{w.code - 1, []int{w.is, w.is}, true})
		case s.alike:
			stretches = append(stretches, stretch{first: w.code, widths: []int{w.is}})
		default:
			s.widths = append(s.widths, w.is)
		}
	}
	var joined []stretch
	closed := false // what came last, whatever it was joined to
	for _, s := range stretches {
		if n := len(joined); n > 0 && joined[n-1].next() == s.first && !closed && !s.closed() {
			joined[n-1].widths = append(joined[n-1].widths, s.widths...)
		} else {
			joined = append(joined, s)
		}
		closed = s.closed()
	}
	b := objects.Raw{'['}
	for i, s := range joined {
		if i > 0 {
			b = append(b, ' ')
		}
		b = s.spell(b)
	}
	return append(b, ']')
}

// spell spells a stretch: its first code and its last with their one width, or the
// first with all widths.
func (s *stretch) spell(b []byte) []byte {
	b = strconv.AppendInt(b, int64(s.first), 10)
	one := true
	for _, w := range s.widths {
		one = one && w == s.widths[0]
	}
	if one {
		b = strconv.AppendInt(append(b, ' '), int64(s.next()-1), 10)
		return strconv.AppendInt(append(b, ' '), int64(s.widths[0]), 10)
	}
	b = append(b, " ["...)
	for i, w := range s.widths {
		if i > 0 {
			b = append(b, ' ')
		}
		b = strconv.AppendInt(b, int64(w), 10)
	}
	return append(b, ']')
}

// faces writes of each face the table of characters, and keeps its other objects
// for their place in the file.
func (f *finisher) faces(d *drawer) {
	d.embedding.Wait()
	named := objects.Dict{}
	for _, e := range d.embedded {
		at := func(n int) objects.Ref { return objects.Ref{Number: e.first + n} }
		name := baseNames[e.face]
		named[objects.Name(faceNames[e.face])] = at(0)
		f.put(at(2), characters())
		f.instead[at(0)] = objects.Dict{
			"Type": objects.Name("Font"), "Subtype": objects.Name("Type0"), "BaseFont": name, "Encoding": objects.Name("Identity-H"),
			"DescendantFonts": objects.Array{at(1)}, "ToUnicode": at(2),
		}
		glyphs := objects.Dict{
			"Type": objects.Name("Font"), "Subtype": objects.Name("CIDFontType2"), "BaseFont": name, "CIDSystemInfo": at(3), "FontDescriptor": at(4),
			"W": e.widths, "CIDToGIDMap": at(5),
		}
		if e.normal != 0 {
			glyphs["DW"] = e.normal
		}
		f.instead[at(1)] = glyphs
		f.instead[at(3)] = objects.Dict{"Registry": objects.Text("Adobe"), "Ordering": objects.Text("UCS"), "Supplement": 0}
		e.descriptor["FontFile2"] = at(6)
		f.instead[at(4)] = e.descriptor
		f.instead[at(5)] = &objects.Stream{Dict: objects.Dict{"Filter": objects.Name("FlateDecode")}, Raw: e.glyphs}
		f.instead[at(6)] = &objects.Stream{Dict: objects.Dict{"Filter": objects.Name("FlateDecode"), "Length1": e.length}, Raw: e.file}
	}
	resources := objects.Ref{Number: 2}
	all := f.drawn.Dict(resources)
	all["Font"], all["ColorSpace"] = named, objects.Dict{}
	f.instead[resources] = all
}
