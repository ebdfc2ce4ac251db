package record_test

import (
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/table"
)

const oneTest = "test,blank (µS/cm),extract (µS/cm),volume (ml)\n1,2,14,3\n"

// bindJob binds one reading beside a job table, and returns what is said of the
// keys of that table.
func bindJob(t *testing.T, rows string) (*record.Job, []diag.Diagnostic) {
	t.Helper()
	var files []*table.File
	for name, text := range map[string]string{"readings.csv": oneTest, "job.csv": "key,value\n" + rows + "\n"} {
		f, err := table.Read(name, []byte(text), table.Options{})
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, f)
	}
	job, list := record.Bind(files, record.Options{})
	return job, slices.DeleteFunc(list.Sorted(), func(d diag.Diagnostic) bool { return d.Check != "unknown-key" })
}

// A key with a slip in it names the one that was perhaps meant, whatever the
// language; the readers of these rows were asked what they would take them for.
func TestKeysWithASlip(t *testing.T) {
	for row, want := range map[string]string{
		"limt,30 mg/m2":                    "limit",
		"limit basiss,total salts":         "limit basis",
		"limt 2,30 mg/m2":                  "limit 2",
		"limti basis 2,total salts":        "limit basis 2",
		"sampling rul,8":                   "sampling rule",
		"samplng rule,8":                   "sampling rule",
		"sampling plan,8":                  "sampling rule",
		"wolume,3 ml":                      "volume",
		"volume of solution,3 ml":          "volume",
		"patchh area,1250 mm2":             "patch area",
		"decison rule,guarded":             "decision rule",
		"specificaton,NT-4":                "specification",
		"insp plan,NT-4":                   "inspection plan",
		"Grenzwrt 2,30 mg/m2":              "limit 2",
		"Zeitzne,UTC+1":                    "time zone",
		"cleint,Nordhavn":                  "client",
		"coating hours,4":                  "hours to coating",
		"house blank age,30 min":           "",
		"house blank agee,30 min":          "house blank age",
		"Auftraggebr,Nordhavn":             "client",
		"Spezifkation,NT-4":                "specification",
		"contratisa,Nordhavn":              "contractor",
		"spécificaton,NT-4":                "specification",
		"oppdragsgivr,Nordhavn":            "client",
		"spesifikasjn,NT-4":                "specification",
		"inspecter,N. N.":                  "inspector",
		"subcontractor,Nordhavn":           "",
		"contact,N. N.":                    "",
		"Kontakt,N. N.":                    "",
		"batch,4471":                       "",
		"side,port":                        "",
		"humidity,62 %":                    "",
		"steel temperature,12 °C":          "",
		"water conductivity,1.2 µS/cm":     "",
		"inspection company,Nordhavn":      "",
		"coating system,3 coats of NT-4":   "",
		"coating thickness,320 µm":         "",
		"order number,4471":                "",
		"drawing number,4471":              "",
		"client contact,N. N.":             "",
		"site address,North Quay 4":        "",
		"telephone,0":                      "",
		"remarks,crane out of order":       "",
		"lift operator,N. N.":              "",
		"date of report,2026-04-02":        "",
		"equipment,one set":                "",
		"abrasive,copper slag":             "",
		"Ansprechpartner,N. N.":            "",
		"Fläche,1200 m2":                   "",
		"responsable,N. N.":                "",
		"superviseur,N. N.":                "",
		"prosjektleder,N. N.":              "",
		"blast contractor supervisor,N. N": "",
	} {
		job, found := bindJob(t, row)
		got := ""
		if len(found) > 0 {
			_, got, _ = strings.Cut(found[0].Msg, "perhaps ")
			if found[0].Pos.String() != "job.csv:2:1" || found[0].Level != diag.Problem {
				t.Errorf("%s: %v", row, found[0])
			}
		}
		if want != "" {
			want = `"` + want + `"`
		}
		if got != want {
			t.Errorf("%s: perhaps %s, want %s", row, got, want)
		}
		if len(found) > 0 && len(job.Note.Keys) > 0 {
			t.Errorf("%s: said twice: %v", row, job.Note.Keys)
		}
	}
}

// Every other key that is none of ours is listed in the reading note; one that
// the readings beside it take is not.
func TestKeysThatAreNoneOfOurs(t *testing.T) {
	job, _ := bindJob(t, "client,Nordhavn\nlift operator,N. N.\ncall sign,LX 4\nempty row,")
	want := []record.Stray{
		{Pos: diag.In("job.csv", "").At(3, 1), Key: "lift operator", Value: "N. N."},
		{Pos: diag.In("job.csv", "").At(4, 1), Key: "call sign", Value: "LX 4"},
	}
	if !slices.Equal(job.Note.Keys, want) {
		t.Errorf("keys %v, want %v", job.Note.Keys, want)
	}
	f := &table.File{Name: "log.xlsx", Sheets: []table.Sheet{{Name: "job"}, {Name: "readings"}}}
	for _, r := range []string{"key | value", "inspector | N. N.", "foreman | N. N."} {
		addRow(&f.Sheets[0], r, false)
	}
	for _, r := range []string{"test | blank | extract | volume", "1 | 2 | 14 | 3"} {
		addRow(&f.Sheets[1], r, false)
	}
	job, _ = record.Bind([]*table.File{f}, record.Options{})
	if len(job.Note.Keys) != 1 || job.Note.Keys[0].Key != "foreman" || job.Tests[0].Inspector().Text != "N. N." {
		t.Errorf("keys %v, inspector %q", job.Note.Keys, job.Tests[0].Inspector().Text)
	}
}

// Nothing in the samples and in the wild logs is taken for a slip.
func TestNoSlipsInHonestJobs(t *testing.T) {
	read := 0
	for _, root := range []string{"../../samples", "../../testdata/logs", "../../testdata/jobs", "../../testdata/audit"} {
		err := filepath.WalkDir(root, func(path string, e fs.DirEntry, err error) error {
			if err != nil || e.IsDir() || filepath.Ext(path) != ".csv" && filepath.Ext(path) != ".xlsx" {
				return err
			}
			data, err := os.ReadFile(path)
			if err != nil {
				return err
			}
			f, err := table.Read(filepath.Base(path), data, table.Options{})
			if err != nil {
				return nil // a file that is none is tested elsewhere
			}
			read++
			_, list := record.Bind([]*table.File{f}, record.Options{})
			for _, d := range list.Sorted() {
				if d.Check == "unknown-key" {
					t.Errorf("%s: %v", path, d)
				}
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if read < 50 {
		t.Errorf("only %d files read", read)
	}
}
