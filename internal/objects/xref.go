package objects

import (
	"bytes"
	"fmt"
	"slices"
)

// A section is one set of cross-references with its trailer (7.5.4, 7.5.8).
type section struct {
	Span        // of the cross-references, to behind their %%EOF line
	tail    int // what the startxref behind them says
	prev    int // where those before start, -1 for none
	stream  bool
	entries []listed
	trailer Dict
	beside  []owned // the stream of a hybrid file
}

// section reads the cross-references that start at at.
func (r *reader) section(at int) (*section, error) {
	p := parser{in: r.data, at: at, end: len(r.data), refs: true, limit: maxTrailer}
	s := &section{Span: Span{Start: at}, prev: -1}
	var err error
	if p.keyword("xref") {
		err = r.classic(&p, s)
	} else {
		s.stream = true
		s.trailer, s.entries, _, err = r.streamed(&p)
	}
	if err != nil {
		return nil, err
	}
	if err := s.check(len(r.data)); err != nil {
		return nil, err
	}
	if p.blank(); s.prev > at && !bytes.HasPrefix(p.in[p.at:], []byte("startxref")) {
		s.End = p.at // the first part of a linearized file need not have a tail
	} else if s.tail, s.End, err = p.tail(); err != nil {
		return nil, err
	}
	if at := s.trailer["XRefStm"]; at != nil && !s.stream {
		err = r.hybrid(s, at)
	}
	return s, err
}

// check looks at the trailer (7.5.5).
func (s *section) check(length int) error {
	if s.trailer["Encrypt"] != nil {
		return ErrEncrypted
	}
	size, ok := s.trailer["Size"].(int64)
	if !ok || size < 1 || size > maxNumber+1 {
		return damage(s.Start, "the trailer does not say how many numbers are in use")
	}
	switch prev := s.trailer["Prev"].(type) {
	case nil:
	case int64:
		if prev < 0 || prev >= int64(length) {
			return damage(s.Start, "the cross-references before are said to stand at byte %d, outside the file", prev)
		}
		s.prev = int(prev)
	default:
		return damage(s.Start, "where the cross-references before stand is no number")
	}
	for _, e := range s.entries {
		if int64(e.number) >= size && e.state != free {
			return damage(s.Start, "object %d is listed, and the trailer says that the numbers end before %d", e.number, size)
		}
	}
	return nil
}

// count bounds the entries of all sections, by a file that has at least as
// many bytes.
func (r *reader) count(n, at int) error {
	if r.entries += n; r.entries > max(len(r.data), sparse) {
		return damage(at, "more objects are listed than a file of %d bytes can hold", len(r.data))
	}
	return nil
}

// numbers makes sure that a run of numbers is one that the file may use.
func (r *reader) numbers(first, n, at int) error {
	if top := max(len(r.data), sparse); first < 0 || n < 0 || first > min(top, maxNumber) || n > min(top, maxNumber)+1-first {
		return damage(at, "%d objects from number %d on are more than a file of %d bytes can hold", n, first, len(r.data))
	}
	return r.count(n, at)
}

// classic reads a classic table, behind its keyword, and the trailer.
func (r *reader) classic(p *parser, s *section) error {
	p.blank()
	for !p.keyword("trailer") {
		from := p.at
		first, ok := p.digits()
		p.blank()
		n, ok2 := p.digits()
		if !ok || !ok2 {
			return damage(from, "a part of the cross-reference table or the trailer is expected, and %s stands there", p.excerpt(from))
		}
		if err := r.numbers(first, n, from); err != nil {
			return err
		}
		p.blank()
		if n > (p.end-p.at)/entrySize {
			return damage(from, "the cross-reference table is cut short")
		}
		s.entries = slices.Grow(s.entries, n)
		for i := range n {
			e, ok := tableEntry(p.in[p.at : p.at+entrySize])
			if !ok {
				return damage(p.at, "an entry of the cross-reference table has not its 20 bytes, but %s", p.excerpt(p.at))
			}
			s.entries = append(s.entries, listed{first + i, e})
			p.at += entrySize
		}
		p.blank()
	}
	p.space()
	from := p.at
	if !bytes.HasPrefix(p.in[p.at:], []byte("<<")) {
		return damage(from, "the trailer has no dictionary")
	}
	v, err := p.value(0)
	if err != nil {
		return err
	}
	s.trailer = v.(Dict)
	return nil
}

// entrySize is the length of an entry of a classic table, always (7.5.4).
const entrySize = 20

func tableEntry(b []byte) (e entry, ok bool) {
	var at int64
	for _, c := range b[:10] {
		if c < '0' || c > '9' {
			return e, false
		}
		at = at*10 + int64(c-'0')
	}
	generation := 0
	for _, c := range b[11:16] {
		if c < '0' || c > '9' {
			return e, false
		}
		generation = generation*10 + int(c-'0')
	}
	end := string(b[18:])
	if b[10] != ' ' || b[16] != ' ' || generation > maxGeneration || end != " \n" && end != " \r" && end != "\r\n" {
		return e, false
	}
	switch b[17] {
	case 'n':
		return entry{at, uint16(generation), direct}, true
	case 'f':
		return entry{}, true
	}
	return e, false
}

// hybrid adds what the stream beside a classic table lists: it says where the
// objects are that the table hides or leaves out (7.5.8.4).
func (r *reader) hybrid(s *section, v Value) error {
	at, ok := v.(int64)
	if !ok || at < 0 || at >= int64(len(r.data)) {
		return damage(s.Start, "XRefStm is no place in the file")
	}
	p := parser{in: r.data, at: int(at), end: len(r.data), refs: true, limit: maxTrailer}
	trailer, entries, number, err := r.streamed(&p)
	if err != nil {
		return err
	}
	if trailer["Prev"] != nil || trailer["Encrypt"] != nil {
		return damage(int(at), "the cross-reference stream beside a table leads elsewhere")
	}
	s.beside = []owned{{Span{int(at), p.at}, number}}
	place := make(map[int]int, len(s.entries))
	for i, e := range s.entries {
		place[e.number] = i
	}
	for _, e := range entries {
		i, there := place[e.number]
		switch {
		case !there:
			s.entries = append(s.entries, e)
		case s.entries[i].state == free:
			s.entries[i] = e
		case e.state != free && e.entry != s.entries[i].entry:
			return damage(int(at), "object %d is listed at two places by the two cross-references of one update", e.number)
		}
	}
	return nil
}

// streamed reads a cross-reference stream (7.5.8).
func (r *reader) streamed(p *parser) (trailer Dict, entries []listed, number int, err error) {
	from := p.at
	number, ok := p.digits()
	p.space()
	generation, ok2 := p.digits()
	p.at = from
	if !ok || !ok2 {
		return nil, nil, 0, damage(from, "cross-references are expected, and %s stands there", p.excerpt(from))
	}
	v, err := r.indirect(p, number, generation, core)
	if err != nil {
		return nil, nil, 0, within(number, err)
	}
	s, ok := v.(*Stream)
	if !ok || s.Dict["Type"] != Name("XRef") {
		return nil, nil, 0, damage(from, "object %d is no cross-reference stream", number)
	}
	data, err := s.Data(r.room)
	if err != nil {
		return nil, nil, 0, damage(from, "the cross-reference stream is not read: %v", err)
	}
	r.room -= len(data)
	entries, err = r.rows(s.Dict, data, from)
	return s.Dict, entries, number, err
}

// rows reads the entries of a cross-reference stream (7.5.8.2, 7.5.8.3).
func (r *reader) rows(d Dict, data []byte, at int) ([]listed, error) {
	var width [3]int
	w, _ := d["W"].(Array)
	row := 0
	for i, v := range w {
		n, ok := v.(int64)
		if !ok || n < 0 || n > 8 || i > 2 {
			return nil, damage(at, "the widths of the cross-reference stream are not three small numbers")
		}
		width[i] = int(n)
		row += int(n)
	}
	if len(w) != 3 || width[1] == 0 {
		return nil, damage(at, "the widths of the cross-reference stream are not three small numbers")
	}
	index, ok := d["Index"].(Array)
	if !ok {
		if d["Index"] != nil {
			return nil, damage(at, "the index of the cross-reference stream is no array")
		}
		index = Array{int64(0), d["Size"]}
	}
	var out []listed
	for i := 0; i < len(index); i += 2 {
		if i+1 == len(index) {
			return nil, damage(at, "the index of the cross-reference stream is not in pairs")
		}
		first, ok := index[i].(int64)
		n, ok2 := index[i+1].(int64)
		if !ok || !ok2 || first < 0 || n < 0 || first > maxNumber || n > maxNumber {
			return nil, damage(at, "the index of the cross-reference stream names no numbers")
		}
		if n > int64(len(data)/row) {
			return nil, damage(at, "the cross-reference stream is shorter than its index says")
		}
		if err := r.numbers(int(first), int(n), at); err != nil {
			return nil, err
		}
		out = slices.Grow(out, int(n))
		for k := range int(n) {
			e, err := streamEntry(data[:row], width)
			if err != nil {
				return nil, damage(at, "object %d in the cross-reference stream: %v", int(first)+k, err)
			}
			out = append(out, listed{int(first) + k, e})
			data = data[row:]
		}
	}
	if len(data) > 0 {
		return nil, damage(at, "the cross-reference stream is %d bytes longer than its index says", len(data))
	}
	return out, nil
}

func streamEntry(row []byte, width [3]int) (entry, error) {
	var field [3]uint64
	for i, w := range width {
		for _, c := range row[:w] {
			field[i] = field[i]<<8 | uint64(c)
		}
		row = row[w:]
	}
	if width[0] == 0 {
		field[0] = 1
	}
	switch a, b := field[1], field[2]; field[0] {
	case 0:
		return entry{}, nil
	case 1:
		if a < 1<<40 && b <= maxGeneration {
			return entry{int64(a), uint16(b), direct}, nil
		}
	case 2:
		if a > 0 && a <= maxNumber && b <= maxNumber {
			return entry{int64(a)<<32 | int64(b), 0, packed}, nil
		}
	default:
		return entry{}, fmt.Errorf("the kind %d is not known", field[0])
	}
	return entry{}, fmt.Errorf("its place is out of range")
}
