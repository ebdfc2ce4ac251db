package record

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"time"

	"saltline/internal/diag"
	"saltline/internal/table"
)

// A plainly keeps each test by itself, with fields of its own, and has every
// cell read.
type plainly []Test

func (p plainly) filing(string) filing[Fields] { return nil }
func (p plainly) keep(n int, f *Fields) {
	p[n] = Test{in: &nothing, own: &own{Fields: *f, of: &p[n]}}
	*f = Fields{}
}

// bindPlainly is Bind with the tests kept plainly.
func bindPlainly(files []*table.File, opts Options) (*Job, *diag.List) {
	was := keepTests
	defer func() { keepTests = was }()
	keepTests = func(_ diag.Pos, tests []Test, _ []*title[Fields]) keeping[Fields] { return plainly(tests) }
	return Bind(files, opts)
}

// sameTests compares what tests say by their methods with the fields of others.
func sameTests(t *testing.T, sheaf, plain []Test) {
	t.Helper()
	if len(sheaf) != len(plain) {
		t.Fatalf("%d tests, want %d", len(sheaf), len(plain))
	}
	for i := range sheaf {
		want := reflect.ValueOf(*plain[i].Own())
		said := reflect.ValueOf(&sheaf[i])
		copied := sheaf[i]
		own := reflect.ValueOf(*copied.Own())
		for k := range want.NumField() {
			name, w := want.Type().Field(k).Name, want.Field(k).Interface()
			if got := said.MethodByName(name).Call(nil)[0].Interface(); !sameValue(got, w) {
				t.Errorf("test %d: %s says %+v, want %+v", i, name, got, w)
			}
			if got := own.Field(k).Interface(); !sameValue(got, w) {
				t.Errorf("test %d: %s of its own is %+v, want %+v", i, name, got, w)
			}
		}
		if t.Failed() {
			return
		}
	}
}

// sameValue is DeepEqual, with no list the same as an empty one.
func sameValue(a, b any) bool {
	if x, ok := a.([]Fact); ok && len(x) == 0 {
		return len(b.([]Fact)) == 0
	}
	return reflect.DeepEqual(a, b)
}

// sameBinding binds files both ways and compares all that comes of it.
func sameBinding(t *testing.T, files []*table.File, opts Options) *Job {
	t.Helper()
	want, wantList := bindPlainly(files, opts)
	got, list := Bind(files, opts)
	sameTests(t, got.Tests, want.Tests)
	if a, b := list.Sorted(), wantList.Sorted(); !reflect.DeepEqual(a, b) {
		t.Errorf("it says %v, want %v", a, b)
	}
	if !reflect.DeepEqual(got.Note, want.Note) || !reflect.DeepEqual(got.Areas, want.Areas) {
		t.Errorf("the note or the areas differ:\n%+v\n%+v", got.Note, want.Note)
	}
	all := make([]int, len(got.Tests))
	for i := range all {
		all[i] = i
	}
	if a, b := got.Digest(all), want.Digest(all); a != b {
		t.Errorf("digest %s, want %s", a, b)
	}
	return got
}

// What a test says from its sheaf is what it says with fields of its own:
// generated logs of any columns, in which cells recur, are new, are filled down,
// merged, struck through, computed, and wrong.
func TestSheavesSayTheSame(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	rnd := rand.New(rand.NewPCG(seed, 2))
	tests := 0
	for n := range 60 {
		rows := 1 + rnd.IntN(60)
		if n%30 == 7 {
			rows = 2*2048 + rnd.IntN(2000) // several sheaves, and columns that are found to be new all the time
		}
		files := []*table.File{generated(rnd, "one.xlsx", rows)}
		if n%4 == 0 {
			files = append(files, generated(rnd, "two.csv", 1+rnd.IntN(30)))
		}
		tests += len(sameBinding(t, files, Options{}).Tests)
		if t.Failed() {
			t.Fatalf("seed %d, log %d", seed, n)
		}
	}
	if tests < 2000 {
		t.Errorf("only %d tests were generated", tests)
	}
}

// The same of the logs that are kept as wild ones.
func TestSheavesOfWildLogs(t *testing.T) {
	names, err := filepath.Glob("../../testdata/logs/*.csv")
	if err != nil || len(names) < 10 {
		t.Fatalf("%d logs, %v", len(names), err)
	}
	for _, name := range names {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		if f, err := table.Read(filepath.Base(name), data, table.Options{}); err == nil {
			sameBinding(t, []*table.File{f}, Options{})
		}
		if t.Failed() {
			t.Fatal(name)
		}
	}
}

// What Join makes tests say of their own, too.
func TestSheavesJoined(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	rnd := rand.New(rand.NewPCG(seed, 3))
	for range 20 {
		var plain, sheaf []*Job
		for k := range 2 + rnd.IntN(2) {
			f := generated(rnd, fmt.Sprintf("day%d.xlsx", k), 1+rnd.IntN(12))
			opts := Options{}
			if rnd.IntN(2) == 0 {
				opts.Set = []Fact{{Key: "volume", Value: Words{Text: fmt.Sprintf("%d ml", 3+k), Val: fmt.Sprintf("%d ml", 3+k), State: Known}}}
			}
			one, _ := bindPlainly([]*table.File{f}, opts)
			other, _ := Bind([]*table.File{f}, opts)
			plain, sheaf = append(plain, one), append(sheaf, other)
		}
		sameTests(t, Join(sheaf).Tests, Join(plain).Tests)
		if t.Failed() {
			t.Fatalf("seed %d", seed)
		}
	}
}

// generated is a log with some columns of the readings and one that is not ours.
func generated(rnd *rand.Rand, name string, rows int) *table.File {
	s := table.Sheet{Name: "readings", Hidden: rnd.IntN(8) == 0}
	place := diag.In(name, "readings")
	if strings.HasSuffix(name, ".csv") {
		place = diag.In(name, "")
	}
	add := func(cells []table.Cell) {
		for i := range cells {
			cells[i].Pos = place.At(len(s.Rows)+1, i+1)
		}
		row := table.Row{Number: len(s.Rows) + 1, Hidden: len(s.Rows) > 3 && rnd.IntN(12) == 0}
		s.Rows = append(s.Rows, row.With(cells))
	}
	text := func(text string) table.Cell {
		c := table.Cell{Kind: table.Text, Text: text, Raw: text}
		if text == "" {
			c.Kind = table.Empty
		}
		return c
	}
	for _, title := range []string{"Date: 11.03.2025", "Volume: 3 ml", "Area: Hold 7", "Procedure: direct"} {
		if rnd.IntN(4) == 0 {
			add([]table.Cell{text(title)})
		}
	}
	var columns []string
	heads := []table.Cell{text("test"), text("blank (µS/cm)"), text("extract (µS/cm)")}
	for _, k := range rnd.Perm(len(readings)) {
		if c := readings[k].name; len(columns) < 9 && c != "test" && c != "blank" && c != "extract" && c != "limit" {
			columns = append(columns, c)
			heads = append(heads, text(headingOf(rnd, c)))
		}
	}
	heads = append(heads, text("coating thickness"))
	columns = append([]string{"test", "blank", "extract"}, append(columns, "")...)
	add(heads)
	var above []table.Cell
	for i := range rows {
		cells := make([]table.Cell, len(columns))
		for k, c := range columns {
			cells[k] = text(cellOf(rnd, c, i))
			if d := cells[k].Text; strings.HasSuffix(d, ".0") && rnd.IntN(3) == 0 { // fewer digits are stored, or more
				cells[k].Kind, cells[k].Raw = table.Number, strings.TrimSuffix(d, ".0")+[]string{"", ".04"}[rnd.IntN(2)]
			}
			if cells[k].Kind == table.Text && rnd.IntN(25) == 0 {
				cells[k] = cells[k].From(table.Origin{Formula: fmt.Sprintf("1*%d", i)})
			}
			if above != nil && above[k].Kind != table.Empty && above[k].Formula() == "" && above[k].FillOf().IsZero() && rnd.IntN(30) == 0 {
				cells[k] = above[k].From(table.Origin{FillOf: above[k].Pos})
			}
			cells[k].Struck, cells[k].Faint = i%17 == 3, i%19 == 5
			cells[k].Stale = cells[k].Formula() != "" && rnd.IntN(3) == 0
		}
		add(cells)
		above = cells
	}
	return &table.File{Name: name, Sheets: []table.Sheet{s}}
}

// headingOf is a heading of a column, with a unit where it may have one.
func headingOf(rnd *rand.Rand, column string) string {
	units := map[string][]string{"recorded": {" (mg/m²)", " (µg/cm²)"}, "volume": {" (ml)", " (µl)"}, "patch area": {" (mm²)", " (cm²)"}, "blank temperature": {" (°C)", " (°F)"}}
	if u := units[column]; u != nil {
		return column + u[rnd.IntN(2)]
	}
	return column
}

// cellOf is what row i has in a column.
func cellOf(rnd *rand.Rand, column string, i int) string {
	pick := func(of ...string) string { return of[rnd.IntN(len(of))] }
	switch odd := rnd.IntN(40); {
	case odd == 0:
		return ""
	case odd == 1:
		return pick(`"`, "-", "n/a", "14..2", "??", "VOID", "<1", "1,024", "12 mS/m")
	}
	switch column {
	case "test":
		return fmt.Sprint(i + 1)
	case "area":
		return pick("Hold 1", "hold  1", "Mast", "", "Deck")
	case "location":
		return pick(fmt.Sprintf("frame %d", i), fmt.Sprintf("frame %d (port)", i))
	case "date":
		return pick("2025-03-11", "2025-03-12", "12/03/2025 08:15", "11 March 2025")
	case "start", "read":
		return pick("08:05", "23:50", "00:10", "7.30")
	case "recorded verdict":
		return pick("pass", "fail", "void", "")
	case "kind":
		return pick("original", "retest", "repeat")
	case "remark":
		return pick("dry", "", fmt.Sprintf("repeat of %d", i/2), "retest of 1 after washing")
	case "compensated":
		return pick("on", "off")
	case "patch kind":
		return pick("single-use adhesive", "sleeve")
	case "procedure":
		return pick("direct", "beaker return")
	case "meter", "inspector", "water", "patch", "spot type", "orientation", "of test", "treatment", "photo", "substrate":
		return pick("A", "B 1", fmt.Sprintf("no. %d", i))
	case "patch area":
		return pick("1250", "12.5", "A-1250")
	case "pump cycles", "patch use", "maximum uses":
		return pick("1", "4", "4x")
	case "recorded":
		return fmt.Sprintf("%d.%02d", rnd.IntN(90), i%100)
	}
	return fmt.Sprintf("%d.%d", rnd.IntN(30), rnd.IntN(10))
}

// A shelf gives back any words, be they loose texts or more than that.
func TestShelfOfAnyWords(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	rnd := rand.New(rand.NewPCG(seed, 4))
	place := diag.In("log.csv", "")
	const tests = 400
	s := &sheaf{at: place, tests: tests}
	f := &filer[string]{shelf: &s.location, at: (*Fields).location, tests: tests, fresh: true}
	var want [tests]Words
	for n := range want {
		row := Fields{Row: place.At(n+2, 0)}
		w := Words{Val: fmt.Sprint(n), Text: fmt.Sprint(n), State: Known, Pos: place.At(n+2, 3)}
		switch odd := rnd.IntN(6); {
		case n < 3: // so that a plain one is the first of the loose
		case odd == 0:
			w.Val = "another"
		case odd == 1:
			w.Unit = "m"
		case odd == 2:
			w.Pos = place.At(n+2, 4)
		case odd == 3:
			w.Pos = place.At(1, 1+rnd.IntN(3))
		case odd == 4:
			w.State = NotDone
		}
		want[n], row.Location = w, w
		f.file(n, nil, &row, true)
	}
	for n, w := range want {
		test := Test{in: s, place: uint16(n), row: int32(n + 2)}
		if got := test.Location(); got != w {
			t.Errorf("test %d says %+v, want %+v", n, got, w)
		}
	}
}
