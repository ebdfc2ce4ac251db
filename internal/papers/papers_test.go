package papers_test

import (
	"fmt"
	"strings"
	"testing"

	"saltline/internal/certificate/testdata/complete"
	"saltline/internal/papers"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// spell is a report in a line: its day, number and revision, how many tests and
// earlier revisions, who signed, and what it lacks.
func spell(p *papers.Report) string {
	var signed, gaps []string
	for _, s := range p.Signed {
		if s.Signature != nil {
			signed = append(signed, s.Signer.Key)
		}
	}
	for _, g := range p.Gaps {
		gaps = append(gaps, strings.TrimSpace(g.Kind.String()+" "+g.Signer.Key))
	}
	day := "no day"
	if !p.Date.IsZero() {
		day = p.Date.ISO()[5:]
	}
	return fmt.Sprintf("%s %s/%s %d tests, %d earlier, signed %s; %s", day, p.Number, p.Revision, len(p.Tests), len(p.Earlier), strings.Join(signed, " "), strings.Join(gaps, ", "))
}

func TestReports(t *testing.T) {
	const first = "03-03 DR-01/0 6 tests, 0 earlier, signed inspector qc owner; "
	const second = "03-04 DR-02/0 4 tests, 0 earlier, signed inspector qc owner; "
	for _, c := range []struct {
		name, changes string
		want          []string
	}{
		{"complete", "", []string{first, second}},
		{"no diary", "days: -2026-03-04", []string{first, "03-04 / 4 tests, 0 earlier, signed inspector qc owner; no-diary"}},
		{"no diary at all", "days: none", []string{"03-03 / 6 tests, 0 earlier, signed inspector qc owner; no-diary", "03-04 / 4 tests, 0 earlier, signed inspector qc owner; no-diary"}},
		{"nothing signed", "signatures: none", []string{
			"03-03 DR-01/0 6 tests, 0 earlier, signed ; not-signed inspector, not-signed qc, not-signed owner",
			"03-04 DR-02/0 4 tests, 0 earlier, signed ; not-signed inspector, not-signed qc, not-signed owner"}},
		{"a test without a date", "readings: 10 | date=", []string{"no day / 1 tests, 0 earlier, signed ; undated", first, "03-04 DR-02/0 3 tests, 0 earlier, signed inspector qc owner; "}},
		{"three revisions, the latest in the middle", "days: +2026-03-04,,,,,DR-02,10,again\ndays: +2026-03-04,,,,,DR-02,2,typing\nsignatures: #4 | revision=10\nsignatures: #5 | revision=2",
			[]string{first, "03-04 DR-02/10 4 tests, 2 earlier, signed inspector; not-signed qc, not-signed owner"}},
		{"one revision twice", "days: +2026-03-04,,,,,DR-02,0,", []string{first, second}},
		{"two shifts, each with its report", "days: 2026-03-04 | revision=1; what changed=typing\ndays: +2026-03-04,,,,,DR-02N,0,\nsignatures: #4 | revision=1\nsignatures: #5 | revision=1\nsignatures: #6 | revision=1",
			[]string{first, "03-04 DR-02/1 4 tests, 0 earlier, signed inspector qc owner; "}},
		{"two signed as one role: the later row counts", "signatures: +daily report,0,2026-03-04,QS-Leiter,Paul Amsel,,2026-03-04 09:00,wet ink", []string{first, "03-04 DR-02/0 4 tests, 0 earlier, signed inspector qc owner; signed-early qc"}},
		{"the owner's signature by the inspector", "signatures: #6 | name=inga  Solem", []string{first, "03-04 DR-02/0 4 tests, 0 earlier, signed inspector qc owner; one-signer owner"}},
		{"the reviewer is the inspector", "signatures: #5 | name=Inga Solem", []string{first, second}},
		{"a permit is no report", "signatures: #6 | document=hot work permit", []string{first, "03-04 DR-02/0 4 tests, 0 earlier, signed inspector qc; not-signed owner"}},
		{"a digest of one digit shows nothing", "signatures: add data digest at signing\nsignatures: #1 | data digest at signing=rows 0\nsignatures: #2 | data digest at signing=rows 1", []string{
			"03-03 DR-01/0 6 tests, 0 earlier, signed inspector qc owner; changed-since inspector, changed-since qc", second}},
		{"listed with other rows", "documents: document,area or day,number,revision,issued on,data digest,what changed\ndocuments: +daily report,2026-03-04,DR-02,0,2026-03-04,rows 0123456789abcdef,\ndocuments: +daily report,2026-03-03,DR-01,1,2026-03-04,rows 0123456789abcdef,",
			[]string{first, "03-04 DR-02/0 4 tests, 0 earlier, signed inspector qc owner; issued-else"}},
		{"a later revision whose first is not there", "days: 2026-03-04 | revision=1\nsignatures: #4 | revision=1\nsignatures: #5 | revision=1\nsignatures: #6 | revision=1",
			[]string{first, "03-04 DR-02/1 4 tests, 0 earlier, signed inspector qc owner; no-reason"}},
		{"glass is of the day", "readings: +11,,glass plate,,2026-03-04,07:46,07:58,1.2,W-3,3.0,3.0,2.8,4,1.6,13.0,on,1250,single-use adhesive,P-11,K-1,,,Inga Solem,procedural blank,,,",
			[]string{first, "03-04 DR-02/0 5 tests, 0 earlier, signed inspector qc owner; "}},
	} {
		t.Run(c.name, func(t *testing.T) {
			list := papers.Reports(complete.New(t, c.changes).Judge(t))
			if len(list) != len(c.want) {
				t.Fatalf("%d reports, want %d", len(list), len(c.want))
			}
			for i := range list {
				if got := spell(&list[i]); got != c.want[i] {
					t.Errorf("got  %s\nwant %s", got, c.want[i])
				}
				if list[i].Complete() != strings.HasSuffix(c.want[i], "; ") {
					t.Errorf("%s: complete %v", c.want[i], list[i].Complete())
				}
			}
		})
	}
}

func TestKindOf(t *testing.T) {
	for document, want := range map[string]papers.Kind{
		"daily report": papers.DailyReport, "": papers.DailyReport, "DR-02": papers.DailyReport,
		"certificate D2": papers.Certificate, "Zertifikat": papers.Certificate, "SERTIFIKAT 4": papers.Certificate, "certificado de zona": papers.Certificate,
		"dossier": papers.Dossier, "handover dossier": papers.Dossier, "Übergabemappe": papers.Dossier, "dossier with certificates": papers.Certificate,
	} {
		if got := papers.KindOf(document); got != want {
			t.Errorf("%q: %d, want %d", document, got, want)
		}
	}
}

func TestNames(t *testing.T) {
	for _, c := range []struct {
		text, what string
		want       bool
	}{
		{"certificate UG", "ug", true}, {"certificate UG-2", "UG", false}, {"certificate UG, page 1", "UG", true}, {"(UG)", "UG", true},
		{"certificate upper gate 2", "Upper  Gate", true}, {"certificate", "", false}, {"certificate", ",", false}, {"UGLG", "UG", false},
	} {
		if got := papers.Names(c.text, c.what); got != c.want {
			t.Errorf("%q names %q: %v", c.text, c.what, got)
		}
	}
}

// A signature under a certificate is found by its number or its area, and under
// the revision that it names.
func TestSignatureOf(t *testing.T) {
	const add = "signatures: +certificate %s,%s,,QC manager,Paul Amsel,,2026-03-05 10:00,wet ink"
	for _, c := range []struct {
		document, of, area, revision string
		want                         bool
	}{
		{"D2", "", "D2", "", true}, {"SK-C-2", "", "D2", "", true}, {"D1", "", "D2", "", false}, {"", "", "D2", "", false},
		{"", "", "", "", true}, // a log without areas has one certificate
		{"D2", "0", "D2", "0", true}, {"D2", "0", "D2", "", true}, {"D2", "", "D2", "0", true}, {"D2", "0", "D2", "1", false},
		{"D2", "", "D2", "1", false}, {"D2", "rev. 1", "D2", "1", true}, {"D2", "1", "D2", "0", false},
	} {
		job := complete.New(t, fmt.Sprintf(add, c.document, c.of)).Bind(t, "")
		g := papers.SignatureOf(job, papers.Certificate, papers.QCManager, c.area, "SK-C-2", c.revision)
		if (g != nil) != c.want {
			t.Errorf("certificate %q revision %q, asked for area %q revision %q: %v", c.document, c.of, c.area, c.revision, g != nil)
		}
		if papers.SignatureOf(job, papers.Certificate, papers.Owner, c.area, "SK-C-2", c.revision) != nil {
			t.Error("the signature of one role is taken for that of another")
		}
	}
}

func TestCard(t *testing.T) {
	job := complete.New(t, "people: +Olav Berg,Ottermouth Blasting,inspector,,,").Bind(t, "")
	for _, c := range []struct {
		signer     papers.Signer
		name, want string
	}{
		{papers.QCManager, "", "NB-090"}, {papers.QCManager, "paul  amsel", "NB-090"}, {papers.QCManager, "Rita Vaz", "SK-12"},
		{papers.Inspector, "", ""}, {papers.Inspector, "Nobody", ""}, {papers.Inspector, "Inga Solem", "NB-311"},
	} {
		got := ""
		if p := papers.Card(job, c.signer, c.name); p != nil {
			got = p.CardNumber.Val
		}
		if got != c.want {
			t.Errorf("%s %q: card %q, want %q", c.signer.Key, c.name, got, c.want)
		}
	}
}

func TestCalibration(t *testing.T) {
	job := complete.New(t, "meters: K-1 | certificate=old; calibrated on=2025-03-01; due=2026-03-01\n"+
		"meters: +k-1,conductivity,,,,,new,2026-03-05,2027-03-05,\nmeters: +K-2,conductivity,,,,,undated,2026-01-01,,\nmeters: +K-3,conductivity,,,,,open,,2026-06-01,").Bind(t, "")
	for _, c := range []struct {
		serial, day, certificate string
		inForce                  bool
	}{
		{"K-1", "2025-02-28", "new", false}, {"K-1", "2025-03-01", "old", true}, {"K-1", "2026-03-01", "old", true},
		{"K-1", "2026-03-02", "new", false}, {"K-1", "2026-03-04", "new", false}, {"K-1", "2026-03-05", "new", true}, {"k-1", "2027-03-05", "new", true},
		{"K-1", "2027-03-06", "new", false}, {"K-2", "2026-02-01", "undated", false}, {"K-3", "2020-01-01", "open", true}, {"K-3", "2026-06-02", "open", false},
		{"K-4", "2026-02-01", "", false}, {"", "2026-02-01", "", false},
	} {
		var day unit.Date
		fmt.Sscanf(c.day, "%d-%d-%d", &day.Year, &day.Month, &day.Day)
		row, inForce := papers.Calibration(job, c.serial, day)
		got := ""
		if row != nil {
			got = row.Certificate.Val
		}
		if got != c.certificate || inForce != c.inForce {
			t.Errorf("%s on %s: certificate %q in force %v, want %q %v", c.serial, c.day, got, inForce, c.certificate, c.inForce)
		}
	}
	if _, inForce := papers.Calibration(job, "K-3", unit.Date{}); inForce {
		t.Error("a certificate is in force on a day that is not known")
	}
}

// The number of a document that has none is formed from the job and the area.
func TestFormedNumbers(t *testing.T) {
	job := complete.New(t, "").Bind(t, "")
	for _, c := range []struct {
		kind       papers.Kind
		area, want string
	}{
		{papers.Certificate, "D1", "SB-7-SC-D1"}, {papers.Certificate, "Deck 1 aft", "SB-7-SC-Deck-1-aft"}, {papers.Certificate, "", "SB-7-SC"}, {papers.Dossier, "", "SB-7-SD"},
	} {
		if is := papers.IssueOf(job, c.kind, c.area, "00"); is.Number != c.want || !is.Formed || is.Row != nil || len(is.Gaps) > 0 {
			t.Errorf("%q: %+v", c.area, is)
		}
	}
}

func TestOfRows(t *testing.T) {
	for text, want := range map[string]string{
		"rows 9c41b2e0": "9c41b2e0", "Rows: 9C41 B2E0…": "9c41b2e0", "Zeilen 9c41": "9c41", "filas 9c41": "9c41", "lignes 9c41": "9c41", "rader 9c41": "9c41",
		"9c41b2e0": "", "record 9c41": "", "rows": "", "rows …": "", "": "",
	} {
		g := record.Words{Val: text, Text: text, State: record.Known}
		if got, of := papers.OfRows(g); got != want || of != (want != "") {
			t.Errorf("%q: %q, %v", text, got, of)
		}
	}
}
