package assess

import (
	"slices"

	"saltline/internal/record"
	"saltline/internal/unit"
)

// A history is how the tests of a job hang together up to the end of a day:
// which repeats which, which was made because of which fail.
type history struct {
	*Course
	last    int             // the last day that counts, as ordinal has it; endOfJob for all
	links   map[int]*link   // of the related tests
	repeats map[int][]int   // the tests that repeat a test in its area
	renewed map[int]bool    // whether a repeat established a test that has any
	vague   map[handed]bool // treatments that may have been made for another fail as well
	own     map[handed]bool // treatments that name a test of the chain
	chains  []*Chain        // of the fails of the course, by their place there; nil where a fail begins none
	opened  [][]Chain       // the same by area
	nothing []Obstacle      // see untouched
}

// A link is what a test was made for.
type link struct {
	role    record.TestKind // a repeat plays the part of what it repeats
	repeats int             // the test that it repeats; −1 for none
	of      []int           // for a retest or an adjacent test: the fails that it belongs to
	unclear bool            // it may just as well have been made for another test
}

func (c *Course) history(until unit.Date) *history {
	h := &history{
		Course:  c,
		last:    lastOf(until),
		links:   make(map[int]*link),
		repeats: make(map[int][]int),
		renewed: make(map[int]bool),
		vague:   make(map[handed]bool),
		own:     make(map[handed]bool),
		chains:  make([]*Chain, len(c.fails)),
		opened:  make([][]Chain, len(c.areas)),
	}
	for _, i := range c.related {
		if !h.counts(i) {
			continue
		}
		if n := h.link(i).repeats; n >= 0 && !h.elsewhere(n, i) {
			h.repeats[n] = append(h.repeats[n], i)
		}
	}
	h.open()
	return h
}

// counts reports whether test i was made on steel and by the day in
// question. A test without a date is never left out.
func (h *history) counts(i int) bool { return h.dayOf(i) <= h.last }

// failed is the place of test i among the fails; false where it is none.
func (h *history) failed(i int) (int, bool) {
	if h.Lines[i].Verdict != Fail {
		return 0, false
	}
	return slices.BinarySearch(h.fails, i)
}

// chain is the chain that test i begins, nil for none.
func (h *history) chain(i int) *Chain {
	if k, failed := h.failed(i); failed {
		return h.chains[k]
	}
	return nil
}

// link works out what test i was made for.
func (h *history) link(i int) link {
	line := &h.Lines[i]
	if !line.Kind().Related() {
		return link{role: line.Kind(), repeats: -1}
	}
	if l := h.links[i]; l != nil {
		return *l
	}
	l := &link{role: line.Kind(), repeats: -1}
	h.links[i] = l // now, for tests may name each other in a ring
	switch line.Kind() {
	case record.Repeat:
		if named := h.named(i); len(named) > 0 {
			l.unclear = named[0].unclear
			h.repeat(l, named[0].test)
		}
	case record.Retest, record.Adjacent:
		for _, r := range h.named(i) {
			l.of = appendNew(l.of, h.standsFor(r.test)...)
			l.unclear = l.unclear || r.unclear
		}
	}
	return *l
}

// repeat fills in the link of a repeat of test n. A repeat of a fail is a
// retest, whatever it is called; a repeat of a retest is one too.
func (h *history) repeat(l *link, n int) {
	l.repeats = n
	what := h.link(n)
	switch {
	case h.Lines[n].Verdict == Fail:
		l.role, l.of = record.Retest, h.standsFor(n)
	case what.role == record.Retest, what.role == record.Adjacent:
		l.role, l.of, l.unclear = what.role, what.of, l.unclear || what.unclear
	}
}

// standsFor are the fails that a test named by another stands for: those that
// it retests itself, else the test.
func (h *history) standsFor(n int) []int {
	if l := h.link(n); l.role == record.Retest {
		if h.Lines[n].Verdict == Fail && !h.belongs(n) {
			return []int{n}
		}
		if slices.ContainsFunc(l.of, func(i int) bool { return h.Lines[i].Verdict == Fail }) {
			return l.of
		}
	}
	return []int{n}
}

// established reports whether test i, or a repeat of it, came out as a pass
// or a fail.
func (h *history) established(i int) bool {
	if v := h.Lines[i].Verdict; v == Pass || v == Fail {
		return true
	}
	return h.superseded(i)
}

// superseded reports whether a repeat of test i established what i did not.
func (h *history) superseded(i int) bool {
	if v := h.Lines[i].Verdict; v == Pass || v == Fail || h.repeats[i] == nil {
		return false
	}
	if is, known := h.renewed[i]; known {
		return is
	}
	h.renewed[i] = false // meanwhile, for tests may repeat each other in a ring
	h.renewed[i] = slices.ContainsFunc(h.repeats[i], func(r int) bool { return h.follows(r, i) && h.established(r) })
	return h.renewed[i]
}

// follows reports whether test r was made after test i: by their times, or
// where these do not tell, by their places in the log.
func (h *history) follows(r, i int) bool {
	if gap, known := h.gap(i, r); known && gap != 0 {
		return gap > 0
	}
	return r > i
}

func appendNew(list []int, values ...int) []int {
	for _, v := range values {
		if !slices.Contains(list, v) {
			list = append(list, v)
		}
	}
	return list
}
