package report_test

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"saltline/internal/assess"
	"saltline/internal/certificate"
	"saltline/internal/certificate/testdata/complete"
	"saltline/internal/check"
	"saltline/internal/doc"
	"saltline/internal/layout"
	"saltline/internal/record"
	"saltline/internal/report"
	"saltline/internal/unit"
	"saltline/internal/wording"
	"saltline/testdata/jobs"
	"saltline/testdata/marked"
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
	// The two-dimensional code is one path of many squares: nobody reads it, and
	// that nothing else moves it is held by its digest.
	var b strings.Builder
	for line := range strings.Lines(pages.Pages[0].String()) {
		if len(line) > 1000 {
			line = fmt.Sprintf("%s … (%d characters, SHA-256 %x)\n", line[:60], len(line), sha256.Sum256([]byte(line)))
		}
		b.WriteString(line)
	}
	golden(t, "certificate-oskerley-pier-GW-page.txt", []byte(b.String()))
}

// TestValidity holds what a certificate says of the time for which it stands.
// The last test of the area was read at 09:17 on 4 March, and the contract
// gives 24 h.
func TestValidity(t *testing.T) {
	w := words(t, nil)
	for _, c := range []struct {
		name, changes string
		made          unit.Date
		says, silent  string
	}{
		{"in time", "", unit.Date{Year: 2026, Month: 3, Day: 5}, "within 24 h of the last test, that is until 5 Mar 2026, 09:17 (contract)", "passed"},
		{"too late", "", unit.Date{Year: 2026, Month: 3, Day: 6}, "until 5 Mar 2026, 09:17 (contract); after that, test again. That time has passed.", "states no time"},
		{"coating has begun", "areas: add coating started\nareas: D2 | coating started=2026-03-04 15:00", unit.Date{Year: 2026, Month: 3, Day: 5}, "until 5 Mar 2026, 09:17", "states no time"},
		{"the last reading has no time", "readings: 10 | read=", unit.Date{Year: 2026, Month: 3, Day: 5}, "within 24 h of the last test (contract); after that, test again. The record does not hold when", "states no time"},
		{"nothing agreed", "job: -hours to coating", unit.Date{Year: 2026, Month: 3, Day: 5}, "The record states no time within which coating is to follow.", "test again"},
	} {
		of := closed{complete.New(t, c.changes).Judge(t), w}
		areas := certificate.Of(of.result)
		record := of.record(t)
		record.Produced = c.made
		made, err := report.Certificate{Record: record, Area: &areas[1]}.Compose()
		if err != nil {
			t.Fatal(err)
		}
		text := textOf(&made.Document)
		if !strings.Contains(text, c.says) || strings.Contains(text, c.silent) {
			_, statement, _ := strings.Cut(text, "¶ Statement ¶")
			statement, _, _ = strings.Cut(statement, "¶ QC manager ¶")
			t.Errorf("%s: %q is to be said, and %q is not:\n%s", c.name, c.says, c.silent, statement)
		}
	}
}

// TestVolumeAsUsed holds that a certificate states what its tests were computed
// with, where the job states another value: the filling mains of the lock were
// tested with 2.5 ml, by concession.
func TestVolumeAsUsed(t *testing.T) {
	lock := closingSamples(t)["quillmere-lock"]
	for area, says := range map[string]string{"FP": "V = 2.5 ml on every row,", "UG": "V = 3 ml,"} {
		if made := lock.of(t, area); !strings.Contains(textOf(&made.Document), says) {
			t.Errorf("%s: %q is not said", area, says)
		}
	}
}

// TestRefusedIsNotLoud sees that the sheet of an area without a certificate
// shows no verdict as a certificate does, for whoever reads the large type alone.
func TestRefusedIsNotLoud(t *testing.T) {
	for area, want := range map[string]bool{"UG": true, "CV": false} { // both are accepted; of CV two reports are not signed
		made := closingSamples(t)["quillmere-lock"].of(t, area)
		loud := false
		for _, b := range made.Document.Blocks {
			box, is := b.(doc.Box)
			if !is {
				continue
			}
			for _, in := range box.Blocks {
				if p, is := in.(doc.Paragraph); is {
					loud = loud || slices.ContainsFunc(p.Text, func(r doc.Run) bool { return r.Look == doc.Enlarged && strings.Contains(r.S, "ACCEPTED") })
				}
			}
		}
		if loud != want {
			t.Errorf("%s: the verdict stands in large type: %v", area, loud)
		}
	}
}

// TestReasonsAreCounted sees that the first page of a dossier counts the reasons
// of an area as its sheet numbers them, and the terminal the things that it lists.
func TestReasonsAreCounted(t *testing.T) {
	of := closed{complete.New(t, longerJobs["every gap"]).Judge(t), words(t, nil)}
	made := of.of(t, "D2")
	summary, _ := of.dossier(t)
	numbered := 0
	for _, in := range made.Document.Blocks[0].(doc.Box).Blocks {
		if list, is := in.(doc.List); is {
			numbered = len(list.Items)
		}
	}
	if want := fmt.Sprintf("Area D2 has no certificate (%d reasons)", numbered); numbered < 2 || !strings.Contains(plain(summary), want) {
		t.Errorf("the sheet numbers %d reasons; the terminal says\n%s", numbered, summary)
	}
	lines := strings.Split(summary, "\n")
	if want := fmt.Sprintf("%d things are missing", (len(lines)-2)/2); !strings.Contains(lines[1], want) {
		t.Errorf("%q; %d are listed", lines[1], (len(lines)-2)/2)
	}
}

// TestClosingWordsComeFromTexts is TestWordsComeFromTexts of the closing
// documents.
func TestClosingWordsComeFromTexts(t *testing.T) {
	w, err := wording.Load(marked.Texts(t), nil, "en")
	if err != nil {
		t.Fatal(err)
	}
	for name, path := range map[string]string{"quillmere-lock": samples + "quillmere-lock", "every": "../../testdata/jobs/every", "crowded": "../../testdata/jobs/crowded"} {
		known := sameEverywhere(w)
		recorded(t, known, path)
		marked.Words(known, "dolphins")
		r := judge(t, path)
		for _, s := range r.Basis.Settings {
			marked.Words(known, s.Key)
		}
		look := func(text string) {
			for _, p := range r.Job.Note.Problems {
				text = strings.ReplaceAll(text, p.Msg, "")
			}
			for _, s := range marked.Strange(digests.ReplaceAllString(text, ""), known) {
				t.Errorf("%s: no text says %q", name, s)
			}
		}
		c := closed{r, w}
		for _, made := range c.certificates(t) {
			look(made.Summary)
			made.Document.EachText(look)
		}
		summary, all := c.dossier(t)
		look(summary)
		for i := range all {
			look(all[i].entry)
			if !all[i].own {
				all[i].EachText(look)
			}
		}
	}
}
