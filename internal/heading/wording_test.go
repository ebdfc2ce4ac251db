package heading

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"

	"saltline/internal/diag"
)

// typical are three values of each column of an honest log.
var typical = map[string][3]string{
	"test":                 {"1", "2", "3"},
	"area":                 {"gate", "gate", "gate"},
	"location":             {"left edge", "right edge", "left edge"},
	"date":                 {"2025-03-11", "2025-03-11", "2025-03-12"},
	"start":                {"08:00", "08:20", "08:40"},
	"read":                 {"08:10", "08:30", "08:50"},
	"blank":                {"1.2", "1.3", "1.3"},
	"extract":              {"9.0", "8.4", "11.7"},
	"difference":           {"7.8", "7.1", "10.4"},
	"volume":               {"3.0", "3.0", "3.0"},
	"injected":             {"3.0", "3.0", "3.0"},
	"recovered":            {"2.9", "2.8", "2.9"},
	"patch area":           {"1250", "1250", "1250"},
	"recorded":             {"9.4", "8.5", "12.5"},
	"limit":                {"50", "50", "50"},
	"recorded verdict":     {"pass", "pass", "pass"},
	"air temperature":      {"15.0", "15.2", "15.3"},
	"steel temperature":    {"14.0", "14.2", "14.3"},
	"solution temperature": {"18.0", "18.2", "18.3"},
	"recorded dew point":   {"7.0", "7.1", "7.1"},
	"humidity":             {"60", "61", "60"},
	"meter":                {"CX-4711", "CX-4711", "CX-4711"},
	"inspector":            {"K. Berg", "K. Berg", "K. Berg"},
	"remark":               {"dry", "", "by the ladder"},
}

// honest are the columns that the log has anyway, under plain headings.
var honest = []string{"test", "location", "blank", "extract", "recorded"}

// Each wording of each column, over values of that column in an honest log,
// is taken for that column or asked about: never for another one.
func TestWordingsAreTakenRightlyOrAsked(t *testing.T) {
	v := words().tables["readings"]
	for _, w := range slices.Sorted(maps.Keys(v.exact)) {
		for _, m := range v.exact[w] {
			values, ok := typical[m.column]
			if !ok || undecidable(w, m) {
				continue
			}
			columns := slices.Clone(honest)
			if !slices.Contains(columns, m.column) {
				columns = append(columns, m.column)
			}
			at := slices.Index(columns, m.column)
			headings := slices.Clone(columns)
			headings[at] = strings.Replace(w, "2 1", "2−1", 1)
			grid := []string{strings.Join(headings, "|")}
			for i := range values {
				var row []string
				for _, c := range columns {
					row = append(row, typical[c][i])
				}
				grid = append(grid, strings.Join(row, "|"))
			}
			sheet := sheetOf(grid...)
			blocks, ds := Find(&sheet, "readings", nil)
			if len(blocks) != 1 || len(blocks[0].Columns) != len(columns) {
				t.Errorf("%q over %s: found %s", w, m.column, describe(blocks, ds))
				continue
			}
			for i, c := range blocks[0].Columns {
				if c.Name != columns[i] && !asksAbout(ds, c.Pos) {
					t.Errorf("%q over values of %s: column %q was taken for %q and nothing was asked", w, m.column, c.Text, c.Name)
				}
			}
			if m.doubt == certain && len(v.exact[w]) == 1 && len(ds) > 0 {
				t.Errorf("%q is certainly %s and was asked about: %v", w, m.column, ds)
			}
		}
	}
}

// undecidable reports whether nothing on the sheet can tell what a heading
// means, so that a rule holds: a single time is that of the reading, and a
// bare temperature in a log without a humidity is that of the solution.
func undecidable(wording string, m meaning) bool {
	return m.column == "start" && m.doubt == doubtful && slices.ContainsFunc(words().tables["readings"].exact[wording], func(o meaning) bool { return o.column == "read" }) ||
		wording == "temp" && m.doubt == lying
}

func asksAbout(ds []diag.Diagnostic, pos diag.Pos) bool {
	return slices.ContainsFunc(ds, func(d diag.Diagnostic) bool {
		return d.Level == diag.Question && (d.Pos == pos || slices.Contains(d.Related, pos) || strings.Contains(d.Msg, fmt.Sprintf("in %s", pos.Cell())))
	})
}
