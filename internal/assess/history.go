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
	*Result
	until    unit.Date // the last day that counts; zero for all
	numbers  map[string][]int
	links    []link
	repeats  map[int][]int // the tests that repeat a test
	chains   map[int]*Chain
	adjacent int          // adjacent tests that a fail needs
	drying   unit.Minutes // from the end of a treatment to a retest
}

// A link is what a test was made for.
type link struct {
	done    bool
	role    record.TestKind // a repeat plays the part of what it repeats
	repeats int             // the test that it repeats; −1 for none
	of      []int           // for a retest or an adjacent test: the fails that it belongs to
}

func (r *Result) history(until unit.Date) *history {
	h := &history{
		Result:   r,
		until:    until,
		numbers:  make(map[string][]int),
		links:    make([]link, len(r.Lines)),
		repeats:  make(map[int][]int),
		chains:   make(map[int]*Chain),
		adjacent: int(r.Basis.Value(AdjacentTests)),
		drying:   unit.Minutes(r.Basis.Value(DryingTime)),
	}
	for i := range r.Lines {
		if key := fold(r.Lines[i].Test.Number.Val); key != "" && h.counts(i) {
			h.numbers[key] = append(h.numbers[key], i)
		}
	}
	for i := range r.Lines {
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
func (h *history) counts(i int) bool {
	t := h.Lines[i].Test
	return h.Lines[i].OfSteel() && (h.until.IsZero() || !t.Date.Known() || t.Date.Val.Compare(h.until) <= 0)
}

// link works out what test i was made for.
func (h *history) link(i int) *link {
	l := &h.links[i]
	if l.done {
		return l
	}
	t := h.Lines[i].Test
	*l = link{done: true, role: t.Kind.Val, repeats: -1}
	switch t.Kind.Val {
	case record.Repeat:
		if named := h.named(i); len(named) > 0 {
			h.repeat(l, named[0])
		}
	case record.Retest, record.Adjacent:
		for _, n := range h.named(i) {
			l.of = appendNew(l.of, h.fails(n)...)
		}
	}
	return l
}

// repeat fills in the link of a repeat of test n. A repeat of a fail is a
// retest, whatever it is called; a repeat of a retest is one too.
func (h *history) repeat(l *link, n int) {
	l.repeats = n
	what := h.link(n)
	switch {
	case h.Lines[n].Verdict == Fail:
		l.role, l.of = record.Retest, h.fails(n)
	case what.role == record.Retest, what.role == record.Adjacent:
		l.role, l.of = what.role, what.of
	}
}

// fails are the fails that a test named by another stands for: those that it
// retests itself, else the test.
func (h *history) fails(n int) []int {
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
	for _, part := range strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(",;/&+", r) }) {
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
		if n != i && (!found || better(n, best)) {
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
