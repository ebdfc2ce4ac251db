package table

import (
	"encoding/binary"
	"fmt"
	"math"
	"math/bits"
	"slices"
	"strings"
	"unsafe"

	"saltline/internal/crew"
	"saltline/internal/diag"
	"saltline/internal/memory"
)

// stretchBytes is about how much of a text file one processor looks at before it
// takes the next stretch. A stretch ends with a line. A test makes it short.
var stretchBytes = 256 << 10

// A cutter cuts a text file into rows. A line with no quotation marks but such as
// stand plainly around a cell is a row by itself, so stretches of such lines are cut
// side by side; at any other line the scanner goes on by a record, which may run
// into the next stretch.
type cutter struct {
	*reader
	at        diag.Pos // the file
	text      string
	delim     string
	lines     int // up to the last that is not empty
	stretches []stretch
	rows      []Row  // by the number of the line that they begin in, from 1
	bulk      bool   // plain lines are cut without the scanner
	marked    *block // where the rows lie that the scanner cuts
	gaps      bool   // a record ran over several lines
}

// A stretch is some lines of a text.
type stretch struct {
	from, to int    // in the text
	line     int    // the number of its first line
	lines    int    // how many
	last     int    // the number of the last line that is not empty, from 1 in the stretch; 0 for none
	long     int    // the number of the first line that is too long, likewise
	length   int    // of that, in bytes
	delims   int    // delimiters
	alike    int    // lines with as many of them as a line of the table has
	widest   int    // the most delimiters of a line
	in       *block // where the rows of its plain lines lie; nil where the scanner cuts all
	cut      int    // up to where it is cut, in the text
	next     int    // the number of the line there
}

// survey parts the text and counts its lines up to the last that is not empty. It
// refuses a text with more of them, or with a longer one, than the limits allow:
// before anything is cut, since what cuts a line looks at it more than once.
func (c *cutter) survey(text string) error {
	c.text, c.stretches = text, stretchesOf(text)
	crew.Do(len(c.stretches), func(k int) { c.stretches[k].survey(text, c.limits.Line) })
	n := 0
	for k := range c.stretches {
		s := &c.stretches[k]
		s.line = n + 1
		if s.long > 0 {
			return c.refuse(c.at.At(n+s.long, 0), "line-too-long",
				fmt.Sprintf("a line of %d bytes", s.length),
				fmt.Sprintf("at most %d", c.limits.Line),
				"check that this is a table with one test a line")
		}
		if s.last > 0 {
			c.lines = n + s.last
		}
		n += s.lines
	}
	return c.room("", c.lines, 0)
}

// stretchesOf parts a text at ends of lines.
func stretchesOf(text string) []stretch {
	var all []stretch
	for from := 0; from < len(text); {
		to := min(from+stretchBytes, len(text))
		if i := strings.IndexByte(text[to:], '\n'); i >= 0 {
			to += i + 1
		} else {
			to = len(text)
		}
		all = append(all, stretch{from: from, to: to})
		from = to
	}
	return all
}

func (s *stretch) survey(text string, longest int) {
	text = text[s.from:s.to]
	for rest := text; rest != ""; {
		var line string
		line, rest = cutLine(rest)
		s.lines++
		if len(line) > longest {
			s.long, s.length = s.lines, len(line)
			return
		}
		if len(line) > 2 || strings.Trim(line, "\r\n") != "" {
			s.last = s.lines
		}
	}
}

// count counts delimiters. full is how many a line of the table has; between
// quotation marks a cell may hold more.
func (s *stretch) count(text, delim string, full int) {
	for rest := text[s.from:s.to]; rest != ""; {
		var line string
		line, rest = cutLine(rest)
		n := strings.Count(line, delim)
		s.delims += n
		s.widest = max(s.widest, n)
		if n == full || n > full && strings.IndexByte(line, '"') >= 0 {
			s.alike++
		}
	}
}

// cut cuts the lines behind the first begin bytes, whose rows are there already,
// into rows.
func (c *cutter) cut(begin int, delim rune) error {
	if len(c.stretches) == 0 {
		return nil
	}
	c.delim = string(delim)
	head := &c.stretches[0]
	head.from, head.line, head.lines = head.from+begin, head.line+len(c.rows), head.lines-len(c.rows)
	s := newScanner(c.text[begin:], delim, len(c.rows)+1, c.limits)
	crew.Do(len(c.stretches), func(k int) { c.stretches[k].count(c.text, c.delim, s.full) })
	alike, lines, delims := 0, 0, 0
	for _, st := range c.stretches {
		alike, lines, delims = alike+st.alike, lines+st.lines, delims+st.delims
	}
	const fewest = 3 // delimiters of a table
	if c.lines > mostUneven && (s.full < fewest || alike*10 < lines*9) {
		return c.refuse(c.at, "sheet-too-large", fmt.Sprintf("%d lines that are not cut alike", c.lines),
			fmt.Sprintf("at most %d, or the rows of a table", mostUneven), "check that this is a table with one test a line")
	}
	rows := memory.Make[Row](max(c.lines, len(c.rows)))
	copy(rows, c.rows)
	c.rows = rows
	c.bulk = !c.careful && len(c.delim) == 1 && !strings.Contains("\"\r\n ", c.delim) && lines+delims <= c.limits.Cells && len(c.text) <= math.MaxUint32
	room := 0
	for k := range c.stretches {
		room += c.stretches[k].refs()
	}
	if !c.bulk {
		room = 0
	}
	refs := memory.Make[uint32](room)
	for k := range c.stretches {
		if st := &c.stretches[k]; c.bulk && st.widest < c.limits.Cols {
			n := st.refs()
			st.in = &block{sheet: c.at, text: c.text, gap: uint32(len(c.delim)), refs: refs[:0:n]}
			refs = refs[n:]
		}
	}
	crew.Do(len(c.stretches), func(k int) {
		if st := &c.stretches[k]; st.in != nil {
			st.cut, st.next = c.fill(st.in, st.from, st.to, st.line)
		}
	})
	c.marked = &block{sheet: c.at, bank: newBank()}
	for k := range c.stretches {
		st := &c.stretches[k]
		switch at := len(c.text) - len(s.text); {
		case st.in == nil:
		case at == st.from:
			s.text, s.line = c.text[st.cut:], st.next
		default: // a record has run into it
			st.in.refs = st.in.refs[:0]
		}
		if err := c.scan(s, st); err != nil {
			return err
		}
	}
	if c.gaps {
		c.rows = slices.DeleteFunc(c.rows, func(r Row) bool { return r.Number == 0 })
	}
	return nil
}

// refs is how many refs the rows of a stretch take at most.
func (s *stretch) refs() int { return s.delims + 2*s.lines + 1 }

// scan cuts what is left of a stretch, from where the scanner has come to.
func (c *cutter) scan(s *scanner, st *stretch) error {
	for s.line <= c.lines {
		at := len(c.text) - len(s.text)
		if at >= st.to {
			break
		}
		if st.in != nil {
			if to, line := c.fill(st.in, at, st.to, s.line); to > at {
				s.text, s.line = c.text[to:], line
				continue
			}
		}
		s.scan()
		if err := c.record(s); err != nil {
			return err
		}
	}
	return nil
}

// record makes a row of what the scanner found.
func (c *cutter) record(s *scanner) error {
	if s.loose {
		c.note(c.at.At(s.first, 0), "quote-not-closed",
			"found a quotation mark without its partner, the line was cut at every delimiter",
			"compare this row with the file; write a quotation mark inside quotes twice")
	}
	fields := s.fields
	for n := len(fields); n > 0 && clean(fields[n-1]) == ""; n-- {
		fields = fields[:n-1]
	}
	c.cells += len(fields)
	if err := c.room("", s.first, len(fields)); err != nil {
		return err
	}
	row := Row{in: c.marked, Number: s.first, at: uint32(len(c.marked.refs)), n: uint16(len(fields))}
	for i, f := range fields {
		c.marked.refs = append(c.marked.refs, c.marked.bank.put(textCell(f, c.at.At(s.first, i+1))))
	}
	c.rows[s.first-1] = row
	end := min(s.line-1, len(c.rows))
	if s.text == "" { // the last line may have no end
		end = len(c.rows)
	}
	if end > s.first {
		clear(c.rows[s.first:end])
		c.gaps = true
	}
	return nil
}

// fill makes rows of the lines between two places of the text, which have no more
// cells than a row may have, up to the first that is not plain. The first has the
// number line; fill returns where it has come to and the number of the line there.
func (c *cutter) fill(in *block, from, to, line int) (at, next int) {
	const ones, high = 0x0101_0101_0101_0101, 0x8080_8080_8080_8080
	text, delim := unsafe.Slice(unsafe.StringData(c.text), to), c.delim[0]
	delims, ends, marks := ones*uint64(delim), ones*uint64('\n'), ones*uint64('"')
	f := weaver{cutter: c, in: in, first: len(in.refs), line: line}
	refs := append(in.refs, uint32(from))
	quoted := from // what stands before this place is read, or stands between quotation marks
lines:
	for at := from; at < to && f.line <= c.lines; at += 8 {
		w := eight(text[at:])
		// A byte of x, y or v is 0 where the text has a delimiter, a line end or a mark.
		x, y, v := w^delims, w^ends, w^marks
		found := (^((x&^high + ^uint64(high)) | x) | ^((y&^high + ^uint64(high)) | y) | ^((v&^high + ^uint64(high)) | v)) & high
		// Of a control character and of U+007F the byte of z is below 0x80.
		z := (w&^high+ones)&^high + ones*(0x80-' '-1) | w
		for control := ^z & high &^ found; control != 0; control &= control - 1 {
			f.control(at + bits.TrailingZeros64(control)/8)
		}
		for ; found != 0; found &= found - 1 {
			switch i := at + bits.TrailingZeros64(found)/8; {
			case i < quoted:
			case text[i] == delim:
				refs = append(refs, uint32(i))
			case text[i] == '"':
				if quoted = f.behind(refs, i, to); quoted < 0 {
					break lines
				}
			default:
				if refs = f.end(refs, i); f.line > c.lines {
					break lines
				}
			}
		}
	}
	if int(refs[f.first]) < to && f.line <= c.lines && quoted >= 0 {
		refs = f.end(refs, to) // the last line of the text
	}
	in.refs = refs[:f.first]
	return min(int(refs[f.first]), to), f.line
}

// eight are the first eight bytes of a text as a number, with spaces for those that
// it has not.
func eight(text []byte) uint64 {
	if len(text) >= 8 {
		return binary.LittleEndian.Uint64(text)
	}
	last := [8]byte{' ', ' ', ' ', ' ', ' ', ' ', ' ', ' '}
	copy(last[:], text)
	return binary.LittleEndian.Uint64(last[:])
}

// A weaver makes rows as it comes past the line ends of a text.
type weaver struct {
	*cutter
	in    *block
	first int // where the row begins, in the refs
	line  int
}

// control takes a control character that is no delimiter and ends no line.
func (f *weaver) control(at int) {
	c, rest := f.text[at], f.text[at+1:]
	f.in.odd = f.in.odd || c != '\t' && !(c == '\r' && strings.HasPrefix(rest, "\n"))
}

// end makes a row of the line that ends at a place, and begins the next: refs are
// where the row begins and where each of its cells but the last ends.
func (f *weaver) end(refs []uint32, at int) []uint32 {
	to := uint32(at)
	for to > refs[len(refs)-1] && f.text[to-1] == '\r' {
		to--
	}
	refs = append(refs, to)
	n := len(refs) - 1 - f.first
	for n > 0 && f.empty(refs[f.first:], n) {
		n--
	}
	f.rows[f.line-1] = Row{in: f.in, Number: f.line, at: uint32(f.first), n: uint16(n)}
	f.line, f.first = f.line+1, f.first+n+1
	return append(refs[:f.first], uint32(at+1))
}

// behind is the place behind a quotation mark, or behind the cell that it opens, which
// ends with the next: with nothing before or behind it, and nothing within that
// makes the scanner doubt it, as a space at its start. It is −1 where the line is for
// the scanner.
func (f *weaver) behind(refs []uint32, mark, to int) int {
	begin := int(refs[len(refs)-1])
	if len(refs)-1 > f.first {
		begin++
	}
	if mark > begin {
		if strings.Trim(f.text[begin:mark], " ") == "" {
			return -1
		}
		return mark + 1
	}
	n := strings.IndexByte(f.text[mark+1:to], '"')
	if n < 0 {
		return -1
	}
	field, rest := f.text[mark+1:mark+1+n], f.text[mark+n+2:]
	if strings.IndexByte(field, '\n') >= 0 || strings.HasPrefix(field, f.delim) || strings.HasPrefix(field, " ") || strings.HasPrefix(field, "\r") {
		return -1
	}
	if rest == "" || strings.HasPrefix(rest, f.delim) || rest[0] == '\n' || strings.HasPrefix(rest, "\r\n") {
		return mark + n + 2
	}
	return -1
}

// empty reports whether nothing is to be seen in a cell of the row.
func (f *weaver) empty(ends []uint32, col int) bool {
	raw := f.in.between(ends, col)
	return raw == "" || !visible(raw[0]) && clean(raw) == ""
}
