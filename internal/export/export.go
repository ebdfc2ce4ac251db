// Package export writes a judged record for other programs: one JSON object,
// numbers unrounded, units in the names of the keys.
package export

import (
	"io"
	"math"

	"saltline/internal/assess"
	"saltline/internal/audit"
	"saltline/internal/certificate"
	"saltline/internal/check"
	"saltline/internal/crew"
	"saltline/internal/diag"
	"saltline/internal/dossier"
	"saltline/internal/papers"
	"saltline/internal/record"
	"saltline/internal/salt"
	"saltline/internal/unit"
	"saltline/internal/wording"
)

// An Input is what is written.
type Input struct {
	Result *assess.Result
	Audit  *audit.Report // the conclusion of an audit; nil for none

	// Day is the report of the day whose results these are: its tests, and the
	// areas as they stood at its end; nil for those of the whole record.
	Day      *papers.Report
	Standing []*assess.Standing // at the end of the day, or of the record; nil where nobody has asked for it yet

	Certificates []certificate.Certificate // of the areas; nil where none were asked for
	Dossier      *dossier.Dossier          // of the job; nil where none was asked for

	Words *wording.Words
	Tool  string
	Line  bool // the object in one line
}

// JSON writes one object. A key whose value is not known is null: never absent
// and never zero. Nothing is written where a text fails; the tests go out as
// they are spelled, and are never in memory together.
func JSON(to io.Writer, in Input) error {
	x := exporter{Input: in, writer: newWriter(to, in.Line)}
	conclusion, found := x.audit(in.Audit), x.findings()
	if x.unsaid != nil {
		return x.unsaid
	}
	x.object(conclusion, found)
	return x.writer.end()
}

// An exporter keeps the first text that could not be filled.
type exporter struct {
	Input
	*writer
	unsaid error
}

type input struct {
	File   string `json:"file"`
	SHA256 string `json:"sha256"`
}

type assumption struct {
	Number int    `json:"number"`
	Key    string `json:"key"`
	Value  string `json:"value"`
}

type changes struct {
	PassToFail           int `json:"pass_to_fail"`
	FailToPass           int `json:"fail_to_pass"`
	PassToNotEstablished int `json:"pass_to_not_established"`
	PassToVoid           int `json:"pass_to_void"`
}

type systematic struct {
	Explanation string `json:"explanation"`
	Sheet       string `json:"sheet"`
	Rows        int    `json:"rows"`
	Of          int    `json:"of"`
}

type skipped struct {
	Place  string `json:"place"`
	Reason string `json:"reason"`
}

type change struct {
	Place string `json:"place"`
	What  string `json:"what"`
	From  string `json:"from"`
	To    string `json:"to"`
}

type problem struct {
	Place   string `json:"place"`
	Check   string `json:"check"`
	Message string `json:"message"`
}

// object writes all there is, in the order of its keys.
func (x *exporter) object(conclusion *auditPart, found []finding) {
	r := x.Result
	var day *string
	if x.Day != nil {
		named := x.Day.Date.ISO()
		if x.Day.Date.IsZero() {
			named = "undated"
		}
		day = &named
	}
	x.open('{')
	x.field("tool", x.Tool)
	x.list("inputs", len(r.Job.Sources), func(i int) {
		x.value(input{r.Job.Sources[i].File, r.Job.Sources[i].SHA256})
	})
	x.field("day", day)
	x.field("basis", x.basis())
	x.list("assumptions", len(r.Assumptions), func(i int) {
		a := &r.Assumptions[i]
		x.value(assumption{a.Number, a.Key, a.Value})
	})
	var changed assess.Changes
	tests := func(i int) int { return i }
	count := len(r.Lines)
	if x.Day != nil {
		tests, count = func(i int) int { return x.Day.Tests[i] }, len(x.Day.Tests)
	}
	x.side("tests", count, func(x *exporter, i int) { x.test(&r.Lines[tests(i)]) })
	for i := range count {
		changed.Add(&r.Lines[tests(i)])
	}
	standing := x.standing()
	x.list("areas", len(standing), func(i int) { x.value(x.area(standing[i])) })
	x.list("ambient", len(r.Ambient), func(i int) {
		if a := &r.Ambient[i]; x.of(dayOf(a)) {
			x.value(x.ambient(a))
		}
	})
	x.list("findings", len(found), func(i int) { x.value(found[i]) })
	x.field("changes", changes{changed.PassToFail, changed.FailToPass, changed.PassToNotEstablished, changed.PassToVoid})
	x.list("systematic", len(r.Systematic), func(i int) {
		s := &r.Systematic[i]
		x.value(systematic{s.Explanation, s.Sheet.String(), s.Rows, s.Of})
	})
	x.field("audit", conclusion)
	x.field("certificates", x.certificates())
	x.field("dossier", x.handover())
	x.key("reading")
	x.reading(&r.Job.Note)
	x.close('}')
}

// side is list for a long list, of which stretches are spelled side by side: each
// writes with the exporter that it is given, and reads the result.
func (x *exporter) side(name string, n int, each func(*exporter, int)) {
	const stretch = 128 // some 100 KiB
	x.key(name)
	x.open('[')
	crew.InOrder((n+stretch-1)/stretch, func(k int) *exporter {
		part := &exporter{Input: x.Input, writer: x.writer.part(k > 0)}
		for i := k * stretch; i < min((k+1)*stretch, n); i++ {
			each(part, i)
		}
		return part
	}, func(_ int, part *exporter) { x.take(part.writer) })
	x.close(']')
}

// reading is what there is to say of how the record was read.
func (x *exporter) reading(n *record.Note) {
	x.open('{')
	x.field("used", n.Used)
	x.list("skipped", len(n.Skipped), func(i int) {
		x.value(skipped{n.Skipped[i].Row.String(), n.Skipped[i].Reason})
	})
	x.list("converted", len(n.Changes), func(i int) {
		c := &n.Changes[i]
		x.value(change{c.Pos.String(), c.What, c.From, c.To})
	})
	x.list("problems", len(n.Problems), func(i int) {
		p := &n.Problems[i]
		x.value(problem{p.Pos.String(), p.Check, p.Msg})
	})
	x.close('}')
}

// findings are those of the day, in words.
func (x *exporter) findings() []finding {
	var all []finding
	for i := range x.Result.Findings {
		if f := &x.Result.Findings[i]; f.Date.IsZero() || x.of(f.Date) {
			all = append(all, x.finding(f))
		}
	}
	return all
}

// of reports whether what is of a day belongs to these results.
func (x *exporter) of(day unit.Date) bool { return x.Day == nil || x.Day.Date == day }

// standing is how the areas stood.
func (x *exporter) standing() []*assess.Standing {
	switch {
	case x.Standing != nil:
		return x.Standing
	case x.Day != nil:
		return x.Result.Standing(x.Day.Date)
	}
	return x.Result.Standing(unit.Date{})
}

// dayOf is the day of a reading of the air.
func dayOf(a *assess.AmbientSet) unit.Date {
	if a.Set != nil {
		return a.Set.Date.Val
	}
	return a.Test.Date().Val
}

// number is a number or null: JSON has neither NaN nor an infinity.
func number[Q ~float64](q Q, known bool) *float64 {
	f := float64(q)
	if !known || math.IsNaN(f) || math.IsInf(f, 0) {
		return nil
	}
	return &f
}

// given is a number that somebody wrote down, or null.
func given[Q ~float64](g record.Given[Q]) *float64 { return number(g.Val, g.Known()) }

// words is text or null.
func words(g record.Words) *string {
	if !g.Known() {
		return nil
	}
	return &g.Val
}

func date(g record.Given[unit.Date]) *string {
	if !g.Known() {
		return nil
	}
	s := g.Val.ISO()
	return &s
}

func clock(g record.Given[unit.Clock]) *string {
	if !g.Known() {
		return nil
	}
	s := g.Val.String()
	return &s
}

// place names where a value stands; one from the command line has no cell.
func place(p diag.Pos) string {
	if p.IsZero() {
		return "command line"
	}
	return p.String()
}

type finding struct {
	Check     string   `json:"check"`
	Severity  string   `json:"severity"`
	Date      *string  `json:"date"`
	Message   string   `json:"message"`
	Next      string   `json:"next"`
	Owner     string   `json:"owner"`
	Tests     later    `json:"tests"`
	Places    []string `json:"places"`
	Direction *string  `json:"direction"`
}

func (x *exporter) finding(f *assess.Finding) finding {
	fill := check.Filling(x.Result, f, x.Words.List)
	say := func(part string) string {
		s, err := x.Words.Say("checks/"+f.Check.Name+"/"+part, fill)
		if err != nil && x.unsaid == nil {
			x.unsaid = err
		}
		return s
	}
	out := finding{
		Check: f.Check.Name, Severity: f.Severity.String(), Message: say("found"), Next: say("next"),
		Owner: f.Check.Owner.String(), Tests: x.numbers(f.Tests), Places: []string{},
	}
	if !f.Date.IsZero() {
		s := f.Date.ISO()
		out.Date = &s
	}
	if s := f.Direction.String(); s != "" {
		out.Direction = &s
	}
	for _, p := range f.Places {
		out.Places = append(out.Places, p.String())
	}
	return out
}

// numbers names tests as the log does; one without a number, by its row.
func (x *exporter) numbers(tests []int) later {
	return func(w *writer) {
		w.items(len(tests), func(i int) { w.string(check.Number(x.Result.Lines, tests[i])) })
	}
}

type explanation struct {
	Name  string   `json:"name"`
	Value *float64 `json:"value_mg_m2"`
	Says  string   `json:"says"`
}

// names of what the other parts of the object hold.
var (
	kinds = map[record.TestKind]string{
		record.Original: "original", record.Repeat: "repeat", record.Retest: "retest", record.Adjacent: "adjacent",
		record.Witness: "witness", record.ProceduralBlank: "procedural blank",
	}
	bases = map[salt.Basis]string{
		salt.TotalSalts: "total salts", salt.SodiumChloride: "conductivity of sodium chloride", salt.ChlorideIon: "chloride ion",
	}
	comparisons = map[salt.Comparison]string{salt.AtMost: "at most", salt.LessThan: "less than"}
	rules       = map[salt.RuleKind]string{
		salt.Simple: "simple", salt.Guarded: "guarded", salt.GuardedRejection: "guarded rejection",
	}
	procedures = map[record.Procedure]string{record.Direct: "direct", record.BeakerReturn: "beaker return"}
)

// name is the name of a value, or null for one that is not stated.
func name[K comparable](names map[K]string, k K) *string {
	if s, ok := names[k]; ok {
		return &s
	}
	return nil
}
