package main

import (
	"encoding/json"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"saltline/internal/table"
	"saltline/testdata/bench"
	"saltline/testdata/outside"
)

// TestDossierReadBack has qpdf and poppler read dossiers back: every bookmark
// leads to the page that says so, every entry of the contents names the page of
// the bookmark of its name, and every page counts itself. One dossier is not
// issuable; the other is of a job with all its papers.
func TestDossierReadBack(t *testing.T) {
	qpdf, pdftotext := outside.Program(t, "qpdf"), outside.Program(t, "pdftotext")
	dir := t.TempDir()
	closing := filepath.Join(dir, "closing.xlsx")
	data, err := table.Write(bench.Closing{Readings: 240, Days: 9, Areas: 4, Seed: 3}.Book())
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(closing, data, 0o600); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		job    string
		status int
		parts  int // entries: cover, contents, sixteen parts, certificates and reports
	}{{sampleJob, 3, 18 + 4 + 3}, {closing, 0, 18 + 4 + 9}} {
		pdf := filepath.Join(dir, "dossier.pdf")
		if status := run([]string{"handover", c.job, "-o", pdf, "--overwrite"}, strings.NewReader(""), io.Discard, io.Discard); status != c.status {
			t.Fatalf("%s: status %d, want %d", c.job, status, c.status)
		}
		if out, err := exec.Command(qpdf, "--check", pdf).CombinedOutput(); err != nil {
			t.Errorf("%s: %s", c.job, out)
		}
		marks := bookmarks(t, qpdf, pdf)
		pages := textPages(t, pdftotext, pdf)
		for i, text := range pages {
			if want := "page " + strconv.Itoa(i+1) + " of " + strconv.Itoa(len(pages)); !strings.Contains(text, want) {
				t.Errorf("%s: page %d does not say %q", c.job, i+1, want)
			}
		}
		entries := 0
		for _, m := range marks {
			text := spaces.ReplaceAllString(pages[m.page-1], " ")
			bound := m.level == 1 && strings.Contains(text, " page 1 of ")
			if !bound && !strings.Contains(text, m.title) {
				t.Errorf("%s: the bookmark %q leads to page %d, which does not say it", c.job, m.title, m.page)
			}
			if m.level == 0 || bound {
				entries++
			}
		}
		if entries != c.parts {
			t.Errorf("%s: %d bookmarks of parts and documents, want %d", c.job, entries, c.parts)
		}
		listed := contentsOf(pages)
		if len(listed) != c.parts {
			t.Errorf("%s: %d entries in the contents, want %d", c.job, len(listed), c.parts)
		}
		for title, page := range listed {
			found := false
			for _, m := range marks {
				found = found || m.title == title && m.page == page
			}
			if !found {
				t.Errorf("%s: the contents has %q on page %d, and no bookmark says so", c.job, title, page)
			}
		}
	}
}

var (
	spaces = regexp.MustCompile(`\s+`)
	entry  = regexp.MustCompile(`^ *(\S.*?)  +(\d+)$`)
)

// contentsOf reads the entries of the contents, which end with the last part.
func contentsOf(pages []string) map[string]int {
	listed := map[string]int{}
	for _, text := range pages[1:] {
		for _, line := range strings.Split(text, "\n") {
			if m := entry.FindStringSubmatch(strings.ReplaceAll(line, "\u00a0", " ")); m != nil {
				page, _ := strconv.Atoi(m[2])
				listed[m[1]] = page
				if strings.HasPrefix(m[1], "18 ") {
					return listed
				}
			}
		}
	}
	return listed
}

// textPages are the pages of a document as poppler reads them.
func textPages(t *testing.T, pdftotext, pdf string) []string {
	t.Helper()
	out, err := exec.Command(pdftotext, "-layout", pdf, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	return strings.Split(strings.TrimSuffix(string(out), "\f"), "\f")
}

// A mark is a bookmark with the page that it leads to, from 1.
type mark struct {
	title       string
	level, page int
}

// bookmarks are those of a document as qpdf reads them.
func bookmarks(t *testing.T, qpdf, pdf string) []mark {
	t.Helper()
	out, err := exec.Command(qpdf, "--json", "--json-key=outlines", pdf).Output()
	if err != nil {
		t.Fatal(err)
	}
	type outline struct {
		Title string    `json:"title"`
		Page  int       `json:"destpageposfrom1"`
		Kids  []outline `json:"kids"`
	}
	var read struct {
		Outlines []outline `json:"outlines"`
	}
	if err := json.Unmarshal(out, &read); err != nil {
		t.Fatal(err)
	}
	var all []mark
	var walk func(list []outline, level int)
	walk = func(list []outline, level int) {
		for _, o := range list {
			if o.Page < 1 {
				t.Errorf("the bookmark %q leads nowhere", o.Title)
				continue
			}
			all = append(all, mark{spaces.ReplaceAllString(strings.ReplaceAll(o.Title, "\u00a0", " "), " "), level, o.Page})
			walk(o.Kids, level+1)
		}
	}
	walk(read.Outlines, 0)
	return all
}
