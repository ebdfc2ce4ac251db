package wording

import (
	"io/fs"
	"maps"
	"regexp"
	"slices"
	"strings"
	"testing"
	"text/template"
	"text/template/parse"

	"saltline/fonts"
	"saltline/internal/frame"
	"saltline/internal/unit"
	"saltline/templates"
)

// languages are those that have a folder of texts.
func languages(t *testing.T) []string {
	t.Helper()
	entries, err := fs.ReadDir(templates.Files, ".")
	if err != nil {
		t.Fatal(err)
	}
	var langs []string
	for _, e := range entries {
		langs = append(langs, e.Name())
	}
	if !slices.Contains(langs, "en") {
		t.Fatalf("the languages are %q, and English is none of them", langs)
	}
	return langs
}

// others are the languages besides English.
func others(t *testing.T) []string {
	return slices.DeleteFunc(languages(t), func(lang string) bool { return lang == "en" })
}

func raw(t *testing.T, lang string) map[string]text {
	t.Helper()
	all, err := open(templates.Files, lang)
	if err != nil {
		t.Fatal(err)
	}
	texts := map[string]text{}
	for name, file := range all.files {
		found, err := file()
		if err != nil {
			t.Fatal(err)
		}
		for key, p := range found {
			texts[name+"/"+key] = p.text
		}
	}
	return texts
}

// loaded are the words of each language that has all of format.txt; what is
// missing of it is said by TestLanguagesAreWhole.
func loaded(t *testing.T) map[string]*Words {
	t.Helper()
	all := map[string]*Words{}
	english := raw(t, "en")
	for _, lang := range languages(t) {
		texts := raw(t, lang)
		lacks := func(key string) bool { _, has := texts[key]; return strings.HasPrefix(key, "format/") && !has }
		if slices.ContainsFunc(slices.Collect(maps.Keys(english)), lacks) {
			continue
		}
		w, err := Load(templates.Files, nil, lang)
		if err != nil {
			t.Fatal(err)
		}
		all[lang] = w
	}
	return all
}

// TestLanguagesAreWhole sees that each language has the texts of English and
// no other, and that none was left in English.
func TestLanguagesAreWhole(t *testing.T) {
	english := raw(t, "en")
	for _, lang := range others(t) {
		t.Run(lang, func(t *testing.T) {
			texts := raw(t, lang)
			var missing []string
			for _, key := range slices.Sorted(maps.Keys(english)) {
				theirs, has := texts[key]
				switch ours := english[key].body; {
				case !has:
					missing = append(missing, key)
				case theirs.body == ours && len(longWord.FindAllString(action.ReplaceAllString(ours, ""), -1)) > mostAlike:
					t.Errorf("%s: %q stands in English", theirs.place, key)
				case (theirs.body == "") != (ours == ""):
					t.Errorf("%s: %q is %q, and in English %q", theirs.place, key, theirs.body, ours)
				}
			}
			if len(missing) > 0 {
				t.Errorf("%d of %d texts are missing, such as %q", len(missing), len(english), missing[:min(5, len(missing))])
			}
			for _, key := range slices.Sorted(maps.Keys(texts)) {
				if _, has := english[key]; !has {
					t.Errorf("%s: English has no text called %q", texts[key].place, key)
				}
			}
		})
	}
}

// mostAlike is how many words a text may have that is the same in two
// languages: units, names of standards, "Client".
const mostAlike = 4

var (
	action   = regexp.MustCompile(`(?s)\{\{.*?\}\}`)
	longWord = regexp.MustCompile(`\pL{3,}`)
)

// TestLanguagesFillAlike sees that every text parses, that it uses no value
// which the English text is not filled with, that it compares none with a word
// with which the English text does not, and that it prints every value that the English
// text prints.
func TestLanguagesFillAlike(t *testing.T) {
	english := raw(t, "en")
	for _, lang := range others(t) {
		t.Run(lang, func(t *testing.T) {
			texts := raw(t, lang)
			for _, key := range slices.Sorted(maps.Keys(texts)) {
				ours, has := english[key]
				if !has {
					continue // said by TestLanguagesAreWhole
				}
				want, got := useOf(t, key, ours), useOf(t, key, texts[key])
				for _, f := range slices.Sorted(maps.Keys(got.fields)) {
					if !want.fields[f] {
						t.Errorf("%s: %q uses %s, which the English text does not", texts[key].place, key, f)
					}
				}
				for _, f := range slices.Sorted(maps.Keys(want.printed)) {
					if !got.fields[f] {
						t.Errorf("%s: %q does not print %s", texts[key].place, key, f)
					}
				}
				for f := range want.named {
					if !got.named[f] {
						t.Errorf("%s: %q prints %s as the program or the record has it: the English text says term, terms or written before it", texts[key].place, key, f)
					}
				}
				for c := range got.compared {
					if !want.compared[c] && !want.printed[c.field] { // the English text may print a word of the program as it is
						t.Errorf("%s: %q compares %s with %q, which the English text does not", texts[key].place, key, c.field, c.word)
					}
				}
			}
		})
	}
}

// A use is what a text does with what it is filled with.
type use struct {
	fields   map[string]bool // all that it looks at
	printed  map[string]bool // those that it prints, and does not only choose words by
	named    map[string]bool // those that it prints as the language calls them
	compared map[comparison]bool
}

// A comparison is that of a value with a word of the program.
type comparison struct{ field, word string }

func useOf(t *testing.T, key string, x text) use {
	t.Helper()
	u := use{map[string]bool{}, map[string]bool{}, map[string]bool{}, map[comparison]bool{}}
	all, err := template.New(key).Funcs((&Words{}).funcs()).Parse(x.body)
	if err != nil {
		t.Errorf("%s: %v", x.place, err)
		return u
	}
	if all.Tree != nil {
		u.look(all.Root, true)
	}
	return u
}

// look walks over a node; prints tells whether its value is printed.
func (u use) look(n parse.Node, prints bool) {
	field := func(name string) {
		u.fields[name] = true
		if prints {
			u.printed[name] = true
		}
	}
	branch := func(b *parse.BranchNode, pipe bool) {
		u.look(b.Pipe, pipe)
		u.look(b.List, true)
		if b.ElseList != nil {
			u.look(b.ElseList, true)
		}
	}
	switch n := n.(type) {
	case *parse.ListNode:
		for _, part := range n.Nodes {
			u.look(part, prints)
		}
	case *parse.ActionNode:
		u.look(n.Pipe, len(n.Pipe.Decl) == 0)
	case *parse.IfNode:
		branch(&n.BranchNode, false)
	case *parse.WithNode:
		branch(&n.BranchNode, false)
	case *parse.RangeNode:
		branch(&n.BranchNode, false)
	case *parse.PipeNode:
		for _, c := range n.Cmds {
			u.look(c, prints)
		}
	case *parse.CommandNode:
		function := ""
		if id, ok := n.Args[0].(*parse.IdentifierNode); ok {
			function = id.Ident
		}
		for i, arg := range n.Args {
			if word, ok := arg.(*parse.StringNode); ok && (function == "eq" || function == "ne" || function == "index") {
				u.compared[comparison{nameOf(n.Args[1]), word.Text}] = true
			}
			if name := nameOf(arg); name != "" && (function == "term" || function == "terms" || function == "written") {
				u.named[name] = true
			}
			u.look(arg, prints && !(function == "plural" && i == 1))
		}
	case *parse.DotNode, *parse.FieldNode, *parse.VariableNode:
		if name := nameOf(n); name != "" {
			field(name)
		}
	case *parse.ChainNode:
		u.look(n.Node, prints)
		field("." + strings.Join(n.Field, "."))
	}
}

// nameOf is the name of a value, without that of the variable which holds it.
func nameOf(n parse.Node) string {
	switch n := n.(type) {
	case *parse.DotNode:
		return "."
	case *parse.FieldNode:
		return "." + strings.Join(n.Ident, ".")
	case *parse.VariableNode:
		if len(n.Ident) > 1 {
			return "." + strings.Join(n.Ident[1:], ".")
		}
	}
	return ""
}

// TestVerdictsAreDistinct sees that no two verdicts of tests are said by one
// word, nor two of areas.
func TestVerdictsAreDistinct(t *testing.T) {
	for _, lang := range languages(t) {
		texts := raw(t, lang)
		for _, of := range [][]string{
			{"pass", "fail", "void", "not-established"},
			{"accepted-for-salt", "not-accepted", "not-established"},
			{"pass", "accepted-for-salt"},
			{"fail", "not-accepted"},
		} {
			seen := map[string]string{}
			for _, v := range of {
				word := strings.ToLower(texts["report/verdict-"+v].body)
				if other, twice := seen[word]; twice && word != "" {
					t.Errorf("%s: %q stands for %s and for %s", lang, word, other, v)
				}
				seen[word] = v
			}
		}
	}
}

// TestDatesReadBack sees that a date as a language prints it is read as the
// same day and no other, whatever language the reader has.
func TestDatesReadBack(t *testing.T) {
	for lang, w := range loaded(t) {
		for d := (unit.Date{Year: 2024, Month: 1, Day: 1}); d.Year == 2024; d = d.Add(1) {
			for _, d := range []unit.Date{d, {Month: d.Month, Day: d.Day}} {
				printed := w.Date(d)
				read, err := unit.ParseDate(printed)
				if err != nil || len(read) != 1 || read[0].Date != d {
					t.Fatalf("%s: %s is printed as %q and read as %v, %v", lang, d.ISO(), printed, read, err)
				}
			}
		}
	}
}

// TestDatesAreWritten holds a date as each language writes it. The forms are
// those of common practice in each.
func TestDatesAreWritten(t *testing.T) {
	all := loaded(t)
	for lang, want := range map[string]string{
		"en": "11 Mar 2025", "de": "11. März 2025", "es": "11 mar 2025", "fr": "11 mars 2025", "nb": "11. mars 2025",
	} {
		w := all[lang]
		if w == nil {
			continue
		}
		got := w.Date(unit.Date{Year: 2025, Month: 3, Day: 11})
		if want = strings.ReplaceAll(want, " ", "\u00a0"); got != want {
			t.Errorf("%s: got %q, want %q", lang, got, want)
		}
	}
}

// TestSingular holds which counts take the singular: in French, none does too.
func TestSingular(t *testing.T) {
	all := loaded(t)
	for lang, want := range map[string]string{"en": "0 many, 1 one, 2 many, 11 many, 21 many", "fr": "0 one, 1 one, 2 many, 11 many, 21 many"} {
		w := all[lang]
		if w == nil {
			continue
		}
		var got []string
		for _, n := range []int{0, 1, 2, 11, 21} {
			got = append(got, w.Figure(float64(n))+" "+w.plural(n, "one", "many"))
		}
		if s := strings.Join(got, ", "); s != want {
			t.Errorf("%s: got %q, want %q", lang, s, want)
		}
	}
}

// TestEveryGlyph sees that the fonts can show every text.
func TestEveryGlyph(t *testing.T) {
	faces, err := frame.LoadFonts(fonts.Files)
	if err != nil {
		t.Fatal(err)
	}
	for _, lang := range languages(t) {
		texts := raw(t, lang)
		for _, key := range slices.Sorted(maps.Keys(texts)) {
			if strings.HasPrefix(key, "workbook") {
				continue // shown by the reader's program
			}
			if no := faces.Unshown(texts[key].body); len(no) > 0 {
				t.Errorf("%s: %q holds %q, which no font here can show", texts[key].place, key, no)
			}
		}
	}
}

// TestHeadingsHaveNoSoftHyphens sees that the titles that become bookmarks and
// the properties of a document are plain text, and what a terminal shows.
func TestHeadingsHaveNoSoftHyphens(t *testing.T) {
	for _, lang := range languages(t) {
		for key, text := range raw(t, lang) {
			if (strings.HasSuffix(key, "title") || strings.HasPrefix(key, "format/") || strings.HasPrefix(key, "terminal/")) && strings.Contains(text.body, softHyphen) {
				t.Errorf("%s: %q holds a soft hyphen", text.place, key)
			}
		}
	}
}
