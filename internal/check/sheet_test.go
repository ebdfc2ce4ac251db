package check_test

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"os"
	"path"
	"slices"
	"strings"
	"testing"

	"saltline/internal/table"
)

// A sheet of a check is a file of cases. A case is a small job:
//
//	# a comment
//	== what the case shows
//	problem part of a message of the reading that is meant to be there
//	want part of what a finding that has no row says
//	= readings
//	test,blank,extract,recorded,verdict,want
//	1,1.8,24.6,48.0,PASS,
//	2,1.8,24.6,50.4,FAIL,marked pass
//
// "= name" begins a table, "= name +" continues the one that stands above
// the first case, and a table there holds for every case that has none of
// that name. The column want holds a part of what the finding says whose
// first place is that row, with " | " between those of several findings; an
// empty one says that there is none; in a title row a last cell "want: …" does.
// The column verdict, which may be left
// out, holds the verdict of the test once the finding has been weighed. Both
// stand last and are taken off before the table is read. "=A1*2 [4.0]" is a
// formula with its stored result, "=A1*2 [4.0; 5.0]" one that would now give
// another, "#4.0" a typed number, "~4.0" a cell that is struck through,
// "@2026-03-04 [04. Mrz]" a date and how it is shown. The table "photos" is none
// of the record: it lists files beside it, as photo_test.go says. "= part NAME"
// ends a record of the job, and begins one that lies in a folder of that name:
// the tables below it are its own, and those above the first case stand in
// every part. What a finding
// says is followed by its severity, its direction and its day: "…
// [weakens, unsafe side] of 2026-03-03", or "of the whole job".
type sheet struct {
	file  string
	cases []*example
}

type example struct {
	name     string
	line     int
	problems []string
	nowhere  []string // wants of findings that have no row
	tables   []*grid
}

// A grid is one table of a case.
type grid struct {
	part  string // the record that it belongs to; "" where the job is kept in one
	name  string
	more  bool // continues the shared one
	lines []line
}

type line struct {
	at            int // line of the sheet's file
	text          string
	want, verdict string
	judged        bool // a test whose verdict is stated
	asked         bool // a row under a heading that has the column want
}

func readSheet(t *testing.T, file string) sheet {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	s := sheet{file: file}
	shared := &example{}
	current := shared
	var into *grid
	part := ""
	for n, text := range strings.Split(strings.TrimRight(string(data), "\n"), "\n") {
		word, rest, _ := strings.Cut(text, " ")
		switch {
		case strings.HasPrefix(text, "# "): // leaves no line in a table
		case word == "==":
			current = &example{name: rest, line: n + 1}
			s.cases = append(s.cases, current)
			into, part = nil, ""
		case word == "=" && strings.HasPrefix(rest, "part "):
			into, part = nil, strings.TrimPrefix(rest, "part ")
		case word == "=":
			into = &grid{part: part, name: strings.TrimSuffix(rest, " +"), more: strings.HasSuffix(rest, " +")}
			current.tables = append(current.tables, into)
		case into != nil:
			into.lines = append(into.lines, line{at: n + 1, text: text})
		case word == "want":
			current.nowhere = append(current.nowhere, rest)
		case word == "problem":
			current.problems = append(current.problems, rest)
		case text != "":
			t.Fatalf("%s:%d: %q is no line of a sheet", file, n+1, text)
		}
	}
	for _, c := range s.cases {
		c.inherit(shared)
		for _, g := range c.tables {
			if err := g.takeOff(); err != nil {
				t.Fatalf("%s: %v", file, err)
			}
		}
	}
	return s
}

// inherit gives the case the shared tables: each of its parts, where it has
// several.
func (c *example) inherit(shared *example) {
	for _, part := range c.parts() {
		for i := len(shared.tables) - 1; i >= 0; i-- {
			g := shared.tables[i]
			at := slices.IndexFunc(c.tables, func(own *grid) bool { return own.name == g.name && own.part == part })
			switch {
			case at < 0:
				c.tables = slices.Insert(c.tables, 0, &grid{part: part, name: g.name, lines: slices.Clone(g.lines)})
			case c.tables[at].more:
				c.tables[at].lines = slices.Concat(g.lines, c.tables[at].lines)
			}
		}
	}
}

// parts are the names of the records that the case is kept in, in their order.
func (c *example) parts() []string {
	var parts []string
	for _, g := range c.tables {
		if !slices.Contains(parts, g.part) {
			parts = append(parts, g.part)
		}
	}
	if parts == nil {
		return []string{""}
	}
	return parts
}

// takeOff takes the columns want and verdict off the lines.
func (g *grid) takeOff() error {
	var head []string
	for i := range g.lines {
		l := &g.lines[i]
		r := csv.NewReader(strings.NewReader(l.text))
		r.LazyQuotes = true
		fields, err := r.Read()
		if err != nil { // an empty line
			continue
		}
		last := len(fields) - 1
		l.asked = head != nil && fields[last] != "want"
		switch {
		case fields[last] == "want":
			head = slices.Clone(fields)
		case head == nil:
			w, ok := strings.CutPrefix(fields[last], "want: ")
			if !ok {
				continue
			}
			l.want, head = w, nil
		case last < len(head)-2:
			continue
		case last >= len(head):
			return fmt.Errorf("line %d has %d fields, its heading %d", l.at, len(fields), len(head))
		case last == len(head)-1:
			l.want = fields[last]
		}
		cut := max(len(head), len(fields)) - 1
		if v := slices.Index(head, "verdict"); v >= 0 {
			cut = v
			if v < len(fields) && fields[v] != "verdict" {
				l.verdict, l.judged = fields[v], fields[v] != ""
			}
		}
		var b bytes.Buffer
		w := csv.NewWriter(&b)
		w.Write(fields[:min(cut, len(fields))])
		w.Flush()
		l.text = strings.TrimRight(b.String(), "\n")
	}
	return nil
}

// read is the table as the tool reads it.
func (g *grid) read(t *testing.T) *table.File {
	t.Helper()
	var texts []string
	for _, l := range g.lines {
		texts = append(texts, l.text)
	}
	f, err := table.Read(path.Join(g.part, g.name+".csv"), []byte(strings.Join(texts, "\n")), table.Options{Delimiter: ','})
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range f.Sheets {
		for i, row := range s.Rows {
			cells := row.Cells()
			for k := range cells {
				compute(&cells[k])
			}
			s.Rows[i] = row.With(cells)
		}
	}
	return f
}

// compute makes a cell of a workbook of one that is written as such.
func compute(c *table.Cell) {
	if text, ok := strings.CutPrefix(c.Text, "~"); ok {
		c.Text, c.Raw, c.Struck = text, text, true
	}
	if number, ok := strings.CutPrefix(c.Text, "#"); ok && number != "" {
		c.Kind, c.Text, c.Raw = table.Number, number, number
		return
	}
	if date, ok := strings.CutPrefix(c.Text, "@"); ok {
		date, shown, _ := strings.Cut(strings.TrimSuffix(date, "]"), " [")
		c.Kind, c.Text, c.Raw = table.Date, shown, date
		*c = c.From(table.Origin{ISO: date})
		return
	}
	formula, result, ok := strings.Cut(c.Text, " [")
	formula, isFormula := strings.CutPrefix(formula, "=")
	if !ok || !isFormula {
		return
	}
	stored, fresh, stale := strings.Cut(strings.TrimSuffix(result, "]"), "; ")
	c.Kind, c.Text, c.Raw, c.Stale = table.Number, stored, stored, stale
	*c = c.From(table.Origin{Formula: formula, Fresh: fresh})
}
