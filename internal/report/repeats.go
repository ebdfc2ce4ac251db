package report

import (
	"strings"
	"sync"

	"saltline/internal/assess"
	"saltline/internal/record"
)

// Repeats are the tests of an area that a repeat beside the first spot would
// establish: not those that a better record mends, and not those that are
// part of a fail's own story, which says by itself what they need. A test
// that the log itself calls a fail stays held.
type repeats struct {
	standing *assess.Standing // that they are of
	count    int
	of       []kindred
}

// Kindred are tests that are not established for the same reasons, and their
// numbers.
type kindred struct {
	kind    int // by index.alike
	tests   []int
	numbers string
}

// A repeating holds the repeats of each area as it was last asked for: that of
// an area that stands as it did the day before need not be listed again.
type repeating struct {
	sync.Mutex
	areas map[string]*repeats
}

// repeats lists those of an area.
func (c *composer) repeats(s *assess.Standing) *repeats {
	key := record.Folded(s.Name)
	known := &c.index.repeating
	known.Lock()
	r := known.areas[key]
	known.Unlock()
	if r != nil && r.standing == s {
		return r
	}
	var tests []int
	for _, reason := range s.Reasons {
		if reason.Kind != assess.UnprovenTests {
			continue
		}
		for _, i := range reason.Tests {
			if c.index.traits[i]&(onPaper|ofAFail) == 0 {
				tests = append(tests, i)
			}
		}
	}
	r = &repeats{s, len(tests), c.kindreds(tests)}
	known.Lock()
	known.areas[key] = r
	known.Unlock()
	return r
}

// kindreds sorts tests by what stands against them, in the order in which each
// reason first stands.
func (c *composer) kindreds(tests []int) []kindred {
	var all []kindred
	at := map[int]int{}
	in := -1 // where the test before is, whose reasons are mostly those of the next
	for _, i := range tests {
		if kind := c.index.alike[i]; in < 0 || all[in].kind != kind {
			n, known := at[kind]
			if !known {
				n = len(all)
				at[kind] = n
				all = append(all, kindred{kind: kind})
			}
			in = n
		}
		all[in].tests = append(all[in].tests, i)
	}
	for n := range all {
		all[n].numbers = c.numbers(all[n].tests)
	}
	return all
}

// groupedByWhy names tests with what stands against them: "27 and 29 (F2)".
func (c *composer) groupedByWhy(tests []int) []string { return c.byWhy(c.kindreds(tests)) }

// byWhy is groupedByWhy. What is told apart by its reasons may read the same, as
// where they are findings of other days.
func (c *composer) byWhy(all []kindred) []string {
	var order []string
	groups := map[string][]kindred{}
	for _, k := range all {
		why := c.whyUnproven(k.tests[0])
		if groups[why] == nil {
			order = append(order, why)
		}
		groups[why] = append(groups[why], k)
	}
	var out []string
	for _, why := range order {
		s := groups[why][0].numbers
		if len(groups[why]) > 1 {
			var tests []int
			for _, k := range groups[why] {
				tests = append(tests, k.tests...)
			}
			s = c.numbers(tests)
		}
		if why != "" {
			s += " (" + why + ")"
		}
		out = append(out, s)
	}
	return out
}

// whyUnproven names the reasons why a test is not established: findings by
// their mark, and what the numbers alone leave open.
func (c *composer) whyUnproven(i int) string {
	kind := c.index.alike[i]
	why, known := c.why[kind]
	if !known {
		why = strings.Join(c.standsAgainst(&c.Result.Lines[i]), ", ")
		c.why[kind] = why
	}
	return why
}

func (c *composer) standsAgainst(l *assess.Line) []string {
	var why []string
	seen := map[string]bool{}
	add := func(s string) {
		if s != "" && !seen[s] {
			seen[s] = true
			why = append(why, s)
		}
	}
	for _, r := range l.Reasons() {
		add(c.reason(r))
	}
	for _, n := range l.Findings() {
		f := &c.Result.Findings[n]
		if f.Severity == assess.UnprovenPass || f.Severity == assess.VoidsTest {
			if mark := c.mark[f]; mark != "" {
				add(mark)
			} else {
				add(c.Words.Inside(c.findingTitle(f))) // of another day
			}
		}
	}
	return why
}
