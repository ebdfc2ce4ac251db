package frame

// A Print is finished pages and what they say, in the order in which it is
// read: what a document is to a reader that cannot see it.
type Print struct {
	Pages []*Frame
	Says  *Element // the document; nil where nobody said
}

// An Element is a part of what a document says. Its own content is in the
// frames that name it, which may stand on several pages.
// A long log has hundreds of thousands of them, most of them cells.
type Element struct {
	Role    Role
	Ordered bool   // a list whose labels count
	Level   int16  // of a heading, from 1
	Span    int32  // columns that a cell spans; 0 for one
	Place   int32  // for whoever draws it, to find again what is known of it
	Alt     string // what a figure shows, or a link leads to
	Kids    []*Element

	// In is the element in whose content this one stands, among its words: a
	// link in a paragraph. It is not one of its Kids.
	In *Element
}

// Aside is the element of what is no part of the document: rules, running
// heads, the head of a table printed again.
var Aside = &Element{Role: Artifact}

// Add makes kid the next part of e, and returns it.
func (e *Element) Add(kid Element) *Element {
	k := &kid
	e.Kids = append(e.Kids, k)
	return k
}

// Within makes a part that stands among the words of e.
func (e *Element) Within(part Element) *Element {
	part.In = e
	return &part
}

// A Role says what an element is, in the terms of tagged PDF (ISO 32000-1,
// 14.8.4).
type Role uint8

const (
	Artifact Role = iota // none of the document's
	Document
	Part
	Heading
	Paragraph
	List
	ListItem
	ListLabel
	ListBody
	Contents
	ContentsEntry
	Table
	Row
	HeadCell
	Cell
	Figure
	Caption
	LinkText
	SignatureField
	Reference
)

var roleNames = [...]string{"artifact", "document", "part", "heading", "paragraph", "list", "list-item", "list-label", "list-body",
	"contents", "contents-entry", "table", "row", "head-cell", "cell", "figure", "caption", "link-text", "signature-field", "reference"}

// String is the role in lower-case words with hyphens.
func (r Role) String() string { return roleNames[r] }
