package check

import (
	"slices"
	"strings"
	"unicode"

	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// photoUsedTwice: one photo file is named beside several tests of a day, or of
// the whole log where nine names in ten are different there: a camera may
// begin anew each day. Rows of one extraction, and one that is marked as a
// revision, are one test.
var photoUsedTwice = &assess.Check{
	Name:     "photo-used-twice",
	Group:    assess.Integrity,
	Severity: assess.Weakens,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		uses, all := map[string]int{}, 0
		photos(v, func(_ int, _, file string) {
			uses[file]++
			all++
		})
		if all == len(uses) {
			return
		}
		type place struct {
			file string
			day  unit.Date
		}
		wide := 10*len(uses) >= 9*all
		var again []place // in the order of the log
		tests, names := map[place][]int{}, map[place]string{}
		photos(v, func(i int, name, file string) {
			if uses[file] < 2 {
				return
			}
			p := place{file: file}
			if !wide {
				p.day = v.Lines[i].Test.Date().Val
			}
			if tests[p] == nil {
				again = append(again, p)
				names[p] = name
			}
			tests[p] = append(tests[p], i)
		})
		var twice []usedPhoto
		for _, p := range again {
			of := slices.DeleteFunc(slices.Compact(tests[p]), func(i int) bool { return revisionWords.in(v.Lines[i].Test.Remark().Val) })
			if len(of) > 1 && !oneExtraction(v, of) {
				twice = append(twice, usedPhoto{names[p], of})
			}
		}
		for _, of := range groups(twice, func(s usedPhoto) unit.Date { return sharedDay(v, s.tests) }) {
			var rows []photoRow
			var tests []int
			for _, s := range of {
				few, more := upTo(mostShown, Numbers(v.Lines, s.tests))
				rows = append(rows, photoRow{s.photo, few, more})
				tests = append(tests, s.tests...)
			}
			slices.Sort(tests)
			tests = slices.Compact(tests)
			few, more := upTo(mostShown, rows)
			report(v, assess.Finding{
				Tests:  slices.DeleteFunc(slices.Clone(tests), func(i int) bool { return !v.Lines[i].OfSteel() }),
				Places: places(v, tests, func(t *record.Test) diag.Pos { return t.Photo().Pos }),
				Args:   map[string]any{"Rows": few, "More": more},
			})
		}
	},
}

// A usedPhoto is a file that stands beside several tests.
type usedPhoto struct {
	photo string
	tests []int
}

type photoRow struct {
	Photo string
	Tests []string
	More  int
}

// photos tells the photo files that tests name, in the order of the log: the
// test, the name as written, and the file that it means. Case makes no other
// file.
func photos(v *assess.Review, tell func(test int, name, file string)) {
	for _, i := range where(everyTest(v), ask(v, record.Columns.Photo, record.Words.Known)) {
		p := v.Lines[i].Test.Photo()
		for _, name := range record.PhotoNames(p.Val) {
			tell(i, name, strings.ToLower(name))
		}
	}
}

// oneExtraction reports whether the rows are one extraction, listed more than
// once. Rows without a number do not tell.
func oneExtraction(v *assess.Review, tests []int) bool {
	first := extractionOf(v.Lines[tests[0]].Test)
	return v.Lines[tests[0]].Test.Number().Val != "" && !slices.ContainsFunc(tests[1:], func(i int) bool { return extractionOf(v.Lines[i].Test) != first })
}

// numberMissingBesideARetest: a repeat, a retest or an adjacent test was made
// because of a test that the record does not have. Where the record counts on
// both sides of the number it was there to be had, and what it was that the
// retest cleared is not known. Else it may well stand in another log, as where
// each day has one of its own, and is only asked for.
var numberMissingBesideARetest = &assess.Check{
	Name:     "number-missing-beside-a-retest",
	Group:    assess.Integrity,
	Severity: assess.UnprovenPass,
	Owner:    assess.QCManager,
	Run: func(v *assess.Review) {
		missing := missingReferences(v)
		if len(missing) == 0 {
			return
		}
		counts := countsOf(v, missing)
		type dayWithin struct {
			day    unit.Date
			within bool
		}
		within := func(r reference) bool {
			prefix, n, ok := serial(r.number)
			c, counted := counts[prefix]
			return ok && counted && c.low < n && n < c.high
		}
		for _, of := range groups(missing, func(r reference) dayWithin {
			return dayWithin{v.Lines[r.test].Test.Date().Val, within(r)}
		}) {
			var rows []referenceRow
			var tests []int
			for _, r := range of {
				kind := v.Lines[r.test].Test.Kind().Val
				rows = append(rows, referenceRow{Number(v.Lines, r.test), r.name, kind == record.Retest, kind == record.Repeat})
				tests = append(tests, r.test)
			}
			few, more := upTo(mostShown, rows)
			f := assess.Finding{
				Tests: slices.Compact(tests), Places: places(v, slices.Compact(tests), func(t *record.Test) diag.Pos { return t.OfTest().Pos }),
				Args: map[string]any{"Rows": few, "More": more, "Within": within(of[0]), "Missing": []string(nil)},
			}
			var names []string
			for _, r := range rows {
				if !slices.Contains(names, r.Of) {
					names = append(names, r.Of)
				}
			}
			f.Args["Missing"], f.Args["MoreMissing"] = upTo(mostShown, names)
			f.Args["AllMissing"] = len(names)
			if !within(of[0]) {
				f.Severity = assess.Housekeeping
			}
			report(v, f)
		}
	},
}

// A reference is the number of another test that a test names.
type reference struct {
	test               int
	name, text, number string // as written, folded, and what of it counts
}

type referenceRow struct {
	Test, Of       string
	Retest, Repeat bool // else an adjacent test
}

// missingReferences lists the tests that are named by a test made because of
// them, and are not in the record. What bears no digit is no number of a test,
// and what is the location of one is found.
func missingReferences(v *assess.Review) []reference {
	var all []reference
	wanted := map[string]bool{} // parts and their words; true once found
	for _, i := range where(steel(v), ask(v, record.Columns.OfTest, record.Words.Known)) {
		t := v.Lines[i].Test
		if !t.Kind().Val.Related() {
			continue
		}
		wanted[record.Folded(t.OfTest().Val)] = false
		for _, part := range strings.FieldsFunc(t.OfTest().Val, assess.IsBetween) {
			number := record.Folded(part)
			if strings.IndexFunc(number, unicode.IsDigit) < 0 {
				continue
			}
			words := wordsOfReference(number)
			k := slices.IndexFunc(words, func(w string) bool { return strings.IndexFunc(w, unicode.IsDigit) >= 0 })
			all = append(all, reference{i, strings.TrimSpace(part), number, words[k]})
			for _, w := range words {
				wanted[w] = false
			}
		}
	}
	if len(all) == 0 {
		return nil
	}
	unfound := func(r reference) bool {
		return !wanted[record.Folded(v.Lines[r.test].Test.OfTest().Val)] &&
			!slices.ContainsFunc(wordsOfReference(r.text), func(w string) bool { return wanted[w] })
	}
	// As they are spelled first: a long log need not be folded for that.
	for _, spelled := range []func(string) string{func(s string) string { return s }, record.Folded} {
		for i := range v.Lines {
			for _, w := range []string{v.Lines[i].Test.Number().Val, v.Lines[i].Test.Location().Val} {
				if w = spelled(w); w == "" {
					continue
				}
				if _, asked := wanted[w]; asked {
					wanted[w] = true
				}
			}
		}
		if all = slices.DeleteFunc(all, func(r reference) bool { return !unfound(r) }); len(all) == 0 {
			break
		}
	}
	return all
}

// wordsOfReference are a number as it was written and what of it may be the
// number: "no. 12 (seam)" means 12, "3–5" the tests from 3 to 5.
func wordsOfReference(number string) []string {
	return append(strings.FieldsFunc(number, func(r rune) bool { return strings.ContainsRune(" ()#:–", r) }), number)
}

// A count is the lowest and the highest number under a prefix.
type count struct{ low, high int }

// countsOf finds how far the numbers go under the prefixes of the references.
func countsOf(v *assess.Review, missing []reference) map[string]count {
	counts := map[string]count{}
	asked := map[string]bool{}
	for _, r := range missing {
		if prefix, _, ok := serial(r.number); ok {
			asked[prefix] = true
		}
	}
	for i := range v.Lines {
		prefix, n, ok := serial(v.Lines[i].Test.Number().Val)
		if !ok {
			continue
		}
		if prefix != "" {
			prefix = record.Folded(prefix + "0")
			prefix = prefix[:len(prefix)-1]
		}
		if !asked[prefix] {
			continue
		}
		c, counted := counts[prefix]
		if !counted {
			c = count{n, n}
		}
		counts[prefix] = count{min(c.low, n), max(c.high, n)}
	}
	return counts
}
