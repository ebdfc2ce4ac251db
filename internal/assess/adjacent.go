package assess

import (
	"slices"

	"saltline/internal/record"
)

// besides adds the obstacles that the adjacent tests leave. An adjacent fail
// that has been cleared itself counts as within the limit; tests before the
// treatment count too, for they show how far the salt went.
func (h *history) besides(c *Chain, found []Obstacle) []Obstacle {
	before := len(found)
	var counted []int // the tests within the limit that count
	spread := h.spread(c)
	count := func(i int) {
		if !h.neighbour(c, i) || slices.ContainsFunc(counted, func(n int) bool { return h.root(n) == h.root(i) }) {
			return
		}
		if kind, stands := h.misplaced(c, spread, counted, i); stands {
			found = append(found, Obstacle{Kind: kind, Test: i})
			return
		}
		counted = append(counted, i)
	}
	for _, i := range c.Adjacent {
		switch h.Lines[i].Verdict {
		case Pass:
			if h.link(i).unclear {
				found = append(found, Obstacle{Kind: ReferenceUnclear, Test: i})
			} else {
				count(i)
			}
		case Fail:
			if n := h.chain(i); n != nil {
				h.settle(n)
			}
			if h.isCleared(i) {
				count(i)
			} else {
				found = append(found, Obstacle{Kind: AdjacentFailed, Test: i})
			}
		default:
			if !h.superseded(i) {
				found = append(found, Obstacle{Kind: AdjacentNotEstablished, Test: i})
			}
		}
	}
	if len(counted) >= h.adjacent {
		return found[:before]
	}
	return append(found, Obstacle{Kind: TooFewAdjacent, Test: -1, Count: h.adjacent - len(counted)})
}

// neighbour reports whether an adjacent test within the limit counts towards
// those that a chain needs. One made before the fail was not made because of
// it, and one on the same print shows nothing of the steel beside it.
func (h *history) neighbour(c *Chain, i int) bool {
	return !h.precedes(i, c.Fail) && !says(record.Folded(h.Lines[i].Test.Remark().Val), sameWords)
}

// root is the test that began a row of repeats.
func (h *history) root(i int) int {
	for range h.related { // tests may repeat each other in a ring
		n := h.link(i).repeats
		if n < 0 {
			break
		}
		i = n
	}
	return i
}

// misplaced says why the place of an adjacent test keeps it from being
// counted; false where nothing does. Of two on one print the first counts,
// whatever their remarks say, for beside the fail is not beside each other.
func (h *history) misplaced(c *Chain, spread, counted []int, i int) (ObstacleKind, bool) {
	t := h.Lines[i].Test
	on := func(n int) bool { return samePrint(h.Lines[n].Test, t) }
	switch {
	case h.elsewhere(c.Fail, i):
		return AdjacentOtherArea, true
	case h.far(spread, i):
		return AdjacentFar, true
	case slices.ContainsFunc(counted, on):
		return AdjacentSamePrint, true
	case says(record.Folded(t.Remark().Val), besideWords):
		return 0, false
	case on(c.Fail), slices.ContainsFunc(c.Retests, func(n int) bool { return h.Lines[n].Verdict != Void && on(n) }):
		return AdjacentSamePrint, true
	}
	return 0, false
}

// spread is the fail of a chain with the adjacent fails around it as far as
// coordinates show them: the ground to be tested grows with each of them.
func (h *history) spread(c *Chain) []int {
	spread := []int{c.Fail}
	for grown := true; grown; {
		grown = false
		for _, i := range c.Adjacent {
			if h.Lines[i].Verdict != Fail || slices.Contains(spread, i) {
				continue
			}
			if slices.ContainsFunc(spread, func(n int) bool {
				o := offsetOf(h.Lines[n].Test, h.Lines[i].Test)
				return o.measured && o.metres <= reach
			}) {
				spread, grown = append(spread, i), true
			}
		}
	}
	return spread
}

// far reports whether a test is known to stand farther than the reach from
// each of some others of which the coordinates tell.
func (h *history) far(from []int, i int) bool {
	known := false
	for _, n := range from {
		switch o := offsetOf(h.Lines[n].Test, h.Lines[i].Test); {
		case !o.measured:
		case o.metres <= reach:
			return false
		default:
			known = true
		}
	}
	return known
}

// samePrint reports whether two tests stand on one print: by their coordinates,
// or where these do not tell by their location.
func samePrint(a, b *record.Test) bool {
	o := offsetOf(a, b)
	here := record.Folded(a.Location().Val)
	return o.same || !o.apart && here != "" && here == record.Folded(b.Location().Val)
}
