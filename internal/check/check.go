// Package check asks the record what an experienced reader would ask of it.
//
// A check is a declared value with one question. What it finds is one cause
// with all the tests that it touches. Its words stand under its name in the
// templates, the rows that it must find in testdata.
package check

import (
	"slices"

	"saltline/internal/assess"
)

// All lists the checks in the order in which they are documented: by the
// part of the work that they ask about, then from the plain to the subtle.
func All() []*assess.Check {
	return slices.Concat(
		arithmeticChecks(),
		waterChecks(),
		meterChecks(),
		siteChecks(),
		readingPatterns(),
		recordPatterns(),
		photoChecks(),
	)
}
