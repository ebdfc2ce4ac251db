package papers

import (
	"testing"

	"saltline/internal/assess"
	"saltline/internal/record"
	"saltline/internal/unit"
)

func words(s string) record.Words { return record.Words{Val: s, Text: s, State: record.Known} }

func on(day int) record.Given[unit.Date] {
	return record.Given[unit.Date]{Val: unit.Date{Year: 2026, Month: 5, Day: day}, State: record.Known}
}

// A day whose report is signed, or on which a meter was checked, was a day of
// testing, unless the diary says otherwise.
func TestUnreadDays(t *testing.T) {
	test := record.NewTest()
	test.Own().Date = on(4)
	signed := func(day int) record.Signature {
		return record.Signature{Document: words("daily report"), Date: on(day), SignedAt: record.Given[record.Moment]{State: record.Known}}
	}
	job := &record.Job{
		Tests:      []record.Test{test},
		Signatures: []record.Signature{signed(4), signed(5), signed(7), {Document: words("certificate A"), Date: on(8), SignedAt: record.Given[record.Moment]{State: record.Known}}},
		Checks:     []record.MeterCheck{{Date: on(6)}, {Date: on(6)}, {Date: on(9)}, {Date: on(11)}},
		Days: []record.Day{
			{Date: on(5), ReportNumber: words("TB-02"), WorkDone: words("Salzprüfungen")},
			{Date: on(6), WorkDone: words("Salzprüfungen")},
			{Date: on(7), WorkDone: words("Regen, keine Prüfungen")},
			{Date: on(9), Remarks: words("meter checked only; no salt tests")},
			{Date: on(10), ReportNumber: words("TB-05"), WorkDone: words("blasting")},
		},
	}
	got := UnreadDays(&assess.Result{Job: job})
	want := []Unread{{on(5).Val, "TB-02", true, 0}, {on(6).Val, "", false, 2}}
	if len(got) != len(want) || got[0] != want[0] || got[1] != want[1] {
		t.Errorf("got %+v, want %+v", got, want)
	}
}
