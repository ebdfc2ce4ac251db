package audit_test

import (
	"strings"
	"testing"

	"saltline/internal/assess"
	"saltline/internal/audit"
	"saltline/internal/check"
	"saltline/internal/record"
	"saltline/internal/unit"
	"saltline/internal/wording"
	"saltline/templates"
	"saltline/testdata/jobs"
)

// failsAsked are the questions about fails, in words.
func failsAsked(t *testing.T, a *audit.Report) []string {
	t.Helper()
	words, err := wording.Load(templates.Files, nil, "en")
	if err != nil {
		t.Fatal(err)
	}
	var all []string
	for _, q := range a.Questions {
		if strings.HasPrefix(q.Key, "audit/ask-fails") {
			text, err := words.Say(q.Key, a.Filling(q, words.List))
			if err != nil {
				t.Fatal(err)
			}
			all = append(all, text)
		}
	}
	return all
}

var fifty = []string{"limit=50 mg/m2", "limit basis=total salts", "limit comparison=at most"}

// With 3 ml on 1250 mm² the factor is 1.2: tests 1 to 3 are 66, 60 and
// 54 mg/m². Test 5 names a washing and stands beside the first print, test 6
// says neither. A remark clears nothing.
func TestAsksForTheWashing(t *testing.T) {
	a := conclude(t, "audit/retests.csv", fifty...)
	compareAsked(t, failsAsked(t, a), []string{
		"By the log, test 5 is a retest of test 1, and washing is named in the remark of test 5 without its time: when did it begin and end? " +
			"Please send the record of it and of 2 adjacent tests (a house setting, as the record states no rule of the contract).",
		"By the log, test 6 is a retest of test 2, and the record shows no treatment before it: what was done, from when to when? " +
			"Did test 6 stand beside the first print? " +
			"Please send the record of it and of 2 adjacent tests (a house setting, as the record states no rule of the contract).",
		"What was done at the spot of test 3, where the record shows more than the limit and no treatment? Please send the record of it and of the tests made afterwards.",
	})
	for _, s := range a.Standing(unit.Date{}) {
		if len(s.Cleared) > 0 {
			t.Errorf("%s: cleared %v", s.Name, s.Cleared)
		}
		for _, c := range s.Open {
			if c.State != assess.Open {
				t.Errorf("test %s is not open", a.Lines[c.Fail].Test.Number().Val)
			}
		}
	}
}

// Where the contract has a rule for adjacent tests, they are no house setting.
func TestAsksByTheRule(t *testing.T) {
	a := conclude(t, "audit/retests.csv", append(fifty, "retest rule=beside the old footprint, 1 adjacent")...)
	asked := failsAsked(t, a)
	if len(asked) != 3 {
		t.Fatalf("asked %q", asked)
	}
	for _, text := range asked[:2] {
		if !strings.HasSuffix(text, "Please send the record of it and of 1 adjacent test.") {
			t.Errorf("asked: %s", text)
		}
	}
}

func compareAsked(t *testing.T, got, want []string) {
	t.Helper()
	for i := range max(len(got), len(want)) {
		switch {
		case i >= len(got):
			t.Errorf("not asked: %s", want[i])
		case i >= len(want):
			t.Errorf("asked besides: %s", got[i])
		case got[i] != want[i]:
			t.Errorf("asked\n%s\nwant\n%s", got[i], want[i])
		}
	}
}

// Without a volume nothing is computed: the words of the log are all that says
// that its tests 1 and 2 are fails.
func TestAsksForFailsInWords(t *testing.T) {
	a := conclude(t, "audit/fails-in-words.csv", fifty...)
	compareAsked(t, failsAsked(t, a), []string{
		"What was done at the spots of tests 1 and 2, which the log calls fails and for which it shows no treatment? " +
			"Please send the record of it and of the tests made afterwards.",
	})
}

// A treatment on record is not asked for as if there were none: where its end
// is missing that is asked for, and where a retest failed, what came since.
func TestAsksForWhatCameSince(t *testing.T) {
	job := jobs.Read(t, "../../testdata/audit/retests.csv", fifty...)
	day := job.Tests[0].Date()
	job.Treatments = []record.Treatment{{
		Date: day, Started: record.Given[unit.Clock]{Val: 10 * 3600, State: record.Known},
		OfTests: record.Given[[]string]{Val: []string{"3"}, State: record.Known},
	}}
	job.Tests[5].Own().Extract = job.Tests[0].Extract() // retest 6 is 66 mg/m²
	job.Tests[5].Own().RecordedVerdict = job.Tests[0].RecordedVerdict()
	asked := failsAsked(t, audit.Of(assess.Run(job, check.All())))
	if len(asked) != 3 {
		t.Fatalf("asked %q", asked)
	}
	compareAsked(t, asked[1:], []string{
		"What was done at the spot of test 2, where the record shows more than the limit and no treatment since? Please send the record of it and of the tests made afterwards.",
		"When did the treatment at the spot of test 3 end? The record does not show it. Please send the record of it and of the tests made afterwards.",
	})
}
