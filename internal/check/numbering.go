package check

import (
	"slices"
	"strconv"
	"strings"

	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// A numbering is the part of a log in which each test has a number of its
// own: the whole log, an area, a day, a sheet, or an area on a day.
type numbering func(*record.Test) string

var numberings = []numbering{
	func(*record.Test) string { return "" },
	func(t *record.Test) string { return folded(t.Area.Val) },
	func(t *record.Test) string { return t.Date.Val.ISO() },
	func(t *record.Test) string { return t.Row.File() + "\x00" + t.Row.Sheet() },
	func(t *record.Test) string { return folded(t.Area.Val) + "\x00" + t.Date.Val.ISO() },
}

// numbered lists the tests that have a number.
var numbered = assess.Shared(func(v *assess.Review) []int {
	var all []int
	for i := range v.Lines {
		if v.Lines[i].Test.Number.Val != "" {
			all = append(all, i)
		}
	}
	return all
})

// numberingOf finds the numbering of a log: the widest in which nine numbers
// in ten are different (house choice), else the one with the most different
// numbers. A log that begins anew with each area has no number twice.
var numberingOf = assess.Shared(func(v *assess.Review) numbering {
	tests := numbered(v)
	best, most := numberings[0], 0
	for _, n := range numberings {
		different := len(groups(tests, func(i int) [2]string {
			t := v.Lines[i].Test
			return [2]string{n(t), folded(t.Number.Val)}
		}))
		if 10*different >= 9*len(tests) {
			return n
		}
		if different > most {
			best, most = n, different
		}
	}
	return best
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
		within := numberingOf(v)
		for _, tests := range groups(numbered(v), func(i int) [2]string {
			t := v.Lines[i].Test
			return [2]string{within(t), folded(t.Number.Val)}
		}) {
			tests = slices.DeleteFunc(tests, func(i int) bool { return revisionWords.in(v.Lines[i].Test.Remark.Val) })
			if len(tests) < 2 || countedTwice(v, tests) {
				continue
			}
			last := lastDay(v, tests)
			report(v, assess.Finding{
				Date: last,
				Tests: slices.DeleteFunc(slices.Clone(tests), func(i int) bool {
					return !v.Lines[i].OfSteel() || v.Lines[i].Test.Date.Val != last
				}),
				Places: places(v, tests, numberAt),
				Args:   map[string]any{"Number": v.Lines[tests[0]].Test.Number.Text, "Times": len(tests)},
			})
		}
	},
}

func numberAt(t *record.Test) diag.Pos { return t.Number.Pos }

var revisionWords = stems{"revis", "rev ", "supersede", "correct", "replaces", "ersetzt", "korrig", "berichtigt", "sustituye", "corregid", "remplace", "corrig", "erstatter", "rettet"}

// countedTwice reports whether the tests are one extraction under two areas:
// that is another finding.
func countedTwice(v *assess.Review, tests []int) bool {
	first := v.Lines[tests[0]].Test
	for _, i := range tests[1:] {
		if t := v.Lines[i].Test; extractionOf(t) != extractionOf(first) || folded(t.Area.Val) == folded(first.Area.Val) {
			return false
		}
	}
	return true
}

// numbersMissing: numbers are left out between the first and the last of a
// numbering, known on the day of the test that follows the gap. Accounted for
// are a number that stands on a repeat or a retest, a row that bears the number
// and nothing else, and a number that the diary of a day speaks of. Numbers
// that fill less than half of their range are names, not a count.
var numbersMissing = &assess.Check{
	Name:     "numbers-missing",
	Group:    assess.SamplingAndRetests,
	Severity: assess.Weakens,
	Owner:    assess.QCManager,
	Run: func(v *assess.Review) {
		within := numberingOf(v)
		var counted []int
		borne := map[string]map[string]bool{} // numbering, number
		for _, i := range numbered(v) {
			t := v.Lines[i].Test
			if borne[within(t)] == nil {
				borne[within(t)] = map[string]bool{}
			}
			borne[within(t)][folded(t.Number.Val)] = true
			if of := folded(t.OfTest.Val); of != "" {
				borne[within(t)][of] = true // missing or not, that is another question (number-missing-beside-a-retest)
			}
			own := t.Kind.Val != record.Retest && t.Kind.Val != record.Adjacent && t.Kind.Val != record.Repeat
			if prefix, _, ok := serial(t.Number.Val); ok && (prefix == "" || own) {
				counted = append(counted, i)
			}
		}
		for _, tests := range groups(counted, func(i int) [2]string {
			t := v.Lines[i].Test
			prefix, _, _ := serial(t.Number.Val)
			return [2]string{within(t), prefix}
		}) {
			for _, gaps := range groups(gapsIn(v, borne[within(v.Lines[tests[0]].Test)], tests), func(g gap) unit.Date { return lastDay(v, []int{g.after, g.before}) }) {
				var missing []string
				for _, g := range gaps {
					missing = append(missing, g.missing...)
				}
				few, more := upTo(mostShown, missing)
				first := gaps[0]
				report(v, assess.Finding{
					Date: lastDay(v, []int{first.after, first.before}), Places: []diag.Pos{v.Lines[first.after].Test.Number.Pos},
					Args: map[string]any{"Missing": few, "More": more, "All": len(missing), "After": Number(v.Lines, first.after)},
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

// gapsIn lists the gaps between the lowest and the highest number of tests.
// borne holds the numbers that stand on a test of their numbering.
func gapsIn(v *assess.Review, borne map[string]bool, tests []int) []gap {
	at := map[int]int{}
	low, high, prefix, width := 0, 0, "", 0
	for k, i := range tests {
		text := v.Lines[i].Test.Number.Val
		var n int
		prefix, n, _ = serial(text)
		if _, known := at[n]; !known {
			at[n] = i
		}
		if k == 0 {
			low, high = n, n
		}
		low, high = min(low, n), max(high, n)
		if digits := text[len(prefix):]; strings.HasPrefix(digits, "0") {
			width = len(digits)
		}
	}
	if len(at) < 3 || 2*len(at) <= high-low+1 {
		return nil
	}
	var all []gap
	g := gap{}
	for n := low; n <= high; n++ {
		if i, known := at[n]; known {
			if g.before = i; len(g.missing) > 0 {
				all = append(all, g)
			}
			g = gap{after: i}
			continue
		}
		digits := strconv.Itoa(n)
		if number := prefix + strings.Repeat("0", max(0, width-len(digits))) + digits; !borne[folded(number)] && !accountedFor(v, number) {
			g.missing = append(g.missing, number)
		}
	}
	return all
}

// accountedFor reports whether a number stands in a row that was skipped or
// in the diary.
func accountedFor(v *assess.Review, number string) bool {
	for _, s := range v.Job.Note.Skipped {
		if first, _, _ := strings.Cut(s.Text, " | "); folded(first) == folded(number) {
			return true
		}
	}
	return slices.ContainsFunc(v.Job.Days, func(d record.Day) bool {
		return spokenOf(number, d.Remarks.Val) || spokenOf(number, d.WhatChanged.Val)
	})
}

// spokenOf reports whether a number stands as a word of its own in a text.
func spokenOf(number, text string) bool {
	return slices.ContainsFunc(strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(" ,;.:()–", r) }), func(w string) bool {
		return folded(w) == folded(number)
	})
}
