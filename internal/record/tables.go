package record

import (
	"slices"

	"saltline/internal/diag"
	"saltline/internal/heading"
)

// A binding puts the blocks of one table into the job.
type binding struct {
	table string
	has   func(column string) bool
	holds func(column string) content
	bind  func(b *binder, p *page, block heading.Block)
}

// bindings are the tables of the record, but for the job table, whose rows
// are keys and values.
var bindings = []binding{
	rowsOf("areas", areas, func(j *Job) *[]Area { return &j.Areas }, func(a *Area) (*diag.Pos, *[]Fact) { return &a.Row, &a.Extra }),
	rowsOf("ambient", ambients, func(j *Job) *[]Ambient { return &j.Ambient }, func(a *Ambient) (*diag.Pos, *[]Fact) { return &a.Row, &a.Extra }),
	rowsOf("meters", meters, func(j *Job) *[]Meter { return &j.Meters }, func(m *Meter) (*diag.Pos, *[]Fact) { return &m.Row, &m.Extra }),
	rowsOf("checks", checks, func(j *Job) *[]MeterCheck { return &j.Checks }, func(k *MeterCheck) (*diag.Pos, *[]Fact) { return &k.Row, &k.Extra }),
	rowsOf("water", waters, func(j *Job) *[]Water { return &j.Water }, func(w *Water) (*diag.Pos, *[]Fact) { return &w.Row, &w.Extra }),
	rowsOf("patches", patches, func(j *Job) *[]Patch { return &j.Patches }, func(p *Patch) (*diag.Pos, *[]Fact) { return &p.Row, &p.Extra }),
	rowsOf("treatments", treatments, func(j *Job) *[]Treatment { return &j.Treatments }, func(t *Treatment) (*diag.Pos, *[]Fact) { return &t.Row, &t.Extra }),
	rowsOf("extracts", extracts, func(j *Job) *[]Extract { return &j.Extracts }, func(e *Extract) (*diag.Pos, *[]Fact) { return &e.Row, &e.Extra }),
	rowsOf("days", days, func(j *Job) *[]Day { return &j.Days }, func(d *Day) (*diag.Pos, *[]Fact) { return &d.Row, &d.Extra }),
	rowsOf("people", people, func(j *Job) *[]Person { return &j.People }, func(p *Person) (*diag.Pos, *[]Fact) { return &p.Row, &p.Extra }),
	rowsOf("signatures", signatures, func(j *Job) *[]Signature { return &j.Signatures }, func(s *Signature) (*diag.Pos, *[]Fact) { return &s.Row, &s.Extra }),
	rowsOf("concessions", concessions, func(j *Job) *[]Concession { return &j.Concessions }, func(c *Concession) (*diag.Pos, *[]Fact) { return &c.Row, &c.Extra }),
	rowsOf("documents", documents, func(j *Job) *[]Document { return &j.Documents }, func(d *Document) (*diag.Pos, *[]Fact) { return &d.Row, &d.Extra }),
	{"readings", readings.has, readings.holds, (*binder).bindReadings},
}

// rowsOf binds the rows of one table to structs of one type.
func rowsOf[T any](name string, columns tableOf[T], list func(*Job) *[]T, parts func(*T) (*diag.Pos, *[]Fact)) binding {
	return binding{name, columns.has, columns.holds, func(b *binder, p *page, block heading.Block) {
		rows := list(b.job)
		from := len(*rows)
		*rows = slices.Grow(*rows, len(block.Rows))[:from+len(block.Rows)]
		keep := func(first, last int, _ []*title[T]) keeping[T] { return listing[T]((*rows)[from+first : from+last]) }
		bindRows(b, p, block, columns, keep, parts, nil)
	}}
}

// contentOf says what the cells of a column are made of.
func contentOf(key columnKey) content {
	if key.table == "job" {
		return termContent(key.column)
	}
	for _, t := range bindings {
		if t.table == key.table {
			return t.holds(key.column)
		}
	}
	return holdsWords
}

// bindBlock puts one block into the job.
func (b *binder) bindBlock(p *page, block heading.Block) {
	for _, t := range bindings {
		if t.table == block.Table {
			t.bind(b, p, block)
		}
	}
}
