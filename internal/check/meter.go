package check

import (
	"cmp"
	"maps"
	"math"
	"slices"

	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// meterChecks ask whether the meter can be believed when it was read.
func meterChecks() []*assess.Check {
	return []*assess.Check{
		meterChecksNotRecorded, noMeterCheck, beforeFirstCheck, afterLastCheck, notPlacedBetweenChecks,
		checkOutsideTolerance, adjustedWithoutAsFound,
		checkFarFromUse, checkSolutionExpired, checkWithoutCompensation, checksAllNominal,
		outsideCertificate, meterNotListed, meterInTwoPlaces, meterTooCoarse,
	}
}

// outsideCertificate: an instrument was used on a day that none of its
// certificates covers: after the due date, or before it was calibrated. For
// the conductivity meter no pass rests on such a day; the instruments of the
// weather carry no verdict and are only named. One finding an instrument and
// day.
var outsideCertificate = &assess.Check{
	Name:     "outside-certificate",
	Group:    assess.MeterAndCalibration,
	Severity: assess.UnprovenPass,
	Owner:    assess.QCManager,
	Run: func(v *assess.Review) {
		for _, certificates := range groups(meters(v), func(m *record.Meter) string { return plate(m.Serial.Val) }) {
			m := certificates[0]
			meters := metersUsed(v)
			number, ofWeather := meters.find(m.Serial.Val), !measuresConductivity(m)
			used := onSteel(v, func(l *assess.Line) bool {
				return l.Test.Date().Known() && (ofWeather || meters.at(l.Index) == number)
			})
			outside := keep(used, func(i int) bool {
				day := v.Lines[i].Test.Date().Val
				return !slices.ContainsFunc(certificates, func(c *record.Meter) bool { return covers(c, day) })
			})
			for _, tests := range byDay(v, outside) {
				day := v.Lines[tests[0]].Test.Date().Val
				late := m.Due.Known() && day.Compare(m.Due.Val) > 0
				f := assess.Finding{
					Date: day, Places: []diag.Pos{m.Row},
					Args: map[string]any{"Meter": m.Serial.Text, "Kind": "", "Late": late, "Due": m.Due.Val, "Calibrated": m.CalibratedOn.Val, "Day": day, "Days": 0},
				}
				if late {
					f.Args["Days"] = day.Since(m.Due.Val)
				}
				if measuresConductivity(m) {
					f.Tests = tests
				} else {
					f.Severity, f.Args["Kind"] = assess.Weakens, m.Kind.Val
				}
				report(v, f)
			}
		}
	},
}

// covers reports whether a certificate holds on a day, as far as it says.
func covers(m *record.Meter, day unit.Date) bool {
	return !(m.Due.Known() && day.Compare(m.Due.Val) > 0) && !(m.CalibratedOn.Known() && day.Compare(m.CalibratedOn.Val) < 0)
}

// meters are the instruments with a serial number.
func meters(v *assess.Review) []*record.Meter {
	var all []*record.Meter
	for i := range v.Job.Meters {
		if m := &v.Job.Meters[i]; plate(m.Serial.Val) != "" {
			all = append(all, m)
		}
	}
	return all
}

// listedMeters are the conductivity meters of the list, by plate as written.
func listedMeters(v *assess.Review) map[string]string {
	listed := map[string]string{}
	for _, m := range meters(v) {
		if measuresConductivity(m) {
			listed[plate(m.Serial.Val)] = m.Serial.Text
		}
	}
	return listed
}

// measuresConductivity reports whether an instrument reads conductivity. One
// without a kind does.
func measuresConductivity(m *record.Meter) bool {
	return !holdsAny(m.Kind.Val, "therm", "temp", "hygro", "humid", "feucht", "psychro", "dew", "surface")
}

// meterNotListed: the meter in the log is not among the listed ones, so no
// certificate stands behind its readings. Hyphens, spaces and case do not
// make another number.
var meterNotListed = &assess.Check{
	Name:     "meter-not-listed",
	Group:    assess.MeterAndCalibration,
	Severity: assess.UnprovenPass,
	Owner:    assess.QCManager,
	Run: func(v *assess.Review) {
		listed := listedMeters(v)
		if len(listed) == 0 {
			return
		}
		meters := metersUsed(v)
		known := map[int32]bool{0: true} // no meter is no strange one
		for serial := range listed {
			known[meters.find(serial)] = true
		}
		strange := onSteel(v, func(l *assess.Line) bool { return !known[meters.at(l.Index)] })
		names := slices.Sorted(maps.Values(listed)) // for all findings
		type meterDay struct {
			meter int32
			day   unit.Date
		}
		for _, tests := range groups(strange, func(i int) meterDay {
			return meterDay{meters.at(i), v.Lines[i].Test.Date().Val}
		}) {
			report(v, assess.Finding{
				Tests: tests, Places: places(v, tests, meterAt),
				Args: map[string]any{"Meter": v.Lines[tests[0]].Test.Meter().Text, "Listed": names},
			})
		}
	},
}

// meterInTwoPlaces: one meter was read in two areas closer together in time
// than it takes to handle it: at the same minute, or by two inspectors within
// the handling time.
var meterInTwoPlaces = &assess.Check{
	Name:     "meter-in-two-places",
	Group:    assess.MeterAndCalibration,
	Severity: assess.UnprovenPass,
	Owner:    assess.QCManager,
	Settings: []string{assess.HandlingTime},
	Run: func(v *assess.Review) {
		for _, p := range inTwoPlaces(v) {
			a, b := v.Lines[p[0]].Test, v.Lines[p[1]].Test
			report(v, assess.Finding{
				Tests: p[:], Places: places(v, p[:], readAt),
				Args: map[string]any{
					"Meter": a.Meter().Val, "First": a.Read().Val, "Second": b.Read().Val, "FirstArea": a.Area().Val, "SecondArea": b.Area().Val,
				},
			})
		}
	},
}

// inTwoPlaces lists the pairs of tests for which one meter would have been in
// two places, the one read first before the other.
var inTwoPlaces = assess.Shared(func(v *assess.Review) [][2]int {
	if !metersUsed(v).said {
		return nil
	}
	least := v.Basis.Value(assess.HandlingTime)
	var pairs [][2]int
	for _, s := range sessions(v) {
		if s.meter == "" {
			continue
		}
		read := slices.DeleteFunc(slices.Clone(s.tests), func(t timed[int]) bool {
			return !v.Lines[t.what].Test.Read().Known()
		})
		slices.SortStableFunc(read, func(a, b timed[int]) int { return cmp.Compare(a.minutes, b.minutes) })
		for k := 1; k < len(read); k++ {
			a, b := v.Lines[read[k-1].what].Test, v.Lines[read[k].what].Test
			gap := read[k].minutes - read[k-1].minutes
			twoHands := a.Inspector().Val != "" && b.Inspector().Val != "" && a.Inspector().Val != b.Inspector().Val
			if a.Area().Val != "" && b.Area().Val != "" && a.Area().Val != b.Area().Val && (gap == 0 || twoHands && gap < least) {
				pairs = append(pairs, [2]int{read[k-1].what, read[k].what})
			}
		}
	}
	return pairs
})

// meterTooCoarse: one step of the meter is worth more than a tenth of the
// limit (house setting). Two readings make the difference, so it may be off by
// a whole step. Passes closer to the limit than that are not decided by their
// digits; those are then the tests of the finding, else all that were read so.
var meterTooCoarse = &assess.Check{
	Name:     "meter-too-coarse",
	Group:    assess.MeterAndCalibration,
	Severity: assess.Weakens,
	Owner:    assess.QCManager,
	Settings: []string{assess.ResolutionShare},
	Run: func(v *assess.Review) {
		share := v.Basis.Value(assess.ResolutionShare)
		coarse := onSteel(v, func(l *assess.Line) bool {
			const rounding = 1e-9
			first, limited := l.First()
			return limited && l.Density.Known && stepOf(l) > share/100*float64(first.Limit.Value)+rounding
		})
		alike := func(i int) [2]float64 {
			l := &v.Lines[i]
			return [2]float64{stepOf(l), float64(l.Limits()[0].Limit.Value)}
		}
		for _, tests := range groups(coarse, alike) {
			first := &v.Lines[tests[0]]
			near := keep(tests, func(i int) bool {
				l := &v.Lines[i]
				within := float64(l.Limits()[0].Value)+stepOf(l) <= float64(l.Limits()[0].Limit.Value) // what is not known is not
				return l.ByNumber == assess.Pass && !within
			})
			f := assess.Finding{
				Tests: tests, Places: places(v, tests, func(t *record.Test) diag.Pos { return t.Extract().Pos }),
				Args: map[string]any{
					"Resolution": first.Resolution(), "Volume": first.Volume().Val, "Step": unit.SurfaceDensity(stepOf(first)),
					"Limit": first.Limits()[0].Limit.Exact, "Share": unit.Percent(share), "House": house(v, assess.ResolutionShare),
					"Rows": len(tests), "Near": len(near),
				},
			}
			if len(near) > 0 {
				f.Tests, f.Severity = near, assess.UnprovenPass
			}
			report(v, f)
		}
	},
}

// stepOf is one step of the meter as a density, K·r in mg/m².
func stepOf(l *assess.Line) float64 { return math.Abs(l.Factor() * float64(l.Resolution())) }

func meterAt(t *record.Test) diag.Pos { return t.Meter().Pos }
