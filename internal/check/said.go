package check

import (
	"slices"

	"saltline/internal/assess"
	"saltline/internal/record"
)

// The tests of a log say the same few things in most of its columns, and
// nothing in many that there could be. A check that goes by a column asks what
// it wants to know of each thing that is said there, and then looks at the
// tests that say it: where the log has no such column it has nothing to do.

// logOf is the log of a job, to be asked about a column.
var logOf = assess.Shared(func(v *assess.Review) *record.Log { return record.LogOf(v.Job.Tests) })

// ask puts a question to what each test says in a column, those on glass too.
// The answer must hang on nothing else.
func ask[Q, A comparable](v *assess.Review, column record.Column[Q], question func(record.Given[Q]) A) *record.Answers[A] {
	return record.Ask(logOf(v), column, question)
}

// An answer is what is asked of each test once for all checks.
type answer[A comparable] func(*assess.Review) *record.Answers[A]

// asked is ask, once for all checks.
func asked[Q, A comparable](column record.Column[Q], question func(record.Given[Q]) A) answer[A] {
	return assess.Shared(func(v *assess.Review) *record.Answers[A] { return ask(v, column, question) })
}

// known is whether a column says what a value is.
func known[Q comparable](column record.Column[Q]) answer[bool] {
	return asked(column, record.Given[Q].Known)
}

// unread is whether something stands in a column that cannot be read.
func unread[Q comparable](column record.Column[Q]) answer[bool] {
	return asked(column, func(g record.Given[Q]) bool { return g.State == record.Unreadable })
}

// said is whether words stand in a column.
func said(column record.Column[string]) answer[bool] {
	return asked(column, func(w record.Words) bool { return w.Val != "" })
}

// listed lists those of the tests of which one of the answers is yes, once for
// all checks. The list is for reading.
func listed(tests func(*assess.Review) []int, one ...answer[bool]) func(*assess.Review) []int {
	return assess.Shared(func(v *assess.Review) []int {
		answers := make([]*record.Answers[bool], len(one))
		for k, of := range one {
			answers[k] = of(v)
		}
		return where(tests(v), answers...)
	})
}

// where lists those of the tests of which one of the answers is yes, as keep
// does.
func where(tests []int, one ...*record.Answers[bool]) []int {
	var mixed []*record.Answers[bool]
	for _, is := range one {
		switch yes, all := is.All(); {
		case !all:
			mixed = append(mixed, is)
		case yes:
			return tests
		}
	}
	switch len(mixed) {
	case 0:
		return nil
	case 1:
		return keep(tests, mixed[0].At)
	}
	return keep(tests, func(i int) bool {
		return slices.ContainsFunc(mixed, func(is *record.Answers[bool]) bool { return is.At(i) })
	})
}

// howMany is of how many of the tests the answer is yes.
func howMany(tests []int, is *record.Answers[bool]) int {
	if yes, all := is.All(); all {
		if yes {
			return len(tests)
		}
		return 0
	}
	n := 0
	for _, i := range tests {
		if is.At(i) {
			n++
		}
	}
	return n
}
