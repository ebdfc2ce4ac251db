package check

import (
	"math"

	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// dewMarginLow: the steel is nearer to the dew point than the agreed margin,
// so that coating has to wait. Three kelvins are the usual specification
// value and the house setting. The salt results are not touched.
var dewMarginLow = &assess.Check{
	Name:     "dew-margin-low",
	Group:    assess.TemperatureAndAmbient,
	Severity: assess.Weakens,
	Owner:    assess.Contractor,
	Settings: []string{assess.DewPointMargin},
	Run: func(v *assess.Review) {
		asked, _ := v.Basis.Setting(assess.DewPointMargin)
		for _, day := range byTheHour(v, func(s *assess.AmbientSet) bool { return s.LowMargin && len(impossible(s)) == 0 }) {
			var rows []marginRow
			for _, s := range day {
				rows = append(rows, marginRow{shown(s), s.Margin, setSteel(s).Val, s.Dew, s.DewKnown, decimalsApart(s.Margin, asked.Value, 1)})
			}
			reportSets(v, day, rows, map[string]any{"Asked": unit.Temperature(asked.Value), "House": asked.House}, steelOfSet)
		}
	},
}

type marginRow struct {
	setShown
	Margin, Steel, Dew unit.Temperature
	Calculated         bool // Dew is known
	Decimals           int  // that tell Margin from what is asked
}

func steelOfSet(s *assess.AmbientSet) diag.Pos { return setSteel(s).Pos }

// reportSets reports ambient sets of one day.
func reportSets[R any](v *assess.Review, day []*assess.AmbientSet, rows []R, args map[string]any, at func(*assess.AmbientSet) diag.Pos) {
	f := assess.Finding{Date: setDay(day[0]), Args: args}
	for _, s := range day {
		p := at(s)
		if p.IsZero() {
			p = setRow(s)
		}
		f.Places = append(f.Places, p)
	}
	args["Rows"], args["More"] = upTo(mostShown, rows)
	report(v, f)
}

// humidityHigh: the air is more humid than agreed, so that coating has to
// wait. 85 % is the usual specification value and the house setting.
var humidityHigh = &assess.Check{
	Name:     "humidity-high",
	Group:    assess.TemperatureAndAmbient,
	Severity: assess.Weakens,
	Owner:    assess.Contractor,
	Settings: []string{assess.HumidityLimit},
	Run: func(v *assess.Review) {
		limit, _ := v.Basis.Setting(assess.HumidityLimit)
		for _, day := range byTheHour(v, func(s *assess.AmbientSet) bool { return s.HighHumidity && len(impossible(s)) == 0 }) {
			var rows []humidityRow
			for _, s := range day {
				rows = append(rows, humidityRow{shown(s), s.Humidity, decimalsApart(s.Humidity, limit.Value, 0)})
			}
			reportSets(v, day, rows, map[string]any{"Limit": unit.Humidity(limit.Value), "House": limit.House}, humidityOfSet)
		}
	},
}

type humidityRow struct {
	setShown
	Humidity unit.Humidity
	Decimals int // that tell it from the limit
}

func humidityOfSet(s *assess.AmbientSet) diag.Pos {
	if s.Set != nil {
		return s.Set.Humidity.Pos
	}
	return s.Test.Humidity().Pos
}

// dewPointDoesNotFollow: the written dew point is not that of the written air
// temperature and humidity (Magnus formula with the constants of the WMO).
// Tables differ from it by 0.1 to 0.2 °C and the humidity is written to 1 %,
// so half a degree is let pass (house setting); and where temperatures are
// written to whole degrees, what their digits leave open.
var dewPointDoesNotFollow = &assess.Check{
	Name:     "dew-point-does-not-follow",
	Group:    assess.TemperatureAndAmbient,
	Severity: assess.Weakens,
	Owner:    assess.Inspector,
	Settings: []string{assess.DewDifference, assess.DewPointMargin},
	Run: func(v *assess.Review) {
		allowed := v.Basis.Value(assess.DewDifference)
		asked := unit.Temperature(v.Basis.Value(assess.DewPointMargin))
		for _, day := range byTheHour(v, func(s *assess.AmbientSet) bool {
			dew := setDew(s)
			off := math.Abs(float64(dew.Val - s.Dew))
			return dew.Known() && s.DewKnown && off > allowed+leftOpen(dew)+leftOpen(setAir(s))+1e-9 && len(impossible(s)) == 0
		}) {
			var rows []dewRow
			direction := assess.UnsafeSide
			for _, s := range day {
				written := setDew(s).Val
				row := dewRow{setShown: shown(s), Written: written, Follows: s.Dew, Air: setAir(s).Val, Humidity: s.Humidity}
				if steel := setSteel(s); steel.Known() {
					row.HasMargin, row.Margin, row.WrittenMargin = true, s.Margin, steel.Val-written
					row.Flips = (row.WrittenMargin < asked) != (row.Margin < asked)
				}
				if written > s.Dew {
					direction = assess.NoDirection
				}
				rows = append(rows, row)
			}
			args := map[string]any{"Allowed": unit.Temperature(allowed)}
			f := assess.Finding{Date: setDay(day[0]), Args: args, Direction: direction}
			for _, s := range day {
				f.Places = append(f.Places, setDew(s).Pos)
			}
			args["Rows"], args["More"] = upTo(mostShown, rows)
			report(v, f)
		}
	},
}

// leftOpen is half a unit of the last digit of a temperature that is written
// more coarsely than to a tenth.
func leftOpen(t record.Given[unit.Temperature]) float64 {
	const tenth = 0.1 + 1e-9 // °C
	if step := t.Dec.Step().Float(); step > tenth {
		return step / 2
	}
	return 0
}

type dewRow struct {
	setShown
	Written, Follows, Air unit.Temperature
	Humidity              unit.Humidity
	HasMargin, Flips      bool
	Margin, WrittenMargin unit.Temperature
}

func setDew(s *assess.AmbientSet) record.Given[unit.Temperature] {
	if s.Set != nil {
		return s.Set.RecordedDew
	}
	return s.Test.RecordedDew()
}

func setAir(s *assess.AmbientSet) record.Given[unit.Temperature] {
	if s.Set != nil {
		return s.Set.Air
	}
	return s.Test.Air()
}

// impossibleAmbient: an ambient set that no air can give. It says nothing of
// the air, so the coating decision lacks it. It weakens and takes no pass
// away: no density is computed from it, and the set is put aside wherever the
// air or the steel of a test is asked about.
var impossibleAmbient = &assess.Check{
	Name:     "impossible-ambient",
	Group:    assess.TemperatureAndAmbient,
	Severity: assess.Weakens,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		for _, day := range byTheHour(v, func(s *assess.AmbientSet) bool { return len(impossible(s)) > 0 }) {
			var rows []impossibleRow
			for _, s := range day {
				rows = append(rows, impossibleRow{shown(s), impossible(s)})
			}
			reportSets(v, day, rows, map[string]any{}, setRow)
		}
	},
}

type impossibleRow struct {
	setShown
	Oddities []oddity
}

// An oddity is one thing of an ambient set that cannot be.
type oddity struct {
	Kind  string // "humidity", "dew point", "wet bulb", "steel"
	Value unit.Temperature
	Air   unit.Temperature
	Share unit.Humidity
}

// impossible lists what cannot be of an ambient set: air more than
// saturated, a dew point or a wet bulb above the air, steel above 90 °C.
func impossible(s *assess.AmbientSet) []oddity {
	var odd []oddity
	air, dew, steel := setAir(s), setDew(s), setSteel(s)
	humidity := record.Given[unit.Humidity]{}
	wet := record.Given[unit.Temperature]{}
	if s.Set != nil {
		humidity, wet = s.Set.Humidity, s.Set.WetBulb
	} else {
		humidity = s.Test.Humidity()
	}
	if humidity.Known() && humidity.Val > 100 {
		odd = append(odd, oddity{Kind: "humidity", Share: humidity.Val})
	}
	if dew.Known() && air.Known() && dew.Val > air.Val {
		odd = append(odd, oddity{Kind: "dew point", Value: dew.Val, Air: air.Val})
	}
	if wet.Known() && air.Known() && wet.Val > air.Val {
		odd = append(odd, oddity{Kind: "wet bulb", Value: wet.Val, Air: air.Val})
	}
	if steel.Known() && steel.Val > hottestSteel {
		odd = append(odd, oddity{Kind: "steel", Value: steel.Val})
	}
	return odd
}

// noAmbientSetNear: no ambient set lies within the ambient gap of a test
// (house setting, 4 h). A log without any set is not asked: it says nothing
// of the air, and that is stated once.
var noAmbientSetNear = &assess.Check{
	Name:     "no-ambient-set-near",
	Group:    assess.TemperatureAndAmbient,
	Severity: assess.Weakens,
	Owner:    assess.Inspector,
	Settings: []string{assess.AmbientGap},
	Run: func(v *assess.Review) {
		if len(v.Ambient) == 0 {
			return
		}
		far := onSteel(v, func(l *assess.Line) bool { return farFromSets(v, l) })
		for _, tests := range byDay(v, far) {
			var furthest int
			var most unit.Minutes
			for _, i := range tests {
				if _, gap := nearestSet(v, i); gap > most {
					furthest, most = i, gap
				}
			}
			report(v, assess.Finding{
				Tests: tests,
				Args: map[string]any{
					"Hours": int(most) / 60, "Minutes": int(most) % 60, "Test": Number(v.Lines, furthest), "Allowed": v.Basis.Value(assess.AmbientGap) / 60,
					"SameDay": most > 0 && most < minutesADay,
				},
			})
		}
	},
}

// farFromSets reports whether no set can be near a test. A set of the same
// day without a time may be.
func farFromSets(v *assess.Review, l *assess.Line) bool {
	untimed, thatDay := ambientSets(v).untimed[l.Test.Date().Val]
	if thatDay && (untimed || !hasTime(l.Test)) {
		return false
	}
	nearest, gap := nearestSet(v, l.Index)
	return l.Test.Date().Known() && (nearest == nil || float64(gap) > v.Basis.Value(assess.AmbientGap))
}
