package record

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"saltline/internal/diag"
	"saltline/internal/unit"
)

// verdictKey is what the key of --set begins with that says what a word under
// the heading of the verdicts means: "verdict Over=fail".
const verdictKey = "verdict "

// verdict reads the verdict that the log writes. What the command line says of
// a word goes before what is known of it. One that nobody knows is kept as it
// stands: what it means is for whoever has asked its writer to say, not for the
// value beside it.
func verdict(at func(*Fields) *Given[WrittenVerdict]) field[Fields] {
	return fieldOf(holdsWords, at, func(c *cell, g *Given[WrittenVerdict]) {
		v, told, ok := c.b.verdictOf(c.value)
		switch {
		case ok:
			g.Val, g.State = v, Known
			if told {
				c.changedAll(fmt.Sprintf("the verdict %q, by the command line", quoted(fold(c.value))),
					func() (from, to string) { return c.value, verdictNames[v] })
			}
		case unit.IsNotDone(c.value):
			g.State = NotDone
		default:
			unusable(c, g, "unknown-words", "pass, fail or void", c.verdictHint())
		}
	})
}

var verdictNames = map[WrittenVerdict]string{WrittenPass: "pass", WrittenFail: "fail", WrittenVoid: "void"}

// verdictOf is the verdict that a text says, and whether the command line says
// so.
func (b *binder) verdictOf(text string) (v WrittenVerdict, told, ok bool) {
	if len(b.verdicts) > 0 {
		if v, told = b.verdicts[fold(text)]; told {
			return v, true, true
		}
	}
	v, ok = writtenVerdicts.find(text)
	return v, false, ok
}

// verdictHint says how to tell what a verdict means that is not understood.
// The log stays as it was received.
func (c *cell) verdictHint() string {
	aside := fmt.Sprintf(`set the column aside, if it holds no verdicts, with --map "%s=-"`, c.headAt.Cell())
	if fold(c.value) == "" || strings.ContainsAny(c.value, "=\"\n") || quoted(c.value) != c.value {
		return aside
	}
	return fmt.Sprintf(`leave the log as it is and say what the word means with --set "%s%s=fail", or =pass, or =void; or %s`,
		verdictKey, c.value, aside)
}

// tellVerdict takes what --set says of a word of the verdicts; false where it
// says something else. A word that is known keeps its meaning; a single letter, which
// is short for one thing here and for another there, may be told to be no pass.
func (b *binder) tellVerdict(f Fact) bool {
	word, ok := strings.CutPrefix(fold(f.Key), verdictKey)
	if !ok {
		return false
	}
	v, ok := writtenVerdicts.find(f.Value.Text)
	if !ok {
		b.list.Add(diag.Diagnostic{Level: diag.Failure, Check: "unknown-words",
			Msg:  fmt.Sprintf("found --set %q, but wanted pass, fail or void", f.Key+"="+f.Value.Text),
			Hint: fmt.Sprintf(`write it as in --set "%s=fail"`, f.Key)})
		return true
	}
	if known, is := writtenVerdicts.find(word); is && known != v && (v == WrittenPass || utf8.RuneCountInString(word) > 1) {
		b.list.Add(diag.Diagnostic{Level: diag.Failure, Check: "known-words",
			Msg:  fmt.Sprintf("found --set %q, but %q is known and says %s", f.Key+"="+f.Value.Text, word, verdictNames[known]),
			Hint: "leave it out: a word that is known keeps its meaning, and --set says only what an unknown one means"})
		return true
	}
	if b.verdicts == nil {
		b.verdicts = map[string]WrittenVerdict{}
	}
	b.verdicts[word] = v
	return true
}
