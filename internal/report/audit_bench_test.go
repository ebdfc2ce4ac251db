package report_test

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"saltline/fonts"
	"saltline/internal/assess"
	"saltline/internal/audit"
	"saltline/internal/check"
	"saltline/internal/frame"
	"saltline/internal/layout"
	"saltline/internal/record"
	"saltline/internal/report"
	"saltline/internal/table"
	"saltline/internal/wording"
	"saltline/templates"
)

// BenchmarkAudit composes and lays out the audit of a log of 20,000 rows, of
// which one in twenty does not have its blank taken off.
func BenchmarkAudit(b *testing.B) {
	rnd := rand.New(rand.NewPCG(1, 2))
	var csv strings.Builder
	csv.WriteString("test,area,location,date,blank (µS/cm),extract (µS/cm),volume (ml),recorded (mg/m2),recorded verdict\n")
	for i := range 20_000 {
		blank, rise := float64(8+rnd.IntN(10))/10, float64(50+rnd.IntN(250))/10
		written := 1.2 * rise
		if i%20 == 0 {
			written += 1.2 * blank
		}
		fmt.Fprintf(&csv, "%d,area %d,frame %d,2026-%02d-%02d,%.1f,%.1f,3,%.1f,pass\n", i+1, i/2000+1, i%2000, i/1800+1, i/70%28+1, blank, blank+rise, written)
	}
	var files []*table.File
	for name, data := range map[string]string{"job.csv": "key,value\nlimit,50 mg/m2\nlimit basis,total salts\nlimit comparison,at most\n", "readings.csv": csv.String()} {
		f, err := table.Read(name, []byte(data), table.Options{})
		if err != nil {
			b.Fatal(err)
		}
		files = append(files, f)
	}
	job, _ := record.Bind(files, record.Options{})
	words, err := wording.Load(templates.Files, nil, "en")
	if err != nil {
		b.Fatal(err)
	}
	faces, err := frame.LoadFonts(fonts.Files)
	if err != nil {
		b.Fatal(err)
	}
	a := report.Audit{Report: audit.Of(assess.Run(job, check.All())), Words: words, Fonts: faces, Width: layout.A4().TextWidth()}
	pages := 0
	for b.Loop() {
		made, err := a.Compose()
		if err != nil {
			b.Fatal(err)
		}
		all, err := layout.Pages(&made.Document, layout.A4(), faces)
		if err != nil {
			b.Fatal(err)
		}
		pages = len(all.Pages)
	}
	b.ReportMetric(float64(pages), "pages")
}
