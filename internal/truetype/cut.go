package truetype

import (
	"bytes"
	"maps"
	"slices"
)

// kept are the tables that are taken as they are.
var kept = []string{"name", "cvt ", "fpgm", "prep", "gasp", "OS/2"}

// Cut is a file of the face with the glyphs of some characters, which are in
// ascending order, and of what these are made of. The glyph of characters[i] in
// that file is glyphs[i]. The file has no code for the character 0.
//
// The bytes are those that the library fpdf makes of the same characters, with
// its errors in what no reader of a document looks at: the length of the table of
// characters, and the sum of the file.
func (f *Face) Cut(characters []rune) (file []byte, glyphs []int) {
	c := cutter{Face: f, now: map[int]int{}}
	was := make([]int, len(characters))
	held := make([]bool, len(characters))
	all := []int{0}
	for i, r := range characters {
		was[i], held[i] = f.find(r)
		all = append(all, was[i])
	}
	slices.Sort(all)
	for _, g := range slices.Compact(all) {
		c.take(g)
	}
	for i := range len(c.glyphs) {
		c.parts(c.glyphs[i])
	}
	var codes []code
	glyphs = make([]int, len(characters))
	for i, g := range was {
		if glyphs[i] = c.now[g]; held[i] && characters[i] != 0 {
			codes = append(codes, code{int(characters[i]), glyphs[i]})
		}
	}
	return c.file(codes), glyphs
}

// A cutter gives the glyphs that it takes new numbers, in the order it meets them.
type cutter struct {
	*Face
	glyphs []int       // taken, by their old numbers
	now    map[int]int // their new ones
}

func (c *cutter) take(glyph int) {
	c.now[glyph] = len(c.glyphs)
	c.glyphs = append(c.glyphs, glyph)
}

// parts takes the glyphs that a glyph is made of, and those that they are. A
// glyph is not looked at twice on the way down.
func (c *cutter) parts(glyph int, above ...int) {
	eachPart(c.outline(glyph), func(number []byte) {
		part := int(be.Uint16(number))
		if part >= c.Face.glyphs || part == glyph || slices.Contains(above, part) {
			return
		}
		if _, taken := c.now[part]; !taken {
			c.take(part)
		}
		c.parts(part, append(above, glyph)...)
	})
}

// eachPart calls do with the two bytes that number each glyph of which an
// outline is made.
func eachPart(outline []byte, do func(number []byte)) {
	const words, scale, more, scales, matrix = 1, 1 << 3, 1 << 5, 1 << 6, 1 << 7
	if len(outline) < 10 || outline[0]&0x80 == 0 {
		return
	}
	for at, flags := 10, uint16(more); flags&more != 0 && at+4 <= len(outline); {
		flags = be.Uint16(outline[at:])
		do(outline[at+2 : at+4])
		at += 6
		if flags&words != 0 {
			at += 2
		}
		switch {
		case flags&scale != 0:
			at += 2
		case flags&scales != 0:
			at += 4
		case flags&matrix != 0:
			at += 8
		}
	}
}

func (c *cutter) file(codes []code) []byte {
	tables := map[string][]byte{"cmap": segments(codes, len(c.glyphs))}
	for _, name := range kept {
		if table := c.tables[name]; len(table) > 0 {
			tables[name] = table
		}
	}
	var outlines, advances, places []byte
	for _, g := range c.glyphs {
		advances = append(advances, c.hmtx[4*g:4*g+4]...)
		places = be.AppendUint16(places, uint16(len(outlines)/2))
		from := len(outlines)
		outlines = append(outlines, c.outline(g)...)
		eachPart(outlines[from:], func(number []byte) { be.PutUint16(number, uint16(c.now[int(be.Uint16(number))])) })
		outlines = append(outlines, make([]byte, -len(outlines)&3)...)
	}
	tables["glyf"], tables["hmtx"], tables["loca"] = outlines, advances, be.AppendUint16(places, uint16(len(outlines)/2))

	count := uint16(len(c.glyphs))
	tables["head"] = with(c.tables["head"], 50, 0)
	clear(tables["head"][8:12]) // the sum of the file
	tables["hhea"] = with(c.tables["hhea"], 34, count)
	tables["maxp"] = with(c.tables["maxp"], 4, count)
	tables["post"] = append(append([]byte{0, 3, 0, 0}, c.tables["post"][4:16]...), make([]byte, 16)...) // without names
	return assemble(tables)
}

// with is a table with another number at a place.
func with(table []byte, at int, n uint16) []byte {
	table = bytes.Clone(table)
	be.PutUint16(table[at:], n)
	return table
}

// A code is a character and its glyph.
type code struct{ character, glyph int }

// segments is a table of characters in segments, of which each says its glyphs by
// their difference from the characters.
func segments(codes []code, glyphs int) []byte {
	var firsts, lasts []code
	for i, c := range codes {
		if i > 0 && c.character == codes[i-1].character+1 && c.glyph == codes[i-1].glyph+1 {
			lasts[len(lasts)-1] = c
		} else {
			firsts, lasts = append(firsts, c), append(lasts, c)
		}
	}
	n := len(firsts) + 1
	power, log := search(n)
	t := words(nil, 0, 1, 3, 1, 0, 12, 4, 16+8*n+glyphs+1, 0, 2*n, 2*power, log, 2*n-2*power)
	for _, c := range lasts {
		t = words(t, c.character)
	}
	t = words(t, 0xFFFF, 0)
	for _, c := range firsts {
		t = words(t, c.character)
	}
	t = words(t, 0xFFFF)
	for _, c := range firsts {
		t = words(t, c.glyph-c.character)
	}
	t = words(t, 1)
	t = append(t, make([]byte, 2*n)...)
	for _, c := range codes {
		t = words(t, c.glyph)
	}
	return words(t, 0)
}

// search is what readers that halve a list of n are told of it: the largest power
// of two in n, and its logarithm.
func search(n int) (power, log int) {
	for power = 1; power*2 <= n; power *= 2 {
		log++
	}
	return power, log
}

func words(b []byte, all ...int) []byte {
	for _, n := range all {
		b = be.AppendUint16(b, uint16(n))
	}
	return b
}

// assemble puts tables together, in the order of their names.
func assemble(tables map[string][]byte) []byte {
	n := len(tables)
	power, log := search(n)
	file := words([]byte{0, 1, 0, 0}, n, 16*power, log, 16*(n-power))
	names := slices.Sorted(maps.Keys(tables))
	at, head := len(file)+16*n, 0
	for _, name := range names {
		if name == "head" {
			head = at
		}
		file = be.AppendUint32(append(file, name...), sum(tables[name]))
		file = be.AppendUint32(be.AppendUint32(file, uint32(at)), uint32(len(tables[name])))
		at += (len(tables[name]) + 3) &^ 3
	}
	file = slices.Grow(file, at-len(file))
	for _, name := range names {
		file = append(file, tables[name]...)
		file = append(file, make([]byte, -len(file)&3)...)
	}
	// What is left of a number of the standard. The library carries from the lower
	// half to the upper the wrong way round.
	const of = 0xB1B0AFBA
	s := sum(file)
	left := uint32(of) - s
	if s&0xFFFF > of&0xFFFF {
		left += 2 << 16
	}
	be.PutUint32(file[head+8:], left)
	return file
}

// sum adds the words of four bytes of a table.
func sum(table []byte) (n uint32) {
	for ; len(table) >= 4; table = table[4:] {
		n += be.Uint32(table)
	}
	if len(table) > 0 {
		var last [4]byte
		copy(last[:], table)
		n += be.Uint32(last[:])
	}
	return n
}
