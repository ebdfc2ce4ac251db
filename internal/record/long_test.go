package record_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"saltline/internal/record"
	"saltline/internal/table"
)

// A log that is far longer than what one processor binds at a time is read as
// if it were read from the top: areas and dates are filled down across any
// number of rows, and what is said comes in the order of the rows, once.
func TestLongLogReadsFromTheTop(t *testing.T) {
	const tests, ofOneArea = 9000, 3500
	var log strings.Builder
	log.WriteString("Inspector: A. Sund\ntest,area,date,location,blank (mS/m),extract (mS/m),volume (ml)\n")
	for i := range tests {
		area, date, place, extract := "", "", "ditto", "4.2"
		if i%ofOneArea == 0 {
			area, place = fmt.Sprintf("Bay %d", i/ofOneArea+1), fmt.Sprintf("frame %d", i)
		}
		if i == 0 {
			date = "2025-03-11"
		}
		if i%1000 == 999 {
			extract = "4..2"
		}
		fmt.Fprintf(&log, "%d,%s,%s,%s,0.2,%s,3\n", i+1, area, date, place, extract)
	}
	f, err := table.Read("long.csv", []byte(log.String()), table.Options{})
	if err != nil {
		t.Fatal(err)
	}
	job, _ := record.Bind([]*table.File{f}, record.Options{})
	if len(job.Tests) != tests {
		t.Fatalf("%d tests, want %d", len(job.Tests), tests)
	}
	for i := range job.Tests {
		got := &job.Tests[i]
		first := i - i%ofOneArea
		if area, place := fmt.Sprintf("Bay %d", i/ofOneArea+1), fmt.Sprintf("frame %d", first); got.Row().Row() != i+3 || got.Area().Val != area ||
			got.Area().Pos.Row() != first+3 || got.Location().Val != place || got.Date().Text != "2025-03-11" || got.Inspector().Val != "A. Sund" {
			t.Fatalf("row %d, test %d: area %q from row %d, %q, %q by %q", got.Row().Row(), i+1,
				got.Area().Val, got.Area().Pos.Row(), got.Location().Val, got.Date().Text, got.Inspector().Val)
		}
	}

	said := map[string]int{}
	filled := 0
	for _, c := range job.Note.Changes {
		said[c.What]++
		if c.What == "filled down" && c.To == "2025-03-11" || c.What == "a ditto mark, filled down" {
			if c.Pos.Row() < filled {
				t.Fatalf("row %d is noted behind row %d", c.Pos.Row(), filled)
			}
			filled = c.Pos.Row()
		}
	}
	areas := (tests + ofOneArea - 1) / ofOneArea
	for what, want := range map[string]int{
		"filled down":                  tests - areas + tests - 1,
		"a ditto mark, filled down":    tests - areas,
		"taken from a title row":       1,
		"converted, the whole column":  2,
		"the time taken from the date": 0,
	} {
		if said[what] != want {
			t.Errorf("%q is noted %d times, want %d", what, said[what], want)
		}
	}
	var unread []int
	for _, p := range job.Note.Problems {
		unread = append(unread, p.Pos.Row())
	}
	if want := []int{1002, 2002, 3002, 4002, 5002, 6002, 7002, 8002, 9002}; !slices.Equal(unread, want) {
		t.Errorf("problems in the rows %v, want %v", unread, want)
	}
}
