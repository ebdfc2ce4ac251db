package check_test

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"saltline/internal/assess"
	"saltline/internal/check"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/table"
	"saltline/internal/wording"
	"saltline/templates"
)

const sheets = "../../testdata/check"

// TestSheets holds every check to its sheet: what a row wants is found there,
// and nothing is found where nothing is wanted.
func TestSheets(t *testing.T) {
	words := load(t)
	for _, c := range check.All() {
		t.Run(c.Name, func(t *testing.T) {
			s := readSheet(t, filepath.Join(sheets, c.Name+".txt"))
			found, silent := 0, 0
			for _, e := range s.cases {
				t.Run(e.name, func(t *testing.T) {
					f, n := runCase(t, words, c, s.file, e)
					found, silent = found+f, silent+n
				})
			}
			if found == 0 || silent == 0 {
				t.Errorf("the sheet wants %d findings and has %d rows without; it needs both, the edge and its neighbour", found, silent)
			}
		})
	}
}

// runCase puts one check to one case. It returns how many findings it wanted
// and how many rows it wanted none on.
func runCase(t *testing.T, words *wording.Words, c *assess.Check, file string, e *example) (found, silent int) {
	t.Helper()
	files := map[string][]*table.File{} // by part
	rows := map[diag.Pos]*line{}
	for _, g := range e.tables {
		if g.name == filesBeside {
			continue
		}
		f := g.read(t)
		files[g.part] = append(files[g.part], f)
		for i := range g.lines {
			rows[diag.In(f.Name, "").At(i+1, 0)] = &g.lines[i]
		}
	}
	var jobs []*record.Job
	for _, part := range e.parts() {
		job, list := record.Bind(files[part], record.Options{})
		readAsMeant(t, file, e, job, list)
		jobs = append(jobs, job)
	}
	job := record.Join(jobs)
	findPhotos(t, e, job)
	r := assess.Run(job, []*assess.Check{c})

	wants := map[diag.Pos][]string{{}: e.nowhere}
	for at, l := range rows {
		if l.want != "" {
			wants[at] = strings.Split(l.want, " | ")
		} else if l.asked {
			silent++
		}
	}
	for i := range r.Findings {
		f := &r.Findings[i]
		says := plain(render(t, words, r, f)["found"]) + weighed(f)
		ofItsDay(t, r, f)
		at := rowOf(r, f)
		k := slices.IndexFunc(wants[at], func(w string) bool { return strings.Contains(says, w) })
		if k < 0 {
			t.Errorf("%s: %s: not wanted: %s", file, where(rows[at], at), says)
			continue
		}
		wants[at] = slices.Delete(wants[at], k, k+1)
		found++
	}
	for at, left := range wants {
		for _, w := range left {
			t.Errorf("%s: %s: not found: %s", file, where(rows[at], at), w)
		}
	}
	for i := range r.Lines {
		l := rows[rowAt(r.Lines[i].Test.Row())]
		if got := r.Lines[i].Verdict.String(); l != nil && l.judged && got != l.verdict {
			t.Errorf("%s:%d: verdict %s, want %s", file, l.at, got, l.verdict)
		}
	}
	return found, silent
}

// ofItsDay sees that a finding of a day touches tests of that day alone: only
// the report of that day shows it.
func ofItsDay(t *testing.T, r *assess.Result, f *assess.Finding) {
	t.Helper()
	for _, i := range f.Tests {
		if d := r.Lines[i].Test.Date().Val; !f.Date.IsZero() && d != f.Date {
			t.Errorf("%s of %s touches test %s of %s", f.Check.Name, f.Date.ISO(), check.Number(r.Lines, i), d.ISO())
		}
	}
}

// weighed is what follows the words of a finding.
func weighed(f *assess.Finding) string {
	s := " [" + f.Severity.String()
	if f.Direction != assess.NoDirection {
		s += ", " + f.Direction.String()
	}
	if f.Date.IsZero() {
		return s + "] of the whole job"
	}
	return s + "] of " + f.Date.ISO()
}

// readAsMeant sees that the case was read as its author meant it: no column
// that is not ours, no message but those that the case speaks of.
func readAsMeant(t *testing.T, file string, e *example, job *record.Job, list *diag.List) {
	t.Helper()
	for _, h := range job.Note.Headings {
		if h.Column == "" {
			t.Errorf("%s:%d: %s: the heading %q is none of ours", file, e.line, h.Pos, h.Text)
		}
	}
	for _, f := range job.Terms.Other {
		t.Errorf("%s:%d: the key %q is none of ours", file, e.line, f.Key)
	}
	meant := slices.Clone(e.problems)
	for _, d := range list.Sorted() {
		k := slices.IndexFunc(meant, func(p string) bool { return strings.Contains(d.String(), p) })
		if k < 0 || d.Level != diag.Problem {
			t.Errorf("%s:%d: reading the case: %s", file, e.line, d)
			continue
		}
		meant = slices.Delete(meant, k, k+1)
	}
	for _, p := range meant {
		t.Errorf("%s:%d: reading the case gives no problem %q", file, e.line, p)
	}
}

// rowOf is the row of the first place of a finding, else of its first test.
func rowOf(r *assess.Result, f *assess.Finding) diag.Pos {
	switch {
	case len(f.Places) > 0:
		return rowAt(f.Places[0])
	case len(f.Tests) > 0:
		return rowAt(r.Lines[f.Tests[0]].Test.Row())
	}
	return diag.Pos{}
}

// rowAt leaves of a place its file and row.
func rowAt(p diag.Pos) diag.Pos {
	if p.Row() == 0 {
		return diag.Pos{}
	}
	return diag.In(p.File(), "").At(p.Row(), 0)
}

func where(l *line, at diag.Pos) string {
	if l == nil {
		return at.String()
	}
	return fmt.Sprintf("line %d, %s", l.at, at)
}

// texts are what the words of a check hold; innocent may be left out.
var texts = []string{"title", "rule", "found", "innocent", "next", "doc", "ask"}

// render fills every text of a finding.
func render(t *testing.T, words *wording.Words, r *assess.Result, f *assess.Finding) map[string]string {
	t.Helper()
	says := map[string]string{}
	for _, name := range texts {
		key := "checks/" + f.Check.Name + "/" + name
		if !words.Has(key) {
			continue
		}
		s, err := words.Say(key, check.Filling(r, f, words.List))
		if err != nil {
			t.Error(err)
		}
		says[name] = s
		neutral(t, key, s)
		if name == "ask" {
			answerable(t, key, s)
		}
	}
	return says
}

// plain puts ordinary spaces for those that hold a number and its unit
// together.
func plain(s string) string { return strings.ReplaceAll(s, "\u00a0", " ") }

func load(t *testing.T) *wording.Words {
	t.Helper()
	words, err := wording.Load(templates.Files, nil, "en")
	if err != nil {
		t.Fatal(err)
	}
	return words
}

// unsaid are beginnings of words that accuse, and what no document may state.
var unsaid = []string{
	"fraud", "falsif", "fake", "cheat", "dishonest", "invented", "fabricat", "manipulat", "careless", "negligen",
	"is clean", "salt-free", "free of salt", "uncontaminated", "fit for coating", "released for coating",
}

func neutral(t *testing.T, key, s string) {
	t.Helper()
	for _, u := range unsaid {
		if strings.Contains(strings.ToLower(s), u) {
			t.Errorf("%s: %q may not be said: %s", key, u, s)
		}
	}
}
