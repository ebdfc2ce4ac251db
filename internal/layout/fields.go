package layout

import (
	"saltline/internal/doc"
	"saltline/internal/frame"
)

// A pair is a labelled value of a grid, or what is left of it.
type pair struct {
	name, value []line
	at          float64 // of the value, from the label
	element     *frame.Element
}

// fields sets labelled values in columns, filled row by row. The labels of a
// column of the grid are as wide as the widest of them. height is what a page
// can hold of them.
func (b *builder) fields(fs doc.Fields, width, height float64) []piece {
	if len(fs.Items) == 0 {
		return nil
	}
	st := b.style.Fields
	n := min(max(fs.Columns, 1), len(fs.Items))
	column := (width - float64(n-1)*st.Between) / float64(n)
	label := make([]float64, n)
	for i, it := range fs.Items {
		w := b.naturalWidth(doc.Plain(it.Label), b.style.Type.Label)
		label[i%n] = min(max(label[i%n], w), st.Label*column)
	}
	var out []piece
	for row := 0; row < len(fs.Items); row += n {
		var pairs []pair
		for i, it := range fs.Items[row:min(row+n, len(fs.Items))] {
			at := label[i] + st.Gap
			pairs = append(pairs, pair{
				name:    b.lines(doc.Plain(it.Label), b.style.Type.Label, label[i]),
				value:   b.lines(it.Value, b.style.Type.Body, column-at),
				at:      at,
				element: b.at.Add(frame.Element{Role: frame.Paragraph}),
			})
		}
		space := st.Row
		for pairsHeight(pairs) > max(height, 0)+slack { // a list of very many areas
			part := make([]pair, len(pairs))
			for i := range pairs {
				part[i], pairs[i] = pairs[i].parted(height * b.style.Table.Part)
			}
			out = append(out, piece{frame: b.fieldRow(part, column, width), space: space})
			space = 0
		}
		out = append(out, piece{frame: b.fieldRow(pairs, column, width), space: space})
	}
	out[0].space = st.FirstRow
	keepEnds(out)
	return out
}

// parted is as much of p as height holds, but at least a line, and the rest.
func (p pair) parted(height float64) (part, rest pair) {
	part, rest = p, p
	part.name, rest.name = fill(p.name, height)
	part.value, rest.value = fill(p.value, height)
	return part, rest
}

// tops is where the label and the value of p begin for their first lines to
// stand on one.
func (p pair) tops() (name, value float64) {
	if len(p.name) == 0 || len(p.value) == 0 {
		return 0, 0
	}
	base := max(p.name[0].base, p.value[0].base)
	return base - p.name[0].base, base - p.value[0].base
}

func pairsHeight(pairs []pair) float64 {
	h := 0.0
	for _, p := range pairs {
		name, value := p.tops()
		h = max(h, name+linesHeight(p.name), value+linesHeight(p.value))
	}
	return h
}

// fieldRow sets pairs beside each other.
func (b *builder) fieldRow(pairs []pair, column, width float64) *frame.Frame {
	f := &frame.Frame{W: width, H: pairsHeight(pairs)}
	for i, p := range pairs {
		name, value := p.tops()
		field := &frame.Frame{W: column, Element: p.element}
		b.drawLines(field, 0, name, p.name)
		b.drawLines(field, p.at, value, p.value)
		f.Put(float64(i)*(column+b.style.Fields.Between), 0, field)
	}
	return f
}
