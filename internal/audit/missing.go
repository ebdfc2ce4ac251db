package audit

import (
	"saltline/internal/assess"
	"saltline/internal/record"
)

// controls are the checks whose findings say that a control was not made, or
// is not recorded, on which a reading rests.
var controls = map[string]bool{
	"meter-checks-not-recorded": true, "no-meter-check": true, "before-first-check": true, "after-last-check": true,
	"not-placed-between-checks": true, "outside-certificate": true, "meter-not-listed": true,
	"blank-not-recorded": true, "bottle-without-blank": true, "compensation-not-recorded": true,
	"pump-cycles-not-recorded": true, "no-ambient-set-near": true, "abrasive-untested": true, "wash-water-untested": true,
}

// missing lists the tables of the record that hold nothing, and the controls
// that findings miss, each once with the tests that it touches.
func missing(r *assess.Result) []Missing {
	j := r.Job
	withWeather := func(t *record.Test) bool { return t.Air().Known() || t.Humidity().Known() || t.Steel().Known() }
	var all []Missing
	for _, table := range []struct {
		name string
		rows int
	}{
		{"areas", len(j.Areas)},
		{"meters", len(j.Meters)},
		{"checks", len(j.Checks)},
		{"water", len(j.Water)},
		{"patches", len(j.Patches)},
		{"ambient", len(j.Ambient) + count(j.Tests, withWeather)},
		{"people", len(j.People)},
		{"signatures", len(j.Signatures)},
	} {
		if table.rows == 0 {
			all = append(all, Missing{Table: table.name})
		}
	}
	at := map[string]int{}
	for _, f := range r.Findings {
		name := f.Check.Name
		if !controls[name] {
			continue
		}
		k, known := at[name]
		if !known {
			k = len(all)
			at[name] = k
			all = append(all, Missing{Check: name})
		}
		all[k].Tests += len(f.Tests)
	}
	return all
}

func count(tests []record.Test, holds func(*record.Test) bool) int {
	n := 0
	for i := range tests {
		if holds(&tests[i]) {
			n++
		}
	}
	return n
}
