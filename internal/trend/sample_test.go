package trend_test

import (
	"math"
	"testing"

	"saltline/internal/assess"
	"saltline/internal/check"
	"saltline/internal/record"
	"saltline/internal/trend"
	"saltline/internal/unit"
	"saltline/testdata/jobs"
)

func near(a, b float64) bool { return math.Abs(a-b) <= 5e-6*max(1, math.Abs(b)) }

// TestSample holds the days of the sample. The figures were worked out from its
// CSV files and samples/expected.csv without this program.
func TestSample(t *testing.T) {
	got := trend.Of(assess.Run(jobs.Read(t, "../../samples/quillmere-lock"), check.All()))
	want := []struct {
		date                             string
		tests, first, fails, voids       int
		median, max, blank, water, solut float64
		steel, wash                      float64
	}{
		{"2026-04-14", 18, 13, 1, 1, 22.8, 71.4, 1.5, 1.7, 12.805556, 12.133333, 310},
		{"2026-04-15", 21, 21, 3, 0, 21.5185, 63.6, 1.7, 6.3, 12.885714, 10.133333, math.NaN()},
		{"2026-04-16", 20, 15, 1, 1, 21.84, 54.6, 1.6, 1.9, 13.255, 12.666667, 325},
	}
	if len(got.Days) != len(want) {
		t.Fatalf("%d days, want %d", len(got.Days), len(want))
	}
	same := func(date, what string, got, want float64) {
		t.Helper()
		if !near(got, want) && !(math.IsNaN(got) && math.IsNaN(want)) {
			t.Errorf("%s: %s %v, want %v", date, what, got, want)
		}
	}
	for i, w := range want {
		d := &got.Days[i]
		if d.Date.ISO() != w.date || !d.Diary || d.Tests != w.tests || d.First != w.first || d.Fails != w.fails || d.Voids != w.voids {
			t.Errorf("day %+v, want %+v", d, w)
		}
		same(w.date, "median", float64(d.Median), w.median)
		same(w.date, "maximum", float64(d.Max), w.max)
		same(w.date, "blank", float64(d.Blank), w.blank)
		same(w.date, "water", float64(d.WaterMost()), w.water)
		same(w.date, "solution", float64(d.Solution), w.solut)
		same(w.date, "steel", float64(d.Steel), w.steel)
		same(w.date, "wash water", float64(d.Wash), w.wash)
		same(w.date, "abrasive", float64(d.Abrasive), math.NaN())
	}
	if len(got.Meters) != 1 || len(got.Flags) != 0 {
		t.Fatalf("%d meters, flags %v", len(got.Meters), got.Flags)
	}
	m := &got.Meters[0]
	for i, d := range []float64{-0.476190, 0.357143, 1.071429, -0.238095, 0.476190, -0.714286, 0.119048, 1.428571} {
		if math.Abs(m.Checks[i].Deviation-d) > 1e-6 {
			t.Errorf("check %d: %v, want %v", i+1, m.Checks[i].Deviation, d)
		}
	}
	same("", "centre", m.Chart.Centre, 0.252976)
	same("", "upper limit", m.Chart.Upper, 2.875484)
	same("", "lower limit", m.Chart.Lower, -2.369532)
}

// TestDays holds what makes a day and what does not, on a job by hand: a day of
// the diary without tests, a test without a date, a void above all others, a
// retest that the median leaves out, an entry as left.
func TestDays(t *testing.T) {
	one, two := unit.Date{Year: 2026, Month: 5, Day: 4}, unit.Date{Year: 2026, Month: 5, Day: 6}
	job := plan{seed: 1, job: 1, days: 0}.make()
	add := func(date unit.Date, blank, extract float64) *record.Test {
		test := newTest(len(job.Tests)+1, date, 0, 0)
		f := test.Own()
		f.Blank, f.Extract = figure[unit.Conductivity](blank, 1), figure[unit.Conductivity](extract, 1)
		job.Tests = append(job.Tests, test)
		return &job.Tests[len(job.Tests)-1]
	}
	add(one, 1, 11)                                                   // 12 mg/m²
	add(one, 2, 22)                                                   // 24
	add(one, 1.5, 31.5).Own().Kind = known(record.Retest)             // 36, the maximum
	add(one, 1, 40).Own().RecordedVerdict = known(record.WrittenVoid) // 46.8, and void
	add(one, 3, 1000).Own().Kind = known(record.ProceduralBlank)      // on glass
	add(two, 1, 2).Own().Date = record.Given[unit.Date]{}             // without a date
	job.Days = append(job.Days, record.Day{Date: known(two)})         // no testing
	job.Extracts = append(job.Extracts, record.Extract{Date: known(two), Kind: known("abrasive"), Conductivity: figure[unit.Conductivity](118, 0)})
	checked := func(reading float64, as string) {
		job.Checks = append(job.Checks, record.MeterCheck{Date: known(one), Meter: known("K-1"), Nominal: figure[unit.Conductivity](84, 0),
			Reading: figure[unit.Conductivity](reading, 1), FoundLeft: known(as)})
	}
	checked(92.4, "as found")
	checked(84.0, "as left")
	got := trend.Of(judged(job))
	if len(got.Days) != 2 || got.Undated != 1 {
		t.Fatalf("%d days, %d tests without one", len(got.Days), got.Undated)
	}
	d := &got.Days[0]
	if d.Tests != 4 || d.First != 2 || d.Valued != 3 || d.Voids != 1 || d.Median != 18 || d.Max != 36 || d.Blank != 1.25 || d.Diary {
		t.Errorf("the first day: %+v", d)
	}
	d = &got.Days[1]
	if d.Tests != 0 || !d.Diary || !math.IsNaN(float64(d.Median)) || !math.IsNaN(float64(d.Max)) || d.Abrasive != 118 {
		t.Errorf("the day without tests: %+v", d)
	}
	if m := got.Meters; len(m) != 1 || len(m[0].Checks) != 1 || !near(m[0].Checks[0].Deviation, 10) || m[0].Charted {
		t.Errorf("the meter: %+v", m)
	}
}

// A meter that does not compensate reads a cold solution low, and is none the
// worse for it: potassium chloride of 84 µS/cm at 25 °C has 72.6 at 18 °C (by
// the temperature coefficient of 1.94 % per K at 25 °C of published tables).
func TestNotCompensating(t *testing.T) {
	job := plan{seed: 1, job: 1, days: 0}.make()
	job.Meters = []record.Meter{{Serial: known("K 1"), Compensates: known(false)}}
	job.Checks = []record.MeterCheck{{Date: known(unit.Date{Year: 2026, Month: 5, Day: 4}), Meter: known("k-1"), Nominal: figure[unit.Conductivity](84, 0),
		Reading: figure[unit.Conductivity](72.6, 1), Temperature: figure[unit.Temperature](18, 0)}}
	c := trend.Of(judged(job)).Meters[0].Checks[0]
	if !c.Referred || math.Abs(c.Deviation) > 1 {
		t.Errorf("a deviation of %v %%, referred to the temperature: %v", c.Deviation, c.Referred)
	}
}

func TestNothing(t *testing.T) {
	got := trend.Of(assess.Run(new(record.Job), nil))
	if len(got.Days) != 0 || len(got.Flags) != 0 || len(got.Meters) != 0 {
		t.Errorf("of nothing: %+v", got)
	}
}

func BenchmarkOf(b *testing.B) {
	for name, days := range map[string]int{"60 days": 60, "240 days": 240} {
		r := judged(plan{seed: 1, job: 1, days: days}.make())
		b.Run(name, func(b *testing.B) {
			b.ReportMetric(float64(len(r.Lines)), "tests")
			for b.Loop() {
				trend.Of(r)
			}
		})
	}
}
