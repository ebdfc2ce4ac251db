package heading

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"saltline/internal/table"
)

// BenchmarkFind finds the table in logs of so many rows.
func BenchmarkFind(b *testing.B) {
	for _, rows := range []int{60, 1_000, 20_000, 200_000} {
		b.Run(fmt.Sprint(rows), func(b *testing.B) {
			f, err := table.Read("log.csv", []byte(longLog(rows)), table.Options{})
			if err != nil {
				b.Fatal(err)
			}
			b.ReportAllocs()
			for b.Loop() {
				if blocks, _ := Find(&f.Sheets[0], "", nil); len(blocks) != 1 || len(blocks[0].Rows) != rows {
					b.Fatalf("%d blocks", len(blocks))
				}
			}
		})
	}
}

// longLog is a log as a text, under two titles.
func longLog(rows int) string {
	r := rand.New(rand.NewPCG(1, 0))
	var text strings.Builder
	text.WriteString("Ferry berth 2,,,,,,,\nInspector: A. Sund,,,,,,,\ntest,location,date,blank (µS/cm),extract (µS/cm),volume (ml),recorded (mg/m2),verdict\n")
	for i := range rows {
		extract := 5 + r.IntN(600)
		fmt.Fprintf(&text, "%d,frame %d,2026-03-%02d,%d.%d,%d.%d,3,%d.%d,pass\n", i+1, i%900, 1+i%28, 1+r.IntN(2), r.IntN(10), extract/10, extract%10, extract/9, r.IntN(10))
	}
	return text.String()
}
