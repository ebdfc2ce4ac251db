// Package marked marks what the texts of documents say by themselves, so that
// a test sees which words of a document come from elsewhere.
package marked

import (
	"fmt"
	"io/fs"
	"regexp"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"saltline/templates"
)

// Texts are the English texts, each piece of which stands between ⟦ and ⟧:
// what a text is filled with stands outside. The texts in format.txt that are
// no words but rules are left as they are.
func Texts(t *testing.T) fs.FS {
	t.Helper()
	out := fstest.MapFS{}
	err := fs.WalkDir(templates.Files, "en", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := fs.ReadFile(templates.Files, name)
		if err != nil {
			return err
		}
		out[name] = &fstest.MapFile{Data: []byte(markFile(string(data)))}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// rules are the texts by which numbers, dates and counts are written.
var rules = map[string]bool{"decimal-sign": true, "months": true, "date-pattern": true, "singular": true, "inside": true, "clauses": true, "leads": true}

func markFile(data string) string {
	var b strings.Builder
	for i, text := range regexp.MustCompile(`(?m)^= `).Split(data, -1) {
		if i == 0 {
			continue // comments
		}
		key, body, _ := strings.Cut(text, "\n")
		body = regexp.MustCompile(`(?m)^#.*\n?`).ReplaceAllString(body, "")
		if !rules[key] {
			body = markText(strings.TrimSpace(body))
		}
		fmt.Fprintf(&b, "= %s\n%s\n\n", key, body)
	}
	return b.String()
}

var (
	action  = regexp.MustCompile(`(?s)\{\{.*?\}\}`)
	literal = regexp.MustCompile(`"[^"]*"`)
	letters = regexp.MustCompile(`\pL`)
)

// markText marks the pieces of one text between its actions, and the words
// that an action chooses from by number.
func markText(body string) string {
	var b strings.Builder
	piece := func(s string) {
		for i, p := range strings.Split(s, "\n\n") {
			if i > 0 {
				b.WriteString("\n\n")
			}
			if letters.MatchString(p) {
				p = "⟦" + p + "⟧"
			}
			b.WriteString(p)
		}
	}
	from := 0
	for _, at := range action.FindAllStringIndex(body, -1) {
		piece(body[from:at[0]])
		a := body[at[0]:at[1]]
		if strings.Contains(a, "plural") {
			a = literal.ReplaceAllStringFunc(a, func(s string) string { return `"⟦` + strings.Trim(s, `"`) + `⟧"` })
		}
		b.WriteString(a)
		from = at[1]
	}
	piece(body[from:])
	return b.String()
}

var (
	said   = regexp.MustCompile(`(?s)⟦[^⟧]*⟧`)
	quoted = regexp.MustCompile(`“[^”⟦⟧]*”`)
	run    = regexp.MustCompile(`\pL{3,}`)
)

// Strange are the pieces of a text that no text of ours says and that hold a
// run of three letters or more which known does not hold in lower case. What
// is in quotes is the record's.
func Strange(text string, known map[string]bool) []string {
	var strange []string
	for _, piece := range said.Split(quoted.ReplaceAllString(text, " "), -1) {
		if slices.ContainsFunc(run.FindAllString(piece, -1), func(w string) bool { return !known[strings.ToLower(w)] }) {
			strange = append(strange, strings.TrimSpace(piece))
		}
	}
	return strange
}

// Words adds the runs of letters of a text to those that are known.
func Words(known map[string]bool, text string) {
	for _, w := range regexp.MustCompile(`\pL+`).FindAllString(text, -1) {
		known[strings.ToLower(w)] = true
	}
}
