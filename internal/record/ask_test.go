package record

import (
	"fmt"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"saltline/internal/diag"
	"saltline/internal/table"
)

// Each column is called as the method and the field of a test are that say it.
func TestColumnsAreCalledAsTheirFields(t *testing.T) {
	var f Fields
	var s sheaf
	columns := reflect.ValueOf(Columns)
	for k := range columns.NumField() {
		name := columns.Type().Field(k).Name
		at := columns.Field(k).Interface().(interface{ field(*Fields) any }).field(&f)
		if want := reflect.ValueOf(&f).Elem().FieldByName(name); !want.IsValid() || want.Addr().Interface() != at {
			t.Errorf("the column %s is not the field of that name", name)
		}
		on := columns.Field(k).Interface().(interface{ shelf(*sheaf) any }).shelf(&s)
		shelf := reflect.ValueOf(&s).Elem().FieldByName(strings.ToLower(name[:1]) + name[1:])
		if !shelf.IsValid() || shelf.Addr().UnsafePointer() != reflect.ValueOf(on).UnsafePointer() {
			t.Errorf("the column %s is not on the shelf of that name", name)
		}
	}
	if columns.NumField() != len(shelves) {
		t.Errorf("%d columns for %d shelves", columns.NumField(), len(shelves))
	}
}

func (c Column[Q]) field(f *Fields) any { return c.at(f) }
func (c Column[Q]) shelf(s *sheaf) any  { return c.on(s) }

// asksTheSame compares the answers of a log with what each test says itself,
// and returns how often the question was put.
func asksTheSame[Q comparable](t *testing.T, tests []Test, name string, column Column[Q], say func(*Test) Given[Q]) (asked int) {
	t.Helper()
	answers := Ask(LogOf(tests), column, func(g Given[Q]) Given[Q] {
		asked++
		return g
	})
	all, same := answers.All()
	for i := range tests {
		want := say(&tests[i])
		want.Pos = diag.Pos{}
		if got := answers.At(i); got != want || same && all != want {
			t.Fatalf("%s of test %d: the answer is %+v (the same for all: %t), want %+v", name, i, got, same, want)
		}
	}
	return asked
}

// The answers of a log are what its tests say one by one: of generated logs, of
// which tests were left out, put elsewhere, or given fields of their own.
func TestAskAnswersWhatTestsSay(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	rnd := rand.New(rand.NewPCG(seed, 3))
	tests, asked := 0, 0
	for n := range 40 {
		rows := 1 + rnd.IntN(60)
		if n%20 == 7 {
			rows = 2*2048 + rnd.IntN(2000)
		}
		job, _ := Bind([]*table.File{generated(rnd, "one.xlsx", rows), generated(rnd, "two.csv", 1+rnd.IntN(30))}, Options{})
		log := job.Tests
		if n%2 == 1 {
			log = slices.DeleteFunc(log, func(Test) bool { return rnd.IntN(8) == 0 })
			for i := range log {
				if rnd.IntN(6) == 0 {
					log[i].Own().Blank.Text = fmt.Sprint(rnd.IntN(3))
				}
			}
			if n%4 == 1 {
				rnd.Shuffle(len(log), func(i, j int) { log[i], log[j] = log[j], log[i] })
			}
		}
		asksTheSame(t, log, "number", Columns.Number, (*Test).Number)
		asksTheSame(t, log, "location", Columns.Location, (*Test).Location)
		asksTheSame(t, log, "date", Columns.Date, (*Test).Date)
		asksTheSame(t, log, "blank", Columns.Blank, (*Test).Blank)
		asksTheSame(t, log, "extract", Columns.Extract, (*Test).Extract)
		asksTheSame(t, log, "read", Columns.Read, (*Test).Read)
		asksTheSame(t, log, "recorded verdict", Columns.RecordedVerdict, (*Test).RecordedVerdict)
		asksTheSame(t, log, "compensated", Columns.Compensated, (*Test).Compensated)
		asksTheSame(t, log, "kind", Columns.Kind, (*Test).Kind)
		tests += len(log)
		asked += asksTheSame(t, log, "remark", Columns.Remark, (*Test).Remark)
		if t.Failed() {
			t.Fatalf("seed %d, log %d", seed, n)
		}
	}
	if 2*asked > tests {
		t.Errorf("%d tests were asked for their remark %d times", tests, asked)
	}
}

// A log without tests has no answer, and one that lacks a column one for all.
func TestAskOfNothing(t *testing.T) {
	if answer, same := Ask(LogOf(nil), Columns.Remark, Words.Known).All(); answer || !same {
		t.Error("a log without tests answers")
	}
	job, _ := Bind([]*table.File{csvFile(t, "test,blank (µS/cm),extract (µS/cm),volume (ml)\n1,2,20,3\n2,2,30,3\n3,2,40,3\n")}, Options{})
	asked := 0
	none := Ask(LogOf(job.Tests), Columns.Remark, func(w Words) State { asked++; return w.State })
	if state, same := none.All(); state != Absent || !same || asked != 1 || len(job.Tests) != 3 {
		t.Errorf("a column that %d tests lack was asked %d times and answered %v, the same for all: %t", len(job.Tests), asked, state, same)
	}
}

// csvFile is a table as a file.
func csvFile(t *testing.T, text string) *table.File {
	t.Helper()
	file, err := table.Read("log.csv", []byte(text), table.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return file
}
