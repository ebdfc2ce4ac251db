package table

import "github.com/xuri/excelize/v2"

// Every number of style is here. Arial is there on most machines, and where it
// is not a face of the same widths takes its place; a style without a family
// is shown by some programs in a serif.
const (
	face      = "Arial"
	textSize  = 10 // points
	titleSize = 14
	asideSize = 8.5

	inkAside = "595959" // 7 : 1 on white
	rule     = "7F7F7F"

	tintHeading = "DDE3EA"
	tintResult  = "F0F0F0"
	tintDiffers = "FCE4D6"

	wideMargin, narrowMargin = 0.7, 0.4 // inches
	paperA4                  = 9        // as the format numbers paper
)

// Lines around a cell, as the format numbers them.
const (
	thin   = 1
	medium = 2
	dotted = 4
	double = 6
)

// An entryStyle is all that tells one cell style from another.
type entryStyle struct {
	format                       string
	look                         Look
	bold, struck, faint, wrapped bool
}

// style is e as the workbook library has it. Every cell hangs from the top of
// its row, so that one with many lines stands beside the others.
func (e entryStyle) style() *excelize.Style {
	s := &excelize.Style{
		Font:      &excelize.Font{Family: face, Size: textSize, Bold: e.bold, Strike: e.struck},
		Alignment: &excelize.Alignment{Vertical: "top", WrapText: e.wrapped},
	}
	if e.wrapped { // its lines would touch those of the next column
		s.Alignment.Horizontal, s.Alignment.Indent = "left", 1
	}
	if e.format != "" {
		s.CustomNumFmt = &e.format
	}
	e.look.dress(s, medium)
	if e.faint {
		s.Font.Color = "FFFFFF"
	}
	return s
}

// dress gives a style the look. Thick is the frame of what must be seen first.
func (l Look) dress(s *excelize.Style, thick int) {
	size, heavy, wrapped := l.letters()
	if l == Title || l == Aside {
		s.Font.Size = size
	}
	s.Font.Bold = s.Font.Bold || heavy
	s.Alignment.WrapText = s.Alignment.WrapText || wrapped
	switch l {
	case Heading:
		s.Fill = tint(tintHeading)
		s.Border = []excelize.Border{{Type: "bottom", Style: thick, Color: rule}, {Type: "left", Style: thin, Color: rule}, {Type: "right", Style: thin, Color: rule}}
	case Input:
		s.Border = frame(thin)
		s.Protection = &excelize.Protection{Locked: false}
	case Result:
		s.Fill = tint(tintResult)
		s.Border = frame(thin)
	case Differs:
		s.Fill = tint(tintDiffers)
		s.Border = frame(thick)
	case Undecided:
		s.Font.Italic = true
		s.Border = frame(dotted)
	case Aside:
		s.Font.Color = inkAside
	}
}

// letters is how large and how heavy a look is written, and whether it is broken
// into lines.
func (l Look) letters() (size float64, heavy, wrapped bool) {
	switch l {
	case Title:
		return titleSize, true, false
	case Heading:
		return textSize, true, true
	case Differs:
		return textSize, true, false
	case Aside:
		return asideSize, false, false
	}
	return textSize, false, false
}

func tint(colour string) excelize.Fill {
	return excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{colour}}
}

func frame(line int) []excelize.Border {
	var all []excelize.Border
	for _, side := range []string{"left", "top", "right", "bottom"} {
		all = append(all, excelize.Border{Type: side, Style: line, Color: rule})
	}
	return all
}

// setFace makes the face that of a new workbook, which the widths of columns
// are counted in.
func setFace(f *excelize.File) error {
	if err := f.SetDefaultFont(face); err != nil {
		return err
	}
	size := float64(textSize)
	f.Styles.Fonts.Font[0].Sz.Val = &size
	return nil
}

// style is the number of a style, made when it is first needed.
func (w *bookWriter) style(e entryStyle) (int, error) {
	if n, ok := w.styles[e]; ok {
		return n, nil
	}
	n, err := w.file.NewStyle(e.style())
	if err != nil {
		return 0, err
	}
	w.styles[e] = n
	return n, nil
}

// markStyle is the number of the style that a Mark puts over a cell. Programs
// know only thin lines there.
func (w *bookWriter) markStyle(l Look) (int, error) {
	if n, ok := w.marks[l]; ok {
		return n, nil
	}
	s := &excelize.Style{Font: &excelize.Font{}, Alignment: &excelize.Alignment{}}
	l.dress(s, thin)
	s.Alignment, s.Protection = nil, nil
	n, err := w.file.NewConditionalStyle(s)
	if err != nil {
		return 0, err
	}
	w.marks[l] = n
	return n, nil
}
