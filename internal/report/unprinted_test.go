package report_test

import (
	"strings"
	"testing"

	"saltline/internal/unit"
)

// The reading note names what no page shows of a record: characters that no
// face has, and those that nobody sees, such as the marks that turn the
// direction of writing. What can be printed is not named.
func TestUnprintedCharacters(t *testing.T) {
	r := judgeText(t, "test,location,remark,blank (µS/cm),extract (µS/cm),volume (ml)\n1,bow,\"Grün, ≤ 5 \u4e2d\u202efdp.exe\",1.0,12.0,3\n")
	d := compose(t, r, unit.Date{}, words(t, nil))
	var all strings.Builder
	d.Document.EachText(func(s string) { all.WriteString(s + "\n") })
	if want := "U+202E, U+4E2D."; !strings.Contains(all.String(), want) {
		t.Errorf("no %q in\n%s", want, all.String())
	}
	if got := all.String(); strings.Contains(got, "U+00FC") || strings.Contains(got, "U+2264") {
		t.Errorf("characters that are printed are named:\n%s", got)
	}
}
