package report

import (
	"slices"
	"strings"

	"saltline/internal/assess"
	"saltline/internal/audit"
	"saltline/internal/doc"
)

// Terminal is what a terminal shows: what the first page says in words, and
// the rows of which there is something to say, whose value does not follow by
// its digits or whose verdict is another one. The slips go by their stable
// names.
func (a Audit) Terminal() (summary string, rows doc.Table, err error) {
	c := newAuditor(a)
	summary, rows = c.summary(), c.table()
	return summary, rows, c.err
}

func (c *auditor) table() doc.Table {
	var lines []*assess.Line
	for _, l := range c.lines {
		if !c.stands(l) {
			lines = append(lines, l)
		}
	}
	head := func(key string) string { return c.say("report/head-"+key, nil) }
	cols := []doc.Col[*assess.Line]{
		doc.Left(head("number"), "", func(l *assess.Line) string { return c.number(l.Index) }),
		doc.Decimal(head("written"), "mg/m²", func(l *assess.Line) string { return cell(c.composer, l.Test.Recorded()) }),
		doc.Decimal(c.say("audit/head-recomputed", nil), "mg/m²", c.recomputed),
		doc.Decimal(c.say("audit/head-difference", nil), "mg/m²", c.off),
		doc.Left(c.say("audit/head-explanation", nil), "", func(l *assess.Line) string { return strings.Join(c.names(l), ", ") }),
		doc.Left(c.say("audit/head-verdict-written", nil), "", c.writtenVerdict),
		doc.Left(c.say("audit/head-verdict-recomputed", nil), "", func(l *assess.Line) string { return c.verdict(l) }),
		doc.Left(head("cell"), "", func(l *assess.Line) string { return c.short(l.Test.Row()) }),
	}
	t := doc.Tabulate(cols, lines)
	n := &c.report.Counts
	t.Empty = c.say("audit/table-none", map[string]any{"Values": n.Written(), "Verdicts": n.Judged()})
	if n.Tests == 0 {
		t.Empty = c.opening()
	}
	return t
}

// names are the stable names of what explains a line: the slips that fit, and
// the checks whose findings take its verdict away.
func (c *auditor) names(l *assess.Line) []string {
	var names []string
	add := func(name string) {
		if !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	switch {
	case l.Agreement == assess.AgreesThroughUnseenDigits:
		add(c.say("audit/unseen-in-short", nil))
	case l.Agreement == assess.CannotBeComputed:
		add(c.say("audit/cannot-in-short", nil))
	case l.Agreement == assess.DoesNotFollow && len(l.Explanations()) == 0:
		add(c.say("audit/none-in-short", nil))
	}
	switch {
	case l.UnreadVerdict():
		add(c.say("audit/verdict-not-read-in-short", nil))
	case !audit.Shown(l):
		add(c.reason(assess.WrittenFail))
	}
	for _, e := range l.Explanations() {
		if e.Detail != "" {
			e.Name += " (" + c.term(e.Detail) + ")"
		}
		add(e.Name)
	}
	for _, n := range l.Findings() {
		f := &c.Result.Findings[n]
		bySlip := l.Agreement == assess.DoesNotFollow && f.Severity == assess.ChangesVerdict
		if l.Verdict != l.AsWritten() && f.Severity <= assess.UnprovenPass && !bySlip {
			add(f.Check.Name)
		}
	}
	return names
}
