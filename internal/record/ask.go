package record

import "saltline/internal/diag"

// A log may have a million tests; they say the same few things in most of its
// columns, and nothing in many that there could be. What is asked of all tests
// about one column is therefore asked once of each thing that is said there.

// A Log is the tests of a job, to be asked all at once. As long as it is used,
// none of them may be written to.
type Log struct {
	tests []Test
	runs  []run
}

// A run is tests that follow one another in a log and on their sheaf, or that
// have fields of their own.
type run struct {
	from, to int
	in       *sheaf // nil where they have fields of their own
	place    int    // of the first
}

// LogOf is the log of some tests.
func LogOf(tests []Test) *Log {
	l := &Log{tests: tests}
	for i := range tests {
		t := &tests[i]
		next := run{from: i, to: i + 1, in: t.in, place: int(t.place)}
		if t.own != nil {
			next.in = nil
		}
		if n := len(l.runs) - 1; n >= 0 && l.runs[n].goesOn(next) {
			l.runs[n].to++
			continue
		}
		l.runs = append(l.runs, next)
	}
	return l
}

// goesOn reports whether the run goes on with the next.
func (r *run) goesOn(next run) bool {
	return r.in == next.in && (r.in == nil || next.place == r.place+r.to-r.from)
}

// Sheets are those that the tests stand in, each with its file.
func (l *Log) Sheets() *Answers[diag.Pos] {
	a := &asking[diag.Pos]{tests: len(l.tests)}
	for _, r := range l.runs {
		if r.in != nil {
			a.enter(r.from, r.to, r.in.at.At(0, 0))
			continue
		}
		for i := r.from; i < r.to; i++ {
			a.enter(i, i+1, l.tests[i].Row().At(0, 0))
		}
	}
	return &a.Answers
}

// Answers are what was answered for each test of a log.
type Answers[A comparable] struct {
	by  []A // by test; nil where all have the same
	all A
}

// At is the answer for a test.
func (a *Answers[A]) At(test int) A {
	if a.by == nil {
		return a.all
	}
	return a.by[test]
}

// All is the answer for all tests, where they have the same.
func (a *Answers[A]) All() (answer A, same bool) { return a.all, a.by == nil }

// Ask puts a question to what each test of a log says in a column. It may be
// put once to what many of them say, when that first appears, so the answer
// must hang on nothing but that. The place of what is said is not told.
func Ask[Q, A comparable](log *Log, column Column[Q], question func(Given[Q]) A) *Answers[A] {
	a := &asking[A]{tests: len(log.tests), of: map[*sheaf]*heard[A]{}}
	for _, r := range log.runs {
		if r.in == nil {
			for i := r.from; i < r.to; i++ {
				g := *column.at(&log.tests[i].own.Fields)
				g.Pos = diag.Pos{}
				a.enter(i, i+1, question(g))
			}
			continue
		}
		s := column.on(r.in)
		if s.which == nil {
			a.enter(r.from, r.to, question(Given[Q]{}))
			continue
		}
		h := a.heard(r.in, len(s.said))
		loose := s.as
		loose.Pos = diag.Pos{}
		word, _ := any(&loose.Val).(*string)
		for k, n := range s.which[r.place : r.place+r.to-r.from] {
			var answer A
			switch {
			case n >= firstLoose:
				loose.Text = s.loose[n-firstLoose]
				*word = loose.Text
				answer = question(loose)
			case h.asked[n]:
				answer = h.answers[n]
			default:
				g := s.said[n]
				g.Pos = diag.Pos{}
				answer = question(g)
				h.asked[n], h.answers[n] = true, answer
			}
			if a.by != nil {
				a.by[r.from+k] = answer
				continue
			}
			a.enter(r.from+k, r.from+k+1, answer)
		}
	}
	return &a.Answers
}

// Some reports whether the answer is yes for a test of a log, as Ask has it.
func Some[Q comparable](log *Log, column Column[Q], question func(Given[Q]) bool) bool {
	yes, all := Ask(log, column, question).All()
	return yes || !all
}

// An asking collects answers in the order of the log.
type asking[A comparable] struct {
	Answers[A]
	tests int
	of    map[*sheaf]*heard[A]
}

// A heard is what was answered to the things that a sheaf says, by their numbers.
type heard[A comparable] struct {
	asked   []bool
	answers []A
}

func (a *asking[A]) heard(in *sheaf, things int) *heard[A] {
	h := a.of[in]
	if h == nil {
		h = &heard[A]{make([]bool, things), make([]A, things)}
		a.of[in] = h
	}
	return h
}

// enter enters the answer for the tests from up to to.
func (a *asking[A]) enter(from, to int, answer A) {
	if from == 0 {
		a.all = answer
	}
	if a.by == nil {
		if answer == a.all {
			return
		}
		a.by = make([]A, a.tests)
		for i := range from {
			a.by[i] = a.all
		}
	}
	for i := from; i < to; i++ {
		a.by[i] = answer
	}
}
