package pdf

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/go-pdf/fpdf"

	"saltline/internal/frame"
)

// A drawer draws pages one after the other. It remembers what the page is set
// to, so that only changes are written.
type drawer struct {
	out    *fpdf.Fpdf
	fonts  *frame.Fonts
	height float64 // of the page, for PDF counts from the bottom

	loaded  [8]bool // faces given to the library; each of them is embedded
	hasFont bool
	face    frame.Face
	size    float64

	fill, stroke frame.Colour
	pen          float64 // width, negative where not known
	dash         []float64

	links  map[string]int  // number of the link to each anchor
	placed map[string]bool // anchors that have their place
	images map[[32]byte]string
	buf    []byte

	tagger *tagger // nil where nobody says what the pages say
	fields []field
	boxes  map[*frame.Element][4]float64 // of figures, where they are first met
	last   struct {                      // words
		frame.Text
		x, y float64
	}
}

// A field is a place for a digital signature on a page.
type field struct {
	frame.Field
	page    int // from 0
	rect    [4]float64
	element *frame.Element
}

func (d *drawer) page(f *frame.Frame) {
	d.out.AddPageFormat("P", fpdf.SizeType{Wd: f.W, Ht: f.H})
	d.height = f.H
	d.fill, d.stroke, d.pen, d.dash = frame.Black, frame.Black, -1, nil
	d.tagger.page()
	d.frame(f, 0, 0, nil)
	d.tagger.end()
}

// frame draws the items of f with its corner at x, y. They belong to the
// element around f where it has none of its own.
func (d *drawer) frame(f *frame.Frame, x, y float64, around *frame.Element) {
	el := around
	if f.Element != nil && around != frame.Aside {
		el = f.Element
		if _, known := d.boxes[el]; !known && el.Role == frame.Figure {
			d.boxes[el] = d.rect(x, y, f.W, f.H)
		}
	}
	for _, p := range f.Items {
		px, py := x+p.X, y+p.Y
		switch it := p.Item.(type) {
		case frame.Text:
			d.tagger.text(el, it.S)
			d.gap(it, px, py)
			d.text(it, px, py)
		case frame.Path:
			d.tagger.drawing(el)
			d.path(it, px, py)
		case frame.Image:
			d.tagger.picture(el)
			d.image(it, px, py)
		case *frame.Frame:
			d.frame(it, px, py, el)
		case frame.Link:
			d.tagger.link(el)
			d.link(it, px, py)
		case frame.Anchor:
			d.anchor(it, py)
		case frame.Field:
			if it.Name != "" {
				d.fields = append(d.fields, field{it, d.out.PageNo() - 1, d.rect(px, py, it.W, it.H), el})
			}
		default:
			panic(fmt.Sprintf("unknown item %T", it))
		}
	}
}

// rect is a rectangle as PDF has it: left, bottom, right, top.
func (d *drawer) rect(x, y, w, h float64) [4]float64 {
	return [4]float64{x, d.height - y - h, x + w, d.height - y}
}

// gap writes a space in front of a text that goes on with the words of an
// element on another line or page, or further on in the same line: what the
// eye sees there, a reader that cannot see it has to be told.
func (d *drawer) gap(t frame.Text, x, y float64) {
	if d.tagger == nil || d.tagger.at == nil {
		return
	}
	said, last, spaced := d.tagger.words(t.S)
	before := d.last
	d.last.Text, d.last.x, d.last.y = t, x, y
	switch {
	case !said, spaced, t.Rotate != 0, strings.HasPrefix(t.S, " "):
	case last && y == before.y && x-before.x-d.fonts.Width(before.Face, before.Size, before.S) < t.Size/10:
	default:
		d.text(frame.Text{S: " ", Face: t.Face, Size: t.Size, Colour: t.Colour}, x-d.fonts.Width(t.Face, t.Size, " "), y)
	}
}

func (d *drawer) text(t frame.Text, x, y float64) {
	if t.S == "" {
		return
	}
	d.font(t.Face, t.Size)
	d.fillColour(t.Colour)
	if t.Rotate == 0 {
		d.out.Text(x, y, t.S)
		return
	}
	// Turn the page about the start of the baseline, and set the text there.
	sin, cos := math.Sincos(t.Rotate * math.Pi / 180)
	d.begin()
	d.op("q")
	d.numbers(5, cos, sin, -sin, cos)
	d.numbers(2, x, d.height-y)
	d.op("cm")
	d.end()
	d.out.Text(0, d.height, t.S)
	d.out.RawWriteStr("Q")
}

// font selects a face, and hands it to the library when it is first used:
// every face that the library knows is embedded.
func (d *drawer) font(face frame.Face, size float64) {
	if d.hasFont && d.face == face && d.size == size {
		return
	}
	name := "IBMPlexSans-" + face.String()
	if !d.loaded[face] {
		d.loaded[face] = true
		d.out.AddUTF8FontFromBytes(name, "", d.fonts.TTF(face))
	}
	d.out.SetFont(name, "", size)
	d.hasFont, d.face, d.size = true, face, size
}

func (d *drawer) path(p frame.Path, x, y float64) {
	stroked := p.Pen.Width > 0
	if len(p.Segs) == 0 || !stroked && !p.Fill.On {
		return
	}
	if stroked {
		d.setPen(p.Pen)
	}
	if p.Fill.On {
		d.fillColour(p.Fill.Colour)
	}
	d.begin()
	for _, s := range p.Segs {
		switch s.Op {
		case frame.Move:
			d.point(x, y, s.P[0])
			d.op("m")
		case frame.Line:
			d.point(x, y, s.P[0])
			d.op("l")
		case frame.Curve:
			d.point(x, y, s.P[0])
			d.point(x, y, s.P[1])
			d.point(x, y, s.P[2])
			d.op("c")
		case frame.Close:
			d.op("h")
		default:
			panic(fmt.Sprintf("unknown path operator %q", s.Op))
		}
	}
	switch {
	case stroked && p.Fill.On:
		d.op("B")
	case stroked:
		d.op("S")
	default:
		d.op("f")
	}
	d.end()
}

func (d *drawer) setPen(p frame.Pen) {
	d.begin()
	if p.Width != d.pen {
		d.numbers(3, p.Width)
		d.op("w")
		d.pen = p.Width
	}
	if p.Colour != d.stroke {
		d.colour(p.Colour)
		d.op("RG")
		d.stroke = p.Colour
	}
	if !slices.Equal(p.Dash, d.dash) {
		d.buf = append(d.buf, '[')
		d.numbers(3, p.Dash...)
		d.op("] 0 d")
		d.dash = p.Dash
	}
	d.end()
}

func (d *drawer) fillColour(c frame.Colour) {
	if c == d.fill {
		return
	}
	d.begin()
	d.colour(c)
	d.op("rg")
	d.end()
	d.fill = c
}

// image draws a picture; the same picture twice is stored once.
func (d *drawer) image(im frame.Image, x, y float64) {
	key := sha256.Sum256(im.Data)
	options := fpdf.ImageOptions{ImageType: "jpg", AllowNegativePosition: true}
	if im.IsPNG() {
		options.ImageType = "png"
	}
	name, known := d.images[key]
	if !known {
		name = "picture" + strconv.Itoa(len(d.images)+1)
		d.images[key] = name
		info := d.out.RegisterImageOptionsReader(name, options, bytes.NewReader(im.Data))
		if err := d.out.Error(); err != nil {
			panic(err)
		}
		if err := setOrder(info, len(d.images)); err != nil {
			panic(err)
		}
	}
	d.out.ImageOptions(name, x, y, im.W, im.H, false, options, 0, "")
}

func (d *drawer) link(l frame.Link, x, y float64) {
	if l.Dest == "" {
		d.out.LinkString(x, y, l.W, l.H, l.URI)
		return
	}
	d.out.Link(x, y, l.W, l.H, d.linkTo(l.Dest))
}

// linkTo is the number of the link to an anchor, which may come later.
func (d *drawer) linkTo(name string) int {
	id, ok := d.links[name]
	if !ok {
		id = d.out.AddLink()
		d.links[name] = id
	}
	return id
}

func (d *drawer) anchor(a frame.Anchor, y float64) {
	if a.Name != "" {
		d.out.SetLink(d.linkTo(a.Name), y, -1)
		d.placed[a.Name] = true
	}
	if a.Title != "" {
		if !d.hasFont { // the library encodes a title as it does text
			d.font(frame.Regular, 9)
		}
		d.out.Bookmark(a.Title, a.Level, y)
	}
}

// release lets go of the library, which holds all pages once more.
func (d *drawer) release() {
	d.out = nil
	if d.tagger != nil {
		d.tagger.out = nil
	}
}

// loose is the error of links that lead nowhere.
func (d *drawer) loose() error {
	var names []string
	for name := range d.links {
		if !d.placed[name] {
			names = append(names, name)
		}
	}
	if len(names) == 0 {
		return nil
	}
	slices.Sort(names)
	return fmt.Errorf("pdf: links to %q, which are nowhere", names)
}

// Operators are collected in buf and written to the page as one line.

func (d *drawer) begin() { d.buf = d.buf[:0] }

func (d *drawer) end() {
	if n := len(d.buf); n > 0 {
		d.out.RawWriteStr(string(d.buf[:n-1]))
	}
}

func (d *drawer) op(s string) {
	d.buf = append(append(d.buf, s...), ' ')
}

// numbers writes each v to the given number of decimals.
func (d *drawer) numbers(decimals int, vs ...float64) {
	for _, v := range vs {
		d.buf = append(strconv.AppendFloat(d.buf, v, 'f', decimals, 64), ' ')
	}
}

func (d *drawer) point(x, y float64, p frame.Point) {
	d.numbers(2, x+p.X, d.height-y-p.Y)
}

func (d *drawer) colour(c frame.Colour) {
	d.numbers(3, float64(c.R)/255, float64(c.G)/255, float64(c.B)/255)
}
