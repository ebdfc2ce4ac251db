package dossier_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"saltline/internal/assess"
	"saltline/internal/certificate/testdata/complete"
	"saltline/internal/check"
	"saltline/internal/dossier"
	"saltline/internal/record"
	"saltline/internal/unit"
)

const digest = "5d0e7a4b9c21f3865d0e7a4b9c21f3865d0e7a4b9c21f3865d0e7a4b9c21f386"

func days(list []unit.Date) string {
	var all []string
	for _, d := range list {
		all = append(all, d.ISO()[5:])
	}
	return strings.Join(all, ",")
}

// missing spells what a dossier lacks.
func missing(d *dossier.Dossier) string {
	var all []string
	for _, m := range d.Missing {
		s := m.Kind.String()
		switch {
		case m.Certificate != nil:
			s += " " + m.Certificate.Standing.Name
		case m.Report != nil:
			var gaps []string
			for _, g := range m.Report.Gaps {
				gaps = append(gaps, g.Kind.String())
			}
			s += " " + strings.Join(slices.Compact(gaps), ",")
		case m.Finding != nil:
			s += " " + m.Finding.Check.Name
		case m.Balance != nil:
			s += " " + m.Balance.Kind.String()
		}
		if m.Name != "" {
			s += " " + m.Name
		}
		if len(m.Days) > 0 {
			s += " " + days(m.Days)
		}
		all = append(all, s)
	}
	if len(all) == 0 {
		return "issuable"
	}
	return strings.Join(all, "; ")
}

func open(d *dossier.Dossier) string {
	var all []string
	for _, p := range d.Open {
		if p.Finding != nil {
			all = append(all, p.Finding.Check.Name)
		} else {
			all = append(all, p.Day.From.ISO()[5:]+"/"+p.Day.Until.ISO()[5:])
		}
	}
	return strings.Join(all, "; ")
}

// Each change of the complete job leaves what it names missing, and nothing
// else; what is open beside it is listed.
func TestMissing(t *testing.T) {
	const documents = "documents: document,area or day,number,revision,issued on,data digest,what changed\n"
	const third = "readings: +11,D2,\"west, 2.6 m\",plate,2026-03-05,09:01,09:14,1.3,W-4,3.0,3.0,2.7,4,23.8,14.7,on,1250,single-use adhesive,P-11,K-1,27.0,pass,Inga Solem,,,,\n" +
		"water: +W-4,ISO 3696 grade 3,2026-03-05,2026-12-31,2026-03-05,08:45,1.3,water\n" +
		"checks: +2026-03-05,08:35,K-1,potassium chloride,84,S-9,2026-10-31,14.9,83.5,5,as found,Inga Solem\n" +
		"checks: +2026-03-05,09:50,K-1,potassium chloride,84,S-9,2026-10-31,15.7,84.2,5,as found,Inga Solem\n" +
		"ambient: +2026-03-05,08:50,\"D2, shade\",8.6,64,2.2,9.4,\"calm, dry\",Inga Solem\n" +
		"patches: P | closing stock=29\n" +
		"days: +2026-03-05,07:00,12:00,\"calm, dry\",Salt tests on dolphin 2,DR-03,0,\n" +
		"signatures: +daily report,0,2026-03-05,inspector,Inga Solem,,2026-03-05 10:30,wet ink\n" +
		"signatures: +daily report,0,2026-03-05,QC manager,Paul Amsel,,2026-03-05 10:40,wet ink\n" +
		"signatures: +daily report,0,2026-03-05,owner's representative,Rita Vaz,,2026-03-05 11:40,wet ink\n"
	for _, c := range []struct{ name, changes, missing, open string }{
		{"complete", "", "issuable", ""},
		{"a third day", third, "issuable", ""},

		{"no tests on steel", "areas: none\nreadings: 1 | kind=procedural blank; recorded verdict=; area=\n" + without(2, 10) + "treatments: none\ndays: -2026-03-04", "no-tests; does-not-balance patches", "patch-stock-differs"},
		{"an area without a certificate", "readings: 10 | extract=57.3; recorded=67.2; recorded verdict=fail", "not-certified D2", ""},
		{"an area on the list that nobody tested", "areas: +D3,Dolphin 3,50,carbon steel,", "not-certified D3", ""},
		{"an unsigned report", "signatures: #5 | role=foreman", "not-certified D2; report-incomplete not-signed", ""},
		{"a test without a date", "readings: 10 | date=", "not-certified D2; report-incomplete undated", ""},
		{"a report between two", "days: 2026-03-04 | report number=DR-03", "report-missing DR-02", ""},
		{"a report between two, of a day without tests", "days: 2026-03-04 | report number=DR-03\ndays: +2026-03-05,,,rain,no testing,DR-02,0,", "issuable", ""},
		{"a report between two, accounted for", "days: 2026-03-04 | report number=DR-03; what changed=DR-02 was never given out", "issuable", ""},
		{"numbers that are missing", "readings: 10 | test=13", "open-question numbers-missing", ""},
		{"a number used twice", "readings: 10 | test=7", "open-question number-used-twice", "out-of-time-order"},
		{"a retest of a test that is not there", "readings: 4 | kind=adjacent; of test=33\nreadings: 3 | extract=17.1; recorded=18.8; recorded verdict=pass", "open-question number-missing-beside-a-retest", ""},
		{"no row of the meter", "meters: none", "meter-not-covered K-1 03-03,03-04", ""},
		{"a meter whose end is not recorded", "meters: K-1 | due=", "meter-not-covered K-1 03-03,03-04", ""},
		{"a meter due on the last day", "meters: K-1 | due=2026-03-04", "issuable", ""},
		{"a meter due the day before", "meters: K-1 | due=2026-03-03", "not-certified D2; meter-not-covered K-1 03-04", "outside-certificate"},
		{"a meter calibrated between", "meters: K-1 | calibrated on=2026-03-04", "not-certified D1; meter-not-covered K-1 03-03", "outside-certificate"},
		{"two certificates in a row", "meters: K-1 | due=2026-03-03\nmeters: +K-1,conductivity,0 to 1999 µS/cm,0.1 µS/cm,2,\"on, 2 %/°C\",C-207,2026-03-04,2027-03-10,Skarsund Calibration", "issuable", ""},
		{"two certificates, the later first", "meters: K-1 | calibrated on=2026-03-04\nmeters: +K-1,conductivity,0 to 1999 µS/cm,0.1 µS/cm,2,\"on, 2 %/°C\",C-044,2025-03-01,2026-03-03,Skarsund Calibration", "issuable", ""},
		{"an inspector who is not listed", "people: -Inga Solem", "person-not-listed Inga Solem 03-03,03-04", ""},
		{"somebody who signs and is not listed", "people: -Rita Vaz", "issuable", ""},
		{"a card that ended between", "people: Inga Solem | expiry=2026-03-03", "card-expired Inga Solem 03-04", ""},
		{"a card that ended on the last day", "people: Inga Solem | expiry=2026-03-04", "issuable", ""},
		{"a renewed card, the old one below it", "people: +Inga Solem,Ottermouth Blasting,inspector,coating inspector grade 2,NB-311,2026-03-03", "issuable", ""},
		{"a card whose end nobody can read", "people: Inga Solem | expiry=next year", "card-unread Inga Solem", ""},
		{"the card of one who only signs, its end unread", "people: Rita Vaz | expiry=next year", "issuable", ""},
		{"a certificate of an area that is not there", documents + "documents: +certificate,D3,SK-C-3,0,2026-03-06,,\ndocuments: +certificate,d1,SK-C-1,0,2026-03-06,,", "area-gone D3", ""},
		{"a card without an end", "people: Inga Solem | expiry=", "issuable", ""},
		{"the card of one who signs a day later", "people: Rita Vaz | expiry=2026-03-03", "card-expired Rita Vaz 03-04", ""},
		{"patches that are not accounted for", "patches: P | closing stock=29", "does-not-balance patches", "patch-stock-differs"},
		{"patches that were not counted", "patches: P | closing stock=", "issuable", ""},
		{"issued with this record", documents + "documents: +dossier,,SK-H,0,2026-03-06," + digest[:16] + ",", "issuable", ""},
		{"issued with others", documents + "documents: +dossier,,SK-H,0,2026-03-06,0123456789abcdef,", "issued-otherwise", ""},
		{"issued twice", documents + "documents: +dossier,,SK-H,0,2026-03-06,0123456789abcdef,\ndocuments: +dossier,,SK-H,0,2026-03-06," + digest + ",", "issued-twice", ""},
		{"a later revision, unexplained", documents + "documents: +dossier,,SK-H,0,2026-03-06,0123456789abcdef,\ndocuments: +handover dossier,,SK-H,1,,,", "revision-unexplained", ""},
		{"a later revision", documents + "documents: +dossier,,SK-H,0,2026-03-06,0123456789abcdef,\ndocuments: +handover dossier,,SK-H,1,,,a card was renewed", "issuable", ""},
		{"a day between of which nothing is recorded", "days: +2026-03-06,,,rain,no testing,DR-03,0,", "issuable", "03-05/03-05"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := complete.New(t, c.changes).Judge(t)
			d := dossier.Of(r, digest)
			if got := missing(d); got != c.missing {
				t.Errorf("missing %s\nwant    %s", got, c.missing)
			}
			if got := open(d); got != c.open {
				t.Errorf("open %s\nwant %s", got, c.open)
			}
			if d.Issuable() != (c.missing == "issuable") {
				t.Errorf("issuable %v", d.Issuable())
			}
		})
	}
}

// without takes rows of readings away.
func without(from, to int) string {
	var s strings.Builder
	for n := from; n <= to; n++ {
		fmt.Fprintf(&s, "readings: -%d\n", n)
	}
	return s.String()
}

// The record cannot name its own digest once it lists the dossier; the digest of
// the rows stays.
func TestIssuedRows(t *testing.T) {
	rows := dossier.Of(complete.New(t, "").Judge(t), digest).Digest
	const documents = "documents: document,area or day,number,revision,issued on,data digest,what changed\n"
	listed := documents + "documents: +dossier,,SK-H,0,2026-03-06,rows " + rows[:16] + ","
	if got := missing(dossier.Of(complete.New(t, listed).Judge(t), "another")); got != "issuable" {
		t.Errorf("issued and listed: %s", got)
	}
	if got := missing(dossier.Of(complete.New(t, listed+"\nreadings: 1 | remark=windy").Judge(t), "another")); got != "issued-otherwise" {
		t.Errorf("changed since: %s", got)
	}
}

// A test that a later revision withdrew by its number is open; one that went
// without a word is missing.
func TestRevisedDay(t *testing.T) {
	revised := "days: 2026-03-04 | revision=1; what changed=%s\nsignatures: #4 | revision=1\nsignatures: #5 | revision=1\nsignatures: #6 | revision=1\n" +
		"job: sampling rule | value=2\nreadings: -7\npatches: P | closing stock=31"
	for _, c := range []struct{ says, missing, open string }{
		{"typing errors", "not-certified D2; open-question test-gone-in-a-revision", ""},
		{"test 7 withdrawn: it was on the fender", "issuable", "test-gone-in-a-revision"},
	} {
		parts := []*record.Job{
			complete.New(t, "job: sampling rule | value=2\npatches: none").Bind(t, "first"),
			complete.New(t, fmt.Sprintf(revised, c.says)).Bind(t, "second"),
		}
		d := dossier.Of(assess.Run(record.Join(parts), check.All()), digest)
		if missing(d) != c.missing || open(d) != c.open {
			t.Errorf("%s: missing %s, open %s", c.says, missing(d), open(d))
		}
		if p := d.Reports[1]; len(p.Earlier) != 1 || p.Revision != "1" || p.Earlier[0].Revision.Val != "0" {
			t.Errorf("%s: %d earlier revisions of revision %q", c.says, len(p.Earlier), p.Revision)
		}
	}
}
