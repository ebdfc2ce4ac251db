package frame

import (
	"crypto/sha256"
	"fmt"
	"strconv"
	"strings"
)

// String writes f with one item a line, the items of inner frames indented.
// Lengths are in points to a hundredth. It is the form that tests compare.
func (f *Frame) String() string {
	var b strings.Builder
	f.write(&b, "frame", 0)
	return b.String()
}

func (f *Frame) write(b *strings.Builder, head string, depth int) {
	fmt.Fprintf(b, "%s%s %s×%s", indent(depth), head, pt(f.W), pt(f.H))
	if f.Element != nil {
		b.WriteString(" " + f.Element.Role.String())
	}
	b.WriteByte('\n')
	for _, p := range f.Items {
		p.write(b, depth+1)
	}
}

func (p Placed) write(b *strings.Builder, depth int) {
	at := pt(p.X) + "," + pt(p.Y)
	if inner, ok := p.Item.(*Frame); ok {
		inner.write(b, "frame "+at, depth)
		return
	}
	b.WriteString(indent(depth))
	switch it := p.Item.(type) {
	case Text:
		fmt.Fprintf(b, "text %s %s %s", at, it.Face, pt(it.Size))
		if it.Colour != Black {
			fmt.Fprintf(b, " %s", it.Colour)
		}
		if it.Rotate != 0 {
			fmt.Fprintf(b, " rotate %s", pt(it.Rotate))
		}
		fmt.Fprintf(b, " %q", it.S)
	case Path:
		fmt.Fprintf(b, "path %s%s", at, it.attributes())
		for _, s := range it.Segs {
			fmt.Fprintf(b, " %c", s.Op)
			for _, q := range s.P[:s.Op.points()] {
				fmt.Fprintf(b, " %s,%s", pt(q.X), pt(q.Y))
			}
		}
	case Image:
		fmt.Fprintf(b, "image %s %s×%s %x %q", at, pt(it.W), pt(it.H), digest(it.Data), it.Alt)
	case Link:
		fmt.Fprintf(b, "link %s %s×%s", at, pt(it.W), pt(it.H))
		if it.Dest != "" {
			fmt.Fprintf(b, " to %s", it.Dest)
		} else {
			fmt.Fprintf(b, " to <%s>", it.URI)
		}
	case Anchor:
		fmt.Fprintf(b, "anchor %s %s", at, it.Name)
		if it.Title != "" {
			fmt.Fprintf(b, " level %d %q", it.Level, it.Title)
		}
	case Field:
		fmt.Fprintf(b, "field %s %s×%s %s %q", at, pt(it.W), pt(it.H), it.Name, it.Says)
	case Drawn:
		fmt.Fprintf(b, "drawn %s", at)
	default:
		panic(fmt.Sprintf("frame: unknown item %T", it))
	}
	b.WriteByte('\n')
}

func (p Path) attributes() string {
	var s string
	if p.Pen.Width > 0 {
		s += fmt.Sprintf(" pen %s %s", pt(p.Pen.Width), p.Pen.Colour)
		for i, d := range p.Pen.Dash {
			s += []string{" dash ", "-"}[min(i, 1)] + pt(d)
		}
	}
	if p.Fill.On {
		s += fmt.Sprintf(" fill %s", p.Fill.Colour)
	}
	return s
}

func indent(depth int) string { return strings.Repeat("  ", depth) }

// pt writes a length to a hundredth of a point, without trailing zeros.
func pt(v float64) string {
	s := strconv.FormatFloat(v, 'f', 2, 64)
	s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	if s == "-0" {
		return "0"
	}
	return s
}

// digest is enough of a picture's SHA-256 to tell pictures apart.
func digest(data []byte) []byte {
	sum := sha256.Sum256(data)
	return sum[:4]
}
