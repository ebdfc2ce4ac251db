// Package wording turns texts and values into sentences of one language.
package wording

import (
	"fmt"
	"io/fs"
	"strings"
	"text/template"
)

// Words holds the texts of one language. It is read-only and may be shared.
type Words struct {
	lang   string
	texts  *texts
	format format
	whole  bool // soft hyphens are left out
}

// Load finds every text of a language in base (see package templates for
// the form), and then in over, if it is not nil: a text in over takes the
// place of the one of the same key in base. A key of over that base does not
// have is an error, since nothing would ever print it.
//
// The texts of base are read and parsed when they are first said: a report of a
// day says a tenth of them, and took longer to load them than to compose. A
// fault in one is then an error of Say. Those of over, which come from
// outside, are read and parsed here.
func Load(base, over fs.FS, lang string) (*Words, error) {
	w := &Words{lang: lang}
	var err error
	if w.texts, err = open(base, lang); err != nil {
		return nil, err
	}
	w.texts.parsed = template.New("").Option("missingkey=error").Funcs(w.funcs())
	if over != nil {
		if err := w.texts.override(over, lang); err != nil {
			return nil, err
		}
	}
	w.format, err = w.readFormat()
	return w, err
}

// Lang is the language of the texts.
func (w *Words) Lang() string { return w.lang }

// Has reports whether there is a text of that key.
func (w *Words) Has(key string) bool {
	p, err := w.texts.find(key)
	return err == nil && p != nil
}

// Keys lists the keys that begin with prefix, in order.
func (w *Words) Keys(prefix string) []string { return w.texts.keys(prefix) }

// Say fills the text of that key with data.
func (w *Words) Say(key string, data any) (string, error) {
	p, err := w.texts.find(key)
	switch {
	case err != nil:
		return "", err
	case p == nil:
		return "", fmt.Errorf("no text is called %q", key)
	}
	filled, err := w.texts.ready(p, key)
	switch {
	case err != nil:
		return "", err
	case filled == nil:
		return w.shown(p.body), nil
	}
	var b strings.Builder
	if err := filled.Execute(&b, data); err != nil {
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
