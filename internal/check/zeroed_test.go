package check_test

import (
	"testing"

	"saltline/internal/assess"
	"saltline/internal/check"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// TestZeroedByAKeyOfTheJob sees that what a job says beside our keys is read:
// the sheets of the checks hold our keys alone.
func TestZeroedByAKeyOfTheJob(t *testing.T) {
	conductivity := func(text string) record.Given[unit.Conductivity] {
		d, err := unit.ParseDecimal(text, unit.PointSign)
		if err != nil {
			t.Fatal(err)
		}
		return record.Given[unit.Conductivity]{Val: unit.Conductivity(d.Float()), Dec: d, State: record.Known, Text: text}
	}
	for key, want := range map[string]int{
		"meter zeroed on the water": 1,
		"gauge zeroed on a plate":   0,
	} {
		test := record.NewTest()
		f := test.Own()
		f.Blank, f.Extract = conductivity("1.8"), conductivity("14.2")
		job := &record.Job{Tests: []record.Test{test}}
		job.Terms.Volume = record.Given[unit.Volume]{Val: 3, Dec: unit.Int(3), State: record.Known}
		job.Terms.Other = []record.Fact{{Key: key, Value: record.Words{Val: "yes", Text: "yes", State: record.Known}}}
		found := 0
		for _, f := range assess.Run(job, check.All()).Findings {
			if f.Check.Name == "zeroed-on-the-water" {
				found++
			}
		}
		if found != want {
			t.Errorf("%q: %d findings, want %d", key, found, want)
		}
	}
}
