package heading

import (
	"fmt"
	"regexp"
	"strconv"

	"saltline/internal/diag"
	"saltline/internal/table"
)

var testAcross = regexp.MustCompile(`^(?:(?:test|prufung|messung|probe|ensayo|prueba|lectura|essai|mesure|prove|maling|reading|result|spot|t|no) ?)?(\d{1,2})$`)

// testPartAcross is a heading of one column of a test that has several: "Test 1
// blank", "Test 1 extract".
var testPartAcross = regexp.MustCompile(`^(?:test|prufung|probe|ensayo|prueba|essai|prove|spot|sample) ?(\d{1,2}) \D+$`)

// wide recognises the heading of a table that has one row for each area and
// its tests 1, 2, 3 … across. Such a row has no blank, no volume and no time of each test, so
// it is not read.
func wide(rows []table.Row, given Mapping) (diag.Diagnostic, bool) {
	for _, r := range rows {
		var run []table.Cell
		last := 0
		words := 0
		for col := range r.Cells {
			c, ok := cellAt(r, col+1)
			if !ok {
				continue
			}
			name := fold(takeApart(c.Text).name)
			m, parts := testAcross.FindStringSubmatch(name), false
			if m == nil {
				m = testPartAcross.FindStringSubmatch(name)
				parts = m != nil
			}
			if m == nil {
				words++
				continue
			}
			if _, told := given.of(c.Pos, c.Text, takeApart(c.Text).name); told {
				continue // the user has said what it is
			}
			n, err := strconv.Atoi(m[1])
			if err == nil && (n == last+1 || parts && n == last && n > 0) {
				run, last = append(run, c), n
			}
		}
		if len(run) < fewest || words == 0 {
			continue
		}
		return diag.Diagnostic{
			Pos:   run[0].Pos,
			Level: diag.Failure,
			Check: "wide-form",
			Msg: fmt.Sprintf("found tests side by side from %q to %q, one area in each row, but wanted one test in each row",
				oneLine(run[0].Text), oneLine(run[len(run)-1].Text)),
			Hint: "put each test on a row of its own, with its area, blank, extract and volume; " +
				fmt.Sprintf("if they are readings of one extract, name the one that counts with --map %q and set the others aside with =-", oneLine(run[0].Text)+"=extract"),
		}, true
	}
	return diag.Diagnostic{}, false
}
