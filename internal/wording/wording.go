// Package wording turns texts and values into sentences of one language.
package wording

import (
	"fmt"
	"io/fs"
	"maps"
	"path"
	"slices"
	"strings"
	"text/template"
)

// Words holds the texts of one language. It is read-only and may be shared.
type Words struct {
	lang   string
	texts  map[string]phrase
	format format
	whole  bool // soft hyphens are left out
}

// A phrase is a text, ready to be said. Most are filled with nothing and need
// no template, which would take up much of the time of a small report.
type phrase struct {
	plain  string
	filled *template.Template // nil for a plain text
}

// Load reads every text of a language from base (see package templates for
// the form), and then from over, if it is not nil: a text in over takes the
// place of the one of the same key in base. A key of over that base does not
// have is an error, since nothing would ever print it.
func Load(base, over fs.FS, lang string) (*Words, error) {
	raw := map[string]text{}
	if err := read(base, lang, raw, nil); err != nil {
		return nil, err
	}
	if len(raw) == 0 {
		return nil, fmt.Errorf("no texts for language %q", lang)
	}
	if over != nil {
		if err := read(over, lang, raw, maps.Clone(raw)); err != nil {
			return nil, err
		}
	}
	w := &Words{lang: lang, texts: make(map[string]phrase, len(raw))}
	all := template.New("").Option("missingkey=error").Funcs(w.funcs())
	for key, t := range raw {
		p := phrase{plain: t.body}
		if strings.Contains(t.body, "{{") {
			var err error
			if p.filled, err = all.New(key).Parse(t.body); err != nil {
				return nil, fmt.Errorf("%s: %w", t.place, err)
			}
		}
		w.texts[key] = p
	}
	var err error
	w.format, err = w.readFormat()
	return w, err
}

// A text is one text as read.
type text struct{ body, place string }

// read adds the texts of every file below lang. With known set, only its keys
// are taken and another is an error.
func read(files fs.FS, lang string, into, known map[string]text) error {
	if _, err := fs.Stat(files, lang); err != nil {
		if known != nil {
			return nil // nothing is overridden in this language
		}
		return err
	}
	return fs.WalkDir(files, lang, func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || path.Ext(name) != ".txt" {
			return err
		}
		data, err := fs.ReadFile(files, name)
		if err != nil {
			return err
		}
		prefix := strings.TrimSuffix(strings.TrimPrefix(name, lang+"/"), ".txt") + "/"
		seen := map[string]bool{}
		if stray := beforeKeys(string(data)); stray != "" {
			return fmt.Errorf("%s: found %q before the first key, but wanted a line \"= key\"", name, stray)
		}
		for key, t := range split(string(data), name) {
			key = prefix + key
			if seen[key] {
				return fmt.Errorf("%s: the key %q stands twice", t.place, key)
			}
			if _, ok := known[key]; known != nil && !ok {
				return fmt.Errorf("%s: no text is called %q", t.place, key)
			}
			seen[key] = true
			into[key] = t
		}
		return nil
	})
}

// beforeKeys is a line of text that stands before the first key, where
// nothing would ever print it.
func beforeKeys(data string) string {
	for line := range strings.Lines(data) {
		line = strings.TrimSpace(line)
		switch {
		case strings.HasPrefix(line, "= "):
			return ""
		case line != "" && !strings.HasPrefix(line, "#"):
			return line
		}
	}
	return ""
}

// split yields the texts of one file in their order.
func split(data, name string) func(yield func(string, text) bool) {
	return func(yield func(string, text) bool) {
		var key string
		var t text
		gap := false
		for i, line := range strings.Split(data, "\n") {
			line = strings.TrimSpace(line)
			if k, ok := strings.CutPrefix(line, "= "); ok {
				if key != "" && !yield(key, t) {
					return
				}
				key, t, gap = strings.TrimSpace(k), text{place: fmt.Sprintf("%s:%d", name, i+1)}, false
				continue
			}
			switch {
			case strings.HasPrefix(line, "#"):
			case line == "":
				gap = t.body != ""
			case t.body == "":
				t.body = line
			case gap:
				t.body, gap = t.body+"\n\n"+line, false
			default:
				t.body += " " + line
			}
		}
		if key != "" {
			yield(key, t)
		}
	}
}

// Lang is the language of the texts.
func (w *Words) Lang() string { return w.lang }

// Has reports whether there is a text of that key.
func (w *Words) Has(key string) bool {
	_, has := w.texts[key]
	return has
}

// Keys lists the keys that begin with prefix, in order.
func (w *Words) Keys(prefix string) []string {
	var keys []string
	for k := range w.texts {
		if strings.HasPrefix(k, prefix) {
			keys = append(keys, k)
		}
	}
	slices.Sort(keys)
	return keys
}

// Say fills the text of that key with data.
func (w *Words) Say(key string, data any) (string, error) {
	p, has := w.texts[key]
	switch {
	case !has:
		return "", fmt.Errorf("no text is called %q", key)
	case p.filled == nil:
		return w.shown(p.plain), nil
	}
	var b strings.Builder
	if err := p.filled.Execute(&b, data); err != nil {
		return "", fmt.Errorf("text %q: %w", key, err)
	}
	return w.shown(strings.TrimSpace(b.String())), nil
}

// Whole is w without the soft hyphens at which a page breaks long words: for a
// terminal, a spreadsheet and plain text.
func (w *Words) Whole() *Words {
	whole := *w
	whole.whole = true
	return &whole
}

func (w *Words) shown(s string) string {
	if w.whole {
		return strings.ReplaceAll(s, softHyphen, "")
	}
	return s
}

const softHyphen = "\u00ad"
