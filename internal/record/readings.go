package record

import (
	"slices"

	"saltline/internal/diag"
	"saltline/internal/heading"
	"saltline/internal/memory"
	"saltline/internal/table"
	"saltline/internal/unit"
)

// readings are the columns of the readings table. The last ones belong to
// other tables and are read here too, since a one-sheet log holds them all.
var readings = tableOf[Fields]{
	{"test", words((*Fields).number)},
	{"area", words((*Fields).area)},
	{"location", label((*Fields).location)},
	{"x", position((*Fields).x)},
	{"y", position((*Fields).y)},
	{"spot type", words((*Fields).spotType)},
	{"orientation", words((*Fields).orientation)},
	{"date", date((*Fields).date)},
	{"start", clock((*Fields).start)},
	{"read", clock((*Fields).read)},
	{"blank", number(unit.OfConductivity, (*Fields).blank)},
	{"blank temperature", number(unit.OfTemperature, (*Fields).blankTemperature)},
	{"water", words((*Fields).water)},
	{"injected", number(unit.OfVolume, (*Fields).injected)},
	{"volume", number(unit.OfVolume, (*Fields).volume)},
	{"procedure", parsed(procedure, "direct or beaker return", (*Fields).procedure)},
	{"recovered", number(unit.OfVolume, (*Fields).recovered)},
	{"pump cycles", count((*Fields).pumpCycles)},
	{"extract", number(unit.OfConductivity, (*Fields).extract)},
	{"solution temperature", number(unit.OfTemperature, (*Fields).solutionTemperature)},
	{"compensated", word(switches, "on or off", (*Fields).compensated)},
	{"patch area", number(unit.OfPatchArea, (*Fields).patchArea)},
	{"patch kind", kindOfPatch((*Fields).patchKind)},
	{"patch", words((*Fields).patch)},
	{"patch use", count((*Fields).patchUse)},
	{"meter", words((*Fields).meter)},
	{"difference", number(unit.OfConductivity, (*Fields).difference)},
	{"recorded", number(unit.OfDensity, (*Fields).recorded)},
	{"recorded verdict", verdict((*Fields).recordedVerdict)},
	{"inspector", words((*Fields).inspector)},
	{"kind", hinted(testKinds.find, "original, repeat, retest, adjacent, witness or procedural blank",
		"write one of the kinds that are wanted; an empty cell means an original test, so leave it empty only for one", (*Fields).kind)},
	{"of test", words((*Fields).ofTest)},
	{"treatment", words((*Fields).treatment)},
	{"photo", words((*Fields).photo)},
	{"remark", words((*Fields).remark)},

	{"limit", limitValue((*Fields).limit)},
	{"size", number(unit.OfSteelArea, (*Fields).size)},
	{"substrate", words((*Fields).substrate)},
	{"outside diameter", number(unit.OfLength, (*Fields).outsideDiameter)},
	{"inside diameter", number(unit.OfLength, (*Fields).insideDiameter)},
	{"maximum uses", count((*Fields).maximumUses)},
	{"air temperature", number(unit.OfTemperature, (*Fields).air)},
	{"humidity", number(unit.OfHumidity, (*Fields).humidity)},
	{"wet bulb", number(unit.OfTemperature, (*Fields).wetBulb)},
	{"recorded dew point", number(unit.OfTemperature, (*Fields).recordedDew)},
	{"steel temperature", number(unit.OfTemperature, (*Fields).steel)},
}

// keepTests is how the tests of a stretch are kept. A test keeps them otherwise.
var keepTests = func(at diag.Pos, tests []Test, titles []*title[Fields]) keeping[Fields] {
	return glean(at, tests, titles)
}

// bindReadings binds the readings, with what the sheet shows beside them.
func (b *binder) bindReadings(p *page, block heading.Block) {
	recordedAt := 0
	for _, c := range block.Columns {
		if c.Name == "recorded" {
			recordedAt = c.Pos.Col()
		}
	}
	byFormula := p.column(columnKey{"readings", "recorded"}).mostlyFormulas()
	parts := func(t *Fields) (*diag.Pos, *[]Fact) {
		return &t.Row, &t.Extra
	}
	dates := p.column(columnKey{"readings", "date"})
	from := len(b.job.Tests)
	if from == 0 {
		b.job.Tests = memory.Make[Test](len(block.Rows))
	} else {
		b.job.Tests = slices.Grow(b.job.Tests, len(block.Rows))[:from+len(block.Rows)]
	}
	keep := func(first, last int, titles []*title[Fields]) keeping[Fields] {
		return keepTests(p.at, b.job.Tests[from+first:from+last], titles)
	}
	bindRows(b, p, block, readings, keep, parts, func(t *Fields, row table.Row, out *margin) {
		t.Hidden, t.Struck, t.Faint = row.Hidden || p.sheet.Hidden, row.Struck(), row.Faint()
		if text, plain := row.Plain(recordedAt); plain {
			t.TypedOver = text != "" && byFormula
		} else {
			c := row.Cell(recordedAt)
			t.StaleFormula = c.Stale
			t.TypedOver = c.Kind != table.Empty && c.Formula() == "" && c.FillOf().IsZero() && byFormula
		}
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
func timeOfDate(t *Fields, row table.Row, dates *told, out *margin) {
	if !dates.clocked || t.Start.State != Absent || t.Read.State != Absent || !t.Date.Known() || t.Date.Pos.Row() != row.Number {
		return
	}
	c := row.Cell(t.Date.Pos.Col())
	if d := dates.calendar.read(dateText(c)); c.Pos == t.Date.Pos && d.hasClock {
		t.Read = Given[unit.Clock]{Val: d.clock, State: Known, Text: c.Text, Pos: c.Pos}
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
