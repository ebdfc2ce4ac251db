package assess

import (
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
)

// open finds the fails and settles the chain of each.
func (h *history) open() {
	all := make([]Chain, 0, len(h.counted(h.fails)))
	for n := range h.areas {
		first := len(all)
		for _, i := range h.areas[n].tests {
			k, failed := h.failed(i)
			if failed && h.counts(i) && !h.belongs(i) {
				all = append(all, Chain{Fail: i, ClearedBy: -1})
				h.chains[k] = &all[len(all)-1]
			}
		}
		h.opened[n] = all[first:len(all):len(all)]
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
// no new one.
func (h *history) belongs(i int) bool {
	l := h.link(i)
	return l.role == record.Retest && slices.ContainsFunc(l.of, func(n int) bool {
		return n != i && h.Lines[n].Verdict == Fail && !slices.Contains(h.link(n).of, i)
	})
}

// settle follows one chain through its retests.
func (h *history) settle(c *Chain) {
	if c.settled {
		return
	}
	c.settled = true
	h.inOrder(c.Retests)

	// Of the tests made since then: the last one above the limit, the last
	// of any kind, one within the limit that nothing stands against, and what
	// stands against the last one.
	fell, latest, passed := c.Fail, c.Fail, -1
	against := make([]Obstacle, 0, 2) // as most chains have: no treatment, and no adjacent tests
	for _, i := range c.Retests {
		latest = i
		switch h.Lines[i].Verdict {
		case Fail:
			c.FailedRetests++
			fell, passed, against = i, -1, append(against[:0], Obstacle{Kind: RetestFailed, Test: i})
		case Pass:
			if found := h.obstacles(c, fell, i); len(found) == 0 {
				passed, against = i, nil
			} else if passed < 0 {
				against = found
			}
		default:
			if passed < 0 && !h.superseded(i) {
				against = append(h.obstacles(c, fell, i), Obstacle{Kind: RetestNotEstablished, Test: i})
			}
		}
	}
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

// next adds what is missing after the last test of a chain: a retest where a
// treatment has followed it, a treatment where it was the last one above the
// limit.
func (h *history) next(c *Chain, fell, latest int, found []Obstacle) []Obstacle {
	switch {
	case h.treatedSince(c, latest):
		return append(found, Obstacle{Kind: NoRetest, Test: -1})
	case latest != fell:
		return found // what stands against the latest says enough
	case slices.ContainsFunc(c.Treatments, func(t *record.Treatment) bool { return !h.before(t, fell) }):
		return append(found, Obstacle{Kind: TreatmentEndUnknown, Test: -1})
	}
	return append(found, Obstacle{Kind: NoTreatment, Test: -1})
}

// inOrder sorts tests by time where the record gives the time of all of
// them; otherwise they stay in the order of the log.
func (h *history) inOrder(tests []int) {
	for _, i := range tests {
		if m := begun(h.Lines[i].Test); m.day.IsZero() || !m.hasMinutes {
			return
		}
	}
	slices.SortStableFunc(tests, func(i, j int) int {
		gap, _ := begun(h.Lines[j].Test).until(begun(h.Lines[i].Test))
		return int(max(-1, min(1, gap)))
	})
}

// obstacles are what keeps a retest within the limit from clearing its
// chain; fell is the last test above the limit before it.
func (h *history) obstacles(c *Chain, fell, retest int) []Obstacle {
	var found []Obstacle
	if kind, ok := h.untreated(c, fell, retest); ok && !h.confirmsDoubt(c, fell, retest) {
		found = append(found, Obstacle{Kind: kind, Test: retest})
	}
	for _, print := range []int{c.Fail, fell} {
		if kind, ok := footprint(h.Lines[print].Test, h.Lines[retest].Test); !ok {
			return append(found, Obstacle{Kind: kind, Test: retest})
		}
	}
	return found
}

// confirmsDoubt reports whether a test repeats a fail whose extraction was
// not valid and that has not failed since. Such a repeat shows that there
// was no fail, so neither treatment nor adjacent tests are asked for.
func (h *history) confirmsDoubt(c *Chain, fell, retest int) bool {
	return fell == c.Fail && h.Lines[fell].Doubtful && h.Lines[retest].Test.Kind.Val == record.Repeat
}

// besides adds the obstacles that the adjacent tests leave. An adjacent fail
// that has been cleared itself counts as within the limit; tests before the
// treatment count too, for they show how far the salt went.
func (h *history) besides(c *Chain, found []Obstacle) []Obstacle {
	within, before := 0, len(found)
	for _, i := range c.Adjacent {
		switch h.Lines[i].Verdict {
		case Pass:
			within++
		case Fail:
			n := h.chain(i)
			if n != nil {
				h.settle(n)
			}
			if n != nil && n.State == Cleared {
				within++
			} else {
				found = append(found, Obstacle{Kind: AdjacentFailed, Test: i})
			}
		default:
			if !h.superseded(i) {
				found = append(found, Obstacle{Kind: AdjacentNotEstablished, Test: i})
			}
		}
	}
	if within >= h.adjacent {
		return found[:before]
	}
	return append(found, Obstacle{Kind: TooFewAdjacent, Test: -1, Count: h.adjacent - within})
}
