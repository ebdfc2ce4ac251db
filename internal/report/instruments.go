package report

import (
	"slices"
	"strings"

	"saltline/internal/assess"
	"saltline/internal/check"
	"saltline/internal/doc"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// instruments shows the meters with their checks, the water and the patches:
// numbers, not ticks.
func (c *composer) instruments() []doc.Block {
	blocks := slices.Concat(c.meters(), c.meterChecks(), c.water(), c.patches())
	if len(blocks) == 0 {
		return nil
	}
	return append([]doc.Block{c.heading("report/instruments-title", "")}, blocks...)
}

// meters shows those used on the day; with none named in the log, all.
func (c *composer) meters() []doc.Block {
	used := map[string]bool{}
	for _, l := range c.lines {
		if l.Test.Meter().Known() {
			used[strings.ToLower(l.Test.Meter().Val)] = true
		}
	}
	var list []*record.Meter
	for i := range c.job.Meters {
		m := &c.job.Meters[i]
		if len(used) == 0 || used[strings.ToLower(m.Serial.Val)] || !isConductivity(m) {
			list = append(list, m)
		}
	}
	if len(list) == 0 {
		return c.para("report/meters-named", c.Words.List(c.metersNamed()))
	}
	head := func(key string) string { return c.say("report/head-"+key, nil) }
	return []doc.Block{doc.Tabulate([]doc.Col[*record.Meter]{
		doc.Left(head("serial"), "", func(m *record.Meter) string { return cell(c, m.Serial) }),
		doc.Left(head("kind"), "", func(m *record.Meter) string { return cell(c, m.Kind) }),
		doc.Left(head("range"), "", func(m *record.Meter) string { return cell(c, m.Range) }),
		doc.Left(head("resolution"), "", func(m *record.Meter) string { return c.Words.Written(m.Resolution.Text) }),
		doc.Left(head("compensates"), "", func(m *record.Meter) string { return m.Compensates.Text }),
		doc.Left(head("certificate"), "", func(m *record.Meter) string { return cell(c, m.Certificate) }),
		doc.Left(head("due"), "", func(m *record.Meter) string { return cell(c, m.Due) }),
		doc.Left(head("laboratory"), "", func(m *record.Meter) string { return cell(c, m.Laboratory) }),
	}, list)}
}

// metersNamed are those that the tests of the day name.
func (c *composer) metersNamed() []string {
	var names []string
	for _, l := range c.lines {
		if l.Test.Meter().Known() && !slices.Contains(names, l.Test.Meter().Val) {
			names = append(names, l.Test.Meter().Val)
		}
	}
	return names
}

// conductivityStems are in the names of conductivity meters, by language.
var conductivityStems = []string{"conduct", "leitf", "lf-", "ledningsevne"}

// isConductivity reports whether a meter is one for conductivity; a table that
// does not say has only those.
func isConductivity(m *record.Meter) bool {
	kind := strings.ToLower(m.Kind.Val)
	return !m.Kind.Known() || slices.ContainsFunc(conductivityStems, func(stem string) bool { return strings.Contains(kind, stem) })
}

// meterChecks shows the readings in check solutions, each with its deviation
// from nominal.
func (c *composer) meterChecks() []doc.Block {
	var list []*record.MeterCheck
	for i := range c.job.Checks {
		if k := &c.job.Checks[i]; k.Date.Val == c.Date {
			list = append(list, k)
		}
	}
	if len(list) == 0 {
		return nil
	}
	head := func(key string) string { return c.say("report/head-"+key, nil) }
	t := doc.Tabulate([]doc.Col[*record.MeterCheck]{
		doc.Left(head("time"), "h:min", func(k *record.MeterCheck) string { return cell(c, k.Time) }),
		doc.Left(head("meter"), "", func(k *record.MeterCheck) string { return cell(c, k.Meter) }),
		doc.Left(head("solution"), "", func(k *record.MeterCheck) string { return cell(c, k.Solution) }),
		doc.Left(head("lot"), "", func(k *record.MeterCheck) string { return cell(c, k.Lot) }),
		doc.Left(head("expiry"), "", func(k *record.MeterCheck) string { return cell(c, k.Expiry) }),
		doc.Decimal(head("nominal"), "µS/cm", func(k *record.MeterCheck) string { return cell(c, k.Nominal) }),
		doc.Decimal(head("reading"), "µS/cm", func(k *record.MeterCheck) string { return cell(c, k.Reading) }),
		doc.Decimal(head("temperature"), "°C", func(k *record.MeterCheck) string { return cell(c, k.Temperature) }),
		doc.Decimal(head("deviation"), "%", func(k *record.MeterCheck) string {
			if d, ok := deviation(k); ok {
				return c.signed(d)
			}
			return "–"
		}),
		doc.Decimal(head("tolerance"), "± %", func(k *record.MeterCheck) string {
			return c.Words.Figure(c.tolerance(k))
		}),
		doc.Left(head("found-left"), "", func(k *record.MeterCheck) string { return cell(c, k.FoundLeft) }),
		doc.Left(head("by"), "", func(k *record.MeterCheck) string { return cell(c, k.By) }),
	}, list, func(k *record.MeterCheck, r *doc.Row) {
		d, ok := deviation(k)
		r.Emphasis = ok && (d > c.tolerance(k) || d < -c.tolerance(k))
	})
	blocks := []doc.Block{t}
	for _, s := range c.brackets() {
		blocks = append(blocks, doc.Paragraph{Text: doc.Plain(s)})
	}
	return blocks
}

// deviation is how far a check reads from nominal, in per cent.
func deviation(k *record.MeterCheck) (float64, bool) {
	if !k.Reading.Known() || !k.Nominal.Known() || k.Nominal.Val == 0 {
		return 0, false
	}
	return 100 * (float64(k.Reading.Val)/float64(k.Nominal.Val) - 1), true
}

// tolerance is that of the check, else that of the basis, in per cent.
func (c *composer) tolerance(k *record.MeterCheck) float64 {
	return float64(c.Result.Basis.ToleranceOf(k))
}

// brackets says which tests lie between good checks of their meter, and which
// do not.
func (c *composer) brackets() []string {
	tests := make([]int, len(c.lines))
	for i, l := range c.lines {
		tests[i] = l.Index
	}
	brackets, loose := check.Brackets(c.Result, tests)
	var out []string
	for _, b := range brackets {
		say := func(text string, tests []int) {
			if len(tests) > 0 {
				out = append(out, c.say("report/"+text, map[string]any{
					"Count": len(tests), "Tests": c.numbers(tests), "First": b.First, "Last": b.Last}))
			}
		}
		say("bracket-inside", b.Inside)
		say("bracket-before", b.Before)
		say("bracket-after", b.After)
	}
	if len(loose) > 0 {
		out = append(out, c.say("report/bracket-none", map[string]any{"Count": len(loose), "Tests": c.numbers(loose)}))
	}
	return out
}

func (c *composer) waterReadings() []*record.Water {
	var list []*record.Water
	for i := range c.job.Water {
		if w := &c.job.Water[i]; w.Date.Val == c.Date {
			list = append(list, w)
		}
	}
	return list
}

func (c *composer) water() []doc.Block {
	list := c.waterReadings()
	if len(list) == 0 {
		return nil
	}
	limit := c.Result.Basis.Value(assess.WaterLimit)
	head := func(key string) string { return c.say("report/head-"+key, nil) }
	return []doc.Block{doc.Tabulate([]doc.Col[*record.Water]{
		doc.Left(head("time"), "h:min", func(w *record.Water) string { return cell(c, w.Time) }),
		doc.Left(head("bottle"), "", func(w *record.Water) string { return cell(c, w.Bottle) }),
		doc.Left(head("grade"), "", func(w *record.Water) string { return cell(c, w.Grade) }),
		doc.Left(head("opened"), "", func(w *record.Water) string { return cell(c, w.Opened) }),
		doc.Left(head("blank-kind"), "", func(w *record.Water) string { return cell(c, w.BlankKind) }),
		doc.Decimal(head("conductivity"), "µS/cm", func(w *record.Water) string { return cell(c, w.Conductivity) }),
		doc.Decimal(head("water-limit"), "µS/cm", func(*record.Water) string { return c.Words.Figure(limit) }),
	}, list, func(w *record.Water, r *doc.Row) {
		r.Emphasis = w.Conductivity.Known() && float64(w.Conductivity.Val) > limit
	})}
}

// patches shows the batches whose patches the day's tests name, by their own
// name or by what it begins with; with none named, all of them.
func (c *composer) patches() []doc.Block {
	used := func(p *record.Patch) bool {
		return slices.ContainsFunc(c.lines, func(l *assess.Line) bool {
			return p.Batch.Known() && strings.HasPrefix(strings.ToLower(l.Test.Patch().OrZero()), strings.ToLower(p.Batch.Val))
		})
	}
	var list []*record.Patch
	for i := range c.job.Patches {
		if p := &c.job.Patches[i]; used(p) {
			list = append(list, p)
		}
	}
	if len(list) == 0 {
		return nil
	}
	head := func(key string) string { return c.say("report/head-"+key, nil) }
	return []doc.Block{doc.Tabulate([]doc.Col[*record.Patch]{
		doc.Left(head("patch"), "", func(p *record.Patch) string { return cell(c, p.Batch) }),
		doc.Left(head("kind"), "", func(p *record.Patch) string { return p.Kind.Text }),
		doc.Decimal(head("patch-area"), "mm²", func(p *record.Patch) string { return cell(c, p.Area) }),
		doc.Left(head("designation"), "", func(p *record.Patch) string { return cell(c, p.Designation) }),
		doc.Left(head("expiry"), "", func(p *record.Patch) string { return cell(c, p.Expiry) }),
		doc.Right(head("uses"), "", func(p *record.Patch) string { return cell(c, p.MaximumUses) }),
	}, list)}
}

// An ambientRow is a set of air and steel readings as a table shows it. A set
// that a one-sheet log repeats on every row is shown once, with the tests that
// it stands beside.
type ambientRow struct {
	*assess.AmbientSet
	last *record.Test // the last test of a repeated set; nil for a set of the ambient table
	n    int
}

// ambientRows are those of the day.
func (c *composer) ambientRows() []ambientRow {
	var rows []ambientRow
	for _, a := range c.index.ambient[c.Date] {
		switch n := len(rows); {
		case a.Set != nil:
			rows = append(rows, ambientRow{AmbientSet: a})
		case n > 0 && rows[n-1].last != nil && sameAir(rows[n-1].last, a.Test):
			rows[n-1].last = a.Test
			rows[n-1].n++
		default:
			rows = append(rows, ambientRow{a, a.Test, 1})
		}
	}
	return rows
}

// sameAir reports whether two rows of a log carry the same set.
func sameAir(a, b *record.Test) bool {
	return a.Air().Text == b.Air().Text && a.Humidity().Text == b.Humidity().Text && a.Steel().Text == b.Steel().Text && a.RecordedDew().Text == b.RecordedDew().Text
}

// when is when a set was read, or the tests that it stands beside.
func (c *composer) when(a ambientRow) string {
	switch {
	case a.Set != nil:
		return cell(c, a.Set.Time)
	case a.n == 1:
		return c.say("report/at-test-time", map[string]any{"Test": a.Test.Number().OrZero(), "Time": c.times(a.Test)})
	}
	return c.say("report/at-tests", map[string]any{"First": a.Test.Number().OrZero(), "Last": a.last.Number().OrZero()})
}

func (c *composer) where(a ambientRow) string {
	switch {
	case a.Set != nil:
		return cell(c, a.Set.Place)
	case a.n == 1:
		return cell(c, a.Test.Location())
	}
	return "–"
}

func (c *composer) holdReason(a ambientRow) string {
	var why []string
	if a.LowMargin {
		why = append(why, c.say("report/hold-margin", map[string]any{
			"Margin": a.Margin, "Least": unit.Temperature(c.Result.Basis.Value(assess.DewPointMargin))}))
	}
	if a.HighHumidity {
		why = append(why, c.say("report/hold-humidity", map[string]any{
			"Humidity": a.Humidity, "Most": unit.Humidity(c.Result.Basis.Value(assess.HumidityLimit))}))
	}
	return c.Words.List(why)
}

// ambient shows air and steel, with the dew point calculated.
func (c *composer) ambient() []doc.Block {
	sets := c.ambientRows()
	if len(sets) == 0 {
		return nil
	}
	head := func(key string) string { return c.say("report/head-"+key, nil) }
	pick := func(a ambientRow, of func(*record.Ambient) record.Given[unit.Temperature], or func(*record.Test) record.Given[unit.Temperature]) string {
		if a.Set != nil {
			return cell(c, of(a.Set))
		}
		return cell(c, or(a.Test))
	}
	t := doc.Tabulate([]doc.Col[ambientRow]{
		doc.Left(head("time"), "h:min", c.when),
		doc.Left(head("place"), "", c.where),
		doc.Decimal(head("air"), "°C", func(a ambientRow) string {
			return pick(a, func(s *record.Ambient) record.Given[unit.Temperature] { return s.Air }, func(t *record.Test) record.Given[unit.Temperature] { return t.Air() })
		}),
		doc.Decimal(head("humidity"), "%", func(a ambientRow) string {
			if a.HumidityFrom == assess.NoHumidity {
				return "–"
			}
			return c.bare(a.Humidity)
		}),
		doc.Decimal(head("steel"), "°C", func(a ambientRow) string {
			return pick(a, func(s *record.Ambient) record.Given[unit.Temperature] { return s.Steel }, func(t *record.Test) record.Given[unit.Temperature] { return t.Steel() })
		}),
		doc.Decimal(head("dew-written"), "°C", func(a ambientRow) string {
			return pick(a, func(s *record.Ambient) record.Given[unit.Temperature] { return s.RecordedDew }, func(t *record.Test) record.Given[unit.Temperature] { return t.RecordedDew() })
		}),
		doc.Decimal(head("dew-calculated"), "°C", func(a ambientRow) string {
			if !a.DewKnown {
				return "–"
			}
			return c.bare(a.Dew)
		}),
		doc.Decimal(head("margin"), "°C", func(a ambientRow) string {
			if !a.MarginKnown {
				return "–"
			}
			return c.bare(a.Margin)
		}),
		doc.Left(head("hold"), "", c.holdText),
	}, sets, func(a ambientRow, r *doc.Row) { r.Emphasis = a.Hold })
	return []doc.Block{c.heading("report/ambient-title", ""), t, doc.Paragraph{Text: doc.Fine(c.say("report/ambient-note", nil))}}
}

func (c *composer) holdText(a ambientRow) string {
	switch {
	case a.Hold:
		return c.say("report/hold", nil)
	case !a.MarginKnown:
		return c.say("report/hold-unknown", nil)
	}
	return c.say("report/hold-none", nil)
}
