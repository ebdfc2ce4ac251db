package record_test

import (
	"slices"
	"strings"
	"testing"

	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/table"
)

const twoRevisions = "date,report number,revision,what changed\n2026-03-02,R-1,0,\n2026-03-02,R-1,1,a reading mended\n"

// sheet is a day sheet with titles of its own.
func sheet(t *testing.T, name, titles, row string) *record.Job {
	t.Helper()
	return bindText(t, name+".csv", titles+head+row+"\n")
}

// The rows of the days stand in one file, the sheets in others: a sheet that says
// in its titles which revision it is takes its row, in whichever order the files
// are named.
func TestJoinRevisionInTheTitle(t *testing.T) {
	for _, c := range []struct{ name, earlier, later string }{
		{"both say it", "Report no: R-1\nRevision: 0\n", "Report no: R-1\nRevision: 1\n"},
		{"without the number", "Revision: 0\n", "Revision: 1\n"},
	} {
		for _, order := range [][]int{{0, 1, 2}, {2, 1, 0}, {1, 2, 0}} {
			all := []*record.Job{
				bindText(t, "days.csv", twoRevisions),
				sheet(t, "a", c.earlier, "1,T,f1,2026-03-02,1.0,61.0,3"),
				sheet(t, "b", c.later, "1,T,f1,2026-03-02,1.0,16.0,3"),
			}
			var parts []*record.Job
			for _, i := range order {
				parts = append(parts, all[i])
			}
			if ds := record.Astray(parts); len(ds) > 0 {
				t.Errorf("%s: %v", c.name, ds)
			}
			job := record.Join(parts)
			if len(job.Tests) != 1 || job.Tests[0].Extract().Text != "16.0" || len(job.Superseded) != 1 || job.Superseded[0].Tests[0].Extract().Text != "61.0" || job.Superseded[0].By.Text != "1" {
				t.Errorf("%s, in the order %v: tests %s, superseded %+v", c.name, order, numbers(job.Tests), job.Superseded)
			}
			if len(job.Days) != 2 {
				t.Errorf("%s: %d rows of days", c.name, len(job.Days))
			}
		}
	}
}

// The diary stands with the earlier sheet, as a workbook that was kept up.
func TestJoinRevisionBesideTheDiary(t *testing.T) {
	parts := []*record.Job{
		bindText(t, "m/readings.csv", "Report no: R-1\nRevision: 0\n"+head+"1,T,f1,2026-03-02,1.0,61.0,3\n", "m/days.csv", twoRevisions),
		sheet(t, "b", "Report no: R-1\nRevision: 1\n", "1,T,f1,2026-03-02,1.0,16.0,3"),
	}
	job := record.Join(parts)
	if len(job.Tests) != 1 || job.Tests[0].Extract().Text != "16.0" || len(job.Superseded) != 1 {
		t.Errorf("tests %s, superseded %+v", numbers(job.Tests), job.Superseded)
	}
}

// Where nothing tells which sheet is the later, both stand, and what is to be
// done is said with the row of the days.
func TestJoinRevisionAstray(t *testing.T) {
	parts := []*record.Job{
		bindText(t, "days.csv", twoRevisions),
		sheet(t, "a", "", "1,T,f1,2026-03-02,1.0,61.0,3"),
		sheet(t, "b", "", "1,T,f1,2026-03-02,1.0,16.0,3"),
	}
	ds := record.Astray(parts)
	if len(ds) != 1 || ds[0].Pos.String() != "days.csv:row 3" || !strings.Contains(ds[0].Msg, "a.csv and b.csv") ||
		!strings.Contains(ds[0].Hint, "put the row of days into the file that it speaks of, or leave the earlier file out") {
		t.Errorf("%v", ds)
	}
	job := record.Join(parts)
	if len(job.Tests) != 2 || len(job.Superseded) != 0 || !slices.ContainsFunc(job.Note.Problems, func(d diag.Diagnostic) bool { return d.Check == "revision-astray" }) {
		t.Errorf("tests %s, problems %v", numbers(job.Tests), job.Note.Problems)
	}
	// Two shifts of a day with tests of their own are no two versions of one.
	parts = []*record.Job{
		bindText(t, "days.csv", twoRevisions),
		sheet(t, "a", "", "1,T,f1,2026-03-02,1.0,61.0,3"),
		sheet(t, "b", "", "2,T,f2,2026-03-02,1.0,16.0,3"),
	}
	if ds := record.Astray(parts); len(ds) != 0 {
		t.Errorf("%v", ds)
	}
}

// Tables without tests go with the logs, whichever is named first: what their job
// table says holds for the tests that say nothing themselves.
func TestJoinTablesWithoutTests(t *testing.T) {
	for _, swap := range []bool{false, true} {
		log := bindText(t, "log.csv", "test,area,date,blank (µS/cm),extract (µS/cm)\n1,T,2026-03-02,1.0,20.0\n")
		rest := bindText(t, "o/job.csv", "key,value\nvolume,3 ml\npatch area,1250 mm2\nlimit,50 mg/m2\n", "o/people.csv", "name,role,number\nN. N.,inspector,12\n")
		parts := []*record.Job{log, rest}
		if swap {
			slices.Reverse(parts)
		}
		job := record.Join(parts)
		if len(job.Tests) != 1 || job.Terms.Volume.Text != "3 ml" || job.Terms.PatchArea.Text != "1250 mm2" || job.Terms.Limits[0].Value.Text != "50 mg/m2" || len(job.People) != 1 {
			t.Errorf("terms %+v, people %v", job.Terms, job.People)
		}
	}
}

// workbookOf is a workbook of sheets, each given as its name and its rows.
func workbookOf(name string, sheets ...[]string) *table.File {
	f := &table.File{Name: name, SHA256: name}
	for _, rows := range sheets {
		s := table.Sheet{Name: rows[0]}
		for _, r := range rows[1:] {
			addRow(&s, r, false)
		}
		f.Sheets = append(f.Sheets, s)
	}
	return f
}

var (
	logSheet  = []string{"readings", "test | blank | extract | volume", "1 | 2 | 14 | 3"}
	crewSheet = []string{"people", "name | role | number", "N. N. | inspector | 12"}
	jobRows   = []string{"key | value", "client | Nordhavn", "limit | 50 mg/m2"}
)

// Of a workbook of --job only the job table is read; it is known by the name of
// its sheet or by its heading.
func TestJobFileIsItsJobTable(t *testing.T) {
	log := workbookOf("log.xlsx", logSheet)
	for _, name := range []string{"job", "Deckblatt", "Sheet1"} {
		job, list := record.Bind([]*table.File{log}, record.Options{JobFile: workbookOf("terms.xlsx", append([]string{name}, jobRows...), crewSheet, logSheet)})
		if len(job.People) != 0 || len(job.Tests) != 1 || job.Terms.Client.Text != "Nordhavn" || len(job.Note.Keys) != 0 {
			t.Errorf("%s: %d people, %d tests, client %q, keys %v", name, len(job.People), len(job.Tests), job.Terms.Client.Text, job.Note.Keys)
		}
		ds := list.Sorted()
		if len(ds) != 1 || ds[0].Check != "sheets-skipped" || !strings.Contains(ds[0].Msg, `"people", "readings"`) {
			t.Errorf("%s: %v", name, ds)
		}
		skipped := 0
		for _, s := range job.Note.Skipped {
			if s.Reason == "not the job table" {
				skipped++
			}
		}
		if job.Note.Used != 3 || skipped != 4 { // two keys and a test; people and readings with their headings
			t.Errorf("%s: %d rows used, %d of other tables skipped", name, job.Note.Used, skipped)
		}
	}
	for _, f := range []*table.File{
		workbookOf("terms.xlsx", crewSheet, logSheet),
		workbookOf("terms.xlsx", logSheet),
		workbookOf("terms.xlsx", []string{"Sheet1", "Dear colleague,", "please find it attached"}),
	} {
		_, list := record.Bind([]*table.File{log}, record.Options{JobFile: f})
		if ds := list.Sorted(); len(ds) != 1 || ds[0].Check != "no-job-table" || !strings.Contains(ds[0].Hint, `call its sheet "job"`) {
			t.Errorf("%v", ds)
		}
	}
}

// The file of --job is one file, however many records it is read for, and also
// where it is one of them.
func TestJobFileCountsOnce(t *testing.T) {
	terms := workbookOf("terms.xlsx", []string{"job", "key | value", "limt | 30 mg/m2", "client | Nordhavn", "call sign | LX 4"})
	var parts []*record.Job
	for i, name := range []string{"a.xlsx", "b.xlsx", "c.xlsx"} {
		job, _ := record.Bind([]*table.File{workbookOf(name, []string{"readings", "test | blank | extract | volume", strings.Repeat("1", i+1) + " | 2 | 14 | 3"})}, record.Options{JobFile: terms, JobAgain: i > 0})
		parts = append(parts, job)
	}
	job := record.Join(parts)
	if job.Terms.Client.Text != "Nordhavn" || len(job.Sources) != 4 || job.Note.Used != 6 || len(job.Note.Problems) != 1 || len(job.Note.Keys) != 1 || len(job.Note.Headings) != 3*4+2 {
		t.Errorf("client %q, %d sources, %d rows, problems %v, keys %v, %d headings", job.Terms.Client.Text, len(job.Sources), job.Note.Used, job.Note.Problems, job.Note.Keys, len(job.Note.Headings))
	}
	both := workbookOf("both.xlsx", append([]string{"job"}, jobRows...), logSheet)
	job, list := record.Bind([]*table.File{both}, record.Options{JobFile: both})
	if len(job.Sources) != 1 || job.Note.Used != 3 || len(job.Conflicts) != 0 || list.Len() != 0 {
		t.Errorf("%d sources, %d rows, conflicts %v, %v", len(job.Sources), job.Note.Used, job.Conflicts, list.Sorted())
	}
}
