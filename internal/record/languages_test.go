package record_test

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/table"
)

// One job is written wholly in each of the five languages: the names of its
// sheets, the headings, the keys, the words. Each is read to the record that
// its English twin is read to.
func TestTwins(t *testing.T) {
	english := fold(readTwin(t, "en"))
	if len(english) < 300 {
		t.Fatalf("the English job says %d things only", len(english))
	}
	for _, lang := range []string{"de", "es", "fr", "nb"} {
		t.Run(lang, func(t *testing.T) {
			other := fold(readTwin(t, lang))
			for place, value := range english {
				if other[place] != value {
					t.Errorf("%s: %s, want %s", place, other[place], value)
				}
			}
			for place, value := range other {
				if _, ok := english[place]; !ok {
					t.Errorf("%s: %s, want nothing", place, value)
				}
			}
		})
	}
}

// readTwin reads a file of testdata/languages: "sheet NAME", and rows of cells
// set off by bars. Nothing of it may be asked about or wrong.
func readTwin(t *testing.T, lang string) *record.Job {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("../../testdata/languages", lang+".txt"))
	if err != nil {
		t.Fatal(err)
	}
	var files []*table.File
	for part := range strings.SplitSeq(string(data), "\nsheet ") {
		name, rows, _ := strings.Cut(part, "\n")
		if strings.HasPrefix(name, "#") {
			continue
		}
		var b bytes.Buffer
		w := csv.NewWriter(&b)
		w.Comma = ';'
		for row := range strings.SplitSeq(rows, "\n") {
			if strings.TrimSpace(row) == "" {
				continue
			}
			cells := strings.Split(row, "|")
			for i := range cells {
				cells[i] = strings.TrimSpace(cells[i])
			}
			w.Write(cells)
		}
		w.Flush()
		f, err := table.Read(name+".csv", b.Bytes(), table.Options{})
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, f)
	}
	job, list := record.Bind(files, record.Options{})
	for _, d := range list.Sorted() {
		if d.Level >= diag.Problem {
			t.Errorf("%s: %s", lang, d)
		}
	}
	return job
}

// inItsLanguage are the fields whose words stay those of their language.
var inItsLanguage = map[string]bool{"Role": true, "FoundLeft": true, "BlankKind": true, "Note": true, "Sources": true, "Row": true}

// fold lists the values of a record by their place in it, without the places
// and the spelling of the log.
func fold(job *record.Job) map[string]string {
	all := map[string]string{}
	values(all, "", reflect.ValueOf(*job))
	for i := range job.Water {
		all[fmt.Sprintf(".Water[%d] on glass", i)] = fmt.Sprint(job.Water[i].OnGlass())
	}
	for i := range job.Checks {
		all[fmt.Sprintf(".Checks[%d] as left", i)] = fmt.Sprint(job.Checks[i].AsLeft())
	}
	for i := range job.Extracts {
		all[fmt.Sprintf(".Extracts[%d] of water", i)] = fmt.Sprint(job.Extracts[i].OfWater())
		delete(all, fmt.Sprintf(".Extracts[%d].Kind", i))
	}
	for i := range job.Documents {
		delete(all, fmt.Sprintf(".Documents[%d].Kind", i))
	}
	return all
}

func values(all map[string]string, place string, v reflect.Value) {
	if v.Type() == reflect.TypeFor[record.Test]() {
		test := v.Interface().(record.Test)
		v = reflect.ValueOf(*test.Own())
	}
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			values(all, place, v.Elem())
		}
	case reflect.Slice:
		for i := range v.Len() {
			values(all, fmt.Sprintf("%s[%d]", place, i), v.Index(i))
		}
	case reflect.Struct:
		if state := v.FieldByName("State"); state.IsValid() && v.FieldByName("Val").IsValid() {
			if s := state.Interface().(record.State); s != record.Absent {
				all[place] = fmt.Sprintf("%v %v %v", s, v.FieldByName("Val").Interface(), v.FieldByName("Dec"))
			}
			return
		}
		for i := range v.NumField() {
			f := v.Type().Field(i)
			if f.IsExported() && !inItsLanguage[f.Name] {
				values(all, place+"."+f.Name, v.Field(i))
			}
		}
	case reflect.Bool:
		if v.Bool() {
			all[place] = "true"
		}
	}
}
