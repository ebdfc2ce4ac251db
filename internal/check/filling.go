package check

import (
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
	for i := 0; i < len(tests); {
		last := i
		for last+1 < len(tests) && follows(lines, tests[last], tests[last+1]) {
			last++
		}
		if last-i < 2 {
			last = i
		}
		name := Number(lines, tests[i])
		if last > i {
			name += "–" + Number(lines, tests[last])
		}
		spans = append(spans, name)
		i = last + 1
	}
	return spans
}

// Number is the number of a test as written; where it has none, its row.
func Number(lines []assess.Line, i int) string {
	t := lines[i].Test
	if n := t.Number().Text; n != "" {
		return n
	}
	return t.Row().Cell()
}

// follows reports whether test j is the next both in number and in the log:
// then nobody asks what stands between them.
func follows(lines []assess.Line, i, j int) bool {
	if j != i+1 {
		return false
	}
	before, n, ok := serial(Number(lines, i))
	prefix, m, okNext := serial(Number(lines, j))
	return ok && okNext && before == prefix && m == n+1
}

// serial takes the counting digits off the end of a number: "UG-07" is "UG-"
// and 7.
func serial(number string) (prefix string, n int, ok bool) {
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
