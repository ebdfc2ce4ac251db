package slip

import (
	"cmp"
	"slices"

	"saltline/internal/crew"
)

// A Pattern is a slip that most rows of a sheet share. Such a slip sits in a
// formula; a slip of single rows was made while copying.
type Pattern struct {
	Name   string
	Detail string // as in Explanation
	Rows   int    // rows that it explains
	Of     int    // rows on which it would show
}

// A pattern is called systematic from so many rows, and so large a part.
const (
	patternRows  = 4
	patternShare = 80 // %
)

// An Explained row is one whose recorded value does not agree, with every
// slip that explains it.
type Explained struct {
	Row int
	By  []Explanation
}

// Sheet explains the rows of one sheet that do not agree, in their order, and
// finds the patterns. In each row the explanations by a pattern come first;
// the others keep the order of Explain. Rows are asked side by side.
func Sheet(rows Rows) ([]Explained, []Pattern) {
	h := newSheet(rows)
	explained := slices.Concat(crew.Gather(rows.Len(), func(from, to int) (some []Explained) {
		for i := from; i < to; i++ {
			if agrees, known := rows.Agrees(i); known && !agrees {
				some = append(some, Explained{i, h.explain(i)})
			}
		}
		return some
	})...)
	patterns := h.systematic(explained)
	for _, e := range explained {
		slices.SortStableFunc(e.By, func(a, b Explanation) int {
			return cmp.Compare(rank(patterns, a), rank(patterns, b))
		})
	}
	return explained, patterns
}

// rank is the place of the pattern that e belongs to, after all for none.
func rank(patterns []Pattern, e Explanation) int {
	for i, p := range patterns {
		if p.Name == e.Name && p.Detail == e.Detail {
			return i
		}
	}
	return len(patterns)
}

// systematic gives the slips that explain at least four rows, and at least
// 80 % of those on which they would show, the most frequent first. A row that
// agrees does not speak against a slip that would change nothing in it, such
// as a blank not subtracted where the blank is 0. Slips of the keyboard are
// never systematic.
func (h *sheet) systematic(explained []Explained) []Pattern {
	var patterns []Pattern
	for _, p := range count(explained) {
		if p.Rows < patternRows {
			continue
		}
		p.Of = len(explained)
		for i := 0; i < h.Len() && p.most(); i++ { // more rows make it no more
			if agrees, _ := h.Agrees(i); !agrees {
				continue
			}
			if s, ok := h.search(i); ok && !s.unseen(p) {
				p.Of++
			}
		}
		if p.most() {
			patterns = append(patterns, p)
		}
	}
	slices.SortStableFunc(patterns, func(a, b Pattern) int { return cmp.Compare(b.Rows, a.Rows) })
	return patterns
}

func (p Pattern) most() bool { return 100*p.Rows >= patternShare*p.Of }

// count counts the rows of each slip, in the order of the slips.
func count(explained []Explained) []Pattern {
	rows := map[Pattern]int{} // by Name and Detail
	for _, row := range explained {
		for k, e := range row.By {
			same := func(o Explanation) bool { return o.Name == e.Name && o.Detail == e.Detail }
			if e.Kind != Keying && !slices.ContainsFunc(row.By[:k], same) {
				rows[Pattern{Name: e.Name, Detail: e.Detail}]++
			}
		}
	}
	var counts []Pattern
	for _, s := range slips {
		var ofSlip []Pattern
		for key, n := range rows {
			if key.Name == s.Name {
				ofSlip = append(ofSlip, Pattern{Name: key.Name, Detail: key.Detail, Rows: n})
			}
		}
		slices.SortFunc(ofSlip, func(a, b Pattern) int { return cmp.Compare(a.Detail, b.Detail) })
		counts = append(counts, ofSlip...)
	}
	return counts
}

// unseen reports whether the slip of p gives the recorded value of a row that
// agrees: made or not, it would not show.
func (s *search) unseen(p Pattern) bool {
	at := slices.IndexFunc(slips, func(s Slip) bool { return s.Name == p.Name })
	s.slip, s.found = &slips[at], nil
	s.slip.try(s)
	return slices.ContainsFunc(s.found, func(e Explanation) bool { return e.Detail == p.Detail })
}
