package frame

import (
	"fmt"
	"strings"
	"sync/atomic"
	"unicode/utf8"

	"saltline/internal/truetype"
)

// A Face is one of the type faces a document is set in.
type Face uint8

const (
	Regular Face = iota
	SemiBold
	Italic
	Condensed
	CondensedSemiBold
	faceCount
)

var faceNames = [faceCount]string{"Regular", "SemiBold", "Italic", "Condensed", "CondensedSemiBold"}

var faceFiles = [faceCount]string{
	"IBMPlexSans-Regular.ttf",
	"IBMPlexSans-SemiBold.ttf",
	"IBMPlexSans-Italic.ttf",
	"IBMPlexSansCondensed-Regular.ttf",
	"IBMPlexSansCondensed-SemiBold.ttf",
}

// String is the name of the face.
func (f Face) String() string { return faceNames[f] }

// Bold is the heavier face of the same width.
func (f Face) Bold() Face {
	switch f {
	case Condensed, CondensedSemiBold:
		return CondensedSemiBold
	}
	return SemiBold
}

// Fonts are the five faces with their metrics. They may be used from several
// goroutines at once.
type Fonts struct{ faces [faceCount]face }

// LoadFonts reads the faces from files, which holds them under their own
// names and hands them out for reading only. It fails on a missing or damaged
// file.
func LoadFonts(files interface {
	ReadFile(name string) ([]byte, error)
}) (*Fonts, error) {
	fonts := new(Fonts)
	for i := range fonts.faces {
		data, err := files.ReadFile(faceFiles[i])
		if err != nil {
			return nil, fmt.Errorf("font %s: %w", Face(i), err)
		}
		if err := fonts.faces[i].parse(data); err != nil {
			return nil, fmt.Errorf("font %s: %w", Face(i), err)
		}
	}
	return fonts, nil
}

// Glyphs are those of a face.
func (f *Fonts) Glyphs(face Face) *truetype.Face { return f.faces[face].font }

// Width is the advance of s set in face at size, in points. The space between
// two letters is not adjusted (no kerning), which keeps digits in columns.
func (f *Fonts) Width(face Face, size float64, s string) float64 {
	fc := &f.faces[face]
	w := 0
	for _, r := range s {
		w += int(fc.glyph(r).advance)
	}
	return float64(w) * size / fc.unitsPerEm
}

// Covers reports whether face has a glyph for r.
func (f *Fonts) Covers(face Face, r rune) bool {
	return r <= 0xFFFF && f.faces[face].glyph(r).has
}

// Shown is s fit for a page in face: clean, and with U+FFFD for what the face
// cannot show, so that nothing is measured or drawn that is not there.
func (f *Fonts) Shown(face Face, s string) string {
	if isPlain(s) || f.asItIs(face, s) {
		return s
	}
	s, _ = Clean(s)
	return strings.Map(func(r rune) rune {
		if r != '\n' && r >= utf8.RuneSelf && !f.Covers(face, r) {
			return utf8.RuneError
		}
		return r
	}, s)
}

// asItIs reports whether Shown has nothing to do: most text that is not plain has
// a unit, a dash or an accent in it, which stand alone and are their own form.
func (f *Fonts) asItIs(face Face, s string) bool {
	for _, r := range s {
		switch {
		case ' ' <= r && r <= '~':
		case 0xA0 <= r && r < 0x300 && r != softHyphen, '‐' <= r && r <= '…', '₀' <= r && r <= '₉', r == '−', r == '≤', r == '≥':
			if !f.Covers(face, r) {
				return false
			}
		default:
			return false
		}
	}
	return true
}

const softHyphen = 0xAD

// Unshown lists the characters of s that no face of f can show, each once, in
// the order they occur.
func (f *Fonts) Unshown(s string) []rune {
	var out []rune
	seen := map[rune]bool{}
	for _, r := range s {
		if r != '\n' && !seen[r] && !f.Covers(Regular, r) {
			seen[r] = true
			out = append(out, r)
		}
	}
	return out
}

// Metrics are the vertical measures of a face at a size, in points, all
// positive.
type Metrics struct {
	Ascent  float64 // of the tallest letters, above the baseline
	Descent float64 // below the baseline
	Cap     float64 // height of capital letters
}

// Metrics returns the vertical measures of face at size.
func (f *Fonts) Metrics(face Face, size float64) Metrics {
	fc := &f.faces[face]
	k := size / fc.unitsPerEm
	m := fc.measures
	return Metrics{float64(m.Ascent) * k, float64(-m.Descent) * k, float64(m.Cap) * k}
}

// face is a parsed font file. Its measures are in font units.
type face struct {
	font       *truetype.Face
	unitsPerEm float64
	measures   truetype.Measures
	blocks     [0x100]atomic.Pointer[block]
}

// A block holds the glyphs of 256 consecutive characters. Blocks are filled
// when first asked for: most documents use two or three.
type block [0x100]glyph

type glyph struct {
	advance int16
	has     bool
}

func (fc *face) parse(data []byte) error {
	font, err := truetype.Parse(data)
	if err != nil {
		return err
	}
	fc.font = font
	fc.unitsPerEm, fc.measures = float64(font.UnitsPerEm), font.Measures()
	return nil
}

func (fc *face) glyph(r rune) glyph {
	if r < 0 || r > 0xFFFF {
		r = 0xFFFD
	}
	b := fc.blocks[r>>8].Load()
	if b == nil {
		b = fc.fill(r &^ 0xFF)
		fc.blocks[r>>8].Store(b)
	}
	return b[r&0xFF]
}

// fill reads the block that begins with first. A character without a glyph has the
// advance of the font's own sign for a missing one.
func (fc *face) fill(first rune) *block {
	b := new(block)
	for i := range b {
		index := fc.font.Glyph(first + rune(i))
		b[i] = glyph{int16(fc.font.Advance(index)), index != 0}
	}
	return b
}
