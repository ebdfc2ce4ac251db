package workbook_test

import (
	"regexp"
	"strings"
	"testing"

	"saltline/internal/check"
	"saltline/internal/slip"
	"saltline/internal/table"
	"saltline/internal/wording"
	"saltline/internal/workbook"
	"saltline/testdata/marked"
)

// TestWordsComeFromTexts sees that every word that the corrected workbook adds
// to a record is said by a text, which a language can translate, or stands in
// the record, or is a unit, a digest or a name of the program.
func TestWordsComeFromTexts(t *testing.T) {
	w, err := wording.Load(marked.Texts(t), nil, "en")
	if err != nil {
		t.Fatal(err)
	}
	names := map[string]bool{}
	for _, c := range check.All() {
		names[c.Name] = true
	}
	for _, s := range slip.All() {
		names[s.Name] = true
	}
	seen := map[string]bool{}
	look := func(t *testing.T, c workbook.Corrected) {
		c.Words = w
		known := map[string]bool{}
		months := w.Spelling().Months
		marked.Words(known, strings.Join(months[:], " "))
		// A test without a number is called by its row wherever a finding names it.
		marked.Words(known, "saltline xlsx csv min SHA row")
		marked.Words(known, strings.Join(w.Keys("workbook-blank/"), " "))
		for _, s := range c.Report.Basis.Settings {
			marked.Words(known, s.Key)
		}
		for _, sets := range variants { // what the command line sets is the record's
			marked.Words(known, strings.Join(sets, " "))
		}
		for _, f := range c.Files {
			recordedIn(known, f)
		}
		for _, sheet := range readBytes(t, "corrected.xlsx", made(t, c)).Sheets {
			for _, row := range sheet.Rows {
				for _, cell := range row.Cells() {
					text := cell.Text
					for _, p := range c.Report.Job.Note.Problems {
						text = strings.ReplaceAll(text, p.Msg, "")
					}
					text = regexp.MustCompile(`[0-9a-f]{16,}`).ReplaceAllString(text, "")
					if names[text] {
						continue
					}
					for _, s := range marked.Strange(text, known) {
						if !seen[s] {
							seen[s] = true
							t.Errorf("%s!%s: no text says %q", sheet.Name, cell.Pos.Cell(), s)
						}
					}
				}
			}
		}
	}
	everyRecord(t, look)
	everyVariant(t, look)
}

// recordedIn adds the words of a file to those that are known.
func recordedIn(known map[string]bool, f *table.File) {
	marked.Words(known, f.Name)
	for _, s := range f.Sheets {
		marked.Words(known, s.Name)
		for _, row := range s.Rows {
			for _, c := range row.Cells() {
				marked.Words(known, c.Text)
			}
		}
	}
}
