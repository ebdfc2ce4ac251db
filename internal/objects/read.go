package objects

import (
	"bytes"
	"errors"
	"slices"
)

// ErrEncrypted says that a file is encrypted, and so is not read.
var ErrEncrypted = errors.New("the file is encrypted")

// Read reads a file with all its updates, and makes sure of every object in
// it. data is kept and not to be changed. Errors are a *Damage or
// ErrEncrypted.
//
// Every byte must belong to an object, to cross-references or to a trailer,
// or be white space or a comment between them. The header must stand at byte
// 0: readers count places from it or from the start of the file (7.5.2).
func Read(data []byte) (*File, error) {
	version, body, err := header(data)
	if err != nil {
		return nil, err
	}
	r := reader{
		File:  &File{data: data, version: version, containers: map[int]*container{}, lengths: map[int]int{}, room: maxUnpacked},
		roots: map[Ref]entry{},
	}
	sections, err := r.sections()
	if err != nil {
		return nil, err
	}
	from := body
	for _, of := range sections {
		if err := r.update(from, of); err != nil {
			return nil, err
		}
		from = of[0].End
	}
	if err := r.cover(body); err != nil {
		return nil, err
	}
	return r.File, nil
}

// header finds the version, and where the line of the header ends.
func header(data []byte) (version string, end int, err error) {
	const mark = "%PDF-"
	at := bytes.Index(data[:min(len(data), 1024)], []byte(mark))
	switch {
	case at < 0:
		return "", 0, damage(0, "no PDF header stands in the first 1024 bytes")
	case at > 0:
		return "", 0, damage(0, "%d bytes stand before the PDF header", at)
	}
	end = lineEnd(data, 0)
	v := bytes.TrimRight(data[len(mark):end], " \t")
	if len(v) != 3 || v[0] < '1' || v[0] > '2' || v[1] != '.' || v[2] < '0' || v[2] > '9' {
		return "", 0, damage(len(mark), "the PDF header names no version")
	}
	return string(v), end, nil
}

// A reader reads a file.
type reader struct {
	*File
	entries int // that the cross-references have listed so far
	tables  []*section
	ranges  []owned
	roots   map[Ref]entry // catalogs that were looked at
}

// owned is a range of bytes with what it belongs to.
type owned struct {
	Span
	number int // of the object, 0 for cross-references
}

// sections gives the cross-references of each update, the original's first.
// An update has one, but for the original of a linearized file, which has two:
// the one that its end leads to is the second.
func (r *reader) sections() ([][]*section, error) {
	at, err := r.last()
	if err != nil {
		return nil, err
	}
	var out [][]*section
	for seen := map[int]bool{}; ; {
		if seen[at] {
			return nil, damage(at, "the cross-references lead back to themselves")
		}
		if seen[at] = true; len(out) == maxUpdates {
			return nil, damage(at, "the file has more than %d updates", maxUpdates)
		}
		s, err := r.section(at)
		if err != nil {
			return nil, err
		}
		update := []*section{s}
		if s.prev > s.Start {
			main, err := r.section(s.prev)
			if err != nil {
				return nil, err
			}
			if main.prev >= 0 || s.tail != 0 || main.tail != s.Start {
				return nil, damage(s.prev, "the cross-references at byte %d lead forward, and those there are not of a linearized file", s.Start)
			}
			update = []*section{main, s}
			s.prev = -1
		} else if s.tail != s.Start {
			return nil, damage(s.End, "startxref says %d, and the cross-references before it are at byte %d", s.tail, s.Start)
		}
		r.tables = append(r.tables, update...)
		out = append(out, update)
		if s.prev < 0 {
			break
		}
		at = s.prev
	}
	slices.Reverse(out)
	return out, nil
}

// last is where the last cross-references start (7.5.5).
func (r *reader) last() (int, error) {
	end := bytes.LastIndex(r.data, []byte("%%EOF"))
	if end < 0 {
		return 0, damage(len(r.data), "there is no end-of-file marker: the file is cut short")
	}
	p := parser{in: r.data, at: end + 5, end: len(r.data)}
	if p.blank(); p.at < p.end {
		return 0, damage(p.at, "%d bytes stand behind the last end-of-file marker", p.end-p.at)
	}
	p.at = bytes.LastIndex(r.data[:end], []byte("startxref"))
	if p.at < 0 {
		return 0, damage(end, "no startxref stands before the end-of-file marker")
	}
	at, _, err := p.tail()
	return at, err
}

// tail takes "startxref 123 %%EOF" with the line end behind it.
func (p *parser) tail() (at, end int, err error) {
	p.blank()
	from := p.at
	if !p.keyword("startxref") {
		return 0, 0, damage(from, "startxref is expected, and %s stands there", p.excerpt(from))
	}
	p.blank()
	from = p.at
	at, ok := p.digits()
	if !ok || at >= p.end {
		return 0, 0, damage(from, "startxref says %s, which is no place in the file", p.excerpt(from))
	}
	p.blank()
	from = p.at
	if !bytes.HasPrefix(p.in[p.at:p.end], []byte("%%EOF")) {
		return 0, 0, damage(from, "the end-of-file marker is expected, and %s stands there", p.excerpt(from))
	}
	p.at += 5
	switch rest := p.in[p.at:p.end]; {
	case bytes.HasPrefix(rest, []byte("\r\n")):
		p.at += 2
	case len(rest) > 0 && (rest[0] == '\n' || rest[0] == '\r'):
		p.at++
	case len(rest) > 0 && kinds[rest[0]] != white:
		return 0, 0, damage(p.at, "%s stands behind an end-of-file marker", p.excerpt(p.at))
	}
	return at, p.at, nil
}

// update takes the objects of an update, whose bytes start at from.
func (r *reader) update(from int, of []*section) error {
	last := of[len(of)-1]
	u := revision{start: from, end: of[0].End, xref: last.Start, stream: last.stream, trailer: last.trailer}
	if u.end <= from {
		return damage(last.Start, "the cross-references of an update stand before the end of what it updates")
	}
	for i, s := range of {
		changed, err := r.news(s)
		if err != nil {
			return err
		}
		for _, c := range changed {
			if i > 0 && r.entry(c.number).state != free {
				return damage(s.Start, "object %d is listed twice", c.number)
			}
		}
		r.apply(changed)
		u.changed = append(u.changed, changed...)
	}
	slices.SortFunc(u.changed, func(a, b listed) int { return a.number - b.number })
	if size := u.trailer["Size"].(int64); int64(len(r.table)) > size {
		return damage(last.Start, "the trailer says that the numbers end before %d, and there is an object %d", size, len(r.table)-1)
	}
	r.updates = append(r.updates, u)
	if err := r.direct(u); err != nil {
		return err
	}
	if err := r.packed(u); err != nil {
		return err
	}
	return r.catalog(u)
}

// catalog makes sure that there is one. It is read again only where it is
// another: it may be long.
func (r *reader) catalog(u revision) error {
	root, ok := u.trailer["Root"].(Ref)
	e := r.entry(root.Number)
	if known, ok := r.roots[root]; ok && known == e {
		return nil
	}
	if !ok || e.state == free {
		return damage(u.xref, "the trailer leads to no catalog")
	}
	if _, ok := r.Get(root).(Dict); !ok {
		return damage(u.xref, "the trailer leads to object %d, which is no catalog", root.Number)
	}
	r.roots[root] = e
	return nil
}

// news are the entries of a section that say something new, in the order of
// their numbers.
func (r *reader) news(s *section) ([]listed, error) {
	slices.SortStableFunc(s.entries, func(a, b listed) int { return a.number - b.number })
	out := s.entries[:0]
	before := -1
	for _, e := range s.entries {
		if e.number == before {
			return nil, damage(s.Start, "object %d is listed twice", e.number)
		}
		before = e.number
		was := r.entry(e.number)
		if was == e.entry || was.state == free && e.state == free {
			continue
		}
		if e.number == 0 {
			return nil, damage(s.Start, "object 0, which is never in use, is listed as in use")
		}
		if was.state != free {
			_, length := r.lengths[e.number]
			if length || r.containers[e.number] != nil {
				return nil, damage(s.Start, "object %d is changed by an update, and older objects are read by it", e.number)
			}
		}
		out = append(out, e)
	}
	s.entries = nil
	return slices.Clip(out), nil
}

// direct makes sure of the objects of an update that stand in the file
// themselves. They are taken in the order of their places, so that objects
// inside each other are found before they are read again and again.
func (r *reader) direct(u revision) error {
	var here []listed
	for _, c := range u.changed {
		if c.state == direct {
			here = append(here, c)
		}
	}
	slices.SortFunc(here, func(a, b listed) int { return int(a.at - b.at) })
	last := u.start
	for _, c := range here {
		switch at := int(c.at); {
		case at < u.start || at >= u.end:
			return damage(at, "object %d is said to stand there, outside its update from byte %d to %d", c.number, u.start, u.end)
		case at < last:
			return damage(at, "object %d is said to stand there, inside another object", c.number)
		}
		_, end, err := r.object(c.number, c.entry, dry)
		if err != nil {
			return err
		}
		r.ranges = append(r.ranges, owned{Span{int(c.at), end}, c.number})
		last = end
	}
	return nil
}

// packed makes sure of the objects of an update that stand in object streams.
func (r *reader) packed(u revision) error {
	for _, e := range u.changed {
		if e.state != packed {
			continue
		}
		if r.entry(e.stream()).state != direct {
			return damage(u.xref, "object %d is said to be in object stream %d, and there is none", e.number, e.stream())
		}
		c, err := r.container(e.stream())
		if err != nil {
			return within(e.number, err)
		}
		if i := e.index(); i >= len(c.numbers) || int(c.numbers[i]) != e.number {
			return c.damage(0, "object %d is said to be there with the index %d, and is not", e.number, i)
		}
	}
	return nil
}

// cover makes sure that every byte belongs to one thing.
func (r *reader) cover(body int) error {
	starts := map[int]bool{}
	for _, s := range r.tables {
		starts[s.Start] = true
	}
	// The stream of cross-references may list itself.
	r.ranges = slices.DeleteFunc(r.ranges, func(o owned) bool { return starts[o.Start] })
	for _, s := range r.tables {
		r.ranges = append(r.ranges, owned{s.Span, 0})
		r.ranges = append(r.ranges, s.beside...)
	}
	slices.SortFunc(r.ranges, func(a, b owned) int {
		if a.Start != b.Start {
			return a.Start - b.Start
		}
		return a.End - b.End
	})
	end := body
	for i, o := range r.ranges {
		if i > 0 && o == r.ranges[i-1] {
			continue // the beside of one update may be an object of another
		}
		if o.Start < end {
			return damage(o.Start, "what starts there is inside of what ends at byte %d", end)
		}
		if err := r.gap(end, o.Start); err != nil {
			return err
		}
		r.spans = append(r.spans, o.Span)
		end = o.End
	}
	return r.gap(end, len(r.data))
}

// gap makes sure that nothing but white space and comments stands between.
func (r *reader) gap(from, to int) error {
	p := parser{in: r.data, at: from, end: to}
	for {
		p.blank()
		if p.at >= to {
			return nil
		}
		rest := r.data[p.at:to]
		if rest[0] != '%' || bytes.HasPrefix(rest, []byte("%%EOF")) || bytes.HasPrefix(rest, []byte("%PDF-")) {
			break
		}
		p.at = lineEnd(r.data[:to], p.at)
	}
	for _, u := range r.updates[:len(r.updates)-1] {
		if u.end == from {
			return damage(p.at, "%s stands between the end of one update and the next", p.excerpt(p.at))
		}
	}
	return damage(p.at, "%s belongs to no object", p.excerpt(p.at))
}
