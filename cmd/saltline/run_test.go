package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestExitStatus holds the status of each way a command can end: 0 done,
// 1 could not be done, 2 wrong usage, 3 done, and something does not hold.
func TestExitStatus(t *testing.T) {
	dir := t.TempDir()
	file := func(name, data string) string {
		t.Helper()
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, []byte(data), 0o644); err != nil {
			t.Fatal(err)
		}
		return path
	}
	fails := file("fails.csv", "test,date,blank_uS_cm,extract_uS_cm,volume_ml\n1,2026-03-09,1.5,99.0,3\n")
	open := file("open.csv", "test,date,blank_uS_cm,extract_uS_cm,volume_ml\n1,03/04/2026,1.5,9.0,3\n")
	notPDF := file("is-there.pdf", "x")
	nothing := file("nothing.csv", "")
	const limit = "\"Limit: at most 50 mg/m², total salts\",,,,,,\n"
	stands := file("stands.csv", limit+"test,date,blank_uS_cm,extract_uS_cm,volume_ml,recorded_mg_m2,verdict\n1,2026-03-09,1.5,19.0,3,21.0,pass\n")
	wrong := file("wrong.csv", limit+"test,date,blank_uS_cm,extract_uS_cm,volume_ml,recorded_mg_m2,verdict\n1,2026-03-09,1.5,19.0,3,23.7,pass\n")
	judged := file("judged.csv", limit+"test,date,blank_uS_cm,extract_uS_cm,volume_ml,recorded_mg_m2,verdict\n1,2026-03-09,1.5,63.2,3,74.0,pass\n")
	for _, c := range []struct {
		name   string
		args   []string
		status int
		says   string // on standard error, or on standard output for status 0
	}{
		{"help", []string{"--help"}, 0, "commands:"},
		{"help of a command", []string{"report", "--help"}, 0, "--overwrite"},
		{"version", []string{"version"}, 0, "saltline "},
		{"an empty workbook", []string{"workbook", "-o", filepath.Join(dir, "new.xlsx")}, 0, ""},
		{"a record that stands", []string{"audit", stands}, 0, "1 written value agrees"},
		{"a report of a fail is a report", []string{"report", fails, "-o", filepath.Join(dir, "out"), "--set", "limit=50 mg/m2", "--set", "limit basis=total salts"}, 0, "1 FAIL"},
		{"one density", []string{"density", "--blank", "2", "--extract", "42", "--volume", "3 ml"}, 0, "48.0 mg/m²"},
		{"list of checks", []string{"explain"}, 0, "water and blank"},
		{"a slip explained", []string{"explain", "other-volume"}, 0, "3, 10 and 15 ml"},

		{"no such file", []string{"report", filepath.Join(dir, "none.xlsx")}, 1, "no such file"},
		{"nothing in it", []string{"report", nothing}, 1, "nothing.csv"},
		{"a question stands", []string{"report", open}, 1, "2026"},
		{"a day that is not there", []string{"report", fails, "--date", "2026-01-01"}, 1, "2026-03-09"},
		{"the file exists", []string{"report", fails, "-o", notPDF}, 1, "exists"},

		{"a value that does not follow", []string{"audit", wrong}, 3, "1 value does not follow"},
		{"a verdict that changes", []string{"audit", judged}, 3, "1 verdict changes"},
		{"no record", []string{"audit", filepath.Join(dir, "none.csv")}, 1, "no such file"},
		{"no record among several", []string{"audit", stands, filepath.Join(dir, "none.csv")}, 1, "1 of 2 records could not be audited"},

		{"no record named", []string{"audit"}, 2, "no record given"},
		{"several into one", []string{"audit", stands, wrong, "-o", filepath.Join(dir, "a.pdf")}, 2, "2 records do not go into"},
		{"two of one name", []string{"audit", stands, stands, "-o", filepath.Join(dir, "two")}, 2, "both be written"},
		{"no workbook named", []string{"workbook"}, 2, "no file given"},
		{"a workbook of another kind", []string{"workbook", "-o", "x.ods"}, 2, "ends in .xlsx"},
		{"no command", nil, 2, "no command"},
		{"unknown command", []string{"repot"}, 2, "report, certificate, handover, audit, seal, verify, density, workbook, explain"},
		{"no job", []string{"report"}, 2, "no job"},
		{"one record twice", []string{"report", fails, fails}, 2, "named twice"},
		{"unknown option", []string{"report", "--colour", fails}, 2, "--colour"},
		{"no key", []string{"report", fails, "--set", "volume"}, 2, "KEY=VALUE"},
		{"no column", []string{"report", fails, "--map", "x"}, 2, "HEADING=COLUMN"},
		{"no order", []string{"report", fails, "--date-order", "ddmm"}, 2, "dmy, mdy or ymd"},
		{"no paper", []string{"report", fails, "--paper", "a3"}, 2, "a4 or letter"},
		{"a date in two ways", []string{"report", fails, "--date", "03/04/2026"}, 2, "reads in one way"},
		{"no volume", []string{"density", "--blank", "2", "--extract", "42"}, 2, "--volume is not given"},
		{"not a conductivity", []string{"density", "--blank", "2 ppm", "--extract", "42", "--volume", "3"}, 2, "--blank"},
		{"a number in two ways", []string{"density", "--blank", "2", "--extract", "1,042", "--volume", "3"}, 2, "1,042"},
		{"no such check", []string{"explain", "volume-other"}, 2, "other-volume"},
	} {
		t.Run(c.name, func(t *testing.T) {
			var out, errOut bytes.Buffer
			got := run(c.args, strings.NewReader(""), &out, &errOut)
			said := errOut.String()
			if c.status == 0 {
				said = out.String()
			}
			if got != c.status || !strings.Contains(said, c.says) {
				t.Errorf("saltline %s: status %d, want %d; %q is not in\n%s", strings.Join(c.args, " "), got, c.status, c.says, said)
			}
			if got != 0 && errOut.Len() == 0 {
				t.Error("nothing on standard error")
			}
		})
	}
}

func TestWriteFile(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "a.pdf")
	write := func(data string, overwrite bool) error {
		t.Helper()
		err := writeFile(path, []byte(data), overwrite)
		left, _ := filepath.Glob(filepath.Join(dir, ".*"))
		if len(left) > 0 {
			t.Errorf("temporary files are left: %q", left)
		}
		return err
	}
	if err := write("first", false); err != nil {
		t.Fatal(err)
	}
	if err := write("second", false); err == nil {
		t.Error("a file that exists was written without --overwrite")
	}
	if got, _ := os.ReadFile(path); string(got) != "first" {
		t.Errorf("got %q, want the first content untouched", got)
	}
	if err := write("third", true); err != nil {
		t.Fatal(err)
	}
	if got, _ := os.ReadFile(path); string(got) != "third" {
		t.Errorf("got %q, want the new content", got)
	}
	if err := writeFile(filepath.Join(dir, "none", "a.pdf"), nil, false); err == nil {
		t.Error("a file was written into a folder that is not there")
	}
}

// The digest of one file is that of its bytes, as any other program gives it.
// Expected value: printf 'abc' | sha256sum (FIPS 180-2, appendix B.1).
func TestDigest(t *testing.T) {
	one := []input{{name: "a.csv", data: []byte("abc")}}
	const abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
	if got := digest(one, nil); got != abc {
		t.Errorf("got %s, want %s", got, abc)
	}
	two := append(one, input{name: "b.csv", data: []byte("abc")})
	seen := map[string]bool{abc: true}
	for _, d := range []string{digest(two, nil), digest(one, []string{"volume=3 ml"}), digest(one, []string{"volume=10 ml"})} {
		if seen[d] {
			t.Errorf("two different records have the digest %s", d)
		}
		seen[d] = true
	}
}
