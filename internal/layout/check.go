package layout

import (
	"errors"
	"fmt"

	"saltline/internal/doc"
)

// checkBlocks finds what would only come out wrong on paper. places are those
// outside of d that its links may lead to.
func checkBlocks(d *doc.Document, places []string) error {
	c := checker{anchors: map[string]bool{}}
	for _, name := range places {
		c.anchor(name)
	}
	c.blocks(d.Blocks)
	if d.Footer.Cautions != "" {
		c.links = append(c.links, d.Footer.Cautions)
	}
	for _, dest := range c.links {
		if !c.anchors[dest] {
			c.errs = append(c.errs, fmt.Errorf("layout: link to %q, which is nowhere", dest))
		}
	}
	return errors.Join(c.errs...)
}

type checker struct {
	anchors map[string]bool
	links   []string
	errs    []error
}

func (c *checker) anchor(name string) {
	if name == "" {
		return
	}
	if c.anchors[name] {
		c.errs = append(c.errs, fmt.Errorf("layout: two places are called %q", name))
	}
	c.anchors[name] = true
}

func (c *checker) text(t doc.Text) {
	for _, r := range t {
		if r.Dest != "" {
			c.links = append(c.links, r.Dest)
		}
	}
}

func (c *checker) items(items []doc.Item) {
	for _, it := range items {
		c.text(it.Text)
	}
}

func (c *checker) fields(fields []doc.Field) {
	for _, f := range fields {
		c.text(f.Value)
	}
}

func (c *checker) blocks(blocks []doc.Block) {
	for _, bl := range blocks {
		switch bl := bl.(type) {
		case doc.Heading:
			if bl.Level < 1 || bl.Level > 3 {
				c.errs = append(c.errs, fmt.Errorf("layout: heading %q of level %d, want 1 to 3", bl.Text, bl.Level))
			}
			c.anchor(bl.Anchor)
		case doc.Paragraph:
			c.text(bl.Text)
		case doc.List:
			c.items(bl.Items)
		case doc.Fields:
			c.fields(bl.Items)
		case doc.Table:
			c.table(bl)
		case doc.Box:
			c.blocks(bl.Blocks)
		case doc.Figure:
			c.text(bl.Caption)
		case doc.Group:
			c.blocks(bl.Blocks)
		case doc.Contents:
		case doc.Signatures:
			for _, s := range bl.Items {
				c.fields(s.Fields)
			}
		default:
			panic(fmt.Sprintf("layout: unknown block %T", bl))
		}
	}
}

func (c *checker) table(t doc.Table) {
	for i, r := range t.Rows {
		want := len(t.Columns)
		if r.Group {
			want = 1
		}
		if len(r.Cells) != want {
			c.errs = append(c.errs, fmt.Errorf("layout: row %d of a table has %d cells, want %d", i+1, len(r.Cells), want))
		}
		c.anchor(r.Anchor)
		for _, cell := range r.Cells {
			c.text(cell)
		}
		c.text(r.Note)
	}
	c.items(t.Notes)
}
