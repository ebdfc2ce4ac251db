package record_test

import (
	"archive/zip"
	"bytes"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/table"
)

const badDir = "../../testdata/bad"

// A complaint is what must be said of a bad file.
type complaint struct{ level, check, says, hint string }

// complaintsOf reads a file as the commands do and returns all that is said
// of it. It fails the test where something is said at a length that nobody
// reads, or a refusal does not say what to do.
func complaintsOf(t *testing.T, name string, data []byte, limits table.Limits) []complaint {
	t.Helper()
	var all []complaint
	add := func(level string, d diag.Diagnostic) {
		all = append(all, complaint{level, d.Check, d.Msg, d.Hint})
		if n := utf8.RuneCountInString(d.Msg); n > 400 {
			t.Errorf("%s: the message [%s] has %d characters", name, d.Check, n)
		}
		if d.Hint == "" || d.Msg == "" || d.Check == "" {
			t.Errorf("%s: %v (hint %q) does not say what, by which name and what to do", name, d, d.Hint)
		}
	}
	f, err := table.Read(name, data, table.Options{Limits: limits})
	if err != nil {
		refusal, ok := err.(*table.Refusal)
		if !ok {
			t.Fatalf("%s: %T, want a refusal", name, err)
		}
		add("refused", refusal.Diagnostic())
		return all
	}
	job, list := record.Bind([]*table.File{f}, record.Options{})
	assess.Run(job, nil)
	for _, d := range list.Sorted() {
		add(map[diag.Level]string{diag.Note: "note", diag.Problem: "problem", diag.Question: "question", diag.Failure: "failure"}[d.Level], d)
	}
	return all
}

func wantComplaint(t *testing.T, name string, all []complaint, want complaint) {
	t.Helper()
	if !slices.ContainsFunc(all, func(c complaint) bool {
		return c.level == want.level && c.check == want.check && strings.Contains(c.says, want.says) && strings.Contains(c.hint, want.hint)
	}) {
		t.Errorf("%s: want %q, got %q", name, want, all)
	}
}

// Whatever is handed over, nothing panics, and what is said names the fault
// and the way out of it.
func TestBadFiles(t *testing.T) {
	list, err := os.ReadFile(filepath.Join(badDir, "want.txt"))
	if err != nil {
		t.Fatal(err)
	}
	wants := map[string][]complaint{}
	for line := range strings.Lines(string(list)) {
		if line[0] == '#' {
			continue
		}
		part := strings.Split(strings.TrimSpace(line), " | ")
		if len(part) != 5 {
			t.Fatalf("want.txt: %q", line)
		}
		wants[part[0]] = append(wants[part[0]], complaint{part[1], part[2], part[3], part[4]})
	}
	files, err := os.ReadDir(badDir)
	if err != nil || len(files) < 20 {
		t.Fatalf("%d files, %v", len(files), err)
	}
	for _, file := range files {
		name := file.Name()
		if name == "want.txt" {
			continue
		}
		data, err := os.ReadFile(filepath.Join(badDir, name))
		if err != nil {
			t.Fatal(err)
		}
		all := complaintsOf(t, name, data, table.Limits{})
		if len(wants[name]) == 0 {
			t.Errorf("%s: want.txt does not say what is wanted; said was %q", name, all)
		}
		for _, want := range wants[name] {
			wantComplaint(t, name, all, want)
		}
		delete(wants, name)
	}
	for name := range wants {
		t.Errorf("%s: no such file", name)
	}
}

// Bad files that are too large to keep.
func TestLargeBadFiles(t *testing.T) {
	const head = "Test,Blank µS/cm,Extract µS/cm,Volume ml,Remark\n"
	const second = "2,1.5,13.0,3,\n"
	for _, bad := range []struct {
		name string
		data string
		want complaint
	}{
		{"one line of 3 MB.csv", strings.Repeat("x", 3<<20),
			complaint{"refused", "line-too-long", "a line of 3145728 bytes", ""}},
		{"a remark of 1 MB.csv", head + "1,1.5,12.0,3," + strings.Repeat("wet ", 1<<18) + "\n" + second,
			complaint{"refused", "line-too-long", "but wanted at most", ""}},
		{"an extract of 64 kB.csv", head + "1,1.5," + strings.Repeat("9x", 1<<15) + ",3,\n" + second,
			complaint{"problem", "unknown-unit", "9x9x", "write the unit"}},
		{"5,000 columns.csv", "Test,Blank µS/cm,Extract µS/cm,Volume ml" + strings.Repeat(",x", 4996) + "\n1,1.5,12,3" + strings.Repeat(",1", 4996) + "\n",
			complaint{"refused", "sheet-too-large", "column 5000", ""}},
		{"noise.csv", noise(4096),
			complaint{"refused", "not-a-table", "binary data", ""}},
	} {
		wantComplaint(t, bad.name, complaintsOf(t, bad.name, []byte(bad.data), table.Limits{}), bad.want)
	}
}

// noise is binary data that is the same every time.
func noise(n int) string {
	b := make([]byte, n)
	for i := range b {
		b[i] = byte(i*7 + i*i)
	}
	return string(b)
}

// A log with bytes lost, doubled or exchanged is read as far as it goes, and
// its rows are all accounted for.
func TestSpoiltLogs(t *testing.T) {
	const seed = 20250311
	t.Logf("seed %d", seed)
	random := rand.New(rand.NewPCG(seed, 1))
	logs, err := filepath.Glob(filepath.Join(wildDir, "*.csv"))
	if err != nil || len(logs) < 10 {
		t.Fatalf("%d logs, %v", len(logs), err)
	}
	for _, path := range logs {
		whole, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		for range 20 {
			data := bytes.Clone(whole)
			for range 1 + random.IntN(12) {
				spoil(data, random)
			}
			f, err := table.Read("spoilt.csv", data[:len(data)-random.IntN(20)], table.Options{})
			if err != nil {
				continue // a refusal is an answer
			}
			job, _ := record.Bind([]*table.File{f}, record.Options{})
			assess.Run(job, nil)
			rows := 0
			for _, r := range f.Sheets[0].Rows {
				if !r.Blank() {
					rows++
				}
			}
			if got := job.Note.Used + len(job.Note.Skipped); got != rows {
				t.Errorf("%s, spoilt to %q: %d rows used or skipped, want %d", path, data, got, rows)
			}
		}
	}
}

// spoil changes data in one place.
func spoil(data []byte, random *rand.Rand) {
	i, j := random.IntN(len(data)), random.IntN(len(data))
	switch random.IntN(4) {
	case 0:
		data[i] = byte(random.IntN(256))
	case 1:
		data[i] = ",;\t\n\"'.0"[random.IntN(8)]
	case 2:
		data[i], data[j] = data[j], data[i]
	case 3:
		copy(data[i:], data[j:min(len(data), j+30)])
	}
}

// A small archive that unpacks to very much is refused before it does.
func TestPackedZeros(t *testing.T) {
	var packed bytes.Buffer
	z := zip.NewWriter(&packed)
	for _, part := range []string{"[Content_Types].xml", "xl/workbook.xml", "xl/worksheets/sheet1.xml"} {
		w, err := z.Create(part)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := w.Write(make([]byte, 2<<20)); err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	all := complaintsOf(t, "packed.xlsx", packed.Bytes(), table.Limits{Unpacked: 1 << 20})
	wantComplaint(t, "packed.xlsx", all, complaint{"refused", "file-too-large", "unpacks to more than the limit", ""})
}

// Formulas that give an error, or were never computed, leave their test in the
// record with a word on each; a form's own formulas in an empty line do not
// make a test of it.
func TestFormulasWithoutValue(t *testing.T) {
	book, err := table.Write(table.Book{Pages: []table.Page{{Name: "Readings", Lines: []table.Line{
		table.Texts("Test", "Blank µS/cm", "Extract µS/cm", "Volume ml", "mg/m²"),
		{Cells: []table.Entry{table.Words("1"), table.Num(1.5, "0.0"), table.Num(13, "0.0"), table.Num(3, ""), table.Formula("1/0", "0.0")}},
		{Cells: []table.Entry{table.Words("2"), table.Num(1.5, "0.0"), table.Formula("NOSUCH(B2)", "0.0"), table.Num(3, ""), table.Formula("1.2*(C2-B2)", "0.0")}},
		{Cells: []table.Entry{table.Words("3"), {}, {}, table.Num(3, ""), table.Formula("1.2*(C4-B4)", "0.0")}},
	}}}})
	if err != nil {
		t.Fatal(err)
	}
	all := complaintsOf(t, "formulas.xlsx", book, table.Limits{})
	wantComplaint(t, "formulas.xlsx", all, complaint{"problem", "formula-error", "#DIV/0!", "mend the formula"})
	wantComplaint(t, "formulas.xlsx", all, complaint{"problem", "formula-without-result", "NOSUCH", "let it calculate"})
	f, err := table.Read("formulas.xlsx", book, table.Options{})
	if err != nil {
		t.Fatal(err)
	}
	job, _ := record.Bind([]*table.File{f}, record.Options{})
	if len(job.Tests) != 2 {
		t.Errorf("%d tests, want 2", len(job.Tests))
	}
	if got := job.Tests[1].Recorded(); !got.Known() || got.Text != "13.8" { // 1.2 × (13.0 − 1.5)
		t.Errorf("recorded %+v, want 13.8", got)
	}
}
