package unit

import "strings"

// notDone are the marks people put where nothing was measured, folded by
// foldMark.
const notDone = " - -- --- ---- / // \\ . .. ... … x xx xxx xxxx * n/a na n/b nb n/t nt n/m nm nil none void blank " +
	"ok okay notdone nottested notmeasured notrecorded nichtgemessen entf entfällt k/a ka s/d sindato nomedido " +
	"nonmesuré ikkemålt ikketatt "

// belowRange are the marks for "too little to be shown".
const belowRange = " nd n/d bdl b/d/l lod <lod <loq bld udl nn n/n nichtnachweisbar notdetected nodetectado nondétecté ikkepåvist "

// aboveRange are the marks of a display that ran out of range.
const aboveRange = " ol o/l overrange overflow overload over >range outofrange hi err "

// foldMark makes "N. A.", "n/a" and "n.a" one.
func foldMark(text string) string {
	s := strings.Map(func(r rune) rune {
		switch r {
		case '–', '—', '−':
			return '-'
		case ' ', '\u00a0':
			return -1
		}
		return r
	}, strings.ToLower(trim(text)))
	if strings.Trim(s, ".") != "" {
		s = strings.ReplaceAll(strings.Trim(s, "."), ".", "/")
	}
	return s
}

func isMark(list, text string) bool {
	if len(text) > longestText || strings.ContainsFunc(text, isDigit) { // no mark has a digit
		return false
	}
	s := foldMark(text)
	return s != "" && strings.Contains(list, " "+s+" ")
}

// IsNotDone reports whether text is one of the marks that people write
// where a value was not measured: "-", "n/a", "n.b.", "nil", "xxx" …
func IsNotDone(text string) bool { return isMark(notDone, text) }

// cutBound takes "<", "≤", "less than", ">" … off the front of text.
func cutBound(text string) (State, string) {
	s := trim(text)
	for _, b := range []struct {
		mark  string
		state State
	}{
		{"<=", Below}, {"=<", Below}, {"≤", Below}, {"<", Below}, {"&lt;", Below}, {"less than", Below}, {"under", Below}, {"kleiner", Below},
		{">=", Above}, {"≥", Above}, {">", Above}, {"&gt;", Above}, {"more than", Above}, {"over", Above}, {"above", Above},
	} {
		if len(s) >= len(b.mark) && strings.EqualFold(s[:len(b.mark)], b.mark) {
			return b.state, trim(s[len(b.mark):])
		}
	}
	return Known, s
}

// mark is the state that a mark stands for; Known where text is none.
func mark(text string) State {
	switch {
	case isMark(belowRange, text):
		return Below
	case isMark(aboveRange, text):
		return Above
	case IsNotDone(text):
		return NotDone
	}
	return Known
}
