package check

import "saltline/internal/assess"

// readingPatterns ask about patterns in the readings themselves: what chance
// and honest work seldom make. Each has an ordinary explanation too, which
// stands beside it.
func readingPatterns() []*assess.Check {
	return nil
}
