package report_test

import (
	"bytes"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"saltline/internal/assess"
	"saltline/internal/audit"
	"saltline/internal/check"
	"saltline/internal/doc"
	"saltline/internal/layout"
	"saltline/internal/record"
	"saltline/internal/report"
	"saltline/internal/unit"
	"saltline/internal/wording"
)

func auditOf(t *testing.T, r *assess.Result, w *wording.Words) report.Audit {
	t.Helper()
	return report.Audit{Report: audit.Of(r), Words: w, Fonts: faces(t), Width: layout.A4().TextWidth(), Tool: "saltline 0.0.0",
		Digest: strings.Repeat("0", 64), Produced: unit.Date{Year: 2026, Month: 4, Day: 17}}
}

func composeAudit(t *testing.T, r *assess.Result, w *wording.Words) report.Report {
	t.Helper()
	made, err := auditOf(t, r, w).Compose()
	if err != nil {
		t.Fatal(err)
	}
	return made
}

// audited are the records whose audits are held word for word.
var audited = map[string]string{
	"quillmere-lock": samples + "quillmere-lock",
	"faehre-lirra":   samples + "faehre-lirra.xlsx",
	"eight-results":  "../../testdata/report/eight-results",
}

// TestAuditSays holds what the audits say, in reading order, and what is put
// to the contractor and on the terminal.
func TestAuditSays(t *testing.T) {
	for name, path := range audited {
		t.Run(name, func(t *testing.T) {
			a := auditOf(t, judge(t, path), words(t, nil))
			made, err := a.Compose()
			if err != nil {
				t.Fatal(err)
			}
			var b bytes.Buffer
			if err := made.Document.WriteText(&b, 100); err != nil {
				t.Fatal(err)
			}
			golden(t, name+"-audit.txt", b.Bytes())
			questions, err := a.Questions()
			if err != nil {
				t.Fatal(err)
			}
			golden(t, name+"-questions.txt", []byte(questions))
			_, table, err := a.Terminal()
			if err != nil {
				t.Fatal(err)
			}
			b.Reset()
			b.WriteString(made.Summary + "\n\n")
			if err := table.WriteText(&b); err != nil {
				t.Fatal(err)
			}
			golden(t, name+"-terminal.txt", b.Bytes())
		})
	}
}

// The eight results were worked out by hand, with 6 mg/m² for each µS/cm at
// 15 ml on 1250 mm²: 100.8, 75.6, 30.6, 41.4, 30.0, 61.2, 54.0 and 24.6 follow.
// Test 3 alone has its own value. The log has 6 passes, of which tests 1, 2, 6
// and 7 are above 50; test 4 is a fail for which only its blank was not taken
// off; and of test 8, a fail that nothing explains, no pass is made.
func TestEightResults(t *testing.T) {
	made := composeAudit(t, judge(t, audited["eight-results"]), words(t, nil))
	said := strings.ReplaceAll(texts(made), "\u00a0", " ")
	for _, want := range []string{
		"8 tests of steel were recomputed from the readings on their own rows in readings.csv, rows 2 to 9, as supplied. " +
			"1 written value agrees. 7 do not follow from their rows. As written, 6 are passes; recomputed, 3 are. " +
			"4 written passes exceed the limit. 1 written fail is within the limit. 1 written fail is not established. 1 difference (test 8) has no single-step explanation. " +
			"If 3 ml was in fact used on test 1, its value is 20.2 mg/m², not 100.8 mg/m², and so with 1 more; the record cannot settle this.",
		"Explained by one single slip: the factor belongs to another volume (3 ml), tests 1 and 2; the blank was not subtracted, test 4; ",
		"Explained by more than one slip, which this record does not tell apart: tests 5 and 7.",
		"4 values are written too low, which is the unsafe side; 3 too high, the safe side.",
		"PASS as written, FAIL recomputed: tests 1, 2, 6 and 7.",
		"FAIL as written, PASS recomputed: test 4.",
		"FAIL as written, NOT ESTABLISHED recomputed: test 8.",
		"Largest difference: test 1, 20.2 written, 100.8 recomputed (−80.6 mg/m²).",
		"100.8 if 15 ml was used, 20.2 if 3 ml",
		"two neighbouring digits were exchanged (value: 16.2 written, 61.2 would fit)",
	} {
		if !strings.Contains(said, want) {
			t.Errorf("not said: %q", want)
		}
	}
	if t.Failed() {
		t.Log(said)
	}
}

// A value that does not follow never looks as if it did: 23.46 is not printed
// as 23.5 beside a written 24. The readings were worked out by hand: 1.2 times
// 19.55 is 23.46.
func TestDigitsThatDiffer(t *testing.T) {
	made := composeAudit(t, judge(t, "../../testdata/report/digits"), words(t, nil))
	rows := everyRow(t, made.Document)
	got := rows.Rows[0].Cells[column(t, rows, "Recomputed")].String()
	if got != "23.46" {
		t.Errorf("24 is written, and %s printed beside it; want 23.46", got)
	}
}

// slippedVolume is a record in which the digits of a volume are exchanged: the
// row has 5.2 ml, and the written value follows from 2.5.
func slippedVolume(t *testing.T) *assess.Result {
	t.Helper()
	job := judge(t, "../../testdata/report/digits").Job
	tenths := func(n int64) unit.Decimal { return unit.Decimal{Coef: n, Exp: -1} }
	f := job.Tests[0].Own()
	f.Blank.Dec, f.Blank.Val = tenths(10), 1
	f.Extract.Dec, f.Extract.Val = tenths(140), 14
	f.Volume = record.Given[unit.Volume]{Val: 5.2, Dec: tenths(52), State: record.Known, Pos: f.Row}
	f.Recorded.Dec, f.Recorded.Val = tenths(130), 13
	return assess.Run(job, check.All())
}

// everyRow is the table of every row.
func everyRow(t *testing.T, d doc.Document) doc.Table {
	t.Helper()
	at := slices.IndexFunc(d.Blocks, func(b doc.Block) bool {
		h, ok := b.(doc.Heading)
		return ok && h.Text == "Every row"
	})
	if at < 0 || at+1 >= len(d.Blocks) {
		t.Fatal("no table of every row")
	}
	return d.Blocks[at+1].(doc.Table)
}

func column(t *testing.T, table doc.Table, head string) int {
	t.Helper()
	at := slices.IndexFunc(table.Columns, func(c doc.Column) bool { return c.Head == head })
	if at < 0 {
		t.Fatalf("no column %q", head)
	}
	return at
}

// Every test has one row, in the order of the log; one that agrees and keeps
// its verdict takes one line, and one that does not says why.
func TestEveryRow(t *testing.T) {
	r := judge(t, samples+"quillmere-lock")
	rows := everyRow(t, composeAudit(t, r, words(t, nil)).Document)
	if len(rows.Rows) != len(r.Lines) {
		t.Fatalf("%d rows for %d tests", len(rows.Rows), len(r.Lines))
	}
	row := column(t, rows, "Row")
	for i, got := range rows.Rows {
		l := &r.Lines[i]
		if want := l.Test.Row().Cell(); "row "+got.Cells[row].String() != want {
			t.Errorf("row %d of the table is %s of the log, want %s", i+1, got.Cells[row], want)
		}
		plain := l.Agreement == assess.Agrees && l.OfSteel() && l.AsWritten() == l.Verdict && l.Verdict == assess.Pass && !l.At25().Known
		if plain != (got.Note == nil) && (plain || l.Agreement == assess.DoesNotFollow) {
			t.Errorf("test %s, %v: note %q", l.Test.Number().Text, l.Agreement, got.Note)
		}
		if l.Agreement == assess.DoesNotFollow && len(l.Explanations()) == 0 && !strings.Contains(got.Note.String(), "no single slip found") {
			t.Errorf("test %s: %q does not say that nothing explains it", l.Test.Number().Text, got.Note)
		}
	}
}

// The sections stand in the order in which the reader of an audit needs them.
func TestSections(t *testing.T) {
	d := composeAudit(t, judge(t, samples+"quillmere-lock"), words(t, nil)).Document
	var got []string
	var walk func([]doc.Block)
	walk = func(blocks []doc.Block) {
		for _, b := range blocks {
			switch b := b.(type) {
			case doc.Heading:
				if b.Level == 1 {
					got = append(got, b.Text)
				}
			case doc.Box:
				got = append(got, b.Title)
			case doc.Group:
				walk(b.Blocks)
			}
		}
	}
	walk(d.Blocks)
	want := []string{"Result", "What was received", "Basis", "Written against recomputed, and by location", "Every row", "Findings",
		"Patterns in the record", "What would change the conclusion", "Questions to the contractor", "Recommendation", "Limits of this audit",
		"Cautions", "Signature", "What the explanations and findings mean", "Reading note"}
	if !slices.Equal(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
}

// The result stands on the first page, whatever the record.
func TestFirstPage(t *testing.T) {
	paths := []string{samples + "quillmere-lock", samples + "faehre-lirra.xlsx"}
	for _, log := range []string{"bruspenn-natt.csv", "hafenkran.csv", "results-only.csv", "vanne-becher.csv", "hoppers.csv", "tanks-by-sheet.xlsx"} {
		paths = append(paths, "../../testdata/logs/"+log)
	}
	for _, job := range []string{"jobs/crowded", "jobs/every", "jobs/emptiest.csv", "report/three-tanks", "report/eight-results"} {
		paths = append(paths, "../../testdata/"+job)
	}
	for _, path := range paths {
		made := composeAudit(t, judge(t, path), words(t, nil))
		pages, err := layout.Pages(&made.Document, layout.A4(), faces(t))
		if err != nil {
			t.Errorf("%s: %v", path, err)
			continue
		}
		// The reader turns the page to the section that follows the result.
		if !strings.Contains(pages.Pages[0].String(), "What was received") {
			t.Errorf("%s: the result does not end on the first page", path)
		}
	}
}

// accusing are words that no audit uses of a record or of people.
var accusing = regexp.MustCompile(`(?i)\b(falsif|fraud|cheat|suspicio|manipulat|fabricat|forge|dishonest|tamper|invented|guilty|lied|lying)`)

func TestNeverAccuses(t *testing.T) {
	paths, err := filepath.Glob("../../testdata/jobs/*")
	if err != nil {
		t.Fatal(err)
	}
	paths = append(paths, samples+"quillmere-lock", samples+"faehre-lirra.xlsx", audited["eight-results"])
	for _, path := range paths {
		if filepath.Ext(path) == ".go" {
			continue
		}
		a := auditOf(t, judge(t, path), words(t, nil))
		made, err := a.Compose()
		if err != nil {
			t.Fatal(err)
		}
		questions, err := a.Questions()
		if err != nil {
			t.Fatal(err)
		}
		check := func(s string) {
			for _, never := range []*regexp.Regexp{unsaid, accusing} {
				if m := never.FindString(s); m != "" {
					t.Errorf("%s: %q is said: %s", path, m, s)
				}
			}
		}
		made.Document.EachText(check)
		check(questions)
		check(made.Summary)
	}
}

// An honest record with everything in it leaves nothing to ask, to correct or
// to repeat, and the audit says so.
func TestNothingToAsk(t *testing.T) {
	a := auditOf(t, judge(t, "../../testdata/jobs/quiet"), words(t, nil))
	made, err := a.Compose()
	if err != nil {
		t.Fatal(err)
	}
	said := texts(made)
	for _, want := range []string{
		"3 written values agree. As written, 3 are passes; recomputed, 3 are.",
		"The checks found nothing to report.",
		"Nothing that the record leaves open would change a value or a verdict.",
		"No question arises from the record.",
		"Take the values and verdicts as they are written: the record does not contradict them.",
	} {
		if !strings.Contains(said, want) {
			t.Errorf("not said: %q", want)
		}
	}
	questions, err := a.Questions()
	if err != nil {
		t.Fatal(err)
	}
	if !strings.HasSuffix(questions, "No question arises from the record.\n") {
		t.Errorf("the questions end otherwise:\n%s", questions)
	}
	_, table, err := a.Terminal()
	if err != nil {
		t.Fatal(err)
	}
	if len(table.Rows) > 0 || table.Empty != "Every written value follows from its row, and no verdict changes." {
		t.Errorf("%d rows, %q", len(table.Rows), table.Empty)
	}
}
