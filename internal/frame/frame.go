// Package frame is finished layout: items at fixed places, with the font
// metrics that place them.
//
// All lengths are points of 1/72 inch. The origin is the top left corner, x
// runs to the right and y downwards. Nothing here measures a page or decides
// a break; whoever puts an item has already decided where it goes.
package frame

// A Frame is a rectangle with items at fixed places. Frames nest: a frame is
// itself an item, and its items are placed from its own top left corner.
type Frame struct {
	W, H    float64
	Element *Element // what its items belong to; nil for that of the frame around it
	Items   []Placed
}

// A Placed is an item and its place within a frame.
type Placed struct {
	X, Y float64
	Item Item
}

// Put places it at x, y.
func (f *Frame) Put(x, y float64, it Item) {
	f.Items = append(f.Items, Placed{x, y, it})
}

// An Item is one of Text, Path, Image, *Frame, Link, Anchor, Field and Drawn,
// and nothing else: whoever draws frames handles those eight and is complete.
type Item interface{ item() }

func (Text) item()   {}
func (Path) item()   {}
func (Image) item()  {}
func (*Frame) item() {}
func (Link) item()   {}
func (Anchor) item() {}
func (Field) item()  {}
func (Drawn) item()  {}

// A Text is one line of text in one face. Its place is the start of the
// baseline.
type Text struct {
	S      string // clean, see Clean
	Face   Face
	Size   float64
	Colour Colour
	Rotate float64 // degrees anticlockwise about the start of the baseline
}

// A Link is a rectangle that leads somewhere: to the Anchor called Dest, or to
// URI where Dest is empty. Its place is its top left corner.
type Link struct {
	W, H float64
	Dest string
	URI  string
}

// An Anchor is a place that links lead to. One with a Title is also a bookmark.
type Anchor struct {
	Name  string // "" where nothing links to it
	Title string // text of the bookmark, "" for none
	Level int    // depth of the bookmark, from 0
}

// A Field is the rectangle in which a digital signature is shown once it is
// made. Its place is its top left corner.
type Field struct {
	Name string // whose signature it is for, such as "inspector"; no two of a file are the same; "" for no field after all
	Says string // what it is for, for a reader that cannot see it
	W, H float64
}

// A Drawn is what has been drawn already, by whoever draws the rest: the items
// of a long log take much memory, and what is drawn of them takes less.
type Drawn struct{ By any }
