package dossier

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"saltline/internal/assess"
	"saltline/internal/papers"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// A reportNumber is the number of a report, taken apart: "DR-02A" is the second
// of the series "DR-".
type reportNumber struct {
	text, series string
	n, width     int // width: how many digits, where they begin with a nought
	day          unit.Date
}

// takeApart finds the counting digits of a number: the last ones, before a
// letter that tells two reports of a day apart, and before a revision.
func takeApart(number string, day unit.Date) (reportNumber, bool) {
	text := strings.TrimSpace(number)
	if at := strings.Index(strings.ToLower(text), " rev"); at > 0 {
		text = text[:at]
	}
	digits := strings.TrimRightFunc(text, unicode.IsLetter)
	if len(text)-len(digits) > 1 {
		digits = text
	}
	series := strings.TrimRight(digits, "0123456789")
	digits = digits[len(series):]
	n, err := strconv.Atoi(digits)
	if err != nil {
		return reportNumber{}, false
	}
	out := reportNumber{text: text, series: series, n: n, day: day}
	if strings.HasPrefix(digits, "0") {
		out.width = len(digits)
	}
	return out, true
}

// missingNumbers are the numbers between those of the reports of which there is
// no report: "DR-02" between DR-01 and DR-03. A report is there that a day of
// the diary or a row of the documents has; one that a remark of the diary names
// is accounted for. Numbers that spell their days are no series.
func missingNumbers(r *assess.Result, reports []papers.Report) []string {
	bySeries := map[string][]reportNumber{}
	var names []string
	take := func(number string, day unit.Date) {
		of, ok := takeApart(number, day)
		if !ok {
			return
		}
		if bySeries[of.series] == nil {
			names = append(names, of.series)
		}
		bySeries[of.series] = append(bySeries[of.series], of)
	}
	for i := range reports {
		take(reports[i].Number, reports[i].Date)
	}
	spoken := map[string]bool{}
	for i := range r.Job.Days { // a day without tests has a report of its own
		d := &r.Job.Days[i]
		take(d.ReportNumber.OrZero(), d.Date.Val)
		for _, text := range []string{d.Remarks.Val, d.WhatChanged.Val} {
			for _, word := range strings.Fields(text) {
				spoken[record.Folded(strings.Trim(word, ",;:.()"))] = true
			}
		}
	}
	for i := range r.Job.Documents {
		if d := &r.Job.Documents[i]; papers.KindOf(d.Kind.Val) == papers.DailyReport {
			take(d.Number.OrZero(), unit.Date{})
		}
	}
	var missing []string
	for _, name := range names {
		if of := bySeries[name]; !spellDays(of) {
			missing = append(missing, between(of, spoken)...)
		}
	}
	return missing
}

// between are the numbers that a series leaves out. A step over more numbers
// than the series has, and ten (house choice), begins another: the numbers of
// the next year.
func between(series []reportNumber, spoken map[string]bool) []string {
	slices.SortFunc(series, func(a, b reportNumber) int { return cmp.Compare(a.n, b.n) })
	series = slices.CompactFunc(series, func(a, b reportNumber) bool { return a.n == b.n })
	width := 0
	for _, of := range series {
		width = max(width, of.width)
	}
	var missing []string
	for k := 1; k < len(series); k++ {
		if series[k].n-series[k-1].n > len(series)+10 {
			continue
		}
		for n := series[k-1].n + 1; n < series[k].n; n++ {
			if number := fmt.Sprintf("%s%0*d", series[k].series, width, n); !spoken[record.Folded(number)] {
				missing = append(missing, number)
			}
		}
	}
	return missing
}

// dayForms are the figures in which a number may end to spell its day. Month and
// day alone are the end of an ISO date too.
var dayForms = []func(unit.Date) string{
	func(d unit.Date) string { return fmt.Sprintf("%02d%02d", d.Month, d.Day) },
	func(d unit.Date) string { return fmt.Sprintf("%02d%02d", d.Day, d.Month) },
	func(d unit.Date) string { return fmt.Sprintf("%02d%02d%04d", d.Day, d.Month, d.Year) },
	func(d unit.Date) string { return fmt.Sprintf("%02d%02d%02d", d.Day, d.Month, d.Year%100) },
	func(d unit.Date) string { return fmt.Sprintf("%02d%02d%04d", d.Month, d.Day, d.Year) },
	func(d unit.Date) string { return fmt.Sprintf("%02d%02d%02d", d.Month, d.Day, d.Year%100) },
}

// spellDays reports whether all numbers of a series end in the figures of their
// days, as 2026-03-02 does.
func spellDays(series []reportNumber) bool {
	series = slices.DeleteFunc(slices.Clone(series), func(of reportNumber) bool { return of.day.IsZero() })
	if len(series) == 0 {
		return false
	}
	return slices.ContainsFunc(dayForms, func(form func(unit.Date) string) bool {
		return !slices.ContainsFunc(series, func(of reportNumber) bool {
			figures := strings.Map(func(c rune) rune {
				if c < '0' || c > '9' {
					return -1
				}
				return c
			}, of.text)
			return !strings.HasSuffix(figures, form(of.day))
		})
	})
}
