package report

import (
	"slices"

	"saltline/internal/doc"
	"saltline/internal/record"
)

// missing names what of the record an auditor needs and did not get.
func (c *auditor) missing() []string {
	var names []string
	for _, m := range c.report.Missing {
		if m.Table != "" {
			names = append(names, c.say("audit/missing-"+m.Table, nil))
		}
	}
	return names
}

// controls names the controls that findings miss, with the tests they touch:
// all, or those that touch single tests, which the first page names.
func (c *auditor) controls(all bool) []string {
	var names []string
	for _, m := range c.report.Missing {
		if m.Check != "" && (all || m.Tests > 0) {
			names = append(names, c.say("audit/control", map[string]any{
				"Title": c.Words.Inside(c.checkTitle(m.Check)), "Tests": m.Tests}))
		}
	}
	return names
}

// checkTitle is the title of a check as its first finding has it.
func (c *auditor) checkTitle(name string) string {
	for _, f := range c.found {
		if f.Check.Name == name {
			return c.say("checks/"+name+"/title", c.filling(f))
		}
	}
	return name
}

// received says what was audited, as found, and what was not there to audit.
func (c *auditor) received() []doc.Block {
	blocks := []doc.Block{c.heading("audit/received-title", anchorReceived)}
	digests := map[string]string{}
	for _, s := range c.job.Sources {
		digests[s.File] = s.SHA256
	}
	files := c.files()
	head := func(key string) string { return c.say(key, nil) }
	cols := []doc.Col[sheetRows]{doc.Left(head("audit/head-file"), "", func(s sheetRows) string { return s.file })}
	if slices.ContainsFunc(files, func(s sheetRows) bool { return s.sheet != "" }) {
		cols = append(cols, doc.Left(head("audit/head-sheet"), "", func(s sheetRows) string { return s.sheet }))
	}
	cols = append(cols,
		doc.Left(head("audit/head-rows-of-tests"), "", func(s sheetRows) string {
			switch {
			case s.tests == 0:
				return "–"
			case s.first == s.last:
				return c.bare(s.first)
			}
			return c.bare(s.first) + "–" + c.bare(s.last)
		}),
		doc.Right(head("audit/head-tests"), "", func(s sheetRows) string { return c.bare(s.tests) }),
		doc.Rich("SHA-256", "", doc.AlignLeft, func(s sheetRows) doc.Text { return doc.Fine(digests[s.file]) }),
	)
	blocks = append(blocks, doc.Tabulate(cols, files))
	blocks = append(blocks, c.para("audit/as-found", map[string]any{"Used": c.report.Counts.Rows, "Skipped": c.report.Counts.Skipped})...)
	if names := c.missing(); len(names) > 0 {
		blocks = append(blocks, c.para("audit/not-received", c.list(names))...)
	}
	if names := c.controls(true); len(names) > 0 {
		blocks = append(blocks, c.para("audit/controls", c.Words.Clauses(names))...)
	}
	return blocks
}

// files are the sheets of tests, and the files that hold other tables only.
func (c *auditor) files() []sheetRows {
	all := c.sheets
	listed := map[string]bool{}
	for _, s := range all {
		listed[s.file] = true
	}
	for _, s := range c.job.Sources {
		if !listed[s.File] {
			all = append(all, sheetRows{file: s.File})
		}
	}
	return all
}

// auditBasis is what the verdicts rest on, with each assumption numbered.
func (c *auditor) auditBasis() []doc.Block {
	blocks := append(c.basis(), c.para("audit/basis-note", len(c.Result.Assumptions))...)
	if set := c.setForAudit(); len(set) > 0 {
		blocks = append(blocks, c.para("audit/set-for-audit", c.Words.Clauses(set))...)
	}
	var near, undecided []int
	for _, l := range c.lines {
		if !l.OfSteel() || !c.judged(l) {
			continue
		}
		if c.nearLimit(l) {
			near = append(near, l.Index)
		}
		if first, _ := l.First(); l.Density.Known && !first.Decided {
			undecided = append(undecided, l.Index)
		}
	}
	if len(near) > 0 {
		blocks = append(blocks, c.para("audit/near", map[string]any{"Count": len(near), "Tests": c.numbers(near), "U": c.uncertaintyNote()})...)
	}
	if len(undecided) > 0 {
		blocks = append(blocks, c.para("audit/undecided", map[string]any{"Count": len(undecided), "Tests": c.numbers(undecided)})...)
	}
	return blocks
}

// setForAudit names the values that the command line set: what hangs on them
// is the auditor's doing, and not the record's.
func (c *auditor) setForAudit() []string {
	t := &c.job.Terms
	var limit record.Limit
	if len(t.Limits) > 0 {
		limit = t.Limits[0]
	}
	var set []string
	for _, v := range []struct{ key, value string }{
		{"limit", setText(limit.Value)},
		{"limit basis", setText(limit.Basis)},
		{"limit comparison", setText(limit.Comparison)},
		{"limit rounding", setText(limit.Rounding)},
		{"limit clause", setText(limit.Clause)},
		{"decision rule", setText(t.DecisionRule)},
		{"expanded uncertainty", setText(t.ExpandedUncertainty)},
		{"procedure", setText(t.Procedure)},
		{"volume", setText(t.Volume)},
		{"patch area", setText(t.PatchArea)},
		{"constant", setText(t.Constant)},
		{"temperature correction", setText(t.Correction)},
		{"sampling rule", setText(t.Sampling)},
		{"retest rule", setText(t.Retest)},
		{"contact time", setText(t.ContactTime)},
		{"sets in use", setText(t.SetsInUse)},
	} {
		if v.value != "" {
			set = append(set, c.say("audit/set-value", map[string]any{"Key": v.key, "Value": v.value}))
		}
	}
	return set
}

// setText is the text of a value that the command line set; "" of any other.
func setText[Q any](g record.Given[Q]) string {
	if !g.Known() || !g.Pos.IsZero() {
		return ""
	}
	return g.Text
}
