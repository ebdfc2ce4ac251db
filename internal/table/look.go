package table

import (
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"
)

// A look knows how cells are shown: what their style says of fonts and
// numbers, each style looked up once. Conditional formats are not followed.
type look struct {
	pkg    *excelize.File
	styles map[int]*styleLook

	date1904 bool

	// scratch is a workbook of its own in which a number is put under a format
	// to see what is displayed: row n holds the n-th format met. It is made when
	// there is such a format.
	scratch *excelize.File
	formats map[int]string // style → cell of scratch; "" where that cannot be
	spelled map[spelling]string
}

// A spelling is a number under a style.
type spelling struct {
	style int
	raw   string
}

// maxSpelled bounds the memory of spellings.
const maxSpelled = 100_000

// A styleLook is what one style says.
type styleLook struct {
	struck, faint bool
	date          dateParts
	general       bool // numbers are shown without a format of their own
	fixed         bool // numbers are shown with so many decimals
	decimals      int
	moment        moment         // numbers are shown as dates or times, where they can be
	format        excelize.Style // of any other number
}

func newLook(pkg *excelize.File, date1904 bool) *look {
	return &look{
		pkg:      pkg,
		styles:   map[int]*styleLook{},
		date1904: date1904,
		formats:  map[int]string{},
		spelled:  map[spelling]string{},
	}
}

func (l *look) close() {
	if l.scratch != nil {
		l.scratch.Close()
	}
}

// maxFormatLength is how long a format code may be; programs allow 255
// characters. A longer one is shown as General.
const maxFormatLength = 255

// style looks up a style by its number.
func (l *look) style(id int) *styleLook {
	if s, ok := l.styles[id]; ok {
		return s
	}
	s := &styleLook{general: true}
	if style, err := l.pkg.GetStyle(id); err == nil {
		s = l.styleOf(style)
	}
	l.styles[id] = s
	return s
}

func (l *look) styleOf(style *excelize.Style) *styleLook {
	s := &styleLook{general: true}
	ink, paper := black, white
	if f := style.Font; f != nil {
		s.struck = f.Strike
		ink = l.colour(f)
	}
	if f := style.Fill; f.Type == "pattern" && f.Pattern == 1 && len(f.Color) > 0 {
		paper = parseColour(f.Color[0])
	}
	s.faint = ink.near(paper)

	format := excelize.Style{NumFmt: style.NumFmt}
	switch code := style.CustomNumFmt; {
	case code != nil && len(*code) <= maxFormatLength && !strings.EqualFold(*code, "general"):
		format.CustomNumFmt = code
		s.date = datePartsOf(*code)
		s.decimals, s.fixed = fixedDecimals(*code)
	case code == nil && style.NumFmt == 1: // "0"
		s.fixed = true
	case code == nil && style.NumFmt == 2: // "0.00"
		s.fixed, s.decimals = true, 2
	case code == nil && style.NumFmt != 0:
		s.date = builtInDate(style.NumFmt)
	default:
		return s
	}
	s.general, s.format = false, format
	if code := format.CustomNumFmt; code != nil {
		s.moment = momentOf(*code)
	} else {
		s.moment = momentOf(builtInMoment[format.NumFmt])
	}
	return s
}

// cell is the cell of scratch for a style; "" where that cannot be.
func (l *look) cell(style int) string {
	if cell, ok := l.formats[style]; ok {
		return cell
	}
	if l.scratch == nil {
		l.scratch = excelize.NewFile()
		_ = l.scratch.SetWorkbookProps(&excelize.WorkbookPropsOptions{Date1904: &l.date1904}) // cannot fail on a new file
	}
	cell := "A" + strconv.Itoa(len(l.formats)+1)
	format := l.style(style).format
	n, err := l.scratch.NewStyle(&format)
	if err == nil {
		err = l.scratch.SetCellStyle(scratchSheet, cell, cell, n)
	}
	if err != nil {
		cell = ""
	}
	l.formats[style] = cell
	return cell
}

// scratchSheet is the sheet that a new workbook has.
const scratchSheet = "Sheet1"

// display spells a number as it is shown under a style.
func (l *look) display(style int, raw string, v float64) string {
	look := l.style(style)
	switch {
	case look.general:
		if isShort(raw) {
			return raw
		}
		return general(v)
	case look.fixed:
		if decimals, ok := decimalsOf(raw); ok && decimals == look.decimals {
			return raw
		}
		return fixed(v, look.decimals)
	case look.moment != nil:
		if s, ok := look.moment.spell(raw, v, l.date1904); ok {
			return s
		}
	}
	key := spelling{style, raw}
	if s, ok := l.spelled[key]; ok {
		return s
	}
	s := general(v)
	cell := l.cell(style)
	if cell == "" {
		return s
	}
	if err := l.scratch.SetCellDefault(scratchSheet, cell, raw); err == nil {
		if shown, err := l.scratch.GetCellValue(scratchSheet, cell); err == nil {
			s = clean(shown)
		}
	}
	if len(l.spelled) < maxSpelled {
		key.raw = strings.Clone(raw) // which lies where the next number is read to
		l.spelled[key] = s
	}
	return s
}

// colour is the colour of a font, black where it states none.
func (l *look) colour(f *excelize.Font) colour {
	base := l.pkg.GetBaseColor(f.Color, f.ColorIndexed, f.ColorTheme)
	if len(base) == 6 && f.ColorTint != 0 {
		base = excelize.ThemeColor(base, f.ColorTint)
	}
	if base == "" {
		return black
	}
	return parseColour(base)
}

// A colour is red, green and blue, each 0 to 255.
type colour [3]int

var (
	black = colour{}
	white = colour{255, 255, 255}
)

// parseColour reads RRGGBB or AARRGGBB, of which programs fill in the
// transparency differently; it counts for nothing.
func parseColour(hex string) colour {
	n, err := strconv.ParseUint(strings.TrimPrefix(hex, "#"), 16, 32)
	if err != nil {
		return black
	}
	return colour{int(n >> 16 & 255), int(n >> 8 & 255), int(n & 255)}
}

// near reports whether the eye would not tell c from d: every channel within
// 12 of 255.
func (c colour) near(d colour) bool {
	for i := range c {
		if diff := c[i] - d[i]; diff > 12 || diff < -12 {
			return false
		}
	}
	return true
}
