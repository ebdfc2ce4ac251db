package table

import "strconv"

// Most numbers of a log stand in it many times, in cells of one style. Such a
// cell is kept once, and neither read nor spelled again.

// knownNumbers is how many numbers are known at a time; one takes the place of
// another where both hash to it.
const knownNumbers = 1 << 11

// longestKnown is the longest spelling of a number that is looked for.
const longestKnown = 24

// A knownNumber is where a number under a style is kept.
type knownNumber struct {
	ref   uint32
	style int
}

// slot is where a number is looked for.
func (b *workbook) slot(stored *storedCell) *knownNumber {
	h := uint32(2166136261) ^ uint32(stored.style) // FNV-1a
	for _, c := range stored.value {
		h = (h ^ uint32(c)) * 16777619
	}
	return &b.known[(h^h>>15)%knownNumbers]
}

// alike is the cell in the bank that a stored one without a formula is like, if it
// is known.
func (s *sheetReader) alike(stored *storedCell) (uint32, bool) {
	switch stored.kind {
	case "", "n":
		if !stored.mayBeKnown() {
			return 0, false
		}
		k := s.slot(stored)
		if k.ref == emptyRef || k.style != stored.style || s.bank.cell(k.ref, s.at).Raw != asString(stored.value) {
			return 0, false
		}
		return k.ref, true
	case "s":
		i, err := strconv.Atoi(asString(stored.value))
		if err != nil || i < 0 || i >= len(s.strings) || s.strings[i].struck != noStrike {
			return 0, false
		}
		ref := s.strings[i].ref
		if look := s.look.style(stored.style); look.struck || look.faint || s.bank.kind(ref) == Empty {
			return 0, false
		}
		return ref, true
	}
	return 0, false
}

// remember makes a number known.
func (s *sheetReader) remember(stored *storedCell, ref uint32) {
	if (stored.kind == "" || stored.kind == "n") && stored.mayBeKnown() {
		*s.slot(stored) = knownNumber{ref, stored.style}
	}
}

// mayBeKnown reports whether a number is spelled as one that is looked for.
func (c *storedCell) mayBeKnown() bool {
	n := len(c.value)
	return 0 < n && n <= longestKnown && !c.inline
}
