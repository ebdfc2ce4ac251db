package workbook

import (
	"errors"
	"fmt"
	"slices"
	"strconv"

	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/table"
	"saltline/internal/unit"
	"saltline/internal/wording"
)

// Sample describes the job workbook filled in with a job, whose workbook has
// the same sheets under the same headings, as the sample job has. What was
// written in the place of a formula stands there instead of it, and the
// formulas beside it still compute.
func Sample(w *wording.Words, job *table.File) (table.Book, error) {
	read, list := record.Bind([]*table.File{job}, record.Options{})
	if worst, any := list.Worst(); any && worst > diag.Problem {
		return table.Book{}, fmt.Errorf("the job to fill in: %s", list.Sorted()[0].Msg)
	}
	b := &blank{words: w, given: &given{file: job, job: read}}
	book, err := b.book()
	if err = errors.Join(err, b.given.err); err != nil {
		return table.Book{}, err
	}
	for _, s := range job.Sheets {
		if err := b.given.accounted(s); err != nil {
			return table.Book{}, err
		}
	}
	return book, nil
}

// A given is the job that a workbook is filled in with.
type given struct {
	file *table.File
	job  *record.Job
	err  error
}

// sheet is the sheet of that name; an empty one where there is none.
func (g *given) sheet(name string) table.Sheet {
	for _, s := range g.file.Sheets {
		if s.Name == name {
			return s
		}
	}
	return table.Sheet{}
}

// rows is how many rows a sheet has below its heading.
func (g *given) rows(name string) int { return max(0, len(g.sheet(name).Rows)-1) }

// entry is a cell of a form as it is given; otherwise where the job says
// nothing, which is empty in a row that is given.
func (g *given) entry(f form, d field, row int, otherwise table.Entry) table.Entry {
	s := g.sheet(f.name)
	for i, c := range s.Rows[0].Cells() {
		if c.Text == d.head {
			return g.as(s.Rows[row+1].Cell(i+1), d)
		}
	}
	return otherwise
}

// as is a cell as it was typed, in the look of an input.
func (g *given) as(c table.Cell, d field) table.Entry {
	empty := table.Field(d.format)
	if c.Kind == table.Empty {
		return empty
	}
	if c.Kind != table.Number && c.Kind != table.Date {
		e := table.Words(c.Text).As(table.Input)
		e.Wrapped = true
		return e
	}
	v, err := strconv.ParseFloat(c.Raw, 64)
	if err != nil {
		g.err = errors.Join(g.err, fmt.Errorf("%s: %w", c.Pos, err))
		return empty
	}
	format := d.format
	if c.Kind == table.Number {
		written, err := unit.ParseDecimal(c.Text, unit.PointSign)
		if err != nil {
			g.err = errors.Join(g.err, fmt.Errorf("%s: %w", c.Pos, err))
			return empty
		}
		format = decimals(written)
	}
	return table.Num(v, format).As(table.Input)
}

// termRow is the row of a key on the sheet of the job.
func (g *given) termRow(t term) table.Row {
	for _, row := range g.sheet(jobSheet).Rows {
		if row.Cell(1).Text == t.key {
			return row
		}
	}
	return table.Row{}
}

// term is the value of a key, empty where it is not given.
func (g *given) term(t term, empty table.Entry) table.Entry {
	if t.value == nil {
		return typed(g.termRow(t).Cell(2), empty)
	}
	if e, ok := t.value(&g.job.Terms); ok {
		return e.As(table.Input)
	}
	return empty
}

func (g *given) remark(t term, empty table.Entry) table.Entry {
	return typed(g.termRow(t).Cell(3), empty)
}

func typed(c table.Cell, empty table.Entry) table.Entry {
	if c.Text == "" {
		return empty
	}
	e := table.Words(c.Text).As(table.Input)
	e.Wrapped = true
	return e
}

// accounted reports a heading or a key of the given job that has no place in
// the workbook, whose values would be lost.
func (g *given) accounted(s table.Sheet) error {
	var known []string
	if s.Name == jobSheet {
		for _, t := range jobTerms {
			known = append(known, t.key)
		}
		for _, row := range s.Rows[1:] {
			if !slices.Contains(known, row.Cell(1).Text) {
				return fmt.Errorf("%s: no place for the key %q", row.Cell(1).Pos, row.Cell(1).Text)
			}
		}
		return nil
	}
	for _, f := range forms {
		if f.name == s.Name {
			for _, d := range f.fields {
				known = append(known, d.head)
			}
		}
	}
	if len(s.Rows) == 0 {
		return nil
	}
	for _, c := range s.Rows[0].Cells() {
		if !slices.Contains(known, c.Text) {
			return fmt.Errorf("%s: no place for the column %q", c.Pos, c.Text)
		}
	}
	return nil
}
