package layout

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"saltline/internal/doc"
	"saltline/internal/frame"
)

// A word is text that is not broken as long as there is another way.
type word struct {
	spans   []span
	w       float64
	spaced  bool // it has a space before it
	newLine bool // it begins a line
}

// words cuts text at its spaces and line feeds. No-break spaces are left in the
// words, and hyphens too: half an address or half the number of a document
// misleads.
func (s setter) words(text doc.Text, t Type) []word {
	var out []word
	cur := word{}
	open := false // whether cur holds something
	end := func() {
		if open {
			out = append(out, cur)
		}
		cur, open = word{}, false
	}
	for _, r := range text {
		rt := s.looked(t, r.Look)
		str := s.hyphenated(rt, r.S)
		mark := r.Mark
		for str != "" || mark != frame.NoMark {
			part, sep, rest := nextWord(str)
			if part != "" || mark != frame.NoMark {
				sp := span{s: part, soft: sep == softHyphen, t: rt, mark: mark, dest: r.Dest, uri: r.URI}
				sp.w = s.markWidth(rt, mark) + s.width(rt, part)
				cur.spans = append(cur.spans, sp)
				cur.w += sp.w
				open, mark = true, frame.NoMark
			}
			switch sep {
			case ' ':
				end()
				cur.spaced = true
			case '\n':
				end()
				cur.newLine, open = true, true
			}
			str = rest
		}
	}
	end()
	return out
}

// nextWord cuts s behind its first word, or part of one before a soft hyphen.
// sep is ' ', '\n' or the soft hyphen where that character ended it and was
// dropped, and 0 at the end of s.
func nextWord(s string) (part string, sep rune, rest string) {
	if i := strings.IndexAny(s, " \n\u00ad"); i >= 0 {
		sep, n := utf8.DecodeRuneInString(s[i:])
		return s[:i], sep, s[i+n:]
	}
	return s, 0, ""
}

// A soft hyphen is a place where a word may be broken. It is not printed, but
// for a hyphen where the word is broken there.
const (
	softHyphen = '\u00ad'
	hyphen     = "-"
)

// hyphenated is text fit for the page, with its soft hyphens.
func (s setter) hyphenated(t Type, text string) string {
	if !strings.ContainsRune(text, softHyphen) {
		return s.shown(t, text)
	}
	parts := strings.Split(text, string(softHyphen))
	for i, part := range parts {
		parts[i] = s.shown(t, part)
	}
	return strings.Join(parts, string(softHyphen))
}

// softly breaks w behind its last soft hyphen at which what is before it, with
// a hyphen, is no wider than width; false where it has none.
func (s setter) softly(w word, width float64) (head, rest word, ok bool) {
	at, used := -1, 0.0
	for i, sp := range w.spans[:max(len(w.spans)-1, 0)] {
		used += sp.w
		if sp.soft && used+s.width(sp.t, hyphen) <= width+slack {
			at = i
		}
	}
	if at < 0 {
		return w, word{}, false
	}
	head.spans, rest.spans = slices.Clone(w.spans[:at+1]), w.spans[at+1:]
	last := &head.spans[at]
	last.s, last.w, last.soft = last.s+hyphen, last.w+s.width(last.t, hyphen), false
	head.w, rest.w, head.spaced = spansWidth(head.spans), spansWidth(rest.spans), w.spaced
	return head, rest, true
}

// A cut is a place in a word: so many bytes into one of its spans.
type cut struct {
	span, bytes int
}

// broken cuts a word that is wider than width behind the last hyphen between
// two letters that fits, or else behind the last character, but never before
// the first. The rest is empty if nothing can be cut.
func (s setter) broken(w word, width float64) (head, rest word) {
	at, hyphen := cut{}, cut{}
	used := 0.0
	var before rune // the character at at-1
fitting:
	for i, sp := range w.spans {
		used += s.markWidth(sp.t, sp.mark)
		for j, r := range sp.s {
			used += s.width(sp.t, string(r))
			if used > width && at != (cut{}) {
				break fitting
			}
			next := cut{i, j + utf8.RuneLen(r)}
			if after, _ := utf8.DecodeRuneInString(sp.s[next.bytes:]); r == '-' && unicode.IsLetter(before) && unicode.IsLetter(after) {
				hyphen = next
			}
			at, before = next, r
		}
	}
	if hyphen != (cut{}) {
		at = hyphen
	}
	if at == (cut{}) {
		return w, word{}
	}
	return s.parted(w, at)
}

// parted is what w holds before a place and what it holds from there on.
func (s setter) parted(w word, at cut) (head, rest word) {
	left, right := w.spans[at.span], w.spans[at.span]
	left.s, right.s, left.soft = left.s[:at.bytes], left.s[at.bytes:], false
	left.w = s.markWidth(left.t, left.mark) + s.width(left.t, left.s)
	right.w, right.mark = right.w-left.w, frame.NoMark

	head.spans = append(slices.Clip(w.spans[:at.span]), left)
	if right.s != "" {
		rest.spans = append(rest.spans, right)
	}
	rest.spans = append(rest.spans, w.spans[at.span+1:]...)
	head.w, rest.w = spansWidth(head.spans), spansWidth(rest.spans)
	return head, rest
}

func spansWidth(spans []span) float64 {
	w := 0.0
	for _, sp := range spans {
		w += sp.w
	}
	return w
}
