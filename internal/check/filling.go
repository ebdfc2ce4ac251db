package check

import (
	"iter"
	"maps"
	"strconv"
	"strings"
	"unicode"

	"saltline/internal/assess"
)

// Filling is what the words of a finding are filled with: its own Args, and
//
//	Tests  the numbers of its tests, "3–5 and 9"
//	Count  how many they are
//	Areas  the names of the areas of these tests, or of the areas touched
//	Date   the day that it belongs to; zero for the whole job
//
// list joins names as the language does.
func Filling(r *assess.Result, f *assess.Finding, list func([]string) string) map[string]any {
	data := map[string]any{
		"Tests": list(Numbers(r.Lines, f.Tests)),
		"Count": len(f.Tests),
		"Areas": list(areasOf(r, f)),
		"Date":  f.Date,
	}
	maps.Copy(data, f.Args)
	return data
}

// Numbers spells the numbers of tests as short as can be read without doubt:
// three or more that follow one another as "3–5".
func Numbers(lines []assess.Line, tests []int) []string {
	var spans []string
	for first, last := range Spans(tests, func(i int) bool { return Follows(lines, i) }) {
		spans = append(spans, Span(lines, first, last))
	}
	return spans
}

// Span names the tests from first to last: "3–5".
func Span(lines []assess.Line, first, last int) string {
	name := Number(lines, first)
	if last > first {
		name += "–" + Number(lines, last)
	}
	return name
}

// Spans parts tests, which are in order, where one does not follow another: each
// part by its first and its last test. Fewer than three stand by themselves.
// follows reports whether test i+1 follows test i.
func Spans(tests []int, follows func(i int) bool) iter.Seq2[int, int] {
	return func(yield func(first, last int) bool) {
		for i := 0; i < len(tests); {
			last := i
			for last+1 < len(tests) && tests[last+1] == tests[last]+1 && follows(tests[last]) {
				last++
			}
			if last-i < 2 {
				last = i
			}
			if !yield(tests[i], tests[last]) {
				return
			}
			i = last + 1
		}
	}
}

// Number is the number of a test as written; where it has none, its row.
func Number(lines []assess.Line, i int) string {
	t := lines[i].Test
	if n := t.Number().Text; n != "" {
		return n
	}
	return t.Row().Cell()
}

// Follows reports whether the test behind test i in the log has the next number:
// then nobody asks what stands between them.
func Follows(lines []assess.Line, i int) bool {
	if i+1 >= len(lines) {
		return false
	}
	before, n, ok := serial(Number(lines, i))
	prefix, m, okNext := serial(Number(lines, i+1))
	return ok && okNext && before == prefix && m == n+1
}

// serial takes the counting digits off the end of a number: "UG-07" is "UG-"
// and 7.
func serial(number string) (prefix string, n int, ok bool) {
	if k, is := counts(number); is {
		return "", k, true
	}
	prefix = strings.TrimRightFunc(number, unicode.IsDigit)
	n, err := strconv.Atoi(number[len(prefix):])
	return prefix, n, err == nil
}

// areasOf names the areas of a finding, each once, in the order of the log.
func areasOf(r *assess.Result, f *assess.Finding) []string {
	var names []string
	seen := map[string]bool{"": true}
	add := func(name string) {
		if !seen[name] {
			seen[name] = true
			names = append(names, name)
		}
	}
	for _, i := range f.Tests {
		add(r.Lines[i].Test.Area().Val)
	}
	for _, name := range f.Areas {
		add(name)
	}
	return names
}
