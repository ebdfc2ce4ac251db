package assess

import (
	"slices"

	"saltline/internal/record"
)

// treatments hands every treatment to the chains that it was made for: by
// the tests that it names, and by the retests that name it.
func (h *history) treatments() {
	byName := make(map[string][]*Chain)
	for _, t := range h.treated {
		if !h.counts(t.test) {
			continue
		}
		for _, n := range append([]int{t.test}, h.link(t.test).of...) {
			if c := h.chain(n); c != nil {
				byName[t.treatment] = append(byName[t.treatment], c)
			}
		}
	}
	for k := range h.Job.Treatments {
		t := &h.Job.Treatments[k]
		if !h.until.IsZero() && t.Date.Known() && t.Date.Val.Compare(h.until) > 0 {
			continue
		}
		chains := byName[fold(t.Name.Val)]
		for _, number := range t.OfTests.Val {
			for _, i := range h.numbers[fold(number)] {
				if !h.counts(i) {
					continue
				}
				for _, n := range h.standsFor(i) {
					if c := h.chain(n); c != nil {
						chains = append(chains, c)
					}
				}
			}
		}
		for _, c := range chains {
			if !slices.Contains(c.Treatments, t) {
				c.Treatments = append(c.Treatments, t)
			}
		}
	}
}

// untreated says why no treatment lies between the last fail and a retest;
// false where one does.
func (h *history) untreated(c *Chain, fell, retest int) (ObstacleKind, bool) {
	nearest := NoTreatment
	for _, t := range c.Treatments {
		if h.before(t, fell) {
			continue
		}
		begin := begun(h.Lines[retest].Test)
		if gap, ok := treatmentBegun(t).until(begin); ok && gap < 0 {
			continue // a treatment after the retest
		}
		end := treatmentEnded(t)
		gap, ok := end.until(begin)
		var kind ObstacleKind
		switch {
		case !ok && !end.hasMinutes:
			kind = TreatmentEndUnknown
		case !ok:
			kind = TreatmentOrderUnknown
		case gap < 0:
			kind = RetestBeforeEnd
		case gap < h.drying:
			kind = RetestTooSoon
		default:
			return 0, false
		}
		nearest = max(nearest, kind)
	}
	return nearest, true
}

// before reports whether a treatment is known to have ended before a test
// began, so that it was no treatment of what that test found.
func (h *history) before(t *record.Treatment, test int) bool {
	gap, ok := treatmentEnded(t).until(begun(h.Lines[test].Test))
	return ok && gap >= 0
}

// treatedSince reports whether a treatment has ended since a test.
func (h *history) treatedSince(c *Chain, since int) bool {
	return slices.ContainsFunc(c.Treatments, func(t *record.Treatment) bool {
		end := treatmentEnded(t)
		return !h.before(t, since) && (end.hasMinutes || !h.until.IsZero() && !end.day.IsZero() && end.day.Compare(h.until) < 0)
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
