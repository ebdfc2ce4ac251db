package assess

import (
	"strings"
	"testing"

	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/salt"
	"saltline/internal/unit"
)

// number is a written number: "14.10" resolves hundredths.
func number[Q ~float64](t testing.TB, text string) record.Given[Q] {
	t.Helper()
	g := record.Given[Q]{State: record.Known, Text: text}
	switch {
	case text == "":
		return record.Given[Q]{}
	case text == "??":
		g.State = record.Unreadable
		return g
	case text == "-":
		g.State = record.NotDone
		return g
	case text[0] == '<':
		g.State, text = record.Below, text[1:]
	}
	whole, part, _ := strings.Cut(text, ".")
	negative := strings.HasPrefix(whole, "-")
	for _, r := range strings.TrimPrefix(whole, "-") + part {
		if r < '0' || r > '9' {
			t.Fatalf("%q is no number", text)
		}
		g.Dec.Coef = g.Dec.Coef*10 + int64(r-'0')
	}
	if negative {
		g.Dec.Coef = -g.Dec.Coef
	}
	g.Dec.Exp = -len(part)
	g.Val = Q(g.Dec.Float())
	return g
}

func given[Q any](v Q) record.Given[Q] { return record.Given[Q]{Val: v, State: record.Known} }

func words(s string) record.Words {
	if s == "" {
		return record.Words{}
	}
	return record.Words{Val: s, Text: s, State: record.Known}
}

func clock(t testing.TB, text string) record.Given[unit.Clock] {
	t.Helper()
	if text == "" {
		return record.Given[unit.Clock]{}
	}
	if len(text) != len("10:00") {
		t.Fatalf("%q is no time", text)
	}
	d := func(i int) int { return int(text[i]-'0')*10 + int(text[i+1]-'0') }
	return given(unit.ClockAt(d(0), d(3)))
}

var firstDay = unit.Date{Year: 2026, Month: 3, Day: 11}

func limitOf(t testing.TB, value string) record.Limit {
	v := number[unit.SurfaceDensity](t, value)
	v.Unit = "mg/m2"
	return record.Limit{
		Value:      v,
		Basis:      given(salt.TotalSalts),
		Comparison: given(salt.AtMost),
		Rounding:   given(salt.Rounding{}),
		Clause:     words("7.3"),
	}
}

// newJob states everything that a judgement needs: at most 50 mg/m² of total
// salts, 10 ml on 1250 mm² with c = 5, so that K is 4.
func newJob(t testing.TB) *record.Job {
	return &record.Job{Terms: record.Terms{
		Limits:       []record.Limit{limitOf(t, "50")},
		DecisionRule: given(salt.Simple),
		Volume:       number[unit.Volume](t, "10"),
		PatchArea:    number[unit.PatchArea](t, "1250"),
		Constant:     number[unit.Constant](t, "5"),
	}}
}

// reading is a test with a blank and an extract as written.
func reading(t testing.TB, blank, extract string) record.Test {
	test := record.NewTest()
	f := test.Own()
	f.Number = words("1")
	f.Row = diag.In("log.csv", "").At(2, 0)
	f.Date = given(firstDay)
	f.Compensated = given(true)
	f.Blank = number[unit.Conductivity](t, blank)
	f.Extract = number[unit.Conductivity](t, extract)
	return test
}

// judged runs a job of one test.
func judged(t testing.TB, job *record.Job, test record.Test) *Line {
	t.Helper()
	job.Tests = []record.Test{test}
	return &Run(job, nil).Lines[0]
}
