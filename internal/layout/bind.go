package layout

import (
	"errors"
	"fmt"
	"slices"

	"saltline/internal/crew"
	"saltline/internal/doc"
	"saltline/internal/frame"
)

// An Ahead may draw the last item of each page that it is given, which is its body,
// and put what it has drawn in its place, and whatever it likes in that of what
// the body is made of. What is above it is the running head, which comes to count
// the pages otherwise.
type Ahead func(part frame.Print, fonts *frame.Fonts) error

// Bind sets a volume on pages, its parts side by side, and has each drawn ahead
// where somebody does that: the pages of all parts together take much memory. It
// fails as Pages does for any part, and where one cannot be made or drawn.
func Bind(v *doc.Volume, style Style, fonts *frame.Fonts, ahead Ahead) (frame.Print, error) {
	set := make([]*setting, len(v.Parts))
	errs := make([]error, len(v.Parts))
	crew.Do(len(v.Parts), func(n int) {
		var err error
		if set[n], err = layPart(v, n, style, fonts, ahead); err != nil {
			errs[n] = fmt.Errorf("part %d %s: %w", n+1, v.Parts[n].Entry, err)
		}
	})
	if err := errors.Join(errs...); err != nil {
		return frame.Print{}, err
	}
	in := within{}
	for n, p := range v.Parts {
		entries := []heading{{text: p.Entry, level: 1, anchor: doc.OpeningOfPart}}
		if p.Entry == "" {
			entries = slices.DeleteFunc(slices.Clone(set[n].headings), func(h heading) bool { return h.level > 1 })
		}
		for _, h := range entries {
			h.level, h.anchor = p.Level, doc.InPart(n, h.anchor)
			in.behind = append(in.behind, h)
			in.places = append(in.places, h.anchor)
		}
	}
	front, err := lay(&v.Document, style, fonts, in)
	if err != nil {
		return frame.Print{}, err
	}

	// Now the pages can be counted.
	pages := len(front.bodies)
	pageOf := front.pageOf
	for n, s := range set {
		for name, page := range s.pageOf {
			pageOf[doc.InPart(n, name)] = pages + page
		}
		s.before = pages
		pages += len(s.bodies)
	}
	front.number(pageOf)
	if _, known := pageOf[v.Cautions]; v.Cautions != "" && !known {
		return frame.Print{}, fmt.Errorf("layout: no part of the volume has a place %q", v.Cautions)
	}
	all := whole{pages: pages, words: v.Words, pageOf: pageOf, cautions: v.Cautions}
	out := frame.Print{Pages: front.stamped(all), Says: front.says}
	for n, s := range set {
		all.own = v.Parts[n].Own
		out.Pages = append(out.Pages, s.stamped(all)...)
		out.Says.Kids = append(out.Says.Kids, s.says)
	}
	return out, nil
}

// layPart makes the pages of part n of v but for their numbers.
func layPart(v *doc.Volume, n int, style Style, fonts *frame.Fonts, ahead Ahead) (*setting, error) {
	p := &v.Parts[n]
	d, err := p.Make()
	if err != nil {
		return nil, err
	}
	if d.Title == "" {
		return nil, errors.New("layout: a part of a volume has no title")
	}
	s, err := lay(&d, style, fonts, within{part: p})
	if err != nil {
		return nil, err
	}
	s.part = n
	q := qualifier{part: n, level: p.Level, own: p.Own, done: map[*frame.Frame]bool{}}
	if p.Entry == "" {
		q.level-- // its headings stand in the place of a title
	}
	for _, body := range s.bodies {
		q.frame(body.(*frame.Frame))
	}
	if ahead != nil {
		err = s.drawn(ahead, whole{words: v.Words, own: p.Own})
	}
	return s, err
}

// drawn has the bodies drawn ahead of what is stamped on their pages.
func (s *setting) drawn(ahead Ahead, w whole) error {
	pages := make([]*frame.Frame, len(s.bodies))
	for i := range pages {
		pages[i] = s.headed(i, w)
	}
	if err := ahead(frame.Print{Pages: pages, Says: s.says}, s.fonts); err != nil {
		return err
	}
	for i, page := range pages {
		s.bodies[i] = page.Items[len(page.Items)-1].Item
	}
	return nil
}

// A qualifier gives the places of one part of a volume names that no other
// part has, and puts its bookmarks below that of its title, whose level is −1.
type qualifier struct {
	part, level int
	own         bool                  // it is a document by itself, which is signed by itself
	done        map[*frame.Frame]bool // the head of a table stands on many pages
}

func (q *qualifier) frame(f *frame.Frame) {
	if q.done[f] {
		return
	}
	q.done[f] = true
	for i := range f.Items {
		switch it := f.Items[i].Item.(type) {
		case *frame.Frame:
			q.frame(it)
		case frame.Link:
			if it.Dest != "" {
				it.Dest = doc.InPart(q.part, it.Dest)
				f.Items[i].Item = it
			}
		case frame.Anchor:
			if it.Name != "" {
				it.Name = doc.InPart(q.part, it.Name)
			}
			it.Level += q.level
			f.Items[i].Item = it
		case frame.Field:
			if q.own {
				it.Name = ""
				f.Items[i].Item = it
			}
		}
	}
}
