package layout

import (
	"strings"

	"saltline/internal/doc"
	"saltline/internal/frame"
)

// A line is text that fits on one line, with its measures.
type line struct {
	spans []span
	w     float64
	h     float64 // from its top to the top of the next line
	base  float64 // from its top to its baseline
}

// A span is text of one setting and one link.
type span struct {
	s    string
	soft bool // a soft hyphen stands behind it: a word may be broken here
	t    Type
	mark frame.Mark
	dest string
	uri  string
	x, w float64 // from the start of the line; w includes the mark
}

// sameSetting reports whether text of q may continue p.
func (p span) sameSetting(q span) bool {
	return p.t == q.t && q.mark == frame.NoMark && p.dest == q.dest && p.uri == q.uri
}

// A setter breaks text into lines.
type setter struct {
	style Style
	fonts *frame.Fonts
}

// looked is the setting of a run within surroundings set as t.
func (s setter) looked(t Type, look doc.Look) Type {
	switch look {
	case doc.Heavy:
		t.Face = t.Face.Bold()
	case doc.Slanted:
		t.Face = frame.Italic
	case doc.Reduced:
		t.Size *= s.style.Type.Reduced
		t.Leading *= s.style.Type.Reduced
	case doc.Enlarged:
		return s.style.Type.Loud
	}
	return t
}

// width is the advance of s.
func (s setter) width(t Type, text string) float64 {
	return s.fonts.Width(t.Face, t.Size, text)
}

// markWidth is the advance of a mark with the space behind it.
func (s setter) markWidth(t Type, m frame.Mark) float64 {
	if m == frame.NoMark {
		return 0
	}
	return s.style.Space.MarkSize*t.Size + s.style.Space.Mark
}

// shown is text fit for the page: clean, and with U+FFFD for what the face
// cannot show.
func (s setter) shown(t Type, text string) string {
	return s.fonts.Shown(t.Face, text)
}

// naturalWidth is the width of text on as few lines as it allows.
func (s setter) naturalWidth(text doc.Text, t Type) float64 {
	widest, w := 0.0, 0.0
	for _, r := range text {
		rt := s.looked(t, r.Look)
		w += s.markWidth(rt, r.Mark)
		str := s.shown(rt, r.S)
		for {
			head, rest, more := strings.Cut(str, "\n")
			w += s.width(rt, head)
			widest = max(widest, w)
			if !more {
				break
			}
			str, w = rest, 0
		}
	}
	return widest
}

// wordWidth is the width of the widest word of text, or part of one between
// soft hyphens, below which it cannot be set without breaking a word where it
// has no joint.
func (s setter) wordWidth(text doc.Text, t Type) float64 {
	widest := 0.0
	for _, w := range s.words(text, t) {
		part := 0.0
		for _, sp := range w.spans {
			part += sp.w
			if sp.soft {
				widest = max(widest, part+s.width(sp.t, hyphen))
				part = 0
			}
		}
		widest = max(widest, part)
	}
	return widest
}

// lines breaks text into lines no wider than width. It fills each line before
// it begins the next. A word that does not fit is broken at a soft hyphen, and
// where it has none only if the word alone is too wide.
func (s setter) lines(text doc.Text, t Type, width float64) []line {
	if l, ok := s.oneLine(text, t, width); ok {
		return []line{l}
	}
	var out []line
	cur := line{}
	flush := func() {
		out = append(out, s.finished(cur, t))
		cur = line{}
	}
	for _, w := range s.words(text, t) {
		if w.newLine {
			flush()
		}
		for cur.w+s.space(cur, w)+w.w > width+slack {
			if head, rest, ok := s.softly(w, width-cur.w-s.space(cur, w)); ok {
				cur.add(head, s.space(cur, w))
				flush()
				w = rest
				continue
			}
			if len(cur.spans) > 0 {
				flush()
				continue
			}
			head, rest := s.broken(w, width)
			if rest.w == 0 {
				break
			}
			cur.add(head, 0)
			flush()
			w = rest
		}
		cur.add(w, s.space(cur, w))
	}
	flush()
	return out
}

// oneLine sets text that fits on one line as it stands, which is what most
// cells of a table do.
func (s setter) oneLine(text doc.Text, t Type, width float64) (line, bool) {
	l := line{spans: make([]span, 0, len(text))}
	for _, r := range text {
		rt := s.looked(t, r.Look)
		str := s.shown(rt, r.S)
		l.append(span{
			s: str, t: rt, mark: r.Mark, dest: r.Dest, uri: r.URI,
			w: s.markWidth(rt, r.Mark) + s.width(rt, str),
		})
		if l.w > width+slack || strings.Contains(str, "\n") {
			return line{}, false
		}
	}
	return s.finished(l, t), true
}

// space is the width of the space between l and w. It is set as the text behind
// it, except where a mark comes between.
func (s setter) space(l line, w word) float64 {
	switch {
	case !w.spaced || len(l.spans) == 0 || len(w.spans) == 0:
		return 0
	case w.spans[0].mark != frame.NoMark:
		return s.width(l.spans[len(l.spans)-1].t, " ")
	}
	return s.width(w.spans[0].t, " ")
}

// add appends w, behind space of the given width.
func (l *line) add(w word, space float64) {
	for i, sp := range w.spans {
		if i == 0 && space > 0 {
			if last := &l.spans[len(l.spans)-1]; sp.mark != frame.NoMark {
				last.s, last.w = last.s+" ", last.w+space
				l.w += space
			} else {
				sp.s, sp.w = " "+sp.s, sp.w+space
			}
		}
		l.append(sp)
	}
}

// append puts sp at the end of l, as one with the text before it if it can.
func (l *line) append(sp span) {
	if n := len(l.spans); n > 0 && l.spans[n-1].sameSetting(sp) {
		l.spans[n-1].s += sp.s
		l.spans[n-1].w += sp.w
	} else {
		sp.x = l.w
		l.spans = append(l.spans, sp)
	}
	l.w += sp.w
}

// finished gives a line its height: the largest leading of its spans, with the
// baseline where the metrics of that setting put it.
func (s setter) finished(l line, t Type) line {
	tallest := t
	for i, sp := range l.spans {
		if i == 0 || sp.t.Leading > tallest.Leading {
			tallest = sp.t
		}
	}
	m := s.fonts.Metrics(tallest.Face, tallest.Size)
	l.h = tallest.Leading
	l.base = (l.h + m.Cap) / 2
	return l
}

// draw puts l into f with its top left corner at x, y.
func (s setter) draw(f *frame.Frame, x, y float64, l line) {
	for _, sp := range l.spans {
		f, x, y := f, x, y
		if sp.dest != "" || sp.uri != "" {
			// What is shown of a link and where it leads belong together.
			link := &frame.Frame{W: sp.w, H: l.h}
			if f.Element != nil {
				link.Element = f.Element.Within(frame.Element{Role: frame.LinkText, Alt: strings.TrimSpace(sp.s)})
			}
			f.Put(x+sp.x, y, link)
			f, x, y = link, -sp.x, 0
		}
		at := x + sp.x
		if sp.mark != frame.NoMark {
			size := s.style.Space.MarkSize * sp.t.Size
			middle := s.fonts.Metrics(sp.t.Face, sp.t.Size).Cap / 2
			f.Put(at+size/2, y+l.base-middle, sp.mark.Path(size, sp.t.Colour))
			at += s.markWidth(sp.t, sp.mark)
		}
		if sp.s != "" {
			f.Put(at, y+l.base, frame.Text{S: sp.s, Face: sp.t.Face, Size: sp.t.Size, Colour: sp.t.Colour})
		}
		if sp.dest != "" || sp.uri != "" {
			f.Put(x+sp.x, y, frame.Link{W: sp.w, H: l.h, Dest: sp.dest, URI: sp.uri})
		}
	}
}

// framed is lines one below the other in a frame of their own, of an element.
func (s setter) framed(e *frame.Element, width float64, ls []line) *frame.Frame {
	f := &frame.Frame{W: width, H: linesHeight(ls), Element: e}
	s.drawLines(f, 0, 0, ls)
	return f
}

// linesHeight is the height of lines one below the other.
func linesHeight(ls []line) float64 {
	h := 0.0
	for _, l := range ls {
		h += l.h
	}
	return h
}

// drawLines puts ls into f one below the other.
func (s setter) drawLines(f *frame.Frame, x, y float64, ls []line) {
	for _, l := range ls {
		s.draw(f, x, y, l)
		y += l.h
	}
}
