package table

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"saltline/internal/diag"
)

// readCSV reads a text file as the one sheet that it is.
func (r *reader) readCSV(data []byte) error {
	encoding := encodingOf(data)
	if n := int64(len(data)); n > mostRecoded && encoding != nameUTF8 {
		why := r.tooLarge(n, mostRecoded, isText)
		why.Found, why.Hint = fmt.Sprintf("%d bytes that are not UTF-8", n), "save the file as UTF-8, which may be larger"
		return why
	}
	text, lost := decodeText(data, encoding)
	if encoding == nameWindows1252 {
		msg := "found bytes that are not UTF-8, read as Windows-1252"
		if lost > 0 {
			msg += fmt.Sprintf("; %d of them mean nothing there", lost)
		}
		r.note(diag.Pos{}, "encoding-assumed", msg, "check the accented letters and µ, ², °; save the file as UTF-8 to be sure")
	} else if lost > 0 {
		r.note(diag.Pos{}, "encoding-damaged", fmt.Sprintf("found %d characters that %s cannot spell", lost, encoding),
			"save the file as UTF-8 and read it again")
	}
	if !strings.Contains(text, "\n") {
		text = strings.ReplaceAll(text, "\r", "\n") // line ends of old
	}
	at := diag.In(r.file.Name, "")
	sheet := Sheet{Name: stem(r.file.Name), Encoding: encoding}
	c := cutter{reader: r, at: at}
	if err := c.survey(text); err != nil {
		return err
	}
	begin := 0
	if d, rest, ok := declaredDelimiter(text); ok {
		sheet.Delimiter, begin = d, len(text)-len(rest)
		c.rows = append(c.rows, Row{Number: 1})
	}
	if r.opts.Delimiter != 0 {
		sheet.Delimiter = r.opts.Delimiter
	}
	if sheet.Delimiter == 0 {
		sheet.Delimiter = findDelimiter(text[begin:])
	}
	if err := c.cut(begin, sheet.Delimiter); err != nil {
		return err
	}
	sheet.Rows = trimRows(c.rows)
	r.file.Sheets = []Sheet{sheet}
	return nil
}

// trimRows leaves off the rows at the end of a sheet that hold nothing.
func trimRows(rows []Row) []Row {
	for len(rows) > 0 && rows[len(rows)-1].n == 0 {
		rows = rows[:len(rows)-1]
	}
	return rows
}

// maxQuotedLines is how many lines a quoted field may span. A remark may have
// some lines; a quotation mark that is never closed would swallow rows.
const maxQuotedLines = 40

// A scanner cuts a text into records. It follows RFC 4180 and is more lenient
// in four things: a quotation mark inside an unquoted field is a character
// (2" nozzle), one that is alone in its cell is a ditto mark, spaces may stand
// around a quoted field, and a record whose quotes do not pair is cut at its
// line end and at every delimiter, so that one slip costs no row. It knows three
// signs of a quote that swallows rows: too many lines, a line within it that
// would fill a row by itself, and lines that all would.
type scanner struct {
	text  string // what is not yet scanned
	delim string
	line  int // the number of the line that text begins with
	full  int // how many delimiters a line of the table has; 0 if unknown
	most  Limits
	end   int // where the line ends that the next field begins in

	seen sampleLine // the lines of the record up to the one that was last looked at …
	upTo int        // … and how long they are

	record string   // the last record as it stands, with its line end
	fields []string // … its fields, without their quotes; good until the next
	first  int      // … the number of its first line
	loose  bool     // … whether its quotes do not pair
}

func newScanner(text string, delim rune, line int, most Limits) *scanner {
	mode, _ := countDelimiters(sampleLines(text, string(delim)), delim)
	return &scanner{text: text, delim: string(delim), line: line, full: mode, most: most}
}

// scan reads the next record and reports whether there was one.
func (s *scanner) scan() bool {
	if s.text == "" {
		return false
	}
	s.first, s.upTo = s.line, 0
	var ok bool
	s.record, s.fields, ok = s.quoted()
	s.loose = !ok
	if s.loose {
		s.record, _ = cutLine(s.text)
		s.fields = strings.Split(strings.TrimRight(s.record, "\r\n"), s.delim)
	}
	s.line += strings.Count(s.record, "\n")
	s.text = s.text[len(s.record):]
	return true
}

// quoted reads one record from the start of s.text, and reports whether its
// quotes pair. One that is longer than a line may be, or wider than a row, is
// not read on: its quotes do not count.
func (s *scanner) quoted() (record string, fields []string, ok bool) {
	rest := s.text
	fields = s.fields[:0]
	done := func() string { return s.text[:len(s.text)-len(rest)] }
	s.end = 0
	for {
		at := len(s.text) - len(rest)
		if at > s.most.Line || len(fields) > s.most.Cols {
			return "", fields, false
		}
		if at >= s.end {
			line, _ := cutLine(rest)
			s.end = at + len(line)
		}
		open := strings.TrimLeft(rest, " ")
		if !strings.HasPrefix(open, `"`) || s.ditto(open) {
			var field string
			var more bool
			field, more = s.plainField(s.text[at:s.end])
			if rest = s.text[s.end:]; more {
				rest = s.text[at+len(field)+len(s.delim):]
			}
			fields = append(fields, field)
			if !more {
				return done(), fields, true
			}
			continue
		}
		field, after, closed := quotedField(open[1:])
		if !closed || strings.Contains(field, "\n") && (s.swallows(field) || s.swallowsRows(open, after)) {
			return "", fields, false
		}
		fields = append(fields, field)
		after = strings.TrimLeft(after, " ")
		switch {
		case strings.HasPrefix(after, s.delim):
			rest = after[len(s.delim):]
		case after == "":
			rest = after
			return done(), fields, true
		case after[0] == '\n':
			rest = after[1:]
			return done(), fields, true
		case strings.HasPrefix(after, "\r\n"):
			rest = after[2:]
			return done(), fields, true
		default:
			return "", fields, false
		}
	}
}

// ditto reports whether the quotation mark that text begins with stands alone
// in its cell, as a ditto mark does: the cell ends right behind it. It may
// also open a quoted field that begins with a delimiter or a line end. That is
// believed where the line does not have all cells of the table with a mark, and
// the field does not end in a delimiter, as it would before the next mark.
func (s *scanner) ditto(text string) bool {
	delim, _ := utf8.DecodeRuneInString(s.delim)
	if s.full == 0 || !alone(text[1:], s.delim, delim) {
		return false
	}
	if line := s.sampleTo(text); strings.Count(line.marked, s.delim) == s.full {
		return true
	}
	field, after, closed := quotedField(text[1:])
	if !closed {
		return true
	}
	bare := strings.Trim(field, " ")
	begins, ends := strings.HasPrefix(bare, s.delim), strings.HasSuffix(bare, s.delim)
	if begins && ends || (begins || ends) && strings.Contains(field, "\n") {
		return true
	}
	if lines := s.sampleTo(after); strings.Count(lines.quoted, s.delim) == s.full {
		return false
	}
	return ends || strings.HasSuffix(bare, "\n")
}

// sampleTo is linesTo as a sample. A line may have a thousand marks and is taken
// apart once.
func (s *scanner) sampleTo(rest string) sampleLine {
	if lines := s.linesTo(rest); len(lines) != s.upTo {
		s.seen, s.upTo = sampleOf(lines, s.delim), len(lines)
	}
	return s.seen
}

// linesTo are the lines of s.text from its start to the end of the line that
// rest, which is the end of s.text, begins in.
func (s *scanner) linesTo(rest string) string {
	end := len(s.text) - len(rest)
	if end < s.end {
		end = s.end
	} else {
		line, _ := cutLine(rest)
		end += len(line)
	}
	return strings.TrimRight(s.text[:end], "\r\n")
}

// plainField is the unquoted field that what is left of a line begins with; more
// reports whether another follows.
func (s *scanner) plainField(line string) (field string, more bool) {
	if i := strings.Index(line, s.delim); i >= 0 {
		return line[:i], true
	}
	return strings.TrimRight(line, "\r\n"), false
}

// quotedField reads up to the closing quote; text begins after the opening
// one.
func quotedField(text string) (field, rest string, closed bool) {
	var b strings.Builder
	for lines := 0; ; {
		i := strings.IndexAny(text, "\"\n")
		switch {
		case i < 0:
			return "", "", false
		case text[i] == '\n':
			if lines++; lines > maxQuotedLines {
				return "", "", false
			}
			b.WriteString(text[:i+1])
			text = text[i+1:]
		case strings.HasPrefix(text[i+1:], `"`):
			b.WriteString(text[:i+1])
			text = text[i+2:]
		default:
			b.WriteString(text[:i])
			return b.String(), text[i+1:], true
		}
	}
}

// swallows reports whether a line inside a quoted field has as many
// delimiters as a row of the table, which tells that the field was opened by
// mistake. Few columns do not tell: a remark may have some commas.
func (s *scanner) swallows(field string) bool {
	if s.full < 4 {
		return false
	}
	lines := strings.Split(field, "\n")
	for i := 1; i < len(lines)-1; i++ {
		if strings.Count(lines[i], s.delim) >= s.full {
			return true
		}
	}
	return false
}

// swallowsRows reports whether each line of a quoted field of several lines is
// a row of the table as it stands, from the line that it opens in to the one
// that it closes in: text begins with the opening quote, after behind the
// closing one. In a remark a space follows the commas.
func (s *scanner) swallowsRows(text, after string) bool {
	begin := strings.LastIndexByte(s.text[:len(s.text)-len(text)], '\n') + 1
	lines := strings.Split(s.linesTo(after)[begin:], "\n")
	if s.full < 2 || len(lines) < 2 {
		return false
	}
	for _, line := range lines {
		if strings.Count(line, s.delim) != s.full || strings.Contains(line, s.delim+" ") {
			return false
		}
	}
	return true
}

// cutLine cuts text after its first line end.
func cutLine(text string) (line, rest string) {
	if i := strings.IndexByte(text, '\n'); i >= 0 {
		return text[:i+1], text[i+1:]
	}
	return text, ""
}

// declaredDelimiter reads the first line "sep=;" that some programs write for
// others; rest is the text below it.
func declaredDelimiter(text string) (delim rune, rest string, ok bool) {
	line, rest := cutLine(text)
	line = strings.Trim(strings.TrimRight(line, "\r\n"), `"`)
	after, ok := strings.CutPrefix(strings.ToLower(line), "sep=")
	delim, size := utf8.DecodeRuneInString(after)
	if !ok || size != len(after) || unicode.IsLetter(delim) || unicode.IsDigit(delim) || strings.ContainsRune(notDelimiters, delim) {
		return 0, text, false
	}
	return delim, rest, true
}

// notDelimiters are signs that are part of what stands in a cell, as letters and
// digits are: a file that declares one would lose them from its numbers.
const notDelimiters = `"'.-+` + "\uFFFD"
