package objects

import (
	"fmt"
	"math"
	"slices"
	"strconv"
)

// Spell appends v as it is written in a file. The same value has always the
// same spelling: the keys of a dictionary are sorted, Type first.
func Spell(dst []byte, v Value) ([]byte, error) {
	s := speller{out: dst}
	s.value(v, 0)
	return s.out, s.err
}

// A speller spells values one behind the other.
type speller struct {
	out   []byte
	keys  []Name // of the dictionaries that are open
	holes map[string]Span
	err   error
}

func (s *speller) fail(format string, args ...any) {
	if s.err == nil {
		s.err = fmt.Errorf(format, args...)
	}
}

func (s *speller) value(v Value, depth int) {
	if depth > maxDepth {
		s.fail("a value is nested more than %d deep", maxDepth)
		return
	}
	switch v := v.(type) {
	case nil:
		s.out = append(s.out, "null"...)
	case bool:
		s.out = strconv.AppendBool(s.out, v)
	case int:
		s.out = strconv.AppendInt(s.out, int64(v), 10)
	case int64:
		s.out = strconv.AppendInt(s.out, v, 10)
	case float64:
		s.real(v)
	case Name:
		s.name(v)
	case String:
		s.string(v)
	case Ref:
		s.out = strconv.AppendInt(s.out, int64(v.Number), 10)
		s.out = append(s.out, ' ')
		s.out = strconv.AppendInt(s.out, int64(v.Generation), 10)
		s.out = append(s.out, " R"...)
	case Array:
		s.out = append(s.out, '[')
		for i, e := range v {
			if i > 0 {
				s.out = append(s.out, ' ')
			}
			s.value(e, depth+1)
		}
		s.out = append(s.out, ']')
	case Dict:
		s.dict(v, nil, depth)
	case *Stream:
		s.stream(v, depth)
	case Raw:
		s.out = append(s.out, v...)
	case Hole:
		s.hole(v)
	default:
		s.fail("a %T is no value of a PDF file", v)
	}
}

// dict spells d, with the length of a stream where one is given.
func (s *speller) dict(d Dict, length Value, depth int) {
	from := len(s.keys)
	for k := range d {
		if k != "Type" && (length == nil || k != "Length") {
			s.keys = append(s.keys, k)
		}
	}
	if length != nil {
		s.keys = append(s.keys, "Length")
	}
	slices.Sort(s.keys[from:])
	s.out = append(s.out, "<<"...)
	if t, ok := d["Type"]; ok {
		s.out = append(s.out, "/Type "...)
		s.value(t, depth+1)
	}
	for i := from; i < len(s.keys); i++ {
		k := s.keys[i]
		v := d[k]
		if length != nil && k == "Length" {
			v = length
		}
		s.name(k)
		s.out = append(s.out, ' ')
		s.value(v, depth+1)
	}
	s.out = append(s.out, ">>"...)
	s.keys = s.keys[:from]
}

// stream spells a stream. Its Length is that of the bytes, whatever the
// dictionary says (7.3.8.2).
func (s *speller) stream(v *Stream, depth int) {
	if v == nil || depth > 0 {
		s.fail("a stream stands inside another object")
		return
	}
	s.dict(v.Dict, int64(len(v.Raw)), depth)
	s.out = append(s.out, "\nstream\n"...)
	s.out = append(s.out, v.Raw...)
	s.out = append(s.out, "\nendstream"...)
}

// real spells a number without an exponent, which PDF does not know (7.3.3).
func (s *speller) real(v float64) {
	if math.IsNaN(v) || math.Abs(v) > math.MaxFloat32 {
		s.fail("%v is no number of a PDF file", v)
		return
	}
	if v == 0 {
		v = 0 // and not -0
	}
	s.out = strconv.AppendFloat(s.out, v, 'f', -1, 64)
	if math.Abs(v) >= 1e15 {
		s.out = append(s.out, ".0"...) // too long for an integer
	}
}

const hexDigits = "0123456789ABCDEF"

// name escapes what is not a regular character between ! and ~ (7.3.5).
func (s *speller) name(n Name) {
	s.out = append(s.out, '/')
	for i := range len(n) {
		c := n[i]
		switch {
		case c == 0:
			s.fail("the name %q holds a zero byte", string(n))
		case c <= ' ' || c > '~' || c == '#' || kinds[c] != regular:
			s.out = append(s.out, '#', hexDigits[c>>4], hexDigits[c&15])
		default:
			s.out = append(s.out, c)
		}
	}
}

// string spells printable ASCII in parentheses, and all else as hexadecimal
// digits, so that no reader has line ends to convert.
func (s *speller) string(v String) {
	for _, c := range v {
		if c < ' ' || c > '~' {
			s.hex(v)
			return
		}
	}
	s.out = append(s.out, '(')
	for _, c := range v {
		if c == '(' || c == ')' || c == '\\' {
			s.out = append(s.out, '\\')
		}
		s.out = append(s.out, c)
	}
	s.out = append(s.out, ')')
}

func (s *speller) hex(v []byte) {
	s.out = append(s.out, '<')
	for _, c := range v {
		s.out = append(s.out, hexDigits[c>>4], hexDigits[c&15])
	}
	s.out = append(s.out, '>')
}

func (s *speller) hole(h Hole) {
	if s.holes == nil {
		s.fail("the hole %q stands where nobody can be told its place", h.Name)
		return
	}
	if _, twice := s.holes[h.Name]; twice || h.N < 0 {
		s.fail("the hole %q is there twice, or is less than empty", h.Name)
		return
	}
	start := len(s.out)
	fill, n := byte(' '), h.N
	if h.Hex {
		fill, n = '0', 2*h.N
		s.out = append(s.out, '<')
	}
	s.out = slices.Grow(s.out, n)
	for range n {
		s.out = append(s.out, fill)
	}
	if h.Hex {
		s.out = append(s.out, '>')
	}
	s.holes[h.Name] = Span{start, len(s.out)}
}
