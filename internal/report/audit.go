package report

import (
	"fmt"
	"slices"
	"strings"

	"saltline/internal/assess"
	"saltline/internal/audit"
	"saltline/internal/diag"
	"saltline/internal/doc"
	"saltline/internal/frame"
	"saltline/internal/unit"
	"saltline/internal/wording"
)

// An Audit is what the audit report of one record is made from.
type Audit struct {
	Report   *audit.Report
	Words    *wording.Words
	Fonts    *frame.Fonts
	Width    float64 // of the text of a page, in points: that of the plots
	Tool     string  // name and version of the program
	Digest   string  // SHA-256 of the record, hex
	Produced unit.Date
}

// Compose composes the audit report: the result on its first page, then what
// it rests on, every row, and what to ask. The error is that of a text that is
// missing or does not fit its values.
func (a Audit) Compose() (Report, error) {
	c := newAuditor(a)
	c.standing = a.Report.Result.Course().Outcome() // no figures of an area are shown
	r := Report{Document: c.document(), Summary: c.summary()}
	return r, c.err
}

// An auditor composes an audit report. Its lines are all of the record, in the
// order of the log; its findings are those that are no patterns.
type auditor struct {
	*composer
	report   *audit.Report
	asked    []string // the questions, in words
	sheets   []sheetRows
	common   map[assess.Reason]bool // why no test of the record is established
	collided []string               // why explanations cannot be told apart, by name, in the order in which they are said
}

func newAuditor(a Audit) *auditor {
	r := a.Report.Result
	c := &auditor{
		report: a.Report,
		composer: &composer{
			Record: Record{Result: r, Words: a.Words, Fonts: a.Fonts, Width: a.Width, Tool: a.Tool, Digest: a.Digest, Produced: a.Produced},
			job:    r.Job,
			lines:  make([]*assess.Line, len(r.Lines)),
			mark:   make(map[*assess.Finding]string, len(r.Findings)),
		},
	}
	for i := range r.Lines {
		c.lines[i] = &r.Lines[i]
	}
	c.several = a.Report.Areas > 1
	for i := range r.Findings {
		c.found = append(c.found, &r.Findings[i])
	}
	for i, mark := range a.Report.Marks {
		c.mark[&r.Findings[i]] = mark
	}
	c.sheets = sheetsOf(c.lines)
	c.common = commonReasons(c.lines)
	c.asked = c.report.Asked(c.say, c.list)
	return c
}

func (c *auditor) document() doc.Document {
	sections := []func() []doc.Block{
		c.identification,
		c.result,
		c.received,
		c.auditBasis,
		c.plots,
		c.rows,
		c.findings,
		c.integrity,
		c.whatIfs,
		c.questionList,
		c.recommendation,
		c.bounds,
		c.signOff,
		c.meanings,
		c.readingNote,
	}
	out := doc.Document{
		Title:  c.say("audit/title", nil),
		Job:    c.job.Terms.JobNumber.OrZero(),
		Scope:  c.scope(),
		Lang:   c.Words.Lang(),
		Status: c.say("audit/status", nil), // nobody signs an audit before it is made
		Words:  c.pageWords(),
		Footer: c.footer(),
	}
	for _, section := range sections {
		out.Blocks = append(out.Blocks, section()...)
	}
	return out
}

// Anchors of an audit report.
const (
	anchorReceived  = "received"
	anchorFindings  = "findings"
	anchorPatterns  = "patterns"
	anchorWhatIfs   = "what-ifs"
	anchorQuestions = "questions"
)

// rowAnchor is where links to the row of a test lead.
func rowAnchor(i int) string { return fmt.Sprintf("test-%d", i) }

// scope names what was audited, for the running head: its file, or how many.
func (c *auditor) scope() string {
	if len(c.job.Sources) == 1 {
		return c.job.Sources[0].File
	}
	return c.say("audit/files", len(c.job.Sources))
}

// A sheetRows is a sheet with the rows of its tests.
type sheetRows struct {
	file, sheet string
	first, last int
	tests       int
}

// sheetsOf lists the sheets of tests in the order of the log.
func sheetsOf(lines []*assess.Line) []sheetRows {
	at := map[diag.Pos]int{}
	var all []sheetRows
	for _, l := range lines {
		row := l.Test.Row()
		k := row.At(0, 0)
		n, seen := at[k]
		if !seen {
			n = len(all)
			at[k] = n
			all = append(all, sheetRows{file: row.File(), sheet: row.Sheet(), first: row.Row(), last: row.Row()})
		}
		s := &all[n]
		s.first, s.last = min(s.first, row.Row()), max(s.last, row.Row())
		s.tests++
	}
	return all
}

// where says where the tests stand: "sheet “Salt” of job.xlsx, rows 2–9".
func (c *auditor) where() string {
	if len(c.sheets) == 1 {
		s := c.sheets[0]
		return c.say("audit/where", map[string]any{"File": s.file, "Sheet": s.sheet, "First": s.first, "Last": s.last})
	}
	return c.say("audit/where-many", map[string]any{"Sheets": len(c.sheets), "Files": len(c.job.Sources)})
}

// dates are the first and the last day of the tests, in words.
func (c *auditor) dates() string {
	var days []unit.Date
	undated := 0
	for _, l := range c.lines {
		if l.Test.Date().Known() {
			days = append(days, l.Test.Date().Val)
		} else {
			undated++
		}
	}
	if len(days) == 0 {
		return c.say("format/not-recorded", nil)
	}
	first, last := slices.MinFunc(days, unit.Date.Compare), slices.MaxFunc(days, unit.Date.Compare)
	return c.say("audit/dates", map[string]any{"First": c.Words.Date(first), "Last": c.Words.Date(last), "Undated": undated})
}

// identification says whose record this is, for whom it was audited and with
// what task.
func (c *auditor) identification() []doc.Block {
	t := &c.job.Terms
	field := func(key, value string) doc.Field {
		return doc.Labelled(c.say(key, nil), doc.Plain(value))
	}
	mandator := t.Owner
	if !mandator.Known() {
		mandator = t.Client
	}
	fields := []doc.Field{
		field("report/label-job", written(c.composer, t.JobNumber)),
		field("audit/label-for", written(c.composer, mandator)),
		field("report/label-contractor", written(c.composer, t.Contractor)),
		field("report/label-site", written(c.composer, t.Site)),
		field("report/label-structure", written(c.composer, t.Structure)),
		field("audit/label-dates", c.dates()),
	}
	return append([]doc.Block{doc.Fields{Columns: 2, Items: fields}}, c.para("audit/mandate", nil)...)
}

// summary is the result for a terminal: what the first page says in words.
func (c *auditor) summary() string {
	var b strings.Builder
	b.WriteString(c.opening())
	for _, p := range c.particulars() {
		fmt.Fprintf(&b, "\n  %s", p.String())
	}
	return b.String()
}

// Questions are the questions to the contractor as plain text that can be sent
// as it is, with the files that they are about on top.
func (a Audit) Questions() (string, error) {
	c := newAuditor(a)
	t := &c.job.Terms
	fields := []doc.Field{
		doc.Labelled(c.say("report/label-job", nil), doc.Plain(written(c.composer, t.JobNumber))),
		doc.Labelled(c.say("report/label-structure", nil), doc.Plain(written(c.composer, t.Structure))),
		doc.Labelled(c.say("audit/label-dates", nil), doc.Plain(c.dates())),
	}
	var names []string
	digest := c.Digest
	for _, s := range c.job.Sources {
		names = append(names, s.File)
	}
	if len(names) == 1 {
		digest = c.job.Sources[0].SHA256 // of the file as it was sent, whatever was set for the audit
	}
	fields = append(fields,
		doc.Labelled(c.say("audit/label-files", len(names)), doc.Plain(strings.Join(names, ", "))),
		doc.Labelled("SHA-256", doc.Plain(digest)))
	d := doc.Document{
		Title:  c.say("audit/questions-title", nil),
		Blocks: []doc.Block{doc.Fields{Columns: 1, Items: fields}},
	}
	d.Blocks = append(d.Blocks, c.para("audit/questions-send", len(c.asked))...)
	d.Blocks = append(d.Blocks, c.numbered(c.asked)...)
	var b strings.Builder
	if err := d.WriteText(&b, plainWidth); err != nil {
		return "", err
	}
	return strings.TrimSpace(strings.ReplaceAll(b.String(), nbsp, " ")) + "\n", c.err
}

// plainWidth is the width of a plain text, as letters and mails have it.
const plainWidth = 76
