package main

import (
	"bytes"
	"image"
	"image/draw"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// made again, a document is the same file, whatever it was made of and however.
func TestMadeAgain(t *testing.T) {
	samples, err := filepath.Abs("../../samples")
	if err != nil {
		t.Fatal(err)
	}
	sample := func(name string) string { return filepath.Join(samples, name) }
	piers, err := filepath.Glob(sample("oskerley-pier/*.xlsx"))
	if err != nil || len(piers) != 5 {
		t.Fatalf("%d workbooks (%v), want 5", len(piers), err)
	}
	readings := smallJob["readings.csv"]
	more := strings.NewReplacer("\n1,", "\n4,", "\n2,", "\n5,", "\n3,", "\n6,").Replace(readings)
	twice := folderOf(t, "both", map[string]string{"first/log.csv": readings, "second/log.csv": more})
	odd := folderOf(t, "Größe 50 % & mehr", map[string]string{"Anfang µ #1.csv": readings, "people.csv": smallJob["people.csv"]})
	named := folderOf(t, "results.json", map[string]string{"made.json.csv": readings, "people.csv": smallJob["people.csv"]})
	likeOurs := fileWith(t, "results.json.csv", []byte(readings))
	undated := folderOf(t, "undated", map[string]string{"readings.csv": strings.ReplaceAll(readings, "2026-04-03", "")})
	area := `A/1 "wet" ü (50 %) = x`
	areas := folderOf(t, "areas", map[string]string{
		"readings.csv": strings.ReplaceAll(readings, ",A,", `,"`+strings.ReplaceAll(area, `"`, `""`)+`",`),
	})
	jobFile := fileWith(t, "terms.csv", []byte("key,value\njob number,J-1\nlimit,40 mg/m2\nlimit basis,total salts\n"))
	inside := folderOf(t, "inside", map[string]string{"readings.csv": readings, "job.csv": "key,value\njob number,J-2\n"})
	mapped := folderOf(t, "mapped", map[string]string{"readings.csv": strings.Replace(readings, "extract_uS_cm", "Wert nachher", 1)})
	texts := folderOf(t, "texts", map[string]string{"en/report.txt": "= title\nOur own report\n"})
	if !strings.Contains(textOf(t, "../../templates/en/report.txt"), "= title\n") {
		t.Fatal("the text that is replaced has another key")
	}
	comma := folderOf(t, "comma", map[string]string{"readings.csv": "test;date;blank_uS_cm;extract_uS_cm;volume_ml\n1;03/04/2026;1,500;19,250;3\n"})

	const signatures = "document,date,role,name,signed at,method,image file\n" +
		"daily report,2026-04-03,inspector,Ilse Korvan,2026-04-03 16:35,wet ink,signatures/Ilse Körvan.png\n" +
		"daily report,2026-04-03,QC manager,Tomas Rell,2026-04-03 17:35,wet ink,none.png\n"
	drawn := folderOf(t, "drawn", map[string]string{
		"readings.csv": readings, "people.csv": smallJob["people.csv"], "signatures.csv": signatures,
		"signatures/Ilse Körvan.png": dashPNG(t),
	})

	cases := []struct {
		name string
		args []string
	}{
		{"images of signatures", []string{"report", drawn}},
		{"images of signatures in a dossier", []string{"handover", drawn}},
		{"report of a folder", []string{"report", sample("quillmere-lock"), "--date", "2026-04-15"}},
		{"report of a workbook", []string{"report", sample("quillmere-lock.xlsx"), "--date", "2026-04-14"}},
		{"report of a file", []string{"report", fileWith(t, "log.csv", []byte(readings))}},
		{"report of several records", append([]string{"report", "--date", "2026-09-08"}, piers...)},
		{"report on letter paper", []string{"report", sample("faehre-lirra.xlsx"), "--paper", "letter"}},
		{"certificate", append([]string{"certificate", "--area", "PC"}, piers...)},
		{"certificate not issued", []string{"certificate", sample("quillmere-lock"), "--area", "LG"}},
		{"certificate of an area with odd characters", []string{"certificate", areas, "--area", area}},
		{"handover", append([]string{"handover"}, piers...)},
		{"handover with costs", append([]string{"handover", "--costs"}, piers...)},
		{"handover of a folder", []string{"handover", sample("quillmere-lock")}},
		{"audit", []string{"audit", sample("torrel-bridge.xlsx")}},
		{"audit of a folder", []string{"audit", sample("quillmere-lock")}},
		{"records of one name in two folders", []string{"report", filepath.Join(twice, "first", "log.csv"), filepath.Join(twice, "second", "log.csv")}},
		{"the file of --job", []string{"report", fileWith(t, "log.csv", []byte(readings)), "--job", jobFile}},
		{"the file of --job in the record", []string{"report", inside, "--job", filepath.Join(inside, "job.csv")}},
		{"--set", []string{"report", inside, "--set", "limit=40 mg/m2", "--set", "limit basis=chloride ion", "--set", "job number=J = 3, again"}},
		{"--map", []string{"report", mapped, "--map", "Wert nachher=extract"}},
		{"--sheet", []string{"report", sample("torrel-bridge.xlsx"), "--sheet", "Salt"}},
		{"--templates", []string{"report", inside, "--templates", texts}},
		{"--date-order and --decimal", []string{"report", comma, "--date-order", "dmy", "--decimal", ","}},
		{"a test without a day", []string{"report", undated}},
		{"photographs", []string{"handover", sample("quillmere-lock.xlsx")}},
		{"names with spaces and more", []string{"report", odd}},
		{"names like those of its own files", []string{"report", named}},
		{"a record called like one of them", []string{"report", likeOurs}},
	}
	for _, lang := range []string{"en", "de", "es", "fr", "nb"} {
		cases = append(cases, struct {
			name string
			args []string
		}{"in " + lang, []string{"report", sample("faehre-lirra.xlsx"), "--language", lang}})
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			var out, said bytes.Buffer
			status := run(append(c.args, "--produced", "2026-09-20", "-o", "-"), strings.NewReader(""), &out, &said)
			if status != 0 && status != 3 {
				t.Fatalf("status %d\n%s", status, said.String())
			}
			status, says := does("verify", fileWith(t, "document.pdf", out.Bytes()))
			if status != 0 || !strings.Contains(says, ": the same file, byte for byte\n") {
				t.Errorf("saltline %s: status %d\n%s", strings.Join(c.args, " "), status, says)
			}
		})
	}
}

// A record may not be called like what a document carries beside it.
func TestRecordCalledLikeResults(t *testing.T) {
	for _, name := range []string{resultsName, madeName} {
		status, says := does("report", fileWith(t, name, []byte(smallJob["readings.csv"])), "-o", "-")
		if status != 1 || !strings.Contains(says, "the record is called "+name) || !strings.Contains(says, "hint: give it another name") {
			t.Errorf("status %d\n%s", status, says)
		}
	}
}

// dashPNG is a picture of a dash.
func dashPNG(t *testing.T) string {
	t.Helper()
	dash := image.NewGray(image.Rect(0, 0, 60, 20))
	draw.Draw(dash, dash.Bounds(), image.White, image.Point{}, draw.Src)
	draw.Draw(dash, image.Rect(5, 9, 55, 12), image.Black, image.Point{}, draw.Src)
	var b bytes.Buffer
	if err := png.Encode(&b, dash); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func textOf(t *testing.T, path string) string {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// The record is made again where nothing else of it is left: neither its folder,
// nor its photographs, nor its images.
func TestMadeAgainElsewhere(t *testing.T) {
	job := folderOf(t, "job", smallJob)
	data := written(t, "report", job, "--produced", "2026-04-20")
	if err := os.RemoveAll(job); err != nil {
		t.Fatal(err)
	}
	t.Chdir(t.TempDir())
	if status, says := does("verify", fileWith(t, "document.pdf", data)); status != 0 || !strings.Contains(says, "byte for byte") {
		t.Errorf("status %d\n%s", status, says)
	}
}

// What a document carries is written byte for byte, into a folder that was not
// there, and nowhere else.
func TestVerifyExtract(t *testing.T) {
	path := fileWith(t, "document.pdf", small(t))
	dir := filepath.Join(t.TempDir(), "out")
	if status, says := does("verify", path, "--extract", dir); status != 0 {
		t.Fatalf("status %d\n%s", status, says)
	}
	for name, text := range smallJob {
		if got := textOf(t, filepath.Join(dir, name)); got != text {
			t.Errorf("%s: %q, want %q", name, got, text)
		}
	}
	for _, name := range []string{madeName, resultsName} {
		if !standing(filepath.Join(dir, name)) {
			t.Errorf("%s is not there", name)
		}
	}
	if status, says := does("verify", path, "--extract", dir); status != 1 || !strings.Contains(says, "exists") {
		t.Errorf("into the same folder: status %d\n%s", status, says)
	}

	for _, name := range []string{"../beside.csv", "/beside.csv", "a/../../beside.csv", "..", ".", "nul\x00.csv"} {
		o := open(t, small(t))
		o.attach(name, []byte("a,b\n"))
		parent := t.TempDir()
		dir := filepath.Join(parent, "out")
		status, says := does("verify", fileWith(t, "changed.pdf", o.anew()), "--extract", dir)
		if status == 0 || strings.Contains(says, "a fault of the program") {
			t.Errorf("%q: status %d\n%s", name, status, says)
		}
		entries, err := os.ReadDir(parent)
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range entries {
			if e.Name() != "out" {
				t.Errorf("%q: %s was written beside the folder", name, e.Name())
			}
		}
		if standing("/beside.csv") {
			t.Fatalf("%q was written", name)
		}
	}
}
