package layout

import (
	"fmt"
	"sort"
	"strings"

	"saltline/internal/doc"
	"saltline/internal/frame"
)

// A whole is what the pages of a document are counted in: itself, or a volume.
type whole struct {
	pages    int
	words    doc.Words      // that count the pages
	pageOf   map[string]int // of every place
	cautions string         // where the cautions are, for documents without their own
	own      bool           // the document's own pages are counted, too
}

// stamped puts each body on its page, with what every page says about itself
// and the document. It runs last, when the number of pages is known.
func (s *setting) stamped(w whole) []*frame.Frame {
	out := make([]*frame.Frame, len(s.bodies))
	for i := range out {
		out[i] = s.headed(i, w)
		out[i].Put(0, 0, s.footer(w, i == len(out)-1))
	}
	return out
}

// headed is page i with its running head and its body.
func (s *setting) headed(i int, w whole) *frame.Frame {
	pg := s.style.Page
	page := &frame.Frame{W: pg.W, H: pg.H, Items: make([]frame.Placed, 0, 3)}
	name := []string{s.doc.Title, s.doc.Number, s.doc.Revision}
	if w.own {
		name = append(name, fmt.Sprintf(s.words.PageOf, i+1, len(s.bodies)))
	}
	page.Put(0, 0, s.runningHead(joined(name...), fmt.Sprintf(w.words.PageOf, s.before+i+1, w.pages)))
	page.Put(pg.Left, pg.Top, s.bodies[i])
	return page
}

// runningHead names the document on the left, with its job and scope below, and
// the page and the status on the right.
func (s *setting) runningHead(name, page string) *frame.Frame {
	pg, t := s.style.Page, s.style.Type
	f := &frame.Frame{W: pg.W, H: pg.Top, Element: frame.Aside}
	strong := t.Stamp
	strong.Face = strong.Face.Bold()
	second := pg.HeadLine + t.Stamp.Leading

	s.stamp(f, pg.HeadLine, strong, name, t.Stamp, page)
	s.stamp(f, second, t.Stamp, joined(s.doc.Job, s.doc.Scope), t.Status, s.doc.Status)
	f.Put(pg.Left, pg.HeadRule, frame.HLine(s.style.TextWidth(), s.style.Rule.Thin))
	return f
}

// footer says what the page was made from, by what and when, and where the
// cautions are.
func (s *setting) footer(w whole, last bool) *frame.Frame {
	b, d := s.builder, &s.doc
	pg, t := b.style.Page, b.style.Type.Stamp
	f := &frame.Frame{W: pg.W, H: pg.H, Element: frame.Aside}
	foot := &frame.Frame{W: pg.W, H: pg.H, Items: []frame.Placed{{Item: f}}}
	cautions, dest := "", w.cautions
	if d.Footer.Cautions != "" {
		dest = s.name(d.Footer.Cautions)
	}
	if dest != "" {
		cautions = fmt.Sprintf(d.Words.Cautions, w.pageOf[dest])
	}
	f.Put(pg.Left, pg.H-pg.FootRule, frame.HLine(b.style.TextWidth(), b.style.Rule.Hair))
	b.stamp(f, pg.H-pg.FootLine, t, joined(d.Footer.Digest, d.Footer.Tool, d.Footer.Produced), t, cautions)
	if cautions != "" {
		width := b.width(t, b.shown(t, cautions))
		link := &frame.Frame{W: width, H: t.Leading, Element: s.toCautions(cautions), Items: []frame.Placed{{Item: frame.Link{W: width, H: t.Leading, Dest: dest}}}}
		foot.Put(pg.W-pg.Right-width, pg.H-pg.FootLine-t.Size, link)
	}
	if last && d.Words.End != "" {
		end := b.shown(t, d.Words.End)
		f.Put((pg.W-b.width(t, end))/2, pg.H-pg.EndLine, frame.Text{S: end, Face: t.Face, Size: t.Size, Colour: t.Colour})
	}
	return foot
}

// toCautions is the element of the link at the foot of all pages of a document:
// to a reader that does not see pages it is one.
func (s *setting) toCautions(text string) *frame.Element {
	if s.foot == nil {
		s.foot = s.says.Add(frame.Element{Role: frame.LinkText, Alt: text})
	}
	return s.foot
}

// stamp puts one text at the left margin and one at the right on the baseline
// y. A left text that would meet the right one is cut short.
func (b *builder) stamp(f *frame.Frame, y float64, lt Type, left string, rt Type, right string) {
	pg := b.style.Page
	right = b.shown(rt, right)
	rw := b.width(rt, right)
	if left = b.fitting(lt, left, b.style.TextWidth()-rw-pg.StampGap); left != "" {
		f.Put(pg.Left, y, frame.Text{S: left, Face: lt.Face, Size: lt.Size, Colour: lt.Colour})
	}
	if right != "" {
		f.Put(pg.W-pg.Right-rw, y, frame.Text{S: right, Face: rt.Face, Size: rt.Size, Colour: rt.Colour})
	}
}

// fitting is s, or as much of its beginning as fits in width with an ellipsis.
func (b *builder) fitting(t Type, s string, width float64) string {
	s = strings.ReplaceAll(b.shown(t, s), "\n", " ")
	if b.width(t, s) <= width {
		return s
	}
	rs := []rune(s)
	// A name may be very long and every page has it, so the cut is not sought
	// character by character: with a name of 15,000 a dossier took 17 s for that.
	fit := sort.Search(len(rs), func(n int) bool { return b.width(t, string(rs[:n+1])+"…") > width })
	rs = rs[:fit]
	return strings.TrimRight(string(rs), " ") + "…"
}

// joined puts the parts that are not empty beside each other.
func joined(parts ...string) string {
	var in []string
	for _, p := range parts {
		if p != "" {
			in = append(in, p)
		}
	}
	return strings.Join(in, "  ·  ")
}
