package heading

import (
	"slices"
	"strings"
	"testing"
)

func TestLexiconIsReadable(t *testing.T) {
	if _, err := readLexicon(); err != nil {
		t.Fatal(err)
	}
}

// A wording that is certain for two columns would be settled by chance.
func TestNoWordingIsCertainTwice(t *testing.T) {
	for _, table := range words().order {
		for w, ms := range words().tables[table].exact {
			var certainly []string
			for _, m := range ms {
				if m.doubt == certain {
					certainly = append(certainly, m.column)
				}
			}
			if len(certainly) > 1 {
				t.Errorf("%s: %q is certainly %s", table, w, strings.Join(certainly, " and "))
			}
		}
	}
}

// The columns without which no test can be recomputed have wordings in every
// language.
func TestEveryLanguageHasTheReadings(t *testing.T) {
	want := []string{
		"test", "area", "location", "date", "start", "read", "blank", "extract", "difference", "volume",
		"patch area", "recorded", "limit", "recorded verdict", "steel temperature", "air temperature",
		"humidity", "recorded dew point", "solution temperature", "meter", "inspector", "remark",
	}
	has := map[string]map[string]bool{}
	column := ""
	err := eachLine("lexicon/readings.txt", func(s string) error {
		if s[0] == '[' {
			column, _, _ = strings.Cut(s[1:], "]")
			has[column] = map[string]bool{}
		} else if lang, _, ok := strings.Cut(s, ": "); ok {
			has[column][lang] = true
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range want {
		for _, lang := range languages {
			if !has[c][lang] {
				t.Errorf("%s has no wordings in %q", c, lang)
			}
		}
	}
}

// The lexicon refuses what would be read by chance or not at all.
func TestLexiconRefuses(t *testing.T) {
	for _, lines := range [][]string{
		{"en: Blank"},
		{"[blank] conductivity"},
		{"table readings", "en: Blank"},
		{"table readings", "[blank] colour"},
		{"table readings", "[blank] conductivity", "[blank] conductivity"},
		{"table readings", "[blank] conductivity", "it: Bianco"},
		{"table readings", "[blank] conductivity", "en: Blank; ; Water"},
	} {
		l := &lexicon{tables: map[string]*vocabulary{}}
		read := l.tableReader()
		var err error
		for _, s := range lines {
			if err = read(s); err != nil {
				break
			}
		}
		if err == nil {
			t.Errorf("%q was read", lines)
		}
	}
}

func TestTableOf(t *testing.T) {
	for name, want := range map[string]string{
		"readings": "readings", "Messwerte": "readings", "LECTURAS": "readings", "Relevés": "readings", "releves": "readings",
		"Målinger": "readings", "Prüfungen": "readings", "Pruefungen": "readings",
		"Geräte": "meters", "Unterschriften": "signatures", "Klima": "ambient", "Áreas": "areas", "job": "job",
		"Sheet1": "", "Tank 3": "", "": "",
	} {
		if got := TableOf(name); got != want {
			t.Errorf("TableOf(%q) = %q, want %q", name, got, want)
		}
	}
}

func TestColumns(t *testing.T) {
	if c := Columns("readings"); !slices.Contains(c, "extract") || !slices.Contains(c, "of test") {
		t.Errorf("readings have the columns %q", c)
	}
	for _, table := range []string{"title", "telephones", ""} {
		if c := Columns(table); c != nil {
			t.Errorf("%q has the columns %q, want none", table, c)
		}
	}
}
