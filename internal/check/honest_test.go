package check_test

import (
	"flag"
	"fmt"
	"maps"
	"runtime"
	"slices"
	"sync"
	"testing"

	"saltline/internal/assess"
	"saltline/internal/check"
)

var (
	honestSeed = flag.Uint64("honest-seed", 20260511, "seed of the honest days")
	honestDays = flag.Int("honest-days", 300, "how many honest days are made; a third of them with -short")
)

// byChance are the checks that ask about a pattern which chance makes now
// and then out of nothing.
var byChance = []string{"blank-rising", "reading-ten-times-the-rest"}

// TestHonestDays puts all checks to days as a careful inspector keeps them.
// Nothing is wrong on them by construction, so nothing is to be found: every
// written value follows, every verdict is that of exact arithmetic, and no
// check speaks but those that chance may set off, on one day in a hundred at
// the most; the same holds for the checks of group Integrity alone. A thousand
// days take some seven seconds, which is for -honest-days=1000 to ask for.
func TestHonestDays(t *testing.T) {
	days := *honestDays
	if testing.Short() {
		days = (days + 2) / 3
	}
	t.Logf("seed %d, %d days", *honestSeed, days)
	all := make([]honestOutcome, days)
	var working sync.WaitGroup
	workers := runtime.GOMAXPROCS(0)
	for w := range workers {
		working.Go(func() {
			for day := w; day < days; day += workers {
				all[day] = outcomeOf(newHonestDay(*honestSeed, uint64(day)))
			}
		})
	}
	working.Wait()

	words := load(t)
	on := map[string]int{} // days on which a check spoke
	spoken, patterns, tests, fails := 0, 0, 0, 0
	for day, o := range all {
		for _, fault := range o.faults {
			t.Errorf("day %d: %s", day, fault)
		}
		tests, fails = tests+o.tests, fails+o.fails
		if o.result == nil {
			continue
		}
		spoken++
		if len(integrityOf(o.result)) > 0 {
			patterns++
		}
		says := map[string]string{}
		for i := range o.result.Findings {
			f := &o.result.Findings[i]
			says[f.Check.Name] = plain(render(t, words, o.result, f)["found"])
		}
		for _, name := range slices.Sorted(maps.Keys(says)) {
			if on[name]++; on[name] <= 3 {
				t.Logf("day %d: %s: %s", day, name, says[name])
			}
		}
	}
	t.Logf("%d tests, %d of them above the limit; a check speaks on %d days", tests, fails, spoken)
	if fails == 0 {
		t.Error("no test of any day is above its limit")
	}
	for _, name := range slices.Sorted(maps.Keys(on)) {
		t.Logf("%-30s %d of %d days", name, on[name], days)
		if !slices.Contains(byChance, name) && !slices.ContainsFunc(integrityChecks(), func(c *assess.Check) bool { return c.Name == name }) {
			t.Errorf("%s speaks on %d of %d honest days", name, on[name], days)
		}
	}
	t.Logf("a pattern of the record is asked about on %d of %d days", patterns, days)
	if 100*patterns > days {
		t.Errorf("a pattern of the record is asked about on %d of %d honest days, want one in a hundred at the most", patterns, days)
	}
	if 100*spoken > days {
		t.Errorf("a check speaks on %d of %d honest days, want one in a hundred at the most", spoken, days)
	}
}

// An honestOutcome is what the tool makes of a day.
type honestOutcome struct {
	faults       []string
	tests, fails int
	result       *assess.Result // where a check spoke
}

func outcomeOf(d *honestDay) (o honestOutcome) {
	fault := func(format string, args ...any) { o.faults = append(o.faults, fmt.Sprintf(format, args...)) }
	job, list, err := d.bind()
	if err != nil {
		fault("%v", err)
		return o
	}
	for _, m := range list.Sorted() {
		fault("reading: %s", m)
	}
	for _, h := range job.Note.Headings {
		if h.Column == "" {
			fault("the heading %q is none of ours", h.Text)
		}
	}
	r := assess.Run(job, check.All())
	if len(r.Lines) != len(d.tests) {
		fault("%d lines of %d tests", len(r.Lines), len(d.tests))
		return o
	}
	for i := range r.Lines {
		l, test := &r.Lines[i], d.tests[i]
		if a := l.Agreement; !d.mayBe(a, test) || len(l.Explanations()) > 0 {
			fault("test %s, written %q: %s, with %d explanations", test.number, l.Test.Recorded().Text, a, len(l.Explanations()))
		}
		if want := d.verdict(test); l.Verdict != want {
			fault("test %s, %s mg/m²: %s, want %s", test.number, d.density(test).FloatString(3), l.Verdict, want)
		}
		if l.Verdict == assess.Fail {
			o.fails++
		}
	}
	o.tests = len(d.tests)
	if len(r.Findings) > 0 {
		o.result = r
	}
	return o
}

// mayBe reports whether an agreement is one that the written value of a test
// may have. A void test and a blank on glass have none; a value of digits
// that the meter holds and does not show may need them.
func (d *honestDay) mayBe(a assess.Agreement, t *honestTest) bool {
	switch {
	case t.void || t.kind == "procedural blank":
		return a == assess.NotRecorded
	case t.held != nil:
		return a == assess.Agrees || a == assess.AgreesThroughUnseenDigits
	}
	return a == assess.Agrees
}
