package pdf

import (
	"bytes"
	"slices"

	"saltline/internal/frame"
)

// Ahead draws the bodies of the pages of a part of a document before it is known
// how many pages are in front of them. In their place it puts what it has drawn,
// and one element in that of all that the part is made of. The body of a page is
// the last of its items so far. What is above it is drawn for how it leaves the
// page set: until the page is drawn for good it may change in nothing but its
// words and where they stand.
//
// Parts may be drawn side by side. What is drawn of them goes into one file, the
// pages of each one behind the other.
func Ahead(p frame.Print, fonts *frame.Fonts) (err error) {
	defer caught(&err)
	s := speller{fonts: fonts}
	t := newTagger(&s.now)
	s.tagger = t
	all := make([]*body, len(p.Pages))
	var above [8]*shown // what is shown there now, of which nothing may be left in the whole
	for i, page := range p.Pages {
		all[i] = s.ahead(page, &above)
	}
	t.own(s.fields)
	d := &draft{says: &frame.Element{}, fields: s.fields}
	var o outline
	d.branch = o.open()
	for _, el := range p.Says.Kids {
		o.add(t, el, -1)
	}
	for i, b := range all {
		b.draft, b.page = d, i
		b.settle(t)
	}
	for i := range d.fields {
		it := &d.fields[i]
		it.element, it.owner = nil, t.settled(it.owner, d.branch)
	}
	d.branch.ahead, d.branch.known = true, nil
	p.Says.Kids = []*frame.Element{d.says}
	for face, shown := range s.shown {
		if shown != nil {
			d.shown[face] = shown.all()
		}
	}
	return nil
}

// A draft is what the pages of a part that were drawn ahead have in common.
type draft struct {
	branch *branch        // of all that the part is made of
	says   *frame.Element // that stands for all that the part is made of
	shown  [8][]rune      // characters, by face
	fields []field
}

// A body is that of a page that was drawn ahead.
type body struct {
	draft    *draft
	page     int // of the part, from 0
	before   state
	after    state
	contents contents
	told     []frame.Placed
	unnamed  []unnamed
	marked   marked
}

// A state is all that what comes next on a page depends on.
type state struct {
	setting
	open *frame.Element
}

func (s *speller) state() state { return state{s.set, s.tagger.open} }

// ahead draws the body of a page. above is what is shown above bodies.
func (s *speller) ahead(page *frame.Frame, above *[8]*shown) *body {
	last := len(page.Items) - 1
	s.now = s.now[:0]
	s.begin(page.H)
	s.shown, *above = *above, s.shown
	s.frame(&frame.Frame{Items: page.Items[:last]}, 0, 0, nil)
	s.shown, *above = *above, s.shown
	b := &body{before: s.state()}
	spelt, told := len(s.now), len(s.told)
	s.frame(&frame.Frame{Items: page.Items[last:]}, 0, 0, nil)
	b.after, b.marked = s.state(), s.tagger.pages[len(s.tagger.pages)-1]
	b.contents, b.told, b.unnamed = bytes.Clone(s.now[spelt:]), slices.Clone(s.told[told:]), slices.Clone(s.unnamed)
	for i := range b.unnamed {
		b.unnamed[i].at -= spelt
	}
	page.Items[last].Item = frame.Drawn{By: b}
	return b
}

// settled is an owner by its node in the branch of its part.
func (t *tagger) settled(o owner, of *branch) owner { return owner{of, int32(t.node(o))} }

// settle has b name elements by their nodes, and keeps no hold on any.
func (b *body) settle(t *tagger) {
	of := b.draft.branch
	b.marked.of = of
	for i, at := range b.marked.owners {
		b.marked.owners[i] = t.settled(owner{at: at}, of).at
	}
	for i := range b.marked.links {
		b.marked.links[i].owner = t.settled(b.marked.links[i].owner, of)
	}
	if b.after.open != nil && b.after.open != frame.Aside {
		b.after.open = b.draft.says // or anything else that is open
	}
}

// take puts b on the page.
func (s *speller) take(b *body) {
	t := s.tagger
	if t == nil {
		panic("a page that was drawn ahead says what nobody else does")
	}
	if now := s.state(); !now.setting.is(b.before.setting) || now.open != b.before.open {
		panic("a page that was drawn ahead is set to something else")
	}
	page := len(t.pages) - 1
	if d := b.draft; t.ahead[d.says] == nil { // the first of its pages
		d.branch.page = page - b.page
		t.ahead[d.says] = d.branch
		t.count += len(d.branch.nodes)
		for face, all := range d.shown {
			if all != nil {
				s.shownIn(frame.Face(face)).note(string(all))
			}
		}
		for _, it := range d.fields {
			it.page += d.branch.page
			s.fields = append(s.fields, it)
		}
	}
	if page != b.draft.branch.page+b.page {
		panic("a page that was drawn ahead is not where it belongs")
	}
	t.pages[page] = b.marked
	s.told = append(s.told, b.told...)
	from := 0
	for _, p := range b.unnamed {
		s.now = append(s.now, b.contents[from:p.at]...)
		s.now.op(s.picture(p.Image))
		from = p.at
	}
	s.now = append(s.now, b.contents[from:]...)
	s.set, t.open, t.at, t.spoken = b.after.setting, b.after.open, nil, nil
}
