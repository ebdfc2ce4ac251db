package check

import (
	"strings"
	"unicode"

	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// sourcesDisagree: two places of the record say different things of the same
// key of the job. The one that goes before is used: the command line, then a
// job file named there, then the job table, then the title rows. A value set
// on the command line was set on purpose and is only noted.
//
// A pass that the other limit, volume, patch area or constant would not give
// is not established until it is settled which of the two holds. Those passes
// are the tests of the finding.
var sourcesDisagree = &assess.Check{
	Name:     "sources-disagree",
	Group:    assess.Arithmetic,
	Severity: assess.Weakens,
	Owner:    assess.QCManager,
	Run: func(v *assess.Review) {
		for _, c := range v.Job.Conflicts {
			f := assess.Finding{Places: []diag.Pos{c.Other.Pos}}
			if !c.Used.Pos.IsZero() {
				f.Places = append(f.Places, c.Used.Pos)
			}
			c = asUsed(v, c)
			f.Args = map[string]any{"Key": c.Key, "Used": c.Used.Text, "Other": c.Other.Text, "Set": c.Used.Pos.IsZero()}
			if c.Used.Pos.IsZero() {
				f.Severity = assess.Housekeeping
				report(v, f)
				continue
			}
			f.Tests = onSteel(v, func(l *assess.Line) bool {
				times, ok := withOther(l, c.Key, c.Other.Text, c.Used.Pos)
				return ok && l.ByNumber == assess.Pass && float64(l.Limits()[0].Value)*times > float64(l.Limits()[0].Limit.Value)
			})
			if len(f.Tests) > 0 {
				f.Severity, f.Direction = assess.UnprovenPass, assess.UnsafeSide
			}
			report(v, f)
		}
	},
}

// asUsed turns a conflict round where the tests rest on the other value: what
// a title row says stands nearer to them.
func asUsed(v *assess.Review, c record.Conflict) record.Conflict {
	other := onSteel(v, func(l *assess.Line) bool {
		_, ok := withOther(l, c.Key, c.Used.Text, c.Other.Pos)
		return ok
	})
	if len(other) > 0 {
		c.Used, c.Other = c.Other, c.Used
	}
	return c
}

// withOther is by how much the density of a test would stand higher against
// its limit with the other value of a key; false where the test does not use
// the value in question, or nothing follows from the key.
func withOther(l *assess.Line, key, other string, used diag.Pos) (times float64, ok bool) {
	var is, would float64
	var from diag.Pos
	var r unit.Reading
	switch key {
	case "limit":
		if len(l.Limits()) == 0 {
			return 0, false
		}
		r = unit.ParseDensity(strings.TrimLeftFunc(other, notADigit), "", unit.AnySign) // "≤ 30 mg/m²"
		from, would, is = l.Limits()[0].Limit.Pos, float64(l.Limits()[0].Limit.Value), r.Value.Float()
	case "volume":
		r = unit.ParseVolume(other, "", unit.AnySign)
		from, would, is = l.Volume().Pos, r.Value.Float(), float64(l.Volume().Val)
	case "patch area":
		r = unit.ParsePatchArea(other, "", unit.AnySign)
		from, would, is = l.PatchArea().Pos, float64(l.PatchArea().Val), r.Value.Float()
	case "constant":
		r = unit.ParseConstant(other, "", unit.AnySign)
		from, would, is = l.Constant().Pos, r.Value.Float(), float64(l.Constant().Val)
	default:
		return 0, false
	}
	if r.State != unit.Known || from != used || is <= 0 {
		return 0, false
	}
	return would / is, true
}

func notADigit(r rune) bool { return !unicode.IsDigit(r) }
