package assess

import (
	"cmp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"saltline/internal/record"
	"saltline/internal/unit"
)

// A Reference is what a repeat, a retest or an adjacent test was taken to
// name, where the number stands on more than one test.
type Reference struct {
	Test, Of int   // indexes into Result.Lines
	Others   []int // that bear the number too, in the order of Result.Lines
	Unclear  bool  // another may be meant just as well: it clears nothing
}

// References lists the references to a number that several tests bear, in the
// order of the log.
func (c *Course) References() []Reference {
	if len(c.related) == 0 {
		return nil
	}
	h := c.history(unit.Date{})
	var all []Reference
	for _, i := range c.related {
		for _, r := range h.named(i) {
			others := slices.DeleteFunc(slices.Clone(h.numbers[r.number]), func(n int) bool { return n == i || n == r.test })
			if len(others) > 0 {
				all = append(all, Reference{i, r.test, others, r.unclear})
			}
		}
	}
	return all
}

// A reference is the test that another one names.
type reference struct {
	test    int
	unclear bool   // another may be meant just as well
	number  string // folded
}

// named are the tests that test i says it was made for: what is written as a
// whole, where a test has it for its number, else its parts.
func (h *history) named(i int) []reference {
	text := h.Lines[i].Test.OfTest().Val
	if r, ok := h.refer(text, i); ok {
		return []reference{r}
	}
	var all []reference
	for number := range strings.FieldsFuncSeq(text, IsBetween) {
		r, ok := h.refer(number, i)
		if ok && !slices.ContainsFunc(all, func(other reference) bool { return other.test == r.test }) {
			all = append(all, r)
		}
	}
	return all
}

// refer finds the test that test i names by a number.
//
// A number may stand on more than one test, as where the count begins anew on
// each day or in each area. Meant is then one of the same area; one that was
// not made after i; one that a test of this kind is made for, as a fail is for
// a retest; one whose location i repeats; and of these the nearest before i.
// Where two are left of the same day, or a day is not known, the reference is
// unclear.
func (h *history) refer(number string, i int) (reference, bool) {
	var few [4]int
	meant := few[:0]
	var least [3]int
	number = record.Folded(number)
	for _, n := range h.numbers[number] {
		if n == i || !h.counts(n) {
			continue
		}
		switch far := h.farness(n, i); {
		case len(meant) == 0 || slices.Compare(far[:], least[:]) < 0:
			meant, least = append(meant[:0], n), far
		case far == least:
			meant = append(meant, n)
		}
	}
	if len(meant) == 0 {
		return reference{}, false
	}
	if len(meant) > 1 {
		here := record.Folded(h.Lines[i].Test.Location().Val)
		if there := slices.DeleteFunc(slices.Clone(meant), func(n int) bool {
			return !begins(here, record.Folded(h.Lines[n].Test.Location().Val))
		}); len(there) > 0 {
			meant = there
		}
	}
	best := slices.MinFunc(meant, func(a, b int) int { return h.nearer(a, b, i) })
	unclear := slices.ContainsFunc(meant, func(n int) bool {
		return n != best && (h.dayOf(n) >= h.dayOf(best) || h.dayOf(n) == always)
	})
	return reference{best, unclear, number}, true
}

// farness tells how far test n is from being the one that test i names: by
// its area, its time, and what became of it. The least goes first.
func (h *history) farness(n, i int) (far [3]int) {
	if h.area(n) != h.area(i) {
		far[0] = 1
		if h.elsewhere(n, i) {
			far[0] = 2
		}
	}
	if h.precedes(i, n) {
		far[1] = 1
	}
	l := &h.Lines[n]
	void := l.Verdict == Void || l.Verdict == NotEstablished || l.Doubtful
	switch repeat := h.Lines[i].Kind() == record.Repeat; {
	case repeat && void, !repeat && l.Verdict == Fail:
	case repeat && l.Verdict == Fail, !repeat && l.Kind().Related():
		far[2] = 1
	default:
		far[2] = 2
	}
	return far
}

// nearer compares two tests by how near they come before test i: by their
// order to it, which is that of the log where no times tell, then by their
// days, their times and their places in the log.
func (h *history) nearer(a, b, i int) int {
	behind := func(n int) int {
		if gap, known := h.gap(n, i); known && gap > 0 || n < i && (!known || gap == 0) {
			return 0
		}
		return 1
	}
	last := cmp.Or(cmp.Compare(behind(a), behind(b)), cmp.Compare(h.dayOf(b), h.dayOf(a)))
	if gap, known := h.gap(a, b); last == 0 && known {
		last = cmp.Compare(gap, 0)
	}
	return cmp.Or(last, cmp.Compare(max(a-i, i-a), max(b-i, i-b)))
}

// gap is the time from the beginning of test n to that of test i; false where
// the record does not tell.
func (h *history) gap(n, i int) (float64, bool) {
	gap, known := begun(h.Lines[n].Test).until(begun(h.Lines[i].Test))
	return float64(gap), known
}

// precedes reports whether a test is known to have been made before another.
func (h *history) precedes(i, n int) bool {
	gap, known := h.gap(i, n)
	return known && gap > 0
}

// area is the folded name of the area of a test.
func (c *Course) area(i int) string { return record.Folded(c.Lines[i].Test.Area().Val) }

// elsewhere reports whether two tests name different areas. One that names
// none may be of any.
func (h *history) elsewhere(a, b int) bool {
	here, there := h.area(a), h.area(b)
	return here != there && here != "" && there != ""
}

// begins reports whether a location begins with another, word by word:
// "frame 9 left" does with "frame 9", "frame 91" does not.
func begins(location, with string) bool {
	rest, ok := strings.CutPrefix(location, with)
	if !ok || with == "" {
		return false
	}
	r, _ := utf8.DecodeRuneInString(rest)
	return rest == "" || !unicode.IsLetter(r) && !unicode.IsDigit(r)
}
