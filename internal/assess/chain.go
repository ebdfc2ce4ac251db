package assess

import (
	"cmp"
	"slices"

	"saltline/internal/record"
)

// A Chain is one fail and what was done about it.
//
// It is cleared by a retest beside the prints that failed, after a treatment
// that has ended and dried, at or below the limit, with as many adjacent
// tests within the limit as the retest rule asks for. A second extraction on
// the same print reads lower by itself and clears nothing; nor does a value
// that is not established.
type Chain struct {
	Fail          int // index into Result.Lines
	State         ChainState
	settled       bool // it has been followed to its end
	Treatments    []*record.Treatment
	Retests       []int      // in the order in which they were made
	Adjacent      []int      // in the order of Result.Lines
	ClearedBy     int        // the retest that cleared it; −1 while it is open
	FailedRetests int        // from the third on the cause is to be looked for
	Obstacles     []Obstacle // why it is not cleared
}

// A ChainState says how far a fail has come. A treated fail is still an open
// one.
type ChainState uint8

const (
	Open ChainState = iota
	Treated
	Cleared
)

// CauseReview reports whether retests have failed three times: then water,
// washing, abrasive and pits are to be looked into, not the spot again.
func (c *Chain) CauseReview() bool { return c.FailedRetests >= 3 }

// An Obstacle is one reason why a chain is not cleared.
type Obstacle struct {
	Kind  ObstacleKind
	Test  int // the test that it concerns, index into Result.Lines; −1 for none
	Count int // adjacent tests that are missing
}

// An ObstacleKind names a reason why a fail is not cleared.
type ObstacleKind int

const (
	NoTreatment            ObstacleKind = iota // none is recorded since the last fail
	TreatmentEndUnknown                        // its end is not recorded
	TreatmentOrderUnknown                      // a date or time is missing: the retest may have come first
	RetestBeforeEnd                            // the treatment had not ended
	RetestTooSoon                              // it had ended, but not long enough ago to be dry
	NoRetest                                   // treated, and the record shows no retest since
	RetestFailed                               // above the limit again
	RetestNotEstablished                       // the retest proves no pass, or is void
	SameFootprint                              // the retest stands on the first print
	LocationUnknown                            // the record does not show that it stands beside it
	TooFewAdjacent                             // Count are missing
	AdjacentFailed                             // an adjacent test is an open fail itself
	AdjacentNotEstablished                     // an adjacent test proves no pass
	RetestBeforeFail                           // by its date and time the retest came first
	OtherArea                                  // the retest stands in another area
	ReferenceUnclear                           // the number that the test names stands on several
	TreatmentUnclear                           // the treatment names a number that stands on several fails
	TreatmentUnsaid                            // the record does not say what was done
	TreatmentOfOthers                          // the treatment names other tests, and not the fail
	RetestFar                                  // by its coordinates the retest does not stand beside the fail
	AdjacentOtherArea                          // an adjacent test stands in another area
	AdjacentFar                                // by its coordinates it is not adjacent
	AdjacentSamePrint                          // it stands on a print that is counted, or on that of the fail or a retest
)

// open finds the fails and settles the chain of each.
func (h *history) open() {
	for n := range h.areas {
		fails := h.counted(h.areas[n].fails)
		own := make([]Chain, 0, len(fails))
		for _, i := range fails {
			if k, _ := h.failed(i); !h.belongs(i) {
				own = append(own, Chain{Fail: i, ClearedBy: -1})
				h.chains[k] = &own[len(own)-1]
			}
		}
		h.opened[n] = slices.Clip(own)
	}
	for _, i := range h.related {
		if !h.counts(i) {
			continue
		}
		l := h.link(i)
		for _, n := range l.of {
			switch c := h.chain(n); {
			case c == nil || n == i:
			case l.role == record.Retest:
				c.Retests = append(c.Retests, i)
			case l.role == record.Adjacent:
				c.Adjacent = append(c.Adjacent, i)
			}
		}
	}
	h.treatments()
	for _, c := range h.chains {
		if c != nil {
			h.settle(c)
		}
	}
	for h.settleRings() {
	}
}

// settleRings settles the chains anew that wait for an adjacent fail which has
// been cleared since: fails that are adjacent to each other are followed one
// after the other. It reports whether one was cleared.
func (h *history) settleRings() bool {
	cleared := false
	for _, c := range h.chains {
		if c == nil || !slices.ContainsFunc(c.Obstacles, func(o Obstacle) bool {
			return o.Kind == AdjacentFailed && h.isCleared(o.Test)
		}) {
			continue
		}
		c.settled, c.FailedRetests, c.Obstacles = false, 0, nil
		h.settle(c)
		cleared = cleared || c.State == Cleared
	}
	return cleared
}

// isCleared reports whether test i began a chain that is cleared.
func (h *history) isCleared(i int) bool {
	c := h.chain(i)
	return c != nil && c.State == Cleared
}

// parted are the chains that are open and those that are cleared.
func parted(all []Chain) (open, cleared []Chain) {
	n := 0
	for k := range all {
		if all[k].State == Cleared {
			n++
		}
	}
	if n == 0 {
		return all, nil
	}
	open, cleared = make([]Chain, 0, len(all)-n), make([]Chain, 0, n)
	for k := range all {
		if all[k].State == Cleared {
			cleared = append(cleared, all[k])
		} else {
			open = append(open, all[k])
		}
	}
	return open, cleared
}

// belongs reports whether a failed test is a retest of another fail, and so
// no new one. In another area, by its time before that fail, or where it may be
// a retest of something else, it is a fail of its own.
func (h *history) belongs(i int) bool {
	l := h.link(i)
	return l.role == record.Retest && !l.unclear && slices.ContainsFunc(l.of, func(n int) bool {
		return n != i && h.Lines[n].Verdict == Fail && !h.elsewhere(n, i) && !h.precedes(i, n) && !slices.Contains(h.link(n).of, i)
	})
}

// settle follows one chain through its retests.
func (h *history) settle(c *Chain) {
	if c.settled {
		return
	}
	c.settled = true
	if c.Retests == nil && c.Adjacent == nil && c.Treatments == nil { // as of most fails of a long record
		c.Obstacles = h.untouched()
		return
	}
	h.inOrder(c.Retests)

	// Of the tests made since then: those above the limit, the last of any
	// kind, one within the limit that nothing stands against, and what stands
	// against the last one.
	fails, latest, passed := []int{c.Fail}, c.Fail, -1
	against := make([]Obstacle, 0, 2) // as most chains have: no treatment, and no adjacent tests
	for _, i := range c.Retests {
		if h.precedes(i, c.Fail) {
			against = append(against, Obstacle{Kind: RetestBeforeFail, Test: i})
			continue
		}
		latest = i
		switch h.Lines[i].Verdict {
		case Fail:
			c.FailedRetests++
			fails, passed, against = append(fails, i), -1, append(against[:0], Obstacle{Kind: RetestFailed, Test: i})
		case Pass:
			switch found := h.obstacles(c, fails, i); {
			case len(found) > 0:
				if passed < 0 {
					against = found
				}
			case passed < 0 || !h.confirmsDoubt(c, fails[len(fails)-1], passed): // that one needs nothing more
				passed, against = i, nil
			}
		default:
			if passed < 0 && !h.superseded(i) {
				against = append(h.obstacles(c, fails, i), Obstacle{Kind: RetestNotEstablished, Test: i})
			}
		}
	}
	fell := fails[len(fails)-1]
	if passed < 0 {
		against = h.next(c, fell, latest, against)
	}
	c.Obstacles = h.besides(c, against)
	switch {
	case passed >= 0 && (len(c.Obstacles) == 0 || h.confirmsDoubt(c, fell, passed)):
		c.State, c.ClearedBy, c.Obstacles = Cleared, passed, nil
	case passed >= 0 || h.treatedSince(c, fell):
		c.State = Treated
	}
}

// untouched is what keeps a fail from being cleared about which nothing was
// done. The chains of all such fails share it.
func (h *history) untouched() []Obstacle {
	if h.nothing == nil {
		h.nothing = append(h.nothing, Obstacle{Kind: NoTreatment, Test: -1})
		if h.adjacent > 0 {
			h.nothing = append(h.nothing, Obstacle{Kind: TooFewAdjacent, Test: -1, Count: h.adjacent})
		}
		h.nothing = slices.Clip(h.nothing)
	}
	return h.nothing
}

// next adds what is missing after the last test of a chain: a retest where a
// treatment has followed it, a treatment where it was the last one above the
// limit.
func (h *history) next(c *Chain, fell, latest int, found []Obstacle) []Obstacle {
	switch {
	case h.treatedSince(c, latest):
		return append(found, Obstacle{Kind: NoRetest, Test: -1})
	case latest != fell:
		return found // what stands against the latest says enough
	}
	kind := NoTreatment
	for _, t := range c.Treatments {
		doubt, doubted := h.doubt(c, t)
		switch {
		case h.before(t, fell):
		case !doubted:
			kind = TreatmentEndUnknown
		case kind == NoTreatment:
			kind = doubt
		}
	}
	return append(found, Obstacle{Kind: kind, Test: -1})
}

// inOrder sorts tests by day where the record gives the day of all of them,
// and those of a day by time where it gives the time of all of these;
// otherwise they stay in the order of the log.
func (h *history) inOrder(tests []int) {
	if slices.ContainsFunc(tests, func(i int) bool { return h.dayOf(i) == always }) {
		return
	}
	slices.SortStableFunc(tests, func(i, j int) int { return cmp.Compare(h.dayOf(i), h.dayOf(j)) })
	for from := 0; from < len(tests); {
		to := from + 1
		for to < len(tests) && h.dayOf(tests[to]) == h.dayOf(tests[from]) {
			to++
		}
		day := tests[from:to]
		if !slices.ContainsFunc(day, func(i int) bool { return !begun(h.Lines[i].Test).hasMinutes }) {
			slices.SortStableFunc(day, func(i, j int) int {
				return cmp.Compare(begun(h.Lines[i].Test).minutes, begun(h.Lines[j].Test).minutes)
			})
		}
		from = to
	}
}

// obstacles are what keeps a retest within the limit from clearing its
// chain; fails are the tests of it above the limit until then.
func (h *history) obstacles(c *Chain, fails []int, retest int) []Obstacle {
	var found []Obstacle
	against := func(kind ObstacleKind) { found = append(found, Obstacle{Kind: kind, Test: retest}) }
	if h.link(retest).unclear {
		against(ReferenceUnclear)
	}
	if h.elsewhere(c.Fail, retest) {
		against(OtherArea)
	}
	if kind, ok := h.untreated(c, fails, retest); ok && !h.confirmsDoubt(c, fails[len(fails)-1], retest) {
		against(kind)
	}
	if kind, ok := h.onPrint(c, retest); ok {
		against(kind)
	}
	return found
}

// onPrint says how a retest stands to the prints of its spot: that of the
// fail, and those of the retests before it. A void test is repeated within a
// patch's width, and may bear the same location.
func (h *history) onPrint(c *Chain, retest int) (ObstacleKind, bool) {
	if offsetOf(h.Lines[c.Fail].Test, h.Lines[retest].Test).metres > reach {
		return RetestFar, true
	}
	for _, print := range slices.Concat([]int{c.Fail}, c.Retests[:slices.Index(c.Retests, retest)]) {
		if h.Lines[print].Verdict == Void {
			continue
		}
		if kind, beside := footprint(h.Lines[print].Test, h.Lines[retest].Test); !beside {
			return kind, true
		}
	}
	return 0, false
}

// confirmsDoubt reports whether a test repeats a fail whose extraction was
// not valid and that has not failed since. Such a repeat shows that there
// was no fail, so neither treatment nor adjacent tests are asked for.
func (h *history) confirmsDoubt(c *Chain, fell, retest int) bool {
	return fell == c.Fail && h.Lines[fell].Doubtful && h.Lines[retest].Kind() == record.Repeat
}
