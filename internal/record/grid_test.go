package record_test

import (
	"cmp"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/table"
	"saltline/internal/unit"
)

// A case is one file of testdata/record. See its README for the language.
type testCase struct {
	sheets []table.Sheet
	opts   record.Options
	want   []string // lines that the dump holds; all of its messages are among them
	never  []string // beginnings that no line of the dump has
}

const caseFile = "log.xlsx"

// readCase reads one case; an error of the case fails the test.
func readCase(t *testing.T, path string) testCase {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	var c testCase
	var sheet *table.Sheet
	for n, line := range strings.Split(strings.TrimRight(string(data), "\n"), "\n") {
		word, rest, _ := strings.Cut(line, " ")
		rest = strings.TrimSpace(rest)
		switch {
		case strings.HasPrefix(line, "#"):
		case word == "sheet" || word == "hidden-sheet":
			c.sheets = append(c.sheets, table.Sheet{Name: rest, Hidden: word == "hidden-sheet"})
			sheet = &c.sheets[len(c.sheets)-1]
		case word == "job-row":
			if c.opts.JobFile == nil {
				c.opts.JobFile = &table.File{Name: "job.csv", Sheets: []table.Sheet{{Name: "job"}}}
			}
			addRow(&c.opts.JobFile.Sheets[0], rest, false)
		case word == "option":
			c.option(t, rest)
		case word == "want":
			c.want = append(c.want, rest)
		case word == "never":
			c.never = append(c.never, rest)
		case word == "row" || word == "hidden-row" || word == "row:" || line == "row":
			addRow(sheet, rest, word == "hidden-row")
		case strings.TrimSpace(line) == "":
		default:
			t.Fatalf("%s:%d: %q is no line of a case", path, n+1, line)
		}
	}
	return c
}

func (c *testCase) option(t *testing.T, text string) {
	t.Helper()
	name, value, _ := strings.Cut(text, " ")
	key, val, _ := strings.Cut(value, "=")
	switch name {
	case "set":
		c.opts.Set = append(c.opts.Set, record.Fact{Key: key, Value: record.Words{Val: val, Text: val, State: record.Known}})
	case "map":
		if c.opts.Map == nil {
			c.opts.Map = map[string]string{}
		}
		c.opts.Map[key] = val
	case "sheet":
		c.opts.Sheet = value
	case "decimal":
		c.opts.Decimal = rune(value[0])
	case "date-order":
		c.opts.DateOrder = map[string]unit.DateOrder{"dmy": unit.DMY, "mdy": unit.MDY, "ymd": unit.YMD}[value]
	default:
		t.Fatalf("no option %q", name)
	}
}

// addRow adds one row of cells, which stand between bars.
func addRow(s *table.Sheet, text string, hidden bool) {
	row := table.Row{Number: len(s.Rows) + 1, Hidden: hidden}
	var cells []table.Cell
	if text != "" {
		for i, part := range strings.Split(text, "|") {
			at := diag.In(caseFile, s.Name).At(row.Number, i+1)
			cells = append(cells, cellOf(s, cells, strings.TrimSpace(part), at))
		}
	}
	s.Rows = append(s.Rows, row.With(cells))
}

// cellOf makes a cell of one sign and its text; [shown] may follow. left are
// the cells before it in its row.
func cellOf(s *table.Sheet, left []table.Cell, text string, at diag.Pos) table.Cell {
	c := table.Cell{Pos: at, Kind: table.Text, Text: text, Raw: text}
	if text == "" {
		return table.Cell{Pos: at}
	}
	struck := false
	if rest, ok := strings.CutPrefix(text, "~"); ok {
		text, struck = rest, true
	}
	body, shown, bracket := strings.Cut(text, "[")
	shown = strings.TrimSuffix(shown, "]")
	switch sign := text[0]; {
	case sign == '#' && len(text) > 1: // a typed number
		c.Kind, c.Raw, c.Text = table.Number, body[1:], body[1:]
	case sign == '@': // a date of the spreadsheet
		c.Kind, c.Raw, c.Text = table.Date, "45000", body[1:]
		c = c.From(table.Origin{ISO: body[1:]})
	case sign == '=': // a formula and its result
		c.Kind, c.Raw, c.Text = table.Number, shown, shown
		c = c.From(table.Origin{Formula: body[1:]})
		if raw, display, two := strings.Cut(shown, ";"); two {
			c.Raw, c.Text = raw, display
		}
		bracket = false
	case sign == '!': // an error
		c.Kind, c.Text, c.Raw = table.Error, text[1:], text[1:]
	case text == "^": // merged with the cell above
		return merged(s.Rows[at.Row()-2].Cell(at.Col()), at)
	case text == "<": // merged with the cell on the left
		return merged(left[at.Col()-2], at)
	default:
		c.Text, c.Raw, bracket = text, text, false
	}
	if bracket {
		c.Text = shown
	}
	c.Struck = struck
	return c
}

// merged repeats a cell, as every cell of a merged range does.
func merged(c table.Cell, at diag.Pos) table.Cell {
	c = c.From(table.Origin{ISO: c.ISO(), Formula: c.Formula(), Fresh: c.Fresh(), FillOf: cmp.Or(c.FillOf(), c.Pos)})
	c.Pos = at
	return c
}

// dump spells a job, one value a line, and then its changes and messages.
func dump(job *record.Job, list *diag.List) []string {
	var lines []string
	dumpValue(&lines, "", reflect.ValueOf(*job))
	for _, c := range job.Note.Changes {
		lines = append(lines, fmt.Sprintf("change %s: %s: %q → %q", place(c.Pos), c.What, c.From, c.To))
	}
	for _, s := range job.Note.Skipped {
		lines = append(lines, fmt.Sprintf("skipped %s: %s", place(s.Row), s.Reason))
	}
	for _, d := range list.Sorted() {
		level := [...]string{"problem", "question", "failure"}[d.Level]
		lines = append(lines, fmt.Sprintf("%s %s: %s [%s]", level, place(d.Pos), d.Msg, d.Check), "hint: "+d.Hint)
	}
	return lines
}

// place spells a place without the name of the file.
func place(p diag.Pos) string { return strings.TrimPrefix(p.String(), caseFile+":") }

func dumpValue(lines *[]string, path string, v reflect.Value) {
	if v.Kind() == reflect.Struct && v.Type().Name() != "" && strings.HasPrefix(v.Type().Name(), "Given[") {
		dumpGiven(lines, path, v)
		return
	}
	if v.Type() == reflect.TypeFor[record.Test]() {
		test := v.Interface().(record.Test)
		dumpValue(lines, path, reflect.ValueOf(*test.Own()))
		return
	}
	switch v.Kind() {
	case reflect.Struct:
		if v.Type() == reflect.TypeFor[record.Note]() || v.Type() == reflect.TypeFor[diag.Pos]() {
			return
		}
		for i := range v.NumField() {
			field := v.Type().Field(i)
			switch {
			case field.Anonymous: // a group of columns
				dumpValue(lines, path, v.Field(i))
			case path == "":
				dumpValue(lines, field.Name, v.Field(i))
			default:
				dumpValue(lines, path+"."+field.Name, v.Field(i))
			}
		}
	case reflect.Pointer:
		dumpValue(lines, path, v.Elem())
	case reflect.Slice:
		for i := range v.Len() {
			dumpValue(lines, fmt.Sprintf("%s[%d]", path, i), v.Index(i))
		}
	case reflect.Bool:
		if v.Bool() {
			*lines = append(*lines, path)
		}
	case reflect.String:
		if v.String() != "" {
			*lines = append(*lines, fmt.Sprintf("%s = %s", path, v.String()))
		}
	}
}

func dumpGiven(lines *[]string, path string, v reflect.Value) {
	text := v.FieldByName("Text").String()
	dec := v.FieldByName("Dec").Interface().(unit.Decimal)
	val := fmt.Sprint(v.FieldByName("Val").Interface())
	if dec != (unit.Decimal{}) {
		val = dec.String()
	}
	switch record.State(v.FieldByName("State").Int()) {
	case record.Absent:
		return
	case record.Known:
		*lines = append(*lines, path+" = "+val)
	case record.Below:
		*lines = append(*lines, path+" = below "+val)
	case record.NotDone:
		*lines = append(*lines, path+" = not done")
	case record.Unreadable:
		*lines = append(*lines, fmt.Sprintf("%s = unreadable %q", path, text))
	}
	pos := v.FieldByName("Pos").Interface().(diag.Pos)
	*lines = append(*lines, path+" at "+place(pos))
	if u := v.FieldByName("Unit").String(); u != "" {
		*lines = append(*lines, path+" in "+u)
	}
}

func TestCases(t *testing.T) {
	paths, err := filepath.Glob("../../testdata/record/*.txt")
	if err != nil || len(paths) == 0 {
		t.Fatalf("no cases: %v", err)
	}
	for _, path := range paths {
		t.Run(strings.TrimSuffix(filepath.Base(path), ".txt"), func(t *testing.T) {
			c := readCase(t, path)
			if len(c.want)+len(c.never) == 0 {
				t.Fatal("the case wants nothing")
			}
			job, list := record.Bind([]*table.File{{Name: caseFile, Sheets: c.sheets}}, c.opts)
			got := dump(job, list)
			failed := false
			once(t, got)
			for _, w := range c.want {
				if !slices.Contains(got, w) {
					failed = true
					t.Errorf("no line %s", w)
				}
			}
			for _, n := range c.never {
				for _, g := range got {
					if strings.HasPrefix(g, n) {
						failed = true
						t.Errorf("a line that should not be: %s", g)
					}
				}
			}
			for _, g := range got {
				word, _, _ := strings.Cut(g, " ")
				if (word == "problem" || word == "question" || word == "failure") && !slices.Contains(c.want, g) {
					failed = true
					t.Errorf("a message that the case does not want: %s", g)
				}
			}
			sheets := c.sheets
			if c.opts.JobFile != nil {
				sheets = slices.Concat(sheets, c.opts.JobFile.Sheets)
			}
			checkBalance(t, job, sheets)
			checkProblems(t, job, list)
			if failed {
				t.Logf("all lines:\n%s", strings.Join(got, "\n"))
			}
		})
	}
}

// checkProblems sees that the reading note holds the problems of the list.
func checkProblems(t *testing.T, job *record.Job, list *diag.List) {
	t.Helper()
	var want []string
	for _, d := range list.Sorted() {
		if d.Level == diag.Problem {
			want = append(want, d.String())
		}
	}
	var got []string
	for _, d := range job.Note.Problems {
		got = append(got, d.String())
	}
	if !slices.Equal(got, want) {
		t.Errorf("the note holds the problems %q, want %q", got, want)
	}
}

// checkBalance sees that every row that is not empty was used or skipped,
// once.
func checkBalance(t *testing.T, job *record.Job, sheets []table.Sheet) {
	t.Helper()
	rows := 0
	for _, s := range sheets {
		for _, r := range s.Rows {
			if !r.Blank() {
				rows++
			}
		}
	}
	if n := job.Note.Used + len(job.Note.Skipped); n != rows {
		t.Errorf("%d rows used and %d skipped, but %d are not empty", job.Note.Used, len(job.Note.Skipped), rows)
	}
	seen := map[diag.Pos]bool{}
	for _, s := range job.Note.Skipped {
		if seen[s.Row] {
			t.Errorf("%s skipped twice", s.Row)
		}
		if s.Reason == "" {
			t.Errorf("%s skipped without a reason", s.Row)
		}
		seen[s.Row] = true
	}
}

// once sees that no message is given twice.
func once(t *testing.T, lines []string) {
	t.Helper()
	seen := map[string]bool{}
	for _, line := range lines {
		word, _, _ := strings.Cut(line, " ")
		if seen[line] && word != "hint:" {
			t.Errorf("said twice: %s", line)
		}
		seen[line] = true
	}
}
