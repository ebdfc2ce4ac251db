package assess

import (
	"strings"
	"testing"

	"saltline/internal/record"
	"saltline/internal/unit"
)

func TestHistories(t *testing.T) {
	const fail = "1 original | 08:00 | L1 | 70\n"
	const besides = "8 adjacent 1 | 14:00 | L1 left | 20\n9 adjacent 1 | 14:10 | L1 right | 20\n"
	for _, c := range []struct{ name, history, want string }{
		{"nothing done",
			fail,
			"1 open: no-treatment, too-few-adjacent 2"},
		{"washed and tested as the rule says",
			fail + "T 1 | 11:00-12:00\n2 retest 1 | 13:00 | L1 b | 20\n" + besides,
			"1 cleared by 2"},
		{"adjacent tests before the wash show how far the salt went",
			fail + "8 adjacent 1 | 08:30 | L1 l | 20\n9 adjacent 1 | 08:45 | L1 r | 20\nT 1 | 11:00-12:00\n2 retest 1 | 13:00 | L1 b | 20\n",
			"1 cleared by 2"},
		{"washed, not tested since",
			fail + "T 1 | 11:00-12:00\n" + besides,
			"1 treated: no-retest"},
		{"washing not ended",
			fail + "T 1 | 11:00-\n" + besides,
			"1 open: treatment-end-unknown"},
		{"retest without a treatment",
			fail + "2 retest 1 | 08:50 | L1 b | 20\n" + besides,
			"1 open: no-treatment 2"},
		{"treatment after the retest",
			fail + "2 retest 1 | 09:00 | L1 b | 20\nT 1 | 11:00-12:00\n" + besides,
			"1 treated: no-treatment 2, no-retest"},
		{"treatment of before the fail",
			"T 1 | 06:00-07:00\n" + fail + "2 retest 1 | 13:00 | L1 b | 20\n" + besides,
			"1 open: no-treatment 2"},
		{"retest while washing goes on",
			fail + "T 1 | 11:00-13:30\n2 retest 1 | 13:00 | L1 b | 20\n" + besides,
			"1 treated: retest-before-end 2, no-retest"},
		{"retest 14 minutes after the end",
			fail + "T 1 | 11:00-12:46\n2 retest 1 | 13:00 | L1 b | 20\n" + besides,
			"1 treated: retest-too-soon 2"},
		{"retest 15 minutes after the end",
			fail + "T 1 | 11:00-12:45\n2 retest 1 | 13:00 | L1 b | 20\n" + besides,
			"1 cleared by 2"},
		{"retest the next day, end of washing not written down",
			fail + "T 1 | 11:00-\n2 retest 1 | 2/08:00 | L1 b | 20\n" + besides,
			"day 1: 1 open: treatment-end-unknown\nday 2: 1 cleared by 2"},
		{"the same without adjacent tests",
			fail + "T 1 | 11:00-\n2 retest 1 | 2/08:00 | L1 b | 20\n",
			"day 1: 1 open: treatment-end-unknown, too-few-adjacent 2\nday 2: 1 treated: too-few-adjacent 2"},
		{"washing past midnight, retest while it goes on",
			fail + "T 1 | 23:00-01:00\n2 retest 1 | 2/00:30 | L1 b | 20\n" + besides,
			"day 1: 1 treated: no-retest\nday 2: 1 treated: retest-before-end 2, no-retest"},
		{"retest without a time",
			fail + "T 1 | 11:00-12:00\n2 retest 1 | | L1 b | 20\n" + besides,
			"1 treated: treatment-order-unknown 2, no-retest"},
		{"retest on the same print",
			fail + "T 1 | 11:00-12:00\n2 retest 1 | 13:00 | L1 | 20\n" + besides,
			"1 treated: same-footprint 2"},
		{"the same location, beside by the remark",
			fail + "T 1 | 11:00-12:00\n2 retest 1 | 13:00 | L1 | 20 | beside the first footprint\n" + besides,
			"1 cleared by 2"},
		{"the same location, not beside by the remark",
			fail + "T 1 | 11:00-12:00\n2 retest 1 | 13:00 | L1 | 20 | not beside, no room\n" + besides,
			"1 treated: same-footprint 2"},
		{"another location, the same spot by the remark",
			fail + "T 1 | 11:00-12:00\n2 retest 1 | 13:00 | L1 again | 20 | same spot\n" + besides,
			"1 treated: same-footprint 2"},
		{"retest without a location",
			fail + "T 1 | 11:00-12:00\n2 retest 1 | 13:00 | | 20\n" + besides,
			"1 treated: location-unknown 2"},
		{"one adjacent test",
			fail + "T 1 | 11:00-12:00\n2 retest 1 | 13:00 | L1 b | 20\n8 adjacent 1 | 14:00 | L1 l | 20\n",
			"1 treated: too-few-adjacent 1"},
		{"adjacent test of the retest",
			fail + "T 1 | 11:00-12:00\n2 retest 1 | 13:00 | L1 b | 20\n8 adjacent 2 | 14:00 | L1 l | 20\n9 adjacent 1, 2 | 14:00 | L1 r | 20\n",
			"1 cleared by 2"},
		{"adjacent fail is a new fail",
			fail + "T 1 | 11:00-12:00\n2 retest 1 | 13:00 | L1 b | 20\n8 adjacent 1 | 14:00 | L1 l | 50.4\n9 adjacent 1 | 14:10 | L1 r | 20\n",
			"1 treated: adjacent-failed 8, too-few-adjacent 1\n8 open: no-treatment, too-few-adjacent 2"},
		{"adjacent fail, two beyond it within the limit",
			fail + "T 1 | 11:00-12:00\n2 retest 1 | 13:00 | L1 b | 20\n8 adjacent 1 | 14:00 | L1 l | 60\n" +
				"9 adjacent 1 | 14:10 | L1 r | 20\n10 adjacent 1, 8 | 14:20 | L1 ll | 20\n",
			"8 open: no-treatment, too-few-adjacent 1\n1 cleared by 2"},
		{"adjacent fail cleared itself",
			fail + "T 1 | 11:00-12:00\n2 retest 1 | 13:00 | L1 b | 20\n8 adjacent 1 | 13:10 | L1 l | 60\n9 adjacent 1, 8 | 13:20 | L1 r | 20\n" +
				"T 8 | 14:00-14:30\n10 retest 8 | 15:00 | L1 l b | 20\n11 adjacent 8 | 15:10 | L1 ll | 20\n",
			"1 cleared by 2\n8 cleared by 10"},
		{"adjacent test not established",
			fail + "T 1 | 11:00-12:00\n2 retest 1 | 13:00 | L1 b | 20\n8? adjacent 1 | 14:00 | L1 l | 20\n9 adjacent 1 | 14:10 | L1 r | 20\n",
			"1 treated: adjacent-not-established 8, too-few-adjacent 1"},
		{"retest not established",
			fail + "T 1 | 11:00-12:00\n2? retest 1 | 13:00 | L1 b | 20\n" + besides,
			"1 treated: retest-not-established 2"},
		{"void retest",
			fail + "T 1 | 11:00-12:00\n2! retest 1 | 13:00 | L1 b | 20\n" + besides,
			"1 treated: retest-not-established 2"},
		{"void retest, repeated",
			fail + "T 1 | 11:00-12:00\n2! retest 1 | 13:00 | L1 b | 20\n3 repeat 2 | 13:30 | L1 c | 20\n" + besides,
			"1 cleared by 3"},
		{"retest fails",
			fail + "T 1 | 11:00-12:00\n2 retest 1 | 13:00 | L1 b | 60\n" + besides,
			"1 open: retest-failed 2, no-treatment"},
		{"second retest without a second treatment",
			fail + "T 1 | 11:00-12:00\n2 retest 1 | 13:00 | L1 b | 60\n3 retest 1 | 14:00 | L1 c | 20\n" + besides,
			"1 open: no-treatment 3"},
		{"second treatment, second retest, named by the first",
			fail + "T 1 | 11:00-12:00\n2 retest 1 | 13:00 | L1 b | 60\nT 2 | 14:00-15:00\n3 retest 2 | 16:00 | L1 c | 20\n" + besides,
			"1 cleared by 3"},
		{"second retest on the print of the first",
			fail + "T 1 | 11:00-12:00\n2 retest 1 | 13:00 | L1 b | 60\nT 2 | 14:00-15:00\n3 retest 1 | 16:00 | L1 b | 20\n" + besides,
			"1 treated: same-footprint 3"},
		{"fails again after it had passed",
			fail + "T 1 | 11:00-12:00\n2 retest 1 | 13:00 | L1 b | 20\n3 retest 1 | 14:00 | L1 c | 60\n" + besides,
			"1 open: retest-failed 3, no-treatment"},
		{"retests written down out of order",
			fail + "T 1 | 11:00-12:00\n3 retest 1 | 16:00 | L1 c | 20\nT 1 | 14:00-15:00\n2 retest 1 | 13:00 | L1 b | 60\n" + besides,
			"1 cleared by 3"},
		{"three failing retests",
			fail + "T 1 | 09:00-09:30\n2 retest 1 | 10:00 | b | 60\nT 1 | 11:00-11:30\n3 retest 1 | 12:00 | c | 60\n" +
				"T 1 | 12:30-13:00\n4 retest 1 | 13:30 | d | 60\n" + besides,
			"1 open: retest-failed 4, no-treatment; cause"},
		{"two failing retests, washed once more",
			fail + "T 1 | 09:00-09:30\n2 retest 1 | 10:00 | b | 60\nT 1 | 11:00-11:30\n3 retest 1 | 12:00 | c | 60\nT 1 | 12:30-13:00\n" + besides,
			"1 treated: retest-failed 3, no-retest"},
		{"repeat of a fail is a retest",
			fail + "2 repeat 1 | 09:00 | L1 b | 20\n" + besides,
			"1 open: no-treatment 2"},
		{"repeat of a doubtful fail, beside it",
			"1! original | 08:00 | L1 | 70\n2 repeat 1 | 09:00 | L1 b | 20\n",
			"1 cleared by 2"},
		{"repeat of a doubtful fail confirms it",
			"1! original | 08:00 | L1 | 70\n2 repeat 1 | 09:00 | L1 b | 60\n3 repeat 1 | 10:00 | L1 c | 20\n",
			"1 open: no-treatment 3, too-few-adjacent 2"},
		{"repeat of a doubtful fail fails in doubt as well",
			"1! original | 08:00 | L1 | 70\n2! repeat 1 | 09:00 | L1 b | 60\n3 repeat 1 | 10:00 | L1 c | 20\n",
			"1 open: no-treatment 3, too-few-adjacent 2"},
		{"repeat of a doubtful fail is void too",
			"1! original | 08:00 | L1 | 70\n2! repeat 1 | 09:00 | L1 b | 20\n",
			"1 open: retest-not-established 2, too-few-adjacent 2"},
		{"a fail that is merely unproven stays a fail",
			"1? original | 08:00 | L1 | 70\n2 repeat 1 | 09:00 | L1 b | 20\n",
			"1 open: no-treatment 2, too-few-adjacent 2"},
		{"retest of a test that is not there",
			fail + "2 retest 77 | 13:00 | L1 b | 60\n",
			"1 open: no-treatment, too-few-adjacent 2\n2 open: no-treatment, too-few-adjacent 2"},
		{"witness duplicate fails",
			"1 original | 08:00 | L1 | 20\n2 witness 1 | 08:30 | L1 b | 60\n",
			"2 open: no-treatment, too-few-adjacent 2"},
		{"tests that name each other",
			"1 retest 2 | 08:00 | L1 | 60\n2 retest 1 | 09:00 | L2 | 60\n",
			"1 open: retest-failed 2, no-treatment, too-few-adjacent 2"},
		{"retest of a void test fails and is cleared in its turn",
			"1! original | 08:00 | L1 | 20\n2 retest 1 | 08:30 | L1 b | 60\nT 2 | 11:00-12:00\n3 retest 2 | 13:00 | L1 c | 20\n" +
				"8 adjacent 2 | 14:00 | l | 20\n9 adjacent 2 | 14:00 | r | 20\n",
			"2 cleared by 3"},
		{"retest on the print of one that proved nothing",
			fail + "T 1 | 11:00-12:00\n2? retest 1 | 13:00 | L1 b | 20\n3 retest 1 | 13:30 | L1 b | 20\n" + besides,
			"1 treated: same-footprint 3"},
		{"retest on the print of a void one, as its repeat",
			fail + "T 1 | 11:00-12:00\n2! retest 1 | 13:00 | L1 b | 20\n3 repeat 2 | 13:30 | L1 b | 20\n" + besides,
			"1 cleared by 3"},
		{"retest on the print of the one before the last",
			fail + "T 1 | 09:00-09:30\n2 retest 1 | 10:00 | b | 60\nT 1 | 11:00-11:30\n3 retest 1 | 12:00 | c | 60\n" +
				"T 1 | 12:30-13:00\n4 retest 1 | 13:30 | b | 20\n" + besides,
			"1 treated: same-footprint 4"},
		{"washing ended in the minute in which the fail was read",
			fail + "T 1 | 07:00-08:10\n2 retest 1 | 13:00 | L1 b | 20\n" + besides,
			"1 open: no-treatment 2"},
		{"washing ended a minute after the fail was read",
			fail + "T 1 | 07:00-08:11\n2 retest 1 | 13:00 | L1 b | 20\n" + besides,
			"1 cleared by 2"},
		{"failed retest without a time, the treatment names the fail alone",
			fail + "T 1 | 09:00-10:00\n2 retest 1 | | b | 60\nT 1 | 11:00-12:00\n3 retest 1 | 13:00 | c | 20\n" + besides,
			"1 treated: treatment-order-unknown 3"},
		{"failed retest without a time, the treatment names it",
			fail + "T 1 | 09:00-10:00\n2 retest 1 | | b | 60\nT 2 | 11:00-12:00\n3 retest 1 | 13:00 | c | 20\n" + besides,
			"1 cleared by 3"},
		{"failed retest without a time came after the treatment that it names",
			fail + "T:W 1 2 | 09:00-10:00\n2 retest 1 | | b | 60 | | W\n3 retest 1 | 13:00 | c | 20\n" + besides,
			"1 open: no-treatment 3"},
		{"fail without a time",
			"1 original | | L1 | 70\nT 1 | 11:00-12:00\n2 retest 1 | 13:00 | L1 b | 20\n" + besides,
			"1 cleared by 2"},
		{"repeat of an adjacent test that had counted",
			fail + "T 1 | 11:00-12:00\n2 retest 1 | 13:00 | L1 b | 20\n8 adjacent 1 | 14:00 | l | 20\n9 repeat 8 | 14:10 | l b | 20\n",
			"1 treated: too-few-adjacent 1"},
		{"repeat of an adjacent test that was void",
			fail + "T 1 | 11:00-12:00\n2 retest 1 | 13:00 | L1 b | 20\n8! adjacent 1 | 14:00 | l | 20\n9 repeat 8 | 14:10 | l b | 20\n10 adjacent 1 | 14:20 | r | 20\n",
			"1 cleared by 2"},
		{"adjacent test on the same spot by its remark",
			fail + "T 1 | 11:00-12:00\n2 retest 1 | 13:00 | L1 b | 20\n8 adjacent 1 | 14:00 | l | 20\n9 adjacent 1 | 14:10 | l | 20 | same spot\n",
			"1 treated: too-few-adjacent 1"},
		{"adjacent test of before the fail",
			fail + "T 1 | 11:00-12:00\n2 retest 1 | 13:00 | L1 b | 20\n8 adjacent 1 | 07:30 | l | 20\n9 adjacent 1 | 14:10 | r | 20\n",
			"1 treated: too-few-adjacent 1"},
		{"two fails adjacent to each other, washed together",
			"1 adjacent 2 | 08:00 | L1 | 60\n2 adjacent 1 | 08:20 | L2 | 60\nT 1 2 | 09:00-10:00\n3 retest 1 | 11:00 | L1 b | 20\n4 retest 2 | 11:20 | L2 b | 20\n" +
				"8 adjacent 2 | 12:00 | r | 20\n9 adjacent 1, 2 | 12:20 | l | 20\n",
			"1 cleared by 3\n2 cleared by 4"},
		{"repeat of a doubtful fail by its time before it",
			"1! original | 08:00 | L1 | 70\n2 repeat 1 | 07:00 | L1 b | 20\n",
			"1 open: retest-before-fail 2, no-treatment, too-few-adjacent 2"},
		{"two fails of one number on one day",
			"3 original | 08:00 | L1 | 70\n3 original | 08:20 | L7 | 70\nT 3 | 09:00-10:00\n4 retest 3 | 11:00 | beside | 20\n" +
				"8 adjacent 4 | 12:00 | l | 20\n9 adjacent 4 | 12:20 | r | 20\n",
			"3(L1) open: treatment-unclear, too-few-adjacent 2\n3(L7) open: reference-unclear 4, treatment-unclear 4"},
		{"the same, told apart by location and treatment",
			"3 original | 08:00 | L1 | 70\n3 original | 08:20 | L7 | 70\nT:W 3 | 09:00-10:00\n4 retest 3 | 11:00 | L1 beside | 20 | | W\n" +
				"8 adjacent 4 | 12:00 | l | 20\n9 adjacent 4 | 12:20 | r | 20\n",
			"3(L7) open: no-treatment, too-few-adjacent 2\n3(L1) cleared by 4"},
		{"numbers begin anew with each area",
			"3 original | 08:00 | A: L1 | 70\n3 original | 08:20 | B: L7 | 70\nT:W 3 | 09:00-10:00\n4 retest 3 | 11:00 | A: L1 b | 20 | | W\n" +
				"8 adjacent 3 | 12:00 | A: l | 20\n9 adjacent 3 | 12:20 | A: r | 20\n",
			"3(A L1) cleared by 4\n3(B L7) open: no-treatment, too-few-adjacent 2"},
		{"a treatment that may be of either area",
			"3 original | 08:00 | A: L1 | 70\n3 original | 08:20 | B: L7 | 70\nT 3 | 09:00-10:00\n4 retest 3 | 11:00 | A: L1 b | 20\n" +
				"8 adjacent 3 | 12:00 | A: l | 20\n9 adjacent 3 | 12:20 | A: r | 20\n",
			"3(A L1) open: treatment-unclear 4\n3(B L7) open: treatment-unclear, too-few-adjacent 2"},
		{"retest in another area",
			"1 original | 08:00 | A: L1 | 70\nT 1 | 09:00-10:00\n2 retest 1 | 11:00 | B: L1 b | 20\n8 adjacent 1 | 12:00 | A: l | 20\n9 adjacent 1 | 12:20 | A: r | 20\n",
			"1 treated: other-area 2"},
		{"failed retest in another area is a fail there",
			"1 original | 08:00 | A: L1 | 70\nT 1 | 09:00-10:00\n2 retest 1 | 11:00 | B: L1 b | 60\n3 retest 1 | 12:00 | A: L1 c | 20\n",
			"1 open: no-treatment 3, too-few-adjacent 2\n2 open: no-treatment, too-few-adjacent 2"},
		{"an adjacent test over the boundary of the area",
			"1 original | 08:00 | A: L1 | 70\nT 1 | 09:00-10:00\n2 retest 1 | 11:00 | A: L1 b | 20\n8 adjacent 1 | 12:00 | B: l | 20\n9 adjacent 1 | 12:20 | A: r | 20\n",
			"1 treated: adjacent-other-area 8, too-few-adjacent 1"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := parseHistory(t, c.history)
			got := spell(r, unit.Date{})
			if strings.HasPrefix(c.want, "day 1: ") {
				got = spellDays(r)
			}
			if got != c.want {
				t.Errorf("got\n%s\nwant\n%s", got, c.want)
			}
		})
	}
}

// A repeat that shows that there was no fail is enough, whatever follows.
func TestRepeatOfDoubtIsEnough(t *testing.T) {
	r := parseHistory(t, "1! original | 08:00 | L1 | 70\n2 repeat 1 | 09:00 | L1 b | 20\nT 1 | 11:00-12:00\n3 retest 1 | 13:00 | L1 c | 20\n")
	if got, want := spell(r, unit.Date{}), "1 cleared by 2"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

// Before its first day a log has no fails.
func TestNothingBeforeTheFirstDay(t *testing.T) {
	r := parseHistory(t, "1 original | 1/08:00 | L1 | 70\n")
	if got := spell(r, firstDay.Add(-1)); got != "" {
		t.Errorf("got %s, want nothing", got)
	}
}

// A retest that names its treatment is enough; the treatment need not name
// the test.
func TestTreatmentNamedByRetest(t *testing.T) {
	r := parseHistory(t, "1 original | 08:00 | L1 | 70\nT | 11:00-12:00\n2 retest 1 | 13:00 | L1 b | 20\n"+
		"8 adjacent 1 | 14:00 | l | 20\n9 adjacent 1 | 14:00 | r | 20")
	if got, want := spell(r, unit.Date{}), "1 open: no-treatment 2"; got != want {
		t.Fatalf("unnamed: got %s, want %s", got, want)
	}
	r.Job.Treatments[0].Name = words("W 4")
	r.Lines[1].Test.Own().Treatment = words("w  4")
	if got, want := spell(r, unit.Date{}), "1 cleared by 2"; got != want {
		t.Errorf("named: got %s, want %s", got, want)
	}
}

// Without a retest rule in the record the house asks for two adjacent tests;
// a rule that asks for none is followed.
func TestAdjacentByRule(t *testing.T) {
	const text = "1 original | 08:00 | L1 | 70\nT 1 | 11:00-12:00\n2 retest 1 | 13:00 | L1 b | 20\n"
	for _, c := range []struct {
		rule record.Given[record.RetestRule]
		want string
	}{
		{record.Given[record.RetestRule]{}, "1 treated: too-few-adjacent 2"},
		{given(record.RetestRule{Beside: true, Adjacent: 1}), "1 treated: too-few-adjacent 1"},
		{given(record.RetestRule{Beside: true}), "1 cleared by 2"},
	} {
		job := parseHistory(t, text).Job
		job.Terms.Retest = c.rule
		if got := spell(Run(job, nil), unit.Date{}); got != c.want {
			t.Errorf("rule %+v: got %s, want %s", c.rule.Val, got, c.want)
		}
	}
}
