package check

import (
	"saltline/internal/assess"
	"saltline/internal/diag"
)

// sourcesDisagree: two places of the record say different things of the same
// key of the job. The one that goes before is used: the command line, then a
// job file named there, then the job table, then the title rows. A value set
// on the command line was set on purpose and is only noted.
var sourcesDisagree = &assess.Check{
	Name:     "sources-disagree",
	Group:    assess.Arithmetic,
	Severity: assess.Weakens,
	Owner:    assess.QCManager,
	Run: func(v *assess.Review) {
		for _, c := range v.Job.Conflicts {
			f := assess.Finding{
				Places: []diag.Pos{c.Other.Pos},
				Args:   map[string]any{"Key": c.Key, "Used": c.Used.Text, "Other": c.Other.Text, "Set": c.Used.Pos.IsZero()},
			}
			if c.Used.Pos.IsZero() {
				f.Severity = assess.Housekeeping
			} else {
				f.Places = append(f.Places, c.Used.Pos)
			}
			report(v, f)
		}
	},
}
