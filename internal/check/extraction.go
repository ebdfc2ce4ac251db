package check

import (
	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// contactTimeShort: the water was on the steel for less than the agreed time,
// so that less salt came off. Ten minutes are usually agreed on unpitted
// steel (from memory, ISO 8502-6); where the record states no time this house
// setting weakens the evidence and takes no pass away.
var contactTimeShort = &assess.Check{
	Name:     "contact-time-short",
	Group:    assess.ExtractionAndClock,
	Severity: assess.UnprovenPass,
	Owner:    assess.Inspector,
	Settings: []string{assess.ContactTime},
	Run: func(v *assess.Review) {
		agreed, _ := v.Basis.Setting(assess.ContactTime)
		short := among(v, twiceTimed(v), func(l *assess.Line) bool {
			s := stayOf(v, l.Index)
			return s.both() && float64(s.to-s.from) < agreed.Value
		})
		for _, tests := range byDay(v, short) {
			var rows []contactRow
			for _, i := range tests {
				s := stayOf(v, i)
				rows = append(rows, contactRow{Number(v.Lines, i), s.to - s.from})
			}
			few, more := upTo(mostShown, rows)
			report(v, assess.Finding{
				Severity: ifHouse(agreed, assess.Weakens),
				Tests:    tests, Places: places(v, tests, readAt), Direction: assess.UnsafeSide,
				Args: map[string]any{"Rows": few, "More": more, "Agreed": unit.Minutes(agreed.Value), "House": agreed.House},
			})
		}
	},
}

type contactRow struct {
	Test string
	Time unit.Minutes
}

func readAt(t *record.Test) diag.Pos { return t.Read().Pos }

// ifHouse is the severity of a finding that rests on a setting of the house;
// that of its check where the record states the setting.
func ifHouse(s assess.Setting, severity assess.Severity) assess.Severity {
	if s.House {
		return severity
	}
	return assess.AsDeclared
}

// waterLost: water escaped, and the log uses the result nevertheless. The
// volume in the formula is then not that which held the salt, and what ran
// off took salt along; any loss makes the extraction void (ISO 8502-6). Told
// by the volumes, with an allowance for what stays in the patch, or by the
// remark.
var waterLost = &assess.Check{
	Name:     "water-lost",
	Group:    assess.ExtractionAndClock,
	Severity: assess.VoidsTest,
	Owner:    assess.Inspector,
	Settings: []string{assess.LossVolume},
	Run: func(v *assess.Review) {
		lost := among(v, where(steel(v), recoveredKnown(v), remarkSaid(v)), func(l *assess.Line) bool {
			t := l.Test
			return (t.Recovered().Known() && missesWater(v, l) || t.Remark().Val != "" && saysWaterLost(t.Remark().Val)) && l.AsWritten() != assess.Void
		})
		for _, tests := range byDay(v, lost) {
			var rows []lossRow
			measured := false
			for _, i := range tests {
				l := &v.Lines[i]
				injected, _ := injectedOf(v, l.Test)
				measured = measured || missesWater(v, l)
				rows = append(rows, lossRow{Number(v.Lines, i), missesWater(v, l), injected, l.Test.Recovered().Val, l.Test.Remark().Text})
			}
			few, more := upTo(mostShown, rows)
			report(v, assess.Finding{
				Tests: tests, Places: places(v, tests, lossAt), Direction: assess.UnsafeSide,
				Args: map[string]any{"Rows": few, "More": more, "Measured": measured, "Allowed": unit.Volume(v.Basis.Value(assess.LossVolume))},
			})
		}
	},
}

type lossRow struct {
	Test                string
	Measured            bool
	Injected, Recovered unit.Volume
	Remark              string
}

// missesWater reports whether less came back than went in, beyond what may
// stay behind.
func missesWater(v *assess.Review, l *assess.Line) bool {
	t := l.Test
	injected, ok := t.Injected(), t.Injected().Known()
	if !ok && v.Basis.ProcedureOf(t.Procedure()) == record.Direct {
		injected, ok = v.Job.Terms.Volume, v.Job.Terms.Volume.Known()
	}
	allowed, exact := unit.FromFloat(v.Basis.Value(assess.LossVolume))
	if !ok || !exact || !t.Recovered().Known() {
		return false
	}
	missing := injected.Dec.Ratio().Sub(t.Recovered().Dec.Ratio())
	return missing.Cmp(allowed.Ratio()) > 0
}

func lossAt(t *record.Test) diag.Pos {
	if saysWaterLost(t.Remark().Val) {
		return t.Remark().Pos
	}
	return t.Recovered().Pos
}

// injectedVolumeUnsuited: too little water does not reach the whole steel
// under the cell, too much lifts its rim. 2.6 ± 0.6 µl for each mm² suit a
// cell (from memory, ISO 8502-6).
var injectedVolumeUnsuited = &assess.Check{
	Name:     "injected-volume-unsuited",
	Group:    assess.ExtractionAndClock,
	Severity: assess.Weakens,
	Owner:    assess.Inspector,
	Settings: []string{assess.InjectedLeast, assess.InjectedMost},
	Run: func(v *assess.Review) {
		went := steel(v)
		if !v.Job.Terms.Volume.Known() {
			went = injected(v)
		}
		unsuited := among(v, went, func(l *assess.Line) bool {
			ml, ok := injectedOf(v, l.Test)
			ofACell := l.Test.Injected().Known() || ml < mostDirect // else it is the volume of a beaker
			return ok && ofACell && l.PatchArea().Known && l.PatchArea().Assumed == 0 && !suits(v, ml, l.PatchArea().Val)
		})
		type kind struct {
			ml unit.Volume
			mm unit.PatchArea
		}
		for _, tests := range groups(unsuited, func(i int) kind {
			ml, _ := injectedOf(v, v.Lines[i].Test)
			return kind{ml, v.Lines[i].PatchArea().Val}
		}) {
			ml, _ := injectedOf(v, v.Lines[tests[0]].Test)
			mm := v.Lines[tests[0]].PatchArea().Val
			report(v, assess.Finding{
				Tests: tests, Places: places(v, tests, func(t *record.Test) diag.Pos { return t.Injected().Pos }),
				Args: map[string]any{
					"Injected": ml, "PatchArea": mm,
					"Least": unit.Volume(v.Basis.Value(assess.InjectedLeast) * float64(mm) / 1000),
					"Most":  unit.Volume(v.Basis.Value(assess.InjectedMost) * float64(mm) / 1000),
				},
			})
		}
	},
}

// suits reports whether a volume is within the two fills for a cell. The
// product of a fill and an area is not exact, hence the last term.
func suits(v *assess.Review, ml unit.Volume, mm unit.PatchArea) bool {
	fill := float64(ml) * 1000 / float64(mm)
	return fill >= v.Basis.Value(assess.InjectedLeast)-1e-9 && fill <= v.Basis.Value(assess.InjectedMost)+1e-9
}

// tooFewPumpCycles: the water has to be moved in and out to wet all of the
// steel and to dissolve what is on it; at least four times is usual (from
// memory, ISO 8502-6). A log that counts no cycles at all is not asked.
var tooFewPumpCycles = &assess.Check{
	Name:     "too-few-pump-cycles",
	Group:    assess.ExtractionAndClock,
	Severity: assess.Weakens,
	Owner:    assess.Inspector,
	Settings: []string{assess.PumpCycles},
	Run: func(v *assess.Review) {
		wanted, _ := v.Basis.Setting(assess.PumpCycles)
		few := where(steel(v), ask(v, record.Columns.PumpCycles, func(g record.Given[int]) bool {
			return g.Known() && float64(g.Val) < wanted.Value
		}))
		for _, tests := range byDay(v, few) {
			var rows []cyclesRow
			for _, i := range tests {
				rows = append(rows, cyclesRow{Number(v.Lines, i), v.Lines[i].Test.PumpCycles().Val})
			}
			first, more := upTo(mostShown, rows)
			report(v, assess.Finding{
				Tests: tests, Places: places(v, tests, func(t *record.Test) diag.Pos { return t.PumpCycles().Pos }), Direction: assess.UnsafeSide,
				Args: map[string]any{"Rows": first, "More": more, "Wanted": int(wanted.Value), "House": wanted.House},
			})
		}
	},
}

type cyclesRow struct {
	Test   string
	Cycles int
}
