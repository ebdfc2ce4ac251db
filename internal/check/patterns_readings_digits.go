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
		untold := func(tests []int) bool { return !digitsTell(v, tests) }
		for _, tests := range readersOf(v) {
			r := reader{whole: slices.DeleteFunc([][]int{tests}, untold)}
			if days := byDay(v, tests); len(days) > 1 {
				r.days = slices.DeleteFunc(days, untold)
			}
			readers = append(readers, r)
			asked += len(r.whole) + len(r.days)
		}
		for _, r := range readers {
			if len(r.whole) > 0 && reportDigits(v, r.whole[0], asked) {
				continue
			}
			for _, day := range r.days {
				reportDigits(v, day, asked)
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
	persons, meters := newRoll(record.Folded), newRoll(record.Folded)
	step := map[int32]unit.Decimal{}
	for i := range v.Job.Meters {
		if m := &v.Job.Meters[i]; m.Resolution.Known() {
			step[meters.of(m.Serial.Val)] = m.Resolution.Dec
		}
	}
	fine := map[reader]bool{} // shows digits other than 0 and 5
	var last reader
	show := func(meter string, g record.Given[unit.Conductivity]) {
		if !g.Known() || lastDigit(g)%5 == 0 {
			return
		}
		if r := (reader{0, meters.of(meter), g.Dec.Exp}); r != last || len(fine) == 0 {
			fine[r] = true
			last = r
		}
	}
	for i := range v.Lines {
		t := v.Lines[i].Test
		show(t.Meter().Val, t.Blank())
		show(t.Meter().Val, t.Extract())
	}
	for i := range v.Job.Checks {
		show(v.Job.Checks[i].Meter.Val, v.Job.Checks[i].Reading)
	}
	tests := onSteel(v, func(l *assess.Line) bool {
		g := l.Test.Extract()
		if !g.Known() {
			return false
		}
		meter := meters.of(l.Test.Meter().Val)
		if s, known := step[meter]; known {
			return s.Cmp(g.Dec.Step()) <= 0
		}
		return fine[reader{0, meter, g.Dec.Exp}]
	})
	return groups(tests, func(i int) reader {
		t := v.Lines[i].Test
		return reader{persons.of(t.Inspector().Val), meters.of(t.Meter().Val), t.Extract().Dec.Exp}
	})
}

func lastDigit(g record.Given[unit.Conductivity]) int {
	d := int(g.Dec.Coef % 10)
	return max(d, -d)
}

// digitsTell reports whether the last digits of the extracts could show a
// preference: there are enough of them, and they spread.
func digitsTell(v *assess.Review, tests []int) bool {
	if len(tests) < leastDigits {
		return false
	}
	steps := make([]int64, len(tests))
	for k, i := range tests {
		steps[k] = v.Lines[i].Test.Extract().Dec.Coef
	}
	quarter := len(steps) / 4
	upper := stat.Nth(steps, len(steps)-1-quarter)
	return upper-stat.Nth(steps, quarter) >= leastSpan
}

// reportDigits reports a group whose digits prefer 0 and 5, and whether it
// does.
func reportDigits(v *assess.Review, tests []int, asked int) bool {
	var ends []int
	for _, i := range tests {
		if lastDigit(v.Lines[i].Test.Extract())%5 == 0 {
			ends = append(ends, i)
		}
	}
	p, err := stat.BinomialTail(len(ends), len(tests), 0.2)
	if p = math.Min(1, p*float64(asked)); err != nil || p >= rare {
		return false
	}
	t := v.Lines[tests[0]].Test
	report(v, assess.Finding{
		Tests: tests, Places: places(v, ends, extractAt),
		Args: chance(map[string]any{
			"Inspector": t.Inspector().Text, "Meter": t.Meter().Text, "Ends": len(ends), "Of": len(tests), "Expected": 0.2 * float64(len(tests)),
			"Step": t.Extract().Dec.Step(), "Asked": asked,
		}, p),
	})
	return true
}
