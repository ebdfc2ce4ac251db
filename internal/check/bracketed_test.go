package check_test

import (
	"slices"
	"testing"

	"saltline/internal/assess"
	"saltline/internal/check"
	"saltline/internal/record"
	"saltline/internal/table"
)

// The tests lie about two good checks of a meter whose number is spelled in
// two ways; a check that is off is none to lie between, and a test without a
// time cannot be placed.
func TestBrackets(t *testing.T) {
	var files []*table.File
	for name, data := range map[string]string{
		"readings.csv": "test,date,read,blank_uS_cm,extract_uS_cm,volume_ml,meter\n" +
			"1,2026-03-03,06:50,1.5,9.0,3,K-0417\n2,2026-03-03,07:10,1.5,9.0,3,K-0417\n3,2026-03-03,11:50,1.5,9.0,3,K-0417\n" +
			"4,2026-03-03,12:10,1.5,9.0,3,K-0417\n5,2026-03-03,,1.5,9.0,3,K-0417\n6,2026-03-03,09:00,1.5,9.0,3,K-9\n",
		"checks.csv": "date,time,meter,nominal_uS_cm,reading_uS_cm,tolerance_pct\n" +
			"2026-03-03,07:00,k 0417,84,84.2,5\n2026-03-03,12:00,k 0417,84,83.9,5\n2026-03-03,16:00,k 0417,84,92.0,5\n",
	} {
		f, err := table.Read(name, []byte(data), table.Options{})
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, f)
	}
	job, _ := record.Bind(files, record.Options{})
	brackets, loose := check.Brackets(assess.Run(job, nil), []int{0, 1, 2, 3, 4, 5})
	if len(brackets) != 1 {
		t.Fatalf("%d brackets, want one: %+v", len(brackets), brackets)
	}
	b := brackets[0]
	for _, c := range []struct {
		what      string
		got, want []int
	}{
		{"before", b.Before, []int{0}}, {"inside", b.Inside, []int{1, 2}}, {"after", b.After, []int{3}}, {"loose", loose, []int{4, 5}},
	} {
		if !slices.Equal(c.got, c.want) {
			t.Errorf("%s: got %v, want %v", c.what, c.got, c.want)
		}
	}
	if b.First.String() != "07:00" || b.Last.String() != "12:00" {
		t.Errorf("from %s to %s, want 07:00 to 12:00", b.First, b.Last)
	}
}
