package slip

import (
	"fmt"
	"testing"
)

// BenchmarkSheet explains rows none of which follows.
func BenchmarkSheet(b *testing.B) {
	for _, n := range []int{60, 1_000, 20_000, 200_000} {
		b.Run(fmt.Sprintf("readings=%d", n), func(b *testing.B) {
			g := newGenerator(b, 1, 1, "15")
			rows := g.sheet(n, 1)
			for i := range rows {
				g.record(&rows[i], g.combine(&rows[i], int64(i%3)-1), 1)
			}
			b.ReportAllocs()
			for b.Loop() {
				Sheet(List(rows))
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*n), "ns/reading")
		})
	}
}
