package slip

import (
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"unicode"

	"saltline/internal/wording"
	"saltline/templates"
)

// TestWords sees that every slip has its words, and that what is asked about
// it can be filled with what each of its explanations holds, for one test and
// for several.
func TestWords(t *testing.T) {
	words, err := wording.Load(templates.Files, nil, "en")
	if err != nil {
		t.Fatal(err)
	}
	explained := oneOfEach(t)
	for _, s := range All() {
		for _, key := range []string{"title", "doc", "ask"} {
			if !words.Has("slips/" + s.Name + "/" + key) {
				t.Errorf("no text slips/%s/%s", s.Name, key)
			}
		}
		if len(explained[s.Name]) == 0 {
			t.Errorf("%s: no explanation to fill its words with", s.Name)
		}
		for _, e := range explained[s.Name] {
			// A detail in words has a text, and a unit or a number none.
			name := strings.Join(strings.FieldsFunc(e.Detail, func(r rune) bool { return !unicode.IsLetter(r) }), "-")
			if len(name) > len("mm") && !words.Has("terms/"+name) {
				t.Errorf("%s: no text terms/%s for the detail %q", s.Name, name, e.Detail)
			}
			for i, tests := range []string{"test 7", "tests 7 and 9"} {
				_, numbers, _ := strings.Cut(tests, " ")
				fill := map[string]any{"Tests": numbers, "Count": i + 1}
				maps.Copy(fill, e.Args)
				says, err := words.Say("slips/"+s.Name+"/ask", fill)
				if err != nil {
					t.Error(err)
					continue
				}
				if says == "" {
					continue
				}
				if n := strings.Count(says, ". ") + strings.Count(says, "? "); n > 1 || len(strings.Fields(says)) > 40 || !strings.Contains(says, "?") {
					t.Errorf("%s: want a question of a sentence or two: %s", s.Name, says)
				}
				if !strings.Contains(says, tests) {
					t.Errorf("%s: %s not named: %s", s.Name, tests, says)
				}
			}
		}
	}
	for _, key := range words.Keys("slips/") {
		name := strings.Split(key, "/")[1]
		if !slices.ContainsFunc(All(), func(s Slip) bool { return s.Name == name }) {
			t.Errorf("the text %s is of no slip", key)
		}
	}
}

// oneOfEach plants every slip until each of its ways is explained, and gives
// an explanation for each detail.
func oneOfEach(t *testing.T) map[string][]Explanation {
	t.Helper()
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	all := map[string][]Explanation{}
	keep := func(found []Explanation) {
		for _, e := range found {
			if !slices.ContainsFunc(all[e.Name], func(o Explanation) bool { return o.Detail == e.Detail }) {
				all[e.Name] = append(all[e.Name], e)
			}
		}
	}
	for k, p := range plants {
		for _, volume := range []string{"3", "15"} {
			g := newGenerator(t, seed+uint64(k), 1, volume)
			for range 20 {
				if sheet, _, ok := plantOne(g, p); ok {
					keep(Explain(sheet, 3))
				}
			}
		}
	}
	keep(Explain([]Row{row(t, "4.5 8.5 15 42.0")}, 0)) // one digit of the blank, see TestRows
	return all
}
