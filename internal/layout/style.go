package layout

import "saltline/internal/frame"

// A Style holds every number of geometry, in points, and every grey value.
// Nothing else in this package knows a length.
type Style struct {
	Page      Page
	Type      Types
	Space     Spaces
	Rule      Rules
	Table     TableStyle
	Fields    FieldStyle
	Box       BoxStyle
	Signature SignatureStyle
}

// A Page is the sheet with the places of what is stamped on it.
type Page struct {
	W, H                     float64
	Left, Right, Top, Bottom float64 // margins of the body
	HeadLine                 float64 // baseline of the first line of the running head, from the top
	HeadRule                 float64 // rule below the running head, from the top
	FootRule                 float64 // rule above the footer, from the bottom
	FootLine                 float64 // baseline of the footer, from the bottom
	EndLine                  float64 // baseline of "end of document", from the bottom
	StampGap                 float64 // between two entries on one line
	Blank                    float64 // most of the body left empty to keep a short table whole, as a share
}

// A Type is how text is set.
type Type struct {
	Face    frame.Face
	Size    float64
	Leading float64 // from baseline to baseline
	Colour  frame.Colour
}

// Types are the settings of the parts of a document.
type Types struct {
	Title    Type
	Headings [3]Type // by level
	Body     Type
	Loud     Type // the one verdict of a page
	Caption  Type
	Label    Type // of a field
	Stamp    Type // running head and footer
	Status   Type
	Reduced  float64 // size and leading of smaller text, as a share of its surroundings
}

// Spaces are the distances above blocks. The distance of a block that opens a
// page is left out.
type Spaces struct {
	Headings  [3]float64
	Paragraph float64
	Item      float64 // between two items of a list
	Block     float64 // above a table, a grid of fields, a box
	Figure    float64
	Caption   float64
	Label     float64 // between the label of an item and its text
	Mark      float64 // between a mark and the text behind it
	MarkSize  float64 // of a mark, as a share of the text size
	Heading   float64 // below a heading, in place of the distance of what follows
}

// Rules are the lines.
type Rules struct {
	Hair   frame.Pen // between rows
	Thin   frame.Pen // below heads, around boxes
	Strong frame.Pen // above a table
	Fill   frame.Pen // to write on
}

// TableStyle is how tables are set.
type TableStyle struct {
	Sizes     []Type  // of the cells, largest first; the first that fits is used
	Head      Type    // its size follows that of the cells
	Unit      Type    // likewise
	Pad       float64 // above and below the lines of a row
	Gap       float64 // least distance between columns
	Extra     float64 // most that a distance between columns is widened
	NumberMax float64 // widest unbroken number, as a share of the table
	WordMax   float64 // most that a word claims before other columns have what they wish, as a share
	Strip     float64 // width below which a text is not broken only because it can be, as a share
	Short     int     // rows of a table that is kept whole where that costs little
	Part      float64 // of a page that part of a row takes which no page can hold, as a share
	NoteGap   float64 // above the notes
}

// FieldStyle is how grids of labelled values are set.
type FieldStyle struct {
	Label    float64 // most that the labels take, as a share of their column
	Gap      float64 // between label and value
	Between  float64 // between columns
	Row      float64 // above a row
	FirstRow float64 // above the first row
}

// BoxStyle is how a bordered panel is set.
type BoxStyle struct {
	Pad   float64
	Pen   frame.Pen
	Title Type
}

// SignatureStyle is how places to sign are set.
type SignatureStyle struct {
	Across  int     // beside each other
	Between float64 // between two beside each other, and above the next
	Line    float64 // least height of a line to write on
	Pad     float64 // between a text and the rule below it
	Sign    float64 // height of the line to sign on
	Label   float64 // most that the labels take, as a share of the width
	Role    Type
	Text    Type
}

// A4 is the style for paper of 210 mm × 297 mm.
func A4() Style { return style(595.28, 841.89) }

// Letter is the style for paper of 8½ in × 11 in.
func Letter() Style { return style(612, 792) }

// Landscape is s on its side.
func (s Style) Landscape() Style {
	s.Page.W, s.Page.H = s.Page.H, s.Page.W
	return s
}

// TextWidth is the width of the body.
func (s Style) TextWidth() float64 { return s.Page.W - s.Page.Left - s.Page.Right }

// TextHeight is the height of the body.
func (s Style) TextHeight() float64 { return s.Page.H - s.Page.Top - s.Page.Bottom }

func style(w, h float64) Style {
	const (
		r  = frame.Regular
		sb = frame.SemiBold
		c  = frame.Condensed
		cb = frame.CondensedSemiBold
	)
	black, dark := frame.Black, frame.Grey(0x50)
	return Style{
		Page: Page{
			W: w, H: h, Left: 48, Right: 48, Top: 62, Bottom: 54,
			HeadLine: 36, HeadRule: 52, FootRule: 42, FootLine: 30, EndLine: 48, StampGap: 12, Blank: 0.2,
		},
		Type: Types{
			Title:    Type{sb, 15, 19, black},
			Headings: [3]Type{{sb, 11, 14, black}, {sb, 9, 12, black}, {frame.Italic, 9, 12, black}},
			Body:     Type{r, 9, 11.5, black},
			Loud:     Type{sb, 12, 16, black},
			Caption:  Type{r, 8, 10.5, dark},
			Label:    Type{c, 8.5, 11.5, dark},
			Stamp:    Type{c, 8, 10, black},
			Status:   Type{cb, 8, 10, black},
			Reduced:  0.85,
		},
		Space: Spaces{
			Headings: [3]float64{12, 8, 6}, Heading: 3.5, Paragraph: 4, Item: 1.5, Block: 6,
			Figure: 8, Caption: 4, Label: 5, Mark: 3, MarkSize: 0.72,
		},
		Rule: Rules{
			Hair:   frame.Pen{Width: 0.25, Colour: frame.Grey(0x90)},
			Thin:   frame.Pen{Width: 0.5},
			Strong: frame.Pen{Width: 0.9},
			Fill:   frame.Pen{Width: 0.4, Colour: frame.Grey(0x40)},
		},
		Table: TableStyle{
			Sizes: []Type{{c, 8, 10, black}, {c, 7.5, 9.5, black}, {c, 7, 9, black}, {c, 6.5, 8.5, black}},
			Head:  Type{cb, 8, 9.5, black}, Unit: Type{c, 8, 9.5, dark},
			Pad: 1.4, Gap: 8, Extra: 10, NumberMax: 0.3, WordMax: 0.18, Strip: 0.1, Short: 6, Part: 0.7, NoteGap: 4,
		},
		Fields: FieldStyle{Label: 0.42, Gap: 8, Between: 18, Row: 1, FirstRow: 5},
		Box:    BoxStyle{Pad: 9, Pen: frame.Pen{Width: 0.9}, Title: Type{sb, 9, 12, black}},
		Signature: SignatureStyle{
			Across: 3, Between: 16, Line: 16, Pad: 2, Sign: 34, Label: 0.4,
			Role: Type{sb, 9, 12, black}, Text: Type{r, 8, 10.5, black},
		},
	}
}
