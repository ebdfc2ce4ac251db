package layout

import (
	"saltline/internal/doc"
	"saltline/internal/frame"
)

// fields sets labelled values in columns, filled row by row. The labels of a
// column of the grid are as wide as the widest of them.
func (b *builder) fields(fs doc.Fields, width float64) []piece {
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
		f := &frame.Frame{W: width}
		for i, it := range fs.Items[row:min(row+n, len(fs.Items))] {
			x := float64(i) * (column + st.Between)
			at := label[i] + st.Gap
			name := b.lines(doc.Plain(it.Label), b.style.Type.Label, label[i])
			value := b.lines(it.Value, b.style.Type.Body, column-at)
			base := max(name[0].base, value[0].base) // labels and values stand on one line
			field := &frame.Frame{W: column, Element: b.at.Add(frame.Element{Role: frame.Paragraph})}
			b.drawLines(field, 0, base-name[0].base, name)
			b.drawLines(field, at, base-value[0].base, value)
			f.Put(x, 0, field)
			f.H = max(f.H, base-name[0].base+linesHeight(name), base-value[0].base+linesHeight(value))
		}
		out = append(out, piece{frame: f, space: st.Row})
	}
	out[0].space = st.FirstRow
	keepEnds(out)
	return out
}
