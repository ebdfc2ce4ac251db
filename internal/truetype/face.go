// Package truetype reads faces of TrueType files (ISO/IEC 14496-22) and cuts
// them down to the characters that a document shows.
package truetype

import (
	"encoding/binary"
	"errors"
	"fmt"
)

// A Face is a file of glyphs. It may be used from several goroutines at once.
// Measures are in units of which UnitsPerEm are the size that it is set in.
type Face struct {
	UnitsPerEm int

	tables           map[string][]byte
	hmtx, loca, glyf []byte // some of them
	glyphs           int
	segments         []byte // the table of characters in segments, format 4
	count            int    // of segments
}

var be = binary.BigEndian

// Parse reads a file. data is kept and not to be changed. It takes what the
// faces of this program are and refuses other kinds: there is a table of the
// characters up to U+FFFF in segments, every glyph has its own advance, and
// places of outlines take two bytes.
func Parse(data []byte) (*Face, error) {
	if len(data) < 12 || be.Uint32(data) != 0x00010000 {
		return nil, errors.New("it is no TrueType file")
	}
	f := &Face{tables: map[string][]byte{}}
	for i := range int(be.Uint16(data[4:])) {
		if len(data) < 12+16*(i+1) {
			return nil, errors.New("the list of tables is cut off")
		}
		entry := data[12+16*i:]
		at, n := uint64(be.Uint32(entry[8:])), uint64(be.Uint32(entry[12:]))
		if at+n > uint64(len(data)) {
			return nil, fmt.Errorf("the table %q is cut off", entry[:4])
		}
		f.tables[string(entry[:4])] = data[at : at+n : at+n]
	}
	for _, t := range []struct {
		name string
		size int
	}{{"head", 54}, {"hhea", 36}, {"maxp", 6}, {"OS/2", 96}, {"post", 32}, {"cmap", 4}, {"glyf", 0}} {
		if len(f.tables[t.name]) < t.size {
			return nil, fmt.Errorf("the table %q is missing or short", t.name)
		}
	}
	f.UnitsPerEm, f.glyphs = int(be.Uint16(f.tables["head"][18:])), int(be.Uint16(f.tables["maxp"][4:]))
	f.hmtx, f.loca, f.glyf = f.tables["hmtx"], f.tables["loca"], f.tables["glyf"]
	switch {
	case f.UnitsPerEm == 0 || f.glyphs == 0:
		return nil, errors.New("it has no size, or no glyphs")
	case int(be.Uint16(f.tables["hhea"][34:])) != f.glyphs || len(f.hmtx) < 4*f.glyphs:
		return nil, errors.New("not every glyph has an advance of its own")
	case be.Uint16(f.tables["head"][50:]) != 0 || len(f.loca) < 2*f.glyphs+2:
		return nil, errors.New("the places of outlines do not take two bytes each")
	}
	for g := range f.glyphs {
		if from, to := f.place(g), f.place(g+1); from > to || to > len(f.glyf) {
			return nil, fmt.Errorf("the outline of glyph %d is nowhere", g)
		}
	}
	return f, f.findSegments()
}

// findSegments takes the first table of characters that is of Unicode and in
// segments.
func (f *Face) findSegments() error {
	cmap := f.tables["cmap"]
	for i := range int(be.Uint16(cmap[2:])) {
		if len(cmap) < 4+8*(i+1) {
			break
		}
		entry := cmap[4+8*i:]
		system, coded, at := be.Uint16(entry), be.Uint16(entry[2:]), int(be.Uint32(entry[4:]))
		if system != 0 && (system != 3 || coded != 1) || at+14 > len(cmap) || be.Uint16(cmap[at:]) != 4 {
			continue
		}
		size, count := int(be.Uint16(cmap[at+2:])), int(be.Uint16(cmap[at+6:])/2)
		size = min(size, len(cmap)-at) // in a file that was cut it is too much
		if size < 16+8*count {
			break
		}
		f.segments, f.count = cmap[at:at+size], count
		return nil
	}
	return errors.New("it has no table of characters in segments")
}

// Glyph is the glyph of a character. The sign for a missing one is glyph 0.
func (f *Face) Glyph(r rune) int {
	g, _ := f.find(r)
	return g
}

// find is Glyph, and reports whether a segment holds the character, which it
// may do without a glyph for it.
func (f *Face) find(r rune) (glyph int, held bool) {
	const head = 14
	s, n := f.segments, 2*f.count
	low, high := 0, f.count // of the first segment that ends at r or after it
	for low < high {
		if mid := (low + high) / 2; rune(be.Uint16(s[head+2*mid:])) < r {
			low = mid + 1
		} else {
			high = mid
		}
	}
	if low == f.count || r < 0 {
		return 0, false
	}
	at := head + 2 + n + 2*low // of its first character; behind it, in steps of n, are its delta and its range
	first := rune(be.Uint16(s[at:]))
	if r < first {
		return 0, false
	}
	delta, within := int(be.Uint16(s[at+n:])), int(be.Uint16(s[at+2*n:]))
	g := int(r)
	if within != 0 {
		place := at + 2*n + within + 2*int(r-first)
		if place+2 > len(s) {
			return 0, true
		}
		if g = int(be.Uint16(s[place:])); g == 0 {
			return 0, true
		}
	}
	if g = (g + delta) & 0xFFFF; g >= f.glyphs {
		return 0, true
	}
	return g, true
}

// Advance is the advance of a glyph.
func (f *Face) Advance(glyph int) int { return int(be.Uint16(f.hmtx[4*glyph:])) }

// place is where the outline of a glyph begins. It ends where the next begins.
func (f *Face) place(glyph int) int { return 2 * int(be.Uint16(f.loca[2*glyph:])) }

func (f *Face) outline(glyph int) []byte { return f.glyf[f.place(glyph):f.place(glyph+1)] }

// Measures are what a document says of a face, in its units.
type Measures struct {
	Box                  [4]int // around all glyphs: left, bottom, right, top
	Ascent, Descent, Cap int    // Descent is negative
	Angle                int    // of upright strokes, whole degrees downwards, negative where they lean to the right
	Weight               int    // 400 is regular
	Fixed                bool   // all advances are alike
}

// Measures are those of the whole face, whatever it is cut down to.
func (f *Face) Measures() Measures {
	signed := func(table string, at int) int { return int(int16(be.Uint16(f.tables[table][at:]))) }
	m := Measures{
		Ascent: signed("hhea", 4), Descent: signed("hhea", 6), Cap: signed("OS/2", 88),
		Angle:  signed("post", 4),
		Weight: int(be.Uint16(f.tables["OS/2"][4:])), Fixed: be.Uint32(f.tables["post"][12:]) != 0,
	}
	for i := range m.Box {
		m.Box[i] = signed("head", 36+2*i)
	}
	return m
}
