package report

import (
	"slices"
	"strconv"
	"strings"

	"saltline/internal/certificate"
	"saltline/internal/doc"
	"saltline/internal/dossier"
	"saltline/internal/papers"
	"saltline/internal/record"
)

// notIssuable is the box on the first page with everything that is missing.
func (c *dossierComposer) notIssuable() []doc.Block {
	items := make([]doc.Item, 0, len(c.of.Missing))
	for i, m := range c.missing() {
		items = append(items, doc.Entry(strconv.Itoa(i+1), doc.Join(
			doc.Strong(m.why), doc.Plain(" "), doc.Strong(c.say("certificate/next", nil)), doc.Plain(" "+m.next))))
	}
	return []doc.Block{doc.Box{
		Title:  c.say("dossier/not-issuable-title", nil),
		Blocks: append(c.para("dossier/not-issuable-lead", len(items)), doc.List{Items: items}),
	}}
}

// missing is what is missing, in words.
func (c *dossierComposer) missing() []refusalLine {
	var out []refusalLine
	var reports []*papers.Report
	for i := range c.of.Missing {
		if m := &c.of.Missing[i]; m.Report != nil {
			reports = append(reports, m.Report)
		} else {
			out = append(out, c.missingLine(m))
		}
	}
	return append(out, c.incomplete(reports)...)
}

func (c *dossierComposer) missingLine(m *dossier.Missing) refusalLine {
	data := map[string]any{"Name": m.Name, "Days": c.days(m.Days), "Count": len(m.Days), "Area": "", "Reasons": 0,
		"Finding": "", "Next": "", "Balance": "", "Revision": orDash(c.of.Issue.Revision)}
	if a := m.Certificate; a != nil {
		data["Area"], data["Reasons"] = c.areaName(a.Standing.Name), c.reasonsOf(a)
	}
	if m.Kind == dossier.MeterNotCovered {
		data["Name"] = c.meterName(m.Name)
	}
	if f := m.Finding; f != nil {
		data["Finding"], data["Next"] = c.say("checks/"+f.Check.Name+"/found", c.filling(f)), c.nextStep(f)
	}
	if u := m.Unread; u != nil {
		data["Day"], data["Report"] = c.dayOf(u.Date), u.Number
	}
	if b := m.Balance; b != nil {
		data["Balance"] = c.Words.Lead(c.balanceName(b), c.balanceCounts(b))
	}
	key := "dossier/missing-" + m.Kind.String()
	return refusalLine{c.say(key, data), c.say(key+"-next", data)}
}

// reasonsOf counts the reasons that the sheet of an area lists.
func (c *dossierComposer) reasonsOf(a *certificate.Certificate) int {
	of := Certificate{Record: c.Record, Area: a}
	sheet := certificateComposer{composer: of.composer(), of: a}
	n := len(sheet.reasons())
	if c.err == nil {
		c.err = sheet.err
	}
	return n
}

// instruments lists the meters with their certificates and the days of use.
func (c *dossierComposer) instruments() []doc.Block {
	head := func(key string) string { return c.say("report/head-"+key, nil) }
	own := func(key string) string { return c.say("dossier/head-"+key, nil) }
	of := func(f func(*record.Meter) string) func(*dossier.MeterUse) string {
		return func(m *dossier.MeterUse) string {
			if m.Row == nil {
				return "–"
			}
			return f(m.Row)
		}
	}
	var list []*dossier.MeterUse
	for i := range c.of.Meters {
		list = append(list, &c.of.Meters[i])
	}
	t := doc.Tabulate([]doc.Col[*dossier.MeterUse]{
		doc.Left(head("serial"), "", func(m *dossier.MeterUse) string { return orDash(m.Serial) }),
		doc.Left(head("certificate"), "", of(func(m *record.Meter) string { return cell(c.composer, m.Certificate) })),
		doc.Left(own("calibrated"), "", of(func(m *record.Meter) string { return cell(c.composer, m.CalibratedOn) })),
		doc.Left(head("due"), "", of(func(m *record.Meter) string { return cell(c.composer, m.Due) })),
		doc.Left(head("laboratory"), "", of(func(m *record.Meter) string { return cell(c.composer, m.Laboratory) })),
		doc.Right(own("tests"), "", func(m *dossier.MeterUse) string { return c.bare(m.Tests) }),
		doc.Right(own("days"), "", func(m *dossier.MeterUse) string { return c.bare(len(m.Days)) }),
		doc.Left(own("covered"), "", func(m *dossier.MeterUse) string {
			return c.say("dossier/covered", map[string]any{"Covered": m.Covered(), "Days": c.days(m.Uncovered)})
		}),
	}, list, func(m *dossier.MeterUse, r *doc.Row) { r.Emphasis = !m.Covered() })
	blocks := c.para("dossier/instruments-lead", nil)
	blocks = append(blocks, t)
	var others []*record.Meter
	for i := range c.job.Meters {
		if m := &c.job.Meters[i]; !isConductivity(m) {
			others = append(others, m)
		}
	}
	if len(others) > 0 {
		blocks = append(blocks, c.para("dossier/instruments-others", nil)...)
		blocks = append(blocks, doc.Tabulate([]doc.Col[*record.Meter]{
			doc.Left(head("serial"), "", func(m *record.Meter) string { return cell(c.composer, m.Serial) }),
			doc.Left(head("kind"), "", func(m *record.Meter) string { return cell(c.composer, m.Kind) }),
			doc.Left(head("certificate"), "", func(m *record.Meter) string { return cell(c.composer, m.Certificate) }),
			doc.Left(own("calibrated"), "", func(m *record.Meter) string { return cell(c.composer, m.CalibratedOn) }),
			doc.Left(head("due"), "", func(m *record.Meter) string { return cell(c.composer, m.Due) }),
			doc.Left(head("laboratory"), "", func(m *record.Meter) string { return cell(c.composer, m.Laboratory) }),
		}, others))
	}
	return append(blocks, c.small("dossier/instruments-note", nil)...)
}

// people lists who tested and who signed.
func (c *dossierComposer) people() []doc.Block {
	if len(c.of.People) == 0 {
		return c.para("dossier/people-none", nil)
	}
	own := func(key string) string { return c.say("dossier/head-"+key, nil) }
	of := func(f func(*record.Person) string) func(*dossier.PersonUse) string {
		return func(p *dossier.PersonUse) string {
			if p.Row == nil {
				return "–"
			}
			return f(p.Row)
		}
	}
	var list []*dossier.PersonUse
	for i := range c.of.People {
		list = append(list, &c.of.People[i])
	}
	return []doc.Block{doc.Tabulate([]doc.Col[*dossier.PersonUse]{
		doc.Left(own("name"), "", func(p *dossier.PersonUse) string { return p.Name }),
		doc.Left(own("role"), "", of(func(p *record.Person) string { return cell(c.composer, p.Role) })),
		doc.Left(own("employer"), "", of(func(p *record.Person) string { return cell(c.composer, p.Employer) })),
		doc.Left(own("qualification"), "", of(func(p *record.Person) string {
			return orDash(strings.TrimSpace(p.Qualification.OrZero() + " " + p.CardNumber.OrZero()))
		})),
		doc.Left(own("expiry"), "", of(func(p *record.Person) string { return cell(c.composer, p.Expiry) })),
		doc.Right(own("days"), "", func(p *dossier.PersonUse) string { return c.bare(len(p.Days)) }),
		doc.Right(own("tests"), "", func(p *dossier.PersonUse) string { return c.bare(p.Tests) }),
		doc.Right(own("signatures"), "", func(p *dossier.PersonUse) string { return c.bare(p.Signed) }),
		doc.Left(own("valid"), "", func(p *dossier.PersonUse) string {
			return c.say("dossier/valid", map[string]any{"Listed": p.Row != nil, "Dated": p.Row != nil && p.Row.Expiry.Known(), "Days": c.days(p.Invalid)})
		}),
	}, list, func(p *dossier.PersonUse, r *doc.Row) { r.Emphasis = p.Row == nil || len(p.Invalid) > 0 })}
}

// openPoints lists what is open, and is where the dossier is signed.
func (c *dossierComposer) openPoints() []doc.Block {
	var items []doc.Item
	for i, p := range c.of.Open {
		var text doc.Text
		switch {
		case p.Finding != nil:
			f := p.Finding
			fill := c.filling(f)
			text = doc.Join(doc.Plain(c.say("checks/"+f.Check.Name+"/found", fill)+" ("+c.severity(f.Severity)+") "),
				doc.Strong(c.say("report/next-by", c.owner(f.Check.Owner))), doc.Plain(" "+c.say("checks/"+f.Check.Name+"/next", fill)))
			if !f.Date.IsZero() {
				text = doc.Join(doc.Strong(c.Words.Lead(c.dayOf(f.Date), "")), text)
			}
		default:
			text = doc.Plain(c.say("dossier/silent", map[string]any{"From": p.Day.From, "Until": p.Day.Until, "Days": p.Day.Days()}))
		}
		items = append(items, doc.Entry(strconv.Itoa(i+1), text))
	}
	var blocks []doc.Block
	if len(items) == 0 {
		blocks = c.para("dossier/open-none", nil)
	} else {
		blocks = append(c.para("dossier/open-lead", len(items)), doc.List{Items: items})
	}
	if !c.of.Issuable() {
		return append(blocks, c.para("dossier/open-unsigned", nil)...)
	}
	var places []doc.Signature
	for _, s := range certifiers {
		places = append(places, c.signPlace(s, c.signature(s), "", c.say("dossier/sign-"+s.Key, len(items))))
	}
	return append(blocks, doc.Signatures{Items: places})
}

func (c *dossierComposer) balanceName(b *dossier.Balance) string {
	return c.say("dossier/balance-"+b.Kind.String(), b.Name)
}

func (c *dossierComposer) balanceCounts(b *dossier.Balance) string {
	if !b.Known {
		return c.say("format/not-recorded", nil)
	}
	var parts []string
	for _, n := range b.Counts {
		parts = append(parts, c.say("dossier/count-"+n.Of.String(), n.N))
	}
	return c.Words.Clauses(parts)
}

// reconciliation holds the counts side by side.
func (c *dossierComposer) reconciliation() []doc.Block {
	own := func(key string) string { return c.say("dossier/head-"+key, nil) }
	var list []*dossier.Balance
	for i := range c.of.Balances {
		list = append(list, &c.of.Balances[i])
	}
	return append([]doc.Block{doc.Tabulate([]doc.Col[*dossier.Balance]{
		doc.Left(own("what"), "", c.balanceName),
		doc.Left(own("counted"), "", c.balanceCounts),
		doc.Left(own("agrees"), "", func(b *dossier.Balance) string {
			switch {
			case !b.Known:
				return "–"
			case b.Agrees:
				return "✓ " + c.Words.YesNo(true)
			}
			return c.Words.YesNo(false)
		}),
	}, list, func(b *dossier.Balance, r *doc.Row) { r.Emphasis = b.Known && !b.Agrees })}, c.small("dossier/reconciliation-note", nil)...)
}

// methodAndCautions stand once for all documents bound in.
func (c *dossierComposer) methodAndCautions() []doc.Block {
	return slices.Concat(c.method(), c.cautions())
}

// files is the list of digests, and the reading note of the record.
func (c *dossierComposer) files() []doc.Block {
	own := func(key string) string { return c.say("dossier/head-"+key, nil) }
	t := doc.Tabulate([]doc.Col[File]{
		doc.Left(own("file"), "", func(f File) string { return f.Name }),
		doc.Right(own("size"), "B", func(f File) string {
			if f.Size == 0 {
				return "–"
			}
			return c.bare(f.Size)
		}),
		doc.Left("SHA-256", "", func(f File) string { return f.SHA256 }),
	}, c.read)
	return slices.Concat(c.para("dossier/files-lead", map[string]any{"Record": c.Digest, "Rows": c.of.Digest}), []doc.Block{t}, c.index.note)
}

// summary is what the terminal shows of the dossier.
func (c *dossierComposer) summary() string {
	var b strings.Builder
	b.WriteString(c.say("dossier/summary", map[string]any{"Number": c.of.Issue.Number, "Tests": len(c.of.Register) - c.onGlass(c.of.Register), "Glass": c.onGlass(c.of.Register), "Days": daysOf(c.of.Reports), "Areas": len(c.of.Areas), "Points": len(c.of.Open)}))
	if missing := c.missing(); len(missing) > 0 {
		b.WriteString("\n" + c.say("dossier/summary-missing", len(missing)))
		for _, m := range missing {
			b.WriteString("\n  " + m.why + "\n    " + c.say("certificate/summary-next", m.next))
		}
	}
	return b.String()
}

// trendPart follows the job over its days.
func (c *dossierComposer) trendPart() []doc.Block {
	if blocks := c.trends(); len(blocks) > 0 {
		return blocks
	}
	return c.para("dossier/trends-none", nil)
}

// consumables is what was used and, where that is asked for, what it cost.
func (c *dossierComposer) consumables() []doc.Block { return c.stock(c.costs) }

// photographs are those of all tests.
func (c *dossierComposer) photographs() []doc.Block {
	if blocks := c.photoBlocks(c.lines); len(blocks) > 0 {
		return blocks
	}
	return c.para("dossier/photographs-none", nil)
}

// extractPart is what is recorded of the abrasive and the wash water. The part
// has the heading.
func (c *dossierComposer) extractPart() []doc.Block {
	if section := c.extracts(); len(section) > 0 {
		return section[1:]
	}
	return c.para("dossier/extracts-none", nil)
}
