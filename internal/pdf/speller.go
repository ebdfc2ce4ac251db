package pdf

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"saltline/internal/frame"
)

// A speller spells what is on pages, one after the other. It remembers what the
// page is set to, so that only changes are written.
//
// It writes what the library would, which writes a line of text in ten pieces
// and keeps all pages as they are drawn. What the library has to be told of a
// page is noted.
type speller struct {
	now    contents       // of the page that is drawn
	told   []frame.Placed // links and anchors of the page, in order
	fonts  *frame.Fonts
	pages  int     // that were begun
	height float64 // of the page, for PDF counts from the bottom
	shown  [8]*shown
	set    setting
	fields []field  // of all pages
	tagger *tagger  // nil where nobody says what the pages say
	last   struct { // words
		frame.Text
		x, y float64
	}

	picture func(frame.Image) string // what a picture is called on a page; nil where that is not known yet
	unnamed []unnamed                // pictures of the page
}

// A setting is what a page is set to.
type setting struct {
	hasFont bool
	face    frame.Face
	size    float64

	fill, stroke frame.Colour
	pen          float64 // width, negative where not known
	dash         []float64
}

// is reports whether a page that is set so is set as other says.
func (s setting) is(other setting) bool {
	return s.hasFont == other.hasFont && s.face == other.face && s.size == other.size &&
		s.fill == other.fill && s.stroke == other.stroke && s.pen == other.pen && slices.Equal(s.dash, other.dash)
}

// A field is a place for a digital signature on a page.
type field struct {
	frame.Field
	page    int // from 0
	rect    [4]float64
	element *frame.Element // nil where it was drawn ahead
	owner   owner
}

// An unnamed is a picture without a name, and where that belongs.
type unnamed struct {
	frame.Image
	at int
}

// begin begins a page of the given height, set to what every page is set to.
func (s *speller) begin(height float64) {
	s.pages++
	s.height, s.told, s.unnamed = height, s.told[:0], s.unnamed[:0]
	s.set.fill, s.set.stroke, s.set.pen, s.set.dash = frame.Black, frame.Black, -1, nil
	s.tagger.page()
}

// frame draws the items of f with its corner at x, y. They belong to the
// element around f where it has none of its own.
func (s *speller) frame(f *frame.Frame, x, y float64, around *frame.Element) {
	el := around
	if f.Element != nil && around != frame.Aside {
		if el = f.Element; el.Role == frame.Figure {
			s.tagger.figure(el, s.rect(x, y, f.W, f.H))
		}
	}
	for _, p := range f.Items {
		px, py := x+p.X, y+p.Y
		switch it := p.Item.(type) {
		case frame.Text:
			s.tagger.text(el, it.S)
			s.gap(it, px, py)
			s.text(it, px, py)
		case frame.Path:
			s.tagger.drawing(el)
			s.path(it, px, py)
		case frame.Image:
			s.tagger.picture(el)
			s.image(it, px, py)
		case *frame.Frame:
			s.frame(it, px, py, el)
		case frame.Link:
			s.tagger.link(el)
			s.told = append(s.told, frame.Placed{X: px, Y: py, Item: it})
		case frame.Anchor:
			if it.Title != "" && !s.set.hasFont { // the library took a title for text, which needs a face
				s.font(frame.Regular, 9)
			}
			s.told = append(s.told, frame.Placed{X: px, Y: py, Item: it})
		case frame.Field:
			if it.Name != "" {
				s.fields = append(s.fields, field{Field: it, page: s.pages - 1, rect: s.rect(px, py, it.W, it.H), element: el})
			}
		case frame.Drawn:
			s.take(it.By.(*body))
		default:
			panic(fmt.Sprintf("unknown item %T", it))
		}
	}
}

// rect is a rectangle as PDF has it: left, bottom, right, top.
func (s *speller) rect(x, y, w, h float64) [4]float64 {
	return [4]float64{x, s.height - y - h, x + w, s.height - y}
}

// gap writes a space in front of a text that goes on with the words of an
// element on another line or page, or further on in the same line: what the
// eye sees there, a reader that cannot see it has to be told.
func (s *speller) gap(t frame.Text, x, y float64) {
	if s.tagger == nil || s.tagger.at == nil {
		return
	}
	said, last, spaced := s.tagger.words(t.S)
	before := s.last
	s.last.Text, s.last.x, s.last.y = t, x, y
	switch {
	case !said, spaced, t.Rotate != 0, strings.HasPrefix(t.S, " "):
	case last && y == before.y && x-before.x-s.fonts.Width(before.Face, before.Size, before.S) < t.Size/10:
	default:
		s.text(frame.Text{S: " ", Face: t.Face, Size: t.Size, Colour: t.Colour}, x-s.fonts.Width(t.Face, t.Size, " "), y)
	}
}

func (s *speller) text(t frame.Text, x, y float64) {
	if t.S == "" {
		return
	}
	s.font(t.Face, t.Size)
	s.fillColour(t.Colour)
	s.shownIn(t.Face).note(t.S)
	if t.Rotate == 0 {
		s.now.show(x, s.height-y, t.S)
		return
	}
	// Turn the page about the start of the baseline, and set the text there.
	sin, cos := math.Sincos(t.Rotate * math.Pi / 180)
	s.now.op("q")
	s.now.numbers(5, cos, sin, -sin, cos)
	s.now.numbers(2, x, s.height-y)
	s.now.op("cm")
	s.now.end()
	s.now.show(0, 0, t.S)
	s.now.line("Q")
}

// font selects a face.
func (s *speller) font(face frame.Face, size float64) {
	if s.set.hasFont && s.set.face == face && s.set.size == size {
		return
	}
	s.shownIn(face)
	s.set.hasFont, s.set.face, s.set.size = true, face, size
	s.setFont()
}

// shownIn is what is shown in a face.
func (s *speller) shownIn(face frame.Face) *shown {
	if s.shown[face] == nil {
		s.shown[face] = load(s.fonts, face)
	}
	return s.shown[face]
}

func (s *speller) setFont() {
	s.now.op("BT")
	s.now.op(s.shown[s.set.face].operator)
	s.now.numbers(2, s.set.size)
	s.now.op("Tf ET")
	s.now.end()
}

func (s *speller) path(p frame.Path, x, y float64) {
	stroked := p.Pen.Width > 0
	if len(p.Segs) == 0 || !stroked && !p.Fill.On {
		return
	}
	if stroked {
		s.setPen(p.Pen)
	}
	if p.Fill.On {
		s.fillColour(p.Fill.Colour)
	}
	for _, seg := range p.Segs {
		switch seg.Op {
		case frame.Move:
			s.point(x, y, seg.P[0])
			s.now.op("m")
		case frame.Line:
			s.point(x, y, seg.P[0])
			s.now.op("l")
		case frame.Curve:
			s.point(x, y, seg.P[0])
			s.point(x, y, seg.P[1])
			s.point(x, y, seg.P[2])
			s.now.op("c")
		case frame.Close:
			s.now.op("h")
		default:
			panic(fmt.Sprintf("unknown path operator %q", seg.Op))
		}
	}
	switch {
	case stroked && p.Fill.On:
		s.now.op("B")
	case stroked:
		s.now.op("S")
	default:
		s.now.op("f")
	}
	s.now.end()
}

func (s *speller) setPen(p frame.Pen) {
	if p.Width != s.set.pen {
		s.now.numbers(3, p.Width)
		s.now.op("w")
		s.set.pen = p.Width
	}
	if p.Colour != s.set.stroke {
		s.now.colour(p.Colour)
		s.now.op("RG")
		s.set.stroke = p.Colour
	}
	if !slices.Equal(p.Dash, s.set.dash) {
		s.now = append(s.now, '[')
		s.now.numbers(3, p.Dash...)
		s.now.op("] 0 d")
		s.set.dash = p.Dash
	}
	s.now.end()
}

func (s *speller) fillColour(c frame.Colour) {
	if c == s.set.fill {
		return
	}
	s.now.colour(c)
	s.now.op("rg")
	s.now.end()
	s.set.fill = c
}

func (s *speller) image(im frame.Image, x, y float64) {
	s.now.op("q")
	s.now.numbers(5, im.W)
	s.now.op("0 0")
	s.now.numbers(5, im.H, x, s.height-(y+im.H))
	s.now.op("cm")
	if s.picture == nil {
		s.unnamed = append(s.unnamed, unnamed{im, len(s.now)})
	} else {
		s.now.op(s.picture(im))
	}
	s.now.op("Do Q")
	s.now.end()
}

func (s *speller) point(x, y float64, p frame.Point) {
	s.now.numbers(2, x+p.X, s.height-y-p.Y)
}
