package heading

import (
	"bufio"
	"embed"
	"fmt"
	"iter"
	"slices"
	"strings"
	"sync"
)

//go:embed lexicon/*.txt
var lexiconFiles embed.FS

// A doubt says how far a wording can be trusted.
type doubt int

const (
	certain  doubt = iota
	doubtful       // "?": to be borne out by the unit, the values or the other columns
	lying          // "??": in use for something else as well
)

// A meaning is one column that a wording may stand for.
type meaning struct {
	column string
	kind   kind
	doubt  doubt
}

// A vocabulary is the wordings of one table.
type vocabulary struct {
	table   string
	columns []string             // in the order of the file
	kinds   map[string]kind      // by column
	exact   map[string][]meaning // by fold
	loose   map[string][]meaning // by bag
}

// of returns what a heading may mean. No wording is empty, so an empty key
// finds nothing.
func (v *vocabulary) of(k key) []meaning {
	if m := v.exact[k.fold]; m != nil {
		return m
	}
	return v.loose[k.bag]
}

// without returns what a heading may mean among the columns of kind k, when it
// also says the quantity, as "Conductivity of blank" does.
func (v *vocabulary) without(folded, quantity string, k kind) []meaning {
	f := strings.Fields(folded)
	rest := slices.DeleteFunc(slices.Clone(f), func(w string) bool { return w == quantity })
	if len(rest) == len(f) {
		return nil
	}
	rest = slices.DeleteFunc(rest, isSmall) // "conductivity of the sample"
	var ms []meaning
	for _, m := range v.means(strings.Join(rest, " ")) {
		if m.kind == k {
			ms = append(ms, m)
		}
	}
	return ms
}

// means returns what the text of one cell may mean.
func (v *vocabulary) means(text string) []meaning {
	f := fold(text)
	return v.of(key{f, bag(f)})
}

func (v *vocabulary) add(key string, m meaning, in map[string][]meaning) {
	if key == "" {
		return
	}
	for i, old := range in[key] {
		if old.column == m.column {
			in[key][i].doubt = min(old.doubt, m.doubt)
			return
		}
	}
	in[key] = append(in[key], m)
}

// A lexicon is all the wordings that are known. It is read once and never
// changed.
type lexicon struct {
	tables map[string]*vocabulary
	order  []string          // of the tables
	sheets map[string]string // fold of a sheet's name → table
	units  map[string]string // unitKey → class
	rows   map[string][]string
	terms  *vocabulary // of the keys that stand in a job table alone
}

var words = sync.OnceValue(func() *lexicon {
	l, err := readLexicon()
	if err != nil {
		panic("heading: " + err.Error()) // the files are part of the program; a test reads them
	}
	return l
})

// Prepare reads the words of headings, so that it is done beside reading the
// log; without it they are read when they are first asked for.
func Prepare() { words() }

func readLexicon() (*lexicon, error) {
	l := &lexicon{
		tables: map[string]*vocabulary{},
		sheets: map[string]string{},
		units:  map[string]string{},
		rows:   map[string][]string{},
	}
	for _, f := range []struct {
		name string
		line func(string) error
	}{
		{"readings", l.tableReader()}, {"ambient", l.tableReader()}, {"job", l.tableReader()}, {"means", l.tableReader()},
		{"work", l.tableReader()}, {"papers", l.tableReader()}, {"title", l.tableReader()}, {"terms", l.tableReader()},
		{"sheets", l.sheetLine}, {"units", l.unitLine}, {"rows", l.rowLine},
	} {
		if err := eachLine("lexicon/"+f.name+".txt", f.line); err != nil {
			return nil, err
		}
	}
	l.terms = l.tables["terms"]
	delete(l.tables, "terms")
	l.order = slices.DeleteFunc(l.order, func(t string) bool { return t == "terms" })
	return l, nil
}

func eachLine(file string, line func(string) error) error {
	f, err := lexiconFiles.Open(file)
	if err != nil {
		return err
	}
	defer f.Close()
	sc := bufio.NewScanner(f)
	for n := 1; sc.Scan(); n++ {
		s := strings.TrimSpace(sc.Text())
		if s == "" || s[0] == '#' {
			continue
		}
		if err := line(s); err != nil {
			return fmt.Errorf("%s:%d: %w", file, n, err)
		}
	}
	return sc.Err()
}

var languages = []string{"en", "de", "es", "fr", "no"}

// tableReader reads the files of the columns: "table …", "[column] kind",
// "en: wording; wording".
func (l *lexicon) tableReader() func(string) error {
	var v *vocabulary
	var column string
	return func(s string) error {
		if t, ok := strings.CutPrefix(s, "table "); ok {
			v = &vocabulary{table: t, kinds: map[string]kind{}, exact: make(map[string][]meaning, 256), loose: make(map[string][]meaning, 64)}
			l.tables[t], column = v, ""
			l.order = append(l.order, t)
			return nil
		}
		if v == nil {
			return fmt.Errorf("%q stands before the first table", s)
		}
		if c, k, ok := strings.Cut(strings.TrimPrefix(s, "["), "] "); ok && s[0] == '[' {
			kind, err := kindOf(k)
			if err != nil {
				return err
			}
			if slices.Contains(v.columns, c) {
				return fmt.Errorf("column %q stands twice", c)
			}
			column = c
			v.columns, v.kinds[c] = append(v.columns, c), kind
			if _, lies := ambiguousNames[v.table+"."+c]; !lies {
				v.word(c, meaning{c, kind, certain})
			}
			return nil
		}
		lang, list, ok := strings.Cut(s, ": ")
		if !ok || column == "" || !slices.Contains(languages, lang) {
			return fmt.Errorf("found %q, wanted a language and its wordings", s)
		}
		for w := range strings.SplitSeq(list, ";") {
			w = strings.TrimSpace(w)
			m := meaning{column, v.kinds[column], certain}
			for ; strings.HasSuffix(w, "?") && w != "OK?"; w = strings.TrimSuffix(w, "?") {
				m.doubt++
			}
			if m.doubt > lying || !v.word(w, m) {
				return fmt.Errorf("found %q, wanted a wording", w)
			}
		}
		return nil
	}
}

// ambiguousNames are our own columns whose names, standing alone, are worn by
// something else in sheets from elsewhere: a column headed "Water" may hold the
// blank, "Start" a conductivity, "Patch" the size of the patch. Their files give
// the name with its mark.
var ambiguousNames = map[string]struct{}{
	"readings.water": {}, "readings.start": {}, "readings.patch": {}, "readings.size": {}, "readings.substrate": {},
}

// word takes a wording with its meaning, and reports whether it is one.
func (v *vocabulary) word(w string, m meaning) bool {
	is := false
	for f := range spellings(w, fold) {
		is = is || f != ""
		v.add(f, m, v.exact)
		// "de l'essai n°" is of a test, and "essai n°" is one.
		if first, _, _ := strings.Cut(f, " "); !isSmall(first) {
			v.add(bag(f), m, v.loose)
		}
	}
	return is
}

// spellings are the keys of w and, where it has umlauts, of w without them.
func spellings(w string, key func(string) string) iter.Seq[string] {
	return func(yield func(string) bool) {
		if u := umlauts(w); yield(key(w)) && u != w {
			yield(key(u))
		}
	}
}

// sheetLine reads "table | language | name; name".
func (l *lexicon) sheetLine(s string) error {
	table, list, err := threeParts(s)
	if err != nil {
		return err
	}
	for _, n := range list {
		l.sheets[fold(n)], l.sheets[fold(umlauts(n))] = table, table
	}
	l.sheets[fold(table)] = table
	return nil
}

// unitLine reads "class | unit; unit".
func (l *lexicon) unitLine(s string) error {
	class, list, ok := strings.Cut(s, " | ")
	if !ok {
		return fmt.Errorf("found %q, wanted a quantity and its units", s)
	}
	for u := range strings.SplitSeq(list, ";") {
		k := unitKey(u)
		if old, ok := l.units[k]; ok && old != class {
			return fmt.Errorf("unit %q is both %s and %s", u, old, class)
		}
		l.units[k] = class
	}
	return nil
}

// rowLine reads "reason | language | word; word".
func (l *lexicon) rowLine(s string) error {
	reason, list, err := threeParts(s)
	if err != nil {
		return err
	}
	for _, w := range list {
		for f := range spellings(w, rowKey) {
			if !slices.Contains(l.rows[f], reason) {
				l.rows[f] = append(l.rows[f], reason)
			}
		}
	}
	return nil
}

// rowKey is fold, and the text itself where nothing of it is a letter.
func rowKey(s string) string {
	if f := fold(s); f != "" {
		return f
	}
	return strings.TrimSpace(s)
}

func threeParts(s string) (first string, list []string, err error) {
	p := strings.Split(s, " | ")
	if len(p) != 3 || !slices.Contains(languages, p[1]) {
		return "", nil, fmt.Errorf("found %q, wanted three parts with a language in the middle", s)
	}
	for w := range strings.SplitSeq(p[2], ";") {
		list = append(list, strings.TrimSpace(w))
	}
	return p[0], list, nil
}

// is reports whether the whole of s is one of the words for reason.
func (l *lexicon) is(s, reason string) bool {
	return slices.Contains(l.rows[rowKey(s)], reason)
}

// Columns returns the names of our columns of a table in their usual order,
// and nil for a table that is not ours.
func Columns(table string) []string {
	v := words().tables[table]
	if v == nil || table == "title" {
		return nil
	}
	return slices.Clone(v.columns)
}

// TableOf returns the table that a sheet or a file of this name holds, in any
// of the five languages, and "" where the name does not say.
func TableOf(sheet string) string { return words().sheets[fold(sheet)] }
