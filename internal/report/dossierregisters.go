package report

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"saltline/internal/assess"
	"saltline/internal/certificate"
	"saltline/internal/doc"
	"saltline/internal/dossier"
	"saltline/internal/papers"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// onGlass counts the tests that were made on clean glass.
func (c *dossierComposer) onGlass(tests []int) int {
	n := 0
	for _, i := range tests {
		if !c.Result.Lines[i].OfSteel() {
			n++
		}
	}
	return n
}

// A revisionLine is one revision of a document of the job.
type revisionLine struct{ document, number, revision, issued, digest, changed string }

// revisions lists the revisions that the record knows of: of the dossier, of
// certificates, and of daily reports that another took the place of.
func (c *dossierComposer) revisions() []doc.Block {
	var lines []revisionLine
	for _, d := range c.of.Documents {
		name := written(c.composer, d.Kind)
		if d.Of.Known() {
			name += " " + d.Of.Val
		}
		lines = append(lines, revisionLine{name, cell(c.composer, d.Number), cell(c.composer, d.Revision), cell(c.composer, d.IssuedOn),
			cell(c.composer, d.Digest), cell(c.composer, d.WhatChanged)})
	}
	for i := range c.of.Reports {
		p := &c.of.Reports[i]
		if len(p.Earlier) == 0 && (p.Diary == nil || !p.Diary.WhatChanged.Known()) {
			continue
		}
		name := c.say("dossier/report-of", c.dayOf(p.Date))
		for _, d := range p.Earlier {
			lines = append(lines, revisionLine{name, cell(c.composer, d.ReportNumber), c.say("dossier/superseded", cell(c.composer, d.Revision)), "–",
				c.digestBefore(d), cell(c.composer, d.WhatChanged)})
		}
		lines = append(lines, revisionLine{name, orDash(p.Number), orDash(p.Revision), "–", shortDigest(p.Digest), cell(c.composer, p.Diary.WhatChanged)})
	}
	if len(lines) == 0 {
		return c.para("dossier/revisions-none", nil)
	}
	left := func(key string, of func(revisionLine) string) doc.Col[revisionLine] {
		return doc.Left(c.say("dossier/head-"+key, nil), "", of)
	}
	return []doc.Block{
		doc.Paragraph{Text: doc.Strong(c.say("dossier/revisions-title", nil))},
		doc.Tabulate([]doc.Col[revisionLine]{
			left("document", func(l revisionLine) string { return l.document }),
			left("number", func(l revisionLine) string { return l.number }),
			left("revision", func(l revisionLine) string { return l.revision }),
			left("issued", func(l revisionLine) string { return l.issued }),
			left("digest", func(l revisionLine) string { return l.digest }),
			left("changed", func(l revisionLine) string { return l.changed }),
		}, lines),
	}
}

// digestBefore is the digest of the rows of a superseded revision, where the
// record holds them.
func (c *dossierComposer) digestBefore(d *record.Day) string {
	for i := range c.job.Superseded {
		if s := &c.job.Superseded[i]; s.Day.Row == d.Row {
			return shortDigest(s.Digest)
		}
	}
	return "–"
}

// areas is the summary: how every area stands.
func (c *dossierComposer) areas() []doc.Block {
	type area = *certificate.Certificate
	head := func(key string) string { return c.say("dossier/head-"+key, nil) }
	var list []area
	for i := range c.of.Areas {
		list = append(list, &c.of.Areas[i])
	}
	right := func(key string, of func(area) int) doc.Col[area] {
		return doc.Right(head(key), "", func(a area) string { return c.bare(of(a)) })
	}
	t := doc.Tabulate([]doc.Col[area]{
		doc.Rich(c.say("report/head-area", nil), "", doc.AlignLeft, func(a area) doc.Text { return doc.Strong(c.areaName(a.Standing.Name)) }),
		doc.Rich(c.say("report/head-verdict", nil), "", doc.AlignLeft, func(a area) doc.Text {
			return doc.Marked(areaMarks[a.Standing.Verdict], doc.Strong(keepTogether(c.areaVerdict(a.Standing.Verdict))))
		}),
		doc.Left(head("certificate"), "", func(a area) string {
			if a.Refused() {
				return c.say("dossier/not-issued", nil)
			}
			return a.Issue.Number
		}),
		right("days", func(a area) int { return daysOf(a.Reports) }),
		doc.Left(head("first"), "", func(a area) string { return c.dayOrDash(a.From) }),
		doc.Left(head("last"), "", func(a area) string { return c.dayOrDash(a.Until) }),
		right("tests", func(a area) int { return len(a.Standing.Tests) }),
		doc.Decimal(c.say("report/head-max", nil), "mg/m²", func(a area) string {
			if l := c.highest(a.Standing); l != nil {
				return c.density(l)
			}
			return "–"
		}),
		right("found", func(a area) int { return len(a.Standing.Open) + len(a.Standing.Cleared) }),
		right("cleared", func(a area) int { return len(a.Standing.Cleared) }),
		right("still-open", func(a area) int { return len(a.Standing.Open) }),
	}, list)
	blocks := []doc.Block{}
	blocks = append(blocks, c.limits()...)
	blocks = append(blocks, t)
	blocks = append(blocks, c.small("dossier/summary-note", nil)...)
	return append(blocks, c.statistics()...)
}

func (c *dossierComposer) dayOrDash(d unit.Date) string {
	if d.IsZero() {
		return "–"
	}
	return c.Words.Date(d)
}

// specification is the basis of all documents, with the concessions. The part
// has the heading.
func (c *dossierComposer) specification() []doc.Block { return c.basis()[1:] }

// failPart lists the fails, likewise.
func (c *dossierComposer) failPart() []doc.Block { return c.fails()[1:] }

// register lists every test.
func (c *dossierComposer) register() []doc.Block {
	head := func(key string) string { return c.say("report/head-"+key, nil) }
	cols := []doc.Col[*assess.Line]{doc.Left(head("number"), "", func(l *assess.Line) string { return c.number(l.Index) })}
	if c.several {
		cols = append(cols, doc.Left(head("area"), "", func(l *assess.Line) string { return l.Test.Area().OrZero() }))
	}
	cols = append(cols,
		doc.Left(head("location"), "", func(l *assess.Line) string { return cell(c.composer, l.Test.Location()) }),
		doc.Left(head("times"), "h:min", func(l *assess.Line) string { return c.times(l.Test) }),
		doc.Left(c.say("certificate/head-kind", nil), "", func(l *assess.Line) string { return c.kindNote(l) }),
		doc.Decimal("ρ", "mg/m²", c.density),
		doc.Rich(head("verdict"), "", doc.AlignLeft, func(l *assess.Line) doc.Text {
			if !l.OfSteel() {
				return nil
			}
			return doc.Marked(verdictMarks[l.Verdict], doc.Plain(keepTogether(c.verdict(l))))
		}),
	)
	days := map[*papers.Report]string{}
	byDay := func(l *assess.Line) string {
		p := c.index.papers[l.Test.Date().Val]
		says, said := days[p]
		if !said {
			says = c.registerDay(p)
			days[p] = says
		}
		return says
	}
	lines := slices.Clone(c.lines)
	slices.SortStableFunc(lines, func(a, b *assess.Line) int {
		if d := a.Test.Date().Val.Compare(b.Test.Date().Val); d != 0 {
			return d
		}
		return compareNumbers(a.Test.Number().Val, b.Test.Number().Val)
	})
	glass := c.onGlass(c.of.Register)
	blocks := c.para("dossier/register-lead", map[string]any{"Tests": len(lines) - glass, "Glass": glass, "Days": daysOf(c.of.Reports)})
	blocks = append(blocks, doc.TabulateBy(byDay, cols, lines, func(l *assess.Line, r *doc.Row) {
		r.Emphasis = l.OfSteel() && l.Verdict == assess.Fail
	}))
	var gaps []doc.Item
	for i := range c.of.Missing {
		if f := c.of.Missing[i].Finding; f != nil {
			gaps = append(gaps, doc.Entry("", doc.Plain(c.say("checks/"+f.Check.Name+"/found", c.filling(f)))))
		}
	}
	if len(gaps) == 0 {
		return append(blocks, c.para("dossier/register-whole", nil)...)
	}
	return append(append(blocks, c.para("dossier/register-gaps", nil)...), doc.List{Items: gaps})
}

// registerDay heads the tests of a day.
func (c *dossierComposer) registerDay(p *papers.Report) string {
	glass := c.onGlass(p.Tests)
	return c.say("dossier/register-day", map[string]any{"Day": c.dayOf(p.Date), "Report": orDash(p.Number), "Tests": len(p.Tests) - glass, "Glass": glass})
}

// certificates introduces the certificates behind it.
func (c *dossierComposer) certificates() []doc.Block {
	issued := 0
	for i := range c.of.Areas {
		if !c.of.Areas[i].Refused() {
			issued++
		}
	}
	type area = *certificate.Certificate
	var list []area
	for i := range c.of.Areas {
		list = append(list, &c.of.Areas[i])
	}
	left := func(key string, of func(area) string) doc.Col[area] {
		return doc.Left(c.say("dossier/head-"+key, nil), "", of)
	}
	lead := c.para("dossier/certificates-lead", map[string]any{"Issued": issued, "Areas": len(c.of.Areas)})
	return []doc.Block{doc.Group{Blocks: append(lead, doc.Tabulate([]doc.Col[area]{
		doc.Left(c.say("report/head-area", nil), "", func(a area) string { return c.areaName(a.Standing.Name) }),
		left("certificate", func(a area) string {
			if a.Refused() {
				return c.say("dossier/not-issued", nil)
			}
			return a.Issue.Number
		}),
		left("revision", func(a area) string { return orDash(a.Issue.Revision) }),
		left("earlier", func(a area) string {
			var names []string
			for _, d := range a.Issue.Earlier {
				names = append(names, c.say("dossier/superseded", written(c.composer, d.Revision)))
			}
			return orDash(strings.Join(names, ", "))
		}),
		left("rows", func(a area) string { return shortDigest(a.Digest) }),
	}, list))}}
}

// calendar lists the days and introduces the reports behind it.
func (c *dossierComposer) calendar() []doc.Block {
	type day = *dossier.Day
	head := func(key string) string { return c.say("dossier/head-"+key, nil) }
	var list []day
	for i := range c.of.Calendar {
		list = append(list, &c.of.Calendar[i])
	}
	t := doc.Tabulate([]doc.Col[day]{
		doc.Left(head("day"), "", func(d day) string {
			if d.From == d.Until {
				return c.say("dossier/weekday-"+strconv.Itoa(int(d.From.Weekday())), nil) + " " + c.Words.Date(d.From)
			}
			return c.say("dossier/days", map[string]any{"From": d.From, "Until": d.Until, "Days": d.Days()})
		}),
		doc.Left(head("state"), "", func(d day) string {
			data := map[string]any{"Tests": 0, "Glass": 0, "Diary": ""}
			if d.Report != nil {
				glass := c.onGlass(d.Report.Tests)
				data["Tests"], data["Glass"] = d.Tests-glass, glass
			} else if d.Diary != nil {
				data["Diary"] = cmp.Or(d.Diary.WorkDone.OrZero(), d.Diary.Delays.OrZero(), d.Diary.Remarks.OrZero(), d.Diary.Weather.OrZero())
			}
			return c.say("dossier/day-"+d.State.String(), data)
		}),
		doc.Left(head("report"), "", func(d day) string {
			switch {
			case d.Report != nil:
				return orDash(d.Report.Number)
			case d.Diary != nil:
				return cell(c.composer, d.Diary.ReportNumber)
			}
			return ""
		}),
		doc.Left(head("revision"), "", func(d day) string {
			if d.Report != nil {
				return orDash(d.Report.Revision)
			}
			return ""
		}),
		doc.Left(head("signed"), "", func(d day) string {
			if d.Report != nil {
				return c.signedBy(d.Report)
			}
			return ""
		}),
		doc.Left(head("rows"), "", func(d day) string {
			if d.Report != nil {
				return shortDigest(d.Report.Digest)
			}
			return ""
		}),
	}, list)
	return slices.Concat(c.para("dossier/reports-lead", len(c.of.Reports)), []doc.Block{t}, c.small("dossier/reports-note", nil))
}
