package certificate_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"saltline/internal/assess"
	"saltline/internal/certificate"
	"saltline/internal/certificate/testdata/complete"
	"saltline/internal/check"
	"saltline/internal/record"
)

// reasons are the reasons of a certificate, each with what it concerns, as a
// test spells them.
func reasons(r *assess.Result, c *certificate.Certificate) string {
	var all []string
	for _, why := range c.Reasons {
		s := why.Kind.String()
		if why.Kind != certificate.IntegrityOpen && len(why.Tests) > 0 {
			s += " " + strings.Join(check.Numbers(r.Lines, why.Tests), ",")
		}
		if why.Count > 0 {
			s += fmt.Sprint(" ", why.Count)
		}
		for _, name := range why.Names {
			s += " " + name
		}
		if why.Finding != nil {
			s += " " + why.Finding.Check.Name
		}
		if why.Report != nil {
			var gaps []string
			for _, g := range why.Report.Gaps {
				gap := g.Kind.String()
				if g.Signer.Key != "" {
					gap += "/" + g.Signer.Key
				}
				gaps = append(gaps, gap)
			}
			day := "of no day"
			if !why.Report.Date.IsZero() {
				day = why.Report.Date.ISO()
			}
			s += " " + day + ": " + strings.Join(gaps, ",")
		}
		all = append(all, s)
	}
	if len(all) == 0 {
		return "issued"
	}
	return strings.Join(all, "; ")
}

func of(t *testing.T, r *assess.Result, area string) *certificate.Certificate {
	t.Helper()
	all := certificate.Of(r)
	i := slices.IndexFunc(all, func(c certificate.Certificate) bool { return c.Standing.Name == area })
	if i < 0 {
		t.Fatalf("no area %q", area)
	}
	return &all[i]
}

// Each change of the complete job gives its reasons and no others. "" is an
// issued certificate.
func TestReasons(t *testing.T) {
	for _, c := range []struct{ name, changes, d1, d2 string }{
		{"complete", "", "", ""},

		{"an open fail", "readings: 9 | extract=57.3; recorded=67.3; recorded verdict=fail", "", "open-fail 9"},
		{"a fail without its retest", "readings: -4\nreadings: -5\nreadings: -6", "open-fail 3", ""},
		{"a fail with one adjacent test", "readings: -6\nreadings: 10 | test=6", "open-fail 3", ""},
		{"a failing retest", "readings: 4 | extract=57.3; recorded=67.1; recorded verdict=fail", "open-fail 3", ""},
		{"a washing after the retest", "treatments: T1 | started=13:55; ended=14:10", "open-fail 3", ""},
		{"an adjacent test that fails", "readings: 6 | extract=57.3; recorded=67.1; recorded verdict=fail", "open-fail 3,6", ""},
		{"a fail called void", "readings: 8 | extract=57.3; recorded=67.3; recorded verdict=fail; remark=\nreadings: -9", "", "open-fail 8"},
		{"a fail in words whose reading is gone", "readings: 10 | extract=; recorded=; recorded verdict=fail", "", "open-fail 10"},

		{"no limit", "job: -limit", "no-limit", "no-limit"},
		{"a limit without a unit", "job: limit | value=50", "no-limit", "no-limit"},
		{"no basis", "job: -limit basis", "no-basis", "no-basis"},
		{"neither unit nor basis", "job: limit | value=50\njob: -limit basis", "no-limit; no-basis", "no-limit; no-basis"},
		{"a second limit without a basis of its own takes that of the first", "job: +limit 2,60 mg/m2", "", ""},
		{"limits differ", "readings: 10 | remark=\nreadings: add limit (mg/m2)\nreadings: 10 | limit=60", "", "limits-differ"},
		{"one limit in two spellings", "readings: add limit\nreadings: 9 | limit=5 µg/cm2", "", ""},
		{"two limits", "job: +limit,60 mg/m2", "terms-differ limit", "terms-differ limit"},
		{"two bases", "job: +limit basis,chloride ion", "terms-differ limit basis", "terms-differ limit basis"},
		{"two sampling rules", "job: +sampling rule,2", "terms-differ sampling rule", "terms-differ sampling rule"},
		{"two clients", "job: +client,another", "", ""},
		{"a decision rule that nobody can read", "job: decision rule | value=guarded with U = 4", "terms-unread decision rule", "terms-unread decision rule"},
		{"a rounding that nobody can read", "job: limit rounding | value=nearest", "terms-unread limit rounding", "terms-unread limit rounding"},
		{"a limit of the area that nobody can read", "areas: add limit\nareas: D2 | limit=as agreed", "", "terms-unread limit"},
		{"a fail in the log that its readings lift", "readings: 10 | extract=42.0; recorded=50.4; recorded verdict=fail", "", "written-fail 10"},
		{"a value of total salts above a limit of chloride", "job: limit basis | value=chloride ion\nreadings: 10 | extract=57.3; recorded=67.2; recorded verdict=", "written-fail 3", ""},
		{"no sampling rule", "job: -sampling rule", "no-sampling-rule", "no-sampling-rule"},
		{"the rule needs the size", "job: sampling rule | value=3 for the first 100 m2, then 1 per further 100 m2 or part\nareas: D2 | size=", "", "required-unknown"},
		{"too few", "job: sampling rule | value=4", "too-few-tests 1", "too-few-tests 1"},
		{"too few by far, of one area", "areas: add sampling rule\nareas: D1 | sampling rule=12", "too-few-tests 9", ""},
		{"not established", "readings: 10 | blank=", "", "too-few-tests 1; unproven-tests 10"},
		{"not established, and enough others", "job: sampling rule | value=2\nreadings: 10 | blank=", "", "unproven-tests 10"},
		{"a void one that nothing replaced", "readings: -9", "", "too-few-tests 1"},
		{"a void one more than needed", "job: sampling rule | value=2\nreadings: -9", "", ""},
		{"no water", "readings: 7 | blank=6.1; extract=31.2", "", "too-few-tests 1; unproven-tests 7"},
		{"spot types", "job: +spot types required,\"weld, flange\"", "spot-types-missing flange", "spot-types-missing flange"},
		{"one type in one area", "job: +spot types required,weld\nreadings: 2 | spot type=plate", "spot-types-missing weld", ""},
		{"a control of the whole area", "job: sampling rule | value=3 for the first 100 m2, then 1 per further 100 m2 or part\nareas: +D2,the same,95,carbon steel,", "",
			"failed-control area-size-missing"},
		{"several at once", "job: -limit basis\nareas: D2 | size=\njob: sampling rule | value=1 per 10 m2, at least 5\nsignatures: #6 | signed at=2026-03-04 08:30\ndays: 2026-03-03 | report number=",
			"too-few-tests 3; no-basis; report-incomplete 2026-03-03: no-number", "required-unknown; no-basis; report-incomplete 2026-03-04: signed-early/owner"},
		{"a fail, and too few", "readings: 10 | extract=57.3; recorded=67.2; recorded verdict=fail\nreadings: 7 | blank=; recorded=; recorded verdict=", "",
			"open-fail 10; too-few-tests 1; unproven-tests 7"},
	} {
		t.Run(c.name, func(t *testing.T) { expect(t, complete.New(t, c.changes).Judge(t), c.d1, c.d2) })
	}
}

func expect(t *testing.T, r *assess.Result, d1, d2 string) {
	t.Helper()
	for area, want := range map[string]string{"D1": d1, "D2": d2} {
		if want == "" {
			want = "issued"
		}
		c := of(t, r, area)
		if got := reasons(r, c); got != want {
			t.Errorf("%s: got  %s\nwant %s", area, got, want)
		}
		if c.Refused() != (want != "issued") || !c.Refused() && c.Standing.Verdict != assess.AcceptedForSalt {
			t.Errorf("%s: refused %v, and the area is %s", area, c.Refused(), c.Standing.Verdict)
		}
	}
}

// What the daily reports lack, each in one of the days.
func TestReportsIncomplete(t *testing.T) {
	signed := func(k, revision string) string { return "signatures: #" + k + " | revision=" + revision + "\n" }
	revised := "days: +2026-03-04,07:00,12:00,\"calm, dry\",Salt tests on dolphin 2,DR-02,1,"
	for _, c := range []struct{ name, changes, d2 string }{
		{"no diary", "days: -2026-03-04", "no-diary"},
		{"no number", "days: 2026-03-04 | report number=", "no-number"},
		{"one has not signed", "signatures: #5 | role=foreman", "not-signed/qc"},
		{"nobody has signed", "signatures: none", "not-signed/inspector,not-signed/qc,not-signed/owner"},
		{"signed without a time", "signatures: #4 | signed at=", "not-signed/inspector"},
		{"signed without a name", "signatures: #4 | name=", "not-signed/inspector"},
		{"signed under another day", "signatures: #6 | date=2026-03-05", "not-signed/owner"},
		{"a signature of the certificate is none of the report", "signatures: #5 | document=certificate D2", "not-signed/qc"},
		{"a signature of a later revision that is not in the diary", signed("5", "1"), "not-signed/qc"},
		{"a signature without a revision", signed("5", ""), ""},
		{"a diary without revisions", "days: drop revision", ""},
		{"signed a minute before the last reading", "signatures: #5 | signed at=2026-03-04 09:16", "signed-early/qc"},
		{"signed in the minute of the last reading", "signatures: #5 | signed at=2026-03-04 09:17", ""},
		{"signed the day before", "signatures: #5 | signed at=2026-03-03", "signed-early/qc"},
		{"signed on the day, no time", "signatures: #5 | signed at=2026-03-04", ""},
		{"read after midnight", "readings: 10 | start=23:55; read=00:08\nchecks: #4 | time=23:59\nchecks: +2026-03-05,00:20,K-1,potassium chloride,84,S-9,2026-10-31,15.1,84.2,5,as found,Inga Solem\n" +
			"water: #3 | time=23:40\nsignatures: #4 | signed at=2026-03-05 00:30\nsignatures: #5 | signed at=2026-03-04 23:58\nsignatures: #6 | signed at=2026-03-05 08:00", "signed-early/qc"},
		{"a later revision, unsigned and unexplained", revised, "no-reason,not-signed/inspector,not-signed/qc,not-signed/owner"},
		{"a later revision, signed and unexplained", revised + "\n" + signed("4", "1") + signed("5", "1") + signed("6", "rev. 1"), "no-reason"},
		{"a later revision, explained, signed without its number", revised + "test 7 mistyped\n" + signed("4", "1") + signed("5", "") + signed("6", "1"), "not-signed/qc"},
		{"a later revision, signed and explained", revised + "test 7 mistyped\n" + signed("4", "1") + signed("5", "1") + signed("6", "1"), ""},
		{"two reports of a day: the other one is no earlier revision", "days: +2026-03-04,13:00,18:00,,,DR-02N,0,", ""},
		{"the number of a day without tests", "days: +2026-03-05,07:00,12:00,,no testing,DR-02,0,", "same-number"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := complete.New(t, c.changes).Judge(t)
			d1, d2 := "", ""
			if c.d2 != "" {
				d2 = "report-incomplete 2026-03-04: " + c.d2
			}
			if c.name == "nobody has signed" {
				d1 = "report-incomplete 2026-03-03: " + c.d2
			}
			expect(t, r, d1, d2)
		})
	}
}

// One number on the reports of two days refuses both; a test without a date is
// of no report, and its area has a sheet that says so once.
func TestReportsTogether(t *testing.T) {
	expect(t, complete.New(t, "days: 2026-03-04 | report number=dr-01").Judge(t),
		"report-incomplete 2026-03-03: same-number", "report-incomplete 2026-03-04: same-number")
	expect(t, complete.New(t, "readings: 10 | date=\njob: sampling rule | value=2").Judge(t), "", "report-incomplete of no day: undated")
}

// A digest of rows that a signature names is held against the rows; one of a
// whole record changes with every day and is not.
func TestSignedRows(t *testing.T) {
	const column = "signatures: add data digest\n"
	r := complete.New(t, "").Judge(t)
	c := of(t, r, "D2")
	rows := c.Reports[0].Digest
	if len(rows) != 64 {
		t.Fatalf("digest %q", rows)
	}
	other := of(t, r, "D1").Reports[0].Digest
	changed := "report-incomplete 2026-03-04: changed-since/qc"
	for _, c := range []struct{ name, digest, want string }{
		{"whole", "rows " + rows, ""},
		{"short", "rows " + rows[:16], ""},
		{"short, with an ellipsis", "Rows: " + rows[:8] + "…", ""},
		{"grouped", "rows " + rows[:4] + " " + rows[4:8], ""},
		{"in capitals", "ROWS " + strings.ToUpper(rows[:16]), ""},
		{"as the German page says", "Zeilen " + rows[:16], ""},
		{"as the Norwegian page says, other rows", "rader " + other[:16], changed},
		{"other rows", "rows " + other, changed},
		{"longer than a digest is", "rows " + rows + "00", changed},
		{"of the whole record", other, ""},
		{"the word alone", "rows", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			expect(t, complete.New(t, column+"signatures: #5 | data digest="+c.digest).Judge(t), "", c.want)
		})
	}
	// The rows of the other day may change; those of the day, and what they rest
	// on, may not.
	named := column + "signatures: #5 | data digest=rows " + rows[:16] + "\n"
	for _, c := range []struct{ change, want string }{
		{"readings: 1 | extract=17.5", ""},
		{"readings: 10 | remark=windy", changed},
		{"readings: 10 | recorded=39.00", changed},
		{"checks: #4 | reading=84.1", changed},
		{"areas: D2 | size=56", changed},
		{"areas: D1 | size=61", ""},
		{"job: limit clause | value=SK-P-3 clause 6.3", changed},
		{"days: 2026-03-04 | weather=dry", ""},
		{"people: Paul Amsel | number=NB-091", ""},
	} {
		t.Run(c.change, func(t *testing.T) { expect(t, complete.New(t, named+c.change).Judge(t), "", c.want) })
	}
}

// A certificate that was issued stays issued with the same rows only, and each
// revision says what it changes.
func TestRevisions(t *testing.T) {
	const table = "documents: document,area or day,number,revision,issued on,data digest,what changed\n"
	rows := of(t, complete.New(t, "").Judge(t), "D2").Digest
	for _, c := range []struct{ name, documents, want, number, revision string }{
		{"to be issued", "documents: +certificate,D2,SK-C-2,0,,,", "", "SK-C-2", "0"},
		{"issued with these rows", "documents: +certificate,D2,SK-C-2,0,2026-03-05," + rows[:16] + ",", "", "SK-C-2", "0"},
		{"issued with these rows, as the page says", "documents: +certificate,D2,SK-C-2,0,2026-03-05,rows " + rows + ",", "", "SK-C-2", "0"},
		{"issued, no digest", "documents: +certificate,D2,SK-C-2,0,2026-03-05,,", "", "SK-C-2", "0"},
		{"issued with others", "documents: +certificate,D2,SK-C-2,0,2026-03-05,0123456789abcdef,", "issued-otherwise", "SK-C-2", "0"},
		{"not issued yet, and a digest beside it", "documents: +certificate,D2,SK-C-2,0,,0123456789abcdef,", "", "SK-C-2", "0"},
		{"one digest twice, once short", "documents: +certificate,D2,SK-C-2,0,2026-03-05," + rows[:16] + ",\ndocuments: +certificate,D2,SK-C-2,0,2026-03-05," + rows + ",", "", "SK-C-2", "0"},
		{"two digests", "documents: +certificate,D2,SK-C-2,0,2026-03-05,0123456789abcdef,\ndocuments: +certificate,D2,SK-C-2,0,2026-03-05," + rows[:16] + ",", "issued-twice", "SK-C-2", "0"},
		{"two digests, neither of these rows", "documents: +certificate,D2,SK-C-2,0,2026-03-05,0123,\ndocuments: +certificate,D2,SK-C-2,0,2026-03-05,4567,", "issued-twice; issued-otherwise", "SK-C-2", "0"},
		{"the next one, explained", "documents: +certificate,D2,SK-C-2,0,2026-03-05,0123,\ndocuments: +certificate,D2,SK-C-2,1,,,size corrected", "", "SK-C-2", "1"},
		{"the next one, unexplained, and above the first", "documents: +certificate,D2,SK-C-2,1,,,\ndocuments: +certificate,D2,SK-C-2,0,2026-03-05,0123,", "revision-unexplained", "SK-C-2", "1"},
		{"issued with others, and a row below that says nothing", "documents: +certificate,D2,SK-C-2,0,2026-03-05,0123456789abcdef,\ndocuments: +certificate,D2,SK-C-2,0,,,", "issued-otherwise", "SK-C-2", "0"},
		{"a digest of one digit shows nothing", "documents: +certificate,D2,SK-C-2,0,2026-03-05," + rows[:1] + ",", "issued-otherwise", "SK-C-2", "0"},
		{"a later one whose first is not there", "documents: +certificate,D1,SK-C-1,0,,,\ndocuments: +certificate,D2,SK-C-2,1,,,", "revision-unexplained", "SK-C-2", "1"},
		{"the number of another area", "documents: +certificate,D1,SK-C-2,0,,,\ndocuments: +certificate,D2,SK-C-2,0,,,", "number-twice D1", "SK-C-2", "0"},
		{"of another area, and of other kinds", "documents: +certificate,D1,SK-C-1,0,2026-03-05,,\ndocuments: +daily report,D2,DR-02,0,2026-03-05,0123,\ndocuments: +dossier,,SK-D,0,2026-03-05,0123,", "", "SB-7-SC-D2", ""},
		{"in another language and case", "documents: +Sertifikat,d2,SK-C-2,A,,,", "", "SK-C-2", "A"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := complete.New(t, table+c.documents).Judge(t)
			first := ""
			if strings.HasPrefix(c.want, "number-twice") {
				first = "number-twice D2"
			}
			expect(t, r, first, c.want)
			is := of(t, r, "D2").Issue
			if is.Number != c.number || is.Revision != c.revision || is.Formed != (c.revision == "") {
				t.Errorf("number %q (formed %v), revision %q", is.Number, is.Formed, is.Revision)
			}
		})
	}
}

// A number that is missing is a deviation of every certificate, for the test may
// have been of any area; the air of one day and place is not.
func TestDeviationsOfTheRecord(t *testing.T) {
	r := complete.New(t, "readings: 10 | test=12\nambient: +2026-03-05,07:10,\"elsewhere, shade\",8.0,85,1.0,6.0,calm,Inga Solem").Judge(t)
	for _, area := range []string{"D1", "D2"} {
		var names []string
		for _, f := range of(t, r, area).Deviations {
			names = append(names, f.Check.Name)
		}
		if got := strings.Join(names, "; "); got != "numbers-missing" {
			t.Errorf("%s: deviations %q", area, got)
		}
	}
	found := false
	for i := range r.Findings {
		found = found || len(r.Findings[i].Tests) == 0 && r.Findings[i].Check.Group == assess.TemperatureAndAmbient
	}
	if !found {
		t.Error("nothing is found about the air, so nothing is shown of it")
	}
}

// A question about the record refuses the areas that it touches, once, and the
// tests that wait for its answer are no reason of their own.
func TestQuestions(t *testing.T) {
	two := "signatures: add data digest\nsignatures: #4 | data digest=aa01\nsignatures: #5 | data digest=bb02"
	expect(t, complete.New(t, two).Judge(t), "", "integrity-open revision-differs")
	whole := "signatures: add data digest\nsignatures: +dossier,0,,QC manager,Paul Amsel,,,,c1\nsignatures: +dossier,0,,owner's representative,Rita Vaz,,,,c2"
	expect(t, complete.New(t, whole).Judge(t), "integrity-open revision-differs", "integrity-open revision-differs")
	// A test that proves nothing for a reason of its own stays one.
	expect(t, complete.New(t, two+"\nreadings: 10 | blank=").Judge(t), "", "too-few-tests 1; unproven-tests 10; integrity-open revision-differs")

	// A later revision of a day that lacks a test, and one that says so.
	revised := "days: 2026-03-04 | revision=1; what changed=%s\nsignatures: #4 | revision=1\nsignatures: #5 | revision=1\nsignatures: #6 | revision=1\n" +
		"job: sampling rule | value=2\nreadings: -7"
	for _, c := range []struct{ says, want string }{
		{"typing errors", "integrity-open test-gone-in-a-revision"},
		{"test 7 withdrawn: it was on the fender", ""},
	} {
		parts := []*record.Job{
			complete.New(t, "job: sampling rule | value=2").Bind(t, "first"),
			complete.New(t, fmt.Sprintf(revised, c.says)).Bind(t, "second"),
		}
		r := assess.Run(record.Join(parts), check.All())
		expect(t, r, "", c.want)
		if n := len(of(t, r, "D2").Deviations); c.want == "" && n == 0 {
			t.Error("the certificate does not list the test that was withdrawn")
		}
	}
}
