package report

import (
	"encoding/binary"
	"strings"
	"sync"

	"saltline/internal/assess"
	"saltline/internal/record"
)

// Unproven are tests that are not established, by what stands against them. The
// reports of several days may share them.
type unproven struct {
	count int
	kinds [][]int // tests of one kind of index.alike each, in the order in which the first of each stands

	naming sync.Mutex
	named  map[string]string // the numbers of the tests of some kinds
}

// Repeats are the tests to be repeated of an area as it stood when they were last
// asked for: those of an area that stands as it did the day before need not be
// listed again.
type repeats struct {
	standing *assess.Standing
	tests    *unproven
}

// repeats lists the tests of an area that a repeat beside the first spot would
// establish: not those that a better record mends, and not those that are
// part of a fail's own story, which says by itself what they need. A test
// that the log itself calls a fail stays held.
func (c *composer) repeats(s *assess.Standing) *unproven {
	key := record.Folded(s.Name)
	if known, is := c.index.repeats.Load(key); is && known.(repeats).standing == s {
		return known.(repeats).tests
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
	all := c.byReasons(tests)
	c.index.repeats.Store(key, repeats{s, all})
	return all
}

// byReasons sorts tests by what stands against them.
func (c *composer) byReasons(tests []int) *unproven {
	all := &unproven{count: len(tests), named: make(map[string]string)}
	at := map[int]int{}
	in, kind := -1, -1 // of the test before, whose reasons are mostly those of the next
	for _, i := range tests {
		if is := c.index.alike[i]; is != kind {
			kind = is
			n, known := at[kind]
			if !known {
				n = len(all.kinds)
				at[kind] = n
				all.kinds = append(all.kinds, nil)
			}
			in = n
		}
		all.kinds[in] = append(all.kinds[in], i)
	}
	return all
}

// numbersOf names the tests of some of the kinds.
func (c *composer) numbersOf(all *unproven, kinds []int) string {
	var key []byte
	for _, k := range kinds {
		key = binary.AppendUvarint(key, uint64(k))
	}
	all.naming.Lock()
	defer all.naming.Unlock()
	numbers, known := all.named[string(key)]
	if !known {
		var tests []int
		for _, k := range kinds {
			tests = append(tests, all.kinds[k]...)
		}
		numbers = c.numbers(tests)
		all.named[string(key)] = numbers
	}
	return numbers
}

// groupedByWhy names tests with what stands against them: "27 and 29 (F2)". Those
// that are told apart by their reasons may read the same, as where the reasons
// are findings of other days.
func (c *composer) groupedByWhy(all *unproven) []string {
	var order []string
	groups := map[string][]int{}
	for k, tests := range all.kinds {
		why := c.whyUnproven(tests[0])
		if groups[why] == nil {
			order = append(order, why)
		}
		groups[why] = append(groups[why], k)
	}
	var out []string
	for _, why := range order {
		s := c.numbersOf(all, groups[why])
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
