package table

import (
	"errors"
	"fmt"
	"io"
	"maps"
	"path"
	"strings"

	"saltline/internal/diag"
)

// The workbook library knows the styles and spells numbers under their formats,
// and is given nothing but them. The cells are read here from the XML of each
// sheet, in one pass while it is unpacked, and formulas are computed here: the
// library holds all parts in memory, gives type, style and formula only cell by
// cell, and passes over rows in silence where the XML is malformed. Links to other
// files and macros are never followed.

// readWorkbook reads an .xlsx or .xlsm file.
func (r *reader) readWorkbook(data []byte) error {
	a, err := r.openBook(data)
	if err != nil {
		return err
	}
	b := workbook{reader: r, archive: a, bank: newBank()}
	if err := b.readParts(); err != nil {
		return err
	}
	styled, err := b.openStyles()
	if err != nil {
		return err
	}
	defer styled.Close()
	b.look = newLook(styled, b.date1904)
	defer b.look.close()
	for _, p := range b.parts {
		if err := b.readSheet(p); err != nil {
			return err
		}
	}
	if len(r.file.Sheets) == 0 {
		return r.refuse(diag.Pos{}, "no-sheet", "a workbook without a sheet of cells", "at least one",
			"check that this is the workbook you meant")
	}
	b.recompute()
	for i := range r.file.Sheets {
		if err := b.fillMerged(&r.file.Sheets[i], b.merges[i]); err != nil {
			return err
		}
	}
	return nil
}

// A workbook is what reading one needs between its sheets.
type workbook struct {
	*reader
	archive  *archive
	look     *look
	parts    []sheetPart
	bank     *bank
	strings  []tableText
	known    [knownNumbers]knownNumber // met before
	date1904 bool
	formulas []formulaCell // of all sheets, in reading order; those beyond maxFormulas are counted only
	more     int           // how many those are
	hollow   bool          // a cell holds a text of no letters, which some functions tell from an empty one
	barred   string        // why no formula is recomputed; "" if they are
	merges   [][]area      // by sheet of the file
}

// maxSheets is how many sheets a workbook may have: one for each day of a year,
// and as many again.
const maxSheets = 800

// A sheetPart is one sheet as the workbook lists it.
type sheetPart struct {
	name   string
	hidden bool
	path   string // of its XML inside the package
}

// refuseWorkbook is the refusal of a workbook whose insides do not hold.
func (r *reader) refuseWorkbook(pos diag.Pos, err error) *Refusal {
	if errors.Is(err, errUnpacked) {
		return r.refuse(pos, "file-too-large", "a workbook that unpacks to more than the limit",
			fmt.Sprintf("at most %d bytes", r.limits.Unpacked), "give the sheets of the job alone, without pictures")
	}
	return r.refuse(pos, "damaged-workbook", fmt.Sprintf("a damaged workbook (%v)", err), "a sound one",
		"open it in a spreadsheet program, let that repair it, compare it with what you know and save it again")
}

// readParts reads what the workbook says of itself: its sheets in their
// order, its calendar and its shared strings.
func (b *workbook) readParts() error {
	const main = "xl/workbook.xml"
	var book struct {
		Properties struct {
			Date1904 bool `xml:"date1904,attr"`
		} `xml:"workbookPr"`
		Calculation struct {
			FullPrecision string `xml:"fullPrecision,attr"`
		} `xml:"calcPr"`
		Sheets []struct {
			Name  string `xml:"name,attr"`
			State string `xml:"state,attr"`
			ID    string `xml:"id,attr"`
		} `xml:"sheets>sheet"`
	}
	if err := b.unmarshal(main, &book); err != nil {
		return err
	}
	var rels struct {
		All []struct {
			ID     string `xml:"Id,attr"`
			Type   string `xml:"Type,attr"`
			Target string `xml:"Target,attr"`
		} `xml:"Relationship"`
	}
	if err := b.unmarshal("xl/_rels/workbook.xml.rels", &rels); err != nil {
		return err
	}
	b.date1904 = book.Properties.Date1904
	if p := book.Calculation.FullPrecision; p != "" && !isTrue(p) {
		b.barred = "as the workbook computes with the digits that it shows"
	}

	target := map[string]string{} // by relationship id
	worksheet := map[string]bool{}
	for _, rel := range rels.All {
		target[rel.ID] = resolve("xl", rel.Target)
		worksheet[rel.ID] = strings.HasSuffix(rel.Type, "/worksheet")
		if strings.HasSuffix(rel.Type, "/sharedStrings") {
			if err := b.readStrings(target[rel.ID]); err != nil {
				return err
			}
		}
	}
	if len(book.Sheets) > maxSheets {
		return b.refuse(diag.Pos{}, "sheet-too-large", fmt.Sprintf("%d sheets", len(book.Sheets)), fmt.Sprintf("at most %d", maxSheets),
			"give the sheets of the job alone")
	}
	for _, s := range book.Sheets {
		s.Name = brief(clean(s.Name))
		if !worksheet[s.ID] {
			b.note(diag.In("", s.Name), "sheet-without-cells",
				"found a sheet that is no table of cells (a chart or a macro sheet), passed over", "")
			continue
		}
		b.parts = append(b.parts, sheetPart{
			name:   s.Name,
			hidden: s.State != "" && s.State != "visible",
			path:   target[s.ID],
		})
	}
	return nil
}

// resolve is the package path of a relationship's target, which is relative
// to the folder of its source unless it begins with a slash.
func resolve(folder, target string) string {
	target = strings.ReplaceAll(target, `\`, "/")
	if rooted, ok := strings.CutPrefix(target, "/"); ok {
		return path.Clean(rooted)
	}
	return path.Join(folder, target)
}

// walkers make the walker for a part.
type walkers func(io.Reader) walker

// walk reads a part by a plainWalker and, where that gives up, by an xmlWalker.
// What was read until then counts for nothing.
func (b *workbook) walk(read func(walkers) error) error {
	if !b.careful {
		book, reading, left := *b, *b.reader, b.archive.left
		notes, noted := b.file.Notes, maps.Clone(b.noted)
		if err := read(func(part io.Reader) walker { return newPlainWalker(part) }); err != errNotPlain {
			return err
		}
		*b, *b.reader, b.archive.left = book, reading, left
		b.file.Notes, b.noted = notes, noted
	}
	return read(func(part io.Reader) walker { return newXMLWalker(part) })
}

// readSheet reads the cells of one sheet and adds it to the file.
func (b *workbook) readSheet(p sheetPart) error {
	return b.walk(func(by walkers) error { return b.sheetOf(p, by) })
}

// sheetOf reads the cells of one sheet by a walker.
func (b *workbook) sheetOf(p sheetPart, by walkers) error {
	const shortest = len(`<row r="1"><c><v>1</v></c></row>`)
	most := int(b.archive.size(p.path) / int64(shortest)) // before the part is unpacked ahead, which counts too
	part, err := b.archive.open(p.path)
	if err != nil {
		return b.refuseWorkbook(diag.In("", p.name), err)
	}
	if part == nil {
		return b.refuse(diag.In("", p.name), "damaged-workbook",
			"a sheet that the workbook lists but does not hold", "every sheet that it lists",
			"open it in a spreadsheet program, let that repair it and save it again")
	}
	defer part.Close()
	s := sheetReader{workbook: b, at: diag.In(b.file.Name, p.name), most: most, sheet: Sheet{Name: p.name, Hidden: p.hidden, Date1904: b.date1904}}
	if err := s.read(by(part)); err != nil {
		return err
	}
	b.file.Sheets = append(b.file.Sheets, s.sheet)
	b.merges = append(b.merges, s.merges)
	return nil
}
