package report

import (
	"math"
	"slices"

	"saltline/internal/assess"
	"saltline/internal/certificate"
	"saltline/internal/doc"
	"saltline/internal/papers"
)

// evidence lists the meters with their checks and the daily reports.
func (c *certificateComposer) evidence() (blocks, rest []doc.Block) {
	head := func(key string) string { return c.say("certificate/head-"+key, nil) }
	meters := doc.Tabulate([]doc.Col[certificate.Meter]{
		doc.Left(c.say("report/head-meter", nil), "", func(m certificate.Meter) string { return orDash(m.Serial) }),
		doc.Left(c.say("report/head-certificate", nil), "", func(m certificate.Meter) string {
			if m.Row == nil {
				return "–"
			}
			return cell(c.composer, m.Row.Certificate)
		}),
		doc.Left(c.say("report/head-due", nil), "", func(m certificate.Meter) string {
			if m.Row == nil {
				return "–"
			}
			return cell(c.composer, m.Row.Due)
		}),
		doc.Right(head("tests"), "", func(m certificate.Meter) string { return c.bare(len(m.Tests)) }),
		doc.Left(head("checks"), "", c.checksOf),
	}, c.of.Meters)
	reports := doc.Tabulate([]doc.Col[papers.Report]{
		doc.Left(head("report"), "", func(p papers.Report) string { return orDash(p.Number) }),
		doc.Left(head("revision"), "", func(p papers.Report) string { return orDash(p.Revision) }),
		doc.Left(c.say("report/head-date", nil), "", func(p papers.Report) string { return c.dayOf(p.Date) }),
		doc.Left(head("signed"), "", func(p papers.Report) string { return c.signedBy(&p) }),
		doc.Left(head("rows"), "", func(p papers.Report) string { return shortDigest(p.Digest) }),
	}, c.of.Reports)
	// The page has no room for many; the annex has them.
	put := func(t doc.Table, most int, key string) {
		if len(t.Rows) > most {
			blocks = append(blocks, c.para(key, len(t.Rows))...)
			rest = append(rest, t)
			return
		}
		blocks = append(blocks, t)
	}
	put(meters, mostMeters, "certificate/many-meters")
	put(reports, mostReports, "certificate/many-reports")
	return blocks, rest
}

// onPage lists the meters and the reports on the first page, inAnnex those of
// them that the page has no room for.
func (c *certificateComposer) onPage() []doc.Block {
	blocks, _ := c.evidence()
	return blocks
}

func (c *certificateComposer) inAnnex() []doc.Block {
	_, rest := c.evidence()
	return rest
}

// checksOf says how many checks a meter had, and how far they were off.
func (c *certificateComposer) checksOf(m certificate.Meter) string {
	within, worst, tolerance := 0, 0.0, 0.0
	for _, k := range m.Checks {
		d, ok := deviation(k)
		if !ok {
			continue
		}
		if math.Abs(d) <= c.tolerance(k) {
			within++
		}
		if math.Abs(d) >= math.Abs(worst) {
			worst, tolerance = d, c.tolerance(k)
		}
	}
	return c.say("certificate/checks", map[string]any{"Count": len(m.Checks), "Within": within,
		"Worst": c.signed(worst), "Tolerance": c.Words.Figure(tolerance)})
}

// signedBy names the roles that have signed a report.
func (c *composer) signedBy(p *papers.Report) string {
	var names []string
	for _, s := range p.Signed {
		if s.Signature == nil {
			continue
		}
		name := c.signer(s.Signer)
		if s.Uncompared {
			name += " (" + c.say("report/digest-not-comparable", nil) + ")"
		}
		names = append(names, name)
	}
	if len(names) == 0 {
		return c.say("report/not-signed", nil)
	}
	return upperFirst(c.Words.List(names))
}

// signer is a signer inside a sentence.
func (c *composer) signer(s papers.Signer) string {
	return c.owner(map[string]assess.Role{papers.Inspector.Key: assess.Inspector, papers.QCManager.Key: assess.QCManager,
		papers.Owner.Key: assess.OwnersRepresentative}[s.Key])
}

// deviations are the concessions and what weakens the evidence.
func (c *certificateComposer) deviations() []doc.Item {
	var items []doc.Item
	for _, k := range c.of.Concessions {
		items = append(items, doc.Entry("", doc.Plain(c.say("report/concession", map[string]any{
			"For": written(c.composer, k.For), "Clause": written(c.composer, k.Clause), "By": written(c.composer, k.By),
			"Date": cell(c.composer, k.Date), "Text": written(c.composer, k.Text)}))))
	}
	for _, f := range c.of.Deviations {
		items = append(items, doc.Entry(c.mark[f], doc.Plain(upperFirst(c.say("checks/"+f.Check.Name+"/found", c.filling(f))))))
	}
	return items
}

// agreed are the first of them, on the page.
func (c *certificateComposer) agreed() []doc.Block {
	items := c.deviations()
	title := doc.Paragraph{Text: doc.Strong(c.say("certificate/deviations-title", nil))}
	if len(items) == 0 {
		return []doc.Block{doc.Paragraph{Text: doc.Join(title.Text, doc.Plain(" "+c.say("certificate/deviations-none", nil)))}}
	}
	if rest := len(items) - mostDeviations; rest > 0 {
		items = append(items[:mostDeviations:mostDeviations], doc.Entry("", doc.Plain(c.say("certificate/deviations-more", rest))))
	}
	return []doc.Block{title, doc.List{Items: items}}
}

// furtherDeviations are all of them, where the page has no room for all.
func (c *certificateComposer) furtherDeviations() []doc.Block {
	items := c.deviations()
	if len(items) <= mostDeviations {
		return nil
	}
	return []doc.Block{doc.Paragraph{Text: doc.Strong(c.say("certificate/deviations-title", nil))}, doc.List{Items: items}}
}

// fineCautions are the cautions in smaller type.
func (c *certificateComposer) fineCautions() []doc.Block {
	blocks := c.cautions()
	for _, b := range blocks {
		if list, is := b.(doc.List); is {
			for i := range list.Items {
				list.Items[i].Text = doc.Fine(list.Items[i].Text.String())
			}
		}
	}
	return blocks
}

// annex lists the tests that the certificate speaks of, and all others of the
// area beside them.
func (c *certificateComposer) annex() []doc.Block {
	stated := map[int]bool{}
	for _, i := range c.of.Stated {
		stated[i] = true
	}
	head := func(key string) string { return c.say("report/head-"+key, nil) }
	t := doc.TabulateBy(func(l *assess.Line) string { return c.dayOf(l.Test.Date().Val) }, []doc.Col[*assess.Line]{
		doc.Left(head("number"), "", func(l *assess.Line) string { return c.number(l.Index) }),
		doc.Left(head("location"), "", func(l *assess.Line) string { return cell(c.composer, l.Test.Location()) }),
		doc.Left(head("times"), "h:min", func(l *assess.Line) string { return c.times(l.Test) }),
		doc.Decimal("γ₁", "µS/cm", func(l *assess.Line) string { return cell(c.composer, l.Test.Blank()) }),
		doc.Decimal("γ₂", "µS/cm", func(l *assess.Line) string { return cell(c.composer, l.Test.Extract()) }),
		doc.Decimal("ρ", "mg/m²", c.density),
		doc.Rich(head("verdict"), "", doc.AlignLeft, func(l *assess.Line) doc.Text {
			return doc.Marked(verdictMarks[l.Verdict], doc.Plain(keepTogether(c.verdict(l))))
		}),
		doc.Centre(c.say("certificate/head-stated", nil), "", func(l *assess.Line) string {
			if stated[l.Index] {
				return "✓"
			}
			return ""
		}),
		doc.Left(c.say("certificate/head-kind", nil), "", func(l *assess.Line) string { return c.kindNote(l) }),
	}, c.byDay(), func(l *assess.Line, r *doc.Row) { r.Emphasis = l.Verdict == assess.Fail })
	return slices.Concat(
		[]doc.Block{doc.Heading{Level: 1, Text: c.say("certificate/annex-title", nil), NewPage: true}},
		c.para("certificate/annex-lead", map[string]any{"Count": len(c.of.Stated), "All": len(c.of.Standing.Tests)}),
		[]doc.Block{t}, c.small("certificate/annex-note", c.rounding()))
}

// byDay are the tests by day, and by number within one.
func (c *certificateComposer) byDay() []*assess.Line {
	lines := slices.Clone(c.lines)
	slices.SortStableFunc(lines, func(a, b *assess.Line) int { return a.Test.Date().Val.Compare(b.Test.Date().Val) })
	return lines
}

// spots is the map of the spots.
func (c *certificateComposer) spots() []doc.Block { return c.mapOf(c.of.Standing) }
