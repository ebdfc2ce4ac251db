package layout

import (
	"fmt"

	"saltline/internal/doc"
	"saltline/internal/frame"
)

// signatures sets the places to sign beside each other, all on one page if it
// can hold them.
func (b *builder) signatures(s doc.Signatures, width float64) ([]piece, error) {
	if len(s.Items) == 0 {
		return nil, nil
	}
	st := b.style.Signature
	n := min(st.Across, len(s.Items))
	column := (width - float64(n-1)*st.Between) / float64(n)
	var out []piece
	for row := 0; row < len(s.Items); row += n {
		items := s.Items[row:min(row+n, len(s.Items))]
		// Statements differ in length; the lines to write on start level.
		head := 0.0
		for _, it := range items {
			head = max(head, linesHeight(b.statement(it, column)))
		}
		f := &frame.Frame{W: width}
		for i, it := range items {
			panel, err := b.signature(it, column, head)
			if err != nil {
				return nil, err
			}
			f.Put(float64(i)*(column+st.Between), 0, panel)
			f.H = max(f.H, panel.H)
		}
		out = append(out, piece{frame: f, space: st.Between, sign: true})
	}
	keepTogether(out)
	return out, nil
}

func (b *builder) statement(s doc.Signature, width float64) []line {
	st := b.style.Signature
	return append(b.lines(doc.Plain(s.Role), st.Role, width), b.lines(doc.Plain(s.Statement), st.Text, width)...)
}

// signature sets the place for one person, with the lines to write on below
// the height head.
func (b *builder) signature(s doc.Signature, width, head float64) (*frame.Frame, error) {
	st := b.style.Signature
	f := &frame.Frame{W: width, Role: frame.Paragraph}
	f.Put(0, 0, frame.HLine(width, b.style.Rule.Thin))
	y := b.style.Table.Pad
	b.drawLines(f, 0, y, b.statement(s, width))
	y += head

	label := b.naturalWidth(doc.Plain(s.Sign), b.style.Type.Label)
	for _, it := range s.Fields {
		label = max(label, b.naturalWidth(doc.Plain(it.Label), b.style.Type.Label))
	}
	label = min(label, st.Label*width)
	at := label + b.style.Space.Label
	write := func(name string, value []line, height float64) {
		labels := b.lines(doc.Plain(name), b.style.Type.Label, label)
		y += max(height, linesHeight(labels), linesHeight(value)+b.style.Table.Pad)
		top := y - linesHeight(value)
		b.drawLines(f, 0, top+lastBase(value)-lastBase(labels), labels)
		b.drawLines(f, at, top, value)
		f.Put(at, y, frame.HLine(width-at, b.style.Rule.Fill))
	}
	for _, it := range s.Fields {
		write(it.Label, b.lines(it.Value, st.Text, width-at), st.Line)
	}
	if s.Image != nil {
		pic, err := frame.NewImage(s.Image, width-at, st.Sign, s.Role)
		if err != nil {
			return nil, fmt.Errorf("layout: signature of %s: %w", s.Role, err)
		}
		f.Put(at, y+st.Sign-pic.H, pic)
	}
	write(s.Sign, b.lines(nil, st.Text, width-at), st.Sign)
	if s.State != "" {
		y += b.style.Table.Pad
		state := b.lines(doc.Plain(s.State), b.style.Type.Status, width-at)
		b.drawLines(f, at, y, state)
		y += linesHeight(state)
	}
	f.H = y
	return f, nil
}
