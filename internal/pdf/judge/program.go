package judge

import (
	"encoding/binary"
	"encoding/hex"
	"errors"
	"fmt"
	"regexp"
	"unicode/utf16"
)

// A trueType is what widths need of a TrueType program (ISO/IEC 14496-22,
// head, hhea, hmtx, maxp).
type trueType struct {
	unit   float64 // per em
	glyphs int
	wide   int // glyphs that have a width of their own
	hmtx   []byte
}

func parseTrueType(b []byte) (t trueType, err error) {
	if len(b) < 12 {
		return t, errors.New("there is no font program")
	}
	tables := map[string][]byte{}
	for i := range int(binary.BigEndian.Uint16(b[4:])) {
		at := 12 + 16*i
		if at+16 > len(b) {
			return t, errors.New("the font program is cut short")
		}
		from, n := int(binary.BigEndian.Uint32(b[at+8:])), int(binary.BigEndian.Uint32(b[at+12:]))
		if from+n > len(b) {
			return t, fmt.Errorf("the table %q of the font program is cut short", b[at:at+4])
		}
		tables[string(b[at:at+4])] = b[from : from+n]
	}
	for name, least := range map[string]int{"head": 54, "hhea": 36, "maxp": 6, "hmtx": 4, "glyf": 1, "loca": 4} {
		if len(tables[name]) < least {
			return t, fmt.Errorf("the font program has no table %q, or a short one", name)
		}
	}
	t.unit = float64(binary.BigEndian.Uint16(tables["head"][18:]))
	t.wide = int(binary.BigEndian.Uint16(tables["hhea"][34:]))
	t.glyphs = int(binary.BigEndian.Uint16(tables["maxp"][4:]))
	t.hmtx = tables["hmtx"]
	if t.unit == 0 || t.wide == 0 || 4*t.wide > len(t.hmtx) {
		return t, errors.New("the widths of the font program are cut short")
	}
	return t, nil
}

// width is the advance of a glyph in 1/1000 of the size.
func (t trueType) width(glyph int) float64 {
	at := 4 * min(glyph, t.wide-1)
	return float64(binary.BigEndian.Uint16(t.hmtx[at:])) * 1000 / t.unit
}

// characters is a table from codes of two bytes to characters (ISO 32000-1,
// 9.10.3).
type characters struct {
	ranges []characterRange
}

type characterRange struct {
	from, to uint16
	text     []byte // of the first, in UTF-16BE
}

var (
	rangePart  = regexp.MustCompile(`(?s)beginbfrange(.*?)endbfrange`)
	rangeLine  = regexp.MustCompile(`<([0-9A-Fa-f]{4})>\s*<([0-9A-Fa-f]{4})>\s*<((?:[0-9A-Fa-f]{4})+)>`)
	singlePart = regexp.MustCompile(`(?s)beginbfchar(.*?)endbfchar`)
	singleLine = regexp.MustCompile(`<([0-9A-Fa-f]{4})>\s*<((?:[0-9A-Fa-f]{4})+)>`)
)

func parseCharacters(table []byte) (c characters) {
	for _, part := range rangePart.FindAllSubmatch(table, -1) {
		for _, m := range rangeLine.FindAllSubmatch(part[1], -1) {
			c.add(m[1], m[2], m[3])
		}
	}
	for _, part := range singlePart.FindAllSubmatch(table, -1) {
		for _, m := range singleLine.FindAllSubmatch(part[1], -1) {
			c.add(m[1], m[1], m[2])
		}
	}
	return c
}

// add takes a range, unless it goes beyond the last byte of a code, which is
// no range then (9.10.3).
func (c *characters) add(from, to, text []byte) {
	var b []byte
	for _, digits := range [][]byte{from, to, text} {
		b, _ = hex.AppendDecode(b, digits) // the patterns let nothing else through
	}
	if r := (characterRange{binary.BigEndian.Uint16(b), binary.BigEndian.Uint16(b[2:]), b[4:]}); r.from>>8 == r.to>>8 && r.from <= r.to {
		c.ranges = append(c.ranges, r)
	}
}

func (c characters) text(code uint16) (string, bool) {
	for _, r := range c.ranges {
		if code < r.from || code > r.to {
			continue
		}
		units := utf16Units(r.text)
		units[len(units)-1] += code - r.from
		return string(utf16.Decode(units)), true
	}
	return "", false
}

func utf16Units(b []byte) []uint16 {
	var units []uint16
	for i := 0; i+1 < len(b); i += 2 {
		units = append(units, binary.BigEndian.Uint16(b[i:]))
	}
	return units
}

func utf16Text(b []byte) []rune { return utf16.Decode(utf16Units(b)) }
