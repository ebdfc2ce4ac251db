package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"saltline/internal/assess"
	"saltline/internal/certificate"
	"saltline/internal/code"
	"saltline/internal/doc"
	"saltline/internal/papers"
	"saltline/internal/record"
	"saltline/internal/salt"
	"saltline/internal/unit"
)

// A Certificate is what the certificate of one area is made from.
type Certificate struct {
	Record
	Area *certificate.Certificate
}

// Compose composes the certificate: one page that stands by itself and, behind
// it, the list of the tests that it speaks of. A refused one says that it is
// not issued, and every reason.
func (d Certificate) Compose() (Report, error) {
	if d.index == nil {
		var err error
		if d.Record, err = d.Indexed(); err != nil {
			return Report{}, err
		}
	}
	c := &certificateComposer{composer: d.composer(), of: d.Area}
	return Report{Document: c.document(false), Summary: c.summary()}, c.err
}

// certifiers are those who sign a certificate.
var certifiers = []papers.Signer{papers.QCManager, papers.Owner}

// A certificateComposer composes the certificate of one area.
type certificateComposer struct {
	*composer
	of *certificate.Certificate
}

func (d Certificate) composer() *composer {
	c := &composer{
		Record:   d.Record,
		job:      d.Result.Job,
		standing: []assess.Standing{d.Area.Standing},
		mark:     make(map[*assess.Finding]string),
		why:      make(map[int]string),
	}
	for _, i := range d.Area.Standing.Tests {
		c.lines = append(c.lines, &d.Result.Lines[i])
	}
	slices.SortStableFunc(c.lines, func(a, b *assess.Line) int {
		return compareNumbers(a.Test.Number.Val, b.Test.Number.Val)
	})
	for i, f := range d.Area.Deviations {
		c.found = append(c.found, f)
		c.mark[f] = fmt.Sprintf("D%d", i+1)
	}
	return c
}

// document is the certificate by itself or, bound into a dossier, without the
// cautions, which stand there once.
func (c *certificateComposer) document(bound bool) doc.Document {
	out := doc.Document{
		Title:  c.say("certificate/title", nil),
		Number: c.of.Issue.Number,
		Job:    known(c.job.Terms.JobNumber),
		Scope:  c.say("certificate/scope", c.areaName(c.of.Standing.Name)),
		Lang:   c.Words.Lang(),
		Status: c.status(),
		Words:  c.pageWords(),
		Footer: c.footer(),
	}
	if r := c.of.Issue.Revision; r != "" {
		out.Revision = c.say("report/revision-short", r)
	}
	sections := []func() []doc.Block{
		c.identification, c.outcome, c.onPage, c.agreed, c.statement, c.signOff, c.annex, c.inAnnex, c.furtherDeviations, c.fails, c.spots, c.fineCautions,
	}
	if c.of.Refused() {
		out.Title = c.say("certificate/title-refused", nil)
		sections = []func() []doc.Block{c.refusal, c.identification, c.outcome, c.fineCautions}
	}
	if bound {
		sections = sections[:len(sections)-1]
		out.Footer.Cautions = ""
	}
	for _, section := range sections {
		out.Blocks = append(out.Blocks, section()...)
	}
	return out
}

func (c *certificateComposer) status() string {
	switch {
	case c.of.Refused():
		return c.say("certificate/status-refused", nil)
	case slices.ContainsFunc(certifiers, func(s papers.Signer) bool { return c.signature(s) == nil }):
		return c.say("report/status-draft", nil)
	}
	return c.say("certificate/status-signed", len(certifiers))
}

func (c *certificateComposer) signature(s papers.Signer) *record.Signature {
	return papers.SignatureOf(c.job, papers.Certificate, s, c.of.Standing.Name, c.of.Issue.Number, c.of.Issue.Revision)
}

// identification says which area of whose structure, and against what.
func (c *certificateComposer) identification() []doc.Block {
	t := &c.job.Terms
	var fields []doc.Field
	add := func(key, value string) {
		fields = append(fields, doc.Labelled(c.say("certificate/label-"+key, nil), doc.Plain(value)))
	}
	number := c.say("report/report-number", map[string]any{"Number": c.of.Issue.Number, "Revision": c.of.Issue.Revision})
	if c.of.Issue.Formed {
		number = c.say("certificate/number-formed", number)
	}
	add("number", number)
	area, size, drawing := c.areaName(c.of.Standing.Name), c.say("format/not-recorded", nil), c.say("format/not-recorded", nil)
	if a := c.of.Standing.Area; a != nil {
		if a.Description.Known() {
			area += ", " + a.Description.Val
		}
		size, drawing = quantity(c.composer, a.Size), written(c.composer, a.Drawing)
	}
	add("area", area)
	add("drawing", drawing)
	add("size", size)
	add("client", written(c.composer, t.Client))
	add("contractor", written(c.composer, t.Contractor))
	add("structure", strings.Join([]string{written(c.composer, t.Structure), written(c.composer, t.Site)}, ", "))
	add("dates", c.dates())
	specification := written(c.composer, t.Specification)
	if t.SpecificationRevision.Known() {
		specification += ", " + c.say("report/revision", t.SpecificationRevision.Val)
	}
	add("specification", specification)
	blocks := []doc.Block{doc.Fields{Columns: 2, Items: fields}}
	if c.of.Issue.Changed != "" {
		blocks = append(blocks, c.para("report/revision-changed", map[string]any{"Revision": c.of.Issue.Revision, "What": c.of.Issue.Changed})...)
	}
	for _, d := range c.of.Issue.Earlier {
		blocks = append(blocks, c.small("certificate/superseded", map[string]any{
			"Revision": written(c.composer, d.Revision), "Issued": cell(c.composer, d.IssuedOn), "Digest": written(c.composer, d.Digest)})...)
	}
	return blocks
}

// dates are the first and the last day of testing.
func (c *certificateComposer) dates() string {
	if c.of.Until.IsZero() {
		return c.say("format/not-recorded", nil)
	}
	if c.of.From == c.of.Until {
		return c.Words.Date(c.of.From)
	}
	return c.say("certificate/dates", map[string]any{"From": c.of.From, "Until": c.of.Until, "Days": daysOf(c.of.Reports)})
}

// daysOf counts the days of reports. Tests without a date are of none.
func daysOf(reports []papers.Report) int {
	n := 0
	for i := range reports {
		if !reports[i].Date.IsZero() {
			n++
		}
	}
	return n
}

// outcome is the box with the limit, the counts and the values.
func (c *certificateComposer) outcome() []doc.Block {
	s := &c.of.Standing
	var limits []string
	for _, l := range c.of.Limits {
		limits = append(limits, c.limitLine(*l))
	}
	if len(limits) == 0 {
		limits = []string{c.say("report/result-limit-missing", nil)}
	}
	required := "?"
	if s.RequiredKnown {
		required = c.bare(s.Required)
	}
	var cleared []int
	for i := range s.Cleared {
		cleared = append(cleared, s.Cleared[i].Fail)
	}
	figure := func(v float64, ok bool) string {
		if !ok || math.IsNaN(v) {
			return "–"
		}
		return c.bare(unit.SurfaceDensity(v))
	}
	as := &s.AsCoated
	field := func(key string, value string) doc.Field {
		return doc.Labelled(c.say("certificate/label-"+key, nil), doc.Plain(value))
	}
	fields := []doc.Field{
		field("required", c.say("certificate/required", map[string]any{"Required": required, "Valid": s.Valid, "Rule": written(c.composer, s.Rule)})),
		field("tests", c.say("certificate/tests", map[string]any{"Count": len(s.Tests), "Voids": s.Voids, "NotEstablished": s.NotEstablished})),
		field("first", c.say("certificate/first", map[string]any{"Count": len(c.of.Above), "Of": len(c.of.First), "Tests": c.numbers(c.of.Above)})),
		field("cleared", c.say("certificate/cleared", map[string]any{"Count": len(cleared), "Tests": c.numbers(cleared)})),
		field("values", c.say("certificate/values", map[string]any{"N": as.N,
			"Min": figure(as.Min, as.N > 0), "Median": figure(as.Median, as.N > 0), "Max": figure(as.Max, as.N > 0)})),
	}
	var blocks []doc.Block
	for _, l := range limits {
		blocks = append(blocks, doc.Paragraph{Text: doc.Join(doc.Plain(c.say("report/result-limit", nil)+" "), doc.Strong(l))})
	}
	loud := doc.Loud
	if c.of.Refused() { // what its results would allow must not be taken for what the sheet says
		loud = doc.Strong
	}
	blocks = append(blocks, doc.Paragraph{Text: doc.Marked(areaMarks[s.Verdict], loud(c.areaVerdict(s.Verdict)))},
		doc.Fields{Columns: 1, Items: append(fields, field("method", c.method()))})
	return []doc.Block{doc.Box{Title: c.say("certificate/result-title", nil), Blocks: blocks}}
}

// method is how the salt was extracted and computed, in one line.
func (c *certificateComposer) method() string {
	t := &c.job.Terms
	return c.say("certificate/method", map[string]any{
		"Procedure": c.procedure(),
		"Volume":    asUsed(c.composer, t.Volume, quantity(c.composer, t.Volume), func(l *assess.Line) *assess.Used[unit.Volume] { return &l.Volume }),
		"Area":      asUsed(c.composer, t.PatchArea, c.usedOr(t.PatchArea.State, quantity(c.composer, t.PatchArea), "patch area"), func(l *assess.Line) *assess.Used[unit.PatchArea] { return l.PatchArea }),
		"Constant":  c.usedOr(t.Constant.State, quantity(c.composer, t.Constant), "constant"),
	})
}

// asUsed prints what the tests of the area were computed with: the value that
// the job states where all of them were, else those of the rows.
func asUsed[Q unit.Value](c *composer, stated record.Given[Q], text string, of func(*assess.Line) *assess.Used[Q]) string {
	if slices.ContainsFunc(c.lines, func(l *assess.Line) bool { u := of(l); return u.Known && u.Val != stated.Val }) {
		stated.State = record.Absent
	}
	return byRows(c, stated, text, of)
}

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

// How many meters, reports and deviations the first page has room for.
const (
	mostMeters     = 2
	mostReports    = 3
	mostDeviations = 2
)

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

func orDash(s string) string {
	if s == "" {
		return "–"
	}
	return s
}

// dayOf is a day in words.
func (c *composer) dayOf(d unit.Date) string {
	if d.IsZero() {
		return c.say("report/no-date", nil)
	}
	return c.Words.Date(d)
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
		if s.Signature != nil {
			names = append(names, c.say("report/role-name-"+s.Signer.Key, nil))
		}
	}
	if len(names) == 0 {
		return c.say("report/not-signed", nil)
	}
	return c.Words.List(names)
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

// statement is what the certificate states, no more: of the places and times
// tested.
func (c *certificateComposer) statement() []doc.Block {
	var limits []string
	for _, l := range c.of.Limits {
		limits = append(limits, c.say("certificate/limit", map[string]any{"Value": c.limitValue(*l), "Basis": c.basisName(l.Basis), "Below": l.Comparison == salt.LessThan}))
	}
	blocks := c.para("certificate/statement", map[string]any{"Count": len(c.of.Stated), "Limit": c.Words.List(limits), "From": c.of.From, "Until": c.of.Until, "OneDay": c.of.From == c.of.Until})
	blocks = append(blocks, c.validity()...)
	square, err := code.Draw(c.payload(), codeSide)
	if err != nil {
		c.err = err
		return nil
	}
	blocks = append(blocks, c.small("certificate/code", c.of.Digest)...)
	return []doc.Block{doc.Box{Title: c.say("certificate/statement-title", nil), Blocks: blocks, Aside: square}}
}

// validity says how long the results stand, counted to the day on which the
// certificate is made. That coating has begun somewhere does not lengthen it.
func (c *certificateComposer) validity() []doc.Block {
	until, s := *c.composer, c.of.Standing
	until.Date, s.Area = c.Produced, nil
	hours := c.job.Terms.HoursToCoating
	switch due := until.coatingDue(&s); {
	case due != nil:
		return c.para("certificate/valid", due)
	case hours.Known():
		return c.para("certificate/valid-untimed", c.Words.Figure(hours.Val))
	}
	return c.para("certificate/valid-unknown", nil)
}

// codeSide is the side of the two-dimensional code, in points: 26 mm.
const codeSide = 74

// payload is what the two-dimensional code says: which certificate, and the
// digest of the rows that it rests on.
func (c *certificateComposer) payload() string {
	return fmt.Sprintf("certificate %s revision %s rows %s record %s", c.of.Issue.Number, orDash(c.of.Issue.Revision), c.of.Digest, shortDigest(c.Digest))
}

func (c *certificateComposer) signOff() []doc.Block {
	var list []doc.Signature
	for _, s := range certifiers {
		list = append(list, c.brief(c.signPlace(s, c.signature(s), "", c.say("certificate/sign-"+s.Key, nil))))
	}
	return []doc.Block{doc.Signatures{Items: list}}
}

// annex lists the tests that the certificate speaks of, and all others of the
// area beside them.
func (c *certificateComposer) annex() []doc.Block {
	stated := map[int]bool{}
	for _, i := range c.of.Stated {
		stated[i] = true
	}
	head := func(key string) string { return c.say("report/head-"+key, nil) }
	t := doc.TabulateBy(func(l *assess.Line) string { return c.dayOf(l.Test.Date.Val) }, []doc.Col[*assess.Line]{
		doc.Left(head("number"), "", func(l *assess.Line) string { return c.number(l.Index) }),
		doc.Left(head("location"), "", func(l *assess.Line) string { return cell(c.composer, l.Test.Location) }),
		doc.Left(head("times"), "h:min", func(l *assess.Line) string { return c.times(l.Test) }),
		doc.Decimal("γ₁", "µS/cm", func(l *assess.Line) string { return cell(c.composer, l.Test.Blank) }),
		doc.Decimal("γ₂", "µS/cm", func(l *assess.Line) string { return cell(c.composer, l.Test.Extract) }),
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
		[]doc.Block{t}, c.small("certificate/annex-note", nil))
}

// byDay are the tests by day, and by number within one.
func (c *certificateComposer) byDay() []*assess.Line {
	lines := slices.Clone(c.lines)
	slices.SortStableFunc(lines, func(a, b *assess.Line) int { return a.Test.Date.Val.Compare(b.Test.Date.Val) })
	return lines
}

// spots is the map of the spots.
func (c *certificateComposer) spots() []doc.Block { return c.mapOf(&c.of.Standing) }

func (c *certificateComposer) summary() string {
	s := &c.of.Standing
	name := c.areaName(s.Name)
	if !c.of.Refused() {
		return c.say("certificate/summary", map[string]any{"Area": name, "Number": c.of.Issue.Number, "Count": len(c.of.Stated)})
	}
	lines := []string{c.say("certificate/summary-refused", name)}
	for _, r := range c.reasons() {
		lines = append(lines, "  "+r.why)
		lines = append(lines, "    "+c.say("certificate/summary-next", r.next))
	}
	return strings.Join(lines, "\n")
}
