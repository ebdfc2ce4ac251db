package doc

import "fmt"

// EachText calls f with every piece of text that d prints, so that characters
// which no font can show are found before they are printed.
func (d *Document) EachText(f func(string)) {
	for _, s := range []string{d.Title, d.Number, d.Revision, d.Job, d.Scope, d.Status,
		d.Footer.Digest, d.Footer.Tool, d.Footer.Produced,
		d.Words.PageOf, d.Words.Cautions, d.Words.Continued, d.Words.End} {
		f(s)
	}
	eachText(d.Blocks, f)
}

func eachText(blocks []Block, f func(string)) {
	text := func(t Text) {
		for _, r := range t {
			f(r.S)
		}
	}
	items := func(list []Item) {
		for _, it := range list {
			f(it.Label)
			text(it.Text)
		}
	}
	fields := func(list []Field) {
		for _, it := range list {
			f(it.Label)
			text(it.Value)
		}
	}
	for _, b := range blocks {
		switch b := b.(type) {
		case Heading:
			f(b.Text)
		case Paragraph:
			text(b.Text)
		case List:
			items(b.Items)
		case Fields:
			fields(b.Items)
		case Table:
			for _, c := range b.Columns {
				f(c.Head)
				f(c.Unit)
			}
			for _, r := range b.Rows {
				for _, c := range r.Cells {
					text(c)
				}
				text(r.Note)
			}
			if len(b.Rows) == 0 {
				f(b.Empty)
			}
			items(b.Notes)
		case Box:
			f(b.Title)
			eachText(b.Blocks, f)
		case Figure:
			text(b.Caption)
		case Group:
			eachText(b.Blocks, f)
		case Contents: // repeats the headings
		case Signatures:
			for _, s := range b.Items {
				f(s.Role)
				f(s.Statement)
				fields(s.Fields)
				f(s.Sign)
				f(s.State)
			}
		default:
			panic(fmt.Sprintf("doc: unknown block %T", b))
		}
	}
}
