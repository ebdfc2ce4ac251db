package check_test

import (
	"io/fs"
	"regexp"
	"strings"
	"testing"

	"saltline/templates"
)

// mostWords is how long a question to the contractor may be.
const mostWords = 40

// answerable sees that a question, if anything is asked, is a sentence or two
// that somebody can answer who reads nothing else.
func answerable(t *testing.T, key, s string) {
	t.Helper()
	if s == "" {
		return
	}
	if n := len(strings.Fields(s)); n > mostWords {
		t.Errorf("%s: %d words, at most %d are read: %s", key, n, mostWords, s)
	}
	ends := regexp.MustCompile(`[.?](\s|$)`).FindAllString(s, -1)
	if len(ends) == 0 || len(ends) > 2 || !strings.HasSuffix(s, "?") && !strings.HasSuffix(s, ".") {
		t.Errorf("%s: want one sentence or two: %s", key, s)
	}
	if !strings.Contains(s, "?") && !strings.HasPrefix(s, "Please ") {
		t.Errorf("%s: asks for nothing: %s", key, s)
	}
	if regexp.MustCompile(`\s[ ,.;?]|[(“]\s|\s[)”]|\(\)|“”|NaN`).MatchString(strings.ReplaceAll(s, "\n", "  ")) {
		t.Errorf("%s: a gap in %q", key, s)
	}
}

// unasked are words that stand in no question: they accuse, they make a
// confession of the answer, or they demand work that is not the auditor's to
// demand.
var unasked = regexp.MustCompile(`(?i)\b(` + strings.Join([]string{
	"fraud\\w*", "falsif\\w*", "fak\\w*", "cheat\\w*", "dishonest\\w*", "invent\\w*", "fabricat\\w*", "manipulat\\w*", "careless\\w*", "negligen\\w*",
	"suspici\\w*", "suspect\\w*", "doubt\\w*", "blame\\w*", "guilt\\w*", "fault\\w*", "mistake\\w*", "errors?", "wrong\\w*", "incorrect\\w*", "improper\\w*", "lied?", "lying", "pretend\\w*", "conceal\\w*", "hid(e|den)", "alleg\\w*",
	"admit\\w*", "confess\\w*", "deny", "justif\\w*", "excuse\\w*", "forgot\\w*", "fail(ed)? to", "violat\\w*", "breach\\w*", "contradict\\w*", "implausible", "unbelievable", "impossible",
	"why", "did you", "really", "actually", "must", "shall", "immediately", "repaint\\w*", "recoat\\w*", "reblast\\w*", "strip", "clean",
}, "|") + `)\b`)

// TestAsk reads what is asked as it stands in the files, with every branch of
// it: no word that accuses, and where nothing is asked, the reason.
func TestAsk(t *testing.T) {
	asks := 0
	err := fs.WalkDir(templates.Files, "en", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasPrefix(name, "en/checks/") && !strings.HasPrefix(name, "en/slips/") {
			return err
		}
		data, err := fs.ReadFile(templates.Files, name)
		if err != nil {
			return err
		}
		body, comment, has := asked(string(data))
		switch {
		case !has:
			t.Errorf("%s: no key ask", name)
		case body == "" && comment == "":
			t.Errorf("%s: nothing is asked and no comment says why", name)
		case body != "":
			asks++
		}
		if w := unasked.FindString(body); w != "" {
			t.Errorf("%s: %q may not be asked: %s", name, w, body)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if asks < 50 {
		t.Errorf("%d questions found: the files are read wrongly", asks)
	}
	for _, s := range []string{"Why was it so?", "Is it wrong?", "Please admit it.", "Test 3 must be repeated."} {
		if !unasked.MatchString(s) {
			t.Errorf("%q passes", s)
		}
	}
}

// asked is the text under the key ask as it stands, and its comment lines.
func asked(data string) (body, comment string, has bool) {
	for line := range strings.Lines(data) {
		line = strings.TrimSpace(line)
		switch key, isKey := strings.CutPrefix(line, "= "); {
		case isKey && has:
			return body, comment, true
		case isKey:
			has = key == "ask"
		case !has:
		case strings.HasPrefix(line, "#"):
			comment += line
		default:
			body += line
		}
	}
	return body, comment, has
}
