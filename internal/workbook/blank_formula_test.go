package workbook_test

import (
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"saltline/internal/table"
)

// TestFilledRows fills in rows that were worked by hand: K = 100·c·V/A is 1.2
// for 3 ml, 4 for 10 ml and 6 for 15 ml. Of the messages the test knows the
// keys.
func TestFilledRows(t *testing.T) {
	type job map[string]table.Entry
	type row []any
	none := math.NaN()
	on := []any{"compensated", "on"}
	type filled struct {
		name    string
		job     job
		row     row
		density float64
		against string
	}
	cases := []filled{
		{"nothing filled in", nil, row{"area", "A", "date", table.Day(2026, time.April, 14)}, none, ""},
		{"a pass", nil, row{"blank", 1.4, "extract", 20.4}, 22.8, "pass"},
		{"a fail", nil, row{"blank", 1.4, "extract", 61.2}, 71.76, "fail"},
		{"equal, at most", nil, row{"blank", 1.5, "extract", 14.0, "volume", 10.0}, 50, "pass"},
		{"equal, less than", job{"limit comparison": table.Words("less than")}, row{"blank", 1.5, "extract", 14.0, "volume", 10.0}, 50, "fail"},
		{"equal, not stated", job{"limit comparison": {}}, row{"blank", 1.5, "extract", 14.0, "volume", 10.0}, 50, "no-comparison"},
		{"below, comparison not stated", job{"limit comparison": {}}, row{"blank", 1.4, "extract", 20.4}, 22.8, "pass"},
		// 1.2 × 41.6 is a little less than 49.92 in binary, and 1.2 × 40.9 a little more than 49.08.
		{"equal in spite of binary noise below", job{"limit": table.Num(49.92, ""), "limit comparison": table.Words("less than")}, row{"blank", 1.4, "extract", 43.0}, 49.92, "fail"},
		{"equal in spite of binary noise above", job{"limit": table.Num(49.08, "")}, row{"blank", 1.4, "extract", 42.3}, 49.08, "pass"},
		{"just above", nil, row{"blank", 1.5, "extract", 14.01, "volume", 10.0}, 50.04, "fail"},
		{"rounded before it is compared", job{"limit rounding": table.Words("to 1 mg/m2")}, row{"blank", 1.5, "extract", 14.1, "volume", 10.0}, 50.4, "pass"},
		{"rounded to a tenth", job{"limit rounding": table.Words("to 0.1 mg/m2")}, row{"blank", 1.5, "extract", 14.01, "volume", 10.0}, 50.04, "pass"},
		{"another rounding", job{"limit rounding": table.Words("to 5 mg/m2")}, row{"blank", 1.5, "extract", 14.1, "volume", 10.0}, 50.4, "other-rounding"},
		{"volume of the row", nil, row{"blank", 1.4, "extract", 11.4, "volume", 15.0}, 60, "fail"},
		{"volume not measured, that of the job", nil, row{"blank", 1.4, "extract", 11.4, "volume", "-"}, 12, "pass"},
		{"no volume at all", job{"volume": {}}, row{"blank", 1.4, "extract", 11.4}, none, "no-volume"},
		{"volume in words", nil, row{"blank", 1.4, "extract", 11.4, "volume", "three"}, none, "no-volume"},
		{"volume of nought", nil, row{"blank", 1.4, "extract", 11.4, "volume", 0.0}, none, "no-volume"},
		{"patch area of the row", nil, row{"blank", 1.4, "extract", 11.4, "patch area", 500.0}, 30, "pass"},
		{"no patch area", job{"patch area": {}}, row{"blank", 1.4, "extract", 11.4}, none, "no-patch-area"},
		{"no constant", job{"constant": {}}, row{"blank", 1.4, "extract", 11.4}, none, "no-constant"},
		{"no blank", nil, row{"extract", 11.4}, none, "no-blank"},
		{"blank not measured", nil, row{"blank", "-", "extract", 11.4}, none, "no-blank"},
		{"no extract", nil, row{"blank", 1.4}, none, "no-extract"},
		{"extract below what the meter shows", nil, row{"blank", 1.4, "extract", "<1"}, none, "no-extract"},
		{"extract below blank", nil, row{"blank", 3.4, "extract", 2.4}, -1.2, "below-blank"},
		{"no limit", job{"limit": {}}, row{"blank", 1.4, "extract", 61.2}, 71.76, "no-limit"},
		{"no basis", job{"limit basis": {}}, row{"blank", 1.4, "extract", 61.2}, 71.76, "no-basis"},
		{"another basis", job{"limit basis": table.Words("chloride ion")}, row{"blank", 1.4, "extract", 61.2}, 71.76, "other-basis"},
		{"guarded rule", job{"decision rule": table.Words("guarded")}, row{"blank", 1.4, "extract", 20.4}, 22.8, "guarded"},
		{"simple rule", job{"decision rule": table.Words("simple")}, row{"blank", 1.4, "extract", 20.4}, 22.8, "pass"},
		{"two limits, within the first", job{"limit 2": table.Num(30, "")}, row{"blank", 1.4, "extract", 20.4}, 22.8, "several-limits"},
		{"two limits, above the first", job{"limit 2": table.Num(90, "")}, row{"blank", 1.4, "extract", 61.2}, 71.76, "fail"},
		{"limit of the area", nil, row{"area", "B", "blank", 1.4, "extract", 20.4}, 22.8, "fail"},
		{"area without a limit of its own", nil, row{"area", "A", "blank", 1.4, "extract", 20.4}, 22.8, "pass"},
		{"not compensated", nil, row{"blank", 1.4, "extract", 20.4, "compensated", "off"}, 22.8, "not-compensated"},
		{"compensation not recorded", nil, row{"blank", 1.4, "extract", 20.4, "compensated", table.Entry{}}, 22.8, "not-compensated"},
		{"a fail stays one without compensation", nil, row{"blank", 1.4, "extract", 61.2, "compensated", "off"}, 71.76, "fail"},
		{"on glass", nil, row{"kind", "procedural blank", "blank", 1.4, "extract", 1.8}, 0.48, "of-glass"},
	}
	// Rows under the same terms share a workbook.
	books := [][]filled{nil}
	for _, c := range cases {
		if c.job == nil {
			books[0] = append(books[0], c)
			continue
		}
		books = append(books, []filled{c})
	}
	for _, book := range books {
		f := newFiller(t)
		f.terms()
		for key, e := range book[0].job {
			f.job(key, e)
		}
		f.row("areas", 2, "area", "A")
		f.row("areas", 3, "area", "B", "limit", 20.0)
		for i, c := range book {
			f.row("readings", i+2, append(append(row{}, on...), c.row...)...)
		}
		file := back(t, f.book)
		s := sheetOf(t, file, "readings")
		for i, c := range book {
			got := s.Rows[i+1]
			density := got.Cell(under(t, s, "density by formula"))
			if v, err := strconv.ParseFloat(density.Raw, 64); (err == nil) != (c.density == c.density) || err == nil && math.Abs(v-c.density) > 1e-9 {
				t.Errorf("%s: density %q, want %v", c.name, density.Raw, c.density)
			}
			want, verdict := c.against, ""
			switch c.against {
			case "":
			case "pass", "fail":
				verdict = c.against
			default:
				want = text(t, c.against)
			}
			if got := got.Cell(under(t, s, "against that limit")); got.Text != want {
				t.Errorf("%s: against the limit %q, want %q", c.name, got.Text, want)
			}
			if got := got.Cell(under(t, s, "recorded verdict")); got.Text != verdict {
				t.Errorf("%s: recorded verdict %q, want %q", c.name, got.Text, verdict)
			}
		}
		if n := noted(file); n != "" {
			t.Error(n)
		}
	}
}

func text(t *testing.T, key string) string {
	t.Helper()
	s, err := words(t).Say("workbook-blank/"+key, nil)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// noted says that a formula was not computed when the file was read.
func noted(f *table.File) string {
	for _, n := range f.Notes {
		if n.Check == "formulas-not-recomputed" {
			return fmt.Sprint(n)
		}
	}
	return ""
}

// Values worked separately with the WMO formula to the hundredth; the margin
// of the job is 3.
func TestFilledAmbient(t *testing.T) {
	rows := []struct {
		air, humidity, steel float64
		dew, margin          string
		kept                 string
	}{
		{28, 82, 27, "24.6", "2.4", "short"},
		{24, 65, 25, "17.0", "8.0", "kept"},
		{12, 88, 13.1, "10.1", "3.0", "kept"},
		{31.5, 74, 29, "26.3", "2.7", "short"},
		{20, 100, 23, "20.0", "3.0", "kept"},
	}
	f := newFiller(t)
	f.terms()
	for i, r := range rows {
		f.row("ambient", i+2, "air temperature", r.air, "humidity", r.humidity, "steel temperature", r.steel)
	}
	f.row("ambient", len(rows)+2, "air temperature", 20.0, "steel temperature", 20.0)
	f.row("ambient", len(rows)+3, "air temperature", 20.0, "humidity", 0.0, "steel temperature", 20.0)
	file := back(t, f.book)
	s := sheetOf(t, file, "ambient")
	dew, margin, kept := under(t, s, "dew point by formula"), under(t, s, "margin by formula"), under(t, s, "against the margin")
	for i, r := range rows {
		row := s.Rows[i+1]
		if row.Cell(dew).Text != r.dew || row.Cell(margin).Text != r.margin || row.Cell(kept).Text != text(t, r.kept) {
			t.Errorf("%v: dew point %q, margin %q, %q", r, row.Cell(dew).Text, row.Cell(margin).Text, row.Cell(kept).Text)
		}
	}
	for _, row := range s.Rows[len(rows)+1:] {
		if row.Cell(dew).Text != "" || row.Cell(margin).Text != "" || row.Cell(kept).Text != "" {
			t.Errorf("row %d: something computed of nothing: %q", row.Number, row.Cell(dew).Text)
		}
	}
	if n := noted(file); n != "" {
		t.Error(n)
	}
}

// TestOfficeComputesTheSame has LibreOffice compute the blank workbook with
// some rows, and the sample, and holds every formula against what was computed
// when we read the file ourselves.
func TestOfficeComputesTheSame(t *testing.T) {
	if os.Getenv("SALTLINE_OUTSIDE") == "" {
		t.Skip("SALTLINE_OUTSIDE is not set")
	}
	f := newFiller(t)
	f.terms()
	f.row("areas", 2, "area", "B", "limit", 20.0)
	f.row("readings", 2, "blank", 1.4, "extract", 20.4, "compensated", "on")
	f.row("readings", 3, "area", "B", "blank", 1.4, "extract", 20.4, "compensated", "on")
	f.row("readings", 4, "blank", 1.5, "extract", 14.0, "volume", 10.0, "compensated", "on")
	f.row("readings", 5, "blank", "-", "extract", 14.0)
	f.row("readings", 6, "blank", 3.4, "extract", 2.4, "volume", "three")
	for name, b := range map[string]table.Book{"filled.xlsx": f.book, "sample.xlsx": sample(t)} {
		data, err := table.Write(b)
		if err != nil {
			t.Fatal(err)
		}
		ours, err := table.Read(name, data, table.Options{})
		if err != nil {
			t.Fatal(err)
		}
		theirs := throughOffice(t, name, data)
		formulas := 0
		for i, s := range ours.Sheets {
			for _, row := range s.Rows {
				for _, c := range row.Cells() {
					if c.Formula() == "" {
						continue
					}
					formulas++
					o := theirs.Sheets[i].Rows[row.Number-1].Cell(c.Pos.Col())
					a, err1 := strconv.ParseFloat(c.Raw, 64)
					z, err2 := strconv.ParseFloat(o.Raw, 64)
					if err1 == nil && err2 == nil && math.Abs(a-z) <= 1e-9*max(1, math.Abs(a)) || c.Text == o.Text && c.Raw == o.Raw {
						continue
					}
					t.Errorf("%s: %s gives %q here and %q there", name, c.Pos, c.Raw, o.Raw)
				}
			}
		}
		if formulas < 300 {
			t.Errorf("%s: %d formulas", name, formulas)
		}
		job := bound(t, theirs)
		if len(job.Tests) == 0 {
			t.Errorf("%s: no tests after it was saved", name)
		}
	}
}

// throughOffice is a workbook after LibreOffice opened, computed and saved it.
func throughOffice(t *testing.T, name string, data []byte) *table.File {
	t.Helper()
	dir := t.TempDir()
	in, out := filepath.Join(dir, name), filepath.Join(dir, "out")
	if err := os.WriteFile(in, data, 0o644); err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command("soffice", "-env:UserInstallation=file://"+filepath.Join(dir, "profile"), "--headless", "--convert-to", "xlsx:Calc MS Excel 2007 XML", "--outdir", out, in)
	if said, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, said)
	}
	saved, err := os.ReadFile(filepath.Join(out, name))
	if err != nil {
		t.Fatal(err)
	}
	f, err := table.Read(name, saved, table.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return f
}
