// Package doc is what a document says, in order, with no coordinates.
package doc

import "saltline/internal/frame"

// A Document is a sequence of blocks with what identifies it on every page.
type Document struct {
	Title    string
	Number   string // "" where it has none
	Revision string
	Job      string // the job, in the running head
	Scope    string // the area or the day, in the running head
	Author   string // in the metadata only
	Lang     string // language tag, such as "en-GB"
	Status   string // "DRAFT, not signed"; "" prints no status line
	Footer   Footer
	Words    Words
	Blocks   []Block
}

// A Footer is what the foot of every page says about where the page is from.
type Footer struct {
	Digest   string // of the input record, in the short form
	Tool     string // name and version of the program
	Produced string // date, as printed
	Cautions string // name of the anchor of the cautions; "" for none
}

// Words are the words that the layout itself has to say. Each %d is a page.
type Words struct {
	PageOf    string // number and count, in this order
	Cautions  string // where the cautions are
	Continued string // beside a group that began on an earlier page
	End       string // on the last page
}

// English returns the words in English.
func English() Words {
	return Words{
		PageOf:    "page %d of %d",
		Cautions:  "see cautions, page %d",
		Continued: "continued",
		End:       "end of document",
	}
}

// A Block is one of Heading, Paragraph, List, Fields, Table, Box, Figure,
// Group, Contents and Signatures.
type Block interface{ block() }

func (Heading) block()    {}
func (Paragraph) block()  {}
func (List) block()       {}
func (Fields) block()     {}
func (Table) block()      {}
func (Box) block()        {}
func (Figure) block()     {}
func (Group) block()      {}
func (Contents) block()   {}
func (Signatures) block() {}

// A Heading opens a section and is never the last thing on a page.
type Heading struct {
	Level   int // 1 for a section, 2 for a part of one, 3 for a part of that
	Text    string
	Anchor  string // name that links lead to; "" for none
	NewPage bool   // whether the section opens a page; has no effect in a box
	Large   bool   // set as a title is: a part among others on one page
}

// A Paragraph is running text.
type Paragraph struct{ Text Text }

// A List is a sequence of short texts, each with its label.
type List struct{ Items []Item }

// An Item is one entry of a list.
type Item struct {
	Label string // such as "1" or "F2"; a dash where empty
	Text  Text
}

// Entry is an item of a list.
func Entry(label string, text Text) Item { return Item{label, text} }

// Fields is a grid of labelled values, filled row by row.
type Fields struct {
	Columns int // 1 to 3
	Items   []Field
}

// A Field is a labelled value.
type Field struct {
	Label string
	Value Text
}

// Labelled is a field.
func Labelled(label string, value Text) Field { return Field{label, value} }

// A Box is a bordered panel that holds blocks. It is kept on one page unless
// it fills more than one.
type Box struct {
	Title  string // "" for none
	Blocks []Block
	Aside  *frame.Frame // stands on the right of the blocks, where the box is on one page; nil for none
}

// A Figure is a drawing with its caption.
type Figure struct {
	// Draw makes the drawing, at most as wide as the width it is given.
	Draw    func(width float64) *frame.Frame
	Caption Text
	Alt     string // what it shows, for a reader that cannot see it
}

// A Group is a sequence of blocks kept on one page where one can hold them.
type Group struct{ Blocks []Block }

// Contents lists the headings of the document down to a level with their
// pages.
type Contents struct{ Depth int }

// Signatures are the places to sign. They never stand alone on a page.
type Signatures struct{ Items []Signature }

// A Signature is the place for one person to sign.
type Signature struct {
	Role      string // such as "Inspector"
	Statement string // what the person states by signing
	Fields    []Field
	Sign      string // label of the line to sign on
	Image     []byte // JPEG or PNG of a signature that the record holds; nil for none
	State     string // such as "not signed"; "" prints nothing
	Field     string // name of the field for a digital signature, as in "inspector"; "" for none
}

// Drawn is the Draw of a figure that is finished already.
func Drawn(f *frame.Frame) func(float64) *frame.Frame {
	return func(float64) *frame.Frame { return f }
}
