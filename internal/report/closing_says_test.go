package report_test

import (
	"bytes"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"saltline/internal/assess"
	"saltline/internal/check"
	"saltline/internal/doc"
	"saltline/internal/layout"
	"saltline/internal/record"
	"saltline/internal/report"
	"saltline/testdata/jobs"
)

// pier is the sample that is kept in a workbook a day.
func pier(t *testing.T) *assess.Result {
	t.Helper()
	books, err := filepath.Glob(samples + "oskerley-pier/*.xlsx")
	if err != nil || len(books) < 2 {
		t.Fatalf("%d workbooks (%v)", len(books), err)
	}
	var parts []*record.Job
	for _, b := range books {
		parts = append(parts, jobs.Read(t, b))
	}
	return assess.Run(record.Join(parts), check.All())
}

// closingSamples are the samples whose closing documents are held.
func closingSamples(t *testing.T) map[string]closed {
	w := words(t, nil)
	return map[string]closed{
		"quillmere-lock": {judge(t, samples+"quillmere-lock"), w}, // its dossier is not issuable
		"oskerley-pier":  {pier(t), w},
	}
}

// of is the certificate of an area.
func (c closed) of(t *testing.T, area string) report.Report {
	t.Helper()
	all := c.certificates(t)
	i := slices.IndexFunc(all, func(made report.Report) bool { return strings.HasSuffix(made.Document.Scope, "Area "+area) })
	if i < 0 {
		t.Fatalf("no area %s", area)
	}
	return all[i]
}

// TestClosingSays holds what the certificates and the dossiers of the samples
// say, in reading order; a dossier without the documents that are bound into it.
func TestClosingSays(t *testing.T) {
	of := closingSamples(t)
	for _, c := range []struct{ job, area string }{
		{"quillmere-lock", "UG"}, {"quillmere-lock", "LG"}, // issued, and not
		{"oskerley-pier", "PC"}, {"oskerley-pier", "GW"},
	} {
		t.Run(c.job+"-"+c.area, func(t *testing.T) {
			made := of[c.job].of(t, c.area)
			var b bytes.Buffer
			if err := made.Document.WriteText(&b, 100); err != nil {
				t.Fatal(err)
			}
			fmt.Fprintf(&b, "\non the terminal:\n%s\n", made.Summary)
			golden(t, "certificate-"+c.job+"-"+c.area+".txt", b.Bytes())
		})
	}
	for _, name := range []string{"quillmere-lock", "oskerley-pier"} {
		t.Run(name, func(t *testing.T) {
			summary, all := of[name].dossier(t)
			var b bytes.Buffer
			for i, d := range all {
				if i > 0 {
					fmt.Fprintf(&b, "\n%s %s\n", strings.Repeat("-", 20), d.entry)
				}
				if d.own {
					continue
				}
				if err := d.WriteText(&b, 100); err != nil {
					t.Fatal(err)
				}
			}
			fmt.Fprintf(&b, "\non the terminal:\n%s\n", summary)
			golden(t, "handover-"+name+".txt", b.Bytes())
		})
	}
}

// TestCertificateLaidOut holds where everything stands on the first page of a
// certificate, which is all that there is of it but for its annex.
func TestCertificateLaidOut(t *testing.T) {
	made := closingSamples(t)["oskerley-pier"].of(t, "GW")
	pages, err := layout.Pages(&made.Document, layout.A4(), faces(t))
	if err != nil {
		t.Fatal(err)
	}
	if at := slices.IndexFunc(made.Document.Blocks, func(b doc.Block) bool { h, is := b.(doc.Heading); return is && h.NewPage }); at < 0 {
		t.Error("no page of its own is asked for the annex")
	}
	golden(t, "certificate-oskerley-pier-GW-page.txt", []byte(pages[0].String()))
}
