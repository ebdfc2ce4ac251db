package check

import (
	"saltline/internal/assess"
	"saltline/internal/record"
)

// pumpCyclesNotRecorded: the job agrees on a number of pump cycles, and no
// test says how often the water was moved. Said once; a log whose job agrees
// on none is not asked.
var pumpCyclesNotRecorded = &assess.Check{
	Name:     "pump-cycles-not-recorded",
	Group:    assess.ExtractionAndClock,
	Severity: assess.Housekeeping,
	Owner:    assess.Inspector,
	Settings: []string{assess.PumpCycles},
	Run: func(v *assess.Review) {
		agreed, all := &v.Job.Terms.PumpCycles, steel(v)
		if !agreed.Known() || len(all) == 0 {
			return
		}
		if counted := where(all, ask(v, record.Columns.PumpCycles, func(g record.Given[int]) bool { return absent(g) == 0 })); len(counted) == 0 {
			v.Report(assess.Finding{Places: places(v, all[:1], (*record.Test).Row), Args: map[string]any{"Agreed": agreed.Val}})
		}
	},
}
