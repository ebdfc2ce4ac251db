package check

import "saltline/internal/assess"

// recordPatterns ask about what the record says of people, days, photographs
// and signatures that does not go together.
func recordPatterns() []*assess.Check {
	return nil
}
