package layout

import (
	"errors"
	"fmt"
	"slices"

	"saltline/internal/crew"
	"saltline/internal/doc"
	"saltline/internal/frame"
)

// Bind sets a volume on pages, its parts side by side. It fails as Pages does
// for any part, and where one cannot be made.
func Bind(v *doc.Volume, style Style, fonts *frame.Fonts) (frame.Print, error) {
	set := make([]*setting, len(v.Parts))
	errs := make([]error, len(v.Parts))
	crew.Do(len(v.Parts), func(n int) {
		p := &v.Parts[n]
		d, err := p.Make()
		if err == nil && d.Title == "" {
			err = errors.New("layout: a part of a volume has no title")
		}
		if err == nil {
			set[n], err = lay(&d, style, fonts, within{part: p})
		}
		if err != nil {
			errs[n] = fmt.Errorf("part %d %s: %w", n+1, p.Entry, err)
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
	pages := len(front.flow.pages)
	pageOf := front.flow.pageOf
	for n, s := range set {
		for name, page := range s.flow.pageOf {
			pageOf[doc.InPart(n, name)] = pages + page
		}
		s.before, s.part = pages, n
		pages += len(s.flow.pages)
	}
	front.number(pageOf)
	if _, known := pageOf[v.Cautions]; v.Cautions != "" && !known {
		return frame.Print{}, fmt.Errorf("layout: no part of the volume has a place %q", v.Cautions)
	}
	all := whole{pages: pages, words: v.Words, pageOf: pageOf, cautions: v.Cautions}
	out := frame.Print{Pages: front.stamped(all), Says: front.says}
	for n, s := range set {
		q := qualifier{part: n, level: v.Parts[n].Level, own: v.Parts[n].Own, done: map[*frame.Frame]bool{}}
		if v.Parts[n].Entry == "" {
			q.level-- // its headings stand in the place of a title
		}
		for _, body := range s.flow.pages {
			q.frame(body)
		}
		all.own = v.Parts[n].Own
		out.Pages = append(out.Pages, s.stamped(all)...)
		out.Says.Kids = append(out.Says.Kids, s.says)
	}
	return out, nil
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
