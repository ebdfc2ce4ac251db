package check

import (
	"slices"

	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/salt"
)

// fieldsNotRecorded: what a record of such tests has to hold and this one
// does not, one finding a table. Blank and volume have findings of their own;
// the size of an area does where the sampling rule needs it. Void tests and
// blanks on glass are not asked.
var fieldsNotRecorded = &assess.Check{
	Name:     "fields-not-recorded",
	Group:    assess.SamplingAndRetests,
	Severity: assess.Housekeeping,
	Owner:    assess.QCManager,
	Run: func(v *assess.Review) {
		if len(v.Lines) == 0 {
			return
		}
		reportFields(v, "job", fieldsOfJob(v), diag.Pos{})
		if len(v.Job.Areas) > 0 {
			reportFields(v, "areas", fieldsOfAreas(v), v.Job.Areas[0].Row)
		}
		reportFields(v, "readings", fieldsOfReadings(v), v.Lines[0].Test.Row())
		if len(v.Job.Meters) > 0 {
			reportFields(v, "meters", fieldsOfMeters(v), v.Job.Meters[0].Row)
		}
	},
}

// An unrecorded is a field that Missing of the Of rows of a table lack.
type unrecorded struct {
	Field       string
	Missing, Of int
}

// reportFields reports the fields that a table lacks: those of some rows each
// with their number, those of all rows together.
func reportFields(v *assess.Review, table string, all []unrecorded, at diag.Pos) {
	var some []unrecorded
	var everywhere []string
	rows := 0
	for _, u := range all {
		rows = max(rows, u.Of)
		switch {
		case u.Missing == u.Of && u.Of > 0:
			everywhere = append(everywhere, u.Field)
		case u.Missing > 0:
			some = append(some, u)
		}
	}
	if len(some)+len(everywhere) == 0 {
		return
	}
	f := assess.Finding{Args: map[string]any{"Table": table, "Some": some, "Everywhere": everywhere, "Rows": rows}}
	if !at.IsZero() {
		f.Places = []diag.Pos{at}
	}
	report(v, f)
}

// absent counts what nobody wrote down; an unreadable value was written.
func absent[Q any](g record.Given[Q]) int {
	if g.State == record.Absent {
		return 1
	}
	return 0
}

func fieldsOfJob(v *assess.Review) []unrecorded {
	t := &v.Job.Terms
	all := []unrecorded{
		{"job number", absent(t.JobNumber), 1}, {"client", absent(t.Client), 1}, {"contractor", absent(t.Contractor), 1},
		{"site", absent(t.Site), 1}, {"structure", absent(t.Structure), 1},
		{"specification", absent(t.Specification), 1}, {"specification revision", absent(t.SpecificationRevision), 1},
	}
	var first record.Limit
	if len(t.Limits) > 0 {
		first = t.Limits[0]
	}
	limit := absent(first.Value)
	if len(where(everyTest(v), limitKnown(v))) > 0 { // a column of its own
		limit = 0
	}
	sampling := absent(t.Sampling)
	for i := range v.Job.Areas {
		if v.Job.Areas[i].Sampling.Known() {
			sampling = 0
		}
	}
	return append(all,
		unrecorded{"limit", limit, 1}, unrecorded{"limit basis", absent(first.Basis), 1},
		unrecorded{"limit comparison", absent(first.Comparison), 1}, unrecorded{"limit rounding", absent(first.Rounding), 1},
		unrecorded{"limit clause", absent(first.Clause), 1}, unrecorded{"procedure", absent(t.Procedure), 1},
		unrecorded{"constant", absent(t.Constant), 1}, unrecorded{"sampling rule", sampling, 1},
		unrecorded{"sets in use", absent(t.SetsInUse), 1},
	)
}

func fieldsOfAreas(v *assess.Review) []unrecorded {
	n := len(v.Job.Areas)
	name, size, base := unrecorded{"name", 0, n}, unrecorded{"size", 0, n}, unrecorded{"substrate", 0, n}
	for i := range v.Job.Areas {
		a := &v.Job.Areas[i]
		name.Missing += absent(a.Name)
		rule := v.Job.Terms.Sampling
		if a.Sampling.Known() {
			rule = a.Sampling
		}
		if f := rule.Val.Form; f != salt.PerArea && f != salt.OnePer {
			size.Missing += absent(a.Size)
		}
		if absent(a.Substrate) > 0 && !besideTests(v, a) {
			base.Missing++
		}
	}
	if n == 1 && v.Job.Areas[0].Name.State == record.Absent {
		name.Missing = 0 // a log without areas is one area; the readings say so
	}
	return []unrecorded{name, size, base}
}

// besideTests reports whether the tests of an area state its substrate.
func besideTests(v *assess.Review, a *record.Area) bool {
	areas := areasNamed(v)
	number := areas.find(a.Name.Val)
	return slices.ContainsFunc(where(steel(v), substrateKnown(v)), func(i int) bool { return areas.at(i) == number })
}

func fieldsOfReadings(v *assess.Review) []unrecorded {
	tests := onSteel(v, func(l *assess.Line) bool { return l.AsWritten() != assess.Void })
	assumed := among(v, tests, func(l *assess.Line) bool { return l.AssumesArea() })
	c := &record.Columns
	return []unrecorded{
		lacking(v, "test number", tests, c.Number), lacking(v, "area", tests, c.Area), lacking(v, "location", tests, c.Location),
		lacking(v, "date", tests, c.Date), lacking(v, "time of reading", tests, c.Read), lacking(v, "extract", tests, c.Extract),
		{"patch area", len(assumed), len(tests)}, lacking(v, "meter", tests, c.Meter),
		lacking(v, "written density", tests, c.Recorded), lacking(v, "inspector", tests, c.Inspector),
	}
}

// lacking is a field of the readings that so many of the tests lack.
func lacking[Q comparable](v *assess.Review, field string, tests []int, column record.Column[Q]) unrecorded {
	is := ask(v, column, func(g record.Given[Q]) bool { return g.State == record.Absent })
	return unrecorded{field, howMany(tests, is), len(tests)}
}

func fieldsOfMeters(v *assess.Review) []unrecorded {
	n := len(v.Job.Meters)
	serial, due := unrecorded{"serial number", 0, n}, unrecorded{"due date", 0, n}
	resolution := unrecorded{Field: "resolution"}
	for i := range v.Job.Meters {
		m := &v.Job.Meters[i]
		serial.Missing += absent(m.Serial)
		due.Missing += absent(m.Due)
		if conductivityMeter.in(m.Kind.Val) || m.Kind.State == record.Absent {
			resolution.Of++
			resolution.Missing += absent(m.Resolution)
		}
	}
	return []unrecorded{serial, resolution, due}
}

var conductivityMeter = stems{"conduct", "leitf", "lf ", "ledningsevne", "konduktiv"}
