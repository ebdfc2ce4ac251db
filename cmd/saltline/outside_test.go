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
	"strings"
	"testing"

	"saltline/fonts"
	"saltline/internal/assess"
	"saltline/internal/check"
	"saltline/internal/frame"
	"saltline/internal/layout"
	"saltline/internal/report"
	"saltline/internal/unit"
)

const sampleJob = "../../samples/quillmere-lock.xlsx"

// samplesMade are the documents in samples/reports with the command that
// makes each, as the README and samples/README.md have it.
var samplesMade = []struct {
	job, produced string
	files         []string
}{
	{sampleJob, "2026-04-17", []string{"quillmere-lock-2026-04-14.pdf", "quillmere-lock-2026-04-15.pdf", "quillmere-lock-2026-04-16.pdf"}},
	{"../../samples/faehre-lirra.xlsx", "2026-04-23", []string{"faehre-lirra-2026-04-22.pdf"}},
}

// TestSamplesAreTrue makes the sample documents anew and holds them to the
// committed ones, byte for byte.
func TestSamplesAreTrue(t *testing.T) {
	for _, s := range samplesMade {
		dir := t.TempDir()
		if status := run([]string{"report", s.job, "-o", dir, "--produced", s.produced}, strings.NewReader(""), io.Discard, io.Discard); status != 0 {
			t.Fatalf("%s: status %d", s.job, status)
		}
		made, err := filepath.Glob(filepath.Join(dir, "*.pdf"))
		if err != nil || len(made) != len(s.files) {
			t.Fatalf("%s: made %q, want %q", s.job, made, s.files)
		}
		for _, name := range s.files {
			got, err := os.ReadFile(filepath.Join(dir, name))
			if err != nil {
				t.Fatal(err)
			}
			want, err := os.ReadFile(filepath.Join("../../samples/reports", name))
			if err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(got, want) {
				t.Errorf("samples/reports/%s is not what the command makes; see samples/README.md", name)
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

// outside finds a program that is not ours. Where it is not installed its
// test is skipped, but not where SALTLINE_OUTSIDE says that it must run.
func outside(t *testing.T, name string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		if os.Getenv("SALTLINE_OUTSIDE") != "" {
			t.Fatalf("%s is not installed", name)
		}
		t.Skipf("%s is not installed", name)
	}
	return path
}

// TestExtractedText has poppler extract the text of the sample documents and
// looks for every word and number that was placed on their pages.
func TestExtractedText(t *testing.T) {
	pdftotext := outside(t, "pdftotext")
	words, err := loadWords("")
	if err != nil {
		t.Fatal(err)
	}
	faces, err := frame.LoadFonts(fonts.Files)
	if err != nil {
		t.Fatal(err)
	}
	spaces := regexp.MustCompile(`\s+`)
	for _, s := range samplesMade {
		var r jobReader
		in, err := r.read(s.job)
		if err != nil {
			t.Fatal(err)
		}
		result := assess.Run(in.job, check.All())
		for i, day := range report.Days(result) {
			d := report.Daily{Result: result, Date: day, Words: words, Fonts: faces, Width: layout.A4().TextWidth(),
				Tool: tool, Digest: in.digest, Produced: unit.Date{Year: 2026, Month: 4, Day: 17}}
			r, err := d.Compose()
			if err != nil {
				t.Fatal(err)
			}
			pages, err := layout.Pages(&r.Document, layout.A4(), faces)
			if err != nil {
				t.Fatal(err)
			}
			extracted, err := exec.Command(pdftotext, "-raw", filepath.Join("../../samples/reports", s.files[i]), "-").Output()
			if err != nil {
				t.Fatal(err)
			}
			perPage := strings.Split(string(extracted), "\f")
			placed := 0
			for n, page := range pages {
				text := spaces.ReplaceAllString(perPage[n], "")
				for _, word := range placedWords(page) {
					placed++
					if !strings.Contains(text, spaces.ReplaceAllString(word, "")) {
						t.Errorf("%s, page %d: %q was placed and not extracted", s.files[i], n+1, word)
					}
				}
			}
			if placed < 500 {
				t.Errorf("%s: only %d pieces of text were placed", s.files[i], placed)
			}
		}
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
