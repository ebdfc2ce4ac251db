package certificate_test

import (
	"strings"
	"testing"

	"saltline/internal/assess"
	"saltline/internal/certificate/testdata/complete"
	"saltline/internal/check"
)

// What the certificate counts, by the numbers of the tests: what the original
// tests found, those of them above the limit, and those that the statement
// speaks of.
func TestCounts(t *testing.T) {
	const like10 = ",weld,2026-03-04,09:21,09:33,1.3,W-3,3.0,3.0,2.7,4,20.3,14.7,on,1250,single-use adhesive,P-11,K-1,22.8,"
	for _, c := range []struct{ name, changes, d1, d2 string }{
		// D1: 3 failed, was washed, 4 cleared it, 5 and 6 stand beside it.
		// D2: 8 was void, 9 is its repeat.
		{"complete", "", "1–3 / 3 / 1,2,4–6", "7,9,10 / – / 7,9,10"},
		{"a witness duplicate is no other place", "readings: +11,D2,\"west, 2.0 m, beside\"" + like10 + "pass,Inga Solem,witness,10,,",
			"1–3 / 3 / 1,2,4–6", "7,9,10 / – / 7,9,10"},
		{"a witness duplicate that fails opens a fail", "readings: +11,D2,\"west, 2.0 m, beside\"" + strings.Replace(strings.Replace(like10, "20.3", "60.3", 1), "22.8", "70.8", 1) + "fail,Inga Solem,witness,10,,",
			"1–3 / 3 / 1,2,4–6", "7,9,10 / – / 7,9–11"},
		{"a repeat of a pass adds nothing to what was found first", "readings: +11,D2,\"west, 2.2 m\"" + like10 + "pass,Inga Solem,repeat,10,,",
			"1–3 / 3 / 1,2,4–6", "7,9,10 / – / 7,9–11"},
		{"a void one and two repeats count once", "readings: +11,D2,\"east, 0.8 m, left\"" + like10 + "pass,Inga Solem,repeat,8,,",
			"1–3 / 3 / 1,2,4–6", "7,9,10 / – / 7,9–11"},
		{"a repeat that is void too, and its repeat", "readings: 9 | recovered=1.9; recorded verdict=void; remark=water lost\nreadings: +11,D2,\"east, 0.8 m, left\"" + like10 + "pass,Inga Solem,repeat,9,,",
			"1–3 / 3 / 1,2,4–6", "7,10,11 / – / 7,10,11"},
		{"a retest that the log calls a repeat", "readings: 4 | kind=repeat", "1–3 / 3 / 1,2,4–6", "7,9,10 / – / 7,9,10"},
		{"a pass that is only bounded is of the statement too", "readings: 10 | extract=<20; recorded=<25; remark=",
			"1–3 / 3 / 1,2,4–6", "7,9,10 / – / 7,9,10"},
		{"a bounded retest that clears", "readings: 4 | extract=<12; recorded=<13", "1–3 / 3 / 1,2,4–6", "7,9,10 / – / 7,9,10"},
		{"a bounded witness duplicate", "readings: +11,D2,\"west, 2.0 m, beside\"" + strings.Replace(strings.Replace(like10, "20.3", "<20", 1), "22.8", "<25", 1) + "pass,Inga Solem,witness,10,,",
			"1–3 / 3 / 1,2,4–6", "7,9,10 / – / 7,9,10"},
		{"a bound above the limit is no pass", "readings: 10 | extract=<60; recorded=<71; recorded verdict=", "1–3 / 3 / 1,2,4–6", "7,9 / – / 7,9"},
		{"a retest of the same print first, which clears nothing, and then one beside it",
			"readings: 6 | kind=retest; location=\"south, 0.6 m\"; remark=same spot; start=11:55; read=12:10; water=W-1\njob: retest rule | value=beside the old footprint, 1 adjacent",
			"1–3 / 3 / 1,2,4,5", "7,9,10 / – / 7,9,10"},
		{"an open fail is the steel as it is", "readings: -4\nreadings: -5\nreadings: -6\ntreatments: none", "1–3 / 3 / 1–3", "7,9,10 / – / 7,9,10"},
		{"a fail that was treated is no more, and nothing has taken its place", "readings: -4\nreadings: -5\nreadings: -6", "1–3 / 3 / 1,2", "7,9,10 / – / 7,9,10"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := complete.New(t, strings.ReplaceAll(c.changes, `\"`, `"`)).Judge(t)
			for area, want := range map[string]string{"D1": c.d1, "D2": c.d2} {
				c := of(t, r, area)
				got := numbers(r, c.First) + " / " + numbers(r, c.Above) + " / " + numbers(r, c.Stated)
				if got != want {
					t.Errorf("%s: got  %s\nwant %s", area, got, want)
				}
			}
		})
	}
}

func numbers(r *assess.Result, tests []int) string {
	if len(tests) == 0 {
		return "–"
	}
	return strings.Join(check.Numbers(r.Lines, tests), ",")
}

// A concession stands on the certificate of the area that it names, or of the
// test; what names nothing that the record knows stands on all.
func TestConcessions(t *testing.T) {
	for _, c := range []struct {
		about  string
		d1, d2 bool
	}{
		{"D1", true, false}, {"d2", false, true}, {"area D2", false, true}, {"D1, D2", true, true},
		{"3", true, false}, {"test 10", false, true}, {"tests 2, 7", true, true}, {"D1 test 10", true, false},
		{"all", true, true}, {"", true, true}, {"the whole quay", true, true}, {"D11", true, true},
	} {
		r := complete.New(t, "concessions: area or test,clause,by,date,text\nconcessions: +\""+c.about+"\",6.2,Rita Vaz,2026-03-02,2.5 ml may be put in").Judge(t)
		for area, want := range map[string]bool{"D1": c.d1, "D2": c.d2} {
			if got := len(of(t, r, area).Concessions) == 1; got != want {
				t.Errorf("%q: on the certificate of %s: %v, want %v", c.about, area, got, want)
			}
		}
		expect(t, r, "", "")
	}
}

// The row of a meter is the one whose certificate was in force when it measured
// last, in whatever order the table has them.
func TestMeters(t *testing.T) {
	for _, c := range []struct{ changes, certificate string }{
		{"", "C-118"},
		{"meters: +K-1,conductivity,0 to 1999 µS/cm,0.1 µS/cm,2,\"on, 2 %/°C\",C-207,2026-03-10,2027-03-10,Skarsund Calibration", "C-118"},
		{"meters: K-1 | due=2026-03-03\nmeters: +k-1,conductivity,0 to 1999 µS/cm,0.1 µS/cm,2,\"on, 2 %/°C\",C-207,2026-03-04,2027-03-10,Skarsund Calibration", "C-207"},
		{"meters: K-1 | due=2026-03-03", "C-118"},
		{"meters: none", ""},
	} {
		r := complete.New(t, c.changes).Judge(t)
		m := of(t, r, "D2").Meters
		got := ""
		if len(m) == 1 && m[0].Row != nil {
			got = m[0].Row.Certificate.Val
		}
		if len(m) != 1 || got != c.certificate || len(m[0].Tests) != 4 || len(m[0].Checks) != 2 {
			t.Errorf("%q: %d meters, certificate %q, want %q", c.changes, len(m), got, c.certificate)
		}
	}
}
