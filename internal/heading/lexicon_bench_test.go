package heading

import "testing"

// The words of all tables are read once in each run that reads a log.
func BenchmarkReadLexicon(b *testing.B) {
	for b.Loop() {
		if _, err := readLexicon(); err != nil {
			b.Fatal(err)
		}
	}
}
