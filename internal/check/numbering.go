package check

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// A numbering divides a log into the parts in which each test has a number of
// its own: the whole log, an area, a day, a sheet, or an area on a day. It says
// the number of its part of a test; nil where that is the whole log.
type numbering func(test int) int32

// within is the part of the log in which a test has its number.
func (n numbering) within(test int) int32 {
	if n == nil {
		return 0
	}
	return n(test)
}

// numberings are the ways to divide a log, the widest first.
var numberings = []func(*assess.Review) numbering{
	func(*assess.Review) numbering { return nil },
	func(v *assess.Review) numbering {
		areas := areasNamed(v)
		if _, one := areas.of.All(); one {
			return nil
		}
		return areas.at
	},
	func(v *assess.Review) numbering { return partsOf(daysOf(v, everyTest(v))) },
	func(v *assess.Review) numbering { return partsOf(numbersOf(len(v.Lines), sheets(v).At)) },
	func(v *assess.Review) numbering { return partsOf(areasNamed(v).days(v, everyTest(v))) },
}

// partsOf are the parts that numbersOf has.
func partsOf(parts numbers, _ []int32) numbering {
	if parts == nil {
		return nil
	}
	return parts.of
}

// A borneNumber is that of a test in its part of the log.
type borneNumber struct{ within, number int32 }

// numbered lists the tests that have a number.
var numbered = assess.Shared(func(v *assess.Review) []int {
	return where(everyTest(v), numberSaid(v))
})

// numberingOf finds the numbering of a log: the widest in which nine numbers
// in ten are different (house choice), else the one with the most different
// numbers. A log that begins anew with each area has no number twice.
var numberingOf = assess.Shared(func(v *assess.Review) numbering {
	tests, numbers := numbered(v), numbersBorne(v)
	var best numbering
	most := 0
	for _, divide := range numberings {
		n := divide(v)
		different := 0
		if n == nil { // one for the whole log
			different = numbers.different(tests)
		} else {
			borne := make([]borneNumber, len(tests))
			for k, i := range tests {
				borne[k] = borneNumber{n.within(i), numbers.at(i)}
			}
			slices.SortFunc(borne, func(a, b borneNumber) int {
				return cmp.Or(cmp.Compare(a.within, b.within), cmp.Compare(a.number, b.number))
			})
			different = len(slices.Compact(borne))
		}
		if 10*different >= 9*len(tests) {
			return n
		}
		if different > most {
			best, most = n, different
		}
	}
	return best
})

// sharedNumbers lists the tests whose number another test has too.
var sharedNumbers = assess.Shared(func(v *assess.Review) []int {
	numbers := numbersBorne(v)
	bearers := make([]int32, numbers.roll.names+1)
	for _, i := range numbered(v) {
		bearers[numbers.at(i)]++
	}
	return keep(numbered(v), func(i int) bool { return bearers[numbers.at(i)] > 1 })
})

// numberUsedTwice: a number stands on two tests of one numbering, so that
// nobody can tell which of the two a retest, a photo or a certificate means.
// A row that says that it is a revision is one test with the row that it
// replaces. The finding belongs to the last day of the number: until then it
// stood once.
var numberUsedTwice = &assess.Check{
	Name:     "number-used-twice",
	Group:    assess.SamplingAndRetests,
	Severity: assess.Weakens,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		within, numbers := numberingOf(v).within, numbersBorne(v)
		for _, tests := range groups(sharedNumbers(v), func(i int) borneNumber { return borneNumber{within(i), numbers.at(i)} }) {
			tests = keep(tests, func(i int) bool { return !revisionWords.in(v.Lines[i].Test.Remark().Val) })
			if len(tests) < 2 || countedTwice(v, tests) {
				continue
			}
			last := lastDay(v, tests)
			report(v, assess.Finding{
				Date: last,
				Tests: slices.DeleteFunc(slices.Clone(tests), func(i int) bool {
					return !v.Lines[i].OfSteel() || v.Lines[i].Test.Date().Val != last
				}),
				Places: places(v, tests, numberAt),
				Args:   map[string]any{"Number": v.Lines[tests[0]].Test.Number().Text, "Times": len(tests)},
			})
		}
	},
}

func numberAt(t *record.Test) diag.Pos { return t.Number().Pos }

var revisionWords = stems{"revis", "rev ", "supersede", "correct", "replaces", "ersetzt", "korrig", "berichtigt", "sustituye", "corregid", "remplace", "corrig", "erstatter", "rettet"}

// countedTwice reports whether the tests are one extraction under two areas:
// that is another finding.
func countedTwice(v *assess.Review, tests []int) bool {
	first := v.Lines[tests[0]].Test
	for _, i := range tests[1:] {
		if t := v.Lines[i].Test; extractionOf(t) != extractionOf(first) || record.Folded(t.Area().Val) == record.Folded(first.Area().Val) {
			return false
		}
	}
	return true
}

// numbersMissing: numbers are left out between the first and the last of a
// numbering, known on the day of the test that follows the gap. Accounted for
// are a number that stands on a repeat or a retest, a row that says something
// of it, and a number that the diary of a day speaks of. A row that bears the
// number and nothing else, with later numbers filled in, accounts for nothing.
// Numbers that fill less than half of their range are names, not a count.
var numbersMissing = &assess.Check{
	Name:     "numbers-missing",
	Group:    assess.SamplingAndRetests,
	Severity: assess.Weakens,
	Owner:    assess.QCManager,
	Run: func(v *assess.Review) {
		within := numberingOf(v).within
		type count struct{ within, prefix int32 }
		counting := countingOf(v)
		counted := keep(numbered(v), func(i int) bool {
			own := !v.Lines[i].Kind().Related()
			prefix := counting.prefix.At(i)
			return prefix == noPrefix || prefix > noPrefix && own
		})
		var gaps [][]gap
		for _, tests := range groups(counted, func(i int) count { return count{within(i), counting.prefix.At(i)} }) {
			if of := counting.gapsIn(v, tests); len(of) > 0 {
				gaps = append(gaps, of)
			}
		}
		accountFor(v, within, gaps)
		var unfilled map[string]bool
		if len(gaps) > 0 {
			unfilled = unfilledNumbers(v)
		}
		for _, of := range gaps {
			of = slices.DeleteFunc(of, func(g gap) bool { return len(g.missing) == 0 })
			for _, gaps := range groups(of, func(g gap) unit.Date { return lastDay(v, []int{g.after, g.before}) }) {
				var missing []string
				for _, g := range gaps {
					missing = append(missing, g.missing...)
				}
				few, more := upTo(mostShown, missing)
				empty, moreEmpty := upTo(mostShown, slices.DeleteFunc(slices.Clone(missing), func(n string) bool { return !unfilled[record.Folded(n)] }))
				first := gaps[0]
				report(v, assess.Finding{
					Date: lastDay(v, []int{first.after, first.before}), Places: []diag.Pos{v.Lines[first.after].Test.Number().Pos},
					Args: map[string]any{
						"Missing": few, "More": more, "All": len(missing), "After": Number(v.Lines, first.after),
						"Empty": empty, "MoreEmpty": moreEmpty,
					},
				})
			}
		}
	},
}

// A gap is a run of numbers that are left out between two tests.
type gap struct {
	missing       []string
	after, before int
}

// A counting is what the numbers of all tests say where they count. The prefixes are
// asked for apart: mostly all are alike, and then they take no list.
type counting struct {
	prefix *record.Answers[int32] // what stands before the digits that count, numbered; 0 for a number without any
	number *record.Answers[int]   // what they say
}

// noPrefix is the prefix of a number that is nothing but digits.
const noPrefix = 1

func countingOf(v *assess.Review) counting {
	prefixes := map[string]int32{"": noPrefix}
	return counting{
		prefix: ask(v, record.Columns.Number, func(w record.Words) int32 {
			prefix, _, ok := serial(w.Val)
			switch {
			case !ok:
				return 0
			case prefix == "":
				return noPrefix
			case prefixes[prefix] == 0:
				prefixes[prefix] = int32(len(prefixes)) + noPrefix
			}
			return prefixes[prefix]
		}),
		number: ask(v, record.Columns.Number, func(w record.Words) int {
			_, n, _ := serial(w.Val)
			return n
		}),
	}
}

// gapsIn lists the gaps between the lowest and the highest number of tests with
// one prefix.
func (c counting) gapsIn(v *assess.Review, tests []int) []gap {
	number := c.number.At
	inLog := tests
	if !slices.IsSortedFunc(tests, func(i, j int) int { return cmp.Compare(number(i), number(j)) }) {
		tests = slices.Clone(tests)
		slices.SortFunc(tests, func(i, j int) int { return cmp.Or(cmp.Compare(number(i), number(j)), cmp.Compare(i, j)) })
	}
	first, last := tests[0], tests[len(tests)-1]
	different := 1
	for k := range len(tests) - 1 {
		if number(tests[k]) != number(tests[k+1]) {
			different++
		}
	}
	room := number(last) - number(first) // one less than the numbers that they span, for these may be more than there are
	if different < 3 || 2*different-1 <= room || different-1 == room {
		return nil
	}
	prefix, width := "", 0
	for _, i := range inLog { // the last that is filled up with zeros tells how far
		text := v.Lines[i].Test.Number().Val
		prefix, _, _ = serial(text)
		if digits := text[len(prefix):]; strings.HasPrefix(digits, "0") {
			width = len(digits)
		}
	}
	tests = slices.CompactFunc(slices.Clone(tests), func(i, j int) bool { return number(i) == number(j) }) // the first test of each
	var all []gap
	for k := range len(tests) - 1 {
		g := gap{after: tests[k], before: tests[k+1]}
		for n := number(tests[k]) + 1; n < number(tests[k+1]); n++ {
			digits := strconv.Itoa(n)
			g.missing = append(g.missing, prefix+strings.Repeat("0", max(0, width-len(digits)))+digits)
		}
		if len(g.missing) > 0 {
			all = append(all, g)
		}
	}
	return all
}

// accountFor takes the numbers out of the gaps of a log that are accounted for:
// those that stand on a test of their numbering, or that a test is said to be
// because of, which if it is missing is another question
// (number-missing-beside-a-retest); those of a row that was skipped, and those
// of which the diary speaks.
func accountFor(v *assess.Review, within func(test int) int32, gaps [][]gap) {
	if len(gaps) == 0 {
		return
	}
	type borne struct {
		within int32
		number string
	}
	left := map[borne]bool{} // numbers that are left out, true once they are found
	for _, of := range gaps {
		for _, g := range of {
			for _, number := range g.missing {
				left[borne{within(g.after), record.Folded(number)}] = false
			}
		}
	}
	find := func(b borne) {
		if _, asked := left[b]; asked {
			left[b] = true
		}
	}
	for _, i := range numbered(v) {
		t := v.Lines[i].Test
		find(borne{within(i), record.Folded(t.Number().Val)})
		if t.OfTest().Val != "" {
			find(borne{within(i), record.Folded(t.OfTest().Val)})
		}
	}
	spoken := spokenNumbers(v)
	for _, of := range gaps {
		for k := range of {
			g := &of[k]
			g.missing = slices.DeleteFunc(g.missing, func(number string) bool {
				number = record.Folded(number)
				return left[borne{within(g.after), number}] || spoken[number]
			})
		}
	}
}

// unfilledRow is how the reading note calls a row that bears a number and
// nothing else.
const unfilledRow = "numbered, nothing filled in"

// unfilledNumbers are the numbers, folded, of the rows that bear nothing else.
func unfilledNumbers(v *assess.Review) map[string]bool {
	numbers := map[string]bool{}
	for _, s := range v.Job.Note.Skipped {
		if s.Reason == unfilledRow {
			numbers[firstOf(s)] = true
		}
	}
	return numbers
}

// firstOf is what the first cell of a skipped row says, folded.
func firstOf(s record.Skip) string {
	first, _, _ := strings.Cut(s.Text, " | ")
	return record.Folded(first)
}

// spokenNumbers are the numbers, folded, of the skipped rows that say something
// of them, and what stands as a word of its own in the diary.
func spokenNumbers(v *assess.Review) map[string]bool {
	spoken := map[string]bool{}
	for _, s := range v.Job.Note.Skipped {
		if s.Reason != unfilledRow {
			spoken[firstOf(s)] = true
		}
	}
	for i := range v.Job.Days {
		for _, text := range []string{v.Job.Days[i].Remarks.Val, v.Job.Days[i].WhatChanged.Val} {
			for word := range strings.FieldsFuncSeq(text, func(r rune) bool { return strings.ContainsRune(" ,;.:()–", r) }) {
				spoken[record.Folded(word)] = true
			}
		}
	}
	return spoken
}
