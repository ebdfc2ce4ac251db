package assess

import (
	"slices"
	"strings"

	"saltline/internal/record"
	"saltline/internal/unit"
)

// A history is how the tests of a job hang together up to the end of a day:
// which repeats which, which was made because of which fail.
type history struct {
	*Course
	until   unit.Date     // the last day that counts; zero for all
	last    int           // the same as an ordinal
	links   map[int]*link // of the related tests
	repeats map[int][]int // the tests that repeat a test
	chains  []*Chain      // of the fails of the course, by their place there; nil where a fail begins none
	opened  [][]Chain     // the same by area
}

// A link is what a test was made for.
type link struct {
	role    record.TestKind // a repeat plays the part of what it repeats
	repeats int             // the test that it repeats; −1 for none
	of      []int           // for a retest or an adjacent test: the fails that it belongs to
}

func (c *Course) history(until unit.Date) *history {
	h := &history{
		Course:  c,
		until:   until,
		last:    ordinal(until),
		links:   make(map[int]*link),
		repeats: make(map[int][]int),
		chains:  make([]*Chain, len(c.fails)),
		opened:  make([][]Chain, len(c.areas)),
	}
	if until.IsZero() {
		h.last = never - 1
	}
	for _, i := range c.related {
		if !h.counts(i) {
			continue
		}
		if n := h.link(i).repeats; n >= 0 {
			h.repeats[n] = append(h.repeats[n], i)
		}
	}
	h.open()
	return h
}

// counts reports whether test i was made on steel and by the day in
// question. A test without a date is never left out.
func (h *history) counts(i int) bool { return h.days[i] <= h.last }

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
	t := h.Lines[i].Test
	if !isRelated(t) {
		return link{role: t.Kind.Val, repeats: -1}
	}
	if l := h.links[i]; l != nil {
		return *l
	}
	l := &link{role: t.Kind.Val, repeats: -1}
	h.links[i] = l // now, for tests may name each other in a ring
	switch t.Kind.Val {
	case record.Repeat:
		if named := h.named(i); len(named) > 0 {
			h.repeat(l, named[0])
		}
	case record.Retest, record.Adjacent:
		for _, n := range h.named(i) {
			l.of = appendNew(l.of, h.standsFor(n)...)
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
		l.role, l.of = what.role, what.of
	}
}

// standsFor are the fails that a test named by another stands for: those that
// it retests itself, else the test.
func (h *history) standsFor(n int) []int {
	l := h.link(n)
	if l.role == record.Retest && slices.ContainsFunc(l.of, func(i int) bool { return h.Lines[i].Verdict == Fail }) {
		return l.of
	}
	return []int{n}
}

// named are the tests that test i says it was made for.
func (h *history) named(i int) []int {
	text := h.Lines[i].Test.OfTest.Val
	if n, ok := h.numbered(text, i); ok {
		return []int{n}
	}
	var all []int
	for part := range strings.FieldsFuncSeq(text, isBetween) {
		if n, ok := h.numbered(part, i); ok {
			all = appendNew(all, n)
		}
	}
	return all
}

// numbered finds a test by its number for test i. Where a number stands more
// than once, the same area goes first, then the last one before i.
func (h *history) numbered(number string, i int) (int, bool) {
	best, found := 0, false
	here := fold(h.Lines[i].Test.Area.Val)
	better := func(a, b int) bool {
		if ha, hb := fold(h.Lines[a].Test.Area.Val) == here, fold(h.Lines[b].Test.Area.Val) == here; ha != hb {
			return ha
		}
		if (a < i) != (b < i) {
			return a < i
		}
		return (a > b) == (a < i)
	}
	for _, n := range h.numbers[fold(number)] {
		if n != i && h.counts(n) && (!found || better(n, best)) {
			best, found = n, true
		}
	}
	return best, found
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
	if v := h.Lines[i].Verdict; v == Pass || v == Fail {
		return false
	}
	for _, r := range h.repeats[i] {
		if r > i && h.established(r) {
			return true
		}
	}
	return false
}

func appendNew(list []int, values ...int) []int {
	for _, v := range values {
		if !slices.Contains(list, v) {
			list = append(list, v)
		}
	}
	return list
}
