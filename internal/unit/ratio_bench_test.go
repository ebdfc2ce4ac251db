package unit

import "testing"

// BenchmarkRatio recomputes a density, 100·5·3·(26.6 − 2.3)/1250, and puts it
// against a limit of 50.
func BenchmarkRatio(b *testing.B) {
	blank, extract, volume, area, limit := Decimal{23, -1}, Decimal{266, -1}, Int(3), Int(1250), Int(50)
	b.ReportAllocs()
	for b.Loop() {
		k := Int(5).Ratio().Mul(volume.Ratio()).Mul(Int(100).Ratio()).Quo(area.Ratio())
		if extract.Ratio().Sub(blank.Ratio()).Mul(k).Cmp(limit.Ratio()) >= 0 {
			b.Fatal("29.16 is not below 50")
		}
	}
}
