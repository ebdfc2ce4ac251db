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
		panels, err := b.signaturePanels(s.Items[row:min(row+n, len(s.Items))], column)
		if err != nil {
			return nil, err
		}
		f := &frame.Frame{W: width}
		for i, panel := range panels {
			f.Put(float64(i)*(column+st.Between), 0, panel)
			f.H = max(f.H, panel.H)
		}
		out = append(out, piece{frame: f, space: st.Between, sign: true})
	}
	keepTogether(out)
	return out, nil
}

// signaturePanels sets places to sign that stand beside each other, with their
// rows level: the statements, each of the lines to write on, the line to sign.
func (b *builder) signaturePanels(items []doc.Signature, width float64) ([]*frame.Frame, error) {
	st := b.style.Signature
	panels := make([]*frame.Frame, len(items))
	y, rows, label := b.style.Table.Pad, 0, 0.0
	for i, it := range items {
		ls := append(b.lines(doc.Plain(it.Role), st.Role, width), b.lines(doc.Plain(it.Statement), st.Text, width)...)
		panels[i] = &frame.Frame{W: width, Element: b.at.Add(frame.Element{Role: frame.Paragraph})}
		panels[i].Put(0, 0, frame.HLine(width, b.style.Rule.Thin))
		b.drawLines(panels[i], 0, b.style.Table.Pad, ls)
		y = max(y, b.style.Table.Pad+linesHeight(ls))
		rows = max(rows, len(it.Fields))
		label = max(label, b.labelWidth(it))
	}
	label = min(label, st.Label*width)

	for row := range rows {
		entries := make([]entry, len(items))
		for i, it := range items {
			if row < len(it.Fields) {
				entries[i] = b.entry(it.Fields[row], label, width)
			}
		}
		y = b.write(panels, entries, y, st.Line)
	}
	entries := make([]entry, len(items))
	for i, it := range items {
		entries[i] = b.entry(doc.Labelled(it.Sign, nil), label, width)
		if it.Image != nil {
			pic, err := frame.NewImage(it.Image, width-entries[i].at, st.Sign, it.Role)
			if err != nil {
				return nil, fmt.Errorf("layout: signature of %s: %w", it.Role, err)
			}
			panels[i].Put(entries[i].at, y+st.Sign-pic.H, &frame.Frame{W: pic.W, H: pic.H,
				Element: panels[i].Element.Within(frame.Element{Role: frame.Figure, Alt: pic.Alt}), Items: []frame.Placed{{Item: pic}}})
		}
	}
	top := y
	y = b.write(panels, entries, y, st.Sign)
	for i, it := range items {
		panels[i].H = y
		if it.Field != "" {
			e := entries[i]
			panels[i].Put(e.at, top, &frame.Frame{W: e.w, H: y - top, Element: panels[i].Element.Within(frame.Element{Role: frame.SignatureField, Alt: it.Role}),
				Items: []frame.Placed{{Item: frame.Field{Name: it.Field, Says: it.Role, W: e.w, H: y - top}}}})
		}
		if it.State != "" {
			at := entries[i].at
			state := b.lines(doc.Plain(it.State), b.style.Type.Status, width-at)
			b.drawLines(panels[i], at, y+b.style.Table.Pad, state)
			panels[i].H += b.style.Table.Pad + linesHeight(state)
		}
	}
	return panels, nil
}

// labelWidth is the width of the widest label of s.
func (b *builder) labelWidth(s doc.Signature) float64 {
	w := b.naturalWidth(doc.Plain(s.Sign), b.style.Type.Label)
	for _, it := range s.Fields {
		w = max(w, b.naturalWidth(doc.Plain(it.Label), b.style.Type.Label))
	}
	return w
}

// An entry is a line to write on with its label and what is there already.
// One without lines is not there.
type entry struct {
	label, value []line
	at, w        float64 // of the value
}

// entry sets a field beside a label of the given width.
func (b *builder) entry(f doc.Field, label, width float64) entry {
	at := label + b.style.Space.Label
	return entry{
		label: b.lines(doc.Plain(f.Label), b.style.Type.Label, label),
		value: b.lines(f.Value, b.style.Signature.Text, width-at),
		at:    at, w: width - at,
	}
}

// write draws one row of entries from y on, an entry a panel, each label level
// with the first line of its value, and returns where the row ends. A row of
// single lines has the given height; each further line adds its own to that.
func (b *builder) write(panels []*frame.Frame, entries []entry, y, height float64) float64 {
	up, down, deep := 0.0, 0.0, 0.0 // from the first baseline: to the tops, to the second lines, to the ends
	for _, e := range entries {
		for _, ls := range [][]line{e.label, e.value} {
			if len(ls) > 0 {
				up = max(up, ls[0].base)
				down = max(down, ls[0].h-ls[0].base)
				deep = max(deep, linesHeight(ls)-ls[0].base)
			}
		}
	}
	pad := b.style.Signature.Pad
	base := y + max(height-pad-down, up)
	end := base + deep + pad
	for i, e := range entries {
		if len(e.label) > 0 {
			b.drawLines(panels[i], 0, base-e.label[0].base, e.label)
			b.drawLines(panels[i], e.at, base-e.value[0].base, e.value)
			panels[i].Put(e.at, end, frame.HLine(e.w, b.style.Rule.Fill))
		}
	}
	return end
}
