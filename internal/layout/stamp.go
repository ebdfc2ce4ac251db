package layout

import (
	"fmt"
	"strings"

	"saltline/internal/doc"
	"saltline/internal/frame"
)

// stamped puts each body on its page, with what every page says about itself
// and the document. It runs last, when the number of pages is known.
func (b *builder) stamped(d *doc.Document, fl *flow) []*frame.Frame {
	out := make([]*frame.Frame, len(fl.pages))
	for i, body := range fl.pages {
		page := &frame.Frame{W: b.style.Page.W, H: b.style.Page.H}
		page.Put(0, 0, b.runningHead(d, i+1, len(fl.pages)))
		page.Put(b.style.Page.Left, b.style.Page.Top, body)
		page.Put(0, 0, b.footer(d, fl.pageOf, i == len(fl.pages)-1))
		out[i] = page
	}
	return out
}

// runningHead names the document on the left, with its number, revision, job
// and scope below, and the page and the status on the right.
func (b *builder) runningHead(d *doc.Document, page, pages int) *frame.Frame {
	pg, t := b.style.Page, b.style.Type
	f := &frame.Frame{W: pg.W, H: pg.Top, Role: frame.Artifact}
	strong := t.Stamp
	strong.Face = strong.Face.Bold()
	second := pg.HeadLine + t.Stamp.Leading

	b.stamp(f, pg.HeadLine, strong, joined(d.Title, d.Number, d.Revision), t.Stamp, fmt.Sprintf(d.Words.PageOf, page, pages))
	b.stamp(f, second, t.Stamp, joined(d.Job, d.Scope), t.Status, d.Status)
	f.Put(pg.Left, pg.HeadRule, frame.HLine(b.style.TextWidth(), b.style.Rule.Thin))
	return f
}

// footer says what the page was made from, by what and when, and where the
// cautions are.
func (b *builder) footer(d *doc.Document, pageOf map[string]int, last bool) *frame.Frame {
	pg, t := b.style.Page, b.style.Type.Stamp
	f := &frame.Frame{W: pg.W, H: pg.H, Role: frame.Artifact}
	cautions := ""
	if d.Footer.Cautions != "" {
		cautions = fmt.Sprintf(d.Words.Cautions, pageOf[d.Footer.Cautions])
	}
	f.Put(pg.Left, pg.H-pg.FootRule, frame.HLine(b.style.TextWidth(), b.style.Rule.Hair))
	b.stamp(f, pg.H-pg.FootLine, t, joined(d.Footer.Digest, d.Footer.Tool, d.Footer.Produced), t, cautions)
	if cautions != "" {
		w := b.width(t, b.shown(t, cautions))
		f.Put(pg.W-pg.Right-w, pg.H-pg.FootLine-t.Size, frame.Link{W: w, H: t.Leading, Dest: d.Footer.Cautions})
	}
	if last && d.Words.End != "" {
		s := b.shown(t, d.Words.End)
		f.Put((pg.W-b.width(t, s))/2, pg.H-pg.EndLine, frame.Text{S: s, Face: t.Face, Size: t.Size, Colour: t.Colour})
	}
	return f
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
	for len(rs) > 0 && b.width(t, string(rs)+"…") > width {
		rs = rs[:len(rs)-1]
	}
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
