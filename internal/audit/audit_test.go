package audit_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"saltline/internal/assess"
	"saltline/internal/audit"
	"saltline/internal/check"
	"saltline/internal/unit"
	"saltline/testdata/jobs"
)

func conclude(t *testing.T, path string, sets ...string) *audit.Report {
	t.Helper()
	return audit.Of(assess.Run(jobs.Read(t, "../../testdata/"+path, sets...), check.All()))
}

// The eight rows were made and worked out by hand: with 15 ml on 1250 mm² the
// factor is 6. Test 1 and 2 carry the factor for 3 ml, 3 has 61.2 with two
// digits exchanged, 4 stands in µg/cm², 6 is 6 × 4.9, 7 is the extract itself,
// and nothing gives the 52.3 of test 8.
var eight = []string{"limit=50 mg/m2", "limit basis=total salts", "limit comparison=at most"}

func TestCounts(t *testing.T) {
	a := conclude(t, "audit/eight.csv", eight...)
	c := a.Counts
	if c.Tests != 8 || c.Agreement[assess.Agrees] != 1 || c.Agreement[assess.DoesNotFollow] != 7 {
		t.Errorf("%d tests, agreement %v", c.Tests, c.Agreement)
	}
	if c.TooHigh != 2 || c.TooLow != 5 {
		t.Errorf("%d too high, %d too low", c.TooHigh, c.TooLow)
	}
	if c.Explained.Not != 1 {
		t.Errorf("%d not explained", c.Explained.Not)
	}
	pf := c.Verdicts[assess.Pass][assess.Fail]
	if pp := c.Verdicts[assess.Pass][assess.Pass]; pf != 4 || pp != 3 {
		t.Errorf("of the written passes %d fail and %d pass", pf, pp)
	}
	// A fail that nothing explains does not turn into a pass.
	if n := c.Verdicts[assess.Fail][assess.NotEstablished]; n != 1 {
		t.Errorf("verdicts %v", c.Verdicts)
	}
	if got := numbers(a, a.Changed); got != "1 2 3 4 8" {
		t.Errorf("changed %s", got)
	}
	if got := check.Number(a.Lines, a.Largest); got != "1" { // 100.8 for 20.2
		t.Errorf("largest difference on test %s", got)
	}
	if a.Stands() {
		t.Error("it stands")
	}
}

func numbers(a *audit.Report, tests []int) string {
	var all []string
	for _, i := range tests {
		all = append(all, check.Number(a.Lines, i))
	}
	return strings.Join(all, " ")
}

// If 3 ml was used on tests 1 and 2, they are 1.2 × 16.8 = 20.16 and
// 1.2 × 10 = 12, and pass.
func TestVolumeInDoubt(t *testing.T) {
	a := conclude(t, "audit/eight.csv", eight...)
	i := slices.IndexFunc(a.WhatIfs, func(w audit.WhatIf) bool { return w.Kind == audit.VolumeWas && w.Value == unit.Volume(3) })
	if i < 0 {
		t.Fatalf("no word of 3 ml in %v", a.WhatIfs)
	}
	w := a.WhatIfs[i]
	if got := numbers(a, w.Tests); got != "1 2" || w.Slip != "other-volume" {
		t.Fatalf("tests %s by %q", got, w.Slip)
	}
	if got := fmt.Sprintf("%.2f %.2f", w.Then[0].Value, w.Then[1].Value); got != "20.16 12.00" {
		t.Errorf("values %s", got)
	}
	if w.Then[0].Verdict != assess.Pass || w.Then[1].Verdict != assess.Pass {
		t.Errorf("verdicts %v", w.Then)
	}
	// By the numbers 5, 6, 7 and 8 pass as it is.
	if w.Passes != 6 || w.Fails != 2 || w.Open != 0 {
		t.Errorf("%d, %d and %d", w.Passes, w.Fails, w.Open)
	}
}

// A record without a volume is computed for each of the usual ones. Test 5
// has a rise of 5.1: 6.12, 20.4 and 30.6 mg/m².
func TestVolumeNotRecorded(t *testing.T) {
	a := conclude(t, "audit/no-volume.csv", eight...)
	var said []string
	for _, w := range a.WhatIfs {
		if w.Kind == audit.VolumeWas && w.Slip == "" {
			said = append(said, fmt.Sprintf("%g ml: %d tests, the last %.2f %v, %d pass and %d fail", float64(w.Value.(unit.Volume)), len(w.Tests),
				w.Then[1].Value, w.Then[1].Verdict, w.Passes, w.Fails))
		}
	}
	want := []string{
		"3 ml: 2 tests, the last 6.12 PASS, 2 pass and 0 fail",
		"10 ml: 2 tests, the last 20.40 PASS, 1 pass and 1 fail",
		"15 ml: 2 tests, the last 30.60 PASS, 1 pass and 1 fail",
	}
	if !slices.Equal(said, want) {
		t.Errorf("got %q\nwant %q", said, want)
	}
	if !slices.ContainsFunc(a.Advice, func(v audit.Advice) bool { return v.Kind == audit.AnswerFirst }) {
		t.Errorf("advice %v", a.Advice)
	}
}

// With what came back, 2.5, 2.6 and 2.2 ml, the rises of 29.4, 45 and 10 are
// 29.4, 46.8 and 8.8 mg/m²; with the 3.0 ml that went in they are 35.28, 54 and
// 12. Of test 3 more than 0.5 ml was lost: it is void, its pass is to be
// corrected, and it is to be made again.
func TestInjectedCounts(t *testing.T) {
	a := conclude(t, "audit/recovered.csv", eight...)
	i := slices.IndexFunc(a.WhatIfs, func(w audit.WhatIf) bool { return w.Kind == audit.InjectedCounts })
	if i < 0 {
		t.Fatalf("no word of the injected water in %v", a.WhatIfs)
	}
	w := a.WhatIfs[i]
	if got := numbers(a, w.Tests); got != "1 2 3" {
		t.Fatalf("tests %s", got)
	}
	if got := fmt.Sprintf("%.2f %.2f %.2f", w.Then[0].Value, w.Then[1].Value, w.Then[2].Value); got != "35.28 54.00 12.00" {
		t.Errorf("values %s", got)
	}
	if w.Passes != 2 || w.Fails != 1 {
		t.Errorf("%d pass and %d fail", w.Passes, w.Fails)
	}
	if got := advised(a, audit.CorrectFirst); got != "3" {
		t.Errorf("to be corrected: %q", got)
	}
	if got := advised(a, audit.RepeatThese); got != "2 3" {
		t.Errorf("to be repeated: %q", got)
	}
}

// advised names the tests of an advice.
func advised(a *audit.Report, kind audit.AdviceKind) string {
	for _, v := range a.Advice {
		if v.Kind == kind {
			return numbers(a, v.Tests)
		}
	}
	return ""
}

// Without a limit, or with one that is not fully stated, nothing is judged: what
// is missing is asked for first.
func TestAsksForLimit(t *testing.T) {
	tests := []struct {
		key  string
		sets []string
	}{
		{"audit/ask-limit", nil},
		{"audit/ask-limit-unit", []string{"limit=50", "limit basis=total salts"}},
		{"audit/ask-limit-basis", []string{"limit=50 mg/m2"}},
	}
	for _, test := range tests {
		a := conclude(t, "audit/stands.csv", test.sets...)
		if len(a.Questions) == 0 || a.Questions[0].Key != test.key || numbers(a, a.Questions[0].Tests) != "1 2" {
			t.Errorf("%s: asked %v", test.key, a.Questions)
		}
	}
	for _, q := range conclude(t, "audit/stands.csv", eight...).Questions {
		if strings.HasPrefix(q.Key, "audit/") {
			t.Errorf("asked %v", q)
		}
	}
}

// Fails without a treatment on record are asked about before what is only
// housekeeping: with 15 ml tests 1 to 4 are 100.8, 60, 61.2 and 54 mg/m².
func TestAsksForTreatment(t *testing.T) {
	a := conclude(t, "audit/eight.csv", eight...)
	at := slices.IndexFunc(a.Questions, func(q audit.Question) bool { return q.Key == "audit/ask-fails" })
	if at < 0 || numbers(a, a.Questions[at].Tests) != "1 2 3 4" {
		t.Fatalf("asked %v", a.Questions)
	}
	for _, q := range a.Questions[:at] {
		if q.Finding >= 0 && a.Findings[q.Finding].Severity == assess.Housekeeping {
			t.Errorf("asked before: %s", q.Key)
		}
	}
}

// A chloride limit that conductivity only bounds is not settled by another
// reading of it: the 20.16 mg/m² of test 1 are at most 11 mg/m² of chloride.
func TestChlorideNotRepeated(t *testing.T) {
	a := conclude(t, "audit/stands.csv", "limit=5 mg/m2", "limit basis=chloride ion", "limit comparison=at most")
	if a.Lines[0].Verdict != assess.NotEstablished {
		t.Fatalf("test 1: %v", a.Lines[0].Verdict)
	}
	if got := advised(a, audit.RepeatThese); got != "" {
		t.Errorf("to be repeated: %s", got)
	}
}

// 12.5 × 4 is 50 exactly: it passes "at most 50" and fails "less than 50".
func TestComparisonNotRecorded(t *testing.T) {
	a := conclude(t, "jobs/equal-to-limit.csv", "limit=50 mg/m2", "limit basis=total salts")
	verdicts := map[string]bool{}
	for _, w := range a.WhatIfs {
		if w.Kind == audit.ComparisonIs {
			for _, then := range w.Then {
				verdicts[fmt.Sprint(w.Value, " ", then.Verdict)] = true
			}
		}
	}
	if len(verdicts) != 2 {
		t.Errorf("verdicts %v", verdicts)
	}
}

// A record of which everything stands is to be taken as it stands, and asks
// nothing.
func TestStands(t *testing.T) {
	a := conclude(t, "audit/stands.csv", eight...)
	if !a.Stands() || len(a.WhatIfs) != 0 {
		t.Errorf("stands %v, what if %v", a.Stands(), a.WhatIfs)
	}
}
