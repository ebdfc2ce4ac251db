package assess

// Reasons are the reasons of a line in the order in which they were found. A
// long record may have one on every line, so they are kept in a word: four
// bits each, the first lowest, and one more than the Reason, for 0 is none.
type reasons uint64

const bitsOfReason = 4

// The last Reason fits in them: it does not compile where one is too many.
const _ = uint(1<<bitsOfReason - 2 - WrittenFail)

// add adds a reason, once.
func (s *reasons) add(r Reason) {
	at := 0
	for rest := *s; rest != 0; rest >>= bitsOfReason {
		if rest&(1<<bitsOfReason-1) == reasons(r)+1 {
			return
		}
		at += bitsOfReason
	}
	*s |= (reasons(r) + 1) << at
}

func (s reasons) has(r Reason) bool {
	for ; s != 0; s >>= bitsOfReason {
		if s&(1<<bitsOfReason-1) == reasons(r)+1 {
			return true
		}
	}
	return false
}

func (s reasons) list() []Reason {
	var all []Reason
	for ; s != 0; s >>= bitsOfReason {
		all = append(all, Reason(s&(1<<bitsOfReason-1))-1)
	}
	return all
}
