package assess

import (
	"slices"

	"saltline/internal/record"
	"saltline/internal/unit"
)

// A handed treatment is one as it was handed to a chain.
type handed struct {
	chain     *Chain
	treatment *record.Treatment
}

// treatments hands every treatment to the chains that it was made for: by
// the tests that it names, and by the tests that name it.
func (h *history) treatments() {
	byName := make(map[string][]*Chain)
	for _, t := range h.treated {
		if !h.counts(t.test) {
			continue
		}
		for _, n := range append([]int{t.test}, h.link(t.test).of...) {
			if c := h.chain(n); c != nil && !h.elsewhere(n, t.test) {
				byName[t.treatment] = append(byName[t.treatment], c)
			}
		}
	}
	for k := range h.Job.Treatments {
		t := &h.Job.Treatments[k]
		if t.Date.Known() && ordinal(t.Date.Val) > h.last {
			continue
		}
		named := byName[record.Folded(t.Name.Val)]
		for _, c := range named {
			h.hand(t, c, false)
		}
		for _, number := range t.OfTests.Val {
			meant := h.meant(t, number, named)
			for _, c := range meant {
				h.hand(t, c, len(meant) > 1)
				h.own[handed{c, t}] = true
			}
		}
	}
}

// hand adds a treatment to a chain. It is vague where nothing tells that it
// was this chain's and not another's. Treatments are handed one after the other:
// a chain that has this one has it last.
func (h *history) hand(t *record.Treatment, c *Chain, vague bool) {
	n := len(c.Treatments)
	had := n > 0 && c.Treatments[n-1] == t
	if !had {
		c.Treatments = append(c.Treatments, t)
	}
	switch {
	case !vague:
		delete(h.vague, handed{c, t})
	case !had:
		h.vague[handed{c, t}] = true
	}
}

// ofOthers reports whether a treatment of a chain names tests, and none of the
// chain.
func (h *history) ofOthers(c *Chain, t *record.Treatment) bool {
	return len(t.OfTests.Val) > 0 && !h.own[handed{c, t}]
}

// doubt says why a treatment cannot be taken for one of a chain, whenever it
// was; false where nothing stands against it.
func (h *history) doubt(c *Chain, t *record.Treatment) (ObstacleKind, bool) {
	switch {
	case h.vague[handed{c, t}]:
		return TreatmentUnclear, true
	case h.ofOthers(c, t):
		return TreatmentOfOthers, true
	case !saysWhat(t.What.Val) && treatmentEnded(t).hasMinutes: // without an end that is missing first
		return TreatmentUnsaid, true
	}
	return 0, false
}

// meant are the chains that a treatment may have been made for by a number
// that it names; several where the record does not tell which.
//
// A number may stand on several fails, and a treatment has no area. Meant are
// those that tests hang on it by its name; else those not found after it; else
// those of the nearest day before.
func (h *history) meant(t *record.Treatment, number string, named []*Chain) []*Chain {
	type root struct {
		chain *Chain
		test  int // that bears the number
	}
	var roots []root
	for _, i := range h.numbers[record.Folded(number)] {
		if !h.counts(i) {
			continue
		}
		if c := h.chain(i); c != nil {
			roots = append(roots, root{c, i})
			continue
		}
		for _, n := range h.standsFor(i) {
			if c := h.chain(n); c != nil {
				roots = append(roots, root{c, i})
			}
		}
	}
	narrow := func(keep func(root) bool) {
		if kept := slices.DeleteFunc(slices.Clone(roots), func(r root) bool { return !keep(r) }); len(kept) > 0 {
			roots = kept
		}
	}
	if len(roots) > 1 {
		narrow(func(r root) bool { return slices.Contains(named, r.chain) })
		narrow(func(r root) bool { return !h.before(t, r.test) })
		nearest := 0
		for _, r := range roots {
			nearest = max(nearest, h.dayOf(r.test))
		}
		narrow(func(r root) bool { return h.dayOf(r.test) == nearest || h.dayOf(r.test) == always })
	}
	var chains []*Chain
	for _, r := range roots {
		if !slices.Contains(chains, r.chain) {
			chains = append(chains, r.chain)
		}
	}
	return chains
}

// untreated says why no treatment lies between the last fail of a chain and a
// retest; false where one does.
func (h *history) untreated(c *Chain, fails []int, retest int) (ObstacleKind, bool) {
	nearest, least := NoTreatment, -1
	begin := begun(h.Lines[retest].Test)
	for _, t := range c.Treatments {
		if slices.ContainsFunc(fails, func(fell int) bool { return h.before(t, fell) }) {
			continue
		}
		if gap, ok := treatmentBegun(t).until(begin); ok && gap < 0 {
			continue // a treatment after the retest
		}
		kind, progress := h.progress(c, t, fails[len(fails)-1], begin)
		if progress == dry {
			return 0, false
		}
		if progress > least {
			nearest, least = kind, progress
		}
	}
	return nearest, true
}

// dry is the progress of a treatment that has been followed to its end.
const dry = 6

// progress says what is missing for a treatment to lie between a fail and a
// retest that began at a moment, and how far it had come.
func (h *history) progress(c *Chain, t *record.Treatment, fell int, begin moment) (ObstacleKind, int) {
	end := treatmentEnded(t)
	gap, ok := end.until(begin)
	sure := true
	if ok && !end.hasMinutes && begin.hasMinutes { // it may have gone on to the end of its day
		const day = 24 * 60
		gap = unit.Minutes(float64(begin.day.Since(end.day)-1)*day + begin.minutes)
		sure = gap >= h.drying
	}
	switch {
	case h.vague[handed{c, t}]:
		return TreatmentUnclear, 0
	case h.ofOthers(c, t):
		return TreatmentOfOthers, 0
	case !ok && !end.hasMinutes:
		return TreatmentEndUnknown, 1
	case !ok, !sure, !h.answers(c, t, fell):
		return TreatmentOrderUnknown, 2
	case gap < 0:
		return RetestBeforeEnd, 3
	case gap < h.drying:
		return RetestTooSoon, 4
	case !saysWhat(t.What.Val):
		return TreatmentUnsaid, 5
	}
	return 0, dry
}

// before reports whether a treatment had ended by the time that a test had
// found what it found, so that it was no treatment of that. Where the times do
// not tell, a retest that names a treatment was made after it.
func (h *history) before(t *record.Treatment, test int) bool {
	if gap, ok := treatmentEnded(t).until(finished(h.Lines[test].Test)); ok {
		return gap >= 0
	}
	named := h.Lines[test].Test.Treatment().Val
	return h.link(test).role == record.Retest && record.Folded(named) != "" && record.Folded(named) == record.Folded(t.Name.Val)
}

// answers reports whether a treatment was made because of what a test above
// the limit found: by its time, or where this does not tell because it names
// the test, or the fail with which the chain begins.
func (h *history) answers(c *Chain, t *record.Treatment, fell int) bool {
	if _, ok := treatmentEnded(t).until(finished(h.Lines[fell].Test)); ok {
		return !h.before(t, fell)
	}
	return fell == c.Fail || slices.ContainsFunc(t.OfTests.Val, func(number string) bool {
		return record.Folded(number) == record.Folded(h.Lines[fell].Test.Number().Val)
	})
}

// treatedSince reports whether a treatment has ended since a test.
func (h *history) treatedSince(c *Chain, since int) bool {
	return slices.ContainsFunc(c.Treatments, func(t *record.Treatment) bool {
		end := treatmentEnded(t)
		_, doubted := h.doubt(c, t)
		return !h.before(t, since) && !doubted && saysWhat(t.What.Val) &&
			(end.hasMinutes || h.last != endOfJob && !end.day.IsZero() && ordinal(end.day) < h.last)
	})
}

// SinceFail are the retests made since the last test of the chain that was
// above the limit.
func (c *Chain) SinceFail(r *Result) []int {
	for k := len(c.Retests) - 1; k >= 0; k-- {
		if r.Lines[c.Retests[k]].Verdict == Fail {
			return c.Retests[k+1:]
		}
	}
	return c.Retests
}
