package doc

import (
	"bufio"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

// WriteText writes d for a terminal that is width characters wide. Tables keep
// their own width: a number is not broken to fit a window.
func (d *Document) WriteText(w io.Writer, width int) error {
	bw := bufio.NewWriter(w)
	t := terminal{bw, width, ""}
	t.line(strings.TrimSpace(d.Title + " " + d.Number))
	if d.Status != "" {
		t.line(d.Status)
	}
	t.blocks(d.Blocks)
	t.line("")
	t.line(d.Words.End)
	return bw.Flush()
}

// WriteText writes t alone for a terminal.
func (t Table) WriteText(w io.Writer) error {
	bw := bufio.NewWriter(w)
	(&terminal{bw, 0, ""}).table(t)
	return bw.Flush()
}

// A terminal writes lines. Write errors stay in w until it is flushed.
type terminal struct {
	w      *bufio.Writer
	width  int
	indent string
}

func (t *terminal) line(s string) {
	if s != "" {
		t.w.WriteString(t.indent)
	}
	t.w.WriteString(strings.TrimRight(s, " "))
	t.w.WriteByte('\n')
}

func (t *terminal) blocks(blocks []Block) {
	for _, b := range blocks {
		t.block(b)
	}
}

func (t *terminal) block(b Block) {
	switch b := b.(type) {
	case Heading:
		t.line("")
		t.line(b.Text)
		if b.Level == 1 {
			t.line(strings.Repeat("=", utf8.RuneCountInString(b.Text)))
		}
	case Paragraph:
		t.wrapped("", b.Text.String())
	case List:
		t.items(b.Items)
	case Fields:
		t.fields(b.Items)
	case Table:
		t.table(b)
	case Box:
		inner := terminal{t.w, t.width, t.indent + "| "}
		if b.Title != "" {
			inner.line(b.Title)
		}
		inner.blocks(b.Blocks)
	case Figure:
		t.wrapped("", b.Caption.String())
	case Group:
		t.blocks(b.Blocks)
	case Contents: // a terminal has no pages
	case Signatures:
		for _, s := range b.Items {
			t.wrapped(s.Role+": ", s.Statement)
			t.fields(s.Fields)
			t.line(strings.TrimSpace(s.Sign + ": " + s.State))
		}
	default:
		panic(fmt.Sprintf("doc: unknown block %T", b))
	}
}

func (t *terminal) items(items []Item) {
	for _, it := range items {
		label := it.Label
		if label == "" {
			label = "–"
		}
		t.wrapped(label+" ", it.Text.String())
	}
}

func (t *terminal) fields(fields []Field) {
	widest := 0
	for _, f := range fields {
		widest = max(widest, utf8.RuneCountInString(f.Label))
	}
	for _, f := range fields {
		t.wrapped(pad(f.Label, widest, AlignLeft)+"  ", f.Value.String())
	}
}

// wrapped writes s after label, with later lines indented as the first.
func (t *terminal) wrapped(label, s string) {
	hang := strings.Repeat(" ", utf8.RuneCountInString(label))
	room := max(t.width-utf8.RuneCountInString(t.indent+label), 20)
	for _, paragraph := range strings.Split(s, "\n") {
		line := ""
		// Only the space breaks a line; a no-break space holds a number to its unit.
		for _, word := range strings.Split(paragraph, " ") {
			if line != "" && utf8.RuneCountInString(line+" "+word) > room {
				t.line(label + line)
				label, line = hang, ""
			}
			if line != "" {
				line += " "
			}
			line += word
		}
		t.line(label + line)
		label = hang
	}
}

func (t *terminal) table(tb Table) {
	width := make([]int, len(tb.Columns))
	fraction := make([]int, len(tb.Columns)) // widest part from the decimal sign on
	for i, c := range tb.Columns {
		if c.Align == AlignDecimal {
			for _, r := range tb.Rows {
				if !r.Group {
					fraction[i] = max(fraction[i], fractionOf(r.Cells[i].String()))
				}
			}
		}
	}
	cell := func(r Row, i int) string {
		s := oneLine(r.Cells[i].String())
		if tb.Columns[i].Align == AlignDecimal {
			s += strings.Repeat(" ", fraction[i]-fractionOf(s))
		}
		return s
	}
	for i, c := range tb.Columns {
		width[i] = max(utf8.RuneCountInString(c.Head), utf8.RuneCountInString(c.Unit))
		for _, r := range tb.Rows {
			if !r.Group {
				width[i] = max(width[i], utf8.RuneCountInString(cell(r, i)))
			}
		}
	}
	row := func(cell func(i int) string) {
		parts := make([]string, len(tb.Columns))
		for i, c := range tb.Columns {
			parts[i] = pad(cell(i), width[i], c.Align)
		}
		t.line(strings.Join(parts, "  "))
	}
	row(func(i int) string { return tb.Columns[i].Head })
	if tb.hasUnits() {
		row(func(i int) string { return tb.Columns[i].Unit })
	}
	row(func(i int) string { return strings.Repeat("-", width[i]) })
	for _, r := range tb.Rows {
		if r.Group {
			t.line(oneLine(r.Cells[0].String()))
		} else {
			row(func(i int) string { return cell(r, i) })
		}
		if r.Note != nil {
			t.line("    " + oneLine(r.Note.String()))
		}
	}
	if len(tb.Rows) == 0 && tb.Empty != "" {
		t.line(tb.Empty)
	}
	t.items(tb.Notes)
}

func (t Table) hasUnits() bool {
	for _, c := range t.Columns {
		if c.Unit != "" {
			return true
		}
	}
	return false
}

func oneLine(s string) string { return strings.ReplaceAll(s, "\n", " ") }

// fractionOf counts the characters of s from its decimal sign on.
func fractionOf(s string) int {
	return utf8.RuneCountInString(s[IntegerLen(s):])
}

func pad(s string, width int, a Align) string {
	gap := max(width-utf8.RuneCountInString(s), 0)
	left := 0
	switch a {
	case AlignRight, AlignDecimal:
		left = gap
	case AlignCentre:
		left = gap / 2
	}
	return strings.Repeat(" ", left) + s + strings.Repeat(" ", gap-left)
}
