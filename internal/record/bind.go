package record

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"saltline/internal/diag"
	"saltline/internal/table"
	"saltline/internal/unit"
)

// Options are what the command line says of the reading.
type Options struct {
	Set       []Fact            // --set KEY=VALUE, in the order given
	JobFile   *table.File       // --job FILE; nil where none is given
	JobAgain  bool              // the file of --job is accounted for with another record of the job, and only heard here
	Sheet     string            // --sheet NAME: the only sheet that readings are taken from; "" for all
	Map       map[string]string // --map "THEIR HEADING=our column"
	DateOrder unit.DateOrder    // --date-order
	Decimal   rune              // --decimal: '.' or ','; 0 where it is not told
}

// sign is the decimal sign of the options as a convention.
func (o Options) sign() unit.Convention {
	switch o.Decimal {
	case '.':
		return unit.PointSign
	case ',':
		return unit.CommaSign
	}
	return unit.AnySign
}

// A binder is one Bind under way.
type binder struct {
	opts   Options
	job    *Job
	list   *diag.List
	pages  []*page
	line   *page             // stands for the command line; nil where it sets nothing
	proofs map[string]*proof // of the dates of each file

	termsFrom map[string]Words          // the claim that each key of the job was settled by
	verdicts  map[string]WrittenVerdict // what --set says of words of the verdicts, by their fold
	shared    map[diag.Pos]bool         // the values of job tables that the readings beside them take
	settled   map[string]bool           // the keys settled by --set, --job or the job table, which title rows do not override
	explained bool                      // it was said already why there may be no readings
	withheld  bool                      // there are readings on a sheet that --sheet does not name
	noted     map[Change]bool           // the changes in the reading note
	faults    map[fault]bool            // what was found wrong so far
	often     map[string]*tally         // how often each check has found something wrong
}

// A fault is one thing wrong with one cell.
type fault struct {
	pos   diag.Pos
	check string
}

// Bind reads the files of one job: one workbook, the CSV files of a folder,
// or a single table of readings. It returns all that could be read, and
// everything that could not, each with its cell. While the list holds a
// Question or a Failure, no document may be written from the job.
func Bind(files []*table.File, opts Options) (*Job, *diag.List) {
	b := &binder{
		opts: opts, job: &Job{}, list: &diag.List{},
		proofs: map[string]*proof{"": {}}, termsFrom: map[string]Words{},
		noted: map[Change]bool{}, faults: map[fault]bool{}, often: map[string]*tally{}, shared: map[diag.Pos]bool{},
	}
	if opts.JobFile != nil {
		b.openJobFile(opts.JobFile, files)
	}
	for _, f := range files {
		b.open(f)
	}
	b.checkOptions()
	for _, p := range b.pages {
		p.gather(opts.sign())
		b.prove(p)
	}
	b.shareJobFacts()
	b.nameAreas()
	b.bindTerms()
	for _, p := range b.pages {
		for _, block := range p.blocks {
			b.bindBlock(p, block)
		}
	}
	settleAreas(b.job)
	b.linkRemarks()
	b.ask()
	b.finish()
	return b.job, b.list
}

// prove adds what the dates of a page prove to what the file proves.
func (b *binder) prove(p *page) {
	all := b.proofs[p.file.Name]
	for _, t := range p.told {
		all.add(t.dates)
	}
	for _, block := range p.blocks {
		for _, f := range block.Facts {
			if year, err := strconv.Atoi(strings.TrimSpace(f.Text)); f.Key == "year" && err == nil {
				all.add(proof{years: []int{year}})
			}
		}
	}
}

// note keeps a change for the reading note, once: a title row or a merged
// cell is read for many rows.
func (b *binder) note(c Change) {
	if !b.noted[c] {
		b.noted[c] = true
		b.job.Note.Changes = append(b.job.Note.Changes, c)
	}
}

// mostSaid is of how many cells a check says that they cannot be used. The
// others are counted: nobody reads a thousand lines of one kind, and they are
// mended in one go.
const mostSaid = 1000

// A tally is how many cells a check found something wrong with, and the last.
type tally struct {
	n    int
	last diag.Diagnostic
}

// problem reports what is wrong with a cell, once.
func (b *binder) problem(d diag.Diagnostic) {
	t := b.often[d.Check]
	if t == nil {
		t = &tally{}
		b.often[d.Check] = t
	}
	if t.n >= mostSaid {
		t.n, t.last = t.n+1, d
		return
	}
	if b.first(d.Pos, d.Check) {
		t.n++
		b.list.Add(d)
	}
}

// sayRest says how many more cells there are of the checks that did not name
// each.
func (b *binder) sayRest() {
	for _, check := range slices.Sorted(maps.Keys(b.often)) {
		if t := b.often[check]; t.n > mostSaid {
			b.list.Add(diag.Diagnostic{Pos: t.last.Pos, Level: t.last.Level, Check: check,
				Msg: fmt.Sprintf("found %d more of the same, the last of them here", t.n-mostSaid), Hint: t.last.Hint})
		}
	}
}

// first reports whether this is the first time that a check has found fault
// with a cell.
func (b *binder) first(at diag.Pos, check string) bool {
	key := fault{at, check}
	seen := b.faults[key] && !at.IsZero() // --set has no cells
	b.faults[key] = true
	return !seen
}

// ask puts the questions that the cells left open: one for the decimal sign
// of a sheet, one for the order of the dates of a column.
func (b *binder) ask() {
	for _, p := range b.pages {
		b.askNumbers(p)
		for _, key := range slices.SortedFunc(maps.Keys(p.told), columnKey.compare) {
			b.askDates(p.told[key])
		}
	}
}

// askNumbers asks once for all numbers of a sheet that read in two ways.
func (b *binder) askNumbers(p *page) {
	if len(p.open) == 0 {
		return
	}
	first := p.open[0]
	var ways []string
	for _, v := range first.Choices {
		ways = append(ways, v.String())
	}
	b.list.Add(diag.Diagnostic{
		Pos: p.openAt[0], Level: diag.Question, Check: "decimal-sign-open",
		Msg:     fmt.Sprintf("found %q, which is %s, but wanted a number that reads in one way", first.Text, strings.Join(ways, " or ")),
		Hint:    `say which sign the sheet uses with --decimal "." or --decimal ","`,
		Related: p.openAt[1:],
	})
}

// finish completes the reading note.
func (b *binder) finish() {
	b.sayRest()
	for _, d := range b.list.Sorted() {
		if d.Level <= diag.Problem {
			b.job.Note.Problems = append(b.job.Note.Problems, d)
		}
	}
	if len(b.job.Tests) == 0 && !b.explained {
		b.list.Add(b.noReadings())
	}
	if b.opts.JobAgain && b.opts.JobFile != nil {
		b.job.Note.without(b.opts.JobFile.Name)
	}
}
