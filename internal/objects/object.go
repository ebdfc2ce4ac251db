package objects

import "fmt"

// How an object is read.
type how byte

const (
	dry   how = 1 << iota // only to know whether it is as it should be
	alone                 // it is to be no stream
	core                  // it is an object stream: its length does not stand in another
)

// object takes the indirect object that stands at e.at (7.3.10), and says
// where it ends.
func (f *File) object(number int, e entry, h how) (v Value, end int, err error) {
	p := parser{in: f.data, at: int(e.at), end: len(f.data), refs: true, dry: h&dry != 0, limit: maxWeight}
	v, err = f.indirect(&p, number, int(e.generation), h)
	if err != nil {
		return nil, 0, within(number, err)
	}
	return v, p.at, nil
}

func (f *File) indirect(p *parser, number, generation int, h how) (Value, error) {
	if err := p.opening(number, generation); err != nil {
		return nil, err
	}
	p.space()
	body := p.at
	v, err := p.value(0)
	if err != nil {
		return nil, err
	}
	p.space()
	if p.keyword("endobj") {
		return v, nil
	}
	place := p.at
	if !p.keyword("stream") {
		return nil, damage(place, "endobj is expected, and %s stands there", p.excerpt(place))
	}
	if h&alone != 0 {
		return nil, damage(place, "a stream stands where there should be none")
	}
	if p.dry {
		// The dictionary is needed after all, to know the length.
		again := parser{in: p.in, at: body, end: p.end, refs: true, limit: maxWeight}
		v, _ = again.value(0)
	}
	d, ok := v.(Dict)
	if !ok {
		return nil, damage(place, "a stream has no dictionary before it")
	}
	return f.stream(p, d, h)
}

// opening takes "12 0 obj".
func (p *parser) opening(number, generation int) error {
	from := p.at
	n, ok := p.digits()
	p.space()
	g, ok2 := p.digits()
	p.space()
	if !ok || !ok2 || !p.keyword("obj") {
		return damage(from, "no object starts there, but %s stands", p.excerpt(from))
	}
	if n != number || g != generation {
		return damage(from, "object %d of generation %d stands where %d of generation %d is expected", n, g, number, generation)
	}
	return nil
}

// stream takes the bytes of a stream, whose keyword has just been taken
// (7.3.8.1).
func (f *File) stream(p *parser, d Dict, h how) (Value, error) {
	switch {
	case p.at < p.end && p.in[p.at] == '\n':
		p.at++
	case p.at+1 < p.end && p.in[p.at] == '\r' && p.in[p.at+1] == '\n':
		p.at += 2
	default:
		return nil, damage(p.at, "the keyword stream has no line end behind it")
	}
	length, err := f.length(d["Length"], h)
	if err != nil {
		return nil, damage(p.at, "the length of the stream is not known (%v)", err)
	}
	if length < 0 || length > p.end-p.at {
		return nil, damage(p.at, "the stream has a length of %d bytes, and %d are left of the file", length, p.end-p.at)
	}
	raw := p.in[p.at : p.at+length : p.at+length]
	p.at += length
	place := p.at
	if p.at < p.end && p.in[p.at] == '\r' {
		p.at++
	}
	if p.at < p.end && p.in[p.at] == '\n' {
		p.at++
	}
	if !p.keyword("endstream") {
		return nil, damage(place, "the stream does not end after the %d bytes that its length says", length)
	}
	p.space()
	if !p.keyword("endobj") {
		return nil, damage(p.at, "endobj is expected, and %s stands there", p.excerpt(p.at))
	}
	return &Stream{d, raw}, nil
}

// length is the length of a stream, which may be an object of its own. It is
// looked up once: the object may be long to read, and many streams may name it.
func (f *File) length(v Value, h how) (int, error) {
	r, ok := v.(Ref)
	if !ok {
		n, ok := v.(int64)
		if !ok {
			return 0, fmt.Errorf("it is no integer")
		}
		return int(n), nil
	}
	e := f.entry(r.Number)
	if e.state == free || int(e.generation) != r.Generation {
		return 0, fmt.Errorf("there is no object %d", r.Number)
	}
	if e.state == packed && h&core != 0 {
		return 0, fmt.Errorf("object %d stands in an object stream itself", r.Number)
	}
	if n, ok := f.lengths[r.Number]; ok {
		return n, nil
	}
	v, err := f.plain(r.Number, e)
	n, ok := v.(int64)
	switch {
	case err != nil:
		return 0, err
	case !ok:
		return 0, fmt.Errorf("object %d is no integer", r.Number)
	}
	f.lengths[r.Number] = int(n)
	return int(n), nil
}

// plain reads an object that is no stream.
func (f *File) plain(number int, e entry) (Value, error) {
	if e.state == packed {
		c, err := f.container(e.stream())
		if err != nil {
			return nil, err
		}
		return c.value(e.index(), false)
	}
	v, _, err := f.object(number, e, alone)
	return v, err
}
