package check

import (
	"cmp"
	"math"
	"slices"

	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// proceduralShare is how much of the limit syringe and patch may add by
// themselves, in per cent (common practice).
const proceduralShare = 10

// proceduralBlankHigh: water that went through syringe and patch on clean
// glass came back with more salt than a tenth of the limit is worth. What
// they add to each test is not known. Touched are the tests of that day since
// the last good blank on glass and up to the next.
var proceduralBlankHigh = &assess.Check{
	Name:     "procedural-blank-high",
	Group:    assess.WaterAndBlank,
	Severity: assess.UnprovenPass,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		for _, day := range groups(glassBlanks(v), func(g glassBlank) unit.Date { return g.day }) {
			slices.SortStableFunc(day, func(a, b glassBlank) int { return cmp.Compare(a.minutes, b.minutes) })
			for from := 0; from < len(day); from++ {
				if !day[from].high() {
					continue
				}
				to := from
				for to+1 < len(day) && day[to+1].high() {
					to++
				}
				reportGlass(v, day, from, to)
				from = to
			}
		}
	},
}

// A glassBlank is one blank drawn through syringe and patch on glass.
type glassBlank struct {
	day     unit.Date
	minutes float64
	rise    unit.Conductivity // above the water that went in
	allowed unit.Conductivity // a tenth of the limit
	row     diag.Pos
}

func (g glassBlank) high() bool { return g.rise > g.allowed }

// glassBlanks collects the blanks on glass of the readings and those of the
// water table. Nothing can be said of them without a limit and a factor.
func glassBlanks(v *assess.Review) []glassBlank {
	ofGlass := keep(everyTest(v), func(i int) bool { return !v.Lines[i].OfSteel() })
	if len(ofGlass) == 0 && len(v.Job.Water) == 0 {
		return nil
	}
	allowed := allowedRise(v)
	var all []glassBlank
	for _, i := range ofGlass {
		l := &v.Lines[i]
		t := l.Test
		if most, ok := allowed[t.Date().Val]; ok && t.Blank().Known() && t.Extract().Known() {
			all = append(all, glassBlank{t.Date().Val, float64(t.Read().Val.Minutes()), l.Difference(), most, t.Row()})
		}
	}
	for i := range v.Job.Water {
		w := &v.Job.Water[i]
		if !w.OnGlass() || !w.Conductivity.Known() {
			continue
		}
		most, ok := allowed[w.Date.Val]
		if water, found := waterBehind(v, w); ok && found {
			all = append(all, glassBlank{w.Date.Val, float64(w.Time.Val.Minutes()), w.Conductivity.Val - water, most, w.Row})
		}
	}
	return all
}

// allowedRise is, for each day, a tenth of the limit as a difference of
// conductivities, by limit and factor of the day's first test on steel.
func allowedRise(v *assess.Review) map[unit.Date]unit.Conductivity {
	const rounding = 1e-9 // of binary fractions
	of := map[unit.Date]unit.Conductivity{}
	for i := range v.Lines {
		l := &v.Lines[i]
		first, limited := l.First()
		_, done := of[l.Test.Date().Val]
		if done || !l.OfSteel() || l.Factor() <= 0 || !limited || len(first.Limit.Gaps) > 0 {
			continue
		}
		of[l.Test.Date().Val] = unit.Conductivity(float64(first.Limit.Value)*proceduralShare/100/l.Factor() + rounding)
	}
	return of
}

// waterBehind is the last reading of the water itself that stands before a
// blank on glass, of the same bottle and day.
func waterBehind(v *assess.Review, w *record.Water) (unit.Conductivity, bool) {
	value, found := unit.Conductivity(0), false
	for i := range v.Job.Water {
		x := &v.Job.Water[i]
		if x.OnGlass() || !x.Conductivity.Known() || plate(x.Bottle.Val) != plate(w.Bottle.Val) || x.Date.Val != w.Date.Val ||
			x.Time.Known() && w.Time.Known() && x.Time.Val > w.Time.Val {
			continue
		}
		value, found = x.Conductivity.Val, true
	}
	return value, found
}

// reportGlass reports the high blanks from to to of a day.
func reportGlass(v *assess.Review, day []glassBlank, from, to int) {
	since, until := math.Inf(-1), math.Inf(1)
	if from > 0 {
		since = day[from-1].minutes
	}
	if to+1 < len(day) {
		until = day[to+1].minutes
	}
	tests := onSteel(v, func(l *assess.Line) bool {
		at := float64(l.Test.Read().Val.Minutes())
		return l.Test.Date().Val == day[from].day && (!l.Test.Read().Known() || since < at && at < until)
	})
	worst := day[from]
	f := assess.Finding{Date: worst.day, Tests: tests, Direction: assess.SafeSide}
	for _, g := range day[from : to+1] {
		f.Places = append(f.Places, g.row)
		if g.rise > worst.rise {
			worst = g
		}
	}
	f.Args = map[string]any{"Rise": worst.rise, "Allowed": worst.allowed, "Decimals": apart(worst.rise, worst.allowed), "Share": unit.Percent(proceduralShare)}
	report(v, f)
}

// glassCountedAsSteel: a test that counts as one of steel stands on glass, by
// what is written of its place. There is no salt of the steel in it, and it
// fills no place of the sampling rule.
var glassCountedAsSteel = &assess.Check{
	Name:     "glass-counted-as-steel",
	Group:    assess.WaterAndBlank,
	Severity: assess.UnprovenPass,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		says := func(w record.Words) bool { return wordsSayGlass(w.Val) }
		onGlass := among(v, where(steel(v),
			ask(v, record.Columns.Location, says), ask(v, record.Columns.SpotType, says), ask(v, record.Columns.Substrate, says),
		), func(l *assess.Line) bool { return l.Verdict != assess.Void })
		for _, tests := range byDay(v, onGlass) {
			words, _ := saysGlass(v.Lines[tests[0]].Test)
			report(v, assess.Finding{
				Tests: tests, Direction: assess.UnsafeSide,
				Places: places(v, tests, func(t *record.Test) diag.Pos {
					words, _ := saysGlass(t)
					return words.Pos
				}),
				Args: map[string]any{"First": Number(v.Lines, tests[0]), "Location": words.Text},
			})
		}
	},
}

// glassWords say that a place is a plate of glass. A sight glass and coatings
// with glass in them are none.
var glassWords = lexiconOf("glass plate*", "glass pane*", "glass sheet*", "glass slide*", "glass dish*", "plate of glass", "sheet of glass", "clean glass", "on glass", "glass blank*",
	"glasplatte*", "glasscheibe*", "objektträger*", "auf glas", "sauberes glas", "sauberem glas",
	"placa de vidrio", "lámina de vidrio", "placa de cristal", "vidrio limpio", "sobre vidrio", "cristal limpio", "sobre cristal",
	"plaque de verre", "lame de verre", "verre propre", "sur verre", "sur du verre",
	"glassplate*", "glassplaten*", "glasskive*", "rent glass", "på glass").
	butNotBeside("sight", "level", "gauge", "flake", "fibre", "fiber", "beside", "near", "neben", "junto", "près", "ved")

var onlyGlass = setOf("glass", "glas", "vidrio", "cristal", "verre")

// saysGlass is where a test says that it stands on glass: in its location, its
// type of spot or its substrate.
func saysGlass(t *record.Test) (record.Words, bool) {
	for _, w := range []record.Words{t.Location(), t.SpotType(), t.Substrate()} {
		if wordsSayGlass(w.Val) {
			return w, true
		}
	}
	return record.Words{}, false
}

func wordsSayGlass(text string) bool {
	return text != "" && (onlyGlass[record.Folded(text)] || glassWords.in(text))
}
