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
func Pages(d *doc.Document, style Style, fonts *frame.Fonts) ([]*frame.Frame, error) {
	if style.TextWidth() <= 0 || style.TextHeight() <= 0 {
		return nil, errors.New("layout: the margins leave no room on the page")
	}
	if err := checkBlocks(d); err != nil {
		return nil, err
	}
	b := &builder{
		setter:   setter{style, fonts},
		words:    d.Words,
		headings: collectHeadings(d.Blocks, nil),
	}
	body, err := b.pieces(d.Blocks, style.TextWidth(), style.TextHeight())
	if err != nil {
		return nil, err
	}
	fl := newFlow(style.TextWidth(), style.TextHeight(), style.Page.Blank*style.TextHeight())
	all := append(b.title(d), body...)
	keepSignatures(all, style.TextHeight())
	fl.run(all)
	b.number(fl.pageOf)
	return b.stamped(d, fl), nil
}

// title opens the first page with the title of the document.
func (b *builder) title(d *doc.Document) []piece {
	if d.Title == "" {
		return nil
	}
	ps := b.linePieces(frame.Heading, doc.Plain(d.Title), b.style.Type.Title, b.style.TextWidth())
	for i := range ps {
		ps[i].heading, ps[i].keepNext = true, true
	}
	ps[len(ps)-1].below = b.style.Space.Heading
	return ps
}
