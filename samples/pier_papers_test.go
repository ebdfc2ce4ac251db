package samples

import (
	"cmp"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"saltline/internal/assess"
	"saltline/internal/certificate"
	"saltline/internal/check"
	"saltline/internal/dossier"
	"saltline/internal/papers"
	"saltline/internal/record"
)

// TestPierPapers holds the certificates and the dossier to what the record
// carries, counted without this program.
func TestPierPapers(t *testing.T) {
	r := judgePier(t)
	numbers := func(tests []int) string {
		var list []string
		for _, i := range tests {
			list = append(list, r.Lines[i].Test.Number().Val)
		}
		return strings.Join(list, " ")
	}
	d := dossier.Of(r, "")
	for _, m := range d.Missing {
		t.Errorf("the dossier lacks something: %v %s", m.Kind, m.Name)
	}
	for _, row := range records(t, "expected-pier-papers.csv") {
		got := map[string]string{"document": row["document"], "of": row["of"]}
		if row["document"] == "dossier" {
			steel := 0
			for _, i := range d.Register {
				if r.Lines[i].OfSteel() {
					steel++
				}
			}
			last := len(d.Reports) - 1
			got["number"], got["revision"], got["issued"] = d.Issue.Number, d.Issue.Revision, yes(d.Issuable())
			got["first day"], got["last day"] = d.Reports[0].Date.ISO(), d.Reports[last].Date.ISO()
			got["tests on steel"], got["reports"] = strconv.Itoa(steel), reportsOf(d.Reports)
		} else {
			i := slices.IndexFunc(d.Areas, func(c certificate.Certificate) bool { return c.Standing.Name == row["of"] })
			if i < 0 {
				t.Errorf("no certificate of area %s", row["of"])
				continue
			}
			c := &d.Areas[i]
			got["number"], got["revision"], got["issued"] = c.Issue.Number, c.Issue.Revision, yes(!c.Refused())
			got["first day"], got["last day"] = c.From.ISO(), c.Until.ISO()
			got["tests on steel"], got["reports"] = strconv.Itoa(len(c.Standing.Tests)), reportsOf(c.Reports)
			got["first tests"], got["above at first test"], got["stated"] = strconv.Itoa(len(c.First)), numbers(c.Above), numbers(c.Stated)
		}
		for column, want := range row {
			if got[column] != want {
				t.Errorf("%s %s: %s %q, want %q", row["document"], row["of"], column, got[column], want)
			}
		}
	}
}

// TestPierCalendar holds that every day of the week is accounted for.
func TestPierCalendar(t *testing.T) {
	var got []string
	for _, day := range dossier.Of(judgePier(t), "").Calendar {
		got = append(got, day.From.ISO()+" "+strconv.Itoa(day.Days())+" "+day.State.String())
	}
	want := []string{
		"2026-09-03 1 tested", "2026-09-04 1 tested", "2026-09-05 2 weekend",
		"2026-09-07 1 no-testing", "2026-09-08 1 tested", "2026-09-09 1 tested",
	}
	if !slices.Equal(got, want) {
		t.Errorf("calendar %q, want %q", got, want)
	}
}

// TestPierSignatures holds that each workbook, read alone, gives the digest
// that its three signatures name: that of the superseded revision, too.
func TestPierSignatures(t *testing.T) {
	seen := map[string]bool{}
	for _, b := range pierBooks {
		job := b.read(t)
		reports := papers.Reports(assess.Run(job, check.All()))
		if len(reports) != 1 || len(job.Signatures) != len(papers.Signers) {
			t.Errorf("%s: %d reports, %d signatures, want 1 and %d", b.file, len(reports), len(job.Signatures), len(papers.Signers))
			continue
		}
		for i := range job.Signatures {
			digest, ok := papers.OfRows(job.Signatures[i].Digest)
			if !ok || len(digest) < 16 || !strings.HasPrefix(reports[0].Digest, digest) {
				t.Errorf("%s: signed %q, the rows give %s", b.file, job.Signatures[i].Digest.Text, reports[0].Digest)
			}
		}
		for _, g := range reports[0].Gaps {
			t.Errorf("%s: %v", b.file, g.Kind)
		}
		seen[reports[0].Digest] = true
	}
	if len(seen) != len(pierBooks) {
		t.Errorf("%d digests of %d workbooks", len(seen), len(pierBooks))
	}
}

// TestPierChangedAfterSigning changes the place of a test after its day was
// signed for. Both certificates rest on the report of that day.
func TestPierChangedAfterSigning(t *testing.T) {
	var parts []*record.Job
	changed := 0
	for _, b := range pierBooks {
		job := b.read(t)
		for i := range job.Tests {
			if of := &job.Tests[i]; of.Number().Val == "24" {
				f := of.Own()
				f.Location.Val, f.Location.Text = "North girder, bay 6, web", "North girder, bay 6, web"
				changed++
			}
		}
		parts = append(parts, job)
	}
	if changed != 1 {
		t.Fatalf("%d rows of test 24, want 1", changed)
	}
	d := dossier.Of(assess.Run(record.Join(parts), check.All()), "")
	if d.Issuable() {
		t.Error("the dossier is issuable, and a signed row was changed")
	}
	for i := range d.Areas {
		c := &d.Areas[i]
		if len(c.Reasons) != 1 || c.Reasons[0].Kind != certificate.ReportIncomplete {
			t.Errorf("area %s: reasons %v, want the report of 8 September", c.Standing.Name, c.Reasons)
			continue
		}
		for _, g := range c.Reasons[0].Report.Gaps {
			if g.Kind != papers.ChangedSince {
				t.Errorf("area %s: %v", c.Standing.Name, g.Kind)
			}
		}
	}
}

// TestPierSuperseded holds that the first issue of the second day is listed,
// that its tests are not counted, and that the second says what it changes.
func TestPierSuperseded(t *testing.T) {
	r := judgePier(t)
	old := r.Job.Superseded
	if len(old) != 1 || old[0].Day.Revision.Val != "0" || old[0].By.Val != "1" || len(old[0].Tests) != 9 {
		t.Fatalf("%d superseded issues; want revision 0, by revision 1, with 9 tests", len(old))
	}
	changed := 0
	before, after := records(t, filepath.Join(pierFolder, "2026-09-04-rev-0", "readings.csv")), records(t, filepath.Join(pierFolder, "2026-09-04", "readings.csv"))
	for i := range after {
		for column, is := range after[i] {
			if was := before[i][column]; was != is {
				changed++
				if after[i]["test"] != "16" || column != "location" && column != "x (m)" {
					t.Errorf("test %s: %s changed from %q to %q, and the diary does not say so", after[i]["test"], column, was, is)
				}
			}
		}
	}
	if changed != 2 {
		t.Errorf("%d cells changed, want 2", changed)
	}
}

func yes(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}

func reportsOf(list []papers.Report) string {
	var names []string
	for i := range list {
		names = append(names, list[i].Number+"/"+cmp.Or(list[i].Revision, "none"))
	}
	return strings.Join(names, " ")
}
