package record_test

import (
	"slices"
	"strings"
	"testing"

	"saltline/internal/record"
	"saltline/internal/table"
)

// bindText binds a folder of CSV tables, given as name and text by turns.
func bindText(t *testing.T, files ...string) *record.Job {
	t.Helper()
	var read []*table.File
	for i := 0; i < len(files); i += 2 {
		f, err := table.Read(files[i], []byte(files[i+1]), table.Options{})
		if err != nil {
			t.Fatal(err)
		}
		read = append(read, f)
	}
	job, list := record.Bind(read, record.Options{})
	for _, d := range list.Sorted() {
		t.Log(d)
	}
	return job
}

func numbers(tests []record.Test) string {
	var all []string
	for i := range tests {
		all = append(all, tests[i].Number().Val+"@"+tests[i].Date().Text)
	}
	return strings.Join(all, " ")
}

const head = "test,area,location,date,blank (µS/cm),extract (µS/cm),volume (ml)\n"

func day(name, number, revision, changed, date string, rows ...string) []string {
	return []string{
		name + "/readings.csv", head + strings.Join(rows, "\n") + "\n",
		name + "/days.csv", "date,report number,revision,what changed\n" + strings.Join([]string{date, number, revision, changed}, ",") + "\n",
	}
}

// Two days in two files become one job in the order of the days, whichever is
// named first; a row that both hold is one row.
func TestJoinDays(t *testing.T) {
	first := bindText(t, day("a", "R-1", "0", "", "2026-03-02", "1,T,f1,2026-03-02,1.0,20.0,3", "2,T,f2,2026-03-02,1.0,21.0,3")...)
	second := bindText(t, day("b", "R-2", "0", "", "2026-03-03", "2,T,f2,2026-03-02,1.0,21.0,3", "3,T,f3,2026-03-03,1.0,22.0,3")...)
	used := first.Note.Used + second.Note.Used
	job := record.Join([]*record.Job{second, first})
	if got := numbers(job.Tests); got != "1@2026-03-02 2@2026-03-02 3@2026-03-03" {
		t.Errorf("tests %s", got)
	}
	if len(job.Days) != 2 || len(job.Areas) != 1 || len(job.Superseded) != 0 {
		t.Errorf("%d days, %d areas, %d superseded", len(job.Days), len(job.Areas), len(job.Superseded))
	}
	if job.Note.Used != used-1 || job.Note.Skipped[len(job.Note.Skipped)-1].Reason != "the same row in an earlier file" {
		t.Errorf("used %d of %d, skipped %v", job.Note.Used, used, job.Note.Skipped)
	}
}

// A later revision of a day takes the place of the earlier; the earlier is kept
// for what was in it. A report without the later number stands beside it.
func TestJoinRevisions(t *testing.T) {
	old := bindText(t, day("a", "R-1", "0", "", "2026-03-02", "1,T,f1,2026-03-02,1.0,20.0,3", "2,T,f2,2026-03-02,1.0,61.0,3")...)
	revised := bindText(t, day("b", "R-1", "rev. 1", "test 2 withdrawn", "2026-03-02", "1,T,f1,2026-03-02,1.0,20.5,3")...)
	job := record.Join([]*record.Job{old, revised})
	if got := numbers(job.Tests); got != "1@2026-03-02" || job.Tests[0].Extract().Text != "20.5" {
		t.Errorf("tests %s", got)
	}
	if len(job.Superseded) != 1 || numbers(job.Superseded[0].Tests) != "1@2026-03-02 2@2026-03-02" || job.Superseded[0].By.Text != "rev. 1" {
		t.Errorf("superseded %+v", job.Superseded)
	}
}

// Two versions of one revision both stand: neither may vanish.
func TestJoinSameRevision(t *testing.T) {
	a := bindText(t, day("a", "R-1", "0", "", "2026-03-02", "1,T,f1,2026-03-02,1.0,61.0,3")...)
	b := bindText(t, day("b", "R-1", "0", "", "2026-03-02", "1,T,f1,2026-03-02,1.0,16.0,3")...)
	job := record.Join([]*record.Job{a, b})
	if got := numbers(job.Tests); got != "1@2026-03-02 1@2026-03-02" || len(job.Superseded) != 0 {
		t.Errorf("tests %s, superseded %d", got, len(job.Superseded))
	}
}

// What holds for the tests of one file stays with them, and where two files
// differ on the job, that is a conflict.
func TestJoinTerms(t *testing.T) {
	file := func(name, volume, limit, date string) []string {
		row := "1,T,f1," + date + ",1.0,20.0\n"
		return []string{name + "/readings.csv", "test,area,location,date,blank (µS/cm),extract (µS/cm)\n" + row,
			name + "/job.csv", "key,value\n" + volume + "limit," + limit + "\nlimit basis,total salts\n"}
	}
	a := bindText(t, file("a", "", "50 mg/m2", "2026-03-02")...)
	b := bindText(t, file("b", "volume,15 ml\n", "30 mg/m2", "2026-03-03")...)
	job := record.Join([]*record.Job{a, b})
	if job.Terms.Volume.Known() || job.Tests[0].Volume().Known() {
		t.Error("the volume of one file reached the tests of another")
	}
	if v := job.Tests[1].Volume(); !v.Known() || v.Text != "15 ml" {
		t.Errorf("volume of the second file: %+v", v)
	}
	if l := job.Tests[1].Limit(); !l.Known() || l.Text != "30 mg/m2" {
		t.Errorf("limit of the second file: %+v", l)
	}
	if !slices.ContainsFunc(job.Conflicts, func(c record.Conflict) bool { return c.Key == "limit" && c.Other.Text == "30 mg/m2" }) {
		t.Errorf("conflicts %v", job.Conflicts)
	}
}

// Nor does the volume of the first file reach the tests of a later one that
// states none, whichever is named first.
func TestJoinVolumeOfTheFirst(t *testing.T) {
	file := func(name, date, volume string) []string {
		return append(day(name, "R-"+name, "0", "", date, "1,T,f1,"+date+",1.0,20.0,"), name+"/job.csv", "key,value\nclient,Someone\n"+volume)
	}
	for _, swap := range []bool{false, true} {
		a := bindText(t, file("a", "2026-03-02", "volume,15 ml\npatch area,625 mm2\n")...)
		b := bindText(t, file("b", "2026-03-03", "")...)
		parts := []*record.Job{a, b}
		if swap {
			slices.Reverse(parts)
		}
		job := record.Join(parts)
		if v := job.Tests[0].Volume(); v.Text != "15 ml" || job.Tests[0].PatchArea().Text != "625 mm2" {
			t.Errorf("the first file lost its volume or its patch area: %+v", v)
		}
		if job.Terms.Volume.Known() || job.Tests[1].Volume().Known() || job.Terms.PatchArea.Known() || job.Tests[1].PatchArea().Known() {
			t.Error("the volume or the patch area of one file reached the tests of another")
		}
	}
}

func TestCompareRevisions(t *testing.T) {
	order := []string{"", "0", "1", "rev. 2", "10"}
	letters := []string{"", "A", "rev B", "Z", "AA"}
	for _, all := range [][]string{order, letters} {
		for i := range all {
			for k := range all {
				if got := record.CompareRevisions(all[i], all[k]); (got < 0) != (i < k) || (got > 0) != (i > k) {
					t.Errorf("%q against %q: %d", all[i], all[k], got)
				}
			}
		}
	}
}

// The digest is of what was written: it stays when another day is added, and
// changes with any value that counts.
func TestDigest(t *testing.T) {
	rows := []string{"1,T,f1,2026-03-02,1.0,20.0,3", "2,T,f2,2026-03-03,1.0,21.0,3"}
	all := bindText(t, day("a", "R-1", "0", "", "2026-03-02", rows...)...)
	alone := bindText(t, day("a", "R-1", "0", "", "2026-03-02", rows[0])...)
	if all.Digest([]int{0}) != alone.Digest([]int{0}) {
		t.Error("a row of another day changes the digest")
	}
	if all.Digest([]int{0}) == all.Digest([]int{1}) {
		t.Error("two tests have one digest")
	}
	for _, changed := range []string{"1,T,f1,2026-03-02,1.0,20.1,3", "1,T,f1,2026-03-02,1.0,20.00,3", "1,T,f1 port,2026-03-02,1.0,20.0,3"} {
		other := bindText(t, day("a", "R-1", "0", "", "2026-03-02", changed)...)
		if other.Digest([]int{0}) == alone.Digest([]int{0}) {
			t.Errorf("%s: the digest stays", changed)
		}
	}
}

// A day whose tests have no date goes where its diary puts it, and one that
// nothing dates after all others.
func TestJoinUndated(t *testing.T) {
	first := bindText(t, day("a", "R-1", "0", "", "2026-03-02", "1,T,f1,2026-03-02,1.0,20.0,3")...)
	second := bindText(t, day("b", "R-2", "0", "", "2026-03-03", "2,T,f2,-,1.0,21.0,3")...)
	third := bindText(t, day("c", "R-3", "0", "", "2026-03-04", "3,T,f3,2026-03-04,1.0,22.0,3")...)
	never := bindText(t, "d/readings.csv", head+"4,T,f4,-,1.0,23.0,3\n")
	job := record.Join([]*record.Job{never, third, second, first})
	if got := numbers(job.Tests); got != "1@2026-03-02 2@- 3@2026-03-04 4@-" {
		t.Errorf("tests %s", got)
	}
}

// The order in which the files are named does not matter, even where two hold
// the same day.
func TestJoinOrder(t *testing.T) {
	part := func(name string, rows ...string) []string { return day(name, "R-1", "0", "", "2026-03-02", rows...) }
	files := [][]string{
		part("b", "3,T,f3,2026-03-02,1.0,20.0,3"), part("a", "1,T,f1,2026-03-02,1.0,20.0,3", "2,T,f2,2026-03-02,1.0,21.0,3"),
		part("c", "4,T,f4,2026-03-02,1.0,22.0,3"),
	}
	want := ""
	for _, order := range [][]int{{0, 1, 2}, {0, 2, 1}, {1, 0, 2}, {1, 2, 0}, {2, 0, 1}, {2, 1, 0}} {
		var parts []*record.Job
		for _, i := range order {
			parts = append(parts, bindText(t, files[i]...))
		}
		job := record.Join(parts)
		got := numbers(job.Tests) + " " + job.Digest([]int{0, 1, 2, 3})
		if want == "" {
			want = got
		}
		if got != want {
			t.Errorf("in the order %v: %s, want %s", order, got, want)
		}
	}
	if !strings.HasPrefix(want, "1@2026-03-02 2@2026-03-02 3@2026-03-02 4@2026-03-02 ") {
		t.Errorf("tests %s", want)
	}
}

// A row that is struck through in one file is not the row that stands in
// another.
func TestJoinStruck(t *testing.T) {
	a := bindText(t, day("a", "R-1", "0", "", "2026-03-02", "1,T,f1,2026-03-02,1.0,20.0,3")...)
	b := bindText(t, day("b", "R-1", "0", "", "2026-03-02", "1,T,f1,2026-03-02,1.0,20.0,3")...)
	if !record.Alike(&a.Tests[0], &b.Tests[0]) {
		t.Error("two rows of the same words are not alike")
	}
	b.Tests[0].Own().Struck = true
	if record.Alike(&a.Tests[0], &b.Tests[0]) {
		t.Error("a row that is struck through is like one that is not")
	}
	if got := numbers(record.Join([]*record.Job{a, b}).Tests); got != "1@2026-03-02 1@2026-03-02" {
		t.Errorf("tests %s", got)
	}
}

// What held for the tests of a file goes with them into what was superseded,
// and their numbers stand in the reading note.
func TestJoinSupersededKeepsItsVolume(t *testing.T) {
	file := func(name, revision, volume string) []string {
		return append(day(name, "R-1", revision, "", "2026-03-02", "1,T,f1,2026-03-02,1.0,20.0,"),
			name+"/job.csv", "key,value\nvolume,"+volume+"\n")
	}
	later, earlier := bindText(t, file("a", "1", "3 ml")...), bindText(t, file("b", "0", "15 ml")...)
	job := record.Join([]*record.Job{later, earlier})
	if len(job.Superseded) != 1 || job.Superseded[0].Tests[0].Volume().Text != "15 ml" {
		t.Errorf("superseded %+v", job.Superseded)
	}
	if s := job.Note.Skipped[len(job.Note.Skipped)-1]; s.Text != "1" || s.Reason != "superseded by a later revision of the report" {
		t.Errorf("skipped %+v", s)
	}
}
