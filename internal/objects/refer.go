package objects

import (
	"fmt"
	"maps"
)

// idString is a half of a file identifier (14.4).
func idString(sum []byte) String { return String(sum[:16]) }

// references spells the cross-references of the objects, in the order of
// their numbers, with the trailer d and all to the end of the file. at is
// where they start. A stream takes the number size for itself.
func (s *speller) references(all []listed, size, at int, d Dict, stream bool) {
	if stream {
		s.referenceStream(append(all, listed{size, entry{int64(at), 0, direct}}), size, d)
	} else {
		s.out = append(s.out, "xref\n"...)
		if len(all) == 0 {
			s.out = append(s.out, "0 0\n"...)
		}
		for len(all) > 0 {
			n := run(all)
			s.out = fmt.Appendf(s.out, "%d %d\n", all[0].number, n)
			for _, e := range all[:n] {
				s.tableEntry(e)
			}
			all = all[n:]
		}
		d = maps.Clone(d)
		d["Size"] = int64(size)
		s.out = append(s.out, "trailer\n"...)
		s.value(d, 0)
	}
	s.out = fmt.Appendf(s.out, "\nstartxref\n%d\n%%%%EOF\n", at)
}

// run is how many entries at the start have numbers one behind the other.
func run(all []listed) int {
	n := 1
	for n < len(all) && all[n].number == all[n-1].number+1 {
		n++
	}
	return n
}

// tableEntry spells one entry of a classic table. What is free is free for
// good, which the generation 65535 says: no list of free numbers is kept.
func (s *speller) tableEntry(e listed) {
	switch {
	case e.state == packed:
		s.fail("object %d stands in an object stream, and a classic table cannot say so", e.number)
	case e.at > 9_999_999_999:
		s.fail("object %d stands further in the file than a classic table can say", e.number)
	}
	generation, letter := uint(e.generation), byte('n')
	if e.state == free {
		generation, letter = maxGeneration, 'f'
	}
	s.padded(uint64(e.at), 10)
	s.out = append(s.out, ' ')
	s.padded(uint64(generation), 5)
	s.out = append(s.out, ' ', letter, ' ', '\n')
}

func (s *speller) padded(n uint64, width int) {
	from := len(s.out)
	for range width {
		s.out = append(s.out, '0')
	}
	for i := from + width - 1; n > 0 && i >= from; i-- {
		s.out[i] = '0' + byte(n%10)
		n /= 10
	}
}

// Widths of an entry in a cross-reference stream, and of the row that it is.
const (
	kindWidth  = 1
	placeWidth = 5
	indexWidth = 2
	rowWidth   = kindWidth + placeWidth + indexWidth
)

// referenceStream spells a cross-reference stream. Each row is predicted from
// the one above it, from which it mostly differs by a little.
func (s *speller) referenceStream(all []listed, size int, d Dict) {
	rows := make([]byte, 0, len(all)*(rowWidth+1))
	var above, row [rowWidth]byte
	var index Array
	for len(all) > 0 {
		n := run(all)
		index = append(index, int64(all[0].number), int64(n))
		for _, e := range all[:n] {
			row = streamRow(e.entry)
			rows = append(rows, 2) // predicted by the row above
			for i, c := range row {
				rows = append(rows, c-above[i])
			}
			above = row
		}
		all = all[n:]
	}
	d = maps.Clone(d)
	d["Type"] = Name("XRef")
	d["Size"] = int64(size + 1)
	d["W"] = Array{int64(kindWidth), int64(placeWidth), int64(indexWidth)}
	d["Index"] = index
	packed := Deflated(d, rows)
	packed.Dict["DecodeParms"] = Dict{"Predictor": int64(12), "Columns": int64(rowWidth)}
	s.out = fmt.Appendf(s.out, "%d 0 obj\n", size)
	s.value(packed, 0)
	s.out = append(s.out, "\nendobj"...)
}

func streamRow(e entry) (row [rowWidth]byte) {
	row[0] = byte(e.state) // as 7.5.8.3 numbers them
	at, second := uint64(e.at), uint64(e.generation)
	switch e.state {
	case packed:
		at, second = uint64(e.stream()), uint64(e.index())
	case free:
		second = maxGeneration
	}
	for i := range placeWidth {
		row[kindWidth+i] = byte(at >> (8 * (placeWidth - 1 - i)))
	}
	row[rowWidth-2], row[rowWidth-1] = byte(second>>8), byte(second)
	return row
}
