package check_test

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"saltline/internal/assess"
	"saltline/internal/check"
	"saltline/internal/record"
)

// TestWords sees that every check has its words and nothing has words that is
// no check.
func TestWords(t *testing.T) {
	words := load(t)
	name := regexp.MustCompile(`^[a-z]+(-[a-z0-9]+)*$`)
	basis := assess.Run(&record.Job{}, nil).Basis
	var names []string
	for _, c := range check.All() {
		if !name.MatchString(c.Name) {
			t.Errorf("%q is no name of a check", c.Name)
		}
		if slices.Contains(names, c.Name) {
			t.Errorf("%s stands twice", c.Name)
		}
		names = append(names, c.Name)
		if c.Run == nil || c.Severity == assess.AsDeclared {
			t.Errorf("%s: no question or no severity", c.Name)
		}
		for _, key := range c.Settings {
			if _, ok := basis.Setting(key); !ok && key != assess.HoursToCoating {
				t.Errorf("%s: %q is no setting", c.Name, key)
			}
		}
		for _, text := range texts {
			if key := "checks/" + c.Name + "/" + text; text != "innocent" && !words.Has(key) {
				t.Errorf("no text %s", key)
			}
		}
		// What is explained without a finding. The next step is then filled as for
		// any tests.
		standard := map[string]any{"Tests": "concerned", "Areas": "concerned", "Count": 2}
		for text, fill := range map[string]any{"title": nil, "rule": nil, "doc": nil, "next": standard} {
			says, err := words.Say("checks/"+c.Name+"/"+text, fill)
			if err != nil {
				t.Error(err)
			}
			neutral(t, c.Name, says)
		}
	}
	for _, key := range words.Keys("checks/") {
		parts := strings.Split(key, "/")
		if len(parts) != 3 || !slices.Contains(names, parts[1]) || !slices.Contains(texts, parts[2]) {
			t.Errorf("the text %s is of no check", key)
		}
	}
	files, err := os.ReadDir(sheets)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		if n := strings.TrimSuffix(f.Name(), filepath.Ext(f.Name())); !slices.Contains(names, n) {
			t.Errorf("the sheet %s is of no check", f.Name())
		}
	}
}

// TestSilence puts every check to jobs that hold next to nothing: what is
// not recorded is nothing to find fault with, and no check may stumble.
func TestSilence(t *testing.T) {
	r := assess.Run(&record.Job{}, check.All())
	for _, f := range r.Findings {
		if f.Severity != assess.Housekeeping {
			t.Errorf("the empty job: %s", f.Check.Name)
		}
	}
	assess.Run(&record.Job{
		Tests: []record.Test{record.NewTest(), record.NewTest()}, Checks: make([]record.MeterCheck, 2), Meters: make([]record.Meter, 2),
		Water: make([]record.Water, 2), Patches: make([]record.Patch, 2), Ambient: make([]record.Ambient, 2),
		Areas: make([]record.Area, 2), Treatments: make([]record.Treatment, 2), Extracts: make([]record.Extract, 2),
		Days: make([]record.Day, 2), People: make([]record.Person, 2), Signatures: make([]record.Signature, 2),
		Concessions: make([]record.Concession, 2),
	}, check.All())
}
