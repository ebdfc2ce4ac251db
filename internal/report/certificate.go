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
	"saltline/internal/frame"
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
		standing: []*assess.Standing{d.Area.Standing},
		mark:     make(map[*assess.Finding]string),
		why:      make(map[int]string),
	}
	for _, i := range d.Area.Standing.Tests {
		c.lines = append(c.lines, &d.Result.Lines[i])
	}
	slices.SortStableFunc(c.lines, func(a, b *assess.Line) int {
		return compareNumbers(a.Test.Number().Val, b.Test.Number().Val)
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
		Job:    c.job.Terms.JobNumber.OrZero(),
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
	s := c.of.Standing
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
		"Volume":    asUsed(c.composer, t.Volume, quantity(c.composer, t.Volume), func(l *assess.Line) assess.Used[unit.Volume] { return l.Volume() }),
		"Area":      asUsed(c.composer, t.PatchArea, c.usedOr(t.PatchArea.State, quantity(c.composer, t.PatchArea), "patch area"), func(l *assess.Line) assess.Used[unit.PatchArea] { return l.PatchArea() }),
		"Constant":  c.usedOr(t.Constant.State, quantity(c.composer, t.Constant), "constant"),
	})
}

// asUsed prints what the tests of the area were computed with: the value that
// the job states where all of them were, else those of the rows.
func asUsed[Q unit.Value](c *composer, stated record.Given[Q], text string, of func(*assess.Line) assess.Used[Q]) string {
	if slices.ContainsFunc(c.lines, func(l *assess.Line) bool { u := of(l); return u.Known && u.Val != stated.Val }) {
		stated.State = record.Absent
	}
	return byRows(c, stated, text, of)
}

// How many meters, reports and deviations the first page has room for.
const (
	mostMeters     = 2
	mostReports    = 3
	mostDeviations = 2
)

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

// roundingStep says to what a value is rounded before it is compared; "" where it
// is not.
func (c *composer) roundingStep(l *assess.Limit) string {
	if l.Rounding.Step.Coef == 0 {
		return ""
	}
	return c.say("report/rounding-step", unit.With(c.Words.Spelling().Decimal(l.Rounding.Step), unit.OfDensity))
}

// rounding says how the values of the area were compared.
func (c *certificateComposer) rounding() string {
	for _, l := range c.of.Limits {
		if s := c.roundingStep(l); s != "" {
			return s
		}
	}
	return c.say("report/rounding-unrounded", nil)
}

// statement is what the certificate states, no more: of the places and times
// tested.
func (c *certificateComposer) statement() []doc.Block {
	var limits []string
	for _, l := range c.of.Limits {
		limits = append(limits, c.say("certificate/limit", map[string]any{"Value": c.limitValue(*l), "Basis": c.basisName(l.Basis), "Below": l.Comparison == salt.LessThan,
			"Chloride": l.Basis == salt.ChlorideIon, "Rounding": c.roundingStep(l)}))
	}
	blocks := c.para("certificate/statement", map[string]any{"Count": len(c.of.Stated), "Limit": c.Words.List(limits), "From": c.of.From, "Until": c.of.Until, "OneDay": c.of.From == c.of.Until})
	blocks = append(blocks, c.validity()...)
	square, err := code.Draw(c.payload(), codeSide)
	if err != nil {
		c.err = err
		return nil
	}
	square.Element = &frame.Element{Role: frame.Figure, Alt: c.say("certificate/code-alt", nil)}
	blocks = append(blocks, c.small("certificate/code", c.of.Digest)...)
	return []doc.Block{doc.Box{Title: c.say("certificate/statement-title", nil), Blocks: blocks, Aside: square}}
}

// validity says how long the results stand, counted to the day on which the
// certificate is made. That coating has begun somewhere does not lengthen it.
func (c *certificateComposer) validity() []doc.Block {
	until, s := *c.composer, *c.of.Standing
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

func (c *certificateComposer) summary() string {
	s := c.of.Standing
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
