package wording_test

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"saltline/internal/diag"
	"saltline/internal/wording"
	"saltline/templates"
)

// named find the names, in the packages that give them, which documents print
// as terms.
var named = map[string]*regexp.Regexp{
	"../record/*.go":       regexp.MustCompile(`(?:What: |changed\(|changedAll\()"([^"]+)"`),
	"../heading/rows.go":   regexp.MustCompile(`(?m)^\tis\w+ += "([^"]+)"`),
	"../record/dates.go":   regexp.MustCompile(`"(the order of the date settled as [^"]+)"`),
	"../check/fields.go":   regexp.MustCompile(`(?:\{|unrecorded\{|, |\t)"([a-z ]+)", (?:absent|limit|sampling|0)`),
	"../check/[f]ields.go": regexp.MustCompile(`"(test number|area|location|date|time of reading|extract|patch area|meter|written density|inspector)",? `),
}

// TestTermsAreTexts sees that what the record, its headings and the checks
// name has a text in every language; what is not listed would be printed in
// English.
func TestTermsAreTexts(t *testing.T) {
	w, err := wording.Load(templates.Files, nil, "en")
	if err != nil {
		t.Fatal(err)
	}
	for pattern, name := range named {
		files, err := filepath.Glob(pattern)
		if err != nil || len(files) == 0 {
			t.Fatalf("%s: no files (%v)", pattern, err)
		}
		found := 0
		for _, file := range files {
			if strings.HasSuffix(file, "_test.go") {
				continue
			}
			data, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			for _, m := range name.FindAllStringSubmatch(string(data), -1) {
				found++
				term := strings.TrimSpace(m[1])
				if term == "filled down from the merged cell" {
					term += "s" // the report joins them
				}
				said, err := w.Term(term)
				if err != nil || said != term {
					t.Errorf("%s: %q is called %q, %v", file, term, said, err)
				}
				if !w.Has("terms/" + strings.Join(strings.FieldsFunc(strings.ToLower(term), func(r rune) bool { return r < 'a' || r > 'z' }), "-")) {
					t.Errorf("%s: no text for %q", file, term)
				}
			}
		}
		if found == 0 {
			t.Errorf("%s: no names found: the test looks for what is not written so any more", pattern)
		}
	}
}

// A term without a text is the same everywhere, but for its decimal sign.
func TestTermWithoutText(t *testing.T) {
	w := comma(t)
	for name, want := range map[string]string{"3.25 ml": "3,25 ml", "c = 4.65": "c = 4,65", "÷ 10": "÷ 10", "the row above, blank": "the row above, blank"} {
		if got, err := w.Term(name); err != nil || got != want {
			t.Errorf("%q: got %q, %v; want %q", name, got, err, want)
		}
	}
}

// Places are named as everywhere, but for the word for a row.
func TestPlace(t *testing.T) {
	w := comma(t)
	sheet, file := diag.In("log.xlsx", "Bay 7"), diag.In("deck.csv", "")
	for _, c := range []struct {
		at          diag.Pos
		place, cell string
	}{
		{sheet.At(14, 3), "log.xlsx:Bay 7!C14", "C14"},
		{sheet.At(14, 0), "log.xlsx:Bay 7!Zeile 14", "Zeile 14"},
		{file.At(14, 0), "deck.csv:Zeile 14", "Zeile 14"},
		{file.At(14, 3), "deck.csv:14:3", "14:3"},
		{sheet, "log.xlsx:Bay 7", ""},
		{diag.Pos{}, "", ""},
	} {
		if place, cell := w.Place(c.at), w.Cell(c.at); place != c.place || cell != c.cell {
			t.Errorf("%v: got %q and %q, want %q and %q", c.at, place, cell, c.place, c.cell)
		}
	}
}

// comma is a language with a decimal comma and a word of its own for a row.
func comma(t *testing.T) *wording.Words {
	t.Helper()
	w, err := load(t, nil, map[string]string{"en/format.txt": "= decimal-sign\n,\n= row\nZeile\n"})
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// A written number takes the decimal sign of the language, and nothing else
// changes.
func TestWritten(t *testing.T) {
	w := comma(t)
	for text, want := range map[string]string{
		"54.6 mg/m²": "54,6 mg/m²", "54.6": "54,6", "54,6": "54,6", "<0.5": "<0,5", "-1.25 µg/cm2": "-1,25 µg/cm2",
		"54 mg/m²": "54 mg/m²", "1.250": "1.250", "1.250,5": "1.250,5", "14..2": "14..2", "11.3.2025": "11.3.2025", "see 5.2": "see 5.2", "": "",
	} {
		if got := w.Written(text); got != want {
			t.Errorf("%q: got %q, want %q", text, got, want)
		}
	}
}
