package report

import (
	"math"
	"strings"

	"saltline/internal/assess"
	"saltline/internal/doc"
	"saltline/internal/record"
	"saltline/internal/slip"
	"saltline/internal/unit"
)

// density prints the density of a line that was judged, with as many digits
// as it takes not to contradict its verdict; a range where only bounds are
// known, and a dash where nothing is.
func (c *composer) density(l *assess.Line) string {
	if l.Judged() != l.Density {
		return c.densityAt25(l)
	}
	return c.densityAsRead(l)
}

// densityAsRead prints the density by the readings as they stand, whatever was
// judged.
func (c *composer) densityAsRead(l *assess.Line) string {
	switch {
	case l.Density.Known:
		return c.besideLimit(l, l.Exact(), 1)
	case l.Density.Bounded:
		low, high := l.Span()
		return c.bare(max(low, 0)) + "–" + c.bare(high)
	}
	return "–"
}

// densityAt25 prints the density at 25 °C, and a dash where there is none.
func (c *composer) densityAt25(l *assess.Line) string {
	if d := l.At25(); d.Known {
		return c.besideLimit(l, unit.RatioOfFloat(float64(d.Value)), 1)
	}
	return "–"
}

// besideLimit prints x with so many decimals, or more where it would seem to
// lie on the other side of the limit of a line.
func (c *composer) besideLimit(l *assess.Line, x unit.Ratio, decimals int) string {
	if first, limited := l.First(); limited && first.Limit.Exact.Coef != 0 {
		return c.Words.Spelling().Beside(x, first.Limit.Exact.Ratio(), decimals)
	}
	return c.Words.Spelling().Ratio(x, decimals)
}

// tests is the table of all tests of the day, fails and voids included, with
// what was written beside what was computed.
func (c *composer) tests() []doc.Block {
	blocks := []doc.Block{c.heading("report/tests-title", anchorTests), doc.Paragraph{Text: doc.Plain(c.count())}}
	t := doc.Tabulate(c.testColumns(), c.lines, func(l *assess.Line, r *doc.Row) {
		r.Emphasis = l.OfSteel() && l.Verdict == assess.Fail
		if note := c.rowNote(l); note != "" {
			r.Note = doc.Fine(note)
		}
	})
	return append(blocks, t, doc.Paragraph{Text: doc.Fine(c.testNote())})
}

// rowNote is what stands under the row of a test: what there is to say beside
// its numbers, and the remark of the log word for word.
func (c *composer) rowNote(l *assess.Line) string {
	notes := c.lineNotes(l)
	if l.Test.Remark().State != record.Absent {
		notes = append(notes, c.say("report/remark", written(c, l.Test.Remark())))
	}
	return strings.Join(notes, " · ")
}

func (c *composer) testColumns() []doc.Col[*assess.Line] {
	head := func(key string) string { return c.say("report/head-"+key, nil) }
	cols := []doc.Col[*assess.Line]{
		doc.Left(head("number"), "", func(l *assess.Line) string { return c.number(l.Index) }),
	}
	if c.several {
		cols = append(cols, doc.Left(head("area"), "", func(l *assess.Line) string { return l.Test.Area().OrZero() }))
	}
	cols = append(cols,
		doc.Left(head("location"), "", func(l *assess.Line) string { return cell(c, l.Test.Location()) }),
		doc.Left(head("times"), "h:min", func(l *assess.Line) string { return c.times(l.Test) }),
		doc.Decimal("γ₁", "µS/cm", func(l *assess.Line) string { return cell(c, l.Test.Blank()) }),
		doc.Decimal("γ₂", "µS/cm", func(l *assess.Line) string { return cell(c, l.Test.Extract()) }),
		doc.Decimal("V", "ml", func(l *assess.Line) string {
			if !l.Volume().Known {
				return "–"
			}
			return c.Words.Spelling().Decimal(l.Volume().Dec)
		}),
		doc.Decimal("ρ", "mg/m²", func(l *assess.Line) string { return c.densityAsRead(l) }),
	)
	if c.any(func(l *assess.Line) bool { return l.At25().Known }) {
		cols = append(cols, doc.Decimal(head("at-25"), "mg/m²", func(l *assess.Line) string {
			if !l.At25().Known {
				return ""
			}
			return c.densityAt25(l)
		}))
	}
	if h := c.comparedHead(); h != "" {
		cols = append(cols, doc.Decimal(h, "mg/m²", c.comparedText))
	}
	if !c.Result.Basis.Expanded.Known { // a stated one is the same for all and stands below
		cols = append(cols, doc.Decimal("± U", "mg/m²", func(l *assess.Line) string {
			if l.Uncertainty().Expanded == 0 || !l.Judged().Known {
				return "–"
			}
			return c.bare(l.Uncertainty().Expanded)
		}))
	}
	return append(cols,
		doc.Decimal(head("written"), "mg/m²", func(l *assess.Line) string { return cell(c, l.Test.Recorded()) }),
		doc.Rich(head("verdict"), "", doc.AlignLeft, func(l *assess.Line) doc.Text {
			if !l.OfSteel() {
				return nil
			}
			return doc.Marked(verdictMarks[l.Verdict], doc.Plain(keepTogether(c.verdict(l))))
		}),
		doc.Right(head("row"), "", func(l *assess.Line) string { return c.bare(l.Test.Row().Row()) }),
	)
}

func (c *composer) any(is func(*assess.Line) bool) bool {
	for _, l := range c.lines {
		if is(l) {
			return true
		}
	}
	return false
}

// times prints the stretch of contact, "07:02–07:13".
func (c *composer) times(t *record.Test) string {
	switch {
	case t.Start().Known() && t.Read().Known():
		return t.Start().Val.String() + "–" + t.Read().Val.String()
	case t.Read().Known():
		return t.Read().Val.String()
	case t.Start().Known():
		return t.Start().Val.String() + "–"
	case t.Read().State == record.Unreadable:
		return c.say("format/quoted", t.Read().Text)
	}
	return "–"
}

// lineNotes says in short what there is to say of one test beside its
// numbers.
func (c *composer) lineNotes(l *assess.Line) []string {
	var notes []string
	if k := c.kindNote(l); k != "" {
		notes = append(notes, k)
	}
	switch l.Agreement {
	case assess.AgreesThroughUnseenDigits:
		notes = append(notes, c.say("report/note-unseen", nil))
	case assess.DoesNotFollow:
		notes = append(notes, c.say("report/agreement-does-not-follow", nil))
	}
	for _, text := range c.otherUnits(l.Test) {
		notes = append(notes, c.say("report/note-written-unit", text))
	}
	if c.contradicted(l) {
		notes = append(notes, c.say("report/note-written-verdict", l.Test.RecordedVerdict().Text))
	}
	for _, j := range l.Limits() {
		if j.Near {
			notes = append(notes, c.near(l))
			break
		}
	}
	for _, r := range l.Reasons() {
		notes = append(notes, c.reason(r))
	}
	if l.Doubtful {
		notes = append(notes, c.say("report/note-doubtful", nil))
	}
	if l.Test.Hidden() {
		notes = append(notes, c.say("report/note-hidden", nil))
	}
	if l.Test.Struck() {
		notes = append(notes, c.say("report/note-struck", nil))
	}
	var marks []string
	for _, n := range l.Findings() {
		if m := c.mark[&c.Result.Findings[n]]; m != "" {
			marks = append(marks, m)
		}
	}
	if len(marks) > 0 {
		notes = append(notes, strings.Join(marks, nbsp))
	}
	return notes
}

// near says that a value is within U of its limit, and how probable it is by
// JCGM 106 that it conforms.
func (c *composer) near(l *assess.Line) string {
	if math.IsNaN(l.Conforms()) {
		return c.say("report/note-near", "")
	}
	return c.say("report/note-near", c.Words.Number(100*l.Conforms(), 0)+nbsp+"%")
}

// otherUnits are the readings of a test that the log writes in another unit
// than that of the table, as written.
func (c *composer) otherUnits(t *record.Test) []string {
	var out []string
	add := func(known bool, symbol, text string, q unit.Quantity) {
		s, err := unit.ParseSymbol(q, symbol)
		if !known || symbol == "" || err != nil || s.IsBase() {
			return
		}
		if !strings.HasSuffix(text, symbol) {
			text += nbsp + symbol
		}
		out = append(out, text)
	}
	add(t.Blank().Known(), t.Blank().Unit, t.Blank().Text, unit.OfConductivity)
	add(t.Extract().Known(), t.Extract().Unit, t.Extract().Text, unit.OfConductivity)
	add(t.Recorded().Known(), t.Recorded().Unit, t.Recorded().Text, unit.OfDensity)
	return out
}

// contradicted reports whether the log's word is another than that of the
// numbers. A pass that a finding takes away has its finding beside it.
func (c *composer) contradicted(l *assess.Line) bool {
	if !l.OfSteel() || !l.Test.RecordedVerdict().Known() {
		return false
	}
	w := l.AsWritten()
	return w == assess.Pass && l.Verdict == assess.Fail || w == assess.Fail && l.Verdict != assess.Fail
}

// kindNote says why a test was made, where it is not an original one.
func (c *composer) kindNote(l *assess.Line) string {
	key, ok := map[record.TestKind]string{
		record.Repeat:          "report/kind-repeat",
		record.Retest:          "report/kind-retest",
		record.Adjacent:        "report/kind-adjacent",
		record.Witness:         "report/kind-witness",
		record.ProceduralBlank: "report/kind-blank",
	}[l.Test.Kind().Val]
	if !ok || !l.Test.Kind().Known() {
		return ""
	}
	return c.say(key, l.Test.OfTest().OrZero())
}

// testNote explains the columns of the table of tests.
func (c *composer) testNote() string {
	return strings.TrimSpace(c.say("report/tests-columns", nil) + " " + c.uncertaintyNote())
}

// uncertaintyNote says where U comes from.
func (c *composer) uncertaintyNote() string {
	b := &c.Result.Basis
	if b.Expanded.Known {
		return c.say("report/uncertainty-stated", map[string]any{
			"U": b.Expanded.Val, "K": b.Coverage, "Source": c.job.Terms.UncertaintySource.OrZero()})
	}
	for _, l := range c.lines {
		if l.Uncertainty().Expanded > 0 {
			return c.say("report/uncertainty-budget", map[string]any{
				"K":        b.Coverage,
				"Accuracy": unit.Percent(b.Value(assess.MeterAccuracy)),
				"Volume":   unit.Volume(b.Value(assess.VolumeEstimate)),
				"Area":     unit.Percent(b.Value(assess.AreaEstimate)),
			})
		}
	}
	return ""
}

// agreements is the part of the findings that sets the written values beside
// the computed ones: the tests whose value does not follow, each with every
// slip that explains it.
func (c *composer) agreements() []doc.Block {
	var off []*assess.Line
	for _, l := range c.lines {
		if l.Agreement == assess.DoesNotFollow {
			off = append(off, l)
		}
	}
	if len(off) == 0 {
		return nil
	}
	head := func(key string) string { return c.say("report/head-"+key, nil) }
	t := doc.Tabulate([]doc.Col[*assess.Line]{
		doc.Left(head("number"), "", func(l *assess.Line) string { return c.number(l.Index) }),
		doc.Decimal(head("written"), "mg/m²", func(l *assess.Line) string { return cell(c, l.Test.Recorded()) }),
		doc.Decimal(head("computed"), "mg/m²", func(l *assess.Line) string { return c.densityAsRead(l) }),
		doc.Decimal(head("off-by"), "mg/m²", func(l *assess.Line) string {
			if !l.Density.Known {
				return "–"
			}
			return c.signed(float64(l.Test.Recorded().Val - l.Density.Value))
		}),
		doc.Left(head("side"), "", func(l *assess.Line) string {
			if l.Test.Recorded().Val < l.Density.Value {
				return c.say("report/side-unsafe", nil)
			}
			return c.say("report/side-safe", nil)
		}),
		doc.Left(head("explained"), "", func(l *assess.Line) string { return c.explained(l.Explanations()) }),
		doc.Left(head("cell"), "", func(l *assess.Line) string { return l.Test.Recorded().Pos.Cell() }),
	}, off)
	return []doc.Block{
		doc.Heading{Level: 2, Text: c.say("report/agreement-title", nil)},
		doc.Paragraph{Text: doc.Plain(c.say("report/agreement-lead", nil))},
		t,
	}
}

// explained lists every slip that fits, or says that none was found.
func (c *composer) explained(all []slip.Explanation) string {
	if len(all) == 0 {
		return c.say("report/explained-none", nil)
	}
	var names []string
	for _, e := range all {
		names = append(names, c.explanation(e))
	}
	s := c.Words.Clauses(names)
	if len(all) > 1 {
		s += ". " + c.say("report/explained-several", nil)
	}
	return s
}

// explanation names a slip and its detail, as "factor for another volume (3 ml)".
func (c *composer) explanation(e slip.Explanation) string {
	name := c.say("slips/"+e.Name+"/title", nil)
	if e.Detail != "" {
		name += " (" + c.term(e.Detail) + ")"
	}
	return name
}

// signed prints a difference with its sign.
func (c *composer) signed(v float64) string {
	s := c.Words.Number(v, 1)
	if v > 0 && !math.IsInf(v, 0) {
		s = "+" + s
	}
	return s
}
