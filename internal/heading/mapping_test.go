package heading

import (
	"strings"
	"testing"
)

func TestMapping(t *testing.T) {
	sheet := sheetOf(
		"Test | Spot | Temp | Temp | Blank | Extract | Salt",
		"1 | A | 14.0 | 18.0 | 1.2 | 9.0 | 9.4",
		"2 | B | 14.1 | 18.1 | 1.2 | 8.0 | 8.2",
	)
	blocks, ds := Find(&sheet, "readings", nil)
	if len(ds) != 1 || !strings.Contains(ds[0].Hint, `"C1=solution temperature"`) {
		t.Fatalf("two headings of one wording: found %v, wanted one question that names the cells", ds)
	}
	m := Mapping{"C1": "steel temperature", "d1": "solution_temperature_C", "Spot": "-"}
	blocks, ds = Find(&sheet, "readings", m)
	if len(ds) > 0 || blocks[0].Columns[1].Name != "" || blocks[0].Columns[2].Name != "steel temperature" || blocks[0].Columns[3].Name != "solution temperature" {
		t.Errorf("mapped by cell: found %+v, %v", blocks[0].Columns, ds)
	}
	if ds := append(m.Check(), m.Unmatched(blocks)...); len(ds) > 0 {
		t.Errorf("a mapping that fits: %v", ds)
	}
}

func TestMappingThatDoesNotFit(t *testing.T) {
	sheet := sheetOf("Test | Spot | Blank | Extract", "1 | A | 1.2 | 9.0")
	m := Mapping{"Salinity": "recorded", "Blank": "blonk"}
	blocks, _ := Find(&sheet, "", m)
	unmatched := m.Unmatched(blocks)
	if len(unmatched) != 1 || !strings.Contains(unmatched[0].Hint, `"Test", "Spot", "Blank", "Extract"`) {
		t.Errorf("unmatched: found %v, wanted one that lists the headings", unmatched)
	}
	unknown := m.Check()
	if len(unknown) != 1 || !strings.Contains(unknown[0].Msg, "blonk") || !strings.Contains(unknown[0].Hint, "extract") {
		t.Errorf("unknown: found %v, wanted one that lists our columns", unknown)
	}
}
