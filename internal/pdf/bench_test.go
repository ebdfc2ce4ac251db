package pdf

import (
	"bytes"
	"fmt"
	"os"
	"testing"

	"saltline/internal/doc"
	"saltline/internal/frame"
	"saltline/internal/layout"
)

// register is the pages of a register of so many readings, as in a dossier.
func register(b *testing.B, readings int) frame.Print {
	b.Helper()
	if readings > 20_000 && os.Getenv("SALTLINE_LARGE") == "" {
		b.Skip("takes a gigabyte: SALTLINE_LARGE=1 asks for it")
	}
	all := make([]int, readings)
	for i := range all {
		all[i] = i
	}
	columns := []doc.Col[int]{
		doc.Right("Test", "", func(n int) string { return fmt.Sprint(n + 1) }),
		doc.Left("Location", "", func(n int) string { return fmt.Sprintf("frame %d, %d.%d m up", n%60, n%7, n%10) }),
		doc.Decimal("Blank", "µS/cm", func(n int) string { return fmt.Sprintf("%d.%d", n%4, n%10) }),
		doc.Decimal("Extract", "µS/cm", func(n int) string { return fmt.Sprintf("%d.%d", 8+n%37, n%10) }),
		doc.Decimal("Recomputed", "mg/m²", func(n int) string { return fmt.Sprintf("%d.%d", 20+n%71, n%10) }),
		doc.Rich("Verdict", "", doc.AlignLeft, func(n int) doc.Text { return doc.Marked(frame.Mark(1+n%4), doc.Strong("PASS")) }),
		doc.Left("Cell", "", func(n int) string { return fmt.Sprintf("readings!H%d", n+2) }),
	}
	d := &doc.Document{Title: "Register of tests", Lang: "en-GB", Words: doc.English(), Blocks: []doc.Block{
		doc.TabulateBy(func(n int) string { return fmt.Sprint("Area ", n/1000) }, columns, all, func(n int, r *doc.Row) {}),
	}}
	p, err := layout.Pages(d, layout.A4(), loadFonts(b))
	if err != nil {
		b.Fatal(err)
	}
	return p
}

var readings = []int{60, 1000, 20_000, 200_000}

func BenchmarkDraw(b *testing.B) {
	for _, n := range readings {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			p, fonts := register(b, n), loadFonts(b)
			b.ReportAllocs()
			for b.Loop() {
				if _, _, err := draw(p, fonts, meta); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(len(p.Pages)), "pages")
		})
	}
}

func BenchmarkFinish(b *testing.B) {
	for _, n := range readings {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			p := register(b, n)
			d, drawn, err := draw(p, loadFonts(b), meta)
			if err != nil {
				b.Fatal(err)
			}
			b.ReportAllocs()
			for b.Loop() {
				var out bytes.Buffer
				out.Grow(d.about(len(drawn), nil))
				if err := finish(&out, drawn, d, p.Says, meta); err != nil {
					b.Fatal(err)
				}
				b.SetBytes(int64(out.Len()))
			}
		})
	}
}
