package report_test

import (
	"slices"
	"strings"
	"testing"

	"saltline/internal/doc"
	"saltline/internal/layout"
	"saltline/internal/report"
	"saltline/internal/unit"
)

// texts are all texts of a report, one a line.
func texts(r report.Report) string {
	var b strings.Builder
	r.Document.EachText(func(s string) { b.WriteString(s + "\n") })
	return b.String() + r.Summary
}

// A report says the same whether it is made by itself or among those of the
// other days.
func TestIndexed(t *testing.T) {
	w := words(t, nil)
	for _, path := range []string{samples + "quillmere-lock", "../../testdata/jobs/crowded"} {
		r := judge(t, path)
		record, err := report.Record{Result: r, Words: w, Fonts: faces(t), Width: layout.A4().TextWidth(), Tool: "saltline 0.0.0",
			Digest: strings.Repeat("0", 64), Produced: unit.Date{Year: 2026, Month: 4, Day: 17}}.Indexed()
		if err != nil {
			t.Fatal(err)
		}
		for _, day := range report.Days(r) {
			among, err := report.Daily{Record: record, Date: day}.Compose()
			if err != nil {
				t.Fatal(err)
			}
			if got, want := texts(among), texts(compose(t, r, day, w)); got != want {
				t.Errorf("%s, %s: got\n%s\nwant\n%s", path, day.ISO(), got, want)
			}
		}
	}
}

// The log of the crowded job leaves 46 fails without treatment and 45 that
// were treated, each beside a spot that proves nothing; one was cleared. On
// the next day one more is found. 45 temperatures cannot be read.
func TestCrowdedJob(t *testing.T) {
	r := judge(t, "../../testdata/jobs/crowded")
	days := report.Days(r)
	w := words(t, nil)
	last := texts(compose(t, r, days[1], w))
	for _, want := range []string{
		"Deck, 46 open fails (tests 301, 303, ", // 45 and that of the day
		"Deck, frame 1 (test 1, 68.4 mg/m²): repeat 201 (",
		"Deck, 6 open fails (tests 40–45): as the reports of their days say", // after 40 others
		"90 more fails are open: tests 301, 303, ",
		"1 more fail was cleared on other days: test 46.",
		"5 more values could not be used",
	} {
		if !strings.Contains(last, want) {
			t.Errorf("no %q in\n%s", want, last)
		}
	}
	if first := rowsUnder(compose(t, r, days[0], w).Document, "Fails, treatment and retests"); first != 91 {
		t.Errorf("the day on which they were found shows %d fails, want all 91", first)
	}
}

// rowsUnder counts the rows of the first table after a heading.
func rowsUnder(d doc.Document, heading string) int {
	at := slices.IndexFunc(d.Blocks, func(b doc.Block) bool {
		h, ok := b.(doc.Heading)
		return ok && h.Text == heading
	})
	for _, b := range d.Blocks[at:] {
		if t, ok := b.(doc.Table); ok {
			return len(t.Rows)
		}
	}
	return 0
}
