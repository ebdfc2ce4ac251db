package workbook_test

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"saltline/internal/assess"
	"saltline/internal/check"
	"saltline/internal/diag"
	"saltline/internal/table"
	"saltline/internal/workbook"
)

// The sample in this workbook is the same job as the sample.
func TestSampleIsTheSampleJob(t *testing.T) {
	file := back(t, sample(t))
	if n := noted(file); n != "" {
		t.Error(n)
	}
	got := assess.Run(bound(t, file), check.All())
	want := assess.Run(bound(t, sampleFile(t)), check.All())
	if len(got.Lines) != len(want.Lines) {
		t.Fatalf("%d tests, want %d", len(got.Lines), len(want.Lines))
	}
	for i := range want.Lines {
		g, w := &got.Lines[i], &want.Lines[i]
		if g.Verdict != w.Verdict || g.Density.Value != w.Density.Value || g.Density.Known != w.Density.Known || g.Agreement != w.Agreement || g.ByNumber != w.ByNumber {
			t.Errorf("test %s: %v %v %v, want %v %v %v", w.Test.Number().Val, g.Verdict, g.Density.Value, g.Agreement, w.Verdict, w.Density.Value, w.Agreement)
		}
	}
	names := func(r *assess.Result) (all []string) {
		for _, f := range r.Findings {
			all = append(all, fmt.Sprint(f.Check.Name, len(f.Tests)))
		}
		return all
	}
	if g, w := strings.Join(names(got), " "), strings.Join(names(want), " "); g != w {
		t.Errorf("findings\n%s\nwant\n%s", g, w)
	}
}

// What the sheet says beside a reading must be what the numbers give; the
// expected values of the sample were computed without this program.
func TestSampleComputesItself(t *testing.T) {
	file := back(t, sample(t))
	s := sheetOf(t, file, "readings")
	density, against, kind := under(t, s, "density by formula"), under(t, s, "against that limit"), under(t, s, "kind")
	result := assess.Run(bound(t, sampleFile(t)), check.All())
	passes, fails := 0, 0
	for i := range result.Lines {
		l, row := &result.Lines[i], s.Rows[i+1]
		if got, err := strconv.ParseFloat(row.Cell(density).Raw, 64); (err == nil) != l.Density.Known || err == nil && math.Abs(got-float64(l.Density.Value)) > 1e-9 {
			t.Errorf("test %s: density %q, want %v", l.Test.Number().Val, row.Cell(density).Raw, l.Density.Value)
		}
		switch row.Cell(against).Text {
		case "pass":
			passes++
			if l.ByNumber != assess.Pass {
				t.Errorf("test %s: pass by formula, %v by the numbers", l.Test.Number().Val, l.ByNumber)
			}
		case "fail":
			fails++
			if l.ByNumber != assess.Fail {
				t.Errorf("test %s: fail by formula, %v by the numbers", l.Test.Number().Val, l.ByNumber)
			}
		case text(t, "of-glass"):
			if row.Cell(kind).Text != "procedural blank" {
				t.Errorf("test %s is on steel", l.Test.Number().Val)
			}
		case text(t, "not-compensated"):
			if l.ByNumber == assess.Fail {
				t.Errorf("test %s: the numbers fail", l.Test.Number().Val)
			}
		case text(t, "no-extract"):
			if l.Test.Extract().Known() {
				t.Errorf("test %s: the extract is %v", l.Test.Number().Val, l.Test.Extract().Val)
			}
		default:
			t.Errorf("test %s: %q", l.Test.Number().Val, row.Cell(against).Text)
		}
	}
	if passes < 40 || fails < 3 {
		t.Errorf("%d passes and %d fails by formula", passes, fails)
	}
}

// A job with a column or a key that the workbook has no place for is refused,
// for its values would be lost.
func TestSampleLosesNothing(t *testing.T) {
	for _, sheet := range []string{"readings", "job"} {
		f := sampleFile(t)
		s := sheetOf(t, f, sheet)
		if sheet == "job" {
			cells := s.Rows[1].Cells()
			cells[0].Text = "colour of the crane"
			s.Rows[1] = s.Rows[1].With(cells)
		} else {
			s.Rows[0] = s.Rows[0].With(append(s.Rows[0].Cells(), table.Cell{Kind: table.Text, Text: "colour", Pos: diag.In("", sheet).At(1, 99)}))
		}
		if _, err := workbook.Sample(words(t), f); err == nil {
			t.Errorf("%s: what has no place was left out in silence", sheet)
		}
	}
}
