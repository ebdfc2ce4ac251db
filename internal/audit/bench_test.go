package audit_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"saltline/internal/assess"
	"saltline/internal/audit"
	"saltline/internal/check"
	"saltline/internal/record"
	"saltline/internal/salt"
	"saltline/internal/unit"
)

// BenchmarkOf draws the conclusion on logs of several lengths, in which three
// in ten tests fail and nothing was done about it, and one value in fifty does
// not follow. The patch area is not recorded, so another one is supposed.
func BenchmarkOf(b *testing.B) {
	for _, n := range []int{60, 1_000, 20_000, 200_000} {
		b.Run(fmt.Sprintf("readings=%d", n), func(b *testing.B) {
			r := assess.Run(archive(n), check.All())
			b.ReportAllocs()
			for b.Loop() {
				audit.Of(r)
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*n), "ns/reading")
		})
	}
}

// archive is a log of so many tests, always the same.
func archive(tests int) *record.Job {
	chance := rand.New(rand.NewPCG(1, 6))
	tenths := func(n int64) unit.Decimal { return unit.Decimal{Coef: n, Exp: -1} }
	reading := func(n int64) record.Given[unit.Conductivity] {
		return record.Given[unit.Conductivity]{Dec: tenths(n), Val: unit.Conductivity(tenths(n).Float()), State: record.Known}
	}
	job := &record.Job{}
	limit := record.Limit{Value: record.Given[unit.SurfaceDensity]{Val: 50, Dec: unit.Int(50), Unit: "mg/m2", State: record.Known}}
	limit.Basis = record.Given[salt.Basis]{Val: salt.TotalSalts, State: record.Known}
	job.Terms.Limits = []record.Limit{limit}
	job.Terms.Volume = record.Given[unit.Volume]{Val: 3, Dec: unit.Int(3), State: record.Known}
	for i := range tests {
		test := record.NewTest()
		f := test.Own()
		blank, rise := 8+chance.Int64N(18), 10+chance.Int64N(591)
		written := (12*rise + 5) / 10
		if i%50 == 7 {
			written += blank
		}
		number := fmt.Sprint(i + 1)
		f.Number = record.Words{Val: number, Text: number, State: record.Known}
		f.Date = record.Given[unit.Date]{Val: unit.Date{Year: 2026, Month: 3, Day: 1 + i%28}, State: record.Known}
		f.Blank, f.Extract = reading(blank), reading(blank+rise)
		f.Recorded = record.Given[unit.SurfaceDensity]{Dec: tenths(written), Val: unit.SurfaceDensity(tenths(written).Float()), State: record.Known}
		job.Tests = append(job.Tests, test)
	}
	return job
}
