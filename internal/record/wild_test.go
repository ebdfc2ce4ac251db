package record_test

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/salt"
	"saltline/internal/table"
	"saltline/internal/unit"
)

const wildDir = "../../testdata/logs"

// A wildWant is what a person reads out of a log, from LOG.want. See the
// README beside it for the language.
type wildWant struct {
	messages  []string // "question blank-or-extract 6:3"
	answers   []string // "map Before=blank", "date-order dmy", "set volume=3 ml"
	limit     string   // in mg/m², with basis and comparison where they are stated; "" where the log states none
	procedure string   // "direct", "beaker return" or "" for not stated
	columns   []string
	rows      [][]string
}

func readWant(t *testing.T, path string) wildWant {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	var w wildWant
	count := -1
	for line := range strings.Lines(string(data)) {
		line = strings.TrimSpace(line)
		word, rest, _ := strings.Cut(line, " ")
		switch {
		case line == "" || word == "#":
		case count >= 0 && w.columns == nil:
			w.columns = strings.Split(line, " | ")
		case count >= 0:
			w.rows = append(w.rows, strings.Split(line, " | "))
		case word == "message":
			w.messages = append(w.messages, rest)
		case word == "answer":
			w.answers = append(w.answers, rest)
		case word == "limit":
			w.limit = rest
		case word == "procedure":
			w.procedure = rest
		case word == "tests":
			if count, err = strconv.Atoi(rest); err != nil {
				t.Fatal(err)
			}
		default:
			t.Fatalf("%s: %q is no line of a reading", path, line)
		}
	}
	if count != len(w.rows) || count == 0 {
		t.Fatalf("%s: announces %d tests and lists %d", path, count, len(w.rows))
	}
	return w
}

// options are the answers as the command line takes them.
func (w wildWant) options(t *testing.T) record.Options {
	t.Helper()
	opts := record.Options{Map: map[string]string{}}
	for _, answer := range w.answers {
		word, rest, _ := strings.Cut(answer, " ")
		key, value, _ := strings.Cut(rest, "=")
		switch word {
		case "map":
			opts.Map[key] = value
		case "set":
			opts.Set = append(opts.Set, record.Fact{Key: key, Value: record.Words{Val: value, Text: value, State: record.Known}})
		case "date-order":
			opts.DateOrder = map[string]unit.DateOrder{"dmy": unit.DMY, "mdy": unit.MDY, "ymd": unit.YMD}[rest]
		default:
			t.Fatalf("no such answer: %q", answer)
		}
	}
	return opts
}

// Logs as people really keep them are read as a colleague reads them: every
// test with its values, no message but those that the log deserves, and no
// question but one that its writer alone can answer.
func TestWildLogs(t *testing.T) {
	wants, err := filepath.Glob(filepath.Join(wildDir, "*.want"))
	if err != nil || len(wants) < 14 {
		t.Fatalf("%d logs, %v", len(wants), err)
	}
	for _, path := range wants {
		name := strings.TrimSuffix(filepath.Base(path), ".want")
		t.Run(name, func(t *testing.T) {
			data, err := os.ReadFile(filepath.Join(wildDir, name))
			if err != nil {
				t.Fatal(err)
			}
			f, err := table.Read(name, data, table.Options{})
			if err != nil {
				t.Fatal(err)
			}
			want := readWant(t, path)
			job, list := record.Bind([]*table.File{f}, record.Options{})
			compareMessages(t, list.Sorted(), want.messages)
			if len(want.answers) > 0 {
				job, list = record.Bind([]*table.File{f}, want.options(t))
				if worst, found := list.Worst(); found && worst > diag.Problem {
					t.Errorf("still asked with the answers: %v", list.Sorted())
				}
			}
			compareTests(t, job, want)
		})
	}
}

func compareMessages(t *testing.T, all []diag.Diagnostic, want []string) {
	t.Helper()
	var got []string
	for _, d := range all {
		if d.Level == diag.Note {
			continue // worth a line in the reading note, and nothing to be done
		}
		level := map[diag.Level]string{diag.Problem: "problem", diag.Question: "question", diag.Failure: "failure"}[d.Level]
		place := d.Pos.Cell()
		if d.Pos.Sheet() != "" {
			place = d.Pos.Sheet() + "!" + place
		}
		line := strings.TrimSpace(fmt.Sprintf("%s %s %s", level, d.Check, place))
		got = append(got, line)
		if !slices.Contains(want, line) {
			t.Errorf("unwanted message %q: %v; hint: %s", line, d, d.Hint)
		}
		if d.Level > diag.Problem && d.Hint == "" {
			t.Errorf("%v: says not what to do", d)
		}
	}
	for _, line := range want {
		if !slices.Contains(got, line) {
			t.Errorf("no message %q", line)
		}
	}
}

func compareTests(t *testing.T, job *record.Job, want wildWant) {
	t.Helper()
	if got := wildLimit(job.Terms.Limits); got != want.limit {
		t.Errorf("limit %q, want %q", got, want.limit)
	}
	if got := [...]string{"", "direct", "beaker return"}[job.Terms.Procedure.Val]; got != want.procedure {
		t.Errorf("procedure %q, want %q", got, want.procedure)
	}
	result := assess.Run(job, nil)
	if len(result.Lines) != len(want.rows) {
		t.Errorf("%d tests, want %d", len(result.Lines), len(want.rows))
	}
	for i := range min(len(result.Lines), len(want.rows)) {
		line := &result.Lines[i]
		for j, column := range want.columns {
			got := wildValue(t, line, column)
			if !sameValue(got, want.rows[i][j]) {
				t.Errorf("test %d (%v): %s %q, want %q", i+1, line.Test.Row(), column, got, want.rows[i][j])
			}
		}
	}
}

// wildLimit spells the limit of a log: "50, total salts, at most".
func wildLimit(limits []record.Limit) string {
	if len(limits) == 0 || !limits[0].Value.Known() {
		return ""
	}
	l := limits[0]
	text := number(float64(l.Value.Val))
	if l.Basis.Known() {
		text += ", " + map[salt.Basis]string{salt.TotalSalts: "total salts", salt.SodiumChloride: "sodium chloride", salt.ChlorideIon: "chloride"}[l.Basis.Val]
	}
	if l.Comparison.Known() {
		text += ", " + map[salt.Comparison]string{salt.AtMost: "at most", salt.LessThan: "less than"}[l.Comparison.Val]
	}
	return text
}

// sameValue compares as numbers where both are, for 2 and 2.0 are one value.
func sameValue(got, want string) bool {
	a, errA := strconv.ParseFloat(got, 64)
	b, errB := strconv.ParseFloat(want, 64)
	if errA != nil || errB != nil {
		return got == want
	}
	return math.Abs(a-b) <= 1e-9*math.Max(1, math.Abs(b))
}

func number(v float64) string { return strconv.FormatFloat(v, 'g', 12, 64) }

// wildValue spells one value of a test as the .want files do.
func wildValue(t *testing.T, l *assess.Line, column string) string {
	t.Helper()
	switch test := l.Test; column {
	case "test":
		return wildGiven(test.Number(), words)
	case "area":
		return wildGiven(test.Area(), words)
	case "location":
		return wildGiven(test.Location(), words)
	case "date":
		return wildGiven(test.Date(), isoDate)
	case "start":
		return wildGiven(test.Start(), unit.Clock.String)
	case "read":
		return wildGiven(test.Read(), unit.Clock.String)
	case "blank":
		return wildGiven(test.Blank(), quantity)
	case "extract":
		return wildGiven(test.Extract(), quantity)
	case "difference":
		return wildGiven(test.Difference(), quantity)
	case "volume":
		if l.Volume().Known {
			return number(float64(l.Volume().Val))
		}
		return "-"
	case "patch area":
		return number(float64(l.PatchArea().Val))
	case "recorded":
		return wildGiven(test.Recorded(), quantity)
	case "limit":
		return wildGiven(test.Limit(), quantity)
	case "verdict":
		return wildGiven(test.RecordedVerdict(), func(v record.WrittenVerdict) string {
			return [...]string{"-", "pass", "fail", "void"}[v]
		})
	case "kind":
		return wildGiven(test.Kind(), func(k record.TestKind) string {
			return [...]string{"original", "repeat", "retest", "adjacent", "witness", "procedural blank"}[k]
		})
	case "of test":
		return wildGiven(test.OfTest(), words)
	case "meter":
		return wildGiven(test.Meter(), words)
	case "inspector":
		return wildGiven(test.Inspector(), words)
	case "air":
		return wildGiven(test.Air(), quantity)
	case "humidity":
		return wildGiven(test.Humidity(), quantity)
	case "dew":
		return wildGiven(test.RecordedDew(), quantity)
	case "steel":
		return wildGiven(test.Steel(), quantity)
	case "remark":
		return wildGiven(test.Remark(), words)
	case "row":
		switch {
		case test.Struck():
			return "struck"
		case test.Hidden():
			return "hidden"
		}
		return "-"
	case "density":
		if l.Density.Known {
			return number(float64(l.Density.Value))
		}
		return "-"
	}
	t.Fatalf("no such column: %q", column)
	return ""
}

func words(s string) string { return s }

func isoDate(d unit.Date) string { return fmt.Sprintf("%04d-%02d-%02d", d.Year, d.Month, d.Day) }

func quantity[Q ~float64](v Q) string { return number(float64(v)) }

func wildGiven[Q any](g record.Given[Q], spell func(Q) string) string {
	switch g.State {
	case record.Known:
		return spell(g.Val)
	case record.Below:
		return "< " + spell(g.Val)
	case record.NotDone:
		return "not done"
	case record.Unreadable:
		return "unreadable"
	}
	return "-"
}
