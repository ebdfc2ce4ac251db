package table

import (
	"bytes"
	"encoding/json"
	"testing"

	"github.com/xuri/excelize/v2"
)

var allLooks = []Look{AsIs, Title, Heading, Input, Result, Differs, Undecided, Aside}

// equipped is a book that uses all that a page can have.
func equipped() Book {
	p := Page{
		Name: "R&D 'a' <b>", Head: 2, Side: 1, Widths: []float64{12, 14, 14, 30}, Locked: true,
		Lines: []Line{
			{Cells: []Entry{Words("Tests").As(Title)}},
			{Cells: []Entry{Words("extract (µS/cm)").As(Heading), Words("K").As(Heading), Words("density (mg/m²)").As(Heading), Words("of").As(Heading)}},
			{Cells: []Entry{Field("0.0"), Num(1.2, "0.0").As(Input), Formula("A3*B3", "0.0").As(Result)}},
			{Cells: []Entry{Num(12, "0.0").As(Input), Num(1.2, "0.0").As(Input), Formula("A4*B4", "0.0").As(Differs), Words("west").As(Undecided)}},
		},
		Choices: []Choice{
			{Range: "D3:D6", From: SheetRef("areas & co", 1, 1) + ":$A$3"},
			{Range: "B3:B6", Values: []string{"1.2", "4"}},
		},
		Bounds: []Bound{{Range: "A3:A6", Least: 0, Most: 2000, Message: "wanted: µS/cm, from 0 to 2000"}},
		Marks:  []Mark{{Range: "C3:C6", Formula: "$C3>10", Look: Differs}},
		Notes:  []Note{{"A2", "What the meter shows.\nWrite - where nothing was measured."}, {"D2", "One of the areas."}},
		Print:  Print{Area: "A1:D6", Landscape: true, FitWidth: true, Wide: 2, Foot: "2026 & later"},
	}
	return Book{Title: "equipped", Pages: []Page{p, {Name: "areas & co", Lines: []Line{Texts("west"), Texts("east")}, Notes: []Note{{"A1", "An area."}}}}}
}

func opened(t *testing.T, data []byte) *excelize.File {
	t.Helper()
	f, err := excelize.OpenReader(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	return f
}

func written(t *testing.T, b Book) []byte {
	t.Helper()
	data, err := Write(b)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// The second library call on a sheet can undo the first, so each part of a
// page is looked for in the file.
func TestPageHasWhatIsDescribed(t *testing.T) {
	book := equipped()
	p := book.Pages[0]
	f := opened(t, written(t, book))

	rules, err := f.GetDataValidations(p.Name)
	if err != nil {
		t.Fatal(err)
	}
	got := map[string]string{}
	for _, r := range rules {
		got[r.Sqref] = r.Type + " " + r.Formula1
	}
	for area, want := range map[string]string{
		"D3:D6": "list 'areas & co'!$A$1:$A$3",
		"B3:B6": `list "1.2,4"`,
		"A3:A6": `custom IF(ISNUMBER(A3),AND(A3>=0,A3<=2000),A3="-")`,
	} {
		if got[area] != want {
			t.Errorf("%s takes %q, want %q", area, got[area], want)
		}
	}
	marks, err := f.GetConditionalFormats(p.Name)
	if err != nil || len(marks["C3:C6"]) != 1 || marks["C3:C6"][0].Criteria != "$C3>10" {
		t.Errorf("marks %v, %v", marks, err)
	}
	notes, err := f.GetComments(p.Name)
	if err != nil || len(notes) != 2 || notes[0].Cell != "A2" || notes[0].Text != p.Notes[0].Text {
		t.Errorf("notes %+v, %v", notes, err)
	}
	guard, err := f.GetSheetProtection(p.Name)
	if err != nil || guard.Password != "" || !guard.SelectUnlockedCells {
		t.Errorf("protection %+v, %v", guard, err)
	}
	if other, err := f.GetSheetProtection("areas & co"); err == nil && other.SelectUnlockedCells {
		t.Error("a page that is not locked is protected")
	}
	names := map[string]string{}
	for _, n := range f.GetDefinedName() {
		names[n.Name] = n.RefersTo
	}
	if names["_xlnm.Print_Area"] != `'R&D ''a'' <b>'!$A$1:$D$6` || names["_xlnm.Print_Titles"] != `'R&D ''a'' <b>'!$A:$A,'R&D ''a'' <b>'!$1:$2` {
		t.Errorf("printed: %v", names)
	}
	layout, err := f.GetPageLayout(p.Name)
	if err != nil || *layout.Orientation != "landscape" || *layout.FitToWidth != 2 || *layout.FitToHeight != 0 {
		t.Errorf("layout %+v, %v", layout, err)
	}
	foot, err := f.GetHeaderFooter(p.Name)
	if err != nil || foot.OddFooter != `&L&"Arial,Regular"&8 2026 && later&R&"Arial,Regular"&8 &P / &N` {
		t.Errorf("foot %+v, %v", foot, err)
	}
	panes, err := f.GetPanes(p.Name)
	if err != nil || !panes.Freeze || panes.YSplit != 2 || panes.XSplit != 1 {
		t.Errorf("panes %+v, %v", panes, err)
	}
	for col, want := range map[string]float64{"A": 12, "C": 14, "D": 30} {
		if width, err := f.GetColWidth(p.Name, col); err != nil || width != want {
			t.Errorf("column %s is %v wide, want %v (%v)", col, width, want, err)
		}
	}
}

// Only what looks like an input takes something on a locked page.
func TestOnlyInputsAreUnlocked(t *testing.T) {
	f := opened(t, written(t, equipped()))
	for cell, open := range map[string]bool{"A1": false, "A2": false, "A3": true, "B3": true, "C3": false, "C4": false, "A4": true, "D4": false} {
		n, err := f.GetCellStyle("R&D 'a' <b>", cell)
		if err != nil {
			t.Fatal(err)
		}
		style, err := f.GetStyle(n)
		if err != nil {
			t.Fatal(err)
		}
		if got := style.Protection != nil && !style.Protection.Locked; got != open {
			t.Errorf("%s can be filled in: %v, want %v", cell, got, open)
		}
	}
}

// Whoever cannot tell the colours apart, or prints in black, must still see
// which look a cell has.
func TestLooksDifferWithoutColour(t *testing.T) {
	seen := map[string]Look{}
	for _, l := range allLooks {
		s := entryStyle{look: l}.style()
		s.Font.Color = ""
		for i := range s.Border {
			s.Border[i].Color = ""
		}
		if l != Result { // a grey tint is seen in black print too
			s.Fill = excelize.Fill{}
		}
		s.Protection = nil
		shape, err := json.Marshal(s)
		if err != nil {
			t.Fatal(err)
		}
		if other, twice := seen[string(shape)]; twice {
			t.Errorf("looks %d and %d differ by colour alone", l, other)
		}
		seen[string(shape)] = l
	}
}

func TestEveryStyleHasTheFace(t *testing.T) {
	var p Page
	p.Name = "looks"
	for _, l := range allLooks {
		e := Words("x").As(l)
		p.Lines = append(p.Lines, Line{Cells: []Entry{e}}, Line{Bold: true, Cells: []Entry{e}}, Line{Struck: true, Cells: []Entry{e}})
	}
	f := opened(t, written(t, Book{Pages: []Page{p}}))
	for _, font := range f.Styles.Fonts.Font {
		if font.Name == nil || font.Name.Val == nil || *font.Name.Val != face {
			t.Errorf("a font without the face: %+v", font)
		}
	}
}

func TestTextStaysText(t *testing.T) {
	texts := []string{"=1+1", "+49 12", "-", "-5", "@x", "'quoted", "1e5", "2026-01-02", "TRUE", "=HYPERLINK(\"x\")", "<1,0"}
	var p Page
	p.Name = "texts"
	for _, s := range texts {
		p.Lines = append(p.Lines, Texts(s))
	}
	p.Notes = []Note{{"B1", "Opens the sheet again after it was written."}}
	file, err := Read("texts.xlsx", written(t, Book{Pages: []Page{p}}), Options{})
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range texts {
		c := file.Sheets[0].Rows[i].Cell(1)
		if c.Kind != Text || c.Text != want || c.Formula() != "" {
			t.Errorf("%q was read back as %v %q, formula %q", want, c.Kind, c.Text, c.Formula())
		}
	}
}

func TestEquippedBookGivesTheSameBytes(t *testing.T) {
	first := written(t, equipped())
	for range 5 {
		if !bytes.Equal(first, written(t, equipped())) {
			t.Fatal("one description gave two files")
		}
	}
}

func TestPagesOfOneNameAreRefused(t *testing.T) {
	if _, err := Write(Book{Pages: []Page{{Name: "tests"}, {Name: "Tests"}}}); err == nil {
		t.Error("two pages of one name were taken")
	}
}

// Lines as LibreOffice breaks them, counted on a printed page.
func TestRowsRiseForBrokenLines(t *testing.T) {
	for _, c := range []struct {
		text  string
		look  Look
		width float64
		lines float64
	}{
		{"123456789", Heading, 12, 1},
		{"extract (µS/cm)", Heading, 12, 2},
		{"one\ntwo\nthree", Heading, 30, 3},
		{"the factor belongs to another volume (3 ml): 5.2", AsIs, 32, 2},
		{"NOT ESTABLISHED", Differs, 16, 2},
		{"West leaf, panel 2, low, 0.5 m right of no. 10", AsIs, 20, 3},
		{"The meter is checked after the last test, so that all readings of the day lie between two good checks.", AsIs, 36, 3},
	} {
		got := height(Line{Cells: []Entry{{value: c.text, Look: c.look, Wrapped: true}}}, []float64{c.width})
		want := 0.0
		if c.lines > 1 {
			want = c.lines * lineHeight
		}
		if got != want {
			t.Errorf("%q in %v: %v points, want %v", c.text, c.width, got, want)
		}
	}
}
