package heading

import (
	"bytes"
	"flag"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"saltline/internal/diag"
	"saltline/internal/table"
)

var update = flag.Bool("update", false, "rewrite the expectations in testdata/heading")

// A layoutCase is one sheet drawn as text, and what is to be found in it.
//
//	== its name
//	hint readings           what the sheet is known to hold
//	sheet Tank 3            its name
//	map Before = blank      a mapping
//	--
//	cell | cell | cell      a row; "<<" goes on from the left, "^^" from above
//	                        (merged cells); "\n" breaks a line in a cell;
//	.                       a row with nothing in it
//	cell {SUM(B1:B9)}       the result of a formula
//	--
//	what is found
type layoutCase struct {
	name, hint string
	sheet      table.Sheet
	mapping    Mapping
	head, grid []string // as written
	want       string
}

func TestFind(t *testing.T) {
	files, err := filepath.Glob("../../testdata/heading/*.txt")
	if err != nil || len(files) == 0 {
		t.Fatalf("no layouts: %v", err)
	}
	for _, file := range files {
		cases := readLayouts(t, file)
		var rewritten bytes.Buffer
		for _, c := range cases {
			blocks, ds := Find(&c.sheet, c.hint, c.mapping)
			got := describe(blocks, ds)
			fmt.Fprintf(&rewritten, "== %s\n%s--\n%s--\n%s\n", c.name, lines(c.head), lines(c.grid), got)
			t.Run(filepath.Base(file)+"/"+c.name, func(t *testing.T) {
				if d := cmp.Diff(c.want, got); d != "" && !*update {
					t.Errorf("%s: found otherwise (-want +got):\n%s", c.name, d)
				}
				balanced(t, &c.sheet, blocks)
			})
		}
		if *update {
			if err := os.WriteFile(file, rewritten.Bytes(), 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
}

func lines(s []string) string {
	if len(s) == 0 {
		return ""
	}
	return strings.Join(s, "\n") + "\n"
}

func readLayouts(t *testing.T, file string) []layoutCase {
	t.Helper()
	b, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	var cases []layoutCase
	for _, chunk := range strings.Split("\n"+string(b), "\n== ")[1:] {
		parts := strings.SplitN(chunk, "\n--\n", 3)
		if len(parts) != 3 {
			t.Fatalf("%s: %q has %d parts, wanted 3", file, strings.SplitN(chunk, "\n", 2)[0], len(parts))
		}
		head := strings.Split(parts[0], "\n")
		c := layoutCase{name: head[0], head: head[1:], grid: strings.Split(parts[1], "\n"), want: strings.TrimSpace(parts[2]) + "\n"}
		c.sheet.Name = "Sheet1"
		c.mapping = Mapping{}
		for _, h := range c.head {
			switch key, value, _ := strings.Cut(h, " "); key {
			case "hint":
				c.hint = value
			case "sheet":
				c.sheet.Name = value
			case "map":
				k, v, _ := strings.Cut(value, " = ")
				c.mapping[k] = v
			default:
				t.Fatalf("%s: %s: found %q, wanted hint, sheet or map", file, c.name, h)
			}
		}
		c.sheet.Rows = drawn(c.sheet.Name, c.grid)
		cases = append(cases, c)
	}
	return cases
}

// drawn makes rows of cells of the lines of a grid.
func drawn(sheet string, grid []string) []table.Row {
	var rows []table.Row
	for i, line := range grid {
		row, cells := table.Row{Number: i + 1}, []table.Cell(nil)
		if strings.TrimSpace(line) != "." {
			for j, s := range strings.Split(line, "|") {
				c := table.Cell{Pos: diag.In("", sheet).At(i+1, j+1)}
				s = strings.ReplaceAll(strings.TrimSpace(s), `\n`, "\n")
				switch {
				case s == "":
				case s == "<<":
					left := cells[j-1]
					c.Kind, c.Text, c.Raw = left.Kind, left.Text, left.Raw
					c = c.From(table.Origin{FillOf: holder(left)})
				case s == "^^":
					above := rows[i-1].Cell(j + 1)
					c.Kind, c.Text, c.Raw = above.Kind, above.Text, above.Raw
					c = c.From(table.Origin{FillOf: holder(above)})
				default:
					if value, formula, ok := strings.Cut(s, " {"); ok {
						s, c = value, c.From(table.Origin{Formula: strings.TrimSuffix(formula, "}")})
					}
					c.Kind, c.Text, c.Raw = table.Text, s, s
					if _, err := strconv.ParseFloat(s, 64); err == nil {
						c.Kind = table.Number
					}
				}
				cells = append(cells, c)
			}
		}
		rows = append(rows, row.With(cells))
	}
	return rows
}

// describe prints blocks and diagnostics, one thing a line.
func describe(blocks []Block, ds []diag.Diagnostic) string {
	var b strings.Builder
	for _, bl := range blocks {
		fmt.Fprintf(&b, "table %s\n", cmpOr(bl.Table, "none"))
		for _, c := range bl.Columns {
			fmt.Fprintf(&b, "  %s %q", c.Pos.Cell(), c.Text)
			if c.Name != "" {
				fmt.Fprintf(&b, " is %s", c.Name)
			} else {
				b.WriteString(" is not ours")
			}
			if c.Unit != "" {
				fmt.Fprintf(&b, " in %s", c.Unit)
			}
			b.WriteByte('\n')
		}
		for _, f := range bl.Facts {
			fmt.Fprintf(&b, "  %s: %q from %s\n", f.Key, f.Text, cmpOr(f.Pos.Cell(), "the sheet's name"))
		}
		if len(bl.Rows) > 0 {
			b.WriteString("  records")
			for _, r := range bl.Rows {
				fmt.Fprintf(&b, " %d", r.Number)
			}
			b.WriteByte('\n')
		}
		for _, s := range bl.Skipped {
			fmt.Fprintf(&b, "  not %d: %s\n", s.Row.Number, s.Reason)
		}
	}
	for _, d := range ds {
		fmt.Fprintf(&b, "%s %s\n", d.Pos.Cell(), d)
		fmt.Fprintf(&b, "  hint: %s\n", d.Hint)
	}
	return b.String()
}

func cmpOr(s, or string) string {
	if s == "" {
		return or
	}
	return s
}

// balanced checks that every row that is not blank is a record or skipped, and
// that no other row is.
func balanced(t *testing.T, s *table.Sheet, blocks []Block) {
	t.Helper()
	want := map[int]bool{}
	for _, r := range s.Rows {
		if !r.Blank() {
			want[r.Number] = true
		}
	}
	used, skipped := map[int]int{}, map[int]int{}
	beside := false
	for _, b := range blocks {
		for _, o := range blocks {
			beside = beside || len(b.Columns) > 0 && len(o.Columns) > 0 &&
				b.Columns[0].Pos.Row() == o.Columns[0].Pos.Row() && b.Columns[0].Pos.Col() != o.Columns[0].Pos.Col()
		}
		for _, r := range b.Rows {
			used[r.Number]++
		}
		for _, k := range b.Skipped {
			skipped[k.Row.Number]++
			if k.Reason == "" {
				t.Errorf("row %d is skipped without a reason", k.Row.Number)
			}
		}
	}
	for n := range want {
		if k := used[n] + skipped[n]; k == 0 || k > 1 && !beside {
			t.Errorf("row %d is in %d places, wanted one", n, k)
		}
	}
	for _, n := range slices.Concat(slices.Collect(maps.Keys(used)), slices.Collect(maps.Keys(skipped))) {
		if !want[n] {
			t.Errorf("row %d is blank and was sorted", n)
		}
	}
}

// holder is the cell that holds the value that c shows.
func holder(c table.Cell) diag.Pos {
	if c.FillOf().IsZero() {
		return c.Pos
	}
	return c.FillOf()
}
