package export_test

import (
	"bytes"
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"saltline/internal/assess"
	"saltline/internal/audit"
	"saltline/internal/certificate"
	"saltline/internal/check"
	"saltline/internal/dossier"
	"saltline/internal/export"
	"saltline/internal/record"
	"saltline/internal/table"
	"saltline/internal/wording"
	"saltline/templates"
	"saltline/testdata/bench"
	"saltline/testdata/jobs"
)

// respelled is a JSON value as encoding/json spells its parts, in one line.
func respelled(t *testing.T, raw []byte) []byte {
	t.Helper()
	var out bytes.Buffer
	enc := json.NewEncoder(&out)
	enc.SetEscapeHTML(false)
	dec := json.NewDecoder(bytes.NewReader(raw))
	type open struct {
		object bool
		n      int
	}
	stack := []open{{}}
	for {
		token, err := dec.Token()
		if err == io.EOF {
			return append(out.Bytes(), '\n')
		}
		if err != nil {
			t.Fatal(err)
		}
		if sign, is := token.(json.Delim); is && (sign == '}' || sign == ']') {
			stack = stack[:len(stack)-1]
			out.WriteRune(rune(sign))
			continue
		}
		in := &stack[len(stack)-1]
		switch {
		case in.object && in.n%2 == 1:
			out.WriteByte(':')
		case in.n > 0:
			out.WriteByte(',')
		}
		in.n++
		if sign, is := token.(json.Delim); is {
			out.WriteRune(rune(sign))
			stack = append(stack, open{object: sign == '{'})
			continue
		}
		if err := enc.Encode(token); err != nil {
			t.Fatal(err)
		}
		out.Truncate(out.Len() - 1)
	}
}

// records reads what can be judged of the samples, the jobs and the logs of the
// tests.
func records(t *testing.T) map[string]*record.Job {
	t.Helper()
	all := map[string]*record.Job{}
	for _, pattern := range []string{"../../samples/*", "../../testdata/jobs/*", "../../testdata/logs/*"} {
		paths, err := filepath.Glob(pattern)
		if err != nil {
			t.Fatal(err)
		}
		for _, path := range paths {
			names := []string{path}
			if info, err := os.Stat(path); err == nil && info.IsDir() {
				names, _ = filepath.Glob(filepath.Join(path, "*.csv"))
			}
			var files []*table.File
			for _, name := range names {
				if !strings.HasSuffix(name, ".csv") && !strings.HasSuffix(name, ".xlsx") {
					continue
				}
				data, err := os.ReadFile(name)
				if err != nil {
					t.Fatal(err)
				}
				if f, err := table.Read(filepath.Base(name), data, table.Options{}); err == nil {
					files = append(files, f)
				}
			}
			if job, _ := record.Bind(files, record.Options{}); job != nil && len(job.Tests) > 0 {
				all[path] = job
			}
		}
	}
	if len(all) < 20 {
		t.Fatalf("only %d records were read", len(all))
	}
	return all
}

// Results are spelled as encoding/json spells them, in one line and in many.
func TestSpelling(t *testing.T) {
	words, err := wording.Load(templates.Files, nil, "en")
	if err != nil {
		t.Fatal(err)
	}
	for path, job := range records(t) {
		r := assess.Run(job, check.All())
		in := export.Input{Result: r, Words: words, Tool: "saltline 0.0.0", Line: true,
			Audit: audit.Of(r), Certificates: certificate.Of(r), Dossier: dossier.Of(r, strings.Repeat("0", 64))}
		var line, many, indented bytes.Buffer
		if err := export.JSON(&line, in); err != nil {
			t.Fatal(err)
		}
		if want := respelled(t, line.Bytes()); !bytes.Equal(line.Bytes(), want) {
			t.Errorf("%s: not as encoding/json spells it", path)
		}
		if err := json.Indent(&indented, line.Bytes(), "", "  "); err != nil {
			t.Fatal(err)
		}
		in.Line = false
		if err := export.JSON(&many, in); err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(many.Bytes(), indented.Bytes()) {
			t.Errorf("%s: in many lines it is not what it is in one", path)
		}
	}
}

// A long log is spelled as a short one is, with every test in its turn.
func TestLongLog(t *testing.T) {
	words, err := wording.Load(templates.Files, nil, "en")
	if err != nil {
		t.Fatal(err)
	}
	for _, n := range []int{127, 128, 129, 1000} {
		r := assess.Run(jobs.Book(t, bench.Job(n, 3, 1)), check.All())
		var out bytes.Buffer
		if err := export.JSON(&out, export.Input{Result: r, Words: words, Line: true}); err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(out.Bytes(), respelled(t, out.Bytes())) {
			t.Errorf("%d tests: not as encoding/json spells it", n)
		}
		var got struct {
			Tests []struct{ Source struct{ Row int } }
		}
		if err := json.Unmarshal(out.Bytes(), &got); err != nil {
			t.Fatal(err)
		}
		if len(got.Tests) != n {
			t.Errorf("%d of %d tests", len(got.Tests), n)
		}
		for i, test := range got.Tests {
			if want := r.Lines[i].Test.Row().Row(); test.Source.Row != want {
				t.Fatalf("%d tests: row %d stands in the place of %d", n, test.Source.Row, want)
			}
		}
	}
}
