package record

import (
	"slices"

	"saltline/internal/diag"
	"saltline/internal/heading"
	"saltline/internal/table"
	"saltline/internal/unit"
)

// readings are the columns of the readings table. The last ones belong to
// other tables and are read here too, since a one-sheet log holds them all.
var readings = tableOf[Fields]{
	{"test", words(func(t *Fields) *Words { return &t.Number })},
	{"area", words(func(t *Fields) *Words { return &t.Area })},
	{"location", label(func(t *Fields) *Words { return &t.Location })},
	{"x", position(func(t *Fields) *Given[float64] { return &t.spot().X })},
	{"y", position(func(t *Fields) *Given[float64] { return &t.spot().Y })},
	{"spot type", words(func(t *Fields) *Words { return &t.spot().SpotType })},
	{"orientation", words(func(t *Fields) *Words { return &t.spot().Orientation })},
	{"date", date(func(t *Fields) *Given[unit.Date] { return &t.Date })},
	{"start", clock(func(t *Fields) *Given[unit.Clock] { return &t.clocks().Start })},
	{"read", clock(func(t *Fields) *Given[unit.Clock] { return &t.clocks().Read })},
	{"blank", number(unit.OfConductivity, func(t *Fields) *Given[unit.Conductivity] { return &t.Blank })},
	{"blank temperature", number(unit.OfTemperature, func(t *Fields) *Given[unit.Temperature] { return &t.solution().BlankTemperature })},
	{"water", words(func(t *Fields) *Words { return &t.consumed().Water })},
	{"injected", number(unit.OfVolume, func(t *Fields) *Given[unit.Volume] { return &t.filling().Injected })},
	{"volume", number(unit.OfVolume, func(t *Fields) *Given[unit.Volume] { return &t.Volume })},
	{"procedure", parsed(procedure, "direct or beaker return", func(t *Fields) *Given[Procedure] { return &t.filling().Procedure })},
	{"recovered", number(unit.OfVolume, func(t *Fields) *Given[unit.Volume] { return &t.filling().Recovered })},
	{"pump cycles", count(func(t *Fields) *Given[int] { return &t.filling().PumpCycles })},
	{"extract", number(unit.OfConductivity, func(t *Fields) *Given[unit.Conductivity] { return &t.Extract })},
	{"solution temperature", number(unit.OfTemperature, func(t *Fields) *Given[unit.Temperature] { return &t.solution().SolutionTemperature })},
	{"compensated", word(switches, "on or off", func(t *Fields) *Given[bool] { return &t.solution().Compensated })},
	{"patch area", number(unit.OfPatchArea, func(t *Fields) *Given[unit.PatchArea] { return &t.equipment().PatchArea })},
	{"patch kind", kindOfPatch(func(t *Fields) *Given[PatchKind] { return &t.consumed().PatchKind })},
	{"patch", words(func(t *Fields) *Words { return &t.consumed().Patch })},
	{"patch use", count(func(t *Fields) *Given[int] { return &t.consumed().PatchUse })},
	{"meter", words(func(t *Fields) *Words { return &t.equipment().Meter })},
	{"difference", number(unit.OfConductivity, func(t *Fields) *Given[unit.Conductivity] { return &t.solution().Difference })},
	{"recorded", number(unit.OfDensity, func(t *Fields) *Given[unit.SurfaceDensity] { return &t.Recorded })},
	{"recorded verdict", verdict(func(t *Fields) *Given[WrittenVerdict] { return &t.RecordedVerdict })},
	{"inspector", words(func(t *Fields) *Words { return &t.equipment().Inspector })},
	{"kind", hinted(testKinds.find, "original, repeat, retest, adjacent, witness or procedural blank",
		"write one of the kinds that are wanted; an empty cell means an original test, so leave it empty only for one", func(t *Fields) *Given[TestKind] { return &t.purpose().Kind })},
	{"of test", words(func(t *Fields) *Words { return &t.purpose().OfTest })},
	{"treatment", words(func(t *Fields) *Words { return &t.purpose().Treatment })},
	{"photo", words(func(t *Fields) *Words { return &t.remarks().Photo })},
	{"remark", words(func(t *Fields) *Words { return &t.remarks().Remark })},

	{"limit", limitValue(func(t *Fields) *Given[unit.SurfaceDensity] { return &t.oneSheet().Limit })},
	{"size", number(unit.OfSteelArea, func(t *Fields) *Given[unit.SteelArea] { return &t.oneSheet().Size })},
	{"substrate", words(func(t *Fields) *Words { return &t.oneSheet().Substrate })},
	{"outside diameter", number(unit.OfLength, func(t *Fields) *Given[unit.Length] { return &t.oneSheet().OutsideDiameter })},
	{"inside diameter", number(unit.OfLength, func(t *Fields) *Given[unit.Length] { return &t.oneSheet().InsideDiameter })},
	{"maximum uses", count(func(t *Fields) *Given[int] { return &t.consumed().MaximumUses })},
	{"air temperature", number(unit.OfTemperature, func(t *Fields) *Given[unit.Temperature] { return &t.oneSheet().Air })},
	{"humidity", number(unit.OfHumidity, func(t *Fields) *Given[unit.Humidity] { return &t.oneSheet().Humidity })},
	{"wet bulb", number(unit.OfTemperature, func(t *Fields) *Given[unit.Temperature] { return &t.oneSheet().WetBulb })},
	{"recorded dew point", number(unit.OfTemperature, func(t *Fields) *Given[unit.Temperature] { return &t.oneSheet().RecordedDew })},
	{"steel temperature", number(unit.OfTemperature, func(t *Fields) *Given[unit.Temperature] { return &t.oneSheet().Steel })},
}

// bindReadings binds the readings, with what the sheet shows beside them.
func (b *binder) bindReadings(p *page, block heading.Block) {
	recordedAt := 0
	for _, c := range block.Columns {
		if c.Name == "recorded" {
			recordedAt = c.Pos.Col()
		}
	}
	recorded := p.column(columnKey{"readings", "recorded"})
	parts := func(t *Fields) (*diag.Pos, *[]Fact) {
		*t = empty
		return &t.Row, &t.Extra
	}
	dates := p.column(columnKey{"readings", "date"}).calendar
	from := len(b.job.Tests)
	b.job.Tests = slices.Grow(b.job.Tests, len(block.Rows))[:from+len(block.Rows)]
	keep := func(i int, f *Fields) { b.job.Tests[from+i].fields = *f }
	bindRows(b, p, block, readings, keep, parts, func(t *Fields, row table.Row, out *margin) {
		t.Hidden, t.Struck, t.Faint = row.Hidden || p.sheet.Hidden, row.Struck(), row.Faint()
		c := row.Cell(recordedAt)
		t.RecordedFormula, t.StaleFormula = c.Formula(), c.Stale
		t.TypedOver = c.Kind != table.Empty && c.Formula() == "" && c.FillOf().IsZero() && recorded.mostlyFormulas()
		if t.Area.State == Absent && p.area != "" {
			t.Area = Words{Val: p.area, State: Known, Text: p.area, Pos: p.at}
		}
		timeOfDate(t, row, dates, out)
		b.verdictOfResult(t, out)
		noteMidnight(t, out)
	})
}

// timeOfDate takes the time of a test from a column that holds date and time
// in one, where no column of times gives it.
func timeOfDate(t *Fields, row table.Row, dates calendar, out *margin) {
	if t.Start.State != Absent || t.Read.State != Absent || !t.Date.Known() || t.Date.Pos.Row() != row.Number {
		return
	}
	c := row.Cell(t.Date.Pos.Col())
	if d := dates.read(dateText(c)); c.Pos == t.Date.Pos && d.hasClock {
		t.clocks().Read = Given[unit.Clock]{Val: d.clock, State: Known, Text: c.Text, Pos: c.Pos}
		out.note(Change{Pos: c.Pos, What: "the time taken from the date", From: c.Text, To: d.clock.String()})
	}
}

// verdictOfResult takes the verdict from a result that is none but says one:
// "VOID" where the density should stand.
func (b *binder) verdictOfResult(t *Fields, out *margin) {
	if t.RecordedVerdict.State != Absent || t.Recorded.State == Absent || t.Recorded.State == Known {
		return
	}
	if v, _, ok := b.verdictOf(t.Recorded.Text); ok {
		t.RecordedVerdict = Given[WrittenVerdict]{Val: v, State: Known, Text: t.Recorded.Text, Pos: t.Recorded.Pos}
		out.note(Change{Pos: t.Recorded.Pos, What: "a verdict in the place of the result", From: t.Recorded.Text, To: "verdict"})
	}
}

// noteMidnight notes an extract that was read after midnight of a test that
// began before it. The clock is kept as written.
func noteMidnight(t *Fields, out *margin) {
	const halfDay = unit.Minutes(12 * 60)
	if t.Start.Known() && t.Read.Known() && t.Start.Val.Since(t.Read.Val) > halfDay {
		out.note(Change{Pos: t.Read.Pos, What: "read past midnight", From: t.Start.Text, To: t.Read.Text})
	}
}
