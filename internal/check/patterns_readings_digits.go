package check

import (
	"math"
	"slices"

	"saltline/internal/assess"
	"saltline/internal/record"
	"saltline/internal/stat"
	"saltline/internal/unit"
)

// leastDigits is how many readings a group has to have, and leastSpan how
// many steps of the meter its middle half has to span, for its last digits to
// be asked about. Over ten steps each digit is as likely as any other; where
// little is found the readings cluster, and so do their digits. House figures.
const (
	leastDigits = 20
	leastSpan   = 10
)

// lastDigitPreference: the last digits of the extracts are 0 or 5 more often
// than the two in ten that a display gives. It is asked of each person and
// meter over the whole log and, where that shows nothing, on each day; the
// probability is multiplied by the number of groups asked. A meter that steps
// by five or by two is not asked, nor one that shows nothing but 0 and 5 in
// the whole log and whose resolution is not recorded.
var lastDigitPreference = &assess.Check{
	Name:     "last-digit-preference",
	Group:    assess.Integrity,
	Severity: assess.Weakens,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		type reader struct{ whole, days [][]int } // tests by whose digits it is asked
		var readers []reader
		asked := 0
		read := stepsRead(v)
		untold := func(tests []int) bool { return !digitsTell(read, tests) }
		for _, tests := range readersOf(v) {
			r := reader{whole: slices.DeleteFunc([][]int{tests}, untold)}
			if days := byDay(v, tests); len(days) > 1 {
				r.days = slices.DeleteFunc(days, untold)
			}
			readers = append(readers, r)
			asked += len(r.whole) + len(r.days)
		}
		for _, r := range readers {
			if len(r.whole) > 0 && reportDigits(v, read, r.whole[0], asked) {
				continue
			}
			for _, day := range r.days {
				reportDigits(v, read, day, asked)
			}
		}
	},
}

// readersOf lists the tests on steel by who read which meter to which step,
// where the step is one of the meter.
func readersOf(v *assess.Review) [][]int {
	type reader struct {
		person, meter int32
		exp           int
	}
	meters := newRoll(record.Folded)
	meter := ask(v, record.Columns.Meter, func(serial record.Words) int32 { return meters.of(serial.Val) })
	step := map[int32]unit.Decimal{}
	for i := range v.Job.Meters {
		if m := &v.Job.Meters[i]; m.Resolution.Known() {
			step[meters.of(m.Serial.Val)] = m.Resolution.Dec
		}
	}
	// The steps are asked for apart: mostly all are alike, and then they take no list.
	fine := map[reader]bool{} // shows digits other than 0 and 5
	shows := func(g record.Given[unit.Conductivity]) bool { return g.Known() && !endsIn0Or5(g.Dec.Coef) }
	toStep := func(g record.Given[unit.Conductivity]) int { return g.Dec.Exp }
	exps := ask(v, record.Columns.Extract, toStep)
	for _, column := range []struct {
		shows *record.Answers[bool]
		exps  *record.Answers[int]
	}{
		{ask(v, record.Columns.Blank, shows), ask(v, record.Columns.Blank, toStep)},
		{ask(v, record.Columns.Extract, shows), exps},
	} {
		last := reader{0, -1, 0}
		for i := range v.Lines {
			if r := (reader{0, meter.At(i), column.exps.At(i)}); r != last && column.shows.At(i) {
				fine[r] = true
				last = r
			}
		}
	}
	for i := range v.Job.Checks {
		if c := &v.Job.Checks[i]; shows(c.Reading) {
			fine[reader{0, meters.of(c.Meter.Val), c.Reading.Dec.Exp}] = true
		}
	}
	readsFinely := func(r reader) bool {
		if s, known := step[r.meter]; known {
			return s.Cmp(unit.Decimal{Exp: r.exp}.Step()) <= 0
		}
		return fine[r]
	}
	before, does := reader{0, -1, 0}, false
	tests := keep(where(steel(v), extractKnown(v)), func(i int) bool {
		if r := (reader{0, meter.At(i), exps.At(i)}); r != before {
			before, does = r, readsFinely(r)
		}
		return does
	})
	person := people(v)
	return groups(tests, func(i int) reader { return reader{person.at(i), meter.At(i), exps.At(i)} })
}

func endsIn0Or5(steps int64) bool { return steps%5 == 0 }

// stepsRead are the extracts, in steps of their last digits.
func stepsRead(v *assess.Review) *record.Answers[int64] {
	return ask(v, record.Columns.Extract, func(g record.Given[unit.Conductivity]) int64 { return g.Dec.Coef })
}

// digitsTell reports whether the last digits of the extracts could show a
// preference: there are enough of them, and they spread.
func digitsTell(read *record.Answers[int64], tests []int) bool {
	if len(tests) < leastDigits {
		return false
	}
	steps := make([]int64, len(tests))
	for k, i := range tests {
		steps[k] = read.At(i)
	}
	quarter := len(steps) / 4
	upper := stat.Nth(steps, len(steps)-1-quarter)
	return upper-stat.Nth(steps[:len(steps)-1-quarter], quarter) >= leastSpan
}

// reportDigits reports a group whose digits prefer 0 and 5, and whether it
// does.
func reportDigits(v *assess.Review, read *record.Answers[int64], tests []int, asked int) bool {
	prefers := func(i int) bool { return endsIn0Or5(read.At(i)) }
	n := 0
	for _, i := range tests {
		if prefers(i) {
			n++
		}
	}
	p, err := stat.BinomialTail(n, len(tests), 0.2)
	if p = math.Min(1, p*float64(asked)); err != nil || p >= rare {
		return false
	}
	t, ends := v.Lines[tests[0]].Test, keep(tests, prefers)
	report(v, assess.Finding{
		Tests: tests, Places: places(v, ends, extractAt),
		Args: chance(map[string]any{
			"Inspector": t.Inspector().Text, "Meter": t.Meter().Text, "Ends": len(ends), "Of": len(tests), "Expected": 0.2 * float64(len(tests)),
			"Step": t.Extract().Dec.Step(), "Asked": asked,
		}, p),
	})
	return true
}
