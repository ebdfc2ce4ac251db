package main

import (
	"os"
	"testing"

	"saltline/internal/pdf/judge"
)

// A record in letters that no face has is printed with substitute signs in
// every corner of a document: in tables, plots, maps and below photographs, and
// in what a signature shows. A glyph that is not there would break the promise
// to the archive.
func TestUnshownLetters(t *testing.T) {
	photo, err := os.ReadFile("../../samples/quillmere-lock/photos/q1-007.jpg")
	if err != nil {
		t.Fatal(err)
	}
	job := folderOf(t, "job", map[string]string{
		"readings.csv": "test,area,location,date,blank (µS/cm),extract (µS/cm),volume (ml),recorded (mg/m2),x,y,photo\n" +
			"1,中A,船首 bow,2026-03-02,1.0,9.0,3,9.6,1 m,2 m,中.jpg\n2,中A,船尾 stern,2026-03-02,1.0,12.0,3,13.0,2 m,2 m,\n",
		"people.csv": "name,role\n王小明,inspector\n",
		"中.jpg":      string(photo),
	})
	const limit, basis = "--set=limit=50 mg/m2", "--set=limit basis=total salts"
	report := written(t, "report", job, limit, basis)
	for name, data := range map[string][]byte{
		"report": report, "sealed": someone(t, "王小明").seals(t, report, "inspector"),
		"audit": written(t, "audit", job, limit, basis), "dossier": written(t, "handover", job, limit, basis),
	} {
		if bs := judge.File(data, judge.Accessible); len(bs) > 0 {
			t.Errorf("%s:\n%s", name, judge.Report(bs))
		}
	}
}
