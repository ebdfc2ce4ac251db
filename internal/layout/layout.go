// Package layout turns blocks into pages.
//
// Each block becomes pieces that know their width and not their page; a flow
// puts the pieces on pages; what every page says about itself is stamped on
// when the pages are counted.
package layout

import (
	"errors"

	"saltline/internal/doc"
	"saltline/internal/frame"
)

// Pages sets d on pages. It fails where d contradicts itself: a link to a
// place that is not there, two places of one name, a row that does not match
// its table, a figure larger than a page.
func Pages(d *doc.Document, style Style, fonts *frame.Fonts) (frame.Print, error) {
	s, err := lay(d, style, fonts, within{})
	if err != nil {
		return frame.Print{}, err
	}
	s.number(s.pageOf)
	return frame.Print{Pages: s.stamped(whole{pages: len(s.bodies), words: d.Words, pageOf: s.pageOf}), Says: s.says}, nil
}

// within says where in a volume a document stands. The zero value is that of
// one by itself.
type within struct {
	part   *doc.Part // the part that it is; nil for none
	behind []heading // of the parts behind it, for the contents
	places []string  // of the parts behind it, for links
}

// A setting is a document whose pages are made but for what is stamped on
// them.
type setting struct {
	*builder
	doc    doc.Document // without its blocks
	says   *frame.Element
	foot   *frame.Element // of the link at the foot of its pages
	bodies []frame.Item   // of its pages
	pageOf map[string]int // page of each anchor, from 1
	before int            // pages of the volume in front of it
	part   int            // of the volume, from 0; −1 for what is none
}

// name is the name in the whole of a place of the document.
func (s *setting) name(place string) string {
	if s.part < 0 {
		return place
	}
	return doc.InPart(s.part, place)
}

// lay makes the pages of d.
func lay(d *doc.Document, style Style, fonts *frame.Fonts, in within) (*setting, error) {
	if style.TextWidth() <= 0 || style.TextHeight() <= 0 {
		return nil, errors.New("layout: the margins leave no room on the page")
	}
	if err := checkBlocks(d, in.places); err != nil {
		return nil, err
	}
	says := &frame.Element{Role: frame.Document}
	deep := 2 // below the title
	if p := in.part; p != nil {
		says.Role = frame.Part
		if deep = 1 + p.Level; p.Entry != "" {
			deep++ // below the title of the part
		}
	}
	b := &builder{
		setter:   setter{style, fonts},
		at:       says,
		deep:     deep,
		words:    d.Words,
		headings: collectHeadings(d.Blocks, nil),
		behind:   in.behind,
	}
	title := b.title(d, in.part)
	body, err := b.pieces(d.Blocks, style.TextWidth(), style.TextHeight())
	if err != nil {
		return nil, err
	}
	fl := newFlow(style.TextWidth(), style.TextHeight(), style.Page.Blank*style.TextHeight())
	all := append(title, body...)
	keepSignatures(all, style.TextHeight())
	fl.run(all)
	s := &setting{builder: b, doc: *d, says: says, bodies: make([]frame.Item, len(fl.pages)), pageOf: fl.pageOf, part: -1}
	for i, body := range fl.pages {
		s.bodies[i] = body
	}
	s.doc.Blocks = nil
	return s, nil
}

// title opens the first page with the title of the document. That of a part of
// a volume is a bookmark.
func (b *builder) title(d *doc.Document, part *doc.Part) []piece {
	if d.Title == "" || part != nil && part.Entry == "" {
		return nil
	}
	ps := b.linePieces(frame.Element{Role: frame.Heading, Level: int16(b.deep - 1)}, doc.Plain(d.Title), b.style.Type.Title, b.style.TextWidth())
	for i := range ps {
		ps[i].heading, ps[i].keepNext = true, true
	}
	ps[len(ps)-1].below = b.style.Space.Heading
	if part != nil {
		ps[0].frame.Put(0, 0, frame.Anchor{Name: doc.OpeningOfPart, Title: part.Entry, Level: -1})
		ps[0].anchors = []string{doc.OpeningOfPart}
	}
	return ps
}
