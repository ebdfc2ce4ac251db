package main

import (
	"fmt"

	"saltline/internal/unit"
)

// judgeWhole judges a job for a document that speaks of all of it: no sheet of
// the record may be left out, and no column set aside, for a remark of lost water
// may stand in it; and the document may not be older than what it rests on.
func (r *jobRun) judgeWhole(paths []string, what string, s stream) (*judged, error) {
	if r.sheet != "" {
		return nil, usageError(fmt.Sprintf("--sheet %s leaves the other sheets of the record out: %s from a part of it", r.sheet, what),
			"give the whole record; a sheet that does not belong to it goes into a workbook of its own")
	}
	for _, m := range r.maps {
		if heading, column, ok := mapped(m); ok && column == "-" {
			return nil, usageError(fmt.Sprintf("--map %q sets a column of the record aside: %s from a part of it", m, what),
				fmt.Sprintf("say what the column %q holds, or give the record without it", heading))
		}
	}
	in, err := r.judge(paths, what, s)
	if err != nil {
		return nil, err
	}
	if day, of := in.last(); r.date.Compare(day) < 0 {
		return nil, trouble(fmt.Sprintf("the day of production is %s, and the record holds %s of %s", r.date.ISO(), of, day.ISO()),
			"correct the date in the record, or give the day with --produced")
	}
	return in, nil
}

// last is the last day on which the record has a test or a signature, and which
// of the two.
func (in *judged) last() (day unit.Date, of string) {
	for i := range in.job.Tests {
		if d := in.job.Tests[i].Date(); d.Known() && d.Val.Compare(day) > 0 {
			day, of = d.Val, "a test"
		}
	}
	for i := range in.job.Signatures {
		if at := in.job.Signatures[i].SignedAt; at.Known() && at.Val.Date.Compare(day) > 0 {
			day, of = at.Val.Date, "a signature"
		}
	}
	return day, of
}
