package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"saltline/internal/assess"
	"saltline/internal/audit"
	"saltline/internal/doc"
	"saltline/internal/slip"
	"saltline/internal/unit"
)

// rows is the table of every row, as written beside as recomputed. A row that
// agrees and keeps its verdict takes one line; what there is to say of another
// stands below it.
func (c *auditor) rows() []doc.Block {
	blocks := []doc.Block{c.heading("audit/rows-title", anchorTests)}
	t := doc.Tabulate(c.rowColumns(), c.lines, func(l *assess.Line, r *doc.Row) {
		if notes := c.rowNotes(l); len(notes) > 0 {
			r.Note = doc.Fine(strings.Join(notes, " · "))
		}
		if c.stands(l) {
			return
		}
		r.Anchor = rowAnchor(l.Index)
		r.Emphasis = l.OfSteel() && l.Verdict == assess.Fail && l.AsWritten() == assess.Pass
	})
	for at, name := range c.collided {
		t.Notes = append(t.Notes, doc.Entry(collisionMark(at), doc.Plain(c.say("collisions/"+name, nil))))
	}
	return append(append(blocks, t), c.small("audit/rows-columns", len(c.collided))...)
}

// stands reports whether nothing is to be said of a row: its value follows and
// its verdict is the written one, and shown to be.
func (c *auditor) stands(l *assess.Line) bool {
	was := l.AsWritten()
	return (l.Agreement == assess.Agrees || l.Agreement == assess.NotRecorded) &&
		(!l.OfSteel() || was == l.Verdict || was == assess.NotEstablished) && audit.Shown(l)
}

func (c *auditor) rowColumns() []doc.Col[*assess.Line] {
	head := func(key string) string { return c.say("report/head-"+key, nil) }
	cols := []doc.Col[*assess.Line]{
		doc.Left(head("number"), "", func(l *assess.Line) string { return c.number(l.Index) }),
	}
	if c.several {
		cols = append(cols, doc.Left(head("area"), "", func(l *assess.Line) string { return l.Test.Area().OrZero() }))
	}
	cols = append(cols,
		doc.Left(head("location"), "", func(l *assess.Line) string { return cell(c.composer, l.Test.Location()) }),
		doc.Decimal("γ₁", "µS/cm", func(l *assess.Line) string { return cell(c.composer, l.Test.Blank()) }),
		doc.Decimal("γ₂", "µS/cm", func(l *assess.Line) string { return cell(c.composer, l.Test.Extract()) }),
		doc.Decimal("V", "ml", func(l *assess.Line) string {
			if !l.Volume().Known {
				return "–"
			}
			return c.Words.Spelling().Decimal(l.Volume().Dec)
		}),
	)
	if c.patchesDiffer() {
		cols = append(cols, doc.Decimal("A", "mm²", func(l *assess.Line) string {
			if !l.PatchArea().Known {
				return "–"
			}
			return c.Words.Spelling().Decimal(l.PatchArea().Dec)
		}))
	}
	cols = append(cols,
		doc.Decimal(head("written"), "mg/m²", func(l *assess.Line) string { return cell(c.composer, l.Test.Recorded()) }),
		doc.Decimal(c.say("audit/head-recomputed", nil), "mg/m²", c.recomputed),
		doc.Decimal(c.say("audit/head-difference", nil), "mg/m²", c.off),
	)
	if h := c.comparedHead(); h != "" {
		cols = append(cols, doc.Decimal(h, "mg/m²", c.comparedText))
	}
	return append(cols, c.verdictColumns()...)
}

// verdictColumns are the two verdicts and the row that they are of.
func (c *auditor) verdictColumns() []doc.Col[*assess.Line] {
	return []doc.Col[*assess.Line]{
		doc.Left(c.say("audit/head-verdict-written", nil), "", c.writtenVerdict),
		doc.Rich(c.say("audit/head-verdict-recomputed", nil), "", doc.AlignLeft, func(l *assess.Line) doc.Text {
			if !l.OfSteel() {
				return doc.Plain(c.say("report/kind-blank", nil))
			}
			return doc.Marked(verdictMarks[l.Verdict], doc.Plain(c.verdict(l)))
		}),
		doc.Right(c.say("report/head-row", nil), "", func(l *assess.Line) string { return c.bare(l.Test.Row().Row()) }),
	}
}

// writtenVerdict is the verdict that the log gives, in brackets where only its
// value does so, and as written where it is not understood.
func (c *auditor) writtenVerdict(l *assess.Line) string {
	was := l.AsWritten()
	switch {
	case !l.OfSteel():
		return ""
	case l.UnreadVerdict():
		return cell(c.composer, l.Test.RecordedVerdict())
	case was == assess.NotEstablished:
		return "–"
	case !l.Test.RecordedVerdict().Known():
		return "(" + c.verdictWord(was) + ")"
	}
	return c.verdictWord(was)
}

// patchesDiffer reports whether the patch area is not the same in all rows.
func (c *auditor) patchesDiffer() bool {
	return c.any(func(l *assess.Line) bool { return l.PatchArea().Val != c.lines[0].PatchArea().Val })
}

// recomputed prints the density of a line with one decimal, or with as many as
// it takes not to look like the written value where it does not follow.
func (c *auditor) recomputed(l *assess.Line) string {
	if !l.Density.Known || l.Agreement != assess.DoesNotFollow {
		return c.densityAsRead(l)
	}
	w, exact := l.Test.Recorded().Dec, l.Exact().Rat()
	decimals := max(1, -w.Exp)
	for ; decimals < mostDecimals; decimals++ {
		shown := unit.Decimal{Coef: unit.RoundRat(exact, decimals, false).Int64(), Exp: -decimals}
		if !slip.Rounds(shown.Ratio(), w) {
			break
		}
	}
	return c.besideLimit(l, l.Exact(), decimals)
}

// mostDecimals bounds the decimals of a printed density.
const mostDecimals = 6

// off prints the written value less the recomputed one.
func (c *auditor) off(l *assess.Line) string {
	r := l.Test.Recorded()
	if !r.Known() || !l.Density.Known {
		return "–"
	}
	v := float64(r.Val - l.Density.Value)
	decimals := max(1, -r.Dec.Exp)
	s := c.Words.Number(v, decimals)
	if v > 0 && math.Abs(v) >= 0.5*math.Pow10(-decimals) {
		s = "+" + s
	}
	return s
}

// rowNotes is what there is to say of a row that does not stand as written.
func (c *auditor) rowNotes(l *assess.Line) []string {
	var notes []string
	if l.Test.Hidden() {
		notes = append(notes, c.say("report/note-hidden", nil))
	}
	if l.Test.Struck() {
		notes = append(notes, c.say("report/note-struck", nil))
	}
	if l.At25().Known {
		notes = append(notes, c.say("audit/note-at-25", c.densityAt25(l)))
	}
	if c.stands(l) {
		return append(notes, c.unproven(l)...)
	}
	switch l.Agreement {
	case assess.AgreesThroughUnseenDigits:
		notes = append(notes, c.say("report/note-unseen", nil))
	case assess.DoesNotFollow:
		notes = append(notes, c.explanations(l))
	}
	for _, text := range c.otherUnits(l.Test) {
		notes = append(notes, c.say("report/note-written-unit", text))
	}
	if c.contradicted(l) {
		notes = append(notes, c.say("report/note-written-verdict", l.Test.RecordedVerdict().Text))
	}
	return append(notes, c.unproven(l)...)
}

// unproven is why a row proves nothing, or a verdict is not that of its own
// numbers: reasons that not every row of the record has, and the findings.
func (c *auditor) unproven(l *assess.Line) []string {
	if !l.OfSteel() {
		return nil
	}
	var notes []string
	for _, r := range l.Reasons() {
		if !c.common[r] {
			notes = append(notes, c.reason(r))
		}
	}
	if l.Doubtful {
		notes = append(notes, c.say("report/note-doubtful", nil))
	}
	if marks := c.marksOf(l); marks != "" {
		notes = append(notes, c.say("audit/note-see", marks))
	}
	return notes
}

// marksOf are the marks of the findings that bear on the value or the verdict
// of a line, each once. Those that only weaken it name their tests.
func (c *auditor) marksOf(l *assess.Line) string {
	var marks []string
	for _, n := range l.Findings() {
		f := &c.Result.Findings[n]
		if f.Severity > assess.UnprovenPass && (l.Agreement != assess.DoesNotFollow || f.Check.Group != assess.Arithmetic) {
			continue
		}
		if m := c.mark[f]; !slices.Contains(marks, m) {
			marks = append(marks, m)
		}
	}
	return strings.Join(marks, nbsp)
}

// commonReasons are those for which no test of the record is established: the
// result says so once.
func commonReasons(lines []*assess.Line) map[assess.Reason]bool {
	count := map[assess.Reason]int{}
	tests := 0
	for _, l := range lines {
		if !l.OfSteel() {
			continue
		}
		tests++
		for _, r := range l.Reasons() {
			count[r]++
		}
	}
	common := map[assess.Reason]bool{}
	for r, n := range count {
		common[r] = n == tests
	}
	return common
}

// whyNone says in words why no test of the record is established.
func (c *auditor) whyNone() []string {
	var reasons []string
	for r := assess.NoLimit; r <= assess.WrittenFail; r++ {
		if c.common[r] {
			reasons = append(reasons, c.reason(r))
		}
	}
	return reasons
}

// explanations says what explains a written value: every single slip that
// fits, with both values where it is open which of them is right, and why they
// cannot be told apart.
func (c *auditor) explanations(l *assess.Line) string {
	var each []string
	for _, e := range l.Explanations() {
		s := c.slipTitle(e.Name, cmp.Or(c.keyed(e), e.Detail))
		if both := c.both(l, e); both != "" {
			s = c.Words.Lead(s, both)
		}
		each = append(each, s)
	}
	data := map[string]any{"Count": len(each), "First": "", "List": c.Words.Clauses(each), "Why": c.collisions(l)}
	if len(each) > 0 && c.systematic(l, l.Explanations()[0]) {
		data["First"], data["List"] = each[0], c.Words.Clauses(each[1:])
	}
	return c.say("audit/explanations", data)
}

// collisions are the marks of the reasons why the explanations of a value
// cannot be told apart, which stand below the table.
func (c *auditor) collisions(l *assess.Line) string {
	var marks []string
	for _, k := range slip.Collisions(l.Explanations()) {
		at := slices.Index(c.collided, k.Name)
		if at < 0 {
			at = len(c.collided)
			c.collided = append(c.collided, k.Name)
		}
		marks = append(marks, collisionMark(at))
	}
	return strings.Join(marks, nbsp)
}

func collisionMark(at int) string { return fmt.Sprintf("C%d", at+1) }

// slipTitle names a slip with what tells it from others of its name.
func (c *auditor) slipTitle(name, detail string) string {
	return c.explanation(slip.Explanation{Name: name, Detail: detail})
}

// keyed says which number a slip of the keyboard would lie in.
func (c *auditor) keyed(e slip.Explanation) string {
	in, ok := e.Args["In"].(string)
	if !ok {
		return ""
	}
	return c.say("audit/keyed", map[string]any{"In": c.say("audit/in-"+hyphens(in), nil), "Was": e.Args["Was"], "Fits": e.Args["Fits"]})
}

// both gives the density either way where a slip may lie in the row as well as
// in the value; "" where it cannot.
func (c *auditor) both(l *assess.Line, e slip.Explanation) string {
	if !e.InRow() {
		return ""
	}
	data := map[string]any{"Recomputed": c.recomputed(l), "Value": c.bare(e.Value)}
	put := func(key string, row, slip any) string {
		data["Row"], data["Slip"] = row, slip
		return c.say(key, data)
	}
	switch {
	case e.Args["In"] != nil:
		data["In"] = c.say("audit/in-"+hyphens(e.Args["In"].(string)), nil)
		return put("audit/both-readings", e.Args["Was"], e.Args["Fits"])
	case e.Args["Volume"] != nil:
		v, _ := e.Args["Volume"].(unit.Volume)
		return put("audit/both-volumes", c.volume(l.Volume().Val), c.volume(v))
	case e.Args["PatchArea"] != nil:
		return put("audit/both-areas", l.PatchArea().Val, e.Args["PatchArea"])
	}
	return c.say("audit/both", data)
}

// volume prints a volume without a decimal that nobody wrote.
func (c *auditor) volume(v unit.Volume) string {
	return unit.With(c.Words.Figure(float64(v)), unit.OfVolume)
}
