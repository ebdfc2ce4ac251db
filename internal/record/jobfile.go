package record

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"saltline/internal/diag"
	"saltline/internal/heading"
	"saltline/internal/table"
)

// notJobTable is why the rows of the file of --job that are not of its job
// table are skipped.
const notJobTable = "not the job table"

// openJobFile finds the job table in the file that --job names: those of its
// sheets that are called so or have the heading of one, or the only one where a
// key of ours stands in it. A file that is one of
// the record too, or that was read with another record of the job, is heard here
// and accounted for there.
func (b *binder) openJobFile(f *table.File, files []*table.File) {
	again := b.opts.JobAgain || slices.ContainsFunc(files, func(o *table.File) bool { return o.Name == f.Name && o.SHA256 == f.SHA256 })
	b.proofs[f.Name] = &proof{}
	if !again {
		b.job.Sources = append(b.job.Sources, Source{f.Name, f.SHA256})
		for _, d := range f.Notes {
			b.list.Add(d)
		}
	}
	var sheets, left []string
	some := false
	sole := oneFilled(f)
	for i := range f.Sheets {
		p := newPage(f, &f.Sheets[i])
		p.jobs, p.again = true, again
		sheets = append(sheets, strconv.Quote(p.sheet.Name))
		var blocks []heading.Block
		var found []diag.Diagnostic
		all, ds := heading.Find(p.sheet, "job", heading.Mapping(b.opts.Map))
		if heading.TableOf(p.sheet.Name) == "job" || slices.ContainsFunc(all, headed) || sole && slices.ContainsFunc(all, keyed) {
			blocks, found = all, ds
		} else if holdsOurs(p, b.opts.Map) {
			left = append(left, strconv.Quote(p.sheet.Name))
		}
		for _, block := range blocks {
			if block.Table == "job" && len(block.Rows) > 0 {
				some = true
				p.blocks = append(p.blocks, block)
			}
		}
		if len(p.blocks) > 0 {
			b.pages = append(b.pages, p)
			for _, d := range found {
				b.list.Add(d)
			}
		}
		if !again {
			for _, block := range p.blocks {
				b.noteHeadings(p, block)
			}
			b.noteJobRows(p)
		}
	}
	switch {
	case !some:
		b.explained = true
		b.list.Add(diag.Diagnostic{
			Pos: diag.In(f.Name, ""), Level: diag.Failure, Check: "no-job-table",
			Msg:  fmt.Sprintf("found no job table in the file that --job names (%s), but wanted one: keys and values, one a row", strings.Join(sheets, ", ")),
			Hint: `call its sheet "job", or write "key" and "value" above its two columns; a file with other tables is named beside the log, without --job`,
		})
	case len(left) > 0 && !again:
		b.list.Add(diag.Diagnostic{
			Pos: diag.In(f.Name, ""), Level: diag.Problem, Check: "sheets-skipped",
			Msg:  fmt.Sprintf("found more sheets with tables (%s), but wanted the job table alone: they are skipped", strings.Join(left, ", ")),
			Hint: "to have them read too, name the file beside the log, without --job",
		})
	}
}

// oneFilled reports whether no more than one sheet of a file holds anything.
func oneFilled(f *table.File) bool {
	filled := 0
	for i := range f.Sheets {
		if slices.ContainsFunc(f.Sheets[i].Rows, func(r table.Row) bool { return !r.Blank() }) {
			filled++
		}
	}
	return filled <= 1
}

// headed reports whether a block is a job table with its heading of keys and
// values.
func headed(block heading.Block) bool {
	has := func(name string) bool {
		return slices.ContainsFunc(block.Columns, func(c heading.Column) bool { return c.Name == name && c.Text != "" })
	}
	return block.Table == "job" && has("key") && has("value")
}

// keyed reports whether a block is a job table with a key of ours, or one close
// to it.
func keyed(block heading.Block) bool {
	return block.Table == "job" && slices.ContainsFunc(entries(block), func(e entry) bool { return isTerm(e.key) || len(near(e.key)) > 0 })
}

// holdsOurs reports whether a sheet holds a table of ours with rows in it.
func holdsOurs(p *page, m map[string]string) bool {
	blocks, _ := heading.Find(p.sheet, heading.TableOf(p.sheet.Name), heading.Mapping(m))
	return slices.ContainsFunc(blocks, func(block heading.Block) bool { return skipReason(block, true) == "" && len(block.Rows) > 0 })
}

// noteJobRows puts the rows of a sheet of the file of --job into the reading
// note.
func (b *binder) noteJobRows(p *page) {
	if len(p.blocks) > 0 {
		b.noteRows(p, p.blocks, true)
		return
	}
	for _, row := range p.sheet.Rows {
		if !row.Blank() {
			b.job.Note.Skipped = append(b.job.Note.Skipped, Skip{Row: p.at.At(row.Number, 0), Reason: notJobTable, Text: shorten(row)})
		}
	}
}
