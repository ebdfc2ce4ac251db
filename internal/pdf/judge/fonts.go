package judge

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"saltline/internal/objects"
)

// The rules know fonts of TrueType outlines behind codes of two bytes, which
// are all that is written here; the first rule refuses all others.
var fontRules = []*Rule{
	{
		Name: "font-types", Clause: "ISO 19005-3, 6.2.11.2",
		Says: "Fonts are of type 0 with one font of type CIDFontType2 below. ISO 19005-3 allows more.",
		hold: func(s *subject) (f finding) {
			for _, o := range s.typed("Font") {
				switch s.Name(o.dict["Subtype"]) {
				case "Type0":
					f.unless(len(s.Array(o.dict["DescendantFonts"])) == 1 && s.Name(o.dict["BaseFont"]) != "", "%s: no single font below, or no name", o)
				case "CIDFontType2":
					f.unless(s.Name(o.dict["BaseFont"]) != "" && s.Dict(o.dict["FontDescriptor"]) != nil, "%s: no descriptor, or no name", o)
				default:
					f.add("%s: %s", o, s.Name(o.dict["Subtype"]))
				}
			}
			for r := range s.shown {
				f.unless(s.Name(s.Dict(r)["Subtype"]) == "Type0", "text is shown in object %d, which is no font", r.Number)
			}
			return f
		},
	}, {
		Name: "character-collection", Clause: "ISO 19005-3, 6.2.11.3.1",
		Says: "A font below says of which collection its characters are.",
		hold: func(s *subject) finding {
			return s.below(func(d objects.Dict) bool {
				info := s.Dict(d["CIDSystemInfo"])
				_, is := s.Int(info["Supplement"])
				return len(s.String(info["Registry"])) > 0 && len(s.String(info["Ordering"])) > 0 && is
			})
		},
	}, {
		Name: "glyph-map", Clause: "ISO 19005-3, 6.2.11.3.2; ISO 14289-1, 7.21.3.2",
		Says: "A font below has a table from characters to glyphs.",
		hold: func(s *subject) finding {
			return s.below(func(d objects.Dict) bool {
				return s.Stream(d["CIDToGIDMap"]) != nil || s.Name(d["CIDToGIDMap"]) == "Identity"
			})
		},
	}, {
		Name: "codes", Clause: "ISO 19005-3, 6.2.11.3.3; ISO 14289-1, 7.21.3.3",
		Says: "Codes are characters by the predefined table Identity-H or Identity-V. ISO 19005-3 allows more.",
		hold: func(s *subject) (f finding) {
			for _, o := range s.typed("Font") {
				if s.Name(o.dict["Subtype"]) == "Type0" {
					e := s.Name(o.dict["Encoding"])
					f.unless(e == "Identity-H" || e == "Identity-V", "%s: encoding %v", o, o.dict["Encoding"])
				}
			}
			return f
		},
	}, {
		Name: "embedded-fonts", Clause: "ISO 19005-3, 6.2.11.4; ISO 14289-1, 7.21.4.1",
		Says: "The program of every font is in the file and can be read, with a glyph for every character shown.",
		hold: embedded,
	}, {
		Name: "widths", Clause: "ISO 19005-3, 6.2.11.5; ISO 14289-1, 7.21.5",
		Says: "The widths in the file are those of the font program, to 1/1000 of the size.",
		hold: widths,
	}, {
		Name: "unicode", Clause: "ISO 19005-3, 6.2.11.7; ISO 14289-1, 7.21.7",
		Says: "Every code shown has a character in Unicode, which is not U+0000, U+FEFF or U+FFFE.",
		hold: unicodeOf,
	}, {
		Name: "no-notdef", Clause: "ISO 19005-3, 6.2.11.8; ISO 14289-1, 7.21.8",
		Says: "The glyph for what has no glyph is not shown.",
		hold: func(s *subject) finding {
			return s.glyphs(func(of font, code uint16, glyph int) string {
				if glyph == 0 {
					return fmt.Sprintf("code %04X has no glyph", code)
				}
				return ""
			})
		},
	},
}

// below holds the fonts that are below others against ok.
func (s *subject) below(ok func(objects.Dict) bool) (f finding) {
	for _, o := range s.typed("Font") {
		if s.Name(o.dict["Subtype"]) == "CIDFontType2" {
			f.unless(ok(o.dict), "%s", o)
		}
	}
	return f
}

// A font in which text is shown.
type font struct {
	ref     objects.Ref
	dict    objects.Dict
	below   objects.Dict
	program []byte
	err     error // of the program
	glyph   func(code uint16) int
	codes   []uint16 // shown, ascending
}

// fonts are those in which text is shown.
func (s *subject) fonts() []font {
	var out []font
	byNumber := func(a, b objects.Ref) int { return a.Number - b.Number }
	for _, r := range slices.SortedFunc(maps.Keys(s.shown), byNumber) {
		f := font{ref: r, dict: s.Dict(r), codes: slices.Sorted(maps.Keys(s.shown[r]))}
		if below := s.Array(f.dict["DescendantFonts"]); len(below) == 1 {
			f.below = s.Dict(below[0])
		}
		f.program, f.err = s.Data(s.Dict(f.below["FontDescriptor"])["FontFile2"], maxStream)
		table, _ := s.Data(f.below["CIDToGIDMap"], maxStream)
		f.glyph = func(code uint16) int {
			if i := 2 * int(code); table != nil && i+1 < len(table) {
				return int(table[i])<<8 | int(table[i+1])
			} else if table != nil {
				return 0
			}
			return int(code) // Identity
		}
		out = append(out, f)
	}
	return out
}

// glyphs asks of every code shown, and reports at most five of a font.
func (s *subject) glyphs(wrong func(of font, code uint16, glyph int) string) (f finding) {
	for _, of := range s.fonts() {
		n := 0
		for _, code := range of.codes {
			if what := wrong(of, code, of.glyph(code)); what != "" && n < 5 {
				f.add("object %d: %s", of.ref.Number, what)
				n++
			}
		}
	}
	return f
}

func embedded(s *subject) (f finding) {
	for _, o := range s.typed("FontDescriptor") {
		_, err := parseTrueType(s.program(o.dict))
		f.unless(err == nil, "%s: %v", o, err)
	}
	programs := map[objects.Ref]trueType{}
	return append(f, s.glyphs(func(of font, code uint16, glyph int) string {
		t, known := programs[of.ref]
		if !known {
			t, _ = parseTrueType(of.program)
			programs[of.ref] = t
		}
		if glyph >= t.glyphs {
			return fmt.Sprintf("code %04X is glyph %d, and the program has %d", code, glyph, t.glyphs)
		}
		return ""
	})...)
}

// program is the font program of a descriptor, or nil.
func (s *subject) program(descriptor objects.Dict) []byte {
	data, err := s.Data(descriptor["FontFile2"], maxStream)
	if err != nil {
		return nil
	}
	return data
}

func widths(s *subject) (f finding) {
	for _, of := range s.fonts() {
		t, err := parseTrueType(of.program)
		if err != nil {
			continue // another rule's
		}
		said, n := s.widthsSaid(of.below), 0
		for _, code := range of.codes {
			is := t.width(of.glyph(code))
			if math.Abs(said(int(code))-is) > 1 && n < 5 {
				f.add("object %d: code %04X is said to be %g wide, and is %g", of.ref.Number, code, said(int(code)), is)
				n++
			}
		}
	}
	return f
}

// widthsSaid are those of the font's dictionary (ISO 32000-1, 9.7.4.3).
func (s *subject) widthsSaid(d objects.Dict) func(cid int) float64 {
	said := map[int]float64{}
	w := s.Array(d["W"])
	for i := 0; i+1 < len(w); {
		first, _ := s.Int(w[i])
		if list := s.Array(w[i+1]); list != nil {
			for k, v := range list {
				said[first+k], _ = s.Number(v)
			}
			i += 2
			continue
		}
		if i+2 >= len(w) {
			break
		}
		last, _ := s.Int(w[i+1])
		for cid := first; cid <= min(last, math.MaxUint16); cid++ {
			said[cid], _ = s.Number(w[i+2])
		}
		i += 3
	}
	other, is := s.Number(d["DW"])
	if !is {
		other = 1000
	}
	return func(cid int) float64 {
		if v, known := said[cid]; known {
			return v
		}
		return other
	}
}

func unicodeOf(s *subject) (f finding) {
	tables := map[objects.Ref]characters{}
	for _, o := range s.typed("Font") {
		if s.Name(o.dict["Subtype"]) == "Type0" {
			f.unless(s.Stream(o.dict["ToUnicode"]) != nil, "%s has no table of characters", o)
		}
	}
	return append(f, s.glyphs(func(of font, code uint16, _ int) string {
		table, known := tables[of.ref]
		if !known {
			data, _ := s.Data(of.dict["ToUnicode"], maxStream)
			table = parseCharacters(data)
			tables[of.ref] = table
		}
		text, known := table.text(code)
		switch {
		case !known:
			return fmt.Sprintf("code %04X is no character", code)
		case slices.ContainsFunc([]rune(text), func(r rune) bool { return r == 0 || r == 0xFEFF || r == 0xFFFE }) || text == "":
			return fmt.Sprintf("code %04X is %+q", code, text)
		}
		return ""
	})...)
}
