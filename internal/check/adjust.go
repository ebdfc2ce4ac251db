package check

import (
	"math"
	"slices"
	"strings"

	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/record"
)

// adjustedWithoutAsFound: the meter was adjusted, and what it read before is
// not on record: an "as left" entry with tests between it and the check
// before. Those tests are bracketed on one side only. Where a remark speaks of
// a calibration and the checks do not, it weakens what was read since the
// last of them.
var adjustedWithoutAsFound = &assess.Check{
	Name:     "adjusted-without-as-found",
	Group:    assess.MeterAndCalibration,
	Severity: assess.UnprovenPass,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		if len(v.Job.Checks) == 0 && len(remarked(v)) == 0 {
			return
		}
		for _, s := range sessions(v) {
			checks := s.numbered()
			if !allTimed(checks) {
				continue
			}
			left := false
			for k, c := range checks {
				if !c.what.AsLeft() {
					continue
				}
				left = true
				if k == 0 {
					continue // before-first-check
				}
				for _, tests := range byDay(v, s.between(checks[k-1].minutes, c.minutes, false)) {
					report(v, assess.Finding{
						Tests: tests, Places: []diag.Pos{c.what.Row},
						Args: map[string]any{"Meter": s.meter, "At": c.what.Time.Val, "Remark": ""},
					})
				}
			}
			if !left {
				s.reportRemark(v, checks)
			}
		}
	},
}

func (s *session) reportRemark(v *assess.Review, checks []timed[*record.MeterCheck]) {
	for _, t := range s.tests {
		remark := v.Lines[t.what].Test.Remark()
		if !t.known || !speaksOfAdjusting(remark.Val) {
			continue
		}
		since := math.Inf(-1)
		for _, c := range checks {
			if c.minutes <= t.minutes {
				since = c.minutes
			}
		}
		for _, tests := range byDay(v, s.between(since, math.Nextafter(t.minutes, math.Inf(1)), false)) {
			report(v, assess.Finding{
				Severity: assess.Weakens, Tests: tests, Places: []diag.Pos{remark.Pos},
				Args: map[string]any{"Meter": s.meter, "At": v.Lines[t.what].Test.Read().Val, "Remark": remark.Text},
			})
		}
	}
}

// speaksOfAdjusting reports whether a remark says that the meter was set, in
// one of the languages of the logs. "Adjusted" alone may be the patch.
func speaksOfAdjusting(remark string) bool {
	return holdsAny(remark,
		"calibrated", "recalibrat", "meter adjusted", "adjusted the meter",
		"kalibriert", "gerät justiert", "calibrado", "étalonné", "kalibrert", "måler justert")
}

func holdsAny(text string, words ...string) bool {
	text = strings.ToLower(text)
	return slices.ContainsFunc(words, func(word string) bool { return strings.Contains(text, word) })
}
