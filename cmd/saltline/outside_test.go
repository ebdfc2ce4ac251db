package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"saltline/fonts"
	"saltline/internal/assess"
	"saltline/internal/audit"
	"saltline/internal/check"
	"saltline/internal/frame"
	"saltline/internal/layout"
	"saltline/internal/report"
	"saltline/testdata/outside"
)

const sampleJob = "../../samples/quillmere-lock.xlsx"

// A sampleMade is a command with the sample documents that it makes.
type sampleMade struct {
	job    string
	folder string
	args   []string // OUT stands for the folder
	status int
	files  []string
}

// samplesMade are the sample documents with the commands that make them, as
// the README and samples/README.md have them.
var samplesMade = []sampleMade{
	{sampleJob, "reports", []string{"report", sampleJob, "-o", "OUT", "--produced", "2026-04-17"}, 0,
		[]string{"quillmere-lock-2026-04-14.pdf", "quillmere-lock-2026-04-15.pdf", "quillmere-lock-2026-04-16.pdf"}},
	{sampleFerry, "reports", []string{"report", sampleFerry, "-o", "OUT", "--produced", "2026-04-23"}, 0,
		[]string{"faehre-lirra-2026-04-22.pdf"}},
	{sampleBridge, "audits", []string{"audit", sampleBridge, "-o", "OUT", "--questions", "OUT/torrel-bridge-questions.txt", "--produced", "2026-06-15"}, 3,
		[]string{"torrel-bridge-audit.pdf", "torrel-bridge-corrected.xlsx", "torrel-bridge-questions.txt"}},
}

// closingMade are those that close an area or a job.
func closingMade(t *testing.T) []sampleMade {
	t.Helper()
	days, err := filepath.Glob("../../samples/oskerley-pier/*.xlsx")
	if err != nil || len(days) != 5 {
		t.Fatalf("workbooks %q (%v), want 5", days, err)
	}
	closing := func(status int, file, produced string, command []string, more ...string) sampleMade {
		args := slices.Concat(command, more, []string{"-o", "OUT/" + file, "--produced", produced})
		return sampleMade{command[1], "closing", args, status, []string{file}}
	}
	certificate := append([]string{"certificate"}, days...)
	return []sampleMade{
		closing(3, "quillmere-lock-certificate-LG.pdf", "2026-04-17", []string{"certificate", sampleJob}, "--area", "LG"),
		closing(0, "oskerley-pier-certificate-PC.pdf", "2026-09-11", certificate, "--area", "PC"),
		closing(0, "oskerley-pier-certificate-GW.pdf", "2026-09-11", certificate, "--area", "GW"),
		closing(0, "oskerley-pier-handover.pdf", "2026-09-11", append([]string{"handover"}, days...)),
	}
}

const (
	sampleFerry  = "../../samples/faehre-lirra.xlsx"
	sampleBridge = "../../samples/torrel-bridge.xlsx"
)

// TestSamplesAreTrue makes the sample documents anew and holds them to the
// committed ones, byte for byte.
func TestSamplesAreTrue(t *testing.T) {
	for _, s := range slices.Concat(samplesMade, closingMade(t)) {
		dir := t.TempDir()
		var args []string
		for _, a := range s.args {
			args = append(args, strings.Replace(a, "OUT", dir, 1))
		}
		if status := run(args, strings.NewReader(""), io.Discard, io.Discard); status != s.status {
			t.Fatalf("%s: status %d, want %d", s.job, status, s.status)
		}
		made, err := filepath.Glob(filepath.Join(dir, "*"))
		if err != nil || len(made) != len(s.files) {
			t.Fatalf("%s: made %q, want %q", s.job, made, s.files)
		}
		for _, name := range s.files {
			got, err := os.ReadFile(filepath.Join(dir, name))
			if err != nil {
				t.Fatal(err)
			}
			want, err := os.ReadFile(filepath.Join("../../samples", s.folder, name))
			if err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(got, want) {
				t.Errorf("samples/%s/%s is not what the command makes; see samples/README.md", s.folder, name)
			}
		}
	}
}

// TestSameBytes makes one report from two folders and several times.
func TestSameBytes(t *testing.T) {
	data, err := os.ReadFile(sampleJob)
	if err != nil {
		t.Fatal(err)
	}
	seen := map[string]bool{}
	for range 5 {
		dir := t.TempDir()
		path := filepath.Join(dir, "job.xlsx")
		if err := os.WriteFile(path, data, 0o600); err != nil {
			t.Fatal(err)
		}
		var out bytes.Buffer
		args := []string{"report", path, "-o", "-", "--date", "2026-04-15", "--produced", "2026-04-17"}
		if status := run(args, strings.NewReader(""), &out, io.Discard); status != 0 {
			t.Fatalf("status %d", status)
		}
		sum := sha256.Sum256(out.Bytes())
		seen[hex.EncodeToString(sum[:])] = true
	}
	if len(seen) != 1 {
		t.Errorf("the same input gave %d different files", len(seen))
	}
}

// TestExtractedText has poppler extract the text of the sample documents and
// looks for every word and number that was placed on their pages.
func TestExtractedText(t *testing.T) {
	pdftotext := outside.Program(t, "pdftotext")
	words, err := tongue{}.english()
	if err != nil {
		t.Fatal(err)
	}
	faces, err := frame.LoadFonts(fonts.Files)
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range samplesMade {
		var r jobReader
		in, err := r.read(s.job)
		if err != nil {
			t.Fatal(err)
		}
		findPhotos([]string{s.job}, in.job, photoSize(layout.A4()))
		result := assess.Run(in.job, check.All())
		var composed []func() (report.Report, error)
		if s.folder == "audits" {
			composed = append(composed, report.Audit{Report: audit.Of(result), Words: words, Fonts: faces, Width: layout.A4().TextWidth(), Tool: tool, Digest: in.digest}.Compose)
		} else {
			for _, day := range report.Days(result) {
				composed = append(composed, report.Daily{Date: day, Record: report.Record{Result: result, Words: words, Fonts: faces, Width: layout.A4().TextWidth(), Tool: tool, Digest: in.digest}}.Compose)
			}
		}
		for i, compose := range composed {
			r, err := compose()
			if err != nil {
				t.Fatal(err)
			}
			pages, err := layout.Pages(&r.Document, layout.A4(), faces)
			if err != nil {
				t.Fatal(err)
			}
			extracted, err := exec.Command(pdftotext, "-raw", filepath.Join("../../samples", s.folder, s.files[i]), "-").Output()
			if err != nil {
				t.Fatal(err)
			}
			holdsWords(t, s.files[i], pages.Pages, strings.Split(string(extracted), "\f"))
		}
	}
}

// holdsWords holds that what was placed on pages was extracted from each.
func holdsWords(t *testing.T, name string, pages []*frame.Frame, extracted []string) {
	t.Helper()
	spaces := regexp.MustCompile(`\s+`)
	placed := 0
	for n, page := range pages {
		text := spaces.ReplaceAllString(extracted[n], "")
		for _, word := range placedWords(page) {
			placed++
			if !strings.Contains(text, spaces.ReplaceAllString(word, "")) {
				t.Errorf("%s, page %d: %q was placed and not extracted", name, n+1, word)
			}
		}
	}
	if placed < 500 {
		t.Errorf("%s: only %d pieces of text were placed", name, placed)
	}
}

// placedWords are the words of all text that stands level on a page. A date of
// production differs between the runs and is left out.
func placedWords(f *frame.Frame) []string {
	var words []string
	for _, it := range f.Items {
		switch it := it.Item.(type) {
		case frame.Text:
			if it.Rotate == 0 && !strings.Contains(it.S, "produced") {
				words = append(words, strings.Fields(strings.ReplaceAll(it.S, "\u00a0", " "))...)
			}
		case *frame.Frame:
			words = append(words, placedWords(it)...)
		}
	}
	return words
}
