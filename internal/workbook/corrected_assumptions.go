package workbook

import (
	"fmt"
	"slices"
	"strings"

	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/salt"
	"saltline/internal/table"
	"saltline/internal/unit"
)

// basisCells are the cells of the sheet of assumptions that the formulas
// refer to.
type basisCells struct {
	constant, patchArea, volume, expanded string
	allRows                               string       // the volume that takes the place of every row's
	limits                                []limitCells // one at least
}

// limitCells are the cells of one limit, with the limit that they state.
type limitCells struct {
	limit                       assess.Limit
	value, comparison, rounding string
}

// The signs of a comparison, as formulas take them.
const (
	atMost    = "≤"
	lessThan  = "<"
	notStated = "?"
)

func comparisonSign(c salt.Comparison) string {
	switch c {
	case salt.AtMost:
		return atMost
	case salt.LessThan:
		return lessThan
	}
	return notStated
}

// An assumed is the sheet of assumptions while it is written.
type assumed struct {
	*corrector
	table.Page
}

// assumptions is the sheet of what the recomputation rests on. The values
// that formulas refer to stand on top, to be changed by whoever asks what
// would follow.
func (k *corrector) assumptions() table.Page {
	s := &assumed{k, table.Page{
		Name: k.sheets.assumptions, Head: 3, Widths: []float64{34, 16, 12, 34, 44},
	}}
	s.Print = k.print(s.Widths, 0)
	s.add(table.Words(k.say("assumptions-title", nil)).As(table.Title))
	s.add(table.Words(k.say("assumptions-lead", nil)).As(table.Aside))
	s.head("what", "value", "unit", "as-found", "from")
	s.values()
	s.rules()
	s.section("assumed-title", "assumption", "value", "", "", "")
	for _, a := range k.Report.Assumptions {
		s.add(table.Words(k.text("report/assumption", map[string]any{"Key": k.say("assumption-mark", a.Number), "Value": a.Key})), table.Words(k.term(a.Value)))
	}
	if len(k.Report.Assumptions) == 0 {
		s.add(table.Words(k.say("assumed-none", nil)))
	}
	s.section("settings-title", "setting", "value", "unit", "", "from")
	for _, set := range k.Report.Basis.Settings {
		from := k.say("house-setting", nil)
		if !set.House {
			from = k.place(set.Pos)
		}
		s.add(table.Words(strings.TrimPrefix(set.Key, "house ")), table.Num(set.Value, ""), long(set.Unit), table.Entry{}, long(from))
	}
	s.section("files-title", "file", "", "", "digest", "")
	for _, f := range k.Report.Job.Sources {
		s.add(table.Words(f.File), table.Entry{}, table.Entry{}, table.Words(f.SHA256))
	}
	for _, row := range [][2]string{{"digest", k.Digest}, {"tool", k.Tool}, {"produced", k.Words.Date(k.Produced)}} {
		s.add(table.Words(k.say("label-"+row[0], nil)), table.Entry{}, table.Entry{}, table.Words(row[1]))
	}
	s.add()
	s.add(table.Words(k.say("cautions", nil)).As(table.Aside))
	s.add(table.Words(k.say("signs-nothing", nil)).As(table.Aside))
	return s.Page
}

// add adds a line and gives its row.
func (s *assumed) add(cells ...table.Entry) int {
	s.Lines = append(s.Lines, line(cells...))
	return len(s.Lines)
}

// head adds a line of headings; "" leaves one empty.
func (s *assumed) head(keys ...string) {
	names := make([]string, len(keys))
	for i, key := range keys {
		if key != "" {
			names[i] = s.say("head-"+key, nil)
		}
	}
	s.Lines = append(s.Lines, headed(names...))
}

// section opens a part of the sheet.
func (s *assumed) section(title string, heads ...string) {
	s.add()
	s.Lines = append(s.Lines, table.Line{Cells: []table.Entry{table.Words(s.say(title, nil))}, Bold: true})
	s.head(heads...)
}

// value adds a value that formulas refer to, and gives its cell.
func (s *assumed) value(label string, v table.Entry, symbol, text, from string) string {
	row := s.add(table.Words(label), v, long(symbol), long(text), long(from))
	return table.SheetRef(s.Name, row, 2)
}

// values are what is calculated with and what is compared with.
func (s *assumed) values() {
	t := &s.Report.Job.Terms
	k := s.corrector
	c := &k.cells
	given := func(key string, known bool, d unit.Decimal, q unit.Quantity, text string, pos diag.Pos, state record.State) string {
		v, from := table.Field("General"), k.text("format/not-recorded", nil)
		if known {
			v = table.Num(d.Float(), decimals(d)).As(table.Input)
		}
		if state != record.Absent {
			from = k.place(pos)
		}
		return s.value(k.say("label-"+key, nil), v, q.Symbol(), text, from)
	}
	usable := func(known bool, d unit.Decimal) bool { return known && d.Sign() > 0 }

	constant, patchArea := t.Constant.Dec, t.PatchArea.Dec
	knownC, knownA := usable(t.Constant.Known(), constant), usable(t.PatchArea.Known(), patchArea)
	for i := range k.Report.Lines {
		l := &k.Report.Lines[i]
		if l.Constant().Assumed > 0 {
			constant, knownC = l.Constant().Dec, true
		}
		if l.PatchArea().Assumed > 0 {
			patchArea, knownA = l.PatchArea().Dec, true
		}
	}
	c.constant = given("constant", knownC, constant, unit.OfConstant, s.foundOr("constant", found(k, t.Constant)), t.Constant.Pos, t.Constant.State)
	c.volume = given("volume", usable(t.Volume.Known(), t.Volume.Dec), t.Volume.Dec, unit.OfVolume, found(k, t.Volume), t.Volume.Pos, t.Volume.State)
	c.allRows = s.value(k.say("label-all-rows", nil), table.Field("General"), unit.OfVolume.Symbol(), "", k.say("all-rows", nil))
	c.patchArea = given("patch-area", knownA, patchArea, unit.OfPatchArea, s.foundOr("patch area", found(k, t.PatchArea)), t.PatchArea.Pos, t.PatchArea.State)
	for i, l := range s.limits() {
		s.limit(i, l)
	}
	if u := k.Report.Basis.Expanded; u.Known {
		c.expanded = s.value(k.say("label-expanded", nil), table.Num(float64(u.Val), decimals(u.Dec)).As(table.Input), unit.OfDensity.Symbol(),
			found(k, t.ExpandedUncertainty), k.place(u.Pos))
	}
}

// foundOr is what the record has of a value; beside it, the assumption that
// stands in its place.
func (s *assumed) foundOr(key, text string) string {
	for _, a := range s.Report.Assumptions {
		if a.Key == key {
			return s.Words.Clauses([]string{text, s.text("report/assumed", map[string]any{"Value": a.Value, "Mark": s.say("assumption-mark", a.Number)})})
		}
	}
	return text
}

// limits are those of the job; where it has none, the one that the first row
// with a limit of its own is compared with, so that its comparison has a cell.
func (s *assumed) limits() []assess.Limit {
	if own := s.Report.Basis.Limits; len(own) > 0 {
		return own
	}
	for i := range s.Report.Lines {
		if judged := s.Report.Lines[i].Limits(); len(judged) > 0 {
			l := *judged[0].Limit
			l.Gaps, l.Text = append(slices.Clone(l.Gaps), assess.NoLimit), ""
			return []assess.Limit{l}
		}
	}
	return []assess.Limit{{Gaps: []assess.Reason{assess.NoLimit}}}
}

// limit adds the cells of the i-th limit: its value, how a value equal to it
// is taken, and what it is rounded to.
func (s *assumed) limit(i int, l assess.Limit) {
	k := s.corrector
	label := func(key string) string { return k.say("label-"+key, i+1) }
	v, from := table.Field("General"), k.text("format/not-recorded", nil)
	if !slices.Contains(l.Gaps, assess.NoLimit) {
		v = table.Num(float64(l.Value), decimals(l.Exact)).As(table.Input)
		from = k.place(l.Pos)
	}
	text := k.text("format/not-recorded", nil)
	if l.Text != "" {
		text = k.say("as-found", l.Text)
		from = k.place(l.Pos)
	}
	if l.Clause != "" {
		from = k.Words.Clauses([]string{from, k.say("clause", l.Clause)})
	}
	symbol := unit.OfDensity.Symbol()
	if slices.Contains(l.Gaps, assess.NoLimitUnit) {
		symbol = k.text("format/not-recorded", nil)
	}
	own := limitCells{limit: l}
	own.value = s.value(label("limit"), v, symbol, text, from)
	s.value(label("limit-basis"), table.Words(k.basis(l.Basis)), "", "", s.given(i, func(l record.Limit) (record.State, diag.Pos) { return l.Basis.State, l.Basis.Pos }))
	own.comparison = s.value(label("comparison"), table.Words(comparisonSign(l.Comparison)).As(table.Input), "", k.comparison(l.Comparison),
		s.given(i, func(l record.Limit) (record.State, diag.Pos) { return l.Comparison.State, l.Comparison.Pos }))
	s.Choices = append(s.Choices, table.Choice{Range: fmt.Sprintf("B%d", len(s.Lines)), Values: []string{atMost, lessThan, notStated}})
	rounding, how := table.Words("–"), k.text("report/rounding-unrounded", nil)
	if step := l.Rounding.Step; step.Sign() > 0 {
		rounding, how = table.Num(step.Float(), decimals(step)).As(table.Input), k.say("rounded-half-up", nil)
		if l.Rounding.ToEven {
			how = k.say("rounded-half-even", nil)
		}
	}
	own.rounding = s.value(label("rounding"), rounding, "", how,
		s.given(i, func(l record.Limit) (record.State, diag.Pos) { return l.Rounding.State, l.Rounding.Pos }))
	k.cells.limits = append(k.cells.limits, own)
}

// given says where a part of the i-th limit comes from.
func (s *assumed) given(i int, part func(record.Limit) (record.State, diag.Pos)) string {
	n := 0
	for _, l := range s.Report.Job.Terms.Limits {
		if l.Value.State == record.Absent && len(s.Report.Basis.Limits) > 0 {
			continue
		}
		if n == i {
			if state, pos := part(l); state != record.Absent {
				return s.place(pos)
			}
		}
		n++
	}
	return s.text("format/not-recorded", nil)
}

// rules say how a number becomes a verdict.
func (s *assumed) rules() {
	k := s.corrector
	b := &k.Report.Basis
	rule := k.say("rule-"+hyphens(b.Rule.String()), nil)
	from := k.text("report/rule-not-stated", nil)
	if b.RuleStated {
		from = k.place(k.Report.Job.Terms.DecisionRule.Pos)
	}
	s.add(table.Words(k.say("label-rule", nil)), table.Words(rule), table.Entry{}, table.Entry{}, long(from))
	t := k.Report.Job.Terms.Correction
	text, from := k.say("correction-none", nil), k.text("format/not-recorded", nil)
	if t.State != record.Absent {
		text, from = k.say("as-found", t.Text), k.place(t.Pos)
	}
	s.add(table.Words(k.say("label-correction", nil)), table.Words(text), table.Entry{}, table.Entry{}, long(from))
}

// basis names what a limit speaks of.
func (k *corrector) basis(b salt.Basis) string {
	return k.text(map[salt.Basis]string{
		salt.BasisNotStated: "report/basis-not-stated",
		salt.TotalSalts:     "report/basis-total-salts",
		salt.SodiumChloride: "report/basis-sodium-chloride",
		salt.ChlorideIon:    "report/basis-chloride",
	}[b], nil)
}

// comparison says how a value equal to the limit is taken.
func (k *corrector) comparison(c salt.Comparison) string {
	switch c {
	case salt.AtMost:
		return k.text("report/comparison-at-most", nil)
	case salt.LessThan:
		return k.text("report/comparison-less-than", nil)
	}
	return k.text("report/comparison-not-stated", nil)
}
