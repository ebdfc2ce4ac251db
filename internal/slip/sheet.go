package slip

import (
	"cmp"
	"slices"
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

// Sheet explains every row of one sheet and finds the patterns. In each row
// the explanations by a pattern come first; the others keep the order of
// Explain.
func Sheet(rows []Row) ([][]Explanation, []Pattern) {
	explanations := make([][]Explanation, len(rows))
	agreeing, disagreeing := split(rows)
	for _, i := range disagreeing {
		explanations[i] = tryAll(rows, i)
	}
	patterns := systematic(rows, explanations, agreeing, len(disagreeing))
	for _, found := range explanations {
		slices.SortStableFunc(found, func(a, b Explanation) int {
			return cmp.Compare(rank(patterns, a), rank(patterns, b))
		})
	}
	return explanations, patterns
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
func systematic(rows []Row, explanations [][]Explanation, agreeing []int, disagreeing int) []Pattern {
	var patterns []Pattern
	for _, p := range count(explanations) {
		p.Of = disagreeing
		if p.Rows < patternRows {
			continue
		}
		for _, i := range agreeing {
			if !p.most() { // and more rows make it no more
				break
			}
			if s, ok := newSearch(rows, i); ok && !s.unseen(p) {
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

// split lists the rows whose recorded value agrees, and those whose does not.
func split(rows []Row) (agreeing, disagreeing []int) {
	for i := range rows {
		switch agrees, known := rows[i].agrees(); {
		case !known:
		case agrees:
			agreeing = append(agreeing, i)
		default:
			disagreeing = append(disagreeing, i)
		}
	}
	return agreeing, disagreeing
}

// count counts the rows of each slip, in the order of the slips.
func count(explanations [][]Explanation) []Pattern {
	rows := map[Pattern]int{} // by Name and Detail
	for _, found := range explanations {
		inRow := map[Pattern]bool{}
		for _, e := range found {
			key := Pattern{Name: e.Name, Detail: e.Detail}
			if e.Kind != Keying && !inRow[key] {
				inRow[key] = true
				rows[key]++
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
