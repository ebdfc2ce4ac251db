// Package complete holds a job whose areas have their certificates and whose
// dossier can be handed over, and changes it for a test.
package complete

import (
	"bytes"
	"embed"
	"encoding/csv"
	"maps"
	"path"
	"slices"
	"strconv"
	"strings"
	"testing"

	"saltline/internal/assess"
	"saltline/internal/check"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/table"
)

//go:embed *.csv
var files embed.FS

// A Job is a record under change: the rows of its tables, the heading first.
type Job map[string][][]string

// New is the complete job, changed. Each line of the changes is one of
//
//	readings: 4 | extract=55.0; recorded=66.2   columns of the row that begins with 4
//	signatures: #2 | role=foreman               columns of the second row
//	readings: -9                                without the rows that begin with 9
//	readings: +11,D1,…                          one row more
//	readings: drop recorded                     without a column
//	readings: add limit                         with a column that is empty
//	people: none                                without the table
//	documents: document,area or day,…           a table that was not there, by its heading
func New(t testing.TB, changes string) Job {
	t.Helper()
	j := Job{}
	entries, err := files.ReadDir(".")
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		data, err := files.ReadFile(e.Name())
		if err != nil {
			t.Fatal(err)
		}
		name := strings.TrimSuffix(e.Name(), ".csv")
		j[name] = rows(t, string(data))
	}
	for line := range strings.Lines(changes) {
		if line = strings.TrimSpace(line); line != "" {
			j.change(t, line)
		}
	}
	return j
}

func rows(t testing.TB, text string) [][]string {
	t.Helper()
	r := csv.NewReader(strings.NewReader(text))
	all, err := r.ReadAll()
	if err != nil {
		t.Fatalf("%v in %q", err, text)
	}
	return all
}

func (j Job) change(t testing.TB, line string) {
	t.Helper()
	name, what, ok := strings.Cut(line, ": ")
	if !ok {
		t.Fatalf("%q is no change", line)
	}
	all, there := j[name]
	switch {
	case what == "none":
		delete(j, name)
		return
	case !there:
		j[name] = rows(t, what)
		return
	case strings.HasPrefix(what, "+"):
		for _, row := range rows(t, what[1:]) {
			j[name] = append(j[name], slices.Concat(row, make([]string, max(0, len(all[0])-len(row)))))
		}
		return
	case strings.HasPrefix(what, "drop "):
		at := column(t, all, strings.TrimPrefix(what, "drop "))
		for i := range all {
			all[i] = slices.Delete(all[i], at, at+1)
		}
		return
	case strings.HasPrefix(what, "add "):
		for i := range all {
			all[i] = append(all[i], "")
		}
		all[0][len(all[0])-1] = strings.TrimPrefix(what, "add ")
		return
	case strings.HasPrefix(what, "-"):
		left := slices.DeleteFunc(slices.Clone(all), func(row []string) bool { return row[0] == what[1:] })
		if len(left) == len(all) {
			t.Fatalf("%q: no such row", line)
		}
		j[name] = left
		return
	}
	which, sets, ok := strings.Cut(what, " | ")
	if !ok {
		t.Fatalf("%q is no change", line)
	}
	row := find(t, all, line, which)
	for _, set := range strings.Split(sets, "; ") {
		head, value, _ := strings.Cut(set, "=")
		row[column(t, all, head)] = value
	}
}

func bareHead(head string) string {
	head, _, _ = strings.Cut(head, " (")
	return head
}

func column(t testing.TB, all [][]string, head string) int {
	t.Helper()
	at := slices.IndexFunc(all[0], func(h string) bool { return bareHead(h) == strings.TrimSpace(head) })
	if at < 0 {
		t.Fatalf("no column %q among %q", head, all[0])
	}
	return at
}

func find(t testing.TB, all [][]string, line, name string) []string {
	t.Helper()
	if n, ok := strings.CutPrefix(name, "#"); ok {
		i, err := strconv.Atoi(n)
		if err != nil || i < 1 || i >= len(all) {
			t.Fatalf("%q: no such row", line)
		}
		return all[i]
	}
	for _, row := range all[1:] {
		if row[0] == name {
			return row
		}
	}
	t.Fatalf("%q: no such row", line)
	return nil
}

// Bind reads the job as a folder of CSV files, whose names begin with folder.
func (j Job) Bind(t testing.TB, folder string) *record.Job {
	t.Helper()
	var read []*table.File
	for _, name := range slices.Sorted(maps.Keys(j)) {
		var b bytes.Buffer
		w := csv.NewWriter(&b)
		if err := w.WriteAll(j[name]); err != nil {
			t.Fatal(err)
		}
		f, err := table.Read(path.Join(folder, name+".csv"), b.Bytes(), table.Options{Delimiter: ','})
		if err != nil {
			t.Fatal(err)
		}
		read = append(read, f)
	}
	job, list := record.Bind(read, record.Options{})
	for _, d := range list.Sorted() {
		t.Log(d)
		if d.Level > diag.Problem {
			t.Fatalf("the job cannot be read: %s", d)
		}
	}
	return job
}

// Judge is the job, judged by all checks.
func (j Job) Judge(t testing.TB) *assess.Result {
	t.Helper()
	return assess.Run(j.Bind(t, ""), check.All())
}
