package objects

import (
	"math"
	"strconv"
)

// A kind of character (7.2.2).
type kind byte

const (
	regular kind = iota
	white
	delimiter
)

var kinds = func() (k [256]kind) {
	for _, c := range []byte("\x00\t\n\f\r ") {
		k[c] = white
	}
	for _, c := range []byte("()<>[]{}/%") {
		k[c] = delimiter
	}
	return k
}()

// A parser reads values one behind the other. Dry, it says only whether they
// are as they should be, and what they would weigh.
type parser struct {
	in     []byte
	at     int
	end    int // of what may be read: len(in) or less
	dry    bool
	refs   bool // "12 0 R" is one value: not so in the content of a page
	weight int  // by estimate, in bytes of memory
	limit  int  // of the weight
	keys   []Name
}

func (p *parser) fail(at int, format string, args ...any) error { return damage(at, format, args...) }

// space goes over white space and comments.
func (p *parser) space() {
	for p.at < p.end {
		switch c := p.in[p.at]; {
		case kinds[c] == white:
			p.at++
		case c == '%':
			p.at = lineEnd(p.in[:p.end], p.at)
		default:
			return
		}
	}
}

// blank goes over white space alone.
func (p *parser) blank() {
	for p.at < p.end && kinds[p.in[p.at]] == white {
		p.at++
	}
}

// lineEnd is where the line that at is in ends, before its end-of-line marker.
func lineEnd(in []byte, at int) int {
	for at < len(in) && in[at] != '\n' && in[at] != '\r' {
		at++
	}
	return at
}

// word takes the regular characters that come next.
func (p *parser) word() []byte {
	from := p.at
	for p.at < p.end && kinds[p.in[p.at]] == regular {
		p.at++
	}
	return p.in[from:p.at]
}

// keyword takes w if it comes next, whole.
func (p *parser) keyword(w string) bool {
	from := p.at
	if string(p.word()) == w {
		return true
	}
	p.at = from
	return false
}

// digits takes a number without a sign, of at most ten digits: what names
// objects and places in a file.
func (p *parser) digits() (int, bool) {
	n, from := 0, p.at
	for p.at < p.end && p.in[p.at] >= '0' && p.in[p.at] <= '9' && p.at-from <= 10 {
		n = n*10 + int(p.in[p.at]-'0')
		p.at++
	}
	if p.at == from || p.at-from > 10 || p.at < p.end && kinds[p.in[p.at]] == regular {
		p.at = from
		return 0, false
	}
	return n, true
}

// Estimates of what values take in memory.
const (
	valueWeight = 32
	dictWeight  = 336
	entryWeight = 64
)

// value takes the value that comes next.
func (p *parser) value(depth int) (Value, error) {
	p.space()
	if p.weight += valueWeight; p.weight > p.limit {
		return nil, p.fail(p.at, "the object would take more than %d bytes of memory", p.limit)
	}
	if p.at >= p.end {
		return nil, p.fail(p.at, "a value is missing")
	}
	if depth > maxDepth {
		return nil, p.fail(p.at, "values are nested more than %d deep", maxDepth)
	}
	switch c := p.in[p.at]; {
	case c == '/':
		n, err := p.name()
		if p.dry || err != nil {
			return nil, err
		}
		return n, nil
	case c >= '0' && c <= '9':
		if p.refs {
			if r, ok := p.ref(); ok {
				if p.dry {
					return nil, nil
				}
				return r, nil
			}
		}
		return p.number()
	case c == '+' || c == '-' || c == '.':
		return p.number()
	case c == '(':
		return p.literal()
	case c == '[':
		return p.array(depth)
	case c == '<':
		if p.at+1 < p.end && p.in[p.at+1] == '<' {
			return p.dict(depth)
		}
		return p.hex()
	}
	from := p.at
	switch w := p.word(); string(w) {
	case "true":
		return true, nil
	case "false":
		return false, nil
	case "null":
		return nil, nil
	}
	p.at = from
	return nil, p.fail(from, "a value is expected, and %s stands there", p.excerpt(from))
}

// excerpt quotes a few bytes for a message.
func (p *parser) excerpt(at int) string {
	return strconv.QuoteToASCII(string(p.in[at:min(p.end, at+12)]))
}

// ref takes "12 0 R" if it comes next.
func (p *parser) ref() (Ref, bool) {
	from := p.at
	if n, ok := p.digits(); ok {
		p.blank()
		if g, ok := p.digits(); ok {
			p.blank()
			if p.at < p.end && p.in[p.at] == 'R' && (p.at+1 == p.end || kinds[p.in[p.at+1]] != regular) &&
				n <= maxNumber && g <= maxGeneration {
				p.at++
				return Ref{n, g}, true
			}
		}
	}
	p.at = from
	return Ref{}, false
}

// number takes an integer or a real (7.3.3). Two signs, an exponent or a
// letter, which readers take differently, are refused.
func (p *parser) number() (Value, error) {
	from := p.at
	w := p.word()
	digits, dots := 0, 0
	var n int64
	for i, c := range w {
		switch {
		case c >= '0' && c <= '9':
			if digits++; digits <= 18 {
				n = n*10 + int64(c-'0')
			}
		case c == '.' && dots == 0:
			dots++
		case (c == '-' || c == '+') && i == 0:
		default:
			digits = 0
			dots = 2
		}
	}
	switch {
	case digits == 0 || dots > 1 || len(w) > 400:
		return nil, p.fail(from, "%s is no number", p.excerpt(from))
	case dots == 0 && digits > 18:
		return nil, p.fail(from, "the integer %s has more than 18 digits", p.excerpt(from))
	case p.dry:
		return nil, nil
	case dots == 0:
		if w[0] == '-' {
			n = -n
		}
		return n, nil
	}
	v, err := strconv.ParseFloat(string(w), 64)
	if err != nil || math.Abs(v) > math.MaxFloat32 {
		return nil, p.fail(from, "the number %s is too large", p.excerpt(from))
	}
	return v, nil
}

// name takes a name. A number sign must have two hexadecimal digits behind it.
func (p *parser) name() (Name, error) {
	from := p.at
	p.at++
	w := p.word()
	p.weight += len(w)
	escaped := false
	for _, c := range w {
		escaped = escaped || c == '#'
	}
	if !escaped {
		if n, ok := known[string(w)]; ok {
			return n, nil
		}
		return Name(w), nil
	}
	out := make([]byte, 0, len(w))
	for i := 0; i < len(w); i++ {
		c := w[i]
		if c == '#' {
			if i+2 >= len(w) {
				return "", p.fail(from, "the name %s has a number sign without two digits", p.excerpt(from))
			}
			high, ok := unhex(w[i+1])
			low, ok2 := unhex(w[i+2])
			if c = high<<4 | low; !ok || !ok2 || c == 0 {
				return "", p.fail(from, "the name %s has a number sign without two digits", p.excerpt(from))
			}
			i += 2
		}
		out = append(out, c)
	}
	return Name(out), nil
}

func (p *parser) array(depth int) (Value, error) {
	from := p.at
	p.at++
	var out Array
	if !p.dry {
		out = Array{}
	}
	for {
		p.space()
		if p.at >= p.end {
			return nil, p.fail(from, "an array does not end")
		}
		if p.in[p.at] == ']' {
			p.at++
			if p.dry {
				return nil, nil
			}
			return out, nil
		}
		v, err := p.value(depth + 1)
		if err != nil {
			return nil, err
		}
		if !p.dry {
			out = append(out, v)
		}
	}
}
