package slip

import "testing"

// BenchmarkSheet explains 20,000 rows none of which follows.
func BenchmarkSheet(b *testing.B) {
	g := newGenerator(b, 1, 1, "15")
	rows := g.sheet(20_000, 1)
	for i := range rows {
		g.record(&rows[i], g.combine(&rows[i], int64(i%3)-1), 1)
	}
	for b.Loop() {
		Sheet(List(rows))
	}
}
