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
		readers := readersOf(v)
		days := make([][][]int, len(readers))
		asked := 0
		for k, r := range readers {
			if digitsTell(v, r) {
				asked++
			}
			if parts := byDay(v, r); len(parts) > 1 {
				days[k] = slices.DeleteFunc(parts, func(day []int) bool { return !digitsTell(v, day) })
				asked += len(days[k])
			}
		}
		for k, r := range readers {
			if digitsTell(v, r) && reportDigits(v, r, asked) {
				continue
			}
			for _, day := range days[k] {
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
	persons, meters := newRoll(folded), newRoll(folded)
	step := map[int32]unit.Decimal{}
	for i := range v.Job.Meters {
		if m := &v.Job.Meters[i]; m.Resolution.Known() {
			step[meters.of(m.Serial.Val)] = m.Resolution.Dec
		}
	}
	fine := map[reader]bool{} // shows digits other than 0 and 5
	show := func(meter record.Words, g record.Given[unit.Conductivity]) {
		if g.Known() && lastDigit(g)%5 != 0 {
			fine[reader{0, meters.of(meter.Val), g.Dec.Exp}] = true
		}
	}
	for i := range v.Lines {
		show(v.Lines[i].Test.Meter, v.Lines[i].Test.Blank)
		show(v.Lines[i].Test.Meter, v.Lines[i].Test.Extract)
	}
	for i := range v.Job.Checks {
		show(v.Job.Checks[i].Meter, v.Job.Checks[i].Reading)
	}
	tests := onSteel(v, func(l *assess.Line) bool {
		g := l.Test.Extract
		if !g.Known() {
			return false
		}
		meter := meters.of(l.Test.Meter.Val)
		if s, known := step[meter]; known {
			return s.Cmp(g.Dec.Step()) <= 0
		}
		return fine[reader{0, meter, g.Dec.Exp}]
	})
	return groups(tests, func(i int) reader {
		t := v.Lines[i].Test
		return reader{persons.of(t.Inspector.Val), meters.of(t.Meter.Val), t.Extract.Dec.Exp}
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
		steps[k] = v.Lines[i].Test.Extract.Dec.Coef
	}
	slices.Sort(steps)
	quarter := len(steps) / 4
	return steps[len(steps)-1-quarter]-steps[quarter] >= leastSpan
}

// reportDigits reports a group whose digits prefer 0 and 5, and whether it
// does.
func reportDigits(v *assess.Review, tests []int, asked int) bool {
	var ends []int
	for _, i := range tests {
		if lastDigit(v.Lines[i].Test.Extract)%5 == 0 {
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
			"Inspector": t.Inspector.Text, "Meter": t.Meter.Text, "Ends": len(ends), "Of": len(tests), "Expected": 0.2 * float64(len(tests)),
			"Step": t.Extract.Dec.Step(), "Asked": asked,
		}, p),
	})
	return true
}
