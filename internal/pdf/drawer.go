package pdf

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"

	"github.com/go-pdf/fpdf"

	"saltline/internal/frame"
	"saltline/internal/objects"
)

// A drawer draws pages one after the other. It remembers what the page is set
// to, so that only changes are written.
//
// It spells what is on the pages itself, as the library would, which writes a
// line of text in ten pieces and keeps all pages as they are drawn. What the
// library is given are pages with nothing on them but links, and pictures and
// bookmarks.
type drawer struct {
	out    *fpdf.Fpdf
	press  *press
	now    contents // of the page that is drawn
	fonts  *frame.Fonts
	height float64 // of the page, for PDF counts from the bottom

	lines, colours []byte // how a page begins, in the library's words

	shown     [8]*shown
	embedded  []*embedded
	embedding sync.WaitGroup // of which each is being made

	hasFont bool
	face    frame.Face
	size    float64

	fill, stroke frame.Colour
	pen          float64 // width, negative where not known
	dash         []float64

	links  map[string]int      // number of the link to each anchor
	placed map[string]bool     // anchors that have their place
	images map[[32]byte]string // what each picture is called on a page

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
	// The font is that of the page before, and set as the library does it: twice.
	d.now = append(d.press.paper(), d.lines...)
	if d.hasFont {
		d.setFont()
	}
	d.now = append(d.now, d.colours...)
	if d.hasFont {
		d.setFont()
	}
	d.tagger.page()
	d.frame(f, 0, 0, nil)
	d.tagger.end()
	d.press.take(d.out.PageNo()-1, d.now)
}

// spelled is what the library writes on a page for what do does.
func (d *drawer) spelled(do func(*fpdf.Tpl)) []byte {
	page := d.out.CreateTemplate(do).Bytes()
	if err := d.out.Error(); err != nil {
		panic(err)
	}
	return page
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
	d.shown[t.Face].note(t.S)
	if t.Rotate == 0 {
		d.now.show(x, d.height-y, t.S)
		return
	}
	// Turn the page about the start of the baseline, and set the text there.
	sin, cos := math.Sincos(t.Rotate * math.Pi / 180)
	d.now.op("q")
	d.now.numbers(5, cos, sin, -sin, cos)
	d.now.numbers(2, x, d.height-y)
	d.now.op("cm")
	d.now.end()
	d.now.show(0, 0, t.S)
	d.now.line("Q")
}

// font selects a face.
func (d *drawer) font(face frame.Face, size float64) {
	if d.hasFont && d.face == face && d.size == size {
		return
	}
	if d.shown[face] == nil {
		d.shown[face] = d.load(face)
	}
	d.hasFont, d.face, d.size = true, face, size
	d.setFont()
}

func (d *drawer) setFont() {
	d.now.op("BT")
	d.now.op(d.shown[d.face].operator)
	d.now.numbers(2, d.size)
	d.now.op("Tf ET")
	d.now.end()
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
	for _, s := range p.Segs {
		switch s.Op {
		case frame.Move:
			d.point(x, y, s.P[0])
			d.now.op("m")
		case frame.Line:
			d.point(x, y, s.P[0])
			d.now.op("l")
		case frame.Curve:
			d.point(x, y, s.P[0])
			d.point(x, y, s.P[1])
			d.point(x, y, s.P[2])
			d.now.op("c")
		case frame.Close:
			d.now.op("h")
		default:
			panic(fmt.Sprintf("unknown path operator %q", s.Op))
		}
	}
	switch {
	case stroked && p.Fill.On:
		d.now.op("B")
	case stroked:
		d.now.op("S")
	default:
		d.now.op("f")
	}
	d.now.end()
}

func (d *drawer) setPen(p frame.Pen) {
	if p.Width != d.pen {
		d.now.numbers(3, p.Width)
		d.now.op("w")
		d.pen = p.Width
	}
	if p.Colour != d.stroke {
		d.now.colour(p.Colour)
		d.now.op("RG")
		d.stroke = p.Colour
	}
	if !slices.Equal(p.Dash, d.dash) {
		d.now = append(d.now, '[')
		d.now.numbers(3, p.Dash...)
		d.now.op("] 0 d")
		d.dash = p.Dash
	}
	d.now.end()
}

func (d *drawer) fillColour(c frame.Colour) {
	if c == d.fill {
		return
	}
	d.now.colour(c)
	d.now.op("rg")
	d.now.end()
	d.fill = c
}

// image draws a picture; the same picture twice is stored once.
func (d *drawer) image(im frame.Image, x, y float64) {
	key := sha256.Sum256(im.Data)
	name, known := d.images[key]
	if !known {
		name = d.store(im, len(d.images)+1)
		d.images[key] = name
	}
	d.now.op("q")
	d.now.numbers(5, im.W)
	d.now.op("0 0")
	d.now.numbers(5, im.H, x, d.height-(y+im.H))
	d.now.op("cm")
	d.now.op(name)
	d.now.op("Do Q")
	d.now.end()
}

// store gives picture n to the library, and says what it is called on a page.
func (d *drawer) store(im frame.Image, n int) string {
	options := fpdf.ImageOptions{ImageType: "jpg", AllowNegativePosition: true}
	if im.IsPNG() {
		options.ImageType = "png"
	}
	name := "picture" + strconv.Itoa(n)
	info := d.out.RegisterImageOptionsReader(name, options, bytes.NewReader(im.Data))
	if err := d.out.Error(); err != nil {
		panic(err)
	}
	if err := setOrder(info, n); err != nil {
		panic(err)
	}
	return word(d.spelled(func(page *fpdf.Tpl) { page.ImageOptions(name, 0, 0, 1, 1, false, options, 0, "") }), "/I")
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
		if !d.hasFont { // the library took a title for text, which needs a face
			d.font(frame.Regular, 9)
		}
		d.out.Bookmark(string(objects.Wide(a.Title)), a.Level, y)
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

func (d *drawer) point(x, y float64, p frame.Point) {
	d.now.numbers(2, x+p.X, d.height-y-p.Y)
}
