package report_test

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"saltline/internal/check"
	"saltline/internal/report"
	"saltline/internal/slip"
	"saltline/internal/table"
	"saltline/internal/wording"
	"saltline/testdata/marked"
)

// spoken are records that have much to say between them.
var spoken = []string{
	samples + "quillmere-lock", samples + "faehre-lirra.xlsx", samples + "torrel-bridge.xlsx",
	"../../testdata/jobs/every", "../../testdata/jobs/crowded", "../../testdata/jobs/emptiest.csv",
	"../../testdata/jobs/equal-to-limit.csv", "../../testdata/jobs/limit-without-unit.csv",
	"../../testdata/logs/bruspenn-natt.csv", "../../testdata/logs/dagskift.xlsx", "../../testdata/logs/hoppers.csv",
	"../../testdata/logs/jetty-mixed-times.csv", "../../testdata/logs/nachtschicht-kessel.csv", "../../testdata/logs/noria.csv",
	"../../testdata/logs/schleusentor.xlsx", "../../testdata/logs/tanks-by-sheet.xlsx", "../../testdata/logs/vannage-groupes.xlsx",
	"../../testdata/report/eight-results", "../../testdata/report/digits", "../../testdata/report/three-tanks",
}

// TestWordsComeFromTexts sees that every word of a document is said by a text,
// which a language can translate, or stands in the record, or is a unit, a
// digest, the name of a check, a slip or a field of the record, or is a message
// of the program, which the reading note quotes.
func TestWordsComeFromTexts(t *testing.T) {
	w, err := wording.Load(marked.Texts(t), nil, "en")
	if err != nil {
		t.Fatal(err)
	}
	seen := map[string]bool{} // one that is found everywhere is said once
	for _, path := range spoken {
		t.Run(filepath.Base(path), func(t *testing.T) {
			known := sameEverywhere(w)
			recorded(t, known, path)
			r := judge(t, path)
			for _, s := range r.Basis.Settings {
				marked.Words(known, s.Key)
			}
			look := func(where string, text string) {
				for _, p := range r.Job.Note.Problems {
					text = strings.ReplaceAll(text, p.Msg, "")
				}
				text = digests.ReplaceAllString(text, "")
				text = regexp.MustCompile(`[\pL-]+(-[\pL]+)+`).ReplaceAllStringFunc(text, func(s string) string {
					if names[s] {
						return ""
					}
					return s
				})
				for _, s := range marked.Strange(text, known) {
					if !seen[s] {
						seen[s] = true
						t.Errorf("%s: no text says %q", where, s)
					}
				}
			}
			whole := func(where string, made report.Report) {
				made.Document.EachText(func(s string) { look(where, s) })
				look(where+" in short", made.Summary)
			}
			for _, day := range report.Days(r) {
				whole("report of "+day.ISO(), compose(t, r, day, w))
			}
			a := auditOf(t, r, w)
			made, err := a.Compose()
			if err != nil {
				t.Fatal(err)
			}
			whole("audit", made)
			questions, err := a.Questions()
			if err != nil {
				t.Fatal(err)
			}
			look("questions", questions)
			_, shown, err := a.Terminal()
			if err != nil {
				t.Fatal(err)
			}
			var b bytes.Buffer
			if err := shown.WriteText(&b); err != nil {
				t.Fatal(err)
			}
			look("terminal", b.String())
		})
	}
}

// names are those of checks and slips.
var names = func() map[string]bool {
	all := map[string]bool{}
	for _, c := range check.All() {
		all[c.Name] = true
	}
	for _, s := range slip.All() {
		all[s.Name] = true
	}
	return all
}()

var digests = regexp.MustCompile(`[0-9a-f]{16,}`)

// sameEverywhere are the words that are the same in all languages: those of
// the fields that a record has, by which it is filled in, are the keys of what
// the blank workbook says of them.
func sameEverywhere(w *wording.Words) map[string]bool {
	known := map[string]bool{}
	months := w.Spelling().Months
	marked.Words(known, strings.Join(months[:], " "))
	marked.Words(known, "saltline SHA key value xlsx csv min kelvin")
	marked.Words(known, strings.Join(w.Keys("workbook-blank/"), " "))
	return known
}

// recorded adds the words of a record to those that are known.
func recorded(t *testing.T, known map[string]bool, path string) {
	t.Helper()
	files := []string{path}
	if info, err := os.Stat(path); err != nil {
		t.Fatal(err)
	} else if info.IsDir() {
		files, _ = filepath.Glob(filepath.Join(path, "*.csv"))
	}
	for _, name := range files {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		f, err := table.Read(filepath.Base(name), data, table.Options{})
		if err != nil {
			t.Fatal(err)
		}
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
}
