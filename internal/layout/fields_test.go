package layout_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"saltline/internal/doc"
	"saltline/internal/layout"
)

func TestValueHigherThanAPageIsContinued(t *testing.T) {
	var areas []string
	for i := range 300 {
		areas = append(areas, fmt.Sprintf("Girder\u00a0%d\u00a0web", i+1))
	}
	fields := doc.Fields{Columns: 3, Items: []doc.Field{
		doc.Labelled("Shift", doc.Plain("day")), doc.Labelled("Weather", doc.Plain("dry")),
		doc.Labelled("Areas tested", doc.Plain(strings.Join(areas, ", "))), doc.Labelled("Report", doc.Plain("12")),
	}}
	for name, blocks := range map[string][]doc.Block{
		"alone": {fields}, "below a heading": {doc.Heading{Level: 1, Text: "Day"}, fields}, "in a box": {doc.Box{Blocks: []doc.Block{fields}}},
	} {
		style := layout.A4()
		ps := pages(t, &doc.Document{Blocks: blocks}, style)
		var said []string
		for i, p := range ps {
			for _, s := range texts(p) {
				if s.y > style.Page.H-style.Page.Bottom && strings.Contains(s.S, "Girder") {
					t.Fatalf("%s: page %d says %q below its body", name, i+1, s.S)
				}
				said = append(said, strings.FieldsFunc(s.S, func(r rune) bool { return r == ',' || r == ' ' })...)
			}
		}
		for _, a := range areas {
			if n := len(slices.DeleteFunc(slices.Clone(said), func(s string) bool { return s != a })); n != 1 {
				t.Fatalf("%s: %q is printed %d times", name, a, n)
			}
		}
		if n := pageOf(ps, "Shift"); n == 0 || n != pageOf(ps, "Areas tested") || pageOf(ps, "Report") != len(ps) {
			t.Errorf("%s: labels on pages %d, %d and %d of %d", name, n, pageOf(ps, "Areas tested"), pageOf(ps, "Report"), len(ps))
		}
	}
}
