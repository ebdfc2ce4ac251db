package main

import (
	"fmt"
	"io/fs"
	"os"
	"slices"
	"strings"

	"saltline/internal/record"
	"saltline/internal/wording"
	"saltline/templates"
)

// A language is one in which documents are written.
type language struct {
	code   string // of its folder of texts, and in the properties of a document
	option string // as the command line names it
	names  []string
}

// languages in the order in which the help names them. A name is folded as
// languageCalled folds what it looks for.
var languages = []language{
	{"en", "en", []string{"english"}},
	{"de", "de", []string{"german", "deutsch"}},
	{"es", "es", []string{"spanish", "español", "espanol", "castellano"}},
	{"fr", "fr", []string{"french", "français", "francais"}},
	{"nb", "no", []string{"norwegian", "norsk", "bokmål", "bokmal", "norsk bokmål", "norsk bokmal"}},
}

// languageCalled finds the code of a language by its code, with a region or
// without, or by its name, in English or its own; false where it is none of
// ours.
func languageCalled(name string) (code string, ok bool) {
	name = record.Folded(name)
	short, _, _ := strings.Cut(strings.ReplaceAll(name, "_", "-"), "-") // de-AT
	for _, l := range languages {
		if short == l.code || short == l.option || slices.Contains(l.names, name) {
			return l.code, true
		}
	}
	return "", false
}

// languageOptions names the languages as the command line takes them.
func languageOptions() string {
	options := make([]string, len(languages))
	for i, l := range languages {
		options[i] = l.option
	}
	last := len(options) - 1
	return strings.Join(options[:last], ", ") + " or " + options[last]
}

// languageUsage explains the option in the help of a command; otherwise is the
// language without it.
func languageUsage(otherwise string) string {
	return fmt.Sprintf("language of the documents: %s (%s)", languageOptions(), otherwise)
}

// A tongue is what the options say of the words of documents.
type tongue struct {
	code string // of the language asked for; "" where the record decides
	over fs.FS  // texts that take the place of ours; nil for none
}

// tongueOf reads the options of words: the language and the folder of texts,
// which are "" where they are not given.
func tongueOf(language, dir string) (t tongue, err error) {
	if language != "" {
		var ok bool
		if t.code, ok = languageCalled(language); !ok {
			return t, usageError(fmt.Sprintf("--language: found %q, but wanted %s", language, languageOptions()), "name one of the five")
		}
	}
	if dir != "" {
		if !isFolder(dir) {
			return t, usageError(fmt.Sprintf("--templates: %s is no folder", dir), "give a folder that holds texts as in en/report.txt")
		}
		t.over = os.DirFS(dir)
	}
	return t, nil
}

// words loads the words of the language that was asked for, or else of that
// of the record, or else of English. It says so where the record names a
// language that is none of ours.
func (t tongue) words(recorded record.Words, s stream) (*wording.Words, error) {
	code := t.code
	if code == "" && recorded.Known() {
		var ok bool
		if code, ok = languageCalled(recorded.Val); !ok {
			fmt.Fprintf(s.err, "saltline: the language of the record, %q, is none of %s; the documents are in English\nhint: give another with --language\n",
				recorded.Text, languageOptions())
		}
	}
	if code == "" {
		code = "en"
	}
	return wording.Load(templates.Files, t.over, code)
}

// english loads the words for what is always said in English.
func (t tongue) english() (*wording.Words, error) { return wording.Load(templates.Files, t.over, "en") }

// softHyphen is where a page may break a word; a terminal does not.
const softHyphen = "\u00ad"
