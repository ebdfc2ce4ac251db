package audit

import (
	"slices"

	"saltline/internal/assess"
	"saltline/internal/record"
)

// An OpenPoint is something that the record leaves open, and for which nothing
// was supposed: what it would come to is not known.
type OpenPoint struct {
	Key   string // of its words: "report/reason-…" of an assess.Reason, or "audit/open-…"
	Tests []int
}

// Uncomputed says why nothing is computed that the written value of a test
// could be compared with, by the keys of an OpenPoint; nil where it can be.
func Uncomputed(l *assess.Line) []string {
	var keys []string
	if l.Test.Recorded().State == record.Unreadable {
		keys = append(keys, "audit/open-value-not-read")
	}
	noBlank := l.Test.Blank().State.Silent()
	switch {
	case l.Density.Known:
		return keys
	case l.Density.Bounded && !noBlank:
		return append(keys, "audit/open-reading-bounded")
	case !l.Density.Bounded:
		for _, r := range l.Reasons() {
			if r == assess.NoVolume || r == assess.NoExtract || r == assess.UnreadableValue {
				keys = append(keys, reasonKey(r))
			}
		}
	}
	if noBlank {
		keys = append(keys, reasonKey(assess.NoBlank))
	}
	return keys
}

func reasonKey(r assess.Reason) string { return "report/reason-" + r.String() }

// settles is what is supposed where a reason leaves a test open. For the other
// reasons nothing is.
var settles = map[assess.Reason]WhatIfKind{
	assess.NoVolume:     VolumeWas,
	assess.NoLimitBasis: BasisIs,
	assess.NoComparison: ComparisonIs,
}

// untried lists what the record leaves open beside what is supposed: a
// supposition that changes nothing of a test leaves it as open as it was.
func (a *Report) untried() []OpenPoint {
	tried := map[WhatIfKind][]bool{} // by line
	for _, w := range a.WhatIfs {
		if w.Slip != "" || w.Kind != VolumeWas && w.Kind != BasisIs && w.Kind != ComparisonIs {
			continue
		}
		if tried[w.Kind] == nil {
			tried[w.Kind] = make([]bool, len(a.Lines))
		}
		for _, i := range w.Tests {
			tried[w.Kind][i] = true
		}
	}
	var all []OpenPoint
	at := map[string]int{}
	for i := range a.Lines {
		l := &a.Lines[i]
		if !l.OfSteel() {
			continue
		}
		for _, key := range leftOpen(l, func(r assess.Reason) bool {
			kind, known := settles[r]
			return known && tried[kind] != nil && tried[kind][i]
		}) {
			n, known := at[key]
			if !known {
				n = len(all)
				at[key] = n
				all = append(all, OpenPoint{Key: key})
			}
			all[n].Tests = append(all[n].Tests, i)
		}
	}
	return all
}

// leftOpen are the keys of what a test leaves open, each once.
func leftOpen(l *assess.Line, tried func(assess.Reason) bool) []string {
	var keys []string
	for _, r := range l.Reasons() {
		if !tried(r) {
			keys = append(keys, reasonKey(r))
		}
	}
	for _, key := range Uncomputed(l) {
		if !slices.Contains(keys, key) && !(key == reasonKey(assess.NoVolume) && tried(assess.NoVolume)) {
			keys = append(keys, key)
		}
	}
	if l.UnreadVerdict() {
		keys = append(keys, "audit/open-verdict-not-read")
	}
	if l.Verdict == assess.NotEstablished && !l.Open() {
		keys = append(keys, "audit/open-finding")
	}
	return keys
}
