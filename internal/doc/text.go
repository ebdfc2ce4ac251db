package doc

import (
	"strings"

	"saltline/internal/frame"
)

// A Text is a sequence of runs. A line feed in a run ends the line.
type Text []Run

// A Run is text of one look, with a mark before it if it has one.
type Run struct {
	S    string
	Look Look
	Mark frame.Mark // drawn before S
	Dest string     // name of the anchor it leads to
	URI  string     // address it leads to, where Dest is empty
}

// A Look is how a run stands out from its surroundings.
type Look uint8

const (
	AsIs     Look = iota // as its surroundings
	Heavy                // in semi-bold
	Slanted              // in italics
	Reduced              // smaller
	Enlarged             // larger and in semi-bold, for a verdict
)

// Plain is text without distinction.
func Plain(s string) Text { return Text{{S: s}} }

// Strong is text in a heavier face.
func Strong(s string) Text { return Text{{S: s, Look: Heavy}} }

// Emphasis is text in italics.
func Emphasis(s string) Text { return Text{{S: s, Look: Slanted}} }

// Fine is smaller text.
func Fine(s string) Text { return Text{{S: s, Look: Reduced}} }

// Loud is larger text, for the one verdict of a page.
func Loud(s string) Text { return Text{{S: s, Look: Enlarged}} }

// Marked is t with a mark before it.
func Marked(m frame.Mark, t Text) Text {
	if len(t) == 0 {
		return Text{{Mark: m}}
	}
	out := append(Text(nil), t...)
	out[0].Mark = m
	return out
}

// To is t as a link to the anchor called dest.
func (t Text) To(dest string) Text {
	out := append(Text(nil), t...)
	for i := range out {
		out[i].Dest = dest
	}
	return out
}

// Join puts texts one after the other.
func Join(texts ...Text) Text {
	var out Text
	for _, t := range texts {
		out = append(out, t...)
	}
	return out
}

// String is t without its looks, marks and links.
func (t Text) String() string {
	if len(t) == 1 {
		return t[0].S
	}
	var b strings.Builder
	for _, r := range t {
		b.WriteString(r.S)
	}
	return b.String()
}
