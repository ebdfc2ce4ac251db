// Package export writes a judged record for other programs: one JSON object,
// numbers unrounded, units in the names of the keys.
package export

import (
	"encoding/json"
	"io"
	"math"

	"saltline/internal/assess"
	"saltline/internal/audit"
	"saltline/internal/certificate"
	"saltline/internal/check"
	"saltline/internal/diag"
	"saltline/internal/dossier"
	"saltline/internal/record"
	"saltline/internal/salt"
	"saltline/internal/slip"
	"saltline/internal/unit"
	"saltline/internal/wording"
)

// An Input is what is written.
type Input struct {
	Result *assess.Result
	Audit  *audit.Report // the conclusion of an audit; nil for none

	// Day is the day of whose report these are the results: its tests, and the
	// areas as they stood at its end; nil for those of the whole record.
	Day *unit.Date

	Certificates []certificate.Certificate // of the areas; nil where none were asked for
	Dossier      *dossier.Dossier          // of the job; nil where none was asked for

	Words *wording.Words
	Tool  string
	Line  bool // the object in one line
}

// JSON writes one object. A key whose value is not known is null: never absent
// and never zero.
func JSON(w io.Writer, in Input) error {
	x := exporter{Input: in}
	v := x.object()
	if x.err != nil {
		return x.err
	}
	enc := json.NewEncoder(w)
	if !in.Line {
		enc.SetIndent("", "  ")
	}
	enc.SetEscapeHTML(false)
	return enc.Encode(v)
}

// An exporter keeps the first text that could not be filled.
type exporter struct {
	Input
	err error
}

type object struct {
	Tool         string       `json:"tool"`
	Inputs       []input      `json:"inputs"`
	Day          *string      `json:"day"`
	Basis        basis        `json:"basis"`
	Assumptions  []assumption `json:"assumptions"`
	Tests        []test       `json:"tests"`
	Areas        []area       `json:"areas"`
	Ambient      []ambient    `json:"ambient"`
	Findings     []finding    `json:"findings"`
	Changes      changes      `json:"changes"`
	Systematic   []systematic `json:"systematic"`
	Audit        *auditPart   `json:"audit"`
	Certificates []issued     `json:"certificates"`
	Dossier      *handover    `json:"dossier"`
	Reading      note         `json:"reading"`
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

type note struct {
	Used      int       `json:"used"`
	Skipped   []skipped `json:"skipped"`
	Converted []change  `json:"converted"`
	Problems  []problem `json:"problems"`
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

func (x *exporter) object() object {
	r := x.Result
	o := object{
		Tool: x.Tool, Inputs: []input{}, Basis: x.basis(), Assumptions: []assumption{},
		Audit: x.audit(x.Input.Audit), Certificates: x.certificates(), Dossier: x.handover(),
		Tests: []test{}, Areas: []area{}, Ambient: []ambient{}, Findings: []finding{}, Systematic: []systematic{},
		Reading: note{Used: r.Job.Note.Used, Skipped: []skipped{}, Converted: []change{}, Problems: []problem{}},
	}
	for _, s := range r.Job.Sources {
		o.Inputs = append(o.Inputs, input{s.File, s.SHA256})
	}
	for _, a := range r.Assumptions {
		o.Assumptions = append(o.Assumptions, assumption{a.Number, a.Key, a.Value})
	}
	until := unit.Date{}
	if x.Day != nil {
		until = *x.Day
		named := until.ISO()
		if until.IsZero() {
			named = "undated"
		}
		o.Day = &named
	}
	var changed assess.Changes
	for i := range r.Lines {
		if x.of(r.Lines[i].Test.Date().Val) {
			o.Tests = append(o.Tests, x.test(&r.Lines[i]))
			changed.Add(&r.Lines[i])
		}
	}
	o.Changes = changes{changed.PassToFail, changed.FailToPass, changed.PassToNotEstablished, changed.PassToVoid}
	for _, s := range r.Standing(until) {
		o.Areas = append(o.Areas, x.area(&s))
	}
	for i := range r.Ambient {
		if x.of(dayOf(&r.Ambient[i])) {
			o.Ambient = append(o.Ambient, x.ambient(&r.Ambient[i]))
		}
	}
	for i := range r.Findings {
		if f := &r.Findings[i]; f.Date.IsZero() || x.of(f.Date) {
			o.Findings = append(o.Findings, x.finding(f))
		}
	}
	for _, s := range r.Systematic {
		o.Systematic = append(o.Systematic, systematic{s.Explanation, s.Sheet.String(), s.Rows, s.Of})
	}
	for _, s := range r.Job.Note.Skipped {
		o.Reading.Skipped = append(o.Reading.Skipped, skipped{s.Row.String(), s.Reason})
	}
	for _, c := range r.Job.Note.Changes {
		o.Reading.Converted = append(o.Reading.Converted, change{c.Pos.String(), c.What, c.From, c.To})
	}
	for _, p := range r.Job.Note.Problems {
		o.Reading.Problems = append(o.Reading.Problems, problem{p.Pos.String(), p.Check, p.Msg})
	}
	return o
}

// of reports whether what is of a day belongs to these results.
func (x *exporter) of(day unit.Date) bool { return x.Day == nil || *x.Day == day }

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

// found is text as found, or null where nothing was written.
func found[Q any](g record.Given[Q]) *string {
	if g.State == record.Absent {
		return nil
	}
	return &g.Text
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
	Tests     []string `json:"tests"`
	Places    []string `json:"places"`
	Direction *string  `json:"direction"`
}

func (x *exporter) finding(f *assess.Finding) finding {
	fill := check.Filling(x.Result, f, x.Words.List)
	say := func(part string) string {
		s, err := x.Words.Say("checks/"+f.Check.Name+"/"+part, fill)
		if err != nil && x.err == nil {
			x.err = err
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
func (x *exporter) numbers(tests []int) []string {
	out := []string{}
	for _, i := range tests {
		out = append(out, check.Number(x.Result.Lines, i))
	}
	return out
}

type explanation struct {
	Name  string   `json:"name"`
	Value *float64 `json:"value_mg_m2"`
	Says  string   `json:"says"`
}

func explanations(all []slip.Explanation) []explanation {
	out := []explanation{}
	for _, e := range all {
		out = append(out, explanation{e.Name, number(e.Value, true), e.Says()})
	}
	return out
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
