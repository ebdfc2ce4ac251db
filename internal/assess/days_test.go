package assess

import "testing"

// Histories over several days, with the state at the end of each.
func TestHistoriesByDay(t *testing.T) {
	const one = "1 original | 1/08:00 | L1 | 70\n"
	const besides = "8 adjacent 1 | 1/14:00 | L1 left | 20\n9 adjacent 1 | 1/14:10 | L1 right | 20\n"
	for _, c := range []struct{ name, history, want string }{
		{"adjacent tests on three days",
			one + "8 adjacent 1 | 1/14:00 | L1 l | 20\nT 1 | 2/06:00-07:00\n2 retest 1 | 2/08:00 | L1 b | 20\n9 adjacent 1 | 3/08:00 | L1 r | 20\n",
			"day 1: 1 open: no-treatment, too-few-adjacent 1\nday 2: 1 treated: too-few-adjacent 1\nday 3: 1 cleared by 2"},
		{"a day without any test of it",
			one + besides + "5 original | 2/08:00 | L5 | 20\nT 1 | 3/06:00-07:00\n2 retest 1 | 3/08:00 | L1 b | 20\n",
			"day 1: 1 open: no-treatment\nday 2: 1 open: no-treatment\nday 3: 1 cleared by 2"},
		{"retest fails on the second day, passes on the third",
			one + besides + "T 1 | 2/06:00-07:00\n2 retest 1 | 2/08:00 | L1 b | 60\nT 1 | 3/06:00-07:00\n3 retest 1 | 3/08:00 | L1 c | 20\n",
			"day 1: 1 open: no-treatment\nday 2: 1 open: retest-failed 2, no-treatment\nday 3: 1 cleared by 3"},
		{"fails again two days after it was cleared",
			one + besides + "T 1 | 1/15:00-15:30\n2 retest 1 | 1/16:00 | L1 b | 20\n3 retest 1 | 3/08:00 | L1 c | 60\n",
			"day 1: 1 cleared by 2\nday 2: 1 cleared by 2\nday 3: 1 open: retest-failed 3, no-treatment"},
		{"three failing retests on three days",
			one + besides + "T 1 | 1/15:00-15:30\n2 retest 1 | 1/16:00 | b | 60\nT 1 | 2/06:00-07:00\n3 retest 1 | 2/08:00 | c | 60\n" +
				"T 1 | 3/06:00-07:00\n4 retest 1 | 3/08:00 | d | 60\n",
			"day 1: 1 open: retest-failed 2, no-treatment\nday 2: 1 open: retest-failed 3, no-treatment\nday 3: 1 open: retest-failed 4, no-treatment; cause"},
		{"adjacent fail is washed and cleared on the next day",
			one + "8 adjacent 1 | 1/09:00 | L1 l | 60\n9 adjacent 1, 8 | 1/09:20 | L1 r | 20\nT 1 8 | 2/06:00-07:00\n" +
				"2 retest 1 | 2/08:00 | L1 b | 20\n3 retest 8 | 2/08:20 | L1 l b | 20\n10 adjacent 8 | 3/08:00 | L1 ll | 20\n",
			"day 1: 1 open: no-treatment, adjacent-failed 8, too-few-adjacent 1\nday 1: 8 open: no-treatment, too-few-adjacent 1\n" +
				"day 2: 1 treated: adjacent-failed 8, too-few-adjacent 1\nday 2: 8 treated: too-few-adjacent 1\n" +
				"day 3: 1 cleared by 2\nday 3: 8 cleared by 3"},
		{"void retest repeated on the next day",
			one + besides + "T 1 | 1/15:00-15:30\n2! retest 1 | 1/16:00 | L1 b | 20\n3 repeat 2 | 2/08:00 | L1 b | 20\n",
			"day 1: 1 treated: retest-not-established 2\nday 2: 1 cleared by 3"},
		{"doubtful fail repeated on the next day",
			"1! original | 1/08:00 | L1 | 70\n2 repeat 1 | 2/08:00 | L1 b | 20\n",
			"day 1: 1 open: no-treatment, too-few-adjacent 2\nday 2: 1 cleared by 2"},
		{"washed past midnight, dry and tested after it",
			"1 original | 1/22:30 | L1 | 70\nT 1 | 1/23:00-00:30\n2 retest 1 | 2/00:45 | L1 b | 20\n8 adjacent 1 | 2/01:00 | l | 20\n9 adjacent 1 | 2/01:10 | r | 20\n",
			"day 1: 1 treated: no-retest, too-few-adjacent 2\nday 2: 1 cleared by 2"},
		{"washed past midnight, tested 14 minutes after it",
			"1 original | 1/22:30 | L1 | 70\nT 1 | 1/23:00-00:30\n2 retest 1 | 2/00:44 | L1 b | 20\n8 adjacent 1 | 2/01:00 | l | 20\n9 adjacent 1 | 2/01:10 | r | 20\n",
			"day 1: 1 treated: no-retest, too-few-adjacent 2\nday 2: 1 treated: retest-too-soon 2"},
		{"test over midnight, washed after it",
			"1 original | 1/23:55 | L1 | 70\nT 1 | 2/00:10-00:30\n2 retest 1 | 2/00:50 | L1 b | 20\n8 adjacent 1 | 2/01:00 | l | 20\n9 adjacent 1 | 2/01:10 | r | 20\n",
			"day 1: 1 open: no-treatment, too-few-adjacent 2\nday 2: 1 cleared by 2"},
		{"washing ended while the fail was being read, past midnight",
			"1 original | 1/23:55 | L1 | 70\nT 1 | 1/23:00-00:05\n2 retest 1 | 2/00:50 | L1 b | 20\n8 adjacent 1 | 2/01:00 | l | 20\n9 adjacent 1 | 2/01:10 | r | 20\n",
			"day 1: 1 open: no-treatment, too-few-adjacent 2\nday 2: 1 open: no-treatment 2"},
		{"end of washing not written down, retest just after midnight",
			one + besides + "T 1 | 1/23:00-\n2 retest 1 | 2/00:05 | L1 b | 20\n",
			"day 1: 1 open: treatment-end-unknown\nday 2: 1 treated: treatment-order-unknown 2"},
		{"no times at all, a day apart",
			"1 original | 1/ | L1 | 70\nT 1 | 2/-\n2 retest 1 | 3/ | L1 b | 20\n8 adjacent 1 | 3/ | l | 20\n9 adjacent 1 | 3/ | r | 20\n",
			"day 1: 1 open: no-treatment, too-few-adjacent 2\nday 2: 1 open: treatment-end-unknown, too-few-adjacent 2\nday 3: 1 cleared by 2"},
		{"washed over midnight, retest on that day without a time",
			one + besides + "T 1 | 1/23:00-00:30\n2 retest 1 | 2/ | L1 b | 20\n",
			"day 1: 1 treated: no-retest\nday 2: 1 treated: treatment-order-unknown 2, no-retest"},
		{"rows of the second day written first, as of two files",
			"T 1 | 2/06:00-07:00\n3 retest 1 | 2/08:00 | L1 c | 20\n" + one + "2 retest 1 | 1/10:00 | L1 b | 60\n" + besides,
			"day 1: 1 open: retest-failed 2, no-treatment\nday 2: 1 cleared by 3"},
		{"the same, some of the first day without a time",
			"T 1 | 2/06:00-07:00\n3 retest 1 | 2/08:00 | L1 c | 20\n" + one + "2 retest 1 | 1/ | L1 b | 60\n" + besides,
			"day 1: 1 open: retest-failed 2, no-treatment\nday 2: 1 cleared by 3"},
		{"numbers begin anew: of the third test of the day before",
			"3 original | 1/08:00 | L1 | 70\n3 original | 2/08:00 | L7 | 20\nT 3 | 2/08:30-09:30\n" +
				"4 retest 3 | 2/10:00 | beside | 20\n5 adjacent 3 | 2/10:20 | l | 20\n6 adjacent 3 | 2/10:40 | r | 20\n",
			"day 1: 3(L1) open: no-treatment, too-few-adjacent 2\nday 2: 3(L1) cleared by 4"},
		{"numbers begin anew: fails on both days, the nearer one is meant",
			"3 original | 1/08:00 | L1 | 70\n3 original | 2/08:00 | L7 | 70\nT 3 | 2/08:30-09:30\n" +
				"4 retest 3 | 2/10:00 | beside | 20\n5 adjacent 3 | 2/10:20 | l | 20\n6 adjacent 3 | 2/10:40 | r | 20\n",
			"day 1: 3(L1) open: no-treatment, too-few-adjacent 2\nday 2: 3(L1) open: no-treatment, too-few-adjacent 2\nday 2: 3(L7) cleared by 4"},
		{"numbers begin anew: fails on both days, the location tells",
			"3 original | 1/08:00 | L1 | 70\n3 original | 2/08:00 | L7 | 70\nT:W 3 | 2/08:30-09:30\n" +
				"4 retest 3 | 2/10:00 | L1 beside | 20 | | W\n5 adjacent 3 | 2/10:20 | L1 l | 20\n6 adjacent 3 | 2/10:40 | L1 r | 20\n",
			"day 1: 3(L1) open: no-treatment, too-few-adjacent 2\nday 2: 3(L7) open: no-treatment, too-few-adjacent 2\nday 2: 3(L1) cleared by 4"},
		{"numbers begin anew: the same, and nothing names the treatment",
			"3 original | 1/08:00 | L1 | 70\n3 original | 2/08:00 | L7 | 70\nT 3 | 2/08:30-09:30\n" +
				"4 retest 3 | 2/10:00 | L1 beside | 20\n5 adjacent 3 | 2/10:20 | L1 l | 20\n6 adjacent 3 | 2/10:40 | L1 r | 20\n",
			"day 1: 3(L1) open: no-treatment, too-few-adjacent 2\nday 2: 3(L1) open: no-treatment 4\nday 2: 3(L7) treated: no-retest, too-few-adjacent 2"},
		{"numbers begin anew: a fail read after the retest is not meant",
			"3 original | 1/08:00 | L1 | 70\nT 3 | 1/14:00-15:00\n4 retest 3 | 2/08:00 | beside | 20\n3 original | 2/09:00 | L7 | 70\n" +
				"5 adjacent 4 | 2/10:20 | l | 20\n6 adjacent 4 | 2/10:40 | r | 20\n",
			"day 1: 3(L1) treated: no-retest, too-few-adjacent 2\nday 2: 3(L7) open: no-treatment, too-few-adjacent 2\nday 2: 3(L1) cleared by 4"},
		{"a retest dated before its fail",
			"1 original | 2/08:00 | L1 | 70\nT 1 | 1/08:00-09:00\n2 retest 1 | 1/10:00 | L1 b | 20\n8 adjacent 1 | 2/14:00 | l | 20\n9 adjacent 1 | 2/14:10 | r | 20\n",
			"day 2: 1 open: retest-before-fail 2, no-treatment"},
		{"a treatment without a date",
			one + besides + "T 1 | 0/09:00-10:00\n2 retest 1 | 2/08:00 | L1 b | 20\n",
			"day 1: 1 treated: no-retest\nday 2: 1 treated: treatment-order-unknown 2, no-retest"},
		{"a fail without a date is there on every day",
			"1 original | 0/08:00 | L1 | 70\n8 adjacent 1 | 1/14:00 | l | 20\n9 adjacent 1 | 1/14:10 | r | 20\nT 1 | 2/06:00-07:00\n2 retest 1 | 2/08:00 | L1 b | 20\n",
			"day 1: 1 open: no-treatment\nday 2: 1 cleared by 2"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := spellDays(parseHistory(t, c.history)); got != c.want {
				t.Errorf("got\n%s\nwant\n%s", got, c.want)
			}
		})
	}
}
