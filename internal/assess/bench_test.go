package assess

import (
	"fmt"
	"testing"

	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/salt"
	"saltline/internal/unit"
)

// longJob is a log of n tests in 40 areas on sheets of 500 rows; every tenth
// written value does not follow, and every fiftieth test fails and is
// washed and tested again.
func longJob(t testing.TB, n int) *record.Job {
	job := newJob(t)
	job.Terms.Sampling = given(salt.SamplingRule{Form: salt.FixedNumber, First: 5})
	for i := range n {
		extract := unit.Decimal{Coef: int64(40 + i*37%83), Exp: -1}
		if i%50 == 0 {
			extract.Coef = 181
		}
		test := reading(t, "1.6", "0")
		f := test.Own()
		f.Extract.Dec, f.Extract.Val = extract, unit.Conductivity(extract.Float())
		f.Number, f.Area = words(fmt.Sprint(i)), words(fmt.Sprintf("Area %d", i/(n/40)))
		f.Row = diag.In("log.xlsx", fmt.Sprintf("Sheet %d", i/500)).At(i%500+2, 0)
		f.Location = words(fmt.Sprintf("frame %d", i))
		f.Start, f.Read = clock(t, "10:00"), clock(t, "10:12")
		d := unit.Decimal{Coef: 4 * (extract.Coef - 16), Exp: -1}
		if i%10 == 3 {
			d.Coef += 31
		}
		f.Recorded = record.Given[unit.SurfaceDensity]{Val: unit.SurfaceDensity(d.Float()), Dec: d, State: record.Known}
		if i%50 == 1 {
			f.Kind, f.OfTest = given(record.Retest), words(fmt.Sprint(i-1))
			f.Start, f.Read = clock(t, "15:00"), clock(t, "15:12")
			job.Treatments = append(job.Treatments, record.Treatment{
				Date: given(firstDay), Started: clock(t, "11:00"), Ended: clock(t, "12:00"),
				OfTests: given([]string{fmt.Sprint(i - 1)}), What: words("fresh-water wash"),
			})
		}
		job.Tests = append(job.Tests, test)
	}
	return job
}

// sizes are how many readings are measured: of a day, of a month, of a job,
// of an archive.
var sizes = []int{60, 1_000, 20_000, 200_000}

func BenchmarkRun(b *testing.B) {
	for _, n := range sizes {
		b.Run(fmt.Sprintf("readings=%d", n), func(b *testing.B) {
			job := longJob(b, n)
			b.ReportAllocs()
			for b.Loop() {
				Run(job, nil)
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*n), "ns/reading")
		})
	}
}

// BenchmarkPlainly works the same jobs out without a scale.
func BenchmarkPlainly(b *testing.B) {
	for _, n := range sizes {
		b.Run(fmt.Sprintf("readings=%d", n), func(b *testing.B) {
			job := longJob(b, n)
			b.ReportAllocs()
			for b.Loop() {
				bareRun(job, true)
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*n), "ns/reading")
		})
	}
}

func BenchmarkStanding(b *testing.B) {
	c := Run(longJob(b, 20_000), nil).Course()
	b.ReportAllocs()
	for b.Loop() {
		c.Standing(firstDay)
	}
}

func BenchmarkCourse(b *testing.B) {
	r := Run(longJob(b, 20_000), nil)
	b.ReportAllocs()
	for b.Loop() {
		r.Course()
	}
}
