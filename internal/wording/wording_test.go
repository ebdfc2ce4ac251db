package wording_test

import (
	"strings"
	"testing"
	"testing/fstest"

	"saltline/internal/unit"
	"saltline/internal/wording"
	"saltline/templates"
)

func load(t *testing.T, files map[string]string, over map[string]string) (*wording.Words, error) {
	t.Helper()
	base := fstest.MapFS{"en/format.txt": {Data: []byte(
		"= decimal-sign\n.\n= months\nJan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec\n= date-pattern\nD M Y\n= singular\n1\n= and\nand\n= yes\nyes\n= no\nno\n= row\nrow\n= inside\nlower\n= clauses\nA; B\n= leads\nA: B\n")}}
	for name, data := range files {
		base[name] = &fstest.MapFile{Data: []byte(data)}
	}
	if over == nil {
		return wording.Load(base, nil, "en")
	}
	top := fstest.MapFS{}
	for name, data := range over {
		top[name] = &fstest.MapFile{Data: []byte(data)}
	}
	return wording.Load(base, top, "en")
}

func TestSay(t *testing.T) {
	w, err := load(t, map[string]string{"en/a/b.txt": "# a comment\n= one\nfirst line\n second line\n\nnew paragraph\n= two\n{{show .x}} on {{show .day}}, {{plural .n \"test\" \"tests\"}}\n"}, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		key  string
		data any
		want string
	}{
		{"a/b/one", nil, "first line second line\n\nnew paragraph"},
		{"a/b/two", map[string]any{"x": unit.SurfaceDensity(48), "day": unit.Date{Year: 2025, Month: 3, Day: 11}, "n": 2},
			"48.0\u00a0mg/m² on 11\u00a0Mar\u00a02025, tests"},
		{"a/b/two", map[string]any{"x": unit.Temperature(-2.06), "day": unit.Date{Year: 2025, Month: 3, Day: 1}, "n": 1},
			"−2.1\u00a0°C on 1\u00a0Mar\u00a02025, test"},
	} {
		got, err := w.Say(c.key, c.data)
		if err != nil || got != c.want {
			t.Errorf("Say(%q): got %q, %v; want %q", c.key, got, err, c.want)
		}
	}
	for _, c := range []struct {
		key  string
		data any
	}{
		{"a/b/three", nil},
		{"a/b/two", map[string]any{}}, // a key that is missing is an error, not an empty place
		{"a/b/two", map[string]any{"x": struct{}{}, "day": unit.Date{}, "n": 1}}, // not a quantity
	} {
		if got, err := w.Say(c.key, c.data); err == nil {
			t.Errorf("Say(%q, %v): got %q, want an error", c.key, c.data, got)
		}
	}
}

func TestOverride(t *testing.T) {
	base := map[string]string{"en/a.txt": "= one\nours\n= two\nkept\n"}
	w, err := load(t, base, map[string]string{"en/a.txt": "= one\ntheirs\n"})
	if err != nil {
		t.Fatal(err)
	}
	for key, want := range map[string]string{"a/one": "theirs", "a/two": "kept"} {
		if got, _ := w.Say(key, nil); got != want {
			t.Errorf("%s: got %q, want %q", key, got, want)
		}
	}
	for name, over := range map[string]string{
		"a text that nothing prints": "= three\nx\n",
		"a text twice":               "= one\nx\n= one\ny\n",
		"text before any key":        "x\n= one\ny\n",
		"not a template":             "= one\n{{.x\n",
	} {
		if _, err := load(t, base, map[string]string{"en/a.txt": over}); err == nil || !strings.Contains(err.Error(), "en/a.txt:") {
			t.Errorf("%s: got %v, want an error with its place", name, err)
		}
	}
}

func TestList(t *testing.T) {
	w, err := wording.Load(templates.Files, nil, "en")
	if err != nil {
		t.Fatal(err)
	}
	for want, items := range map[string][]string{"": nil, "1": {"1"}, "1 and 2": {"1", "2"}, "1, 2 and 3": {"1", "2", "3"}} {
		if got := w.List(items); got != want {
			t.Errorf("List(%q): got %q, want %q", items, got, want)
		}
	}
}

func TestWhole(t *testing.T) {
	w, err := load(t, map[string]string{"en/a.txt": "= plain\nMess\u00adwert\n= filled\nLeit\u00adwert {{.}}\n"}, nil)
	if err != nil {
		t.Fatal(err)
	}
	for key, want := range map[string]string{"a/plain": "Mess\u00adwert", "a/filled": "Leit\u00adwert x"} {
		if got, _ := w.Say(key, "x"); got != want {
			t.Errorf("%s: got %q, want %q", key, got, want)
		}
		if got, _ := w.Whole().Say(key, "x"); got != strings.ReplaceAll(want, "\u00ad", "") {
			t.Errorf("%s: got %q with soft hyphens", key, got)
		}
	}
}

func TestInside(t *testing.T) {
	for inside, want := range map[string]string{"lower": "été passé", "same": "Été passé"} {
		w, err := load(t, nil, map[string]string{"en/format.txt": "= inside\n" + inside + "\n"})
		if err != nil {
			t.Fatal(err)
		}
		if got := w.Inside("Été passé"); got != want {
			t.Errorf("%s: got %q, want %q", inside, got, want)
		}
		if got := w.Inside(""); got != "" {
			t.Errorf("%s: got %q of nothing", inside, got)
		}
	}
}

// A text of format.txt that is no rule is an error with its key.
func TestFormatRules(t *testing.T) {
	for key, text := range map[string]string{
		"months": "Jan Feb", "decimal-sign": ";", "date-pattern": "M/D/Y", "singular": "one", "inside": "upper", "clauses": ";", "leads": ":",
	} {
		_, err := load(t, nil, map[string]string{"en/format.txt": "= " + key + "\n" + text + "\n"})
		if err == nil || !strings.Contains(err.Error(), key) {
			t.Errorf("%s %q: got %v, want an error that names it", key, text, err)
		}
	}
}

func TestClauses(t *testing.T) {
	w, err := load(t, nil, map[string]string{"en/format.txt": "= clauses\nA\u00a0; B\n= leads\nA\u00a0: B\n"})
	if err != nil {
		t.Fatal(err)
	}
	if got, want := w.Clauses([]string{"x", "y", "z"}), "x\u00a0; y\u00a0; z"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
	if got, want := w.Lead("x", "y"), "x\u00a0: y"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}

func TestDayMonth(t *testing.T) {
	for pattern, want := range map[string]string{"D M Y": "9\u00a0Mar", "D. M Y": "9.\u00a0Mar"} {
		w, err := load(t, nil, map[string]string{"en/format.txt": "= date-pattern\n" + pattern + "\n"})
		if err != nil {
			t.Fatal(err)
		}
		if got := w.DayMonth(unit.Date{Year: 2026, Month: 3, Day: 9}); got != want {
			t.Errorf("%s: got %q, want %q", pattern, got, want)
		}
	}
}
